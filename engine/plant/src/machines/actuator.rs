//! What moves a valve or damper: a hand, a motor, or control air against a spring.
//!
//! Equations: the position runs towards the command at `1/stroke` a second. A pneumatic drive whose air
//! is below its least pressure goes to its fail position by its spring, at the same rate, until air is
//! back 0.3 bar above it (own choice). An electric drive without supply stands still.
//! Limit switches: "open" from 98 %, "shut" up to 2 % of stroke (common practice); they are two signals
//! and each can fail by itself.
//! Units: position and command 0 shut to 1 open; Pa absolute; s.

use crate::instruments::{Actual, Signal};

/// Air must come back this far above the least pressure, Pa.
const AIR_DIFFERENTIAL: f64 = 3e4;
/// Parts of stroke within which the limit switches act.
const AT_AN_END: f64 = 0.02;

/// Where a pneumatic drive goes without air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FailTo {
    /// Its spring opens it.
    Open,
    /// Its spring shuts it.
    Shut,
    /// It stays where it is.
    Stay,
}

base::kept!(enum FailTo { 0 Open, 1 Shut, 2 Stay });

/// What moves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Drive {
    /// Somebody's hand; needs nothing.
    Hand,
    /// An electric motor; needs supply.
    Electric,
    /// Control air.
    Pneumatic {
        /// Least air pressure, Pa absolute.
        air_min: f64,
        /// Where it goes without.
        fails: FailTo,
    },
}

/// An actuator's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ActuatorParams {
    /// Time from end to end, s; zero moves at once.
    pub stroke: f64,
    /// What moves it.
    pub drive: Drive,
}

/// What it has to move with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motive {
    /// Pressure of its air, Pa absolute.
    pub air: f64,
    /// Whether its electric supply is live.
    pub live: bool,
}

/// How it is seized.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Seized {
    /// It stands where it stood.
    WhereItStands,
    /// It has jammed at this position.
    At(f64),
}

base::kept!(enum Seized { 0 WhereItStands, 1 At(x) });

/// What can be wrong with an actuator.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ActuatorFailing {
    /// It does not move.
    pub seized: Option<Seized>,
    /// Its stroke takes this many times longer (1 sound).
    pub sluggish: f64,
    /// Its spring acts the wrong way: where it goes without air instead.
    pub wrong_fail: Option<FailTo>,
    /// The "open" limit switch says this whatever the position.
    pub open_switch: Option<bool>,
    /// The "shut" limit switch says this whatever the position.
    pub shut_switch: Option<bool>,
}

base::kept!(ActuatorFailing { seized, sluggish, wrong_fail, open_switch, shut_switch });

impl Default for ActuatorFailing {
    fn default() -> ActuatorFailing {
        ActuatorFailing { seized: None, sluggish: 1.0, wrong_fail: None, open_switch: None, shut_switch: None }
    }
}

/// An actuator and its state.
#[derive(Clone, Debug, PartialEq)]
#[repr(C)]
pub struct Actuator {
    position: f64,
    command: f64,
    params: ActuatorParams,
    without_air: bool,
    /// What is wrong with it.
    pub failing: ActuatorFailing,
}

base::kept!(Actuator { failing, command, position, without_air } fixed { params });

