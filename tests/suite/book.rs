//! The book keeps to the program: pages made from the code that runs, examples that are run, links
//! and commands that exist.
//!
//! After a change that is meant, `UPDATE_BOOK=1 cargo test --test all book` writes the made pages
//! anew; run it once more without, and look at the difference before it is committed.

mod done;
mod made;

use std::fs;
use std::path::{Path, PathBuf};

fn book() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("book")
}

/// Holds a made file of the book to what the program says now.
fn hold(file: &str, made: &str) {
    let path = book().join("src/generated").join(file);
    let made = made.replace("\r\n", "\n");
    if std::env::var_os("UPDATE_BOOK").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, &made).unwrap();
    }
    let stands = fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
    if stands == made {
        return;
    }
    let line = stands.lines().zip(made.lines()).position(|(a, b)| a != b);
    let at = line.unwrap_or_else(|| stands.lines().count().min(made.lines().count()));
    panic!(
        "book/src/generated/{file} is no longer what the program says, from line {} on:\n  book:    {}\n  program: {}\n\
         If the change is meant, run: UPDATE_BOOK=1 cargo test --test all book",
        at + 1,
        stands.lines().nth(at).unwrap_or("(end)"),
        made.lines().nth(at).unwrap_or("(end)"),
    );
}

/// The chapters: name and text.
fn chapters() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = fs::read_dir(book().join("src"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "md"))
        .map(|p| (p.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(&p).unwrap()))
        .collect();
    all.sort();
    assert!(all.len() > 15, "the chapters are in book/src");
    all
}

/// A chapter with what it includes put in its place.
fn whole(text: &str, from: &Path) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once("{{#include ") {
        let (path, after) = behind.split_once("}}").unwrap();
        let path = from.join(path);
        let included = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        out.push_str(before);
        out.push_str(&whole(included.trim_end_matches('\n'), path.parent().unwrap()));
        rest = after;
    }
    out + rest
}

/// Blocks of code: chapter, line, what is written behind the ticks, text.
pub(super) fn blocks() -> Vec<(String, usize, String, String)> {
    let mut found = vec![];
    for (name, text) in chapters() {
        let text = whole(&text, &book().join("src"));
        let mut open: Option<(usize, String, String)> = None;
        for (i, line) in text.lines().enumerate() {
            match (&mut open, line.strip_prefix("```")) {
                (None, Some(kind)) => open = Some((i + 1, kind.to_owned(), String::new())),
                (Some(_), Some("")) => {
                    let (at, kind, text) = open.take().unwrap();
                    found.push((name.clone(), at, kind, text));
                }
                (Some((.., text)), _) => {
                    text.push_str(line);
                    text.push('\n');
                }
                (None, None) => {}
            }
        }
        assert!(open.is_none(), "{name}: a block of code is not ended");
    }
    found
}

/// What a block of Lua may be called: a whole exercise, items without a heading, conditions one a
/// line, or a fragment that is not run; a plain one is an example from the table of words.
#[test]
fn every_block_says_what_it_is() {
    let known = "console, text, json, json,log, ron,pack, lua, lua,exercise, lua,items, lua,conditions, lua,fragment";
    let known: Vec<&str> = known.split(", ").collect();
    for (name, line, kind, _) in blocks() {
        assert!(known.contains(&kind.as_str()), "{name}:{line}: a block of \"{kind}\"; known: {}", known.join(" "));
    }
}

#[test]
fn every_link_leads_somewhere_and_every_chapter_is_in_the_summary() {
    let summary = fs::read_to_string(book().join("src/SUMMARY.md")).unwrap();
    let included = ["SUMMARY.md", "cautions.md"];
    let mut wrong = vec![];
    for (name, text) in chapters() {
        if !included.contains(&name.as_str()) && !summary.contains(&format!("({name})")) {
            wrong.push(format!("{name} is not in the summary"));
        }
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let file = link.split('#').next().unwrap();
            let outside = link.starts_with("https://");
            if !file.is_empty() && !outside && !book().join("src").join(file).is_file() {
                wrong.push(format!("{name} links to {link}, which is not there"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_cautions_stand_at_the_front_with_the_plant_and_with_the_limits() {
    let caution = fs::read_to_string(book().join("src/cautions.md")).unwrap();
    for word in ["training aid", "maker's manuals", "class and flag rules", "safety-management", "engineer in charge"] {
        assert!(caution.contains(word), "the caution says \"{word}\"");
    }
    for (name, text) in chapters().iter().filter(|c| ["index.md", "plant.md", "limits.md"].contains(&c.0.as_str())) {
        let head: Vec<&str> = text.lines().take(6).collect();
        assert!(head.contains(&"{{#include cautions.md}}"), "{name}");
    }
}

/// Runs the program: how it ended, and what stands on the screen afterwards.
fn run(folder: &Path, arguments: &[&str], input: &str) -> (i32, String) {
    let output = assert_cmd::Command::cargo_bin("faultwright")
        .unwrap()
        .current_dir(folder)
        .env_remove("COLUMNS")
        .args(arguments)
        .write_stdin(input)
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stderr) + &text(output.stdout))
}

/// The verbs and the whole help of each, the program's own first under an empty name.
fn help() -> Vec<(String, String)> {
    let folder = tempfile::tempdir().unwrap();
    let of = |arguments: &[&str]| {
        let (code, text) = run(folder.path(), arguments, "");
        assert_eq!(code, 0, "{text}");
        text
    };
    let whole = of(&["--help"]);
    let verbs = whole.lines().skip_while(|l| *l != "Commands:").skip(1).take_while(|l| !l.is_empty());
    let verbs: Vec<String> = verbs
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .filter(|v| *v != "help")
        .map(ToOwned::to_owned)
        .collect();
    assert!(verbs.iter().any(|v| v == "grade"), "{whole}");
    let helps = verbs.iter().map(|v| (v.clone(), of(&[v, "--help"]))).collect::<Vec<_>>();
    std::iter::once((String::new(), whole)).chain(helps).collect()
}
