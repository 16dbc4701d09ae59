//! The tick clock: time is an integer; seconds are derived.

use std::fmt;
use std::ops::{Add, Sub};

/// Ticks in one second of plant time.
pub const TICKS_PER_SECOND: u32 = 10;
/// Length of one tick, seconds.
pub const TICK_SECONDS: f64 = 0.1;

/// A moment of a run, counted in ticks of 0.1 s from its start.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Tick(pub u32);

impl Tick {
    /// The start of a run.
    pub const ZERO: Tick = Tick(0);

    /// Seconds from the start of the run.
    #[must_use]
    pub fn seconds(self) -> f64 {
        f64::from(self.0) / f64::from(TICKS_PER_SECOND)
    }

    /// The tick in which the moment `seconds` falls (a moment on a tick's edge belongs to the tick
    /// that starts there; the remainder within a millionth of a tick is rounding, not time).
    /// `None` for a negative or not finite time and for one past the clock's range.
    #[must_use]
    pub fn at_seconds(seconds: f64) -> Option<Tick> {
        let ticks = (seconds * f64::from(TICKS_PER_SECOND) + 1e-6).floor();
        (seconds.is_finite() && seconds >= 0.0 && ticks <= f64::from(u32::MAX)).then_some(Tick(ticks as u32))
    }

    /// Whole ticks nearest to a duration in seconds (at least zero).
    #[must_use]
    pub fn count(seconds: f64) -> u32 {
        (seconds.max(0.0) * f64::from(TICKS_PER_SECOND)).round() as u32
    }

    /// The moment `ticks` later.
    #[must_use]
    pub fn after(self, ticks: u32) -> Tick {
        Tick(self.0.saturating_add(ticks))
    }
}

impl Add<u32> for Tick {
    type Output = Tick;
    fn add(self, ticks: u32) -> Tick {
        Tick(self.0 + ticks)
    }
}

impl Sub for Tick {
    type Output = i64;
    /// Ticks from `earlier` to `self`, negative when `earlier` is later.
    fn sub(self, earlier: Tick) -> i64 {
        i64::from(self.0) - i64::from(earlier.0)
    }
}

impl fmt::Display for Tick {
    /// `h:mm:ss.t`, the hour left out of runs shorter than one: `12:03.4`, `1:02:03.4`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (tenths, s) = (self.0 % TICKS_PER_SECOND, self.0 / TICKS_PER_SECOND);
        let (h, m, s) = (s / 3600, s / 60 % 60, s % 60);
        if h > 0 { write!(f, "{h}:{m:02}:{s:02}.{tenths}") } else { write!(f, "{m:02}:{s:02}.{tenths}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_belongs_to_the_tick_that_starts_there() {
        assert_eq!(Tick::at_seconds(0.3), Some(Tick(3)));
        assert_eq!(Tick::at_seconds(0.7), Some(Tick(7)));
        assert_eq!(Tick::at_seconds(0.79), Some(Tick(7)));
        assert_eq!(Tick::at_seconds(-0.1), None);
        assert_eq!(Tick::at_seconds(f64::NAN), None);
        assert_eq!(Tick::at_seconds(1e12), None);
    }

    #[test]
    fn a_tick_reads_as_a_stopwatch() {
        assert_eq!(Tick(7234).to_string(), "12:03.4");
        assert_eq!(Tick(37234).to_string(), "1:02:03.4");
    }
}
