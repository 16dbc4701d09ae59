//! Prepared states: how a plant stands when an exercise begins.
//!
//! "cold" is the plant as it was assembled. Another state is what was done to a cold plant, and when: it is
//! made anew by doing it again, so that it follows the plant when the plant's figures change. Whoever marks a
//! class prepares a state once and clones the plant.

use crate::setting::parse_setting;
use base::{Diagnostic, Place, Tag, Tick};
use plant::Plant;

/// The state of a plant as it was assembled.
pub const COLD: &str = "cold";

/// A named state of a plant.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prepared {
    /// Its name.
    pub name: String,
    /// What is done, in order of ticks.
    pub deeds: Vec<Deed>,
    /// The state is that after so many ticks.
    pub lasts: Tick,
}

impl Prepared {
    /// Where this state goes on from another: on the way to it, and nothing else done up to where that one ends.
    /// Gives the first tick that is then still to come.
    #[must_use]
    pub fn goes_on_from(&self, other: &Prepared) -> Option<Tick> {
        let same = |(a, b): (&Deed, &Deed)| a.tick == b.tick && a.on == b.on && a.to == b.to;
        let n = other.deeds.len();
        let begins_so = n <= self.deeds.len() && self.deeds.iter().zip(&other.deeds).all(same);
        let later = self.deeds.get(n).is_none_or(|d| d.tick > other.lasts);
        (begins_so && later && other.lasts < self.lasts).then(|| Tick(other.lasts.0 + 1))
    }
}

/// A control set on the way to a state.
#[derive(Clone, Debug, PartialEq)]
pub struct Deed {
    /// On which tick.
    pub tick: Tick,
    /// Which control.
    pub on: Tag,
    /// To what, as written.
    pub to: String,
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

/// Brings a cold plant into a state. Things worked on the spot are set at once: nobody has to walk.
///
/// # Errors
/// When a control or setting is unknown or cannot be set, or the plant met a number that is not physical on
/// the way. A deed that cannot be done ends the preparation, since what follows would not be the state.
pub fn prepare(plant: Plant, state: &Prepared) -> Result<Plant, Diagnostic> {
    go_on(plant, state, Tick::ZERO)
}

/// Brings a plant into a state that has gone part of the way: `from` is the first tick that is still to come.
///
/// # Errors
/// As [`prepare`].
pub fn go_on(mut plant: Plant, state: &Prepared, from: Tick) -> Result<Plant, Diagnostic> {
    let mut deeds = state.deeds.iter().skip_while(|d| d.tick < from).peekable();
    let mut unread = vec![];
    for now in from.0..=state.lasts.0 {
        while let Some(deed) = deeds.next_if(|d| d.tick.0 <= now) {
            set(&mut plant, &deed.on, &deed.to, &deed.place)
                .map_err(|d| Diagnostic { message: format!("state \"{}\": {}", state.name, d.message), ..d })?;
        }
        plant.control_pass();
        let stepped = plant.step();
        // What happens while a state is prepared is no part of any run.
        plant.take_happenings(&mut unread);
        unread.clear();
        if let Err(why) = stepped {
            let message = format!("state \"{}\", at {}: {why}", state.name, Tick(now));
            return Err(Diagnostic::error("session::plant-failed", Place::default(), message));
        }
    }
    Ok(plant)
}
