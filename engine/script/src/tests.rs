//! Scripts as test data: each file in `cases` says in its comments what is to be found in it.

mod cases;
mod compiled;
mod determinism;
mod examples;
mod meaning;
mod stories;
mod vessel;
mod worked;

use crate::{Authored, Input, Sources, author};
use base::Diagnostic;

/// Runs one script on the test vessel.
fn run(text: &str) -> Result<Authored, Vec<Diagnostic>> {
    author(&Input::new(Sources::one("test.lua", text), vessel::names()))
}

/// An exercise of this body.
fn with_heading(body: &str) -> String {
    format!("exercise {{ title = \"T\", plant = \"demo\", start = \"cold\", lasts = \"10 min\" }}\n{body}")
}
