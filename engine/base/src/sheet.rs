//! The mark sheet as plain data, over whatever type its conditions have.

use crate::{Place, Tag, Tick};
use std::collections::BTreeMap;

/// Marks are whole hundredths, so that sums are exact: 6 marks are 600.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Marks(pub i64);

impl Marks {
    /// Whole marks.
    #[must_use]
    pub fn whole(n: i64) -> Marks {
        Marks(n * 100)
    }

    /// This part of the marks, in parts of a million, rounded half away from zero.
    #[must_use]
    pub fn part(self, millionths: i64) -> Marks {
        let n = i128::from(self.0) * i128::from(millionths);
        let half = if n < 0 { -500_000 } else { 500_000 };
        Marks(((n + half) / 1_000_000) as i64)
    }
}

impl std::ops::Add for Marks {
    type Output = Marks;
    fn add(self, other: Marks) -> Marks {
        Marks(self.0 + other.0)
    }
}

impl std::iter::Sum for Marks {
    fn sum<I: Iterator<Item = Marks>>(iter: I) -> Marks {
        iter.fold(Marks(0), |a, b| a + b)
    }
}

impl std::fmt::Display for Marks {
    /// `6`, `5.5`, `5.25`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (whole, rest) = (self.0.abs() / 100, self.0.abs() % 100);
        match rest {
            0 => write!(f, "{sign}{whole}"),
            r if r % 10 == 0 => write!(f, "{sign}{whole}.{}", r / 10),
            r => write!(f, "{sign}{whole}.{r:02}"),
        }
    }
}

/// A mark sheet: items in the order in which they were written.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet<C> {
    /// The items.
    pub items: Vec<Item<C>>,
    /// Marks needed to pass, if the exercise says so.
    pub pass: Option<Marks>,
    /// What items show of a trainee: names of items with the references to competences that the
    /// exercise gave them, in its order. Items without any are not in it.
    pub competences: BTreeMap<String, Vec<String>>,
}

// Written out, since an empty sheet asks nothing of the type of its conditions.
impl<C> Default for Sheet<C> {
    fn default() -> Sheet<C> {
        Sheet { items: Vec::new(), pass: None, competences: BTreeMap::new() }
    }
}

/// One item of a mark sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Item<C> {
    /// The name the exercise gave it, unique in the sheet.
    pub name: String,
    /// What the trainee should have done or kept, for people.
    pub expected: String,
    /// What to practise when marks were lost.
    pub practise: Option<String>,
    /// Marks that can be earned.
    pub marks: Marks,
    /// Losing a critical item decides the run: not passed, whatever the sum.
    pub critical: bool,
    /// How it counts in the sum.
    pub counts: Counts,
    /// What kind of item and its conditions.
    pub kind: ItemKind<C>,
    /// Where the script wrote it.
    pub place: Place,
}

/// How an item counts in the sum.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Whether it is asked for.
    pub asked: Asked,
    /// The group it belongs to, if any. The marks of its items have been brought to the group's weight already.
    pub group: Option<String>,
    /// The item in whose place it may stand: of the two the better one counts, the other is left aside.
    pub instead_of: Option<String>,
}

/// Whether an item is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Asked {
    /// It is.
    #[default]
    Needed,
    /// It need not be tried; whoever tries it is marked on it.
    Optional,
    /// It comes on top: it makes good for what was lost elsewhere, and never goes past the whole.
    Bonus,
}

/// A fault that a finding is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Its name in the exercise.
    pub fault: String,
    /// The equipment, lamp, gauge or alarm that fails.
    pub on: Tag,
    /// Its kind in the fault table.
    pub kind: String,
    /// Every kind of failure that this equipment can have.
    pub kinds: Vec<String>,
}

/// The kinds of item.
#[derive(Clone, Debug, PartialEq)]
pub enum ItemKind<C> {
    /// Something to be brought about. Full marks when `done` first comes true by `full_by` (if
    /// given) and after every step in `after`; falling in a straight line to nothing at `none_by`.
    /// Done before a step that it should follow earns `out_of_order` (parts of a million).
    Step {
        /// What must come true.
        done: C,
        /// Names of steps that come first.
        after: Vec<String>,
        /// Full marks up to this moment.
        full_by: Option<Tick>,
        /// No marks from this moment on.
        none_by: Option<Tick>,
        /// Part of the marks when the order was broken, millionths.
        out_of_order: i64,
        /// When it was not done: how far short of it loses everything, in the SI unit of the value that
        /// decided; a straight line. `None` when being near earns nothing.
        none_short: Option<f64>,
    },
    /// Something to keep, at all times while `during` holds (the whole run when `None`). Marks fall
    /// in a straight line with how far (`none_beyond`, in the SI unit of the value that decided) and
    /// how long in total (`none_after` ticks); the worse of the two counts. With neither, any breach
    /// loses all.
    Limit {
        /// What must hold.
        keep: C,
        /// When it is looked at.
        during: Option<C>,
        /// How far past the limit loses everything.
        none_beyond: Option<f64>,
        /// How long past the limit, in total, loses everything (ticks).
        none_after: Option<u32>,
    },
    /// An answer to a fault: from its onset to the first moment `by` comes true. Full marks up to
    /// `full` ticks, none from `none` ticks on, a straight line between.
    Response {
        /// Name of the fault.
        to: String,
        /// What answers it.
        by: C,
        /// Full marks up to this delay (ticks).
        full: u32,
        /// No marks from this delay on (ticks).
        none: u32,
    },
    /// Steps in the order that they ask for by their own `after`. Each departure (a step left out, a step
    /// out of its place, something that should not be done) costs the same part of the marks.
    Order {
        /// Names of steps of the sheet.
        steps: Vec<String>,
        /// What should not be done: each time that it comes true is a departure.
        wrong: Option<C>,
        /// No marks from so many departures on.
        none_at: u32,
    },
    /// How well a value was held, by its distance from where it should be, on average over the time
    /// that counts. Full marks up to the tolerance of `within`, none from `none_beyond` on (SI), a straight line between.
    Steadiness {
        /// The value within a tolerance of where it should be: a comparison with a low and a high end.
        within: C,
        /// When it is looked at.
        during: Option<C>,
        /// How far off on average loses everything.
        none_beyond: f64,
    },
    /// What the trainee reported to be wrong against what was wrong.
    Finding {
        /// What was wrong.
        of: Vec<Wrong>,
        /// Part of a fault's marks for its equipment without its kind, millionths.
        right_equipment: i64,
        /// Part of all the marks that a report of sound equipment costs, millionths.
        guess: i64,
    },
}

