//! The steam net: drum, superheater, main line, coils, vents, drains, traps and the safety valve.

use super::boiler;
use super::failings::part;
use super::fields::{Fields, linked};
use super::{BoilerDraft, CoilDraft, Draft, Fault, Hurt};
use crate::boiler::{Drum, Superheater};
use crate::liquid::Fluid;
use crate::parts::HammerPart;
use crate::steam::{
    BranchId, BranchSpec, Characteristic, Draws, Gives, Hammer, HammerParams, NodeId, Outside, SafetyValve, Wall,
};
use crate::vessel::{Contents, Vessel};
use base::Tag;
use base::description::{Component, Description};
use base::units::{ATMOSPHERE, Dimension as D};

/// Q = A sqrt(2 dp/rho) as a flow coefficient: 1 m2 is 50 900 m3/h at 1 bar of cold water.
const KV_OF_AREA: f64 = 50_912.0;

impl Draft<'_> {
    /// The vessels and outsides of the net.
    pub fn steam_nodes(&mut self, d: &Description) {
        for c in d.components.iter().filter(|c| c.kind == "open air") {
            let f = Fields::new(c, self.wrong);
            let (t, humidity) = (f.need("temperature", D::Temperature), f.need("humidity", D::Fraction));
            f.finish(&[], &[]);
            self.ambient = t;
            let node = self.steam.outside(&c.tag, Outside::atmosphere(t, humidity));
            self.steam_nodes.insert(c.tag.clone(), node);
            self.open_air.push((node, humidity));
        }
        for c in &d.components {
            match c.kind.as_str() {
                "drum" => self.drum(c),
                "superheater" => self.superheater(d, c),
                "steam space" => self.steam_space(c),
                "heating coil" => self.coil(d, c),
                "condenser" => self.condenser_shell(d, c),
                "steam main" => self.steam_main(c),
                "turbine" => self.turbine_casing(c),
                "turbine exhaust" => self.turbine_exhaust(c),
                _ => {}
            }
        }
    }

    /// A main of steam from outside the plant, at one pressure and temperature.
    fn steam_main(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let main = Outside::new(f.need("pressure", D::Pressure), f.need("temperature", D::Temperature), Gives::Steam);
        f.finish(&[], &[]);
        let node = self.steam.outside(&c.tag, main);
        self.steam_nodes.insert(c.tag.clone(), node);
    }

    /// A vessel full of air, as cold as the room.
    fn cold(&self, volume: f64, metal: f64) -> Vessel {
        Vessel::new(volume, metal, Contents::humid_air(volume, metal, ATMOSPHERE, self.ambient, 0.0, 0.6))
    }

    fn drum(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let figures = boiler::drum(&f);
        f.finish(&[], &[]);
        let p = figures.drum;
        // What stands in risers and downcomers, and in the drum up to the level.
        let height = (p.normal_level + figures.level_start).max(0.0);
        let liquid = p.circulation.riser_volume + p.circulation.downcomer_volume + p.shape.volume_to(height);
        let t = figures.temperature_start;
        let volume = p.volume();
        let contents = Contents::humid_air(volume, figures.metal, ATMOSPHERE, t, liquid, 1.0);
        let mut vessel = Vessel::new(volume, figures.metal, contents);
        match vessel.equilibrium() {
            Ok(e) => {
                let mut drum = Drum::new(p, &e);
                drum.shell = Some(crate::boiler::shell::Shell::new(figures.shell, t));
                drum.tubes = Some(crate::boiler::tubes::Tubes::new(figures.tubes, t));
                let node = self.steam.vessel(&c.tag, vessel, None);
                self.steam_nodes.insert(c.tag.clone(), node);
                self.boiler.drum = Some((c.tag.clone(), node, drum));
                if let Some(air) = self.steam_nodes.values().copied().next() {
                    let kv = figures.tubes.burst_area * KV_OF_AREA;
                    let spec = BranchSpec::drain(&format!("burst tube of {}", c.tag), kv);
                    self.boiler.burst = Some(self.steam.branch(node, air, spec));
                }
            }
            Err(e) => Fields::new(c, self.wrong).wrong("plant::start", format!("at the start, {e}"), None),
        }
    }

    fn superheater(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (volume, kv) = (f.need("volume", D::Volume), f.need("inlet Kv", D::FlowCoefficient));
        let params = boiler::superheater(&f);
        let from = linked(d, &f, "from").map(|c| c.tag.clone());
        f.finish(&["from"], &[]);
        let node = self.steam.vessel(&c.tag, self.cold(volume, 0.0), None);
        self.steam_nodes.insert(c.tag.clone(), node);
        if let Some(air) = self.steam_nodes.values().copied().next() {
            let spec = BranchSpec::new(&format!("burst tube of {}", c.tag), params.burst_area * KV_OF_AREA);
            self.boiler.superheater_burst = Some(self.steam.branch(node, air, spec));
        }
        self.boiler.superheater = Some((c.tag.clone(), node, Superheater::new(params, self.ambient)));
        if let Some(from) = from.and_then(|tag| self.steam_nodes.get(&tag).copied()) {
            let branch = self.steam.branch(from, node, BranchSpec::new(&format!("{} inlet", c.tag), kv));
            self.boiler.outlet = Some(branch);
            self.always_open.push(branch);
        }
    }

    fn steam_space(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let volume = f.need("volume", D::Volume);
        let wet = f.need("wall conductance", D::HeatConductance);
        let wall = Wall {
            t: self.ambient,
            capacity: f.need("wall capacity", D::HeatCapacity),
            // Gas takes about a twentieth of what condensing steam does (handbook class of value).
            dry: wet / 20.0,
            wet,
            loss: f.need("loss to room", D::HeatConductance),
            ambient: self.ambient,
            heat: 0.0,
        };
        // A line of pipe tells its bore, and what blow it stands.
        let pipe = f.optional("bore", D::Length).map(|bore| (bore, f.need("stands blows of", D::PressureDifference)));
        f.finish(&[], &[]);
        let node = self.steam.vessel(&c.tag, self.cold(volume, 0.0), Some(wall));
        self.steam_nodes.insert(c.tag.clone(), node);
        if let Some((bore, strength)) = pipe {
            let hammer = Hammer::new(HammerParams { bore, strength, volume });
            self.hammers.push(HammerPart { tag: Tag::new(&c.tag), node, ways: vec![], hammer });
            self.offers.damageable.push(Tag::new(&c.tag));
            self.offers.hurts.push(Hurt::Line(self.hammers.len() - 1));
        }
    }

    /// The ways by which steam comes into the lines that can be hammered.
    pub fn hammer_ways(&mut self, d: &Description) {
        for c in &d.components {
            let Some(to) = c.links.get("to") else { continue };
            let (Some(h), Some(branch)) =
                (self.hammers.iter_mut().find(|h| h.tag == *to), self.steam_branches.get(&c.tag))
            else {
                continue;
            };
            h.ways.push(*branch);
        }
    }

    fn coil(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let volume = f.need("volume", D::Volume);
        let outside = f.need("conductance", D::HeatConductance);
        let capacity = f.need("wall capacity", D::HeatCapacity);
        let tank = linked(d, &f, "in").map(|c| c.tag.clone());
        f.finish(&["in"], &[]);
        let Some(tank) = tank.and_then(|t| self.heated_tanks.iter().position(|h| h.0 == t)) else { return };
        let t = self.heated_tanks[tank].1.temperature();
        // Condensing steam inside gives heat about eight times better than water outside takes it.
        let wall = Wall { t, capacity, dry: outside / 10.0, wet: 8.0 * outside, loss: outside, ambient: t, heat: 0.0 };
        let contents = Contents::humid_air(volume, 0.0, ATMOSPHERE, t, 0.0, 0.3);
        let node = self.steam.vessel(&c.tag, Vessel::new(volume, 0.0, contents), Some(wall));
        self.steam_nodes.insert(c.tag.clone(), node);
        self.coils.push(CoilDraft { node, tank, clean: outside });
        let told = (
            "the tank warms slowly, and the coil takes little steam at a fair pressure",
            "open its steam valve further, bring in the other coil",
        );
        self.failing(
            &c.tag,
            "fouled",
            part("part of its heat lost", 0.98, 0.5),
            told,
            Fault::CoilFouled(self.coils.len() - 1),
        );
    }

    /// The node at the end of a steam branch: a vessel, the open air, or an open tank that takes what comes.
    fn steam_end(&mut self, d: &Description, f: &Fields<'_>, role: &'static str) -> Option<NodeId> {
        let c = linked(d, f, role)?;
        if let Some(node) = self.steam_nodes.get(&c.tag) {
            return Some(*node);
        }
        if let Some(i) = self.tanks.iter().position(|t| t.tag == c.tag) {
            let outside = Outside::new(ATMOSPHERE, self.tanks[i].tank.temperature(), Gives::Water);
            let node = self.steam.outside(&c.tag, outside);
            self.steam_nodes.insert(c.tag.clone(), node);
            return Some(node);
        }
        f.wrong("plant::not-a-node", format!("{} is no part of the steam net", c.tag), None);
        None
    }

    /// Valves, traps and the safety valve of the net. Steam valves get their actuators with the others.
    pub fn steam_branches(&mut self, d: &Description) {
        for c in &d.components {
            let f = Fields::new(c, self.wrong);
            match c.kind.as_str() {
                "steam valve" => {
                    let kv = f.need("Kv", D::FlowCoefficient);
                    let draws = f.word(
                        "takes",
                        &[("steam", Draws::Gas), ("liquid", Draws::Liquid), ("liquid first", Draws::Liquid)],
                    );
                    let how = f.word(
                        "characteristic",
                        &[
                            ("linear", Characteristic::Linear),
                            ("equal percentage", Characteristic::EqualPercentage(30.0)),
                        ],
                    );
                    // Into an open tank steam blows through holes in a pipe behind a non-return valve, and condenses there.
                    let tank = self.tank_at(&f);
                    let spec = BranchSpec { draws, seat: tank.map(|_| 0.0), ..BranchSpec::new(&c.tag, kv) };
                    if let Some(branch) = self.steam_branch(d, &f, spec.opening_as(how)) {
                        self.condensate.extend(tank.map(|t| (branch, t)));
                        self.steam_valve(c, &f, branch);
                    }
                    f.finish(&["from", "to"], &[]);
                }
                "turbine" => self.turbine(d, c),
                "turbine oil" => self.turbine_oil(d, c),
                "steam trap" => {
                    let spec = BranchSpec::trap(&c.tag, f.need("Kv", D::FlowCoefficient));
                    if let Some(branch) = self.steam_branch(d, &f, spec) {
                        self.always_open.push(branch);
                        self.condensate.extend(self.tank_at(&f).map(|t| (branch, t)));
                        let told = (
                            "its coil fills with water and goes cold, and no condensate comes back",
                            "shut the coil's steam, bring in the other one",
                        );
                        let size = part("part shut", 1.0, 1.0);
                        self.failing(&c.tag, "blocked", size, told, Fault::TrapBlocked(branch));
                    }
                    f.finish(&["from", "to"], &[]);
                }
                "steam orifice" => {
                    let kv = f.need("Kv", D::FlowCoefficient);
                    let draws = f.word("takes", &[("steam", Draws::Gas), ("liquid first", Draws::Liquid)]);
                    let spec = BranchSpec { draws, ..BranchSpec::new(&c.tag, kv) };
                    if let Some(branch) = self.steam_branch(d, &f, spec) {
                        self.always_open.push(branch);
                    }
                    f.finish(&["from", "to"], &[]);
                }
                "safety valve" => {
                    let set = f.need("lifts at", D::Pressure);
                    let over = f.need("full by", D::PressureDifference) / set;
                    let down = f.need("reseats by", D::PressureDifference) / set;
                    let valve = SafetyValve::new(set, over, down);
                    let spec = BranchSpec::safety(&c.tag, f.need("Kv", D::FlowCoefficient), valve);
                    let contact = f.text("lift contact").unwrap_or_default().to_owned();
                    if let Some(branch) = self.steam_branch(d, &f, spec) {
                        self.safety_valve(c, &contact, branch);
                    }
                    f.finish(&["from", "to"], &[]);
                }
                _ => {}
            }
        }
    }

    /// The open tank that a branch leads to.
    fn tank_at(&self, f: &Fields<'_>) -> Option<usize> {
        let tag = f.optional_link("to")?;
        self.tanks.iter().position(|t| t.tag == tag.as_str())
    }

    fn steam_branch(&mut self, d: &Description, f: &Fields<'_>, spec: BranchSpec) -> Option<BranchId> {
        let (from, to) = (self.steam_end(d, f, "from")?, self.steam_end(d, f, "to")?);
        let branch = self.steam.branch(from, to, spec);
        self.steam_branches.insert(f.component().tag.clone(), branch);
        Some(branch)
    }

    /// Tanks that only hold heat.
    pub fn heated_tanks(&mut self, d: &Description) {
        for c in d.components.iter().filter(|c| c.kind == "heated tank") {
            let f = Fields::new(c, self.wrong);
            let tank = super::HeatedTank::new(
                f.need("holds", D::Mass) * f.or("specific heat", D::SpecificHeat, Fluid::FreshWater.heat_capacity()),
                f.need("loss to room", D::HeatConductance),
                f.need("temperature at start", D::Temperature),
            );
            f.finish(&[], &[]);
            self.heated_tanks.push((c.tag.clone(), tank));
            let at = self.heated_tanks.len() - 1;
            self.state_point(c, crate::reading::Source::HeatedTank(at), "degC");
            // Water in an open tank, from freezing to boiling.
            self.which_goes(base::units::CELSIUS_ZERO, base::units::CELSIUS_ZERO + 100.0);
        }
    }
}

impl BoilerDraft {
    /// What is still missing, for a diagnostic.
    pub fn missing(&self) -> Vec<&'static str> {
        let mut m = vec![];
        if self.drum.is_none() {
            m.push("drum");
        }
        if self.superheater.is_none() || self.outlet.is_none() {
            m.push("superheater");
        }
        m
    }
}
