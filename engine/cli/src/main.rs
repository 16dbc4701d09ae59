//! The command line of Faultwright: words, arguments, exit codes, progress. What a verb does is for
//! `replay`; what its results look like is for `debrief`.

mod clock;
mod exit;
mod plain_words;
mod told;
mod verbs;

use clap::{Parser, Subcommand};
use exit::Exit;
use std::process::ExitCode;

/// Write exercises in which a ship's steam plant goes wrong, and mark a class's recorded runs fairly.
///
/// A training aid. It is no procedure for a real plant: makers' manuals, class and flag rules, the
/// safety-management system and the engineer in charge come first.
#[derive(Debug, Parser)]
#[command(name = "faultwright", version, after_help = exit::HELP)]
struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Grade a class: replay its logs and write a debrief a person, a class report and a gradebook.
    Grade(verbs::grade::Arguments),
    /// Compare two markings of a class: whose marks moved, by how much, because of which item, and why.
    Compare(verbs::compare::Arguments),
    /// Check a pack: its files, its scripts and its model runs.
    Check(verbs::check::Arguments),
    /// Drive an exercise: actions come in line by line, the panel is told, a log is written.
    Drive(verbs::drive::Arguments),
    /// Write a new pack: a folder that is ready to edit and passes "check".
    New(verbs::new::Arguments),
    /// List what a plant has, tell what affects a tag and what it affects, or draw its systems.
    Plant(verbs::plant::Arguments),
    /// List what can go wrong in a plant, and what a trainee may see of it.
    Faults(verbs::faults::Arguments),
}

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(e) => {
            // Help and version are asked for, not mistakes; the rest is usage.
            let exit = if e.use_stderr() { Exit::Usage } else { Exit::Good };
            e.print().ok();
            return exit.into();
        }
    };
    let exit = match arguments.verb {
        Verb::Grade(a) => verbs::grade::run(&a),
        Verb::Compare(a) => verbs::compare::run(&a),
        Verb::Check(a) => verbs::check::run(&a),
        Verb::Drive(a) => verbs::drive::run(&a),
        Verb::New(a) => verbs::new::run(&a),
        Verb::Plant(a) => verbs::plant::run(&a),
        Verb::Faults(a) => verbs::faults::run(&a),
    };
    exit.unwrap_or_else(|trouble| told::trouble(&trouble)).into()
}
