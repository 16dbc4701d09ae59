//! Hostile scripts from outside: the program in a process of its own, its memory watched by the kernel's
//! count. Every case ends with the diagnostic that it names, within its limit, and the next run is clean.

use super::bench::{desk, log_of, run};
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

/// What a process may hold more than one that checks a harmless script: a script's own memory, what it
/// makes the program keep of it (conditions, printed lines), and as much again for both.
const MORE_KB: u64 = 32 << 10;

fn cases() -> Vec<(String, String)> {
    let folder: PathBuf = [env!("CARGO_MANIFEST_DIR"), "engine/script/cases/hostile"].iter().collect();
    let mut all: Vec<(String, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .map(|p| (p.file_stem().unwrap().to_string_lossy().into_owned(), fs::read_to_string(p).unwrap()))
        .collect();
    all.sort();
    assert!(all.len() >= 39, "{}", all.len());
    all
}

/// A case on the bench of two valves.
fn on_the_bench(text: &str) -> String {
    text.replace("\"demo\"", "\"valve-bench\"").replace("XL-3310", "XL-1001").replace("XL-2104", "XL-1002")
}

fn expected(text: &str) -> Vec<String> {
    text.lines()
        .filter_map(|l| l.strip_prefix("--! expect:"))
        .map(|l| l.split(" at ").next().unwrap().trim().to_owned())
        .collect()
}

/// The program over a script: how it ended, what it said, and the most memory that it held, kB.
fn checked(script: &str) -> (i32, String, u64) {
    let folder = tempfile::tempdir().unwrap();
    let pack = "Pack(format: \"faultwright-pack/1\", id: \"h\", version: \"1.0.0\", title: \"H\", plant: \"valve-bench\", \
                exercises: [(id: \"h\", script: \"h.lua\")])";
    fs::write(folder.path().join("pack.ron"), pack).unwrap();
    fs::write(folder.path().join("h.lua"), script).unwrap();
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("faultwright"))
        .args(["check", "."])
        .current_dir(folder.path())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let of_child = PathBuf::from(format!("/proc/{}", child.id()));
    // For a moment the child is still the process of the tests, whose memory is not the program's.
    let tests = fs::read_link("/proc/self/exe").ok();
    let mut most = 0;
    let code = loop {
        if fs::read_link(of_child.join("exe")).ok() != tests {
            most = most.max(peak(&of_child.join("status")));
        }
        if let Some(code) = child.try_wait().unwrap() {
            break code.code();
        }
        // Only so that the watching does not take the processor from what is watched.
        std::thread::park_timeout(Duration::from_millis(1));
    };
    let mut said = String::new();
    child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
    (code.unwrap_or_else(|| panic!("killed by a signal: {said}")), said, most)
}

/// The most memory that a process has held so far; 0 where the system does not tell.
fn peak(status: &Path) -> u64 {
    let text = fs::read_to_string(status).unwrap_or_default();
    let line = text.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    line.and_then(|l| l.split_whitespace().next()?.parse().ok()).unwrap_or_default()
}

const HARMLESS: &str = "exercise { title = \"T\", plant = \"valve-bench\", start = \"cold\", lasts = \"10 min\" }\n\
     step \"a\" { marks = 1, done = lit(\"XL-1001\") }\nstory(function(run) run:wait(\"1 min\") end)\n";

#[test]
fn every_hostile_script_ends_with_its_diagnostic_and_little_memory() {
    let (code, said, base) = checked(HARMLESS);
    assert_eq!(code, 0, "{said}");
    let (mut wrong, mut most, mut count) = (String::new(), 0, 0);
    for (name, text) in cases() {
        let codes = expected(&text);
        let script = on_the_bench(&text);
        // As it stands, and in a story, where a run would meet it.
        let (heading, body) = script.split_once("LEFT_BEHIND").unwrap();
        let in_a_story = format!("{heading}story(function(run)\nLEFT_BEHIND{body}\nend)\n");
        for (how, script) in [("read", &script), ("in a story", &in_a_story)] {
            let (code, said, held) = checked(script);
            count += 1;
            most = most.max(held.saturating_sub(base));
            let told = codes.iter().all(|c| said.contains(&format!("[{c}]")));
            // In a story some end by what a story may not do at all; each still ends by name.
            let told = told || (how == "in a story" && said.contains("error[script::"));
            let ends = if codes.is_empty() { code == 0 } else { code == 1 || how == "in a story" };
            if !told || !ends || said.contains("panicked") || held > base + MORE_KB {
                wrong
                    .push_str(&format!("{name} {how}: exit {code}, {held} kB of {base}, expected {codes:?}\n{said}\n"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    println!("{count} hostile runs; at most {most} kB more than the {base} kB of a harmless one");
}

/// A story that is endless for one trainee only, by that run's parameter.
#[test]
fn one_endless_run_is_one_line_and_the_next_is_clean() {
    let desk = desk();
    let script = desk.path().join("pack/two_valves.lua");
    let text = fs::read_to_string(&script).unwrap();
    let spin = "run:wait(\"2 min\")\n  if parameters.spin then\n    GROWN = \"left\"\n    while true do end\n  end";
    fs::write(&script, text.replace("run:wait(\"2 min\")", spin)).unwrap();
    for (file, parameters) in [("a", ""), ("b", ",\"parameters\":{\"spin\":\"true\"}"), ("c", "")] {
        let log = log_of(file).replacen("\"seed\":1}", &format!("\"seed\":1{parameters}}}"), 1);
        fs::write(desk.path().join(format!("logs/{file}.jsonl")), log).unwrap();
    }
    let said = run(desk.path(), &["grade", "pack", "logs", "--out", "out", "--jobs", "1"]);
    assert_eq!(said.code, 2, "{}{}", said.out, said.err);
    let lines: Vec<&str> = said.out.lines().collect();
    assert!(lines[0].starts_with("a: 10 of 10") && lines[2].starts_with("c: 10 of 10"), "{}", said.out);
    assert!(lines[1].starts_with("b: not graded: two_valves.lua:") && lines[1].contains("limit of"), "{}", said.out);
}
