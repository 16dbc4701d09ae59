//! A transmitter: follows what it measures with a lag, over a span.
//!
//! Equations: `x' = (actual - x) / lag`, solved exactly over a tick for a constant input; the signal
//! is `x + offset + drift + noise` held between the ends of what the current loop can carry.
//! Assumptions: linear; the loop saturates at 3.8 and 20.5 mA and tells its own failure by 3.6 or
//! 21 mA (NAMUR NE 43, from memory), which is -1.25 %, 103.125 %, -2.5 % and 106.25 % of span.
//! Valid range: any; a not finite actual value comes through so that it is found.
//! Units: the measured quantity's SI unit; seconds.

use super::{Actual, Signal};
use base::maths::exp;
use base::random::Stream;

/// Ends of the measuring signal, as parts of span below and above it.
pub const SATURATION: (f64, f64) = (-0.0125, 1.03125);
/// The failure signals, as parts of span.
const FAILURE: (f64, f64) = (-0.025, 1.0625);

/// A transmitter's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransmitterParams {
    /// Value at the lower end of the span, SI.
    pub low: f64,
    /// Value at the upper end of the span, SI.
    pub high: f64,
    /// Time constant, s; zero for none.
    pub lag: f64,
}

/// Lower or upper end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The lower.
    Low,
    /// The upper.
    High,
}

base::kept!(enum End { 0 Low, 1 High });

/// What can be wrong with a transmitter. All act on the signal alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransmitterFailing {
    /// The signal stands still.
    pub frozen: bool,
    /// Added to the signal, SI.
    pub offset: f64,
    /// Added to the signal and growing, SI a second; what has grown goes when it is set to zero.
    pub drift: f64,
    /// It dances so far to either side, SI.
    pub noise: f64,
    /// Its lag is so much longer, s.
    pub slow: f64,
    /// The loop has failed to the lower end, and the upper: the lower goes before.
    pub lost: bool,
    /// See [`TransmitterFailing::lost`].
    pub high: bool,
}

base::kept!(TransmitterFailing { frozen, offset, drift, noise, slow, lost, high });

impl Default for TransmitterFailing {
    fn default() -> TransmitterFailing {
        TransmitterFailing { frozen: false, offset: 0.0, drift: 0.0, noise: 0.0, slow: 0.0, lost: false, high: false }
    }
}

impl TransmitterFailing {
    fn failed(&self) -> Option<End> {
        if self.lost { Some(End::Low) } else { self.high.then_some(End::High) }
    }
}

/// A transmitter and its state. What a tick of a sound one needs stands together, in the order written here: there are
/// more than a hundred of them, and memory costs more than sums.
#[derive(Clone, Debug, PartialEq)]
#[repr(C)]
pub struct Transmitter {
    followed: f64,
    /// Tick, and the part of the way that goes with it, so that `exp` is not worked out again.
    known: (f64, f64),
    /// The least and the most that its loop can carry, SI.
    limits: (f64, f64),
    signal: Signal,
    /// Nothing is wrong with it and what is known holds.
    sound: bool,
    drifted: f64,
    /// What noise is drawn from, and what was drawn last.
    stream: Stream,
    danced: f64,
    failing: TransmitterFailing,
    params: TransmitterParams,
}

base::kept!(Transmitter { failing, followed, drifted, stream, danced, signal, known, sound } fixed { params, limits });

impl Transmitter {
    /// A transmitter that has long seen this value.
    #[must_use]
    pub fn new(params: TransmitterParams, seen: Actual) -> Transmitter {
        let at = |part: f64| params.low + part * (params.high - params.low);
        let mut t = Transmitter {
            followed: seen.0,
            known: (0.0, 1.0),
            limits: (at(SATURATION.0), at(SATURATION.1)),
            signal: Signal(0.0),
            sound: false,
            drifted: 0.0,
            stream: Stream::new(0, "noise of a transmitter"),
            danced: 0.0,
            failing: TransmitterFailing::default(),
            params,
        };
        t.signal = t.say();
        t
    }

