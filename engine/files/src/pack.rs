//! A pack: a folder of exercises that belong together, with `pack.ron` in it.

use crate::strict;
use base::{Diagnostic, Place};
use serde::Deserialize;

/// The format that this version reads.
pub const FORMAT: &str = "faultwright-pack/1";
/// Name of the file in the pack's folder.
pub const FILE: &str = "pack.ron";
const CODE: &str = "pack::form";
/// Most exercises, modules and states of a pack, each: whoever opens a pack reads every one of them.
pub const LISTED_MAX: usize = 200;
/// Longest version and longest short name, in characters.
pub const NAME_MAX: usize = 64;
/// Longest title, licence and name of an author, in characters.
pub const TEXT_MAX: usize = 200;

/// A pack as its `pack.ron` describes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// Short name, lower-case letters, digits and hyphens.
    pub id: String,
    /// Version, such as `1.0.0`.
    pub version: String,
    /// Title for people.
    pub title: String,
    /// Short name of the plant that its exercises are written for.
    pub plant: String,
    /// Its exercises in file order; at least one.
    pub exercises: Vec<ExerciseFile>,
    /// Lua files of the pack that its scripts may ask for.
    pub modules: Vec<String>,
    /// States of the plant that it brings, from which its exercises may start.
    pub states: Vec<StateFile>,
    /// Who wrote it.
    pub authors: Vec<String>,
    /// Under what terms it may be passed on.
    pub licence: String,
}

/// One exercise of a pack. Paths are relative to the pack's folder, with forward slashes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExerciseFile {
    /// Short name by which logs speak of it.
    pub id: String,
    /// Its script.
    pub script: String,
    /// The author's model run, when there is one.
    pub model: Option<String>,
}

/// A prepared state that a pack brings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StateFile {
    /// Short name, as in an exercise's `start`.
    pub name: String,
    /// The log that leads there from a cold plant.
    pub log: String,
}

#[derive(Deserialize)]
#[serde(rename = "State", deny_unknown_fields)]
struct StateOnDisk {
    name: String,
    log: String,
}

#[derive(Deserialize)]
#[serde(rename = "Pack", deny_unknown_fields)]
struct PackOnDisk {
    format: String,
    id: String,
    version: String,
    title: String,
    plant: String,
    exercises: Vec<ExerciseOnDisk>,
    #[serde(default)]
    modules: Vec<String>,
    #[serde(default)]
    states: Vec<StateOnDisk>,
    #[serde(default)]
    authors: Vec<String>,
    #[serde(default)]
    licence: String,
}

#[derive(Deserialize)]
#[serde(rename = "Exercise", deny_unknown_fields)]
struct ExerciseOnDisk {
    id: String,
    script: String,
    #[serde(default)]
    model: String,
}

/// Only the version, to be told before the rest is read.
#[derive(Deserialize)]
#[serde(rename = "Pack")]
struct FormatOnly {
    format: String,
}

