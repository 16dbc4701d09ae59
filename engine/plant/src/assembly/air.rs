//! Compressed air: receivers and headers, compressors, and the ways between them.

use super::failings::part;
use super::fields::{Fields, linked};
use super::machines::number_of;
use super::{Draft, Fault, Guard, Handle, unit_of};
use crate::air::{AirPath, Compressor, CompressorParams, Receiver, ReceiverParams, SafetyParams, Shell};
use crate::air_net::{AirMachine, AirNet, AirVessel, AirWay, WayKind};
use crate::machines::MotorParams;
use crate::parts::{Site, ValvePart};
use crate::reading::Source;
use crate::registry::{Size, Trip};
use base::Tag;
use base::description::{Component, Description};
use base::units::Dimension as D;

/// Compressed air under assembly.
#[derive(Default)]
pub struct AirDraft {
    pub net: AirNet,
    /// By vessel: what it bleeds, kg/s, until its pressure for that is known.
    bleeds: Vec<Option<f64>>,
}

impl AirDraft {
    pub fn vessel(&self, tag: &str) -> Option<usize> {
        self.net.vessels.iter().position(|v| v.tag.as_str() == tag)
    }

    pub fn way(&self, tag: &str) -> Option<usize> {
        self.net.ways.iter().position(|w| w.tag.as_str() == tag)
    }

    pub fn machine(&self, tag: &str) -> Option<usize> {
        self.net.machines.iter().position(|m| m.tag.as_str() == tag)
    }

    fn bleed(&mut self, vessel: usize, pressure: f64) {
        if let Some(flow) = self.bleeds[vessel].take() {
            let conductance = AirPath::conductance_for(flow, pressure);
            let path = AirPath { conductance, critical: 0.3, opening: 1.0, non_return: true };
            self.net.vessels[vessel].bleed = Some(path);
        }
    }
}

