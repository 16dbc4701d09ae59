//! Checking a pack from outside: what is told of stories that no model run has taken.

use super::bench::{desk, run};
use std::fs;

/// Checks the test pack with another story in it, and without its model run.
fn check_story(story: &str) -> super::bench::Said {
    let desk = desk();
    let script = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&script).unwrap();
    let (before, _) = text.split_once("story(").unwrap();
    fs::write(&script, format!("{before}story(function(run)\n{story}\nend)\n")).unwrap();
    let file = desk.path().join("pack/pack.ron");
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace(", model: \"model.jsonl\"", "")).unwrap();
    run(desk.path(), &["check", "pack"])
}

/// Once a story was only tried by a model run: without one, `check` passed whatever was in it.
#[test]
fn a_broken_story_is_told_without_a_model_run() {
    for (story, code, told) in [
        ("run:tell()", 1, "script::argument"),
        ("run:inject(\"stcuk\")", 1, "did you mean \"stuck\"?"),
        ("run:wait(2)", 1, "\"2 s\", \"2 min\" or \"2 h\""),
        ("while true do end", 1, "script::fuel"),
        ("run:wait(\"2 min\")\nrun:wiat(\"1 min\")", 1, "did you mean \"wait\"?"),
        // A way that an untouched plant does not take.
        ("if run:wait_until(lit(\"XL-1002\"), \"1 min\") then run:inject(\"lmap\") end", 1, "did you mean \"lamp\"?"),
        ("if run:has(did(\"lamp test\")) then while true do end end", 0, "warning[script::fuel]"),
        ("run:wait(\"2 min\")", 0, "has a story and no model run"),
    ] {
        let said = check_story(story);
        assert_eq!(said.code, code, "{story}: {}{}", said.out, said.err);
        assert!(said.err.contains(told), "{story}: {}", said.err);
        // What the text gives away is told before anything is tried.
        let tried = said.err.contains("warning[check::no-model]");
        let in_the_text = ["run:tell()", "run:inject(", "wiat", "lmap"].iter().any(|s| story.contains(s));
        assert_ne!(tried, in_the_text, "{story}: {}", said.err);
    }
}

#[test]
fn a_story_with_a_model_run_is_not_told_twice() {
    let desk = desk();
    let script = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&script).unwrap();
    fs::write(&script, text.replace("run:tell(\"Two minutes have passed.\")", "run:inject(\"lmap\")")).unwrap();
    let said = run(desk.path(), &["check", "pack"]);
    assert_eq!(said.code, 1);
    assert_eq!(said.err.matches("unknown-fault").count(), 1, "{}", said.err);
    assert!(!said.err.contains("no-model"), "{}", said.err);
}

/// Once the power of a generator was said to go from nothing to a watt, so that no condition on it could hold.
#[test]
fn the_power_and_the_angle_of_a_generator_can_be_asked_for() {
    let desk = desk();
    let lua = "exercise { title = \"Power\", plant = \"training-vessel\", start = \"cold\", lasts = \"1 min\" }\n\
               step \"loaded\" { marks = 1, done = actual(\"G-5101\"):above(\"300 kW\") }\n\
               step \"in phase\" { marks = 1, done = actual(\"ZI-5101\"):within(\"90 deg\", \"80 deg\") }\n";
    let ron = "Pack(format: \"faultwright-pack/1\", id: \"power\", version: \"1.0.0\", title: \"Power\", plant: \
               \"training-vessel\", exercises: [(id: \"power\", script: \"power.lua\")])\n";
    fs::create_dir(desk.path().join("power")).unwrap();
    fs::write(desk.path().join("power/power.lua"), lua).unwrap();
    fs::write(desk.path().join("power/pack.ron"), ron).unwrap();
    let said = run(desk.path(), &["check", "power"]);
    assert_eq!((said.code, said.err.as_str()), (0, ""), "{}", said.out);
}

