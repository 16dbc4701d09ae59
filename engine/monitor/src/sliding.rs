//! A window behind the present that slides with it, whatever is folded over it.

use crate::formula::Interval;
use crate::window::{Fold, RESERVED, Window};
use std::collections::VecDeque;

/// The fold over the ticks from `from` to `to` ago. In memory: `to + 1` samples; `from` when there is no `to`.
#[derive(Clone, Debug)]
pub(crate) struct Sliding<T> {
    from: usize,
    /// Ticks of the window, when it has an end.
    length: Option<usize>,
    /// Too new for the window.
    waiting: VecDeque<T>,
    window: Window<T>,
    /// The fold so far, when the window has no end.
    so_far: Option<T>,
}

impl<T: Fold> Sliding<T> {
    /// A window that is not empty ([`Interval::is_empty`]).
    pub(crate) fn new(interval: Interval) -> Sliding<T> {
        let length = interval.length();
        Sliding {
            from: interval.from as usize,
            length,
            waiting: VecDeque::with_capacity(if interval.from == 0 {
                0
            } else {
                (interval.from as usize + 1).min(RESERVED)
            }),
            window: Window::new(length.unwrap_or(0)),
            so_far: None,
        }
    }

    /// Ticks of the window, when it has an end.
    pub(crate) fn length(&self) -> Option<usize> {
        self.length
    }

    /// Takes the sample of the present tick and gives the fold; `None` while the window has not begun.
    #[inline]
    pub(crate) fn take(&mut self, sample: T) -> Option<T> {
        let entering = if self.from == 0 {
            Some(sample)
        } else {
            self.waiting.push_back(sample);
            if self.waiting.len() > self.from { self.waiting.pop_front() } else { None }
        };
        match (entering, self.length) {
            // The fold of one sample is the sample.
            (Some(entering), Some(1)) => Some(entering),
            (Some(entering), Some(length)) => {
                self.window.slide(entering, length);
                self.window.fold()
            }
            (Some(entering), None) => {
                self.so_far = Some(self.so_far.map_or(entering, |s| s.then(entering)));
                self.so_far
            }
            (None, _) => None, // nothing has entered yet: once something has, something does on every tick
        }
    }

    /// The same for the samples of some ticks in a row: each one's place and fold are given to `give`.
    #[inline]
    pub(crate) fn take_all(&mut self, samples: impl Iterator<Item = T>, mut give: impl FnMut(usize, Option<T>)) {
        let samples = samples.enumerate();
        if (self.from, self.length) != (0, None) {
            for (i, sample) in samples {
                give(i, self.take(sample));
            }
            return;
        }
        // Nothing waits and nothing goes.
        let mut so_far = self.so_far;
        for (i, sample) in samples {
            so_far = Some(so_far.map_or(sample, |s| s.then(sample)));
            give(i, so_far);
        }
        self.so_far = so_far;
    }

    /// Samples kept.
    pub(crate) fn kept(&self) -> usize {
        self.waiting.len() + self.window.len()
    }

    pub(crate) fn work(&self) -> u64 {
        self.window.work()
    }
}
