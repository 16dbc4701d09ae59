//! Driving: what is driven is a log, and the log replays to what was driven.

use super::bench::{desk, pack, run, run_with};
use base::Tick;
use files::log::Header;
use replay::record::{Deed, Recording, Scene, record};
use std::fs;

const LINES: &str = "\
# open, look, report
wait 5 s
operate XV-1001 open
operate XV-1002 open
wait 15 s
lamp test
look
wait 20 s
report XV-1002 it does not open
wait 10 min
";

#[test]
fn a_driven_run_is_a_log_that_earns_its_marks() {
    let desk = desk();
    let said =
        run_with(desk.path(), &["drive", "pack", "--log", "logs/a.jsonl", "--speed", "max", "--trainee", "t-1"], LINES);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let reported = "reported XV-1002: \"it does not open\"";
    let told = ["alarm XA-1001 raised", "lamp XL-1001", "helper at XV-1002", reported, "Two minutes have passed"];
    for part in told.into_iter().chain(["has ended"]) {
        assert!(said.out.contains(part), "{part}: {}", said.out);
    }
    let said = run(desk.path(), &["grade", "pack", "logs/a.jsonl", "--out", "out"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.starts_with("t-1: 10 of 10, passed"), "{}", said.out);
}

/// Once a pack that named a model run could not be driven until it was there, and so the run could not be recorded; and
/// the check told of nothing else.
#[test]
fn the_model_run_that_a_pack_names_can_be_recorded_with_it() {
    let desk = desk();
    fs::remove_file(desk.path().join("pack/model.jsonl")).unwrap();
    let script = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&script).unwrap();
    fs::write(&script, text.replace("story(", "local never_used = 1\nstory(")).unwrap();
    let said = run(desk.path(), &["check", "pack"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    for part in ["warning[pack::no-model]", "faultwright drive pack --log pack/model.jsonl", "script::unused"] {
        assert!(said.err.contains(part), "{part}: {}", said.err);
    }
    fs::write(&script, text).unwrap();
    let arguments = ["drive", "pack", "--log", "pack/model.jsonl", "--speed", "max", "--trainee", "model"];
    let said = run_with(desk.path(), &arguments, LINES);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let said = run(desk.path(), &["check", "pack"]);
    assert!(said.out.contains("10 of 10") && !said.err.contains("no-model"), "{}{}", said.out, said.err);
    // A path that leads out of the pack is a mistake, whatever it is for.
    let file = desk.path().join("pack/pack.ron");
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("model.jsonl", "../nowhere.jsonl")).unwrap();
    assert_eq!(run(desk.path(), &["check", "pack"]).code, 1);
}

/// Once the tag of a report that lacked its hyphen was taken as a word, and the report found nothing.
#[test]
fn a_report_with_a_misspelt_tag_is_refused() {
    let desk = desk();
    let arguments = ["drive", "pack", "--log", "logs/a.jsonl", "--speed", "max"];
    let said = run_with(desk.path(), &arguments, "report XV1002 seized\nreport it smells of oil\nend\n");
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains("there is no tag XV1002; did you mean \"XV-1002\"?"), "{}", said.out);
    let log = fs::read_to_string(desk.path().join("logs/a.jsonl")).unwrap();
    assert_eq!(log.matches("\"report\"").count(), 1, "{log}");
}

/// Once a failing story said no more than "the exercise has ended", and the program that it went well.
#[test]
fn a_run_that_breaks_off_says_why_and_exits_otherwise() {
    let desk = desk();
    let path = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("run:wait(\"2 min\")", "run:wait(\"2 min\")\n  while true do end")).unwrap();
    let arguments = ["drive", "pack", "--log", "a.jsonl", "--speed", "max"];
    let said = run_with(desk.path(), &arguments, "wait 3 min\nlook\n");
    assert_eq!(said.code, 2, "{}{}", said.out, said.err);
    let line = said.out.lines().find(|l| l.contains("broke off")).unwrap_or_else(|| panic!("{}", said.out));
    assert!(line.starts_with("02:00.0") && line.contains("limit of 2000000 steps"), "{line}");
    assert!(said.err.contains("pack/two_valves.lua:21"), "{}", said.err);
    let arguments = ["drive", "pack", "--log", "b.jsonl", "--speed", "max", "--json"];
    let said = run_with(desk.path(), &arguments, "{\"wait\":180}\n");
    let answer: serde_json::Value = serde_json::from_str(said.out.lines().next().unwrap()).unwrap();
    assert_eq!((said.code, &answer["ended"]), (2, &true.into()));
    assert!(answer["failed"].as_str().unwrap().contains("two_valves.lua:21"), "{answer}");
}

