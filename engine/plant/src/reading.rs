//! What an instrument looks at: a true value of the parts, by an index.

use crate::assembly::{LiquidLink, LiquidNode};
use crate::boiler::TripCause;
use crate::parts::{BoilerPart, Parts};
use crate::steam::{BranchId, NodeId};
use crate::turbine_part::TurbineReading;

/// One thing that is true of the parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Source {
    /// Pressure of a node of a circuit, Pa.
    LiquidPressure(LiquidNode),
    /// Temperature there, K.
    LiquidTemperature(LiquidNode),
    /// Kinematic viscosity there, m2/s.
    LiquidViscosity(LiquidNode),
    /// Flow along a link, kg/s.
    LiquidFlow(LiquidLink),
    /// Level of an open tank above its bottom, m.
    TankLevel(usize),
    /// Its temperature, K.
    TankTemperature(usize),
    /// Temperature of a tank that only holds heat, K.
    HeatedTank(usize),
    /// Pressure of a node of the steam net, Pa.
    SteamPressure(NodeId),
    /// Temperature there, K.
    SteamTemperature(NodeId),
    /// Flow through a branch, kg/s.
    SteamFlow(BranchId),
    /// Lift of a safety valve, 0 or 1 once off its seat.
    SafetyLifted(BranchId),
    /// Position of a valve, 0 to 1.
    ValvePosition(usize),
    /// A valve's open limit switch.
    ValveOpen(usize),
    /// A valve's shut limit switch.
    ValveShut(usize),
    /// A pump's motor runs.
    PumpRuns(usize),
    /// An electric heater heats.
    Heats(usize),
    /// Temperature of the element of an electric heater, K.
    HeaterElement(usize),
    /// Temperature of the casing of a pump, K.
    PumpCasing(usize),
    /// Electric power of a pump's motor, W.
    PumpPower(usize),
    /// A compressor runs.
    CompressorRuns(usize),
    /// Discharge temperature of a compressor, K.
    CompressorDischarge(usize),
    /// Pressure in a volume of air, Pa.
    AirPressure(usize),
    /// Temperature there, K.
    AirTemperature(usize),
    /// Water that has collected there, kg.
    AirWater(usize),
    /// Flow along a way of air, kg/s.
    AirFlowOf(usize),
    /// A vacuum pump's motor runs.
    VacuumPumpRuns(usize),
    /// Something of the turbine.
    Turbine(TurbineReading),
    /// Conductivity of the water at a node of the feed circuit, S/m.
    Conductivity(LiquidNode),
    /// Conductivity of the drum's water, S/m.
    DrumConductivity,
    /// Something of the electrical plant.
    Electrical(crate::electrical_words::Reading),
    /// The fan's motor runs.
    FanRuns,
    /// Combustion air, kg/s.
    AirFlow,
    /// Air damper, 0 to 1.
    Damper,
    /// Furnace over atmosphere, Pa.
    FurnacePressure,
    /// Oxygen in the dry flue gas, part of volume.
    Oxygen,
    /// Opacity at the stack, 0 to 1.
    Smoke,
    /// Flue gas at the stack, K.
    StackTemperature,
    /// Level in the drum as it stands, swollen, m from normal.
    DrumLevel,
    /// Level that a glass outside the drum shows, m from normal.
    GaugeGlass,
    /// Inner less outer half of the drum's shell, K.
    ShellDifference,
    /// Superheater tubes, K.
    SuperheaterMetal,
    /// A flame burns, pilot or main.
    Flame,
    /// The scanner says flame.
    FlameSignal,
    /// The pilot burns.
    Pilot,
    /// The purge is credited.
    Purged,
    /// This was the first cause of the boiler's latched trip.
    FirstCause(TripCause),
}

