//! Candidate numbers, `faultwright-numbers/1`: who is who in a blind marking.
//!
//! Whoever holds the file can tell; nobody else needs it.

use crate::pack::wrong_format;
use crate::strict;
use base::{Diagnostic, Place};
use ron::value::RawValue;
use serde::Deserialize;

/// The format that this version reads and writes.
pub const FORMAT: &str = "faultwright-numbers/1";
/// Longest candidate number, characters.
pub const NUMBER_MAX: usize = 32;
const CODE: &str = "number::form";

/// The candidate numbers of a class.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Numbers {
    /// Short name of the pack.
    pub pack: String,
    /// The candidates, in order of number.
    pub candidates: Vec<Candidate>,
}

/// One person's number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// The candidate number.
    pub number: String,
    /// The trainee's id in the log.
    pub trainee: String,
    /// The name in the log; may be empty.
    pub name: String,
}

impl Numbers {
    /// The number of a trainee.
    #[must_use]
    pub fn of(&self, trainee: &str) -> Option<&str> {
        self.candidates.iter().find(|c| c.trainee == trainee).map(|c| c.number.as_str())
    }

    /// The trainee of a number.
    #[must_use]
    pub fn trainee(&self, number: &str) -> Option<&str> {
        self.candidates.iter().find(|c| c.number == number).map(|c| c.trainee.as_str())
    }
}

#[derive(Deserialize)]
#[serde(rename = "Numbers", deny_unknown_fields)]
struct NumbersOnDisk<'a> {
    format: String,
    pack: String,
    #[serde(borrow)]
    candidates: Vec<&'a RawValue>,
}

#[derive(Deserialize)]
#[serde(rename = "Candidate", deny_unknown_fields)]
struct CandidateOnDisk {
    number: String,
    trainee: String,
    #[serde(default)]
    name: String,
}

#[derive(Deserialize)]
#[serde(rename = "Numbers")]
struct FormatOnly {
    format: String,
}

/// Reads a file of candidate numbers.
///
/// # Errors
/// Every mistake of form, and numbers or trainees that are given twice.
pub fn read(file: &str, bytes: &[u8]) -> Result<Numbers, Vec<Diagnostic>> {
    let text = strict::text(file, bytes, CODE).map_err(|d| vec![d])?;
    let first: FormatOnly = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    if first.format != FORMAT {
        return Err(vec![wrong_format(file, text, &first.format, FORMAT)]);
    }
    let disk: NumbersOnDisk<'_> = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    debug_assert_eq!(disk.format, FORMAT);
    let mut wrong = vec![];
    let mut candidates: Vec<Candidate> = vec![];
    for raw in disk.candidates {
        let part = raw.trim().get_ron();
        let place = strict::place_at(file, text, strict::offset_of(text, part));
        match strict::ron::<CandidateOnDisk>(file, text, part, CODE) {
            Ok(c) => {
                let c = Candidate { number: c.number, trainee: c.trainee, name: c.name };
                wrong.extend(judge(&c, &candidates, &place));
                candidates.push(c);
            }
            Err(d) => wrong.push(d),
        }
    }
    if wrong.is_empty() { Ok(Numbers { pack: disk.pack, candidates }) } else { Err(wrong) }
}

fn judge(c: &Candidate, before: &[Candidate], place: &Place) -> Option<Diagnostic> {
    let length = c.number.chars().count();
    let odd = |ch: char| !(ch.is_ascii_alphanumeric() || matches!(ch, '-' | '_'));
    if c.number.trim() != c.number || length == 0 || length > NUMBER_MAX || c.number.chars().any(odd) {
        let message = format!("\"{}\" is no candidate number", c.number);
        return Some(
            Diagnostic::error("number::number", place.clone(), message)
                .hint("use up to 32 letters, digits and hyphens, such as \"C-48213\""),
        );
    }
    if c.trainee.trim().is_empty() {
        return Some(Diagnostic::error("number::trainee", place.clone(), "the trainee is empty"));
    }
    // Files are named after numbers, and some systems do not tell capitals apart.
    if before.iter().any(|b| b.number.to_lowercase() == c.number.to_lowercase()) {
        let message = format!("the number \"{}\" is given twice", c.number);
        return Some(
            Diagnostic::error("number::twice", place.clone(), message).hint("give each person a number of their own"),
        );
    }
    if before.iter().any(|b| b.trainee == c.trainee) {
        let message = format!("the trainee \"{}\" has two numbers", c.trainee);
        return Some(Diagnostic::error("number::twice", place.clone(), message).hint("take one of them out"));
    }
    None
}

/// The bytes of a file of candidate numbers, in order of number.
#[must_use]
pub fn write(numbers: &Numbers) -> Vec<u8> {
    let text = |t: &str| ron::to_string(t).expect("a text is RON");
    let mut candidates: Vec<&Candidate> = numbers.candidates.iter().collect();
    candidates.sort_by(|a, b| a.number.cmp(&b.number));
    let mut out = format!(
        "// Whoever holds this file can tell who is who: keep it apart from the results.\n\
         Numbers(\n    format: \"{FORMAT}\",\n    pack: {},\n    candidates: [\n",
        text(&numbers.pack)
    );
    for c in candidates {
        let name = if c.name.is_empty() { String::new() } else { format!(", name: {}", text(&c.name)) };
        out.push_str(&format!("        (number: {}, trainee: {}{name}),\n", text(&c.number), text(&c.trainee)));
    }
    out.push_str("    ],\n)\n");
    out.into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(number: &str, trainee: &str, name: &str) -> Candidate {
        Candidate { number: number.into(), trainee: trainee.into(), name: name.into() }
    }

    #[test]
    fn what_is_written_reads_back_the_same() {
        let numbers = Numbers {
            pack: "p".into(),
            candidates: vec![candidate("C-10001", "t \"7\" \\", "Ünal\n"), candidate("C-20002", "t-01", "")],
        };
        assert_eq!(read("n.ron", &write(&numbers)), Ok(numbers.clone()));
        assert_eq!((numbers.of("t-01"), numbers.trainee("C-20002")), (Some("C-20002"), Some("t-01")));
    }

    #[test]
    fn doubled_and_odd_numbers_are_told_together() {
        let numbers = Numbers {
            pack: "p".into(),
            candidates: vec![
                candidate("1", "a", ""),
                candidate("1", "b", ""),
                candidate("2", "a", ""),
                candidate("../3", "c", ""),
            ],
        };
        let told = read("n.ron", &write(&numbers)).unwrap_err();
        let told: Vec<(u32, &str)> = told.iter().map(|d| (d.place.line, d.code)).collect();
        // In order of number: "../3", "1", "1", "2".
        assert_eq!(told, [(6, "number::number"), (8, "number::twice"), (9, "number::twice")]);
    }
}
