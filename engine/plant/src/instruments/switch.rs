//! A switch that acts when a value passes its setting: pressure, level, temperature and flow switches.
//!
//! Equations: on when the value has passed the setting for the delay; off when it has come back past
//! setting and differential together (at once).
//! Assumptions: settings do not drift. Units: the measured quantity's SI unit; seconds.

use super::{Actual, Signal};

/// Which way a switch acts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Acts {
    /// On when the value rises to the setting.
    Rising,
    /// On when the value falls to the setting.
    Falling,
}

/// Data of a threshold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThresholdParams {
    /// Where it acts, SI.
    pub setting: f64,
    /// How far the value must come back, SI, zero or more.
    pub differential: f64,
    /// How long the value must have passed the setting, s.
    pub delay: f64,
    /// Which way.
    pub acts: Acts,
}

/// A threshold with differential and delay: the logic of a switch.
#[derive(Clone, Debug, PartialEq)]
pub struct Threshold {
    /// Its data; the setting may be trimmed while running.
    pub params: ThresholdParams,
    on: bool,
    waited: f64,
}

base::kept!(Threshold { on, waited } fixed { params });

impl Threshold {
    /// A threshold that is off.
    #[must_use]
    pub fn new(params: ThresholdParams) -> Threshold {
        Threshold { params, on: false, waited: 0.0 }
    }

    /// Whether it has acted.
    #[must_use]
    pub fn is_on(&self) -> bool {
        self.on
    }

    /// Looks at a value for `dt` seconds. A value that is not a number changes nothing.
    pub fn step(&mut self, value: f64, dt: f64) -> bool {
        let ThresholdParams { setting, differential, delay, acts } = self.params;
        let (passed, back) = match acts {
            Acts::Rising => (value >= setting, value < setting - differential),
            Acts::Falling => (value <= setting, value > setting + differential),
        };
        if self.on {
            if back {
                self.on = false;
                self.waited = 0.0;
            }
        } else if passed {
            self.waited += dt;
            // A thousandth of a tick is rounding of the sum, not time.
            self.on = self.waited > delay + 1e-4 * dt || delay <= 0.0;
        } else {
            self.waited = 0.0;
        }
        self.on
    }
}

/// What can be wrong with a switch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SwitchFailing {
    /// Its contact is stuck off, and on: off goes before.
    pub stuck_off: bool,
    /// See [`SwitchFailing::stuck_off`].
    pub stuck_on: bool,
}

base::kept!(SwitchFailing { stuck_off, stuck_on });

/// A switch in the plant: an actual value in, a signal out.
#[derive(Clone, Debug, PartialEq)]
pub struct Switch {
    threshold: Threshold,
    /// What is wrong with it.
    pub failing: SwitchFailing,
}

base::kept!(Switch { threshold, failing });

impl Switch {
    /// A switch that is off.
    #[must_use]
    pub fn new(params: ThresholdParams) -> Switch {
        Switch { threshold: Threshold::new(params), failing: SwitchFailing::default() }
    }

    /// What it ought to say.
    #[must_use]
    pub fn actual(&self) -> Actual {
        Actual(f64::from(u8::from(self.threshold.is_on())))
    }

    /// What it says.
    #[must_use]
    pub fn signal(&self) -> Signal {
        let SwitchFailing { stuck_off, stuck_on } = self.failing;
        Signal::of(!stuck_off && (stuck_on || self.threshold.is_on()))
    }

    /// Looks at a value for `dt` seconds.
    pub fn step(&mut self, actual: Actual, dt: f64) -> Signal {
        self.threshold.step(actual.0, dt);
        self.signal()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOW_PRESSURE: ThresholdParams =
        ThresholdParams { setting: 2.0, differential: 0.3, delay: 1.0, acts: Acts::Falling };

    #[test]
    fn it_waits_acts_and_comes_back_past_the_differential() {
        let mut t = Threshold::new(LOW_PRESSURE);
        let ticks = (1..100).find(|_| t.step(1.9, 0.1)).unwrap();
        assert_eq!(ticks, 11, "a full second has passed when the eleventh tick finds it still low");
        assert!(t.step(2.2, 0.1), "within the differential");
        assert!(!t.step(2.31, 0.1));
        for _ in 0..9 {
            assert!(!t.step(1.9, 0.1));
        }
        t.step(2.1, 0.1);
        assert!(!t.step(1.9, 0.1), "the delay starts again");
    }

    #[test]
    fn without_a_delay_it_acts_at_once_and_rising_is_the_mirror() {
        let mut t = Threshold::new(ThresholdParams { delay: 0.0, acts: Acts::Rising, ..LOW_PRESSURE });
        assert!(!t.step(1.9, 0.1) && t.step(2.0, 0.1) && t.step(1.75, 0.1) && !t.step(1.69, 0.1));
        assert!(!t.step(f64::NAN, 0.1));
    }

    #[test]
    fn a_stuck_contact_lies_and_the_actual_stays_true() {
        let mut s = Switch::new(ThresholdParams { delay: 0.0, ..LOW_PRESSURE });
        s.failing.stuck_off = true;
        assert!(!s.step(Actual(1.0), 0.1).is_on() && s.actual().0 == 1.0);
        s.failing.stuck_on = true;
        assert!(!s.signal().is_on(), "off goes before");
        s.failing = SwitchFailing::default();
        assert!(s.signal().is_on());
    }
}
