//! What is printed: results to standard output, mistakes and progress to standard error.

use crate::exit::Exit;
use base::{Diagnostic, Severity};
use replay::Trouble;
use std::io::Write;

/// A line of results. Whoever reads them may go away; that is no failure of ours.
pub(crate) fn say(line: &str) {
    writeln!(std::io::stdout(), "{line}").ok();
}

/// A line beside the results.
pub(crate) fn aside(line: &str) {
    writeln!(std::io::stderr(), "{line}").ok();
}

/// Diagnostics, one after another, worst last so that they stand nearest to the prompt.
pub(crate) fn diagnostics(all: &[Diagnostic]) {
    for severity in [Severity::Note, Severity::Warning, Severity::Error] {
        for d in all.iter().filter(|d| d.severity == severity) {
            aside(&d.to_string());
        }
    }
}

/// Why a verb could not go on, and the exit code that says so.
pub(crate) fn trouble(trouble: &Trouble) -> Exit {
    match trouble {
        Trouble::Mistakes(all) => {
            diagnostics(all);
            let errors = all.iter().filter(|d| d.severity == Severity::Error).count();
            aside(&count(errors, "mistake"));
            Exit::Usage
        }
        machine @ Trouble::Machine { .. } => {
            aside(&format!("error: {machine}"));
            Exit::Machine
        }
    }
}

/// "1 log", "24 logs".
pub(crate) fn count(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// Rows as columns, each as wide as its widest cell, the last as it is.
pub(crate) fn table<const N: usize>(rows: &[[String; N]]) {
    let width = |i: usize| rows.iter().map(|r| r[i].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..N).map(width).collect();
    for row in rows {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(&format!("{cell:<width$}  "));
        }
        say(line.trim_end());
    }
}
