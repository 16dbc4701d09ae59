//! An exercise as plain data: what a script leaves behind once it has run.

use base::observable::Watched;
use base::{Place, Tag, Tick};
use monitor::Formula;

/// An exercise. Its formulas' signals are places in `watched`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Exercise {
    /// Title for people.
    pub title: String,
    /// What the trainee is told before the run.
    pub brief: String,
    /// The plant's short name.
    pub plant: String,
    /// How the plant stands at the start.
    pub start: Start,
    /// How long the run lasts at most.
    pub lasts: Tick,
    /// What the conditions look at, in the order of the sample row.
    pub watched: Vec<Watched>,
    /// What goes wrong.
    pub faults: Vec<FaultPlan>,
    /// Instruments whose trends the debrief draws.
    pub trends: Vec<Tag>,
    /// How many coroutines the script's stories are.
    pub stories: usize,
}

/// A named state of the plant with changes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Start {
    /// Name of the prepared state, such as "cold".
    pub state: String,
    /// Controls set otherwise than in the prepared state: control, setting as written, and where.
    pub changes: Vec<(Tag, String, Place)>,
}

/// A fault of an exercise.
#[derive(Clone, Debug, PartialEq)]
pub struct FaultPlan {
    /// Its name in the exercise.
    pub name: String,
    /// The component, instrument, lamp, gauge or alarm.
    pub on: Tag,
    /// The kind in the fault table.
    pub kind: String,
    /// Its size as written ("40 % open"), if given.
    pub size: Option<String>,
    /// When it begins.
    pub begins: Moment,
    /// How it comes on from then.
    pub grows: Growth,
    /// When it clears by itself.
    pub clears: Moment,
    /// How long the helper works at it (ticks) when asked to repair it; `None` when that mends nothing.
    pub repair: Option<u32>,
    /// Where the script wrote it.
    pub place: Place,
}

/// How a fault comes on once it has begun: as a whole and at once when nothing is said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Growth {
    /// It grows from nothing to its size in a straight line over so many ticks; 0 for at once.
    pub over: u32,
    /// It comes and goes as long as it acts.
    pub rhythm: Option<Rhythm>,
}

/// How a fault comes and goes: each time for a number of ticks between the two (both included), drawn
/// from the seed of the run. It begins by coming.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rhythm {
    /// For how long it is there.
    pub there: (u32, u32),
    /// For how long it is away.
    pub away: (u32, u32),
}

/// A moment that an exercise speaks of.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Moment {
    /// Only when a story says so (or never).
    #[default]
    ByStory,
    /// At a time of the run.
    At(Tick),
    /// When a condition first holds (no operators that look ahead).
    When(Formula),
    /// So long after a condition first held.
    After(Formula, u32),
}
