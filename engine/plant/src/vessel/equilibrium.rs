//! The state of a closed volume from its mass, air and energy.
//!
//! At a trial temperature everything else is found at once (`at`): the regime, the split into liquid and
//! vapour, the pressure, the energy and its slope by temperature. Energy at constant contents rises
//! with temperature through all regimes without a jump, so that one safeguarded Newton iteration in
//! temperature finds the state from any start, and no regime is ever guessed.

use super::{AIR_CONSTANT, AIR_CV, Contents, T_ZERO};
use crate::water::{self, Saturation};
use std::fmt;

/// Which equations hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Regime {
    /// Liquid with a gas space of vapour, air or both.
    Wet,
    /// No gas space: the pressure is the liquid's own.
    LiquidFull,
    /// No liquid: steam, air or both.
    Dry,
    /// Nothing at all.
    Empty,
}

/// A variable of a vessel, to be named in a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Variable {
    /// Mass of water.
    Water,
    /// Mass of air.
    Air,
    /// Internal energy.
    Energy,
    /// Temperature.
    Temperature,
    /// Pressure.
    Pressure,
}

/// Why a vessel has no state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unsettled {
    /// The variable that is out of range or not a number.
    pub variable: Variable,
    /// Its value in SI units.
    pub value: f64,
}

impl fmt::Display for Unsettled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let v = self.value;
        match self.variable {
            Variable::Water => write!(f, "the mass of water is {v} kg, which is not possible"),
            Variable::Air => write!(f, "the mass of air is {v} kg, which is not possible"),
            Variable::Energy => write!(f, "the internal energy is {v} J, which is not possible"),
            Variable::Temperature => {
                write!(
                    f,
                    "the temperature goes to {:.1} degC; the model holds from 0 degC to 1200 degC, with liquid to 325 degC",
                    v - 273.15
                )
            }
            Variable::Pressure => write!(f, "the pressure goes to {:.2} bara; the model holds to 120 bara", v / 1e5),
        }
    }
}
impl std::error::Error for Unsettled {}

/// The state of a vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equilibrium {
    /// Which equations held.
    pub regime: Regime,
    /// Total pressure, Pa.
    pub p: f64,
    /// Temperature, K.
    pub t: f64,
    /// Partial pressure of the steam, Pa; saturation pressure wherever there is liquid.
    pub p_steam: f64,
    /// Mass of liquid, kg.
    pub liquid_mass: f64,
    /// Mass of vapour, kg.
    pub vapour_mass: f64,
    /// Volume of the liquid, m3.
    pub liquid_volume: f64,
    /// Volume of the gas space, m3.
    pub gas_volume: f64,
    /// Specific volume of the liquid, m3/kg; 0 where there is none.
    pub v_l: f64,
    /// Specific volume of the vapour at its partial pressure, m3/kg; 0 where there is no water.
    pub v_v: f64,
    /// Enthalpy of the liquid, J/kg; 0 where there is none.
    pub h_l: f64,
    /// Enthalpy of the vapour, J/kg.
    pub h_v: f64,
    /// Enthalpy of the gas, steam and air together, J/kg.
    pub h_gas: f64,
    /// Mass of air in a kilogram of gas.
    pub air_fraction: f64,
    /// Density of the gas, kg/m3 (of vapour that would form, where the vessel is liquid-full).
    pub gas_density: f64,
    /// Heat capacity of everything at constant contents and volume, J/K: slope of energy by temperature.
    pub capacity: f64,
    /// Slopes of pressure by the mass of water and of air at constant energy, Pa/kg, and by energy, Pa/J.
    pub dp_dwater: f64,
    /// See [`Equilibrium::dp_dwater`].
    pub dp_dair: f64,
    /// See [`Equilibrium::dp_dwater`].
    pub dp_denergy: f64,
    /// Slopes of temperature likewise, K/kg and K/J.
    pub dt_dwater: f64,
    /// See [`Equilibrium::dt_dwater`].
    pub dt_dair: f64,
    /// See [`Equilibrium::dt_dwater`].
    pub dt_denergy: f64,
    /// Slopes of the rest by the contents, for a net's implicit step.
    pub slopes: Slopes,
}

/// Slopes by water, air (1/kg) and energy (1/J), each at constant other two.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Slopes {
    /// Of pressure, Pa.
    pub p: [f64; 3],
    /// Of the steam's partial pressure, Pa.
    pub p_steam: [f64; 3],
    /// Of temperature, K.
    pub t: [f64; 3],
    /// Of the gas space's volume, m3.
    pub gas_volume: [f64; 3],
    /// Of the gas's density, kg/m3.
    pub gas_density: [f64; 3],
    /// Of the gas's mass fraction of air.
    pub air_fraction: [f64; 3],
    /// Of the gas's enthalpy, J/kg.
    pub h_gas: [f64; 3],
    /// Of the liquid's enthalpy, J/kg.
    pub h_l: [f64; 3],
}

