//! Deterministic maths: the only door to transcendental functions.
//!
//! Every function here is the pure-Rust `libm` at a pinned version, so that the same input gives
//! the same bits whatever C library or processor the program meets. `.clippy.toml` bans the
//! standard library's versions everywhere. `+ - * /` and `sqrt` are exact by IEEE 754 and need no
//! wrapper.

/// e to the power `x`.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}
/// `exp(x) - 1`, accurate near zero.
#[must_use]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}
/// Natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}
/// `ln(1 + x)`, accurate near zero.
#[must_use]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}
/// Logarithm to base ten.
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}
/// `x` to the power `y`.
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}
/// `x` to the power `y` for positive `x` (and nothing for `x` nothing, `y` positive), as `exp(y ln x)`: less than half
/// the work of [`pow`], and for powers of ordinary size a few units in the last place less exact. What an equation
/// with measured coefficients wants on every tick.
#[must_use]
pub fn power(x: f64, y: f64) -> f64 {
    exp(y * ln(x))
}
/// Square root (exact by IEEE 754).
#[must_use]
pub fn sqrt(x: f64) -> f64 {
    x.sqrt()
}
/// Cube root.
#[must_use]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}
/// Sine of an angle in radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}
/// Cosine of an angle in radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}
/// Sine and cosine of an angle in radians, the same bits as each by itself.
#[must_use]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}
/// Tangent of an angle in radians.
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}
/// Arc sine, radians.
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}
/// Arc cosine, radians.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}
/// Arc tangent, radians.
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}
/// Arc tangent of `y / x`, radians, in the right quadrant.
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}
/// Hyperbolic tangent.
#[must_use]
pub fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}
/// Error function, for smooth blends and statistics.
#[must_use]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}
/// Natural logarithm of the gamma function, for statistics; `x` above zero.
#[must_use]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sine_and_cosine_together_are_the_bits_of_each() {
        for k in -200_000..200_000 {
            let x = f64::from(k) * 1.7e-4;
            let (sine, cosine) = sin_cos(x);
            assert_eq!((sine.to_bits(), cosine.to_bits()), (sin(x).to_bits(), cos(x).to_bits()), "{x}");
        }
    }

    #[test]
    fn a_power_of_a_positive_number_is_that_of_pow_but_for_rounding() {
        let mut worst = 0.0f64;
        for k in 1..20_000 {
            let x = f64::from(k) * 1e-3;
            for y in [-0.9, 0.2857, 0.6, 0.8, 1.0 / 1.1, 1.7, 2.0] {
                worst = worst.max((power(x, y) / pow(x, y) - 1.0).abs());
            }
        }
        assert!(worst > 0.0 && worst < 4e-15, "{worst:e}");
        assert_eq!(power(0.0, 0.8), 0.0);
        assert!(power(-1.0, 0.8).is_nan());
    }
}
