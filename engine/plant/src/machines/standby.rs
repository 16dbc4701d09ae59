//! Standby start: starts the standby machine when the duty machine no longer keeps the pressure, or the vacuum.
//!
//! Armed while its switch is on automatic and the duty machine is meant to run. When the pressure signal
//! has been past the setting for the delay it gives one start command and stands down until it is
//! armed again or the pressure has come back. Units: Pa absolute, s.

use crate::instruments::{Acts, Signal, Threshold, ThresholdParams};

/// A standby start's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandbyParams {
    /// Pressure at which it acts, Pa absolute.
    pub setting: f64,
    /// Pressure back from the setting at which it is ready again, Pa.
    pub differential: f64,
    /// How long the pressure must be past it, s.
    pub delay: f64,
    /// Whether it acts on a falling pressure, or on a rising one: of a vacuum.
    pub acts: Acts,
}

/// A standby start and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct StandbyStart {
    low: Threshold,
    was_low: bool,
    /// A pressure at which it has nothing to do.
    good: f64,
    /// Failing: it never acts.
    pub dead: bool,
}

base::kept!(StandbyStart { low, was_low, dead } fixed { good });

impl StandbyStart {
    /// A standby start that is ready.
    #[must_use]
    pub fn new(params: StandbyParams) -> StandbyStart {
        let StandbyParams { setting, differential, delay, acts } = params;
        let low = Threshold::new(ThresholdParams { setting, differential, delay, acts });
        let good = match acts {
            Acts::Falling => f64::INFINITY,
            Acts::Rising => f64::NEG_INFINITY,
        };
        StandbyStart { low, was_low: false, good, dead: false }
    }

    /// The pressure has been past the setting for the delay: what its alarm follows.
    #[must_use]
    pub fn has_acted(&self) -> bool {
        self.low.is_on()
    }

    /// Looks at the pressure for `dt` seconds. Returns true on the tick on which the standby machine
    /// is to be started.
    pub fn step(&mut self, armed: bool, pressure: Signal, dt: f64) -> bool {
        let value = if armed && !self.dead { pressure.0 } else { self.good };
        let low = self.low.step(value, dt);
        let starts = low && !self.was_low;
        self.was_low = low;
        starts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_starts_once_after_its_delay_and_not_when_dead_or_unarmed() {
        let params = StandbyParams { setting: 2.5e5, differential: 0.5e5, delay: 3.0, acts: Acts::Falling };
        let count = |armed: bool, dead: bool| {
            let mut s = StandbyStart::new(params);
            s.dead = dead;
            (0..100).filter(|_| s.step(armed, Signal(2e5), 0.1)).collect::<Vec<_>>()
        };
        assert_eq!(count(true, false), [30], "after three full seconds, once");
        assert!(count(false, false).is_empty() && count(true, true).is_empty());
        let mut s = StandbyStart::new(params);
        let starts =
            (0..200).filter(|k| s.step(true, Signal(if (80..90).contains(k) { 4e5 } else { 2e5 }), 0.1)).count();
        assert_eq!(starts, 2, "ready again once the pressure has been back");
    }

    #[test]
    fn of_a_vacuum_it_starts_on_rising_pressure() {
        let params = StandbyParams { setting: 1.1e4, differential: 2e3, delay: 3.0, acts: Acts::Rising };
        let starts = |armed: bool, pressure: f64| {
            let mut s = StandbyStart::new(params);
            (0..100).filter(|_| s.step(armed, Signal(pressure), 0.1)).count()
        };
        assert_eq!((starts(true, 1.2e4), starts(true, 7e3), starts(false, 1e5)), (1, 0, 0));
    }
}
