//! From a description to a plant: components by kind, joined by their links, with all mistakes told at once.
//!
//! The order: circuits and tanks, steam net and boiler, machines and valves, controllers, instruments.
//! A component may name one that is written later in the file.

mod affects;
mod air;
mod boiler;
mod circuits;
pub mod condenser;
mod control;
mod cooling;
mod electrical;
mod electrical_loads;
mod failings;
mod fields;
mod fire;
mod handles;
mod instruments;
mod lance;
mod machines;
mod steam;
mod turbine;
mod turbine_gear;
mod turbine_oil;

pub use handles::{Fault, Guard, Handle, Hurt};

use crate::boiler::{Burner, BurnerManagement, Draught, Drum, FiringMaster, Furnace, Superheater};
use crate::instrument_faults::PlainFailing;
use crate::liquid::{LinkId, NodeId as LiquidNodeId};
use crate::machines::{HeatedTank, OpenTank};
use crate::plant::Plant;
use crate::reading::Source;
use crate::registry::{Control, Dial, Failing, Point, Size, Trip, Worked};
use crate::steam::{BranchId, NodeId as SteamNodeId};
use base::description::{Component, Description};
use base::record::Layer;
use base::units::{self, Unit};
use base::{Diagnostic, Tag};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// Kinds of component that the plant assembles.
pub const KINDS: &[&str] = &[
    "air drain",
    "air dryer",
    "air filter",
    "air line",
    "air receiver",
    "air reducer",
    "air user",
    "air valve",
    "battery",
    "burner",
    "burner management",
    "bus",
    "circuit",
    "compressor",
    "condenser",
    "cooler",
    "diesel engine",
    "draught fan",
    "drum",
    "electric heater",
    "feeder",
    "firing master",
    "first-cause contact",
    "flow controller",
    "furnace",
    "gauge glass",
    "generator",
    "heat load",
    "heated tank",
    "heavy-oil lance",
    "heating coil",
    "into drum",
    "junction",
    "level controller",
    "open air",
    "orifice",
    "outside",
    "pipe",
    "pressure controller",
    "pump",
    "push button",
    "safety valve",
    "ship load",
    "shore supply",
    "standby start",
    "steam main",
    "steam orifice",
    "steam space",
    "steam trap",
    "steam valve",
    "strainer",
    "superheater",
    "switch",
    "switchboard",
    "tank",
    "temperature controller",
    "thermostatic valve",
    "three-way valve",
    "tie breaker",
    "transmitter",
    "trip gear",
    "turbine",
    "turbine bearing",
    "turbine exhaust",
    "turbine governor",
    "turbine oil",
    "turning gear",
    "vacuum pump",
    "valve",
];

/// A node of a liquid circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LiquidNode {
    pub circuit: usize,
    pub node: LiquidNodeId,
}

/// A link of a liquid circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LiquidLink {
    pub circuit: usize,
    pub link: LinkId,
    pub from: LiquidNodeId,
    pub to: LiquidNodeId,
}

/// What the assembled plant offers; never changes, shared by clones.
#[derive(Debug, Default)]
pub struct Offers {
    pub points: Vec<Point>,
    pub controls: Vec<Control>,
    pub handles: Vec<Handle>,
    pub failings: Vec<Failing>,
    pub faults: Vec<Fault>,
    pub surroundings: Vec<crate::registry::Surrounding>,
    pub arounds: Vec<crate::surroundings::Around>,
    pub trips: Vec<Trip>,
    pub guards: Vec<Guard>,
    pub damageable: Vec<Tag>,
    pub hurts: Vec<Hurt>,
    /// The component that a point or control of another tag belongs to.
    pub owners: BTreeMap<Tag, String>,
    /// What affects what.
    pub affects: crate::affects::Affects,
    /// Gauge glasses: at the ends of their range they are told as full and empty.
    pub glasses: Vec<crate::PointId>,
}

/// A tank under assembly.
pub struct TankDraft {
    pub tag: String,
    pub at: LiquidNode,
    pub tank: OpenTank,
}

/// A coil under assembly.
pub struct CoilDraft {
    pub node: SteamNodeId,
    pub tank: usize,
    pub clean: f64,
}

/// The boiler under assembly.
#[derive(Default)]
pub struct BoilerDraft {
    pub drum: Option<(String, SteamNodeId, Drum)>,
    pub superheater: Option<(String, SteamNodeId, Superheater)>,
    pub outlet: Option<BranchId>,
    pub safety: Option<BranchId>,
    pub burst: Option<BranchId>,
    pub superheater_burst: Option<BranchId>,
    pub furnace: Option<(String, Furnace, f64)>,
    pub draught: Option<(String, Draught)>,
    pub burner: Option<(String, Burner, [String; 4])>,
    pub management: Option<(String, BurnerManagement, [String; 4])>,
    pub lance: Option<lance::LanceDraft>,
    pub master: Option<(FiringMaster, boiler::FiringFigures)>,
}

