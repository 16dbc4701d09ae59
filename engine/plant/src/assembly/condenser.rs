//! The condenser and its vacuum pumps.

use super::fields::{Fields, linked};
use super::machines::{number_of, stands_by};
use super::{Draft, Fault, Handle, Hurt, LiquidLink, LiquidNode, unit_of};
use crate::condenser::{Condenser, Salt, ShellParams, TubesParams, VacuumPump, VacuumPumpParams};
use crate::condenser_part::{CondenserPart, DumpGuard, Made};
use crate::control::{Acts, Threshold, ThresholdParams};
use crate::damage::HeatLimit;
use crate::liquid::Network;
use crate::machines::MotorParams;
use crate::parts::StandbyMachine;
use crate::reading::Source;
use crate::registry::Size;
use crate::steam::{BranchId, BranchSpec, NodeId, SafetyValve, SteamNet, Wall, kv_flow};
use crate::vessel::{Contents, Vessel};
use base::Tag;
use base::description::{Component, Description};
use base::units::{ATMOSPHERE, Dimension as D};

/// A condenser under assembly.
pub struct CondenserDraft {
    tag: String,
    node: NodeId,
    params: ShellParams,
    limit: HeatLimit,
    relief: BranchId,
    in_leakage: BranchId,
    sound: f64,
    pumps: Vec<VacuumPump>,
    /// Their tags.
    pub pump_tags: Vec<String>,
    /// Place of its hotwell among the tanks, and its cooling water.
    joined: Option<(usize, LiquidLink)>,
    drum_ways: Vec<BranchId>,
    dump_shuts: Option<f64>,
    dump: Option<DumpGuard>,
}

/// Most air that a failing lets into a condenser, kg/s: own choice.
pub const LEAK_MAX: f64 = 0.1;

/// Flow coefficient of a hole that lets so much air, kg/s, into a vacuum.
fn air_kv(flow: f64, ambient: f64) -> f64 {
    let density = ATMOSPHERE / (crate::vessel::AIR_CONSTANT * ambient);
    flow / kv_flow(1.0, ATMOSPHERE, 5e3, density, 0.72, 1.0)
}

