//! The electrical plant under assembly: board, buses, sources, breakers; what hangs on them is in its own file.

use super::fields::{Fields, linked};
use super::machines::number_of;
use super::{Draft, Fault, Guard, Handle, Hurt, LiquidLink, unit_of};
use crate::damage::HeatLimit;
use crate::electrical::*;
use crate::electrical_part::{ElectricalPart, ElectricalTags, Feeders, Restart, SetJoin};
use crate::electrical_words::{BreakerOf, Failure, Hand, Reading, Was};
use crate::reading::Source;
use crate::registry::{Dial, Size, Trip};
use base::Tag;
use base::description::{Component, Description};
use base::units::Dimension as D;
use core::f64::consts::TAU;

/// The electrical plant under assembly.
pub struct ElectricalDraft {
    pub board: Switchboard,
    pub tags: ElectricalTags,
    pub joins: Vec<SetJoin>,
    pub feeders: Vec<(String, usize, Option<f64>)>,
    pub battery_bus: Option<usize>,
    pub field_current: Vec<f64>,
}

impl ElectricalDraft {
    pub fn bus(&self, tag: &str) -> Option<usize> {
        self.tags.buses.iter().position(|t| t.as_str() == tag)
    }
}

/// The three words of a breaker with relays.
const BREAKER: &[&str] = &["close", "open", "reset"];

