//! The online monitor of one formula.
//!
//! A formula becomes a flat list of nodes, parts before wholes. On every tick the leaves read the row
//! and each node works off what its parts have ready. (Ticks may also come a stretch at a time, which gives the same.)
//! A part that looks back only answers at once. A
//! part that looks ahead is late by its window, and the values of its quicker neighbours wait in their
//! queues, no longer than the formula's horizon (for a part that looks ahead without bound: to the end
//! of the run). Queues and windows are reserved at construction up to 1024 values and grow by doubling
//! beyond that; nothing else is allocated on a tick.

use crate::formula::{Comparison, Formula, Interval, Predicate};
use crate::node::{Node, Reckoning, Task};
use crate::operator::{Eventually, Once, Since, Until};
use crate::stretch::{Columns, Rows};
use crate::summary::Summing;
use crate::term::Term;
use crate::value::{NOBODY, Value};
use crate::window::RESERVED;
use base::Tick;

/// A comparison at its place in the formula.
#[derive(Clone, Debug)]
struct Leaf {
    predicate: Predicate,
    /// True under an odd number of nots: its robustness counts with the opposite sign at the top.
    opposite: bool,
}

/// What part of a formula decides what.
#[derive(Clone, Copy, Debug)]
enum Role {
    /// Its comparisons can decide the whole; under an odd number of nots the other way round.
    Decides { opposite: bool },
    /// It is counted or timed: the number decides, and not its comparisons.
    Counted,
}

impl Role {
    fn turned_if(self, turned: bool) -> Role {
        match self {
            Role::Decides { opposite } => Role::Decides { opposite: opposite != turned },
            Role::Counted => Role::Counted,
        }
    }
}

/// What decided a value: one comparison and one sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decided {
    /// The comparison.
    pub predicate: Predicate,
    /// Its place among the comparisons of the formula ([`Formula::predicates`]).
    pub place: usize,
    /// The tick of the sample.
    pub at: Tick,
    /// How far the comparison is kept (positive) or broken (negative) there, in the unit of the
    /// signal: `left - right` for "above", `right - left` for "below"; infinite for a truth value.
    pub margin: f64,
    /// The sample, the difference of the two samples, or the number that was worked out, in SI (to one
    /// rounding); 1.0 or 0.0 for a truth value.
    pub sample: f64,
    /// True when the formula asks for the opposite of the comparison: a negative margin is then good.
    pub opposite: bool,
}

/// An online monitor: feed it a row a tick, take the values that have become known.
#[derive(Clone, Debug)]
pub struct Monitor {
    nodes: Vec<Node>,
    leaves: Vec<Leaf>,
    ticks: u32,
    width: usize,
    finished: bool,
    /// For whoever feeds it one row at a time.
    columns: Columns,
}

impl Monitor {
    /// A monitor of this formula.
    #[must_use]
    pub fn new(formula: &Formula) -> Monitor {
        let mut monitor = Monitor {
            nodes: Vec::new(),
            leaves: Vec::new(),
            ticks: 0,
            width: formula.row_width(),
            finished: false,
            columns: Columns::default(),
        };
        let top = monitor.add(formula, Role::Decides { opposite: false });
        // A value waits in a queue only for a part above that is late, or, at the top, for whoever reads it.
        for i in 0..monitor.nodes.len() {
            if !monitor.nodes[i].prompt {
                for p in monitor.nodes[i].parts.clone() {
                    monitor.nodes[p].queued = true;
                }
            }
        }
        let wait = formula.horizon().map_or(RESERVED, |h| (h as usize + 2).min(RESERVED));
        let waits = |n: &Node| n.queued || !n.prompt;
        monitor.nodes.iter_mut().filter(|n| waits(n)).for_each(|n| n.out.reserve(wait));
        if monitor.nodes[top].prompt {
            monitor.nodes[top].out.reserve(1);
        }
        monitor
    }

