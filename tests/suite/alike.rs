//! Logs that are alike: copies are found however they were dressed up, and people who did the same exercise
//! each in their own time are not called copies of each other.

use super::bench::{class, desk, log_of, run};
use files::class_figures::AlikeLogs;
use replay::{Pack, ReadLog};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

static SHIPPED: LazyLock<Pack> = LazyLock::new(|| Pack::open(&shipped()).unwrap());

fn shipped() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/raise-steam")
}

/// A log of the shipped class, its lines after the header changed, as somebody else's.
fn copy(of: &str, who: &str, change: impl Fn(usize, &mut serde_json::Value) -> bool) -> String {
    let text = fs::read_to_string(shipped().join(format!("class/{of}.jsonl"))).unwrap();
    let mut lines = text.lines();
    let mut header: serde_json::Value = serde_json::from_str(lines.next().unwrap()).unwrap();
    header["trainee"] = who.into();
    // What the panel showed is no action, and a copyist may leave it out.
    let acts = lines.map(|l| serde_json::from_str(l).unwrap()).filter(|l: &serde_json::Value| l.get("do").is_some());
    let mut out = format!("{header}\n");
    for (i, mut line) in acts.enumerate() {
        if change(i, &mut line) || line["do"] == "end" {
            out.push_str(&format!("{line}\n"));
        }
    }
    out
}

fn later(line: &mut serde_json::Value, seconds: f64) {
    let t = line["t"].as_f64().unwrap() + seconds;
    line["t"] = ((t * 10.0).round() / 10.0).into();
}

fn read(name: &str, text: &str) -> ReadLog {
    let log = replay::logs::read_bytes(&SHIPPED, SHIPPED.exercise(None).unwrap(), name, text.as_bytes());
    assert!(log.refused().next().is_none(), "{:?}", log.imported.told);
    log
}

fn class_logs() -> Vec<ReadLog> {
    let ids = (1..=24).map(|i| format!("t-{i:02}.jsonl"));
    ids.map(|name| read(&name, &fs::read_to_string(shipped().join("class").join(&name)).unwrap())).collect()
}

/// What is found of a log put among the shipped class.
fn found(other: &str) -> Vec<AlikeLogs> {
    let mut logs = class_logs();
    logs.push(read("x.jsonl", other));
    replay::alike::pairs(&logs)
}

#[test]
fn nobody_of_the_shipped_class_copied() {
    let logs = class_logs();
    assert_eq!(replay::alike::pairs(&logs), []);
    // All of them were driven by themselves, from habits with delays of their own.
    assert_eq!(logs.len(), 24);
}

#[test]
fn a_copy_is_found_however_it_is_dressed_up() {
    let pair = |edits: u32, identical: bool, all: Vec<AlikeLogs>| {
        let told: Vec<_> = all.iter().map(|a| (a.first.as_str(), a.second.as_str(), a.identical)).collect();
        assert_eq!(told, [("t-09.jsonl", "x.jsonl", identical)], "{all:?}");
        assert!(all[0].edits <= edits && all[0].actions >= 60, "{all:?}");
    };
    pair(0, true, found(&copy("t-09", "x", |_, _| true)));
    // The whole run begun 40 s later: one wait is another.
    pair(
        1,
        false,
        found(&copy("t-09", "x", |_, line| {
            later(line, 40.0);
            true
        })),
    );
    // Every time moved a little, each by something else: a wait may differ by half a second.
    pair(
        0,
        false,
        found(&copy("t-09", "x", |_, line| {
            let t = line["t"].as_f64().unwrap();
            later(line, 0.1 * (t % 3.0).floor());
            true
        })),
    );
    // Two actions left out: each is one edit, and so is the wait that is longer for it.
    pair(4, false, found(&copy("t-09", "x", |i, _| i != 20 && i != 41)));
}

#[test]
fn whoever_does_the_same_in_their_own_time_is_no_copy() {
    // The same acts in the same order, every wait a fifth longer.
    let slow = copy("t-09", "x", |_, line| {
        let t = line["t"].as_f64().unwrap();
        later(line, 0.2 * t);
        true
    });
    // The end of it lies past the exercise, which is no matter here.
    assert_eq!(found(&slow), []);
    // A third of the actions are others.
    let other = copy("t-09", "x", |i, _| i % 3 != 0);
    assert_eq!(found(&other), []);
}

/// Two logs of one trainee are one person's, however alike.
#[test]
fn nobody_is_a_copy_of_themselves() {
    assert_eq!(found(&copy("t-09", "t-09", |_, _| true)), []);
}

/// Once only logs of ten actions and more were compared, so that a short log could be copied unseen. And once the
/// debrief, which is handed out, named the log that another's is like.
#[test]
fn a_short_copy_is_told_to_whoever_marks_and_not_in_the_debrief() {
    let desk = desk();
    let write = |name: &str, text: String| fs::write(desk.path().join("logs").join(name), text).unwrap();
    write("a.jsonl", log_of("t-01"));
    write("b.jsonl", log_of("t-02"));
    write("c.jsonl", log_of("t-03").replace("\"t\":40.0", "\"t\":41.0"));
    let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.err.contains("its actions are those of a.jsonl to the tenth of a second"), "{}", said.err);
    let alike = class(desk.path())["alike"].clone();
    assert_eq!(
        alike,
        serde_json::json!([{"first": "a.jsonl", "second": "b.jsonl", "identical": true, "edits": 0, "actions": 4}])
    );
    let page = fs::read_to_string(desk.path().join("out/class.html")).unwrap();
    assert!(page.contains("Logs that are alike") && page.contains("the same actions to the tenth of a second"));
    for name in ["debriefs/t-01.html", "debriefs/t-02.html", "verdicts/t-02.json"] {
        let text = fs::read_to_string(desk.path().join("out").join(name)).unwrap();
        assert!(!text.contains("to the tenth of a second") && !text.contains("log::identical"), "{name}");
    }
}
