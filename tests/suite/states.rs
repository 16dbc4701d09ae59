//! Prepared states: an exercise can begin in the middle.

use base::{Place, Tag};
use plant::Plant;
use replay::{Pack, Ship};
use std::fs;
use std::path::Path;

fn ship() -> Ship {
    Ship::named("training-vessel", &Place::default()).unwrap()
}

fn value(plant: &Plant, tag: &str) -> f64 {
    plant.actual(plant.point(&Tag::new(tag)).unwrap()).0
}

fn bits(plant: &Plant) -> Vec<u64> {
    (0..plant.points().len()).map(|i| plant.actual(plant::PointId(i as u16)).0.to_bits()).collect()
}

#[test]
fn every_state_of_the_program_is_made_anew_with_the_same_bits() {
    let ship = ship();
    let names: Vec<&str> = ship.states.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["cooling-up", "steam-up", "turbine-warm", "on-the-board"]);
    for state in ship.states.iter() {
        let name = &state.name;
        let mut one = state.of(&ship).unwrap_or_else(|e| panic!("{name}: {e:?}"));
        // From the state on the way to it or from cold, it is the same; the one before the last is on the way to it.
        if name != "turbine-warm" {
            let two = state.make(&ship).unwrap_or_else(|e| panic!("{name}: {e:?}"));
            assert_eq!(bits(&one), bits(&two), "{name}");
        }
        for i in 0..one.damageable().len() {
            assert!(one.damage(i) < 0.01, "{name}: {} is hurt", one.damageable()[i]);
        }
        assert!((0..one.trips().len()).all(|i| !one.tripped(i)), "{name}");
        // It is a state to begin in: a minute later nothing has tripped.
        for _ in 0..600 {
            one.control_pass();
            one.step().unwrap();
        }
        assert!((0..one.trips().len()).all(|i| !one.tripped(i)), "{name}");
    }
    let steam = ship.state("steam-up", &Place::default()).unwrap();
    assert!((value(&steam, "PT-2001") - 17.0e5).abs() < 1e5 && value(&steam, "BSH-2001") > 0.5);
    let warm = ship.state("turbine-warm", &Place::default()).unwrap();
    assert!(value(&warm, "CB-5001") > 0.5 && value(&warm, "CB-5400") < 0.5 && value(&warm, "PT-3201") < 12e3);
    let speed = 60.0 * value(&warm, "ST-4001");
    assert!((300.0..2500.0).contains(&speed) && value(&warm, "VT-4001") < 40e-6, "rolled and held: {speed} rpm");
    let board = ship.state("on-the-board", &Place::default()).unwrap();
    let (diesel, turbine) = (value(&board, "JT-5001") / 400e3, value(&board, "JT-5101") / 600e3);
    assert!((diesel - turbine).abs() < 0.08 && diesel > 0.2, "both carry the same part: {diesel} {turbine}");
    assert!((value(&board, "ST-5000") - 60.0).abs() < 0.3 && value(&board, "CB-5400") < 0.5);
    let told = ship.state("steam-upp", &Place::line("pack.ron", 3)).unwrap_err();
    assert_eq!(told[0].code, "pack::state");
    assert!(told[0].hint.as_deref().unwrap().contains("steam-up"), "{told:?}");
}

/// Once the table in the book was all that there was of a state, and nothing told of lamps and controls.
#[test]
fn one_state_is_told_with_its_lamps_and_controls_and_things_are_found_by_words() {
    let dir = tempfile::tempdir().unwrap();
    let said = super::bench::run(dir.path(), &["plant", "--states", "turbine-warm"]);
    assert_eq!(said.code, 0, "{}", said.err);
    let line =
        |tag: &str| said.out.lines().filter(|l| l.starts_with(tag)).map(str::to_owned).collect::<Vec<_>>().join("; ");
    assert!(said.out.starts_with("== turbine-warm") && !said.out.contains("== steam-up"), "{}", said.out);
    assert!(line("XL-4002").contains("trip gear set"), "{}", line("XL-4002"));
    assert!(line("XV-4005").contains("20.0 % open") && line("K-3221").contains("start"), "{}", said.out);
    let said = super::bench::run(dir.path(), &["plant", "--states", "turbine-wram"]);
    assert!(said.code == 1 && said.err.contains("did you mean \"turbine-warm\"?"), "{}", said.err);
    let said = super::bench::run(dir.path(), &["plant", "Vacuum", "pump"]);
    let tags: Vec<&str> = said.out.lines().filter_map(|l| l.split_whitespace().next()).collect();
    assert!(tags.contains(&"K-3221") && tags.contains(&"YL-3222") && !tags.contains(&"P-3211"), "{tags:?}");
    let said = super::bench::run(dir.path(), &["faults", "vacuum", "pump"]);
    assert!(said.out.contains("K-3222") && said.out.contains("worn") && said.out.contains("YL-3221"), "{}", said.out);
}

