//! One run: a log played through a session with the exercise's faults and story, then marked.

use crate::language;
use crate::pack::Ready;
use crate::ship::Ship;
use crate::telling;
use base::record::Ending;
use base::{Diagnostic, Place, Severity, Tick};
use files::Log;
use marking::RunResult;
use session::{Action, Finished, Saw, Session, Setup, StoryFailure};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Ticks between two looks at whether somebody asked to stop.
const LOOK_UP: u32 = 1_000;

/// A session before its first tick.
pub(crate) fn session(ready: &Ready, ship: &Ship, seed: u64) -> Result<Session, Vec<Diagnostic>> {
    Session::new(Setup {
        plant: ship.plant.clone(),
        panel: ship.panel.clone(),
        exercise: &ready.exercise,
        watches: &ready.watches,
        seed,
        prepared: session::start::COLD,
        place: ready.place.clone(),
    })
}

/// What came of playing a log.
pub(crate) enum Played {
    /// The run went to its end; it can be marked.
    Marked(Box<Finished>, RunResult),
    /// It cannot be marked, and why. With what there is of the record.
    NotGraded(Option<Box<Finished>>, Vec<Diagnostic>),
    /// Somebody asked to stop.
    Stopped,
}

/// Plays a log and marks the run. Notes of what was not played are added to `told`.
pub(crate) fn play(
    ready: &Ready,
    ship: &Ship,
    log: &Log,
    file: &str,
    stop: &Arc<AtomicBool>,
    told: &mut Vec<Diagnostic>,
) -> Played {
    let seed = log.header.seed;
    let mut session = match session(ready, ship, seed) {
        Ok(session) => session,
        Err(wrong) => return Played::NotGraded(None, wrong),
    };
    let mut story = match telling::story(ready, ship, seed, stop) {
        Ok(story) => story,
        Err(wrong) => return Played::NotGraded(None, wrong),
    };
    for a in &log.actions {
        session.act(Action { tick: a.tick, verb: a.verb, on: a.on.clone(), to: a.to.clone() });
    }
    let mut unclear = vec![];
    for s in &log.saw {
        for (tag, text) in &s.shown {
            let place = Place::line(file, s.line);
            let saw = Saw { tick: s.tick, tag: tag.clone(), text: text.clone(), place };
            if let Err(d) = session.saw(saw) {
                unclear.push(Diagnostic { severity: Severity::Warning, ..d });
            }
        }
    }
    note_unclear(unclear, told);
    session.log_ends_at(log.end);
    while session.ended().is_none() {
        if session.now().0.is_multiple_of(LOOK_UP) && stop.load(Ordering::Relaxed) {
            return Played::Stopped;
        }
        session.tick(story.as_mut());
    }
    let finished = Box::new(session.finish());
    if !finished.ending.gradable() && stop.load(Ordering::Relaxed) {
        // The story was stopped with everything else; it did not fail.
        return Played::Stopped;
    }
    judge(ready, ship, log, file, finished, told)
}

/// Readings that cannot be compared are told, the first few by name.
fn note_unclear(mut unclear: Vec<Diagnostic>, told: &mut Vec<Diagnostic>) {
    const TOLD: usize = 5;
    let more = unclear.len().saturating_sub(TOLD);
    let place = unclear.last().map(|d| d.place.clone());
    unclear.truncate(TOLD);
    told.append(&mut unclear);
    if let (Some(place), true) = (place, more > 0) {
        told.push(Diagnostic::warning(
            "log::saw",
            place,
            format!("{more} more readings of the trainee's panel cannot be compared"),
        ));
    }
}

fn judge(
    ready: &Ready,
    ship: &Ship,
    log: &Log,
    file: &str,
    finished: Box<Finished>,
    told: &mut Vec<Diagnostic>,
) -> Played {
    let end = finished.record.end;
    if !finished.ending.gradable() {
        let d = broken_off(&finished.ending, finished.failure.as_ref(), end, file);
        return Played::NotGraded(Some(finished), vec![d]);
    }
    if let Some(drift) = &finished.drift {
        let line =
            log.saw.iter().find(|s| s.tick == drift.tick && s.shown.contains_key(&drift.tag)).map_or(0, |s| s.line);
        let d = Diagnostic::error(
            "run::drift",
            Place::line(file, line),
            format!(
                "at {} the trainee's panel showed {} for {}, and the replay shows {}: from here on this is not the run that was recorded",
                drift.tick, drift.saw, drift.tag, drift.shown
            ),
        )
        .hint("grade it with the version of pack and program that recorded it");
        return Played::NotGraded(Some(finished), vec![d]);
    }
    let late: Vec<u32> = log.actions.iter().filter(|a| a.tick > end).map(|a| a.line).collect();
    if let Some(first) = late.first() {
        let count = if late.len() == 1 { "1 action".to_owned() } else { format!("{} actions", late.len()) };
        told.push(Diagnostic::note(
            "log::after-the-run",
            Place::line(file, *first),
            format!("{count} after the end of the run at {end} could not be played"),
        ));
    }
    let result = language::mark(ready, ship, &finished);
    Played::Marked(finished, result)
}

/// Why a run broke off: what was wrong with the story, or with the plant.
pub(crate) fn broken_off(ending: &Ending, failure: Option<&StoryFailure>, end: Tick, file: &str) -> Diagnostic {
    match failure {
        Some(f) => Diagnostic::error(f.code, f.place.clone(), f.message.clone()),
        None => Diagnostic::error("run::plant", Place::file(file), ending_words(ending, end)),
    }
}

fn ending_words(ending: &Ending, end: Tick) -> String {
    match ending {
        Ending::PlantFailed(why) => {
            format!("the plant's equations failed at {end}: {why}; this is a fault of the program, not of the trainee")
        }
        other => format!("the run ended at {end} without a result: {other:?}"),
    }
}
