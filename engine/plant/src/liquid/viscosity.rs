//! Viscosity of oils over temperature: lubricating oil and heavy fuel oil.
//!
//! Walther's equation in the form of ASTM D341: `log10(log10(v + 0.7)) = A - B log10(T)`, `v` the kinematic viscosity in mm2/s and `T` in K,
//! through two points. Valid from 2 mm2/s up and above the pour point (about -10 degC for such oils).
//! Units outside: m2/s, K.

use base::maths::{exp, ln, log10};
use core::f64::consts::LN_10;

/// An oil by its two constants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Walther {
    a: f64,
    b: f64,
}

impl Walther {
    /// Through two viscosities, m2/s, at two temperatures, K; `None` unless it thins with heat and both are in the equation's range.
    #[must_use]
    pub fn through(cold: (f64, f64), hot: (f64, f64)) -> Option<Walther> {
        if !(cold.0 < hot.0 && cold.1 > hot.1 && hot.1 >= 2e-6) {
            return None;
        }
        let w = |v: f64| log10(log10(v * 1e6 + 0.7));
        let (x, y) = (log10(cold.0), log10(hot.0));
        let b = (w(cold.1) - w(hot.1)) / (y - x);
        Some(Walther { a: w(cold.1) + b * x, b })
    }

    /// Heavy fuel oil of 380 mm2/s at 50 degC and 35 mm2/s at 100 degC: the grade RMG 380, with what its name had
    /// been at 100 degC (ISO 8217, from memory).
    pub const HEAVY_OIL: Walther = Walther { a: 9.273419583698066, b: 3.531396780482136 };

    /// Kinematic viscosity, m2/s, at a temperature, K.
    #[must_use]
    pub fn at(&self, t: f64) -> f64 {
        (exp(LN_10 * exp(LN_10 * self.a - self.b * ln(t))) - 0.7) * 1e-6
    }

    /// By what part it thins for a kelvin at a temperature, K, where it has this viscosity, m2/s: the slope of the very equation.
    #[must_use]
    pub fn thins(&self, t: f64, viscosity: f64) -> f64 {
        let v = viscosity * 1e6 + 0.7;
        self.b / t * ln(v) * v / (v - 0.7)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO VG 46 with a viscosity index near 100: 46 mm2/s at 40 degC and 6.8 at 100 (ISO 3448 and makers' sheets).
    fn vg46() -> Walther {
        Walther::through((313.15, 46e-6), (373.15, 6.8e-6)).unwrap()
    }

    #[test]
    fn it_goes_through_its_points_and_thins_with_heat() {
        let o = vg46();
        for t in [280.0, 313.15, 373.15] {
            let by_difference = (o.at(t - 1e-3) - o.at(t + 1e-3)) / 2e-3 / o.at(t);
            assert!((o.thins(t, o.at(t)) / by_difference - 1.0).abs() < 1e-6, "{t}");
        }
        assert!((o.at(313.15) - 46e-6).abs() < 1e-12 && (o.at(373.15) - 6.8e-6).abs() < 1e-12);
        for k in 0..100 {
            let t = 270.0 + f64::from(k);
            assert!(o.at(t) > o.at(t + 1.0));
        }
    }

    /// Between and outside: makers' viscosity charts of VG 46 oils read about 140 mm2/s at 20 degC, 28 to 30 at 50 and 14 at 70 (charts from memory).
    #[test]
    fn it_agrees_with_a_chart() {
        let o = vg46();
        for (c, low, high) in [(20.0, 115.0, 155.0), (50.0, 27.0, 32.0), (70.0, 13.0, 16.0)] {
            let v = o.at(273.15 + c) * 1e6;
            println!("{c} degC: {v} mm2/s");
            assert!((low..high).contains(&v), "{c} {v}");
        }
    }

    #[test]
    fn what_thickens_with_heat_is_refused() {
        assert!(Walther::through((313.15, 6e-6), (373.15, 46e-6)).is_none());
        assert!(Walther::through((373.15, 46e-6), (313.15, 6e-6)).is_none());
    }

    #[test]
    fn heavy_oil_is_what_its_grade_says_and_wants_the_usual_heating() {
        let v = Walther::through((323.15, 380e-6), (373.15, 35e-6)).unwrap();
        for t in [290.0, 323.15, 373.15, 410.0] {
            assert!((v.at(t) / Walther::HEAVY_OIL.at(t) - 1.0).abs() < 1e-9);
        }
        // 10 to 18 mm2/s want about 125 to 140 degC (common practice).
        assert!((12e-6..18e-6).contains(&v.at(398.15)) && (9e-6..13e-6).contains(&v.at(413.15)));
    }

    /// A worked example of ASTM D341 that is on public record: 32 mm2/s at 313 K and 5.4 at 373 K make A 9.5259,
    /// B 3.7449 and 8.5 mm2/s at 353 K.
    #[test]
    fn a_worked_example_of_the_standard() {
        let v = Walther::through((313.0, 32e-6), (373.0, 5.4e-6)).unwrap();
        assert!((v.a - 9.5259).abs() < 1e-3 && (v.b - 3.7449).abs() < 5e-4, "{v:?}");
        assert!((v.at(353.0) - 8.5e-6).abs() < 0.05e-6, "{}", v.at(353.0));
    }
}
