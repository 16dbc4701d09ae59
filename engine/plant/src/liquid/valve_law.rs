//! How a valve's opening becomes flow.
//!
//! Equations: liquid flow by IEC 60534-2-1, `Q = Kv sqrt(dp / (rho/rho0))` in m3/h, bar, with
//! `rho0` water at 15 °C; choked when `dp > FL^2 (p1 - FF pv)`, `FF = 0.96 - 0.28 sqrt(pv/pc)`.
//! Loss coefficient: `dh = K v|v| / 2g` on a diameter. Opening acts by the inherent characteristic:
//! linear `x`, or equal percentage `R^(x-1)` with rangeability R, which runs straight to zero below
//! 5 % opening (own choice, since a real plug seats).
//! Assumptions: in a network the valve is not choked (cooling water and fuel at a few bar of drop);
//! [`choked_drop`] tells where that ends. Units: SI, but Kv in m3/h as the trade has it.

use base::maths::{pow, sqrt};

/// Density of water at 15 °C, kg/m3, the reference of Kv.
pub const KV_DENSITY: f64 = 999.1;
/// Below this opening an equal-percentage plug is seating.
const SEATING: f64 = 0.05;

/// Inherent characteristic of a valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Characteristic {
    /// Flow coefficient in proportion to opening.
    Linear,
    /// Equal steps of opening change the coefficient by equal ratios; holds the rangeability, such as 50.
    EqualPercentage(f64),
    /// Most of the flow comes with the first part of the stroke (gate, ball and quick-opening
    /// valves): `sqrt(x)` (common practice).
    QuickOpening,
}

impl Characteristic {
    /// Part of the full flow coefficient at an opening from 0 to 1.
    #[must_use]
    pub fn part(self, opening: f64) -> f64 {
        match self {
            Characteristic::Linear => opening,
            Characteristic::EqualPercentage(r) if opening < SEATING => opening / SEATING * pow(r, SEATING - 1.0),
            Characteristic::EqualPercentage(r) => pow(r, opening - 1.0),
            Characteristic::QuickOpening => sqrt(opening),
        }
    }
}

/// Head lost per square of flow, s2/m5, of a valve with this Kv (m3/h): `dh = r Q|Q|`. The
/// liquid's density cancels.
#[must_use]
pub fn resistance_of_kv(kv: f64, gravity: f64) -> f64 {
    1e5 * (3600.0 / kv) * (3600.0 / kv) / (KV_DENSITY * gravity)
}

/// Kv (m3/h) that passes a flow (m3/s) of liquid of this density (kg/m3) at a pressure drop (Pa), not choked.
#[must_use]
pub fn kv_required(flow: f64, density: f64, drop: f64) -> f64 {
    3600.0 * flow * sqrt(density / KV_DENSITY / (drop / 1e5))
}

/// The pressure drop (Pa) at which liquid flow chokes: inlet, vapour and critical pressure in Pa
/// absolute, `recovery` the valve's FL.
#[must_use]
pub fn choked_drop(inlet: f64, vapour: f64, critical: f64, recovery: f64) -> f64 {
    recovery * recovery * (inlet - (0.96 - 0.28 * sqrt(vapour / critical)) * vapour)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn characteristics_run_from_shut_to_full_without_a_step() {
        for c in [Characteristic::Linear, Characteristic::EqualPercentage(50.0), Characteristic::QuickOpening] {
            assert_eq!(c.part(0.0), 0.0);
            assert!((c.part(1.0) - 1.0).abs() < 1e-15);
            let mut last = 0.0;
            for k in 1..=1000 {
                let now = c.part(f64::from(k) / 1000.0);
                assert!(now > last, "{c:?} at {k}");
                last = now;
            }
        }
        let c = Characteristic::EqualPercentage(50.0);
        assert!((c.part(SEATING - 1e-9) - c.part(SEATING)).abs() < 1e-7);
        assert!((c.part(0.7) / c.part(0.6) - c.part(0.5) / c.part(0.4)).abs() < 1e-12, "equal ratios");
    }

    #[test]
    fn resistance_and_kv_agree() {
        let (kv, q, rho, g) = (40.0, 0.012, 965.0, 9.80665);
        let drop = rho * g * resistance_of_kv(kv, g) * q * q;
        assert!((kv_required(q, rho, drop) / kv - 1.0).abs() < 1e-12);
    }

    mod checks {
        use super::super::*;
        use crate::check_data::example;

        #[test]
        fn iec60534() {
            for id in ["iec60534_ex1", "iec60534_ex2"] {
                let e = example(id);
                let drop = e.input("p1") - e.input("p2");
                let most = choked_drop(e.input("p1"), e.input("p_sat"), e.input("p_crit"), e.input("FL"));
                assert_eq!(most < drop, id == "iec60534_ex2", "only the second example is choked");
                e.compare("Kv", kv_required(e.input("Q_m3_s"), e.input("rho"), drop.min(most)));
            }
        }
    }
}
