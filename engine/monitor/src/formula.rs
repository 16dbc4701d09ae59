//! Signal Temporal Logic formulas in discrete time.

use crate::term::{Measure, Term, Word};

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

    /// How many ticks it has when it has an end; nought when it ends before it begins.
    pub(crate) fn length(self) -> Option<usize> {
        self.to.map(|to| (to as usize + 1).saturating_sub(self.from as usize))
    }

    /// True when no tick can lie in it, since it ends before it begins.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.to.is_some_and(|to| to < self.from)
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
    /// A number that is worked out, against a constant in its unit.
    Measured {
        /// The number.
        term: Box<Term>,
        /// How.
        how: Comparison,
        /// With what, in SI.
        with: f64,
    },
    /// A truth value holds: a sample of 1.0 for true, 0.0 for false (true above one half). Its
    /// robustness is infinite one way or the other, so that it is never weighed against a quantity: a
    /// margin beside it is told from the quantity alone.
    Holds(Signal),
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

/// A comparison as it stands in a formula: what a margin is told from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Predicate {
    /// A signal against a constant.
    Compare {
        /// The signal.
        signal: Signal,
        /// How.
        how: Comparison,
        /// With what, in SI.
        with: f64,
    },
    /// A signal against another.
    Between {
        /// Left side.
        left: Signal,
        /// How.
        how: Comparison,
        /// Right side.
        right: Signal,
    },
    /// A truth value.
    Holds {
        /// The signal.
        signal: Signal,
    },
    /// A number that is worked out, against a constant.
    Measured {
        /// What it is called.
        word: Word,
        /// What kind of number.
        measure: Measure,
        /// Whose quantity it is, if it is one.
        of: Option<Signal>,
        /// How.
        how: Comparison,
        /// With what, in SI.
        with: f64,
    },
}

impl Comparison {
    /// True when more of the left side makes the comparison safer.
    #[must_use]
    pub fn wants_more(self) -> bool {
        matches!(self, Comparison::Above | Comparison::AtLeast)
    }

    /// Whether it holds. A NaN on either side compares as false: ask for NaN first.
    #[must_use]
    pub fn holds(self, left: f64, right: f64) -> bool {
        match self {
            Comparison::Above => left > right,
            Comparison::AtLeast => left >= right,
            Comparison::Below => left < right,
            Comparison::AtMost => left <= right,
        }
    }
}

impl Predicate {
    /// The comparison of a number that is worked out.
    pub(crate) fn of_term(term: &Term, how: Comparison, with: f64) -> Predicate {
        Predicate::Measured { word: term.word(), measure: term.measure(), of: term.of(), how, with }
    }
}

impl Formula {
    /// A signal above a constant.
    #[must_use]
    pub fn above(signal: u32, with: f64) -> Formula {
        Formula::Compare { signal: Signal(signal), how: Comparison::Above, with }
    }

    /// A signal below a constant.
    #[must_use]
    pub fn below(signal: u32, with: f64) -> Formula {
        Formula::Compare { signal: Signal(signal), how: Comparison::Below, with }
    }

    /// A number that is worked out, against a constant.
    #[must_use]
    pub fn measured(term: Term, how: Comparison, with: f64) -> Formula {
        Formula::Measured { term: Box::new(term), how, with }
    }

    /// A truth value that holds.
    #[must_use]
    pub fn holds(signal: u32) -> Formula {
        Formula::Holds(Signal(signal))
    }

    /// The opposite.
    #[must_use]
    #[allow(clippy::should_implement_trait)] // a formula's own word beside `Formula::Not`
    pub fn not(self) -> Formula {
        Formula::Not(Box::new(self))
    }

    /// True when `self` has held without a break for `ticks` ticks up to now: at this tick and at
    /// each of the `ticks` before it, all of which must lie in the run. (A bare
    /// [`Formula::Historically`] is cut at the start of the run, so it can be true on the first tick.)
    #[must_use]
    pub fn lasted(self, ticks: u32) -> Formula {
        let begun = Formula::Once(Interval { from: ticks, to: Some(ticks) }, Box::new(Formula::All(Vec::new())));
        Formula::All(vec![Formula::Historically(Interval::within(ticks), Box::new(self)), begun])
    }

    /// True on the ticks at which `self` comes true: true now, and not on the tick before (the first
    /// tick of the run counts as coming true).
    #[must_use]
    pub fn comes_true(self) -> Formula {
        let before = Formula::Once(Interval { from: 1, to: Some(1) }, Box::new(self.clone()));
        Formula::All(vec![self, before.not()])
    }

    /// True on the ticks at which `self` ends: true on the tick before, and not now.
    #[must_use]
    pub fn ends(self) -> Formula {
        let before = Formula::Once(Interval { from: 1, to: Some(1) }, Box::new(self.clone()));
        Formula::All(vec![before, self.not()])
    }

    /// True on the ticks at which `self` is not what it was on the tick before; never on the first tick.
    #[must_use]
    pub fn changes(self) -> Formula {
        let before = Interval { from: 1, to: Some(1) };
        let begun = Formula::Once(before, Box::new(Formula::All(Vec::new())));
        Formula::Any(vec![self.clone().ends(), Formula::All(vec![begun, self.comes_true()])])
    }

