//! A log read: repaired where that is safe, refused with the number of the line where it is not.

use super::{Action, BYTES_MAX, Header, LINE_BYTES_MAX, LINES_MAX, Log};
use base::observable::Verb;
use base::{Diagnostic, Place, Severity, Tick};
use serde_json::error::Category;
use std::collections::BTreeMap;

mod body;
mod header;
mod order;
#[cfg(test)]
mod tests;

/// Errors of one log that are told one by one; more are only counted.
const ERRORS_TOLD: usize = 20;
/// Line numbers that a note names; more are only counted.
const LINES_NAMED: usize = 12;

/// What a log has to fit.
pub struct Expected<'a> {
    /// Short name of the pack.
    pub pack: &'a str,
    /// Version of the pack; a log of another version is graded with a warning.
    pub pack_version: &'a str,
    /// Short names of the pack's exercises.
    pub exercises: &'a [&'a str],
    /// Whether the plant knows an action: its tag, and a setting that the control can take.
    pub allowed: &'a dyn Fn(&Action) -> Result<(), Refusal>,
}

/// Why an action cannot be in a log of this plant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// A stable code, such as `log::unknown-tag`.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// What to do, or the nearest known name.
    pub hint: Option<String>,
}

/// What came of reading a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Imported {
    /// The log; `None` when it is refused.
    pub log: Option<Log>,
    /// The header when it could be read, also of a refused log, so that people can be named.
    pub header: Option<Header>,
    /// Repairs as notes and warnings, mistakes as errors, in order of lines.
    pub told: Vec<Diagnostic>,
}

/// Reads a log. Unknown tags and settings out of range refuse it: a run with an action left out is
/// not the trainee's run.
#[must_use]
pub fn read(file: &str, bytes: &[u8], expected: &Expected<'_>) -> Imported {
    let mut reader = Reader { file, expected, told: vec![], header: None };
    let log = reader.read(bytes);
    let Reader { mut told, header, .. } = reader;
    told.sort_by_key(|d| d.place.line);
    let errors = told.iter().filter(|d| d.severity == Severity::Error).count();
    if errors > ERRORS_TOLD {
        let mut kept = 0;
        told.retain(|d| {
            kept += usize::from(d.severity == Severity::Error);
            d.severity != Severity::Error || kept <= ERRORS_TOLD
        });
        told.push(Diagnostic::error(
            "log::more",
            Place::file(file),
            format!("{} more mistakes of this log are not listed", errors - ERRORS_TOLD),
        ));
    }
    Imported { log: log.filter(|_| errors == 0), header, told }
}

struct Reader<'a> {
    file: &'a str,
    expected: &'a Expected<'a>,
    told: Vec<Diagnostic>,
    header: Option<Header>,
}

/// A line after the header, understood.
struct Body {
    line: u32,
    t: f64,
    tick: Tick,
    what: What,
}

#[derive(PartialEq)]
enum What {
    Action(Verb, Option<String>, Option<String>),
    Saw(BTreeMap<String, String>),
    End,
}

/// Lines that were repaired in one way.
#[derive(Default)]
struct Repaired(Vec<u32>);

impl Repaired {
    fn named(&self) -> String {
        let first: Vec<String> = self.0.iter().take(LINES_NAMED).map(ToString::to_string).collect();
        let word = if self.0.len() == 1 { "line" } else { "lines" };
        match self.0.len() - first.len() {
            0 => format!("{word} {}", first.join(", ")),
            more => format!("{word} {} and {more} more", first.join(", ")),
        }
    }
}

