//! The state of a closed volume from its mass, air and energy.
//!
//! At a trial temperature everything else is found at once (`at`): the regime, the split into liquid and
//! vapour, the pressure, the energy and its slope by temperature. Energy at constant contents rises
//! with temperature through all regimes without a jump, so that one safeguarded Newton iteration in
//! temperature finds the state from any start, and no regime is ever guessed.

use super::state::{Equilibrium, Regime, Slopes, Unsettled, Variable};
use super::trial::{AIR_ROUNDING, STEPS, Trial, at, densest_steam};
use super::{AIR_CONSTANT, AIR_CV, Contents};
use crate::water;

/// Air, kg, below which there is none: its bubble's volume would be no number that one can divide by.
const AIR_LEAST: f64 = 1e-200;

/// The state of contents in a volume, m3, with metal, J/K, started from a temperature, K.
///
/// # Errors
/// When a mass is negative or anything is not finite, and when the state lies outside the tables.
pub fn equilibrium(c: &Contents, volume: f64, metal: f64, t_start: f64) -> Result<Equilibrium, Unsettled> {
    equilibrium_near(c, volume, metal, t_start, 0.0)
}

/// The temperature in a range at which the energy is right, with everything there; else where the search ended.
#[inline]
fn search(
    c: &Contents,
    volume: f64,
    metal: f64,
    range: (f64, f64),
    t_start: f64,
    p_steam: f64,
) -> Result<(f64, Trial), f64> {
    let (mut lo, mut hi) = range;
    let inside = if (lo..=hi).contains(&293.15) { 293.15 } else { 0.5 * (lo + hi) };
    let mut t = if t_start > lo && t_start < hi { t_start } else { inside };
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
            return Err(t);
        }
    }
    Ok((t, trial))
}

/// The same in a range that is seldom looked into.
#[cold]
fn search_again(
    c: &Contents,
    volume: f64,
    metal: f64,
    range: (f64, f64),
    t_start: f64,
    p_steam: f64,
) -> Result<(f64, Trial), f64> {
    search(c, volume, metal, range, t_start, p_steam)
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
    let mut found = Equilibrium::default();
    equilibrium_into(&mut found, c, volume, metal, t_start, p_steam)?;
    Ok(found)
}

/// The same into a state that stands already, which an error leaves as it was.
///
/// # Errors
/// As [`equilibrium`].
pub fn equilibrium_into(
    into: &mut Equilibrium,
    c: &Contents,
    volume: f64,
    metal: f64,
    t_start: f64,
    p_steam: f64,
) -> Result<(), Unsettled> {
    let bad = |variable, value| Err(Unsettled { variable, value });
    if !(c.water >= 0.0 && c.water.is_finite()) {
        return bad(Variable::Water, c.water);
    }
    // A net that flushes the air out of a vessel leaves a trace of either sign.
    if !(c.air >= -AIR_ROUNDING * c.water && c.air.is_finite()) {
        return bad(Variable::Air, c.air);
    }
    // A trace too small to be divided by is none.
    let c = &Contents { air: if c.air < AIR_LEAST { 0.0 } else { c.air }, ..*c };
    if !c.energy.is_finite() {
        return bad(Variable::Energy, c.energy);
    }
    // Water too dense to be all steam at the liquid's last temperature: above that there is no state.
    let dense = c.water > volume * densest_steam();
    let warm = (water::T_MIN, if dense { water::T_MAX_LIQUID } else { water::T_MAX });
    let cold = (water::T_COLD, water::T_MIN);
    // Below 0 degC is looked into where the last state was, and where the warm range ends without an answer.
    let first = if t_start < water::T_MIN && t_start > water::T_COLD { [cold, warm] } else { [warm, cold] };
    let mut found = search(c, volume, metal, first[0], t_start, p_steam);
    if let Err(t) = found
        && (t - water::T_MIN).abs() < 1e-6
    {
        found = search_again(c, volume, metal, first[1], water::T_MIN, p_steam).map_err(|t| t.min(warm.1));
    }
    let (t, trial) = match found {
        Ok(found) => found,
        // The bracket closed on an end of the range, or on the end of the liquid's, or on nothing at all.
        Err(t) if t.is_finite() => return bad(Variable::Temperature, t),
        Err(_) => return bad(Variable::Energy, c.energy),
    };
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
    *into = Equilibrium {
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
    };
    Ok(())
}
