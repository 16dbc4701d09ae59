//! Logs as bytes. Lines are made one by one, so that a recorder can write as it goes.

use super::disk::{BodyLine, HeaderLine};
use super::number::Number;
use super::{Action, FORMAT, Header, Log, Saw};
use base::Tick;
use serde::Serialize;

/// A whole log as bytes: header, then actions and sights in order of time (at the same tick in order
/// of their lines), then the end line if the recording is whole.
#[must_use]
pub fn write(log: &Log) -> Vec<u8> {
    let mut lines: Vec<(Tick, u32, String)> = log
        .actions
        .iter()
        .map(|a| (a.tick, a.line, action_line(a)))
        .chain(log.saw.iter().map(|s| (s.tick, s.line, saw_line(s))))
        .collect();
    lines.sort_by_key(|l| (l.0, l.1));
    let mut out = header_line(&log.header);
    for (_, _, line) in lines {
        out.push_str(&line);
    }
    if log.whole {
        out.push_str(&end_line(log.end));
    }
    out.into_bytes()
}

/// The header line, with its line feed.
#[must_use]
pub fn header_line(h: &Header) -> String {
    json(&HeaderLine {
        format: FORMAT.to_owned(),
        exercise: h.exercise.clone(),
        pack: h.pack.clone(),
        pack_version: h.pack_version.clone(),
        trainee: h.trainee.clone(),
        name: h.name.clone(),
        start: h.start.clone(),
        recorder: h.recorder.clone(),
        seed: h.seed,
        parameters: h.parameters.clone(),
    })
}

/// The line of an action, with its line feed.
#[must_use]
pub fn action_line(a: &Action) -> String {
    json(&BodyLine {
        verb: Some(a.verb.word().to_owned()),
        on: a.on.as_ref().map(ToString::to_string),
        to: a.to.clone(),
        ..at(a.tick)
    })
}

/// The line of what was seen, with its line feed.
#[must_use]
pub fn saw_line(s: &Saw) -> String {
    json(&BodyLine {
        saw: Some(crate::strict::Once(s.shown.iter().map(|(tag, text)| (tag.to_string(), text.clone())).collect())),
        ..at(s.tick)
    })
}

/// The line that ends a whole recording, with its line feed.
#[must_use]
pub fn end_line(tick: Tick) -> String {
    json(&BodyLine { verb: Some("end".to_owned()), ..at(tick) })
}

fn at(tick: Tick) -> BodyLine {
    BodyLine { t: Number { value: tick.seconds(), repaired: false }, verb: None, on: None, to: None, saw: None }
}

fn json(line: &impl Serialize) -> String {
    let mut text = serde_json::to_string(line).expect("a line of text and finite numbers is JSON");
    text.push('\n');
    text
}
