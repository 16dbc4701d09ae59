//! What a person's debrief is made from.

use base::record::{Layer, Record};
use base::sheet::Marks;
use base::{Diagnostic, Tag};
use files::verdicts::Digests;
use marking::{Moderation, RunResult};
use std::collections::BTreeMap;

/// A person.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Who<'a> {
    /// The id in the log.
    pub id: &'a str,
    /// The name; may be empty.
    pub name: &'a str,
}

impl<'a> Who<'a> {
    /// The name, or the id where there is none.
    pub(crate) fn called(&self) -> &'a str {
        if self.name.trim().is_empty() { self.id } else { self.name }
    }
}

/// A pack and its version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PackName<'a> {
    /// The pack's id.
    pub id: &'a str,
    /// Its version.
    pub version: &'a str,
}

/// What came of a log.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Judged<'a> {
    /// Marks were given.
    Graded(&'a RunResult),
    /// None could be given, and why, one sentence a reason, for people.
    NotGraded(&'a [String]),
}

impl<'a> Judged<'a> {
    /// The result, when there is one.
    pub(crate) fn result(&self) -> Option<&'a RunResult> {
        match self {
            Judged::Graded(result) => Some(result),
            Judged::NotGraded(_) => None,
        }
    }

    /// Why there is none.
    pub(crate) fn reasons(&self) -> &'a [String] {
        match self {
            Judged::Graded(_) => &[],
            Judged::NotGraded(reasons) => reasons,
        }
    }

    /// "passed", "not passed", "graded" or "not graded", with a capital.
    pub(crate) fn word(&self) -> &'static str {
        match self.result().map(|r| r.passed) {
            None => "Not graded",
            Some(None) => "Graded",
            Some(Some(true)) => "Passed",
            Some(Some(false)) => "Not passed",
        }
    }
}

/// Which side of a limit is the wrong one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Values above it.
    Above,
    /// Values below it.
    Below,
}

/// A limit to draw on a trend.
#[derive(Clone, Debug, PartialEq)]
pub struct TrendLimit {
    /// The instrument.
    pub tag: Tag,
    /// Which of its values the limit is about.
    pub layer: Layer,
    /// The limit in the display unit of the trend.
    pub value: f64,
    /// What it is, for people: "superheater metal limit".
    pub label: String,
    /// Which side is the wrong one.
    pub wrong: Side,
    /// Where an alarm of the panel comes up, and not a limit of the mark sheet.
    pub alarm: bool,
}

/// What is known of the mark sheet beside the verdicts, by the names of items.
#[derive(Clone, Copy, Debug)]
pub struct SheetNotes<'a> {
    /// Short digests of the rules by which items are marked.
    pub rules: &'a BTreeMap<String, String>,
    /// References to the competences that items show.
    pub competences: &'a BTreeMap<String, Vec<String>>,
    /// What the items are worth.
    pub worth: &'a BTreeMap<String, Marks>,
    /// The other items that an item's marks go by.
    pub leans_on: &'a BTreeMap<String, Vec<String>>,
    /// The groups with their items, in the order of the sheet.
    pub groups: &'a [(String, Vec<String>)],
}

static NO_RULES: BTreeMap<String, String> = BTreeMap::new();
static NO_NAMES: BTreeMap<String, Vec<String>> = BTreeMap::new();
static NO_WORTH: BTreeMap<String, Marks> = BTreeMap::new();

impl SheetNotes<'static> {
    /// Nothing is known.
    pub const NONE: SheetNotes<'static> =
        SheetNotes { rules: &NO_RULES, competences: &NO_NAMES, worth: &NO_WORTH, leans_on: &NO_NAMES, groups: &[] };
}

/// Everything that a person's debrief is made from.
#[derive(Clone, Debug)]
pub struct Page<'a> {
    /// Whose run it was.
    pub who: Who<'a>,
    /// The log's file name.
    pub log: &'a str,
    /// The exercise's title.
    pub title: &'a str,
    /// What the trainee was told before the run.
    pub brief: &'a str,
    /// The pack of the exercise.
    pub pack: PackName<'a>,
    /// How the plant stood at the start, such as "cold".
    pub start: &'a str,
    /// Marks needed to pass, when the exercise says so.
    pub pass_mark: Option<Marks>,
    /// What happened; an empty record when nothing could be replayed.
    pub record: &'a Record,
    /// What came of it.
    pub judged: Judged<'a>,
    /// What came of a moderator's overrides.
    pub moderation: &'a Moderation,
    /// What is known of the mark sheet beside the verdicts.
    pub sheet: SheetNotes<'a>,
    /// What was repaired in the log, or ought to be known about it.
    pub repairs: &'a [Diagnostic],
    /// What anyone needs to make this result again.
    pub digests: Digests,
    /// Limits to draw on the trends.
    pub limits: &'a [TrendLimit],
}