impl Actuator {
    /// An actuator standing at a position.
    #[must_use]
    pub fn new(params: ActuatorParams, position: f64) -> Actuator {
        let failing = ActuatorFailing::default();
        Actuator { params, failing, command: position, position, without_air: false }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> ActuatorParams {
        self.params
    }

    /// Asks for a position, 0 shut to 1 open.
    pub fn set_command(&mut self, command: f64) {
        self.command = command.clamp(0.0, 1.0);
    }

    /// The position asked for.
    #[must_use]
    pub fn command(&self) -> f64 {
        self.command
    }

    /// Where it stands.
    #[must_use]
    pub fn position(&self) -> f64 {
        self.position
    }

    /// It has gone to its fail position for want of air.
    #[must_use]
    pub fn is_without_air(&self) -> bool {
        self.without_air
    }

    /// Whether it is at its open end.
    #[must_use]
    pub fn is_open(&self) -> Actual {
        Actual(f64::from(u8::from(self.position >= 1.0 - AT_AN_END)))
    }

    /// Whether it is at its shut end.
    #[must_use]
    pub fn is_shut(&self) -> Actual {
        Actual(f64::from(u8::from(self.position <= AT_AN_END)))
    }

    /// What its "open" limit switch says.
    #[must_use]
    pub fn open_switch(&self) -> Signal {
        self.failing.open_switch.map_or(Signal(self.is_open().0), Signal::of)
    }

    /// What its "shut" limit switch says.
    #[must_use]
    pub fn shut_switch(&self) -> Signal {
        self.failing.shut_switch.map_or(Signal(self.is_shut().0), Signal::of)
    }

    /// Puts it at a position at once, for a prepared start.
    pub fn prepare(&mut self, position: f64) {
        self.set_command(position);
        self.position = self.command;
    }

    /// Moves for `dt` seconds. Returns how far it moved, as a part of stroke (what uses air).
    pub fn step(&mut self, motive: Motive, dt: f64) -> f64 {
        let before = self.position;
        let target = match self.params.drive {
            Drive::Hand => Some(self.command),
            Drive::Electric => motive.live.then_some(self.command),
            Drive::Pneumatic { air_min, fails } => {
                let least = if self.without_air { air_min + AIR_DIFFERENTIAL } else { air_min };
                self.without_air = motive.air < least;
                if self.without_air {
                    match self.failing.wrong_fail.unwrap_or(fails) {
                        FailTo::Open => Some(1.0),
                        FailTo::Shut => Some(0.0),
                        FailTo::Stay => None,
                    }
                } else {
                    Some(self.command)
                }
            }
        };
        match (self.failing.seized, target) {
            (Some(Seized::At(position)), _) => self.position = position,
            (Some(Seized::WhereItStands), _) | (None, None) => {}
            (None, Some(target)) => {
                let stroke = self.params.stroke * self.failing.sluggish;
                let way = target - self.position;
                if way == 0.0 {
                    return 0.0;
                }
                let most = if stroke > 0.0 { dt / stroke } else { f64::INFINITY };
                self.position = if way.abs() <= most { target } else { self.position + most * way.signum() };
            }
        }
        (self.position - before).abs()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AIR: Motive = Motive { air: 8e5, live: true };
    const NOTHING: Motive = Motive { air: 1e5, live: false };

    fn with(drive: Drive) -> Actuator {
        Actuator::new(ActuatorParams { stroke: 10.0, drive }, 0.4)
    }

    fn run(a: &mut Actuator, motive: Motive, seconds: u32) -> f64 {
        for _ in 0..seconds * 10 {
            a.step(motive, 0.1);
        }
        a.position()
    }

    #[test]
    fn it_strokes_in_its_time_and_its_switches_follow() {
        let mut a = with(Drive::Hand);
        a.set_command(1.0);
        assert!((run(&mut a, NOTHING, 3) - 0.7).abs() < 1e-9);
        assert!(!a.open_switch().is_on() && !a.shut_switch().is_on());
        assert_eq!(run(&mut a, NOTHING, 4), 1.0);
        assert!(a.open_switch().is_on() && !a.shut_switch().is_on());
    }

    #[test]
    fn each_goes_its_own_way_without_what_moves_it() {
        for (fails, ends) in [(FailTo::Open, 1.0), (FailTo::Shut, 0.0), (FailTo::Stay, 0.4)] {
            let mut a = with(Drive::Pneumatic { air_min: 4e5, fails });
            assert_eq!(run(&mut a, NOTHING, 20), ends);
            assert_eq!(run(&mut a, Motive { air: 4.1e5, ..NOTHING }, 20), ends, "not yet back by the differential");
            assert!((run(&mut a, AIR, 20) - 0.4).abs() < 1e-12);
        }
        let mut a = with(Drive::Pneumatic { air_min: 4e5, fails: FailTo::Shut });
        a.failing.wrong_fail = Some(FailTo::Open);
        assert_eq!(run(&mut a, NOTHING, 20), 1.0);
        let mut a = with(Drive::Electric);
        a.set_command(1.0);
        assert_eq!(run(&mut a, Motive { live: false, ..AIR }, 20), 0.4);
    }

    #[test]
    fn failings_hold_it_slow_it_and_let_it_go() {
        let mut a = with(Drive::Hand);
        a.set_command(1.0);
        a.failing.seized = Some(Seized::WhereItStands);
        assert_eq!(run(&mut a, AIR, 20), 0.4);
        a.failing.seized = Some(Seized::At(0.25));
        assert_eq!(run(&mut a, AIR, 1), 0.25);
        a.failing = ActuatorFailing { sluggish: 5.0, ..ActuatorFailing::default() };
        assert!((run(&mut a, AIR, 10) - 0.45).abs() < 1e-9);
        a.failing = ActuatorFailing { open_switch: Some(true), shut_switch: Some(false), ..ActuatorFailing::default() };
        assert!(a.open_switch().is_on() && a.is_open().0 == 0.0);
        assert_eq!(run(&mut a, AIR, 20), 1.0);
    }
}
