//! How a table is read field by field; every slip is told at the line of its field.

use super::FIELDS;
use crate::condition::ConditionId;
use crate::desk::Desk;
use crate::hand::{self, Read, kind_of};
use crate::handle::Handle;
use base::Place;
use base::sheet::Marks;
use base::units::Dimension;
use mlua::{Table, Value};
use std::collections::BTreeMap;

/// Longest text of a field, bytes.
const FIELD_TEXT: usize = 20_000;

/// Reads the table of an item and puts it on the desk.
pub fn finish_item(desk: &mut Desk, word: &'static str, name: &str, place: &Place, table: &Table) {
    let mut form = Form::open(desk, word, name, place, table);
    match word {
        "exercise" => form.exercise(),
        "fault" => form.fault(),
        "step" => form.step(),
        "limit" => form.limit(),
        "order" => form.order(),
        "steadiness" => form.steadiness(),
        "finding" => form.finding(),
        "group" => form.group(),
        _ => form.response(),
    }
}

/// A table that is being read.
pub(super) struct Form<'a> {
    pub desk: &'a mut Desk,
    pub word: &'static str,
    pub name: String,
    pub place: Place,
    pub given: BTreeMap<String, Value>,
}

impl<'a> Form<'a> {
    /// Takes the table apart; tells fields that are not known and fields that are missing.
    pub fn open(desk: &'a mut Desk, word: &'static str, name: &str, place: &Place, table: &Table) -> Form<'a> {
        let mut given = BTreeMap::new();
        for (key, value) in table.pairs::<Value, Value>().flatten().take(1_000) {
            match &key {
                Value::String(s) => {
                    given.insert(s.to_string_lossy().to_string(), value);
                }
                _ => desk.wrong(
                    "script::field",
                    place,
                    format!("{} in this {word} has no name", kind_of(&value)),
                    "write name = value for each",
                ),
            }
        }
        let fields = || FIELDS.iter().filter(move |f| f.item == word);
        for key in given.keys() {
            if !fields().any(|f| f.name == key) {
                let at = desk.field_place(place, key);
                let message = format!("{word} has no field \"{key}\"");
                desk.unknown("script::unknown-field", &at, message, key, fields().map(|f| f.name));
            }
        }
        for field in fields().filter(|f| f.needed) {
            if !given.contains_key(field.name) {
                let message = match name {
                    "" => format!("{word} needs {}", field.name),
                    name => format!("{word} \"{name}\" needs {}", field.name),
                };
                let at = desk.field_place(place, field.name);
                if at == *place {
                    desk.wrong("script::missing-field", place, message, field.says);
                } else {
                    let message = format!("{message}, and what stands there has no value");
                    let hint =
                        "look at the names in it; a parameter has none until it is set: parameters.NAME or \"…\"";
                    desk.wrong("script::missing-field", &at, message, hint);
                }
            }
        }
        Form { desk, word, name: name.to_owned(), place: place.clone(), given }
    }

    pub fn at(&self, field: &str) -> Place {
        self.desk.field_place(&self.place, field)
    }

    pub fn wrong(&mut self, code: &'static str, field: &str, message: impl Into<String>, hint: &str) {
        let at = self.at(field);
        self.desk.wrong(code, &at, message, hint);
    }

    /// Tells that a field is not of its type, unless it is a mark.
    pub fn mistaken(&mut self, field: &str, wanted: &str) {
        let Some(value) = self.given.get(field) else {
            return;
        };
        if Handle::of(value) == Some(Handle::Marked) || self.desk.is_trapped(&self.at(field), value) {
            return;
        }
        let message = format!("{field} needs {wanted}, and got {}", kind_of(value));
        let says = FIELDS.iter().find(|f| f.item == self.word && f.name == field).map_or("", |f| f.says);
        self.wrong("script::field", field, message, says);
    }

    pub fn text(&mut self, field: &str) -> Option<String> {
        match self.given.get(field)? {
            Value::String(s) => {
                let text = s.to_string_lossy().to_string();
                if text.len() > FIELD_TEXT {
                    self.wrong(
                        "script::long-words",
                        field,
                        format!("{field} is longer than {FIELD_TEXT} bytes"),
                        "say it shorter",
                    );
                    return None;
                }
                Some(text)
            }
            _ => {
                self.mistaken(field, "a text in quotes");
                None
            }
        }
    }

    pub fn number(&mut self, field: &str) -> Option<f64> {
        match self.given.get(field)? {
            Value::Integer(n) => Some(*n as f64),
            Value::Number(n) => Some(*n),
            _ => {
                self.mistaken(field, "a number");
                None
            }
        }
    }

    /// A part from 0 to 1 in millionths, or this when it is left out.
    pub fn part(&mut self, field: &str, otherwise: i64) -> i64 {
        match self.number(field) {
            Some(p) if (0.0..=1.0).contains(&p) => (p * 1e6).round() as i64,
            Some(_) => {
                self.wrong(
                    "script::field",
                    field,
                    format!("{field} is a part from 0 to 1"),
                    "write 0.5 for half of the marks",
                );
                otherwise
            }
            None => otherwise,
        }
    }

    pub fn truth(&mut self, field: &str) -> bool {
        match self.given.get(field) {
            None => false,
            Some(Value::Boolean(b)) => *b,
            Some(_) => {
                self.mistaken(field, "true or false");
                false
            }
        }
    }

    /// Texts: one, or a list of them.
    pub fn texts(&mut self, field: &str) -> Vec<String> {
        let values: Vec<Value> = match self.given.get(field) {
            None => return Vec::new(),
            Some(Value::Table(list)) => list.sequence_values().flatten().take(1_000).collect(),
            Some(one) => vec![one.clone()],
        };
        let mut texts = Vec::new();
        for value in values {
            match value {
                Value::String(s) => texts.push(s.to_string_lossy().to_string()),
                _ => self.mistaken(field, "texts"),
            }
        }
        texts
    }

    pub fn time(&mut self, field: &str) -> Option<u32> {
        let value = self.given.get(field)?.clone();
        let at = self.at(field);
        hand::ticks(self.desk, &at, &value)
    }

    pub fn condition(&mut self, field: &str) -> Option<ConditionId> {
        let value = self.given.get(field)?.clone();
        let at = self.at(field);
        match hand::condition_of(self.desk, &at, &value) {
            Read::Is(c) => Some(c),
            Read::Marked => None,
            Read::Wrong => {
                self.mistaken(field, "a condition");
                None
            }
        }
    }

    /// A condition that the run hangs on, so it may not look ahead.
    pub fn present_condition(&mut self, field: &str) -> Option<ConditionId> {
        let c = self.condition(field)?;
        if self.desk.shelf.condition(c).ahead {
            let hint = "answered_within and until_ are for marks; here use followed_within, since or lasting";
            let message = format!("{field} looks ahead, and a run cannot know what comes");
            self.wrong("script::looks-ahead", field, message, hint);
            return None;
        }
        Some(c)
    }

    pub fn marks(&mut self, field: &str) -> Option<Marks> {
        let n = self.number(field)?;
        let hundredths = n * 100.0;
        let whole = hundredths.round();
        // A decimal fraction is not exact in binary: within a millionth of a hundredth it is meant.
        if n.is_finite() && (0.0..=10_000.0).contains(&n) && (hundredths - whole).abs() < 1e-6 {
            return Some(Marks(whole as i64));
        }
        let message = format!("{field} is from 0 to 10000 with at most two decimals, and got {n}");
        self.wrong("script::marks", field, message, "write for example 6 or 2.5");
        None
    }
}

/// Reads a quantity on a scale, SI; tells one that is not of the scale's kind or outside it.
pub(in crate::words) fn in_range(
    desk: &mut Desk,
    at: &Place,
    value: &Value,
    range: crate::names::Range,
) -> Option<f64> {
    let (si, unit) = hand::quantity(desk, at, value, range.unit.dimension)?;
    // "40 % firing" is no opening of a valve.
    if unit.dimension == Dimension::Fraction && unit.symbol != range.unit.symbol {
        let message = format!("{} is in \"{}\", and \"{}\" is needed", kind_of(value), unit.symbol, range.unit.symbol);
        desk.wrong("script::unit", at, message, &format!("write for example \"{}\"", range.unit.tell(si)));
        return None;
    }
    // The ends of a scale are decimal figures too: allow their rounding.
    let slack = 1e-9 * (range.max - range.min).abs();
    if si < range.min - slack || si > range.max + slack {
        let message = format!("{} is outside the scale", kind_of(value));
        let hint = format!("it goes from {} to {}", range.unit.tell(range.min), range.unit.tell(range.max));
        desk.wrong("script::range", at, message, &hint);
        return None;
    }
    // A figure that is past the end by its rounding is the end.
    Some(si.clamp(range.min, range.max))
}
