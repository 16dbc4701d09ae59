//! Machines and what moves: motors, pumps, valves, strainers, tanks, exchangers, standby start.
//!
//! What stands in a liquid network knows its link there. On every tick:
//! 1. each machine's `step` takes its commands and what it needs to run, and moves;
//! 2. each machine's `drive` (pumps, valves, strainers) or `hold` (tanks) puts its state into the network;
//! 3. the network is solved;
//! 4. each machine's `load` reads its flow and puts its heat in (pumps, exchangers);
//! 5. the network carries the heat; tanks `take` what crossed their nodes.

pub mod actuator;
pub mod electric_heater;
pub mod exchanger;
pub mod heated_tank;
pub mod motor;
pub mod pump;
pub mod pump_casing;
pub mod standby;
pub mod strainer;
pub mod tank;
pub mod thermostat;
pub mod valve;

pub use actuator::{Actuator, ActuatorFailing, ActuatorParams, Drive, FailTo, Motive, Seized};
pub use electric_heater::{ElectricHeater, HeaterParams};
pub use exchanger::{Arrangement, Exchanger, ExchangerParams, Side};
pub use heated_tank::HeatedTank;
pub use motor::{Motor, MotorFailing, MotorParams};
pub use pump::{MotorPump, PumpFailing, PumpParams};
pub use pump_casing::{Casing, CasingParams};
pub use standby::{StandbyParams, StandbyStart};
pub use strainer::Strainer;
pub use tank::{OpenTank, TankParams};
pub use thermostat::{Thermostat, ThermostatParams};
pub use valve::{ThreeWayValve, Valve};

#[cfg(test)]
mod tests;
