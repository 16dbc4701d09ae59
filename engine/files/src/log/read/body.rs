//! The lines after the header, one by one: what each says, and whether a trainee can do it.

use super::{Body, Reader, Repaired, What, told};
use crate::log::disk::BodyLine;
use crate::log::number::{self, Comma};
use crate::log::{ACTIONS_MAX, Action, SECONDS_MAX};
use base::observable::Verb;
use base::{Diagnostic, Place, Tag, Tick};
use serde_json::error::Category;
use std::collections::BTreeMap;

impl Reader<'_> {
    pub(super) fn bodies(
        &mut self,
        lines: &[(u32, &str)],
        header_text: &str,
        last: u32,
        cut_inside: bool,
    ) -> Vec<Body> {
        let (mut commas, mut texts, mut doubled) = (Repaired::default(), Repaired::default(), Repaired::default());
        let mut bodies = vec![];
        let mut actions = 0usize;
        for &(line, text) in lines {
            let mut parsed = serde_json::from_str::<BodyLine>(text);
            if let Err(e) = &parsed {
                if line == last && (e.classify() == Category::Eof || cut_inside) {
                    let place = Place::line(self.file, line);
                    self.push(
                        Diagnostic::warning("log::cut-off", place, "the last line is cut off and was dropped")
                            .hint("what the trainee did after this moment is not known"),
                    );
                    continue;
                }
                if text == header_text {
                    doubled.0.push(line);
                    continue;
                }
                if self.second_header(line, text) {
                    continue;
                }
                if let Some(fixed) = number::bare_comma(text) {
                    parsed = serde_json::from_str(&fixed);
                    if parsed.is_ok() {
                        commas.0.push(line);
                    }
                }
            }
            match parsed {
                Err(e) => {
                    let d = told(self.file, line, "log::line", &e);
                    self.push(d);
                }
                Ok(body) => {
                    if body.t.repaired {
                        texts.0.push(line);
                    }
                    if let Some(body) = self.body(line, body, &mut commas) {
                        actions += usize::from(matches!(body.what, What::Action(..)));
                        if actions > ACTIONS_MAX {
                            self.error(
                                "log::too-many",
                                line,
                                format!("the log has more than {ACTIONS_MAX} actions, which is the most that is read"),
                            );
                            return bodies;
                        }
                        bodies.push(body);
                    }
                }
            }
        }
        self.repaired("log::decimal-comma", &commas, "a decimal comma was read as a point");
        self.repaired("log::time-as-text", &texts, "a time written as text was read as a number");
        self.order(&mut bodies);
        self.doubled(&mut bodies, doubled);
        bodies
    }

    /// Whether the line is the header of another recording; it is told then.
    fn second_header(&mut self, line: u32, text: &str) -> bool {
        let Ok(map) = serde_json::from_str::<BTreeMap<String, serde_json::Value>>(text) else {
            return false;
        };
        if !map.contains_key("format") {
            return false;
        }
        let other = map.get("trainee").and_then(|t| t.as_str()).unwrap_or("?").to_owned();
        let mine = self.header.as_ref().map_or("", |h| &h.trainee).to_owned();
        self.error(
            "log::two-recordings",
            line,
            format!("a second recording begins here: \"{other}\" after \"{mine}\""),
        )
        .hint = Some("cut the file in two before this line, one recording a file".into());
        true
    }

    fn body(&mut self, line: u32, body: BodyLine, commas: &mut Repaired) -> Option<Body> {
        let t = body.t.value;
        let tick = match Tick::at_seconds(t) {
            Some(tick) if t <= SECONDS_MAX => tick,
            _ => {
                self.error(
                    "log::time",
                    line,
                    format!("{t} s is no time of a run: it must be from 0 to {SECONDS_MAX} s"),
                )
                .hint = Some("times are seconds since the start of the run, not a time of day".into());
                return None;
            }
        };
        let what = match (body.verb, body.saw) {
            (Some(_), Some(_)) => {
                self.error("log::line", line, "a line says either what was done or what was seen, not both");
                return None;
            }
            (None, None) => {
                self.error("log::line", line, "the line says neither \"do\" nor \"saw\"");
                return None;
            }
            (None, Some(saw)) => {
                if body.on.is_some() || body.to.is_some() {
                    self.error("log::line", line, "\"on\" and \"to\" belong to an action, not to what was seen");
                    return None;
                }
                What::Saw(saw.0)
            }
            (Some(verb), None) if verb == "end" => {
                if body.on.is_some() || body.to.is_some() {
                    self.error("log::line", line, "the end line has only its time");
                    return None;
                }
                What::End
            }
            (Some(verb), None) => self.action(line, &verb, body.on, body.to, commas)?,
        };
        if let What::Action(verb, on, to) = &what {
            let action = Action { line, tick, verb: *verb, on: on.as_deref().map(Tag::new), to: to.clone() };
            if let Err(r) = (self.expected.allowed)(&action) {
                self.error(r.code, line, r.message).hint = r.hint;
                return None;
            }
        }
        Some(Body { line, t, tick, what })
    }

    fn action(
        &mut self,
        line: u32,
        word: &str,
        on: Option<String>,
        to: Option<String>,
        commas: &mut Repaired,
    ) -> Option<What> {
        let Some(verb) = Verb::from_word(word) else {
            let known = || Verb::ALL.iter().map(|v| v.word()).chain(["end"]);
            let place = Place::line(self.file, line);
            self.push(
                Diagnostic::error("log::unknown-verb", place, format!("\"{word}\" is nothing that a trainee can do"))
                    .hint(format!("known: {}", known().collect::<Vec<_>>().join(", ")))
                    .nearest(word, known()),
            );
            return None;
        };
        let (needs_on, may_on, needs_to) = match verb {
            Verb::Operate => (true, true, true),
            Verb::Acknowledge => (false, true, false),
            Verb::LampTest => (false, false, false),
            Verb::LocalCheck | Verb::Repair => (true, true, false),
            Verb::Report => (false, true, true),
        };
        let empty = |x: &Option<String>| x.as_ref().is_some_and(|x| x.trim().is_empty());
        let wrong = if (needs_on && on.is_none()) || empty(&on) {
            Some(("log::no-tag", "does not say on what (\"on\")"))
        } else if (needs_to && to.is_none()) || empty(&to) {
            Some(("log::no-setting", "does not say to what (\"to\")"))
        } else if !may_on && on.is_some() {
            Some(("log::line", "takes no \"on\""))
        } else if !needs_to && to.is_some() {
            Some(("log::line", "takes no \"to\""))
        } else {
            None
        };
        if let Some((code, why)) = wrong {
            self.error(code, line, format!("\"{word}\" {why}"));
            return None;
        }
        let to = match (verb, to) {
            (Verb::Operate, Some(to)) => match number::without_comma(to.trim()) {
                Comma::None => Some(to.trim().to_owned()),
                Comma::Decimal(fixed) => {
                    commas.0.push(line);
                    Some(fixed)
                }
                Comma::Unclear => {
                    self.error("log::decimal-comma", line, number::unclear(&to)).hint =
                        Some("write it with a decimal point".into());
                    return None;
                }
            },
            (_, to) => to,
        };
        Some(What::Action(verb, on.map(|o| o.trim().to_owned()), to))
    }
}
