//! The switchboard: buses, what feeds them, what hangs on them, and one tick of all of it.
//!
//! A tick is cut into sub-steps: of 20 ms while machines run in parallel, of 25 ms while one turns, the whole tick when only
//! a stiff supply feeds or nothing does; and at every touch or parting of a breaker's contacts, so that the instant of
//! contact is exact. The swing of small sets against each other is 1 to 5 Hz, which 20 ms follow closely: the
//! critical clearing time of a textbook's case comes out within a thousandth.
//! In each sub-step every group of buses that ties join is one bus: see [`super::phasor`].
//! What the sources give is what the loads take, to rounding; what a shaft loses beyond that is told as loss.
//! Units: SI; speed and frequency as parts of nominal.

use super::battery::Battery;
use super::breaker::{Breaker, Contact};
use super::loads::{Consumer, Preferential};
use super::machine::wrapped;
use super::phasor::{Load, Phasor, Solved, Sources};
use super::set::GeneratingSet;
use super::shore::ShoreSupply;
use super::synchronising::{Beside, Closure, Synchroniser};
use core::f64::consts::TAU;

/// A bus and its state.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bus {
    /// What the plant's motors draw in this tick.
    pub motors: Load,
    /// Insulation against the hull when all is sound, ohm.
    pub insulation: f64,
    load: Load,
    solved: Solved,
    /// Length of its voltage, V.
    volts: f64,
    speed: f64,
    group: usize,
    /// Energy delivered since the start, J.
    delivered: f64,
}

base::kept!(Bus { motors, insulation, load, solved, volts, speed, group, delivered });

impl Bus {
    /// A dead bus with this insulation, ohm.
    #[must_use]
    pub fn new(insulation: f64) -> Bus {
        Bus { insulation, ..Bus::default() }
    }
}

/// A breaker between two buses.
#[derive(Clone, Debug, PartialEq)]
pub struct Tie {
    /// The buses.
    pub buses: (usize, usize),
    /// The breaker.
    pub breaker: Breaker,
    /// It opens when the voltage has been gone for so long, s; never when infinite.
    pub release: f64,
    pub(super) stood: f64,
}

base::kept!(Tie { breaker, stood } fixed { buses, release });

impl Tie {
    /// A tie, open or closed as its breaker is.
    #[must_use]
    pub fn new(buses: (usize, usize), breaker: Breaker, release: f64) -> Tie {
        Tie { buses, breaker, release, stood: 0.0 }
    }
}

/// Figures of the board as a whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoardParams {
    /// Nominal voltage between lines, V.
    pub voltage: f64,
    /// Nominal frequency, Hz.
    pub frequency: f64,
    /// Sub-step while machines run in parallel, s.
    pub fine: f64,
    /// Sub-step while one turns, s.
    pub coarse: f64,
}

/// Sub-steps: while machines run in parallel, and while one turns, s.
pub const SUB_STEPS: (f64, f64) = (0.02, 0.025);
/// Below this part of nominal voltage contactors drop out: IEC 60947-4-1 lets them between 0.2 and 0.75.
pub const HOLDS: f64 = 0.6;
/// Below this part of nominal voltage a bus is dead for a breaker that closes.
const DEAD: f64 = 0.2;
/// Below this part of nominal voltage a constant power is no longer drawn (common practice of stability programs).
const POWER_FROM: f64 = 0.7;

/// The switchboard and its state.
#[derive(Clone, Debug)]
pub struct Switchboard {
    params: BoardParams,
    /// Buses.
    pub buses: Vec<Bus>,
    /// Ties between them.
    pub ties: Vec<Tie>,
    /// Generating sets.
    pub sets: Vec<GeneratingSet>,
    /// Shore supplies.
    pub shores: Vec<ShoreSupply>,
    /// The ship's consumers.
    pub consumers: Vec<Consumer>,
    /// Battery, and the bus of its charger.
    pub battery: Option<(Battery, usize)>,
    /// Synchronising gear.
    pub synchroniser: Synchroniser,
    /// Preferential trip.
    pub preferential: Preferential,
    ticks: u64,
    /// Half of the last sub-step, s: voltages were seen in its middle.
    half: f64,
    /// Greatest difference between what sources gave and loads took in a sub-step, W.
    imbalance: f64,
}

