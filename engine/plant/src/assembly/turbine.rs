//! The turbine: casing and exhaust in the steam net, stages, rotor, bearings, governor, trip gear, turning gear.

use super::failings::part;
use super::fields::{Fields, linked};
use super::machines::number_of;
use super::{Draft, Fault, Guard, Handle, Hurt, LiquidLink, unit_of};
use crate::damage::HeatLimit;
use crate::reading::Source;
use crate::registry::{Dial, Size, Trip};
use crate::steam::{BranchId, BranchSpec, NodeId, Wall, stages_kv};
use crate::turbine::bearing::BearingParams;
use crate::turbine::bow::BowParams;
use crate::turbine::expansion::ExpansionParams;
use crate::turbine::governor::GovernorParams;
use crate::turbine::machine::{Limits, TurbineParams};
use crate::turbine::metal::MetalParams;
use crate::turbine::protection::ProtectionParams;
use crate::turbine::turning::TurningParams;
use crate::turbine::vibration::VibrationParams;
use crate::turbine::{Oil, Turbine, TurbineSet, Ways};
use crate::turbine_part::{Made, TurbineFault, TurbineHandle, TurbineHurt, TurbinePart, TurbineReading, TurbineReads};
use crate::vessel::{Contents, Vessel};
use base::Tag;
use base::description::{Component, Description};
use base::units::{ATMOSPHERE, Dimension as D};

/// A turbine under assembly.
#[derive(Default)]
pub struct TurbineDraft {
    pub tag: String,
    pub bearings: Vec<String>,
    pub trip_gear: String,
    pub rotation: f64,
    pub turbine: Option<Turbine>,
    pub ways: Option<Ways>,
    pub oil: Option<(String, Oil, LiquidLink)>,
    pub generator: Option<String>,
    pub reads: Option<TurbineReads>,
}

/// Words of a pump that can stand by.
pub const ON_OFF: Option<(&str, &str)> = Some(("stopped", "running"));

