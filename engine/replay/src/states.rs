//! Prepared states: logs of what was done to a cold plant, played when an exercise begins in the middle.
//!
//! A state is kept as an action log from cold and made anew each time, so that it belongs to the plant as it is: a
//! plant whose figures changed gives another state, or says which order it no longer takes. A log that goes on
//! where another state's ends begins there. Those of the
//! program are of its plants; a pack may bring its own, and the log of one that an exercise of the pack left is
//! played from where that exercise begins.

use crate::disk::Trouble;
use crate::ship::Ship;
use base::observable::Verb;
use base::{Diagnostic, Place};
use files::digest;
use files::log::{self, Expected, Log};
use plant::{ControlId, Plant, PointId};
use session::start::{self, COLD, Deed};
use session::{Prepared, Start};
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
    bytes: Vec<u8>,
    /// What the log's header may say: short name and version of its plant or pack, and the exercises.
    of: (String, String, Vec<String>),
    /// Where its log begins: a state, and what stands otherwise.
    begins: Start,
    made: OnceLock<Result<Plant, Vec<Diagnostic>>>,
}

/// The states of a plant that the program brings.
pub(crate) fn embedded(plant: &str, version: &str) -> Vec<State> {
    let of_plant = EMBEDDED.iter().filter(|e| e.0 == plant);
    let state = |(_, name, file, log): &(&str, &str, &str, &str)| State {
        name: (*name).to_owned(),
        file: (*file).to_owned(),
        bytes: log.as_bytes().to_vec(),
        of: (plant.to_owned(), version.to_owned(), vec![(*name).to_owned()]),
        begins: Start::default(),
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
        bytes: contents.get(&s.log).cloned().unwrap_or_default(),
        of: (pack.id.clone(), pack.version.clone(), exercises().collect()),
        begins: Start::default(),
        made: OnceLock::new(),
    };
    pack.states.iter().map(state).collect()
}

/// Lets the states that a pack brings begin where the exercises do that left their logs. Tells those that would
/// begin with themselves: they are played from cold.
pub(crate) fn begin(ship: &Ship, pack: &str, starts: &BTreeMap<String, Start>) -> (Vec<State>, Vec<Diagnostic>) {
    let mut states: Vec<State> = ship.states.to_vec();
    let mut told = vec![];
    for state in states.iter_mut().filter(|s| s.of.0 == pack) {
        // What is wrong with a log is told when the state is made.
        let left_by = state.log(ship).ok().and_then(|log| starts.get_key_value(&log.header.exercise));
        let Some((exercise, start)) = left_by else { continue };
        state.begins = start.clone();
        if comes_back(&state.name, ship, pack, starts) {
            state.begins = Start::default();
            let message = format!(
                "the log of the state \"{}\" is of the exercise \"{exercise}\", which begins in that state: it is played from cold",
                state.name
            );
            let d = Diagnostic::warning("pack::state-circle", Place::file(&state.file), message);
            told.push(d.hint("let another exercise of the pack lead to the state, and record it with that"));
        }
    }
    (states, told)
}

/// Whether a state lies on the way to itself.
fn comes_back(name: &str, ship: &Ship, pack: &str, starts: &BTreeMap<String, Start>) -> bool {
    let mut at = name;
    for _ in 0..ship.states.len() {
        let state = ship.states.iter().find(|s| s.name == at && s.of.0 == pack);
        let log = state.and_then(|s| s.log(ship).ok());
        let Some(start) = log.and_then(|log| starts.get(&log.header.exercise)) else { return false };
        at = &start.state;
        if at == name {
            return true;
        }
    }
    // A ring that this one only leads into.
    at != COLD
}

impl State {
    /// The plant in this state: made on the first call and kept. A state on the way to it is made first, and kept as well.
    ///
    /// # Errors
    /// What is wrong with the log, or which order the plant does not take.
    pub fn of(&self, ship: &Ship) -> Result<Plant, Vec<Diagnostic>> {
        self.made.get_or_init(|| self.go_on(ship)).clone()
    }

