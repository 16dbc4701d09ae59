//! The action log, `faultwright-log/1`: what a trainee did, as JSON Lines.
//!
//! A header line says whose run of which exercise it is. Then comes one line an action, with the
//! seconds since the start, and between them, where the recorder could, lines with what the
//! trainee's own panel showed. A last line `"do": "end"` says that the recording is whole:
//!
//! ```text
//! {"format":"faultwright-log/1","exercise":"raise-steam","pack":"first-steam","pack_version":"1.0.0","trainee":"t-07","name":"A. Sample","start":"2031-03-04T08:00:00Z","recorder":"faultwright drive","seed":7}
//! {"t":12.5,"do":"operate","on":"P-1101","to":"start"}
//! {"t":14.0,"saw":{"PT-1103":"2.10 barg"}}
//! {"t":31.0,"do":"lamp test"}
//! {"t":4980.0,"do":"end"}
//! ```
//!
//! Real logs are messy. What can be repaired without guessing is repaired and told; anything else
//! refuses the log, with the number of the line. Nothing is dropped in silence, and a log can never
//! carry a privilege: its verbs are what a trainee may do.

mod disk;
mod number;
mod read;
mod write;

pub use disk::{ActionLine, HeaderLine, SawLine};
pub use read::{Expected, Imported, Refusal, read};
pub use write::{action_line, end_line, header_line, saw_line, write};

use base::observable::Verb;
use base::{Tag, Tick};
use std::collections::BTreeMap;

/// The format that this version reads and writes.
pub const FORMAT: &str = "faultwright-log/1";
/// Most actions of a log. A busy trainee makes a few hundred in an hour; more than this is no
/// trainee.
pub const ACTIONS_MAX: usize = 20_000;
/// Most lines of a log, lines of what the panel showed among them.
pub const LINES_MAX: usize = 100_000;
/// Most bytes of a line.
pub const LINE_BYTES_MAX: usize = 64 * 1024;
/// Most bytes of a log.
pub const BYTES_MAX: usize = 32 << 20;
/// Latest time of a log, seconds: a day. A later one is a wrong clock.
pub const SECONDS_MAX: f64 = 86_400.0;

/// A log as it was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Log {
    /// Whose run of which exercise.
    pub header: Header,
    /// What the trainee did, in order of time.
    pub actions: Vec<Action>,
    /// What the trainee's panel showed, in order of time.
    pub saw: Vec<Saw>,
    /// The last moment that is recorded: of the end line, else of the last line there is.
    pub end: Tick,
    /// Whether an end line says that the recording is whole.
    pub whole: bool,
}

/// The first line of a log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Header {
    /// Short name of the exercise.
    pub exercise: String,
    /// Short name of the pack.
    pub pack: String,
    /// Version of the pack that was played.
    pub pack_version: String,
    /// Who: an id without meaning, such as a number on a list.
    pub trainee: String,
    /// The trainee's name, where it may be written down.
    pub name: Option<String>,
    /// When the run began, date and time as in RFC 3339.
    pub start: String,
    /// What recorded it.
    pub recorder: String,
    /// The seed of the run's chance events.
    pub seed: u64,
    /// Parameters of the exercise that were set for this run, as they were written.
    pub parameters: BTreeMap<String, String>,
}

/// One thing that the trainee did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Action {
    /// The line of the log that says so, from 1.
    pub line: u32,
    /// When.
    pub tick: Tick,
    /// The verb.
    pub verb: Verb,
    /// On what.
    pub on: Option<Tag>,
    /// To what, or the words of a report.
    pub to: Option<String>,
}

/// What the trainee's panel showed at a moment, as it was read there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saw {
    /// The line of the log that says so, from 1.
    pub line: u32,
    /// When.
    pub tick: Tick,
    /// Indications by the tag of what they tell, each as its gauge or lamp was read.
    pub shown: BTreeMap<Tag, String>,
}