/// Reads a `pack.ron`.
///
/// # Errors
/// All mistakes that can be told apart: the form of the file, its version, bad ids, doubled
/// exercises, names of modules that two files would have, paths that leave the folder, texts and lists that are too long.
pub fn read(file: &str, bytes: &[u8]) -> Result<Pack, Vec<Diagnostic>> {
    let text = strict::text(file, bytes, CODE).map_err(|d| vec![d])?;
    let first: FormatOnly = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    if first.format != FORMAT {
        return Err(vec![wrong_format(file, text, &first.format, FORMAT)]);
    }
    let disk: PackOnDisk = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    debug_assert_eq!(disk.format, FORMAT);
    let mut wrong = vec![];
    let at = |word: &str| Place::line(file, line_of(text, word));
    let again = |word: &str| Place::line(file, last_line_of(text, word));
    limits(&disk, &at, file, &mut wrong);
    for id in std::iter::once(&disk.id).chain(disk.exercises.iter().map(|e| &e.id)) {
        if !is_short_name(id) {
            wrong.push(
                Diagnostic::error("pack::id", at(id), format!("\"{id}\" is not a short name"))
                    .hint("use 1 to 64 lower-case letters, digits and hyphens, such as \"raise-steam\""),
            );
        }
    }
    if disk.exercises.is_empty() {
        wrong.push(Diagnostic::error("pack::no-exercise", Place::file(file), "the pack has no exercise"));
    }
    for (i, e) in disk.exercises.iter().enumerate() {
        if disk.exercises[..i].iter().any(|x| x.id == e.id) {
            wrong.push(Diagnostic::error(
                "pack::twice",
                again(&e.id),
                format!("the exercise \"{}\" is listed twice", e.id),
            ));
        }
    }
    let models = disk.exercises.iter().map(|e| &e.model);
    for (i, s) in disk.states.iter().enumerate() {
        if !is_short_name(&s.name) || s.name == "cold" {
            wrong.push(
                Diagnostic::error("pack::state", at(&s.name), format!("a state cannot have the name \"{}\"", s.name))
                    .hint(
                        "use 1 to 64 lower-case letters, digits and hyphens; \"cold\" is the plant as it was built up",
                    ),
            );
        }
        if disk.states[..i].iter().any(|x| x.name == s.name) {
            let told = format!("the state \"{}\" is listed twice", s.name);
            wrong.push(Diagnostic::error("pack::twice", again(&s.name), told));
        }
    }
    for (i, path) in disk.modules.iter().enumerate() {
        let Some(other) = disk.modules[..i].iter().find(|m| module_name(m) == module_name(path)) else { continue };
        let told = match other == path {
            true => format!("the module \"{path}\" is listed twice"),
            false => {
                format!("scripts would ask for \"{other}\" and \"{path}\" by the same name, {}", module_name(path))
            }
        };
        wrong.push(Diagnostic::error("pack::twice", again(path), told));
    }
    let states = disk.states.iter().map(|s| &s.log);
    for path in disk
        .exercises
        .iter()
        .map(|e| &e.script)
        .chain(models.filter(|m| !m.is_empty()))
        .chain(&disk.modules)
        .chain(states)
    {
        if let Err(why) = inside(path) {
            wrong.push(
                Diagnostic::error("pack::path", at(path), format!("the path \"{path}\" {why}"))
                    .hint("name a file of the pack's folder, with forward slashes: \"raise_steam.lua\""),
            );
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    Ok(Pack {
        id: disk.id,
        version: disk.version,
        title: disk.title,
        plant: disk.plant,
        exercises: disk
            .exercises
            .into_iter()
            .map(|e| ExerciseFile { id: e.id, script: e.script, model: (!e.model.is_empty()).then_some(e.model) })
            .collect(),
        modules: disk.modules,
        states: disk.states.into_iter().map(|s| StateFile { name: s.name, log: s.log }).collect(),
        authors: disk.authors,
        licence: disk.licence,
    })
}

pub(crate) fn wrong_format(file: &str, text: &str, found: &str, known: &str) -> Diagnostic {
    let family = known.split('/').next().unwrap_or(known);
    let (message, hint) = if found.split('/').next() == Some(family) {
        let message = format!("this is {found}, and this program reads {known}");
        (message, "a file of another version needs the program of that version".to_owned())
    } else {
        let message = format!("the format is \"{found}\", and \"{known}\" was expected");
        (message, format!("write \"{known}\", if it is such a file"))
    };
    Diagnostic::error("file::format", Place::line(file, line_of(text, found)), message).hint(hint)
}

/// The line of a RON file on which a text first stands between quotation marks, outside comments; 0 when it stands
/// nowhere.
#[must_use]
pub fn line_of(text: &str, word: &str) -> u32 {
    strict::texts(text).iter().find(|t| t.1 == word).map_or(0, |t| t.0)
}

/// The last such line.
fn last_line_of(text: &str, word: &str) -> u32 {
    strict::texts(text).iter().rfind(|t| t.1 == word).map_or(0, |t| t.0)
}

/// What is too long or too many.
fn limits(disk: &PackOnDisk, at: &dyn Fn(&str) -> Place, file: &str, wrong: &mut Vec<Diagnostic>) {
    let lists = [
        ("exercises", disk.exercises.len()),
        ("modules", disk.modules.len()),
        ("states", disk.states.len()),
        ("authors", disk.authors.len()),
    ];
    for (what, n) in lists.into_iter().filter(|l| l.1 > LISTED_MAX) {
        let message = format!("the pack has {n} {what}, and at most {LISTED_MAX} are read");
        wrong.push(Diagnostic::error("pack::too-many", Place::file(file), message));
    }
    let texts = [
        ("version", &disk.version, NAME_MAX),
        ("plant", &disk.plant, NAME_MAX),
        ("title", &disk.title, TEXT_MAX),
        ("licence", &disk.licence, TEXT_MAX),
    ];
    for (what, text, most) in texts.into_iter().chain(disk.authors.iter().map(|a| ("author", a, TEXT_MAX))) {
        let wanted = matches!(what, "version" | "title");
        let why = match text.chars().count() {
            0 if wanted => format!("the {what} is empty"),
            n if n > most => format!("the {what} has {n} characters, and at most {most} are read"),
            _ if text.chars().any(char::is_control) => {
                format!("the {what} has an end of line or another control sign in it")
            }
            _ => continue,
        };
        wrong.push(Diagnostic::error("pack::text", at(text), why));
    }
}

/// The name by which scripts ask for a module: `parts/level.lua` is `parts.level`.
#[must_use]
pub fn module_name(path: &str) -> String {
    path.strip_suffix(".lua").unwrap_or(path).replace('/', ".")
}

fn is_short_name(id: &str) -> bool {
    (1..=64).contains(&id.len()) && id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}

/// Whether a path of a pack stays inside its folder, as far as its text can tell.
///
/// # Errors
/// What is wrong with it, to follow "the path …".
pub fn inside(path: &str) -> Result<(), &'static str> {
    if path.is_empty() {
        return Err("is empty");
    }
    if path.contains(['\\', ':', '\0']) {
        return Err("has a backslash, a colon or a zero in it");
    }
    if path.starts_with('/') {
        return Err("is absolute");
    }
    if path.split('/').any(|part| part == ".." || part == "." || part.is_empty()) {
        return Err("leaves the pack's folder or goes round in it");
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = r#"Pack(
    format: "faultwright-pack/1",
    id: "first-steam", version: "1.0.0", title: "First steam", plant: "training-vessel",
    exercises: [(id: "raise-steam", script: "raise_steam.lua", model: "model.jsonl")],
)"#;

    fn wrong(text: &str) -> Vec<String> {
        read("pack.ron", text.as_bytes()).unwrap_err().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_pack_is_read() {
        let p = read("pack.ron", GOOD.as_bytes()).unwrap();
        assert_eq!(p.exercises[0].model.as_deref(), Some("model.jsonl"));
        assert_eq!((p.id.as_str(), p.plant.as_str()), ("first-steam", "training-vessel"));
    }

    #[test]
    fn an_unknown_field_is_told_at_its_place_with_the_nearest_name() {
        let text = GOOD.replace("title:", "titel:");
        assert_eq!(
            wrong(&text),
            ["error[pack::form]: unknown field \"titel\" in Pack\n  at pack.ron:3:42\n  hint: did you mean \"title\"?"]
        );
    }

    /// Once a missing comma or quotation mark was told as "Expected comma", somewhere behind it.
    #[test]
    fn a_missing_comma_or_quotation_mark_is_told_with_where_to_put_it() {
        let text = GOOD.replace("pack/1\",", "pack/1\"");
        assert_eq!(
            wrong(&text),
            [
                "error[pack::form]: a comma is missing before this\n  at pack.ron:3:5\n  hint: put one at the end of line 2"
            ]
        );
        let text = GOOD.replace("title: \"First steam\"", "title: \"First steam");
        assert_eq!(
            wrong(&text),
            ["error[pack::form]: a quotation mark is missing on this line\n  at pack.ron:3\n  \
              hint: every text stands between two quotation marks"]
        );
        let text = GOOD.replace("\"model.jsonl\"", "\"model.jsonl");
        assert!(wrong(&text)[0].contains("a quotation mark is missing on this line\n  at pack.ron:4"));
        let text = GOOD.replace("version: \"1.0.0\", ", "version: \"1.0.0\" ");
        assert!(wrong(&text)[0].contains("put one between the two values"), "{:?}", wrong(&text));
    }

    #[test]
    fn a_text_or_a_list_in_another_form_is_told_with_how_to_write_it() {
        let told = wrong(&GOOD.replace("version: \"1.0.0\"", "version: 1"));
        assert!(told[0].contains("a text is wanted here") && told[0].contains("between quotation marks"), "{told:?}");
        let begins = GOOD.find("exercises: [").unwrap();
        let told = wrong(&format!("{}exercises: \"a\", )", &GOOD[..begins]));
        assert!(told[0].contains("a list is wanted here") && told[0].contains("square brackets"), "{told:?}");
    }

    #[test]
    fn several_mistakes_are_told_at_once() {
        let text = GOOD
            .replace("\"first-steam\"", "\"First Steam\"")
            .replace("raise_steam.lua", "../../secret.lua")
            .replace("model.jsonl", "/model.jsonl");
        let told = wrong(&text).join("\n");
        assert_eq!(told.matches("error[").count(), 3, "{told}");
        assert!(told.contains("\"First Steam\" is not a short name\n  at pack.ron:3"), "{told}");
    }

    #[test]
    fn another_version_is_told_before_anything_else() {
        let text = GOOD.replace("pack/1", "pack/2").replace("title:", "named:");
        assert!(
            wrong(&text)[0]
                .contains("this is faultwright-pack/2, and this program reads faultwright-pack/1\n  at pack.ron:2")
        );
    }

    /// Once the remark above it was pointed at, such as the one in every new pack.
    #[test]
    fn a_mistake_is_told_where_it_stands_and_not_in_a_remark() {
        let text = GOOD.replace("    id:", "    // (id: \"Raise\"),\n    id:").replace("\"raise-steam\"", "\"Raise\"");
        assert!(wrong(&text)[0].contains("\"Raise\" is not a short name\n  at pack.ron:5"), "{:?}", wrong(&text));
        let twice = "model.jsonl\"),\n    (id: \"raise-steam\", script: \"b.lua\")]";
        let text = GOOD.replace("model.jsonl\")]", twice);
        assert_eq!(wrong(&text), ["error[pack::twice]: the exercise \"raise-steam\" is listed twice\n  at pack.ron:5"]);
    }

    #[test]
    fn two_modules_by_one_name_are_told() {
        let with = |modules: &str| GOOD.replace("exercises:", &format!("modules: [{modules}],\n    exercises:"));
        let told = wrong(&with("\"parts/level.lua\",\n    \"parts.level.lua\""));
        let said = "scripts would ask for \"parts/level.lua\" and \"parts.level.lua\" by the same name, parts.level";
        assert_eq!(told, [format!("error[pack::twice]: {said}\n  at pack.ron:5")]);
        assert!(wrong(&with("\"a.lua\", \"a.lua\""))[0].contains("the module \"a.lua\" is listed twice"));
        assert!(read("pack.ron", with("\"a.lua\", \"b/a.lua\"").as_bytes()).is_ok());
    }

    #[test]
    fn what_is_too_long_or_too_many_is_told() {
        let many =
            (0..=LISTED_MAX).map(|i| format!("(id: \"e{i}\", script: \"a.lua\")")).collect::<Vec<_>>().join(",\n");
        let (start, _) = GOOD.split_once("exercises:").unwrap();
        let text = format!("{start}exercises: [{many}])");
        assert!(wrong(&text)[0].contains("201 exercises, and at most 200 are read"), "{:?}", wrong(&text));
        assert!(wrong(&GOOD.replace("1.0.0", ""))[0].contains("the version is empty"));
        assert!(wrong(&GOOD.replace("1.0.0", "1\\u{1b}[31m"))[0].contains("control sign"));
        let long = wrong(&GOOD.replace("First steam", &"x".repeat(201)));
        assert!(
            long[0].contains("the title has 201 characters, and at most 200 are read\n  at pack.ron:3"),
            "{long:?}"
        );
    }

    #[test]
    fn deep_nesting_is_refused_and_not_followed() {
        let text = format!("Pack(format: {}", "[".repeat(1_000_000));
        assert_eq!(wrong(&text).len(), 1);
    }
}
