//! The electrical plant as the plant has it: the switchboard, what joins its sets to water, air and fuel, what hangs
//! on which bus, what is told of it, and its account for the ledger.
//!
//! One tick: first the engines' heat goes into their cooling water, their fuel and starting air out of tank and receiver; motors,
//! valves, heaters and fans look whether their bus is live; last, when all has given and taken its power, the board steps, so
//! that what drives a generator from outside does so within the tick. A motor that runs up draws five times its rated volt-amperes at a power factor of 0.3 (common practice
//! for direct starting); running, it has 0.86. A machine that names no feeder hangs on the first bus; valves and
//! the turbine's auxiliaries hang on the battery's bus, or on the first when there is none. What the drives of valves take is left out.
//! Sequential restart: a motor whose feeder says so and which ran when its bus went dead starts again so long after the
//! bus is live, when that is switched on.

use crate::assembly::{Hurt, LiquidLink};
use crate::electrical::engine::ENGINE_CAUSES;
use crate::electrical::{DieselEngine, Load, Switchboard};
use crate::electrical_words::{Contactor, Was};
use crate::ledger::Store;
use crate::machines::exchanger::side_of;
use crate::machines::{Motor, Side};
use crate::parts::Parts;
use base::Tag;
use base::record::Happening;
use base::tick::TICK_SECONDS as DT;

/// Power factor of a running motor.
const RUNNING_FACTOR: f64 = 0.86;
/// Volt-amperes of a motor that runs up, part of rated; its power factor.
const STARTING: (f64, f64) = (5.0, 0.3);

/// What a set's engine draws on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SetJoin {
    /// Link of the cooling water that takes the engine's heat.
    pub water: Option<LiquidLink>,
    /// Volume of air that starts it.
    pub air: Option<usize>,
    /// Tank of its fuel.
    pub fuel: Option<usize>,
    /// Link of the cooling water of its generator, and the part of the flow that is its own.
    pub cooler: Option<(LiquidLink, f64)>,
}

/// Tags for what is told.
#[derive(Clone, Debug, Default)]
pub struct ElectricalTags {
    pub board: String,
    pub buses: Vec<Tag>,
    pub sets: Vec<Tag>,
    pub engines: Vec<Option<Tag>>,
    pub set_breakers: Vec<Tag>,
    pub tie_breakers: Vec<Tag>,
    pub shores: Vec<Tag>,
    pub consumers: Vec<Tag>,
    pub battery: Option<Tag>,
    /// Trips: relays of each set, engine of each set, relay of each shore supply.
    pub relay_trips: Vec<Tag>,
    pub engine_trips: Vec<Option<Tag>>,
    pub shore_trips: Vec<Tag>,
}

/// A motor that starts again by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Restart {
    pub what: Contactor,
    pub after: f64,
    /// It ran when its bus was last live.
    pub ran: bool,
    /// Seconds since the bus is live again, while it waits.
    pub waits: Option<f64>,
}

base::kept!(Restart { ran, waits } fixed { what, after });

/// Which bus feeds what.
#[derive(Clone, Debug, Default)]
pub struct Feeders {
    pub pumps: Vec<usize>,
    pub compressors: Vec<usize>,
    pub fan: usize,
    pub heaters: usize,
    pub vacuum_pumps: usize,
    pub valves: usize,
}

/// The switchboard and what belongs to it.
#[derive(Clone, Debug)]
pub struct ElectricalPart {
    pub board: Switchboard,
    pub tags: ElectricalTags,
    pub joins: Vec<SetJoin>,
    pub feeders: Feeders,
    pub restarts: Vec<Restart>,
    /// Sequential restart is on.
    pub restarting: bool,
    /// Fuel of each engine that has been taken from a tank, kg.
    pub burnt: Vec<f64>,
    /// Fuel and its energy that left tanks, kg and J.
    pub taken: (f64, f64),
    /// Exciter current of each generator at full load, A.
    pub field_current: Vec<f64>,
    pub was: Was,
}

base::kept!(ElectricalPart { board, restarts, restarting, burnt, taken, field_current, was }
    fixed { tags, joins, feeders });

