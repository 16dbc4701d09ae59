//! The switchboard as a whole: against sources outside the project, conservation, and what hands do with it.

mod balance;
mod bench;
mod blackout;
mod parallel;
mod swing;
mod synchronising;
