//! Natural circulation with steam in the risers and below the level: the equations of Åström and Bell.
//!
//! K.J. Åström and R.D. Bell, "Drum-boiler dynamics", Automatica 36 (2000) 363-378. Of their four
//! equations the global balances of mass and energy are kept by the vessel that holds the contents (its
//! equilibrium is those two, integrated); here are the two that distribute the steam:
//!
//! ```text
//! riser    E32 dp + E33 dx           = Q - x r m
//! bubbles  E42 dp + E43 dx + rs dVb  = rs/Td (Vb0 - Vb) - (hw - hf)/r mf
//! E32 = (rw hw' - x r rw')(1-y) Vr + ((1-x) r rs' + rs hs') y Vr + (rs + (rw-rs) x) r Vr y' - Vr + Cr Ts'
//! E33 = ((1-x) rs + x rw) r Vr dy/dx
//! E42 = Vb rs' + (rs Vb hs' + rw Vwd hw' - Vb - Vwd + Cd Ts')/r + x (1+b) Vr (y rs' + (1-y) rw' + (rs-rw) y')
//! E43 = x (1+b)(rs-rw) Vr dy/dx
//! void     y = rw/(rw-rs) (1 - ln(1+z)/z),  z = x (rw-rs)/rs     mean over the riser, quality linear
//! flow     kf/2 m2 = rw Adc (rw-rs) g y Vr
//! ```
//! p pressure, x quality at the riser outlet, Vb steam volume below the level, Q heat to the risers, m
//! downcomer flow, mf and hf feed, w and s water and steam at saturation, r = hs - hw, a dash is the slope
//! by pressure on the saturation line, Vr and Vdc riser and downcomer volume, Vwd = Vw - Vdc - (1-y) Vr
//! water in the drum, Cr and Cd heat capacity of riser and drum metal at saturation, b and Td empirical.

use crate::water::Saturation;
use base::maths;

/// Acceleration of gravity as in the published parameters, m/s2.
const G: f64 = 9.81;

/// Figures of risers and downcomers; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CirculationParams {
    /// Vr, m3.
    pub riser_volume: f64,
    /// Vdc, m3.
    pub downcomer_volume: f64,
    /// Adc, m2.
    pub downcomer_area: f64,
    /// kf, dimensionless.
    pub friction: f64,
    /// Cr, J/K.
    pub riser_metal: f64,
    /// Cd, J/K.
    pub drum_metal: f64,
    /// b, dimensionless.
    pub beta: f64,
    /// Td, s.
    pub residence: f64,
}

/// Water and steam at saturation with slopes by pressure, in the symbols of the equations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Line {
    pub p: f64,
    pub rw: f64,
    pub rs: f64,
    pub hw: f64,
    pub hs: f64,
    rw_p: f64,
    rs_p: f64,
    hw_p: f64,
    hs_p: f64,
    ts_p: f64,
}

base::kept!(Line { p, rw, rs, hw, hs, rw_p, rs_p, hw_p, hs_p, ts_p });

impl Line {
    pub fn new(s: &Saturation) -> Line {
        Line {
            p: s.p,
            rw: s.rho_l(),
            rs: s.rho_v(),
            hw: s.h_l,
            hs: s.h_v,
            rw_p: s.drho_l_dp(),
            rs_p: s.drho_v_dp(),
            hw_p: s.dh_l_dp(),
            hs_p: s.dh_v_dp(),
            ts_p: s.dt_dp(),
        }
    }
}

/// Mean void of the risers and its slopes by quality and by pressure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Void {
    pub mean: f64,
    by_quality: f64,
    by_pressure: f64,
}

/// The void that belongs to a quality at the riser outlet, 0 to 1.
pub(super) fn void(x: f64, l: &Line) -> Void {
    let (rw, rs) = (l.rw, l.rs);
    let span = rw - rs;
    let (a, e) = (rw / span, span / rs);
    let z = x * e;
    // f = ln(1+z)/z and its slope; series where the quotients lose their digits.
    let (f, fz) = if z > 1e-2 {
        let f = maths::ln_1p(z) / z;
        (f, (1.0 / (1.0 + z) - f) / z)
    } else {
        (
            1.0 - z * (1.0 / 2.0 - z * (1.0 / 3.0 - z * (1.0 / 4.0 - z / 5.0))),
            -1.0 / 2.0 + z * (2.0 / 3.0 - z * (3.0 / 4.0 - z * (4.0 / 5.0 - z * 5.0 / 6.0))),
        )
    };
    let (a_rw, a_rs) = (-rs / (span * span), rw / (span * span));
    let (e_rw, e_rs) = (1.0 / rs, -rw / (rs * rs));
    let by_rw = a_rw * (1.0 - f) - a * fz * x * e_rw;
    let by_rs = a_rs * (1.0 - f) - a * fz * x * e_rs;
    Void { mean: a * (1.0 - f), by_quality: -a * fz * e, by_pressure: by_rw * l.rw_p + by_rs * l.rs_p }
}

