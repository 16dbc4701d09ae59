//! The plain types of a run's record, which marking and files both read.

use crate::observable::Verb;
use crate::{Tag, Tick};
use serde::{Deserialize, Serialize};

/// Which of the three values of a measured thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Layer {
    /// True in the plant.
    Actual,
    /// Said by a transmitter or switch.
    Signal,
    /// Shown on the panel.
    Shown,
}

impl Layer {
    /// The word for people.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Layer::Actual => "actual",
            Layer::Signal => "signal",
            Layer::Shown => "shown",
        }
    }
}

/// Something that happened at one tick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// When.
    pub tick: Tick,
    /// What.
    pub what: Happening,
}

/// What can happen in a run. The order of variants is not part of any format.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Happening {
    /// The trainee did something. `refused` holds the reason when it could not be carried out.
    Action {
        /// The verb.
        verb: Verb,
        /// On what.
        on: Option<Tag>,
        /// To what, or the words of a report.
        to: Option<String>,
        /// Why it was not carried out.
        refused: Option<String>,
    },
    /// The helper finished something on the spot: what was found or done.
    Helper {
        /// On what.
        on: Tag,
        /// What the helper says.
        says: String,
    },
    /// An alarm changed.
    Alarm {
        /// The alarm's tag.
        tag: Tag,
        /// Its text on the panel.
        text: String,
        /// What it did.
        phase: AlarmPhase,
    },
    /// A protection tripped.
    Trip {
        /// What tripped.
        tag: Tag,
        /// The cause, in words.
        cause: String,
        /// True when no other cause stood before it.
        first: bool,
    },
    /// A trip was reset by hand.
    Reset {
        /// What was reset.
        tag: Tag,
    },
    /// A fault of the exercise began to act.
    FaultOn {
        /// Its name in the exercise.
        name: String,
        /// On what.
        on: Tag,
        /// Its kind.
        kind: String,
        /// Where it acts.
        layer: Layer,
        /// How it comes on.
        comes: Coming,
    },
    /// A fault that acts began to change its size.
    FaultGrows {
        /// Its name in the exercise.
        name: String,
        /// Its size until now, for people.
        from: String,
        /// Its size in the end, for people.
        to: String,
        /// In how many ticks; 0 and 1 for at once.
        over: u32,
    },
    /// A fault was cleared.
    FaultOff {
        /// Its name in the exercise.
        name: String,
        /// Whether something that the trainee did cleared it, and not the exercise by itself.
        by_trainee: bool,
    },
    /// A fault that had begun could be seen on the panel for the first time: an indication differed from
    /// that of the same run without the fault.
    FaultSeen {
        /// Its name in the exercise.
        name: String,
        /// The gauge, lamp or alarm.
        on: Tag,
        /// What it showed, for people.
        shown: String,
        /// What it would have shown without the fault, for people.
        otherwise: String,
    },
    /// A fault that had begun could not be seen on the panel up to the end of the run.
    FaultUnseen {
        /// Its name in the exercise.
        name: String,
    },
    /// A component was hurt.
    Damage {
        /// What.
        on: Tag,
        /// How, in words.
        what: String,
        /// Total damage so far: 0 none, 1 spoilt.
        total: f64,
    },
    /// The plant did something worth telling: a flame lit, a safety valve lifted.
    Plant {
        /// What.
        on: Tag,
        /// In words.
        says: String,
    },
    /// The story changed the weather.
    Weather {
        /// What of it: "sea temperature".
        what: String,
        /// How it was, for people.
        from: String,
        /// How it will be, for people.
        to: String,
        /// In how many ticks; 0 and 1 for at once.
        over: u32,
    },
    /// The story changed what a consumer of the ship takes.
    Load {
        /// The consumer.
        on: Tag,
        /// What it is called.
        name: String,
        /// What it took, for people, or "in" or "out".
        from: String,
        /// What it will take, for people, or "in" or "out".
        to: String,
        /// In how many ticks; 0 and 1 for at once.
        over: u32,
    },
    /// The story spoke to the trainee.
    Told(String),
    /// The story left a note for the debrief.
    Note(String),
    /// A formerly equal pair of shown and true differed over a span that ends now.
    Differed {
        /// The gauge or lamp.
        tag: Tag,
        /// What it follows: the transmitter or switch, the trip, the alarm or the control.
        of: Tag,
        /// Since when.
        since: Tick,
        /// What was shown when the difference was largest, for people.
        shown: String,
        /// What was true then, for people.
        actual: String,
    },
    /// The run ended.
    Ended(Ending),
}

/// How a fault comes on once it has begun.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Coming {
    /// Its size, for people, where it has one.
    pub size: Option<String>,
    /// In how many ticks it grows to that; 0 for at once.
    pub over: u32,
    /// For how many ticks it is there and away, each between the two, where it comes and goes.
    pub rhythm: Option<[(u32, u32); 2]>,
}

/// What an alarm did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum AlarmPhase {
    /// Came up, unacknowledged.
    Raised,
    /// Was acknowledged.
    Acknowledged,
    /// The cause went away.
    Cleared,
}

/// Why a run ended.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// The exercise's time was up.
    TimeUp,
    /// The log came to its end, and says so: the trainee stopped here.
    LogEnded,
    /// The log breaks off here without saying that it is whole: what the trainee did then is not known.
    LogCutOff,
    /// From the next tick on this is not the run that was recorded: what the trainee's own panel
    /// showed then, and what is shown here, in words.
    Drifted(String),
    /// The story ended it.
    Story(String),
    /// A limit of the script was hit, or the script failed: no result.
    ScriptFailed(String),
    /// The plant met a number that is not physical: no result.
    PlantFailed(String),
}

impl Ending {
    /// Whether marks may be given for a run that ended so.
    #[must_use]
    pub fn gradable(&self) -> bool {
        !matches!(self, Ending::ScriptFailed(_) | Ending::PlantFailed(_))
    }

    /// Whether the trainee's run ended here too. Where it did not, the rest of it could not be seen,
    /// and what was still open is not assessed.
    #[must_use]
    pub fn of_the_whole_run(&self) -> bool {
        !matches!(self, Ending::LogCutOff | Ending::Drifted(_))
    }
}

/// One recorded series for a trend.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Channel {
    /// The instrument or component.
    pub tag: Tag,
    /// What it is called.
    pub name: String,
    /// Which of its values.
    pub layer: Layer,
    /// Display unit's symbol.
    pub unit: String,
    /// Ticks from one value to the next, the first at tick 0.
    pub every: u32,
    /// Values in the display unit.
    pub values: Vec<f64>,
}

/// Everything a finished run leaves behind for marking and the debrief.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// The last tick of the run.
    pub end: Tick,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// Trends.
    pub channels: Vec<Channel>,
}