impl Draft<'_> {
    /// A turbine's casing, before the stages: its inner half is the wall.
    pub fn turbine_casing(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (volume, capacity) = (f.need("casing volume", D::Volume), f.need("casing, inner half", D::HeatCapacity));
        let wet = f.need("condensing film", D::HeatConductance);
        let t = self.ambient;
        // The dry film follows the flow: see `turbine::metal`.
        let wall = Wall { t, capacity, dry: 0.0, wet, loss: 0.0, ambient: t, heat: 0.0 };
        let contents = Contents::humid_air(volume, 0.0, ATMOSPHERE, t, 0.0, 0.6);
        let node = self.steam.vessel(&c.tag, Vessel::new(volume, 0.0, contents), Some(wall));
        self.steam_nodes.insert(c.tag.clone(), node);
    }

    /// A turbine's exhaust: metal in the flow and a wall.
    pub fn turbine_exhaust(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (volume, metal) = (f.need("volume", D::Volume), f.need("metal in the flow", D::HeatCapacity));
        let wet = f.need("wall conductance", D::HeatConductance);
        let t = self.ambient;
        let wall = Wall {
            t,
            capacity: f.need("wall capacity", D::HeatCapacity),
            // Gas takes about a twentieth of what condensing steam does (handbook class of value).
            dry: wet / 20.0,
            wet,
            loss: f.need("loss to room", D::HeatConductance),
            ambient: t,
            heat: 0.0,
        };
        f.finish(&[], &[]);
        let contents = Contents::humid_air(volume, metal, ATMOSPHERE, t, 0.0, 0.6);
        let node = self.steam.vessel(&c.tag, Vessel::new(volume, metal, contents), Some(wall));
        self.steam_nodes.insert(c.tag.clone(), node);
    }

    /// The one component of a kind that names the turbine in its link "of".
    fn of_turbine<'d>(&self, d: &'d Description, kind: &str, turbine: &Component) -> Option<&'d Component> {
        let of = |c: &&Component| c.kind == kind && c.links.get("of").is_some_and(|t| t.as_str() == turbine.tag);
        let mut found = d.components.iter().filter(of);
        let one = found.next();
        if one.is_none() || found.next().is_some() {
            Fields::new(turbine, self.wrong).wrong(
                "plant::turbine-parts",
                format!("needs one {kind} whose link \"of\" names it"),
                None,
            );
        }
        one
    }

    /// Everything of a turbine but its oil, once the steam net's nodes are there.
    pub fn turbine(&mut self, d: &Description, c: &Component) {
        if self.turbine.turbine.is_some() {
            return Fields::new(c, self.wrong).wrong(
                "plant::two-turbines",
                "a plant has one turbine at most, and here is a second".into(),
                None,
            );
        }
        let f = Fields::new(c, self.wrong);
        let end = |role: &'static str| {
            linked(d, &f, role).and_then(|x| {
                let node = self.steam_nodes.get(&x.tag).copied();
                if node.is_none() {
                    f.wrong("plant::not-a-node", format!("{} is no part of the steam net", x.tag), None);
                }
                node
            })
        };
        let (line, exhaust) = (end("from"), end("to"));
        let generator = f.optional_link("drives").map(|t| t.as_str().to_owned());
        let rotation = f.need("rated speed", D::Rotation);
        let omega = f.need("speed of its shaft", D::Rotation) * core::f64::consts::TAU;
        let parts = (
            self.of_turbine(d, "turbine governor", c),
            self.of_turbine(d, "trip gear", c),
            self.of_turbine(d, "turning gear", c),
        );
        let bearings: Vec<&Component> = d
            .components
            .iter()
            .filter(|b| b.kind == "turbine bearing" && b.links.get("of").is_some_and(|t| t.as_str() == c.tag))
            .collect();
        let expansion = expansion(&f);
        let params = TurbineParams {
            omega,
            inertia: f.need("inertia", D::Inertia),
            drag: f.need("drag", D::Power) / omega,
            expansion,
            metal: metal(&f),
            bow: bow(&f),
            vibration: vibration(&f),
            bearings: crate::turbine::sizing::bearings(),
            governor: crate::turbine::sizing::governor(),
            protection: crate::turbine::sizing::protection(),
            turning: crate::turbine::sizing::turning(),
            limits: limits(&f),
        };
        f.need("casing volume", D::Volume);
        f.finish(&["from", "to", "drives"], &[]);
        let &[fore, after, gear] = bearings.as_slice() else {
            return Fields::new(c, self.wrong).wrong(
                "plant::turbine-parts",
                "needs three turbine bearings in this order: forward bearing, after bearing, gear".into(),
                None,
            );
        };
        let (Some(governor), Some(trip_gear), Some(turning)) = parts else { return };
        self.turbine.generator = generator;
        let mut params = params;
        params.bearings = [fore, after, gear].map(|b| self.bearing(b));
        params.governor = self.governor(governor, rotation);
        params.protection = self.trip_gear(trip_gear, rotation);
        let rated = rated_power(&params) / omega;
        params.turning = self.turning(turning, rotation, rated);
        let (Some(line), Some(exhaust)) = (line, exhaust) else { return };
        let Some(casing) = self.steam_nodes.get(&c.tag).copied() else { return };
        self.join_turbine(c, params, (line, casing, exhaust));
        self.turbine.tag = c.tag.clone();
        self.turbine.rotation = rotation;
        self.turbine.trip_gear = trip_gear.tag.clone();
        self.turbine.bearings = [fore, after, gear].map(|b| b.tag.clone()).to_vec();
        let size = Size {
            what: "centre of mass off by",
            unit: unit_of("um"),
            min: 0.0,
            max: 5e-4,
            default: Some(6e-5),
            sound: Some(0.0),
        };
        let seen =
            ("vibration rises with speed, most near the critical speed", "lower the load and take it off the board");
        self.turbine_failing(&c.tag, "unbalanced", Some(size), seen, TurbineFault::Unbalanced);
        self.offers.damageable.push(Tag::new(&c.tag));
        self.offers.hurts.push(Hurt::Turbine(TurbineHurt::Rotor));
    }

    fn join_turbine(&mut self, c: &Component, params: TurbineParams, nodes: (NodeId, NodeId, NodeId)) {
        let (line, casing, exhaust) = nodes;
        let turbine = Turbine::new(params, self.ambient);
        let e = params.expansion;
        let kv = stages_kv(e.flow, e.pressure, e.back_pressure, turbine.expansion().density_nominal());
        let admission = BranchSpec::new(&format!("stop and governor valve of {}", c.tag), turbine.governor.kv_full());
        let admission = self.steam.branch(line, casing, admission);
        let stages = self.steam.branch(casing, exhaust, BranchSpec::stages(&format!("stages of {}", c.tag), kv));
        self.always_open.push(stages);
        self.shut_at_start.push(admission);
        self.turbine.ways = Some(Ways { line, casing, exhaust, admission, stages });
        self.turbine.turbine = Some(turbine);
    }

    /// A failing of the turbine or what belongs to it.
    pub fn turbine_failing(
        &mut self,
        on: &str,
        kind: &'static str,
        size: Option<Size>,
        told: (&'static str, &'static str),
        fault: TurbineFault,
    ) {
        self.failing(on, kind, size, told, Fault::Turbine(fault));
    }

    fn bearing(&mut self, c: &Component) -> BearingParams {
        let f = Fields::new(c, self.wrong);
        let params = BearingParams {
            friction: f.need("friction", D::Power),
            load: f.need("load times speed", D::Power),
            mixed: f.need("mixed below", D::Fraction),
            flow: f.need("oil", D::MassFlow),
            conductance: f.need("to the oil", D::HeatConductance),
            capacity: f.need("heat capacity", D::HeatCapacity),
            loss: f.need("loss to room", D::HeatConductance),
            heat_limit: HeatLimit {
                from: f.need("hurt above", D::Temperature),
                life: f.need("life there", D::Time),
                doubling: f.need("doubles every", D::TemperatureDifference),
            },
            wiped: f.need("wiped dry in", D::Time),
        };
        f.finish(&["of"], &[]);
        let i = self.offers.hurts.iter().filter(|h| matches!(h, Hurt::Turbine(TurbineHurt::Bearing(_)))).count();
        self.offers.damageable.push(Tag::new(&c.tag));
        self.offers.hurts.push(Hurt::Turbine(TurbineHurt::Bearing(i)));
        let size = part("friction added", 10.0, 3.0);
        let seen = (
            "the temperature of the bearing rises above the others",
            "lower the load, more cooling, and stop before it trips",
        );
        self.turbine_failing(&c.tag, "hot", size, seen, TurbineFault::BearingRough(i));
        params
    }

    fn governor(&mut self, c: &Component, rotation: f64) -> GovernorParams {
        let f = Fields::new(c, self.wrong);
        let params = GovernorParams {
            droop: f.need("droop", D::Fraction),
            range: (f.need("speed from", D::Rotation) / rotation, f.need("speed to", D::Rotation) / rotation),
            rate: f.need("speed changer", D::Fraction) / 60.0,
            lag: f.need("lag", D::Time),
            stroke: (f.need("opens in", D::Time), f.need("shuts in", D::Time)),
            wheel: f.need("wheel turns in", D::Time),
            slam: f.need("slams in", D::Time),
            stop_kv: f.need("stop valve Kv", D::FlowCoefficient),
            governor_kv: f.need("governor valve Kv", D::FlowCoefficient),
        };
        let stop = f.text("stop valve").unwrap_or_default().to_owned();
        f.finish(&["of"], &[]);
        let dial = Dial { unit: unit_of("rpm"), min: params.range.0 * rotation, max: params.range.1 * rotation };
        // A coupled generator has the speed changer: its own control, and the automatic synchroniser.
        if self.turbine.generator.is_none() {
            self.control(
                &c.tag,
                &c.name,
                c,
                &["raise", "lower", "hold"],
                Some(dial),
                Handle::Turbine(TurbineHandle::SpeedChanger),
            );
        }
        let dial = super::part_dial("% open");
        self.control(
            &stop,
            "stop valve of the turbine",
            c,
            &["open", "shut"],
            Some(dial),
            Handle::Turbine(TurbineHandle::StopValve),
        );
        self.turbine_point(&stop, "stop valve of the turbine", c, TurbineReading::StopValve, "% open", None, false);
        let n = number_of(&stop);
        let (open, shut) = (Some(("not open", "open")), Some(("not shut", "shut")));
        self.turbine_point(
            &format!("ZSH-{n}"),
            "stop valve of the turbine, open switch",
            c,
            TurbineReading::StopValveOpen,
            "state",
            open,
            true,
        );
        self.turbine_point(
            &format!("ZSL-{n}"),
            "stop valve of the turbine, shut switch",
            c,
            TurbineReading::StopValveShut,
            "state",
            shut,
            true,
        );
        self.turbine_point(
            &c.tag,
            "governor valve of the turbine",
            c,
            TurbineReading::GovernorValve,
            "% open",
            None,
            false,
        );
        let seen =
            ("speed and load swing by themselves", "lower the load, hold the load limiter or go to another machine");
        self.turbine_failing(&c.tag, "hunting", None, seen, TurbineFault::Hunting);
        let seen = ("the load no longer follows the speed changer", "take the load off and trip by hand");
        self.turbine_failing(&c.tag, "stuck", None, seen, TurbineFault::GovernorStuck);
        let seen = ("the position stands still while the wheel turns", "shut the steam off at the source valve");
        self.turbine_failing(&stop, "stuck", None, seen, TurbineFault::StopStuck);
        params
    }

    fn trip_gear(&mut self, c: &Component, rotation: f64) -> ProtectionParams {
        let f = Fields::new(c, self.wrong);
        let params = ProtectionParams {
            mechanical: f.need("bolt acts at", D::Rotation) / rotation,
            electronic: f.need("electronic overspeed", D::Rotation) / rotation,
            oil: (f.need("oil pressure below", D::Pressure), f.need("oil delay", D::Time)),
            exhaust: (f.need("exhaust pressure above", D::Pressure), f.need("exhaust delay", D::Time)),
            vibration: (f.need("vibration above", D::Length), f.need("vibration delay", D::Time)),
            bearing: (f.need("bearing above", D::Temperature), f.need("bearing delay", D::Time)),
        };
        f.text("trip");
        f.text("set contact");
        f.finish(&["of", "speed", "oil pressure", "exhaust pressure", "vibration", "forward", "after", "gear"], &[]);
        let trip = c.fields.get("trip").map_or(String::new(), |x| x.value.clone());
        let set = c.fields.get("set contact").map_or(String::new(), |x| x.value.clone());
        self.offers.trips.push(Trip { tag: Tag::new(&trip), name: "turbine trip".into() });
        self.offers.guards.push(Guard::Turbine);
        self.control(&c.tag, &c.name, c, &["trip", "reset"], None, Handle::Turbine(TurbineHandle::TripGear));
        let words = Some(("not set", "set"));
        self.turbine_point(
            &set,
            "trip gear of the turbine, set contact",
            c,
            TurbineReading::TripGearSet,
            "state",
            words,
            true,
        );
        let seen = ("nothing, until the speed runs away", "trip by hand");
        self.turbine_failing(&c.tag, "bolt dead", None, seen, TurbineFault::BoltDead);
        self.turbine_failing(&c.tag, "electronic trip dead", None, seen, TurbineFault::ElectronicDead);
        params
    }

    fn turning(&mut self, c: &Component, rotation: f64, rated: f64) -> TurningParams {
        let f = Fields::new(c, self.wrong);
        let params = TurningParams {
            speed: f.need("turns at", D::Rotation) / rotation,
            torque: f.need("greatest torque", D::Fraction) * rated,
            standstill: f.need("standstill below", D::Rotation) / rotation,
            released_from: f.need("released from", D::Pressure),
        };
        f.finish(&["of"], &[]);
        self.control(&c.tag, &c.name, c, &["in", "out"], None, Handle::Turbine(TurbineHandle::TurningGear));
        let words = Some(("out", "in"));
        self.turbine_point(&c.tag, &c.name, c, TurbineReading::TurningIn, "state", words, false);
        let n = number_of(&c.tag).to_owned();
        self.turbine_point(
            &format!("YS-{n}"),
            "turning gear, running contact",
            c,
            TurbineReading::TurningRuns,
            "state",
            ON_OFF,
            true,
        );
        let seen = ("the running lamp is dark though it is in", "turn by hand, and do not let steam in");
        self.turbine_failing(&c.tag, "will not run", None, seen, TurbineFault::TurningDead);
        let seen = ("it runs and the rotor stands", "turn by hand, and do not let steam in");
        self.turbine_failing(&c.tag, "slips", None, seen, TurbineFault::TurningSlips);
        params
    }

    /// A point of the turbine under some tag.
    #[expect(clippy::too_many_arguments, reason = "the columns of a table")]
    pub fn turbine_point(
        &mut self,
        tag: &str,
        name: &str,
        c: &Component,
        what: TurbineReading,
        unit: &str,
        words: Option<(&'static str, &'static str)>,
        has_signal: bool,
    ) {
        let source = Source::Turbine(what);
        self.own_point(tag, name, c, source, source, unit, words, has_signal);
    }

    /// What can be read at a component of the turbine.
    pub fn turbine_choices(&self, of: &Component) -> Vec<(&'static str, Source, D)> {
        use TurbineReading as R;
        let t = &self.turbine;
        let all: &[(&'static str, R, D)] = if of.tag == t.tag {
            &[
                ("speed", R::Speed, D::Rotation),
                ("vibration", R::Vibration, D::Length),
                ("eccentricity", R::Bow, D::Length),
                ("differential expansion", R::Expansion, D::Length),
                ("rotor metal", R::RotorSkin, D::Temperature),
                ("rotor difference", R::RotorDifference, D::TemperatureDifference),
                ("casing metal", R::CasingMetal, D::Temperature),
                ("casing difference", R::CasingDifference, D::TemperatureDifference),
                ("steam power", R::Power, D::Power),
                ("flow", R::Flow, D::MassFlow),
            ]
        } else if t.oil.as_ref().is_some_and(|o| o.0 == of.tag) {
            &[
                ("oil pressure", R::OilPressure, D::Pressure),
                ("oil temperature", R::OilTemperature, D::Temperature),
                ("temperature", R::TankTemperature, D::Temperature),
                ("level", R::TankLevel, D::Length),
                ("filter drop", R::FilterDrop, D::PressureDifference),
            ]
        } else if let Some(i) = t.bearings.iter().position(|b| *b == of.tag) {
            return vec![
                ("temperature", Source::Turbine(R::Bearing(i)), D::Temperature),
                ("oil temperature", Source::Turbine(R::BearingOil(i)), D::Temperature),
            ];
        } else {
            &[]
        };
        all.iter().map(|&(word, what, dimension)| (word, Source::Turbine(what), dimension)).collect()
    }

    /// The signals that the trip gear reads, once the instruments have their places.
    pub fn trip_gear_reads(&mut self, d: &Description, c: &Component) {
        if self.turbine.trip_gear != c.tag {
            return;
        }
        let f = Fields::new(c, self.wrong);
        let point = |role: &'static str| {
            let found = linked(d, &f, role)?;
            let id = self.point_named(&found.tag);
            if id.is_none() {
                f.wrong("plant::trip-gear", format!("its \"{role}\" must name a transmitter"), None);
            }
            id
        };
        let all = ["speed", "oil pressure", "exhaust pressure", "vibration", "forward", "after", "gear"].map(point);
        if let [Some(speed), Some(oil), Some(exhaust), Some(vibration), Some(a), Some(b), Some(g)] = all {
            self.turbine.reads = Some(TurbineReads { speed, oil, exhaust, vibration, bearings: [a, b, g] });
        }
    }

    /// The turbine of a plant whose steam net is built.
    pub fn turbine_part(&mut self) -> Option<TurbinePart> {
        let t = std::mem::take(&mut self.turbine);
        let (turbine, ways) = (t.turbine?, t.ways?);
        let Some((_, oil, water)) = t.oil else {
            self.wrong.borrow_mut().push(base::Diagnostic::error(
                "plant::unfinished",
                base::Place::default(),
                format!("the turbine {} has no turbine oil", t.tag),
            ));
            return None;
        };
        let generator = t.generator.as_deref().and_then(|g| self.generating_set(g));
        if let (Some(tag), None) = (&t.generator, generator) {
            self.wrong.borrow_mut().push(base::Diagnostic::error(
                "plant::drives",
                base::Place::default(),
                format!("{}: its link \"drives\" must name a generator, and {tag} is none", t.tag),
            ));
        }
        Some(TurbinePart::new(Made {
            set: TurbineSet { turbine, oil, ways },
            rotation: t.rotation,
            water,
            generator,
            reads: t.reads?,
        }))
    }

    /// The branches that stand shut until something opens them.
    pub fn shut_at_start(&self, steam: &mut crate::steam::SteamNet) {
        for b in &self.shut_at_start {
            steam.set_opening(*b, 0.0);
        }
    }
}

