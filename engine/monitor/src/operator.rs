//! The temporal operators as stream processors: samples in, in order; values out, in order.
//!
//! "At every tick" is computed as "not at some tick not", which is exact on robustness and on truth,
//! so that there are four operators and no more. With a window of `from..=to` ticks and 24 bytes a
//! value, each keeps in memory:
//!
//! | operator | bounded | unbounded |
//! | --- | --- | --- |
//! | behind, one part (once, historically) | `to + 1` values | `from` values |
//! | behind, two parts (since) | `2 (to - from + 1) + 2 from` | `2 from` |
//! | ahead, one part (eventually, always) | `to - from + 1` | every tick of the run, until its end |
//! | ahead, two parts (until) | `3 (to - from + 1) + from` | two for every tick of the run |
//!
//! A window ahead that is bounded gives its value `to` ticks late. One that is unbounded reaches "to
//! the rest of the run": its values are settled when the run ends, and the end does not cut it; only a
//! window that had not even begun by then is undecided.

use crate::formula::Interval;
use crate::sliding::Sliding;
use crate::value::Value;
use crate::verdict::Truth;
use crate::window::{Ahead, Behind, Greatest, Least, Window};
use std::collections::VecDeque;

/// Values that wait for the part above.
pub(crate) type Queue = VecDeque<Value>;

/// At some tick of a window behind.
#[derive(Clone, Debug)]
pub(crate) struct Once(Sliding<Greatest>);

impl Once {
    pub(crate) fn new(interval: Interval) -> Once {
        Once(Sliding::new(interval))
    }

    pub(crate) fn take(&mut self, sample: Value) -> Value {
        self.0.take(Greatest(sample)).map_or(Value::FALSE, |g| g.0)
    }

    /// The same for the samples of some ticks in a row, into a column of the same length; with `opposite` "at every tick".
    pub(crate) fn take_all(&mut self, samples: &[Value], opposite: bool, column: &mut [Value]) {
        let samples = samples[..column.len()].iter().map(|s| Greatest(s.not_if(opposite)));
        self.0.take_all(samples, |i, fold| column[i] = fold.map_or(Value::FALSE, |g| g.0).not_if(opposite));
    }

    /// Samples kept.
    pub(crate) fn kept(&self) -> usize {
        self.0.kept()
    }

    pub(crate) fn work(&self) -> u64 {
        self.0.work()
    }
}

/// The left side has held since the right one did.
#[derive(Clone, Debug)]
pub(crate) struct Since {
    from: usize,
    length: Option<usize>,
    window: Window<Behind>,
    so_far: Option<Value>,
    /// Values of the same with the window moved up to the present, waiting for it to be `from` ago.
    waiting: Queue,
    /// The left side over the last `from` ticks.
    left: Window<Least>,
}

impl Since {
    pub(crate) fn new(interval: Interval) -> Since {
        let (from, length) = (interval.from as usize, interval.length());
        Since {
            from,
            length,
            window: Window::new(length.unwrap_or(0)),
            so_far: None,
            waiting: Queue::new(),
            left: Window::new(from),
        }
    }

    pub(crate) fn take(&mut self, left: Value, right: Value) -> Value {
        let near = match self.length {
            Some(length) => {
                self.window.slide(Behind { right, left }, length);
                self.window.fold().map_or(Value::FALSE, |s| s.right)
            }
            None => {
                let now = self.so_far.map_or(right, |before| right.or(left.and(before)));
                self.so_far = Some(now);
                now
            }
        };
        if self.from == 0 {
            return near;
        }
        self.left.slide(Least(left), self.from);
        self.waiting.push_back(near);
        if self.waiting.len() <= self.from {
            return Value::FALSE;
        }
        match (self.waiting.pop_front(), self.left.fold()) {
            (Some(then), Some(held)) => held.0.and(then),
            _ => Value::FALSE,
        }
    }

    /// Samples kept.
    pub(crate) fn kept(&self) -> usize {
        self.window.len() + self.waiting.len() + self.left.len()
    }

    pub(crate) fn work(&self) -> u64 {
        self.window.work() + self.left.work()
    }
}

/// At some tick of a window ahead.
#[derive(Clone, Debug)]
pub(crate) struct Eventually {
    from: usize,
    to: Option<usize>,
    length: usize,
    window: Window<Greatest>,
    /// Every sample of the run, when the window has no end.
    all: Queue,
    samples: usize,
}

impl Eventually {
    pub(crate) fn new(interval: Interval) -> Eventually {
        let length = interval.length().unwrap_or(0);
        let to = interval.to.map(|to| to as usize);
        Eventually {
            from: interval.from as usize,
            to,
            length,
            window: Window::new(length),
            all: Queue::new(),
            samples: 0,
        }
    }

    pub(crate) fn take(&mut self, sample: Value) -> Option<Value> {
        self.samples += 1;
        let Some(to) = self.to else {
            self.all.push_back(sample);
            return None;
        };
        self.window.slide(Greatest(sample), self.length);
        if self.samples > to { self.window.fold().map(|g| g.0) } else { None }
    }

