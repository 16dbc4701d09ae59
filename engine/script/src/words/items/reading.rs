//! How the tables of exercise, fault, step, limit and response are read.

use super::FIELDS;
use crate::condition::{ConditionId, Kind};
use crate::desk::{Desk, Heading, Mention};
use crate::hand::{self, Read, kind_of};
use crate::handle::Handle;
use crate::teller::{Teller, capital, span};
use base::observable::Observable;
use base::random::Stream;
use base::sheet::{Item, ItemKind, Marks};
use base::units::Dimension;
use base::{Place, Tag, Tick};
use mlua::{Table, Value};
use session::{FaultPlan, Moment, Start};
use std::collections::BTreeMap;

/// Part of the marks for a step out of order when the script does not say (own choice), millionths.
const OUT_OF_ORDER: i64 = 500_000;
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
        _ => form.response(),
    }
}

/// A table that is being read.
struct Form<'a> {
    desk: &'a mut Desk,
    word: &'static str,
    name: String,
    place: Place,
    given: BTreeMap<String, Value>,
}

impl<'a> Form<'a> {
    /// Takes the table apart; tells fields that are not known and fields that are missing.
    fn open(desk: &'a mut Desk, word: &'static str, name: &str, place: &Place, table: &Table) -> Form<'a> {
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
                desk.wrong("script::missing-field", place, message, field.says);
            }
        }
        Form { desk, word, name: name.to_owned(), place: place.clone(), given }
    }

    fn at(&self, field: &str) -> Place {
        self.desk.field_place(&self.place, field)
    }

    fn wrong(&mut self, code: &'static str, field: &str, message: impl Into<String>, hint: &str) {
        let at = self.at(field);
        self.desk.wrong(code, &at, message, hint);
    }

    /// Tells that a field is not of its type, unless it is a mark.
    fn mistaken(&mut self, field: &str, wanted: &str) {
        let Some(value) = self.given.get(field) else {
            return;
        };
        if Handle::of(value) == Some(Handle::Marked) {
            return;
        }
        let message = format!("{field} needs {wanted}, and got {}", kind_of(value));
        let says = FIELDS.iter().find(|f| f.item == self.word && f.name == field).map_or("", |f| f.says);
        self.wrong("script::field", field, message, says);
    }

    fn text(&mut self, field: &str) -> Option<String> {
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

    fn number(&mut self, field: &str) -> Option<f64> {
        match self.given.get(field)? {
            Value::Integer(n) => Some(*n as f64),
            Value::Number(n) => Some(*n),
            _ => {
                self.mistaken(field, "a number");
                None
            }
        }
    }

    fn truth(&mut self, field: &str) -> bool {
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
    fn texts(&mut self, field: &str) -> Vec<String> {
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

    fn time(&mut self, field: &str) -> Option<u32> {
        let value = self.given.get(field)?.clone();
        let at = self.at(field);
        hand::ticks(self.desk, &at, &value)
    }

    fn condition(&mut self, field: &str) -> Option<ConditionId> {
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
    fn present_condition(&mut self, field: &str) -> Option<ConditionId> {
        let c = self.condition(field)?;
        if self.desk.shelf.condition(c).ahead {
            let hint = "answered_within and until_ are for marks; here use followed_within, since or lasting";
            let message = format!("{field} looks ahead, and a run cannot know what comes");
            self.wrong("script::looks-ahead", field, message, hint);
            return None;
        }
        Some(c)
    }

    fn marks(&mut self, field: &str) -> Option<Marks> {
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

    fn exercise(&mut self) {
        if let Some((_, first)) = &self.desk.heading {
            let message = format!("the exercise was begun before, at {first}");
            let place = self.place.clone();
            self.desk.wrong("script::repeated", &place, message, "keep one of the two");
            return;
        }
        let names = self.desk.names.clone();
        let mut heading = Heading {
            title: self.text("title").unwrap_or_default(),
            brief: self.text("brief").unwrap_or_default(),
            plant: self.text("plant").unwrap_or_default(),
            lasts: Tick(self.time("lasts").unwrap_or_default()),
            pass: self.marks("pass"),
            ..Heading::default()
        };
        if self.given.contains_key("plant") && heading.plant != names.plant {
            let at = self.at("plant");
            let message = format!("there is no plant \"{}\" here; it is \"{}\"", heading.plant, names.plant);
            self.desk.unknown("script::unknown-plant", &at, message, &heading.plant, [names.plant.as_str()]);
        }
        if self.given.contains_key("lasts") && heading.lasts == Tick::ZERO {
            self.wrong("script::time", "lasts", "a run must last some time", "write for example \"80 min\"");
        }
        let state = self.text("start").unwrap_or_default();
        if self.given.contains_key("start") && !names.starts.contains(&state) {
            let at = self.at("start");
            let message = format!("there is no prepared state \"{state}\"; there are: {}", names.starts.join(", "));
            self.desk.unknown("script::unknown-start", &at, message, &state, names.starts.iter().map(String::as_str));
        }
        heading.start = Start { state, changes: self.changes() };
        for tag in self.texts("trends") {
            if !names.points.contains_key(&tag) {
                let at = self.at("trends");
                let known = names.points.keys().map(String::as_str);
                self.desk.unknown(
                    "script::unknown-point",
                    &at,
                    format!("nothing called \"{tag}\" can be measured"),
                    &tag,
                    known,
                );
            }
            heading.trends.push(Tag::new(&tag));
        }
        self.desk.heading = Some((heading, self.place.clone()));
    }

    fn changes(&mut self) -> Vec<(Tag, String, Place)> {
        let table = match self.given.get("changes") {
            None => return Vec::new(),
            Some(Value::Table(t)) => t.clone(),
            Some(_) => {
                self.mistaken("changes", "a table of controls");
                return Vec::new();
            }
        };
        let names = self.desk.names.clone();
        let mut found = BTreeMap::new();
        for (key, value) in table.pairs::<Value, Value>().flatten().take(1_000) {
            let (Value::String(key), Value::String(value)) = (&key, &value) else {
                self.wrong(
                    "script::field",
                    "changes",
                    "changes are pairs of a control and its setting",
                    "write { [\"P-3101\"] = \"start\" }",
                );
                continue;
            };
            let (tag, setting) = (key.to_string_lossy().to_string(), value.to_string_lossy().to_string());
            let at = self.desk.field_place(&self.at("changes"), &format!("[\"{tag}\"]"));
            match names.controls.get(&tag) {
                None => {
                    let known = names.controls.keys().map(String::as_str);
                    self.desk.unknown(
                        "script::unknown-control",
                        &at,
                        format!("there is no control \"{tag}\""),
                        &tag,
                        known,
                    );
                }
                Some(c) if c.words.contains(&setting) => {}
                Some(c) => match c.dial {
                    Some(dial)
                        if setting.starts_with(|l: char| l.is_ascii_digit() || l == '-') || c.words.is_empty() =>
                    {
                        in_range(self.desk, &at, &Value::String(value.clone()), dial);
                    }
                    _ => {
                        let message =
                            format!("{tag} cannot be put to \"{setting}\"; its words are: {}", c.words.join(", "));
                        self.desk.unknown(
                            "script::unknown-word",
                            &at,
                            message,
                            &setting,
                            c.words.iter().map(String::as_str),
                        );
                    }
                },
            }
            found.insert(tag, (setting, at));
        }
        found.into_iter().map(|(tag, (setting, at))| (Tag::new(&tag), setting, at)).collect()
    }

    fn fault(&mut self) {
        let (on, kind) = (self.text("on").unwrap_or_default(), self.text("kind").unwrap_or_default());
        let size = self.text("size");
        if self.given.contains_key("on") {
            self.check_kind(&on, &kind, size.is_some());
        }
        let begins = self.begins();
        let clears = self.clears();
        let place = self.place.clone();
        if self.desk.faults.iter().any(|f| f.name == self.name) {
            let message = format!("there is a fault \"{}\" already", self.name);
            self.desk.wrong("script::repeated", &place, message, "give each fault a name of its own");
        }
        self.desk.faults.push(FaultPlan {
            name: self.name.clone(),
            on: Tag::new(&on),
            kind,
            size,
            begins,
            clears,
            place,
        });
    }

    fn check_kind(&mut self, on: &str, kind: &str, has_size: bool) {
        let names = self.desk.names.clone();
        let Some(kinds) = names.failings.get(on) else {
            let at = self.at("on");
            let known = names.failings.keys().map(String::as_str);
            self.desk.unknown(
                "script::unknown-target",
                &at,
                format!("nothing called \"{on}\" can go wrong"),
                on,
                known,
            );
            return;
        };
        if !self.given.contains_key("kind") {
            return;
        }
        let list = kinds.keys().cloned().collect::<Vec<_>>().join(", ");
        let Some(size) = kinds.get(kind) else {
            let at = self.at("kind");
            let message = format!("{on} has no fault \"{kind}\"; its kinds are: {list}");
            self.desk.unknown("script::unknown-kind", &at, message, kind, kinds.keys().map(String::as_str));
            return;
        };
        match size {
            None if has_size => {
                self.wrong(
                    "script::size",
                    "size",
                    format!("the fault \"{kind}\" of {on} has no size"),
                    "leave size out",
                );
            }
            Some(size) if has_size => {
                let at = self.at("size");
                let value = self.given["size"].clone();
                in_range(self.desk, &at, &value, size.range);
            }
            Some(size) if size.needed => {
                let range = size.range;
                let message = format!("the fault \"{kind}\" of {on} needs a size");
                let hint =
                    format!("write size = from {} to {}", range.unit.tell(range.min), range.unit.tell(range.max));
                self.wrong("script::size", "kind", message, &hint);
            }
            _ => {}
        }
    }

    fn begins(&mut self) -> Moment {
        self.only_one(&["at", "when", "after"]);
        if let Some(Value::Table(_)) = self.given.get("at") {
            let times = self.texts("at");
            let at = self.at("at");
            let mut ticks = Vec::new();
            for t in &times {
                match base::units::parse_as(t, Dimension::Time) {
                    Ok(s) if (0.0..=360_000.0).contains(&s) => ticks.push(Tick::count(s)),
                    Ok(_) => self.desk.wrong("script::time", &at, "a time is from 0 s to 100 h", ""),
                    Err(e) => {
                        let (message, hint) = e.told();
                        self.desk.wrong("script::unit", &at, message, &hint);
                    }
                }
            }
            return match ticks.as_slice() {
                [from, to] if from <= to => {
                    let mut stream = Stream::new(self.desk.seed, &format!("onset of {}", self.name));
                    Moment::At(Tick(from + stream.below(u64::from(to - from) + 1) as u32))
                }
                _ => {
                    self.wrong(
                        "script::field",
                        "at",
                        "at is one time, or two with the earlier first",
                        "write at = { \"5 min\", \"9 min\" }",
                    );
                    Moment::ByStory
                }
            };
        }
        if self.given.contains_key("at") {
            return self.time("at").map_or(Moment::ByStory, |t| Moment::At(Tick(t)));
        }
        if let Some(c) = self.present_condition("when") {
            return Moment::When(self.formula(c));
        }
        match self.given.get("after") {
            Some(Value::Table(pair)) => {
                let pair: Vec<Value> = pair.sequence_values().flatten().take(3).collect();
                let [condition, time] = pair.as_slice() else {
                    self.mistaken("after", "a condition and a time");
                    return Moment::ByStory;
                };
                self.given.insert("after".to_owned(), condition.clone());
                let c = self.present_condition("after");
                let at = self.at("after");
                let ticks = hand::ticks(self.desk, &at, time);
                match (c, ticks) {
                    (Some(c), Some(t)) => Moment::After(self.formula(c), t),
                    _ => Moment::ByStory,
                }
            }
            Some(_) => {
                self.mistaken("after", "a condition and a time in braces");
                Moment::ByStory
            }
            None => Moment::ByStory,
        }
    }

    fn clears(&mut self) -> Moment {
        self.only_one(&["lasts", "clears_at", "clears_when"]);
        if let Some(ticks) = self.time("lasts") {
            let place = self.place.clone();
            let acting = Kind::Truth(Observable::Fault(self.name.clone()));
            let c = self.desk.condition(acting, &place);
            return Moment::After(self.formula(c), ticks);
        }
        if let Some(t) = self.time("clears_at") {
            return Moment::At(Tick(t));
        }
        match self.present_condition("clears_when") {
            Some(c) => Moment::When(self.formula(c)),
            None => Moment::ByStory,
        }
    }

    fn only_one(&mut self, fields: &[&str]) {
        let given: Vec<&str> = fields.iter().copied().filter(|f| self.given.contains_key(*f)).collect();
        if let [_, second, ..] = given.as_slice() {
            let second = *second;
            let message = format!("{} cannot stand together", given.join(" and "));
            self.wrong("script::field", second, message, "keep one of them");
        }
    }

    fn formula(&mut self, c: ConditionId) -> monitor::Formula {
        self.desk.shelf.formula(c, &mut self.desk.row)
    }

    fn step(&mut self) {
        let done = self.condition("done");
        let after = self.texts("after");
        let at = self.at("after");
        for name in &after {
            self.desk.mentioned.push((Mention::Step, name.clone(), at.clone()));
        }
        let (full_by, none_by) = (self.time("full_by").map(Tick), self.time("none_by").map(Tick));
        if let (Some(full), Some(none)) = (full_by, none_by)
            && full > none
        {
            self.wrong("script::time", "none_by", "none_by is before full_by", "full marks end first");
        }
        let part = match self.number("out_of_order") {
            Some(p) if (0.0..=1.0).contains(&p) => (p * 1e6).round() as i64,
            Some(_) => {
                self.wrong(
                    "script::field",
                    "out_of_order",
                    "out_of_order is a part from 0 to 1",
                    "write 0.5 for half of the marks",
                );
                OUT_OF_ORDER
            }
            None => OUT_OF_ORDER,
        };
        let mut told = done.map_or_else(String::new, |c| self.teller().sentence(c));
        if let Some(by) = full_by.or(none_by) {
            told.push_str(&format!(", by {}", span(by.0)));
        }
        if !after.is_empty() {
            told.push_str(&format!(", after {}", after.join(" and ")));
        }
        let done = self.or_marked(done);
        self.item(told, ItemKind::Step { done, after, full_by, none_by, out_of_order: part });
    }

    fn limit(&mut self) {
        let keep = self.condition("keep");
        if let Some(c) = keep
            && self.desk.shelf.condition(c).moment
        {
            self.wrong(
                "script::moment",
                "keep",
                "an action is over in a moment and cannot be kept",
                "ask for what the action brings about, such as set_to(…) or lit(…)",
            );
        }
        let during = self.condition("during");
        let none_beyond = self.none_beyond(keep);
        let none_after = self.time("none_after");
        let mut told = keep.map_or_else(String::new, |c| format!("Keep: {}", self.teller().clause(c)));
        if let Some(c) = during {
            told.push_str(&format!(", while {}", self.teller().clause(c)));
        }
        let keep = self.or_marked(keep);
        self.item(told, ItemKind::Limit { keep, during, none_beyond, none_after });
    }

    /// How far past a limit loses everything, in SI: a difference of what is kept.
    fn none_beyond(&mut self, keep: Option<ConditionId>) -> Option<f64> {
        let value = self.given.get("none_beyond")?.clone();
        let at = self.at("none_beyond");
        let shelf = &self.desk.shelf;
        let mut kinds: Vec<Dimension> =
            shelf.compared(keep?).into_iter().map(|v| shelf.value(v).unit.dimension.difference()).collect();
        kinds.dedup();
        let [dimension] = kinds.as_slice() else {
            let message = if kinds.is_empty() {
                "none_beyond needs a quantity in keep"
            } else {
                "none_beyond is unclear, since keep compares different kinds of quantity"
            };
            self.desk.wrong("script::field", &at, message, "write none_after, or one limit for each quantity");
            return None;
        };
        let (si, _) = hand::quantity(self.desk, &at, &value, *dimension)?;
        if si <= 0.0 {
            self.desk.wrong(
                "script::field",
                &at,
                "none_beyond is more than nothing",
                "leave it out if any breach loses all",
            );
            return None;
        }
        Some(si)
    }

    fn response(&mut self) {
        let to = self.text("to").unwrap_or_default();
        if !to.is_empty() {
            let at = self.at("to");
            self.desk.mentioned.push((Mention::Fault, to.clone(), at));
        }
        let by = self.condition("by");
        let (full, none) = (self.time("full").unwrap_or_default(), self.time("none").unwrap_or_default());
        if self.given.contains_key("full") && self.given.contains_key("none") && full > none {
            self.wrong("script::time", "none", "none is shorter than full", "full marks end first");
        }
        let told = by.map_or_else(String::new, |c| {
            format!("{}, within {} of the fault", capital(&self.teller().clause(c)), span(full))
        });
        let by = self.or_marked(by);
        self.item(told, ItemKind::Response { to, by, full, none });
    }

    fn or_marked(&mut self, c: Option<ConditionId>) -> ConditionId {
        let place = self.place.clone();
        c.unwrap_or_else(|| self.desk.condition(Kind::Marked, &place))
    }

    fn teller(&self) -> Teller<'_> {
        Teller { shelf: &self.desk.shelf, names: &self.desk.names }
    }

    fn item(&mut self, told: String, kind: ItemKind<ConditionId>) {
        let place = self.place.clone();
        if self.desk.items.iter().any(|i| i.name == self.name) {
            let message = format!("there is an item \"{}\" already", self.name);
            self.desk.wrong(
                "script::repeated",
                &place,
                message,
                "give each step, limit and response a name of its own",
            );
        }
        let item = Item {
            name: self.name.clone(),
            expected: self.text("expected").unwrap_or(told),
            practise: self.text("practise"),
            marks: self.marks("marks").unwrap_or_default(),
            critical: self.truth("critical"),
            kind,
            place,
        };
        self.desk.items.push(item);
    }
}

/// Tells a quantity that is not of a scale's kind or outside it.
fn in_range(desk: &mut Desk, at: &Place, value: &Value, range: crate::names::Range) {
    let Some((si, _)) = hand::quantity(desk, at, value, range.unit.dimension) else {
        return;
    };
    // The ends of a scale are decimal figures too: allow their rounding.
    let slack = 1e-9 * (range.max - range.min).abs();
    if si < range.min - slack || si > range.max + slack {
        let message = format!("{} is outside the scale", kind_of(value));
        let hint = format!("it goes from {} to {}", range.unit.tell(range.min), range.unit.tell(range.max));
        desk.wrong("script::range", at, message, &hint);
    }
}
