//! Diesel engines, the battery, the ship's consumers and feeders under assembly.

use super::fields::{Fields, linked};
use super::machines::number_of;
use super::{Draft, Guard, Handle, Hurt, unit_of};
use crate::electrical::*;
use crate::electrical_words::{Failure, Hand, Reading};
use crate::reading::Source;
use crate::registry::{Size, Trip};
use base::Tag;
use base::description::{Component, Description};
use base::units::{ATMOSPHERE, Dimension as D};

impl Draft<'_> {
    /// An engine that drives a generator.
    pub fn diesel_engine(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let drives = linked(d, &f, "drives");
        let set = drives.and_then(|g| self.generating_set(&g.tag));
        if drives.is_some() && set.is_none() {
            f.wrong("plant::drives", "its link \"drives\" must name a generator".into(), None);
        }
        let water = self.heat_link(d, &f, "cooled by");
        let fuel = f.optional_link("fuel").and_then(|t| self.tanks.iter().position(|k| k.tag == t.as_str()));
        if f.optional_link("fuel").is_some() && fuel.is_none() {
            f.wrong("plant::fuel", "its link \"fuel\" must name a tank".into(), None);
        }
        let air = f.optional_link("started by").map(|t| t.as_str().to_owned());
        let volume = air.as_ref().and_then(|t| self.air.vessel(t));
        let starting = match (&air, volume) {
            (None, _) => Starting::Electric { power: f.need("starter", D::Power) },
            (Some(_), Some(_)) => Starting::Air {
                rated: f.need("starting air", D::Pressure),
                least: f.need("least starting air", D::Pressure),
                flow: f.need("air used", D::MassFlow),
            },
            (Some(_), None) => {
                f.wrong("plant::starting-air", "its link \"started by\" must name an air receiver".into(), None);
                Starting::Electric { power: 0.0 }
            }
        };
        let omega = set.map_or(1.0, |i| self.draft().board.sets[i].machine.params().omega);
        let params = EngineParams {
            power: f.need("power", D::Power),
            omega,
            friction: f.need("friction", D::Fraction),
            rack_time: f.need("fuel lag", D::Time),
            efficiency: f.need("indicated efficiency", D::Fraction),
            heating_value: f.need("heating value", D::SpecificEnergy),
            to_block: f.need("heat to the block", D::Fraction),
            starting,
            cranking: f.need("cranking torque", D::Fraction),
            cranking_speed: f.need("cranks up to", D::Fraction),
            fires_from: f.need("fires from", D::Fraction),
            fires_after: f.need("fires after", D::Time),
            cranks_for: f.need("cranks for", D::Time),
            start_rack: f.need("rack while running up", D::Fraction),
            block: f.need("block", D::HeatCapacity),
            to_water: f.or("block to water", D::HeatConductance, 0.0),
            to_fan: f.or("block to its fan", D::HeatConductance, 0.0),
            to_room: f.need("block to room", D::HeatConductance),
            oil_pressure: f.need("oil pressure", D::Pressure) - ATMOSPHERE,
            trips: EngineTrips {
                overspeed: f.need("trips at speed", D::Fraction),
                oil: f.optional("trips at oil pressure", D::Pressure).map(|p| p - ATMOSPHERE),
                jacket: f.optional("trips at jacket", D::Temperature),
                delay: f.need("trips after", D::Time),
            },
        };
        let governor = GovernorParams {
            droop: f.need("droop", D::Fraction),
            gain: f.need("governor gain", D::Number),
            integral_time: f.need("governor integral time", D::Time),
            load_time: f.need("load measured in", D::Time),
            most: f.need("end of the rack", D::Fraction),
        };
        let after = f.optional("starts when its bus is dead for", D::Time);
        let on_standby = f.word("at start", &[("stopped", false), ("standby", true)]);
        let temperature = f.optional("temperature at start", D::Temperature).unwrap_or(self.ambient);
        let stop = f.text("emergency stop").map(str::to_owned);
        f.finish(&["drives", "cooled by", "fuel", "started by"], &[]);
        let Some(i) = set else { return };
        let tag = Tag::new(&c.tag);
        let trip = format!("XS-{}", number_of(&c.tag));
        let e = self.draft();
        let join = &mut e.joins[i];
        (join.water, join.air, join.fuel) = (water, volume, fuel);
        e.tags.engines[i] = Some(tag);
        e.tags.engine_trips[i] = Some(Tag::new(&trip));
        let s = &mut e.board.sets[i];
        s.diesel = Some(Diesel { engine: DieselEngine::new(params, temperature), governor: Governor::new(governor) });
        s.emergency = after.map(|after| EmergencyStart { after, standby: on_standby, held_open: false, stood: 0.0 });
        self.engine_offers(c, i, &trip, after.is_some());
        if let Some(stop) = stop {
            let name = format!("emergency stop of the {}", c.name);
            self.control(&stop, &name, c, &["push", "release"], None, Handle::Electrical(Hand::EngineStop(i)));
        }
    }

    fn engine_offers(&mut self, c: &Component, i: usize, trip: &str, standby: bool) {
        let (runs, words) = (Source::Electrical(Reading::Runs(i)), ("stopped", "running"));
        self.own_point(&c.tag, &c.name, c, runs, runs, "state", Some(words), false);
        let contact = format!("YS-{}", number_of(&c.tag));
        self.contact(&contact, &format!("{}, running contact", c.name), c, Reading::Runs(i), words);
        let name = format!("{} trip", c.name);
        self.contact(trip, &name, c, Reading::EngineTripped(i), ("normal", "tripped"));
        self.offers.trips.push(Trip { tag: Tag::new(trip), name });
        self.offers.guards.push(Guard::Engine(i));
        let orders: &[&'static str] =
            if standby { &["start", "stop", "reset", "standby"] } else { &["start", "stop", "reset"] };
        self.control(&c.tag, &c.name, c, orders, None, Handle::Electrical(Hand::Engine(i)));
        for (what, hurt) in [("bearings", Hurt::EngineBearings(i)), ("liners", Hurt::Liners(i))] {
            self.offers.damageable.push(Tag::new(&format!("{} {what}", c.tag)));
            self.offers.hurts.push(hurt);
        }
        let told =
            ("it turns and does not fire, then its start has failed", "reset it, look for the cause, use another set");
        self.electrical_failing(&c.tag, "will not start", None, told, Failure::WillNotStart(i));
        let size = Size {
            what: "oil pressure lost",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 1.0,
            default: Some(0.7),
            sound: Some(0.0),
        };
        let told = ("its oil pressure falls, then it trips", "take its load over before it trips, and stop it");
        self.electrical_failing(&c.tag, "oil leak", Some(size), told, Failure::OilLeak(i));
        let size = Size {
            what: "swing of the speed",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 0.05,
            default: Some(0.01),
            sound: Some(0.0),
        };
        let told = ("frequency and load swing to and fro", "let another set take the load, and stop it");
        self.electrical_failing(&c.tag, "governor hunting", Some(size), told, Failure::Hunting(i));
        let told = (
            "its fuel stays as it is: the other sets take every change of load, and alone its speed goes with the load",
            "stop it, or keep its load as it is until another set is in",
        );
        self.electrical_failing(&c.tag, "governor stuck", None, told, Failure::GovernorStuck(i));
        let told = ("nothing, until its load is thrown off", "stop it by hand when it races");
        self.electrical_failing(&c.tag, "overspeed trip dead", None, told, Failure::OverspeedDead(i));
    }

    /// The battery with its charger.
    pub fn battery(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let bus = self.bus_of(d, &f, "charged from");
        let params = BatteryParams {
            capacity: f.need("capacity", D::Energy),
            voltage: f.need("voltage", D::Voltage),
            load: f.need("load", D::Power),
            charger: f.need("charger", D::Power),
            efficiency: f.need("charging efficiency", D::Fraction),
        };
        let part = f.need("charge at start", D::Fraction);
        f.finish(&["charged from"], &[]);
        let Some(bus) = bus else { return };
        let e = self.draft();
        e.board.battery = Some((Battery::new(params, part), bus));
        e.battery_bus = Some(bus);
        e.tags.battery = Some(Tag::new(&c.tag));
        let charge = Source::Electrical(Reading::BatteryCharge);
        self.own_point(&c.tag, &c.name, c, charge, charge, "% full", None, false);
        let told = ("the battery's voltage sinks though its bus is live", "spare the battery, mend the charger");
        self.electrical_failing(&c.tag, "charger dead", None, told, Failure::ChargerDead);
    }

    /// A consumer of the ship.
    pub fn ship_load(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let bus = self.bus_of(d, &f, "on");
        let groups = [("essential", Shed::Essential), ("first group", Shed::First), ("second group", Shed::Second)];
        let params = ConsumerParams {
            bus: bus.unwrap_or(0),
            power: f.need("power", D::Power),
            power_factor: f.need("power factor", D::Number),
            swing: f.or("swing", D::Fraction, 0.0),
            period: f.or("period", D::Time, 600.0),
            shed: f.word("shed", &groups),
        };
        let on = f.word("at start", &[("in", true), ("out", false)]);
        f.finish(&["on"], &[]);
        if bus.is_none() {
            return;
        }
        let e = self.draft();
        e.board.consumers.push(Consumer::new(params, on));
        e.tags.consumers.push(Tag::new(&c.tag));
        let i = e.board.consumers.len() - 1;
        let power = Source::Electrical(Reading::ConsumerPower(i));
        self.own_point(&c.tag, &c.name, c, power, power, "kW", None, false);
        self.which_goes(0.0, crate::surroundings::MOST * params.power * (1.0 + params.swing));
        let name = format!("{}, contact", c.name);
        self.contact(&format!("YS-{}", number_of(&c.tag)), &name, c, Reading::ConsumerIn(i), ("out", "in"));
        self.control(&c.tag, &c.name, c, &["in", "out"], None, Handle::Electrical(Hand::Consumer(i)));
        let size = Size {
            what: "resistance to the hull",
            unit: unit_of("kohm"),
            min: 0.0,
            max: 1e6,
            default: Some(5e3),
            sound: Some(1e6),
        };
        self.offers.surroundings.push(crate::surroundings::consumer(&c.tag, &c.name, params.power));
        self.offers.arounds.push(crate::surroundings::Around::Consumer(i));
        let told =
            ("the insulation of its bus is low while it is in", "switch consumers out one by one until it recovers");
        self.electrical_failing(&c.tag, "earth fault", Some(size), told, Failure::EarthFault(i));
    }

    /// Which bus a motor hangs on, and whether it starts again after a blackout.
    pub fn feeder(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let bus = self.bus_of(d, &f, "from");
        let to = linked(d, &f, "to").map(|x| (x.tag.clone(), x.kind.clone()));
        let after = f.optional("restarts after", D::Time);
        f.finish(&["from", "to"], &[]);
        let (Some(bus), Some((tag, kind))) = (bus, to) else { return };
        if !["pump", "compressor", "draught fan"].contains(&kind.as_str()) {
            let f = Fields::new(c, self.wrong);
            let hint = Some("pumps, compressors and the draught fan have feeders".into());
            f.wrong("plant::feeder", format!("{tag} is a {kind}, which takes no feeder of its own"), hint);
            return;
        }
        self.draft().feeders.push((tag, bus, after));
    }

    /// What can be read at a component of the electrical plant.
    pub fn electrical_choices(&self, of: &Component, choices: &mut Vec<(&'static str, Source, D)>) {
        let Some(e) = &self.electrical else { return };
        let place = |list: &[Tag]| list.iter().position(|t| t.as_str() == of.tag);
        let mut add = |name: &'static str, what: Reading, d: D| choices.push((name, Source::Electrical(what), d));
        if let Some(i) = place(&e.tags.buses) {
            add("voltage", Reading::BusVoltage(i), D::Voltage);
            add("frequency", Reading::BusFrequency(i), D::Rotation);
            add("load", Reading::BusLoad(i), D::Power);
            add("insulation", Reading::Insulation(i), D::Resistance);
        }
        if let Some(i) = place(&e.tags.sets) {
            add("voltage", Reading::Voltage(i), D::Voltage);
            add("frequency", Reading::Frequency(i), D::Rotation);
            add("power", Reading::Power(i), D::Power);
            add("reactive power", Reading::Reactive(i), D::ApparentPower);
            add("current", Reading::Current(i), D::Current);
            add("exciter current", Reading::Field(i), D::Current);
            add("speed", Reading::Speed(i), D::Rotation);
            if e.board.sets[i].windings.is_some() {
                add("winding temperature", Reading::Windings(i), D::Temperature);
            }
        }
        if let Some(i) = e.tags.engines.iter().position(|t| t.as_ref().is_some_and(|t| t.as_str() == of.tag)) {
            add("speed", Reading::Speed(i), D::Rotation);
            add("fuel rack", Reading::Rack(i), D::Fraction);
            add("jacket temperature", Reading::Jacket(i), D::Temperature);
            add("oil pressure", Reading::Oil(i), D::Pressure);
        }
        if let Some(i) = place(&e.tags.shores) {
            add("power", Reading::ShorePower(i), D::Power);
        }
        if e.tags.battery.as_ref().is_some_and(|t| t.as_str() == of.tag) {
            add("voltage", Reading::BatteryVoltage, D::Voltage);
            add("charge", Reading::BatteryCharge, D::Fraction);
        }
        if e.tags.board == of.tag {
            // The lamps' voltage is a part of rated.
            add("synchroscope angle", Reading::Angle, D::Angle);
            add("slip", Reading::Slip, D::Rotation);
            add("lamp voltage", Reading::Lamps, D::Fraction);
        }
    }
}
