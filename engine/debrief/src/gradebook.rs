//! The gradebook: a CSV table that opens in any spreadsheet, one row a log and one column an item.

use crate::class::Class;
use marking::{Outcome, RunResult};

/// The bytes of `gradebook.csv`, UTF-8, comma-separated. Marks are plain numbers; an item that was
/// not assessed, and every mark of a log that was not graded, is an empty cell, never a zero. A text
/// that a spreadsheet would take for a formula gets an apostrophe in front.
///
/// # Panics
/// When the people were marked by different mark sheets.
#[must_use]
pub fn gradebook(class: &Class) -> Vec<u8> {
    let items = class.statistics().items;
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut row = |cells: Vec<String>| {
        table.write_record(cells).expect("every row has the columns of the first and memory takes it");
    };
    let mut head: Vec<String> = ["id", "name", "log", "outcome", "marks", "out of"].map(str::to_owned).to_vec();
    head.extend(items.iter().map(|i| harmless(&i.name)));
    head.extend(["why not graded", "overrides", "overrides not applied"].map(str::to_owned));
    row(head);
    for person in class.people {
        let result = person.judged.result();
        let mut cells = vec![
            harmless(person.who.id),
            harmless(person.who.name),
            harmless(person.log),
            person.judged.word().to_lowercase(),
            result.map(|r| r.earned.to_string()).unwrap_or_default(),
            result.map(|r| r.out_of.to_string()).unwrap_or_default(),
        ];
        cells.extend(items.iter().map(|i| cell(result, &i.name)));
        cells.push(harmless(&person.judged.reasons().join("; ")));
        let applied = person.moderation.applied.iter().map(|o| format!("{}: {}", o.item, o.told()));
        cells.push(harmless(&applied.collect::<Vec<_>>().join("; ")));
        let unfit = person.moderation.unfit.iter().map(|u| format!("{}: {}; {}", u.entry.item, u.entry.told(), u.why));
        cells.push(harmless(&unfit.collect::<Vec<_>>().join("; ")));
        row(cells);
    }
    table.into_inner().unwrap_or_else(|e| panic!("memory takes every byte: {e}"))
}

fn cell(result: Option<&RunResult>, item: &str) -> String {
    result
        .and_then(|r| r.verdicts.iter().find(|v| v.name == item))
        .filter(|v| v.outcome != Outcome::NotAssessed)
        .map(|v| v.earned.to_string())
        .unwrap_or_default()
}

/// A text that no spreadsheet takes for a formula. The signs of full width count too, and so does
/// white space in front, which some programs take off.
fn harmless(text: &str) -> String {
    let starts = |c: char| matches!(c, '=' | '+' | '-' | '@' | '\u{ff1d}' | '\u{ff0b}' | '\u{ff0d}' | '\u{ff20}');
    let first_seen = text.chars().find(|c| !c.is_whitespace());
    if first_seen.is_some_and(starts) || text.starts_with(['\t', '\r', '\n']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn what_begins_like_a_formula_is_made_harmless() {
        for bad in ["=1+1", "+1", "-1", "@x", "\t=1", " =cmd", "\u{ff1d}1", "\n", "=\"a\""] {
            assert!(harmless(bad).starts_with('\''), "{bad:?}");
        }
        for good in ["t07", "O'Neil", "A=B", "", "7"] {
            assert_eq!(harmless(good), good);
        }
    }
}