    /// The parts directly under this one, conditions in a number that is compared included.
    #[must_use]
    pub fn parts(&self) -> Vec<&Formula> {
        match self {
            Formula::Compare { .. } | Formula::Between { .. } | Formula::Holds(_) => Vec::new(),
            Formula::Measured { term, .. } => term.conditions(),
            Formula::Not(f)
            | Formula::Always(_, f)
            | Formula::Eventually(_, f)
            | Formula::Historically(_, f)
            | Formula::Once(_, f) => {
                vec![f]
            }
            Formula::All(fs) | Formula::Any(fs) => fs.iter().collect(),
            Formula::Implies(l, r) | Formula::Until(_, l, r) | Formula::Since(_, l, r) => {
                vec![l, r]
            }
        }
    }

    /// How deep operators are nested; a comparison alone is 1. It is found without recursion, so that
    /// whoever takes formulas from a stranger can refuse one too deep for what works on it (monitors,
    /// comparing and dropping go down the formula call by call; [`Formula::DEEPEST`] is safe).
    #[must_use]
    pub fn depth(&self) -> usize {
        enum Open<'a> {
            Formula(&'a Formula),
            Term(&'a Term),
        }
        let (mut deepest, mut open) = (0, vec![(Open::Formula(self), 1)]);
        while let Some((part, depth)) = open.pop() {
            deepest = deepest.max(depth);
            match part {
                Open::Formula(Formula::Measured { term, .. }) => open.push((Open::Term(term), depth)),
                Open::Formula(f) => open.extend(f.parts().into_iter().map(|p| (Open::Formula(p), depth + 1))),
                Open::Term(t) => {
                    open.extend(t.terms().into_iter().map(|t| (Open::Term(t), depth + 1)));
                    open.extend(t.condition().map(|f| (Open::Formula(f), depth + 1)));
                }
            }
        }
        deepest
    }

    /// A depth of nesting that no sensible condition reaches and every thread's stack holds (own choice).
    pub const DEEPEST: usize = 200;

    /// How many ticks ahead of a tick the formula looks; `None` when it looks to the end of the run.
    #[must_use]
    pub fn horizon(&self) -> Option<u32> {
        let mut far = 0u32;
        for part in self.parts() {
            far = far.max(part.horizon()?);
        }
        match self {
            Formula::Always(i, _) | Formula::Eventually(i, _) | Formula::Until(i, _, _) => {
                Some(far.saturating_add(i.to?))
            }
            _ => Some(far),
        }
    }

    /// How many ticks behind a tick the formula looks; `None` when it looks to the start of the run.
    #[must_use]
    pub fn history(&self) -> Option<u32> {
        let mut far = 0u32;
        for part in self.parts() {
            far = far.max(part.history()?);
        }
        match self {
            Formula::Historically(i, _) | Formula::Once(i, _) | Formula::Since(i, _, _) => {
                Some(far.saturating_add(i.to?))
            }
            Formula::Measured { term, .. } => term.history(),
            _ => Some(far),
        }
    }

    /// True when the formula looks at no tick but the present one and those before it, so that its
    /// value is known at once.
    #[must_use]
    pub fn past_only(&self) -> bool {
        !matches!(self, Formula::Always(..) | Formula::Eventually(..) | Formula::Until(..))
            && self.parts().into_iter().all(Formula::past_only)
    }

    /// Every comparison of the formula, from left to right as written. Those within a number that is
    /// compared itself are not among them: it is that number which decides.
    #[must_use]
    pub fn predicates(&self) -> Vec<Predicate> {
        match self {
            Formula::Compare { signal, how, with } => {
                vec![Predicate::Compare { signal: *signal, how: *how, with: *with }]
            }
            Formula::Between { left, how, right } => vec![Predicate::Between { left: *left, how: *how, right: *right }],
            Formula::Holds(signal) => vec![Predicate::Holds { signal: *signal }],
            Formula::Measured { term, how, with } => {
                vec![Predicate::of_term(term, *how, *with)]
            }
            _ => self.parts().into_iter().flat_map(Formula::predicates).collect(),
        }
    }

    /// All signals that it looks at.
    pub(crate) fn signals(&self, into: &mut Vec<Signal>) {
        match self {
            Formula::Compare { signal, .. } | Formula::Holds(signal) => into.push(*signal),
            Formula::Between { left, right, .. } => into.extend([*left, *right]),
            Formula::Measured { term, .. } => term.signals(into),
            _ => self.parts().into_iter().for_each(|p| p.signals(into)),
        }
    }

    /// All signals that it looks at, from left to right as written.
    #[must_use]
    pub fn all_signals(&self) -> Vec<Signal> {
        let mut signals = Vec::new();
        self.signals(&mut signals);
        signals
    }

    /// How many samples a row must hold at least: one more than the highest signal.
    #[must_use]
    pub fn row_width(&self) -> usize {
        self.all_signals().into_iter().map(|s| s.0 as usize + 1).max().unwrap_or(0)
    }
}
