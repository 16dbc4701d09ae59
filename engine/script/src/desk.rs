//! What one script has written so far, and every mistake in it.

use crate::condition::{ConditionId, Kind, Row, Shelf, ValueId};
use crate::limits::{self, Limit, Meter};
use crate::names::Names;
use crate::story::Request;
use base::sheet::{Item, ItemKind, Marks};
use base::{Diagnostic, Place, Severity, Tag, Tick};
use session::{FaultPlan, Start};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

/// What is told of the text, and again when the script runs into it.
const FROM_THE_TEXT: &[&str] = &[
    "script::unknown-name",
    "script::not-available",
    "script::unknown-method",
    "script::operator",
    "script::unknown-fault",
];

/// What a script has written so far.
#[derive(Debug)]
pub struct Desk {
    /// What is on board.
    pub names: Arc<Names>,
    /// The texts of the script's files, for places.
    pub texts: Arc<BTreeMap<String, String>>,
    /// The limits.
    pub meter: Rc<Meter>,
    /// Mistakes and warnings.
    pub told: Vec<Diagnostic>,
    /// Conditions and values.
    pub shelf: Shelf,
    /// The row that the exercise's formulas look at.
    pub row: Row,
    /// What `exercise` said, and where.
    pub heading: Option<(Heading, Place)>,
    /// The faults.
    pub faults: Vec<FaultPlan>,
    /// Groups of items: name, marks, where.
    pub groups: Vec<(String, Marks, Place)>,
    /// The items, with conditions still on the shelf.
    pub items: Vec<Item<ConditionId>>,
    /// Competences by the names of the items that show them.
    pub competences: BTreeMap<String, Vec<String>>,
    /// Names that must exist by the end: what, the name, where.
    pub mentioned: Vec<(Mention, String, Place)>,
    /// Items begun by their name whose table has not come yet, by a running number.
    pub begun: BTreeMap<u32, (&'static str, String, Place)>,
    /// The running number.
    pub begins: u32,
    /// Stories written.
    pub stories: usize,
    /// The thing a story asks for at this moment.
    pub request: Option<Request>,
    /// What `print` said.
    pub log: Log,
    /// The seed of the run.
    pub seed: u64,
    /// Lines on which Lua makes something else of conditions than was meant, as told of the text:
    /// that a field then holds `false` there need not be told again.
    pub trapped: BTreeSet<(String, u32)>,
    /// Faults that stories begin by their names.
    pub injected: BTreeSet<String>,
    /// The script did not run to its end.
    pub broke_off: bool,
    /// A story begins a fault whose name it works out.
    pub injects_any: bool,
    /// Steps that `done` names, and whether it is asked of one whose name is worked out.
    pub steps_asked: BTreeSet<String>,
    /// See [`Desk::steps_asked`].
    pub asks_any_step: bool,
    /// Faults that never act, once the whole script is known.
    pub idle: BTreeSet<String>,
    /// Stories are tried without a plant: what they wait for is weighed.
    pub rehearsing: bool,
    /// The conditions of faults: whose, which field, the condition.
    pub asked: Vec<(usize, &'static str, ConditionId)>,
}

/// What `exercise` says.
#[derive(Clone, Debug, Default)]
pub struct Heading {
    /// Title.
    pub title: String,
    /// What the trainee is told.
    pub brief: String,
    /// The plant's short name.
    pub plant: String,
    /// The start.
    pub start: Start,
    /// How long.
    pub lasts: Tick,
    /// Trends.
    pub trends: Vec<Tag>,
    /// Marks to pass.
    pub pass: Option<Marks>,
    /// Marks of all items together, as the author counted them.
    pub out_of: Option<Marks>,
}

/// What a name that was mentioned is the name of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mention {
    /// A step.
    Step,
    /// A fault.
    Fault,
    /// An item of any kind.
    Item,
    /// A group of items.
    Group,
}

/// The lines that `print` wrote, up to a cap.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Log {
    /// The lines, with their places.
    pub lines: Vec<(Place, String)>,
    /// Lines left out because the cap was reached.
    pub left_out: u64,
}

