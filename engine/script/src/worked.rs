//! Values that are worked out, and their way to a monitor's term: how fast, the mean, the greatest and the least,
//! how much and how far in total; for how long and how often a condition held.
//!
//! A window of so long holds as many ticks as the time has, up to and with the present; without one it is the run
//! so far. How a window reads that has not been filled yet is told in `monitor::term`.

use crate::condition::{Condition, ConditionId, Row, Shelf, Value, ValueId};
use base::observable::Observable;
use monitor::{Comparison, Edge, Formula, Interval, Summary, Term};

/// Where the number of a value comes from.
#[derive(Clone, Debug)]
pub enum Source {
    /// The run has it.
    Seen(Observable),
    /// It is worked out.
    Worked(Worked),
}

/// A number that is worked out; windows in ticks, `None` for the run so far.
#[derive(Clone, Copy, Debug)]
pub enum Worked {
    /// A window of a value, summed up.
    Over(Summary, Option<u32>, ValueId),
    /// The change of a value since so many ticks ago, over that time.
    Rate(u32, ValueId),
    /// The time in all for which a condition held.
    InAll(Option<u32>, ConditionId),
    /// The longest time without a break for which it held.
    Longest(Option<u32>, ConditionId),
    /// How often it came true in the last so many ticks.
    Often(u32, ConditionId),
}

/// What is known of a value, as of a condition.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Facts {
    /// How many parts it has when written out; none where the run has the value.
    pub parts: u32,
    /// How deep its term is nested, at most.
    pub depth: u32,
    /// It looks ahead.
    pub ahead: bool,
    /// It cannot be answered from the present alone.
    pub temporal: bool,
    /// A part of it was told as a mistake.
    pub marked: bool,
}

impl Facts {
    /// Both together.
    pub(crate) fn and(self, other: Facts) -> Facts {
        Facts {
            parts: self.parts.saturating_add(other.parts),
            depth: self.depth.max(other.depth),
            ahead: self.ahead || other.ahead,
            temporal: self.temporal || other.temporal,
            marked: self.marked || other.marked,
        }
    }

    fn of(c: &Condition) -> Facts {
        Facts { parts: c.parts, depth: c.depth, ahead: c.ahead, temporal: c.temporal, marked: c.marked }
    }
}

impl Source {
    /// What the run has, when it is not worked out.
    #[must_use]
    pub fn seen(&self) -> Option<&Observable> {
        match self {
            Source::Seen(what) => Some(what),
            Source::Worked(_) => None,
        }
    }
}

impl Shelf {
    /// What is known of a value that is put on the shelf.
    pub(crate) fn facts_of(&self, value: &Value) -> Facts {
        let under = match &value.source {
            Source::Seen(_) => return Facts::default(),
            Source::Worked(Worked::Over(_, _, v) | Worked::Rate(_, v)) => *self.facts(*v),
            Source::Worked(Worked::InAll(_, c) | Worked::Longest(_, c) | Worked::Often(_, c)) => {
                Facts::of(self.condition(*c))
            }
        };
        Facts { parts: under.parts.saturating_add(1), depth: under.depth.saturating_add(2), temporal: true, ..under }
    }

    /// The term of a value, its signals places in `row`.
    #[must_use]
    pub fn term(&self, id: ValueId, row: &mut Row) -> Term {
        let value = self.value(id);
        match &value.source {
            Source::Seen(what) => Term::Signal(row.signal(what, value.unit.dimension)),
            Source::Worked(Worked::Over(summary, window, v)) => self.term(*v, row).over(*summary, behind(*window)),
            Source::Worked(Worked::Rate(ticks, v)) => Term::Rate(*ticks, Box::new(self.term(*v, row))),
            Source::Worked(Worked::InAll(window, c)) => Term::Held(behind(*window), Box::new(self.formula(*c, row))),
            Source::Worked(Worked::Longest(window, c)) => {
                Term::Stretch(behind(*window), Box::new(self.formula(*c, row)))
            }
            Source::Worked(Worked::Often(window, c)) => {
                Term::Count(Edge::Rises, behind(Some(*window)), Box::new(self.formula(*c, row)))
            }
        }
    }

    /// A value against another.
    pub(crate) fn against(&self, v: ValueId, how: Comparison, w: ValueId, row: &mut Row) -> Formula {
        match (self.term(v, row), self.term(w, row)) {
            (Term::Signal(left), Term::Signal(right)) => Formula::Between { left, how, right },
            (left, right) => {
                let term = Box::new(Term::Difference(Box::new(left), Box::new(right)));
                Formula::Measured { term, how, with: 0.0 }
            }
        }
    }
}

/// The window behind that holds so many ticks.
fn behind(window: Option<u32>) -> Interval {
    window.map_or(Interval::ALL, |ticks| Interval::within(ticks.saturating_sub(1)))
}
