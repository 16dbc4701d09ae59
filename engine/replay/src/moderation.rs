//! Overrides brought to the logs that they are about.

use crate::disk::{self, Trouble};
use crate::logs::ReadLog;
use crate::pack::{Pack, Ready, shown};
use base::{Diagnostic, Place};
use files::hand_marks::HandMarks;
use files::numbers::Numbers;
use files::overrides::{Override, Overrides};
use marking::Unfit;
use std::path::Path;

/// Most bytes of a file of overrides or of candidate numbers.
pub const BYTES_MAX: usize = 4 << 20;

/// Reads a file of overrides and holds it to the exercise that is graded.
///
/// # Errors
/// Every mistake in the file, a file of another exercise, or the machine's trouble.
pub fn read_overrides(pack: &Pack, ready: &Ready, path: &Path) -> Result<Overrides, Trouble> {
    let overrides = files::overrides::read(&shown(path), &read(path)?)?;
    if (overrides.pack.as_str(), overrides.exercise.as_str()) != (pack.file.id.as_str(), ready.id.as_str()) {
        let message = format!(
            "these overrides are for the exercise \"{}\" of the pack \"{}\", and \"{}\" of \"{}\" is graded",
            overrides.exercise, overrides.pack, ready.id, pack.file.id
        );
        let d = Diagnostic::error("override::exercise", Place::file(&shown(path)), message);
        return Err(d.hint("name the file of overrides of this exercise").into());
    }
    Ok(overrides)
}

/// A file that a moderator named on the command line.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Trouble> {
    disk::read_capped(path, BYTES_MAX).map_err(|why| match why.kind() {
        std::io::ErrorKind::NotFound => {
            Diagnostic::error("file::missing", Place::file(&shown(path)), "there is no such file").into()
        }
        _ => Trouble::Machine { path: path.to_owned(), doing: "read", why },
    })
}

/// Puts each override beside the log that it is about, by the trainee's id or the candidate number.
/// Those that are about nobody here are handed back, with the reason.
pub fn attach(logs: &mut [ReadLog], overrides: &Overrides, numbers: &Numbers) -> Vec<Unfit> {
    let mut nobody = vec![];
    for entry in &overrides.entries {
        let trainee = numbers.trainee(&entry.person).unwrap_or(&entry.person);
        let of_the_log = |l: &ReadLog| entry.log.as_ref().is_none_or(|name| l.file == *name || l.name == *name);
        let places: Vec<usize> =
            (0..logs.len()).filter(|&i| logs[i].trainee == trainee && of_the_log(&logs[i])).collect();
        match places[..] {
            [at] => {
                let entry = Override { person: logs[at].id.clone(), ..entry.clone() };
                logs[at].overrides.push(entry);
            }
            [] => {
                let known = logs.iter().flat_map(|l| [l.trainee.as_str(), l.id.as_str()]);
                let near = base::nearest::nearest(&entry.person, known.filter(|_| !is_blind(logs)));
                let near = near.map_or_else(String::new, |n| format!("; did you mean \"{n}\"?"));
                let why = format!("no log of this class is theirs{near}");
                nobody.push(Unfit { entry: told_as(logs, numbers, entry), why });
            }
            _ => nobody.push(Unfit {
                entry: told_as(logs, numbers, entry),
                why: format!("{} logs of this class are theirs; say which with log: \"file name\"", places.len()),
            }),
        }
    }
    nobody
}

/// Reads a table of marks that people gave, and holds its columns to the mark sheet.
///
/// # Errors
/// Every mistake in the file, or the machine's trouble.
pub fn read_hand_marks(ready: &Ready, path: &Path) -> Result<HandMarks, Trouble> {
    let name = shown(path);
    let hand = files::hand_marks::read(&name, &read(path)?)?;
    let known = || ready.sheet.items.iter().map(|i| i.name.as_str());
    let place = || Place::line(&name, 1);
    let strange = hand.items.iter().filter(|i| !known().any(|k| k == *i)).map(|i| {
        Diagnostic::error("hand::column", place(), format!("the mark sheet has no item \"{i}\"")).nearest(i, known())
    });
    let mut wrong: Vec<Diagnostic> = strange.collect();
    for row in &hand.rows {
        for (name_of, marks) in hand.items.iter().zip(&row.marks) {
            let item = ready.sheet.items.iter().find(|i| i.name == *name_of);
            if let (Some(item), Some(marks)) = (item, marks)
                && *marks > item.marks
            {
                let message = format!("{marks} marks on \"{name_of}\", which is worth {}", item.marks);
                wrong.push(Diagnostic::error("hand::marks", Place::line(&name, row.line), message));
            }
        }
    }
    if wrong.is_empty() { Ok(hand) } else { Err(wrong.into()) }
}

/// Gives the rows the ids by which results name people; those of nobody here are told.
pub fn name_hand_marks(hand: &mut HandMarks, logs: &[ReadLog], numbers: &Numbers) -> Vec<Diagnostic> {
    let mut told = vec![];
    for row in &mut hand.rows {
        let trainee = numbers.trainee(&row.id).unwrap_or(&row.id);
        match logs.iter().find(|l| l.trainee == trainee) {
            Some(log) => row.id.clone_from(&log.id),
            None => told.push(Diagnostic::warning(
                "hand::nobody",
                Place::line("the marks given by hand", row.line),
                "nobody of this class is meant by this row",
            )),
        }
    }
    told
}

/// Whether the logs go by candidate numbers.
fn is_blind(logs: &[ReadLog]) -> bool {
    logs.iter().any(|l| l.id != l.trainee)
}

/// An override with its person as results may name them: in a blind marking by number only.
fn told_as(logs: &[ReadLog], numbers: &Numbers, entry: &Override) -> Override {
    if !is_blind(logs) || numbers.trainee(&entry.person).is_some() {
        return entry.clone();
    }
    let person = numbers.of(&entry.person).map_or_else(|| format!("line {}", entry.place.line), ToOwned::to_owned);
    Override { person, ..entry.clone() }
}

/// Overrides that were not applied, as warnings at their lines.
pub fn warnings<'a>(unfit: impl IntoIterator<Item = &'a Unfit>) -> Vec<Diagnostic> {
    let warn = |u: &Unfit| {
        let message = format!(
            "the override of \"{}\" of {} no longer fits and is not applied: {}",
            u.entry.item, u.entry.person, u.why
        );
        Diagnostic::warning("override::no-longer-fits", u.entry.place.clone(), message)
            .hint("look at the item again; if the override still holds, add an entry that replaces what is there now")
    };
    unfit.into_iter().map(warn).collect()
}
