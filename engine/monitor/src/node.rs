//! One part of a formula at work.

use crate::formula::{Comparison, Signal};
use crate::operator::{Eventually, Once, Queue, Since, Until};
use crate::stretch::{Rows, each, folded};
use crate::summary::Summing;
use crate::value::Value;
use crate::verdict::Truth;

/// What a node does with the values of its parts.
#[derive(Clone, Debug)]
pub(crate) enum Task {
    Compare {
        signal: Signal,
        how: Comparison,
        with: f64,
        leaf: u32,
    },
    Between {
        left: Signal,
        how: Comparison,
        right: Signal,
        leaf: u32,
    },
    Holds {
        signal: Signal,
        leaf: u32,
    },
    /// The same value at every tick.
    Constant(Value),
    /// A signal as a number.
    Reading(Signal),
    /// The same number at every tick.
    Number(f64),
    /// Numbers from the numbers of one tick.
    Reckon(Reckoning),
    /// A window of numbers, or of a condition, summed up.
    Summing(Box<Summing>),
    /// A number against a constant.
    Measured {
        how: Comparison,
        with: f64,
        leaf: u32,
    },
    /// True from a tick of the run on.
    Begun {
        from: u32,
    },
    Not,
    All,
    Any,
    Implies,
    /// `always` and `historically` are the opposite of "at some tick not".
    Eventually(Box<Eventually>, Opposite),
    Once(Box<Once>, Opposite),
    Until(Box<Until>),
    Since(Box<Since>),
}

/// Arithmetic.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Reckoning {
    Sum,
    Difference,
    Product,
    Quotient,
    Size,
}

impl Reckoning {
    fn of(self, l: Value, r: Value) -> Value {
        let x = match self {
            Reckoning::Sum => l.robustness + r.robustness,
            Reckoning::Difference => l.robustness - r.robustness,
            Reckoning::Product => l.robustness * r.robustness,
            // Nought has a sign in floating point, and no quotient should hang on it.
            Reckoning::Quotient if r.robustness == 0.0 => f64::NAN,
            Reckoning::Quotient => l.robustness / r.robustness,
            Reckoning::Size => l.robustness.abs(),
        };
        Value::number(x, l.is_open() | r.is_open(), l.tick)
    }

    /// Of the numbers of all parts at one tick; a size has one part, a sum any number.
    fn all(self, mut parts: impl Iterator<Item = Value>) -> Option<Value> {
        let first = parts.next()?;
        if let Reckoning::Size = self {
            Some(self.of(first, first))
        } else {
            Some(parts.fold(first, |l, r| self.of(l, r)))
        }
    }
}

/// Whether an operator is worked with the opposite of its part and gives the opposite.
type Opposite = bool;

#[derive(Clone, Debug)]
pub(crate) struct Node {
    task: Task,
    pub parts: Vec<usize>,
    /// It and all its parts look back only, so that it has a value on every tick.
    pub prompt: bool,
    /// Somebody reads its values later than on their tick.
    pub queued: bool,
    /// Values that wait.
    pub out: Queue,
}

impl Node {
    pub(crate) fn new(task: Task, parts: Vec<usize>, prompt: bool) -> Node {
        Node { task, parts, prompt, queued: false, out: Queue::new() }
    }