fn motor_load(m: &Motor, voltage: f64) -> Load {
    if !m.is_running() {
        return Load::default();
    }
    let p = m.params();
    let running = m.electric_power();
    let mut load =
        Load { p: running, q: running * crate::electrical::loads::reactive_of(RUNNING_FACTOR), ..Load::default() };
    if m.speed() < 0.95 {
        let va = STARTING.0 * p.rated_power / (p.efficiency * RUNNING_FACTOR) / (voltage * voltage);
        load.g = va * STARTING.1;
        load.b = va * base::maths::sqrt(1.0 - STARTING.1 * STARTING.1);
    }
    load
}

fn plain_load(power: f64, factor: f64) -> Load {
    Load { p: power, q: power * crate::electrical::loads::reactive_of(factor), ..Load::default() }
}

impl ElectricalPart {
    /// A bus feeds its contactors.
    pub fn live(&self, bus: usize) -> bool {
        self.board.live(bus)
    }

    /// An engine by its set.
    pub fn engine(&self, set: usize) -> Option<&DieselEngine> {
        self.board.sets[set].diesel.as_ref().map(|d| &d.engine)
    }

    /// How far one of its ways of being hurt has gone; `None` for what is not its own.
    pub fn hurt(&self, which: Hurt) -> Option<&crate::damage::Damage> {
        match which {
            Hurt::Windings(i) => Some(&self.board.sets[i].strain),
            Hurt::EngineBearings(i) => self.engine(i).map(|e| &e.bearings),
            Hurt::Liners(i) => self.engine(i).map(|e| &e.liners),
            Hurt::Insulation(i) => self.board.sets[i].windings.as_ref().map(|w| &w.aged),
            _ => None,
        }
    }

    /// Energy that came in less what left, J: shore, fuel, cranking and shafts driven from outside come in; what the loads
    /// take, losses, exhaust and what the battery's board takes leave. Heat to cooling water stays inside.
    pub fn energy_in(&self) -> f64 {
        let b = &self.board;
        let mut sum = -b.delivered();
        for s in &b.shores {
            sum += s.given();
        }
        for s in &b.sets {
            // Losses leave at once where nobody follows the heat; else they warm the windings, and the room takes them.
            sum += s.account().outside - s.windings.as_ref().map_or(s.account().lost, |w| w.lost());
            if let Some(d) = &s.diesel {
                let a = d.engine.account();
                sum += a.fuel_heat + a.cranking - a.lost;
            }
        }
        if let Some((battery, _)) = &b.battery {
            let (bus, load, lost) = battery.account();
            sum += bus - load - lost;
        }
        sum - self.taken.1
    }

    /// What turns, what is warm, what is charged.
    pub fn stores(&self, all: &mut Vec<Store>) {
        for s in &self.board.sets {
            all.push(Store::Rotor { inertia: s.machine.shaft.inertia, omega: s.machine.shaft.omega });
            if let Some(w) = &s.windings {
                all.push(Store::Heat {
                    name: "windings of a generator",
                    capacity: w.params().capacity,
                    t: w.temperature(),
                });
            }
            if let Some(d) = &s.diesel {
                let (capacity, t) = (d.engine.capacity(), d.engine.temperature());
                all.push(Store::Heat { name: "block of a diesel engine", capacity, t });
            }
        }
        if let Some((battery, _)) = &self.board.battery {
            all.push(Store::Battery { charge: battery.charge() });
        }
    }

