//! Mark sheet and run into verdicts, marks and feedback; class statistics.
//!
//! Must not know: Lua, html.

pub mod verdict;

pub use verdict::{Outcome, RunResult, Verdict};
