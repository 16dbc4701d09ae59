//! Machines and valves: drives, pumps, coolers, tanks.

use super::circuits::characteristic;
use super::failings::part;
use super::fields::{Fields, linked};
use super::{Draft, Fault, Handle, Hurt, LiquidLink, LiquidNode, TankDraft, part_dial, unit_of};
use crate::cooler_leak::CoolerLeak;
use crate::liquid::{Characteristic, LinkKind, LinkParams};
use crate::machines::{
    Actuator, ActuatorParams, Arrangement, Casing, CasingParams, Drive, Exchanger, ExchangerParams, FailTo,
    MotorParams, MotorPump, OpenTank, PumpParams, TankParams,
};
use crate::parts::{CoolerPart, HeatLoad, PumpPart, Site, StandbyMachine, ValvePart};
use crate::reading::Source;
use crate::registry::Size;
use crate::steam::BranchId;
use base::Tag;
use base::description::{Component, Description};
use base::units::Dimension as D;

/// Control air below which a pneumatic drive has lost its power, Pa absolute: 2.5 barg, a class of value of makers.
const DRIVE_AIR_MIN: f64 = 351_325.0;

/// Whether a standby start brings this machine in.
pub fn stands_by(d: &Description, c: &Component) -> bool {
    let second = |s: &Component| s.links.get("second").is_some_and(|t| t.as_str() == c.tag);
    d.components.iter().any(|s| s.kind == "standby start" && second(s))
}

