//! Changed marks, as verdict files and class files tell them.

use crate::overrides::{Given, Override};
use crate::points::Points;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One mark that a moderator changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangedMark {
    /// The marks that it replaced; `null` when the item was not assessed.
    pub was: Option<Points>,
    /// The marks that stand since; `null` when the item is not assessed since.
    pub now: Option<Points>,
    /// Who decided it.
    pub by: String,
    /// When, as the moderator wrote it: year-month-day.
    pub on: String,
    /// Why.
    pub reason: String,
}

/// An override that no longer fits and was not applied: somebody has to decide anew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotApplied {
    /// Whose marks it is about.
    pub person: String,
    /// The item that it names.
    pub item: String,
    /// What it wanted to do, by whom, when and why, in a sentence.
    pub told: String,
    /// Why it no longer fits.
    pub why: String,
}

impl From<&Override> for ChangedMark {
    fn from(o: &Override) -> ChangedMark {
        let points = |given: Given| match given {
            Given::Marks { earned, .. } => Some(Points(earned)),
            Given::NotAssessed => None,
        };
        ChangedMark {
            was: points(o.was),
            now: points(o.now),
            by: o.by.clone(),
            on: o.on.clone(),
            reason: o.reason.clone(),
        }
    }
}

impl Override {
    /// "was 0 of 6, now 4 of 6, by M. Example on 2031-03-05: jammed".
    #[must_use]
    pub fn told(&self) -> String {
        format!("was {}, now {}, by {} on {}: {}", self.was, self.now, self.by, self.on, self.reason)
    }
}