    /// Adds a formula's nodes, parts first, and gives the place of the last.
    fn add(&mut self, formula: &Formula, role: Role) -> usize {
        let (mut parts, before) = (Vec::new(), self.nodes.len());
        if let Formula::Measured { term, .. } = formula {
            parts.push(self.add_term(term));
        } else {
            for (i, part) in formula.parts().into_iter().enumerate() {
                let turned = matches!(formula, Formula::Not(_)) || (matches!(formula, Formula::Implies(..)) && i == 0);
                parts.push(self.add(part, role.turned_if(turned)));
            }
        }
        let bounded = |i: &Interval| !i.is_empty();
        let task = match formula {
            Formula::Compare { signal, how, with } => {
                let leaf = self.leaf(Predicate::Compare { signal: *signal, how: *how, with: *with }, role);
                Task::Compare { signal: *signal, how: *how, with: *with, leaf }
            }
            Formula::Between { left, how, right } => {
                let leaf = self.leaf(Predicate::Between { left: *left, how: *how, right: *right }, role);
                Task::Between { left: *left, how: *how, right: *right, leaf }
            }
            Formula::Holds(signal) => {
                Task::Holds { signal: *signal, leaf: self.leaf(Predicate::Holds { signal: *signal }, role) }
            }
            Formula::Measured { term, how, with } => {
                let predicate = Predicate::of_term(term, *how, *with);
                Task::Measured { how: *how, with: *with, leaf: self.leaf(predicate, role) }
            }
            Formula::Not(_) => Task::Not,
            Formula::All(fs) if fs.is_empty() => Task::Constant(Value::TRUE),
            Formula::Any(fs) if fs.is_empty() => Task::Constant(Value::FALSE),
            Formula::All(_) => Task::All,
            Formula::Any(_) => Task::Any,
            Formula::Implies(..) => Task::Implies,
            Formula::Once(i, part) if bounded(i) && **part == Formula::All(Vec::new()) => Task::Begun { from: i.from },
            Formula::Always(i, _) if bounded(i) => Task::Eventually(Box::new(Eventually::new(*i)), true),
            Formula::Eventually(i, _) if bounded(i) => Task::Eventually(Box::new(Eventually::new(*i)), false),
            Formula::Historically(i, _) if bounded(i) => Task::Once(Box::new(Once::new(*i)), true),
            Formula::Once(i, _) if bounded(i) => Task::Once(Box::new(Once::new(*i)), false),
            Formula::Until(i, _, _) if bounded(i) => Task::Until(Box::new(Until::new(*i))),
            Formula::Since(i, _, _) if bounded(i) => Task::Since(Box::new(Since::new(*i))),
            // A window that ends before it begins holds no tick.
            Formula::Always(..) | Formula::Historically(..) => Task::Constant(Value::TRUE),
            Formula::Eventually(..) | Formula::Once(..) | Formula::Until(..) | Formula::Since(..) => {
                Task::Constant(Value::FALSE)
            }
        };
        if matches!(task, Task::Constant(_) | Task::Begun { .. }) {
            // What does not depend on its parts needs none; their comparisons keep their places.
            self.nodes.truncate(before);
            parts.clear();
        }
        self.push(task, parts)
    }

    /// Adds the nodes of a number.
    fn add_term(&mut self, term: &Term) -> usize {
        let before = self.nodes.len();
        let mut parts: Vec<usize> = term.terms().into_iter().map(|t| self.add_term(t)).collect();
        parts.extend(term.condition().map(|f| self.add(f, Role::Counted)));
        let task = match term {
            Term::Signal(signal) => Task::Reading(*signal),
            Term::Constant(x) => Task::Number(*x),
            Term::Sum(ts) if ts.is_empty() => Task::Number(0.0),
            Term::Sum(_) => Task::Reckon(Reckoning::Sum),
            Term::Difference(..) => Task::Reckon(Reckoning::Difference),
            Term::Product(..) => Task::Reckon(Reckoning::Product),
            Term::Quotient(..) => Task::Reckon(Reckoning::Quotient),
            Term::Size(_) => Task::Reckon(Reckoning::Size),
            _ => match Summing::new(term) {
                Some(summing) => Task::Summing(Box::new(summing)),
                None => {
                    self.nodes.truncate(before);
                    parts.clear();
                    Task::Number(Summing::of_nothing(term))
                }
            },
        };
        self.push(task, parts)
    }

    fn push(&mut self, task: Task, parts: Vec<usize>) -> usize {
        let late =
            matches!(task, Task::Eventually(..) | Task::Until(..)) || parts.iter().any(|&p| !self.nodes[p].prompt);
        self.nodes.push(Node::new(task, parts, !late));
        self.nodes.len() - 1
    }

    fn leaf(&mut self, predicate: Predicate, role: Role) -> u32 {
        let opposite = match role {
            Role::Decides { opposite } => opposite,
            Role::Counted => return NOBODY,
        };
        self.leaves.push(Leaf { predicate, opposite });
        (self.leaves.len() - 1) as u32
    }

    /// Feeds the row of one tick. Rows come tick by tick from tick 0, with quantities in SI.
    ///
    /// # Panics
    /// When the row is shorter than [`Monitor::row_width`], or after [`Monitor::finish`].
    pub fn feed(&mut self, row: &[f64]) {
        let mut columns = std::mem::take(&mut self.columns);
        self.feed_rows(Rows::one(row), &mut columns);
        self.columns = columns;
    }

    /// Feeds the rows of the next ticks. `columns` is room that anybody may use before and after.
    ///
    /// # Panics
    /// As [`Monitor::feed`].
    pub fn feed_rows(&mut self, rows: Rows<'_>, columns: &mut Columns) {
        if let (Some(values), Some(top)) = (self.answers(rows, columns), self.nodes.last_mut()) {
            top.out.extend(values.iter().copied());
        }
    }

