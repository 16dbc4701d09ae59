//! Numbers that a formula compares: signals, arithmetic of signals, and what a window behind sums up to.
//!
//! A term has a number at every tick. Quantities are in SI, times in seconds, a tick standing for a tenth of a
//! second. Windows are counted in ticks behind the present, both ends included, and are cut to the ticks that
//! the run has had, as those of formulas are. With x the term, n the ticks of the window that were, L the
//! ticks of the window and dt one tick:
//!
//! | word | number | when the window has not begun |
//! | --- | --- | --- |
//! | least, greatest | min x, max x | infinite, as at every tick or at some tick of none |
//! | mean | sum x / n | the first x of the run |
//! | integral | sum x dt | 0 |
//! | travel | sum of the size of x - x before, nothing at the first tick of the run | 0 |
//! | slope | slope of the line of least squares through the L ticks of the window | 0 |
//! | rate | (x - x so many ticks ago) / (that time) | - |
//! | held | ticks at which a condition is true, times dt | 0 |
//! | stretch | the most of them in a row, times dt | 0 |
//! | lasted | ticks in a row up to now at which it is true, times dt | - |
//! | count | how often it comes true, ends or changes | 0 |
//!
//! In memory a window of `from..=to` keeps `to + 1` samples of at most 32 bytes, or `from` when it has no `to`; a
//! rate over so many ticks keeps those and one more.
//!
//! Slope and rate take the first x of the run to have stood before the run, so that a window that is not full
//! never makes more of a change than a full one would. A sample that is not a number makes every number that it has
//! a part in not a number, and what is compared with it unknown. Where a condition is undecided at a tick, what is
//! counted of it is what was seen, and what is compared with that is undecided.

use crate::formula::{Formula, Interval, Signal};

/// What a window of numbers sums up to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Summary {
    /// The least.
    Least,
    /// The greatest.
    Greatest,
    /// The mean.
    Mean,
    /// The integral over time: a flow becomes an amount.
    Integral,
    /// How far it went in total, there and back.
    Travel,
    /// How fast it went, by the line of least squares, per second.
    Slope,
}

/// Which changes of a condition are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// It comes true; being true at the first tick of the run counts.
    Rises,
    /// It was true at the tick before and is not now.
    Falls,
    /// It is not what it was at the tick before.
    Changes,
}

/// A number at every tick.
#[derive(Clone, Debug, PartialEq)]
pub enum Term {
    /// A signal.
    Signal(Signal),
    /// The same number at every tick.
    Constant(f64),
    /// All together; 0 of none.
    Sum(Vec<Term>),
    /// The first less the second.
    Difference(Box<Term>, Box<Term>),
    /// The first times the second.
    Product(Box<Term>, Box<Term>),
    /// The first over the second; not a number when the second is nought.
    Quotient(Box<Term>, Box<Term>),
    /// The number without its sign.
    Size(Box<Term>),
    /// A window behind, summed up.
    Over(Summary, Interval, Box<Term>),
    /// The change since so many ticks ago, per second. Over no ticks it is not a number.
    Rate(u32, Box<Term>),
    /// Seconds for which a condition was true in a window behind, in all.
    Held(Interval, Box<Formula>),
    /// Seconds of the longest stretch of a window behind at which a condition was true without a break.
    Stretch(Interval, Box<Formula>),
    /// Seconds for which a condition has been true without a break up to now.
    Lasted(Box<Formula>),
    /// How often a condition changed in a window behind.
    Count(Edge, Interval, Box<Formula>),
}

/// Which word of the table stands on top of a term, with its window: what it is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Word {
    /// A signal as it is.
    Signal,
    /// Arithmetic.
    Reckoned,
    /// A window of numbers summed up.
    Over(Summary, Interval),
    /// The change since so many ticks ago, per second.
    Rate(u32),
    /// Seconds in all.
    Held(Interval),
    /// Seconds of the longest stretch.
    Stretch(Interval),
    /// Seconds up to now.
    Lasted,
    /// How often.
    Count(Edge, Interval),
}

/// What kind of number a term is, beside the quantity of its first signal: what its unit follows from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// The quantity itself: a pressure, a temperature.
    Level,
    /// A difference or a sum of such quantities.
    Difference,
    /// A difference of such quantities per second.
    PerSecond,
    /// The quantity times seconds.
    Integral,
    /// Seconds.
    Time,
    /// A number without a unit.
    Count,
    /// A product or a quotient, in SI.
    Other,
}

impl Term {
    /// A signal.
    #[must_use]
    pub fn signal(signal: u32) -> Term {
        Term::Signal(Signal(signal))
    }

    /// A window behind of this term, summed up.
    #[must_use]
    pub fn over(self, summary: Summary, window: Interval) -> Term {
        Term::Over(summary, window, Box::new(self))
    }

    /// How far it lies from a number.
    #[must_use]
    pub fn off(self, from: f64) -> Term {
        Term::Size(Box::new(Term::Difference(Box::new(self), Box::new(Term::Constant(from)))))
    }

