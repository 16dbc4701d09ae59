//! The electrical plant: what turns, what makes voltage, what joins it to a bus, and what guards it.
//!
//! Units are SI: W, V (between lines, effective), A, VA, rad, s; speed of a shaft in rad/s. Inside a machine the
//! textbook's parts of its own rating are used, and every such field says so.

pub mod battery;
pub mod breaker;
pub mod engine;
pub mod excitation;
pub mod governor;
pub mod loads;
pub mod machine;
mod orders;
pub mod phasor;
pub mod protection;
pub mod set;
pub mod shaft;
pub mod shore;
pub mod switchboard;
pub mod synchronising;
#[cfg(test)]
mod tests;
pub mod windings;

pub use battery::{Battery, BatteryParams};
pub use breaker::{Breaker, BreakerFailing, BreakerParams};
pub use engine::{DieselEngine, EngineParams, EngineState, EngineTrips, Starting};
pub use excitation::{Excitation, ExcitationParams, RegulatorFailing};
pub use governor::{Governor, GovernorParams, Hunting, SpeedChanger};
pub use loads::{Consumer, ConsumerParams, Preferential, PreferentialParams, Shed};
pub use machine::{Machine, MachineParams};
pub use phasor::{Load, Phasor};
pub use protection::{Protection, ProtectionParams};
pub use set::{Diesel, EmergencyStart, GeneratingSet, Outside};
pub use shaft::{Shaft, Turned};
pub use shore::ShoreSupply;
pub use switchboard::{BoardParams, Bus, SUB_STEPS, Switchboard, Tie};
pub use synchronising::{Beside, Closure, Synchroniser, SynchroniserParams};
pub use windings::{Windings, WindingsParams};
