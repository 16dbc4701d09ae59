//! What can be wrong with the pointer of a gauge: from the signal to where it points.
//!
//! ```text
//! slow         y' = (signal - y) / T
//! wrong scale  z = low + factor (y - low)      the dial of another range
//! then         z + offset + drift t + noise    noise even between its two ends, each tick
//! reversed     z = -z                          a synchroscope whose leads are crossed
//! round        a dial that goes all the way round has no ends: it begins again
//! ```
//! A frozen pointer stands, whatever else is wrong. Noise is drawn from the gauge's tag and the tick, so that
//! every replay shows it again. Units: the signal's SI unit; s. Valid for any signal.

use base::maths::exp;
use base::random::Stream;
use base::tick::TICK_SECONDS;
use base::{Tag, Tick};

/// What is wrong with it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct PointerFailing {
    /// It stands still.
    pub frozen: bool,
    /// Added to the reading, SI.
    pub offset: f64,
    /// Added to the reading and growing, SI a second; what has grown goes when it is mended.
    pub drift: f64,
    /// It dances so far to either side, SI.
    pub noise: f64,
    /// It follows with this time constant, s; 0 at once.
    pub slow: f64,
    /// Reading over what is said, from the lower end on; `None` for the right dial.
    pub factor: Option<f64>,
    /// It turns the wrong way.
    pub reversed: bool,
}

impl PointerFailing {
    /// Nothing is wrong with it.
    pub fn sound(&self) -> bool {
        *self == PointerFailing::default()
    }
}

base::kept!(PointerFailing { frozen, offset, drift, noise, slow, factor, reversed });

/// The pointer's own state.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Pointer {
    pub failing: PointerFailing,
    followed: f64,
    drifted: f64,
}

base::kept!(Pointer { failing, followed, drifted });

impl Pointer {
    /// It has long seen this signal.
    pub fn prime(&mut self, signal: f64) {
        self.followed = signal;
        self.drifted = 0.0;
    }

    /// Whether it stands still.
    pub fn stands(&self) -> bool {
        self.failing.frozen
    }

    /// One tick: what it would point at; `round` for a dial that goes all the way round between these ends.
    pub fn step(&mut self, signal: f64, tag: &Tag, tick: Tick, (low, high): (f64, f64), round: bool) -> f64 {
        let f = &self.failing;
        if f.sound() {
            self.prime(signal);
            return signal;
        }
        if f.slow > 0.0 && !round {
            self.followed += (1.0 - exp(-TICK_SECONDS / f.slow)) * (signal - self.followed);
        } else {
            self.followed = signal;
        }
        self.drifted = if f.drift == 0.0 { 0.0 } else { self.drifted + f.drift * TICK_SECONDS };
        let mut z = f.factor.map_or(self.followed, |factor| low + factor * (self.followed - low));
        z += f.offset + self.drifted;
        if f.noise > 0.0 {
            z += Stream::new(u64::from(tick.0), tag.as_str()).between(-f.noise, f.noise);
        }
        if f.reversed {
            z = -z;
        }
        if round { low + (z - low).rem_euclid(high - low) } else { z }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SCALE: (f64, f64) = (0.0, 10.0);

    fn after(failing: PointerFailing, seconds: u32, from: f64, to: f64) -> f64 {
        let mut p = Pointer { failing, ..Pointer::default() };
        p.prime(from);
        let tag = Tag::new("PI-1");
        (0..10 * seconds).fold(0.0, |_, t| p.step(to, &tag, Tick(t), SCALE, false))
    }

    #[test]
    fn each_failing_does_what_it_says() {
        let sound = PointerFailing::default();
        assert_eq!(after(sound, 1, 2.0, 6.0), 6.0);
        assert_eq!(after(PointerFailing { offset: -1.0, ..sound }, 1, 2.0, 6.0), 5.0);
        assert!((after(PointerFailing { drift: 0.1, ..sound }, 10, 2.0, 6.0) - 7.0).abs() < 1e-9);
        assert_eq!(after(PointerFailing { factor: Some(0.5), ..sound }, 1, 2.0, 6.0), 3.0);
        // One time constant after a step: 1 - 1/e of it (definition of a first-order lag).
        let lagged = after(PointerFailing { slow: 5.0, ..sound }, 5, 2.0, 6.0);
        assert!((lagged - (6.0 - 4.0 / std::f64::consts::E)).abs() < 1e-9, "{lagged}");
    }

    #[test]
    fn noise_fills_its_band_and_a_replay_shows_it_again() {
        let run = || -> Vec<f64> {
            let failing = PointerFailing { noise: 0.5, ..PointerFailing::default() };
            let mut p = Pointer { failing, ..Pointer::default() };
            (0..2000).map(|t| p.step(6.0, &Tag::new("PI-1"), Tick(t), SCALE, false) - 6.0).collect()
        };
        let drawn = run();
        assert_eq!(drawn, run());
        assert!(drawn.iter().all(|x| x.abs() <= 0.5));
        // The mean of 2000 even draws from a band of 1 lies within four of its standard errors of 0.0065.
        assert!((drawn.iter().sum::<f64>() / 2000.0).abs() < 0.026);
        assert!(drawn.iter().any(|x| *x < -0.45) && drawn.iter().any(|x| *x > 0.45));
    }

    #[test]
    fn a_dial_that_goes_round_begins_again_and_can_turn_the_wrong_way() {
        let half = std::f64::consts::PI;
        let mut p = Pointer::default();
        p.failing.offset = 0.5;
        let at = |p: &mut Pointer, x: f64| p.step(x, &Tag::new("ZI-1"), Tick(0), (-half, half), true);
        assert!((at(&mut p, half - 0.2) - (-half + 0.3)).abs() < 1e-12);
        p.failing = PointerFailing { reversed: true, ..PointerFailing::default() };
        let turned: Vec<f64> = (0..5).map(|i| at(&mut p, 0.1 * f64::from(i))).collect();
        assert!(turned.windows(2).all(|w| w[1] < w[0]), "{turned:?}");
    }
}
