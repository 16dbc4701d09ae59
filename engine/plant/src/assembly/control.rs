//! Controllers, standby starts, and the last step: everything into a plant.

use super::fields::{Fields, linked};
use super::{Draft, Handle, Offers, part_dial};
use crate::boiler::BurnerOrders;
use crate::control::{Action, Acts, PiController, PiParams, ThreeElement, ThreeElementParams};
use crate::ledger::{Crossings, Inside};
use crate::liquid::Fluid;
use crate::machines::{StandbyParams, StandbyStart};
use crate::parts::{
    BoilerPart, BoilerReads, Coil, Fired, Loop, LoopElements, Parts, StandbyMachine, StandbyPart, TankPart,
};
use crate::registry::{Dial, PointId};
use crate::round::Round;
use crate::surroundings::{self, Around, Weather};
use base::Tag;
use base::description::{Component, Description};
use base::units::Dimension as D;

/// When a controller opens its valve; the first is taken when a file does not say.
const WHEN_LOW: &[(&str, Action)] = &[("low", Action::Reverse), ("high", Action::Direct)];
const WHEN_HIGH: &[(&str, Action)] = &[("high", Action::Direct), ("low", Action::Reverse)];

/// The other two elements of a level controller under assembly.
struct ElementsDraft {
    steam: PointId,
    feed: PointId,
    params: ThreeElementParams,
}

