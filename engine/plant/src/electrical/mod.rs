//! The electrical plant: what turns, what makes voltage, what joins it to a bus, and what guards it.
//!
//! Units are SI: W, V (between lines, effective), A, VA, rad, s; speed of a shaft in rad/s. Inside a machine the
//! textbook's parts of its own rating are used, and every such field says so.

pub mod shaft;

pub use shaft::{Shaft, Turned};