    /// What is wrong with it, to be changed.
    pub fn failing(&mut self) -> &mut TransmitterFailing {
        self.sound = false;
        &mut self.failing
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> TransmitterParams {
        self.params
    }

    /// Gives it a stream of its own to draw noise from.
    pub fn shake(&mut self, stream: Stream) {
        self.stream = stream;
    }

    /// What it says.
    #[must_use]
    pub fn signal(&self) -> Signal {
        self.signal
    }

    /// Whether the signal is outside of what a sound transmitter can say.
    #[must_use]
    pub fn tells_failure(&self) -> bool {
        let part = (self.signal.0 - self.params.low) / (self.params.high - self.params.low);
        !(SATURATION.0 - 1e-9..=SATURATION.1 + 1e-9).contains(&part)
    }

    /// Follows for `dt` seconds.
    #[inline]
    pub fn step(&mut self, actual: Actual, dt: f64) -> Signal {
        if !self.sound || self.known.0 != dt {
            return self.step_unsound(actual, dt);
        }
        self.followed += self.known.1 * (actual.0 - self.followed);
        // No offset, no drift.
        self.signal = self.held(self.followed + 0.0);
        self.signal
    }

    /// The same when something is wrong with it, or another tick than the last.
    #[inline(never)]
    fn step_unsound(&mut self, actual: Actual, dt: f64) -> Signal {
        let lag = self.params.lag + self.failing.slow;
        self.known = (dt, if lag > 0.0 { 1.0 - exp(-dt / lag) } else { 1.0 });
        self.followed += self.known.1 * (actual.0 - self.followed);
        self.drifted = if self.failing.drift == 0.0 { 0.0 } else { self.drifted + self.failing.drift * dt };
        let noise = self.failing.noise;
        self.danced = if noise == 0.0 { 0.0 } else { self.stream.between(-noise, noise) };
        if !self.failing.frozen || self.failing.failed().is_some() {
            self.signal = self.say();
        }
        self.sound = self.failing == TransmitterFailing::default();
        self.signal
    }

    /// A value as its current loop carries it. NaN passes through both comparisons.
    #[inline]
    fn held(&self, value: f64) -> Signal {
        let (least, most) = self.limits;
        Signal(if value < least {
            least
        } else if value > most {
            most
        } else {
            value
        })
    }

    fn say(&self) -> Signal {
        let TransmitterParams { low, high, .. } = self.params;
        let at = |part: f64| low + part * (high - low);
        match self.failing.failed() {
            Some(End::Low) => Signal(at(FAILURE.0)),
            Some(End::High) => Signal(at(FAILURE.1)),
            None => self.held(self.followed + self.failing.offset + self.drifted + self.danced),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sound() -> Transmitter {
        Transmitter::new(TransmitterParams { low: 0.0, high: 100.0, lag: 2.0 }, Actual(20.0))
    }

    #[test]
    fn it_follows_with_its_lag() {
        let mut t = sound();
        for _ in 0..20 {
            t.step(Actual(70.0), 0.1);
        }
        // One time constant after a step: 1 - 1/e of it (definition of a first-order lag).
        assert!((t.signal().0 - (70.0 - 50.0 / std::f64::consts::E)).abs() < 1e-9);
    }

    #[test]
    fn it_saturates_at_the_loops_ends_and_tells_failure_beyond() {
        let mut t = sound();
        for (actual, says) in [(500.0, 103.125), (-500.0, -1.25)] {
            for _ in 0..1000 {
                t.step(Actual(actual), 0.1);
            }
            assert!((t.signal().0 - says).abs() < 1e-9 && !t.tells_failure());
        }
        t.failing().high = true;
        assert_eq!(t.step(Actual(20.0), 0.1), Signal(106.25));
        assert!(t.tells_failure());
    }

    #[test]
    fn each_failing_does_what_it_says_and_clears() {
        let settle = |t: &mut Transmitter, to: f64| {
            for _ in 0..1000 {
                t.step(Actual(to), 0.1);
            }
            t.signal().0
        };
        let mut t = sound();
        t.failing().frozen = true;
        assert_eq!(settle(&mut t, 60.0), 20.0);
        *t.failing() = TransmitterFailing { offset: 5.0, ..TransmitterFailing::default() };
        assert!((settle(&mut t, 60.0) - 65.0).abs() < 1e-9);
        *t.failing() = TransmitterFailing { drift: 0.1, ..TransmitterFailing::default() };
        assert!((settle(&mut t, 60.0) - 70.0).abs() < 1e-6, "0.1 a second for 100 s");
        *t.failing() = TransmitterFailing::default();
        assert!((settle(&mut t, 60.0) - 60.0).abs() < 1e-9);
        *t.failing() = TransmitterFailing { noise: 3.0, ..TransmitterFailing::default() };
        let drawn: Vec<f64> = (0..500).map(|_| t.step(Actual(60.0), 0.1).0 - 60.0).collect();
        assert!(drawn.iter().all(|x| x.abs() <= 3.0) && drawn.iter().any(|x| x.abs() > 2.5));
        *t.failing() = TransmitterFailing { slow: 8.0, ..TransmitterFailing::default() };
        t.step(Actual(60.0), 0.1);
        for _ in 0..100 {
            t.step(Actual(80.0), 0.1);
        }
        // Ten seconds are one time constant of its lag of 2 s made longer by 8 s.
        assert!((t.signal().0 - (80.0 - 20.0 / std::f64::consts::E)).abs() < 1e-9);
        *t.failing() = TransmitterFailing::default();
        assert!((settle(&mut t, 60.0) - 60.0).abs() < 1e-9);
    }

    /// The short way of a sound one against the long way, which a failing that does nothing forces.
    #[test]
    fn a_sound_one_gives_the_bits_of_the_long_way() {
        let (mut short, mut long) = (sound(), sound());
        for k in 0..500 {
            let actual = Actual(f64::from(k % 97) * 1.3 - 20.0);
            long.failing().offset = 0.0;
            assert_eq!(short.step(actual, 0.1).0.to_bits(), long.step(actual, 0.1).0.to_bits());
        }
        assert_eq!(short.followed.to_bits(), long.followed.to_bits());
    }

    #[test]
    fn what_is_not_a_number_is_not_hidden() {
        let mut t = sound();
        assert!(t.step(Actual(f64::NAN), 0.1).0.is_nan());
    }
}
