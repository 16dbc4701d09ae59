//! Marking on recorded traces: runs of the shipped class are played once on the training vessel, everything
//! that a mark sheet looked at is kept tick by tick, and the traces are then changed and marked again.

mod properties;
mod trace;
