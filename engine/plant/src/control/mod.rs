//! Control and protection: what acts on signals.

pub mod pi;
pub mod three_element;
pub mod trip;

pub use crate::instruments::{Acts, Threshold, ThresholdParams};
pub use pi::{Action, Mode, PiController, PiParams};
pub use three_element::{Elements, ThreeElement, ThreeElementParams};
pub use trip::{CauseParams, TripUnit};
