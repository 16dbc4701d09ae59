//! The table of `exercise`.

use super::form::{Form, in_range};
use crate::desk::Heading;
use base::{Place, Tag, Tick};
use mlua::Value;
use session::Start;
use std::collections::BTreeMap;

impl Form<'_> {
    /// Reads the table and puts it on the desk.
    pub fn exercise(&mut self) {
        if let Some((_, first)) = &self.desk.heading {
            let message = format!("the exercise was begun before, at {first}");
            let place = self.place.clone();
            self.desk.wrong("script::repeated", &place, message, "keep one of the two");
            return;
        }
        let names = self.desk.names.clone();
        let lasts = self.time("lasts");
        let mut heading = Heading {
            title: self.text("title").unwrap_or_default(),
            brief: self.text("brief").unwrap_or_default(),
            plant: self.text("plant").unwrap_or_default(),
            lasts: Tick(lasts.unwrap_or_default()),
            pass: self.marks("pass"),
            out_of: self.marks("out_of"),
            ..Heading::default()
        };
        if self.given.contains_key("plant") && heading.plant != names.plant {
            let at = self.at("plant");
            let message = format!("there is no plant \"{}\" here; it is \"{}\"", heading.plant, names.plant);
            self.desk.unknown("script::unknown-plant", &at, message, &heading.plant, [names.plant.as_str()]);
        }
        if lasts == Some(0) {
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
                    "write { [\"P-3001\"] = \"start\" }",
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
}
