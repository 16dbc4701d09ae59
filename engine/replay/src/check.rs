//! A pack checked: everything that can be wrong with it, and what its model runs earn.

use crate::disk::Trouble;
use crate::grade::{self, Graded, Options, Standing};
use crate::logs;
use crate::pack::{Pack, on_disk};
use base::{Diagnostic, Place};
use marking::Outcome;
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

/// Opens a pack and grades its model runs. A model run that is refused is a mistake of the pack; one
/// that does not earn every mark is a warning, with the items that it lost.
///
/// # Errors
/// Everything that is wrong with a pack that cannot be opened, or the machine's trouble.
pub fn check(folder: &Path) -> Result<Report, Trouble> {
    let pack = Pack::open(folder)?;
    let mut told = pack.told.clone();
    let mut models = vec![];
    for (file, ready) in pack.file.exercises.iter().zip(&pack.exercises) {
        let Some(model) = &file.model else { continue };
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
            models.push(Model { exercise: ready.id.clone(), graded });
        }
    }
    let told = told.into_iter().map(|d| on_disk(folder, d)).collect();
    Ok(Report { told, models })
}
