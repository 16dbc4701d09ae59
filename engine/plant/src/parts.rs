//! The live parts of a plant, in typed arrays: everything that a clone must carry along.

use crate::air_net::AirNet;
use crate::assembly::{LiquidLink, LiquidNode};
use crate::boiler::firing::CAM_POINTS;
use crate::boiler::{Burner, BurnerManagement, BurnerOrders, Draught, Drum, FiringMaster, Furnace, Superheater};
use crate::condenser_part::CondenserPart;
use crate::control::{Elements, Mode, PiController, ThreeElement};
use crate::cooler_leak::CoolerLeak;
use crate::cooling_part::{HeaterPart, ThermostatPart};
use crate::electrical_part::ElectricalPart;
use crate::heavy_oil_part::LancePart;
use crate::instrument_faults::PlainFailing;
use crate::instruments::{Signal, Switch, Transmitter};
use crate::ledger::{Crossings, Inside};
use crate::liquid::{LinkId, Network};
use crate::machines::{Actuator, Exchanger, HeatedTank, MotorPump, OpenTank, StandbyStart};
use crate::reading::Source;
use crate::registry::PointId;
use crate::round::Round;
use crate::steam::{BranchId, Hammer, NodeId as SteamNode, SteamNet};
use crate::turbine_part::TurbinePart;
use base::Tag;

/// What a valve stands in.
#[derive(Clone, Copy, Debug)]
pub enum Site {
    /// A link of a circuit.
    Liquid(LiquidLink),
    /// Two links of a circuit: the straight way and the by-pass.
    ThreeWay(LiquidLink, LiquidLink),
    /// A branch of the steam net.
    Steam(BranchId),
    /// A way of compressed air.
    Air(usize),
    /// The drain of an air receiver.
    AirDrain(usize),
    /// Nothing flows through it: a valve by itself, for small plants of tests.
    Nowhere,
}

/// A valve with its drive.
#[derive(Clone, Debug)]
// With all that says whether it has moved in one line of a processor's cache.
#[repr(C, align(64))]
pub struct ValvePart {
    /// Position and passing part that were last put into the network; not a number before the first time.
    pub told: (f64, f64),
    /// Part of full flow that passes when shut: a failing.
    pub passing: f64,
    pub actuator: Actuator,
    pub site: Site,
}

impl ValvePart {
    pub fn new(site: Site, actuator: Actuator) -> ValvePart {
        ValvePart { site, actuator, passing: 0.0, told: (f64::NAN, f64::NAN) }
    }
}

base::kept!(ValvePart { actuator, passing, told } fixed { site });

/// A pump with its circuit.
#[derive(Clone, Debug)]
pub struct PumpPart {
    pub tag: Tag,
    pub circuit: usize,
    pub pump: MotorPump,
    /// The generating set whose engine turns it instead of a motor. What it takes from the engine is within the
    /// engine's own friction.
    pub driven: Option<usize>,
}

base::kept!(PumpPart { pump } fixed { tag, circuit, driven });

/// An open tank and the nodes that it holds.
#[derive(Clone, Debug)]
pub struct TankPart {
    pub at: LiquidNode,
    pub tank: OpenTank,
    /// Links that begin at its bottom: they draw air when it is empty, and nothing flows.
    pub outlets: Vec<LinkId>,
}

base::kept!(TankPart { tank } fixed { at, outlets });

/// A cooler between two circuits: hot link, cold link.
#[derive(Clone, Debug)]
pub struct CoolerPart {
    pub hot: LiquidLink,
    pub cold: LiquidLink,
    pub exchanger: Exchanger,
    /// What runs from one side to the other through a hole in a tube.
    pub leak: CoolerLeak,
}

base::kept!(CoolerPart { exchanger, leak } fixed { hot, cold });

/// Heat that comes from a warm source outside the model: conductance times difference.
#[derive(Clone, Copy, Debug)]
pub struct HeatLoad {
    /// Link that takes the heat; the temperature of the node that its flow runs to counts.
    pub link: LiquidLink,
    pub source: f64,
    pub conductance: f64,
    /// Heat given since the start, J.
    pub given: f64,
}

base::kept!(HeatLoad { source, conductance, given } fixed { link });

/// A coil in a tank.
#[derive(Clone, Copy, Debug)]
pub struct Coil {
    pub node: SteamNode,
    pub tank: usize,
    /// Conductance to the tank while it is clean, W/K.
    pub clean: f64,
}

