//! Liquid water and steam off the saturation line.

use super::cold::cold_vapour;
use super::saturation::{Saturation, saturation_at_t, scale, t_sat};
use super::tables::{
    Hermite, S_NODES, S_STEP, SCALE, SCALE_NODES, SCALE_WIDTH, T_FIRST, T_STEP, VAPOUR, VAPOUR_CONSTANT, VAPOUR_WIDTH,
    cell,
};

/// One phase of water at a pressure and a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase {
    /// Specific volume, m3/kg.
    pub v: f64,
    /// Internal energy, J/kg.
    pub u: f64,
    /// Enthalpy, J/kg.
    pub h: f64,
    /// Slope of volume by pressure, m3/(kg Pa).
    pub dv_dp: f64,
    /// Slope of volume by temperature, m3/(kg K).
    pub dv_dt: f64,
    /// Slope of internal energy by pressure, J/(kg Pa).
    pub du_dp: f64,
    /// Slope of internal energy by temperature, J/(kg K).
    pub du_dt: f64,
}

impl Phase {
    /// Heat capacity at constant pressure, J/(kg K), at the pressure `p` the phase was taken at.
    #[must_use]
    pub fn cp(&self, p: f64) -> f64 {
        self.du_dt + p * self.dv_dt
    }
}

/// Liquid water at pressure `p`, Pa, and temperature `t`, K: the saturated liquid plus a cubic in the
/// pressure above saturation. A little below saturation it goes on smoothly.
#[must_use]
pub fn liquid(p: f64, t: f64) -> Phase {
    liquid_from(&saturation_at_t(t), p)
}

/// The same from a saturation state at that temperature.
#[must_use]
pub fn liquid_from(sat: &Saturation, p: f64) -> Phase {
    let q = p - sat.p;
    let (dv, dv_dp) = sat.liquid.volume(q);
    let (du, du_dp) = sat.liquid.energy(q);
    let (dv_t, du_t) = sat.liquid.slopes(q);
    let (v, u) = (sat.v_l + dv, sat.u_l + du);
    Phase {
        v,
        u,
        h: u + p * v,
        dv_dp,
        dv_dt: sat.dv_l_dt + dv_t - dv_dp * sat.dp_dt,
        du_dp,
        du_dt: sat.du_l_dt + du_t - du_dp * sat.dp_dt,
    }
}

/// Steam at pressure `p`, Pa, and temperature `t`, K, superheated or slightly sub-cooled.
///
/// With `s` the pressure as a part of the pressure scale (saturation pressure up to 598.15 K, levelling
/// out above), `p v = R T (1 + s f)` and `u = u0(T) + s g`, where `f` and `g` are bicubic over `T` and
/// `s` with continuous slopes; at low pressure this is the ideal gas without remainder.
///
/// Above the grid, from 873.15 K, see `hot_vapour`.
#[must_use]
#[inline]
pub fn vapour(p: f64, t: f64) -> Phase {
    if t > T_GRID {
        hot_vapour(p, t)
    } else if t < T_FIRST {
        cold_vapour(p, t)
    } else {
        grid_vapour(p, t)
    }
}

/// Last temperature of the grid, K.
const T_GRID: f64 = T_FIRST + T_STEP * (SCALE_NODES - 1) as f64;
/// How the ideal gas's heat capacity goes on rising, J/(kg K2).
const HOT_RISE: f64 = 0.695;
/// How the departure of volume from the ideal gas fades, 1/K, and where it is gone (the Boyle temperature), K above the grid.
const HOT_VOLUME: (f64, f64) = (0.0040, 640.0);
/// How the departure of energy fades, 1/K.
const HOT_ENERGY: f64 = 0.0032;

/// Steam hotter than the grid: what stands in tubes that nothing cools.
///
/// With d the kelvins above 873.15 K: `v = T (R/p - a (1 - d/640)/(1 + 0.0040 d))` and
/// `u = u0 + c0 d + 0.695/2 d2 + b/(1 + 0.0032 d)`, where `a` and `b` are the grid's departures from the ideal gas at its last
/// temperature and this pressure. Values are continuous there, slopes by temperature nearly so. The figures were found
/// against IAPWS-IF97, regions 2 and 5; the error is held by the tests.
#[cold]
fn hot_vapour(p: f64, t: f64) -> Phase {
    let (w, thin) = (grid_vapour(p, T_GRID), grid_vapour(1.0, T_GRID));
    let (d, r) = (t - T_GRID, VAPOUR_CONSTANT);
    let (rate, gone) = HOT_VOLUME;
    let slows = 1.0 / (1.0 + rate * d);
    let part = (1.0 - d / gone) * slows;
    let part_dt = -slows / gone - part * rate * slows;
    let lack = w.v / T_GRID - r / p;
    let lack_dp = w.dv_dp / T_GRID + r / (p * p);
    let v = t * (r / p + lack * part);
    let fades = 1.0 / (1.0 + HOT_ENERGY * d);
    let rest = w.u - thin.u;
    let u = thin.u + thin.du_dt * d + 0.5 * HOT_RISE * d * d + rest * fades;
    Phase {
        v,
        u,
        h: u + p * v,
        dv_dp: t * (lack_dp * part - r / (p * p)),
        dv_dt: v / t + t * lack * part_dt,
        du_dp: w.du_dp * fades,
        du_dt: thin.du_dt + HOT_RISE * d - rest * HOT_ENERGY * fades * fades,
    }
}

