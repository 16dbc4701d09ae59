//! An electric motor with its starter.
//!
//! Equations: speed runs up and down in a straight line over the run-up and run-down time; electric
//! power is shaft power over efficiency. The overload trips when shaft power has been above its
//! part of rated power for its delay.
//! Assumptions: direct starting; the contactor drops out when supply is lost and stays out until
//! somebody (or an automatic) starts it again. Figures: own choice in the plant file.
//! Units: speed as a part of rated speed; W; s.

use crate::instruments::{Acts, Threshold, ThresholdParams};

/// A motor's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MotorParams {
    /// Time from rest to rated speed, s.
    pub run_up: f64,
    /// Time from rated speed to rest, s.
    pub run_down: f64,
    /// Rated shaft power, W.
    pub rated_power: f64,
    /// Shaft power over electric power.
    pub efficiency: f64,
    /// Part of rated power at which the overload acts; infinite for none.
    pub overload: f64,
    /// How long the overload waits, s.
    pub overload_delay: f64,
}

/// What can be wrong with a motor and its starter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MotorFailing {
    /// The contactor does not close.
    pub will_not_start: bool,
    /// The starter trips, and trips again as long as this lasts.
    pub trips: bool,
}

base::kept!(MotorFailing { will_not_start, trips });

/// A motor and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Motor {
    params: MotorParams,
    /// What is wrong with it.
    pub failing: MotorFailing,
    closed: bool,
    tripped: bool,
    live: bool,
    speed: f64,
    shaft_power: f64,
    overload: Threshold,
}

base::kept!(Motor { failing, closed, tripped, live, speed, shaft_power, overload } fixed { params });

impl Motor {
    /// A motor at rest.
    #[must_use]
    pub fn new(params: MotorParams) -> Motor {
        let overload = Threshold::new(ThresholdParams {
            setting: params.overload * params.rated_power,
            differential: 0.0,
            delay: params.overload_delay,
            acts: Acts::Rising,
        });
        Motor {
            params,
            failing: MotorFailing::default(),
            closed: false,
            tripped: false,
            live: false,
            speed: 0.0,
            shaft_power: 0.0,
            overload,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> MotorParams {
        self.params
    }

    /// Starts it. Returns whether the contactor is closed then: not without supply, not when tripped.
    pub fn start(&mut self) -> bool {
        if self.live && !self.tripped && !self.failing.will_not_start && !self.failing.trips {
            self.closed = true;
        }
        self.closed
    }

    /// Stops it.
    pub fn stop(&mut self) {
        self.closed = false;
    }

    /// Resets the starter after a trip, by hand.
    pub fn reset(&mut self) {
        self.tripped = self.failing.trips;
    }

    /// The contactor is closed: what its running lamp follows.
    #[must_use]
    pub fn is_running(&self) -> bool {
        self.closed
    }

    /// The starter has tripped and is not reset.
    #[must_use]
    pub fn is_tripped(&self) -> bool {
        self.tripped
    }

    /// Speed as a part of rated speed.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.speed
    }

    /// Electric power drawn, W.
    #[must_use]
    pub fn electric_power(&self) -> f64 {
        if self.closed { self.shaft_power / self.params.efficiency } else { 0.0 }
    }

    /// Puts it at speed at once, for a prepared start.
    pub fn prepare_running(&mut self) {
        self.live = true;
        self.closed = true;
        self.speed = 1.0;
    }

    /// Runs for `dt` seconds: whether its supply is live and what its shaft gave on the last tick, W.
    pub fn step(&mut self, live: bool, shaft_power: f64, dt: f64) {
        self.live = live;
        self.shaft_power = shaft_power;
        let loaded = if self.closed { shaft_power } else { 0.0 };
        if self.overload.step(loaded, dt) || (self.failing.trips && self.closed) {
            self.tripped = true;
        }
        if !live || self.tripped {
            self.closed = false;
        }
        self.speed = if self.closed {
            (self.speed + dt / self.params.run_up).min(1.0)
        } else {
            (self.speed - dt / self.params.run_down).max(0.0)
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(in crate::machines) const SMALL: MotorParams = MotorParams {
        run_up: 2.0,
        run_down: 4.0,
        rated_power: 1e4,
        efficiency: 0.9,
        overload: 1.15,
        overload_delay: 5.0,
    };

    #[test]
    fn it_runs_up_and_down_in_its_time_and_drops_out_without_supply() {
        let mut m = Motor::new(SMALL);
        assert!(!m.start(), "no supply has been seen yet");
        m.step(true, 0.0, 0.1);
        assert!(m.start());
        for _ in 0..20 {
            m.step(true, 5e3, 0.1);
        }
        assert!((m.speed() - 1.0).abs() < 1e-9 && (m.electric_power() - 5e3 / 0.9).abs() < 1e-9);
        m.step(false, 5e3, 0.1);
        assert!(!m.is_running());
        m.step(true, 0.0, 0.1);
        assert!(!m.is_running(), "it does not start by itself when supply returns");
        for _ in 0..40 {
            m.step(true, 0.0, 0.1);
        }
        assert_eq!(m.speed(), 0.0);
    }

    #[test]
    fn the_overload_waits_trips_and_is_reset() {
        let mut m = Motor::new(SMALL);
        m.step(true, 0.0, 0.1);
        m.start();
        let ticks = (1..1000).find(|_| {
            m.step(true, 1.2e4, 0.1);
            m.is_tripped()
        });
        assert_eq!(ticks, Some(51));
        assert!(!m.start());
        m.step(true, 0.0, 0.1);
        m.reset();
        assert!(m.start());
    }

    #[test]
    fn failings_of_the_starter() {
        let mut m = Motor::new(SMALL);
        m.step(true, 0.0, 0.1);
        m.failing.will_not_start = true;
        assert!(!m.start());
        m.failing.will_not_start = false;
        assert!(m.start());
        m.failing.trips = true;
        m.step(true, 0.0, 0.1);
        m.reset();
        assert!(m.is_tripped() && !m.start());
        m.failing.trips = false;
        m.reset();
        assert!(m.start());
    }
}
