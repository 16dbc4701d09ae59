//! What a person or a class showed of the competences that the items name.

use crate::sums::{Summed, summed};
use crate::verdict::RunResult;
use std::collections::BTreeMap;

/// The competences over these runs, in the order of their references; with one run, of one person.
#[must_use]
pub fn shown(competences: &BTreeMap<String, Vec<String>>, runs: &[&RunResult]) -> Vec<Summed> {
    let mut sets: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for v in runs.first().into_iter().flat_map(|r| &r.verdicts) {
        for reference in competences.get(&v.name).into_iter().flatten() {
            sets.entry(reference).or_default().push(v.name.clone());
        }
    }
    let sets: Vec<(String, Vec<String>)> = sets.into_iter().map(|(of, items)| (of.to_owned(), items)).collect();
    summed(&sets, runs)
}
