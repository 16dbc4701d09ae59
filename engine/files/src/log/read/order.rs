//! The lines of a log as a whole: in order of time, each once, and ended.

use super::{Body, Reader, Repaired, What};
use crate::log::{Action, Header, Log, Saw};
use base::{Diagnostic, Place, Tag, Tick};

impl Reader<'_> {
    /// Sorts by time, lines of the same time as they stand.
    pub(super) fn order(&mut self, bodies: &mut [Body]) {
        let mut latest = f64::NEG_INFINITY;
        let mut late = Repaired::default();
        for b in bodies.iter() {
            if b.t < latest {
                late.0.push(b.line);
            }
            latest = latest.max(b.t);
        }
        if !late.0.is_empty() {
            bodies.sort_by(|a, b| a.t.total_cmp(&b.t));
            let place = Place::line(self.file, late.0[0]);
            self.push(Diagnostic::warning(
                "log::order",
                place,
                format!("lines out of order were put in order of time ({})", late.named()),
            ));
        }
    }

    /// Takes out lines that say the same of the same moment as one before.
    pub(super) fn doubled(&mut self, bodies: &mut Vec<Body>, mut doubled: Repaired) {
        let mut kept: Vec<Body> = Vec::with_capacity(bodies.len());
        for b in bodies.drain(..) {
            let twin = kept.iter().rev().take_while(|k| k.t == b.t).any(|k| k.what == b.what);
            if twin {
                doubled.0.push(b.line);
            } else {
                kept.push(b);
            }
        }
        *bodies = kept;
        doubled.0.sort_unstable();
        self.repaired("log::doubled", &doubled, "lines that say the same twice were taken once");
    }

    pub(super) fn assemble(&mut self, header: Header, bodies: Vec<Body>) -> Option<Log> {
        let mut log = Log {
            header,
            actions: vec![],
            saw: vec![],
            end: bodies.last().map_or(Tick::ZERO, |b| b.tick),
            whole: false,
        };
        for Body { line, tick, what, .. } in bodies {
            if log.whole {
                let end = log.end;
                self.error(
                    "log::after-end",
                    line,
                    format!("this is later than the end of the recording, or a second end ({end})"),
                );
                return None;
            }
            match what {
                What::Action(verb, on, to) => {
                    log.actions.push(Action { line, tick, verb, on: on.as_deref().map(Tag::new), to })
                }
                What::Saw(shown) => log.saw.push(Saw {
                    line,
                    tick,
                    shown: shown.iter().map(|(tag, text)| (Tag::new(tag), text.clone())).collect(),
                }),
                What::End => {
                    log.whole = true;
                    log.end = tick;
                }
            }
        }
        if !log.whole {
            let place = Place::file(self.file);
            self.push(
                Diagnostic::warning(
                    "log::no-end",
                    place,
                    format!("the log has no end line; it breaks off with its last line, at {}", log.end),
                )
                .hint("the marks rest on what was recorded up to then, and what was still open is not assessed"),
            );
        }
        Some(log)
    }
}