    /// Why a set's relays or engine have tripped.
    fn cause(&self, set: usize, engine: bool) -> &'static str {
        if engine {
            let first = self.engine(set).and_then(|e| e.trip.first_out());
            first.map_or("stopped", |i| ENGINE_CAUSES[i])
        } else {
            self.board.sets[set].protection.first().unwrap_or("a relay")
        }
    }

    /// Tells what has changed since the last call.
    pub fn tell(&mut self, into: &mut Vec<Happening>) {
        let mut say = |on: &Tag, says: String| into.push(Happening::Plant { on: on.clone(), says });
        for (i, s) in self.board.sets.iter().enumerate() {
            if Was::changed(&mut self.was.breakers[i], s.breaker.is_closed()) {
                let says = match (s.breaker.is_closed(), &s.closure) {
                    (true, Some(c)) if self.was.closures[i] != s.closure => format!(
                        "it touches {:.0} deg from the top, slip {:.2} Hz, first current {:.1} times rated",
                        c.beside.angle.to_degrees(),
                        c.beside.slip,
                        c.current
                    ),
                    (true, _) => "it closes on a dead bus".into(),
                    (false, _) => "it opens".into(),
                };
                self.was.closures[i] = s.closure;
                say(&self.tags.set_breakers[i], says);
            }
            if let (Some(d), Some(tag)) = (&s.diesel, &self.tags.engines[i]) {
                let runs = d.engine.state() == crate::electrical::EngineState::Running;
                if Was::changed(&mut self.was.engines[i], runs) {
                    say(tag, (if runs { "it fires and runs up" } else { "its fuel is off" }).into());
                }
            }
        }
        for (i, t) in self.board.ties.iter().enumerate() {
            if Was::changed(&mut self.was.ties[i], t.breaker.is_closed()) {
                say(&self.tags.tie_breakers[i], (if t.breaker.is_closed() { "it closes" } else { "it opens" }).into());
            }
        }
        for (i, s) in self.board.shores.iter().enumerate() {
            if Was::changed(&mut self.was.shores[i], s.breaker.is_closed()) {
                say(&self.tags.shores[i], (if s.breaker.is_closed() { "it closes" } else { "it opens" }).into());
            }
        }
        for i in 0..self.board.buses.len() {
            let live = self.board.live(i);
            if Was::changed(&mut self.was.buses[i], live) {
                say(&self.tags.buses[i], (if live { "the bus is live" } else { "the bus is dead" }).into());
            }
        }
        for (i, c) in self.board.consumers.iter().enumerate() {
            if Was::changed(&mut self.was.shed[i], c.shed) && c.shed {
                say(&self.tags.consumers[i], "the preferential trip has put it out".into());
            }
        }
        for i in 0..self.board.sets.len() {
            let relays = self.board.sets[i].protection.unit.is_tripped();
            if Was::changed(&mut self.was.relays[i], relays) {
                into.push(trip(&self.tags.relay_trips[i], relays, self.cause(i, false)));
            }
            let engine = self.engine(i).is_some_and(|e| e.trip.is_tripped());
            if let Some(tag) = &self.tags.engine_trips[i]
                && Was::changed(&mut self.was.engine_trips[i], engine)
            {
                into.push(trip(tag, engine, self.cause(i, true)));
            }
        }
        for i in 0..self.board.shores.len() {
            let out = self.board.shores[i].protection.unit.is_tripped();
            if Was::changed(&mut self.was.shore_trips[i], out) {
                let cause = self.board.shores[i].protection.first().unwrap_or("a relay");
                into.push(trip(&self.tags.shore_trips[i], out, cause));
            }
        }
    }
}

fn trip(tag: &Tag, out: bool, cause: &str) -> Happening {
    let tag = tag.clone();
    if out { Happening::Trip { tag, cause: cause.into(), first: true } } else { Happening::Reset { tag } }
}

impl Parts {
    /// Whether the bus that feeds something is live; a plant without a switchboard has supply everywhere.
    pub fn fed(&self, bus: impl Fn(&ElectricalPart) -> usize) -> bool {
        self.electrical.as_ref().is_none_or(|e| e.live(bus(e)))
    }

    /// Relays and automatics of the board, and motors that start again.
    pub fn electrical_control(&mut self) {
        let Some(e) = &mut self.electrical else { return };
        e.board.control(DT);
        for i in 0..e.restarts.len() {
            let mut r = e.restarts[i];
            let (bus, motor) = match r.what {
                Contactor::Pump(k) => (e.feeders.pumps[k], &mut self.pumps[k].pump.motor),
                Contactor::Compressor(k) => (e.feeders.compressors[k], &mut self.air.machines[k].compressor.motor),
            };
            if !e.board.live(bus) {
                r.waits = (e.restarting && (r.ran || r.waits.is_some())).then_some(0.0);
                r.ran = false;
            } else if let Some(waited) = r.waits {
                let waited = waited + DT;
                r.waits = (waited < r.after && e.restarting).then_some(waited);
                if waited >= r.after && e.restarting {
                    motor.start();
                }
            } else {
                r.ran = motor.is_running();
            }
            e.restarts[i] = r;
        }
    }

