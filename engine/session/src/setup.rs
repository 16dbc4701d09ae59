//! What a session is made of, and binding its names: all mistakes are told at once.

use crate::exercise::Exercise;
use crate::fault::Fault;
use crate::observe::{Getter, Names, unknown_fault};
use crate::start;
use crate::trend::Trend;
use base::observable::Observable;
use base::{Diagnostic, Place, Tick};
use monitor::{Watch, Watcher};
use panel::Panel;
use plant::Plant;
use std::collections::BTreeSet;

/// What a session is made of.
#[derive(Clone, Debug)]
pub struct Setup<'a> {
    /// The plant in the state named by `prepared`.
    pub plant: Plant,
    /// Its panel.
    pub panel: Panel,
    /// The exercise.
    pub exercise: &'a Exercise,
    /// What is watched for marks, over the exercise's sample row.
    pub watches: &'a [Watch],
    /// Seed of the run's random streams.
    pub seed: u64,
    /// The prepared state that the plant is in: [`start::COLD`] as assembled.
    pub prepared: &'a str,
    /// Where the exercise was written, for mistakes that have no place of their own.
    pub place: Place,
}

impl<'a> Setup<'a> {
    /// A run from a cold plant with nothing watched for marks.
    #[must_use]
    pub fn cold(plant: Plant, panel: Panel, exercise: &'a Exercise) -> Setup<'a> {
        Setup { plant, panel, exercise, watches: &[], seed: 0, prepared: start::COLD, place: Place::default() }
    }
}

/// An exercise bound to its plant and panel.
pub(crate) struct Bound {
    pub getters: Vec<Getter>,
    pub watchers: Vec<Watcher>,
    pub faults: Vec<Fault>,
    pub trends: Vec<Trend>,
}

/// Binds all names of an exercise, and sets the controls that it asks for.
pub(crate) fn bind(setup: &mut Setup<'_>) -> Result<Bound, Vec<Diagnostic>> {
    let exercise = setup.exercise;
    let place = &setup.place;
    let mut wrong = vec![];
    let state = if exercise.start.state.is_empty() { start::COLD } else { &exercise.start.state };
    if state != setup.prepared {
        let message = format!("the plant has no prepared state \"{state}\"");
        let d = Diagnostic::error("session::unknown-state", place.clone(), message);
        wrong.push(d.nearest(state, [start::COLD, setup.prepared]));
    }
    if exercise.lasts == Tick::ZERO {
        let d = Diagnostic::error("session::lasts", place.clone(), "the exercise does not say how long it lasts");
        wrong.push(d.hint("write for example lasts = \"80 min\""));
    }
    let width = exercise.watched.len();
    let mut faults: Vec<Fault> = vec![];
    let mut names = BTreeSet::new();
    for plan in &exercise.faults {
        if !names.insert(&plan.name) {
            let message = format!("there are two faults \"{}\"", plan.name);
            let d = Diagnostic::error("session::duplicate-fault", plan.place.clone(), message);
            wrong.push(d.hint("give each fault a name of its own"));
        }
        let fault = Fault::bind(plan, &setup.plant, &setup.panel, &exercise.watched, setup.seed, &mut wrong);
        faults.extend(fault);
    }
    let known = Names { plant: &setup.plant, panel: &setup.panel, faults: &faults };
    let mut getters = vec![];
    for watched in &exercise.watched {
        if let Observable::Fault(name) = &watched.what
            && !faults.iter().any(|f| f.name == *name)
        {
            // One that could not be bound has its own diagnostic already.
            if !names.contains(name) {
                wrong.push(unknown_fault(name, names.iter().map(|n| n.as_str()), place));
            }
            continue;
        }
        match known.bind_watched(watched, place) {
            Ok(getter) => getters.push(getter),
            Err(d) => wrong.push(d),
        }
    }
    let mut trends = vec![];
    for tag in &exercise.trends {
        match Trend::of(tag, &known, exercise.lasts, place) {
            Ok(series) => trends.extend(series),
            Err(d) => wrong.push(d),
        }
    }
    let mut watchers = vec![];
    for watch in setup.watches {
        let during = watch.during.as_ref().map_or(0, monitor::Formula::row_width);
        if watch.formula.row_width().max(during) > width {
            let message = format!("a condition asks for a signal beyond the {width} that are watched");
            wrong.push(Diagnostic::error("session::formula", place.clone(), message));
        } else {
            watchers.push(Watcher::new(watch));
        }
    }
    for (tag, text, place) in &exercise.start.changes {
        if let Err(d) = start::set(&mut setup.plant, tag, text, place) {
            wrong.push(d);
        }
    }
    if wrong.is_empty() { Ok(Bound { getters, watchers, faults, trends }) } else { Err(wrong) }
}
