//! Water and steam: IAPWS-IF97 (IAPWS R7-97(2012)) from embedded tables.
//!
//! | what | how | largest error against IF97 (held by the tests) |
//! | --- | --- | --- |
//! | saturation pressure | cubic spline of its fourth root over temperature, 2.5 K a cell | 1e-8 |
//! | saturated liquid | cubic splines | volume 2e-8, energy 0.008 J/kg |
//! | saturated vapour | cubic splines, `p v / R T` and energy | volume 3e-8, energy 1e-8 |
//! | compressed liquid | a cubic in `p - p_sat`, its coefficients splines over temperature | volume 1e-7 and energy 0.05 J/kg to 40 bar; 2.5e-7 and 0.15 J/kg to 120 bar |
//! | superheated vapour | bicubic over temperature and `p` as a part of saturation pressure | volume 1.5e-6, enthalpy 6e-7; below 80 bar 4e-7 |
//! | vapour above 873.15 K | departures from the ideal gas that fade | to 30 bar volume 5e-4, energy 4e-4; in proportion above |
//!
//! The vapour's row at saturation is the saturation line's own column, so both meet to rounding, and at
//! low pressure the vapour is the ideal gas without remainder, so that a cold space full of air works.
//! No transcendental function is called. The tables' generator is `examples/make_water_tables.rs`.
//!
//! Below 0 degC `cold` goes on to -80 degC with the ideal gas and super-cooled water, less exactly.
//!
//! Range: 273.15 K to 598.15 K on the line and for the liquid up to 130 bar; the vapour to 1473.15 K and
//! 120 bar. Inside it every function is continuous with its slopes. Outside, the last cell goes on, so
//! that an iteration may look there; [`in_range`] tells whether a result may be used.
//! Units: Pa, K, m3/kg, J/kg; energy is zero for the liquid at the triple point.

mod cold;
mod entropy;
mod phase;
mod saturation;
pub mod tables;

pub use cold::T_COLD;
pub(crate) use entropy::end_of_expansion;
pub use entropy::{enthalpy_of_entropy, entropy, entropy_of_liquid, entropy_of_steam};
pub use phase::{Phase, liquid, liquid_from, liquid_t_of_h, vapour, vapour_t_of_h};
pub(crate) use saturation::line_at_t;
pub use saturation::{Saturation, p_sat, saturation_at_p, saturation_at_t, t_sat};

/// Lowest temperature of the tables, K; below it water freezes, which is not modelled.
pub const T_MIN: f64 = 273.15;
/// Highest temperature of the saturation line and the liquid, K.
pub const T_MAX_LIQUID: f64 = 598.15;
/// Highest temperature of the vapour, K.
pub const T_MAX: f64 = 1473.15;
/// Highest pressure, Pa.
pub const P_MAX: f64 = 12.0e6;

/// Whether the tables hold at this pressure, Pa, and temperature, K.
#[must_use]
pub fn in_range(p: f64, t: f64) -> bool {
    (0.0..=P_MAX).contains(&p) && (T_MIN..=T_MAX).contains(&t)
}

#[cfg(test)]
mod tests;
