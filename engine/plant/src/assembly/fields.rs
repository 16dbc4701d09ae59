//! Reading one component's fields strictly: every mistake becomes a diagnostic, and what nobody
//! asked for is an unknown field.

use base::description::{Component, Description};
use base::units::{self, Dimension};
use base::{Diagnostic, Tag};
use std::cell::RefCell;

/// A component under reading. Mistakes are collected; readers go on with a harmless value so that
/// all mistakes of a file are told at once.
pub struct Fields<'a> {
    component: &'a Component,
    asked: RefCell<Vec<&'static str>>,
    wrong: &'a RefCell<Vec<Diagnostic>>,
}

impl<'a> Fields<'a> {
    /// Starts reading a component.
    pub fn new(component: &'a Component, wrong: &'a RefCell<Vec<Diagnostic>>) -> Fields<'a> {
        Fields { component, asked: RefCell::default(), wrong }
    }

    /// The component.
    pub fn component(&self) -> &'a Component {
        self.component
    }

    /// Tells a mistake about this component.
    pub fn wrong(&self, code: &'static str, message: String, hint: Option<String>) {
        let mut d = Diagnostic::error(code, self.component.place.clone(), format!("{}: {message}", self.component.tag));
        d.hint = hint;
        self.wrong.borrow_mut().push(d);
    }

    fn ask(&self, name: &'static str) -> Option<&'a str> {
        self.asked.borrow_mut().push(name);
        self.component.fields.get(name).map(|f| f.value.as_str())
    }

    /// A word or text; `None` when it is not there.
    pub fn text(&self, name: &'static str) -> Option<&'a str> {
        self.ask(name)
    }

    /// One of a few words; the first when the field is not there.
    pub fn word<T: Copy>(&self, name: &'static str, words: &[(&'static str, T)]) -> T {
        let Some(given) = self.ask(name) else { return words[0].1 };
        if let Some((_, v)) = words.iter().find(|(w, _)| *w == given) {
            return *v;
        }
        let list: Vec<&str> = words.iter().map(|w| w.0).collect();
        self.wrong(
            "plant::word",
            format!("\"{name}\" cannot be \"{given}\""),
            Some(format!("it can be {}", list.join(", "))),
        );
        words[0].1
    }

    /// A quantity that may be missing, SI.
    pub fn optional(&self, name: &'static str, dimension: Dimension) -> Option<f64> {
        let text = self.ask(name)?;
        match units::parse_as(text, dimension) {
            Ok(si) => Some(si),
            Err(e) => {
                let (message, hint) = e.told();
                self.wrong("plant::quantity", format!("\"{name}\": {message}"), Some(hint));
                Some(1.0)
            }
        }
    }

    /// A quantity with a value for when it is not written, SI.
    pub fn or(&self, name: &'static str, dimension: Dimension, default: f64) -> f64 {
        self.optional(name, dimension).unwrap_or(default)
    }

    /// A quantity that must be there, SI.
    pub fn need(&self, name: &'static str, dimension: Dimension) -> f64 {
        self.optional(name, dimension).unwrap_or_else(|| {
            self.wrong(
                "plant::missing-field",
                format!("needs a \"{name}\" ({})", dimension.name()),
                Some(format!(
                    "add \"{name}\": (\"… {}\", \"where the figure comes from\")",
                    units::units_of(dimension).next().map_or("", |u| u.symbol)
                )),
            );
            1.0
        })
    }

    /// A link to another component that may be missing.
    pub fn optional_link(&self, role: &str) -> Option<&'a Tag> {
        self.component.links.get(role)
    }

    /// A table that may be missing, both columns in SI.
    pub fn table(&self, name: &str, x: Dimension, y: Dimension) -> Option<Vec<(f64, f64)>> {
        let t = self.component.tables.get(name)?;
        let unit = |symbol: &str, dimension: Dimension| match units::unit(symbol) {
            Some(u) if u.dimension == dimension => Some(u),
            _ => {
                self.wrong(
                    "plant::table-unit",
                    format!("table \"{name}\": \"{symbol}\" is not a unit of {}", dimension.name()),
                    None,
                );
                None
            }
        };
        let (ux, uy) = (unit(&t.x_unit, x)?, unit(&t.y_unit, y)?);
        Some(t.rows.iter().map(|&(a, b)| (ux.to_si(a), uy.to_si(b))).collect())
    }

    /// Ends the reading: fields that nobody asked for are mistakes.
    pub fn finish(self, links: &[&str], tables: &[&str]) {
        let asked = self.asked.borrow();
        let known = ["place", "worked"];
        for name in self.component.fields.keys() {
            if !asked.contains(&name.as_str()) && !known.contains(&name.as_str()) {
                self.unknown("field", name, asked.iter().copied().chain(known));
            }
        }
        for name in self.component.links.keys() {
            if !links.contains(&name.as_str()) {
                self.unknown("link", name, links.iter().copied());
            }
        }
        for name in self.component.tables.keys() {
            if !tables.contains(&name.as_str()) {
                self.unknown("table", name, tables.iter().copied());
            }
        }
    }

    fn unknown<'k>(&self, what: &str, name: &str, known: impl Iterator<Item = &'k str>) {
        let c = self.component;
        let d = Diagnostic::error(
            "plant::unknown-field",
            c.place.clone(),
            format!("{}: a {} has no {what} \"{name}\"", c.tag, c.kind),
        );
        self.wrong.borrow_mut().push(d.nearest(name, known));
    }
}

/// Finds the component that a link names.
pub fn linked<'d>(d: &'d Description, f: &Fields<'_>, role: &str) -> Option<&'d Component> {
    let Some(tag) = f.optional_link(role) else {
        f.wrong("plant::missing-link", format!("needs a link \"{role}\""), None);
        return None;
    };
    let found = d.components.iter().find(|c| c.tag == tag.as_str());
    if found.is_none() {
        let c = f.component();
        let wrong = Diagnostic::error(
            "plant::unknown-tag",
            c.place.clone(),
            format!("{}: \"{role}\" names {tag}, and there is no such component", c.tag),
        );
        f.wrong.borrow_mut().push(wrong.nearest(tag.as_str(), d.tags()));
    }
    found
}