#[inline]
pub(super) fn grid_vapour(p: f64, t: f64) -> Phase {
    let (i, x) = cell(t, T_FIRST, 1.0 / T_STEP, SCALE_NODES);
    let ht = Hermite::at(x);
    let (big_p, big_dp) = scale(i, &ht);
    let (a, b) = (&SCALE[i * SCALE_WIDTH..][..SCALE_WIDTH], &SCALE[(i + 1) * SCALE_WIDTH..][..SCALE_WIDTH]);
    let (u0, du0) = ht.both(a[2], a[3], b[2], b[3]);
    let s_dp = 1.0 / big_p;
    let s = p * s_dp;
    let s_dt = -s * big_dp * s_dp;
    let (j, x) = cell(s, 0.0, 1.0 / S_STEP, S_NODES);
    let hs = Hermite::at(x);
    let near = &VAPOUR[(i * S_NODES + j) * VAPOUR_WIDTH..][..2 * VAPOUR_WIDTH];
    let far = &VAPOUR[((i + 1) * S_NODES + j) * VAPOUR_WIDTH..][..2 * VAPOUR_WIDTH];
    // One function of the pair: columns c (value), c+1 (by T), c+2 (by s), c+3 (by both).
    let quantity = |c: usize| {
        let w = VAPOUR_WIDTH;
        let (n, n_s) = hs.both(near[c], near[c + 2], near[w + c], near[w + c + 2]);
        let (m, m_s) = hs.both(near[c + 1], near[c + 3], near[w + c + 1], near[w + c + 3]);
        let (o, o_s) = hs.both(far[c], far[c + 2], far[w + c], far[w + c + 2]);
        let (q, q_s) = hs.both(far[c + 1], far[c + 3], far[w + c + 1], far[w + c + 3]);
        let (value, by_t) = ht.both(n, m, o, q);
        (value, by_t * (1.0 / T_STEP), ht.value(n_s, m_s, o_s, q_s) * (1.0 / S_STEP))
    };
    let (f, f_t, f_s) = quantity(0);
    let (g, g_t, g_s) = quantity(4);
    // v = R T (1/p + f/P), each term with its own slopes.
    let rt = VAPOUR_CONSTANT * t;
    let f_by_t = f_t + f_s * s_dt;
    let f_by_p = f_s * s_dp;
    let v = rt * (1.0 / p + f * s_dp);
    let u = u0 + s * g;
    Phase {
        v,
        u,
        h: u + rt * (1.0 + s * f),
        dv_dp: rt * (f_by_p * s_dp - 1.0 / (p * p)),
        dv_dt: v / t + rt * s_dp * (f_by_t - f * big_dp * s_dp),
        du_dp: s_dp * (g + s * g_s),
        du_dt: du0 * (1.0 / T_STEP) + s_dt * g + s * (g_t + g_s * s_dt),
    }
}

/// Temperature, K, of the liquid at pressure `p`, Pa, and enthalpy `h`, J/kg, at or below saturation.
#[must_use]
pub fn liquid_t_of_h(p: f64, h: f64) -> f64 {
    // 4200 J/(kg K) is only a start; eight steps converge from anywhere on the liquid's range.
    let mut t = (273.16 + h / 4200.0).min(t_sat(p));
    for _ in 0..8 {
        let w = liquid(p, t);
        let step = (h - w.h) / w.cp(p);
        t += step;
        if step.abs() < 1e-9 {
            break;
        }
    }
    t
}

/// Temperature, K, of steam at pressure `p`, Pa, and enthalpy `h`, J/kg, at or above saturation.
#[must_use]
pub fn vapour_t_of_h(p: f64, h: f64) -> f64 {
    let mut t = t_sat(p).max(273.15 + (h - 2.5e6) / 2000.0);
    for _ in 0..12 {
        let w = vapour(p, t);
        let step = (h - w.h) / w.cp(p);
        t += step;
        if step.abs() < 1e-9 {
            break;
        }
    }
    t
}
