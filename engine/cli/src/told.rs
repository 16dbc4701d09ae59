//! What is printed: results to standard output, mistakes and progress to standard error.

use crate::exit::Exit;
use base::{Diagnostic, Severity};
use replay::Trouble;
use std::borrow::Cow;
use std::io::{Read, Write};

/// A line of results. Whoever reads them may go away; that is no failure of ours.
pub(crate) fn say(line: &str) {
    writeln!(std::io::stdout(), "{}", harmless(line)).ok();
}

/// A line beside the results.
pub(crate) fn aside(line: &str) {
    writeln!(std::io::stderr(), "{}", harmless(line)).ok();
}

/// A text without signs that a terminal would obey: packs and logs come from strangers.
fn harmless(line: &str) -> Cow<'_, str> {
    let obeyed = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    if line.contains(obeyed) { Cow::Owned(line.replace(obeyed, "\u{fffd}")) } else { Cow::Borrowed(line) }
}

/// Diagnostics, one after another, worst last so that they stand nearest to the prompt, each with the
/// line that it is about.
pub(crate) fn diagnostics(all: &[Diagnostic]) {
    for severity in [Severity::Note, Severity::Warning, Severity::Error] {
        for d in all.iter().filter(|d| d.severity == severity) {
            aside(&with_line(d));
        }
    }
}

/// A diagnostic with the line of the file that it is about, and a caret under the place.
pub(crate) fn with_line(d: &Diagnostic) -> String {
    let told = d.to_string();
    let Some(line) = line_of(d) else { return told };
    let mut pointed = format!("\n  | {line}");
    if let Some(before) = (d.place.column as usize).checked_sub(1) {
        // Tabs stay tabs, so that the caret stands right whatever their width.
        let gap: String = line.chars().take(before).map(|c| if c == '\t' { '\t' } else { ' ' }).collect();
        pointed.push_str(&format!("\n  | {gap}^"));
    }
    let place = format!("\n  at {}", d.place);
    told.replacen(&place, &format!("{place}{pointed}"), 1)
}

/// The line of the file that a diagnostic is about, where that can be shown: no longer than a screen is
/// wide, or else the part around the place.
pub(crate) fn line_of(d: &Diagnostic) -> Option<String> {
    const LONGEST: usize = 240;
    let index = (d.place.line as usize).checked_sub(1)?;
    // Only scripts, packs and plants are shown: a line of a log may be long, and says little.
    if !(d.place.file.ends_with(".lua") || d.place.file.ends_with(".ron")) {
        return None;
    }
    let file = std::fs::File::open(&d.place.file).ok()?;
    let mut text = String::new();
    file.take(4 << 20).read_to_string(&mut text).ok()?;
    let line = text.lines().nth(index)?;
    (line.chars().count() <= LONGEST && !line.chars().any(|c| c.is_control() && c != '\t')).then(|| line.to_owned())
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

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn a_terminal_has_nothing_to_obey() {
        assert_eq!(harmless("a\u{1b}[31mb\u{9b}2J\rc\u{7f}"), "a\u{fffd}[31mb\u{fffd}2J\u{fffd}c\u{fffd}");
        assert_eq!(harmless("one\n\ttwo \u{b0}C"), "one\n\ttwo \u{b0}C");
    }
}