impl Source {
    /// Its value now, SI; truth values are 0 and 1.
    #[inline]
    pub fn read(self, p: &Parts) -> f64 {
        let truth = |b: bool| f64::from(u8::from(b));
        match self {
            Source::LiquidPressure(n) => p.circuits[n.circuit].pressure(n.node),
            Source::LiquidTemperature(n) => p.circuits[n.circuit].temperature(n.node),
            Source::LiquidFlow(l) => p.circuits[l.circuit].mass_flow(l.link),
            Source::TankLevel(i) => p.tanks[i].tank.level(),
            Source::TankTemperature(i) => p.tanks[i].tank.temperature(),
            Source::HeatedTank(i) => p.heated_tanks[i].temperature(),
            Source::SteamPressure(n) => p.steam.p(n),
            Source::SteamTemperature(n) => p.steam.t(n),
            Source::SteamFlow(n) => p.steam.flow(n),
            Source::SafetyLifted(n) => truth(p.steam.branch(n).opening() > 0.0),
            Source::ValvePosition(i) => p.valves[i].actuator.position(),
            Source::ValveOpen(i) => truth(p.valves[i].actuator.is_open().0 > 0.5),
            Source::ValveShut(i) => truth(p.valves[i].actuator.is_shut().0 > 0.5),
            Source::PumpRuns(i) => truth(p.pumps[i].pump.turns()),
            Source::Heats(i) => truth(p.heaters[i].heater.power() > 0.0),
            Source::HeaterElement(i) => p.heaters[i].heater.temperature(),
            Source::PumpPower(i) => p.pumps[i].pump.motor.electric_power(),
            Source::AirPressure(i) => p.air.vessels[i].receiver.pressure(),
            Source::AirTemperature(i) => p.air.vessels[i].receiver.temperature(),
            Source::AirWater(i) => p.air.vessels[i].receiver.water(),
            Source::AirFlowOf(i) => p.air.ways[i].flow,
            Source::Turbine(what) => p.turbine.as_ref().map_or(0.0, |t| t.read(what)),
            Source::Electrical(what) => p.electrical.as_ref().map_or(0.0, |e| e.read(what)),
            _ => self.read_seldom(p),
        }
    }

    /// What is looked at in few places. Apart, so that the many have a short way.
    #[inline(never)]
    fn read_seldom(self, p: &Parts) -> f64 {
        let truth = |b: bool| f64::from(u8::from(b));
        match self {
            Source::LiquidViscosity(n) => p.circuits[n.circuit].viscosity_at(n.node),
            Source::PumpCasing(i) => p.pumps[i].pump.casing.as_ref().map_or(p.ambient, |c| c.temperature()),
            Source::CompressorRuns(i) => truth(p.air.machines[i].compressor.motor.is_running()),
            Source::CompressorDischarge(i) => p.air.machines[i].compressor.discharge_temperature(),
            Source::VacuumPumpRuns(_) | Source::Conductivity(_) | Source::DrumConductivity => {
                p.condenser.as_ref().map_or(0.0, |c| c.read(self, p))
            }
            // The assembly makes no such source for a plant without the part.
            _ => p.boiler.as_ref().map_or(0.0, |b| self.read_boiler(b, p.ambient)),
        }
    }

    fn read_boiler(self, b: &BoilerPart, ambient: f64) -> f64 {
        let truth = |b: bool| f64::from(u8::from(b));
        match self {
            Source::FanRuns => truth(b.fan_on && !b.draught.failings.fan_dead),
            Source::AirFlow => b.draught.flow(),
            Source::Damper => b.draught.damper(),
            Source::FurnacePressure => b.draught.furnace_pressure() + b.furnace.puff().map_or(0.0, |x| x.overpressure),
            Source::Oxygen => b.furnace.oxygen(),
            Source::Smoke => b.furnace.smoke().max(b.furnace.white_smoke()),
            Source::StackTemperature => b.furnace.stack_temperature(),
            Source::DrumLevel => b.drum.level(),
            Source::GaugeGlass => b.drum.gauge_glass(GLASS.0, GLASS.1, ambient),
            Source::ShellDifference => b.drum.shell.as_ref().map_or(0.0, |s| s.difference()),
            Source::SuperheaterMetal => b.superheater.temperature(),
            Source::Flame => truth(b.burner.main_lit() || b.burner.pilot_lit()),
            Source::FlameSignal => truth(b.burner.flame_signal()),
            Source::Pilot => truth(b.burner.pilot_lit()),
            Source::Purged => truth(b.management.purge.done()),
            Source::FirstCause(cause) => truth(b.management.tripped() == Some(cause)),
            _ => 0.0,
        }
    }
}

/// The gauge glass's tappings, m from normal water level: own choice.
const GLASS: (f64, f64) = (-0.3, 0.3);
