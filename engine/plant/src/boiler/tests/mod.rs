//! Tests of the parts together, and against data from outside.

mod bench;
mod checks;
mod fire;
mod handovers;
mod raise_steam;
mod salt;
