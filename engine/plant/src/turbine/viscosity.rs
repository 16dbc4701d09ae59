//! Viscosity of lubricating oil over temperature.
//!
//! Walther's equation in the form of ASTM D341: `log10(log10(v + 0.7)) = A - B log10(T)`, `v` the kinematic viscosity in mm2/s and `T` in K,
//! through two points. Valid from 2 mm2/s up and above the pour point (about -10 degC for such oils).
//! Units outside: m2/s, K.

use base::maths::{log10, pow};

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

    /// Kinematic viscosity, m2/s, at a temperature, K.
    #[must_use]
    pub fn at(&self, t: f64) -> f64 {
        (pow(10.0, pow(10.0, self.a - self.b * log10(t))) - 0.7) * 1e-6
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
}
