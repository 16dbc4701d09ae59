//! Air as an ideal gas, and the work of compressing it.
//!
//! Equations: `p V = m R T`, `u = cv T`, `h = cp T` (zero at 0 K); polytropic compression of a stage
//! `w = n/(n-1) R T1 (r^((n-1)/n) - 1)`, `T2 = T1 r^((n-1)/n)`.
//! Assumptions: dry, constant heat capacities. Valid range: -20 to 250 °C, up to 40 bar (within 2 %).
//! Source: any handbook of thermodynamics. Units: Pa absolute, K, J/kg.

use base::maths::pow;

/// Gas constant of dry air, J/(kg K).
pub const R: f64 = 287.05;
/// Ratio of heat capacities.
pub const GAMMA: f64 = 1.4;
/// Heat capacity at constant volume, J/(kg K).
pub const CV: f64 = R / (GAMMA - 1.0);
/// Heat capacity at constant pressure, J/(kg K).
pub const CP: f64 = GAMMA * CV;

/// One stage's polytropic compression from a temperature (K) by a pressure ratio: work taken in, J/kg, and
/// temperature at its end, K.
#[must_use]
pub fn compress_stage(temperature: f64, ratio: f64, exponent: f64) -> (f64, f64) {
    let k = (exponent - 1.0) / exponent;
    let rise = pow(ratio, k);
    (R * temperature * (rise - 1.0) / k, temperature * rise)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_the_isentropic_exponent_all_work_heats_the_air() {
        let (work, end) = compress_stage(290.0, 6.0, GAMMA);
        assert!((work - CP * (end - 290.0)).abs() < 1e-6 * work);
        let (work, end) = compress_stage(290.0, 6.0, 1.25);
        assert!(work > CP * (end - 290.0), "a cooled cylinder gives heat to its jacket");
        assert_eq!(compress_stage(290.0, 1.0, 1.3), (0.0, 290.0));
    }
}