fn pack(folder: &Path, start: &str, states: &str) {
    let ron = format!(
        "Pack(format: \"faultwright-pack/1\", id: \"mid\", version: \"1.0.0\", title: \"In the middle\", plant: \
         \"training-vessel\",\n exercises: [(id: \"one\", script: \"one.lua\")],\n {states})"
    );
    fs::write(folder.join("pack.ron"), ron).unwrap();
    let lua = format!(
        "exercise {{ title = \"In the middle\", plant = \"training-vessel\", start = \"{start}\", lasts = \"5 min\" }}\n\
         step \"stopped\" {{ marks = 1, done = did(\"P-1101\", \"stop\") }}\n"
    );
    fs::write(folder.join("one.lua"), lua).unwrap();
}

/// A log that an exercise of the pack left, given a name, is where another one begins.
#[test]
fn a_pack_brings_a_state_of_its_own() {
    let dir = tempfile::tempdir().unwrap();
    let log = "{\"format\":\"faultwright-log/1\",\"exercise\":\"one\",\"pack\":\"mid\",\"pack_version\":\"1.0.0\",\"trainee\":\"a\",\"start\":\"2031-03-04T08:00:00Z\",\"recorder\":\"test\",\"seed\":1}\n\
        {\"t\":1.0,\"do\":\"operate\",\"on\":\"XV-1101\",\"to\":\"open\"}\n{\"t\":2.0,\"do\":\"lamp test\"}\n\
        {\"t\":20.0,\"do\":\"operate\",\"on\":\"P-1101\",\"to\":\"start\"}\n{\"t\":40.0,\"do\":\"end\"}\n";
    fs::write(dir.path().join("wet.jsonl"), log).unwrap();
    pack(dir.path(), "wet", "states: [(name: \"wet\", log: \"wet.jsonl\")]");
    let opened = Pack::open(dir.path()).unwrap_or_else(|e| panic!("{e}"));
    assert!(value(&opened.exercises[0].plant, "YS-1101") > 0.5);
    // A log with an order that the plant does not take is told at its line.
    fs::write(dir.path().join("wet.jsonl"), log.replace("\"start\"}", "\"jump\"}")).unwrap();
    let told = Pack::open(dir.path()).unwrap_err().to_string();
    assert!(told.contains("wet.jsonl:4") && told.contains("P-1101"), "{told}");
}

/// Once such a log was played on a cold plant whatever its exercise began with, and nobody was told.
#[test]
fn a_state_goes_on_from_where_the_exercise_of_its_log_begins() {
    let dir = tempfile::tempdir().unwrap();
    let ron = "Pack(format: \"faultwright-pack/1\", id: \"mid\", version: \"1.0.0\", title: \"x\", plant: \
         \"training-vessel\",\n exercises: [(id: \"led\", script: \"led.lua\"), (id: \"next\", script: \"next.lua\")],\n \
         states: [(name: \"drained\", log: \"drained.jsonl\")])";
    fs::write(dir.path().join("pack.ron"), ron).unwrap();
    let lua = |start: &str, changes: &str| {
        format!(
            "exercise {{ title = \"x\", plant = \"training-vessel\", start = \"{start}\", lasts = \"5 min\", {changes} }}\n\
             step \"stopped\" {{ marks = 1, done = did(\"P-1101\", \"stop\") }}\n"
        )
    };
    let write = |name: &str, text: String| fs::write(dir.path().join(name), text).unwrap();
    write("led.lua", lua("cooling-up", "changes = { [\"P-1501\"] = \"stop\" }"));
    write("next.lua", lua("drained", ""));
    write(
        "drained.jsonl",
        "{\"format\":\"faultwright-log/1\",\"exercise\":\"led\",\"pack\":\"mid\",\"pack_version\":\"1.0.0\",\"trainee\":\"a\",\"start\":\"2031-03-04T08:00:00Z\",\"recorder\":\"test\",\"seed\":1}\n\
         {\"t\":2.0,\"do\":\"operate\",\"on\":\"P-1202\",\"to\":\"stop\"}\n{\"t\":20.0,\"do\":\"end\"}\n".to_owned(),
    );
    let opened = Pack::open(dir.path()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(opened.told, []);
    let next = &opened.exercises[1].plant;
    assert!(value(next, "YS-1101") > 0.5, "the sea-water pump ran when the exercise began");
    assert!(value(next, "YS-1501") < 0.5, "the fuel pump was stopped by the exercise's changes");
    // An exercise that begins in the state that its own log leads to begins cold, as it must have when it was recorded.
    write("led.lua", lua("drained", ""));
    let opened = Pack::open(dir.path()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(opened.told.iter().map(|d| d.code).collect::<Vec<_>>(), ["pack::state-circle"]);
    assert!(value(&opened.exercises[1].plant, "YS-1101") < 0.5);
}

#[test]
fn a_state_that_is_not_there_is_told_with_those_that_are() {
    let dir = tempfile::tempdir().unwrap();
    pack(dir.path(), "steam-upp", "");
    let told = Pack::open(dir.path()).unwrap_err().to_string();
    assert!(told.contains("steam-up"), "{told}");
}
