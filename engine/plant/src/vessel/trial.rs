//! Everything about contents in a volume at a trial temperature: wet, dry or full of liquid.
//!
//! Energy at constant contents rises with temperature through all regimes without a jump; slopes are
//! those of the very equations of each regime.

use super::state::Regime;
use super::{AIR_CONSTANT, AIR_CV, Contents, T_ZERO};
use crate::water::{self, Saturation};

/// Everything at a trial temperature. Slopes: `_t` at constant contents, `_m` by water and `_a` by air at
/// constant temperature.
pub(super) struct Trial {
    pub(super) regime: Regime,
    pub(super) p: f64,
    pub(super) p_steam: f64,
    pub(super) m_l: f64,
    pub(super) m_v: f64,
    pub(super) v_gas: f64,
    pub(super) v_l: f64,
    pub(super) v_v: f64,
    pub(super) h_l: f64,
    pub(super) h_v: f64,
    pub(super) energy: f64,
    pub(super) energy_t: f64,
    pub(super) energy_m: f64,
    pub(super) energy_a: f64,
    pub(super) p_t: f64,
    pub(super) p_m: f64,
    pub(super) p_a: f64,
    pub(super) vg_t: f64,
    pub(super) vg_m: f64,
    pub(super) vg_a: f64,
    pub(super) ps_t: f64,
    pub(super) ps_m: f64,
    // Vapour: mass per gas volume's slope by T over mass, enthalpy by T and by partial pressure (with the slopes of that).
    pub(super) mv_t: f64,
    pub(super) hv_t: f64,
    pub(super) hv_m: f64,
    // Liquid: enthalpy by T and by p.
    pub(super) hl_t: f64,
    pub(super) hl_p: f64,
    // Specific volumes by T at constant contents.
    pub(super) vl_t: f64,
    pub(super) vv_t: f64,
}

/// Air missing, as a part of the water, that is still taken for none: what an iteration leaves of air that was flushed
/// out (its effect on pressure is of that order).
pub(super) const AIR_ROUNDING: f64 = 1e-6;

/// Most steps of the outer and inner iterations; a start from anywhere takes under 20, a warm one 2 or 3.
pub(super) const STEPS: usize = 80;