    /// Works over the rows of the next ticks. The values of a formula that looks back only are handed back, and are
    /// nowhere else; those of any other wait for [`Monitor::next_value`].
    pub(crate) fn answers<'c>(&mut self, rows: Rows<'_>, columns: &'c mut Columns) -> Option<&'c [Value]> {
        assert!(rows.width() >= self.width, "a monitor is fed rows as long as its formula's signals ask for");
        assert!(!self.finished, "a monitor is fed nothing after the end of its run");
        let (tick, ticks) = (self.ticks, rows.ticks());
        self.ticks += ticks as u32;
        let columns = columns.of(self.nodes.len(), ticks);
        for i in 0..self.nodes.len() {
            let (parts, rest) = self.nodes.split_at_mut(i);
            let node = &mut rest[0];
            if node.prompt {
                let (done, own) = columns.split_at_mut(i * ticks);
                node.answer(done, &mut own[..ticks], rows, tick);
            } else {
                node.work_off(parts);
            }
        }
        self.is_prompt().then(|| &columns[columns.len() - ticks..])
    }

    /// Whether the formula looks back only, so that the value of a tick is known on it.
    #[must_use]
    pub(crate) fn is_prompt(&self) -> bool {
        self.nodes.last().is_some_and(|n| n.prompt)
    }

    /// Says that the run is over: windows are cut to the ticks that were, and every value that was
    /// still open becomes known.
    pub fn finish(&mut self) {
        if self.finished {
            return;
        }
        self.finished = true;
        for i in 0..self.nodes.len() {
            let (parts, rest) = self.nodes.split_at_mut(i);
            let node = &mut rest[0];
            node.finish(parts);
        }
    }

    /// The next value that is known, in the order of ticks from tick 0.
    pub fn next_value(&mut self) -> Option<Value> {
        self.nodes.last_mut().and_then(|n| n.out.pop_front())
    }

    /// Whether a value is waiting to be taken.
    #[must_use]
    pub fn is_ready(&self) -> bool {
        self.nodes.last().is_some_and(|n| !n.out.is_empty())
    }

    /// Ticks fed so far.
    #[must_use]
    pub fn ticks(&self) -> u32 {
        self.ticks
    }

    /// How long a row must be.
    #[must_use]
    pub fn row_width(&self) -> usize {
        self.width
    }

    /// How many comparisons the formula has.
    #[must_use]
    pub fn places(&self) -> usize {
        self.leaves.len()
    }

    /// What decided a value of this monitor; `None` for an empty window, or a robustness that is not
    /// a number.
    #[must_use]
    pub fn decided(&self, value: &Value) -> Option<Decided> {
        if value.leaf == NOBODY || value.robustness.is_nan() {
            return None;
        }
        let leaf = self.leaves.get(value.leaf as usize)?;
        let margin = if leaf.opposite { -value.robustness } else { value.robustness };
        let (how, with) = match leaf.predicate {
            Predicate::Compare { how, with, .. } | Predicate::Measured { how, with, .. } => (how, with),
            Predicate::Between { how, .. } => (how, 0.0),
            Predicate::Holds { .. } => (Comparison::Above, 0.5),
        };
        let sample = match leaf.predicate {
            Predicate::Holds { .. } => f64::from(u8::from(margin > 0.0)),
            _ if how.wants_more() => with + margin,
            _ => with - margin,
        };
        Some(Decided {
            predicate: leaf.predicate,
            place: value.leaf as usize,
            at: Tick(value.tick),
            margin,
            sample,
            opposite: leaf.opposite,
        })
    }

    /// How many samples and values are kept now: a measure of memory that is the same on every machine (each
    /// is at most 32 bytes).
    #[must_use]
    pub fn kept(&self) -> usize {
        self.nodes.iter().map(Node::kept).sum()
    }

    /// How many times two values were folded so far: a measure of cost that is the same on every machine.
    #[must_use]
    pub fn work(&self) -> u64 {
        self.nodes.iter().map(Node::work).sum()
    }
}

/// The value of a formula at every tick of a recorded run, by the online monitor.
pub fn evaluate<R: AsRef<[f64]>>(formula: &Formula, rows: impl IntoIterator<Item = R>) -> Vec<Value> {
    let mut monitor = Monitor::new(formula);
    let mut values = Vec::new();
    for row in rows {
        monitor.feed(row.as_ref());
        while let Some(v) = monitor.next_value() {
            values.push(v);
        }
    }
    monitor.finish();
    while let Some(v) = monitor.next_value() {
        values.push(v);
    }
    values
}

/// The robustness of a formula at every tick of a recorded run. Minus zero comes out as zero.
pub fn robustness<R: AsRef<[f64]>>(formula: &Formula, rows: impl IntoIterator<Item = R>) -> Vec<f64> {
    evaluate(formula, rows).into_iter().map(|v| v.robustness + 0.0).collect()
}

/// A number at every tick of a recorded run; not a number where it cannot be told.
pub fn numbers<R: AsRef<[f64]>>(term: &Term, rows: impl IntoIterator<Item = R>) -> Vec<f64> {
    robustness(&Formula::measured(term.clone(), Comparison::Above, 0.0), rows)
}
