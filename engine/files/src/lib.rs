//! placeholder

pub mod verdicts;