/// A plant under assembly.
pub struct Draft<'a> {
    pub wrong: &'a RefCell<Vec<Diagnostic>>,
    pub offers: Offers,
    pub systems: Vec<String>,
    pub ambient: f64,
    /// Open air at the steam net's vents and drains, with its humidity.
    pub open_air: Vec<(SteamNodeId, f64)>,
    pub circuits: Vec<circuits::CircuitDraft>,
    pub liquid_nodes: BTreeMap<String, LiquidNode>,
    pub liquid_links: BTreeMap<String, LiquidLink>,
    pub outsides: Vec<circuits::Outside>,
    pub drum_inlet: Option<LiquidNode>,
    pub strainers: Vec<(String, LiquidLink)>,
    pub tanks: Vec<TankDraft>,
    pub heated_tanks: Vec<(String, HeatedTank)>,
    pub steam: crate::steam::Builder,
    pub steam_nodes: BTreeMap<String, SteamNodeId>,
    pub steam_branches: BTreeMap<String, BranchId>,
    pub always_open: Vec<BranchId>,
    pub condensate: Vec<(BranchId, usize)>,
    pub coils: Vec<CoilDraft>,
    pub boiler: BoilerDraft,
    pub condenser: Option<condenser::CondenserDraft>,
    pub electrical: Option<electrical::ElectricalDraft>,
    pub turbine: turbine::TurbineDraft,
    pub shut_at_start: turbine::ShutAtStart,
    pub hammers: Vec<crate::parts::HammerPart>,
    pub valves: Vec<crate::parts::ValvePart>,
    pub valve_tags: Vec<String>,
    pub pumps: Vec<crate::parts::PumpPart>,
    /// Pumps that an engine turns: which, the engine, and where that is written.
    pub driven_pumps: Vec<(usize, String, base::Place)>,
    pub coolers: Vec<crate::parts::CoolerPart>,
    pub heat_loads: Vec<crate::parts::HeatLoad>,
    pub heaters: Vec<crate::cooling_part::HeaterPart>,
    pub thermostats: Vec<crate::cooling_part::ThermostatPart>,
    pub air: air::AirDraft,
    pub loops: Vec<crate::parts::Loop>,
    pub standbys: Vec<crate::parts::StandbyPart>,
    pub transmitters: Vec<crate::parts::TransmitterPart>,
    pub switches: Vec<crate::parts::SwitchPart>,
    pub plains: Vec<crate::parts::Plain>,
}

/// Assembles a plant.
pub fn build(d: &Description) -> Result<Plant, Vec<Diagnostic>> {
    let wrong = RefCell::new(vec![]);
    let mut draft = Draft::new(d, &wrong);
    draft.circuits_and_nodes(d);
    draft.heated_tanks(d);
    draft.air_vessels(d);
    draft.steam_nodes(d);
    draft.plain_links(d);
    draft.machines(d);
    draft.steam_branches(d);
    draft.fire(d);
    draft.condenser_links(d);
    draft.electrical(d);
    draft.hammer_ways(d);
    draft.instruments(d);
    draft.controllers(d);
    draft.panel_controls(d);
    draft.duplicates(d);
    let valves = draft.valve_tags.clone();
    let finished = if wrong.borrow().is_empty() { draft.finish() } else { None };
    let mut wrong = wrong.into_inner();
    match finished {
        Some((parts, mut offers)) if wrong.is_empty() => {
            offers.affects = affects::graph(d, &parts, &offers, &valves);
            Plant::of(parts, offers).map_err(|m| {
                vec![Diagnostic::error(
                    "plant::start",
                    base::Place::file(&d.name),
                    format!("the plant cannot start: {m}"),
                )]
            })
        }
        _ => {
            if wrong.is_empty() {
                wrong.push(Diagnostic::error(
                    "plant::unfinished",
                    base::Place::file(&d.name),
                    "the plant is not complete",
                ));
            }
            wrong.sort_by(|a, b| a.place.cmp(&b.place));
            Err(wrong)
        }
    }
}

