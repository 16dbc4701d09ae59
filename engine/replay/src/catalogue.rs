//! The catalogue of faults: families of failings, the kinds of target that each fits, and what of it is on board.
//!
//! A cell is a failing on a kind of target. The table here is what a plant of this kind has to offer; which
//! targets a cell has is asked of what was assembled, and a test holds the two together in both directions.

use crate::ship::Ship;
use base::Tag;
use plant::registry::Failing;
use std::collections::BTreeMap;

/// Failings that belong together: name, and rows of a kind of target with the failings that it has.
#[derive(Clone, Copy, Debug)]
pub struct Family {
    /// What the trade calls it.
    pub name: &'static str,
    /// Kinds of target, each with failings that all of them have, and failings that some have.
    pub rows: &'static [(&'static str, &'static [&'static str], &'static [&'static str])],
}

const VALVE: &[&str] = &["seized", "sluggish", "passing"];

/// The catalogue.
pub static FAMILIES: &[Family] = &[
    Family {
        name: "lamps, gauges and alarms",
        rows: &[
            ("lamp", &["dark", "stuck lit"], &[]),
            ("gauge", &["frozen", "offset", "drift", "noise"], &["slow", "wrong scale", "turns the wrong way"]),
            ("alarm", &["mute", "spurious"], &[]),
            ("gauge glass", &["water cock plugged"], &[]),
        ],
    },
    Family {
        name: "valves and dampers",
        rows: &[
            ("valve", VALVE, &["wrong fail position"]),
            ("steam valve", VALVE, &["wrong fail position"]),
            ("three-way valve", VALVE, &["wrong fail position"]),
            ("thermostatic valve", VALVE, &[]),
            ("air valve", VALVE, &[]),
            ("air drain", VALVE, &[]),
            ("damper", VALVE, &[]),
            ("stop valve", &["stuck"], &[]),
            ("contact", &["stuck on", "stuck off"], &[]),
            ("position feedback", &["frozen", "offset"], &[]),
        ],
    },
    Family {
        name: "transmitters and switches",
        rows: &[
            (
                "transmitter",
                &["frozen", "offset", "drift", "noise", "slow", "signal lost", "signal high"],
                &["reference leg lost"],
            ),
            ("switch", &["stuck on", "stuck off"], &[]),
            ("flame scanner", &["blind", "lies"], &[]),
            ("burner management", &["purge counts at once", "purge never counts"], &[]),
        ],
    },
    Family {
        name: "machines",
        rows: &[
            (
                "pump",
                &["air-locked", "coupling sheared", "worn"],
                &["trips", "will not start", "bearing hot", "standby start dead"],
            ),
            ("priming pump", &["trips", "will not start", "standby start dead"], &[]),
            ("compressor", &["trips", "will not start", "worn", "unloader stuck", "bearing hot"], &[]),
            ("vacuum pump", &["trips", "will not start", "worn", "bearing hot"], &["standby start dead"]),
            ("draught fan", &["trips", "will not start", "coupling sheared", "worn", "choked"], &[]),
            ("strainer", &["choked"], &[]),
            ("turbine bearing", &["hot"], &[]),
            ("turning gear", &["will not run", "slips"], &[]),
            ("electric heater", &["burnt out"], &[]),
        ],
    },
    Family {
        name: "exchangers and tubes",
        rows: &[
            ("cooler", &["fouled", "tube leak"], &[]),
            ("condenser", &["fouled", "tube leak"], &[]),
            ("heating coil", &["fouled"], &[]),
            ("steam trap", &["blocked"], &[]),
            ("drum", &["tube leak"], &[]),
            ("superheater", &["tube leak"], &[]),
            ("turbine oil", &["cooler fouled", "thermostat stuck"], &[]),
        ],
    },
    Family {
        name: "burner and safety valve",
        rows: &[
            ("burner", &["flame lost", "pilot fails", "no spark"], &[]),
            ("safety valve", &["lifts early", "stuck", "will not reseat"], &[]),
        ],
    },
    Family {
        name: "turbine",
        rows: &[
            ("turbine governor", &["hunting", "stuck"], &[]),
            ("turbine oil", &["leaks", "shaft pump worn"], &[]),
            ("filter", &["chokes"], &[]),
            ("turbine", &["unbalanced"], &[]),
            ("condenser", &["draws air"], &[]),
            ("trip gear", &["bolt dead", "electronic trip dead"], &[]),
        ],
    },
    Family {
        name: "electrical",
        rows: &[
            ("generator", &["regulator failed"], &[]),
            ("breaker", &["will not close", "falls out"], &[]),
            ("switchboard", &["check relay passes all"], &[]),
            ("ship load", &["earth fault"], &[]),
            (
                "diesel engine",
                &["will not start", "governor hunting", "governor stuck", "oil leak", "overspeed trip dead"],
                &[],
            ),
            ("battery", &["charger dead"], &[]),
        ],
    },
    Family {
        name: "compressed air",
        rows: &[
            (
                "air receiver",
                &["leaks"],
                &["safety valve stuck", "safety valve lifts early", "safety valve will not reseat"],
            ),
            ("air dryer", &["choked", "stopped"], &[]),
            ("air filter", &["choked"], &[]),
            ("air reducer", &["choked"], &[]),
            ("air user", &["choked"], &[]),
        ],
    },
    Family {
        name: "supplies",
        rows: &[
            ("switchboard", &["blackout"], &[]),
            ("shore supply", &["lost"], &[]),
            ("air receiver", &[], &["line parted"]),
        ],
    },
];

