//! The header line: what kind of log, whose, of which exercise.

use super::{Reader, told};
use crate::log::disk::HeaderLine;
use crate::log::{FORMAT, Header};
use base::{Diagnostic, Place};
use serde_json::error::Category;
use std::collections::BTreeMap;

impl Reader<'_> {
    pub(super) fn header(&mut self, line: u32, text: &str, alone: bool) -> Option<Header> {
        let object: Result<BTreeMap<String, serde_json::Value>, _> = serde_json::from_str(text);
        match &object {
            Err(e) if e.classify() == Category::Eof && alone => {
                self.error("log::no-header", line, "the log is cut off in its header line");
                return None;
            }
            Err(_) => {
                self.error("log::no-header", line, "the first line is no header").hint = Some(format!(
                    "the first line of a log looks like {{\"format\":\"{FORMAT}\", …}}; is this another kind of file?"
                ));
                return None;
            }
            Ok(o) => match o.get("format") {
                None => {
                    self.error("log::no-header", line, "the first line is no header: it names no format").hint =
                        Some(format!("the first line of a log looks like {{\"format\":\"{FORMAT}\", …}}"));
                    return None;
                }
                Some(f) if f.as_str() != Some(FORMAT) => {
                    self.error("log::format", line, format!("the format is {f}, and this program reads \"{FORMAT}\""));
                    return None;
                }
                Some(_) => {}
            },
        }
        let h: HeaderLine = match serde_json::from_str(text) {
            Ok(h) => h,
            Err(e) => {
                let d = told(self.file, line, "log::header", &e);
                self.push(d);
                return None;
            }
        };
        let header = Header {
            exercise: h.exercise,
            pack: h.pack,
            pack_version: h.pack_version,
            trainee: h.trainee.trim().to_owned(),
            name: h.name.filter(|n| !n.trim().is_empty()),
            start: h.start,
            recorder: h.recorder,
            seed: h.seed,
            parameters: h.parameters,
        };
        // Kept from here on, so that a refused log can still be told by the trainee's id.
        let length = header.trainee.chars().count();
        if length == 0 || length > 64 || header.trainee.chars().any(char::is_control) {
            self.error(
                "log::trainee",
                line,
                "the trainee's id is empty, longer than 64 characters, or has control characters in it",
            );
            return None;
        }
        self.header = Some(header.clone());
        let e = self.expected;
        if header.pack != e.pack {
            self.error(
                "log::wrong-pack",
                line,
                format!("the log is of the pack \"{}\", and this is \"{}\"", header.pack, e.pack),
            )
            .hint = Some("grade it with the pack that was played".into());
        } else if !e.exercises.contains(&header.exercise.as_str()) {
            let place = Place::line(self.file, line);
            self.push(
                Diagnostic::error(
                    "log::wrong-exercise",
                    place,
                    format!("the pack has no exercise \"{}\"", header.exercise),
                )
                .hint(format!("its exercises: {}", e.exercises.join(", ")))
                .nearest(&header.exercise, e.exercises.iter().copied()),
            );
        } else if header.pack_version != e.pack_version {
            let place = Place::line(self.file, line);
            self.push(
                Diagnostic::warning(
                    "log::pack-version",
                    place,
                    format!(
                        "the log was recorded with version {} of the pack, and this is {}",
                        header.pack_version, e.pack_version
                    ),
                )
                .hint("the plant or the exercise may have changed in between; look at the debrief with that in mind"),
            );
        }
        if !looks_like_a_date(&header.start) {
            let place = Place::line(self.file, line);
            self.push(
                Diagnostic::warning("log::start", place, format!("\"{}\" is not a date and time", header.start))
                    .hint("written as 2031-03-04T08:00:00Z; nothing in the marks depends on it"),
            );
        }
        Some(header)
    }
}

/// `2031-03-04T08:00…`: enough to tell a date from a slip. Calendars are not our business here.
fn looks_like_a_date(text: &str) -> bool {
    let shape = b"dddd-dd-ddTdd:dd";
    let bytes = text.as_bytes();
    bytes.len() >= shape.len()
        && shape.iter().zip(bytes).all(|(s, b)| match s {
            b'd' => b.is_ascii_digit(),
            b'T' => matches!(b, b'T' | b't' | b' '),
            other => other == b,
        })
}