    /// The values of a stretch of ticks that begins with `tick`, for a node that looks back only and whose parts
    /// have answered: `done` has the columns of the nodes before it, and `column` becomes its own.
    pub(crate) fn answer(&mut self, done: &[Value], column: &mut [Value], rows: Rows<'_>, tick: u32) {
        let (parts, ticks) = (&self.parts, column.len());
        let part = |i: usize| &done[parts[i] * ticks..][..ticks];
        let all = || parts.iter().map(|&p| &done[p * ticks..][..ticks]);
        let at = |i: usize| tick + i as u32;
        match &mut self.task {
            Task::Compare { signal, how, with, leaf } => {
                let (signal, with) = (*signal, *with);
                compared(column, *how, *leaf, tick, |i| (rows.sample(i, signal), with));
            }
            Task::Between { left, how, right, leaf } => {
                let (left, right) = (*left, *right);
                compared(column, *how, *leaf, tick, |i| (rows.sample(i, left), rows.sample(i, right)));
            }
            Task::Holds { signal, leaf } => {
                let (signal, leaf) = (*signal, *leaf);
                each(column, |i| holds(rows.sample(i, signal), leaf, at(i)));
            }
            Task::Constant(value) => column.fill(*value),
            Task::Begun { from } => each(column, |i| if at(i) >= *from { Value::TRUE } else { Value::FALSE }),
            Task::Reading(signal) => each(column, |i| Value::number(rows.sample(i, *signal), false, at(i))),
            Task::Number(x) => each(column, |i| Value::number(*x, false, at(i))),
            Task::Reckon(how) => {
                each(column, |i| how.all(all().map(|part| part[i])).unwrap_or(Value::number(0.0, false, at(i))))
            }
            Task::Summing(op) => {
                let part = part(0);
                each(column, |i| op.take(part[i]));
            }
            Task::Measured { how, with, leaf } => {
                let part = part(0);
                each(column, |i| measured(part[i], *how, *with, *leaf));
            }
            Task::Not => {
                let part = part(0);
                each(column, |i| part[i].not());
            }
            Task::All => folded(column, all(), Value::TRUE, Value::and),
            Task::Any => folded(column, all(), Value::FALSE, Value::or),
            Task::Implies => {
                let (left, right) = (part(0), part(1));
                each(column, |i| left[i].not().or(right[i]));
            }
            Task::Once(op, opposite) => {
                op.take_all(part(0), *opposite, column);
            }
            Task::Since(op) => {
                let (left, right) = (part(0), part(1));
                each(column, |i| op.take(left[i], right[i]));
            }
            Task::Eventually(..) | Task::Until(..) => unreachable!("what looks ahead is never prompt"),
        }
        if self.queued {
            self.out.extend(column.iter().copied());
        }
    }

    /// Works off what the parts have ready, for a node that is late itself or has late parts.
    pub(crate) fn work_off(&mut self, nodes: &mut [Node]) {
        match &mut self.task {
            Task::Not => {
                while let Some(v) = nodes[self.parts[0]].out.pop_front() {
                    self.out.push_back(v.not());
                }
            }
            Task::All | Task::Any => {
                let all = matches!(self.task, Task::All);
                while self.parts.iter().all(|&p| !nodes[p].out.is_empty()) {
                    let values = self.parts.iter().filter_map(|&p| nodes[p].out.pop_front());
                    self.out.extend(values.reduce(if all { Value::and } else { Value::or }));
                }
            }
            Task::Reckon(how) => {
                while self.parts.iter().all(|&p| !nodes[p].out.is_empty()) {
                    self.out.extend(how.all(self.parts.iter().filter_map(|&p| nodes[p].out.pop_front())));
                }
            }
            Task::Summing(op) => {
                while let Some(v) = nodes[self.parts[0]].out.pop_front() {
                    self.out.push_back(op.take(v));
                }
            }
            Task::Measured { how, with, leaf } => {
                while let Some(v) = nodes[self.parts[0]].out.pop_front() {
                    self.out.push_back(measured(v, *how, *with, *leaf));
                }
            }
            Task::Implies => {
                while let Some((l, r)) = pair(nodes, &self.parts) {
                    self.out.push_back(l.not().or(r));
                }
            }
            Task::Eventually(op, opposite) => {
                while let Some(v) = nodes[self.parts[0]].out.pop_front() {
                    self.out.extend(op.take(v.not_if(*opposite)).map(|v| v.not_if(*opposite)));
                }
            }
            Task::Once(op, opposite) => {
                while let Some(v) = nodes[self.parts[0]].out.pop_front() {
                    self.out.push_back(op.take(v.not_if(*opposite)).not_if(*opposite));
                }
            }
            Task::Until(op) => {
                while let Some((l, r)) = pair(nodes, &self.parts) {
                    self.out.extend(op.take(l, r));
                }
            }
            Task::Since(op) => {
                while let Some((l, r)) = pair(nodes, &self.parts) {
                    self.out.push_back(op.take(l, r));
                }
            }
            Task::Compare { .. }
            | Task::Between { .. }
            | Task::Holds { .. }
            | Task::Constant(_)
            | Task::Reading(_)
            | Task::Number(_)
            | Task::Begun { .. } => {}
        }
    }

