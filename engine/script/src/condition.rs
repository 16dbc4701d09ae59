//! Conditions as a script builds them, and their way to a monitor's formula.

use crate::worked::{Facts, Source};
use base::observable::{Observable, Watched};
use base::units::{Dimension, Unit};
use base::{Place, tick::TICKS_PER_SECOND};
use monitor::{Comparison, Formula, Interval, Signal, Term};

/// A condition by its place in the [`Shelf`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ConditionId(pub u32);
/// A value by its place in the [`Shelf`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ValueId(pub u32);

/// Something with a value, as a script names it: `shown("PT-3001")`.
#[derive(Clone, Debug)]
pub struct Value {
    /// What is looked at, or what it is worked out from.
    pub source: Source,
    /// The unit people read it in.
    pub unit: &'static Unit,
    /// The words of a state; empty for a quantity.
    pub words: Vec<String>,
}

/// What a condition says.
#[derive(Clone, Debug)]
pub enum Kind {
    /// A value against a constant (SI), told in the unit it was written in.
    Compare(ValueId, Comparison, f64, &'static Unit),
    /// A value against another.
    Against(ValueId, Comparison, ValueId),
    /// A value from one constant to another (SI).
    Between(ValueId, f64, f64, &'static Unit),
    /// A value no farther than a tolerance from a constant (SI; SI difference).
    Within(ValueId, f64, &'static Unit, f64, &'static Unit),
    /// A state told by the word of this index.
    Is(ValueId, usize),
    /// A truth or a moment.
    Truth(Observable),
    /// The run has lasted so many ticks.
    Clock(u32),
    /// A step's condition has come true, by the step's name.
    Done(String, ConditionId),
    /// All.
    All(Vec<ConditionId>),
    /// Any.
    Any(Vec<ConditionId>),
    /// None of them.
    NoneOf(Vec<ConditionId>),
    /// Not.
    Not(ConditionId),
    /// Has held for so many ticks without a break.
    Lasting(ConditionId, u32),
    /// Held at some time in the last so many ticks.
    OnceWithin(ConditionId, u32),
    /// Held at some time so far.
    Ever(ConditionId),
    /// Never held so far.
    NotYet(ConditionId),
    /// The second holds, and the first held no more than so many ticks ago.
    Followed(ConditionId, u32, ConditionId),
    /// The first has held ever since the second did.
    Since(ConditionId, ConditionId),
    /// The first came true when the second had not.
    Before(ConditionId, ConditionId),
    /// The first holds, and the second held at some time so far.
    After(ConditionId, ConditionId),
    /// Has come true so many times.
    Times(ConditionId, u32),
    /// If the first holds, the second holds within the next so many ticks (looks ahead).
    Answered(ConditionId, u32, ConditionId),
    /// The first holds until the second does (looks ahead).
    Until(ConditionId, ConditionId),
    /// Stands for a condition that was told as a mistake.
    Marked,
}

/// A condition with what is known of it.
#[derive(Clone, Debug)]
pub struct Condition {
    /// What it says.
    pub kind: Kind,
    /// How many parts it has when written out.
    pub parts: u32,
    /// How deep its formula is nested, at most.
    pub depth: u32,
    /// It looks ahead, so nothing that happens in the run may hang on it.
    pub ahead: bool,
    /// It looks back or ahead, so it cannot be answered from the present alone.
    pub temporal: bool,
    /// It is true for a moment only, such as an action.
    pub moment: bool,
    /// A part of it was told as a mistake.
    pub marked: bool,
    /// Where it was written.
    pub place: Place,
}

/// All conditions and values of a script.
#[derive(Debug, Default)]
pub struct Shelf {
    conditions: Vec<Condition>,
    values: Vec<(Value, Facts)>,
    /// Steps that the run has seen done before now: `done` of them holds whatever comes.
    pub seen_done: std::collections::BTreeSet<String>,
}

impl Kind {
    /// The conditions it is made of.
    #[must_use]
    pub fn of(&self) -> Vec<ConditionId> {
        match self {
            Kind::All(c) | Kind::Any(c) | Kind::NoneOf(c) => c.clone(),
            Kind::Done(_, c)
            | Kind::Not(c)
            | Kind::Lasting(c, _)
            | Kind::OnceWithin(c, _)
            | Kind::Ever(c)
            | Kind::NotYet(c)
            | Kind::Times(c, _) => vec![*c],
            Kind::Followed(a, _, b)
            | Kind::Answered(a, _, b)
            | Kind::Since(a, b)
            | Kind::Before(a, b)
            | Kind::After(a, b)
            | Kind::Until(a, b) => vec![*a, *b],
            _ => Vec::new(),
        }
    }
}

impl Kind {
    /// The values it compares.
    #[must_use]
    pub fn values(&self) -> Vec<ValueId> {
        match self {
            Kind::Compare(v, ..) | Kind::Between(v, ..) | Kind::Within(v, ..) | Kind::Is(v, _) => vec![*v],
            Kind::Against(v, _, w) => vec![*v, *w],
            _ => Vec::new(),
        }
    }
}

impl Shelf {
    /// How many things are on the shelf.
    #[must_use]
    pub fn len(&self) -> usize {
        self.conditions.len() + self.values.len()
    }

    /// Whether nothing is on the shelf.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Puts a value on the shelf.
    pub fn put_value(&mut self, value: Value) -> ValueId {
        let facts = self.facts_of(&value);
        self.values.push((value, facts));
        ValueId(self.values.len() as u32 - 1)
    }

    /// Puts a condition on the shelf.
    pub fn put(&mut self, kind: Kind, place: Place) -> ConditionId {
        let of = kind.of();
        let parts = of.iter().map(|c| self.condition(*c));
        let worked = kind.values().into_iter().map(|v| *self.facts(v)).fold(Facts::default(), Facts::and);
        // A value between limits is worked out for both.
        let worked_parts = worked.parts.saturating_mul(2);
        let copies = match kind {
            Kind::Times(_, n) => n * 2, // each time asks for a rising edge, and that names it twice
            Kind::Before(..) => 2,
            _ => 1,
        };
        let condition = Condition {
            parts: parts
                .clone()
                .fold(0_u32, |n, c| n.saturating_add(c.parts))
                .saturating_mul(copies)
                .saturating_add(worked_parts)
                .saturating_add(1),
            depth: levels(&kind) + parts.clone().map(|c| c.depth).max().unwrap_or(0).max(worked.depth),
            ahead: matches!(kind, Kind::Answered(..) | Kind::Until(..))
                || worked.ahead
                || parts.clone().any(|c| c.ahead),
            temporal: is_temporal(&kind) || worked.temporal || parts.clone().any(|c| c.temporal),
            moment: match &kind {
                Kind::Truth(Observable::Did { .. }) => true,
                Kind::All(_) => parts.clone().any(|c| c.moment),
                Kind::Any(_) => !of.is_empty() && parts.clone().all(|c| c.moment),
                Kind::Followed(_, _, then) => self.condition(*then).moment,
                Kind::After(first, _) => self.condition(*first).moment,
                _ => false,
            },
            marked: matches!(kind, Kind::Marked) || worked.marked || parts.clone().any(|c| c.marked),
            place,
            kind,
        };
        self.conditions.push(condition);
        ConditionId(self.conditions.len() as u32 - 1)
    }

    /// A condition of the shelf.
    #[must_use]
    pub fn condition(&self, id: ConditionId) -> &Condition {
        &self.conditions[id.0 as usize]
    }

    /// A value of the shelf.
    #[must_use]
    pub fn value(&self, id: ValueId) -> &Value {
        &self.values[id.0 as usize].0
    }

    /// What is known of a value of the shelf.
    pub(crate) fn facts(&self, id: ValueId) -> &Facts {
        &self.values[id.0 as usize].1
    }

    /// The values that a condition compares with something, in the order in which they are written.
    #[must_use]
    pub fn compared(&self, id: ConditionId) -> Vec<ValueId> {
        let c = self.condition(id);
        match &c.kind {
            Kind::Is(..) => Vec::new(),
            k if k.values().is_empty() => k.of().into_iter().flat_map(|c| self.compared(c)).collect(),
            k => k.values(),
        }
    }

    /// The formula of a condition, its signals places in `row`.
    #[must_use]
    pub fn formula(&self, id: ConditionId, row: &mut Row) -> Formula {
        let f = |id: ConditionId, row: &mut Row| Box::new(self.formula(id, row));
        let every = |ids: &[ConditionId], row: &mut Row| ids.iter().map(|c| self.formula(*c, row)).collect();
        match &self.condition(id).kind {
            Kind::Compare(v, how, with, _) => self.compare(*v, *how, *with, row),
            Kind::Against(v, how, w) => self.against(*v, *how, *w, row),
            Kind::Between(v, low, high, _) => Formula::All(vec![
                self.compare(*v, Comparison::AtLeast, *low, row),
                self.compare(*v, Comparison::AtMost, *high, row),
            ]),
            Kind::Within(v, tolerance, _, of, _) => Formula::All(vec![
                self.compare(*v, Comparison::AtLeast, of - tolerance, row),
                self.compare(*v, Comparison::AtMost, of + tolerance, row),
            ]),
            Kind::Is(v, index) => self.state(*v, *index, row),
            Kind::Truth(what) => Formula::Holds(row.signal(what, Dimension::State)),
            Kind::Clock(ticks) => Formula::Compare {
                signal: row.signal(&Observable::Clock, Dimension::Time),
                how: Comparison::AtLeast,
                // Half a tick early, so that no rounding of the clock's seconds moves the tick.
                with: (f64::from(*ticks) - 0.5) / f64::from(TICKS_PER_SECOND),
            },
            Kind::All(c) => Formula::All(every(c, row)),
            Kind::Any(c) => Formula::Any(every(c, row)),
            Kind::NoneOf(c) => Formula::Not(Box::new(Formula::Any(every(c, row)))),
            Kind::Not(c) => Formula::Not(f(*c, row)),
            Kind::Lasting(c, ticks) => self.formula(*c, row).lasted(*ticks),
            Kind::OnceWithin(c, ticks) => Formula::Once(Interval::within(*ticks), f(*c, row)),
            // What was done before a story began to wait, its wait cannot see; the step stays in the formula all the
            // same, since it tells whether the trainee has a hand in it.
            Kind::Done(step, c) if self.seen_done.contains(step) => {
                Formula::Any(vec![Formula::All(vec![]), Formula::Once(Interval::ALL, f(*c, row))])
            }
            Kind::Ever(c) | Kind::Done(_, c) => Formula::Once(Interval::ALL, f(*c, row)),
            Kind::NotYet(c) => Formula::Not(Box::new(Formula::Once(Interval::ALL, f(*c, row)))),
            Kind::Followed(a, ticks, b) => {
                let then = self.formula(*b, row);
                Formula::All(vec![then, Formula::Once(Interval::within(*ticks), f(*a, row))])
            }
            Kind::Since(a, b) => {
                let (a, b) = (f(*a, row), f(*b, row));
                Formula::Since(Interval::ALL, a, b)
            }
            Kind::Before(a, b) => {
                let first = self.formula(*a, row);
                let other = Formula::Once(Interval::ALL, f(*b, row));
                let at_first = Formula::All(vec![first, Formula::Not(Box::new(other))]);
                Formula::Once(Interval::ALL, Box::new(at_first))
            }
            Kind::After(a, b) => {
                let first = self.formula(*a, row);
                Formula::All(vec![first, Formula::Once(Interval::ALL, f(*b, row))])
            }
            Kind::Times(c, n) => self.times(*c, *n, row),
            Kind::Answered(a, ticks, b) => {
                let first = f(*a, row);
                let then = Formula::Eventually(Interval::within(*ticks), f(*b, row));
                Formula::Implies(first, Box::new(then))
            }
            Kind::Until(a, b) => {
                let (a, b) = (f(*a, row), f(*b, row));
                Formula::Until(Interval::ALL, a, b)
            }
            Kind::Marked => Formula::Any(Vec::new()),
        }
    }

    /// Has come true `n` times: a rising edge now or before, with `n - 1` of them before it.
    fn times(&self, c: ConditionId, n: u32, row: &mut Row) -> Formula {
        let earlier = Interval { from: 1, to: None };
        let edge = self.formula(c, row).comes_true();
        let mut counted = edge.clone();
        for _ in 1..n {
            counted = Formula::All(vec![edge.clone(), Formula::Once(earlier, Box::new(counted))]);
        }
        Formula::Once(Interval::ALL, Box::new(counted))
    }

    fn compare(&self, v: ValueId, how: Comparison, with: f64, row: &mut Row) -> Formula {
        match self.term(v, row) {
            Term::Signal(signal) => Formula::Compare { signal, how, with },
            term => Formula::Measured { term: Box::new(term), how, with },
        }
    }

    fn state(&self, v: ValueId, index: usize, row: &mut Row) -> Formula {
        let words = self.value(v).words.len();
        if words <= 2 {
            let second = match self.term(v, row) {
                Term::Signal(signal) => Formula::Holds(signal),
                term => Formula::Measured { term: Box::new(term), how: Comparison::AtLeast, with: 0.5 },
            };
            return if index == 0 { second.not() } else { second };
        }
        let last = words - 1;
        let at = index as f64;
        let low = self.compare(v, Comparison::AtLeast, at - 0.5, row);
        let high = self.compare(v, Comparison::Below, at + 0.5, row);
        match index {
            0 => high,
            i if i >= last => low,
            _ => Formula::All(vec![low, high]),
        }
    }
}

/// How many levels of a formula a kind adds, at most.
fn levels(kind: &Kind) -> u32 {
    match kind {
        Kind::Truth(_) | Kind::Compare(..) | Kind::Against(..) | Kind::Clock(_) => 1,
        Kind::Times(_, n) => 2 * n + 4,
        Kind::Before(..) => 4,
        _ => 3,
    }
}

fn is_temporal(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Done(..)
            | Kind::Lasting(..)
            | Kind::OnceWithin(..)
            | Kind::Ever(_)
            | Kind::NotYet(_)
            | Kind::Followed(..)
            | Kind::Since(..)
            | Kind::Before(..)
            | Kind::After(..)
            | Kind::Times(..)
            | Kind::Answered(..)
            | Kind::Until(..)
    )
}

/// The row of samples that formulas look at: each observable once, in the order of first use.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// The places of the row.
    pub watched: Vec<Watched>,
}

impl Row {
    /// The place of an observable in the row, made when it is new.
    pub fn signal(&mut self, what: &Observable, dimension: Dimension) -> Signal {
        let known = self.watched.iter().position(|w| w.what == *what);
        Signal(known.unwrap_or_else(|| {
            self.watched.push(Watched { what: what.clone(), dimension });
            self.watched.len() - 1
        }) as u32)
    }
}
