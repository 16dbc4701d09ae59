//! The table of `steadiness`.

use super::form::Form;
use crate::condition::Kind;
use crate::hand;
use crate::handle::Handle;
use base::sheet::ItemKind;

impl Form<'_> {
    /// Reads the table and puts it on the desk.
    pub fn steadiness(&mut self) {
        let during = self.present_condition("during");
        let held = self.held();
        let place = self.place.clone();
        let (within, none_beyond) = match held {
            Some((kind, none_beyond)) => (self.desk.condition(kind, &place), none_beyond),
            None => (self.or_marked(None), 0.0),
        };
        let mut told = format!("Held: on average {}", self.teller().clause(within));
        if let Some(c) = during {
            told.push_str(&format!(", while {}", self.teller().clause(c)));
        }
        self.item(told, ItemKind::Steadiness { within, during, none_beyond });
    }

    /// The value within its tolerance, and how far off loses everything.
    fn held(&mut self) -> Option<(Kind, f64)> {
        let value = match Handle::of(self.given.get("value")?) {
            Some(Handle::Value(v)) if self.desk.shelf.value(v).source.seen().is_none() => {
                let message = "the value is worked out, and steadiness takes one that is measured";
                self.wrong("script::field", "value", message, "write the value itself; the mean is taken of it");
                return None;
            }
            Some(Handle::Value(v)) if self.desk.shelf.value(v).words.is_empty() => v,
            _ => {
                self.mistaken("value", "a quantity such as actual(\"LT-3001\")");
                return None;
            }
        };
        let dimension = self.desk.shelf.value(value).unit.dimension;
        let mut read = |field: &str, dimension| {
            let given = self.given.get(field)?.clone();
            let at = self.at(field);
            hand::quantity(self.desk, &at, &given, dimension)
        };
        let around = read("around", dimension);
        let (full, none) = (read("full_within", dimension.difference()), read("none_beyond", dimension.difference()));
        let (Some((around, unit)), Some((full, full_unit)), Some((none, _))) = (around, full, none) else {
            return None;
        };
        if full < 0.0 || none <= full {
            let message = "full_within is at least nothing, and less than none_beyond";
            self.wrong("script::field", "none_beyond", message, "full marks end first");
            return None;
        }
        Some((Kind::Within(value, full, full_unit, around, unit), none))
    }
}
