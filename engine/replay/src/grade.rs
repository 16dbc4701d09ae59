//! A class graded: every log played and marked, in parallel, results in the order of the logs.

use crate::guard::guarded;
use crate::limits::{self, LimitLine};
use crate::logs::ReadLog;
use crate::pack::{Pack, Ready};
use crate::run::{self, Played};
use crate::telling::Own;
use base::record::Record;
use base::sheet::ItemKind;
use base::{Diagnostic, Place, Severity};
use files::Digest;
use marking::{Moderation, Outcome, RunResult};
use rayon::prelude::*;
use session::Finished;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// How a class is graded.
#[derive(Clone, Debug)]
pub struct Options {
    /// How many logs are played at the same time; 0 for as many as the machine has cores. Nothing in
    /// the results depends on it.
    pub jobs: usize,
    /// Set by whoever wants to stop: runs under way are given up, finished ones stay.
    pub stop: Arc<AtomicBool>,
}

/// What came of one log.
#[derive(Clone, Debug)]
pub struct Graded {
    /// The trainee's id.
    pub id: String,
    /// The trainee's name; may be empty.
    pub person: String,
    /// The log's file name.
    pub log: String,
    /// Whether marks could be given.
    pub standing: Standing,
    /// What happened in the run; empty when nothing could be played, and when the results of a whole
    /// class are handed back.
    pub record: Record,
    /// Repairs and warnings, without the reasons of a log that was not graded.
    pub told: Vec<Diagnostic>,
    /// Limits to draw on the trends.
    pub limits: Vec<LimitLine>,
    /// For each response item: its name, and ticks from when the fault could first be seen to
    /// the answer, if it came.
    pub responses: Vec<(String, Option<u32>)>,
    /// What came of a moderator's overrides.
    pub moderation: Moderation,
    /// Digest of the log.
    pub digest: Digest,
}

/// Whether marks could be given.
#[derive(Clone, Debug, PartialEq)]
pub enum Standing {
    /// They could.
    Graded(RunResult),
    /// They could not: "not graded" and no marks are different things.
    NotGraded(Vec<Diagnostic>),
    /// Somebody stopped the work before it was done with this log.
    Stopped,
}

impl Standing {
    /// The reasons why marks could not be given, each as a sentence with its place.
    #[must_use]
    pub fn reasons(&self) -> Vec<String> {
        match self {
            Standing::Graded(_) => vec![],
            Standing::NotGraded(all) => all.iter().map(sentence).collect(),
            Standing::Stopped => vec!["the grading was interrupted before it was done with this log".to_owned()],
        }
    }
}

fn sentence(d: &Diagnostic) -> String {
    match &d.hint {
        Some(hint) => format!("{}: {}; {hint}", d.place, d.message),
        None => format!("{}: {}", d.place, d.message),
    }
}

/// Plays and marks the logs. `each` is called for every log as soon as it is done, from the thread
/// that did it and in no certain order, with the log's place in `logs` and the whole record; what it
/// returns is handed back beside the result, in the order of the logs and without the record.
pub fn grade<T: Send>(
    pack: &Pack,
    ready: &Ready,
    logs: &[ReadLog],
    options: &Options,
    each: &(dyn Fn(usize, &Graded) -> T + Sync),
) -> Vec<(Graded, T)> {
    let one = |(i, log): (usize, &ReadLog)| {
        let mut graded = grade_one(pack, ready, log, &options.stop);
        let made = each(i, &graded);
        graded.record = Record::default();
        (graded, made)
    };
    // Each run is played by one thread from its start to its end; threads share only what nobody writes.
    match rayon::ThreadPoolBuilder::new().num_threads(options.jobs).build() {
        Ok(pool) => pool.install(|| logs.par_iter().enumerate().map(one).collect()),
        // A machine that gives no more threads still has this one.
        Err(_) => logs.iter().enumerate().map(one).collect(),
    }
}

fn grade_one(pack: &Pack, ready: &Ready, log: &ReadLog, stop: &Arc<AtomicBool>) -> Graded {
    let mut told: Vec<Diagnostic> =
        log.imported.told.iter().filter(|d| d.severity != Severity::Error).cloned().collect();
    let mut graded = Graded {
        id: log.id.clone(),
        person: log.person.clone(),
        log: log.name.clone(),
        standing: Standing::Stopped,
        record: Record::default(),
        told: vec![],
        limits: vec![],
        responses: vec![],
        moderation: Moderation::none(&log.overrides, "the log is not graded"),
        digest: log.digest.clone(),
    };
    match &log.imported.log {
        None => graded.standing = Standing::NotGraded(log.refused().cloned().collect()),
        Some(_) if stop.load(Ordering::Relaxed) => {}
        Some(parsed) => {
            let mut notes = vec![];
            let run = guarded(|| {
                let own = ready.of_run(&pack.ship, Own::of(&parsed.header))?;
                let played = run::play(&own, &pack.ship, parsed, &log.name, stop, &mut notes);
                Ok::<_, Vec<Diagnostic>>((own, played))
            });
            match run {
                Ok(Err(why)) => graded.standing = Standing::NotGraded(why),
                Ok(Ok((own, Played::Marked(finished, result)))) => {
                    graded.responses = responses(&own, &finished, &result);
                    graded.limits = limits::lines(&own, &pack.ship, &finished.record);
                    graded.record = finished.record;
                    let (result, moderation) = marking::moderate(&ready.sheet, result, &log.overrides);
                    graded.moderation = moderation;
                    graded.standing = Standing::Graded(result);
                }
                Ok(Ok((_, Played::NotGraded(finished, why)))) => {
                    graded.record = finished.map(|f| f.record).unwrap_or_default();
                    graded.standing = Standing::NotGraded(why);
                }
                Ok(Ok((_, Played::Stopped))) => {}
                Err(said) => {
                    let message = format!("the program failed in this run: {said}");
                    let d = Diagnostic::error("run::crash", Place::file(&log.name), message)
                        .hint("this is a fault of the program, not of the trainee; please report it with the log");
                    graded.standing = Standing::NotGraded(vec![d]);
                }
            }
            told.append(&mut notes);
        }
    }
    graded.told = told;
    graded
}

/// How long each fault took to be answered, from when it could first be seen. A fault that never came
/// on or could never be seen has no line, nor has one that was not answered by somebody who had no fair
/// chance to and so was not assessed.
fn responses(ready: &Ready, finished: &Finished, result: &RunResult) -> Vec<(String, Option<u32>)> {
    ready
        .sheet
        .items
        .iter()
        .zip(&finished.found)
        .zip(&result.verdicts)
        .filter_map(|((item, found), verdict)| {
            let ItemKind::Response { to, .. } = &item.kind else { return None };
            let start = marking::response::clock_start(&finished.record, to)?;
            let onset = marking::response::onset(&finished.record, to)?;
            let answer = found.kept.next_from(onset).ok()?;
            if answer.is_none() && verdict.outcome == Outcome::NotAssessed {
                return None;
            }
            Some((item.name.clone(), answer.map(|a| a.0.saturating_sub(start.0))))
        })
        .collect()
}
