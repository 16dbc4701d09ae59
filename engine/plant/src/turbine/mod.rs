//! The steam turbine of a turbo-generator and its lube oil.
//!
//! | part | file |
//! | --- | --- |
//! | what a kilogram of steam gives up, windage | `expansion` |
//! | rotor and casing metal, thermal stress, differential expansion | `metal` |
//! | bow of the rotor | `bow` |
//! | vibration | `vibration` |
//! | bearings | `bearing` |
//! | oil: viscosity, pressure, tank, pumps, filters, cooler | `viscosity`, `pressure`, `oil` |
//! | turning gear | `turning` |
//! | governor, stop valve | `governor` |
//! | trip gear | `protection` |
//! | all of it in one tick; with the steam net | `machine`, `set` |
//!
//! Flow through the stages is Stodola's ellipse as a branch of the steam net (`steam::Way::Stages`).

pub mod bearing;
pub mod bow;
pub mod expansion;
pub mod governor;
pub mod machine;
pub mod metal;
pub mod oil;
pub mod pressure;
pub mod protection;
pub mod set;
pub mod sizing;
pub mod turning;
pub mod vibration;
pub use crate::liquid::viscosity;

pub use expansion::{Expansion, ExpansionParams};
pub use governor::{Changer, Governor, GovernorParams};
pub use machine::{Pull, Turbine, TurbineParams};
pub use oil::{Oil, OilParams};
pub use protection::{Protection, TurbineCause, Watched};
pub use set::{TurbineSet, Ways};
pub use turning::TurningGear;

#[cfg(test)]
mod tests;
