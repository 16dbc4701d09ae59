//! Prepared states: logs of what was done to a cold plant, played when an exercise begins in the middle.
//!
//! A state is kept as an action log from cold and made anew each time, so that it belongs to the plant as it is: a
//! plant whose figures changed gives another state, or says which order it no longer takes. A log that goes on
//! where another state's ends begins there. Those of the
//! program are of its plants; a pack may bring its own.

use crate::disk::Trouble;
use crate::ship::Ship;
use base::observable::Verb;
use base::{Diagnostic, Place};
use files::digest;
use files::log::{self, Expected, Log};
use plant::{Plant, PointId};
use session::Prepared;
use session::start::{self, COLD, Deed};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// The states in the program: plant, name, file, log.
pub const EMBEDDED: &[(&str, &str, &str, &str)] = &[
    (
        "training-vessel",
        "cooling-up",
        "states/training-vessel/cooling-up.jsonl",
        include_str!("../../../scenarios/plants/states/training-vessel/cooling-up.jsonl"),
    ),
    (
        "training-vessel",
        "steam-up",
        "states/training-vessel/steam-up.jsonl",
        include_str!("../../../scenarios/plants/states/training-vessel/steam-up.jsonl"),
    ),
    (
        "training-vessel",
        "turbine-warm",
        "states/training-vessel/turbine-warm.jsonl",
        include_str!("../../../scenarios/plants/states/training-vessel/turbine-warm.jsonl"),
    ),
    (
        "training-vessel",
        "on-the-board",
        "states/training-vessel/on-the-board.jsonl",
        include_str!("../../../scenarios/plants/states/training-vessel/on-the-board.jsonl"),
    ),
];

/// The names of the states that a plant has in the program, "cold" first.
#[must_use]
pub fn names(plant: &str) -> Vec<String> {
    let made = EMBEDDED.iter().filter(|e| e.0 == plant).map(|e| e.1.to_owned());
    std::iter::once(COLD.to_owned()).chain(made).collect()
}

/// A prepared state: the log that leads to it, and the plant once it has been made.
#[derive(Clone, Debug)]
pub struct State {
    /// Its name.
    pub name: String,
    file: String,
    log: Vec<u8>,
    /// What the log's header may say: short name and version of its plant or pack, and the exercises.
    of: (String, String, Vec<String>),
    made: OnceLock<Result<Plant, Vec<Diagnostic>>>,
}

/// The states of a plant that the program brings.
pub(crate) fn embedded(plant: &str, version: &str) -> Vec<State> {
    let of_plant = EMBEDDED.iter().filter(|e| e.0 == plant);
    let state = |(_, name, file, log): &(&str, &str, &str, &str)| State {
        name: (*name).to_owned(),
        file: (*file).to_owned(),
        log: log.as_bytes().to_vec(),
        of: (plant.to_owned(), version.to_owned(), vec![(*name).to_owned()]),
        made: OnceLock::new(),
    };
    of_plant.map(state).collect()
}

/// The states that a pack brings: logs of its own whose orders a cold plant takes.
pub(crate) fn of_pack(pack: &files::Pack, contents: &BTreeMap<String, Vec<u8>>) -> Vec<State> {
    let exercises = || pack.exercises.iter().map(|e| e.id.clone()).chain(pack.states.iter().map(|s| s.name.clone()));
    let state = |s: &files::pack::StateFile| State {
        name: s.name.clone(),
        file: s.log.clone(),
        log: contents.get(&s.log).cloned().unwrap_or_default(),
        of: (pack.id.clone(), pack.version.clone(), exercises().collect()),
        made: OnceLock::new(),
    };
    pack.states.iter().map(state).collect()
}

impl State {
    /// The plant in this state: made on the first call and kept. A state on the way to it is made first, and kept as well.
    ///
    /// # Errors
    /// What is wrong with the log, or which order the plant does not take.
    pub fn of(&self, ship: &Ship) -> Result<Plant, Vec<Diagnostic>> {
        self.made.get_or_init(|| self.go_on(ship)).clone()
    }

    /// The plant in this state, made anew from cold.
    ///
    /// # Errors
    /// As [`State::of`].
    pub fn make(&self, ship: &Ship) -> Result<Plant, Vec<Diagnostic>> {
        let state = self.read(ship)?;
        start::prepare(ship.plant.clone(), &state).map_err(|d| self.placed(d))
    }

    /// The plant in this state, from the latest other state that lies on the way to it: the same bits for less work.
    fn go_on(&self, ship: &Ship) -> Result<Plant, Vec<Diagnostic>> {
        let state = self.read(ship)?;
        let others = ship.states.iter().filter(|other| other.name != self.name);
        let on_the_way = others.filter_map(|other| Some((state.goes_on_from(&other.read(ship).ok()?)?, other)));
        let Some((from, other)) = on_the_way.max_by_key(|(from, _)| *from) else { return self.make(ship) };
        start::go_on(other.of(ship)?, &state, from).map_err(|d| self.placed(d))
    }

    /// The log as what is done to a plant.
    fn read(&self, ship: &Ship) -> Result<Prepared, Vec<Diagnostic>> {
        let exercises: Vec<&str> = self.of.2.iter().map(String::as_str).collect();
        let allowed = |action: &log::Action| ship.allows(action);
        let expected =
            Expected { pack: &self.of.0, pack_version: &self.of.1, exercises: &exercises, allowed: &allowed };
        let imported = log::read(&self.file, &self.log, &expected);
        let Some(log) = imported.log else { return Err(imported.told) };
        Ok(self.prepared(&log))
    }

    /// Something wrong at a place of this log.
    fn placed(&self, d: Diagnostic) -> Vec<Diagnostic> {
        vec![if d.place == Place::default() { Diagnostic { place: Place::file(&self.file), ..d } } else { d }]
    }

    /// What a log does to a plant: whatever it operates. Looking, reporting and acknowledging leave no trace in it.
    fn prepared(&self, log: &Log) -> Prepared {
        let deeds = log.actions.iter().filter(|a| a.verb == Verb::Operate).filter_map(|a| {
            let (on, to) = (a.on.clone()?, a.to.clone()?);
            Some(Deed { tick: a.tick, on, to, place: Place::line(&self.file, a.line) })
        });
        Prepared { name: self.name.clone(), deeds: deeds.collect(), lasts: log.end }
    }
}

/// How a plant stands in a state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Its name, the plant's version, and the digest of every point's bits.
    pub heading: String,
    /// What the gauges show: tag, reading, name.
    pub readings: Vec<[String; 3]>,
}

/// Makes every state of a plant anew and tells how it stands.
///
/// # Errors
/// The state that the plant no longer takes, with the line of its log.
pub fn told(ship: &Ship) -> Result<Vec<Told>, Trouble> {
    let mut all = vec![tell(ship, COLD, &ship.plant)];
    for state in ship.states.iter() {
        all.push(tell(ship, &state.name, &state.make(ship)?));
    }
    Ok(all)
}

fn tell(ship: &Ship, name: &str, plant: &Plant) -> Told {
    let mut panel = ship.panel.clone();
    panel.prime(plant);
    let mut bits = vec![];
    for i in 0..plant.points().len() {
        bits.extend(plant.actual(PointId(i as u16)).0.to_bits().to_le_bytes());
    }
    let d = &ship.description;
    let heading = format!("== {name}: {} {}, digest of its points {}", d.name, d.version, digest::bytes(&bits).short());
    let readings = panel.gauges().iter().map(|g| [g.tag.to_string(), g.text(), g.name.clone()]).collect();
    Told { heading, readings }
}
