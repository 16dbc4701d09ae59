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
