//! The words in which marking speaks of what it looked at.

use crate::pack::Ready;
use crate::ship::Ship;
use base::Tag;
use base::observable::Observable;
use base::units::Unit;
use marking::{Language, RunResult};
use session::Finished;

/// Marks a finished run.
pub(crate) fn mark(ready: &Ready, ship: &Ship, finished: &Finished) -> RunResult {
    let name = |what: &Observable| told(what, ship);
    let unit = |what: &Observable| unit(what, ship);
    let language = Language { watched: &ready.exercise.watched, name: &name, unit: &unit };
    marking::mark(&ready.sheet, &finished.found, &finished.record, language)
}

/// The unit of the gauge or of the dial.
fn unit(what: &Observable, ship: &Ship) -> Option<&'static Unit> {
    match what {
        Observable::Actual(t) | Observable::Signal(t) | Observable::Shown(t) => {
            ship.names.points.get(t.as_str()).map(|p| p.unit)
        }
        Observable::Setting { on, to: None } => {
            ship.names.controls.get(on.as_str()).and_then(|c| c.dial).map(|d| d.unit)
        }
        _ => None,
    }
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
