//! Telling the stories: which coroutine wakes on which tick, and what it sees then.
//!
//! Every coroutine wakes at the end of tick 0, then when what it waits for has come. A wait is looked
//! at from the tick after it began, so that no story can spin within one tick, and one moment does
//! not end two waits. Coroutines wake in the order of their numbers. What they command takes effect
//! at the start of the next tick.

use crate::fault::{hangs_on_the_trainee, trigger};
use crate::observe::{Getter, Names, Scene};
use crate::port::{Command, Story, StoryFailure, View, Wait};
use base::observable::Observable;
use base::record::Event;
use base::{Diagnostic, Place, Tick};
use monitor::Trigger;

/// Commands that the stories of a run may give in one tick; more end the run. Own choice: more than
/// any lesson needs, few enough to keep a run's record small.
pub const COMMANDS_A_TICK: usize = 100;

/// What a coroutine waits for.
#[derive(Clone, Debug)]
pub(crate) enum Waiting {
    /// The end of tick 0.
    Start,
    Until(Tick),
    For(Box<WaitingFor>),
    Done,
}

#[derive(Clone, Debug)]
pub(crate) struct WaitingFor {
    trigger: Trigger,
    getters: Vec<Getter>,
    row: Vec<f64>,
    latest: Option<Tick>,
    /// The condition hangs on what the trainee does.
    on_trainee: bool,
}

impl Waiting {
    /// Whether it is over on this tick, and whether by its condition.
    fn over(&mut self, scene: &Scene<'_>) -> Option<bool> {
        match self {
            Waiting::Start => Some(false),
            Waiting::Until(t) => (*t <= scene.now).then_some(false),
            Waiting::For(w) => {
                for (value, getter) in w.row.iter_mut().zip(&w.getters) {
                    *value = getter.read(scene);
                }
                if w.trigger.feed(&w.row) {
                    return Some(true);
                }
                w.latest.is_some_and(|t| t <= scene.now).then_some(false)
            }
            Waiting::Done => None,
        }
    }

    fn bind(wait: Wait, names: &Names<'_>, place: &Place) -> Result<Waiting, StoryFailure> {
        Ok(match wait {
            Wait::Until(t) => Waiting::Until(t),
            Wait::Done => Waiting::Done,
            Wait::For { condition, watched, latest } => {
                let bound = || {
                    let getters =
                        watched.iter().map(|w| names.bind_watched(w, place)).collect::<Result<Vec<_>, _>>()?;
                    let trigger = trigger(&condition, getters.len(), place)?;
                    let row = vec![0.0; getters.len()];
                    let on_trainee = hangs_on_the_trainee(&condition, &watched);
                    Ok(WaitingFor { trigger, getters, row, latest, on_trainee })
                };
                Waiting::For(Box::new(bound().map_err(failure)?))
            }
        })
    }
}

/// A mistake of a script as the end of its story.
pub(crate) fn failure(d: Diagnostic) -> StoryFailure {
    StoryFailure { code: d.code, message: d.message, hint: d.hint, place: d.place }
}

/// What a woken coroutine sees.
struct Awake<'a> {
    scene: Scene<'a>,
    names: Names<'a>,
    events: &'a [Event],
    met: bool,
}

impl View for Awake<'_> {
    fn now(&self) -> Tick {
        self.scene.now
    }

    fn value(&self, what: &Observable) -> Option<f64> {
        let (getter, _) = self.names.bind(what, &Place::default()).ok()?;
        Some(getter.read(&self.scene))
    }

    fn ever(&self, what: &Observable) -> Option<bool> {
        self.names.ever(what, self.events)
    }

    fn condition_met(&self) -> bool {
        self.met
    }
}

/// Wakes every coroutine whose wait is over on this tick. `by_trainee` says of each command whether the
/// coroutine gave it on waking to something that the trainee had brought about.
pub(crate) fn wake(
    coroutines: &mut [Waiting],
    story: &mut dyn Story,
    scene: Scene<'_>,
    events: &[Event],
    place: &Place,
    commands: &mut Vec<Command>,
    by_trainee: &mut Vec<bool>,
) -> Result<(), StoryFailure> {
    let names = Names { plant: scene.plant, panel: scene.panel, faults: scene.faults };
    for (i, waiting) in coroutines.iter_mut().enumerate() {
        let Some(met) = waiting.over(&scene) else { continue };
        let thanks = met && matches!(waiting, Waiting::For(w) if w.on_trainee);
        let wait = story.wake(i, &Awake { scene, names, events, met }, commands)?;
        if commands.len() > COMMANDS_A_TICK {
            return Err(StoryFailure {
                code: "session::too-many-commands",
                message: format!(
                    "the story gave {} commands in one tick, and {COMMANDS_A_TICK} are the most; does a loop never wait?",
                    commands.len()
                ),
                hint: None,
                place: place.clone(),
            });
        }
        by_trainee.resize(commands.len(), thanks);
        *waiting = Waiting::bind(wait, &names, place)?;
    }
    Ok(())
}