/// A controller that moves a valve.
#[derive(Clone, Debug)]
pub struct Loop {
    pub measures: PointId,
    pub moves: usize,
    pub controller: PiController,
    /// Three-element control of a level, where the controller can do that.
    pub elements: Option<LoopElements>,
}

base::kept!(Loop { controller, elements } fixed { measures, moves });

/// The other two elements of a level's control.
#[derive(Clone, Debug)]
pub struct LoopElements {
    pub steam: PointId,
    pub feed: PointId,
    pub three: ThreeElement,
    /// Three-element control is chosen.
    pub chosen: bool,
}

base::kept!(LoopElements { three, chosen } fixed { steam, feed });

impl Loop {
    /// Works for `dt` seconds on the signals; returns what the valve is to do.
    pub fn step(&mut self, say: impl Fn(PointId) -> f64, dt: f64) -> f64 {
        let level = Signal(say(self.measures));
        let output = self.controller.step(level, dt);
        let Some(e) = &mut self.elements else { return output };
        let seen = Elements { level, steam: Signal(say(e.steam)), feed: Signal(say(e.feed)) };
        let set_point = self.controller.set_point();
        if e.chosen && self.controller.mode() == Mode::Automatic {
            let output = e.three.step(set_point, &seen, dt);
            // Single-element control stands by at the valve's place.
            self.controller.follow(output, level);
            return output;
        }
        e.three.follow(set_point, &seen, output);
        output
    }
}

/// A machine that stands by, or for which another one does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StandbyMachine {
    Pump(usize),
    VacuumPump(usize),
}

/// A pump that starts when the pressure falls, or a vacuum does, while another one was meant to hold it.
#[derive(Clone, Debug)]
pub struct StandbyPart {
    pub first: StandbyMachine,
    pub second: StandbyMachine,
    pub pressure: PointId,
    pub start: StandbyStart,
    /// Set to standby at the panel.
    pub armed: bool,
    /// The other pump was started by hand and not stopped since, so it is meant to hold the pressure.
    pub duty: bool,
}

base::kept!(StandbyPart { start, armed, duty } fixed { first, second, pressure });

/// A transmitter, with the point it serves and what it looks at.
#[derive(Clone, Debug)]
// With what a tick needs of a sound transmitter in one line of a processor's cache.
#[repr(C, align(64))]
pub struct TransmitterPart {
    pub point: PointId,
    pub transmitter: Transmitter,
    pub source: Source,
    /// Height that its reference leg has lost, m: a failing of level transmitters. `Parts::legs_lost` says whether any has.
    pub leg: f64,
}

base::kept!(TransmitterPart { transmitter, leg } fixed { point, source });

/// A switch, likewise.
#[derive(Clone, Debug)]
pub struct SwitchPart {
    pub point: PointId,
    pub source: Source,
    pub switch: Switch,
}

base::kept!(SwitchPart { switch } fixed { point, source });

/// A state that is told as it is: a position, a running contact.
#[derive(Clone, Copy, Debug)]
pub struct Plain {
    pub point: PointId,
    pub source: Source,
    /// What is sent, where that is another thing than what is true (a flame and its scanner).
    pub signal: Source,
    /// What is wrong with it.
    pub failing: PlainFailing,
}

base::kept!(Plain { failing } fixed { point, source, signal });

/// A steam line that water hammer can hurt, with the ways by which steam comes into it.
#[derive(Clone, Debug)]
pub struct HammerPart {
    pub tag: Tag,
    pub node: SteamNode,
    pub ways: Vec<BranchId>,
    pub hammer: Hammer,
}

base::kept!(HammerPart { hammer } fixed { tag, node, ways });

/// The boiler and what belongs to it.
#[derive(Clone, Debug)]
pub struct BoilerPart {
    pub tag: Tag,
    pub furnace_tag: Tag,
    pub drum: Drum,
    pub drum_node: SteamNode,
    pub superheater: Superheater,
    pub superheater_node: SteamNode,
    pub outlet: BranchId,
    pub safety: BranchId,
    /// The way out of a burst tube; shut until one bursts.
    pub burst: BranchId,
    /// Likewise of the superheater.
    pub superheater_burst: BranchId,
    pub furnace: Furnace,
    pub draught: Draught,
    pub burner: Burner,
    pub management: BurnerManagement,
    pub master: FiringMaster,
    pub fuel_cam: [f64; CAM_POINTS],
    /// Where feed comes in.
    pub inlet: LiquidNode,
    /// Fuel line: the nozzle's link, the shut-off and control valves, the node that atomises.
    pub nozzle: LiquidLink,
    pub shut_off: usize,
    pub fuel_valve: usize,
    pub atomised_at: LiquidNode,
    /// The lance for heavy oil, if there is one.
    pub lance: Option<LancePart>,
    /// What the panel asks for in manual.
    pub by_hand: BurnerOrders,
    /// The damper follows the firing master even in manual.
    pub damper_follows: bool,
    pub emergency_stop: bool,
    /// In automatic: somebody has started it and not stopped it.
    pub called: bool,
    pub fan_on: bool,
    /// Leaks of a boiler tube and of a superheater tube, each as a part of a burst one: failings.
    pub leaks: (f64, f64),
    /// Heat from the tubes to the water in this tick, W.
    pub to_water: f64,
    /// Points whose signals it reads.
    pub reads: BoilerReads,
    /// What crossed the boundary with fuel, air and flue gas: see the ledger.
    pub fired: Fired,
}

