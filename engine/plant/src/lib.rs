//! What is true: the plant core.
//!
//! Purpose: water and steam properties, vessels, flow networks over a petgraph graph, machines, the
//! boiler, transmitters and switches, controllers, protection, damage; one fixed-step tick.
//!
//! Must not know: the panel, faults as stories, Lua, files.

pub mod affects;
pub mod air;
mod air_net;
mod assembly;
pub mod boiler;
#[cfg(test)]
#[allow(dead_code)] // every part's tests use some of it
mod check_data;
pub mod condenser;
mod condenser_part;
pub mod control;
mod control_pass;
mod cooler_leak;
mod cooling_part;
pub mod damage;
pub mod electrical;
mod electrical_part;
#[cfg(test)]
mod electrical_tests;
mod electrical_words;
mod fire_faults;
mod heavy_oil_part;
mod instrument_faults;
pub mod instruments;
pub mod ledger;
pub mod liquid;
pub mod machines;
mod orders;
mod parts;
mod passes;
pub mod plant;
mod reading;
pub mod registry;
mod round;
#[cfg(test)]
mod small_plant;
pub mod steam;
mod surroundings;
pub mod turbine;
mod turbine_part;
pub mod vessel;
pub mod water;

pub use plant::Plant;
pub use registry::{ControlId, FailingId, Order, PointId};
