//! The words in which marking speaks of what it looked at.

use crate::pack::Ready;
use crate::ship::Ship;
use base::Tag;
use base::observable::Observable;
use marking::{Language, RunResult};
use session::Finished;

/// Marks a finished run.
pub(crate) fn mark(ready: &Ready, ship: &Ship, finished: &Finished) -> RunResult {
    let name = |what: &Observable| told(what, ship);
    let language = Language { watched: &ready.exercise.watched, name: &name };
    marking::mark(&ready.sheet, &finished.found, &finished.record, language)
}

/// "drum pressure PT-3001", "drum pressure PT-3001 as shown".
fn told(what: &Observable, ship: &Ship) -> String {
    let named = |tag: &Tag| match ship.names.name_of(tag.as_str()) {
        Some(name) => format!("{name} {tag}"),
        None => tag.to_string(),
    };
    match what {
        Observable::Actual(t) => named(t),
        Observable::Signal(t) => format!("{}, as its transmitter says", named(t)),
        Observable::Shown(t) => format!("{}, as shown", named(t)),
        Observable::Lit(t) => format!("lamp {}", named(t)),
        Observable::Alarm(t) => format!("alarm {}", named(t)),
        Observable::Damage(t) => format!("damage to {}", named(t)),
        Observable::Setting { on, to: None } => format!("setting of {}", named(on)),
        other => other.to_string(),
    }
}