/// Branches that are shut at the start.
pub type ShutAtStart = Vec<BranchId>;

fn rated_power(p: &TurbineParams) -> f64 {
    crate::turbine::Expansion::new(p.expansion).power_nominal()
}

fn expansion(f: &Fields<'_>) -> ExpansionParams {
    ExpansionParams {
        flow: f.need("rated flow", D::MassFlow),
        pressure: f.need("rated pressure", D::Pressure),
        temperature: f.need("rated temperature", D::Temperature),
        back_pressure: f.need("rated back pressure", D::Pressure),
        efficiency: f.need("efficiency of the blades", D::Fraction),
        leaving: f.need("leaving loss", D::SpecificEnergy),
        windage: f.need("windage", D::Power),
    }
}

fn metal(f: &Fields<'_>) -> MetalParams {
    MetalParams {
        rotor: (f.need("rotor, skin", D::HeatCapacity), f.need("rotor, core", D::HeatCapacity)),
        rotor_link: f.need("skin to core", D::HeatConductance),
        casing_inner: f.need("casing, inner half", D::HeatCapacity),
        casing_outer: f.need("casing, outer half", D::HeatCapacity),
        casing_link: f.need("inner to outer", D::HeatConductance),
        loss: f.need("loss to room", D::HeatConductance),
        dry: f.need("film at rated flow", D::HeatConductance),
        wet: f.need("condensing film", D::HeatConductance),
        ends: f.need("rotor to bearings", D::HeatConductance),
        length: f.need("length", D::Length),
    }
}

