//! What the book shows is done: logs, pack files and scripts are read, commands exist, and the first
//! exercise goes as it is written.

use super::{blocks, book, chapters, help, hold, run};
use replay::ship;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;

#[test]
fn every_log_of_the_book_is_read_without_a_word() {
    let mut read = 0;
    for (name, line, kind, text) in blocks() {
        if kind != "json,log" {
            continue;
        }
        let expected = files::log::Expected {
            pack: "first-exercise",
            pack_version: "1.0.0",
            exercises: &["lamp"],
            allowed: &|_| Ok(()),
        };
        let imported = files::log::read(&name, text.as_bytes(), &expected);
        assert!(imported.told.is_empty(), "{name}:{line}: {:?}", imported.told);
        assert!(imported.log.unwrap().whole, "{name}:{line}");
        read += 1;
    }
    assert!(read > 0);
}

#[test]
fn every_pack_file_of_the_book_is_read() {
    let mut read = 0;
    for (name, line, kind, text) in blocks() {
        if kind == "ron,pack" {
            files::pack::read(&name, text.as_bytes()).unwrap_or_else(|e| panic!("{name}:{line}: {e:?}"));
            read += 1;
        }
    }
    assert!(read > 1);
}

#[test]
fn every_command_of_the_book_exists() {
    let help = help();
    let mut seen = BTreeSet::new();
    for (name, text) in chapters() {
        let blocks = text.lines().filter_map(|l| l.strip_prefix("$ "));
        let inline = text.split('`').skip(1).step_by(2).filter(|t| !t.contains('\n'));
        for line in blocks.chain(inline).filter_map(|l| l.strip_prefix("faultwright ")) {
            let mut words = line.split_whitespace();
            let verb = words.next().unwrap_or_default();
            let Some((_, help)) = help.iter().find(|h| h.0 == verb && !verb.is_empty()) else {
                panic!("{name}: there is no command \"faultwright {line}\"");
            };
            for option in words.filter(|w| w.starts_with('-')) {
                assert!(help.contains(&format!("{option} ")), "{name}: {verb} has no {option}");
            }
            seen.insert(verb.to_owned());
        }
    }
    for (verb, _) in help.iter().skip(1) {
        assert!(seen.contains(verb), "the book speaks of \"faultwright {verb}\" somewhere");
    }
}

/// The plant of an exercise that stands in a block.
fn plant_of(text: &str) -> String {
    let (_, rest) = text.split_once("plant = \"").expect("an exercise names its plant");
    rest.split('"').next().unwrap().to_owned()
}

/// Every block of Lua that is no fragment is read by the program without a word, as an exercise of a
/// pack of its plant.
#[test]
fn every_script_of_the_book_is_read_without_a_word() {
    let heading = format!(
        "exercise {{ title = \"T\", plant = \"{}\", start = \"cold\", lasts = \"90 min\" }}\nstep \"one\" {{ marks = 1, done = after_time(\"1 s\") }}\n",
        ship::DEFAULT
    );
    let mut packs: BTreeMap<String, Vec<(String, String)>> = Default::default();
    for (name, line, kind, text) in blocks() {
        let script = match kind.as_str() {
            "lua,exercise" => text,
            "lua,items" => format!("{heading}{text}"),
            "lua,conditions" => {
                let code = text.lines().map(|l| l.split("--").next().unwrap().trim()).filter(|l| !l.is_empty());
                let steps = code.enumerate().map(|(i, c)| format!("step \"c{i}\" {{ marks = 1, done = {c} }}\n"));
                heading.clone() + &steps.collect::<String>()
            }
            _ => continue,
        };
        let id = format!("{}-{line}", name.trim_end_matches(".md"));
        packs.entry(plant_of(&script)).or_default().push((id, script));
    }
    let mut read = 0;
    for (plant, scripts) in packs {
        let folder = tempfile::tempdir().unwrap();
        let mut exercises = String::new();
        for (id, script) in &scripts {
            fs::write(folder.path().join(format!("{id}.lua")), script).unwrap();
            writeln!(exercises, "(id: \"{id}\", script: \"{id}.lua\"),").unwrap();
        }
        let pack = format!(
            "Pack(format: \"faultwright-pack/1\", id: \"book\", version: \"1.0.0\", title: \"Book\", plant: \"{plant}\", exercises: [{exercises}])"
        );
        fs::write(folder.path().join("pack.ron"), pack).unwrap();
        let (code, said) = run(folder.path(), &["check", "."], "");
        // They have no model runs, and those with a story are told so.
        let others = said.lines().filter(|l| l.starts_with("warning[") && !l.starts_with("warning[check::no-model]"));
        assert_eq!((code, others.count()), (0, 0), "on {plant}:\n{said}");
        read += scripts.len();
    }
    assert!(read > 10, "{read} scripts");
}