fn wet(c: &Contents, volume: f64, metal: f64, t: f64, sat: &Saturation) -> Trial {
    let k = c.air * AIR_CONSTANT * t;
    let (k_t, k_a) = (c.air * AIR_CONSTANT, AIR_CONSTANT * t);
    // Scale of w: the liquid's stiffness, with which the volume's equation is nearly straight in w.
    let scale = -1.0 / (c.water * sat.liquid.a[0]);
    let (mut v_gas, mut q, mut root);
    if k == 0.0 {
        v_gas = (volume - c.water * sat.v_l) / (1.0 - sat.v_l / sat.v_v);
        q = 0.0;
        if v_gas < 0.0 {
            v_gas = 0.0;
            let room = volume / c.water - sat.v_l;
            q = room / sat.liquid.a[0];
            for _ in 0..STEPS {
                let (dv, slope) = sat.liquid.volume(q);
                let step = (room - dv) / slope;
                q += step;
                if step.abs() <= 1e-13 * q.abs() {
                    break;
                }
            }
        }
        root = (scale * v_gas).max(q);
    } else {
        let split = |w: f64| {
            let root = (w * w + 4.0 * k * scale).sqrt();
            // Each of the two without cancellation.
            if w >= 0.0 {
                let v = (w + root) / (2.0 * scale);
                (v, k / v, root)
            } else {
                let q = (root - w) / 2.0;
                (k / q, q, root)
            }
        };
        let mut w = scale * (volume - c.water * sat.v_l) / (1.0 - sat.v_l / sat.v_v);
        (v_gas, q, root) = split(w);
        for _ in 0..STEPS {
            let (dv, dv_dq) = sat.liquid.volume(q);
            let v_l = sat.v_l + dv;
            let m_l = c.water - v_gas / sat.v_v;
            let miss = v_gas + m_l * v_l - volume;
            let slope = (1.0 - v_l / sat.v_v) * v_gas / root - m_l * dv_dq * q / root;
            let step = miss / slope;
            w -= step;
            (v_gas, q, root) = split(w);
            if step.abs() <= 1e-13 * root {
                break;
            }
        }
    }
    let (dv, vl_q) = sat.liquid.volume(q);
    let (du, ul_q) = sat.liquid.energy(q);
    let (dv_t, du_t) = sat.liquid.slopes(q);
    let (v_l, u_l) = (sat.v_l + dv, sat.u_l + du);
    let (vl_t, ul_t) = (sat.dv_l_dt + dv_t, sat.du_l_dt + du_t);
    let m_v = v_gas / sat.v_v;
    let m_l = c.water - m_v;
    // Slopes of the two unknowns by w and by k = m_air R T.
    let (vg_w, q_w) = if root > 0.0 { (v_gas / root, -q / root) } else { (1.0 / scale, 0.0) };
    let floor = root.max(1e-9 * scale * volume); // At the very meeting point the slopes by air are unbounded.
    let (vg_k, q_k) = (1.0 / floor, scale / floor);
    let room = 1.0 - v_l / sat.v_v;
    let r_w = room * vg_w + m_l * vl_q * q_w;
    let r_k = room * vg_k + m_l * vl_q * q_k;
    let evaporate_t = -m_v * sat.dv_v_dt / sat.v_v; // slope of the vapour's mass by T at constant gas volume
    let r_t = m_l * vl_t - evaporate_t * v_l;
    let u_vg = (sat.u_v - u_l) / sat.v_v;
    let u_q = m_l * ul_q;
    let (e_w, e_k) = (u_vg * vg_w + u_q * q_w, u_vg * vg_k + u_q * q_k);
    let dry_capacity = c.air * AIR_CV + metal;
    let e_t = m_l * ul_t + m_v * sat.du_v_dt + dry_capacity + evaporate_t * (sat.u_v - u_l);
    let w_t = -(r_t + r_k * k_t) / r_w;
    let w_m = -v_l / r_w;
    let w_a = -r_k * k_a / r_w;
    let p = sat.p + q;
    Trial {
        regime: if v_gas > 0.0 { Regime::Wet } else { Regime::LiquidFull },
        p,
        p_steam: sat.p,
        m_l,
        m_v,
        v_gas,
        v_l,
        v_v: sat.v_v,
        h_l: u_l + p * v_l,
        h_v: sat.h_v,
        energy: m_l * u_l + m_v * sat.u_v + dry_capacity * (t - T_ZERO),
        energy_t: e_t + e_w * w_t + e_k * k_t,
        energy_m: u_l + e_w * w_m,
        energy_a: AIR_CV * (t - T_ZERO) + e_w * w_a + e_k * k_a,
        p_t: sat.dp_dt + q_w * w_t + q_k * k_t,
        p_m: q_w * w_m,
        p_a: q_w * w_a + q_k * k_a,
        vg_t: vg_w * w_t + vg_k * k_t,
        vg_m: vg_w * w_m,
        vg_a: vg_w * w_a + vg_k * k_a,
        ps_t: sat.dp_dt,
        ps_m: 0.0,
        mv_t: evaporate_t,
        hv_t: sat.du_v_dt + sat.dp_dt * sat.v_v + sat.p * sat.dv_v_dt,
        hv_m: 0.0,
        hl_t: ul_t + p * vl_t - (ul_q + p * vl_q) * sat.dp_dt,
        hl_p: ul_q + p * vl_q + v_l,
        vl_t: vl_t + vl_q * (q_w * w_t + q_k * k_t),
        vv_t: sat.dv_v_dt,
    }
}