impl Draft<'_> {
    /// The shell as a vessel of the steam net, full of air, with its relief and its leaks.
    pub fn condenser_shell(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let volume = f.need("volume", D::Volume);
        let metal = f.need("shell metal", D::HeatCapacity);
        let tubes = TubesParams {
            wet: f.need("steam film", D::HeatConductance),
            dry: f.need("gas film", D::HeatConductance),
            water: f.need("water film", D::HeatConductance),
            flow_nominal: f.need("nominal cooling flow", D::MassFlow),
            capacity: f.need("tube metal", D::HeatCapacity),
        };
        let approach = f.need("air cooler", D::Fraction);
        let sound = f.need("air leaks in", D::MassFlow);
        let lifts = f.need("relief lifts", D::Pressure);
        let kv = f.need("relief Kv", D::FlowCoefficient);
        let limit = HeatLimit {
            from: f.need("hurt above", D::Temperature),
            life: f.need("life there", D::Time),
            doubling: f.need("doubles every", D::TemperatureDifference),
        };
        let air = linked(d, &f, "relieves to").and_then(|a| self.steam_nodes.get(&a.tag).copied());
        let dump_shuts = f.optional("dump shuts above", D::Pressure);
        f.finish(&["relieves to", "hotwell", "cooled by", "dump valve", "vacuum"], &[]);
        let Some(air) = air else {
            return Fields::new(c, self.wrong).wrong(
                "plant::not-a-node",
                "its link \"relieves to\" must name an open air".into(),
                None,
            );
        };
        if self.condenser.is_some() {
            return Fields::new(c, self.wrong).wrong(
                "plant::two-condensers",
                "a plant has one condenser at most, and here is a second".into(),
                None,
            );
        }
        let t = self.ambient;
        let wall =
            Wall { t, capacity: tubes.capacity, dry: tubes.dry, wet: tubes.dry, loss: 0.0, ambient: t, heat: 0.0 };
        let contents = Contents::humid_air(volume, metal, ATMOSPHERE, t, 0.0, 0.6);
        let node = self.steam.vessel(&c.tag, Vessel::new(volume, metal, contents), Some(wall));
        self.steam_nodes.insert(c.tag.clone(), node);
        // A disc on a seat that holds air out: full lift a tenth above its setting (common practice).
        let valve = SafetyValve::new(lifts, 0.1, 0.05);
        let spec = BranchSpec { seat: Some(0.0), ..BranchSpec::safety(&format!("relief of {}", c.tag), kv, valve) };
        let relief = self.steam.branch(node, air, spec);
        let spec = BranchSpec::new(&format!("air leaks of {}", c.tag), air_kv(LEAK_MAX, t));
        let in_leakage = self.steam.branch(air, node, spec);
        self.condenser = Some(CondenserDraft {
            tag: c.tag.clone(),
            node,
            params: ShellParams { tubes, volume, approach },
            limit,
            relief,
            in_leakage,
            sound: sound / LEAK_MAX,
            pumps: vec![],
            pump_tags: vec![],
            joined: None,
            drum_ways: vec![],
            dump_shuts,
            dump: None,
        });
        let lifted = Source::SafetyLifted(relief);
        let tag = format!("PSV-{}", number_of(&c.tag));
        let name = format!("{}, relief valve", c.name);
        self.own_point(&tag, &name, c, lifted, lifted, "state", Some(("on its seat", "lifted")), false);
        self.condenser_failings(c);
        self.offers.damageable.push(Tag::new(&c.tag));
        self.offers.hurts.push(Hurt::Condenser);
    }

    fn condenser_failings(&mut self, c: &Component) {
        let size = Size {
            what: "resistance added",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 5.0,
            default: Some(1.0),
            sound: Some(0.0),
        };
        self.failing(
            &c.tag,
            "fouled",
            Some(size),
            ("vacuum falls though cooling water and air extraction are sound", "less steam, and clean the tubes later"),
            Fault::CondenserFouled,
        );
        let size =
            Size { what: "hole", unit: unit_of("mm2"), min: 0.0, max: 1e-4, default: Some(3e-6), sound: Some(0.0) };
        self.failing(
            &c.tag,
            "tube leak",
            Some(size),
            (
                "conductivity of the condensate rises, then of the feed tank and the drum; the hotwell fills",
                "send no condensate to the feed tank, blow down, take the condenser out of use",
            ),
            Fault::CondenserTubeLeak,
        );
        let size = Size {
            what: "air drawn in",
            unit: unit_of("kg/h"),
            min: 0.0,
            max: LEAK_MAX,
            default: Some(60.0 / 3600.0),
            sound: Some(0.0),
        };
        self.failing(
            &c.tag,
            "draws air",
            Some(size),
            ("vacuum falls slowly, condensate is colder than its pressure says", "start the other vacuum pump"),
            Fault::CondenserDrawsAir,
        );
    }

    /// Vacuum pumps.
    pub fn vacuum_pump(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let power = f.need("power", D::Power);
        let run_up = f.need("run up", D::Time);
        let params = VacuumPumpParams {
            capacity: f.need("capacity", D::VolumeFlow),
            power,
            seal_capacity: f.need("seal water", D::HeatCapacity),
            seal_cooling: f.need("seal-water cooler", D::HeatConductance),
            motor: MotorParams {
                run_up,
                run_down: 2.0 * run_up,
                // Some margin, as for other pumps (common practice).
                rated_power: 1.25 * power,
                efficiency: 0.9,
                overload: 1.15,
                overload_delay: 20.0,
            },
        };
        let of = f.optional_link("of").map(|t| t.as_str().to_owned());
        f.finish(&["of"], &[]);
        let ambient = self.ambient;
        let Some(draft) = self.condenser.as_mut().filter(|k| Some(&k.tag) == of.as_ref()) else {
            return Fields::new(c, self.wrong).wrong(
                "plant::no-condenser",
                "its link \"of\" must name the condenser".into(),
                None,
            );
        };
        draft.pumps.push(VacuumPump::new(params, ambient));
        draft.pump_tags.push(c.tag.clone());
        let i = draft.pumps.len() - 1;
        let words = Some(("stopped", "running"));
        let runs = Source::VacuumPumpRuns(i);
        self.own_point(&c.tag, &c.name, c, runs, runs, "state", words, false);
        let name = format!("{}, running contact", c.name);
        self.own_point(&format!("YS-{}", number_of(&c.tag)), &name, c, runs, runs, "state", words, true);
        let standby = stands_by(d, c);
        let orders: &[&'static str] = if standby { &["start", "stop", "standby"] } else { &["start", "stop"] };
        self.control(&c.tag, &c.name, c, orders, None, Handle::VacuumPump(i));
        if standby {
            let told = ("vacuum falls and it does not come in by itself", "start it by hand");
            self.failing(&c.tag, "standby start dead", None, told, Fault::StandbyDead(StandbyMachine::VacuumPump(i)));
        }
        self.failing(
            &c.tag,
            "trips",
            None,
            ("the running lamp goes out, vacuum falls slowly", "start the other vacuum pump"),
            Fault::VacuumPumpTrips(i),
        );
        let told = ("its lamp stays dark when it is started", "start the other vacuum pump");
        self.failing(&c.tag, "will not start", None, told, Fault::VacuumPumpWillNotStart(i));
        let size = Size {
            what: "volume lost",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 1.0,
            default: Some(0.6),
            sound: Some(0.0),
        };
        self.failing(
            &c.tag,
            "worn",
            Some(size),
            ("it runs, and vacuum is poor", "start the other vacuum pump"),
            Fault::VacuumPumpWorn(i),
        );
        let size = super::failings::part("of the motor's power", 2.0, 0.6);
        let told = (
            "its motor draws more than it should, and trips on overload at last",
            "start the other vacuum pump and stop it before it trips",
        );
        self.failing(&c.tag, "bearing hot", size, told, Fault::VacuumPumpBearing(i));
    }

    /// Whether salt is followed in a circuit: the hotwell's.
    pub fn salted(&self, circuit: usize) -> bool {
        let joined = self.condenser.as_ref().and_then(|c| c.joined);
        joined.is_some_and(|(hotwell, _)| self.tanks[hotwell].at.circuit == circuit)
    }

    /// What the condenser is joined to, once everything else has a place.
    pub fn condenser_links(&mut self, d: &Description) {
        let Some(draft) = &self.condenser else { return };
        let Some(c) = d.components.iter().find(|c| c.tag == draft.tag) else { return };
        let link = |role: &str| c.links.get(role).map(|t| t.as_str().to_owned()).unwrap_or_default();
        let hotwell = self.tanks.iter().position(|t| t.tag == link("hotwell"));
        let cooled = self.liquid_links.get(&link("cooled by")).copied();
        let joined = hotwell.zip(cooled).filter(|(_, l)| {
            let ends_there = |n: LiquidNode| n.circuit == l.circuit && n.node == l.to;
            !self.outsides.iter().any(|o| ends_there(o.at)) && !self.tanks.iter().any(|t| ends_there(t.at))
        });
        if joined.is_none() {
            Fields::new(c, self.wrong).wrong(
                "plant::missing-link",
                "needs a tank as its \"hotwell\", and a pipe of cooling water that ends at a junction as what it is \"cooled by\""
                    .into(),
                None,
            );
        }
        let drum = self.boiler.drum.as_ref().map_or("", |b| b.0.as_str());
        let from_drum = |c: &&Component| c.links.get("from").is_some_and(|t| t.as_str() == drum);
        let ways = d.components.iter().filter(from_drum).filter_map(|c| self.steam_branches.get(&c.tag).copied());
        let drum_ways = ways.chain(self.boiler.outlet).chain(self.boiler.burst).collect();
        if let Some(draft) = &mut self.condenser {
            (draft.joined, draft.drum_ways) = (joined, drum_ways);
        }
    }

    /// What shuts the dump valve when vacuum is lost, once instruments and valves have their places.
    pub fn dump_guard(&mut self, d: &Description, c: &Component) {
        let Some(setting) = self.condenser.as_ref().filter(|k| k.tag == c.tag).and_then(|k| k.dump_shuts) else {
            return;
        };
        let f = Fields::new(c, self.wrong);
        let valve = linked(d, &f, "dump valve").and_then(|v| self.valve_tags.iter().position(|t| *t == v.tag));
        let reads = linked(d, &f, "vacuum").and_then(|p| self.point_named(&p.tag));
        let (Some(valve), Some(reads)) = (valve, reads) else {
            return f.wrong(
                "plant::missing-link",
                "\"dump valve\" must name a steam valve and \"vacuum\" a transmitter, for the dump to be shut".into(),
                None,
            );
        };
        // It opens again by its controller when a fifth of the pressure is gone.
        let params = ThresholdParams { setting, differential: 0.2 * setting, delay: 0.5, acts: Acts::Rising };
        if let Some(draft) = &mut self.condenser {
            draft.dump = Some(DumpGuard { valve, reads, lost: Threshold::new(params) });
        }
    }

    /// The condenser of a plant whose circuits and steam net are built.
    pub fn condenser_part(&mut self, circuits: &[Network], steam: &mut SteamNet) -> Option<CondenserPart> {
        let draft = self.condenser.take()?;
        let (hotwell, cooled) = draft.joined?;
        steam.set_opening(draft.in_leakage, draft.sound);
        Some(CondenserPart::new(Made {
            tag: Tag::new(&draft.tag),
            node: draft.node,
            relief: draft.relief,
            in_leakage: draft.in_leakage,
            sound: draft.sound,
            hotwell,
            cooled,
            condenser: Condenser::new(draft.params),
            pumps: draft.pumps,
            salt: Salt::none(&circuits[self.tanks[hotwell].at.circuit]),
            drum_ways: draft.drum_ways,
            dump: draft.dump,
            limit: draft.limit,
        }))
    }
}
