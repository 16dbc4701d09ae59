//! Darcy's friction factor of a full round pipe.
//!
//! Equations: laminar `f = 64/Re` up to Re 2000; Swamee and Jain
//! `f = 0.25 / log10(e/(3.7 D) + 5.74/Re^0.9)^2` from Re 4000 on; between them the cubic of
//! Dunlop as printed in the EPANET 2.2 manual (section "Analysis algorithms"), which joins both
//! with their slopes. Symbols: Re Reynolds number of the diameter, e/D relative roughness.
//! Valid range: e/D up to 0.05; Swamee and Jain stay within about 3 % of Colebrook there.

use base::maths::{ln, pow};

/// Upper end of the laminar range.
pub const RE_LAMINAR: f64 = 2000.0;
/// Lower end of the turbulent range.
pub const RE_TURBULENT: f64 = 4000.0;
/// ln 10.
const LN_10: f64 = std::f64::consts::LN_10;

/// What the friction factor of one pipe needs, worked out once from its relative roughness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// e/(3.7 D).
    rough: f64,
    /// The cubic's coefficients between Re 2000 and 4000, in powers of Re/2000.
    cubic: [f64; 4],
}

base::kept!(Friction { rough, cubic });

impl Friction {
    /// The pipe of this relative roughness e/D.
    #[must_use]
    pub fn new(relative_roughness: f64) -> Friction {
        let rough = relative_roughness / 3.7;
        let ab = 5.74 / pow(RE_TURBULENT, 0.9);
        let y2 = rough + ab;
        let y3 = -2.0 / LN_10 * ln(y2);
        let fa = 1.0 / (y3 * y3);
        // The manual prints 0.00514215 for 2 * 0.9 * 2 / ln 10 * 5.74 / 4000^0.9.
        let fb = (2.0 - 3.6 / LN_10 * ab / (y2 * y3)) * fa;
        let cubic =
            [7.0 * fa - fb, 0.128 - 17.0 * fa + 2.5 * fb, -0.128 + 13.0 * fa - 2.0 * fb, 0.032 - 3.0 * fa + 0.5 * fb];
        Friction { rough, cubic }
    }

    /// The factor and its slope `df/dRe` at a Reynolds number above zero.
    #[must_use]
    pub fn factor(&self, re: f64) -> (f64, f64) {
        if re <= RE_LAMINAR {
            (64.0 / re, -64.0 / (re * re))
        } else if re < RE_TURBULENT {
            let r = re / RE_LAMINAR;
            let [a, b, c, d] = self.cubic;
            (a + r * (b + r * (c + r * d)), (b + r * (2.0 * c + r * 3.0 * d)) / RE_LAMINAR)
        } else {
            let t = 5.74 * pow(re, -0.9);
            let y = self.rough + t;
            let l = ln(y) / LN_10;
            let f = 0.25 / (l * l);
            (f, f * 1.8 * t / (LN_10 * y * l) / re)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_ranges_join_with_their_slopes() {
        for e in [0.0, 1e-4, 1e-3, 1e-2] {
            let f = Friction::new(e);
            for (at, tolerance) in [(RE_LAMINAR, 1e-9), (RE_TURBULENT, 1e-6)] {
                let (below, slope_below) = f.factor(at * (1.0 - 1e-12));
                let (above, slope_above) = f.factor(at * (1.0 + 1e-12));
                assert!((below - above).abs() < tolerance, "{e} at {at}: {below} {above}");
                assert!(
                    (slope_below - slope_above).abs() * at < 1e-3 * below,
                    "{e} at {at}: {slope_below} {slope_above}"
                );
            }
        }
    }

    #[test]
    fn the_slope_is_the_derivative() {
        let f = Friction::new(2e-3);
        for re in [500.0, 2500.0, 3500.0, 5000.0, 1e5] {
            let d = re * 1e-5;
            let by_difference = (f.factor(re + d).0 - f.factor(re - d).0) / (2.0 * d);
            assert!((f.factor(re).1 / by_difference - 1.0).abs() < 1e-5, "Re {re}");
        }
    }

    mod checks {
        use super::super::Friction;

        #[test]
        fn pipe_friction() {
            let (path, text) = crate::check_data::read("pipe_friction.csv");
            let mut cases = 0;
            for line in text.lines().skip(1).filter(|l| !l.is_empty() && !l.starts_with('#')) {
                let v: Vec<f64> = line.split(',').map(|x| x.trim().parse().unwrap()).collect();
                let ours = Friction::new(v[1]).factor(v[0]).0;
                // Against Swamee and Jain within 1e-5 (the source writes 6.97^0.9 for 5.74), against Colebrook to the formula's own error.
                assert!((ours / v[4] - 1.0).abs() < 1e-5, "{line}: {ours}");
                assert!((ours / v[2] - 1.0).abs() < 0.035, "{line}: {ours}");
                cases += 1;
            }
            assert!(cases > 0);
            println!("{path}: {cases} cases compared");
        }
    }
}