base::kept!(BoilerPart { drum, superheater, furnace, draught, burner, management, master, lance, by_hand,
    damper_follows, emergency_stop, called, fan_on, leaks, to_water, fired }
    fixed { tag, furnace_tag, drum_node, superheater_node, outlet, safety, burst, superheater_burst, fuel_cam, inlet,
    nozzle, shut_off, fuel_valve, atomised_at, reads });

/// The signals that burner management and firing master read.
#[derive(Clone, Copy, Debug)]
pub struct BoilerReads {
    pub pressure: PointId,
    pub air_flow: PointId,
    pub fuel_flow: PointId,
    pub low_water: PointId,
    pub high_pressure: PointId,
    pub low_fuel: PointId,
    pub low_air: PointId,
}

/// Sums over the run for the ledger: fuel, air and gas, kg and J.
#[derive(Clone, Copy, Debug, Default)]
pub struct Fired {
    /// Fuel from the nozzle and the pilot, kg.
    pub fuel: f64,
    /// Heat that the furnace gave to water, steam and metal of the boiler, J.
    pub to_boiler: f64,
    /// Heat lost by the drum's lagging, J.
    pub lagging: f64,
    /// Brought by fuel and air, J, above 298.15 K and with the heating value.
    pub brought: f64,
    /// Left by stack, casing and unburnt, J.
    pub left: f64,
}

base::kept!(Fired { fuel, to_boiler, lagging, brought, left });

/// All of it.
#[derive(Clone, Debug)]
pub struct Parts {
    pub ambient: f64,
    pub weather: crate::surroundings::Weather,
    pub circuits: Vec<Network>,
    pub valves: Vec<ValvePart>,
    pub pumps: Vec<PumpPart>,
    pub tanks: Vec<TankPart>,
    pub coolers: Vec<CoolerPart>,
    pub heat_loads: Vec<HeatLoad>,
    pub heaters: Vec<HeaterPart>,
    pub thermostats: Vec<ThermostatPart>,
    pub heated_tanks: Vec<HeatedTank>,
    pub coils: Vec<Coil>,
    /// Solutions of circuits that stood still short of their tolerance; flows are continuous all the same.
    pub unsettled: u64,
    /// Steam traps and the tank that takes their condensate, with what came from the start (kg, J).
    pub condensate: Vec<(BranchId, usize)>,
    pub steam: SteamNet,
    /// Nodes of circuits where the plant ends.
    pub outsides: Vec<LiquidNode>,
    /// What crossed there.
    pub outside: Crossings,
    /// What passed between parts.
    pub inside: Inside,
    pub air: AirNet,
    pub boiler: Option<BoilerPart>,
    pub condenser: Option<CondenserPart>,
    pub electrical: Option<ElectricalPart>,
    pub turbine: Option<TurbinePart>,
    pub hammers: Vec<HammerPart>,
    pub loops: Vec<Loop>,
    pub standbys: Vec<StandbyPart>,
    pub transmitters: Vec<TransmitterPart>,
    pub switches: Vec<SwitchPart>,
    pub plains: Vec<Plain>,
    /// Something is wrong with one of these.
    pub plains_fail: bool,
    /// Some transmitter's reference leg has lost height.
    pub legs_lost: bool,
    /// All that these look at.
    pub round: Round,
}

base::kept!(Parts { ambient, weather, circuits, valves, pumps, tanks, coolers, heat_loads, heaters, thermostats, heated_tanks,
    unsettled, steam, outside, inside, air, boiler, condenser, electrical, turbine, hammers, loops, standbys,
    transmitters, switches, plains, plains_fail, legs_lost }
    fixed { coils, condensate, outsides, round });
