//! The boiler: furnace and its air, burner and its management, drum, superheater.
//!
//! Every part is a plain struct with documented figures (SI), stepped once a tick; none knows another.
//! The order in which a plant calls them, each tick of 0.1 s:
//!
//! 1. controls and protection, on signals: [`FiringMaster::step`] (no [`FiringMaster::fire_wanted`] is the
//!    management's `hold_off`), then [`BurnerManagement::step`], whose
//!    orders go to fan, damper, igniter and fuel valves;
//! 2. air: [`Draught::step`] with the stack temperature of the tick before;
//! 3. fire: [`Burner::step`] with the fuel that the fuel system brings, then [`Furnace::step`] with the
//!    burner's lit and unlit fuel; when [`Furnace::blown_out`], or while a burst tube
//!    blows ([`Tubes::burst`]), [`Burner::blow_out`];
//! 4. metals: [`Superheater::step`] gives the heat for the superheater's steam volume, [`Drum::warm`] the
//!    heats of risers and shell for the drum's contents (a vessel of the steam net whose metal is what
//!    follows the water, [`sizing::WATER_METAL`]);
//! 5. contents: the steam net steps the drum's vessel with these heats, feed, and the steam that leaves
//!    (of [`Drum::moisture`] from the tick before); a burst tube opens [`Tubes::leak_area`] to the furnace;
//! 6. [`Drum::distribute`] with the new equilibrium of the vessel and the flows of the tick: quality,
//!    bubbles, levels, wetted parts;
//! 7. damage, read from the parts' [`crate::damage::Damage`] entries.
//!
//! [`sizing`] holds the figures of our own boiler.

pub mod atomiser;
pub mod burner;
pub mod carry_over;
pub mod circulation;
pub mod combustion;
pub mod draught;
pub mod drum;
pub mod firing;
pub mod fuel;
pub mod furnace;
pub mod gas;
pub mod level;
pub mod management;
pub mod shell;
pub mod sizing;
pub mod superheater;
pub mod tubes;
pub mod vapour;

pub use atomiser::AtomiserParams;
pub use burner::{Burner, BurnerFailings, BurnerInput, BurnerParams};
pub use draught::{Draught, DraughtParams, Purge, PurgeParams};
pub use drum::{Bubbles, Drum, DrumFlows, DrumParams, DrumState};
pub use firing::{FiringMaster, FiringParams};
pub use fuel::Fuel;
pub use furnace::{Furnace, FurnaceHeat, FurnaceInput, FurnaceParams};
pub use level::DrumShape;
pub use management::{BurnerManagement, BurnerOrders, BurnerSignals, BurnerState, ManagementParams, TripCause};
pub use shell::{Shell, ShellParams};
pub use superheater::{Superheater, SuperheaterParams};
pub use tubes::{Tubes, TubesParams};

#[cfg(test)]
mod tests;
