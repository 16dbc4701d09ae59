//! One run: actions, faults, the tick's order, events, prepared states, checkpoints.
//!
//! Purpose: take an exercise as plain data and actions in tick order, run plant, faults, panel and
//! monitors together, and leave a record.
//!
//! Must not know: Lua, files, threads, wall clock, marks.

pub mod exercise;
pub mod port;

pub use exercise::{Exercise, FaultPlan, Moment, Start};
pub use port::{Command, Story, StoryFailure, View, Wait};
