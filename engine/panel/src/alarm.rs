//! The annunciator: alarms that come up, wait to be acknowledged, and go.
//!
//! An alarm comes up when its signal has been beyond its limit for the delay without a break, and
//! its cause is gone when the signal has come back past "returns at" (the return differential,
//! which keeps a signal at the limit from chattering). The sequence is that of an annunciator
//! without automatic reset of what nobody saw: raised (waits to be acknowledged) → acknowledged
//! (still stands) → normal; or raised → cleared (gone again, and still waits) → normal. Compare the
//! sequences of ANSI/ISA-18.1 (from memory).

use base::{Tag, record::AlarmPhase};
use plant::PointId;

/// How an alarm stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AlarmState {
    /// Nothing.
    #[default]
    Normal,
    /// The cause is there and nobody has acknowledged it.
    Raised,
    /// The cause is there and was acknowledged.
    Acknowledged,
    /// The cause has gone, and nobody has acknowledged that it was there.
    Cleared,
}

base::kept!(enum AlarmState { 0 Normal, 1 Raised, 2 Acknowledged, 3 Cleared });

impl AlarmState {
    /// The word for people.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            AlarmState::Normal => "normal",
            AlarmState::Raised => "raised",
            AlarmState::Acknowledged => "acknowledged",
            AlarmState::Cleared => "cleared, not acknowledged",
        }
    }

    /// The cause is there.
    #[must_use]
    pub fn stands(self) -> bool {
        matches!(self, AlarmState::Raised | AlarmState::Acknowledged)
    }

    /// Somebody should press "acknowledge".
    #[must_use]
    pub fn waits(self) -> bool {
        matches!(self, AlarmState::Raised | AlarmState::Cleared)
    }
}

/// What raises an alarm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cause {
    /// A signal above a limit, back below another (SI).
    Above {
        /// The point.
        point: PointId,
        /// The limit.
        limit: f64,
        /// Where it is gone again.
        returns_at: f64,
    },
    /// A signal below a limit, back above another (SI).
    Below {
        /// The point.
        point: PointId,
        /// The limit.
        limit: f64,
        /// Where it is gone again.
        returns_at: f64,
    },
    /// A state point whose signal is this.
    State(PointId, bool),
    /// A trip that is latched, by its place in [`plant::Plant::trips`].
    Trip(usize),
}

/// An alarm.
#[derive(Clone, Debug)]
pub struct Alarm {
    /// Its tag.
    pub tag: Tag,
    /// What stands on its window.
    pub text: String,
    /// What raises it.
    pub cause: Cause,
    /// How long the cause must last (ticks).
    pub delay: u32,
    /// It never comes up.
    pub(crate) mute: bool,
    /// It is up whether or not there is a cause.
    pub(crate) spurious: bool,
    state: AlarmState,
    beyond_for: u32,
}

base::kept!(Alarm { mute, spurious, state, beyond_for } fixed { tag, text, cause, delay });

impl Alarm {
    pub(crate) fn new(tag: Tag, text: String, cause: Cause, delay: u32) -> Alarm {
        let state = AlarmState::Normal;
        Alarm { tag, text, cause, delay, mute: false, spurious: false, state, beyond_for: 0 }
    }

    /// How it stands.
    #[must_use]
    pub fn state(&self) -> AlarmState {
        self.state
    }

    /// It does not stand, nothing counts towards it, and nothing is wrong with it.
    pub(crate) fn is_quiet(&self) -> bool {
        !self.state.stands() && self.beyond_for == 0 && !self.mute && !self.spurious
    }

    /// Whether the cause is there, the return differential counted.
    fn beyond(&self, value: f64) -> bool {
        let stands = self.state.stands();
        // One that is both has no voice left.
        if self.mute || self.spurious {
            return !self.mute;
        }
        match self.cause {
            Cause::Above { limit, returns_at, .. } => value > if stands { returns_at } else { limit },
            Cause::Below { limit, returns_at, .. } => value < if stands { returns_at } else { limit },
            Cause::State(_, when) => (value >= 0.5) == when,
            Cause::Trip(_) => value >= 0.5,
        }
    }