impl Draft<'_> {
    /// Pumps, valves, coolers, heat loads and the compressor.
    pub fn machines(&mut self, d: &Description) {
        for c in &d.components {
            match c.kind.as_str() {
                "pump" => self.pump(d, c),
                "valve" => self.liquid_valve(d, c),
                "three-way valve" => self.three_way(d, c),
                "thermostatic valve" => self.thermostatic_valve(d, c),
                "electric heater" => self.electric_heater(d, c),
                "cooler" => self.cooler(d, c),
                "air valve" | "air drain" => self.air_valve(d, c),
                "air line" | "air filter" | "air reducer" | "air dryer" | "air user" => self.air_way(d, c),
                _ => {}
            }
        }
        for c in &d.components {
            match c.kind.as_str() {
                "heat load" => self.heat_load(d, c),
                "vacuum pump" => self.vacuum_pump(d, c),
                "compressor" => self.compressor(d, c),
                _ => {}
            }
        }
    }

    pub fn tank(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let bottom = f.need("elevation", D::Length);
        let (area, height) = (f.need("area", D::Area), f.need("height", D::Length));
        let (level, t) = (f.need("level at start", D::Length), f.need("temperature at start", D::Temperature));
        let loss = f.or("loss to room", D::HeatConductance, 0.0);
        let tag = f.optional_link("in");
        let circuit = tag.and_then(|t| self.circuits.iter().position(|x| x.tag == t.as_str()));
        f.finish(&["in"], &[]);
        let Some(k) = circuit else {
            Fields::new(c, self.wrong).wrong("plant::circuit", "its link \"in\" must name a circuit".into(), None);
            return;
        };
        let fluid = self.circuits[k].builder.fluid();
        let node = self.circuits[k].builder.reservoir(&c.tag, bottom);
        let at = super::LiquidNode { circuit: k, node };
        self.liquid_nodes.insert(c.tag.clone(), at);
        let tank = OpenTank::new(TankParams { fluid, area, bottom, overflow: height, loss }, level, t);
        self.tanks.push(TankDraft { tag: c.tag.clone(), at, tank });
        let i = self.tanks.len() - 1;
        self.state_point(c, Source::TankLevel(i), "m");
        self.which_goes(0.0, height);
    }

    fn pump(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let efficiency = f.need("efficiency", D::Fraction);
        let run_up = f.need("run up", D::Time);
        let npsh = f.or("suction head needed", D::Length, 0.0);
        let shut_off_power = f.or("power at no flow", D::Fraction, 0.45);
        let casing = f.optional("casing", D::HeatCapacity).map(|capacity| {
            Casing::new(CasingParams { capacity, loss: f.need("casing to room", D::HeatConductance) }, self.ambient)
        });
        let (curve, ends) = (self.curve(&f), self.liquid_ends(d, &f, "from", "to"));
        let engine = f.optional_link("driven by").map(|t| t.as_str().to_owned());
        f.finish(&["from", "to", "driven by"], &["curve"]);
        let (Some(curve), Some(ends)) = (curve, ends) else { return };
        let best_flow = 0.75 * curve.flow_max;
        let density = self.circuits[ends.0.circuit].builder.fluid().density();
        let at_best = density * crate::liquid::GRAVITY * best_flow * curve.head(best_flow, 1.0) / efficiency;
        let link = self.liquid_link(&c.tag, ends, LinkParams { kind: LinkKind::Pump { curve }, non_return: true });
        let params = PumpParams {
            curve,
            best_flow,
            best_efficiency: efficiency,
            shut_off_power,
            npsh_required: npsh,
            motor: MotorParams {
                run_up,
                run_down: 2.0 * run_up,
                // Motors are chosen with some margin over the pump's need at its best point (common practice).
                rated_power: 1.25 * at_best,
                efficiency: 0.92,
                overload: 1.15,
                overload_delay: 20.0,
            },
        };
        let mut pump = match MotorPump::new(params, link.link) {
            Ok(p) => p,
            Err(m) => {
                Fields::new(c, self.wrong).wrong("plant::pump", m.to_owned(), None);
                return;
            }
        };
        pump.casing = casing;
        self.pumps.push(PumpPart { tag: Tag::new(&c.tag), circuit: link.circuit, pump, driven: None });
        let i = self.pumps.len() - 1;
        let words = Some(("stopped", "running"));
        let number = number_of(&c.tag);
        self.own_point(&c.tag, &c.name, c, Source::PumpRuns(i), Source::PumpRuns(i), "state", words, false);
        let contact = format!("YS-{number}");
        let name = format!("{}, running contact", c.name);
        self.own_point(&contact, &name, c, Source::PumpRuns(i), Source::PumpRuns(i), "state", words, true);
        let standby = stands_by(d, c);
        if let Some(engine) = engine {
            // It turns with its engine: nobody starts or stops it.
            self.driven_pumps.push((i, engine, c.place.clone()));
        } else {
            let orders: &[&'static str] = if standby { &["start", "stop", "standby"] } else { &["start", "stop"] };
            self.control(&c.tag, &c.name, c, orders, None, Handle::Pump(i));
            let told = ("the running lamp goes out, pressure and flow fall", "start the other pump");
            self.failing(&c.tag, "trips", None, told, Fault::PumpTrips(i));
        }
        if self.pumps[i].pump.casing.is_some() {
            self.offers.damageable.push(Tag::new(&format!("{} seal", c.tag)));
            self.offers.hurts.push(Hurt::Seal(i));
        }
        let told = ("it runs and makes no pressure", "stop it, vent it, start the other pump");
        self.failing(&c.tag, "air-locked", None, told, Fault::PumpAirLocked(i));
        let told = ("its lamp is lit, and it makes no pressure", "start the other pump");
        self.failing(&c.tag, "coupling sheared", None, told, Fault::PumpSheared(i));
        if self.driven_pumps.last().is_none_or(|d| d.0 != i) {
            let told = ("its lamp stays dark when it is started", "start the other pump");
            self.failing(&c.tag, "will not start", None, told, Fault::PumpWillNotStart(i));
            let size = part("of the motor's power", 2.0, 0.6);
            let told = (
                "its motor draws more than its flow asks for, and trips on overload at last",
                "start the other pump and stop it before it trips",
            );
            self.failing(&c.tag, "bearing hot", size, told, Fault::PumpBearing(i));
        }
        if standby {
            let told = ("pressure falls and it does not come in by itself", "start it by hand");
            self.failing(&c.tag, "standby start dead", None, told, Fault::StandbyDead(StandbyMachine::Pump(i)));
        }
        let size = Size {
            what: "head lost",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 0.9,
            default: Some(0.3),
            sound: Some(0.0),
        };
        self.failing(
            &c.tag,
            "worn",
            Some(size),
            ("its pressure is low at every flow", "bring in the other pump"),
            Fault::PumpWorn(i),
        );
    }

    pub fn actuator(&self, f: &Fields<'_>) -> Actuator {
        let fails = f.word("fails", &[("stays", FailTo::Stay), ("open", FailTo::Open), ("shut", FailTo::Shut)]);
        let drive = f.word(
            "drive",
            &[
                ("electric", Drive::Electric),
                ("hand", Drive::Hand),
                ("pneumatic", Drive::Pneumatic { air_min: DRIVE_AIR_MIN, fails }),
            ],
        );
        let start = f.or("position at start", D::Fraction, 0.0);
        Actuator::new(ActuatorParams { stroke: f.need("stroke time", D::Time), drive }, start)
    }

    fn liquid_valve(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        if c.links.is_empty() {
            // A valve by itself moves and tells its position, and nothing flows through it.
            let (actuator, dial) = (self.actuator(&f), f.word("dial", &[("yes", true), ("no", false)]));
            f.finish(&[], &[]);
            return self.valve(c, ValvePart::new(Site::Nowhere, actuator), dial);
        }
        let kv = f.need("Kv", D::FlowCoefficient);
        let characteristic = characteristic(&f);
        let non_return = f.word("non-return", &[("no", false), ("yes", true)]);
        let actuator = self.actuator(&f);
        let dial = f.word("dial", &[("no", false), ("yes", true)]);
        let ends = self.liquid_ends(d, &f, "from", "to");
        f.finish(&["from", "to"], &[]);
        let Some(ends) = ends else { return };
        let link =
            self.liquid_link(&c.tag, ends, LinkParams { kind: LinkKind::ValveKv { kv, characteristic }, non_return });
        self.valve(c, ValvePart::new(Site::Liquid(link), actuator), dial);
    }

    fn three_way(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let kv = f.need("Kv", D::FlowCoefficient);
        let actuator = self.actuator(&f);
        let straight = self.liquid_ends(d, &f, "from cooler", "to");
        let other = self.liquid_ends(d, &f, "from by-pass", "to");
        f.finish(&["from cooler", "from by-pass", "to"], &[]);
        let (Some(a), Some(b)) = (straight, other) else { return };
        let kind = LinkKind::ValveKv { kv, characteristic: Characteristic::Linear };
        let a = self.liquid_link(&c.tag, a, kind);
        let b = self.liquid_link(&format!("{} by-pass", c.tag), b, kind);
        self.valve(c, ValvePart::new(Site::ThreeWay(a, b), actuator), true);
    }

    pub fn steam_valve(&mut self, c: &Component, f: &Fields<'_>, branch: BranchId) {
        let actuator = self.actuator(f);
        let dial = f.word("dial", &[("no", false), ("yes", true)]);
        self.valve(c, ValvePart::new(Site::Steam(branch), actuator), dial);
    }

    /// The safety valve has no drive, but a point that tells whether it has lifted.
    pub fn safety_valve(&mut self, c: &Component, contact: &str, branch: BranchId) {
        self.boiler.safety = Some(branch);
        let source = Source::SafetyLifted(branch);
        self.own_point(&c.tag, &c.name, c, source, source, "state", Some(("on its seat", "lifted")), false);
        let name = format!("{}, lift contact", c.name);
        self.own_point(contact, &name, c, source, source, "state", Some(("on its seat", "lifted")), true);
        self.safety_failings(c);
    }

    /// What every valve has: position, limit switches or a position transmitter, a control, failings.
    pub fn valve(&mut self, c: &Component, part: ValvePart, dial: bool) {
        self.valves.push(part);
        self.valve_tags.push(c.tag.clone());
        let i = self.valves.len() - 1;
        let position = Source::ValvePosition(i);
        self.own_point(&c.tag, &c.name, c, position, position, "% open", None, false);
        let number = number_of(&c.tag);
        // Control valves tell their position; all others have a limit switch at either end.
        if !c.tag.contains("CV-") {
            let open = Source::ValveOpen(i);
            let name = format!("{}, open limit switch", c.name);
            self.own_point(&format!("ZSH-{number}"), &name, c, open, open, "state", Some(("not open", "open")), true);
            let shut = Source::ValveShut(i);
            let name = format!("{}, shut limit switch", c.name);
            self.own_point(&format!("ZSL-{number}"), &name, c, shut, shut, "state", Some(("not shut", "shut")), true);
        } else {
            let name = format!("{}, position", c.name);
            self.own_point(&format!("ZT-{number}"), &name, c, position, position, "% open", None, true);
        }
        let worked = c.fields.get("worked").map_or("", |f| f.value.as_str());
        if !worked.starts_with("by ") {
            self.control(&c.tag, &c.name, c, &["open", "shut"], dial.then(|| part_dial("% open")), Handle::Valve(i));
        }
        let size = Size { what: "position", unit: unit_of("% open"), min: 0.0, max: 1.0, default: None, sound: None };
        self.failing(
            &c.tag,
            "seized",
            Some(size),
            ("it does not follow its control", "work round it by another valve"),
            Fault::ValveSeized(i),
        );
        let size = Size {
            what: "times its stroke",
            unit: unit_of("none"),
            min: 1.0,
            max: 20.0,
            default: Some(5.0),
            sound: Some(1.0),
        };
        let told = ("it follows its control slowly", "work it early, and by small steps");
        self.failing(&c.tag, "sluggish", Some(size), told, Fault::ValveSluggish(i));
        if let Drive::Pneumatic { .. } = self.valves[i].actuator.params().drive {
            let told = ("without control air it goes where it should not", "work its by-pass by hand");
            self.failing(&c.tag, "wrong fail position", None, told, Fault::ValveWrongFail(i));
        }
        let size = Size {
            what: "part of full flow",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 1.0,
            default: Some(0.1),
            sound: Some(0.0),
        };
        self.failing(
            &c.tag,
            "passing",
            Some(size),
            ("flow goes on though it is shut", "make up for what is lost, and isolate it"),
            Fault::ValvePassing(i),
        );
    }

    fn cooler(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let diameter = f.need("diameter", D::Length);
        let (hot_losses, cold_losses) = (f.need("hot losses", D::Number), f.need("cold losses", D::Number));
        let conductance = f.need("conductance", D::HeatConductance);
        let arrangement = f.word(
            "arrangement",
            &[
                ("counterflow", Arrangement::Counterflow),
                ("parallel", Arrangement::Parallel),
                ("cross-flow", Arrangement::CrossflowUnmixed),
            ],
        );
        let hot = self.liquid_ends(d, &f, "hot from", "hot to");
        let cold = self.liquid_ends(d, &f, "cold from", "cold to");
        f.finish(&["hot from", "hot to", "cold from", "cold to"], &[]);
        let (Some(hot), Some(cold)) = (hot, cold) else { return };
        let side = |minor_loss| LinkKind::Valve { diameter, minor_loss, characteristic: Characteristic::Linear };
        let hot = self.liquid_link(&format!("{} hot side", c.tag), hot, side(hot_losses));
        let cold = self.liquid_link(&format!("{} cold side", c.tag), cold, side(cold_losses));
        let params = ExchangerParams { arrangement, conductance, flow_nominal: (1.0, 1.0), flow_exponent: 0.0 };
        self.coolers.push(CoolerPart { hot, cold, exchanger: Exchanger::new(params), leak: CoolerLeak::default() });
        let size = Size {
            what: "resistance added",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 20.0,
            default: Some(2.0),
            sound: Some(0.0),
        };
        let told = ("its outlet is warmer at the same flow", "bring in the other cooler, and clean it");
        self.failing(&c.tag, "fouled", Some(size), told, Fault::CoolerFouled(self.coolers.len() - 1));
        // The hole is at the outlets, where a node that holds its head for ever could give any flow.
        let held = |l: &LiquidLink| {
            let at = LiquidNode { circuit: l.circuit, node: l.to };
            self.outsides.iter().any(|o| o.at == at) || self.tanks.iter().any(|t| t.at == at)
        };
        let junctions = ![hot, cold].iter().any(held);
        if junctions {
            let size =
                Size { what: "hole", unit: unit_of("mm2"), min: 0.0, max: 5e-4, default: Some(2e-5), sound: Some(0.0) };
            let told = ("the level of a header tank falls or rises by itself", "isolate it, bring in the other cooler");
            let fault = Fault::CoolerTubeLeak(self.coolers.len() - 1);
            self.failing(&c.tag, "tube leak", Some(size), told, fault);
        }
    }

    fn heat_load(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (source, conductance) =
            (f.need("source temperature", D::Temperature), f.need("conductance", D::HeatConductance));
        let node = linked(d, &f, "in").and_then(|n| self.liquid_nodes.get(&n.tag).copied());
        let link = linked(d, &f, "by").and_then(|n| self.liquid_links.get(&n.tag).copied());
        f.finish(&["in", "by"], &[]);
        if let (Some(_), Some(link)) = (node, link) {
            self.heat_loads.push(HeatLoad { link, source, conductance, given: 0.0 });
        }
    }
}

/// The number behind a tag's letters.
pub fn number_of(tag: &str) -> &str {
    tag.split_once('-').map_or(tag, |x| x.1)
}