impl<C> ItemKind<C> {
    /// The word of the kind.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            ItemKind::Step { .. } => "step",
            ItemKind::Limit { .. } => "limit",
            ItemKind::Response { .. } => "response",
            ItemKind::Order { .. } => "order",
            ItemKind::Steadiness { .. } => "steadiness",
            ItemKind::Finding { .. } => "finding",
        }
    }

    /// The faults that the item asks about.
    pub fn faults(&self) -> impl Iterator<Item = &str> {
        let (one, many) = match self {
            ItemKind::Response { to, .. } => (Some(to.as_str()), &[][..]),
            ItemKind::Finding { of, .. } => (None, &of[..]),
            _ => (None, &[][..]),
        };
        one.into_iter().chain(many.iter().map(|w| w.fault.as_str()))
    }
}

/// The item that stands first of those in whose place this one may stand, by places in the sheet.
#[must_use]
pub fn first<C>(items: &[Item<C>], mut at: usize) -> usize {
    // No chain is longer than the sheet; a ring ends somewhere in it.
    for _ in 0..items.len() {
        let Some(name) = &items[at].counts.instead_of else { break };
        let Some(next) = items.iter().position(|i| i.name == *name) else { break };
        at = next;
    }
    at
}

/// Whether two items may stand in each other's place.
#[must_use]
pub fn stand_for_each_other<C>(items: &[Item<C>], one: usize, other: usize) -> bool {
    first(items, one) == first(items, other)
}

/// The places in the sheet of all steps that come before one by their `after`, directly or through others.
#[must_use]
pub fn before<C>(items: &[Item<C>], step: usize) -> Vec<usize> {
    let (mut all, mut open) = (Vec::new(), vec![step]);
    while let Some(at) = open.pop() {
        let ItemKind::Step { after, .. } = &items[at].kind else { continue };
        for earlier in after.iter().filter_map(|name| items.iter().position(|i| i.name == *name)) {
            if !all.contains(&earlier) {
                all.push(earlier);
                open.push(earlier);
            }
        }
    }
    all
}

impl<C> Sheet<C> {
    /// The marks that can be earned when every item is assessed: without what comes on top, and of items
    /// that stand in each other's place the first alone.
    #[must_use]
    pub fn whole(&self) -> Marks {
        let counted = |i: &&Item<C>| i.counts.asked != Asked::Bonus && i.counts.instead_of.is_none();
        self.items.iter().filter(counted).map(|i| i.marks).sum()
    }

    /// The other items that an item's marks go by: those that it comes after or takes in order, and those in
    /// whose place it or one of these may stand or that may stand in its own.
    #[must_use]
    pub fn leans_on(&self, item: &Item<C>) -> Vec<String> {
        let named = match &item.kind {
            ItemKind::Step { after, .. } => &after[..],
            ItemKind::Order { steps, .. } => &steps[..],
            _ => &[],
        };
        let items = &self.items;
        let asked = |i: &Item<C>| i.name == item.name || named.contains(&i.name);
        let of: Vec<usize> = (0..items.len()).filter(|i| asked(&items[*i])).collect();
        let leans = |at: &usize| of.iter().any(|o| stand_for_each_other(items, *o, *at));
        let others = (0..items.len()).filter(|at| items[*at].name != item.name).filter(leans);
        others.map(|at| items[at].name.clone()).collect()
    }

    /// The groups with the names of their items, in the order of their first items.
    #[must_use]
    pub fn groups(&self) -> Vec<(String, Vec<String>)> {
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        for item in &self.items {
            let Some(group) = &item.counts.group else { continue };
            match groups.iter_mut().find(|g| g.0 == *group) {
                Some(known) => known.1.push(item.name.clone()),
                None => groups.push((group.clone(), vec![item.name.clone()])),
            }
        }
        groups
    }
}

#[cfg(test)]
mod tests {
    use super::Marks;

    #[test]
    fn marks_are_told_without_false_decimals() {
        assert_eq!(Marks(600).to_string(), "6");
        assert_eq!(Marks(550).to_string(), "5.5");
        assert_eq!(Marks(-525).to_string(), "-5.25");
        assert_eq!(Marks::whole(8).part(333_333), Marks(267));
    }
}