    pub(crate) fn finish(&mut self, mut out: impl FnMut(Value)) {
        let n = self.samples;
        let Some(to) = self.to else {
            for i in (1..n).rev() {
                self.all[i - 1] = self.all[i - 1].or(self.all[i]);
            }
            for t in 0..n {
                out(self.all.get(t.saturating_add(self.from)).copied().unwrap_or(Value::FALSE.cut(Truth::TRUE)));
            }
            self.all = Queue::new();
            return;
        };
        for t in n.saturating_sub(to)..n {
            while self.window.len() > 0 && n - self.window.len() < t.saturating_add(self.from) {
                self.window.pop();
            }
            out(self.window.fold().map_or(Value::FALSE, |g| g.0).cut(Truth::TRUE));
        }
    }

    /// Samples kept.
    pub(crate) fn kept(&self) -> usize {
        self.window.len() + self.all.len()
    }

    pub(crate) fn work(&self) -> u64 {
        self.window.work()
    }
}

/// The left side holds until the right one does.
#[derive(Clone, Debug)]
pub(crate) struct Until {
    from: usize,
    to: Option<usize>,
    length: usize,
    window: Window<Ahead>,
    /// Left sides too new for `left`.
    waiting: Queue,
    /// The left side over the `from` ticks before the window.
    left: Window<Least>,
    /// How many left sides went into `left`.
    entered: usize,
    /// Every tick of the run, when the window has no end.
    all: VecDeque<Ahead>,
    samples: usize,
}

impl Until {
    pub(crate) fn new(interval: Interval) -> Until {
        let (from, length) = (interval.from as usize, interval.length().unwrap_or(0));
        let to = interval.to.map(|to| to as usize);
        let (window, left) = (Window::new(length), Window::new(from));
        Until { from, to, length, window, waiting: Queue::new(), left, entered: 0, all: VecDeque::new(), samples: 0 }
    }

    /// Lets the next left side into the window that ends just before the right side's begins.
    fn enter(&mut self) {
        if let Some(value) = self.waiting.pop_front() {
            self.entered += 1;
            self.left.slide(Least(value), self.from);
        }
    }

    fn with_left(&mut self, value: Value) -> Value {
        self.left.fold().map_or(value, |held| held.0.and(value))
    }

    pub(crate) fn take(&mut self, left: Value, right: Value) -> Option<Value> {
        self.samples += 1;
        let Some(to) = self.to else {
            self.all.push_back(Ahead { right, left });
            return None;
        };
        self.window.slide(Ahead { right, left }, self.length);
        if self.from > 0 {
            self.waiting.push_back(left);
            if self.waiting.len() > self.length {
                self.enter();
            }
        }
        if self.samples <= to {
            return None;
        }
        let near = self.window.fold().map_or(Value::FALSE, |s| s.right);
        Some(self.with_left(near))
    }

    pub(crate) fn finish(&mut self, mut out: impl FnMut(Value)) {
        let n = self.samples;
        let Some(to) = self.to else {
            return self.finish_unbounded(out);
        };
        for t in n.saturating_sub(to)..n {
            let begin = t.saturating_add(self.from);
            while self.window.len() > 0 && n - self.window.len() < begin {
                self.window.pop();
            }
            // The left sides from `t` to just before `begin`, as far as they exist.
            if self.from > 0 {
                while self.entered < begin.min(n) {
                    self.enter();
                }
                while self.left.len() > 0 && self.entered - self.left.len() < t {
                    self.left.pop();
                }
            }
            let value = match self.window.fold() {
                Some(s) => {
                    let near = s.right.cut(s.left.truth);
                    self.with_left(near)
                }
                None => self.not_begun(),
            };
            out(value);
        }
    }

    /// The window had not begun when the run ended: nothing was seen, and it may come true if the
    /// left side held as far as was seen.
    fn not_begun(&mut self) -> Value {
        let open = self.left.fold().map_or(Truth::TRUE, |held| held.0.truth);
        Value::FALSE.cut(open)
    }

    fn finish_unbounded(&mut self, mut out: impl FnMut(Value)) {
        let n = self.samples;
        for i in (1..n).rev() {
            let (this, next) = (self.all[i - 1], self.all[i].right);
            self.all[i - 1].right = this.right.or(this.left.and(next));
        }
        for t in 0..n {
            let begin = t.saturating_add(self.from);
            while self.entered < begin.min(n) {
                self.left.push(Least(self.all[self.entered].left));
                self.entered += 1;
            }
            while self.left.len() > 0 && self.entered - self.left.len() < t {
                self.left.pop();
            }
            let value = match self.all.get(begin) {
                Some(s) => {
                    let near = s.right;
                    self.with_left(near)
                }
                None => self.not_begun(),
            };
            out(value);
        }
        self.all = VecDeque::new();
    }

    /// Samples kept.
    pub(crate) fn kept(&self) -> usize {
        self.window.len() + self.waiting.len() + self.left.len() + self.all.len()
    }

    pub(crate) fn work(&self) -> u64 {
        self.window.work() + self.left.work()
    }
}
