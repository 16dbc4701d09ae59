//! Stories tried without a plant, so that a slip in a story is told when the pack is checked and not
//! in the middle of a class.

use crate::{Input, Stories};
use base::observable::Observable;
use base::{Diagnostic, Tick};
use session::{Command, Story, View, Wait};

/// How often all stories together are woken.
const WAKINGS: usize = 2_000;

/// What may come of figures that no run would have.
const UNSURE: &[&str] = &[
    "script::lua",
    "script::fuel",
    "script::memory",
    "script::recursion",
    "script::long-text",
    "script::long-sort",
    "script::commands",
    "script::time",
    "script::no-value",
];

/// A run in which nothing is known: every wait for a condition ends as asked, every action was done
/// or none was.
struct Trial {
    now: Tick,
    so: bool,
}

impl View for Trial {
    fn now(&self) -> Tick {
        self.now
    }

    fn value(&self, _: &Observable) -> Option<f64> {
        Some(if self.so { 1.0 } else { 0.0 })
    }

    fn ever(&self, _: &Observable) -> Option<bool> {
        Some(self.so)
    }

    fn condition_met(&self) -> bool {
        self.so
    }
}

/// Tries the stories twice, once with every condition met and once with none, up to `end`. What
/// stops a story then is told; a limit or an error of Lua as a warning, since the figures were not
/// those of a run.
///
/// # Errors
/// The mistakes of the script itself, as [`crate::author`] tells them.
pub fn rehearse(input: &Input, end: Tick) -> Result<Vec<Diagnostic>, Vec<Diagnostic>> {
    let mut told: Vec<Diagnostic> = Vec::new();
    for so in [true, false] {
        let mut stories = Stories::new(input)?;
        if let Some(d) = try_once(&mut stories, so, end)
            && !told.contains(&d)
        {
            told.push(d);
        }
    }
    Ok(told)
}

/// Wakes the stories in the order of their times until all are done.
fn try_once(stories: &mut Stories, so: bool, end: Tick) -> Option<Diagnostic> {
    let mut due: Vec<Option<Tick>> = vec![Some(Tick::ZERO); stories.len()];
    let mut commands = Vec::new();
    for _ in 0..WAKINGS {
        let next = due.iter().enumerate().filter_map(|(i, t)| t.map(|t| (t, i))).min()?;
        let (now, story) = next;
        if now > end {
            return None;
        }
        commands.clear();
        let wait = match stories.wake(story, &Trial { now, so }, &mut commands) {
            Ok(wait) => wait,
            Err(f) => {
                let sure = !UNSURE.contains(&f.code);
                let d = Diagnostic::error(f.code, f.place.clone(), f.message.clone());
                let unsure = Diagnostic::warning(f.code, f.place, f.message)
                    .hint("this came up when the stories were tried without a plant");
                return Some(if sure { d } else { unsure });
            }
        };
        if commands.iter().any(|c| matches!(c, Command::End(_))) {
            return None;
        }
        due[story] = match wait {
            Wait::Until(t) => Some(t),
            // A condition that comes does so at once; one that does not takes all the time it has.
            Wait::For { latest, .. } if !so => latest,
            Wait::For { .. } => Some(now + 1),
            Wait::Done => None,
        };
    }
    None
}