/// A limit on damage was refused as one that can never hold, whatever its figure.
#[test]
fn a_limit_on_damage_can_be_kept() {
    let desk = desk();
    let lua = "exercise { title = \"Whole\", plant = \"training-vessel\", start = \"cold\", lasts = \"1 min\" }\n\
               limit \"whole\" { marks = 1, keep = damage(\"TU-4001\"):below(0.02) }\n";
    let ron = "Pack(format: \"faultwright-pack/1\", id: \"whole\", version: \"1.0.0\", title: \"Whole\", plant: \
               \"training-vessel\", exercises: [(id: \"whole\", script: \"whole.lua\")])\n";
    fs::create_dir(desk.path().join("whole")).unwrap();
    fs::write(desk.path().join("whole/whole.lua"), lua).unwrap();
    fs::write(desk.path().join("whole/pack.ron"), ron).unwrap();
    let said = run(desk.path(), &["check", "whole"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    fs::write(desk.path().join("whole/whole.lua"), lua.replace("0.02", "0")).unwrap();
    let said = run(desk.path(), &["check", "whole"]);
    assert!(said.code == 1 && said.err.contains("never below nothing"), "{}{}", said.out, said.err);
}

#[test]
fn a_new_pack_passes_and_nothing_is_written_over() {
    let desk = desk();
    let said = run(desk.path(), &["new", "My_pack"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let said = run(desk.path(), &["check", "My_pack"]);
    assert_eq!((said.code, said.out.trim()), (0, "the pack can be used: 0 mistakes, 0 warnings"), "{}", said.err);
    assert!(fs::read_to_string(desk.path().join("My_pack/pack.ron")).unwrap().contains("id: \"my-pack\""));
    for folder in ["My_pack", "pack", "--"] {
        assert_eq!(run(desk.path(), &["new", "--", folder]).code, 1, "{folder}");
    }
}

/// Drives the new pack as a trainee of a class list, and gives the log.
fn driven(desk: &std::path::Path, arguments: &[&str], log: &str) -> (i32, String, String) {
    let words = [&["drive", "new", "--log", log, "--speed", "max", "--saw", "0"], arguments].concat();
    let said = super::bench::run_with(desk, &words, "wait 1 s\n");
    (said.code, fs::read_to_string(desk.join(log)).unwrap_or_default(), said.err)
}

#[test]
fn a_class_list_gives_neighbours_different_variants_and_the_log_keeps_them() {
    let desk = desk();
    assert_eq!(run(desk.path(), &["new", "new"]).code, 0);
    let script = desk.path().join("new/exercise.lua");
    let text = fs::read_to_string(&script).unwrap();
    let given = "local lamp = parameters.lamp or variant(\"lamp\", \"XL-1101\", \"XL-1106\")\nprint(lamp)";
    fs::write(&script, text.replace("local lamp = variant(\"lamp\", \"XL-1101\", \"XL-1106\")", given)).unwrap();
    fs::write(desk.path().join("class.csv"), "trainee,seed,lamp\nt-01,,\nt-02,,\nt-03,9,XL-1104\n").unwrap();
    let mut logs = vec![];
    for t in ["t-01", "t-02", "t-03"] {
        let (code, log, err) =
            driven(desk.path(), &["--class", "class.csv", "--trainee", t], &format!("logs/{t}.jsonl"));
        assert_eq!(code, 0, "{err}");
        logs.push(log);
    }
    assert!(logs[0].contains("\"seed\":1}") && logs[1].contains("\"seed\":2}"), "{logs:?}");
    assert!(logs[2].contains("\"seed\":9,\"parameters\":{\"lamp\":\"XL-1104\"}}"), "{logs:?}");
    let said = run(desk.path(), &["grade", "new", "logs", "--out", "out"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    // The fault of each run is in its debrief: neighbours have different ones, the third the one that was set.
    let lamp = |t: &str| {
        let page = fs::read_to_string(desk.path().join(format!("out/debriefs/{t}.html"))).unwrap();
        ["XL-1101", "XL-1106", "XL-1104"]
            .into_iter()
            .filter(|l| page.contains(&format!("{l} dark")))
            .collect::<Vec<_>>()
    };
    let (one, two, three) = (lamp("t-01"), lamp("t-02"), lamp("t-03"));
    assert!(!one.is_empty() && one != two && three == ["XL-1104"], "{one:?} {two:?} {three:?}");
    let (code, _, err) = driven(desk.path(), &["--class", "class.csv", "--trainee", "t-04"], "b.jsonl");
    assert!(code == 1 && err.contains("the list has no trainee \"t-04\""), "{err}");
    let (code, _, err) = driven(desk.path(), &["--set", "lmap=XL-1104"], "c.jsonl");
    assert!(code == 1 && err.contains("no parameter \"lmap\"") && err.contains("did you mean \"lamp\"?"), "{err}");
}

/// Once the onset "at random from the run's seed" was read with one seed for all runs; and a sheet that
/// chance changes would make runs that cannot be compared.
#[test]
fn a_mark_sheet_that_chance_changes_is_told_beforehand() {
    let desk = desk();
    let script = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&script).unwrap();
    let by_chance = "step \"tested\" { marks = variant(\"marks\", 2, 3)";
    fs::write(&script, text.replace("step \"tested\" { marks = 2", by_chance)).unwrap();
    let said = run(desk.path(), &["check", "pack"]);
    assert_eq!(said.code, 1, "{}{}", said.out, said.err);
    assert!(said.err.contains("error[run::other-sheet]") && said.err.contains("two_valves.lua:15"), "{}", said.err);
}
