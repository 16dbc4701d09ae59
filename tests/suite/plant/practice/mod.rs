//! Practice of the trade on this plant: done that way it works and hurts nothing; done otherwise, the physics answers.
//!
//! All of it is common practice with no published source: rules on order, direction and protection, checked as
//! comparisons and never to the digit.
//!
//! | about | well | otherwise, and what comes of it |
//! | --- | --- | --- |
//! | cooling before heat | `cooling` diesel, `services` compressor, `condenser` vacuum | compressors and diesel trip hot, the dump is shut by its guard, `warming` the bearings trip, `air` the generators get hot |
//! | fresh-water temperature | `services` held within 1.5 K, at other set points too | `services` on the by-pass compressor and diesel trip hot, and the ship goes dark; `air` the valve fails to the coolers |
//! | change-over of pumps | `cooling` both circuits | the header is lost |
//! | air | `cooling` cut-in and cut-out, `services` | `air` each valve to its fail position, the fire stopped; no movement without air; hot without water; the safety valve lifts |
//! | water before lighting up | `water` swell, `steaming` glass beside transmitter | past its alarm |
//! | purge | `boiler`, `fire` | a puff that hurts; no credit through a shut damper |
//! | lighting up | `boiler` by the sequence, `fire` by hand | `heavy_oil` smoke and a lost flame; a trip that latches |
//! | warming a boiler | `boiler` | strained metal |
//! | drum vent | `boiler`, `steaming` | air kept in; time lost |
//! | superheater | `boiler` | overheated |
//! | first consumer | `boiler`, `lines` | `steaming` pressure and level thrown; hammer |
//! | automatic firing and level | `boiler`, `condenser` load steps | `steaming` strained metal |
//! | leaving a boiler | `steaming` an hour on automatic | the low-water trip |
//! | vacuum | `condenser`, `turbine` | poor vacuum, lost vacuum, trip |
//! | turbine lube oil | `turbine`, `warming` | no turning; trips on pressure and bearings, wiped bearings |
//! | turning and warming | `turbine`, `warming` | bow and vibration, strain, water through the blades |
//! | run-up | `turbine`, `warming` | dwelling trips on vibration |
//! | synchronising | `electrical` by hand and by the automatic | refused by the relay; hurt when that is by-passed |
//! | after closing | `electrical`, `turbine`, `warming` | reverse power, diesel and turbine |
//! | a dark lamp | shown, not physics: the shipped packs | - |
//!
//! Whole orders that come through unharmed: the logs of the prepared states (steam first, then the diesel in the shore's
//! place), the model run of `scenarios/turbine-on-the-board` (the diesel first), and the two of `turbine`.

mod air;
mod boiler;
mod condenser;
mod cooling;
mod electrical;
mod fire;
mod heavy_oil;
mod lines;
mod services;
mod steaming;
mod turbine;
mod warming;
mod water;
