//! What a class showed of the competences that the items name.
//!
//! An item that names several competences counts whole for each of them, so the sums of competences are
//! not to be added up. Items that were not assessed count for nothing.

use crate::verdict::{Outcome, RunResult};
use base::sheet::Marks;
use std::collections::BTreeMap;

/// One competence of one person, or of a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The reference.
    pub competence: String,
    /// The items that name it, in the order of the sheet.
    pub items: Vec<String>,
    /// How many times an item was assessed on it.
    pub assessed: usize,
    /// Marks earned on them.
    pub earned: Marks,
    /// Marks that could be earned on them.
    pub out_of: Marks,
}

/// The competences over these runs, in the order of their references; with one run, of one person.
#[must_use]
pub fn shown(competences: &BTreeMap<String, Vec<String>>, runs: &[&RunResult]) -> Vec<Shown> {
    let mut all: BTreeMap<&str, Shown> = BTreeMap::new();
    for run in runs {
        for v in &run.verdicts {
            for reference in competences.get(&v.name).into_iter().flatten() {
                let s = all.entry(reference).or_insert_with(|| Shown {
                    competence: reference.clone(),
                    items: vec![],
                    assessed: 0,
                    earned: Marks(0),
                    out_of: Marks(0),
                });
                if !s.items.contains(&v.name) {
                    s.items.push(v.name.clone());
                }
                if v.outcome != Outcome::NotAssessed {
                    s.assessed += 1;
                    s.earned = s.earned + v.earned;
                    s.out_of = s.out_of + v.out_of;
                }
            }
        }
    }
    all.into_values().collect()
}
