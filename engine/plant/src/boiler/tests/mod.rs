//! Tests of the parts together, and against data from outside.

mod checks;
mod fire;