    /// The terms directly under this one.
    #[must_use]
    pub fn terms(&self) -> Vec<&Term> {
        match self {
            Term::Signal(_) | Term::Constant(_) => Vec::new(),
            Term::Held(..) | Term::Stretch(..) | Term::Lasted(_) | Term::Count(..) => Vec::new(),
            Term::Sum(ts) => ts.iter().collect(),
            Term::Difference(l, r) | Term::Product(l, r) | Term::Quotient(l, r) => vec![l, r],
            Term::Size(t) | Term::Over(_, _, t) | Term::Rate(_, t) => vec![t],
        }
    }

    /// The condition directly under this term.
    #[must_use]
    pub fn condition(&self) -> Option<&Formula> {
        match self {
            Term::Held(_, f) | Term::Stretch(_, f) | Term::Lasted(f) | Term::Count(_, _, f) => Some(f),
            _ => None,
        }
    }

    /// All conditions in it, from left to right as written.
    #[must_use]
    pub fn conditions(&self) -> Vec<&Formula> {
        self.condition().into_iter().chain(self.terms().into_iter().flat_map(Term::conditions)).collect()
    }

    /// The first signal in it, those of conditions left out: whose quantity it is.
    #[must_use]
    pub fn of(&self) -> Option<Signal> {
        match self {
            Term::Signal(s) => Some(*s),
            _ => self.terms().into_iter().find_map(Term::of),
        }
    }

    /// All signals that it looks at, those of conditions as well.
    pub(crate) fn signals(&self, into: &mut Vec<Signal>) {
        if let Term::Signal(s) = self {
            into.push(*s);
        }
        self.terms().into_iter().for_each(|t| t.signals(into));
        if let Some(f) = self.condition() {
            f.signals(into);
        }
    }

    /// How many ticks behind a tick it looks; `None` when it looks to the start of the run.
    #[must_use]
    pub fn history(&self) -> Option<u32> {
        let mut far = self.condition().map_or(Some(0), Formula::history)?;
        for term in self.terms() {
            far = far.max(term.history()?);
        }
        let own = match self {
            // A change is told from the tick before.
            Term::Over(Summary::Travel, window, _) | Term::Count(_, window, _) => window.to?.saturating_add(1),
            Term::Over(_, window, _) | Term::Held(window, _) | Term::Stretch(window, _) => window.to?,
            Term::Rate(ticks, _) => *ticks,
            Term::Lasted(_) => return None,
            _ => 0,
        };
        Some(far.saturating_add(own))
    }

    /// The word on top of it.
    #[must_use]
    pub fn word(&self) -> Word {
        match self {
            Term::Signal(_) => Word::Signal,
            Term::Over(summary, window, _) => Word::Over(*summary, *window),
            Term::Rate(ticks, _) => Word::Rate(*ticks),
            Term::Held(window, _) => Word::Held(*window),
            Term::Stretch(window, _) => Word::Stretch(*window),
            Term::Lasted(_) => Word::Lasted,
            Term::Count(edge, window, _) => Word::Count(*edge, *window),
            _ => Word::Reckoned,
        }
    }

    /// What kind of number it is.
    #[must_use]
    pub fn measure(&self) -> Measure {
        match self {
            Term::Signal(_) => Measure::Level,
            Term::Held(..) | Term::Stretch(..) | Term::Lasted(_) => Measure::Time,
            Term::Constant(_) | Term::Count(..) => Measure::Count,
            Term::Product(..) | Term::Quotient(..) => Measure::Other,
            Term::Sum(ts) => together(ts.iter()),
            Term::Difference(l, r) => together([&**l, &**r].into_iter()),
            Term::Size(t) => t.measure(),
            Term::Over(summary, _, t) => match (summary, t.measure()) {
                (Summary::Least | Summary::Greatest | Summary::Mean, m) => m,
                (Summary::Travel, m) => difference(m),
                (Summary::Integral, Measure::Level | Measure::Difference) => Measure::Integral,
                (Summary::Integral, Measure::PerSecond) => Measure::Difference,
                (Summary::Slope, m) => per_second(m),
                (Summary::Integral, _) => Measure::Other,
            },
            Term::Rate(_, t) => per_second(t.measure()),
        }
    }
}

/// The kind of a sum or a difference.
fn together<'a>(terms: impl Iterator<Item = &'a Term>) -> Measure {
    // A constant takes the unit of what it stands beside.
    let mut kinds = terms.filter(|t| !matches!(t, Term::Constant(_))).map(|t| difference(t.measure()));
    let first = kinds.next().unwrap_or(Measure::Count);
    if kinds.all(|k| k == first) { first } else { Measure::Other }
}

fn difference(of: Measure) -> Measure {
    if of == Measure::Level { Measure::Difference } else { of }
}

fn per_second(of: Measure) -> Measure {
    match of {
        Measure::Level | Measure::Difference => Measure::PerSecond,
        Measure::Integral => Measure::Level,
        Measure::Time => Measure::Count,
        Measure::PerSecond | Measure::Count | Measure::Other => Measure::Other,
    }
}