fn bow(f: &Fields<'_>) -> BowParams {
    BowParams {
        length: f.need("length", D::Length),
        diameter: f.need("diameter", D::Length),
        part: f.need("bow standing", D::Fraction),
        standing: f.need("bow grows in", D::Time),
        turning: f.need("bow dies away in", D::Time),
        // Rubbing 0.1 mm past the clearance heats one side by 0.2 K a second: own choice.
        rub: 2000.0,
        turned_from: 0.003,
    }
}

fn vibration(f: &Fields<'_>) -> VibrationParams {
    VibrationParams {
        critical: f.need("critical speed", D::Rotation) / f.need("rated speed", D::Rotation),
        damping: f.need("damping", D::Fraction),
        unbalance: f.need("unbalance", D::Length),
        thermal: f.need("bow for a kelvin", D::Length),
        time: f.need("vibration follows in", D::Time),
        clearance: f.need("clearance", D::Length),
    }
}

fn limits(f: &Fields<'_>) -> Limits {
    Limits {
        axial: (f.need("rotor longer at most", D::Length), f.need("rotor shorter at most", D::Length)),
        rotor_stress: (f.need("rotor strained above", D::TemperatureDifference), f.need("rotor life", D::Time)),
        casing_stress: (f.need("casing strained above", D::TemperatureDifference), f.need("casing life", D::Time)),
        overspeed: f.need("strained by speed above", D::Rotation) / f.need("rated speed", D::Rotation),
    }
}
