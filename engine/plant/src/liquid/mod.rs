//! Liquid systems: sea water, cooling water, fuel, feed water.

pub mod fluid;
pub mod friction;

pub use fluid::Fluid;
