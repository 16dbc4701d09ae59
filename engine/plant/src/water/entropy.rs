//! Entropy of water and steam, and where an expansion without loss ends.
//!
//! The property tables hold volume and energy; entropy follows from them by the second law, so that it can never
//! disagree with them: along the saturated liquid `ds = (dh - v dp)/T`; across the line `s_v - s_l = (h_v - h_l)/T`; and from the
//! line into the superheated vapour at one pressure
//! `s - s_v = (h - h_v)/T + integral of (h - h_v)/T^2 dT`, by Gauss's four points.
//! The liquid's integral is tabulated once, when it is first asked for, on the line's own grid.
//!
//! Error against IAPWS-IF97, held by the tests: entropy 0.2 J/(kg K) from 0.02 to 40 bar up to 540 degC
//! (the integral over hundreds of kelvins; 0.02 near saturation); the end of an expansion 30 J/kg. Zero entropy is the liquid at the triple point. Units: J/(kg K), J/kg, Pa, K.
//! Valid range: as the tables; pressures from 650 Pa.

use super::saturation::{Saturation, line_at_p, line_at_t};
use super::tables::{Hermite, SATURATION_NODES, T_FIRST, T_STEP, cell};
use super::{vapour, vapour_t_of_h};
use std::sync::LazyLock;

/// Gauss-Legendre, four points on 0 to 1.
const GAUSS: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
];

/// Entropy of the saturated liquid at the nodes of the line, and its slope in steps.
static LIQUID: LazyLock<[[f64; 2]; SATURATION_NODES]> = LazyLock::new(|| {
    let mut table = [[0.0; 2]; SATURATION_NODES];
    let mut s = -0.01 * slope(273.155);
    for (i, row) in table.iter_mut().enumerate() {
        let t = T_FIRST + T_STEP * i as f64;
        *row = [s, slope(t) * T_STEP];
        s += GAUSS.iter().map(|(x, w)| w * T_STEP * slope(t + x * T_STEP)).sum::<f64>();
    }
    table
});

/// Slope of the saturated liquid's entropy along the line.
fn slope(t: f64) -> f64 {
    let s = line_at_t(t);
    (s.du_l_dt + s.p * s.dv_l_dt) / t
}

/// Entropy of the saturated liquid at a temperature, J/(kg K).
#[must_use]
pub fn entropy_of_liquid(t: f64) -> f64 {
    let (i, x) = cell(t, T_FIRST, 1.0 / T_STEP, SATURATION_NODES);
    let (a, b) = (LIQUID[i], LIQUID[i + 1]);
    Hermite::at(x).value(a[0], a[1], b[0], b[1])
}

fn superheated(sat: &Saturation, p: f64, t: f64, h: f64) -> f64 {
    let span = t - sat.t;
    let integral: f64 = GAUSS
        .iter()
        .map(|(x, w)| {
            let at = sat.t + x * span;
            w * span * (vapour(p, at).h - sat.h_v) / (at * at)
        })
        .sum();
    entropy_of_liquid(sat.t) + (sat.h_v - sat.h_l) / sat.t + (h - sat.h_v) / t + integral
}

/// Entropy of steam, wet or superheated, at a pressure and an enthalpy, J/(kg K).
#[must_use]
pub fn entropy(p: f64, h: f64) -> f64 {
    let sat = line_at_p(p);
    if h <= sat.h_v {
        entropy_of_liquid(sat.t) + (h - sat.h_l) / sat.t
    } else {
        superheated(&sat, p, vapour_t_of_h(p, h), h)
    }
}

/// The same of superheated steam whose temperature, K, is known as well.
#[must_use]
pub fn entropy_of_steam(p: f64, t: f64, h: f64) -> f64 {
    let sat = line_at_p(p);
    if t <= sat.t { entropy_of_liquid(sat.t) + (h - sat.h_l) / sat.t } else { superheated(&sat, p, t, h) }
}