base::kept!(Switchboard { buses, ties, sets, shores, consumers, battery, synchroniser, preferential, ticks, half,
    imbalance }
    fixed { params });

impl Switchboard {
    /// A board of these buses, with nothing on them yet.
    #[must_use]
    pub fn new(
        params: BoardParams,
        buses: Vec<Bus>,
        synchroniser: Synchroniser,
        preferential: Preferential,
    ) -> Switchboard {
        Switchboard {
            params,
            buses,
            ties: vec![],
            sets: vec![],
            shores: vec![],
            consumers: vec![],
            battery: None,
            synchroniser,
            preferential,
            ticks: 0,
            half: 0.0,
            imbalance: 0.0,
        }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &BoardParams {
        &self.params
    }

    /// Voltage of a bus, V.
    #[must_use]
    pub fn voltage(&self, bus: usize) -> f64 {
        self.buses[bus].volts
    }

    /// Frequency of a bus, Hz; none when it is dead.
    #[must_use]
    pub fn frequency(&self, bus: usize) -> f64 {
        if self.dead(bus) { 0.0 } else { self.buses[bus].speed * self.params.frequency }
    }

    /// Power that all loads of a bus and of those tied to it take, W.
    #[must_use]
    pub fn load(&self, bus: usize) -> f64 {
        let g = self.buses[bus].group;
        self.buses[g].solved.power
    }

    /// Contactors hold.
    #[must_use]
    pub fn live(&self, bus: usize) -> bool {
        self.voltage(bus) > HOLDS * self.params.voltage
    }

    /// A breaker may close on it without looking.
    #[must_use]
    pub fn dead(&self, bus: usize) -> bool {
        self.voltage(bus) < DEAD * self.params.voltage
    }

    /// Power that a consumer draws now, W.
    #[must_use]
    pub fn consumer_power(&self, consumer: usize) -> f64 {
        let c = &self.consumers[consumer];
        let solved = &self.buses[c.params().bus].solved;
        c.load().p * solved.served
    }

    /// There is control supply: from the battery, or straight from a bus where there is none.
    #[must_use]
    pub fn control_supply(&self) -> bool {
        self.battery.as_ref().is_none_or(|b| b.0.live())
    }

    /// Insulation of a bus and of those tied to it against the hull, ohm.
    #[must_use]
    pub fn insulation(&self, bus: usize) -> f64 {
        let g = self.buses[bus].group;
        let mut leak = 0.0;
        for b in self.buses.iter().filter(|b| b.group == g) {
            leak += 1.0 / b.insulation;
        }
        for c in self.consumers.iter().filter(|c| c.is_in() && self.buses[c.params().bus].group == g) {
            leak += 1.0 / c.earth;
        }
        1.0 / leak
    }

    /// Energy delivered to loads since the start, J: motors, consumers and charger.
    #[must_use]
    pub fn delivered(&self) -> f64 {
        self.buses.iter().map(|b| b.delivered).sum()
    }

    /// Greatest difference between what sources gave and loads took in a sub-step, W.
    #[must_use]
    pub fn imbalance(&self) -> f64 {
        self.imbalance
    }

    /// Seconds since the start.
    fn time(&self, dt: f64) -> f64 {
        self.ticks as f64 * dt
    }

    /// What stands between a set and its bus at this instant, the end of the last sub-step.
    #[must_use]
    pub fn beside(&self, set: usize) -> Beside {
        let s = &self.sets[set];
        let bus = &self.buses[s.bus];
        let (machine, there) = (s.machine.terminal(), bus.solved.voltage);
        let nominal = self.params.voltage;
        let angle = if self.dead(s.bus) || s.voltage() < DEAD {
            self.synchroniser.seen.angle
        } else {
            // The bus was seen in the middle of the sub-step, and has run on at its speed since.
            let on = TAU * self.params.frequency * (bus.speed - 1.0) * self.half;
            wrapped(s.machine.angle - there.angle() - on)
        };
        let (length, bus_length) = (machine.length(), there.length());
        let lamps = Phasor::polar(length, angle).minus(Phasor { re: bus_length, im: 0.0 }).length() / nominal;
        let slip = s.machine.frequency() - self.frequency(s.bus);
        Beside { angle, slip, voltage: (length - bus_length) / nominal, lamps }
    }

    /// Which buses are one: the lowest number of those that closed ties join.
    fn regroup(&mut self) {
        for i in 0..self.buses.len() {
            self.buses[i].group = i;
        }
        // As often as there are ties is enough for any chain of them.
        for _ in 0..self.ties.len() {
            for t in self.ties.iter().filter(|t| t.breaker.is_closed()) {
                let (a, b) = t.buses;
                let least = self.buses[a].group.min(self.buses[b].group);
                self.buses[a].group = least;
                self.buses[b].group = least;
            }
        }
    }

    fn sub_step(&self, left: f64) -> f64 {
        let turning = self.sets.iter().filter(|s| !s.at_rest()).count();
        let connected = self.sets.iter().filter(|s| !s.at_rest() && s.breaker.is_closed()).count()
            + self.shores.iter().filter(|s| s.feeds()).count();
        let mut h = if turning == 0 {
            left
        } else if connected > 1 {
            self.params.fine
        } else {
            self.params.coarse
        };
        h = h.min(left);
        for next in self.breakers().filter_map(Breaker::next) {
            h = h.min(next);
        }
        h
    }

    fn breakers(&self) -> impl Iterator<Item = &Breaker> {
        let sets = self.sets.iter().map(|s| &s.breaker);
        sets.chain(self.ties.iter().map(|t| &t.breaker)).chain(self.shores.iter().map(|s| &s.breaker))
    }

    /// One tick of `dt` seconds in a room of this temperature (K).
    pub fn step(&mut self, room: f64, dt: f64) {
        let t = self.time(dt);
        self.ticks += 1;
        let mut starter = 0.0;
        for s in &mut self.sets {
            s.tick(room, dt);
            starter += s.gives.electric;
        }
        for b in &mut self.buses {
            b.load = b.motors;
        }
        for c in &mut self.consumers {
            c.swing_to(t);
            let bus = &mut self.buses[c.params().bus];
            bus.load = bus.load.plus(c.load());
        }
        if let Some((battery, bus)) = &mut self.battery {
            let live = self.buses[*bus].volts > HOLDS * self.params.voltage;
            self.buses[*bus].load.p += battery.step(live, starter, dt);
        }
        let mut left = dt;
        while left > 1e-9 {
            let h = self.sub_step(left);
            self.part(h);
            left -= h;
            self.contacts(h);
        }
        for s in &mut self.sets {
            s.settle(dt);
        }
        if let Some(i) = self.synchroniser.incoming {
            self.synchroniser.seen = self.beside(i);
        }
    }

    /// Before the first tick: the buses have the voltage that their sources give.
    pub fn prime(&mut self) {
        for s in &mut self.sets {
            s.before(0.0);
        }
        self.solve_all(0.0);
    }

    /// A sub-step.
    fn part(&mut self, h: f64) {
        for s in self.sets.iter_mut().filter(|s| !s.at_rest()) {
            s.before(h);
        }
        self.drift_shores(0.5 * h);
        self.solve_all(h);
        for s in self.sets.iter_mut().filter(|s| !s.at_rest()) {
            s.after(h);
        }
        self.drift_shores(0.5 * h);
        self.half = 0.5 * h;
    }

    fn drift_shores(&mut self, h: f64) {
        for s in self.shores.iter_mut().filter(|s| s.speed != 1.0) {
            s.angle = wrapped(s.angle + TAU * self.params.frequency * (s.speed - 1.0) * h);
        }
    }

    fn solve_all(&mut self, h: f64) {
        self.regroup();
        for g in 0..self.buses.len() {
            if self.buses[g].group == g {
                self.solve(g, h);
            }
        }
        for i in 0..self.buses.len() {
            let root = self.buses[self.buses[i].group];
            let (served, v2) = (root.solved.served, root.solved.voltage.square());
            let b = &mut self.buses[i];
            (b.solved, b.speed, b.volts) = (root.solved, root.speed, root.volts);
            b.delivered += (b.load.p * served + b.load.g * v2) * h;
        }
    }

    fn solve(&mut self, g: usize, h: f64) {
        let of = |buses: &[Bus], bus: usize| buses[bus].group == g;
        let (mut sources, mut load) = (Sources::default(), Load::default());
        for b in self.buses.iter().filter(|b| b.group == g) {
            load = load.plus(b.load);
        }
        let (mut stiff, mut weight, mut sum) = (None, 0.0, 0.0);
        for s in self.shores.iter().filter(|s| s.feeds() && of(&self.buses, s.bus)) {
            sources.add(Phasor::polar(s.voltage * self.params.voltage, s.angle), s.reactance);
            stiff = Some(s.speed);
        }
        for s in self.sets.iter().filter(|s| s.breaker.is_closed() && !s.at_rest() && of(&self.buses, s.bus)) {
            sources.add(s.machine.force(), s.machine.reactance());
            weight += s.machine.damper();
            sum += s.machine.damper() * s.machine.speed();
        }
        let solved = sources.solve(load, POWER_FROM * self.params.voltage);
        let alone = self.sets.iter().find(|s| s.breaker.is_closed() && of(&self.buses, s.bus));
        let speed = stiff.unwrap_or(if weight > 0.0 { sum / weight } else { alone.map_or(0.0, |s| s.machine.speed()) });
        let (mut given, mut damping) = (0.0, 0.0);
        for s in self.sets.iter_mut().filter(|s| s.breaker.is_closed() && !s.at_rest()) {
            if of(&self.buses, s.bus) {
                damping += s.machine.loaded(solved.voltage, speed);
                given += s.machine.power();
            }
        }
        for s in &mut self.shores {
            if s.feeds() && of(&self.buses, s.bus) {
                let force = Phasor::polar(s.voltage * self.params.voltage, s.angle);
                (s.power, s.reactive) = force.sends(solved.voltage, s.reactance);
                s.power -= damping;
                // A second shore on the same bus does not happen (interlock); the first takes the damping.
                damping = 0.0;
                given += s.power;
                s.given += s.power * h;
            } else if of(&self.buses, s.bus) {
                (s.power, s.reactive) = (0.0, 0.0);
            }
        }
        self.imbalance = self.imbalance.max((given - solved.power).abs());
        let bus = &mut self.buses[g];
        (bus.solved, bus.speed, bus.volts) = (solved, speed, solved.voltage.length());
    }

    /// Contacts that touch or part after `h` seconds.
    fn contacts(&mut self, h: f64) {
        for i in 0..self.sets.len() {
            let touched = self.sets[i].breaker.advance(h) == Some(Contact::Touched);
            if touched && !self.dead(self.sets[i].bus) {
                let beside = self.beside(i);
                let current = self.first_current(i, &beside);
                self.sets[i].touched(Closure { beside, current });
            }
        }
        for t in &mut self.ties {
            t.breaker.advance(h);
        }
        for s in &mut self.shores {
            s.breaker.advance(h);
        }
    }

    /// First current of a closure, part of rated.
    fn first_current(&self, set: usize, beside: &Beside) -> f64 {
        let s = &self.sets[set];
        let g = self.buses[s.bus].group;
        let mut stiffness = 0.0;
        for x in self.shores.iter().filter(|x| x.feeds() && self.buses[x.bus].group == g) {
            stiffness += 1.0 / x.reactance;
        }
        for (i, x) in self.sets.iter().enumerate() {
            if i != set && x.breaker.is_closed() && self.buses[x.bus].group == g {
                stiffness += 1.0 / x.machine.first_reactance();
            }
        }
        let (v, w) = (self.voltage(s.bus), s.machine.force().length());
        let difference = Phasor::polar(w, beside.angle).minus(Phasor { re: v, im: 0.0 }).length();
        let p = s.machine.params();
        difference / (s.machine.first_reactance() + 1.0 / stiffness) * p.voltage / p.rating
    }
}
