//! Packs that are broken on purpose, in `tests/data/broken`. What `check` must find of each is written
//! in the pack itself, at the end of the line: `-- finds: code, warning code` (`// finds: …` in RON), or
//! on any line `finds in this file: …` for what has no line, `finds in model.jsonl: …` for a file that
//! takes no comments. All of it must be found, and nothing else.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/broken")
}

fn packs() -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> =
        fs::read_dir(folder()).unwrap().map(|e| e.unwrap().path()).filter(|p| p.is_dir()).collect();
    all.sort();
    all
}

/// The diagnostics of a pack, whether it can be opened or not.
fn told(pack: &Path) -> Vec<base::Diagnostic> {
    match replay::check::check(pack, &BTreeMap::new()) {
        Ok(report) => report.told,
        Err(replay::Trouble::Mistakes(all)) => all,
        Err(machine) => panic!("{machine}"),
    }
}

/// A finding: file, line, code; warnings with the word before.
type Finding = (String, u32, String);

fn found(pack: &Path, told: &[base::Diagnostic]) -> Vec<Finding> {
    let mut all: Vec<Finding> = told
        .iter()
        .map(|d| {
            let file =
                Path::new(&d.place.file).strip_prefix(pack).map_or(d.place.file.clone(), |p| p.display().to_string());
            // A module is told by the name by which it is asked for.
            let file = if file.ends_with(".lua") || file.ends_with(".ron") || file.ends_with(".jsonl") {
                file
            } else {
                file.replace('.', "/") + ".lua"
            };
            let code = match d.severity {
                base::Severity::Error => d.code.to_owned(),
                base::Severity::Warning => format!("warning {}", d.code),
                base::Severity::Note => format!("note {}", d.code),
            };
            (file, d.place.line, code)
        })
        .collect();
    all.sort();
    all
}

fn expected(pack: &Path) -> Vec<Finding> {
    let mut all = vec![];
    for (name, bytes) in super::bench::files_below(pack) {
        let text = String::from_utf8(bytes).unwrap();
        for (i, line) in text.lines().enumerate() {
            let Some((_, after)) = line.split_once("finds") else { continue };
            let Some((place, codes)) = after.split_once(": ") else { continue };
            let (file, line) = match place.strip_prefix(" in ") {
                Some("this file") => (name.clone(), 0),
                Some(other) => (other.to_owned(), 0),
                None => (name.clone(), i as u32 + 1),
            };
            all.extend(codes.split(", ").map(|code| (file.clone(), line, code.trim().to_owned())));
        }
    }
    all.sort();
    all
}

#[test]
fn check_finds_what_is_written_in_each_broken_pack_and_nothing_else() {
    let mut wrong = String::new();
    let (mut count, mut findings) = (0, 0);
    for pack in packs() {
        let (expected, told) = (expected(&pack), told(&pack));
        assert!(!expected.is_empty(), "{} expects nothing", pack.display());
        let found = found(&pack, &told);
        if expected != found {
            let all: Vec<String> = told.iter().map(ToString::to_string).collect();
            writeln!(wrong, "{}\n expected {expected:?}\n found {found:?}\n{}\n", pack.display(), all.join("\n"))
                .unwrap();
        }
        (count, findings) = (count + 1, findings + expected.len());
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(count >= 40, "{count} packs");
    println!("{count} broken packs, {findings} findings");
}

/// The messages as people read them, once for all packs. With `UPDATE_BOOK=1` they are written anew: read
/// the difference as somebody who is no programmer.
#[test]
fn messages_read_as_a_person_would_want() {
    let mut made = String::new();
    let mut packs_of: BTreeMap<String, String> = BTreeMap::new();
    for pack in packs() {
        let name = pack.file_name().unwrap().to_string_lossy().into_owned();
        let said = super::bench::run(&folder(), &["check", &name]);
        assert!(said.code == 0 || said.code == 1, "{name}: {}", said.err);
        packs_of.insert(name, format!("{}{}", said.err, said.out));
    }
    for (name, said) in &packs_of {
        writeln!(made, "== {name}\n{}", said.trim_end()).unwrap();
    }
    let file = folder().join("messages.txt");
    if std::env::var_os("UPDATE_BOOK").is_some() {
        fs::write(&file, &made).unwrap();
    }
    let kept = fs::read_to_string(&file).unwrap_or_default();
    for (made, kept) in made.lines().zip(kept.lines()) {
        assert_eq!(made, kept, "run with UPDATE_BOOK=1 and read the difference");
    }
    assert_eq!(made.lines().count(), kept.lines().count());
}
