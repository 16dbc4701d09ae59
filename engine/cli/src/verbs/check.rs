//! `check`: a pack's files, scripts and model runs.

use crate::exit::Exit;
use crate::told::{self, count, say};
use base::{Diagnostic, Severity};
use replay::check::{self, Model};
use replay::{Standing, Trouble};
use serde_json::json;
use std::path::PathBuf;

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Folder of the pack: the one with pack.ron in it.
    pack: PathBuf,
    /// A parameter of the exercise, as its script reads it: --set lamp=XL-2104. May be given several times.
    #[arg(long, value_name = "NAME=VALUE", value_parser = parameter)]
    set: Vec<(String, String)>,
    /// Tell everything as JSON on standard output, for another program.
    #[arg(long)]
    json: bool,
}

/// A parameter as it is written on the command line.
pub(crate) fn parameter(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() => Ok((name.trim().to_owned(), value.trim().to_owned())),
        _ => Err("write the name of a parameter, = and its value, such as lamp=XL-2104".to_owned()),
    }
}

/// Checks a pack.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    let (told, models) = match check::check(&a.pack, &a.set.iter().cloned().collect()) {
        Ok(report) => (report.told, report.models),
        Err(Trouble::Mistakes(all)) => (all, vec![]),
        Err(machine) => return Err(machine),
    };
    let good = told.iter().all(|d| d.severity != Severity::Error);
    if a.json {
        say(&as_json(good, &told, &models));
    } else {
        told::diagnostics(&told);
        for m in &models {
            say(&line(m));
        }
        let number = |s: Severity| told.iter().filter(|d| d.severity == s).count();
        let (errors, warnings) =
            (count(number(Severity::Error), "mistake"), count(number(Severity::Warning), "warning"));
        say(&format!(
            "{}: {errors}, {warnings}",
            if good { "the pack can be used" } else { "the pack cannot be used" }
        ));
    }
    Ok(if good { Exit::Good } else { Exit::Usage })
}

fn line(m: &Model) -> String {
    match &m.graded.standing {
        Standing::Graded(r) => format!("model run of \"{}\": {} of {} marks", m.exercise, r.earned, r.out_of),
        other => format!("model run of \"{}\": not graded: {}", m.exercise, other.reasons().join("; ")),
    }
}

fn as_json(good: bool, told: &[Diagnostic], models: &[Model]) -> String {
    let models: Vec<_> = models
        .iter()
        .map(|m| {
            let (marks, out_of) = match &m.graded.standing {
                Standing::Graded(r) => (json!(r.earned.0 as f64 / 100.0), json!(r.out_of.0 as f64 / 100.0)),
                _ => (json!(null), json!(null)),
            };
            json!({"exercise": m.exercise, "marks": marks, "out_of": out_of, "reasons": m.graded.standing.reasons()})
        })
        .collect();
    let told: Vec<_> = told
        .iter()
        .map(|d| {
            let mut one = json!(d);
            one["text"] = json!(told::line_of(d));
            one
        })
        .collect();
    json!({"format": "faultwright-check/1", "usable": good, "told": told, "models": models}).to_string()
}
