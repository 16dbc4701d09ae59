//! A generating set: generator, excitation, what drives it, its breaker and relays.
//!
//! One sub-step of `h` seconds: the angle runs on for half of it; the bus is solved; shaft, field and regulators go on
//! with what that gave; the angle runs on for the other half (Stormer-Verlet, second order, with no drift of energy).
//! The set is driven by its own diesel engine with its governor, or from outside by torques and a power that stand for the tick
//! (a turbine), in which case `changer` is the speed changer that the outside governor follows.
//! Closing out of phase: the first current, estimated by subtransient reactances, hurts windings and coupling above
//! three times rated current by the square of its excess (own choice).

use super::breaker::Breaker;
use super::engine::{DieselEngine, EngineAround, EngineGives, EngineState};
use super::excitation::Excitation;
use super::governor::{Governor, SpeedChanger};
use super::machine::Machine;
use super::protection::{Measured, Protection};
use super::shaft::Turned;
use super::synchronising::Closure;
use super::windings::Windings;
use crate::damage::Damage;
use crate::machines::Side;

/// A diesel engine with its governor.
#[derive(Clone, Debug)]
pub struct Diesel {
    /// The engine.
    pub engine: DieselEngine,
    /// Its governor.
    pub governor: Governor,
}

base::kept!(Diesel { engine, governor });

/// What the plant brings to a set in a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetAround {
    /// Cooling stream of its engine.
    pub water: Option<Side>,
    /// Starting air, Pa absolute.
    pub starting: f64,
    /// There is fuel.
    pub fuel: bool,
}

base::kept!(SetAround { water, starting, fuel });

/// Torques and power from outside, for a set without an engine of its own: they stand for the tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Outside {
    /// Torque that drives, N m.
    pub drive: f64,
    /// Torque that opposes the turning, N m.
    pub brake: f64,
    /// Power that drives, W: steam's.
    pub power: f64,
}

base::kept!(Outside { drive, brake, power });

/// Automatic start of an emergency set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EmergencyStart {
    /// How long its bus must be dead, s.
    pub after: f64,
    /// On standby.
    pub standby: bool,
    /// Its breaker was opened by hand, and stays open until its bus is live again or it is put on standby anew.
    pub held_open: bool,
    /// How long the bus has been dead, s.
    pub stood: f64,
}

base::kept!(EmergencyStart { standby, held_open, stood } fixed { after });

/// Energy through a set since the start, J.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SetAccount {
    /// Work of a torque from outside.
    pub outside: f64,
    /// Given to the bus.
    pub given: f64,
    /// Lost in the generator.
    pub lost: f64,
}

base::kept!(SetAccount { outside, given, lost });

/// A generating set and its state.
#[derive(Clone, Debug)]
pub struct GeneratingSet {
    /// Bus of its breaker, by its place.
    pub bus: usize,
    /// The generator.
    pub machine: Machine,
    /// Its excitation.
    pub excitation: Excitation,
    /// Its speed changer.
    pub changer: SpeedChanger,
    /// Its own engine; without one it is driven from outside.
    pub diesel: Option<Diesel>,
    /// What acts on its shaft from outside in this tick.
    pub outside: Outside,
    /// What its shaft did in the last tick: mean speed, what the outside brake and the powers took.
    pub turned: Turned,
    /// Its breaker.
    pub breaker: Breaker,
    /// Its relays.
    pub protection: Protection,
    /// Automatic start, for an emergency set.
    pub emergency: Option<EmergencyStart>,
    /// What the plant brings.
    pub around: SetAround,
    /// What it gives to the plant: heat, starting air used, battery power.
    pub gives: EngineGives,
    /// The last closure on a live bus.
    pub closure: Option<Closure>,
    /// Windings and coupling strained.
    pub strain: Damage,
    /// The heat of its generator, where the plant follows it.
    pub windings: Option<Windings>,
    lost_before: f64,
    pub(super) account: SetAccount,
}

base::kept!(GeneratingSet { machine, excitation, changer, diesel, outside, turned, breaker, protection, emergency,
    around, gives, closure, strain, windings, lost_before, account }
    fixed { bus });

/// Above this part of rated current a closure hurts.
const STRAIN_FROM: f64 = 3.0;
/// Part of life taken at the root of two times that.
const STRAIN: f64 = 0.1;

impl GeneratingSet {
    /// A set at rest, driven from outside.
    #[must_use]
    pub fn new(
        bus: usize,
        machine: Machine,
        excitation: Excitation,
        changer: SpeedChanger,
        breaker: Breaker,
        protection: Protection,
    ) -> GeneratingSet {
        GeneratingSet {
            bus,
            machine,
            excitation,
            changer,
            diesel: None,
            outside: Outside::default(),
            turned: Turned::default(),
            breaker,
            protection,
            emergency: None,
            around: SetAround { water: None, starting: 0.0, fuel: true },
            gives: EngineGives::default(),
            closure: None,
            strain: Damage::none("windings and coupling strained by closing out of phase"),
            windings: None,
            lost_before: 0.0,
            account: SetAccount::default(),
        }
    }

