//! What `drive` reads, a line at a time: JSON as in a log, or plain words.
//!
//! ```text
//! operate P-1101 start
//! operate LCV-3002 35 % open
//! acknowledge                   (or: acknowledge XA-2001)
//! lamp test
//! local check XV-2104
//! repair XL-2104
//! report XL-2104 the lamp is dead
//! wait 30 s
//! look                          (or: look PI-2001 BL-2001)
//! kinds XL-2104                 (or: kinds)
//! end
//! {"do":"operate","on":"P-1101","to":"start"}
//! {"wait":30}
//! ```

use base::observable::Verb;
use base::units::{self, Dimension};
use base::{Tick, nearest};
use serde::Deserialize;

/// A line, understood.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Line {
    /// Something that a trainee does, at a time of the run when the line names one.
    Act { at: Option<Tick>, verb: Verb, on: Option<String>, to: Option<String> },
    /// Let so many ticks pass.
    Wait(u32),
    /// Tell the panel, or these tags of it.
    Look(Vec<String>),
    /// Tell the kinds of failure that a report of these tags may name, or of everything.
    Kinds(Vec<String>),
    /// End the recording here.
    End { at: Option<Tick> },
    /// Nothing: an empty line, a comment, a line of a log that does nothing.
    Nothing,
}

/// The words that begin a line, for "did you mean".
const BEGINNINGS: [&str; 10] =
    ["operate", "acknowledge", "lamp test", "local check", "repair", "report", "wait", "look", "kinds", "end"];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct JsonLine {
    t: Option<f64>,
    #[serde(rename = "do")]
    verb: Option<String>,
    on: Option<String>,
    to: Option<String>,
    wait: Option<f64>,
    kinds: Option<Vec<String>>,
    saw: Option<serde_json::Value>,
}

/// Reads a line; `is_tag` says whether anything on board has that tag.
///
/// # Errors
/// A sentence that says what is wrong with it.
pub(crate) fn read(line: &str, is_tag: &dyn Fn(&str) -> bool) -> Result<Line, String> {
    let line = line.trim();
    if line.is_empty() || line.starts_with('#') {
        return Ok(Line::Nothing);
    }
    if line.starts_with('{') { json(line) } else { words(line, is_tag) }
}

fn json(line: &str) -> Result<Line, String> {
    let l: JsonLine = serde_json::from_str(line).map_err(|e| e.to_string().replace('`', "\""))?;
    let at = match l.t {
        Some(t) => Some(Tick::at_seconds(t).ok_or(format!("{t} s is no time of a run"))?),
        None => None,
    };
    if let Some(tags) = l.kinds {
        return match (l.verb, l.wait, at) {
            (None, None, None) => Ok(Line::Kinds(tags)),
            _ => Err("a line that asks for kinds says nothing else".to_owned()),
        };
    }
    match (l.verb.as_deref(), l.wait) {
        (Some(_), Some(_)) => Err("a line either does something or waits".to_owned()),
        (None, Some(seconds)) => ticks(seconds),
        (None, None) if l.saw.is_some() => Ok(Line::Nothing),
        (None, None) => Err("the line says neither \"do\" nor \"wait\"".to_owned()),
        (Some("end"), None) => Ok(Line::End { at }),
        (Some(word), None) => match Verb::from_word(word) {
            Some(verb) => Ok(Line::Act { at, verb, on: l.on, to: l.to }),
            None => Err(unknown(word, &|_| false)),
        },
    }
}

fn ticks(seconds: f64) -> Result<Line, String> {
    match Tick::at_seconds(seconds) {
        Some(t) if seconds <= files::log::SECONDS_MAX => Ok(Line::Wait(t.0)),
        _ => Err(format!("{seconds} s is nothing that can be waited for")),
    }
}

fn words(line: &str, is_tag: &dyn Fn(&str) -> bool) -> Result<Line, String> {
    let act = |verb, on: &str, to: &str| {
        let some = |t: &str| (!t.is_empty()).then(|| t.to_owned());
        Ok(Line::Act { at: None, verb, on: some(on), to: some(to) })
    };
    let after = |beginning: &str| {
        let rest = line.strip_prefix(beginning)?;
        (rest.is_empty() || rest.starts_with(' ')).then(|| rest.trim())
    };
    let split = |rest: &str| match rest.split_once(' ') {
        Some((first, more)) => (first.to_owned(), more.trim().to_owned()),
        None => (rest.to_owned(), String::new()),
    };
    if let Some(rest) = after("operate") {
        let (on, to) = split(rest);
        // "operate P-1101 to start" is said as well.
        return act(Verb::Operate, &on, to.strip_prefix("to ").unwrap_or(&to));
    }
    if let Some(rest) = after("acknowledge") {
        return act(Verb::Acknowledge, rest, "");
    }
    if after("lamp test") == Some("") {
        return act(Verb::LampTest, "", "");
    }
    if let Some(rest) = after("local check") {
        return act(Verb::LocalCheck, rest, "");
    }
    if let Some(rest) = after("repair") {
        return act(Verb::Repair, rest, "");
    }
    if let Some(rest) = after("report") {
        let (first, more) = split(rest);
        // What looks like a tag is one that was misspelt: words of a report without its tag would find nothing.
        let tag = is_tag(&first) || looks_like_a_tag(&first);
        return if tag { act(Verb::Report, &first, &more) } else { act(Verb::Report, "", rest) };
    }
    if let Some(rest) = after("wait") {
        return match units::parse_as(rest, Dimension::Time) {
            Ok(seconds) => ticks(seconds),
            Err(e) => {
                let (message, hint) = e.told();
                Err(if hint.is_empty() { message } else { format!("{message}; {hint}") })
            }
        };
    }
    if let Some(rest) = after("look") {
        return Ok(Line::Look(rest.split_whitespace().map(ToOwned::to_owned).collect()));
    }
    if let Some(rest) = after("kinds") {
        return Ok(Line::Kinds(rest.split_whitespace().map(ToOwned::to_owned).collect()));
    }
    if line == "end" {
        return Ok(Line::End { at: None });
    }
    Err(unknown(line, is_tag))
}

