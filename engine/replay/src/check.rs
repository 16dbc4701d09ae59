//! A pack checked: everything that can be wrong with it, and what its model runs earn.

use crate::disk::Trouble;
use crate::grade::{self, Graded, Options, Standing};
use crate::logs;
use crate::pack::{Pack, Ready, on_disk};
use crate::run;
use crate::ship::Ship;
use crate::telling::{self, Own};
use base::sheet::{Item, ItemKind};
use base::{Diagnostic, Place, Tick};
use files::log::{self, Header};
use marking::{Outcome, Verdict};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// What a check found in a pack that can be opened.
#[derive(Debug)]
pub struct Report {
    /// Warnings and notes, and mistakes of model runs.
    pub told: Vec<Diagnostic>,
    /// The model runs.
    pub models: Vec<Model>,
}

/// A model run, graded.
#[derive(Debug)]
pub struct Model {
    /// The exercise.
    pub exercise: String,
    /// What it earned.
    pub graded: Graded,
}

/// Runs with other seeds that are read, to see whether their mark sheets agree.
const SEEDS: std::ops::RangeInclusive<u64> = 1..=12;

/// Opens a pack, reads its exercises with several seeds and with these parameters, tries its stories and
/// grades its model runs. A model run that is refused is a mistake of the pack; one that does not earn
/// every mark is a warning, with the items that it lost.
///
/// # Errors
/// Everything that is wrong with a pack that cannot be opened, or the machine's trouble.
pub fn check(folder: &Path, parameters: &BTreeMap<String, String>) -> Result<Report, Trouble> {
    let mut pack = Pack::open(folder)?;
    let mut told = pack.told.clone();
    told.extend(unused_modules(&pack));
    for ready in &mut pack.exercises {
        for seed in SEEDS {
            let own = Own { seed, parameters: parameters.clone() };
            if let Err(wrong) = ready.of_run(&pack.ship, own) {
                add(&mut told, wrong);
            }
        }
        if let Ok(own) = ready.of_run(&pack.ship, Own { seed: 0, parameters: parameters.clone() }) {
            *ready = own;
        }
    }
    let mut models = vec![];
    for (file, ready) in pack.file.exercises.iter().zip(&pack.exercises) {
        let mut rehearsed = if ready.exercise.stories > 0 { telling::rehearse(ready, &pack.ship) } else { vec![] };
        let Some(model) = file.model.as_ref().filter(|model| pack.contents.contains_key(*model)) else {
            if ready.exercise.stories > 0 {
                add(&mut told, without_actions(ready, &pack.ship));
                if file.model.is_none() {
                    told.push(no_model(ready));
                }
            }
            add(&mut told, rehearsed);
            // One that can never be kept has been told.
            let never = |d: &Diagnostic| told.iter().any(|t| t.code == "script::never" && t.place.line == d.place.line);
            let lost: Vec<Diagnostic> = broken_from_the_start(&pack, ready).into_iter().filter(|d| !never(d)).collect();
            add(&mut told, lost);
            continue;
        };
        let bytes = pack.contents.get(model).map(Vec::as_slice).unwrap_or_default();
        let log = logs::read_bytes(&pack, ready, model, bytes);
        let options = Options { jobs: 1, stop: Arc::new(AtomicBool::new(false)) };
        for (graded, ()) in grade::grade(&pack, ready, &[log], &options, &|_, _| ()) {
            told.extend(graded.told.iter().cloned());
            match &graded.standing {
                Standing::Graded(result) => {
                    for v in result.verdicts.iter().filter(|v| !matches!(v.outcome, Outcome::Full)) {
                        let what =
                            if v.outcome == Outcome::NotAssessed { "is not assessed on" } else { "loses marks on" };
                        let message = format!("the model run of \"{}\" {what} \"{}\": {}", ready.id, v.name, v.found);
                        told.push(Diagnostic::warning("check::model", Place::file(model), message));
                    }
                }
                Standing::NotGraded(why) => told.extend(why.iter().cloned()),
                Standing::Stopped => {}
            }
            add(&mut told, std::mem::take(&mut rehearsed));
            models.push(Model { exercise: ready.id.clone(), graded });
        }
    }
    let told = told.into_iter().map(|d| on_disk(folder, d)).collect();
    Ok(Report { told, models })
}

