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
    /// Its full size as planned, and the size at which nothing is wrong, SI.
    size: Option<f64>,
    sound: Option<f64>,
    began: Tick,
    /// Where it grows now.
    way: Way,
    /// It is there now, and when that changes.
    there: bool,
    turns: Tick,
    stream: Stream,
}

/// The way from one size to another.
#[derive(Clone, Copy, Debug)]
struct Way {
    /// The size from which it grows, SI; none when it is there or not.
    from: Option<f64>,
    to: Option<f64>,
    since: Tick,
    over: u32,
}

impl Coming {
    /// A fault that has not begun; `sound` is the size at which nothing is wrong.
    pub fn new(growth: Growth, size: Option<f64>, sound: Option<f64>, seed: u64, name: &str) -> Coming {
        let stream = Stream::new(seed, &format!("comings of {name}"));
        let way = Way { from: sound, to: size, since: Tick::ZERO, over: growth.over };
        Coming { growth, size, sound, began: Tick::ZERO, way, there: false, turns: Tick::ZERO, stream }
    }

    /// It begins on this tick.
    pub fn begin(&mut self, now: Tick) {
        self.began = now;
        self.way = Way { from: self.sound, to: self.size, since: now, over: self.growth.over };
        self.there = true;
        if let Some(Rhythm { there, .. }) = self.growth.rhythm {
            self.turns = now.after(self.draw(there));
        }
    }

    /// It goes from the size that it has come to, to another, from this tick on; gives the first of them. Nothing when
    /// its kind has no amount.
    pub fn grow(&mut self, to: f64, over: u32, now: Tick) -> Option<f64> {
        self.sound?;
        // What it was at the end of the tick before.
        let from = self.size_at(Tick(now.0.saturating_sub(1))).or(self.sound)?;
        self.way = Way { from: Some(from), to: Some(to), since: now, over };
        Some(from)
    }

    /// How it comes on, with its size.
    pub fn growth(&self) -> (Growth, Option<f64>) {
        (self.growth, self.size)
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
        Presence::There(self.size_at(now))
    }

    /// How big it is on a tick, were it there.
    fn size_at(&self, now: Tick) -> Option<f64> {
        let Way { from, to, since, over } = self.way;
        // Nothing of it before its time.
        let so_far = (now.0.saturating_add(1)).saturating_sub(since.0);
        match (to, from) {
            (Some(to), Some(from)) if so_far < over => Some(from + (to - from) * f64::from(so_far) / f64::from(over)),
            (to, _) => to,
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
    fn it_goes_to_another_size_from_where_it_has_come_to() {
        let mut c = Coming::new(Growth { over: 4, rhythm: None }, Some(9.0), Some(1.0), 1, "a");
        c.begin(Tick(10));
        let there = |x: f64| Presence::There(Some(x));
        assert_eq!([c.at(Tick(10)), c.at(Tick(11))], [there(3.0), there(5.0)]);
        // Back by a quarter a tick, from the 5 of the tick before.
        assert_eq!(c.grow(4.0, 4, Tick(12)), Some(5.0));
        let so = [12, 13, 14, 15, 16].map(|t| c.at(Tick(t)));
        assert_eq!(so, [4.75, 4.5, 4.25, 4.0, 4.0].map(there));
        assert_eq!(c.grow(2.0, 0, Tick(17)), Some(4.0), "at once");
        assert_eq!(c.at(Tick(17)), there(2.0));
        // On the very tick of its onset it starts from sound; begun anew, it comes as the exercise says.
        c.begin(Tick(30));
        assert_eq!(c.grow(3.0, 2, Tick(30)), Some(1.0));
        assert_eq!([c.at(Tick(30)), c.at(Tick(31))], [there(2.0), there(3.0)]);
        c.begin(Tick(40));
        assert_eq!(c.at(Tick(40)), there(3.0));
        let mut whole = Coming::new(Growth::default(), None, None, 1, "a");
        assert_eq!(whole.grow(1.0, 3, Tick(4)), None, "there or not");
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
