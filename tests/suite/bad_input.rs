//! Bad logs and bad packs: each gets a clear message with file and line, the other logs are graded,
//! the exit code says so, and nothing is written half.

use super::bench::{class, desk, files_below, log_of, run};
use std::fs;

/// A log that must be refused: what it is, its bytes, the code and the place that must be told.
fn refused() -> Vec<(&'static str, Vec<u8>, &'static str, &'static str)> {
    let good = log_of("t-bad");
    let with = |line: &str| {
        let mut lines: Vec<&str> = good.lines().collect();
        lines.insert(2, line);
        (lines.join("\n") + "\n").into_bytes()
    };
    let mut not_utf8 = good.clone().into_bytes();
    let at = good.find("it does not open").unwrap();
    not_utf8[at] = 0xfc;
    let mut many = good.lines().next().unwrap().to_owned() + "\n";
    for i in 0..20_001 {
        many.push_str(&format!("{{\"t\":{}.0,\"do\":\"lamp test\"}}\n", i / 10));
    }
    vec![
        ("empty", vec![], "the log is empty", "bad.jsonl"),
        ("cut off in its header", good.as_bytes()[..60].to_vec(), "cut off in its header line", "bad.jsonl:1"),
        ("not UTF-8", not_utf8, "not text in UTF-8", "bad.jsonl:"),
        (
            "an unknown tag",
            with(r#"{"t":1.0,"do":"operate","on":"XV-1007","to":"open"}"#),
            "there is no control XV-1007; did you mean \"XV-1001\"?",
            "bad.jsonl:3",
        ),
        (
            "a value out of range",
            with(r#"{"t":1.0,"do":"operate","on":"XV-1001","to":"120 % open"}"#),
            "past the end of its scale; it goes from 0.0 % open to 100.0 % open",
            "bad.jsonl:3",
        ),
        ("a wrong unit", with(r#"{"t":1.0,"do":"operate","on":"XV-1001","to":"4 barg"}"#), "XV-1001", "bad.jsonl:3"),
        (
            "an unknown verb",
            with(r#"{"t":1.0,"do":"inject","on":"XV-1001","to":"worn"}"#),
            "\"inject\" is nothing that a trainee can do",
            "bad.jsonl:3",
        ),
        ("a negative time", with(r#"{"t":-4,"do":"lamp test"}"#), "-4 s is no time of a run", "bad.jsonl:3"),
        (
            "another exercise",
            good.replace("two-valves", "two-vales").into_bytes(),
            "the pack has no exercise \"two-vales\"; did you mean \"two-valves\"?",
            "bad.jsonl:1",
        ),
        (
            "two recordings",
            format!("{good}{}", log_of("t-other")).into_bytes(),
            "a second recording begins here: \"t-other\" after \"t-bad\"",
            "bad.jsonl:",
        ),
        ("past the cap of actions", many.into_bytes(), "more than 20000 actions", "bad.jsonl:20002"),
        ("not a log at all", b"time;action\n1;open\n".to_vec(), "the first line is no header", "bad.jsonl:1"),
        (
            "another panel",
            good.replace("\"XL-1002\":\"dark\"", "\"XL-1002\":\"lit\"").into_bytes(),
            "this is not the run that was recorded",
            "bad.jsonl:2",
        ),
    ]
}

#[test]
fn a_bad_log_is_told_with_its_line_and_the_others_are_graded() {
    for (what, bytes, told, place) in refused() {
        let desk = desk();
        fs::write(desk.path().join("logs/good.jsonl"), log_of("t-good")).unwrap();
        fs::write(desk.path().join("logs/bad.jsonl"), bytes).unwrap();
        let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
        assert_eq!(said.code, 2, "{what}: {}{}", said.out, said.err);
        let line =
            said.out.lines().find(|l| l.contains("not graded: ")).unwrap_or_else(|| panic!("{what}: {}", said.out));
        assert!(line.contains(told) && line.contains(place), "{what}: {line}");
        assert!(said.out.contains("t-good: 10 of 10, passed"), "{what}: {}", said.out);
        assert!(said.out.contains("2 logs: 1 graded, 1 not graded"), "{what}: {}", said.out);
        let people = class(desk.path())["people"].as_array().unwrap().clone();
        let of = |log: &str| people.iter().find(|p| p["log"] == log).unwrap().clone();
        assert_eq!(
            (&of("bad.jsonl")["outcome"], &of("bad.jsonl")["marks"]),
            (&"not graded".into(), &serde_json::Value::Null),
            "{what}"
        );
        assert_eq!(of("good.jsonl")["marks"], 10, "{what}");
        // Two of each, four of the class, and no temporary file.
        let written = files_below(&desk.path().join("out"));
        assert_eq!(written.len(), 8, "{what}: {:?}", written.keys());
        assert!(written.keys().all(|name| !name.contains(".part-")), "{what}");
    }
}

#[test]
fn a_log_that_can_be_repaired_is_graded_and_the_repairs_are_in_the_debrief() {
    let good = log_of("t-mess");
    let mut lines: Vec<String> = good.lines().map(ToOwned::to_owned).collect();
    lines.swap(3, 5);
    let twice = lines[4].clone();
    lines.insert(5, twice);
    lines.insert(6, String::new());
    let last = lines.pop().unwrap();
    let messy = format!("\u{feff}{}\r\n{}", lines.join("\r\n").replace("\"t\":40.0", "\"t\":\"40,0\""), &last[..9]);
    let desk = desk();
    fs::write(desk.path().join("logs/mess.jsonl"), messy).unwrap();
    let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains("t-mess: 10 of 10"), "{}", said.out);
    let debrief = fs::read_to_string(desk.path().join("out/debriefs/t-mess.html")).unwrap();
    for part in [
        "byte-order mark",
        "ines end as on other systems",
        "lank lines were passed over",
        "put in order of time",
        "taken once",
        "was read as a number",
        "cut off and was dropped",
        "has no end line",
    ] {
        assert!(debrief.contains(part), "the debrief does not tell \"{part}\"");
        assert!(said.err.contains(part), "nothing told \"{part}\": {}", said.err);
    }
}

/// What grading one log gave: its line, its entry in the class, its debrief and its verdicts.
fn graded(log: &str) -> (String, serde_json::Value, String, serde_json::Value) {
    let desk = desk();
    fs::write(desk.path().join("logs/cut.jsonl"), log).unwrap();
    let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
    let read = |name: &str| fs::read_to_string(desk.path().join("out").join(name)).unwrap();
    let person = class(desk.path())["people"][0].clone();
    let verdicts = serde_json::from_str(&read("verdicts/t-cut.json")).unwrap();
    (said.out.lines().next().unwrap_or_default().to_owned(), person, read("debriefs/t-cut.html"), verdicts)
}

/// How the items came out, in the order of the sheet.
fn outcomes(verdicts: &serde_json::Value) -> Vec<String> {
    verdicts["items"].as_array().unwrap().iter().map(|i| i["outcome"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_log_that_is_cut_off_is_not_marked_as_if_the_trainee_had_stopped() {
    let whole = log_of("t-cut");
    let lines: Vec<&str> = whole.lines().collect();
    // Up to the lamp test at 20 s: the inlet is open and the lamps were tested. The outlet sticks and
    // nobody has said so, and the limit was kept so far. The last line is torn.
    let torn = format!("{}\n{}", lines[..5].join("\n"), &lines[5][..30]);
    let (line, person, debrief, verdicts) = graded(&torn);
    assert!(line.starts_with("t-cut: 6 of 6, passed"), "{line}");
    assert_eq!((&person["marks"], &person["out_of"]), (&6.into(), &6.into()));
    assert_eq!(outcomes(&verdicts), ["full", "full", "not assessed", "not assessed"]);
    assert!(debrief.contains("The log breaks off at 00:20. What was decided by then stands"), "{line}");
    assert!(debrief.contains("it had been kept so far when the log broke off at 00:20.0"));
    // The same with an end line is the run of somebody who stopped there.
    let stopped = format!("{}\n{{\"t\":200.0,\"do\":\"end\"}}\n", lines[..5].join("\n"));
    let (line, ..) = graded(&stopped);
    assert!(line.starts_with("t-cut: 8 of 10, passed"), "{line}");
    // Before anything was decided, and with nothing but its header: never "0 of 10".
    for (upto, told) in
        [(3, "breaks off at 00:05.0, before anything could be assessed"), (1, "its header and nothing else")]
    {
        let (line, person, debrief, _) = graded(&(lines[..upto].join("\n") + "\n"));
        assert!(line.contains("not graded: ") && line.contains(told), "{line}");
        assert_eq!(person["marks"], serde_json::Value::Null);
        assert!(debrief.contains(told) && debrief.contains("Not graded"));
    }
}

#[test]
fn a_run_that_drifts_is_marked_up_to_there() {
    let whole = log_of("t-cut");
    let (before, after) = whole.split_once("{\"t\":120.0,\"saw\"").unwrap();
    let drifted =
        format!("{before}{{\"t\":120.0,\"saw\"{}", after.replace("\"XL-1002\":\"dark\"", "\"XL-1002\":\"lit\""));
    let (line, person, debrief, verdicts) = graded(&drifted);
    assert!(line.starts_with("t-cut: 8 of 8, passed"), "{line}");
    assert_eq!(person["outcome"], "graded");
    assert_eq!(outcomes(&verdicts), ["full", "full", "not assessed", "full"]);
    let told = "he trainee's panel showed lit for XL-1002 at 02:00.0, and the replay shows dark";
    assert!(
        debrief.contains(&told.replace('\'', "&#x27;")) || debrief.contains(told),
        "the debrief tells the moment and the value"
    );
    assert_eq!(verdicts["repairs"][0]["code"], "run::drift");
    assert_eq!(verdicts["repairs"][0]["line"], 8);
}

#[test]
fn two_logs_of_one_trainee_are_kept_apart() {
    let desk = desk();
    for (file, trainee) in [("a", "t-1"), ("b", "T-1"), ("c", "t-1"), ("d", "../t-1")] {
        fs::write(desk.path().join(format!("logs/{file}.jsonl")), log_of(trainee)).unwrap();
    }
    let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.err.contains("is a log of the same trainee, \"t-1\""), "{}", said.err);
    let people = class(desk.path())["people"].as_array().unwrap().clone();
    let mut debriefs: Vec<String> = people.iter().map(|p| p["debrief"].as_str().unwrap().to_lowercase()).collect();
    debriefs.sort();
    debriefs.dedup();
    assert_eq!(debriefs.len(), 4, "{debriefs:?}");
    assert!(debriefs.iter().all(|d| desk.path().join("out").join(d).exists() || d.contains("t-1")));
    assert_eq!(files_below(&desk.path().join("out/debriefs")).len(), 4);
    assert_eq!(files_below(desk.path()).keys().filter(|k| k.ends_with("html")).count(), 5);
}

/// A pack that cannot be used: what is changed in which file, and what must be told.
const BAD_PACKS: &[(&str, &str, &str, &str, &[&str])] = &[
    (
        "a missing file",
        "pack.ron",
        "two_valves.lua",
        "two_valve.lua",
        &["the pack has no file \"two_valve.lua\"", "pack/pack.ron:9", "did you mean \"two_valves.lua\"?"],
    ),
    ("a file outside", "pack.ron", "two_valves.lua", "../secret.lua", &["leaves the pack's folder", "pack/pack.ron:9"]),
    (
        "an unknown field",
        "pack.ron",
        "title:",
        "titel:",
        &["unknown field \"titel\"", "pack/pack.ron:6", "did you mean \"title\"?"],
    ),
    (
        "an unknown plant",
        "pack.ron",
        "\"valve-bench\"",
        "\"valve-bend\"",
        &["there is no plant \"valve-bend\"", "did you mean \"valve-bench\"?"],
    ),
    (
        "another version",
        "pack.ron",
        "pack/1",
        "pack/2",
        &["this is faultwright-pack/2, and this program reads faultwright-pack/1", "pack/pack.ron:3"],
    ),
    ("a slip in Lua", "two_valves.lua", "fault \"lamp\" {", "fault \"lamp\" {{", &["pack/two_valves.lua:"]),
    (
        "an unknown tag",
        "two_valves.lua",
        "XL-1001",
        "XL-1011",
        &["XL-1011", "pack/two_valves.lua:11", "did you mean \"XL-10"],
    ),
    (
        "a wrong unit",
        "two_valves.lua",
        "below(\"10 % open\")",
        "below(\"10 barg\")",
        &["barg", "pack/two_valves.lua:16"],
    ),
    (
        "an endless loop",
        "two_valves.lua",
        "story(function(run)",
        "while true do end\nstory(function(run)",
        &["pack/two_valves.lua:"],
    ),
];

#[test]
fn a_bad_pack_is_told_with_its_line_and_nothing_is_written() {
    for (what, file, from, to, told) in BAD_PACKS {
        let desk = desk();
        let path = desk.path().join("pack").join(file);
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains(from), "{what}");
        fs::write(&path, text.replacen(from, to, 1)).unwrap();
        fs::write(desk.path().join("logs/good.jsonl"), log_of("t-good")).unwrap();
        for arguments in [&["check", "pack"][..], &["grade", "pack", "logs", "--out", "out"][..]] {
            let said = run(desk.path(), arguments);
            assert_eq!(said.code, 1, "{what}: {}{}", said.out, said.err);
            for part in *told {
                assert!(said.err.contains(part), "{what}: not told: {part}\n{}", said.err);
            }
        }
        assert!(!desk.path().join("out").exists(), "{what}");
    }
}

#[test]
fn a_story_that_never_ends_is_one_line_a_log_and_no_marks_are_taken() {
    let desk = desk();
    let path = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("run:wait(\"2 min\")", "run:wait(\"2 min\")\n  while true do end")).unwrap();
    fs::write(desk.path().join("logs/a.jsonl"), log_of("t-1")).unwrap();
    let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
    assert_eq!(said.code, 2, "{}{}", said.out, said.err);
    let line = said.out.lines().next().unwrap();
    assert!(line.starts_with("t-1: not graded: two_valves.lua:"), "{line}");
    assert_eq!(class(desk.path())["people"][0]["marks"], serde_json::Value::Null);
}

#[test]
fn a_command_line_that_cannot_be_used() {
    let desk = desk();
    for (arguments, told) in [
        (&["grade", "pack"][..], "required"),
        (&["grade", "pack", "logs", "--out", "out"][..], "the folder has no logs in it"),
        (&["grade", "pack", "nowhere", "--out", "out"][..], "there is no such file or folder"),
        (&["grade", "nowhere", "logs", "--out", "out"][..], "there is no such folder"),
        (&["grade", "logs", "logs", "--out", "out"][..], "the folder has no pack.ron"),
        (
            &["grade", "pack", "pack/model.jsonl", "--out", "out", "--exercise", "two-valve"][..],
            "did you mean \"two-valves\"?",
        ),
        (&["faults", "XV-1009", "--plant", "valve-bench"][..], "did you mean \"XV-1001\"?"),
        (&["plant", "TCV-12011"][..], "did you mean \"TCV-1201\"?"),
        (&["plant", "--plant", "valve-bend"][..], "did you mean \"valve-bench\"?"),
        (&["fly"][..], "unrecognized subcommand"),
    ] {
        let said = run(desk.path(), arguments);
        assert_eq!(said.code, 1, "{arguments:?}: {}{}", said.out, said.err);
        assert!(said.err.contains(told), "{arguments:?}: {}", said.err);
    }
    assert_eq!(run(desk.path(), &["--help"]).code, 0);
}

#[test]
fn a_folder_that_cannot_be_written_is_the_machines_trouble() {
    let desk = desk();
    fs::write(desk.path().join("out"), "a file where the folder should be").unwrap();
    let said = run(desk.path(), &["grade", "pack", "pack/model.jsonl", "--out", "out"]);
    assert_eq!(said.code, 3, "{}{}", said.out, said.err);
    assert!(said.err.contains("cannot make the folder"), "{}", said.err);
}
