//! Folding the last so many samples at a constant cost each.
//!
//! A queue of two stacks: the newer samples lie raw beside their running fold, the older ones each
//! hold the fold of themselves with all older-stack samples behind them. When the older part runs
//! out, the newer is folded over once from its end. Every sample is folded at most twice in its life and
//! once for the answer, so the cost a sample does not depend on the window. It needs only that the
//! fold is associative.

use crate::value::Value;
use std::collections::VecDeque;

/// Something that folds in the order of time.
pub(crate) trait Fold: Copy {
    /// This, then what came after it.
    fn then(self, newer: Self) -> Self;
}

/// The greatest of values: true at some tick.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Greatest(pub Value);

impl Fold for Greatest {
    fn then(self, newer: Self) -> Self {
        Greatest(self.0.or(newer.0))
    }
}

/// The least of values: true at every tick.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Least(pub Value);

impl Fold for Least {
    fn then(self, newer: Self) -> Self {
        Least(self.0.and(newer.0))
    }
}

/// One tick of "until": what follows is `x`, with this tick in front it is
/// `right or (left and x)`. Such steps fold into one of the same form.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ahead {
    pub right: Value,
    pub left: Value,
}

impl Fold for Ahead {
    fn then(self, newer: Self) -> Self {
        Ahead { right: self.right.or(self.left.and(newer.right)), left: self.left.and(newer.left) }
    }
}

/// One tick of "since": the same as [`Ahead`] with the newest tick in front.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Behind {
    pub right: Value,
    pub left: Value,
}

impl Fold for Behind {
    fn then(self, newer: Self) -> Self {
        Behind { right: newer.right.or(newer.left.and(self.right)), left: newer.left.and(self.left) }
    }
}

/// Samples reserved at the start; longer windows grow a few times as the run goes on, so that a
/// window of a day in a run of a minute costs a minute's memory.
pub(crate) const RESERVED: usize = 1024;

/// A sliding window.
#[derive(Clone, Debug)]
pub(crate) struct Window<T> {
    /// Oldest first; the first `folded` hold folds.
    items: VecDeque<T>,
    folded: usize,
    /// Fold of the items that are still raw.
    newer: Option<T>,
    /// Folds done so far, for tests of the cost.
    work: u64,
}

impl<T: Fold> Window<T> {
    /// An empty window that will hold up to `length` samples.
    pub(crate) fn new(length: usize) -> Window<T> {
        Window {
            items: VecDeque::with_capacity(length.saturating_add(1).min(RESERVED)),
            folded: 0,
            newer: None,
            work: 0,
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.items.len()
    }

    pub(crate) fn work(&self) -> u64 {
        self.work
    }

    /// Takes a new sample in.
    #[inline]
    pub(crate) fn push(&mut self, sample: T) {
        self.newer = Some(match self.newer {
            Some(fold) => {
                self.work += 1;
                fold.then(sample)
            }
            None => sample,
        });
        self.items.push_back(sample);
    }

    /// Takes a new sample in and lets the oldest go when there are more than `length`.
    #[inline]
    pub(crate) fn slide(&mut self, sample: T, length: usize) {
        self.push(sample);
        if self.items.len() > length {
            self.pop();
        }
    }

    /// Lets the oldest sample go.
    #[inline]
    pub(crate) fn pop(&mut self) {
        if self.folded == 0 {
            self.turn();
        }
        if self.items.pop_front().is_some() {
            self.folded -= 1;
        }
    }

    /// Makes the newer part the older one: every item becomes the fold of itself with all behind it.
    fn turn(&mut self) {
        let items = self.items.make_contiguous();
        if let Some((last, before)) = items.split_last_mut() {
            let mut fold = *last;
            for item in before.iter_mut().rev() {
                fold = item.then(fold);
                *item = fold;
            }
            self.work += before.len() as u64;
        }
        self.folded = self.items.len();
        self.newer = None;
    }

    /// The fold of the whole window; `None` when it is empty.
    #[inline]
    pub(crate) fn fold(&mut self) -> Option<T> {
        let older = if self.folded > 0 { self.items.front().copied() } else { None };
        match (older, self.newer) {
            (Some(a), Some(b)) => {
                self.work += 1;
                Some(a.then(b))
            }
            (a, b) => a.or(b),
        }
    }
}