    /// Nothing turns and nothing will in this tick.
    #[must_use]
    pub fn at_rest(&self) -> bool {
        self.machine.shaft.omega == 0.0
            && self.machine.flux == 0.0
            && self.outside.drive <= self.outside.brake
            && self.outside.power <= 0.0
            && self.diesel.as_ref().is_none_or(|d| d.engine.state() == EngineState::Stopped)
    }

    /// Voltage at its terminals, part of rated.
    #[must_use]
    pub fn voltage(&self) -> f64 {
        self.machine.voltage() / self.machine.params().voltage
    }

    /// Ready to be put on a bus: voltage and frequency near rated.
    #[must_use]
    pub fn ready(&self) -> bool {
        self.voltage() > 0.9 && (self.machine.speed() - 1.0).abs() < 0.05
    }

    /// What its relays see.
    #[must_use]
    pub fn measured(&self) -> Measured {
        let m = &self.machine;
        Measured {
            power: m.power() / m.params().power,
            current: m.current() / m.current_rated(),
            voltage: self.voltage(),
            frequency: m.speed(),
        }
    }

    /// Energy through it since the start.
    #[must_use]
    pub fn account(&self) -> &SetAccount {
        &self.account
    }

    /// First half of a sub-step.
    pub(super) fn before(&mut self, h: f64) {
        self.machine.drift(0.5 * h);
        self.machine.make_force();
        if !self.breaker.is_closed() {
            self.machine.unloaded();
        }
    }

    /// Second half, after the bus is solved.
    pub(super) fn after(&mut self, h: f64) {
        let speed = self.machine.speed();
        let rated = *self.machine.params();
        let Outside { mut drive, mut brake, power } = self.outside;
        if let Some(d) = &mut self.diesel {
            let engine = &mut d.engine;
            let most = if engine.state() == EngineState::Running && speed < 0.9 {
                engine.params().start_rack
            } else {
                f64::INFINITY
            };
            let demand = if engine.state() == EngineState::Running {
                let load = self.machine.power() / rated.power;
                d.governor.step(self.changer.setting(), speed, load, most, h)
            } else {
                d.governor.rest();
                0.0
            };
            (drive, brake) = engine.torque(speed, demand, self.around.starting, h);
        }
        let given = self.machine.power() * h;
        let turned = self.machine.shaft.step(drive, brake, self.machine.power() + self.machine.loss() - power, h);
        self.turned.mean += turned.mean * h;
        self.turned.braked += turned.braked;
        self.turned.drawn += turned.drawn;
        match &mut self.diesel {
            Some(d) => d.engine.worked(drive, turned.mean, turned.braked, h),
            None => self.account.outside += drive * turned.mean * h + power * h - turned.braked,
        }
        self.account.given += given;
        self.account.lost += turned.drawn + power * h - given;
        let reactive = self.machine.reactive() / rated.rating;
        let exciter = self.excitation.step(self.voltage(), reactive, speed, h);
        self.machine.excite(exciter, h);
        self.machine.drift(0.5 * h);
    }

    /// Once a tick, before the sub-steps.
    pub(super) fn tick(&mut self, room: f64, dt: f64) {
        self.changer.step(dt);
        self.turned = Turned::default();
        let around = self.engine_around(room);
        if let Some(d) = &mut self.diesel {
            self.gives = d.engine.step(dt, &around);
        }
    }

    /// Once a tick, after the sub-steps.
    pub(super) fn settle(&mut self, dt: f64) {
        // The mean speed was summed with its time.
        self.turned.mean /= dt;
        if let Some(w) = &mut self.windings {
            w.warm(self.account.lost - self.lost_before, dt);
            self.lost_before = self.account.lost;
        }
        if let Some(d) = &mut self.diesel {
            d.engine.warm(dt);
        }
    }

    /// Once a tick, before the cooling water is carried on: the engine's block gives its heat. Returns that to the water, W.
    pub fn cool(&mut self, room: f64, dt: f64) -> f64 {
        let around = self.engine_around(room);
        self.gives.water = self.diesel.as_mut().map_or(0.0, |d| d.engine.cool(dt, &around));
        self.gives.water
    }

    fn engine_around(&self, room: f64) -> EngineAround {
        let a = self.around;
        EngineAround { speed: self.machine.speed(), water: a.water, room, starting: a.starting, fuel: a.fuel }
    }

    /// Its contacts touched a live bus like this.
    pub(super) fn touched(&mut self, closure: Closure) {
        let over = closure.current / STRAIN_FROM;
        if over > 1.0 {
            self.strain.blow(STRAIN * (over * over - 1.0));
        }
        self.closure = Some(closure);
    }

    /// Puts it on speed and voltage at once, unloaded, for a prepared start.
    pub fn prepare_running(&mut self) {
        let p = *self.machine.params();
        self.machine.shaft.omega = p.omega;
        self.machine.flux = 1.0;
        self.excitation.prepare(self.machine.exciter_for(1.0));
        self.machine.make_force();
        self.machine.unloaded();
        if let Some(d) = &mut self.diesel {
            // What holds friction and windage at no load.
            let e = d.engine.params();
            let full = e.power * (1.0 + e.friction);
            let rack = (e.friction * e.power + p.fixed_loss) / full;
            d.engine.prepare_running(rack, 348.15);
            d.governor.prepare(rack, 0.0);
        }
    }
}
