//! Figures of a test that a class has taken: its items, its reliability, how far markers agree, whose logs are alike.
//!
//! Whatever a class is too small or too even to say is `None`, with a [`Caution`] that says why: a figure
//! is never replaced by a bound or by nought. Rows of people may come in any order; the same people give the
//! same bits (the one exception is [`ItemFigures::upper_lower_in_order`], which says so).

pub mod agreement;
pub mod alike;
mod beta;
pub mod caution;
pub mod items;

pub use agreement::{AgreementFault, Cohen, Correlation, Fleiss, cohen, correlation, fleiss};
pub use alike::{Act, Alike, Likeness, alike, edits};
pub use beta::f_quantile;
pub use caution::Caution;
pub use items::{ItemAnalysis, ItemFigures, Reliability, analyse};

#[cfg(test)]
mod properties;