    /// What surrounds the engines: cooling water, starting air, fuel.
    pub fn around_sets(&mut self) {
        let Some(e) = &mut self.electrical else { return };
        let battery = e.board.control_supply();
        for (s, j) in e.board.sets.iter_mut().zip(&e.joins) {
            s.around.water = j.water.map(|l| side_of(&self.circuits[l.circuit], l.link));
            s.around.starting = match j.air {
                Some(v) => self.air.vessels[v].receiver.pressure(),
                None => f64::from(u8::from(battery)),
            };
            s.around.fuel = j.fuel.is_none_or(|t| !self.tanks[t].tank.is_empty());
        }
    }

    /// Engines draw on the plant, before the circuits: their heat goes into the cooling water, their starting air and fuel,
    /// as they used them in the tick before, out of receiver and tank.
    pub fn engines(&mut self) {
        self.around_sets();
        let Some(e) = &mut self.electrical else { return };
        for (i, (s, j)) in e.board.sets.iter_mut().zip(&e.joins).enumerate() {
            if let Some(w) = &mut s.windings {
                let own = |(l, part): (LiquidLink, f64)| {
                    let side = side_of(&self.circuits[l.circuit], l.link);
                    Side { mass_flow: part * side.mass_flow, ..side }
                };
                w.cool(j.cooler.map(own), self.ambient, DT);
            }
            let heat = s.cool(self.ambient, DT);
            let Some(d) = &s.diesel else { continue };
            if let Some(l) = j.water {
                self.circuits[l.circuit].set_heat(l.link, heat);
            }
            if let Some(v) = j.air
                && s.gives.air > 0.0
            {
                self.air.take(v, s.gives.air, DT);
            }
            let burnt = d.engine.account().fuel;
            if let Some(t) = j.fuel
                && burnt > e.burnt[i]
            {
                let (mass, tank) = (burnt - e.burnt[i], &mut self.tanks[t].tank);
                let energy = mass * tank.enthalpy();
                tank.add(-mass / DT, -energy / DT);
                e.taken = (e.taken.0 + mass, e.taken.1 + energy);
            }
            e.burnt[i] = burnt;
        }
        // Generators may share a line of cooling water: it takes the heat of all of them.
        for j in &e.joins {
            let Some((l, _)) = j.cooler else { continue };
            let shares = e.joins.iter().zip(&e.board.sets).filter(|(k, _)| k.cooler.is_some_and(|c| c.0 == l));
            let heat = shares.filter_map(|(_, s)| s.windings.as_ref()).map(|w| w.to_water()).sum();
            self.circuits[l.circuit].set_heat(l.link, heat);
        }
    }

    /// The electrical plant's tick: after everything that drives a generator.
    pub fn electrical(&mut self) {
        let Some(e) = &mut self.electrical else { return };
        let u = e.board.params().voltage;
        for b in &mut e.board.buses {
            b.motors = Load::default();
        }
        let mut on = |bus: usize, load: Load| {
            let b = &mut e.board.buses[bus];
            b.motors = b.motors.plus(load);
        };
        for (p, bus) in self.pumps.iter().zip(&e.feeders.pumps) {
            on(*bus, motor_load(&p.pump.motor, u));
        }
        for (m, bus) in self.air.machines.iter().zip(&e.feeders.compressors) {
            if !m.by_hand {
                on(*bus, motor_load(&m.compressor.motor, u));
            }
        }
        for p in self.condenser.iter().flat_map(|c| &c.pumps) {
            on(e.feeders.vacuum_pumps, motor_load(&p.motor, u));
        }
        if let Some(t) = &self.turbine {
            on(e.feeders.valves, motor_load(&t.set.oil.priming, u));
            on(e.feeders.valves, plain_load(t.set.turbine.turning_power(), RUNNING_FACTOR));
        }
        for h in &self.heaters {
            on(e.feeders.heaters, plain_load(h.heater.power(), 1.0));
        }
        if let Some(b) = &self.boiler {
            on(e.feeders.fan, plain_load(b.draught.power(), RUNNING_FACTOR));
        }
        e.board.step(self.ambient, DT);
    }
}
