//! What of the panel has to be looked at on a tick.
//!
//! Nearly all lamps and alarms stand as they stood on the tick before, and for those nothing changes. What decides
//! that is kept here in a few bytes for each of them, so that a tick goes through little memory. A glance is no part of
//! the panel's state: one that knows nothing sends every lamp and alarm to be looked at in full, with the same result.

use crate::alarm::{Alarm, Cause};
use crate::lamp::{Follows, Lamp};

/// A lamp that has not been told anything yet; no lamp is ever told this.
const NOTHING: u8 = u8::MAX;

/// How a point and the lamp test stand. What a lamp elsewhere is told is written likewise, as if of a point.
#[inline]
fn code(signal: bool, truth: bool, test: bool) -> u8 {
    u8::from(signal) | u8::from(truth) << 1 | u8::from(test) << 2
}

/// Where a lamp looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Where {
    Point,
    Elsewhere,
}

/// One lamp.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LampGlance {
    at: Where,
    when: bool,
    point: u16,
    told: u8,
}

impl LampGlance {
    pub fn of(lamp: &Lamp) -> LampGlance {
        match lamp.follows {
            Follows::Point(p, when) => LampGlance { at: Where::Point, when, point: p.0, told: NOTHING },
            _ => LampGlance { at: Where::Elsewhere, when: true, point: 0, told: NOTHING },
        }
    }

    /// Whether it follows a point that stands as it stood on the tick before, said and true, with the lamp test no
    /// other: then nothing about it is new.
    #[inline]
    pub fn stays(&self, signal: &[f64], actual: &[f64], test: bool) -> bool {
        let i = usize::from(self.point);
        self.at == Where::Point && self.told == code(signal[i] >= 0.5, actual[i] >= 0.5, test)
    }

    /// Whether it would be lit by what is said and by what is true, if it follows a point.
    #[inline]
    pub fn followed(&self, signal: &[f64], actual: &[f64]) -> Option<(bool, bool)> {
        let i = usize::from(self.point);
        (self.at == Where::Point).then(|| ((signal[i] >= 0.5) == self.when, (actual[i] >= 0.5) == self.when))
    }

    /// Whether it is told something else than on the tick before.
    #[inline]
    pub fn is_new(&mut self, signal: bool, truth: bool, test: bool) -> bool {
        let told = code(signal == self.when, truth == self.when, test);
        std::mem::replace(&mut self.told, told) != told
    }

    /// Has it looked at in full on the coming tick.
    pub fn forget(&mut self) {
        self.told = NOTHING;
    }
}

/// What an alarm that is quiet waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Waits {
    Above,
    Below,
    True,
    False,
    /// It is not quiet, or waits for something else: always look in full.
    Otherwise,
}

/// One alarm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AlarmGlance {
    limit: f64,
    point: u16,
    waits: Waits,
}

impl AlarmGlance {
    /// Of an alarm as it stands.
    pub fn of(alarm: &Alarm) -> AlarmGlance {
        let (waits, point, limit) = match alarm.cause {
            _ if !alarm.is_quiet() => (Waits::Otherwise, 0, 0.0),
            Cause::Above { point, limit, .. } => (Waits::Above, point.0, limit),
            Cause::Below { point, limit, .. } => (Waits::Below, point.0, limit),
            Cause::State(point, when) => (if when { Waits::True } else { Waits::False }, point.0, 0.5),
            Cause::Trip(_) => (Waits::Otherwise, 0, 0.0),
        };
        AlarmGlance { limit, point, waits }
    }

    /// Whether it is quiet and stays so. Of what is no number it says no.
    #[inline]
    pub fn stays_quiet(&self, signal: &[f64]) -> bool {
        let value = signal[usize::from(self.point)];
        match self.waits {
            Waits::Above => value <= self.limit,
            Waits::Below => value >= self.limit,
            Waits::True => value < self.limit,
            Waits::False => value >= self.limit,
            Waits::Otherwise => false,
        }
    }

    /// Has it looked at in full on the coming tick.
    pub fn forget(&mut self) {
        self.waits = Waits::Otherwise;
    }
}
