//! The electrical plant in a small plant of its own: what hands and failings do there, and its ledger.

mod ledger;
mod operation;
pub mod ship;
