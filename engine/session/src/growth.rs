//! How a fault comes on once it has begun: at once, over a time, or coming and going; and what acts when
//! several faults of one kind are on one target.
//!
//! A fault that grows has the first part of its size on the tick of its onset, and all of it from the last tick
//! of its time on. One that comes and goes is there from its onset for a time, then away for a time, and so
//! on; the times are drawn from the seed of the run, so that a replay meets them again.

use crate::exercise::{Growth, Rhythm};
use base::Tick;
use base::random::Stream;

/// What of a fault is there: nothing, or its size (none for a kind that has no size, or whose size left out
/// means something of its own).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) enum Presence {
    #[default]
    Away,
    There(Option<f64>),
}

/// A fault as it comes on.
#[derive(Clone, Debug)]
pub(crate) struct Coming {
    growth: Growth,
    /// Its full size, and the size at which nothing is wrong, SI.
    size: Option<f64>,
    sound: Option<f64>,
    began: Tick,
    /// It is there now, and when that changes.
    there: bool,
    turns: Tick,
    stream: Stream,
}

impl Coming {
    /// A fault that has not begun; `sound` is the size at which nothing is wrong.
    pub fn new(growth: Growth, size: Option<f64>, sound: Option<f64>, seed: u64, name: &str) -> Coming {
        let stream = Stream::new(seed, &format!("comings of {name}"));
        Coming { growth, size, sound, began: Tick::ZERO, there: false, turns: Tick::ZERO, stream }
    }

    /// It begins on this tick.
    pub fn begin(&mut self, now: Tick) {
        self.began = now;
        self.there = true;
        if let Some(Rhythm { there, .. }) = self.growth.rhythm {
            self.turns = now.after(self.draw(there));
        }
    }

    /// When it began last.
    pub fn began(&self) -> Tick {
        self.began
    }

    /// The size at which nothing is wrong.
    pub fn sound(&self) -> Option<f64> {
        self.sound
    }

    /// What of it is there on this tick.
    pub fn at(&mut self, now: Tick) -> Presence {
        if let Some(Rhythm { there, away }) = self.growth.rhythm {
            while self.turns <= now {
                self.there = !self.there;
                self.turns = self.turns.after(self.draw(if self.there { there } else { away }));
            }
        }
        if !self.there {
            return Presence::Away;
        }
        let so_far = now.0.saturating_sub(self.began.0).saturating_add(1);
        match (self.size, self.sound) {
            (Some(size), Some(sound)) if so_far < self.growth.over => {
                Presence::There(Some(sound + (size - sound) * f64::from(so_far) / f64::from(self.growth.over)))
            }
            (size, _) => Presence::There(size),
        }
    }

    fn draw(&mut self, (least, most): (u32, u32)) -> u32 {
        // A turn takes at least a tick, else there would be no end to them.
        (least + self.stream.below(u64::from(most.saturating_sub(least)) + 1) as u32).max(1)
    }
}

/// One of the faults of the same kind on the same target.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OneOf {
    pub presence: Presence,
    pub began: Tick,
    pub sound: Option<f64>,
}

/// What acts when several faults of one kind are on one target, given in the order of the exercise: the one
/// whose size is farthest from sound, of equals and of those whose size is no amount the one that began first.
pub(crate) fn together(all: impl Iterator<Item = OneOf>) -> Presence {
    let mut strongest: Option<(OneOf, f64)> = None;
    for one in all {
        let Presence::There(size) = one.presence else { continue };
        let far = size.zip(one.sound).map_or(0.0, |(size, sound)| (size - sound).abs());
        let stronger =
            strongest.is_none_or(|(best, best_far)| far > best_far || (far == best_far && one.began < best.began));
        if stronger {
            strongest = Some((one, far));
        }
    }
    strongest.map_or(Presence::Away, |(one, _)| one.presence)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn presences(mut c: Coming, ticks: u32) -> Vec<Presence> {
        c.begin(Tick(10));
        (10..10 + ticks).map(|t| c.at(Tick(t))).collect()
    }

    #[test]
    fn it_grows_in_a_straight_line_from_sound_to_its_size() {
        let growth = Growth { over: 4, rhythm: None };
        let there = |x: f64| Presence::There(Some(x));
        let sized = Coming::new(growth, Some(9.0), Some(1.0), 1, "a");
        assert_eq!(presences(sized, 5), [there(3.0), there(5.0), there(7.0), there(9.0), there(9.0)]);
        let at_once = Coming::new(Growth::default(), Some(9.0), Some(1.0), 1, "a");
        assert_eq!(presences(at_once, 2), [there(9.0), there(9.0)]);
    }

    #[test]
    fn it_comes_and_goes_by_the_seed() {
        let rhythm = Rhythm { there: (2, 5), away: (3, 3) };
        let of = |seed| presences(Coming::new(Growth { over: 0, rhythm: Some(rhythm) }, None, None, seed, "a"), 400);
        assert_eq!(of(1), of(1));
        assert_ne!(of(1), of(2));
        let mut spans: Vec<(bool, usize)> = vec![];
        for p in of(1) {
            let there = p != Presence::Away;
            match spans.last_mut() {
                Some((was, n)) if *was == there => *n += 1,
                _ => spans.push((there, 1)),
            }
        }
        spans.pop();
        assert!(spans[0].0 && spans.iter().all(|s| if s.0 { (2..=5).contains(&s.1) } else { s.1 == 3 }), "{spans:?}");
        let drawn: std::collections::BTreeSet<usize> = spans.iter().filter(|s| s.0).map(|s| s.1).collect();
        assert_eq!(drawn.len(), 4, "every length between the two comes up");
    }

    #[test]
    fn of_several_the_farthest_from_sound_acts_and_of_equals_the_first() {
        let one =
            |size: Option<f64>, began, sound| OneOf { presence: Presence::There(size), began: Tick(began), sound };
        let of = |all: &[OneOf]| together(all.iter().copied());
        let (small, large) = (one(Some(0.1), 3, Some(0.0)), one(Some(-0.4), 5, Some(0.0)));
        assert_eq!(of(&[small, large]), large.presence);
        assert_eq!(of(&[large, small]), large.presence);
        let away = OneOf { presence: Presence::Away, ..large };
        assert_eq!(of(&[small, away]), small.presence);
        assert_eq!(of(&[away]), Presence::Away);
        // A place that a valve is seized at is no amount: it stands where the first one holds it.
        let (first, second) = (one(Some(0.4), 3, None), one(None, 5, None));
        assert_eq!(of(&[second, first]), first.presence);
        // Twice the same size: the first, whichever stands first in the exercise.
        let (early, late) = (one(Some(0.4), 3, Some(0.0)), one(Some(-0.4), 4, Some(0.0)));
        assert_eq!(of(&[late, early]), early.presence);
    }
}
