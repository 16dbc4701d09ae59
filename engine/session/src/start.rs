//! Prepared states: how a plant stands when an exercise begins.
//!
//! "cold" is the plant as it was assembled. Another state is a list of settings and the time the
//! plant is given to come to rest. Whoever marks a class prepares a state once and clones the plant.

use crate::setting::parse_setting;
use base::tick::TICKS_PER_SECOND;
use base::{Diagnostic, Place, Tag};
use plant::Plant;

/// The state of a plant as it was assembled.
pub const COLD: &str = "cold";

/// A named state of a plant.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prepared {
    /// Its name.
    pub name: String,
    /// What is done, in order: control, setting as written, and how many ticks pass after it.
    pub settings: Vec<(Tag, String, u32)>,
    /// Where it was written.
    pub place: Place,
}

/// Sets controls of a plant as an exercise or a state asks for.
pub(crate) fn set(plant: &mut Plant, tag: &Tag, text: &str, place: &Place) -> Result<(), Diagnostic> {
    let Some(c) = plant.control(tag) else {
        let known = plant.controls().iter().map(|c| &c.tag);
        return Err(crate::observe::unknown("control", tag, known, place));
    };
    let order = parse_setting(&plant.controls()[usize::from(c.0)], text, place)?;
    plant.order(c, order).map_err(|why| {
        Diagnostic::error("session::setting", place.clone(), format!("{tag} cannot be set to {text}: {why}"))
    })
}

/// Brings a cold plant into a state.
///
/// # Errors
/// When a control or setting is unknown, cannot be set, or the plant met a number that is not
/// physical on the way.
pub fn prepare(mut plant: Plant, state: &Prepared) -> Result<Plant, Vec<Diagnostic>> {
    let mut wrong = vec![];
    let mut unread = vec![];
    for (tag, text, ticks) in &state.settings {
        if let Err(d) = set(&mut plant, tag, text, &state.place) {
            wrong.push(d);
            continue;
        }
        for t in 0..*ticks {
            plant.control_pass();
            let stepped = plant.step();
            // What happens while a state is prepared is no part of any run.
            plant.take_happenings(&mut unread);
            unread.clear();
            if let Err(why) = stepped {
                let after = t / TICKS_PER_SECOND;
                let message = format!("state \"{}\", {after} s after {tag} was set to {text}: {why}", state.name);
                wrong.push(Diagnostic::error("session::plant-failed", state.place.clone(), message));
                return Err(wrong);
            }
        }
    }
    if wrong.is_empty() { Ok(plant) } else { Err(wrong) }
}
