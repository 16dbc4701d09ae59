//! A compressible net: vessels of water, steam and air joined by branches, solved together once a tick.
//!
//! Each vessel keeps water, air and energy (`crate::vessel`); each branch carries a flow that follows
//! from the pressures at its ends (`law`), with what its donor gives (`stream`): gas, liquid, or both.
//! One tick is one implicit Euler step of all vessels at once, by Newton's method with exact slopes:
//! pressures, flows, convected enthalpy and air fraction are all taken at the end of the tick, so that a
//! volume that is filled and emptied many times in a tick is simply quasi-steady. The flows that come out
//! of the last linear solution are the ones that move the contents, the same number out of one vessel and
//! into the other, so that mass, air and energy close to rounding whatever the iteration did.
//!
//! Iterations are counted, not timed: up to 8, and where they do not converge (a regime ends, a valve slams) the
//! tick is cut in 2, 4, ... 1024 equal parts; [`SteamNet::effort`] tells how much was needed.
//! Everything a step starts from is in the net and cloned with it. Nothing is allocated on a tick.
//!
//! Assumptions: no inertia of the flow (no waves), kinetic energy within the enthalpy; contents of a
//! vessel mixed, but for the liquid at its bottom. Units: SI; flow coefficients Kv in m3/h.

mod blocks;
mod branch;
mod build;
mod hammer;
mod law;
mod net;
mod node;
mod states;
mod step;
mod stream;

pub use branch::{Branch, BranchSpec, Draws, SafetyFailing, SafetyValve};
pub use build::{Builder, Mistake};
pub use hammer::{Hammer, HammerParams};
pub use law::{Characteristic, Way, kv_flow, stages_kv};
pub use net::{BranchId, Effort, Ledger, NodeId, SteamNet, Trouble};
pub use node::{Gives, Inflow, Outside, Wall};
pub use stream::Stream;

#[cfg(test)]
mod tests;
