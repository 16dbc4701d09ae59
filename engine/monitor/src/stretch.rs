//! Many ticks at a time: rows in, and of every part of a formula a column of values out.
//!
//! Where nobody waits for an answer on its tick, each part of a formula is worked over a whole stretch of rows
//! before the next part is: what it is and where its parts' values lie is then found out once a stretch and not
//! once a tick. The values are those of a row at a time, since no part ever looks at a part above it.

use crate::formula::Signal;
use crate::value::Value;

/// How many rows are worth waiting for: the columns of one formula still fit into a first-level cache.
pub const STRETCH: usize = 32;

/// The rows of ticks that follow each other, one behind the other.
#[derive(Clone, Copy, Debug)]
pub struct Rows<'a> {
    samples: &'a [f64],
    width: usize,
    ticks: usize,
}

impl<'a> Rows<'a> {
    /// So many rows, each so wide; a row may have no columns at all.
    ///
    /// # Panics
    /// When there are more samples than that, or fewer.
    #[must_use]
    pub fn new(samples: &'a [f64], width: usize, ticks: usize) -> Rows<'a> {
        assert!(samples.len() == width * ticks, "rows that follow each other are all as wide as they are said to be");
        Rows { samples, width, ticks }
    }

    /// One row.
    #[must_use]
    pub fn one(row: &'a [f64]) -> Rows<'a> {
        Rows { samples: row, width: row.len(), ticks: 1 }
    }

    pub(crate) fn width(self) -> usize {
        self.width
    }

    pub(crate) fn ticks(self) -> usize {
        self.ticks
    }

    #[inline]
    pub(crate) fn sample(self, tick: usize, signal: Signal) -> f64 {
        self.samples[tick * self.width + signal.0 as usize]
    }
}

/// Room for the columns of one formula. It holds nothing from one stretch to the next, so that any number of
/// formulas may use the same.
#[derive(Clone, Debug, Default)]
pub struct Columns(Vec<Value>);

impl Columns {
    /// The columns of so many parts, each of so many ticks.
    pub(crate) fn of(&mut self, parts: usize, ticks: usize) -> &mut [Value] {
        if self.0.len() < parts * ticks {
            self.0.resize(parts * ticks, Value::FALSE);
        }
        &mut self.0[..parts * ticks]
    }
}

/// Fills a column tick by tick.
#[inline]
pub(crate) fn each(column: &mut [Value], mut value: impl FnMut(usize) -> Value) {
    for (i, v) in column.iter_mut().enumerate() {
        *v = value(i);
    }
}

/// Fills a column with what its parts' columns come to, from the first part to the last.
#[inline]
pub(crate) fn folded<'a>(
    column: &mut [Value],
    mut parts: impl Iterator<Item = &'a [Value]>,
    of_nothing: Value,
    fold: impl Fn(Value, Value) -> Value,
) {
    match parts.next() {
        Some(first) => column.copy_from_slice(first),
        None => column.fill(of_nothing),
    }
    for part in parts {
        for (v, p) in column.iter_mut().zip(part) {
            *v = fold(*v, *p);
        }
    }
}
