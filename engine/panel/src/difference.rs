//! Spans over which what is shown differs from what is true.
//!
//! Blips shorter than [`SHORTEST`] are left out: a switch and its lamp need a moment, and nobody can
//! be misled by less. The figure is our own choice.

use base::{Tick, tick::TICKS_PER_SECOND};

/// Shorter spans are not told (ticks): 2 s.
pub const SHORTEST: u32 = 2 * TICKS_PER_SECOND;

/// How far back a true value still excuses a shown one (seconds): a transmitter follows with a lag.
/// Ten seconds cover the lags of the usual transmitters and pockets (common practice); own choice.
pub const LAG_SECONDS: usize = 10;

/// A span that may be going on.
#[derive(Clone, Copy, Debug, Default)]
#[repr(C)]
pub struct Span {
    since: Option<Tick>,
    largest: f64,
    shown: f64,
    actual: f64,
}

base::kept!(Span { since, largest, shown, actual });

/// A span that has ended and was long enough to tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ended {
    /// First tick of the difference.
    pub since: Tick,
    /// What was shown when the difference was largest.
    pub shown: f64,
    /// What was true then.
    pub actual: f64,
}

impl Span {
    /// Whether one goes on.
    #[inline]
    pub fn is_open(&self) -> bool {
        self.since.is_some()
    }

    /// Takes the difference of this tick: its size when there is one.
    pub fn observe(&mut self, tick: Tick, differs_by: Option<f64>, shown: f64, actual: f64) -> Option<Ended> {
        let Some(by) = differs_by else {
            return self.end(tick);
        };
        if self.since.is_none() || by > self.largest {
            self.largest = by;
            self.shown = shown;
            self.actual = actual;
        }
        self.since.get_or_insert(tick);
        None
    }

    /// Ends the span at `tick`, the first tick that no longer belongs to it.
    pub fn end(&mut self, tick: Tick) -> Option<Ended> {
        let since = self.since.take()?;
        (tick - since >= i64::from(SHORTEST)).then_some(Ended { since, shown: self.shown, actual: self.actual })
    }
}

/// Least and greatest true value of the last [`LAG_SECONDS`] seconds, kept second by second. What a tick needs is the
/// second that goes on, and that stands in front.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct Lately {
    /// Of the second that goes on.
    now: (f64, f64),
    /// Of each second by its number, the last digit; that of the second that goes on is not yet whole.
    least: [f64; LAG_SECONDS],
    greatest: [f64; LAG_SECONDS],
}

base::kept!(Lately { now, least, greatest });

impl Lately {
    /// As if the value had always been this.
    pub fn always(value: f64) -> Lately {
        Lately { now: (value, value), least: [value; LAG_SECONDS], greatest: [value; LAG_SECONDS] }
    }

    /// Takes in the true value of a tick.
    #[inline]
    pub fn take(&mut self, tick: Tick, value: f64) {
        if tick.0.is_multiple_of(TICKS_PER_SECOND) {
            let i = (tick.0 / TICKS_PER_SECOND) as usize % LAG_SECONDS;
            let before = (i + LAG_SECONDS - 1) % LAG_SECONDS;
            (self.least[before], self.greatest[before]) = self.now;
            (self.least[i], self.greatest[i]) = (value, value);
            self.now = (value, value);
        } else {
            self.now = (self.now.0.min(value), self.now.1.max(value));
        }
    }

    /// How far a shown value is from everything that was true of late.
    pub fn outside_by(&self, value: f64) -> f64 {
        let least = self.least.iter().copied().fold(self.now.0, f64::min);
        let greatest = self.greatest.iter().copied().fold(self.now.1, f64::max);
        (least - value).max(value - greatest).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_difference_of_a_span_is_told_and_blips_are_not() {
        let mut s = Span::default();
        for t in 0..19 {
            assert_eq!(s.observe(Tick(t), Some(1.0), 1.0, 0.0), None);
        }
        assert_eq!(s.observe(Tick(19), None, 0.0, 0.0), None, "1.9 s is a blip");
        for t in 30..50 {
            let by = if t == 40 { 3.0 } else { 1.0 };
            s.observe(Tick(t), Some(by), by, 0.0);
        }
        assert_eq!(s.observe(Tick(50), None, 0.0, 0.0), Some(Ended { since: Tick(30), shown: 3.0, actual: 0.0 }));
    }

    #[test]
    fn a_value_that_was_true_a_moment_ago_is_excused_and_later_not() {
        let mut l = Lately::always(0.0);
        for t in 0..50 {
            l.take(Tick(t), 5.0);
        }
        assert_eq!(l.outside_by(1.0), 0.0);
        for t in 50..100 {
            l.take(Tick(t), 5.0);
        }
        assert_eq!(l.outside_by(1.0), 4.0);
    }
}