    /// Takes over a cause that is there already: it was acknowledged before the run began.
    pub(crate) fn prime(&mut self, value: f64) {
        self.state = AlarmState::Normal;
        self.beyond_for = 0;
        if self.beyond(value) {
            self.state = AlarmState::Acknowledged;
        }
    }

    /// One tick with the value of its point.
    pub(crate) fn update(&mut self, value: f64) -> Option<AlarmPhase> {
        if self.beyond(value) {
            self.beyond_for = self.beyond_for.saturating_add(1);
            if !self.state.stands() && (self.beyond_for > self.delay || self.spurious) {
                self.state = AlarmState::Raised;
                return Some(AlarmPhase::Raised);
            }
            return None;
        }
        self.beyond_for = 0;
        let (state, phase) = match self.state {
            AlarmState::Raised => (AlarmState::Cleared, Some(AlarmPhase::Cleared)),
            AlarmState::Acknowledged => (AlarmState::Normal, Some(AlarmPhase::Cleared)),
            other => (other, None),
        };
        self.state = state;
        phase
    }

    /// Acknowledges it; false when there was nothing to acknowledge.
    pub(crate) fn acknowledge(&mut self) -> bool {
        match self.state {
            AlarmState::Raised => self.state = AlarmState::Acknowledged,
            AlarmState::Cleared => self.state = AlarmState::Normal,
            _ => return false,
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn high() -> Alarm {
        Alarm::new(Tag::new("XA-1"), "high".into(), Cause::Above { point: PointId(0), limit: 10.0, returns_at: 9.0 }, 2)
    }

    #[test]
    fn delay_and_return_differential_keep_it_quiet() {
        let mut a = high();
        let phases: Vec<_> =
            [11.0, 11.0, 9.5, 11.0, 11.0, 11.0, 9.5, 8.9, 9.5].into_iter().map(|v| a.update(v)).collect();
        let mut want = vec![None; 9];
        want[5] = Some(AlarmPhase::Raised); // the third tick without a break: 2 ticks after the first
        want[7] = Some(AlarmPhase::Cleared);
        assert_eq!(phases, want);
        assert_eq!(a.state(), AlarmState::Cleared);
        assert!(a.acknowledge());
        assert_eq!(a.state(), AlarmState::Normal);
        assert!(!a.acknowledge());
    }

    #[test]
    fn acknowledged_stands_until_its_cause_goes() {
        let mut a = high();
        for _ in 0..3 {
            a.update(12.0);
        }
        assert!(a.state().waits());
        assert!(a.acknowledge());
        assert_eq!(a.update(9.5), None);
        assert_eq!(a.state(), AlarmState::Acknowledged);
        assert_eq!(a.update(8.0), Some(AlarmPhase::Cleared));
        assert_eq!(a.state(), AlarmState::Normal);
    }

    #[test]
    fn a_mute_alarm_stays_away_and_a_spurious_one_comes_up_at_once() {
        let mut a = high();
        a.mute = true;
        assert!((0..50).all(|_| a.update(12.0).is_none()) && a.state() == AlarmState::Normal);
        a.mute = false;
        let phases: Vec<_> = (0..3).map(|_| a.update(12.0)).collect();
        assert_eq!(phases, [None, None, Some(AlarmPhase::Raised)], "mended, it counts its delay anew");
        let mut a = high();
        a.spurious = true;
        assert_eq!(a.update(1.0), Some(AlarmPhase::Raised));
        assert!(a.acknowledge());
        assert_eq!((a.update(1.0), a.state()), (None, AlarmState::Acknowledged), "and cannot be got rid of");
        a.spurious = false;
        assert_eq!(a.update(1.0), Some(AlarmPhase::Cleared));
        (a.mute, a.spurious) = (true, true);
        assert_eq!(a.update(12.0), None);
    }

    #[test]
    fn what_stands_at_the_start_was_acknowledged_before() {
        let mut a = high();
        a.prime(12.0);
        assert_eq!(a.state(), AlarmState::Acknowledged);
        assert_eq!(a.update(12.0), None);
    }
}
