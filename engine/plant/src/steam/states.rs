//! The states of a vessel that a tick looks at: now, at the iterate, and of the candidate.
//!
//! They stand in three places and only their numbers change, since a state is large to copy and a tick seldom needs
//! more than two of them.

use crate::vessel::Equilibrium;
use base::kept::{Bytes, Kept, Misfit, Shape};
use std::fmt;

/// Three states by their part in the iteration. The fourth place is never used: with it a number of two bits needs no check.
#[derive(Clone)]
pub(super) struct States {
    places: [Equilibrium; 4],
    now: u8,
    at: u8,
    next: u8,
}

impl States {
    pub(super) fn of(e: Equilibrium) -> States {
        States { places: [e; 4], now: 0, at: 0, next: 1 }
    }

    #[inline(always)]
    fn place(&self, i: u8) -> &Equilibrium {
        &self.places[usize::from(i & 3)]
    }

    /// At the end of the last tick, or part of one.
    #[inline(always)]
    pub(super) fn now(&self) -> &Equilibrium {
        self.place(self.now)
    }

    /// At the iterate.
    #[inline(always)]
    pub(super) fn at(&self) -> &Equilibrium {
        self.place(self.at)
    }

    /// Of the candidate.
    #[inline(always)]
    pub(super) fn next(&self) -> &Equilibrium {
        self.place(self.next)
    }

    /// Of the candidate, to be written over.
    #[inline(always)]
    pub(super) fn next_mut(&mut self) -> &mut Equilibrium {
        &mut self.places[usize::from(self.next & 3)]
    }

    /// A part of a tick begins: the iterate is what is now.
    pub(super) fn begin(&mut self) {
        self.at = self.now;
        self.next = (self.now + 1) % 3;
    }

    /// The candidate becomes the iterate, and the place that neither needs the next candidate.
    pub(super) fn go_on(&mut self) {
        self.at = self.next;
        self.next = 3 - self.now - self.at;
    }

    /// The candidate is what is now.
    pub(super) fn commit(&mut self) {
        self.now = self.next;
    }
}

/// By what is now: the rest is of the iteration.
impl PartialEq for States {
    fn eq(&self, other: &States) -> bool {
        self.now() == other.now()
    }
}

impl fmt::Debug for States {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.now().fmt(f)
    }
}

impl Kept for States {
    fn shape(shape: &mut Shape) {
        Equilibrium::shape(shape);
    }

    fn put(&self, out: &mut Vec<u8>) {
        self.now().put(out);
    }

    fn take(&mut self, from: &mut Bytes) -> Result<(), Misfit> {
        self.places[usize::from(self.now & 3)].take(from)
    }

    fn made(from: &mut Bytes) -> Result<States, Misfit> {
        Equilibrium::made(from).map(States::of)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hot(t: f64) -> Equilibrium {
        Equilibrium { t, ..Equilibrium::default() }
    }

    #[test]
    fn the_places_are_never_the_same_where_both_are_needed() {
        let mut s = States::of(hot(300.0));
        for round in 1..50 {
            let now = s.now().t;
            s.begin();
            for again in 0..round % 5 {
                assert_eq!(s.now().t, now);
                *s.next_mut() = hot(f64::from(1000 * round + again));
                assert_eq!((s.now().t, s.next().t), (now, f64::from(1000 * round + again)));
                s.go_on();
                assert_eq!((s.now().t, s.at().t), (now, f64::from(1000 * round + again)));
            }
            *s.next_mut() = hot(f64::from(round));
            s.commit();
            assert_eq!(s.now().t, f64::from(round));
        }
    }

    #[test]
    fn what_is_kept_is_what_is_now() {
        let mut s = States::of(hot(300.0));
        s.begin();
        *s.next_mut() = hot(310.0);
        s.commit();
        let mut bytes = vec![];
        s.put(&mut bytes);
        assert_eq!(States::made(&mut Bytes::new(&bytes)).unwrap(), s);
    }
}
