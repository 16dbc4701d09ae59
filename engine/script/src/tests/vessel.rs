//! A small made-up vessel for tests (own choice throughout).

use crate::names::{Control, Names, Point, Range, Size};
use base::record::Layer::{self, Actual, Shown, Signal};
use base::units::unit;
use std::collections::BTreeMap;

fn point(name: &str, symbol: &str, words: &[&str], layers: &[Layer]) -> Point {
    Point {
        name: name.into(),
        unit: unit(symbol).unwrap(),
        words: words.iter().map(|w| (*w).to_string()).collect(),
        layers: layers.to_vec(),
        range: None,
        scale: None,
    }
}

fn control(name: &str, words: &[&str], dial: Option<Range>) -> Control {
    Control { name: name.into(), words: words.iter().map(|w| (*w).to_string()).collect(), dial }
}

fn range(symbol: &str, min: f64, max: f64) -> Range {
    Range { unit: unit(symbol).unwrap(), min, max }
}

fn named(list: &[(&str, &str)]) -> BTreeMap<String, String> {
    list.iter().map(|(t, n)| ((*t).into(), (*n).into())).collect()
}

pub fn names() -> Names {
    let all = [Actual, Signal, Shown];
    let open = range("% open", 0.0, 1.0);
    let size = |range, needed| Some(Size { range, needed, grows: true });
    let mut n = Names {
        plant: "demo".into(),
        starts: vec!["cold".into(), "steaming".into()],
        lamps: named(&[("XL-2104", "sea-water pump running"), ("XL-3310", "main flame")]),
        alarms: named(&[("LAL-3001", "drum level low")]),
        trips: named(&[("B-3001", "boiler")]),
        damageable: named(&[("P-3101", "feed pump 1"), ("E-3207", "superheater")]),
        checkable: named(&[("XV-2104", "sea-water pump suction valve")]),
        ..Names::default()
    };
    for (tag, p) in [
        ("PT-3001", point("drum pressure", "barg", &[], &all)),
        ("PT-3002", point("main line pressure", "barg", &[], &all)),
        ("LT-3001", point("drum level", "mm", &[], &all)),
        ("TT-3207", point("superheater metal", "degC", &[], &[Actual])),
        ("FT-3301", point("air flow", "kg/s", &[], &all)),
        ("XV-2104", point("suction valve", "state", &["shut", "open"], &[Actual, Shown])),
        ("NV-1", point("burner state", "state", &["off", "pilot", "main"], &[Actual])),
    ] {
        n.points.insert(tag.into(), p);
    }
    for (tag, c) in [
        ("P-3101", control("feed pump 1", &["stop", "start"], None)),
        ("P-3102", control("feed pump 2", &["stop", "start"], None)),
        ("LIC-3001", control("level controller", &["manual", "auto"], None)),
        ("FCV-3102", control("feed valve", &[], Some(open))),
        ("HC-3301", control("burner", &["stop", "start"], None)),
        ("burner", control("burner", &["stop", "start"], None)),
        ("FD-3401", control("forced-draught fan", &["stop", "start"], None)),
        ("LCV-3102", control("feed by-pass", &["shut", "open"], None)),
    ] {
        n.controls.insert(tag.into(), c);
    }
    let kinds = |list: Vec<(&str, Option<Size>)>| -> BTreeMap<String, Option<Size>> {
        list.into_iter().map(|(k, s)| (k.to_owned(), s)).collect()
    };
    for (tag, k) in [
        ("XL-2104", kinds(vec![("dark", None), ("stuck lit", None)])),
        (
            "FCV-3102",
            kinds(vec![("seized", size(open, false)), ("passing", size(range("% of rated", 0.0, 1.0), true))]),
        ),
        ("B-3001", kinds(vec![("flame lost", None)])),
    ] {
        n.failings.insert(tag.into(), k);
    }
    n.weather.insert("sea temperature".into(), range("degC", 271.15, 309.15));
    n.loads.insert("L-5415".into(), range("kW", 0.0, 240e3));
    shipped(&mut n);
    n
}

/// What the examples of the reference speak of: tags of the training vessel.
fn shipped(n: &mut Names) {
    let all = [Actual, Signal, Shown];
    let open = range("% open", 0.0, 1.0);
    for (tag, p) in [
        ("PT-2001", point("drum pressure", "barg", &[], &all)),
        ("LT-2001", point("drum level", "mm", &[], &all)),
        ("TT-2102", point("superheater metal", "degC", &[], &[Actual])),
        ("FT-2001", point("air flow", "kg/s", &[], &all)),
        ("FT-3001", point("feed flow", "t/h", &[], &all)),
        ("ZSH-2104", point("main-line drain, open limit switch", "state", &["not open", "open"], &all)),
    ] {
        n.points.insert(tag.into(), p);
    }
    for (tag, c) in [
        ("P-3001", control("feed pump 1", &["start", "stop"], None)),
        ("P-3002", control("feed pump 2", &["start", "stop"], None)),
        ("LIC-3001", control("level controller", &["manual", "automatic", "auto"], None)),
        ("LCV-3002", control("feed by-pass", &["open", "shut"], Some(open))),
        ("HS-2002", control("burner", &["start", "stop"], None)),
        ("K-2001", control("forced-draught fan", &["start", "stop"], None)),
    ] {
        n.controls.insert(tag.into(), c);
    }
    n.lamps.extend(named(&[("BL-2001", "main flame seen")]));
    n.alarms.extend(named(&[("XA-2001", "drum level low")]));
    n.trips.extend(named(&[("XS-2001", "boiler trip")]));
    n.damageable.extend(named(&[("SH-2101", "superheater")]));
}
