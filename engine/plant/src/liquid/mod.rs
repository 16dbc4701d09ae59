//! Liquid systems: sea water, cooling water, fuel, feed water.
//!
//! A [`Network`] is built once by a [`NetworkBuilder`]; on every tick its settings are given, then
//! [`Network::solve`] finds flows and heads and [`Network::carry`] moves the heat along.

mod elimination;
pub mod fluid;
pub mod friction;
pub mod layout;
pub mod link_law;
pub mod network;
pub mod pump_curve;
mod settings;
pub mod transport;
pub mod valve_law;
pub mod viscosity;

pub use fluid::Fluid;
pub use layout::{GRAVITY, LinkId, LinkKind, LinkParams, Mistake, NetworkBuilder, NodeId};
pub use link_law::Setting;
pub use network::{Effort, Network, Trouble};
pub use pump_curve::PumpCurve;
pub use transport::Account;
pub use valve_law::Characteristic;
pub use viscosity::Walther;

#[cfg(test)]
mod tests;
