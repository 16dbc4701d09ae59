//! Figures of a class, as class files and verdict files tell them. Numbers that a class is too small or
//! too even to give are `null`, and the cautions say why; all are rounded to four decimals.

use crate::points::{Points, Seconds};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the marks of a class are worth as a test.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TestFigures {
    /// People whose marks were complete and used.
    pub people: u32,
    /// People left out, since not every item was assessed on them.
    pub left_out: u32,
    /// Cronbach's alpha.
    pub alpha: Option<f64>,
    /// Its interval of 95 % by Feldt.
    pub alpha_interval: Option<[f64; 2]>,
    /// Standard error of measurement, in marks; `null` where alpha is, and where alpha is below 0, since it says
    /// nothing there.
    pub standard_error: Option<f64>,
    /// The items, in the order of the sheet.
    pub items: Vec<ItemFigure>,
    /// What to take with care, in sentences.
    pub cautions: Vec<String>,
}

/// Figures of one item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemFigure {
    /// The item.
    pub name: String,
    /// Mean marks over full marks: larger is easier.
    pub difficulty: Option<f64>,
    /// Correlation of the item with the rest of the sheet.
    pub item_rest: Option<f64>,
    /// How much better the upper 27 % did than the lower 27 %, from 1 to -1.
    pub upper_lower: Option<f64>,
    /// Alpha of the sheet without the item.
    pub alpha_without: Option<f64>,
}

/// Two logs with the same or nearly the same actions at nearly the same times.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AlikeLogs {
    /// One log.
    pub first: String,
    /// The other.
    pub second: String,
    /// The same to the tenth of a second.
    pub identical: bool,
    /// Actions to put in, take out or move in time, that turn one into the other.
    pub edits: u32,
    /// Actions of the longer one.
    pub actions: u32,
}

/// How long a class took to answer one fault, from when it could be seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ResponseTimes {
    /// The item.
    pub item: String,
    /// How many answered.
    pub answered: u32,
    /// How many never did.
    pub missed: u32,
    /// The fastest; `null` when nobody answered.
    pub fastest: Option<Seconds>,
    /// Half of those who answered took no longer.
    pub half_within: Option<Seconds>,
    /// The slowest.
    pub slowest: Option<Seconds>,
}

/// How far the program's marks agree with those that people gave.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AgreementFigures {
    /// Who marked; the program first.
    pub markers: Vec<String>,
    /// The program beside each person.
    pub pairs: Vec<PairFigures>,
    /// Fleiss' kappa of all of them, over what all of them marked.
    pub fleiss: Option<f64>,
    /// Intraclass correlation (2,1) of the sums, over what all of them marked.
    pub correlation: Option<f64>,
    /// Its interval of 95 %.
    pub correlation_interval: Option<[f64; 2]>,
    /// What to take with care, in sentences.
    pub cautions: Vec<String>,
}

/// The program beside one marker: whether items earned all, some or none of their marks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PairFigures {
    /// The marker.
    pub by: String,
    /// How many marks both gave.
    pub marks: u32,
    /// The part of them on which they agree.
    pub agreed: f64,
    /// Cohen's kappa.
    pub kappa: Option<f64>,
    /// Cohen's kappa with the weight of the square of the distance.
    pub weighted: Option<f64>,
}

/// What was earned on the items of one group.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroupLine {
    /// The group's name.
    pub group: String,
    /// Its items.
    pub items: Vec<String>,
    /// How many times one of them was assessed.
    pub assessed: u32,
    /// Marks earned on them.
    pub marks: Points,
    /// Marks that could be earned on them.
    pub out_of: Points,
}

/// What was shown of one competence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CompetenceLine {
    /// Table and title of the STCW Code, and perhaps required knowledge.
    pub competence: String,
    /// The items that name it.
    pub items: Vec<String>,
    /// How many times one of them was assessed.
    pub assessed: u32,
    /// Marks earned on them.
    pub marks: Points,
    /// Marks that could be earned on them.
    pub out_of: Points,
}
