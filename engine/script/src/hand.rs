//! What one call of a word was given, and how it is read: every slip is told at the line of the call.

use crate::condition::{ConditionId, Kind, ValueId};
use crate::desk::Desk;
use crate::handle::Handle;
use crate::words::Word;
use base::units::{self, Dimension, Unit};
use base::{Place, Tick};
use mlua::Value;

/// One call of a word.
pub struct Hand<'a> {
    /// What the script has written so far.
    pub desk: &'a mut Desk,
    /// Where the call is.
    pub place: Place,
    /// The word.
    pub word: &'static Word,
    /// What the word was called on, for a method.
    pub this: Option<Handle>,
    /// What it was given.
    pub args: Vec<Value>,
}

/// What a call gives back.
pub enum Outcome {
    /// Nothing.
    Nothing,
    /// A condition, a value or a mark.
    Handle(Handle),
    /// A function that takes the table of an item: its kind, its name, its running number.
    Begun(&'static str, String, u32),
    /// A value of Lua that it was given.
    Given(Value),
    /// The story stops here until the host has an answer.
    Ask,
}

impl Hand<'_> {
    /// Tells a mistake in this call.
    pub fn wrong(&mut self, code: &'static str, message: impl Into<String>, hint: &str) {
        let place = self.place.clone();
        self.desk.wrong(code, &place, message, hint);
    }

    /// A new condition.
    pub fn make(&mut self, kind: Kind) -> Outcome {
        let place = self.place.clone();
        Outcome::Handle(Handle::Condition(self.desk.condition(kind, &place)))
    }

    /// What stands for a mistake that was told.
    #[must_use]
    pub fn marked(&self) -> Outcome {
        Outcome::Handle(Handle::Marked)
    }

    /// The condition that stands for a mistake.
    pub fn marked_condition(&mut self) -> ConditionId {
        let place = self.place.clone();
        self.desk.condition(Kind::Marked, &place)
    }

    /// Whether argument `i` is there.
    #[must_use]
    pub fn given(&self, i: usize) -> bool {
        self.args.get(i).is_some_and(|a| !a.is_nil())
    }

    /// Text at `i`.
    pub fn text(&mut self, i: usize) -> Option<String> {
        match self.args.get(i) {
            Some(Value::String(s)) => match s.to_str() {
                Ok(text) => Some(text.to_owned()),
                Err(_) => {
                    self.wrong("script::text", "a text is not UTF-8", "save the script as UTF-8");
                    None
                }
            },
            _ => {
                self.mistaken(i, "a text in quotes");
                None
            }
        }
    }

    /// Text at `i`, or nothing when it is left out.
    pub fn optional_text(&mut self, i: usize) -> Option<String> {
        if self.given(i) { self.text(i) } else { None }
    }

    /// The condition at `i`.
    pub fn condition(&mut self, i: usize) -> Option<ConditionId> {
        let value = self.args.get(i).cloned().unwrap_or(Value::Nil);
        let place = self.place.clone();
        match condition_of(self.desk, &place, &value) {
            Read::Is(c) => Some(c),
            Read::Marked => Some(self.marked_condition()),
            Read::Wrong => {
                self.mistaken(i, "a condition");
                Some(self.marked_condition())
            }
        }
    }

    /// All arguments as conditions, or the list that the only argument is.
    pub fn conditions(&mut self) -> Vec<ConditionId> {
        if let [Value::Table(list)] = self.args.as_slice() {
            let pairs: Vec<(Value, Value)> = list.pairs().flatten().collect();
            if pairs.iter().any(|(k, _)| !k.is_integer() && !k.is_number()) {
                let word = self.word.name;
                self.wrong(
                    "script::argument",
                    format!("{word} takes conditions one after the other, without names"),
                    "leave out the names before =",
                );
            }
            self.args = pairs.into_iter().map(|(_, v)| v).collect();
        }
        (0..self.args.len()).filter_map(|i| self.condition(i)).collect()
    }

    /// The value that a method was called on.
    #[must_use]
    pub fn this_value(&self) -> Option<ValueId> {
        match self.this {
            Some(Handle::Value(v)) => Some(v),
            _ => None,
        }
    }

    /// The condition that a method was called on.
    pub fn this_condition(&mut self) -> ConditionId {
        match self.this {
            Some(Handle::Condition(c)) => c,
            _ => self.marked_condition(),
        }
    }

    /// A length of time at `i`, in ticks.
    pub fn time(&mut self, i: usize) -> Option<u32> {
        let value = self.args.get(i).cloned().unwrap_or(Value::Nil);
        let place = self.place.clone();
        ticks(self.desk, &place, &value)
    }

    /// A quantity at `i` of this dimension: SI and the unit it was written in.
    pub fn quantity(&mut self, i: usize, dimension: Dimension) -> Option<(f64, &'static Unit)> {
        let value = self.args.get(i).cloned().unwrap_or(Value::Nil);
        let place = self.place.clone();
        quantity(self.desk, &place, &value, dimension)
    }

