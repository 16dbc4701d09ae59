//! What Lua says when something fails, told to a person who is no programmer.

mod syntax;

use crate::limits;
use crate::{Sources, guard};
use base::{Diagnostic, Place};
use mlua::Error;
use std::collections::BTreeMap;

/// Tells files that are too long or too many, before anything is read.
///
/// # Errors
/// The first of them.
pub fn check_sizes(sources: &Sources) -> Result<(), Diagnostic> {
    if sources.modules.len() >= limits::FILES {
        let message = format!("the pack has more than {} script files", limits::FILES);
        return Err(Diagnostic::error("script::many-files", Place::file(&sources.main.0), message));
    }
    for (file, text) in sources.files() {
        if text.len() > limits::SOURCE {
            let message = format!("this script is longer than {} kB", limits::SOURCE >> 10);
            return Err(Diagnostic::error("script::long-file", Place::file(&file), message)
                .hint("move parts of it into files of their own and require them"));
        }
        if text.starts_with('\u{1b}') || text.contains('\0') {
            let message = "this file is not a text";
            return Err(Diagnostic::error("script::not-text", Place::file(&file), message)
                .hint("a script is the text itself, never a compiled one"));
        }
    }
    Ok(())
}

/// What an error of Lua means.
#[must_use]
pub fn diagnose(error: &Error, texts: &BTreeMap<String, String>) -> Diagnostic {
    let (code, whole) = read(error);
    let first = whole.lines().next().unwrap_or_default();
    let (place, message) = match split_place(first, texts) {
        Some((place, rest)) => (place, rest),
        None => {
            let frame = whole.lines().skip(1).find_map(|l| split_place(l.trim(), texts));
            let message = strip_inner(first).to_owned();
            (frame.map_or_else(Place::default, |(p, _)| p), message)
        }
    };
    if let Some(limit) = guard::limit_in(&message) {
        let (message, hint) = limit.told(0);
        return Diagnostic::error(limit.code(), place, message).hint(hint);
    }
    let message: String = without_addresses(&message).chars().take(400).collect();
    let of_the_text = || syntax::hint(&message, place.line, texts.get(&place.file)?);
    let hint = if code == "script::syntax" { of_the_text() } else { None };
    let hint = hint.or_else(|| self::hint(code, &message).map(ToOwned::to_owned));
    let d = Diagnostic::error(code, place, format!("Lua says: {message}"));
    match hint {
        Some(hint) => d.hint(hint),
        None => d,
    }
}

/// The code and the whole text of an error, the innermost cause of nested ones.
fn read(error: &Error) -> (&'static str, String) {
    match error {
        Error::SyntaxError { message, .. } => ("script::syntax", message.clone()),
        Error::RuntimeError(message) => ("script::lua", message.clone()),
        Error::MemoryError(_) => ("script::memory", "not enough memory".to_owned()),
        Error::CallbackError { traceback, cause } => {
            let (code, text) = read(cause);
            (code, format!("{text}\n{traceback}"))
        }
        Error::WithContext { cause, .. } => read(cause),
        other => ("script::lua", other.to_string()),
    }
}

/// Splits "file:12: message" at the place, when the file is one of the pack's.
fn split_place(line: &str, texts: &BTreeMap<String, String>) -> Option<(Place, String)> {
    for file in texts.keys() {
        let rest = line.strip_prefix(file.as_str()).or_else(|| line.strip_prefix(&format!("[string \"{file}\"]")));
        let Some(rest) = rest.and_then(|r| r.strip_prefix(':')) else {
            continue;
        };
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        if let Ok(n) = digits.parse() {
            let message = rest[digits.len()..].trim_start_matches(':').trim().to_owned();
            return Some((Place::line(file, n), message));
        }
    }
    None
}

/// Takes the place inside the program's own Lua off a message.
fn strip_inner(message: &str) -> &str {
    match message.strip_prefix("guard:").and_then(|m| m.split_once(": ")) {
        Some((_, rest)) => rest,
        None => message,
    }
}

/// Takes addresses, which differ from run to run, out of a message: "table: 0x7f1e" is "table".
fn without_addresses(message: &str) -> String {
    let mut parts = message.split(": 0x");
    let mut clean = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        clean.push_str(part.trim_start_matches(|c: char| c.is_ascii_hexdigit()));
    }
    clean
}

/// What to do, for the messages that people meet most.
fn hint(code: &str, message: &str) -> Option<&'static str> {
    if code == "script::syntax" {
        return Some(if message.contains("expected '}'") || message.contains("Expected '}'") {
            "look for a missing comma or a missing closing brace on the line above"
        } else {
            "look for a missing comma, quote, bracket or end on this line or the one above"
        });
    }
    if message.contains("attempt to compare") && message.contains("number") {
        return Some(
            "run:value(…) gives a plain number; to compare with a quantity write run:holds(shown(…):above(\"4 barg\"))",
        );
    }
    if message.contains("attempt to call a nil value") || message.contains("attempt to index nil") {
        return Some("a name before the bracket, the full stop or the colon has no value: look at its spelling");
    }
    None
}