impl Draft<'_> {
    /// Every receiver and header, so that ways and machines may name one that is written later.
    pub fn air_vessels(&mut self, d: &Description) {
        for c in d.components.iter().filter(|c| c.kind == "air receiver") {
            let f = Fields::new(c, self.wrong);
            // Reseats at 0.9 of its set pressure and passes more than the compressors bring (common practice).
            let passes = f.or("safety valve passes", D::MassFlow, 0.05);
            let safety = f.optional("safety valve lifts", D::Pressure).map(|set| SafetyParams {
                set,
                reseat: 0.9 * set,
                capacity: passes,
            });
            let capacity = f.optional("wall capacity", D::HeatCapacity);
            let shell = capacity
                .map(|capacity| Shell { capacity, conductance: f.need("wall conductance", D::HeatConductance) });
            let params = ReceiverParams {
                volume: f.need("volume", D::Volume),
                loss: f.need("loss to room", D::HeatConductance),
                shell,
                safety,
            };
            let (p, t) = (f.need("pressure at start", D::Pressure), f.need("temperature at start", D::Temperature));
            let mut vessel = AirVessel::new(&c.tag, Receiver::new(params, p, t));
            vessel.receiver.add_water(f.or("water at start", D::Mass, 0.0));
            vessel.water_limit = f.or("water carried from", D::Mass, vessel.water_limit);
            let bleeds = f.optional("bleeds", D::MassFlow);
            let at = f.optional("bleeds at", D::Pressure);
            let stroke = f.optional("air for a stroke", D::Mass);
            self.air.net.vessels.push(vessel);
            self.air.bleeds.push(bleeds);
            let i = self.air.net.vessels.len() - 1;
            if let Some(at) = at {
                self.air.bleed(i, at);
            }
            self.serves_drives(&f, i, stroke);
            let size = Size {
                what: "air lost at 7 barg",
                unit: unit_of("kg/s"),
                min: 0.0,
                max: 0.2,
                default: Some(0.01),
                sound: Some(0.0),
            };
            let told = ("its pressure falls, the compressor runs long", "find the leak by sound, isolate it");
            self.failing(&c.tag, "leaks", Some(size), told, Fault::AirLeak(i));
            if safety.is_some() {
                let told = ("nothing, until its pressure is past the valve's", "stop the compressor by hand in time");
                self.failing(&c.tag, "safety valve stuck", None, told, Fault::AirSafetyStuck(i));
                let size = Size {
                    what: "below its pressure",
                    unit: unit_of("% of rated"),
                    min: 0.0,
                    max: 0.5,
                    default: Some(0.2),
                    sound: Some(0.0),
                };
                let told = ("it blows off below its pressure, the compressor runs long", "isolate it, use the other");
                self.failing(&c.tag, "safety valve lifts early", Some(size), told, Fault::AirSafetyEarly(i));
                let told = ("once it has lifted it blows on, and the pressure falls", "isolate it, use the other");
                self.failing(&c.tag, "safety valve will not reseat", None, told, Fault::AirSafetyHolds(i));
            }
            if self.air.net.header == Some(i) {
                let told = ("control air is lost: every pneumatic valve goes its own way", "work the valves by hand");
                self.failing(&c.tag, "line parted", None, told, Fault::AirParted(i));
            }
            f.finish(&[], &[]);
        }
    }

    /// One volume serves the pneumatic drives: the one that says what a stroke takes.
    fn serves_drives(&mut self, f: &Fields<'_>, vessel: usize, stroke: Option<f64>) {
        let Some(stroke) = stroke else { return };
        if self.air.net.header.is_some() {
            f.wrong(
                "plant::control-air",
                "the pneumatic drives have their air from elsewhere already".into(),
                Some("give \"air for a stroke\" in one place only".into()),
            );
            return;
        }
        self.air.net.header = Some(vessel);
        self.air.net.stroke_air = stroke;
    }

    fn air_volume(&self, d: &Description, f: &Fields<'_>, role: &'static str) -> Option<usize> {
        let c = linked(d, f, role)?;
        let found = self.air.vessel(&c.tag);
        if found.is_none() {
            f.wrong("plant::not-air", format!("{} is not an air receiver", c.tag), None);
        }
        found
    }

    /// The ends of a way and what it passes; no "to" is the surroundings.
    fn air_path(&self, d: &Description, f: &Fields<'_>, non_return: bool) -> Option<(usize, Option<usize>, AirPath)> {
        let from = self.air_volume(d, f, "from");
        let to = if f.optional_link("to").is_some() { Some(self.air_volume(d, f, "to")?) } else { None };
        let (passes, at) = (f.need("passes", D::MassFlow), f.need("passes at", D::Pressure));
        let non_return = f.word("non-return", &[("no", non_return), ("yes", true)]);
        let conductance = AirPath::conductance_for(passes, at);
        if from.is_some() && from == to {
            f.wrong("plant::air-way", "it begins and ends at the same volume".into(), None);
            return None;
        }
        Some((from?, to, AirPath { conductance, critical: 0.3, opening: 1.0, non_return }))
    }

    fn push_way(&mut self, c: &Component, ends: (usize, Option<usize>, AirPath), kind: WayKind, opening: f64) -> usize {
        let (from, to, path) = ends;
        self.air.net.ways.push(AirWay { tag: Tag::new(&c.tag), from, to, path, kind, opening, choked: 0.0, flow: 0.0 });
        self.air.net.ways.len() - 1
    }

    /// A line, filter, reducing valve or dryer, or a user that is always there.
    pub fn air_way(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let ends = self.air_path(d, &f, c.kind != "air line");
        let kind = match c.kind.as_str() {
            "air reducer" => {
                WayKind::Reducer { set: f.need("set point", D::Pressure), band: f.need("band", D::PressureDifference) }
            }
            "air dryer" => WayKind::Dryer { works: true },
            _ => WayKind::Plain,
        };
        f.finish(&["from", "to"], &[]);
        let Some(ends) = ends else { return };
        let i = self.push_way(c, ends, kind, 1.0);
        let size = Size {
            what: "part choked",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 1.0,
            default: Some(0.9),
            sound: Some(0.0),
        };
        let told = ("the pressure behind it falls when air is used", "use the other way, or clean it");
        self.failing(&c.tag, "choked", Some(size), told, Fault::AirChoked(i));
        if c.kind == "air dryer" {
            let told = (
                "water at the drains behind it, pneumatic valves move slowly",
                "drain the header, use as little air as can be",
            );
            self.failing(&c.tag, "stopped", None, told, Fault::DryerStopped(i));
        }
    }

    /// A valve in a way of air, or the drain of a receiver.
    pub fn air_valve(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let actuator = self.actuator(&f);
        let site = if c.kind == "air drain" {
            let vessel = self.air_volume(d, &f, "of");
            f.finish(&["of"], &[]);
            vessel.map(Site::AirDrain)
        } else {
            let ends = self.air_path(d, &f, false);
            f.finish(&["from", "to"], &[]);
            ends.map(|ends| Site::Air(self.push_way(c, ends, WayKind::Plain, actuator.position())))
        };
        if let Some(site) = site {
            self.valve(c, ValvePart::new(site, actuator), false);
        }
    }

    /// A compressor into its receiver.
    pub fn compressor(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let to = self.air_volume(d, &f, "to");
        let by_hand = f.word("drive", &[("electric", false), ("engine started by hand", true)]);
        let cooling = match f.optional_link("cooled by") {
            None => None,
            Some(_) => {
                let Some(link) = linked(d, &f, "cooled by").and_then(|n| self.liquid_links.get(&n.tag).copied()) else {
                    return;
                };
                Some(link)
            }
        };
        let params = compressor_params(&f, cooling.is_some(), by_hand);
        let trip = f.text("trip").unwrap_or_default().to_owned();
        let stroke = f.optional("air for a stroke", D::Mass);
        if let Some(to) = to {
            self.serves_drives(&f, to, stroke);
        }
        f.finish(&["to", "cooled by"], &[]);
        let Some(to) = to else { return };
        if !by_hand {
            self.air.bleed(to, params.automatic.1);
        }
        let compressor = Compressor::new(params, self.ambient);
        self.air.net.machines.push(AirMachine { tag: Tag::new(&c.tag), compressor, to, cooling, by_hand });
        let i = self.air.net.machines.len() - 1;
        self.offers.trips.push(Trip { tag: Tag::new(&trip), name: format!("{} trip", c.name) });
        self.offers.guards.push(Guard::Compressor(i));
        let words = Some(("stopped", "running"));
        let runs = Source::CompressorRuns(i);
        self.own_point(&c.tag, &c.name, c, runs, runs, "state", words, false);
        let name = format!("{}, running contact", c.name);
        self.own_point(&format!("YS-{}", number_of(&c.tag)), &name, c, runs, runs, "state", words, true);
        let orders: &[&'static str] =
            if by_hand { &["start", "stop", "reset"] } else { &["automatic", "start", "stop", "reset"] };
        self.control(&c.tag, &c.name, c, orders, None, Handle::Compressor(i));
        let told = ("its running lamp goes out, the pressure falls", "start the other compressor");
        self.failing(&c.tag, "trips", None, told, Fault::CompressorTrips(i));
        let told = ("its lamp stays dark when it is started, or should start by itself", "start the other compressor");
        self.failing(&c.tag, "will not start", None, told, Fault::CompressorWillNotStart(i));
        let size = Size {
            what: "delivery lost",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 1.0,
            default: Some(0.5),
            sound: Some(0.0),
        };
        let told = ("it runs long for its pressure", "bring in the other compressor");
        self.failing(&c.tag, "worn", Some(size), told, Fault::CompressorWorn(i));
        let size = part("of the motor's power", 2.0, 0.6);
        let told = (
            "its motor draws more than its pressure asks for, and trips on overload at last",
            "bring in the other one",
        );
        self.failing(&c.tag, "bearing hot", size, told, Fault::CompressorBearing(i));
        let told = ("it runs and the pressure does not rise", "stop it, start the other compressor");
        self.failing(&c.tag, "unloader stuck", None, told, Fault::UnloaderStuck(i));
    }

    /// Everything about air for the plant; what bleeds from a volume needs a pressure to be measured at.
    pub fn air_net(&mut self) -> AirNet {
        for (v, bleeds) in self.air.net.vessels.iter().zip(&self.air.bleeds) {
            if bleeds.is_some() {
                self.wrong.borrow_mut().push(base::Diagnostic::error(
                    "plant::missing-field",
                    base::Place::default(),
                    format!("{}: needs \"bleeds at\", the pressure at which it bleeds that much", v.tag),
                ));
            }
        }
        std::mem::take(&mut self.air.net)
    }
}

