//! The reference and the editor definitions, written from the very tables that register the words.

use crate::limits;
use crate::words::{FIELDS, On, WORDS, Word};
use std::fmt::Write;

/// The groups of the reference: what a word belongs to, a title, and what to know beforehand.
const GROUPS: &[(On, &str, &str)] = &[
    (On::Script, "Words of their own", "What an exercise is made of, and what a condition begins with."),
    (
        On::Value,
        "Methods of values",
        "A value is what `actual`, `signal`, `shown`, `setting` and `damage` give. It becomes a condition by being compared. The methods from `rate` on work another value out of it.",
    ),
    (On::Condition, "Methods of conditions", "A condition is true or false on every tick of 0.1 s."),
    (On::Run, "Methods of the run", "A story is a function that is given the run."),
];

/// The tables, and the names of their types in the editor definitions.
const TABLES: &[(&str, &str)] = &[
    ("exercise", "ExerciseFields"),
    ("fault", "FaultFields"),
    ("step", "StepFields"),
    ("limit", "LimitFields"),
    ("response", "ResponseFields"),
    ("order", "OrderFields"),
    ("steadiness", "SteadinessFields"),
    ("finding", "FindingFields"),
    ("group", "GroupFields"),
];

/// The reference as Markdown, one sentence a line.
#[must_use]
pub fn markdown() -> String {
    let mut text = String::from(
        "# Words of the exercises\n\n<!-- Generated from the code; change the table of words instead. -->\n",
    );
    for (on, title, says) in GROUPS {
        let _ = write!(text, "\n## {title}\n\n{says}\n");
        for word in WORDS.iter().filter(|w| w.on == *on) {
            let _ = write!(text, "\n### `{}`\n\n{}\n", word.signature(), sentences(word.says));
            for take in word.takes {
                let (kind, optional) = plain_kind(take.kind);
                let _ = write!(text, "\n- `{}`: {kind}{}", take.name, if optional { ", may be left out" } else { "" });
            }
            if !word.takes.is_empty() {
                text.push('\n');
            }
            if !word.gives.is_empty() {
                let _ = write!(text, "\nGives: {}.\n", plain_kind(word.gives).0);
            }
            let _ = write!(text, "\n```lua\n{}\n```\n", word.example);
            if *on == On::Script {
                fields_of(&mut text, word.name);
            }
        }
    }
    plain_lua(&mut text);
    caps(&mut text);
    text
}

fn fields_of(text: &mut String, item: &str) {
    let mut fields = FIELDS.iter().filter(|f| f.item == item).peekable();
    if fields.peek().is_none() {
        return;
    }
    text.push_str("\n| field | type | needed | what it says |\n| --- | --- | --- | --- |\n");
    for f in fields {
        let needed = if f.needed { "yes" } else { "" };
        let kind = plain_kind(f.kind).0.replace('|', "\\|");
        let _ = writeln!(text, "| `{}` | {kind} | {needed} | {} |", f.name, f.says.replace('|', "\\|"));
    }
}

fn plain_lua(text: &mut String) {
    text.push_str(
        "\n## Lua itself\n\n\
         Of Lua's own names a script has `assert`, `error`, `ipairs`, `pairs`, `pcall`, `xpcall`, `print`, `require`, `select`, `tonumber`, `tostring`, `type`, \
         and from the tables `math`, `string`, `table` and `coroutine` what an exercise may need.\n\
         `pairs` goes through a table in a fixed order: numbers upwards, then texts by their letters.\n\
         `math.random` gives the same numbers for the same seed of the run.\n\
         `parameters` holds the settings of the pack.\n\
         `require(\"lib.sequence\")` and the other modules of the library come with the program; a pack may bring modules of its own.\n\
         There are no files, no clock, no loading of code and no metatables.\n",
    );
}

fn caps(text: &mut String) {
    text.push_str("\n## Limits\n\nA script that goes past a limit is stopped with the limit's code; the run is then not graded.\n\n| limit | how much |\n| --- | --- |\n");
    let rows = [
        ("steps of work while an exercise is read", limits::FUEL_READING.to_string()),
        ("steps of work each time a story wakes", limits::FUEL_WAKING.to_string()),
        ("steps of work of a run's stories together", limits::FUEL_RUN.to_string()),
        ("memory of a script", format!("{} MB", limits::MEMORY >> 20)),
        ("memory of a script for more than a moment", format!("{} MB", limits::MEMORY_FREE >> 20)),
        ("text that the string functions take or make", format!("{} kB", limits::TEXT >> 10)),
        ("list that `table.sort` takes", limits::SORT.to_string()),
        ("a script file", format!("{} kB", limits::SOURCE >> 10)),
        ("script files of a pack", limits::FILES.to_string()),
        ("lines that `print` keeps", limits::PRINTED_LINES.to_string()),
        ("conditions and values of a script", limits::CONDITIONS.to_string()),
        ("parts of one condition", limits::CONDITION_PARTS.to_string()),
        ("faults, items and stories, each", limits::ITEMS.to_string()),
        ("commands of a story at one moment", limits::COMMANDS.to_string()),
        ("mistakes told at once", limits::MISTAKES.to_string()),
    ];
    for (what, how_much) in rows {
        let _ = writeln!(text, "| {what} | {how_much} |");
    }
}

