//! Runs every script under `cases`. A comment `--! expect: code at line` names a finding; a script
//! without one must be read without any. `--! hint: text` asks for a hint with this text.

use super::run;
use base::Diagnostic;
use std::path::PathBuf;

fn scripts(folder: &str) -> Vec<(String, String)> {
    let folder: PathBuf = [env!("CARGO_MANIFEST_DIR"), "cases", folder].iter().collect();
    let mut found: Vec<(String, String)> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .map(|p| (p.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(&p).unwrap()))
        .collect();
    found.sort();
    assert!(!found.is_empty(), "no scripts in {}", folder.display());
    found
}

fn check(folder: &str, kinds: &[&str]) {
    let mut failed = Vec::new();
    for (file, text) in scripts(folder) {
        let expected: Vec<String> = marks(&text, "--! expect:");
        let told: Vec<Diagnostic> = match run(&text) {
            Ok(authored) => authored.warnings,
            Err(told) => told,
        };
        let got: Vec<String> = told.iter().map(|d| format!("{} at {}", d.code, d.place.line)).collect();
        let mut sorted = (expected.clone(), got);
        sorted.0.sort();
        sorted.1.sort();
        let hints: Vec<String> = marks(&text, "--! hint:")
            .into_iter()
            .filter(|h| !told.iter().any(|d| d.to_string().contains(h.as_str())))
            .collect();
        if sorted.0 != sorted.1 || !hints.is_empty() {
            let all: Vec<String> = told.iter().map(ToString::to_string).collect();
            failed
                .push(format!("{file}\n expected {expected:#?}\n hints missing {hints:?}\n told:\n{}", all.join("\n")));
        }
        // The next state knows nothing of the one before.
        if kinds.contains(&"clean") {
            let next = run(&super::with_heading("print(tostring(LEFT_BEHIND ~= nil))")).unwrap_err();
            assert_eq!(next[0].code, "script::unknown-name", "{file} left something behind");
        }
    }
    assert!(failed.is_empty(), "{} scripts:\n{}", failed.len(), failed.join("\n\n"));
}

fn marks(text: &str, mark: &str) -> Vec<String> {
    text.lines().filter_map(|l| l.trim().strip_prefix(mark)).map(|m| m.trim().to_owned()).collect()
}

#[test]
fn good_scripts_are_read_without_a_word() {
    check("good", &[]);
}

#[test]
fn mistakes_are_told_at_their_lines() {
    check("wrong", &[]);
}

#[test]
fn hostile_scripts_end_with_their_limit_and_leave_nothing_behind() {
    check("hostile", &["clean"]);
}

#[test]
fn mistakes_are_told_up_to_a_cap() {
    let told = run(&super::with_heading("for i = 1, 1e6 do lit(\"XL-\" .. i) end")).unwrap_err();
    assert_eq!(told.len(), crate::limits::MISTAKES + 1);
    assert_eq!(told.last().unwrap().code, "script::many-mistakes");
}

#[test]
fn an_error_that_is_a_table_has_no_address() {
    let told = run(&super::with_heading("error({})")).unwrap_err();
    assert_eq!(told[0].message, "Lua says: table");
}
