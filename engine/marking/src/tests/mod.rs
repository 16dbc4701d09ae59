//! Runs marked by hand from their sheets, a file a kind of item; here is what they share: a plant of four
//! signals, a quiet run of it, and a check of one item.

use crate::{Language, Outcome, RunResult, mark, watches};
use base::observable::{Observable, Verb, Watched};
use base::record::{Event, Happening, Layer, Record};
use base::sheet::{Item, ItemKind, Marks, Sheet};
use base::units::Dimension;
use base::{Place, Tag, Tick};
use monitor::{Formula, Found, Watcher};

mod limits;
mod margins;
mod orders;
mod properties;
mod responses;
mod steps;
mod sums;
mod unseen;

/// Rows hold: purge done (moment), flame lit (state), drum pressure (Pa), superheater metal (K).
pub(crate) const PURGE: u32 = 0;
pub(crate) const FLAME: u32 = 1;
pub(crate) const DRUM: u32 = 2;
pub(crate) const METAL: u32 = 3;

fn watched() -> Vec<Watched> {
    let of = |what, dimension| Watched { what, dimension };
    vec![
        of(Observable::Did { verb: Verb::Operate, on: Some(Tag::new("HS-1")), to: None }, Dimension::State),
        of(Observable::Lit(Tag::new("XL-1")), Dimension::State),
        of(Observable::Actual(Tag::new("PT-1")), Dimension::Pressure),
        of(Observable::Actual(Tag::new("TT-1")), Dimension::Temperature),
    ]
}

fn name(o: &Observable) -> String {
    match o {
        Observable::Actual(t) if t.as_str() == "PT-1" => "drum pressure".to_owned(),
        Observable::Actual(t) if t.as_str() == "TT-1" => "superheater metal".to_owned(),
        other => other.to_string(),
    }
}

pub(crate) fn item(name: &str, marks: i64, critical: bool, kind: ItemKind<Formula>) -> Item<Formula> {
    let (expected, practise) = (format!("{name} as asked"), Some(format!("practise {name}")));
    Item {
        name: name.to_owned(),
        expected,
        practise,
        marks: Marks::whole(marks),
        critical,
        counts: base::sheet::Counts::default(),
        kind,
        place: Place::default(),
    }
}

pub(crate) fn step(
    done: Formula,
    after: &[&str],
    full_by: Option<u32>,
    none_by: Option<u32>,
    out_of_order: i64,
) -> ItemKind<Formula> {
    let after = after.iter().map(|s| (*s).to_owned()).collect();
    ItemKind::Step {
        done,
        after,
        full_by: full_by.map(Tick),
        none_by: none_by.map(Tick),
        out_of_order,
        none_short: None,
    }
}

pub(crate) fn limit(
    keep: Formula,
    during: Option<Formula>,
    none_beyond: Option<f64>,
    none_after: Option<u32>,
) -> ItemKind<Formula> {
    ItemKind::Limit { keep, during, none_beyond, none_after }
}

pub(crate) fn response(by: Formula, full: u32, none: u32) -> ItemKind<Formula> {
    ItemKind::Response { to: "feed".to_owned(), by, full, none }
}

/// A run of `n` ticks in which the drum is at 4 barg and the metal at 400 degC.
pub(crate) fn quiet(n: usize) -> Vec<[f64; 4]> {
    vec![[0.0, 0.0, 501_325.0, 673.15]; n]
}

/// The same with some samples set.
pub(crate) fn with(mut rows: Vec<[f64; 4]>, set: &[(u32, std::ops::RangeInclusive<usize>, f64)]) -> Vec<[f64; 4]> {
    for (signal, ticks, value) in set {
        for t in ticks.clone() {
            rows[t][*signal as usize] = *value;
        }
    }
    rows
}

pub(crate) fn record(rows: &[[f64; 4]], fault: Option<(u32, Option<u32>)>) -> Record {
    let mut events = Vec::new();
    if let Some((on, off)) = fault {
        let what = Happening::FaultOn {
            name: "feed".into(),
            on: Tag::new("LCV-1"),
            kind: "seized".into(),
            layer: Layer::Actual,
            comes: base::record::Coming::default(),
        };
        events.push(Event { tick: Tick(on), what });
        events.extend(
            off.map(|t| Event { tick: Tick(t), what: Happening::FaultOff { name: "feed".into(), by_trainee: false } }),
        );
    }
    Record { end: Tick(rows.len() as u32 - 1), events, channels: Vec::new() }
}

fn find(sheet: &Sheet<Formula>, rows: &[[f64; 4]]) -> Vec<Found> {
    let mut watchers: Vec<Watcher> = watches(sheet).iter().map(Watcher::new).collect();
    for row in rows {
        watchers.iter_mut().for_each(|w| w.feed(row));
    }
    watchers.into_iter().map(Watcher::finish).collect()
}

pub(crate) fn run(
    items: Vec<Item<Formula>>,
    pass: Option<i64>,
    rows: &[[f64; 4]],
    fault: Option<(u32, Option<u32>)>,
) -> RunResult {
    run_with(items, pass, rows, &record(rows, fault))
}

pub(crate) fn run_with(items: Vec<Item<Formula>>, pass: Option<i64>, rows: &[[f64; 4]], record: &Record) -> RunResult {
    let sheet = Sheet { items, pass: pass.map(Marks::whole), ..Sheet::default() };
    mark(&sheet, &find(&sheet, rows), record, Language { watched: &watched(), name: &name, unit: &|_| None })
}

/// One item alone against a run: outcome, hundredths earned, and what is said.
fn check(
    what: &str,
    kind: ItemKind<Formula>,
    rows: &[[f64; 4]],
    fault: Option<(u32, Option<u32>)>,
    outcome: Outcome,
    earned: i64,
    says: &[&str],
) {
    let result = run(vec![item("it", 10, false, kind)], None, rows, fault);
    let v = &result.verdicts[0];
    let said = format!(
        "{} | {} | {}",
        v.found,
        v.value_margin.as_deref().unwrap_or("-"),
        v.time_margin.as_deref().unwrap_or("-")
    );
    assert_eq!((v.outcome, v.earned.0), (outcome, earned), "{what}: {said}");
    assert_eq!(result.out_of.0, if outcome == Outcome::NotAssessed { 0 } else { 1000 }, "{what}");
    assert_eq!(v.practise.is_some(), matches!(outcome, Outcome::Part | Outcome::Nothing), "{what}");
    for s in says {
        assert!(said.contains(s), "{what}: \"{s}\" is not said in \"{said}\"");
    }
}
