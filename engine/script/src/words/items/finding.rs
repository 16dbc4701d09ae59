//! The table of `finding`.

use super::form::Form;
use crate::desk::{Desk, Mention};
use base::Tag;
use base::sheet::{ItemKind, Wrong};

/// Part of a fault's marks for the right equipment, when the script does not say (own choice), millionths.
const RIGHT_EQUIPMENT: i64 = 500_000;
/// Part of all the marks that a guess costs, when the script does not say (own choice), millionths.
const GUESS: i64 = 250_000;

impl Form<'_> {
    /// Reads the table and puts it on the desk. What the faults are is filled in when all are known.
    pub fn finding(&mut self) {
        let faults = self.texts("faults");
        let at = self.at("faults");
        for name in &faults {
            self.desk.mentioned.push((Mention::Fault, name.clone(), at.clone()));
        }
        if self.given.contains_key("faults") && faults.is_empty() {
            self.wrong("script::field", "faults", "faults names none", "leave it out for all faults of the exercise");
        }
        let right_equipment = self.part("right_equipment", RIGHT_EQUIPMENT);
        let guess = self.part("guess", GUESS);
        let told = if faults.is_empty() {
            "Everything that is wrong is reported: which equipment, and what kind of failure".to_owned()
        } else {
            format!("Reported, by equipment and kind of failure: {}", faults.join(", "))
        };
        let of = faults.into_iter().map(named).collect();
        self.item(told, ItemKind::Finding { of, right_equipment, guess });
    }
}

fn named(fault: String) -> Wrong {
    Wrong { fault, on: Tag::new(""), kind: String::new(), kinds: Vec::new() }
}

/// Fills in what the faults of findings are; one that names none is about all of the exercise.
pub(crate) fn fill_in(desk: &mut Desk) {
    let known: Vec<Wrong> = desk
        .faults
        .iter()
        .map(|f| Wrong {
            fault: f.name.clone(),
            on: f.on.clone(),
            kind: f.kind.clone(),
            kinds: desk.names.failings.get(f.on.as_str()).map(|k| k.keys().cloned().collect()).unwrap_or_default(),
        })
        .collect();
    for item in &mut desk.items {
        let ItemKind::Finding { of, .. } = &mut item.kind else { continue };
        if of.is_empty() {
            *of = known.clone();
        } else {
            *of = of.iter().filter_map(|w| known.iter().find(|k| k.fault == w.fault).cloned()).collect();
        }
    }
}
