//! Marks that a moderator changed, `faultwright-overrides/1`: whose, on which item, from what to
//! what, why, by whom and when.
//!
//! The file is the record: entries are added at its end and none is taken out. What an entry says it
//! replaces is part of it, so that an entry which no longer fits is seen and never applied unseen.
//!
//! ```text
//! Overrides(
//!     format: "faultwright-overrides/1",
//!     pack: "raise-steam",
//!     exercise: "raise-steam",
//!     overrides: [
//!         (
//!             person: "t-07", item: "purge", was: "0 of 6", now: "4 of 6",
//!             reason: "the air register jammed on the console, not in the exercise",
//!             by: "M. Example", on: "2031-03-05",
//!         ),
//!     ],
//! )
//! ```

use crate::pack::wrong_format;
use crate::strict;
use base::sheet::Marks;
use base::{Diagnostic, Place};
use ron::value::RawValue;
use serde::Deserialize;
use std::fmt;

/// The format that this version reads.
pub const FORMAT: &str = "faultwright-overrides/1";
/// Most entries of a file: more are no moderation.
pub const ENTRIES_MAX: usize = 10_000;
/// Longest text of an entry, characters.
pub const TEXT_MAX: usize = 1_000;
const CODE: &str = "override::form";

/// A moderator's changes to the marks of a class.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overrides {
    /// Short name of the pack.
    pub pack: String,
    /// Short name of the exercise.
    pub exercise: String,
    /// The entries in the order of the file, which is the order in which they are applied.
    pub entries: Vec<Override>,
}

/// One changed mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Override {
    /// The trainee's id, or the candidate number.
    pub person: String,
    /// The log, where the person has several.
    pub log: Option<String>,
    /// The item's name in the mark sheet.
    pub item: String,
    /// What it replaces, as the debrief tells it.
    pub was: Given,
    /// What stands from now on.
    pub now: Given,
    /// Why.
    pub reason: String,
    /// Who decided it.
    pub by: String,
    /// When it was decided, as the moderator wrote it: year-month-day.
    pub on: String,
    /// Where it stands in the file.
    pub place: Place,
}

/// What was given on an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Given {
    /// So many marks of so many.
    Marks {
        /// Earned.
        earned: Marks,
        /// That could be earned.
        out_of: Marks,
    },
    /// Neither earned nor lost.
    NotAssessed,
}

impl fmt::Display for Given {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Given::Marks { earned, out_of } => write!(f, "{earned} of {out_of}"),
            Given::NotAssessed => f.write_str("not assessed"),
        }
    }
}

#[derive(Deserialize)]
#[serde(rename = "Overrides", deny_unknown_fields)]
struct OverridesOnDisk<'a> {
    format: String,
    pack: String,
    exercise: String,
    #[serde(borrow)]
    overrides: Vec<&'a RawValue>,
}

#[derive(Deserialize)]
#[serde(rename = "Override", deny_unknown_fields)]
struct OverrideOnDisk {
    person: String,
    #[serde(default)]
    log: String,
    item: String,
    was: String,
    now: String,
    reason: String,
    by: String,
    on: String,
}

#[derive(Deserialize)]
#[serde(rename = "Overrides")]
struct FormatOnly {
    format: String,
}

/// Reads a file of overrides.
///
/// # Errors
/// Every mistake: each entry is read by itself, so a slip in one does not hide those in the others.
pub fn read(file: &str, bytes: &[u8]) -> Result<Overrides, Vec<Diagnostic>> {
    let text = strict::text(file, bytes, CODE).map_err(|d| vec![d])?;
    let first: FormatOnly = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    if first.format != FORMAT {
        return Err(vec![wrong_format(file, text, &first.format, FORMAT)]);
    }
    let disk: OverridesOnDisk<'_> = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    debug_assert_eq!(disk.format, FORMAT);
    if disk.overrides.len() > ENTRIES_MAX {
        let message = format!("the file has {} entries, and at most {ENTRIES_MAX} are read", disk.overrides.len());
        return Err(vec![Diagnostic::error(CODE, Place::file(file), message)]);
    }
    let mut wrong = vec![];
    let mut entries: Vec<Override> = vec![];
    for raw in disk.overrides {
        let part = raw.trim().get_ron();
        let place = strict::place_at(file, text, strict::offset_of(text, part));
        match strict::ron::<OverrideOnDisk>(file, text, part, CODE) {
            Ok(e) => {
                let entry = Reader { text, part, place: &place, wrong: &mut wrong }.entry(e);
                if let Some(entry) = entry {
                    if let Some(first) = entries.iter().find(|e| same(e, &entry)) {
                        let message = format!("this entry stands on line {} already", first.place.line);
                        wrong.push(Diagnostic::error("override::twice", place, message).hint("take one of them out"));
                    }
                    entries.push(entry);
                }
            }
            Err(d) => wrong.push(d),
        }
    }
    if wrong.is_empty() {
        Ok(Overrides { pack: disk.pack, exercise: disk.exercise, entries })
    } else {
        wrong.sort_by_key(|d| (d.place.line, d.place.column));
        Err(wrong)
    }
}