/// Once a lamp test told every lamp of the panel on a line of its own, twice.
#[test]
fn a_lamp_test_is_told_in_two_lines_and_look_knows_its_tags() {
    let desk = desk();
    let arguments = ["drive", "pack", "--log", "a.jsonl", "--speed", "max"];
    let said = run_with(desk.path(), &arguments, "wait 30 s\nlamp test\nwait 20 s\nlook XL-1003 XL-1001\n");
    let lamps: Vec<&str> =
        said.out.lines().filter(|l| l.starts_with("00:") && l.contains("XL-") || l.contains("lamp test")).collect();
    assert_eq!(lamps.len(), 2, "{}", said.out);
    assert!(lamps[0].ends_with("lamp test: 1 of 2 lamps are lit"), "{}", said.out);
    assert!(lamps[1].contains("these stay dark: XL-1001"), "{}", said.out);
    assert!(said.out.contains("the panel shows nothing called \"XL-1003\"; did you mean \"XL-100"), "{}", said.out);
}

#[test]
fn a_log_drives_itself_again_but_for_its_clock() {
    let desk = desk();
    let log = fs::read_to_string(desk.path().join("pack/model.jsonl")).unwrap();
    let body: String = log.lines().skip(1).map(|l| format!("{l}\n")).collect();
    let arguments = ["drive", "pack", "--log", "again.jsonl", "--speed", "max", "--trainee", "model"];
    let said = run_with(desk.path(), &arguments, &body);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let again = fs::read_to_string(desk.path().join("again.jsonl")).unwrap();
    assert_eq!(again.lines().skip(1).collect::<Vec<_>>(), log.lines().skip(1).collect::<Vec<_>>());
}

#[test]
fn another_program_gets_a_line_for_every_line() {
    let desk = desk();
    let lines = "{\"do\":\"operate\",\"on\":\"XV-1001\",\"to\":\"open\"}\n{\"do\":\"operate\",\"on\":\"XV-9\",\"to\":\"open\"}\n{\"wait\":15}\n{\"do\":\"end\"}\n";
    let arguments = ["drive", "pack", "--log", "a.jsonl", "--speed", "max", "--json", "--saw", "0"];
    let said = run_with(desk.path(), &arguments, lines);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let answers: Vec<serde_json::Value> = said.out.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    assert_eq!(answers.len(), 4);
    assert!(answers[1]["refused"].as_str().unwrap().contains("there is no control XV-9"));
    assert_eq!((&answers[2]["t"], &answers[2]["shown"]["XL-1001"]), (&15.0.into(), &"lit".into()));
    let log = fs::read_to_string(desk.path().join("a.jsonl")).unwrap();
    assert_eq!(log.lines().count(), 3, "header, one action, end: {log}");
}

/// A recorder can offer the words by which a finding is marked, and a report in them earns its marks.
#[test]
fn the_words_of_a_report_are_told_and_earn_the_finding() {
    let desk = desk();
    let script = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&script).unwrap();
    fs::write(&script, format!("{text}\nfinding \"named\" {{ marks = 4, faults = {{ \"stuck\" }} }}\n")).unwrap();
    let arguments = ["drive", "pack", "--log", "a.jsonl", "--speed", "max", "--json", "--saw", "0"];
    let asked = "{\"kinds\":[\"XV-1002\",\"PT-9\"]}\n{\"kinds\":[\"XV-1002\"]}\n{\"kinds\":[]}\n";
    let said = run_with(desk.path(), &arguments, asked);
    let answers: Vec<serde_json::Value> = said.out.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    assert!(answers[0]["refused"].as_str().unwrap().contains("nothing on board is called \"PT-9\""), "{}", said.out);
    let words: Vec<&str> =
        answers[1]["kinds"]["XV-1002"].as_array().unwrap().iter().map(|w| w.as_str().unwrap()).collect();
    let ship = replay::Ship::named("valve-bench", &base::Place::default()).unwrap();
    let of_the_table = replay::describe::faults(&ship, Some("XV-1002"));
    assert_eq!(words, of_the_table.iter().map(|f| f.kind.as_str()).collect::<Vec<_>>());
    let all: std::collections::BTreeSet<String> =
        replay::describe::faults(&ship, None).into_iter().map(|f| f.on).collect();
    assert_eq!(answers[2]["kinds"].as_object().unwrap().keys().cloned().collect::<Vec<_>>(), Vec::from_iter(all));
    // The exercise has it seized: that word earns the whole finding, every other one of the list a half.
    for word in &words {
        let log = format!("{word}.jsonl").replace(' ', "-");
        let arguments = ["drive", "pack", "--log", &log, "--speed", "max"];
        let said = run_with(desk.path(), &arguments, &LINES.replace("it does not open", word));
        assert_eq!(said.code, 0, "{}{}", said.out, said.err);
        assert_eq!(run(desk.path(), &["grade", "pack", &log, "--out", "out"]).code, 0);
        let item = super::bench::class(desk.path())["people"][0]["items"].as_array().unwrap().last().unwrap().clone();
        let verdict = fs::read_to_string(desk.path().join("out/verdicts/trainee.json")).unwrap();
        let quoted = format!("as \\\"{word}\\\"; wanted was \\\"seized\\\"");
        assert_eq!(verdict.contains(&quoted), *word != "seized", "{verdict}");
        assert_eq!((&item["name"], &item["marks"]), (&"named".into(), &if *word == "seized" { 4 } else { 2 }.into()));
    }
    let said = run_with(desk.path(), &["drive", "pack", "--log", "b.jsonl", "--speed", "max"], "kinds XV-1002\n");
    assert!(said.out.contains(&format!("XV-1002: {}", words.join(", "))), "{}", said.out);
}

