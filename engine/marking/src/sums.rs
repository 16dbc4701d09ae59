//! Marks summed over some of the items: those of a group, or those that show a competence.
//!
//! Items that were not assessed count for nothing. Where an item belongs to several sets, such as one that
//! names two competences, it counts whole in each of them, so that such sums are not to be added up.

use crate::verdict::{Outcome, RunResult};
use base::sheet::Marks;

/// One set of items of one person, or of a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Summed {
    /// What the items have in common: the name of a group, the reference of a competence.
    pub of: String,
    /// The items, in the order of the sheet.
    pub items: Vec<String>,
    /// How many times one of them was assessed.
    pub assessed: usize,
    /// Marks earned on them.
    pub earned: Marks,
    /// Marks that could be earned on them.
    pub out_of: Marks,
}

/// The sums of sets of items over these runs, in the order of the sets; with one run, of one person.
#[must_use]
pub fn summed(sets: &[(String, Vec<String>)], runs: &[&RunResult]) -> Vec<Summed> {
    let one = |(of, items): &(String, Vec<String>)| {
        let mut sum = Summed { of: of.clone(), items: items.clone(), assessed: 0, earned: Marks(0), out_of: Marks(0) };
        let verdicts = runs.iter().flat_map(|r| &r.verdicts);
        for v in verdicts.filter(|v| v.outcome != Outcome::NotAssessed && items.contains(&v.name)) {
            sum.assessed += 1;
            sum.earned = sum.earned + v.earned;
            sum.out_of = sum.out_of + v.out_of;
        }
        sum
    };
    sets.iter().map(one).collect()
}
