//! Reading the fields of one component strictly: what is missing, unknown or in the wrong unit is a
//! diagnostic at the component's place.

use base::description::Component;
use base::units::{self, Dimension, Unit};
use base::{Diagnostic, Tag};

/// A component that is being read, with where its mistakes go.
pub(crate) struct Fields<'a> {
    pub component: &'a Component,
    pub wrong: &'a mut Vec<Diagnostic>,
}

impl Fields<'_> {
    pub fn error(&self, code: &'static str, message: impl std::fmt::Display) -> Diagnostic {
        let c = self.component;
        Diagnostic::error(code, c.place.clone(), format!("{} {}: {message}", c.kind, c.tag))
    }

    /// Tells of fields and links that this kind does not have.
    pub fn only(&mut self, links: &[&str], fields: &[&str]) {
        let c = self.component;
        for name in c.links.keys().filter(|n| !links.contains(&n.as_str())) {
            let d = self
                .error("panel::unknown-link", format!("it has no link \"{name}\""))
                .nearest(name, links.iter().copied());
            self.wrong.push(d);
        }
        for name in c.fields.keys().filter(|n| !fields.contains(&n.as_str())) {
            let d = self
                .error("panel::unknown-field", format!("it has no field \"{name}\""))
                .nearest(name, fields.iter().copied());
            self.wrong.push(d);
        }
        for name in c.tables.keys() {
            let d = self.error("panel::unknown-field", format!("it has no table \"{name}\""));
            self.wrong.push(d);
        }
    }

    /// The link "of", which every indication needs.
    pub fn of(&mut self) -> Option<Tag> {
        let of = self.component.links.get("of").cloned();
        if of.is_none() {
            let d = self
                .error("panel::missing-link", "it does not say what it shows")
                .hint("give it links of: {\"of\": \"PT-3001\"} with the tag that it follows");
            self.wrong.push(d);
        }
        of
    }

    pub fn text(&self, name: &str) -> Option<&str> {
        self.component.fields.get(name).map(|f| f.value.trim())
    }

    /// A text that must be there.
    pub fn needed(&mut self, name: &str, example: &str) -> Option<String> {
        let text = self.text(name).map(str::to_owned);
        if text.is_none() {
            let d = self
                .error("panel::missing-field", format!("it needs \"{name}\""))
                .hint(format!("for example \"{name}\": \"{example}\""));
            self.wrong.push(d);
        }
        text
    }

    /// Reads a quantity of a dimension out of `text`, which stands in the field `name`.
    pub fn read(&mut self, name: &str, text: &str, dimension: Dimension) -> Option<f64> {
        match units::parse_as(text, dimension) {
            Ok(si) => Some(si),
            Err(e) => {
                let (message, hint) = e.told();
                let d = self.error("panel::unit", format!("in \"{name}\", {message}")).hint(hint);
                self.wrong.push(d);
                None
            }
        }
    }

    /// An optional quantity; the outer `None` is a mistake.
    pub fn quantity(&mut self, name: &str, dimension: Dimension) -> Option<Option<f64>> {
        match self.text(name).map(str::to_owned) {
            None => Some(None),
            Some(text) => self.read(name, &text, dimension).map(Some),
        }
    }

    /// A time that is not negative, in ticks.
    pub fn ticks(&mut self, name: &str) -> Option<Option<u32>> {
        let Some(seconds) = self.quantity(name, Dimension::Time)? else {
            return Some(None);
        };
        if seconds < 0.0 || base::Tick::at_seconds(seconds).is_none() {
            let d = self.error("panel::range", format!("\"{name}\" must be a time from 0 s on"));
            self.wrong.push(d);
            return None;
        }
        Some(Some(base::Tick::count(seconds)))
    }

    /// A scale such as "0 barg to 25 barg": its ends in SI, and its unit.
    pub fn scale(&mut self, name: &str) -> Option<((f64, f64), &'static Unit)> {
        let text = self.needed(name, "0 barg to 25 barg")?;
        let Some((low, high)) = text.split_once(" to ") else {
            let d = self
                .error("panel::scale", format!("the scale \"{text}\" has one end"))
                .hint("write both ends with their unit, such as \"0 barg to 25 barg\"");
            self.wrong.push(d);
            return None;
        };
        let (high, unit) = match units::parse(high) {
            Ok(x) => x,
            Err(e) => {
                let (message, hint) = e.told();
                let d = self.error("panel::unit", format!("in \"{name}\", {message}")).hint(hint);
                self.wrong.push(d);
                return None;
            }
        };
        let low = self.read(name, low, unit.dimension)?;
        if low >= high {
            let d = self.error("panel::scale", format!("the scale \"{text}\" must begin below its end"));
            self.wrong.push(d);
            return None;
        }
        Some(((low, high), unit))
    }
}