impl Log {
    /// Adds a line, cut to the cap.
    pub fn add(&mut self, place: Place, line: &str) {
        if self.lines.len() >= limits::PRINTED_LINES {
            self.left_out += 1;
            return;
        }
        let mut end = line.len().min(limits::PRINTED_BYTES);
        while !line.is_char_boundary(end) {
            end -= 1;
        }
        self.lines.push((place, line[..end].to_owned()));
    }
}

impl Desk {
    /// An empty desk.
    #[must_use]
    pub fn new(names: Arc<Names>, texts: Arc<BTreeMap<String, String>>, meter: Rc<Meter>, seed: u64) -> Desk {
        Desk {
            names,
            texts,
            meter,
            told: Vec::new(),
            shelf: Shelf::default(),
            row: Row::default(),
            heading: None,
            faults: Vec::new(),
            groups: Vec::new(),
            items: Vec::new(),
            competences: BTreeMap::new(),
            mentioned: Vec::new(),
            begun: BTreeMap::new(),
            begins: 0,
            stories: 0,
            request: None,
            log: Log::default(),
            seed,
            trapped: BTreeSet::new(),
            injected: BTreeSet::new(),
            broke_off: false,
            injects_any: false,
            steps_asked: BTreeSet::new(),
            asks_any_step: false,
            idle: BTreeSet::new(),
            rehearsing: false,
            asked: Vec::new(),
        }
    }

    /// Takes what the texts of the script gave away.
    pub fn take_found(&mut self, found: crate::lint::Found) {
        for d in found.told {
            if matches!(d.code, "script::and-or" | "script::operator") {
                self.trapped.insert((d.place.file.clone(), d.place.line));
            }
            self.tell(d);
        }
        self.injects_any = found.injects_any;
        self.steps_asked = found.steps_asked;
        self.asks_any_step = found.asks_any_step;
        self.injected.extend(found.injected);
        for (name, place) in found.mentioned {
            self.mentioned.push((Mention::Fault, name, place));
        }
    }

    /// Tells a mistake or a warning, once for each place and message. Too many end the script.
    pub fn tell(&mut self, diagnostic: Diagnostic) {
        // What the text gave away with its column is met again when that line runs.
        let again = |d: &Diagnostic| {
            FROM_THE_TEXT.contains(&d.code)
                && d.code == diagnostic.code
                && d.place.line == diagnostic.place.line
                && d.place.file == diagnostic.place.file
                && diagnostic.place.column == 0
        };
        if self.told.iter().any(|d| *d == diagnostic || again(d)) {
            return;
        }
        let mistakes = self.told.iter().filter(|d| d.severity == Severity::Error).count();
        if diagnostic.severity < Severity::Error {
            // Warnings end nothing, and so many help nobody.
            if self.told.len() < 4 * limits::MISTAKES {
                self.told.push(diagnostic);
            }
        } else if mistakes >= limits::MISTAKES {
            self.meter.hit(Limit::Mistakes, diagnostic.place);
        } else {
            self.told.push(diagnostic);
        }
    }

    /// Whether a truth value that stands where a condition is wanted comes of a trap that was told of
    /// these lines: from where it was given to a few lines on, since a condition may go over several.
    #[must_use]
    pub fn is_trapped(&self, at: &Place, value: &mlua::Value) -> bool {
        const LINES: u32 = 6;
        let first = (at.file.clone(), at.line);
        let last = (at.file.clone(), at.line + LINES);
        matches!(value, mlua::Value::Boolean(_)) && self.trapped.range(first..last).next().is_some()
    }

    /// Tells a mistake.
    pub fn wrong(&mut self, code: &'static str, place: &Place, message: impl Into<String>, hint: &str) {
        let d = Diagnostic::error(code, place.clone(), message);
        self.tell(if hint.is_empty() { d } else { d.hint(hint) });
    }

