//! Between packs and the Lua host: a pack's texts as sources, an exercise authored, a story for a run.

use crate::pack::Ready;
use crate::ship::Ship;
use base::sheet::Sheet;
use base::{Diagnostic, Place};
use monitor::Formula;
use script::{Input, Parameter, Stories};
use session::{Exercise, NoStory, Story};
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

pub use script::Sources;

/// The texts of an exercise: its script, and the modules of the pack under the names by which scripts
/// ask for them (`parts/level.lua` is `parts.level`).
///
/// # Errors
/// When a file is not text in UTF-8.
pub(crate) fn sources(
    file: &files::Pack,
    contents: &BTreeMap<String, Vec<u8>>,
    e: &files::pack::ExerciseFile,
) -> Result<Sources, Diagnostic> {
    let text = |path: &str| {
        let bytes = contents.get(path).map(Vec::as_slice).unwrap_or_default();
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        std::str::from_utf8(bytes).map(ToOwned::to_owned).map_err(|e| {
            let line = 1 + bytes[..e.valid_up_to()].iter().filter(|b| **b == b'\n').count();
            Diagnostic::error("pack::not-utf8", Place::line(path, line as u32), "the script is not text in UTF-8")
                .hint("save it as UTF-8 in your editor")
        })
    };
    let mut modules = BTreeMap::new();
    for path in &file.modules {
        modules.insert(files::pack::module_name(path), text(path)?);
    }
    Ok(Sources::of((e.script.clone(), text(&e.script)?), modules))
}

fn input(sources: &Sources, ship: &Ship, own: &Own, stop: Option<Arc<AtomicBool>>) -> Input {
    let parameters = own.parameters.iter().map(|(name, text)| (name.clone(), Parameter::read(text))).collect();
    Input { sources: sources.clone(), names: ship.names.clone(), parameters, seed: own.seed, stop, counted: false }
}

/// What a run has of its own: the seed of its chance events, and the parameters that were set for it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Own {
    /// The seed.
    pub seed: u64,
    /// Parameters of the exercise, as they were written.
    pub parameters: BTreeMap<String, String>,
}

impl Own {
    /// That of a run, as the header of its log says.
    #[must_use]
    pub fn of(header: &files::log::Header) -> Own {
        Own { seed: header.seed, parameters: header.parameters.clone() }
    }
}

/// The exercise and mark sheet that a script writes, and its warnings.
///
/// # Errors
/// All mistakes of the script.
pub(crate) fn read(
    sources: &Sources,
    ship: &Ship,
    own: &Own,
) -> Result<(Exercise, Sheet<Formula>, Vec<Diagnostic>), Vec<Diagnostic>> {
    let authored = script::author(&input(sources, ship, own, None))?;
    Ok((authored.exercise, authored.sheet, authored.warnings))
}

/// The stories of an exercise tried without a plant: what would stop them on a way that no run has taken.
pub(crate) fn rehearse(ready: &Ready, ship: &Ship) -> Vec<Diagnostic> {
    let input = input(&ready.sources, ship, &ready.own, None);
    script::rehearse(&input, ready.exercise.lasts).unwrap_or_else(|wrong| wrong)
}

/// The story of one run: a state of its own, so that no run can touch another.
///
/// # Errors
/// All mistakes of the script; there were none when the pack was opened, so a limit hit by chance.
pub(crate) fn story(ready: &Ready, ship: &Ship, stop: &Arc<AtomicBool>) -> Result<Box<dyn Story>, Vec<Diagnostic>> {
    if ready.exercise.stories == 0 {
        return Ok(Box::new(NoStory));
    }
    Ok(Box::new(Stories::new(&input(&ready.sources, ship, &ready.own, Some(stop.clone())))?))
}