/// Adds what is not told yet at the same place under the same code.
fn add(told: &mut Vec<Diagnostic>, more: Vec<Diagnostic>) {
    for d in more {
        if !told.iter().any(|t| t.code == d.code && t.place.line == d.place.line && t.place.file == d.place.file) {
            told.push(d);
        }
    }
}

/// The exercise run from its start to its end on a plant that nobody touches.
fn without_actions(ready: &Ready, ship: &Ship) -> Vec<Diagnostic> {
    let mut session = match run::session(ready, ship) {
        Ok(session) => session,
        Err(wrong) => return wrong,
    };
    let mut story = match telling::story(ready, ship, &Arc::new(AtomicBool::new(false))) {
        Ok(story) => story,
        Err(wrong) => return wrong,
    };
    session.run(story.as_mut());
    let finished = session.finish();
    if finished.ending.gradable() {
        return vec![];
    }
    vec![run::broken_off(&finished.ending, finished.failure.as_ref(), finished.record.end, &ready.place.file)]
}

/// Limits that are lost in the first second of the run, with nothing done: nobody can earn them. A model run would show
/// it; this is for a pack that has none.
fn broken_from_the_start(pack: &Pack, ready: &Ready) -> Vec<Diagnostic> {
    let limit = |i: &Item<_>| matches!(i.kind, ItemKind::Limit { .. });
    if !ready.sheet.items.iter().any(limit) {
        return vec![];
    }
    let header = Header {
        exercise: ready.id.clone(),
        pack: pack.file.id.clone(),
        pack_version: pack.file.version.clone(),
        trainee: "nobody".into(),
        start: "2000-01-01T00:00:00Z".into(),
        recorder: "check".into(),
        seed: ready.own.seed,
        parameters: ready.own.parameters.clone(),
        ..Header::default()
    };
    let text = format!("{}\n{}\n", log::header_line(&header), log::end_line(Tick::at_seconds(1.0).unwrap_or_default()));
    let read = logs::read_bytes(pack, ready, "nothing done", text.as_bytes());
    let options = Options { jobs: 1, stop: Arc::new(AtomicBool::new(false)) };
    let mut told = vec![];
    for (graded, ()) in grade::grade(pack, ready, &[read], &options, &|_, _| ()) {
        let Standing::Graded(result) = &graded.standing else { continue };
        let lost = |v: &&Verdict| v.outcome == Outcome::Nothing || (v.critical && v.outcome == Outcome::Part);
        for v in result.verdicts.iter().filter(|v| v.kind == "limit").filter(lost) {
            let place =
                ready.sheet.items.iter().find(|i| i.name == v.name).map_or(ready.place.clone(), |i| i.place.clone());
            let message = format!("\"{}\" is lost as the run begins, before anybody can do anything", v.name);
            told.push(
                Diagnostic::warning("check::broken-from-the-start", place, message)
                    .hint("look whether keep is the right way round, and say with during when it counts"),
            );
        }
    }
    told
}

fn no_model(ready: &Ready) -> Diagnostic {
    let message = format!(
        "\"{}\" has a story and no model run: the story was only tried on a plant that nobody touches, for {} min",
        ready.id,
        (ready.exercise.lasts.seconds() / 60.0).ceil()
    );
    Diagnostic::warning("check::no-model", ready.place.clone(), message)
        .hint("record a good run with \"drive\", put it beside the script, and name it as the model in pack.ron")
}

/// Modules of the pack that none of its scripts asks for.
fn unused_modules(pack: &Pack) -> Vec<Diagnostic> {
    let texts: Vec<(&String, String)> = pack
        .contents
        .iter()
        .filter(|(path, _)| path.ends_with(".lua"))
        .map(|(path, bytes)| (path, String::from_utf8_lossy(bytes).into_owned()))
        .collect();
    let file =
        pack.contents.get(files::pack::FILE).map(|b| String::from_utf8_lossy(b).into_owned()).unwrap_or_default();
    let mut told = vec![];
    for path in &pack.file.modules {
        let name = files::pack::module_name(path);
        let asked = |text: &str| ['"', '\''].iter().any(|q| text.contains(&format!("{q}{name}{q}")));
        if texts.iter().any(|(other, text)| *other != path && asked(text)) {
            continue;
        }
        let line = files::pack::line_of(&file, path);
        let message = format!("no script of the pack asks for the module \"{path}\"");
        told.push(
            Diagnostic::warning("pack::unused-module", Place::line(files::pack::FILE, line), message)
                .hint(format!("ask for it with require(\"{name}\"), or take it out of pack.ron")),
        );
    }
    told
}