/// Enthalpy, J/kg, of steam, wet or superheated, of an entropy at a pressure.
#[must_use]
pub fn enthalpy_of_entropy(p: f64, s: f64) -> f64 {
    enthalpy_on_the_line(&line_at_p(p), p, s)
}

/// The same with the line at that pressure, which is told as well.
#[must_use]
pub(crate) fn end_of_expansion(p: f64, s: f64) -> (f64, Saturation) {
    let sat = line_at_p(p);
    (enthalpy_on_the_line(&sat, p, s), sat)
}

fn enthalpy_on_the_line(sat: &Saturation, p: f64, s: f64) -> f64 {
    let dry = entropy_of_liquid(sat.t) + (sat.h_v - sat.h_l) / sat.t;
    if s <= dry {
        return sat.h_l + sat.t * (s - entropy_of_liquid(sat.t));
    }
    // dh = T ds at one pressure, from a start by a mean heat capacity of 2 kJ/(kg K).
    let mut t = sat.t * base::maths::exp((s - dry) / 2000.0);
    for _ in 0..8 {
        let w = vapour(p, t);
        let off = s - superheated(sat, p, t, w.h);
        t += off * t / w.cp(p);
        if off.abs() < 1e-6 {
            break;
        }
    }
    vapour(p, t).h
}

#[cfg(test)]
mod tests {
    use super::*;
    use seuif97::{OH, OS, ps, pt, px};

    #[test]
    fn entropy_agrees_with_the_library() {
        let mut worst: f64 = 0.0;
        for p in [0.02, 0.07, 0.3, 1.0, 4.0, 10.0, 17.0, 25.0, 40.0] {
            let pm = p * 0.1;
            let t_sat = px(pm, 0.0, seuif97::OT);
            for x in [0.0, 0.5, 0.9, 1.0] {
                let (h, s) = (px(pm, x, OH) * 1e3, px(pm, x, OS) * 1e3);
                worst = worst.max((entropy(p * 1e5, h) - s).abs());
            }
            for t in [5.0, 40.0, 100.0, 200.0, 300.0, 400.0, 500.0] {
                let t = t_sat + t;
                if t < 550.0 {
                    let (h, s) = (pt(pm, t, OH) * 1e3, pt(pm, t, OS) * 1e3);
                    worst = worst.max((entropy(p * 1e5, h) - s).abs());
                }
            }
        }
        println!("largest difference of entropy {worst} J/(kg K)");
        assert!(worst < 0.2, "{worst}");
    }

    #[test]
    fn the_end_of_an_expansion_agrees_with_the_library() {
        let mut worst: f64 = 0.0;
        for (p1, t1) in [(16.0, 320.0), (10.0, 250.0), (4.0, 300.0), (1.0, 300.0), (0.5, 120.0)] {
            let s = pt(p1 * 0.1, t1, OS);
            for part in [0.9, 0.5, 0.1, 0.03] {
                let p2 = p1 * part;
                let theirs = ps(p2 * 0.1, s, OH) * 1e3;
                worst = worst.max((enthalpy_of_entropy(p2 * 1e5, s * 1e3) - theirs).abs());
            }
        }
        println!("largest difference of enthalpy {worst} J/kg");
        assert!(worst < 30.0, "{worst}");
    }

    #[test]
    fn both_ways_are_each_others_inverse() {
        for (p, h) in [(7e3, 2.4e6), (7e3, 2.9e6), (16e5, 3.08e6), (16e5, 2.79e6), (3e5, 1.5e6)] {
            assert!((enthalpy_of_entropy(p, entropy(p, h)) - h).abs() < 0.02, "{p} {h}");
            let sat = line_at_p(p);
            if h > sat.h_v {
                let t = vapour_t_of_h(p, h);
                assert!((entropy_of_steam(p, t, h) - entropy(p, h)).abs() < 1e-9, "{p} {h}");
            }
        }
    }
}
