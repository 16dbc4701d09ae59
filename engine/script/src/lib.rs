//! The Lua host, its sandbox and the words in which exercises are written.
//!
//! Purpose: run the script of a pack in a state of its own, with nothing in it but the words of the
//! exercises, and give the exercise as plain data, or all mistakes at once; and wake the stories of
//! a run.
//!
//! Must not know: plant types, files, the command line. What is on board comes as plain [`Names`].
//!
//! ```
//! use script::{Input, Names, Sources, author};
//! let names = Names { plant: "demo".into(), starts: vec!["cold".into()], ..Names::default() };
//! let text = r#"exercise { title = "One", plant = "demo", start = "colt", lasts = "10 min" }"#;
//! let mistakes = author(&Input::new(Sources::one("one.lua", text), names)).unwrap_err();
//! assert_eq!(mistakes[0].code, "script::unknown-start");
//! assert_eq!(mistakes[0].hint.as_deref(), Some("did you mean \"cold\"?"));
//! ```

mod author;
mod calls;
pub mod condition;
mod counting;
mod desk;
mod failure;
mod guard;
mod hand;
mod handle;
mod host;
pub mod limits;
mod lint;
mod modules;
pub mod names;
mod ranges;
pub mod reference;
mod rehearse;
mod story;
pub mod teller;
mod whole;
pub mod words;
pub mod worked;

#[cfg(test)]
mod tests;

pub use author::{Authored, ItemCondition, Role, author};
pub use desk::Log;
pub use names::Names;
pub use rehearse::rehearse;
pub use story::Stories;

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// The script files of a pack.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sources {
    /// The script that is run: its name for people, and its text.
    pub main: (String, String),
    /// What it may `require`: by module name, which is also the name for people.
    pub modules: BTreeMap<String, String>,
    looked: lint::Looked,
}

impl Sources {
    /// A script with what it may `require`.
    #[must_use]
    pub fn of(main: (String, String), modules: BTreeMap<String, String>) -> Sources {
        Sources { main, modules, looked: lint::Looked::default() }
    }

    /// One script without modules.
    #[must_use]
    pub fn one(file: &str, text: &str) -> Sources {
        Sources::of((file.to_owned(), text.to_owned()), BTreeMap::new())
    }

    /// Every file with its text.
    pub fn files(&self) -> impl Iterator<Item = (String, String)> + '_ {
        let modules = self.modules.iter().map(|(f, t)| (f.clone(), t.clone()));
        std::iter::once(self.main.clone()).chain(modules)
    }
}

/// A setting of the pack that a script reads as `parameters.name`.
#[derive(Clone, Debug, PartialEq)]
pub enum Parameter {
    /// Text.
    Text(String),
    /// A number.
    Number(f64),
    /// Yes or no.
    Truth(bool),
}

impl Parameter {
    /// A parameter as people write it: `true` and `false`, a number, or else text.
    #[must_use]
    pub fn read(text: &str) -> Parameter {
        match (text.trim(), text.trim().parse::<f64>()) {
            ("true", _) => Parameter::Truth(true),
            ("false", _) => Parameter::Truth(false),
            (_, Ok(x)) if x.is_finite() => Parameter::Number(x),
            (text, _) => Parameter::Text(text.to_owned()),
        }
    }
}

/// All that a script depends on. The same input gives the same exercise and the same story.
#[derive(Clone, Debug, Default)]
pub struct Input {
    /// The script files.
    pub sources: Sources,
    /// What is on board.
    pub names: Arc<Names>,
    /// Settings of the pack.
    pub parameters: BTreeMap<String, Parameter>,
    /// The seed of the run.
    pub seed: u64,
    /// Set by whoever runs the script to end it from outside; such a run is not graded.
    pub stop: Option<Arc<AtomicBool>>,
    /// Which lines run is counted, for [`rehearse`].
    pub counted: bool,
}

impl Input {
    /// These scripts with these names, no settings and the seed 0.
    #[must_use]
    pub fn new(sources: Sources, names: impl Into<Arc<Names>>) -> Input {
        Input { sources, names: names.into(), ..Input::default() }
    }
}