    /// A whole number at `i`, within a range.
    pub fn whole(&mut self, i: usize, low: u32, high: u32) -> Option<u32> {
        let n = match self.args.get(i) {
            Some(Value::Integer(n)) => *n as f64,
            Some(Value::Number(n)) => *n,
            _ => f64::NAN,
        };
        if n.fract() == 0.0 && n >= f64::from(low) && n <= f64::from(high) {
            return Some(n as u32);
        }
        self.mistaken(i, &format!("a whole number from {low} to {high}"));
        None
    }

    /// Tells that argument `i` is not what it should be.
    pub fn mistaken(&mut self, i: usize, wanted: &str) {
        let got = self.args.get(i).cloned().unwrap_or(Value::Nil);
        if Handle::of(&got) == Some(Handle::Marked) || self.desk.is_trapped(&self.place, &got) {
            return;
        }
        let name = self.word.takes.get(i).map_or("its argument", |t| t.name);
        let message = format!("{} needs {wanted} for {name}, and got {}", self.word.name, kind_of(&got));
        let hint = format!("write {}", self.word.example);
        self.wrong("script::argument", message, &hint);
    }
}

/// What a Lua value turned out to be.
pub enum Read<T> {
    /// What was wanted.
    Is(T),
    /// A mistake that was told before.
    Marked,
    /// Something else.
    Wrong,
}

/// Reads a condition. A value on its own is told apart, since that is an easy slip.
pub fn condition_of(desk: &mut Desk, place: &Place, value: &Value) -> Read<ConditionId> {
    match Handle::of(value) {
        Some(Handle::Condition(c)) => Read::Is(c),
        Some(Handle::Marked) => Read::Marked,
        Some(Handle::Value(v)) => {
            let words = desk.shelf.value(v).words.clone();
            let hint = match words.last() {
                Some(word) => format!("say what it should be, such as :is(\"{word}\")"),
                None => "say what it should be, such as :above(…), :below(…) or :within(…)".to_owned(),
            };
            desk.wrong("script::no-comparison", place, "a value is not a condition yet", &hint);
            Read::Marked
        }
        None => Read::Wrong,
    }
}

/// Reads a length of time into ticks; tells what is wrong with it.
pub fn ticks(desk: &mut Desk, place: &Place, value: &Value) -> Option<u32> {
    let (seconds, _) = quantity(desk, place, value, Dimension::Time)?;
    if (0.0..=360_000.0).contains(&seconds) {
        return Some(Tick::count(seconds));
    }
    desk.wrong("script::time", place, "a time is from 0 s to 100 h", "write for example \"30 s\" or \"5 min\"");
    None
}

/// Reads a quantity of a dimension; tells what is wrong with it.
pub fn quantity(desk: &mut Desk, place: &Place, value: &Value, dimension: Dimension) -> Option<(f64, &'static Unit)> {
    let usual = units::units_of(dimension).next();
    let number = match value {
        Value::Integer(n) => Some(*n as f64),
        Value::Number(n) => Some(*n),
        _ => None,
    };
    if let Some(n) = number {
        if dimension == Dimension::Number && n.is_finite() {
            return usual.map(|u| (n, u));
        }
        let units: Vec<&str> = units::units_of(dimension).map(|u| u.symbol).collect();
        desk.wrong(
            "script::no-unit",
            place,
            format!("{n} has no unit, and {} is needed", dimension.name()),
            &format!("write it as a text with a unit: {}", either(n, &units)),
        );
        return None;
    }
    let Value::String(text) = value else {
        if Handle::of(value) != Some(Handle::Marked) {
            desk.wrong(
                "script::argument",
                place,
                format!("{} is needed, and got {}", dimension.name(), kind_of(value)),
                &usual.map_or_else(String::new, |u| format!("write a text such as \"4 {}\"", u.symbol)),
            );
        }
        return None;
    };
    let text = text.to_string_lossy();
    let unit = units::parse(&text).ok().map(|(_, u)| u).or(usual);
    match units::parse_as(&text, dimension) {
        Ok(si) => unit.map(|u| (si, u)),
        Err(e) => {
            let (message, hint) = e.told();
            desk.wrong("script::unit", place, message, &hint);
            None
        }
    }
}

/// The same number in each of these units: `"20 s", "20 min" or "20 h"`.
fn either(n: f64, units: &[&str]) -> String {
    let mut all: Vec<String> = units.iter().map(|u| format!("\"{n} {u}\"")).collect();
    match all.pop() {
        Some(last) if !all.is_empty() => format!("{} or {last}", all.join(", ")),
        Some(only) => only,
        None => String::new(),
    }
}

/// What a Lua value is, in words.
#[must_use]
pub fn kind_of(value: &Value) -> String {
    match value {
        Value::Nil => "nothing".to_owned(),
        Value::Boolean(b) => b.to_string(),
        Value::Integer(n) => format!("the number {n}"),
        Value::Number(n) => format!("the number {n}"),
        Value::String(s) => {
            let text: String = s.to_string_lossy().chars().take(40).collect();
            format!("the text \"{text}\"")
        }
        Value::Table(_) => "a table".to_owned(),
        Value::Function(_) => "a function".to_owned(),
        other => match Handle::of(other) {
            Some(Handle::Condition(_)) => "a condition".to_owned(),
            Some(Handle::Value(_)) => "a value".to_owned(),
            _ => other.type_name().to_owned(),
        },
    }
}
