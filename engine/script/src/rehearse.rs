//! Stories tried without a plant, so that a slip in a story is told when the pack is checked and not
//! in the middle of a class.

use crate::{Input, Stories};
use base::observable::Observable;
use base::{Diagnostic, Severity, Tick};
use session::{Command, Story, View, Wait};

/// How often a story is woken.
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

/// Tries each story twice, once with every condition met and once with none, up to `end`. What stops
/// a story then is told; a limit or an error of Lua as a warning, since the figures were not those of a
/// run. What it waits for and asks is weighed as the conditions of the sheet are. Each is tried in a state of its own, so that one that fails hides no other.
///
/// # Errors
/// The mistakes of the script itself, as [`crate::author`] tells them.
pub fn rehearse(input: &Input, end: Tick) -> Result<Vec<Diagnostic>, Vec<Diagnostic>> {
    let mut told: Vec<Diagnostic> = Vec::new();
    let mut story = 0;
    loop {
        for so in [true, false] {
            let mut stories = Stories::new(input)?;
            if story >= stories.len() {
                return Ok(told);
            }
            stories.are_tried(so);
            let stopped = try_once(&mut stories, story, so, end);
            for d in stories.warnings().into_iter().chain(stopped) {
                if !told.contains(&d) {
                    told.push(d);
                }
            }
        }
        story += 1;
    }
}

/// Wakes a story at its times until it is done.
fn try_once(stories: &mut Stories, story: usize, so: bool, end: Tick) -> Option<Diagnostic> {
    let mut now = Tick::ZERO;
    let mut commands = Vec::new();
    for _ in 0..WAKINGS {
        if now > end {
            return None;
        }
        commands.clear();
        let wait = match stories.wake(stories.coroutine(story), &Trial { now, so }, &mut commands) {
            Ok(wait) => wait,
            Err(f) => {
                let sure = !UNSURE.contains(&f.code);
                let mut d = Diagnostic::error(f.code, f.place, f.message);
                d.hint = f.hint;
                if !sure {
                    d.severity = Severity::Warning;
                    let tried = "this came up when the stories were tried without a plant";
                    d.hint = Some(d.hint.map_or(tried.to_owned(), |hint| format!("{hint}; {tried}")));
                }
                return Some(d);
            }
        };
        if commands.iter().any(|c| matches!(c, Command::End(_))) {
            return None;
        }
        now = match wait {
            Wait::Until(t) => t,
            // A condition that comes does so at once; one that does not takes all the time it has.
            Wait::For { latest, .. } if !so => latest?,
            Wait::For { .. } => now + 1,
            Wait::Done => return None,
        };
    }
    None
}
