//! Combustion gas: flows of its species, and their enthalpy.
//!
//! ```text
//! H(T) = R sum n_i (h_i(T) - h_i(298.15 K)),  h_i/R = a1 T + a2 T2/2 + a3 T3/3 + a4 T4/4 + a5 T5/5 + a6
//! ```
//! with the seven-coefficient NASA polynomials, low range below 1000 K and high range above.
//! Ideal gas, complete products only (no dissociation). Valid 250 to 3500 K.
//! Coefficients: GRI-Mech 3.0 thermodynamic data (30 July 1999) for O2, N2, CO2, H2O; SO2 from the
//! NASA tables (McBride, Gordon, Reno, NASA TM-4513, 1993), from memory, held by the checks below.

/// Universal gas constant, J/(mol K) (CODATA 2018).
pub const R: f64 = 8.314_462_618;
/// Reference temperature of heats of combustion, K.
pub const REFERENCE: f64 = 298.15;
/// Standard molar mass of dry air, kg/mol (21 % oxygen by volume with the rest nitrogen and argon).
pub const AIR_MOLAR_MASS: f64 = 28.96e-3;
/// Oxygen in dry air by volume.
pub const AIR_OXYGEN: f64 = 0.2095;

/// The species, in the order of the flows.
pub const CO2: usize = 0;
/// Water vapour.
pub const H2O: usize = 1;
/// Nitrogen, argon counted with it.
pub const N2: usize = 2;
/// Oxygen.
pub const O2: usize = 3;
/// Sulphur dioxide.
pub const SO2: usize = 4;

type Poly = [f64; 6];

const LOW: [Poly; 5] = [
    [2.35677352, 8.98459677e-3, -7.12356269e-6, 2.45919022e-9, -1.43699548e-13, -4.83719697e4],
    [4.19864056, -2.0364341e-3, 6.52040211e-6, -5.48797062e-9, 1.77197817e-12, -3.02937267e4],
    [3.298677, 1.4082404e-3, -3.963222e-6, 5.641515e-9, -2.444854e-12, -1020.8999],
    [3.78245636, -2.99673416e-3, 9.84730201e-6, -9.68129509e-9, 3.24372837e-12, -1063.94356],
    [3.2665338, 5.3237902e-3, 6.8437552e-7, -5.2810047e-9, 2.5590454e-12, -3.6908148e4],
];
const HIGH: [Poly; 5] = [
    [3.85746029, 4.41437026e-3, -2.21481404e-6, 5.23490188e-10, -4.72084164e-14, -4.8759166e4],
    [3.03399249, 2.17691804e-3, -1.64072518e-7, -9.7041987e-11, 1.68200992e-14, -3.00042971e4],
    [2.92664, 1.4879768e-3, -5.68476e-7, 1.0097038e-10, -6.753351e-15, -922.7977],
    [3.28253784, 1.48308754e-3, -7.57966669e-7, 2.09470555e-10, -2.16717794e-14, -1088.45772],
    [5.2451364, 1.9704204e-3, -8.0375769e-7, 1.5149969e-10, -1.0558004e-14, -3.7558227e4],
];

fn enthalpy(a: &Poly, t: f64) -> f64 {
    a[5] + t * (a[0] + t * (a[1] / 2.0 + t * (a[2] / 3.0 + t * (a[3] / 4.0 + t * (a[4] / 5.0)))))
}

fn heat_capacity(a: &Poly, t: f64) -> f64 {
    a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * a[4])))
}

/// A stream of gas: its polynomials are summed once, so that its enthalpy costs one evaluation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gas {
    /// Flows of the species, mol/s.
    pub moles: [f64; 5],
    low: Poly,
    high: Poly,
}

base::kept!(Gas { moles, low, high });

impl Gas {
    /// A stream of these species, mol/s.
    #[must_use]
    pub fn new(moles: [f64; 5]) -> Gas {
        let mut low = [0.0; 6];
        let mut high = [0.0; 6];
        for (i, n) in moles.iter().enumerate() {
            for k in 0..6 {
                low[k] += R * n * LOW[i][k];
                high[k] += R * n * HIGH[i][k];
            }
        }
        // Both ranges count from the reference temperature.
        let zero = enthalpy(&low, REFERENCE);
        low[5] -= zero;
        high[5] -= zero;
        Gas { moles, low, high }
    }

    /// Dry air, kg/s.
    #[must_use]
    pub fn air(flow: f64) -> Gas {
        let n = flow / AIR_MOLAR_MASS;
        Gas::new([0.0, 0.0, n * (1.0 - AIR_OXYGEN), n * AIR_OXYGEN, 0.0])
    }

    /// Enthalpy flow above 298.15 K, W.
    #[must_use]
    pub fn enthalpy(&self, t: f64) -> f64 {
        enthalpy(if t < 1000.0 { &self.low } else { &self.high }, t)
    }

    /// Heat capacity flow, W/K.
    #[must_use]
    pub fn heat_capacity(&self, t: f64) -> f64 {
        heat_capacity(if t < 1000.0 { &self.low } else { &self.high }, t)
    }

    /// The temperature at which the stream carries this enthalpy, K: Newton from `guess`, six
    /// iterations at most, to 1e-6 K.
    #[must_use]
    pub fn temperature(&self, enthalpy: f64, guess: f64) -> f64 {
        let mut t = guess;
        for _ in 0..6 {
            let step = (self.enthalpy(t) - enthalpy) / self.heat_capacity(t);
            t = (t - step).clamp(200.0, 4000.0);
            if step.abs() < 1e-6 {
                break;
            }
        }
        t
    }

    /// All moles, mol/s.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.moles.iter().sum()
    }

    /// A species as a part of the dry gas by volume; zero in no gas.
    #[must_use]
    pub fn dry_part(&self, species: usize) -> f64 {
        let dry = self.total() - self.moles[H2O];
        if dry > 0.0 { self.moles[species] / dry } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_ranges_meet_at_1000_k() {
        for (low, high) in LOW.iter().zip(&HIGH) {
            let (a, b) = (heat_capacity(low, 1000.0), heat_capacity(high, 1000.0));
            assert!((a / b - 1.0).abs() < 1e-3, "cp/R {a} {b}");
            let (a, b) = (enthalpy(low, 1000.0), enthalpy(high, 1000.0));
            assert!((a - b).abs() < 1.0, "h/R {a} {b} K");
        }
    }

    #[test]
    fn heats_of_formation_come_out() {
        // kJ/mol at 298.15 K: CODATA key values (Cox, Wagman, Medvedev 1989).
        let expected = [-393.51, -241.83, 0.0, 0.0, -296.81];
        for (low, e) in LOW.iter().zip(expected) {
            let h = enthalpy(low, REFERENCE) * R / 1e3;
            assert!((h - e).abs() < 0.05, "{h} {e}");
        }
    }

    #[test]
    fn temperature_inverts_enthalpy() {
        let g = Gas::new([10.0, 9.0, 80.0, 3.0, 0.1]);
        for t in [290.0, 600.0, 999.0, 1001.0, 2200.0] {
            assert!((g.temperature(g.enthalpy(t), 900.0) - t).abs() < 0.02, "{t}");
        }
    }
}