/// Whether a word is written as tags are: letters, perhaps a hyphen, digits.
fn looks_like_a_tag(word: &str) -> bool {
    let rest = word.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let letters = word.len() - rest.len();
    let digits = rest.strip_prefix('-').unwrap_or(rest);
    (1..=4).contains(&letters) && digits.len() >= 2 && digits.chars().all(|c| c.is_ascii_digit())
}

/// What is said of a line that begins with no word of `drive`.
fn unknown(line: &str, is_tag: &dyn Fn(&str) -> bool) -> String {
    let mut words = line.split_whitespace();
    let first = words.next().unwrap_or(line);
    let second = words.next().unwrap_or_default();
    // "start P-3001" and "P-3001 start" are said on board.
    let work = match (first, second) {
        (word, tag) if is_tag(tag) => Some((tag, word)),
        (tag, word) if is_tag(tag) && !word.is_empty() => Some((tag, word)),
        _ => None,
    };
    if let Some((tag, word)) = work {
        let to = if word == "check" { format!("local check {tag}") } else { format!("operate {tag} {word}") };
        return format!("\"{first}\" is nothing that can be done here; write: {to}");
    }
    let near = nearest::nearest(first, BEGINNINGS);
    let near = near.map(|n| format!("; did you mean \"{n}\"?")).unwrap_or_default();
    format!("\"{first}\" is nothing that can be done here{near} (known: {})", BEGINNINGS.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(text: &str) -> Result<Line, String> {
        read(text, &|t| t == "XL-2104")
    }

    fn act(verb: Verb, on: &str, to: &str) -> Result<Line, String> {
        let some = |t: &str| (!t.is_empty()).then(|| t.to_owned());
        Ok(Line::Act { at: None, verb, on: some(on), to: some(to) })
    }

    #[test]
    fn plain_words_and_json_say_the_same() {
        for (words, json, want) in [
            (
                "operate P-1101 start",
                r#"{"do":"operate","on":"P-1101","to":"start"}"#,
                act(Verb::Operate, "P-1101", "start"),
            ),
            (
                "operate LCV-1 to 35 % open",
                r#"{"do":"operate","on":"LCV-1","to":"35 % open"}"#,
                act(Verb::Operate, "LCV-1", "35 % open"),
            ),
            ("acknowledge", r#"{"do":"acknowledge"}"#, act(Verb::Acknowledge, "", "")),
            ("lamp test", r#"{"do":"lamp test"}"#, act(Verb::LampTest, "", "")),
            ("local check XV-1", r#"{"do":"local check","on":"XV-1"}"#, act(Verb::LocalCheck, "XV-1", "")),
            ("repair XL-1", r#"{"do":"repair","on":"XL-1"}"#, act(Verb::Repair, "XL-1", "")),
            (
                "report XL-2104 is dark",
                r#"{"do":"report","on":"XL-2104","to":"is dark"}"#,
                act(Verb::Report, "XL-2104", "is dark"),
            ),
            (
                "report XL2104 is dark",
                r#"{"do":"report","on":"XL2104","to":"is dark"}"#,
                act(Verb::Report, "XL2104", "is dark"),
            ),
            ("report it is dark", r#"{"do":"report","to":"it is dark"}"#, act(Verb::Report, "", "it is dark")),
            ("wait 1 min", r#"{"wait":60}"#, Ok(Line::Wait(600))),
            ("end", r#"{"do":"end"}"#, Ok(Line::End { at: None })),
            ("# a remark", r#"{"t":3,"saw":{"PT-1":"1 barg"}}"#, Ok(Line::Nothing)),
        ] {
            assert_eq!(line(words), want, "{words}");
            assert_eq!(line(json), want, "{json}");
        }
        let at = line(r#"{"t":12.5,"do":"lamp test"}"#);
        assert_eq!(at, Ok(Line::Act { at: Some(Tick(125)), verb: Verb::LampTest, on: None, to: None }));
        assert_eq!(line("look PT-1 PT-2"), Ok(Line::Look(vec!["PT-1".into(), "PT-2".into()])));
        assert_eq!(line("kinds PT-1"), Ok(Line::Kinds(vec!["PT-1".into()])));
        assert_eq!(line(r#"{"kinds":["PT-1"]}"#), line("kinds PT-1"));
        assert_eq!(line(r#"{"kinds":[]}"#), line("kinds"));
    }

    #[test]
    fn what_is_wrong_is_said() {
        assert!(line("opperate P-1 start").unwrap_err().contains("did you mean \"operate\"?"));
        assert!(line("wait 5").unwrap_err().contains("no unit"));
        assert!(line("wait 5 seconds").unwrap_err().contains("write s"));
        assert!(line("light XL-2104").unwrap_err().contains("write: operate XL-2104 light"));
        assert!(line("XL-2104 start").unwrap_err().contains("write: operate XL-2104 start"));
        assert!(line("check XL-2104").unwrap_err().contains("write: local check XL-2104"));
        assert!(line("wait -5 s").unwrap_err().contains("nothing that can be waited for"));
        assert!(line(r#"{"t":3,"kinds":[]}"#).unwrap_err().contains("says nothing else"));
        assert!(line(r#"{"do":"inject"}"#).unwrap_err().contains("nothing that can be done"));
        assert!(line(r#"{"do":"end","marks":3}"#).unwrap_err().contains("unknown field \"marks\""));
    }
}
