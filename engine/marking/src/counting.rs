//! How judged items count beside each other: items that stand in each other's place, and what was shown
//! and what was true at the moment that decided.

use crate::judgement::Judgement;
use crate::words::Language;
use base::Tick;
use base::record::{Layer, Record};
use base::sheet::{Item, ItemKind, first, stand_for_each_other};
use base::units;
use monitor::Found;
use std::collections::BTreeMap;

/// What was done where this step is asked for: the step itself, or else the first of those in whose place it may
/// stand or that may stand in its own. `done` tells whether an item came true.
pub(crate) fn done_for<C>(items: &[Item<C>], at: usize, done: impl Fn(usize) -> bool) -> Option<usize> {
    let step = |i: &usize| matches!(items[*i].kind, ItemKind::Step { .. });
    let others = (0..items.len()).filter(|i| stand_for_each_other(items, *i, at));
    std::iter::once(at).chain(others).filter(step).find(|i| done(*i))
}

/// Of items that stand in each other's place the best one counts: what earned most, else what may yet have
/// (a run that was not seen to its end), else what is written first. The others are left aside.
pub(crate) fn leave_aside<C>(items: &[Item<C>], judged: &mut [Judgement]) {
    let mut sets: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for at in 0..items.len() {
        sets.entry(first(items, at)).or_default().push(at);
    }
    for set in sets.values().filter(|s| s.len() > 1) {
        let rank = |at: usize| match &judged[at] {
            Judgement { part: Some(part), .. } if *part > 0 => (3, *part),
            Judgement { open: true, .. } => (2, 0),
            Judgement { part: Some(_), .. } => (1, 0),
            _ => (0, 0),
        };
        let Some(best) = set.iter().copied().reduce(|a, b| if rank(b) > rank(a) { b } else { a }) else { continue };
        if rank(best) == (0, 0) {
            continue;
        }
        for at in set.iter().copied().filter(|a| *a != best) {
            let aside = std::mem::take(&mut judged[at]);
            let found = format!("left aside, since \"{}\" counts in its place; {}", items[best].name, aside.found);
            judged[at] = Judgement { part: None, lost: false, open: false, found, ..aside };
        }
    }
}

/// What the panel showed and what was true at a moment, of the first instrument of a condition whose
/// trend the run has.
pub(crate) fn shown_and_true(
    found: &Found,
    when: Option<Tick>,
    record: &Record,
    language: Language<'_>,
) -> (Option<String>, Option<String>) {
    let Some(when) = when else { return (None, None) };
    let value = |tag: &base::Tag, layer: Layer| {
        let channel = record.channels.iter().find(|c| c.tag == *tag && c.layer == layer)?;
        let value = channel.values.get((when.0 / channel.every.max(1)) as usize)?;
        let unit = units::unit(&channel.unit)?;
        let told = if channel.unit == "state" { format!("{value:.0}") } else { unit.tell(unit.to_si(*value)) };
        Some(format!("{tag} {told}"))
    };
    for tag in language.instruments(found) {
        let (shown, actual) = (value(tag, Layer::Shown), value(tag, Layer::Actual));
        if shown.is_some() || actual.is_some() {
            return (shown, actual);
        }
    }
    (None, None)
}