impl<'a> Draft<'a> {
    fn new(d: &Description, wrong: &'a RefCell<Vec<Diagnostic>>) -> Draft<'a> {
        Draft {
            wrong,
            offers: Offers::default(),
            systems: d.systems.iter().map(|s| s.0.clone()).collect(),
            ambient: 293.15,
            open_air: vec![],
            circuits: vec![],
            liquid_nodes: BTreeMap::new(),
            liquid_links: BTreeMap::new(),
            outsides: vec![],
            drum_inlet: None,
            strainers: vec![],
            tanks: vec![],
            heated_tanks: vec![],
            steam: crate::steam::SteamNet::builder(),
            steam_nodes: BTreeMap::new(),
            steam_branches: BTreeMap::new(),
            always_open: vec![],
            condensate: vec![],
            coils: vec![],
            boiler: BoilerDraft::default(),
            condenser: None,
            electrical: None,
            turbine: turbine::TurbineDraft::default(),
            shut_at_start: vec![],
            hammers: vec![],
            valves: vec![],
            valve_tags: vec![],
            pumps: vec![],
            driven_pumps: vec![],
            coolers: vec![],
            heat_loads: vec![],
            heaters: vec![],
            thermostats: vec![],
            air: air::AirDraft::default(),
            loops: vec![],
            standbys: vec![],
            transmitters: vec![],
            switches: vec![],
            plains: vec![],
        }
    }

    pub fn system(&self, c: &Component) -> usize {
        self.systems.iter().position(|s| *s == c.system).unwrap_or(0)
    }

    pub fn place(c: &Component) -> String {
        c.fields.get("place").map(|f| f.value.clone()).unwrap_or_default()
    }

    /// Adds a point and returns its id.
    pub fn point(&mut self, point: Point) -> crate::PointId {
        self.offers.points.push(point);
        crate::PointId((self.offers.points.len() - 1) as u16)
    }

    /// A point under the component's own tag that can only be read on the spot.
    pub fn state_point(&mut self, c: &Component, source: Source, unit: &str) {
        self.own_point(&c.tag, &c.name, c, source, source, unit, None, false);
    }

    /// Says what the point that was added last can be, SI: for tables and for checks of conditions.
    pub fn which_goes(&mut self, low: f64, high: f64) {
        if let Some(point) = self.offers.points.last_mut() {
            point.range = (low, high);
        }
    }

    /// A point of a component under some tag.
    #[expect(clippy::too_many_arguments, reason = "the columns of a table")]
    pub fn own_point(
        &mut self,
        tag: &str,
        name: &str,
        c: &Component,
        source: Source,
        signal: Source,
        unit: &str,
        words: Option<(&'static str, &'static str)>,
        has_signal: bool,
    ) {
        let point = Point {
            tag: Tag::new(tag),
            name: name.to_owned(),
            system: self.system(c),
            place: Self::place(c),
            unit: unit_of(unit),
            range: (0.0, 1.0),
            words,
            has_signal,
        };
        self.offers.owners.insert(point.tag.clone(), c.tag.clone());
        let id = self.point(point);
        self.plains.push(crate::parts::Plain { point: id, source, signal, failing: PlainFailing::default() });
        if has_signal && source != Source::Flame {
            self.contact_failings(tag, self.plains.len() - 1, words.is_some());
        }
    }

    /// Adds a control.
    pub fn control(
        &mut self,
        tag: &str,
        name: &str,
        c: &Component,
        words: &[&'static str],
        dial: Option<Dial>,
        handle: Handle,
    ) {
        let worked = match c.fields.get("worked").map(|f| f.value.as_str()) {
            Some("on the spot") => Worked::OnTheSpot,
            _ => Worked::OnThePanel,
        };
        self.offers.owners.insert(Tag::new(tag), c.tag.clone());
        self.offers.controls.push(Control {
            tag: Tag::new(tag),
            name: name.to_owned(),
            system: self.system(c),
            place: Self::place(c),
            worked,
            words: words.to_vec(),
            dial,
        });
        self.offers.handles.push(handle);
    }

    /// Adds a failing.
    pub fn failing(
        &mut self,
        on: &str,
        kind: &'static str,
        size: Option<Size>,
        told: (&'static str, &'static str),
        fault: Fault,
    ) {
        let layer = match fault {
            Fault::TransmitterFrozen(_) | Fault::TransmitterOffset(_) => Layer::Signal,
            Fault::Instrument(f) => f.layer(),
            _ => Layer::Actual,
        };
        self.offers.failings.push(Failing { on: Tag::new(on), kind, layer, size, seen: told.0, answer: told.1 });
        self.offers.faults.push(fault);
    }

    /// Tags must be unique among points and among controls.
    fn duplicates(&self, d: &Description) {
        let mut seen = BTreeMap::new();
        for p in &self.offers.points {
            if seen.insert(p.tag.clone(), ()).is_some() {
                self.wrong.borrow_mut().push(Diagnostic::error(
                    "plant::tag-twice",
                    base::Place::file(&d.name),
                    format!("two instruments or contacts would have the tag {}", p.tag),
                ));
            }
        }
    }
}

/// A unit of the table by its symbol.
///
/// # Panics
/// When the symbol is not in the table: our own mistake.
pub fn unit_of(symbol: &str) -> &'static Unit {
    units::unit(symbol).expect("units named in the code are in the table")
}

/// A dial for part of a whole.
pub fn part_dial(unit: &str) -> Dial {
    Dial { unit: unit_of(unit), min: 0.0, max: 1.0 }
}
