//! Two markings of a class beside each other, `faultwright-comparison/1`: whose marks moved, by how
//! much, because of which item, and why.

pub use crate::verdicts::Points;

use crate::verdicts::{ChangedMark, ItemOutcome};
use base::sheet::Marks;
use schemars::JsonSchema;
use serde::Serialize;

/// What the first field of a comparison says.
pub const FORMAT: &str = "faultwright-comparison/1";

/// Two markings, compared.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// Always [`FORMAT`].
    pub format: String,
    /// Title of the exercise after.
    pub exercise: String,
    /// The pack's version before and after.
    pub versions: [String; 2],
    /// Whether the pack is the same to the byte.
    pub same_pack: bool,
    /// Whether the program is the same.
    pub same_program: bool,
    /// Marks needed to pass before and after, `null` where there are none; `null` as a whole where that
    /// did not change.
    pub pass_mark: Option<[Option<Points>; 2]>,
    /// The items of either sheet, in the order of the later one, then those that are gone.
    pub items: Vec<ItemChange>,
    /// Everybody of either class, in the order of the later one.
    pub people: Vec<Person>,
}

/// What became of an item of the mark sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ItemChange {
    /// Its name.
    pub item: String,
    /// Only the later sheet has it.
    pub new: bool,
    /// Only the earlier sheet has it.
    pub gone: bool,
    /// What it was worth and is worth now, where that changed and is known.
    pub worth: Option<[Points; 2]>,
    /// Whether its rule changed (conditions, times, parts); `null` where a marking does not tell, and where the
    /// rule is written otherwise by another program.
    pub other_rule: Option<bool>,
    /// Whether losing it decides the run now, where that changed and is known.
    pub critical: Option<bool>,
    /// Whether what it says to people changed. Words never change a mark.
    pub other_words: bool,
    /// How many people's marks on it moved.
    pub moved: u32,
    /// By how much together.
    pub by: Points,
}

/// What became of one person's marks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Person {
    /// The id or candidate number after, or before where there is none after.
    pub id: String,
    /// The name; may be empty.
    pub name: String,
    /// The sum before; `null` when not graded or not there.
    pub before: Option<Sum>,
    /// The sum after; `null` when not graded or not there.
    pub after: Option<Sum>,
    /// By how much the marks moved, not graded counted as nothing.
    pub by: Points,
    /// Why the whole result came or went, where it did.
    pub whole: Option<String>,
    /// Whether the log is another one.
    pub other_log: bool,
    /// Items whose marks moved, or that are assessed on one side only.
    pub items: Vec<Moved>,
    /// Why it is passed now and was not, or the other way round; empty where that did not change.
    pub passing: Vec<String>,
    /// What the sums moved because marks on top are held to the whole.
    pub held: Points,
    /// What the items do not explain: nothing, unless a file was changed by hand.
    pub unexplained: Points,
}

impl Person {
    /// Whether the sum moved, or came or went.
    #[must_use]
    pub fn moved(&self) -> bool {
        let marks = |s: Option<Sum>| s.map(|s| s.marks);
        marks(self.before) != marks(self.after)
    }

    /// Whether the sum stayed, while an item, what it is out of, or passing did not.
    #[must_use]
    pub fn shifted(&self) -> bool {
        !self.moved() && (self.before != self.after || !self.items.is_empty())
    }
}

impl Comparison {
    /// "24 people: 21 with another sum, 3 with the same sum from other items, out of another whole or passed
    /// otherwise, none unmoved", as far as there are such.
    #[must_use]
    pub fn counted(&self) -> String {
        let count = |of: fn(&Person) -> bool| self.people.iter().filter(|p| of(p)).count();
        let (moved, shifted) = (count(Person::moved), count(Person::shifted));
        let mut parts = vec![];
        if moved > 0 {
            parts.push(format!("{moved} with another sum"));
        }
        if shifted > 0 {
            parts.push(format!(
                "{shifted} with the same sum, from other items, out of another whole or passed otherwise"
            ));
        }
        parts.push(format!("{} unmoved", self.people.len() - moved - shifted));
        let people = if self.people.len() == 1 { "person" } else { "people" };
        format!("{} {people}: {}", self.people.len(), parts.join("; "))
    }
}

/// A sum of marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Sum {
    /// Earned.
    pub marks: Points,
    /// That could be earned.
    pub out_of: Points,
    /// Passed or not, where that was said.
    pub passed: Option<bool>,
}

/// One item of one person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Moved {
    /// The item.
    pub item: String,
    /// Before; `null` where it was not on the sheet.
    pub before: Option<Stood>,
    /// After; `null` where it is not on the sheet.
    pub after: Option<Stood>,
    /// By how much the marks moved.
    pub by: Points,
    /// How much of that a moderator's overrides moved.
    pub by_overrides: Points,
    /// Why, in sentences; what is told first weighs most.
    pub why: Vec<String>,
}

/// How an item stood.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Stood {
    /// How it came out.
    pub outcome: ItemOutcome,
    /// Marks earned.
    pub marks: Points,
    /// Marks that could be earned.
    pub out_of: Points,
    /// What was found; empty where the marking does not tell.
    pub found: String,
    /// Changes of a moderator.
    pub overrides: Vec<ChangedMark>,
}

impl Stood {
    /// "4 of 6", "2 on top", "not assessed".
    #[must_use]
    pub fn words(&self) -> String {
        match self.outcome {
            ItemOutcome::NotAssessed => "not assessed".to_owned(),
            // What comes on top is not in what can be earned.
            _ if self.out_of.0 == Marks(0) => format!("{} on top", self.marks.0),
            _ => format!("{} of {}", self.marks.0, self.out_of.0),
        }
    }
}

/// The JSON Schema of a comparison, as text that ends in a line feed.
#[must_use]
pub fn schema() -> String {
    crate::schema::of::<Comparison>("A faultwright-comparison/1 file: two markings of a class, compared")
}

/// The bytes of a comparison, indented, with a newline at its end.
#[must_use]
pub fn write(comparison: &Comparison) -> Vec<u8> {
    let mut bytes = serde_json::to_vec_pretty(comparison).expect("plain structs with string keys are always JSON");
    bytes.push(b'\n');
    bytes
}
