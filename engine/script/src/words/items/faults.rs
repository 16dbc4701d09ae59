//! The table of `fault`.

use super::form::{Form, in_range};
use crate::condition::{ConditionId, Kind};
use crate::hand;
use base::observable::Observable;
use base::random::Stream;
use base::units::Dimension;
use base::{Tag, Tick};
use mlua::Value;
use session::{FaultPlan, Growth, Moment, Rhythm};

impl Form<'_> {
    /// Reads the table and puts it on the desk.
    pub fn fault(&mut self) {
        let (on, kind) = (self.text("on").unwrap_or_default(), self.text("kind").unwrap_or_default());
        let size = self.text("size");
        if self.given.contains_key("on") {
            self.check_kind(&on, &kind, size.is_some());
        }
        let begins = self.begins();
        let grows = self.grows(&on, &kind);
        let clears = self.clears();
        let repair = self.time("repaired_in");
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
            grows,
            clears,
            repair,
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
            return match self.pair("at", "write at = { \"5 min\", \"9 min\" }") {
                Some((from, to)) => {
                    let mut stream = Stream::new(self.desk.seed, &format!("onset of {}", self.name));
                    Moment::At(Tick(from + stream.below(u64::from(to - from) + 1) as u32))
                }
                None => Moment::ByStory,
            };
        }
        if self.given.contains_key("at") {
            return self.time("at").map_or(Moment::ByStory, |t| Moment::At(Tick(t)));
        }
        if let Some(c) = self.present_condition("when") {
            return Moment::When(self.formula("when", c));
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
                    (Some(c), Some(t)) => Moment::After(self.formula("after", c), t),
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

    /// Two times, the earlier first.
    fn pair(&mut self, field: &str, example: &str) -> Option<(u32, u32)> {
        let times = self.texts(field);
        let at = self.at(field);
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
        match ticks.as_slice() {
            [from, to] if from <= to => Some((*from, *to)),
            _ => {
                let message = format!("{field} is one time, or two with the earlier first");
                self.wrong("script::field", field, message, example);
                None
            }
        }
    }

    fn grows(&mut self, on: &str, kind: &str) -> Growth {
        let over = self.time("grows_over").unwrap_or(0);
        let size = self.desk.names.failings.get(on).and_then(|kinds| kinds.get(kind)).cloned();
        if over > 0 && matches!(size, Some(size) if size.is_none_or(|s| !s.grows)) {
            let message = format!("the fault \"{kind}\" of {on} is there or it is not, and cannot grow");
            self.wrong("script::grows", "grows_over", message, "leave it out, or choose a kind with an amount");
        }
        let spans = [("there_for", "away_for"), ("away_for", "there_for")].map(|(field, other)| {
            let given = self.given.get(field)?;
            let span = if matches!(given, Value::Table(_)) {
                self.pair(field, "write there_for = { \"5 s\", \"20 s\" }")?
            } else {
                let ticks = self.time(field)?;
                (ticks, ticks)
            };
            if span.0 == 0 {
                let message = format!("{field} is at least a tenth of a second");
                self.wrong("script::time", field, message, "write for example there_for = \"10 s\"");
            } else if !self.given.contains_key(other) {
                let message = format!("{field} needs {other} beside it");
                self.wrong("script::field", field, message, "a fault that comes and goes has a time for both");
            }
            Some(span)
        });
        let rhythm = match spans {
            [Some(there), Some(away)] => Some(Rhythm { there, away }),
            _ => None,
        };
        Growth { over, rhythm }
    }

    fn clears(&mut self) -> Moment {
        self.only_one(&["lasts", "clears_at", "clears_when"]);
        if let Some(ticks) = self.time("lasts") {
            let place = self.place.clone();
            let acting = Kind::Truth(Observable::Fault(self.name.clone()));
            let c = self.desk.condition(acting, &place);
            return Moment::After(self.formula("lasts", c), ticks);
        }
        if let Some(t) = self.time("clears_at") {
            return Moment::At(Tick(t));
        }
        match self.present_condition("clears_when") {
            Some(c) => Moment::When(self.formula("clears_when", c)),
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

    fn formula(&mut self, field: &'static str, c: ConditionId) -> monitor::Formula {
        self.desk.asked.push((self.desk.faults.len(), field, c));
        self.desk.shelf.formula(c, &mut self.desk.row)
    }
}