impl Draft<'_> {
    /// Everything of the electrical plant, if there is a switchboard.
    pub fn electrical(&mut self, d: &Description) {
        let kinds =
            ["bus", "tie breaker", "shore supply", "generator", "diesel engine", "battery", "ship load", "feeder"];
        let Some(board) = d.components.iter().find(|c| c.kind == "switchboard") else {
            for c in d.components.iter().filter(|c| kinds.contains(&c.kind.as_str())) {
                let f = Fields::new(c, self.wrong);
                f.wrong("plant::switchboard", "there is no switchboard that it could belong to".into(), None);
            }
            return;
        };
        self.switchboard(board);
        for c in d.components.iter().filter(|c| c.kind == "bus") {
            self.bus(c);
        }
        if self.draft().board.buses.is_empty() {
            let f = Fields::new(board, self.wrong);
            f.wrong("plant::bus", "a switchboard needs a bus".into(), Some("add a component of kind \"bus\"".into()));
            return;
        }
        for c in &d.components {
            match c.kind.as_str() {
                "tie breaker" => self.tie(d, c),
                "shore supply" => self.shore(d, c),
                "generator" => self.generator(d, c),
                "battery" => self.battery(d, c),
                "ship load" => self.ship_load(d, c),
                "feeder" => self.feeder(d, c),
                _ => {}
            }
        }
        for c in d.components.iter().filter(|c| c.kind == "diesel engine") {
            self.diesel_engine(d, c);
        }
    }

    pub fn draft(&mut self) -> &mut ElectricalDraft {
        self.electrical.as_mut().expect("the switchboard is read before what belongs to it")
    }

    /// The bus that a link names.
    pub fn bus_of(&mut self, d: &Description, f: &Fields<'_>, role: &str) -> Option<usize> {
        let c = linked(d, f, role)?;
        let found = self.draft().bus(&c.tag);
        if found.is_none() {
            f.wrong("plant::bus", format!("\"{role}\" must name a bus, and {} is a {}", c.tag, c.kind), None);
        }
        found
    }

    fn switchboard(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let params = BoardParams {
            voltage: f.need("voltage", D::Voltage),
            frequency: f.need("frequency", D::Rotation),
            fine: SUB_STEPS.0,
            coarse: SUB_STEPS.1,
        };
        let synchroniser = SynchroniserParams {
            angle: f.need("check relay angle", D::Angle),
            slip: f.need("check relay slip", D::Rotation),
            voltage: f.need("check relay voltage", D::Voltage) / params.voltage,
            aim: f.need("synchronises at", D::Rotation),
        };
        let preferential = PreferentialParams {
            setting: f.need("preferential trip above", D::Fraction),
            delays: (f.need("first group after", D::Time), f.need("second group after", D::Time)),
        };
        let mode = f.text("automatic synchronising").unwrap_or_default().to_owned();
        let key = f.text("check relay key").unwrap_or_default().to_owned();
        let restart = f.text("sequential restart").unwrap_or_default().to_owned();
        let shed = f.text("shed contact").unwrap_or_default().to_owned();
        let supply = f.text("control supply contact").unwrap_or_default().to_owned();
        f.finish(&[], &[]);
        let (synchroniser, preferential) = (Synchroniser::new(synchroniser), Preferential::new(preferential));
        self.electrical = Some(ElectricalDraft {
            board: Switchboard::new(params, vec![], synchroniser, preferential),
            tags: ElectricalTags { board: c.tag.clone(), ..ElectricalTags::default() },
            joins: vec![],
            feeders: vec![],
            battery_bus: None,
            field_current: vec![],
        });
        let hand = Handle::Electrical;
        self.control(&mode, "synchronising", c, &["manual", "automatic"], None, hand(Hand::Synchronising));
        self.control(&key, "key of the check relay", c, &["in", "by-passed"], None, hand(Hand::CheckRelay));
        self.control(&restart, "sequential restart of the motors", c, &["on", "off"], None, hand(Hand::Restart));
        self.contact(&shed, "preferential trip", c, Reading::Shed, ("normal", "shed"));
        self.contact(&supply, "control supply", c, Reading::ControlSupply, ("lost", "live"));
        self.electrical_failing(
            &c.tag,
            "check relay passes all",
            None,
            ("a breaker closes though the pointer is far from the top", "trust the synchroscope, not the relay"),
            Failure::CheckDead,
        );
        self.electrical_failing(
            &c.tag,
            "blackout",
            None,
            (
                "all goes dark but what the emergency set and the battery feed",
                "let the emergency set come, find out why",
            ),
            Failure::Blackout,
        );
    }

    /// A state that is told by a contact.
    pub fn contact(
        &mut self,
        tag: &str,
        name: &str,
        c: &Component,
        what: Reading,
        words: (&'static str, &'static str),
    ) {
        let source = Source::Electrical(what);
        self.own_point(tag, name, c, source, source, "state", Some(words), true);
    }

    /// A failing of the electrical plant.
    pub fn electrical_failing(
        &mut self,
        on: &str,
        kind: &'static str,
        size: Option<Size>,
        told: (&'static str, &'static str),
        failure: Failure,
    ) {
        self.failing(on, kind, size, told, Fault::Electrical(failure));
    }

    fn bus(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let insulation = f.need("insulation", D::Resistance);
        f.finish(&[], &[]);
        let e = self.draft();
        e.board.buses.push(Bus::new(insulation));
        e.tags.buses.push(Tag::new(&c.tag));
        let i = e.board.buses.len() - 1;
        let live = Source::Electrical(Reading::BusLive(i));
        let words = Some(("dead", "live"));
        self.own_point(&c.tag, &c.name, c, live, live, "state", words, false);
        let name = format!("{}, voltage relay", c.name);
        self.contact(&format!("ES-{}", number_of(&c.tag)), &name, c, Reading::BusLive(i), ("dead", "live"));
    }

    /// A breaker's times and what it is at the start.
    fn breaker(&self, f: &Fields<'_>) -> Breaker {
        let params = BreakerParams { closing: f.need("closes in", D::Time), opening: f.need("opens in", D::Time) };
        Breaker::new(params, f.word("at start", &[("open", false), ("closed", true)]))
    }

    /// What every breaker has: a point, a contact, a control, two failings.
    fn breaker_offers(&mut self, tag: &str, name: &str, c: &Component, of: BreakerOf, words: &[&'static str]) {
        let (source, says) = (Source::Electrical(Reading::Closed(of)), ("open", "closed"));
        self.own_point(tag, name, c, source, source, "state", Some(says), false);
        let contact = format!("ZSH-{}", number_of(tag));
        self.contact(&contact, &format!("{name}, contact"), c, Reading::Closed(of), says);
        self.control(tag, name, c, words, None, Handle::Electrical(Hand::Breaker(of)));
        let told = ("it does not answer its control, the lamp stays dark", "use another source, and find out why");
        self.electrical_failing(tag, "will not close", None, told, Failure::WillNotClose(of));
        let told = ("it opens with no relay having acted", "bring in another source, and leave it open");
        self.electrical_failing(tag, "falls out", None, told, Failure::FallsOut(of));
    }

    fn tie(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let ends = (self.bus_of(d, &f, "from"), self.bus_of(d, &f, "to"));
        let breaker = self.breaker(&f);
        let release = f.optional("releases after", D::Time).unwrap_or(f64::INFINITY);
        f.finish(&["from", "to"], &[]);
        let (Some(a), Some(b)) = ends else { return };
        let e = self.draft();
        e.board.ties.push(Tie::new((a, b), breaker, release));
        e.tags.tie_breakers.push(Tag::new(&c.tag));
        let of = BreakerOf::Tie(e.board.ties.len() - 1);
        self.breaker_offers(&c.tag, &c.name, c, of, &["close", "open"]);
    }

    fn shore(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let bus = self.bus_of(d, &f, "to");
        let breaker = self.breaker(&f);
        let (rating, reactance) = (f.need("rating", D::ApparentPower), f.need("reactance", D::Resistance));
        let relay = ProtectionParams {
            reverse: f64::INFINITY,
            reverse_delay: 0.0,
            overcurrent: f.need("over-current above", D::Fraction),
            time_multiplier: f.need("over-current multiplier", D::Number),
            instantaneous: f64::INFINITY,
            undervoltage: 0.0,
            undervoltage_delay: 0.0,
            overvoltage: f64::INFINITY,
            overvoltage_delay: 0.0,
            frequency: (0.0, f64::INFINITY),
            frequency_delay: 0.0,
        };
        f.finish(&["to"], &[]);
        let Some(bus) = bus else { return };
        let e = self.draft();
        let i = e.board.shores.len();
        let of = BreakerOf::Shore(i);
        e.board.shores.push(ShoreSupply::new(bus, breaker, Protection::new(relay), reactance, rating));
        e.tags.shores.push(Tag::new(&c.tag));
        let trip = format!("XS-{}", number_of(&c.tag));
        e.tags.shore_trips.push(Tag::new(&trip));
        self.breaker_offers(&c.tag, &c.name, c, of, BREAKER);
        let name = format!("{}, relay", c.name);
        self.contact(&trip, &name, c, Reading::ShoreTripped(i), ("normal", "tripped"));
        self.trip(&trip, &name, Guard::Shore(i));
        let name = format!("{}, voltage relay", c.name);
        self.contact(&format!("ES-{}", number_of(&c.tag)), &name, c, Reading::ShoreLive(i), ("dead", "live"));
        let told = ("all goes dark", "let the emergency set come, and bring a generator onto the dead bus");
        self.electrical_failing(&c.tag, "lost", None, told, Failure::ShoreLost(i));
    }

    fn trip(&mut self, tag: &str, name: &str, guard: Guard) {
        self.offers.trips.push(Trip { tag: Tag::new(tag), name: name.to_owned() });
        self.offers.guards.push(guard);
    }

    fn generator(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let bus = self.bus_of(d, &f, "to");
        let nominal = *self.draft().board.params();
        let machine = MachineParams {
            rating: f.need("rating", D::ApparentPower),
            power: f.need("power", D::Power),
            voltage: nominal.voltage,
            frequency: nominal.frequency,
            omega: TAU * f.need("speed", D::Rotation),
            synchronous: f.need("synchronous reactance", D::Number),
            transient: f.need("transient reactance", D::Number),
            subtransient: f.need("subtransient reactance", D::Number),
            field_time: f.need("field time", D::Time),
            saturates: true,
            damper: f.need("damper", D::Number),
            fixed_loss: f.need("loss at no load", D::Power),
            load_loss: f.need("loss with load", D::Power),
        };
        let rated_power = machine.power;
        let inertia = f.need("inertia", D::Inertia);
        let excitation = ExcitationParams {
            gain: f.need("regulator gain", D::Number),
            integral_time: f.need("regulator integral time", D::Time),
            exciter_time: f.need("exciter time", D::Time),
            ceiling: f.need("ceiling", D::Number),
            droop: f.need("reactive droop", D::Fraction),
            rated: f.need("field at full load", D::Number),
            from_speed: 0.9,
        };
        let relays = ProtectionParams {
            reverse: f.need("reverse power above", D::Fraction),
            reverse_delay: f.need("reverse power for", D::Time),
            overcurrent: f.need("over-current above", D::Fraction),
            time_multiplier: f.need("over-current multiplier", D::Number),
            instantaneous: f.need("short circuit above", D::Fraction),
            undervoltage: f.need("under-voltage below", D::Voltage) / nominal.voltage,
            undervoltage_delay: f.need("under-voltage for", D::Time),
            // A fifth above rated for a second, where the file says nothing: own choice.
            overvoltage: f.or("over-voltage above", D::Voltage, 1.2 * nominal.voltage) / nominal.voltage,
            overvoltage_delay: f.or("over-voltage for", D::Time, 1.0),
            frequency: (
                f.need("under-frequency below", D::Rotation) / nominal.frequency,
                f.need("over-frequency above", D::Rotation) / nominal.frequency,
            ),
            frequency_delay: f.need("frequency for", D::Time),
        };
        let changer = SpeedChanger::new(
            f.need("speed changer runs in a second", D::Rotation) / nominal.frequency,
            (
                f.need("speed changer from", D::Rotation) / nominal.frequency,
                f.need("speed changer to", D::Rotation) / nominal.frequency,
            ),
        );
        let field_current = f.need("exciter current at full load", D::Current);
        let breaker = self.breaker(&f);
        let windings = f.optional("windings", D::HeatCapacity).map(|capacity| WindingsParams {
            capacity,
            to_water: f.or("windings to water", D::HeatConductance, 0.0),
            to_room: f.need("windings to room", D::HeatConductance),
            limit: HeatLimit {
                from: f.need("hurt above", D::Temperature),
                life: f.need("life there", D::Time),
                doubling: f.need("doubles every", D::TemperatureDifference),
            },
        });
        let cooler = self.heat_link(d, &f, "cooled by");
        if cooler.is_some() && windings.is_none() {
            f.wrong("plant::generator-cooled", "cooling water needs \"windings\", whose heat it takes".into(), None);
        }
        f.finish(&["to", "cooled by"], &[]);
        let Some(bus) = bus else { return };
        let mut set = GeneratingSet::new(
            bus,
            Machine::new(machine, inertia),
            Excitation::new(excitation),
            changer,
            breaker,
            Protection::new(relays),
        );
        set.windings = windings.map(|w| Windings::new(w, self.ambient));
        let number = number_of(&c.tag).to_owned();
        let (breaker, trip) = (format!("CB-{number}"), format!("XS-{number}"));
        let e = self.draft();
        let i = e.board.sets.len();
        e.board.sets.push(set);
        // Its part of the flow is settled once all generators are known.
        e.joins.push(SetJoin { cooler: cooler.map(|l| (l, 1.0)), ..SetJoin::default() });
        e.field_current.push(field_current);
        let tags = &mut e.tags;
        tags.sets.push(Tag::new(&c.tag));
        tags.engines.push(None);
        tags.engine_trips.push(None);
        tags.set_breakers.push(Tag::new(&breaker));
        tags.relay_trips.push(Tag::new(&trip));
        let power = Source::Electrical(Reading::Power(i));
        self.own_point(&c.tag, &c.name, c, power, power, "kW", None, false);
        // From a motor that the bus drives to what no engine gives for long.
        self.which_goes(-0.5 * rated_power, 1.5 * rated_power);
        self.breaker_offers(&breaker, &format!("breaker of the {}", c.name), c, BreakerOf::Set(i), BREAKER);
        let name = format!("relays of the {}", c.name);
        self.contact(&trip, &name, c, Reading::RelaysTripped(i), ("normal", "tripped"));
        self.trip(&trip, &name, Guard::Relays(i));
        let name = format!("angle at which the {} last touched a live bus", c.name);
        let touched = Source::Electrical(Reading::Touched(i));
        self.own_point(&format!("ZI-{number}"), &name, c, touched, touched, "deg", None, false);
        self.which_goes(-core::f64::consts::PI, core::f64::consts::PI);
        self.generator_controls(c, i, &nominal);
        self.hurt(&c.tag, Hurt::Windings(i));
        if windings.is_some() {
            self.hurt(&format!("{} insulation", c.tag), Hurt::Insulation(i));
        }
    }

    fn hurt(&mut self, tag: &str, what: Hurt) {
        self.offers.damageable.push(Tag::new(tag));
        self.offers.hurts.push(what);
    }

    fn generator_controls(&mut self, c: &Component, i: usize, nominal: &BoardParams) {
        let number = number_of(&c.tag).to_owned();
        let range = self.draft().board.sets[i].changer.range;
        let hand = Handle::Electrical;
        let hertz = |part: f64| part * nominal.frequency;
        let dial = Dial { unit: unit_of("Hz"), min: hertz(range.0), max: hertz(range.1) };
        let name = format!("speed changer of the {}", c.name);
        self.control(&format!("SC-{number}"), &name, c, &["raise", "lower"], Some(dial), hand(Hand::SpeedChanger(i)));
        let dial = Dial { unit: unit_of("V"), min: 0.9 * nominal.voltage, max: 1.1 * nominal.voltage };
        let name = format!("voltage regulator of the {}", c.name);
        let words = &["automatic", "manual"];
        self.control(&format!("EC-{number}"), &name, c, words, Some(dial), hand(Hand::Regulator(i)));
        let dial = Dial { unit: unit_of("% of rated"), min: 0.0, max: 1.2 };
        let name = format!("excitation of the {} by hand", c.name);
        self.control(&format!("HIC-{number}"), &name, c, &[], Some(dial), hand(Hand::Excitation(i)));
        let name = format!("the {} is the incoming machine", c.name);
        self.control(&format!("HS-{number}"), &name, c, &["in", "out"], None, hand(Hand::Incoming(i)));
        let size = Size {
            what: "excitation that it gives",
            unit: unit_of("% of rated"),
            min: 0.0,
            max: 1.2,
            default: None,
            sound: None,
        };
        let told = ("the voltage does not come back after a change of load", "take the excitation by hand");
        self.electrical_failing(&c.tag, "regulator failed", Some(size), told, Failure::Regulator(i));
    }

    /// Everything into the part; motors that no feeder names hang on the first bus.
    pub fn electrical_part(&mut self) -> Option<ElectricalPart> {
        let e = self.electrical.take()?;
        let of = |tag: &str| e.feeders.iter().find(|f| f.0 == tag).map_or(0, |f| f.1);
        let pumps: Vec<usize> = self.pumps.iter().map(|p| of(p.tag.as_str())).collect();
        let machines = &self.air.net.machines;
        let compressors: Vec<usize> = machines.iter().map(|m| of(m.tag.as_str())).collect();
        let fan = self.boiler.draught.as_ref().map_or(0, |d| of(&d.0));
        let valves = e.battery_bus.unwrap_or(0);
        let feeders = Feeders { pumps, compressors, fan, heaters: 0, vacuum_pumps: 0, valves };
        let mut restarts = vec![];
        for (tag, _, after) in &e.feeders {
            let Some(after) = *after else { continue };
            let pump = self.pumps.iter().position(|p| p.tag.as_str() == tag);
            let machine = machines.iter().position(|m| m.tag.as_str() == tag);
            let what = match (pump, machine) {
                (Some(k), _) => crate::electrical_words::Contactor::Pump(k),
                (None, Some(k)) => crate::electrical_words::Contactor::Compressor(k),
                (None, None) => continue,
            };
            restarts.push(Restart { what, after, ran: false, waits: None });
        }
        let b = &e.board;
        let (sets, shores) = (b.sets.len(), b.shores.len());
        let was = Was {
            breakers: b.sets.iter().map(|s| s.breaker.is_closed()).collect(),
            engines: vec![false; sets],
            ties: b.ties.iter().map(|t| t.breaker.is_closed()).collect(),
            shores: b.shores.iter().map(|s| s.breaker.is_closed()).collect(),
            buses: vec![false; b.buses.len()],
            shed: vec![false; b.consumers.len()],
            relays: vec![false; sets],
            engine_trips: vec![false; sets],
            shore_trips: vec![false; shores],
            closures: vec![None; sets],
        };
        let burnt = vec![0.0; sets];
        let mut joins = e.joins;
        for i in 0..joins.len() {
            let Some((link, _)) = joins[i].cooler else { continue };
            let sharing = joins.iter().filter(|j| j.cooler.is_some_and(|c| c.0 == link)).count();
            joins[i].cooler = Some((link, 1.0 / sharing as f64));
        }
        Some(ElectricalPart {
            board: e.board,
            tags: e.tags,
            joins,
            feeders,
            restarts,
            restarting: true,
            burnt,
            taken: (0.0, 0.0),
            field_current: e.field_current,
            was,
        })
    }

    /// The set of a generator, for what drives it from outside.
    #[allow(dead_code, reason = "for a turbine")]
    pub fn generating_set(&self, tag: &str) -> Option<usize> {
        self.electrical.as_ref()?.tags.sets.iter().position(|t| t.as_str() == tag)
    }

    /// A link of a circuit that takes a machine's heat.
    pub fn heat_link(&self, d: &Description, f: &Fields<'_>, role: &str) -> Option<LiquidLink> {
        f.optional_link(role)?;
        linked(d, f, role).and_then(|n| self.liquid_links.get(&n.tag).copied())
    }
}