fn same(a: &Override, b: &Override) -> bool {
    Override { place: Place::default(), ..a.clone() } == Override { place: Place::default(), ..b.clone() }
}

/// One entry while it is read.
struct Reader<'a> {
    text: &'a str,
    part: &'a str,
    place: &'a Place,
    wrong: &'a mut Vec<Diagnostic>,
}

impl Reader<'_> {
    fn entry(&mut self, e: OverrideOnDisk) -> Option<Override> {
        let before = self.wrong.len();
        for (field, value) in
            [("person", &e.person), ("item", &e.item), ("reason", &e.reason), ("by", &e.by), ("on", &e.on)]
        {
            self.filled(field, value);
        }
        let was = self.given("was", &e.was);
        let now = self.given("now", &e.now);
        if !e.on.trim().is_empty() && !is_date(&e.on) {
            let message = format!("\"{}\" is no date", e.on);
            self.tell("override::date", "on", message, "write year-month-day, such as \"2031-03-05\"");
        }
        let (was, now) = (was?, now?);
        match (was, now) {
            (a, b) if a == b => {
                self.tell(
                    "override::nothing",
                    "now",
                    format!("it was {was} and is {now}"),
                    "an override changes a mark",
                );
            }
            (Given::Marks { out_of: a, .. }, Given::Marks { out_of: b, .. }) if a != b => {
                let message = format!("it was out of {a} and is out of {b}");
                self.tell(
                    "override::out-of",
                    "now",
                    message,
                    "an override changes what was earned, not what an item is worth; that is for the mark sheet",
                );
            }
            _ => {}
        }
        (self.wrong.len() == before).then(|| Override {
            person: e.person,
            log: (!e.log.is_empty()).then_some(e.log),
            item: e.item,
            was,
            now,
            reason: e.reason,
            by: e.by,
            on: e.on,
            place: self.place.clone(),
        })
    }

    fn filled(&mut self, field: &str, value: &str) {
        if value.trim().is_empty() {
            self.tell("override::empty", field, format!("{field} is empty"), "whoever reads the marks later needs it");
        } else if value.chars().count() > TEXT_MAX {
            let message = format!("{field} is longer than {TEXT_MAX} characters");
            self.tell("override::long", field, message, "say it shorter");
        }
    }

    fn given(&mut self, field: &str, text: &str) -> Option<Given> {
        match given(text) {
            Ok(given) => Some(given),
            Err(why) => {
                let message = format!("{field} is \"{text}\": {why}");
                self.tell(
                    "override::marks",
                    field,
                    message,
                    "write it as the debrief does: \"4 of 6\", \"2.5 of 6\" or \"not assessed\"",
                );
                None
            }
        }
    }

    /// Tells a mistake at the line of its field.
    fn tell(&mut self, code: &'static str, field: &str, message: String, hint: &str) {
        let start = strict::offset_of(self.text, self.part);
        let at = self.part.match_indices(field).find(|(i, _)| {
            let before = self.part[..*i].chars().next_back();
            let after = self.part[i + field.len()..].trim_start();
            before.is_none_or(|c| !c.is_alphanumeric() && c != '_' && c != '"') && after.starts_with(':')
        });
        let place =
            at.map_or_else(|| self.place.clone(), |(i, _)| strict::place_at(&self.place.file, self.text, start + i));
        self.wrong.push(Diagnostic::error(code, place, message).hint(hint));
    }
}

/// Reads "4 of 6" or "not assessed".
fn given(text: &str) -> Result<Given, String> {
    if text == "not assessed" {
        return Ok(Given::NotAssessed);
    }
    let (earned, out_of) = text.split_once(" of ").ok_or("these are not marks")?;
    let (earned, out_of) = (marks(earned)?, marks(out_of)?);
    if earned > out_of {
        return Err(format!("{earned} is more than {out_of}"));
    }
    Ok(Given::Marks { earned, out_of })
}