/// A failing on a kind of target, with the targets on board.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// The family, nothing when the catalogue does not know the cell.
    pub family: Option<&'static str>,
    /// The kind of target.
    pub target: String,
    /// The failing.
    pub kind: &'static str,
    /// The targets, in the order of plant and panel.
    pub on: Vec<Tag>,
}

/// The family of a failing on a kind of target.
#[must_use]
pub fn family(target: &str, kind: &str) -> Option<&'static str> {
    let has =
        |f: &&Family| f.rows.iter().any(|(t, all, some)| *t == target && (all.contains(&kind) || some.contains(&kind)));
    FAMILIES.iter().find(has).map(|f| f.name)
}

/// What kind of thing a failing is on: the kind of its component in the plant file, else what the tag is there.
#[must_use]
pub fn target(ship: &Ship, failing: &Failing) -> String {
    let on = failing.on.as_str();
    if ["will not close", "falls out"].contains(&failing.kind) {
        return "breaker".into();
    }
    let d = &ship.description;
    if let Some(c) = d.components.iter().find(|c| c.tag == on) {
        return if c.kind == "first-cause contact" { "contact".into() } else { c.kind.clone() };
    }
    // A part that has its tag from a field of its component is called after the field.
    let named = d.components.iter().flat_map(|c| &c.fields).find(|(_, f)| f.value == on).map(|(name, _)| name.as_str());
    match named {
        Some("flame contact") => return "flame scanner".into(),
        Some(name) if !name.contains("contact") => return name.to_owned(),
        _ => {}
    }
    let point = ship.plant.points().iter().find(|p| p.tag == failing.on);
    match point {
        Some(p) if p.words.is_some() => "contact".into(),
        Some(_) => "position feedback".into(),
        None => String::new(),
    }
}

/// Everything that can go wrong on board, cell by cell, in the order of kinds of target and failings.
#[must_use]
pub fn cells(ship: &Ship) -> Vec<Cell> {
    let mut cells: BTreeMap<(String, &'static str), Vec<Tag>> = BTreeMap::new();
    for f in ship.plant.failings().iter().chain(ship.panel.failings()) {
        cells.entry((target(ship, f), f.kind)).or_default().push(f.on.clone());
    }
    let cell = |((target, kind), on): ((String, &'static str), Vec<Tag>)| Cell {
        family: family(&target, kind),
        target,
        kind,
        on,
    };
    cells.into_iter().map(cell).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::Place;

    /// Where the catalogue and what is on board part, in words.
    fn parts_from(ship: &Ship) -> Vec<String> {
        let cells = cells(ship);
        let mut wrong = vec![];
        for c in cells.iter().filter(|c| c.family.is_none()) {
            wrong.push(format!("{:?} has \"{}\", which is in no family: {:?}", c.target, c.kind, c.on));
        }
        let mut targets: BTreeMap<String, std::collections::BTreeSet<Tag>> = BTreeMap::new();
        for c in &cells {
            targets.entry(c.target.clone()).or_default().extend(c.on.iter().cloned());
        }
        for (target, all, some) in FAMILIES.iter().flat_map(|f| f.rows) {
            for kind in all.iter().chain(*some) {
                let cell = cells.iter().find(|c| c.target == *target && c.kind == *kind);
                let (has, of) = (cell.map_or(0, |c| c.on.len()), targets.get(*target).map_or(0, |t| t.len()));
                if has == 0 {
                    wrong.push(format!("no {target} on board has \"{kind}\""));
                } else if all.contains(kind) && has != of {
                    wrong.push(format!("{has} of {of} of kind {target} have \"{kind}\""));
                }
            }
        }
        wrong
    }

    #[test]
    fn the_catalogue_and_what_is_on_board_are_the_same() {
        let ship = Ship::named(crate::ship::DEFAULT, &Place::default()).unwrap();
        let wrong = parts_from(&ship);
        assert!(wrong.is_empty(), "{wrong:#?}");
    }

    #[test]
    fn no_cell_stands_in_two_families() {
        for f in FAMILIES {
            for (target, all, some) in f.rows {
                for kind in all.iter().chain(*some) {
                    assert_eq!(family(target, kind), Some(f.name), "{target} {kind}");
                }
            }
        }
    }

    #[test]
    fn a_smaller_plant_lacks_most_of_it_and_is_found_out() {
        let ship = Ship::named("valve-bench", &Place::default()).unwrap();
        assert!(parts_from(&ship).len() > 20);
    }
}