    /// Settles what the end of the run leaves open.
    pub(crate) fn finish(&mut self, nodes: &mut [Node]) {
        if self.prompt {
            return;
        }
        self.work_off(nodes);
        match &mut self.task {
            Task::Eventually(op, opposite) => op.finish(|v| self.out.push_back(v.not_if(*opposite))),
            Task::Until(op) => op.finish(|v| self.out.push_back(v)),
            _ => {}
        }
    }

    /// Samples that it keeps, and values that wait for others.
    pub(crate) fn kept(&self) -> usize {
        let inside = match &self.task {
            Task::Eventually(op, _) => op.kept(),
            Task::Once(op, _) => op.kept(),
            Task::Until(op) => op.kept(),
            Task::Since(op) => op.kept(),
            Task::Summing(op) => op.kept(),
            _ => 0,
        };
        inside + self.out.len()
    }

    /// How many folds its window has cost.
    pub(crate) fn work(&self) -> u64 {
        match &self.task {
            Task::Eventually(op, _) => op.work(),
            Task::Once(op, _) => op.work(),
            Task::Until(op) => op.work(),
            Task::Since(op) => op.work(),
            Task::Summing(op) => op.work(),
            _ => 0,
        }
    }
}

/// The next value of both parts, when both are ready.
fn pair(nodes: &mut [Node], parts: &[usize]) -> Option<(Value, Value)> {
    let (l, r) = (parts[0], parts[1]);
    if nodes[l].out.is_empty() || nodes[r].out.is_empty() {
        return None;
    }
    Some((nodes[l].out.pop_front()?, nodes[r].out.pop_front()?))
}

/// A column of comparisons; which it is of the four is asked once.
#[inline]
fn compared(column: &mut [Value], how: Comparison, leaf: u32, tick: u32, sides: impl Fn(usize) -> (f64, f64)) {
    let mut compared = |how| {
        each(column, |i| {
            let (left, right) = sides(i);
            compare(left, how, right, leaf, tick + i as u32)
        });
    };
    match how {
        Comparison::Above => compared(Comparison::Above),
        Comparison::AtLeast => compared(Comparison::AtLeast),
        Comparison::Below => compared(Comparison::Below),
        Comparison::AtMost => compared(Comparison::AtMost),
    }
}

/// One comparison of two numbers.
#[inline]
fn compare(left: f64, how: Comparison, right: f64, leaf: u32, tick: u32) -> Value {
    if left.is_nan() || right.is_nan() {
        return Value { robustness: f64::NAN, truth: Truth::UNKNOWN, leaf, tick };
    }
    let robustness = match how {
        _ if left == right => 0.0, // also for equal infinities, whose difference is not a number
        Comparison::Above | Comparison::AtLeast => left - right,
        Comparison::Below | Comparison::AtMost => right - left,
    };
    Value { robustness, truth: Truth::of(how.holds(left, right)), leaf, tick }
}

/// One number that was worked out.
fn measured(number: Value, how: Comparison, with: f64, leaf: u32) -> Value {
    let value = compare(number.robustness, how, with, leaf, number.tick);
    if number.is_open() && !value.robustness.is_nan() {
        // What was seen stands as seen, and either could come of it.
        return Value { truth: if value.truth == Truth::TRUE { Truth::OPEN } else { Truth::BEYOND }, ..value };
    }
    value
}

/// One truth value.
fn holds(sample: f64, leaf: u32, tick: u32) -> Value {
    if sample.is_nan() {
        return Value { robustness: f64::NAN, truth: Truth::UNKNOWN, leaf, tick };
    }
    let whole = if sample > 0.5 { Value::TRUE } else { Value::FALSE };
    Value { leaf, tick, ..whole }
}