    /// Tells a name that is not known, with the nearest that is.
    pub fn unknown<'a>(
        &mut self,
        code: &'static str,
        place: &Place,
        message: String,
        given: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) {
        let d = Diagnostic::error(code, place.clone(), message).nearest(given, known);
        self.tell(d);
    }

    /// The names of the steps so far.
    #[must_use]
    pub fn step_names(&self) -> Vec<String> {
        let steps = self.items.iter().filter(|i| matches!(i.kind, ItemKind::Step { .. }));
        steps.map(|i| i.name.clone()).collect()
    }

    /// The steps that are followed from the start of a run for its stories, each with the condition that does it: those
    /// that `done` may ask for. What looks ahead is for marks only.
    #[must_use]
    pub fn followed(&self) -> Vec<(String, ConditionId)> {
        if self.stories == 0 {
            return vec![];
        }
        let step = |i: &Item<ConditionId>| match &i.kind {
            ItemKind::Step { done, .. } if self.asks_any_step || self.steps_asked.contains(&i.name) => {
                (!self.shelf.condition(*done).ahead).then(|| (i.name.clone(), *done))
            }
            _ => None,
        };
        self.items.iter().filter_map(step).collect()
    }

    /// Whether any mistake was told.
    #[must_use]
    pub fn has_mistakes(&self) -> bool {
        self.told.iter().any(|d| d.severity == Severity::Error)
    }

    /// Puts a condition on the shelf, within the limits.
    pub fn condition(&mut self, kind: Kind, place: &Place) -> ConditionId {
        let full = self.shelf.len() >= limits::CONDITIONS;
        if full {
            self.meter.hit(Limit::Conditions, place.clone());
        }
        let id = self.shelf.put(if full { Kind::Marked } else { kind }, place.clone());
        let c = self.shelf.condition(id);
        if c.parts > limits::CONDITION_PARTS || c.depth > limits::CONDITION_DEPTH {
            self.meter.hit(Limit::Conditions, place.clone());
            return self.shelf.put(Kind::Marked, place.clone());
        }
        id
    }

    /// Puts a value on the shelf, within the limits.
    pub fn value(&mut self, value: crate::condition::Value, place: &Place) -> ValueId {
        if self.shelf.len() >= limits::CONDITIONS {
            self.meter.hit(Limit::Conditions, place.clone());
        }
        let id = self.shelf.put_value(value);
        let facts = self.shelf.facts(id);
        if facts.parts > limits::CONDITION_PARTS || facts.depth > limits::CONDITION_DEPTH {
            self.meter.hit(Limit::Conditions, place.clone());
        }
        id
    }

    /// The line where a field of a table was written, found by looking for `field =` from the line
    /// where the table's call begins; the call's own line when it is not found.
    #[must_use]
    pub fn field_place(&self, item: &Place, field: &str) -> Place {
        let Some(text) = self.texts.get(&item.file) else {
            return item.clone();
        };
        let from = item.line.saturating_sub(1) as usize;
        for (i, line) in text.lines().enumerate().skip(from).take(80) {
            let code = line.split("--").next().unwrap_or_default();
            let begins_another = i > from && !code.starts_with([' ', '\t', '}', ')']) && !code.is_empty();
            if begins_another {
                break;
            }
            if let Some(column) = field_column(code, field) {
                return Place { file: item.file.clone(), line: i as u32 + 1, column: column as u32 + 1 };
            }
        }
        item.clone()
    }
}

/// The column (in characters, from 0) of `field =` in a line of code.
fn field_column(code: &str, field: &str) -> Option<usize> {
    code.match_indices(field).find_map(|(at, _)| {
        let before = code[..at].chars().next_back();
        let after = code[at + field.len()..].trim_start();
        let word = |c: char| c.is_alphanumeric() || c == '_';
        let stands_alone = before.is_none_or(|c| !word(c) && c != '"');
        let is_set = after.starts_with('=') && !after.starts_with("==");
        (stands_alone && is_set).then(|| code[..at].chars().count())
    })
}

#[cfg(test)]
mod tests {
    use super::field_column;

    #[test]
    fn a_field_is_found_where_it_is_set() {
        assert_eq!(field_column("step \"a\" { marks = 5, remarks = 2 }", "marks"), Some(11));
        assert_eq!(field_column("  remarks = 2", "marks"), None);
        assert_eq!(field_column("  if marks == 2 then", "marks"), None);
    }
}