impl Equilibrium {
    /// Mass of gas, kg.
    #[must_use]
    pub fn gas_mass(&self, contents: &Contents) -> f64 {
        self.vapour_mass + contents.air
    }
}

/// Everything at a trial temperature. Slopes: `_t` at constant contents, `_m` by water and `_a` by air at
/// constant temperature.
struct Trial {
    regime: Regime,
    p: f64,
    p_steam: f64,
    m_l: f64,
    m_v: f64,
    v_gas: f64,
    v_l: f64,
    v_v: f64,
    h_l: f64,
    h_v: f64,
    energy: f64,
    energy_t: f64,
    energy_m: f64,
    energy_a: f64,
    p_t: f64,
    p_m: f64,
    p_a: f64,
    vg_t: f64,
    vg_m: f64,
    vg_a: f64,
    ps_t: f64,
    ps_m: f64,
    // Vapour: mass per gas volume's slope by T over mass, enthalpy by T and by partial pressure (with the slopes of that).
    mv_t: f64,
    hv_t: f64,
    hv_m: f64,
    // Liquid: enthalpy by T and by p.
    hl_t: f64,
    hl_p: f64,
    // Specific volumes by T at constant contents.
    vl_t: f64,
    vv_t: f64,
}

/// Air missing, as a part of the water, that is still taken for none: what an iteration leaves of air that was flushed
/// out (its effect on pressure is of that order).
const AIR_ROUNDING: f64 = 1e-6;

/// Most steps of the outer and inner iterations; a start from anywhere takes under 20, a warm one 2 or 3.
const STEPS: usize = 80;

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
fn densest_steam() -> f64 {
    let (nodes, width) = (water::tables::SATURATION_NODES, water::tables::SATURATION_WIDTH);
    let z = water::tables::SATURATION[(nodes - 1) * width + 4];
    let y = water::tables::SCALE[(nodes - 1) * water::tables::SCALE_WIDTH];
    y * y * y * y / (z * water::tables::VAPOUR_CONSTANT * water::T_MAX_LIQUID)
}

