//! The value of a formula at one tick, and how values combine.

use crate::verdict::{Truth, Verdict};

/// Marks a value that no comparison decided: an empty window.
pub(crate) const NOBODY: u32 = u32::MAX;

/// What a formula is worth at one tick: how far it is from changing, whether it is true, and which
/// comparison decided that.
///
/// A robustness that a sample which is not a number had a part in is NaN. Whether that sample
/// mattered for the truth is a question of its own, which `truth` answers.
#[derive(Clone, Copy, Debug)]
pub struct Value {
    /// Robustness, in the unit of the comparison that decided; NaN when a NaN sample is part of it.
    pub robustness: f64,
    /// Truth.
    pub truth: Truth,
    /// Which comparison decided, by its place in the formula.
    pub(crate) leaf: u32,
    /// The tick of the sample that decided.
    pub(crate) tick: u32,
}

impl Value {
    /// True of nothing: "at every tick" of no tick.
    pub(crate) const TRUE: Value = Value { robustness: f64::INFINITY, truth: Truth::TRUE, leaf: NOBODY, tick: 0 };
    /// False of nothing: "at some tick" of no tick.
    pub(crate) const FALSE: Value = Value { robustness: f64::NEG_INFINITY, truth: Truth::FALSE, leaf: NOBODY, tick: 0 };

    /// The verdict.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        self.truth.verdict()
    }

    /// A number on its way to a comparison, in the place of the robustness; `open` when the end of the run could
    /// still change it.
    pub(crate) fn number(number: f64, open: bool, tick: u32) -> Value {
        Value { robustness: number, truth: if open { Truth::OPEN } else { Truth::TRUE }, leaf: NOBODY, tick }
    }

    /// Whether the end of the run could still change a number.
    pub(crate) fn is_open(&self) -> bool {
        self.truth != Truth::TRUE
    }

    #[inline]
    pub(crate) fn not(self) -> Value {
        Value { robustness: -self.robustness, truth: self.truth.not(), ..self }
    }

    #[inline]
    pub(crate) fn not_if(self, negate: bool) -> Value {
        if negate { self.not() } else { self }
    }

    /// Both: the lesser robustness; `self` decides a tie.
    #[inline]
    pub(crate) fn and(self, other: Value) -> Value {
        let own = self.robustness.is_nan() | (self.robustness <= other.robustness);
        self.or_else(other, own, self.truth.and(other.truth))
    }

    /// Either: the greater robustness; `self` decides a tie.
    #[inline]
    pub(crate) fn or(self, other: Value) -> Value {
        let own = self.robustness.is_nan() | (self.robustness >= other.robustness);
        self.or_else(other, own, self.truth.or(other.truth))
    }

    /// Chosen field by field, so that no processor has to guess which way noise will go.
    #[inline]
    fn or_else(self, other: Value, own: bool, truth: Truth) -> Value {
        Value {
            robustness: if own { self.robustness } else { other.robustness },
            truth,
            leaf: if own { self.leaf } else { other.leaf },
            tick: if own { self.tick } else { other.tick },
        }
    }

    /// A window that reaches beyond the end of the run: the robustness stays what the seen ticks
    /// gave, and the truth may yet become true as far as `open` allows.
    pub(crate) fn cut(self, open: Truth) -> Value {
        Value { truth: self.truth.or(open.and(Truth::BEYOND)), ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn v(robustness: f64) -> Value {
        Value { robustness, truth: Truth::of(robustness > 0.0), leaf: 0, tick: 0 }
    }

    #[test]
    fn a_nan_on_either_side_stays() {
        assert!(v(f64::NAN).and(v(1.0)).robustness.is_nan());
        assert!(v(1.0).and(v(f64::NAN)).robustness.is_nan());
        assert!(v(f64::NAN).or(v(1.0)).robustness.is_nan());
        assert!(v(1.0).or(v(f64::NAN)).robustness.is_nan());
    }
}
