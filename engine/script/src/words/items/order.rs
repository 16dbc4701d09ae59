//! The tables of `order` and `group`.

use super::form::Form;
use crate::desk::Mention;
use base::sheet::ItemKind;

impl Form<'_> {
    /// Reads the table and puts it on the desk.
    pub fn order(&mut self) {
        let steps = self.texts("steps");
        let at = self.at("steps");
        for (i, name) in steps.iter().enumerate() {
            if steps[..i].contains(name) {
                self.wrong(
                    "script::repeated",
                    "steps",
                    format!("\"{name}\" stands in steps twice"),
                    "name each step once",
                );
            }
            self.desk.mentioned.push((Mention::Step, name.clone(), at.clone()));
        }
        if self.given.contains_key("steps") && steps.len() < 2 {
            self.wrong("script::field", "steps", "an order is one of at least two steps", "name more steps");
        }
        let wrong = self.condition("wrong");
        let none_at = match self.number("none_at") {
            None => steps.len() as u32,
            Some(n) if n.fract() == 0.0 && (1.0..=10_000.0).contains(&n) => n as u32,
            Some(_) => {
                self.wrong("script::field", "none_at", "none_at is a whole number from 1 on", "write for example 4");
                1
            }
        };
        let mut told = format!("In their order: {}", steps.join(", "));
        if let Some(c) = wrong {
            told.push_str(&format!("; never: {}", self.teller().clause(c)));
        }
        self.item(told, ItemKind::Order { steps, wrong, none_at });
    }

    /// Reads the table and puts it on the desk.
    pub fn group(&mut self) {
        let marks = self.marks("marks").unwrap_or_default();
        let place = self.place.clone();
        if self.desk.groups.iter().any(|g| g.0 == self.name) {
            let message = format!("there is a group \"{}\" already", self.name);
            self.desk.wrong("script::repeated", &place, message, "give each group a name of its own");
        }
        self.desk.groups.push((self.name.clone(), marks, place));
    }
}
