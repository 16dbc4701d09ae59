//! Temporal-logic monitors with robustness: pure mathematics over samples.
//!
//! Purpose: the formula type, the online monitors that evaluate formulas tick by tick with bounded
//! memory, and what they found.
//!
//! Must not know: plants, files, Lua.

pub mod formula;

pub use formula::{Comparison, Formula, Interval, Signal};
