//! The tables of `step`, `limit` and `response`.

use super::form::Form;
use crate::condition::{ConditionId, Kind};
use crate::desk::Mention;
use crate::hand;
use crate::teller::{Teller, capital, span};
use base::competence;
use base::sheet::{Asked, Counts, Item, ItemKind};
use base::units::Dimension;
use base::{Diagnostic, Tick};

/// Part of the marks for a step out of order when the script does not say (own choice), millionths.
const OUT_OF_ORDER: i64 = 500_000;

impl Form<'_> {
    /// Reads the table and puts it on the desk.
    pub fn step(&mut self) {
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
        let part = self.part("out_of_order", OUT_OF_ORDER);
        let none_short = self.far("none_short", "done", done);
        let mut told = done.map_or_else(String::new, |c| self.teller().sentence(c));
        if let Some(by) = full_by.or(none_by) {
            told.push_str(&format!(", by {}", span(by.0)));
        }
        if !after.is_empty() {
            told.push_str(&format!(", after {}", after.join(" and ")));
        }
        let done = self.or_marked(done);
        self.item(told, ItemKind::Step { done, after, full_by, none_by, out_of_order: part, none_short });
    }

    /// Reads the table and puts it on the desk.
    pub fn limit(&mut self) {
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
        let none_beyond = self.far("none_beyond", "keep", keep);
        let none_after = self.time("none_after");
        let mut told = keep.map_or_else(String::new, |c| format!("Keep: {}", self.teller().clause(c)));
        if let Some(c) = during {
            told.push_str(&format!(", while {}", self.teller().clause(c)));
        }
        let keep = self.or_marked(keep);
        self.item(told, ItemKind::Limit { keep, during, none_beyond, none_after });
    }

    /// How far from a condition loses everything, in SI: a difference of what it compares.
    fn far(&mut self, field: &str, of: &str, condition: Option<ConditionId>) -> Option<f64> {
        let value = self.given.get(field)?.clone();
        let at = self.at(field);
        let shelf = &self.desk.shelf;
        let mut kinds: Vec<Dimension> =
            shelf.compared(condition?).into_iter().map(|v| shelf.value(v).unit.dimension.difference()).collect();
        kinds.dedup();
        let [dimension] = kinds.as_slice() else {
            let message = if kinds.is_empty() {
                format!("{field} needs a quantity in {of}")
            } else {
                format!("{field} is unclear, since {of} compares different kinds of quantity")
            };
            let hint = match field {
                "none_beyond" => "write none_after, or one limit for each quantity",
                _ => "leave it out, or write one item for each quantity",
            };
            self.desk.wrong("script::field", &at, message, hint);
            return None;
        };
        let (si, _) = hand::quantity(self.desk, &at, &value, *dimension)?;
        if si <= 0.0 {
            let message = format!("{field} is more than nothing");
            let hint = match field {
                "none_beyond" => "leave it out if any breach loses all",
                _ => "leave it out if being near earns nothing",
            };
            self.desk.wrong("script::field", &at, message, hint);
            return None;
        }
        Some(si)
    }

    /// Reads the table and puts it on the desk.
    pub fn response(&mut self) {
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

    pub(super) fn or_marked(&mut self, c: Option<ConditionId>) -> ConditionId {
        let place = self.place.clone();
        c.unwrap_or_else(|| self.desk.condition(Kind::Marked, &place))
    }

    pub(super) fn teller(&self) -> Teller<'_> {
        Teller { shelf: &self.desk.shelf, names: &self.desk.names }
    }

    pub(super) fn item(&mut self, told: String, kind: ItemKind<ConditionId>) {
        let place = self.place.clone();
        if self.desk.items.iter().any(|i| i.name == self.name) {
            let message = format!("there is an item \"{}\" already", self.name);
            self.desk.wrong("script::repeated", &place, message, "give each item a name of its own");
        }
        let item = Item {
            name: self.name.clone(),
            expected: self.text("expected").unwrap_or(told),
            practise: self.text("practise"),
            marks: self.marks("marks").unwrap_or_default(),
            critical: self.truth("critical"),
            counts: self.counts(),
            kind,
            place,
        };
        self.desk.items.push(item);
        self.competence();
    }

    /// How it counts in the sum.
    fn counts(&mut self) -> Counts {
        let (optional, bonus) = (self.truth("optional"), self.truth("bonus"));
        if optional && bonus {
            let message = "optional and bonus cannot stand together";
            self.wrong("script::field", "bonus", message, "a bonus is never asked for; keep one of them");
        }
        let mut named = |what: Mention, field: &str| {
            let name = self.text(field)?;
            let at = self.at(field);
            self.desk.mentioned.push((what, name.clone(), at));
            Some(name)
        };
        let (instead_of, group) = (named(Mention::Item, "instead_of"), named(Mention::Group, "group"));
        let asked = match (optional, bonus) {
            (_, true) => Asked::Bonus,
            (true, false) => Asked::Optional,
            _ => Asked::Needed,
        };
        Counts { asked, group, instead_of }
    }

    /// What the item shows of a trainee: references of the list, each once.
    fn competence(&mut self) {
        let mut known = Vec::new();
        for reference in self.texts("competence") {
            if !competence::is_known(&reference) {
                let at = self.at("competence");
                let message = format!("there is no competence \"{reference}\" in the list");
                let all: Vec<String> = competence::all().map(|c| c.reference()).collect();
                let d = Diagnostic::error("script::competence", at, message)
                    .hint("write the table and the title as the book lists them, such as \"A-III/1: Maintain a safe engineering watch\"")
                    .nearest(&reference, all.iter().map(String::as_str));
                self.desk.tell(d);
            } else if known.contains(&reference) {
                self.wrong(
                    "script::competence",
                    "competence",
                    format!("\"{reference}\" is given twice"),
                    "name each competence once",
                );
            } else {
                known.push(reference);
            }
        }
        if !known.is_empty() {
            self.desk.competences.insert(self.name.clone(), known);
        }
    }
}
