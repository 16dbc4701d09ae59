//! Digests of the rules by which items are marked, so that a changed rule is told from a changed run.

use crate::pack::Ready;
use base::observable::Watched;
use base::sheet::{Asked, Item, ItemKind};
use files::digest;
use monitor::Formula;
use std::collections::BTreeMap;

/// A short digest of the rule of each item, by name: its kind, its conditions with what they look at,
/// its times and parts, and whether it is asked for. What an item is worth, whether it decides the run and what
/// it says to people is no part of it.
#[must_use]
pub fn digests(ready: &Ready) -> BTreeMap<String, String> {
    let watched = &ready.exercise.watched;
    ready.sheet.items.iter().map(|i| (i.name.clone(), rule(i, watched))).collect()
}

fn rule(item: &Item<Formula>, watched: &[Watched]) -> String {
    let kind: &ItemKind<Formula> = &item.kind;
    let asked = match (item.counts.asked, &item.counts.instead_of) {
        (Asked::Needed, None) => String::new(),
        counted => format!(" counts: {counted:?}"),
    };
    let text = spelled(&format!("{kind:?}{asked}"), watched);
    digest::bytes(text.as_bytes()).short().to_owned()
}

/// The text with each signal's place in the row replaced by what it is: places move when other items
/// come and go.
fn spelled(text: &str, watched: &[Watched]) -> String {
    const SIGNAL: &str = "Signal(";
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(SIGNAL) {
        let (before, behind) = rest.split_at(at + SIGNAL.len());
        out.push_str(before);
        let end = behind.find(')').unwrap_or(behind.len());
        match behind[..end].parse::<usize>().ok().and_then(|place| watched.get(place)) {
            Some(what) => out.push_str(&format!("{what:?}")),
            None => out.push_str(&behind[..end]),
        }
        rest = &behind[end..];
    }
    out + rest
}
