//! Where the assembled plant is taken hold of: what a control works, what a failing acts on, what a trip guards and what can
//! be hurt, each by an index of the part.

use super::LiquidLink;
use crate::fire_faults::FireFault;
use crate::instrument_faults::InstrumentFault;
use crate::steam::BranchId;

/// What a control works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Handle {
    /// A valve: open, shut, or its dial.
    Valve(usize),
    /// A pump: start, stop, and standby where it has one.
    Pump(usize),
    /// An electric heater: automatic, off.
    Heater(usize),
    /// A compressor: automatic, start, stop, reset.
    Compressor(usize),
    /// The fan, in manual burner management.
    Fan,
    /// The air damper: by hand or with the firing master, and its dial.
    Damper,
    /// Burner management in manual or automatic.
    BurnerMode,
    /// Burner start and stop in automatic.
    BurnerStart,
    /// Emergency stop: push, release.
    EmergencyStop,
    /// Reset of the trip.
    TripReset,
    /// Pilot and igniter in manual.
    Pilot,
    /// Which fuel: diesel oil or heavy oil.
    FuelChoice,
    /// Main fuel in manual.
    MainFuel,
    /// Firing master: manual or automatic, and its set point.
    FiringMode,
    /// Its output by hand.
    FiringOutput,
    /// Its limit on output.
    FiringLimit,
    /// A controller: manual or automatic, and its set point.
    LoopMode(usize),
    /// Its output by hand.
    LoopOutput(usize),
    /// A vacuum pump: start, stop.
    VacuumPump(usize),
    /// Single-element or three-element control of a level.
    LoopElements(usize),
    /// Something of the electrical plant.
    Electrical(crate::electrical_words::Hand),
    /// Something of the turbine.
    Turbine(crate::turbine_part::TurbineHandle),
}

/// What a failing acts on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// A valve sticks where it stands, or at its size.
    ValveSeized(usize),
    /// A shut valve passes its size of full flow.
    ValvePassing(usize),
    /// A pump's motor trips.
    PumpTrips(usize),
    /// A pump makes less head by its size.
    PumpWorn(usize),
    /// A pump's wheel is full of air.
    PumpAirLocked(usize),
    /// A pump's coupling has sheared.
    PumpSheared(usize),
    /// A pump's contactor does not close.
    PumpWillNotStart(usize),
    /// A standby start never acts: of a pump.
    StandbyDead(crate::parts::StandbyMachine),
    /// A strainer is choked by its size: a link.
    StrainerChoked(LiquidLink),
    /// A cooler is fouled: resistance added, by its size.
    CoolerFouled(usize),
    /// A compressor's motor trips.
    CompressorTrips(usize),
    /// A compressor loses a part of its delivery.
    CompressorWorn(usize),
    /// A compressor's unloader is stuck: it turns and delivers nothing.
    UnloaderStuck(usize),
    /// A volume of air leaks by its size.
    AirLeak(usize),
    /// The safety valve of a volume of air does not lift.
    AirSafetyStuck(usize),
    /// A valve moves slowly, by its size.
    ValveSluggish(usize),
    /// A pneumatic valve goes the other way without air.
    ValveWrongFail(usize),
    /// The element of an electric heater is burnt out.
    HeaterBurntOut(usize),
    /// A line, filter or reducing valve of air is choked by its size.
    AirChoked(usize),
    /// A dryer no longer takes the water out.
    DryerStopped(usize),
    /// The condenser's tubes are fouled by its size.
    CondenserFouled,
    /// A hole of its size in a tube of the condenser.
    CondenserTubeLeak,
    /// The condenser draws as much more air as its size.
    CondenserDrawsAir,
    /// A vacuum pump's motor trips.
    VacuumPumpTrips(usize),
    /// A vacuum pump takes less by its size.
    VacuumPumpWorn(usize),
    /// A bearing of a vacuum pump is hot and takes its size of the motor's power.
    VacuumPumpBearing(usize),
    /// A vacuum pump's contactor does not close.
    VacuumPumpWillNotStart(usize),
    /// A bearing of a pump is hot and takes its size of the motor's power.
    PumpBearing(usize),
    /// A compressor's contactor does not close.
    CompressorWillNotStart(usize),
    /// A bearing of a compressor is hot and takes its size of the motor's power.
    CompressorBearing(usize),
    /// A steam trap is blocked by its size.
    TrapBlocked(BranchId),
    /// The outside of a heating coil is fouled by its size.
    CoilFouled(usize),
    /// Water runs through a hole of its size from one side of a cooler to the other.
    CoolerTubeLeak(usize),
    /// The safety valve of a volume of air lifts early by its size.
    AirSafetyEarly(usize),
    /// The safety valve of a volume of air does not reseat once it has lifted.
    AirSafetyHolds(usize),
    /// The line from a volume of air has parted.
    AirParted(usize),
    /// Something of the fire side of the boiler.
    Fire(FireFault),
    /// Something of an instrument.
    Instrument(InstrumentFault),
    /// Something of the electrical plant.
    Electrical(crate::electrical_words::Failure),
    /// Something of the turbine.
    Turbine(crate::turbine_part::TurbineFault),
    /// A transmitter's signal stands still.
    TransmitterFrozen(usize),
    /// A transmitter's signal is off by its size.
    TransmitterOffset(usize),
}

/// Which part a trip guards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Guard {
    /// The boiler's burner management.
    Boiler,
    /// A compressor, against heat.
    Compressor(usize),
    /// The turbine's trip gear.
    Turbine,
    /// The relays of a generator.
    Relays(usize),
    /// A diesel engine, by its set.
    Engine(usize),
    /// The relay of a shore supply.
    Shore(usize),
}

/// Something that can be hurt, by what.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hurt {
    /// The drum's shell.
    Shell,
    /// The risers.
    Tubes,
    /// The superheater.
    Superheater,
    /// The furnace casing.
    Casing,
    /// The condenser's tubes.
    Condenser,
    /// Something of the turbine.
    Turbine(crate::turbine_part::TurbineHurt),
    /// Windings and coupling of a set.
    Windings(usize),
    /// Bearings of a set's engine.
    EngineBearings(usize),
    /// Liners and pistons of a set's engine.
    Liners(usize),
    /// Insulation of a generator, by heat.
    Insulation(usize),
    /// A steam line, by water hammer.
    Line(usize),
    /// The shaft seal of a pump that has a casing.
    Seal(usize),
}