impl Draft<'_> {
    /// Controllers and standby starts, which name instruments and machines.
    pub fn controllers(&mut self, d: &Description) {
        for c in &d.components {
            match c.kind.as_str() {
                "firing master" => self.firing_master(d, c),
                "level controller" => self.pi(d, c, D::Length, WHEN_LOW),
                "temperature controller" => self.pi(d, c, D::Temperature, WHEN_HIGH),
                "pressure controller" => self.pi(d, c, D::Pressure, WHEN_LOW),
                "flow controller" => self.pi(d, c, D::MassFlow, WHEN_LOW),
                "standby start" => self.standby(d, c),
                "condenser" => self.dump_guard(d, c),
                "trip gear" => self.trip_gear_reads(d, c),
                _ => {}
            }
        }
    }

    pub fn point_named(&self, tag: &str) -> Option<PointId> {
        self.offers.points.iter().position(|p| p.tag.as_str() == tag).map(|i| PointId(i as u16))
    }

    fn pi(&mut self, d: &Description, c: &Component, dimension: D, acts: &[(&'static str, Action)]) {
        let f = Fields::new(c, self.wrong);
        let measures = linked(d, &f, "measures").and_then(|x| self.point_named(&x.tag));
        let moves = linked(d, &f, "moves").and_then(|x| self.valve_tags.iter().position(|t| *t == x.tag));
        let (gain, integral_time) = (f.need("gain", D::Number), f.need("integral time", D::Time));
        let (low, high) = (f.need("set point from", dimension), f.need("set point to", dimension));
        let set_point = f.need("set point", dimension);
        let output = f.text("output").unwrap_or_default().to_owned();
        let action = f.word("opens when", acts);
        let elements = if dimension == D::Length { self.elements(d, &f) } else { None };
        f.finish(&["measures", "moves", "steam flow", "feed flow"], &[]);
        let (Some(measures), Some(moves)) = (measures, moves) else { return };
        let point = &self.offers.points[usize::from(measures.0)];
        let (range, unit) = (point.range, point.unit);
        let params = PiParams {
            gain,
            integral_time,
            span: range.1 - range.0,
            output_min: 0.0,
            output_max: 1.0,
            action,
            set_point_rate: f64::INFINITY,
        };
        let (choice, elements) = elements.unzip();
        let elements = elements.map(|mut e: ElementsDraft| {
            e.params.level_span = params.span;
            LoopElements { steam: e.steam, feed: e.feed, three: ThreeElement::new(e.params), chosen: false }
        });
        self.loops.push(Loop { measures, moves, controller: PiController::new(params, set_point, 0.0), elements });
        let i = self.loops.len() - 1;
        if let Some(tag) = choice {
            let name = format!("{}, number of elements", c.name);
            self.control(&tag, &name, c, &["single-element", "three-element"], None, Handle::LoopElements(i));
        }
        // The valve is the controller's from now on: its own control gives way to the controller's output by hand.
        if let Some(k) = self.offers.handles.iter().position(|h| *h == Handle::Valve(moves)) {
            self.offers.handles.remove(k);
            self.offers.controls.remove(k);
        }
        let set = Dial { unit, min: low, max: high };
        self.control(&c.tag, &c.name, c, &["manual", "automatic"], Some(set), Handle::LoopMode(i));
        let name = format!("{}, output by hand", c.name);
        self.control(&output, &name, c, &[], Some(part_dial("% open")), Handle::LoopOutput(i));
    }

    /// The other two elements, where a level controller has them: the tag of the switch that chooses, and the figures.
    fn elements(&self, d: &Description, f: &Fields<'_>) -> Option<(String, ElementsDraft)> {
        f.optional_link("steam flow")?;
        let point = |role| linked(d, f, role).and_then(|x| self.point_named(&x.tag));
        let (steam, feed) = (point("steam flow"), point("feed flow"));
        let params = ThreeElementParams {
            level_gain: f.need("trim gain", D::Number),
            level_time: f.need("trim integral time", D::Time),
            level_span: 1.0,
            trim_max: f.need("most trim", D::Fraction),
            flow_gain: f.need("flow gain", D::Number),
            flow_time: f.need("flow integral time", D::Time),
            flow_span: feed.map_or(1.0, |p| self.offers.points[usize::from(p.0)].range.1),
        };
        let choice = f.text("elements").unwrap_or_default().to_owned();
        Some((choice, ElementsDraft { steam: steam?, feed: feed?, params }))
    }

    fn standby(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let pump = |role: &'static str| {
            let tag = &linked(d, &f, role)?.tag;
            let pump = self.pumps.iter().position(|p| p.tag.as_str() == tag).map(StandbyMachine::Pump);
            let vacuum = || self.condenser.as_ref()?.pump_tags.iter().position(|t| t == tag);
            pump.or_else(|| vacuum().map(StandbyMachine::VacuumPump))
        };
        let (first, second) = (pump("first"), pump("second"));
        let pressure = linked(d, &f, "on").and_then(|x| self.point_named(&x.tag));
        // A pressure must not fall, a vacuum's must not rise.
        let above = f.optional("starts above", D::Pressure);
        let params = StandbyParams {
            setting: above.unwrap_or_else(|| f.need("starts below", D::Pressure)),
            acts: if above.is_some() { Acts::Rising } else { Acts::Falling },
            differential: f.need("differential", D::PressureDifference),
            delay: f.need("delay", D::Time),
        };
        f.finish(&["first", "second", "on"], &[]);
        if let (Some(first), Some(second), Some(pressure)) = (first, second, pressure) {
            self.standbys.push(StandbyPart {
                first,
                second,
                pressure,
                start: StandbyStart::new(params),
                armed: false,
                duty: false,
            });
        }
    }

    /// Controls in the order of their tags, so that lists read well and ids do not hang on the file's order.
    pub fn panel_controls(&mut self, _d: &Description) {
        let mut both: Vec<_> = self.offers.controls.drain(..).zip(self.offers.handles.drain(..)).collect();
        both.sort_by(|a, b| a.0.tag.cmp(&b.0.tag));
        (self.offers.controls, self.offers.handles) = both.into_iter().unzip();
    }

    fn unfinished(&self, what: &str) {
        self.wrong.borrow_mut().push(base::Diagnostic::error(
            "plant::unfinished",
            base::Place::default(),
            format!("the plant has no {what}"),
        ));
    }

    /// The sea at the ends of sea-water circuits, and the open air.
    fn weather(&mut self, circuits: &[crate::liquid::Network]) -> Weather {
        let sea = |o: &&super::circuits::Outside| circuits[o.at.circuit].fluid() == Fluid::SeaWater;
        let seas: Vec<super::circuits::Outside> = self.outsides.iter().filter(sea).copied().collect();
        if !self.open_air.is_empty() {
            self.offers.surroundings.insert(0, surroundings::air());
            self.offers.arounds.insert(0, Around::Air);
        }
        if !seas.is_empty() {
            self.offers.surroundings.insert(0, surroundings::sea());
            self.offers.arounds.insert(0, Around::Sea);
        }
        Weather {
            sea: seas.first().map_or(0.0, |o| o.temperature),
            seas: seas.iter().map(|o| o.at).collect(),
            open_air: std::mem::take(&mut self.open_air),
        }
    }

    /// Everything into one; `None` with a diagnostic when something that every plant needs is missing.
    pub fn finish(mut self) -> Option<(Parts, Offers)> {
        let turbine = self.turbine_part();
        let mut electrical = self.electrical_part();
        if let (Some(t), Some(e)) = (&turbine, &mut electrical) {
            t.coupled(e);
        }
        for (pump, engine, place) in std::mem::take(&mut self.driven_pumps) {
            let named = |t: &Option<Tag>| t.as_ref().is_some_and(|t| t.as_str() == engine);
            let set = electrical.as_ref().and_then(|e| e.tags.engines.iter().position(named));
            if set.is_none() {
                let message = format!("{}: {engine} is not an engine that could drive it", self.pumps[pump].tag);
                self.wrong.borrow_mut().push(base::Diagnostic::error("plant::driven", place, message));
            }
            self.pumps[pump].driven = set;
        }
        let mut circuits = vec![];
        for c in self.circuits.drain(..) {
            match c.builder.build() {
                Ok(mut net) => {
                    net.fill_at(self.ambient);
                    for (node, t) in c.temperatures {
                        net.fill_node_at(node, t);
                    }
                    circuits.push(net);
                }
                Err(mistakes) => {
                    for m in mistakes {
                        self.wrong.borrow_mut().push(base::Diagnostic::error(
                            "plant::circuit",
                            base::Place::default(),
                            format!("{}: {}", m.part, m.message),
                        ));
                    }
                }
            }
        }
        let steam = match std::mem::take(&mut self.steam).build() {
            Ok(net) => Some(net),
            Err(mistakes) => {
                for m in mistakes {
                    self.wrong.borrow_mut().push(base::Diagnostic::error(
                        "plant::steam",
                        base::Place::default(),
                        m.to_string(),
                    ));
                }
                None
            }
        };
        // A small plant may do without a boiler; half a boiler is a mistake.
        let some = self.boiler.drum.is_some() || self.boiler.burner.is_some() || self.boiler.master.is_some();
        for what in self.boiler.missing().into_iter().filter(|_| some) {
            self.unfinished(what);
        }
        let boiler = if some { self.boiler_part() } else { None };
        let air = self.air_net();
        if !self.wrong.borrow().is_empty() {
            return None;
        }
        for o in &self.outsides {
            let net = &mut circuits[o.at.circuit];
            net.set_head(o.at.node, o.head);
            net.set_temperature(o.at.node, o.temperature);
        }
        let mut steam = steam?;
        let weather = self.weather(&circuits);
        for b in &self.always_open {
            steam.set_opening(*b, 1.0);
        }
        let condenser = self.condenser_part(&circuits, &mut steam);
        self.shut_at_start(&mut steam);
        let tanks = std::mem::take(&mut self.tanks)
            .into_iter()
            .map(|t| {
                let net = &circuits[t.at.circuit];
                let outlets = net.links().filter(|l| net.ends(*l).0 == t.at.node).collect();
                TankPart { at: t.at, tank: t.tank, outlets }
            })
            .collect();
        let parts = Parts {
            ambient: self.ambient,
            weather,
            circuits,
            valves: self.valves,
            pumps: self.pumps,
            tanks,
            coolers: self.coolers,
            heat_loads: self.heat_loads,
            heaters: self.heaters,
            thermostats: self.thermostats,
            heated_tanks: self.heated_tanks.into_iter().map(|h| h.1).collect(),
            coils: self.coils.iter().map(|c| Coil { node: c.node, tank: c.tank, clean: c.clean }).collect(),
            condensate: self.condensate,
            unsettled: 0,
            steam,
            air,
            boiler,
            condenser,
            electrical,
            turbine,
            hammers: self.hammers,
            outsides: self.outsides.iter().map(|o| o.at).collect(),
            outside: Crossings::default(),
            inside: Inside::default(),
            loops: self.loops,
            standbys: self.standbys,
            round: Round::of(&self.switches, &self.transmitters, &self.plains),
            transmitters: self.transmitters,
            switches: self.switches,
            plains: self.plains,
            plains_fail: false,
            legs_lost: false,
        };
        Some((parts, self.offers))
    }

    fn boiler_part(&mut self) -> Option<BoilerPart> {
        let b = std::mem::take(&mut self.boiler);
        let need = |tag: &str, what: &str| {
            let found = self.point_named(tag);
            if found.is_none() {
                self.unfinished(&format!("instrument \"{tag}\" for {what}"));
            }
            found
        };
        let valve = |tag: &str| {
            let found = self.valve_tags.iter().position(|t| t == tag);
            if found.is_none() {
                self.unfinished(&format!("valve \"{tag}\" for the burner"));
            }
            found
        };
        let (tag, drum_node, drum) = b.drum?;
        let (_, superheater_node, superheater) = b.superheater?;
        let missing = |what: &str| self.unfinished(what);
        let Some((furnace_tag, furnace, _)) = b.furnace else {
            missing("furnace");
            return None;
        };
        let Some((_, draught)) = b.draught else {
            missing("draught fan");
            return None;
        };
        let Some((_, burner, fuel)) = b.burner else {
            missing("burner");
            return None;
        };
        let Some((_, management, reads)) = b.management else {
            missing("burner management");
            return None;
        };
        let Some((master, figures)) = b.master else {
            missing("firing master");
            return None;
        };
        let (Some(inlet), Some(safety), Some(outlet), Some(burst), Some(superheater_burst)) =
            (self.drum_inlet, b.safety, b.outlet, b.burst, b.superheater_burst)
        else {
            missing("feed inlet, safety valve or steam outlet of the drum");
            return None;
        };
        let nozzle = self.liquid_links.get(&fuel[3]).copied();
        let atomised_at = self.liquid_nodes.get(&fuel[2]).copied();
        let (Some(nozzle), Some(atomised_at)) = (nozzle, atomised_at) else {
            missing("nozzle, or node that atomises, for the burner");
            return None;
        };
        let reads = BoilerReads {
            pressure: need(&figures.pressure, "the firing master")?,
            air_flow: need(&figures.air_flow, "the firing master")?,
            fuel_flow: need(&figures.fuel_flow, "the firing master")?,
            low_water: need(&reads[0], "burner management")?,
            high_pressure: need(&reads[1], "burner management")?,
            low_fuel: need(&reads[2], "burner management")?,
            low_air: need(&reads[3], "burner management")?,
        };
        let lance = match &b.lance {
            Some(l) => Some(self.lance_part(l)?),
            None => None,
        };
        Some(BoilerPart {
            tag: Tag::new(&tag),
            furnace_tag: Tag::new(&furnace_tag),
            drum,
            drum_node,
            superheater,
            superheater_node,
            outlet,
            safety,
            burst,
            superheater_burst,
            furnace,
            draught,
            burner,
            management,
            master,
            fuel_cam: figures.fuel_cam,
            inlet,
            nozzle,
            shut_off: valve(&fuel[1])?,
            fuel_valve: valve(&fuel[0])?,
            atomised_at,
            lance,
            by_hand: BurnerOrders::default(),
            damper_follows: false,
            emergency_stop: false,
            called: false,
            fan_on: false,
            leaks: (0.0, 0.0),
            to_water: 0.0,
            reads,
            fired: Fired::default(),
        })
    }
}