fn compressor_params(f: &Fields<'_>, water_cooled: bool, by_hand: bool) -> CompressorParams {
    let power = f.need("motor", D::Power);
    CompressorParams {
        stages: if f.need("stages", D::Number) >= 2.0 { 2 } else { 1 },
        displacement: f.need("displacement", D::VolumeFlow),
        clearance: f.need("clearance", D::Number),
        exponent: f.need("polytropic exponent", D::Number),
        friction: f.need("friction", D::Power),
        cooler_effectiveness: (0.8, f.need("aftercooler", D::Number)),
        block: f.need("block", D::HeatCapacity),
        water_conductance: if water_cooled { f.need("block to water", D::HeatConductance) } else { 0.0 },
        ambient_conductance: f.need("block to room", D::HeatConductance),
        unload_time: f.need("unloaded after a start", D::Time),
        hot: f.need("trips at", D::Temperature),
        hot_delay: f.need("trips after", D::Time),
        automatic: if by_hand {
            (base::units::ATMOSPHERE, base::units::ATMOSPHERE)
        } else {
            (f.need("starts at", D::Pressure), f.need("stops at", D::Pressure))
        },
        moisture: f.need("moisture", D::Number),
        motor: MotorParams {
            run_up: 2.0,
            run_down: 3.0,
            rated_power: power,
            efficiency: 0.88,
            overload: 1.15,
            overload_delay: 20.0,
        },
    }
}
