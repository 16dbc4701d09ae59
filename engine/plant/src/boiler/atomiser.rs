//! How well a lance atomises heavy oil with steam or air.
//!
//! Equations: goodness `g = gp gv` between 0 (a jet) and 1; `gp` rises in a straight line from the pressure of the
//! atomising medium over the furnace at which nothing is atomised to the one at which it is good; `gv` falls
//! with the logarithm of the oil's viscosity from 1 where it is good to 0 where it is not atomised at all.
//! That such burners want oil of some 15 to 25 mm2/s is common practice; the form is our own choice.
//! Units: Pa, m2/s.

use base::maths::ln;

/// Figures of a lance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtomiserParams {
    /// Pressure over the furnace at which nothing is atomised, and at which it is good, Pa.
    pub pressure: (f64, f64),
    /// Viscosity up to which it is good, and from which nothing is atomised, m2/s.
    pub viscosity: (f64, f64),
}

impl AtomiserParams {
    /// Goodness at a pressure over the furnace (Pa) and a viscosity (m2/s).
    #[must_use]
    pub fn goodness(&self, pressure: f64, viscosity: f64) -> f64 {
        let (least, good) = self.pressure;
        let by_pressure = ((pressure - least) / (good - least)).clamp(0.0, 1.0);
        let (thin, thick) = self.viscosity;
        let by_viscosity = (1.0 - ln(viscosity / thin) / ln(thick / thin)).clamp(0.0, 1.0);
        by_pressure * by_viscosity
    }
}

#[cfg(test)]
mod tests {
    use super::AtomiserParams;

    #[test]
    fn thick_oil_or_weak_steam_is_not_atomised() {
        let a = AtomiserParams { pressure: (1e5, 4e5), viscosity: (20e-6, 120e-6) };
        assert_eq!(a.goodness(5e5, 12e-6), 1.0);
        assert_eq!(a.goodness(1e5, 12e-6), 0.0);
        assert_eq!(a.goodness(5e5, 380e-6), 0.0);
        let between = a.goodness(5e5, 49e-6);
        assert!((0.4..0.6).contains(&between), "half way by the logarithm: {between}");
        assert!(a.goodness(2.5e5, 12e-6) < 0.51);
    }
}