/// Flow down the downcomers that a void drives, kg/s.
pub(super) fn downcomer_flow(p: &CirculationParams, y: f64, l: &Line) -> f64 {
    (2.0 * l.rw * p.downcomer_area * (l.rw - l.rs) * G * y * p.riser_volume / p.friction).sqrt()
}

/// What the distribution follows in a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drive {
    /// Slope of saturation pressure in time, Pa/s.
    pub dp: f64,
    /// Heat that boils in the risers, W.
    pub heat: f64,
    /// Feed, kg/s.
    pub feed: f64,
    /// Enthalpy of the feed, J/kg.
    pub feed_enthalpy: f64,
    /// Part of the natural circulation that is missing: 0, more as the downcomers uncover.
    pub missing: f64,
    /// Exchange of the risers when nothing circulates, kg/s.
    pub pool: f64,
}

/// Where it stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Now {
    /// Quality at the riser outlet.
    pub x: f64,
    /// Steam below the level, m3.
    pub bubbles: f64,
    /// Void of the risers at that quality.
    pub void: Void,
    /// Flow down the downcomers, kg/s.
    pub flow: f64,
    /// Vb0, m3.
    pub bubbles_wanted: f64,
    /// Vwd, m3.
    pub drum_water: f64,
}

/// The rates of quality, 1/s, and of bubble volume, m3/s.
pub(super) fn rates(p: &CirculationParams, l: &Line, drive: &Drive, now: &Now) -> (f64, f64) {
    let (rw, rs, dp) = (l.rw, l.rs, drive.dp);
    let Now { x, bubbles, drum_water, .. } = *now;
    let r = l.hs - l.hw;
    let v = now.void;
    let (y, vr) = (v.mean, p.riser_volume);
    let through = now.flow + drive.missing * drive.pool;
    let e32 = (rw * l.hw_p - x * r * l.rw_p) * (1.0 - y) * vr
        + ((1.0 - x) * r * l.rs_p + rs * l.hs_p) * y * vr
        + (rs + (rw - rs) * x) * r * vr * v.by_pressure
        - vr
        + p.riser_metal * l.ts_p;
    let e33 = ((1.0 - x) * rs + x * rw) * r * vr * v.by_quality;
    let dx = (drive.heat - x * r * through - e32 * dp) / e33;
    let slip = x * (1.0 + p.beta) * vr;
    let e42 = bubbles * l.rs_p
        + (rs * bubbles * l.hs_p + rw * drum_water * l.hw_p - bubbles - drum_water + p.drum_metal * l.ts_p) / r
        + slip * (y * l.rs_p + (1.0 - y) * l.rw_p + (rs - rw) * v.by_pressure);
    let e43 = slip * (rs - rw) * v.by_quality;
    let condensed = (l.hw - drive.feed_enthalpy).max(0.0) / r * drive.feed;
    let rise = rs / p.residence * (now.bubbles_wanted - bubbles);
    (dx, (rise - condensed - e42 * dp - e43 * dx) / rs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::water::saturation_at_p;

    #[test]
    fn void_grows_from_nothing_without_a_kink() {
        for p in [1e5, 1.7e6, 8.5e6] {
            let l = Line::new(&saturation_at_p(p));
            assert_eq!(void(0.0, &l).mean, 0.0);
            let seam = 1e-2 * l.rs / (l.rw - l.rs);
            let (a, b) = (void(seam * (1.0 - 1e-9), &l), void(seam * (1.0 + 1e-9), &l));
            assert!((a.mean - b.mean).abs() < 1e-10);
            assert!((a.by_quality / b.by_quality - 1.0).abs() < 1e-7);
            for x in [1e-4, 0.01, 0.1, 0.5] {
                let d = x * 1e-5;
                let slope = (void(x + d, &l).mean - void(x - d, &l).mean) / (2.0 * d);
                assert!((void(x, &l).by_quality / slope - 1.0).abs() < 1e-5, "{p} {x}");
                let q = p * 1e-4;
                let at = |p: f64| void(x, &Line::new(&saturation_at_p(p))).mean;
                let slope = (at(p + q) - at(p - q)) / (2.0 * q);
                assert!((void(x, &l).by_pressure - slope).abs() < 1e-4 * slope.abs() + 1e-13, "{p} {x}");
            }
        }
    }
}
