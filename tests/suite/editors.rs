//! What an editor makes of the scripts with our definitions beside them: a language server's own check, where
//! `emmylua_check` is installed, has nothing to say of what ships and tells what is planted. Where it is not, the
//! definitions are held to their own syntax. Each test prints which of the two it did.

use super::book::blocks;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const DEFINITIONS: &str = include_str!("../../scripts/faultwright.d.lua");

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The language server's check: on the PATH, or where cargo puts programs.
fn checker() -> Option<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let cargo = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let cargo = cargo.or_else(|| std::env::home_dir().map(|home| home.join(".cargo")));
    let folders = std::env::split_paths(&path).chain(cargo.map(|c| c.join("bin")));
    let name = format!("emmylua_check{}", std::env::consts::EXE_SUFFIX);
    let found = folders.map(|f| f.join(&name)).find(|p| p.is_file());
    match &found {
        Some(program) => println!("with {}", program.display()),
        None => println!("emmylua_check is not installed: the definitions' own syntax instead"),
    }
    found
}

/// What the check says of these scripts, each in a folder of its own beside the definitions.
fn said(program: &Path, scripts: &[(String, String)]) -> (bool, String) {
    let desk = tempfile::tempdir().unwrap();
    fs::write(desk.path().join("faultwright.d.lua"), DEFINITIONS).unwrap();
    for (name, text) in scripts {
        let path = desk.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    let mut check = Command::new(program);
    check.args(["--warnings-as-errors", "--severity", "warn", "."]).current_dir(desk.path());
    let out = check.output().unwrap();
    let words = [out.stdout, out.stderr].map(|b| String::from_utf8_lossy(&b).into_owned()).concat();
    (out.status.success(), words)
}

/// The Lua files of a folder, by their path from here.
fn lua(folder: &str) -> Vec<(String, String)> {
    let all = fs::read_dir(root().join(folder)).unwrap().map(|e| e.unwrap().path());
    let mut all: Vec<PathBuf> = all.filter(|p| p.extension().is_some_and(|e| e == "lua")).collect();
    all.sort();
    let read = |p: PathBuf| {
        let name = p.strip_prefix(root()).unwrap().to_string_lossy().into_owned();
        (name, fs::read_to_string(p).unwrap())
    };
    all.into_iter().map(read).collect()
}

/// Every script that ships: packs, library, the new pack's, the book's exercises and items, the stories.
fn shipped() -> Vec<(String, String)> {
    let mut packs: Vec<String> = fs::read_dir(root().join("scenarios"))
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    packs.sort();
    let mut all: Vec<(String, String)> = packs.iter().flat_map(|p| lua(&format!("scenarios/{p}"))).collect();
    assert!(all.len() >= 3, "the packs are in scenarios/");
    // The guard is the program's own, and no script of an exercise.
    let library = lua("scripts/lib").into_iter().filter(|(name, _)| !name.ends_with("guard.lua"));
    all.extend(library.map(|(name, text)| (name.replace("scripts/", ""), text)));
    all.extend(lua("engine/replay/src/new"));
    all.extend(lua("tests/data/stories"));
    let of_the_book = blocks().into_iter().filter(|b| matches!(b.2.as_str(), "lua,exercise" | "lua,items"));
    all.extend(of_the_book.map(|(chapter, line, _, text)| (format!("book/{chapter}_{line}/example.lua"), text)));
    all
}

/// What is wrong with the definitions' syntax, as Lua and as notes of LuaCATS.
fn syntax(definitions: &str) -> Vec<String> {
    let mut wrong: Vec<String> = match full_moon::parse(definitions) {
        Ok(_) => vec![],
        Err(all) => all.iter().map(ToString::to_string).collect(),
    };
    let mut params: Vec<&str> = vec![];
    for (i, line) in definitions.lines().enumerate() {
        let mut say = |what: String| wrong.push(format!("line {}: {what}", i + 1));
        if let Some(note) = line.strip_prefix("---@") {
            let mut words = note.split_whitespace();
            let (kind, name) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
            match kind {
                "meta" | "class" | "alias" | "field" | "return" | "type" => {}
                "param" => params.push(name.trim_end_matches('?')),
                _ => say(format!("\"{kind}\" is no note")),
            }
            if kind != "meta" && name.is_empty() {
                say(format!("the note \"{kind}\" is of nothing"));
            }
        } else if let Some(head) = line.strip_prefix("function ") {
            let takes = head.split(['(', ')']).nth(1).unwrap_or_default();
            let takes: Vec<&str> = takes.split(", ").filter(|t| !t.is_empty()).collect();
            if takes != params {
                say(format!("it takes {takes:?}, and the notes are of {params:?}"));
            }
            params.clear();
        }
    }
    wrong
}

#[test]
fn an_editor_has_nothing_to_say_of_what_ships() {
    assert_eq!(syntax(DEFINITIONS), Vec::<String>::new());
    let Some(program) = checker() else { return };
    let scripts = shipped();
    println!("{} scripts", scripts.len());
    let (well, words) = said(&program, &scripts);
    assert!(well, "{words}");
}

#[test]
fn an_editor_tells_what_is_planted() {
    for planted in ["---@parm x string", "---@field", "function f(", "---@param x string\nfunction f(y) end"] {
        assert!(!syntax(&format!("{DEFINITIONS}{planted}\n")).is_empty(), "{planted}");
    }
    let Some(program) = checker() else { return };
    let story = |line: &str| format!("story(function(run)\n  {line}\nend)");
    let cases = [
        ("fualt \"a\" { on = \"XL-2104\", kind = \"dark\" }".to_owned(), "undefined-global", 1),
        ("fault \"a\" { on = 2104, kind = \"dark\" }".to_owned(), "assign-type-mismatch", 1),
        ("fault \"a\" { on = \"XL-2104\" }".to_owned(), "missing-fields", 1),
        ("fault \"a\" { on = \"X\", kind = \"dark\", after = { \"5 min\" } }".to_owned(), "assign-type-mismatch", 1),
        ("step \"a\" { marks = 4, done = shown(\"PT-2001\") }".to_owned(), "assign-type-mismatch", 1),
        ("step \"a\" { marks = 4, done = shown(\"PT-2001\"):abvoe(\"4 barg\") }".to_owned(), "undefined-field", 1),
        ("order \"a\" { marks = 4, steps = \"b\" }".to_owned(), "assign-type-mismatch", 1),
        (story("run:injekt(\"lamp\")"), "undefined-field", 2),
        (story("run:wait(5)"), "param-type-mismatch", 2),
        (story("if run:holds(true) then run:tell(\"x\") end"), "param-type-mismatch", 2),
    ];
    let named = |i: usize| format!("planted_{i}/planted.lua");
    let scripts: Vec<(String, String)> = cases.iter().enumerate().map(|(i, c)| (named(i), c.0.clone())).collect();
    let (well, words) = said(&program, &scripts);
    assert!(!well);
    for (i, (text, code, line)) in cases.iter().enumerate() {
        // A finding is a line with its code, and one with its place below it.
        let at = format!("{}:{line}:", named(i));
        let mut told = words.lines().zip(words.lines().skip(1));
        let found = told.any(|(what, place)| what.contains(&format!("[{code}]")) && place.contains(&at));
        assert!(found, "{text}: no {code} at {at}\n{words}");
    }
}