/// A type of the editor definitions in plain words, and whether it may be left out.
fn plain_kind(kind: &str) -> (String, bool) {
    let (kind, optional) = match kind.strip_suffix('?') {
        Some(k) => (k, true),
        None => (kind, false),
    };
    let plain: Vec<&str> = kind
        .split('|')
        .map(|k| match k {
            "string" => "text",
            "string[]" => "list of texts",
            "Quantity" => "quantity with its unit, such as \"4 barg\"",
            "Value" => "value",
            "Condition" => "condition",
            "Condition[]" => "list of conditions",
            "boolean" => "true or false",
            "integer" => "whole number",
            "table<string, string>" => "table of texts",
            "[Condition, string]" => "a condition and a time in braces",
            k if k.starts_with("fun(run") => "function",
            k if k.starts_with("fun(") || k.ends_with("Fields") => "table of fields",
            k => k,
        })
        .collect();
    (plain.join(" or "), optional)
}

/// One sentence a line.
fn sentences(text: &str) -> String {
    text.replace(". ", ".\n")
}

/// The editor definitions in LuaCATS, for the Lua language server.
#[must_use]
pub fn definitions() -> String {
    let mut text = String::from(
        "---@meta\n-- Editor definitions of the words of the exercises. Generated from the code; change the table of words instead.\n\n\
         ---A quantity with its unit, such as \"4 barg\", \"420 degC\" or \"35 % open\".\n---@alias Quantity string|number\n\n",
    );
    for (item, class) in TABLES {
        let _ = writeln!(text, "---@class (exact) {class}");
        for f in FIELDS.iter().filter(|f| f.item == *item) {
            let optional = if f.needed { "" } else { "?" };
            let _ = writeln!(text, "---@field {}{optional} {} {}", f.name, f.kind, f.says);
        }
        text.push('\n');
    }
    for (on, class, local) in
        [(On::Value, "Value", "value"), (On::Condition, "Condition", "condition"), (On::Run, "Run", "run")]
    {
        let _ = writeln!(text, "---@class {class}\nlocal {local} = {{}}\n");
        for word in WORDS.iter().filter(|w| w.on == on) {
            define(&mut text, word, &format!("{local}:"));
        }
    }
    text.push_str("---Settings of the pack.\n---@type table<string, string|number|boolean>\nparameters = {}\n\n");
    for word in WORDS.iter().filter(|w| w.on == On::Script) {
        define(&mut text, word, "");
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}

fn define(text: &mut String, word: &Word, before: &str) {
    let _ = writeln!(text, "---{}\n---\n---    {}", word.says, word.example);
    let mut names = Vec::new();
    for (i, take) in word.takes.iter().enumerate() {
        let (kind, optional) = match take.kind.strip_suffix('?') {
            Some(k) => (k, "?"),
            None => (take.kind, ""),
        };
        let name = if word.many && i + 1 == word.takes.len() { "..." } else { take.name };
        let _ = writeln!(text, "---@param {name}{optional} {kind}");
        names.push(name);
    }
    if !word.gives.is_empty() {
        let _ = writeln!(text, "---@return {}", word.gives);
    }
    let _ = writeln!(text, "function {before}{}({}) end\n", word.name, names.join(", "));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `FAULTWRIGHT_WRITE=1 cargo test -p faultwright-script definitions` writes the file anew.
    #[test]
    fn the_committed_editor_definitions_are_current() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scripts/faultwright.d.lua");
        if std::env::var_os("FAULTWRIGHT_WRITE").is_some() {
            std::fs::write(path, definitions()).unwrap();
        }
        let committed = std::fs::read_to_string(path).unwrap();
        assert!(committed == definitions(), "scripts/faultwright.d.lua differs from the table of words");
    }

    #[test]
    fn every_word_stands_in_the_reference() {
        let text = markdown();
        for word in WORDS {
            assert!(text.contains(&format!("### `{}`", word.signature())), "{}", word.name);
            assert!(word.says.ends_with('.'), "{} says a sentence", word.name);
        }
        for field in FIELDS {
            assert!(text.contains(&format!("| `{}` |", field.name)), "{}", field.name);
            assert!(field.says.ends_with('.'), "{} says a sentence", field.name);
        }
    }

    #[test]
    fn names_are_given_once() {
        for (i, w) in WORDS.iter().enumerate() {
            assert!(!WORDS[..i].iter().any(|o| o.on == w.on && o.name == w.name), "{}", w.name);
        }
    }
}
