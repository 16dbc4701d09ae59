//! Signal Temporal Logic formulas in discrete time.

/// A signal by its place in the row of samples that a monitor is fed on every tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Signal(pub u32);

/// How a signal is compared with a constant. Strict and not strict have the same robustness; they
/// differ in the truth at equality.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// Greater than.
    Above,
    /// Greater than or equal.
    AtLeast,
    /// Less than.
    Below,
    /// Less than or equal.
    AtMost,
}

/// A window in ticks, both ends included; `to` of `None` has no end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interval {
    /// Nearest tick of the window.
    pub from: u32,
    /// Farthest tick of the window.
    pub to: Option<u32>,
}

impl Interval {
    /// No bounds.
    pub const ALL: Interval = Interval { from: 0, to: None };

    /// From now to `to` ticks away.
    #[must_use]
    pub fn within(to: u32) -> Interval {
        Interval { from: 0, to: Some(to) }
    }
}

/// A formula.
#[derive(Clone, Debug, PartialEq)]
pub enum Formula {
    /// A signal against a constant, both in SI.
    Compare {
        /// The signal.
        signal: Signal,
        /// How.
        how: Comparison,
        /// With what.
        with: f64,
    },
    /// A signal against another: `left - right` takes the place of the signal, the constant is 0.
    Between {
        /// Left side.
        left: Signal,
        /// How.
        how: Comparison,
        /// Right side.
        right: Signal,
    },
    /// Not.
    Not(Box<Formula>),
    /// All of them; true of none.
    All(Vec<Formula>),
    /// Any of them; false of none.
    Any(Vec<Formula>),
    /// If the left then the right.
    Implies(Box<Formula>, Box<Formula>),
    /// At every tick of the window ahead.
    Always(Interval, Box<Formula>),
    /// At some tick of the window ahead.
    Eventually(Interval, Box<Formula>),
    /// At every tick of the window behind.
    Historically(Interval, Box<Formula>),
    /// At some tick of the window behind.
    Once(Interval, Box<Formula>),
    /// Left holds until right does, right within the window ahead (left is not asked at that tick).
    Until(Interval, Box<Formula>, Box<Formula>),
    /// Left has held since right did, right within the window behind (left is not asked at that tick).
    Since(Interval, Box<Formula>, Box<Formula>),
}
