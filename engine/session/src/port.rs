//! The port between a session and whoever tells its stories.
//!
//! Commands and actions are different types on purpose: a log can never carry a privilege.

use base::observable::{Observable, Watched};
use base::{Place, Tick};
use monitor::Formula;

/// What a story may do. It takes effect at the start of the next tick.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Set a fault of the exercise going, by its name.
    Inject(String),
    /// Clear a fault, by its name.
    Clear(String),
    /// Bring a fault that acts to another size.
    Grow {
        /// Its name.
        fault: String,
        /// Its size in the end, SI.
        size: f64,
        /// In how many ticks.
        over: u32,
    },
    /// Change something around the plant: the weather, or what a consumer of the ship takes.
    Surround {
        /// What: "sea temperature", or the tag of a consumer.
        what: String,
        /// To what, SI.
        to: f64,
        /// In how many ticks.
        over: u32,
    },
    /// Switch a consumer of the ship in or out, as her people do.
    Switch {
        /// Its tag.
        consumer: String,
        /// In, and not out.
        put_in: bool,
    },
    /// Speak to the trainee.
    Tell(String),
    /// Leave a note for the debrief.
    Note(String),
    /// End the run, with the reason.
    End(String),
}

/// What a coroutine waits for when it stops.
#[derive(Clone, Debug, PartialEq)]
pub enum Wait {
    /// A time of the run.
    Until(Tick),
    /// A condition (no operators that look ahead), or a time if that comes first. The condition's
    /// signals are places in `watched`, which the session joins to its own row.
    For {
        /// The condition.
        condition: Formula,
        /// What it looks at.
        watched: Vec<Watched>,
        /// Latest time.
        latest: Option<Tick>,
    },
    /// The coroutine has ended.
    Done,
}

/// Why a story cannot go on. The run is then not graded.
#[derive(Clone, Debug, PartialEq)]
pub struct StoryFailure {
    /// A stable code, such as `script::fuel`.
    pub code: &'static str,
    /// What happened, for people.
    pub message: String,
    /// What to do, when something can be said.
    pub hint: Option<String>,
    /// Where in the script.
    pub place: Place,
}

impl StoryFailure {
    /// What happened and what to do, as one sentence.
    #[must_use]
    pub fn told(&self) -> String {
        match &self.hint {
            Some(hint) => format!("{}; {hint}", self.message),
            None => self.message.clone(),
        }
    }
}

/// What a story may see when it wakes.
pub trait View {
    /// The present tick.
    fn now(&self) -> Tick;
    /// The value of an observable on this tick, SI or 1.0/0.0; `None` when there is no such thing.
    fn value(&self, what: &Observable) -> Option<f64>;
    /// For a moment such as [`Observable::Did`]: whether it has happened since the start of the run.
    fn ever(&self, what: &Observable) -> Option<bool>;
    /// True when the wait for a condition ended because of it, false when its latest time came.
    fn condition_met(&self) -> bool;
}

/// A story as coroutines, numbered from 0. Each is woken once at the start of the run.
pub trait Story {
    /// Wakes one coroutine and lets it run until it waits or ends.
    ///
    /// # Errors
    /// When it failed or hit a limit: the run ends and is not graded.
    fn wake(&mut self, coroutine: usize, view: &dyn View, commands: &mut Vec<Command>) -> Result<Wait, StoryFailure>;
}

/// The story of an exercise that has none.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoStory;

impl Story for NoStory {
    fn wake(&mut self, _: usize, _: &dyn View, _: &mut Vec<Command>) -> Result<Wait, StoryFailure> {
        Ok(Wait::Done)
    }
}