/// Everything at a trial temperature. `p_guess`: the steam's pressure if the contents are thought dry, else 0.
fn at(c: &Contents, volume: f64, metal: f64, t: f64, p_guess: f64) -> Trial {
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
    fn polish(&mut self, t: f64, d: f64) -> bool {
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

/// The state of contents in a volume, m3, with metal, J/K, started from a temperature, K.
///
/// # Errors
/// When a mass is negative or anything is not finite, and when the state lies outside the tables.
pub fn equilibrium(c: &Contents, volume: f64, metal: f64, t_start: f64) -> Result<Equilibrium, Unsettled> {
    equilibrium_near(c, volume, metal, t_start, 0.0)
}

/// The same, with the steam's pressure, Pa, told as well where the contents are thought to be dry (else 0).
///
/// # Errors
/// As [`equilibrium`].
pub fn equilibrium_near(
    c: &Contents,
    volume: f64,
    metal: f64,
    t_start: f64,
    p_steam: f64,
) -> Result<Equilibrium, Unsettled> {
    let bad = |variable, value| Err(Unsettled { variable, value });
    if !(c.water >= 0.0 && c.water.is_finite()) {
        return bad(Variable::Water, c.water);
    }
    // A net that flushes the air out of a vessel leaves a trace of either sign.
    if !(c.air >= -AIR_ROUNDING * c.water && c.air.is_finite()) {
        return bad(Variable::Air, c.air);
    }
    let c = &Contents { air: c.air.max(0.0), ..*c };
    if !c.energy.is_finite() {
        return bad(Variable::Energy, c.energy);
    }
    // Water too dense to be all steam at the liquid's last temperature: above that there is no state.
    let dense = c.water > volume * densest_steam();
    let (mut lo, mut hi) = (water::T_MIN, if dense { water::T_MAX_LIQUID } else { water::T_MAX });
    let mut t = if t_start > lo && t_start < hi { t_start } else { 293.15 };
    let mut trial = at(c, volume, metal, t, p_steam);
    if trial.energy_t > 0.0 {
        let mut settled = false;
        let mut last_step = f64::INFINITY;
        for _ in 0..STEPS {
            let miss = trial.energy - c.energy;
            if miss > 0.0 {
                hi = t
            } else {
                lo = t
            }
            let step = miss / trial.energy_t;
            if step.abs() <= 1e-12 * t {
                settled = true;
                break;
            }
            let next = t - step;
            if step.abs() <= 2e-4 && trial.polish(t, -step) {
                t = next;
                settled = true;
                break;
            }
            let was = t;
            // Halve the bracket where Newton's step leaves it, or does not shrink: at a regime's end the
            // slope changes severalfold, and steps from both sides could go round for ever.
            let straight = next > lo && next < hi && step.abs() < 0.5 * last_step;
            last_step = step.abs();
            if !straight {
                last_step = hi - lo;
            }
            t = if straight { next } else { 0.5 * (lo + hi) };
            if hi - lo <= 1e-12 * t {
                break;
            }
            let near =
                if trial.regime == Regime::Dry { (trial.p_steam + trial.ps_t * (t - was)).max(0.0) } else { 0.0 };
            trial = at(c, volume, metal, t, near);
        }
        if !settled {
            // The bracket closed on an end of the range, or on the end of the liquid's, or on nothing at all.
            return bad(
                if t.is_finite() { Variable::Temperature } else { Variable::Energy },
                if t.is_finite() { t } else { c.energy },
            );
        }
    }
    if !trial.p.is_finite() || trial.p > water::P_MAX {
        return bad(Variable::Pressure, trial.p);
    }
    let gas = trial.m_v + c.air;
    let air_fraction = if gas > 0.0 { c.air / gas } else { 0.0 };
    let h_air = super::air_enthalpy(t);
    let full = trial.v_gas <= 0.0;
    // dX|energy: the temperature gives way so that the energy stays.
    let by = |e: f64| -e / trial.energy_t;
    let still = trial.energy_t <= 0.0;
    let (t_m, t_a, t_e) =
        if still { (0.0, 0.0, 0.0) } else { (by(trial.energy_m), by(trial.energy_a), 1.0 / trial.energy_t) };
    let t_by = [t_m, t_a, t_e];
    let p_by = [trial.p_m + trial.p_t * t_m, trial.p_a + trial.p_t * t_a, trial.p_t * t_e];
    let h_gas = (1.0 - air_fraction) * trial.h_v + air_fraction * h_air;
    let gas_density = if full { 1.0 / trial.v_v } else { gas / trial.v_gas };
    let mut slopes = Slopes { p: p_by, t: t_by, ..Slopes::default() };
    let dry = trial.regime == Regime::Dry;
    for k in 0..3 {
        let (dt, dp) = (t_by[k], p_by[k]);
        let (one_m, one_a) = (f64::from(u8::from(k == 0)), f64::from(u8::from(k == 1)));
        let dvg = trial.vg_t * dt + trial.vg_m * one_m + trial.vg_a * one_a;
        let dmv = if dry { one_m } else { dvg / trial.v_v + trial.mv_t * dt };
        let dhv = trial.hv_t * dt + trial.hv_m * one_m;
        slopes.p_steam[k] = trial.ps_t * dt + trial.ps_m * one_m;
        slopes.gas_volume[k] = dvg;
        slopes.h_l[k] = trial.hl_t * dt + trial.hl_p * dp;
        if full || gas <= 0.0 {
            slopes.h_gas[k] = dhv;
            continue;
        }
        let dgas = dmv + one_a;
        let da = (one_a - air_fraction * dgas) / gas;
        slopes.gas_density[k] = (dgas - gas_density * dvg) / trial.v_gas;
        slopes.air_fraction[k] = da;
        slopes.h_gas[k] =
            (1.0 - air_fraction) * dhv + air_fraction * (AIR_CV + AIR_CONSTANT) * dt + (h_air - trial.h_v) * da;
    }
    Ok(Equilibrium {
        regime: trial.regime,
        p: trial.p,
        t,
        p_steam: trial.p_steam,
        liquid_mass: trial.m_l,
        vapour_mass: trial.m_v,
        liquid_volume: trial.m_l * trial.v_l,
        gas_volume: trial.v_gas,
        v_l: trial.v_l,
        v_v: trial.v_v,
        h_l: trial.h_l,
        h_v: trial.h_v,
        h_gas,
        air_fraction,
        gas_density,
        capacity: trial.energy_t,
        dp_dwater: p_by[0],
        dp_dair: p_by[1],
        dp_denergy: p_by[2],
        dt_dwater: t_m,
        dt_dair: t_a,
        dt_denergy: t_e,
        slopes,
    })
}
