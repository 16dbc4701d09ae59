//! What marking said of a whole class, on disk: see [`crate::verdicts`] for what both kinds of file share.

use crate::changed::{ChangedMark, NotApplied};
use crate::class_figures::{AgreementFigures, AlikeLogs, CompetenceLine, GroupLine, ResponseTimes, TestFigures};
use crate::points::Points;
use crate::verdicts::{ItemOutcome, Pack, Standing};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the first field of a class file says.
pub const CLASS_FORMAT: &str = "faultwright-class/1";

/// A class, judged.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClassFile {
    /// Always [`CLASS_FORMAT`].
    pub format: String,
    /// Title of the exercise.
    pub exercise: String,
    /// The pack it came from.
    pub pack: Pack,
    /// Marks needed to pass when every item is assessed; `null` where the exercise sets none.
    #[serde(default)]
    pub pass_mark: Option<Points>,
    /// The people in the order in which they were marked.
    pub people: Vec<ClassLine>,
    /// The items in the order of the mark sheet.
    pub items: Vec<ItemSummary>,
    /// What the marks are worth as a test; `null` when nobody was graded.
    #[serde(default)]
    pub figures: Option<TestFigures>,
    /// How long each fault took to be answered.
    #[serde(default)]
    pub responses: Vec<ResponseTimes>,
    /// Pairs of logs that are alike.
    #[serde(default)]
    pub alike: Vec<AlikeLogs>,
    /// How far the marks agree with those that people gave; `null` when nobody did.
    #[serde(default)]
    pub agreement: Option<AgreementFigures>,
    /// What the class earned on the groups of items.
    #[serde(default)]
    pub groups: Vec<GroupLine>,
    /// What the class showed of the competences that the items name.
    #[serde(default)]
    pub competences: Vec<CompetenceLine>,
    /// Overrides of a moderator that no longer fit; they change nothing until somebody decides anew.
    #[serde(default)]
    pub not_applied: Vec<NotApplied>,
    /// Digest of the pack and of the program.
    pub digests: ClassDigests,
}

/// The digests that a whole class shares.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClassDigests {
    /// Of the pack.
    pub pack: String,
    /// Of the program.
    pub program: String,
}

/// One person of a class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClassLine {
    /// The trainee's id.
    pub id: String,
    /// The trainee's name.
    pub name: String,
    /// The log's file name.
    pub log: String,
    /// Whether marks could be given.
    pub outcome: Standing,
    /// Whether it was passed, when the exercise says what passing is.
    pub passed: Option<bool>,
    /// Marks earned; `null` when not graded.
    pub marks: Option<Points>,
    /// Marks that could be earned; `null` when not graded.
    pub out_of: Option<Points>,
    /// Why it was not graded; empty when it was.
    pub reasons: Vec<String>,
    /// The items in the order of the mark sheet; empty when not graded.
    pub items: Vec<ClassItem>,
    /// The debrief, relative to the class file; `null` when none was written.
    pub debrief: Option<String>,
    /// Digest of the log.
    pub log_digest: String,
}

/// One item of one person of a class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClassItem {
    /// The item's name.
    pub name: String,
    /// How it came out.
    pub outcome: ItemOutcome,
    /// Marks earned.
    pub marks: Points,
    /// Marks that could be earned.
    pub out_of: Points,
    /// Changes of a moderator, in their order; the last one stands.
    #[serde(default)]
    pub overrides: Vec<ChangedMark>,
}

/// How a class did at one item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemSummary {
    /// The item's name.
    pub name: String,
    /// The word of its kind: "step", "limit", "response", "order", "steadiness" or "finding".
    pub kind: String,
    /// What it is worth; `null` in files of programs that did not tell.
    #[serde(default)]
    pub worth: Option<Points>,
    /// The group that it belongs to, if any.
    #[serde(default)]
    pub group: Option<String>,
    /// Other items of the sheet that its marks go by: those that it comes after or takes in order, and those
    /// in whose place it or one of these may stand or that may stand in its own.
    #[serde(default)]
    pub leans_on: Vec<String>,
    /// How many were assessed on it.
    pub assessed: u32,
    /// How many of them earned less than all of its marks.
    pub lost: u32,
    /// The part of its marks that the assessed earned together, in hundredths of a percent (9950 is
    /// 99.5 %); `null` when nobody was assessed.
    pub mean_part: Option<u32>,
}