    /// The plant in this state, made anew from where its log begins.
    ///
    /// # Errors
    /// As [`State::of`].
    pub fn make(&self, ship: &Ship) -> Result<Plant, Vec<Diagnostic>> {
        let state = self.read(ship)?;
        let plant = ship.state(&self.begins.state, &Place::file(&self.file))?;
        start::prepare(plant, &state).map_err(|d| self.placed(d))
    }

    /// The plant in this state, from the latest other state that lies on the way to it: the same bits for less work.
    fn go_on(&self, ship: &Ship) -> Result<Plant, Vec<Diagnostic>> {
        if !self.begins_cold() {
            return self.make(ship);
        }
        let state = self.read(ship)?;
        let others = ship.states.iter().filter(|other| other.name != self.name && other.begins_cold());
        let on_the_way = others.filter_map(|other| Some((state.goes_on_from(&other.read(ship).ok()?)?, other)));
        let Some((from, other)) = on_the_way.max_by_key(|(from, _)| *from) else { return self.make(ship) };
        start::go_on(other.of(ship)?, &state, from).map_err(|d| self.placed(d))
    }

    fn begins_cold(&self) -> bool {
        self.begins.changes.is_empty() && (self.begins.state.is_empty() || self.begins.state == COLD)
    }

    /// The log as what is done to a plant.
    fn read(&self, ship: &Ship) -> Result<Prepared, Vec<Diagnostic>> {
        Ok(self.prepared(&self.log(ship)?))
    }

    fn log(&self, ship: &Ship) -> Result<Log, Vec<Diagnostic>> {
        let exercises: Vec<&str> = self.of.2.iter().map(String::as_str).collect();
        let allowed = |action: &log::Action| ship.allows(action);
        let expected =
            Expected { pack: &self.of.0, pack_version: &self.of.1, exercises: &exercises, allowed: &allowed };
        let imported = log::read(&self.file, &self.bytes, &expected);
        imported.log.ok_or(imported.told)
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
        // What stands otherwise at the start does so before the first tenth of a second.
        let changed = |(on, to, place): &(base::Tag, String, Place)| Deed {
            tick: base::Tick::ZERO,
            on: on.clone(),
            to: to.clone(),
            place: place.clone(),
        };
        let deeds = self.begins.changes.iter().map(changed).chain(deeds).collect();
        Prepared { name: self.name.clone(), deeds, lasts: log.end }
    }
}

/// How a plant stands in a state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Its name, the plant's version, and the digest of every point's bits.
    pub heading: String,
    /// What the gauges show: tag, reading, name.
    pub readings: Vec<[String; 3]>,
    /// The lamps that are lit: tag and name.
    pub lit: Vec<[String; 2]>,
    /// The alarms that stand: tag, state, text.
    pub alarms: Vec<[String; 3]>,
    /// Where the controls stand: tag, word or dial or both, name. Push buttons stand nowhere.
    pub controls: Vec<[String; 3]>,
}

/// Makes the states of a plant anew, or the one that is named, and tells how it stands.
///
/// # Errors
/// The state that the plant no longer takes, with the line of its log; a name that no state has, with those there are.
pub fn told(ship: &Ship, only: Option<&str>) -> Result<Vec<Told>, Trouble> {
    if let Some(name) = only {
        return Ok(vec![tell(ship, name, &ship.state(name, &Place::file("command line"))?)]);
    }
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
    let picture = panel.picture();
    let lit = picture.lamps.iter().filter(|l| l.lit).map(|l| [l.tag.to_string(), l.name.clone()]).collect();
    let standing = picture.alarms.iter().filter(|a| a.state.stands());
    let alarms = standing.map(|a| [a.tag.to_string(), a.state.word().to_owned(), a.text.clone()]).collect();
    let controls = plant.controls().iter().enumerate().filter_map(|(i, c)| {
        let setting = plant.setting(ControlId(i as u16));
        let word = setting.word.map(|w| c.words[w].to_string());
        let dial = setting.dial.zip(c.dial).map(|(si, d)| d.unit.tell(si));
        let stands: Vec<String> = word.into_iter().chain(dial).collect();
        (!stands.is_empty()).then(|| [c.tag.to_string(), stands.join(", "), c.name.clone()])
    });
    Told { heading, readings, lit, alarms, controls: controls.collect() }
}
