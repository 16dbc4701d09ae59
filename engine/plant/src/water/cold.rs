//! Below 0 degC: what gas that expands into a vacuum passes through for a few seconds.
//!
//! The tables begin at 0 degC. Below it saturation goes on by Clausius and Clapeyron with the heat of evaporation of
//! 0 degC, `ln(p/p0) = K (1/T0 - 1/T)` with `K` from the tables' slope, vapour as the ideal gas with the departure and
//! heat capacity of 0 degC, liquid with its volume and heat capacity of 0 degC: water stays liquid, a fog, and ice is not
//! modelled. Values meet the tables at 0 degC, slopes nearly so. Against measured vapour pressure over super-cooled water
//! within 2 % to -20 degC and 8 % to -40 degC (1.254 hPa and 0.1891 hPa, Smithsonian tables, from memory); that is plenty
//! for the traces of water that matter there. Range: down to [`T_COLD`].

use super::T_MIN;
use super::phase::{Phase, grid_vapour};
use super::saturation::{LiquidTerms, Saturation, saturation_at_t};
use base::maths::{exp, ln};

/// Lowest temperature of all, K: -80 degC.
pub const T_COLD: f64 = 193.15;

/// `p0` and `K` of the law.
fn law() -> (f64, f64) {
    let s = saturation_at_t(T_MIN);
    (s.p, s.dp_dt * T_MIN * T_MIN / s.p)
}

/// Saturation pressure, Pa, and its slope.
#[cold]
pub(super) fn cold_p_sat(t: f64) -> (f64, f64) {
    let (p0, k) = law();
    let p = p0 * exp(k * (1.0 / T_MIN - 1.0 / t));
    (p, p * k / (t * t))
}

/// Saturation temperature, K, at a pressure below that of 0 degC.
#[cold]
pub(super) fn cold_t_sat(p: f64) -> f64 {
    let (p0, k) = law();
    1.0 / (1.0 / T_MIN - ln(p / p0) / k)
}

/// Vapour.
#[cold]
pub(super) fn cold_vapour(p: f64, t: f64) -> Phase {
    let w = grid_vapour(p, T_MIN);
    let part = t / T_MIN;
    let (v, u) = (w.v * part, w.u + w.du_dt * (t - T_MIN));
    Phase { v, u, h: u + p * v, dv_dp: w.dv_dp * part, dv_dt: w.v / T_MIN, du_dp: w.du_dp, du_dt: w.du_dt }
}

/// The saturation line.
#[cold]
pub(super) fn cold_saturation(t: f64) -> Saturation {
    let zero = saturation_at_t(T_MIN);
    let (p, dp_dt) = cold_p_sat(t);
    let w = cold_vapour(p, t);
    let u_l = zero.u_l + zero.du_l_dt * (t - T_MIN);
    Saturation {
        p,
        t,
        v_l: zero.v_l,
        v_v: w.v,
        u_l,
        u_v: w.u,
        h_l: u_l + p * zero.v_l,
        h_v: w.h,
        dp_dt,
        dv_l_dt: 0.0,
        dv_v_dt: w.dv_dt + w.dv_dp * dp_dt,
        du_l_dt: zero.du_l_dt,
        du_v_dt: w.du_dt + w.du_dp * dp_dt,
        liquid: LiquidTerms { a: zero.liquid.a, da: [0.0; 3], b: zero.liquid.b, db: [0.0; 3] },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::water::{p_sat, saturation_at_t, t_sat, vapour};

    #[test]
    fn it_meets_the_tables_at_zero() {
        let (a, b) = (saturation_at_t(T_MIN), saturation_at_t(T_MIN - 1e-9));
        for (x, y) in [(a.p, b.p), (a.v_v, b.v_v), (a.u_v, b.u_v), (a.v_l, b.v_l), (a.h_v, b.h_v)] {
            assert!((x / y - 1.0).abs() < 1e-9, "{x} {y}");
        }
        assert!((a.u_l - b.u_l).abs() < 1e-4 && (a.dp_dt / b.dp_dt - 1.0).abs() < 1e-6);
        assert!((a.du_v_dt / b.du_v_dt - 1.0).abs() < 0.02 && (a.dv_v_dt / b.dv_v_dt - 1.0).abs() < 0.02);
    }

    /// Vapour pressure over super-cooled water: Smithsonian meteorological tables, from memory.
    #[test]
    fn vapour_pressure_over_super_cooled_water() {
        for (c, p, near) in [(-10.0, 286.3, 0.01), (-20.0, 125.4, 0.02), (-40.0, 18.91, 0.08)] {
            let ours = p_sat(273.15 + c);
            assert!((ours / p - 1.0).abs() < near, "{c} degC: {ours} against {p}");
            assert!((t_sat(ours) - 273.15 - c).abs() < 1e-9);
        }
    }

    #[test]
    fn slopes_are_those_of_the_values() {
        let (p, t, d) = (50.0, 250.0, 1e-3);
        let (w, more) = (vapour(p, t), vapour(p, t + d));
        assert!(((more.v - w.v) / d / w.dv_dt - 1.0).abs() < 1e-6);
        assert!(((more.u - w.u) / d / w.du_dt - 1.0).abs() < 1e-6);
        let (s, more) = (saturation_at_t(t), saturation_at_t(t + d));
        for (x, y, slope) in [(s.p, more.p, s.dp_dt), (s.v_v, more.v_v, s.dv_v_dt), (s.u_v, more.u_v, s.du_v_dt)] {
            assert!(((y - x) / d / slope - 1.0).abs() < 5e-3, "{x} {y} {slope}");
        }
    }
}
