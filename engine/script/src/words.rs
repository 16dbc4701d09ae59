//! The authoring vocabulary: one table that registers the words, and from which the reference and
//! the editor definitions are written.

use crate::hand::{Hand, Outcome};

mod combine;
mod conditions;
pub(crate) mod items;
mod run;
mod table;
mod values;
mod worked;

pub(crate) use items::finish_item;
pub use items::{FIELDS, Field};
pub use table::WORDS;

/// What a word belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum On {
    /// A word of its own.
    Script,
    /// A method of a value.
    Value,
    /// A method of a condition.
    Condition,
    /// A method of the run, in a story.
    Run,
}

/// One thing that a word takes.
#[derive(Clone, Copy, Debug)]
pub struct Takes {
    /// Its name.
    pub name: &'static str,
    /// Its type, in the words of the editor definitions; a question mark at the end when it may be left out.
    pub kind: &'static str,
}

/// One word of the vocabulary.
pub struct Word {
    /// What it belongs to.
    pub on: On,
    /// The word.
    pub name: &'static str,
    /// What it takes, in order.
    pub takes: &'static [Takes],
    /// It takes as many of the last as one likes.
    pub many: bool,
    /// The type it gives, or nothing.
    pub gives: &'static str,
    /// What it does, in sentences.
    pub says: &'static str,
    /// One line that uses it.
    pub example: &'static str,
    /// What it does.
    pub(crate) act: fn(&mut Hand) -> Outcome,
}

impl Word {
    /// The word with what it takes: `value:within(tolerance, of)`.
    #[must_use]
    pub fn signature(&self) -> String {
        let on = match self.on {
            On::Script => "",
            On::Value => "value:",
            On::Condition => "condition:",
            On::Run => "run:",
        };
        let mut takes: Vec<String> = self
            .takes
            .iter()
            .map(|t| if t.kind.ends_with('?') { format!("[{}]", t.name) } else { t.name.to_owned() })
            .collect();
        if self.many {
            takes.push("…".to_owned());
        }
        format!("{on}{}({})", self.name, takes.join(", "))
    }
}

impl std::fmt::Debug for Word {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.signature())
    }
}