impl Reader<'_> {
    fn error(&mut self, code: &'static str, line: u32, message: impl Into<String>) -> &mut Diagnostic {
        self.push(Diagnostic::error(code, Place::line(self.file, line), message))
    }

    fn push(&mut self, d: Diagnostic) -> &mut Diagnostic {
        self.told.push(d);
        self.told.last_mut().expect("one was just put there")
    }

    fn repaired(&mut self, code: &'static str, lines: &Repaired, message: &str) {
        if let Some(first) = lines.0.first() {
            let place = Place::line(self.file, *first);
            self.push(Diagnostic::note(code, place, format!("{message} ({})", lines.named())));
        }
    }

    fn read(&mut self, bytes: &[u8]) -> Option<Log> {
        let (text, cut_inside) = self.text(bytes)?;
        let mut blank = Repaired::default();
        let mut returns = Repaired::default();
        let mut lines: Vec<(u32, &str)> = vec![];
        // Blank lines at the end are no more than an editor's habit.
        let end = text.trim_end_matches(['\r', '\n', ' ', '\t']);
        for (i, raw) in text[..end.len()].split('\n').enumerate() {
            let line = i as u32 + 1;
            if i >= LINES_MAX {
                self.error(
                    "log::too-many",
                    line,
                    format!("the log has more than {LINES_MAX} lines, which is the most that is read"),
                );
                return None;
            }
            let plain = raw.strip_suffix('\r').unwrap_or(raw);
            if plain.len() < raw.len() {
                returns.0.push(line);
            }
            if plain.len() > LINE_BYTES_MAX {
                self.error(
                    "log::long-line",
                    line,
                    format!("the line has {} bytes, and at most {LINE_BYTES_MAX} are read", plain.len()),
                );
                return None;
            }
            if plain.trim().is_empty() {
                blank.0.push(line);
            } else {
                lines.push((line, plain.trim()));
            }
        }
        if !returns.0.is_empty() {
            self.push(Diagnostic::note(
                "log::line-ends",
                Place::line(self.file, returns.0[0]),
                "lines end as on other systems (carriage return and line feed); read as they are meant",
            ));
        }
        let (Some((first, header_text)), Some((last, _))) = (lines.first().copied(), lines.last().copied()) else {
            self.error("log::empty", 0, "the log is empty").hint =
                Some("check that the recorder was running and the file was copied whole".into());
            return None;
        };
        self.repaired("log::blank-lines", &blank, "blank lines were passed over");
        let header = self.header(first, header_text, first == last)?;
        self.header = Some(header.clone());
        let bodies = self.bodies(&lines[1..], header_text, last, cut_inside);
        self.assemble(header, bodies)
    }

    /// The bytes as text, and whether the last line was cut inside a character.
    fn text<'b>(&mut self, bytes: &'b [u8]) -> Option<(&'b str, bool)> {
        if bytes.len() > BYTES_MAX {
            self.error(
                "log::too-big",
                0,
                format!("the log has {} bytes, and at most {BYTES_MAX} are read", bytes.len()),
            );
            return None;
        }
        let mut bytes = bytes;
        if let Some(rest) = bytes.strip_prefix(b"\xef\xbb\xbf") {
            bytes = rest;
            self.push(Diagnostic::note(
                "log::byte-order-mark",
                Place::line(self.file, 1),
                "a byte-order mark at the start was passed over",
            ));
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => Some((text, false)),
            Err(e) if e.error_len().is_none() => {
                let text = std::str::from_utf8(&bytes[..e.valid_up_to()]).expect("it was found valid up to here");
                Some((text, true))
            }
            Err(e) => {
                let line = 1 + bytes[..e.valid_up_to()].iter().filter(|b| **b == b'\n').count();
                let wide = bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff");
                self.error("log::not-utf8", line as u32, "the log is not text in UTF-8").hint = Some(if wide {
                    "it looks like UTF-16; save it as UTF-8".into()
                } else {
                    "save or export it as UTF-8; nothing was guessed".into()
                });
                None
            }
        }
    }
}

/// A mistake that the JSON reader found, in our words and at its column.
fn told(file: &str, line: u32, code: &'static str, e: &serde_json::Error) -> Diagnostic {
    let place = Place { file: file.to_owned(), line, column: e.column() as u32 };
    let full = e.to_string();
    let message = full.split(" at line ").next().unwrap_or(&full);
    let words: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    match (e.classify(), words.split_first()) {
        (Category::Data, Some((found, known))) if message.starts_with("unknown field") => {
            Diagnostic::error(code, place, format!("unknown field \"{found}\""))
                .hint(format!("known fields: {}", known.join(", ")))
                .nearest(found, known.iter().copied())
        }
        (Category::Data, Some((field, _))) if message.starts_with("missing field") => {
            Diagnostic::error(code, place, format!("the field \"{field}\" is missing"))
        }
        (Category::Data, _) => Diagnostic::error(code, place, message.replace('`', "\"")),
        _ => Diagnostic::error(code, place, format!("this is not JSON: {message}"))
            .hint("each line of a log is one JSON object in braces"),
    }
}
