//! The turbine: casing and exhaust in the steam net, stages, rotor, and its parts (`turbine_gear`) put together.

use super::fields::{Fields, linked};
use super::turbine_gear::{bow, expansion, limits, metal, vibration};
use super::{Draft, Fault, Hurt, LiquidLink, unit_of};
use crate::reading::Source;
use crate::registry::Size;
use crate::steam::{BranchId, BranchSpec, NodeId, Wall, stages_kv};
use crate::turbine::machine::TurbineParams;
use crate::turbine::{Oil, Turbine, TurbineSet, Ways};
use crate::turbine_part::{Made, TurbineFault, TurbineHurt, TurbinePart, TurbineReading, TurbineReads};
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