/// The chapter "Your first exercise" done as it is written; what the program says stands in it.
#[test]
fn the_first_exercise_goes_as_it_is_written() {
    let desk = tempfile::tempdir().unwrap();
    let at = |path: &str| desk.path().join(path);
    let from = |path: &str| fs::read_to_string(book().join("packs").join(path)).unwrap();
    fs::create_dir(at("first-exercise")).unwrap();
    fs::create_dir(at("class")).unwrap();
    fs::write(at("first-exercise/pack.ron"), from("first-exercise/pack.ron")).unwrap();
    let script = from("first-exercise/lamp.lua");
    let write = |text: &str| fs::write(at("first-exercise/lamp.lua"), text).unwrap();
    let check = || run(desk.path(), &["check", "first-exercise"], "");
    let drive = |name: &str, trainee: &str| {
        let log = format!("class/{name}.jsonl");
        let arguments = ["drive", "first-exercise", "--log", &log, "--trainee", trainee, "--speed", "max"];
        run(desk.path(), &arguments, &from(&format!("{name}.txt")))
    };
    let grade = || run(desk.path(), &["grade", "first-exercise", "class", "--out", "results"], "");

    write(&script);
    let (code, said) = check();
    assert_eq!(code, 0, "{said}");
    hold("first/check.txt", &said);

    let slip = script.replace("on = \"XL-1001\", kind", "on = \"XL-1010\", kind");
    assert_ne!(slip, script);
    write(&slip);
    let (code, said) = check();
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("did you mean \"XL-1001\"?"), "{said}");
    hold("first/mistake.txt", &said);
    write(&script);

    let (code, said) = drive("good", "t-01");
    assert_eq!(code, 0, "{said}");
    hold("first/drive.txt", &said);
    let (code, said) = drive("trusting", "t-02");
    assert_eq!(code, 0, "{said}");
    let (code, said) = grade();
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("t-01: 8 of 8, passed") && said.contains("t-02: 2 of 8, not passed"), "{said}");
    hold("first/grade.txt", &said);
    for file in ["class.html", "class.json", "gradebook.csv", "debriefs/t-01.html", "verdicts/t-02.json"] {
        assert!(at("results").join(file).is_file(), "{file}");
    }
    let debrief = fs::read_to_string(at("results/debriefs/t-02.html")).unwrap();
    assert!(debrief.contains("Prove a lamp before you believe it"), "the sentence on what to practise");

    // What the end of the chapter offers to try.
    let critical = script.replace("  marks = 4,\n", "  marks = 4, critical = true,\n");
    let late = script.replace("at = \"0 s\"", "at = \"30 s\"");
    let alarm = format!("{script}step \"alarm\" {{ marks = 1, done = did(\"acknowledge\", \"XA-1001\") }}\n");
    for text in [&critical, &late, &alarm] {
        assert_ne!(*text, script);
        write(text);
        assert_eq!(check().0, 0);
    }
    write(&critical);
    assert!(grade().1.contains("t-02: 2 of 8, not passed (critical: proved)"));
    write(&script);
    fs::copy(at("class/good.jsonl"), at("first-exercise/model.jsonl")).unwrap();
    let pack =
        from("first-exercise/pack.ron").replace("script: \"lamp.lua\"", "script: \"lamp.lua\", model: \"model.jsonl\"");
    fs::write(at("first-exercise/pack.ron"), pack).unwrap();
    assert!(check().1.contains("model run of \"lamp\": 8 of 8 marks"));
}

/// Codes of diagnostics that the book names are codes of the program.
#[test]
fn every_code_of_the_book_exists() {
    let mut sources = String::new();
    let mut waiting = vec![book().join("../engine")];
    while let Some(folder) = waiting.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                sources.push_str(&fs::read_to_string(path).unwrap());
            }
        }
    }
    let mut seen = 0;
    for (name, text) in chapters() {
        for code in text.split('`').skip(1).step_by(2).filter(|c| c.contains("::") && !c.contains(' ')) {
            assert!(sources.contains(&format!("\"{code}\"")), "{name}: no message has the code {code}");
            seen += 1;
        }
    }
    assert!(seen > 5);
}
