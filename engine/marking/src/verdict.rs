//! What marking says of one run.

use base::Tick;
use base::sheet::Marks;

/// How an item came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// All its marks.
    Full,
    /// Some of them.
    Part,
    /// None of them.
    Nothing,
    /// Neither earned nor lost: the condition never arose, or the samples cannot say.
    NotAssessed,
}

/// One item of the sheet, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The item's name.
    pub name: String,
    /// "step", "limit", "response", "order", "steadiness" or "finding".
    pub kind: &'static str,
    /// What was expected, for people.
    pub expected: String,
    /// How it came out.
    pub outcome: Outcome,
    /// Not assessed since the rest of the run, which would have decided it, could not be seen.
    pub open: bool,
    /// Marks earned.
    pub earned: Marks,
    /// Marks that could be earned (zero when not assessed).
    pub out_of: Marks,
    /// Whether losing it decides the run.
    pub critical: bool,
    /// What was found, in a sentence.
    pub found: String,
    /// The value margin in words, in the unit of the value that decided: "came within 0.4 bar".
    pub value_margin: Option<String>,
    /// The time margin in words: "12.0 s too late".
    pub time_margin: Option<String>,
    /// The moment that decided.
    pub when: Option<Tick>,
    /// What the panel showed at that moment of what was looked at, where the run's trends tell it.
    pub shown: Option<String>,
    /// What was true at that moment of what was looked at, where the run's trends tell it.
    pub actual: Option<String>,
    /// Spans of the run that the verdict rests on, first and last tick.
    pub evidence: Vec<(Tick, Tick)>,
    /// What to practise, when marks were lost.
    pub practise: Option<String>,
}

/// A run, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct RunResult {
    /// Sum of the marks earned.
    pub earned: Marks,
    /// Sum of the marks that could be earned.
    pub out_of: Marks,
    /// Marks needed to pass this run: the pass mark of the sheet, shrunk in proportion where items were not
    /// assessed (those of which the rest of an unseen run would decide count as asked). `None` where the sheet sets none, or nothing could be assessed.
    pub needed: Option<Marks>,
    /// Passed or not, when the exercise sets a pass mark or has critical items.
    pub passed: Option<bool>,
    /// Names of critical items that were lost.
    pub critical_lost: Vec<String>,
    /// The items in the order of the sheet.
    pub verdicts: Vec<Verdict>,
}