fn dry(c: &Contents, volume: f64, metal: f64, t: f64, p_guess: f64) -> Trial {
    let density = c.water / volume;
    let ideal = density * water::tables::VAPOUR_CONSTANT * t;
    let mut p_s = if p_guess > 0.0 && ideal > 0.0 { p_guess } else { ideal };
    let mut w = water::vapour(if p_s > 0.0 { p_s } else { 1.0 }, t);
    if ideal > 0.0 {
        for _ in 0..STEPS {
            // p - rho p v(p) = 0: nearly straight in p, since p v hardly changes.
            let step = p_s * (1.0 - density * w.v) / (1.0 - density * (w.v + p_s * w.dv_dp));
            if step.abs() <= 1e-6 * p_s {
                // The last step goes along the slopes: what it misses is its square.
                w.u -= w.du_dp * step;
                w.h -= (w.du_dp + w.v + p_s * w.dv_dp) * step;
                w.v -= w.dv_dp * step;
                p_s -= step;
                break;
            }
            p_s -= step;
            w = water::vapour(p_s, t);
        }
    }
    let (ps_t, ps_m) = if ideal > 0.0 {
        (-w.dv_dt / w.dv_dp, -w.v / (c.water * w.dv_dp))
    } else {
        (0.0, water::tables::VAPOUR_CONSTANT * t / volume)
    };
    let hv_p = if ideal > 0.0 { w.du_dp + w.v + p_s * w.dv_dp } else { 0.0 };
    let p_air = c.air * AIR_CONSTANT * t / volume;
    let dry_capacity = c.air * AIR_CV + metal;
    Trial {
        regime: if c.water > 0.0 || c.air > 0.0 { Regime::Dry } else { Regime::Empty },
        p: p_s + p_air,
        p_steam: p_s,
        m_l: 0.0,
        m_v: c.water,
        v_gas: volume,
        v_l: 0.0,
        v_v: if ideal > 0.0 { w.v } else { 0.0 },
        h_l: 0.0,
        h_v: w.h,
        energy: c.water * w.u + dry_capacity * (t - T_ZERO),
        energy_t: c.water * (w.du_dt + w.du_dp * ps_t) + dry_capacity,
        energy_m: w.u + c.water * w.du_dp * ps_m,
        energy_a: AIR_CV * (t - T_ZERO),
        p_t: ps_t + p_air / t,
        p_m: ps_m,
        p_a: AIR_CONSTANT * t / volume,
        vg_t: 0.0,
        vg_m: 0.0,
        vg_a: 0.0,
        ps_t,
        ps_m,
        mv_t: 0.0,
        hv_t: w.du_dt + p_s * w.dv_dt + hv_p * ps_t,
        hv_m: hv_p * ps_m,
        hl_t: 0.0,
        hl_p: 0.0,
        vl_t: 0.0,
        vv_t: 0.0,
    }
}

/// Density of saturated steam at the last temperature of the saturation line, kg/m3.
pub(super) fn densest_steam() -> f64 {
    let (nodes, width) = (water::tables::SATURATION_NODES, water::tables::SATURATION_WIDTH);
    let z = water::tables::SATURATION[(nodes - 1) * width + 4];
    let y = water::tables::SCALE[(nodes - 1) * water::tables::SCALE_WIDTH];
    y * y * y * y / (z * water::tables::VAPOUR_CONSTANT * water::T_MAX_LIQUID)
}

/// Everything at a trial temperature. `p_guess`: the steam's pressure if the contents are thought dry, else 0.
pub(super) fn at(c: &Contents, volume: f64, metal: f64, t: f64, p_guess: f64) -> Trial {
    if c.water <= 0.0 || t > water::T_MAX_LIQUID {
        return dry(c, volume, metal, t, p_guess);
    }
    if p_guess > 0.0 {
        let trial = dry(c, volume, metal, t, p_guess);
        if trial.p_steam <= water::p_sat(t) {
            return trial;
        }
    }
    let sat = water::saturation_at_t(t);
    if c.water * sat.v_v > volume { wet(c, volume, metal, t, &sat) } else { dry(c, volume, metal, t, 0.0) }
}

impl Trial {
    /// Moves to a temperature `d` away along the slopes, where what that misses is below rounding of the promise (1e-10).
    pub(super) fn polish(&mut self, t: f64, d: f64) -> bool {
        const SMALL: f64 = 1e-5;
        let dm = if self.regime == Regime::Dry { 0.0 } else { self.vg_t / self.v_v * d + self.mv_t * d };
        let dvg = self.vg_t * d;
        let gas = self.regime == Regime::LiquidFull || dvg.abs() <= SMALL * self.v_gas;
        let liquid = self.regime == Regime::Dry || dm.abs() <= SMALL * self.m_l;
        // Dry contents may not pass their saturation unseen.
        let to = t + d;
        if self.regime == Regime::Dry && to <= water::T_MAX_LIQUID && self.p_steam + self.ps_t * d > water::p_sat(to) {
            return false;
        }
        // Nor may a full vessel fall below saturation without a bubble.
        if self.regime == Regime::LiquidFull && self.p + self.p_t * d < self.p_steam + self.ps_t * d {
            return false;
        }
        if !(gas && liquid && (self.p_t * d).abs() <= SMALL * self.p) {
            return false;
        }
        self.h_l += (self.hl_t + self.hl_p * self.p_t) * d;
        self.h_v += self.hv_t * d;
        self.v_l += self.vl_t * d;
        self.v_v += self.vv_t * d;
        self.m_v += dm;
        self.m_l -= dm;
        self.v_gas += dvg;
        self.p += self.p_t * d;
        self.p_steam += self.ps_t * d;
        true
    }
}
