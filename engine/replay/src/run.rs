//! One run: a log played through a session with the exercise's faults and story, then marked.

use crate::language;
use crate::pack::Ready;
use crate::ship::Ship;
use crate::telling;
use base::record::Ending;
use base::{Diagnostic, Place, Severity, Tick};
use files::Log;
use marking::{Outcome, RunResult};
use session::{Action, Finished, Onlooker, Saw, Session, Setup, StoryFailure};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Ticks between two looks at whether somebody asked to stop.
const LOOK_UP: u32 = 1_000;

/// A session before its first tick.
pub(crate) fn session(ready: &Ready, ship: &Ship) -> Result<Session, Vec<Diagnostic>> {
    Session::new(Setup {
        plant: ready.plant.clone(),
        panel: ship.panel.clone(),
        exercise: &ready.exercise,
        watches: &ready.watches,
        seed: ready.own.seed,
        prepared: match ready.exercise.start.state.as_str() {
            "" => session::start::COLD,
            state => state,
        },
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

/// Plays a log of an exercise as this run has it (see [`Ready::of_run`]) and marks the run. Notes of what was not played are added to `told`.
pub(crate) fn play(
    ready: &Ready,
    ship: &Ship,
    log: &Log,
    file: &str,
    stop: &Arc<AtomicBool>,
    told: &mut Vec<Diagnostic>,
) -> Played {
    if !log.whole && log.actions.is_empty() && log.saw.is_empty() {
        return Played::NotGraded(None, vec![nothing_seen(log, file, told)]);
    }
    let mut session = match session(ready, ship) {
        Ok(session) => session,
        Err(wrong) => return Played::NotGraded(None, wrong),
    };
    let mut story = match telling::story(ready, ship, stop) {
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
    if log.whole {
        session.log_ends_at(log.end);
    } else {
        session.log_breaks_off_at(log.end);
    }
    let asked = ready.sheet.items.iter().flat_map(|i| i.kind.faults()).map(ToOwned::to_owned);
    let mut onlooker = Onlooker::new(asked);
    while session.ended().is_none() {
        if session.now().0.is_multiple_of(LOOK_UP) && stop.load(Ordering::Relaxed) {
            return Played::Stopped;
        }
        onlooker.before_tick(&session);
        session.tick(story.as_mut());
        onlooker.after_tick(&session);
    }
    let mut finished = Box::new(session.finish());
    onlooker.tell(&mut finished.record);
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
        let message =
            format!("{}: from here on this is not the run that was recorded, and it is not assessed", drift.told());
        told.push(
            Diagnostic::warning("run::drift", Place::line(file, line), message)
                .hint("grade it with the version of pack and program that recorded it"),
        );
    }
    let known = |a: &&files::log::Action| a.tick > end && finished.drift.is_none();
    let late: Vec<u32> = log.actions.iter().filter(known).map(|a| a.line).collect();
    if let Some(first) = late.first() {
        let count = if late.len() == 1 { "1 action".to_owned() } else { format!("{} actions", late.len()) };
        told.push(Diagnostic::note(
            "log::after-the-run",
            Place::line(file, *first),
            format!("{count} after the end of the run at {end} could not be played"),
        ));
    }
    let result = language::mark(ready, ship, &finished);
    let assessed = result.verdicts.iter().any(|v| v.outcome != Outcome::NotAssessed);
    if !assessed && !finished.ending.of_the_whole_run() {
        return Played::NotGraded(Some(finished), vec![nothing_seen(log, file, told)]);
    }
    Played::Marked(finished, result)
}

/// Why nothing could be assessed of a run that was not seen to its end. The remark that tells the
/// same is taken back.
fn nothing_seen(log: &Log, file: &str, told: &mut Vec<Diagnostic>) -> Diagnostic {
    if let Some(at) = told.iter().position(|d| d.code == "run::drift") {
        return Diagnostic { severity: Severity::Error, ..told.remove(at) };
    }
    let message = if log.actions.is_empty() && log.saw.is_empty() {
        "the log has its header and nothing else, so that nothing is known of the run".to_owned()
    } else {
        format!("the log breaks off at {}, before anything could be assessed", log.end)
    };
    Diagnostic::error("log::nothing-recorded", Place::file(file), message)
        .hint("check that the recorder was running and the file was copied whole; a whole log ends with an end line")
}

/// Why a run broke off: what was wrong with the story, or with the plant.
pub(crate) fn broken_off(ending: &Ending, failure: Option<&StoryFailure>, end: Tick, file: &str) -> Diagnostic {
    match failure {
        Some(f) => Diagnostic { hint: f.hint.clone(), ..Diagnostic::error(f.code, f.place.clone(), f.message.clone()) },
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
