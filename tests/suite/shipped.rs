//! The class that ships: what each of its runs should get was written down by hand before any was
//! graded (tests/data/raise_steam_expected.csv), and what comes out is the same to the byte.

use super::bench::{files_below, run};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

struct Expected {
    low: f64,
    high: f64,
    passed: Option<bool>,
    lost: Vec<String>,
}

fn table() -> BTreeMap<String, Expected> {
    let text = fs::read_to_string(root().join("tests/data/raise_steam_expected.csv")).unwrap();
    let lines = text.lines().filter(|l| !l.starts_with('#')).skip(1);
    lines
        .map(|line| {
            let f: Vec<&str> = line.split(',').collect();
            let passed = match f[3] {
                "yes" => Some(true),
                "no" => Some(false),
                _ => None,
            };
            let lost = f[4].split(';').filter(|s| !s.is_empty()).map(ToOwned::to_owned).collect();
            (f[0].to_owned(), Expected { low: f[1].parse().unwrap(), high: f[2].parse().unwrap(), passed, lost })
        })
        .collect()
}

fn grade(out: &Path, jobs: &str) -> BTreeMap<String, Vec<u8>> {
    let said = run(
        &root(),
        &[
            "grade",
            "scenarios/raise-steam",
            "scenarios/raise-steam/class",
            "--out",
            out.to_str().unwrap(),
            "--jobs",
            jobs,
        ],
    );
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    files_below(out)
}

#[test]
fn every_run_of_the_class_gets_what_was_worked_out_by_hand_and_the_same_bytes_every_time() {
    let folder = tempfile::tempdir().unwrap();
    let first = grade(&folder.path().join("one"), "1");
    for (again, jobs) in [("two", "2"), ("once more", "2")] {
        let other = grade(&folder.path().join(again), jobs);
        assert_eq!(first.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>());
        for (name, bytes) in &first {
            assert!(other[name] == *bytes, "{name} differs in {again}, with {jobs} jobs");
        }
    }
    let table = table();
    assert!(table.len() >= 24, "a class of at least 24");
    let mut disagree = vec![];
    for (id, e) in &table {
        let v: Value = serde_json::from_slice(&first[&format!("verdicts/{id}.json")]).unwrap();
        let items = v["items"].as_array().unwrap();
        let name = |i: &Value| i["name"].as_str().unwrap().to_owned();
        let marks = v["marks"].as_f64().unwrap();
        let lost: Vec<String> = items.iter().filter(|i| i["marks"].as_f64() < i["out_of"].as_f64()).map(name).collect();
        let page = String::from_utf8(first[&format!("debriefs/{id}.html")].clone()).unwrap();
        let in_band = (e.low..=e.high).contains(&marks);
        let as_said = e.passed.is_none_or(|p| v["passed"].as_bool() == Some(p));
        let all_lost = e.lost.iter().all(|l| lost.contains(l));
        // The reason stands in the debrief: the item, and what was found.
        let reasons = items.iter().filter(|i| e.lost.contains(&name(i))).all(|i| {
            let found = i["found"].as_str().unwrap().split('"').next().unwrap();
            // On the page the sentence begins with a capital.
            page.contains(&name(i)) && page.contains(found.trim_start_matches(|c: char| !c.is_whitespace()))
        });
        if !(in_band && as_said && all_lost && reasons) {
            disagree.push(format!("{id}: {marks} marks, passed {}, lost {lost:?}", v["passed"]));
        }
    }
    assert!(disagree.is_empty(), "{} of {} disagree:\n{}", disagree.len(), table.len(), disagree.join("\n"));
}

/// Every pack in scenarios/: a new one is a new test by itself.
#[test]
fn every_shipped_pack_has_no_mistake_and_its_model_run_earns_everything() {
    let packs = fs::read_dir(root().join("scenarios")).unwrap().map(|e| e.unwrap().path());
    let mut packs: Vec<PathBuf> = packs.filter(|p| p.join("pack.ron").exists()).collect();
    packs.sort();
    assert!(packs.len() >= 3, "{packs:?}");
    for pack in packs {
        let said = run(&root(), &["check", pack.to_str().unwrap()]);
        let told = format!("{}: {}{}", pack.display(), said.out, said.err);
        assert_eq!(said.code, 0, "{told}");
        assert!(said.out.contains("100 of 100 marks") && said.out.contains("0 mistakes, 0 warnings"), "{told}");
    }
}

/// A long run and one that begins in the middle: graded twice, every page has the same bytes.
#[test]
fn model_runs_grade_to_the_same_bytes_every_time() {
    let folder = tempfile::tempdir().unwrap();
    for pack in ["turbine-on-the-board", "blackout"] {
        let out = |n: &str| folder.path().join(format!("{pack}-{n}"));
        let (pack, model) = (format!("scenarios/{pack}"), format!("scenarios/{pack}/model.jsonl"));
        for n in ["one", "two"] {
            let said = run(&root(), &["grade", &pack, &model, "--out", out(n).to_str().unwrap()]);
            assert_eq!(said.code, 0, "{}{}", said.out, said.err);
        }
        assert!(files_below(&out("one")) == files_below(&out("two")), "{pack}");
    }
}
