//! The plant proved from outside: what it holds against what crossed, practice, the same bits.

mod determinism;
mod hand;
mod inventory;
mod ledger;
mod mended;
mod practice;
mod random;
mod script;
mod weather;
