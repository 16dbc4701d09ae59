//! Every cell of the catalogue of faults on the training vessel: that it acts on its layer and nowhere else, that
//! what it cannot reach stays as it was, that it clears, and that it is deterministic.
//!
//! A plant in a prepared state is run twice with the same orders, once undisturbed and once with the failing, and
//! compared bit for bit at every point, true and signalled, and at every lamp, gauge and alarm. Where an order is
//! needed for a failing to show (a valve that is seized must be asked to move), both runs get it.

mod cell;
mod consequences;
mod needs;

use base::Place;
use cell::{Found, Stage};
use replay::Ship;
use replay::catalogue::{self, Cell};
use std::collections::BTreeMap;
use std::fmt::Write;

fn ship() -> Ship {
    Ship::named("training-vessel", &Place::default()).unwrap()
}

#[test]
fn every_cell_acts_on_its_layer_clears_and_is_deterministic() {
    let ship = ship();
    let mut stages: BTreeMap<&'static str, Stage> = BTreeMap::new();
    let mut wrong = String::new();
    let mut table: BTreeMap<&'static str, (usize, usize, usize)> = BTreeMap::new();
    let mut quiet = vec![];
    for Cell { family, target, kind, on } in catalogue::cells(&ship) {
        let family = family.unwrap_or("in no family");
        let needs = needs::of(&target, kind);
        let stage = stages.entry(needs.state).or_insert_with(|| Stage::new(&ship, needs.state));
        let mut shows = 0;
        for (i, tag) in on.iter().enumerate() {
            // Determinism is a matter of the failing, not of its target.
            match stage.cell(tag, kind, &needs, i == 0) {
                Ok(Found { seen }) => shows += usize::from(seen),
                Err(why) => writeln!(wrong, "{target} {tag} \"{kind}\": {why}").unwrap(),
            }
        }
        if shows == 0 {
            quiet.push(format!("{target} \"{kind}\" makes no difference to any of {on:?}"));
        }
        let row = table.entry(family).or_default();
        *row = (row.0 + 1, row.1 + on.len(), row.2 + shows);
    }
    println!("{:<28} {:>6} {:>8} {:>6}", "family", "cells", "targets", "seen");
    let all = table.values().fold((0, 0, 0), |a, r| (a.0 + r.0, a.1 + r.1, a.2 + r.2));
    for (name, (cells, targets, seen)) in table.iter().map(|(n, r)| (*n, *r)).chain([("all", all)]) {
        println!("{name:<28} {cells:>6} {targets:>8} {seen:>6}");
    }
    println!("{} of {} cells of the catalogue seen", all.0 - quiet.len(), all.0);
    assert!(wrong.is_empty(), "{} wrong:\n{wrong}", wrong.lines().count());
    assert!(quiet.is_empty(), "{quiet:#?}");
    let rows = catalogue::FAMILIES.iter().flat_map(|f| f.rows).map(|(_, all, some)| all.len() + some.len());
    assert_eq!(all.0, rows.sum::<usize>(), "every cell of the catalogue was walked");
}
