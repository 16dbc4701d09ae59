//! The surface condenser: shell, tubes, hotwell, air extraction, and the salt that a leak brings.
//!
//! The shell is a vessel of the steam net (`crate::steam`), which keeps its water, air and energy and finds
//! pressure and temperature from them: the steam's partial pressure is saturation at the shell's
//! temperature, the air's is added (Dalton), so that vacuum falls as air gathers. The tubes are the
//! vessel's wall ([`tubes`]). What condenses falls into the hotwell, an open tank of the condensate circuit
//! whose surface stands under the shell's pressure ([`shell`]). The vacuum pump draws from the coldest
//! place of the bundle ([`extraction`]). Salt follows the feed water on its way through tanks and drum ([`salt`]).
//!
//! Order within a tick: [`Condenser::set_wall`] and [`Condenser::inflow`] read the shell and the water side of
//! the tick before and set the wall and the inflow of the vessel; the steam net steps; [`Condenser::settle`] takes the heat that
//! went to the cooling water, which is put into its link on the next tick.

pub mod extraction;
pub mod salt;
pub mod shell;
pub mod tubes;

pub use extraction::{Draw, Suction, VacuumPump, VacuumPumpParams};
pub use salt::{Crossed as SaltCrossed, Salt, conductivity};
pub use shell::{Below, Condenser, ShellParams, Taken};
pub use tubes::{CoolingWater, Tubes, TubesParams};

#[cfg(test)]
mod tests;