#[test]
fn plant_time_passes_with_the_wall_clock_until_the_lines_end() {
    let desk = desk();
    let arguments = ["drive", "pack", "--log", "a.jsonl", "--speed", "1000", "--saw", "0"];
    let said = run_with(desk.path(), &arguments, "operate XV-1001 open\nwait 100 s\nend\n");
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let log = fs::read_to_string(desk.path().join("a.jsonl")).unwrap();
    let times: Vec<f64> = log
        .lines()
        .skip(1)
        .map(|l| serde_json::from_str::<serde_json::Value>(l).unwrap()["t"].as_f64().unwrap())
        .collect();
    assert!(times.len() == 2 && times[1] - times[0] >= 100.0, "{log}");
}

#[test]
fn a_recording_is_never_written_over_another() {
    let desk = desk();
    fs::write(desk.path().join("a.jsonl"), "mine").unwrap();
    let said = run_with(desk.path(), &["drive", "pack", "--log", "a.jsonl", "--speed", "max"], LINES);
    assert_eq!(said.code, 1);
    assert!(said.err.contains("there is a file of this name already"), "{}", said.err);
    assert_eq!(fs::read_to_string(desk.path().join("a.jsonl")).unwrap(), "mine");
}

/// Opens both valves, tests the lamps when the alarm comes, looks, and reports what the helper found.
fn careful(scene: &Scene<'_>, done: &mut usize) -> Vec<Deed> {
    let found = scene.heard().iter().any(|e| format!("{:?}", e.what).contains("outlet valve: 0.0 % open"));
    let deeds = match *done {
        0 if scene.now() >= Tick(50) => vec![Deed::operate("XV-1001", "open"), Deed::operate("XV-1002", "open")],
        1 if scene.waits() && scene.alarm("XA-1001") == Some(true) => vec![Deed::acknowledge(), Deed::lamp_test()],
        2 if found => vec![Deed::report("XV-1002", "it is told to open and does not")],
        _ => vec![],
    };
    *done += usize::from(!deeds.is_empty());
    deeds
}

#[test]
fn a_behaviour_is_recorded_and_its_log_replays_without_drift() {
    let pack = replay::Pack::open(&pack()).unwrap();
    let ready = pack.exercise(None).unwrap();
    let header = Header { trainee: "t-9".into(), start: "2031-03-04T08:00:00Z".into(), seed: 5, ..Header::default() };
    let recording = Recording { look_every: 5, saw_every: Some(100) };
    let recorded = |header: &Header| {
        let mut done = 0;
        record(&pack, ready, header, recording, &mut |scene| careful(scene, &mut done)).unwrap()
    };
    let log = recorded(&header);
    assert_eq!((log.actions.len(), log.saw.len(), log.whole), (5, 31, true));
    let bytes = files::log::write(&log);
    assert_eq!(bytes, files::log::write(&recorded(&header)), "the same behaviour makes the same log");
    let desk = desk();
    fs::write(desk.path().join("logs/t-9.jsonl"), bytes).unwrap();
    let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.starts_with("t-9: 10 of 10, passed  "), "{}", said.out);
    // A deed that no log of this plant may hold ends the recording.
    let wrong = record(&pack, ready, &header, recording, &mut |_| vec![Deed::operate("XV-7", "open")]).unwrap_err();
    assert!(wrong[0].message.contains("there is no control XV-7"), "{wrong:?}");
}