/// A plain number of marks with at most two decimals.
pub(crate) fn marks(text: &str) -> Result<Marks, String> {
    let text = text.trim();
    if text.contains(',') {
        return Err("a decimal is written with a full stop".to_owned());
    }
    let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
    let digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    let no_number = whole.is_empty() || !digits(whole) || !digits(rest) || text.ends_with('.');
    if no_number || whole.len() > 6 {
        return Err(format!("\"{text}\" is no number of marks"));
    }
    if rest.len() > 2 {
        return Err("marks have at most two decimals".to_owned());
    }
    let number = |t: &str| t.parse::<i64>().map_err(|_| format!("\"{text}\" is no number of marks"));
    Ok(Marks(number(whole)? * 100 + number(&format!("{rest:0<2}"))?))
}

/// Whether a text is a date of the calendar, year-month-day.
#[must_use]
pub fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [y, m, d] = parts[..] else { return false };
    if (y.len(), m.len(), d.len()) != (4, 2, 2) || !text.bytes().all(|b| b == b'-' || b.is_ascii_digit()) {
        return false;
    }
    let (Ok(y), Ok(m), Ok(d)) = (y.parse::<u32>(), m.parse::<u32>(), d.parse::<u32>()) else { return false };
    let leap = y.is_multiple_of(4) && (!y.is_multiple_of(100) || y.is_multiple_of(400));
    let days = match m {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&d)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ENTRY: &str = "(person: \"t-07\", item: \"purge\", was: \"0 of 6\", now: \"4 of 6\", reason: \"jammed\", by: \"M. Example\", on: \"2031-03-05\")";

    fn file(entries: &str) -> String {
        format!("Overrides(format: \"{FORMAT}\", pack: \"p\", exercise: \"e\", overrides: [\n{entries}\n])")
    }

    #[test]
    fn an_entry_is_read_with_its_line() {
        let read = read("o.ron", file(ENTRY).as_bytes()).unwrap();
        let e = &read.entries[0];
        assert_eq!((e.was.to_string(), e.now.to_string(), e.place.line), ("0 of 6".into(), "4 of 6".into(), 2));
        assert_eq!(e.now, Given::Marks { earned: Marks(400), out_of: Marks(600) });
    }

    #[test]
    fn all_mistakes_are_told_at_their_lines() {
        let slips = [
            ENTRY.replace("4 of 6", "4,5 of 6"),
            ENTRY.replace("\"4 of 6\"", "\"4 of 8\""),
            ENTRY.replace("now:", "noww:"),
            ENTRY.replace("2031-03-05", "2031-02-29").replace("jammed", " "),
            ENTRY.replace("4 of 6", "7 of 6"),
            ENTRY.replace("4 of 6", "0 of 6"),
            ENTRY.to_owned(),
            ENTRY.to_owned(),
        ];
        let told = read("o.ron", file(&slips.join(",\n")).as_bytes()).unwrap_err();
        let told: Vec<String> = told.iter().map(|d| format!("{} {}", d.place.line, d.code)).collect();
        let want = [
            "2 override::marks",
            "3 override::out-of",
            "4 override::form",
            "5 override::empty",
            "5 override::date",
            "6 override::marks",
            "7 override::nothing",
            "9 override::twice",
        ];
        assert_eq!(told, want);
    }

    #[test]
    fn a_slip_in_a_name_is_told_with_the_nearest() {
        let told = read("o.ron", file(&ENTRY.replace("reason:", "raeson:")).as_bytes()).unwrap_err();
        assert_eq!(told[0].hint.as_deref(), Some("did you mean \"reason\"?"));
    }

    #[test]
    fn another_version_is_told_before_anything_else() {
        let told = read("o.ron", file(ENTRY).replace("overrides/1", "overrides/2").as_bytes()).unwrap_err();
        assert_eq!((told.len(), told[0].code), (1, "file::format"));
    }

    #[test]
    fn dates_are_those_of_the_calendar() {
        for good in ["2032-02-29", "2000-02-29", "2031-12-31"] {
            assert!(is_date(good), "{good}");
        }
        for bad in ["2031-02-29", "1900-02-29", "2031-13-01", "2031-00-10", "31-3-5", "2031-03-05T00", "", "05-03-2031"]
        {
            assert!(!is_date(bad), "{bad}");
        }
    }

    #[test]
    fn marks_are_read_exactly() {
        for (text, hundredths) in [("0", 0), ("4", 400), ("2.5", 250), ("0.07", 7), ("100", 10_000)] {
            assert_eq!(marks(text), Ok(Marks(hundredths)), "{text}");
        }
        for bad in ["", "-1", "1.234", "1.", ".5", "1e3", "four", "1 2"] {
            assert!(marks(bad).is_err(), "{bad}");
        }
    }
}
