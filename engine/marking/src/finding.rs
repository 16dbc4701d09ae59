//! Findings: what the trainee reported to be wrong against what was wrong.
//!
//! - Asked are the faults that came on and could be seen on the panel, or were found all the same. Each of them is
//!   worth the same part of the marks.
//! - A report counts from the fault's onset on, also after the fault has gone. The right equipment with its kind
//!   earns all of the fault's part; the right equipment without a kind, with a wrong one, or with several
//!   earns the part that the sheet says. The kind is right when the words of the report hold the kind as it stands
//!   in the fault table, and no other kind that this equipment can have. The best report of a fault counts.
//! - A report of equipment of which nothing was wrong by then is a guess: no fault of the exercise had come on there,
//!   it had not tripped, nothing was hurt and no alarm of that tag had come up. Each such piece of equipment costs
//!   once, however often it is reported. The marks never fall below nothing.
//! - **Not assessed** when no fault is asked for. Where the run was not seen to its end, it stands only when
//!   everything was found in full.

use crate::judgement::{End, Judgement, WHOLE};
use base::observable::Verb;
use base::record::{AlarmPhase, Happening, Record};
use base::sheet::Wrong;
use base::{Tag, Tick};

/// So much of a report is quoted, letters.
const QUOTED: usize = 80;

/// A report about something.
struct Report<'a> {
    at: Tick,
    on: &'a Tag,
    words: &'a str,
}

fn reports(record: &Record) -> Vec<Report<'_>> {
    record
        .events
        .iter()
        .filter_map(|e| match &e.what {
            Happening::Action { verb: Verb::Report, on: Some(on), to, refused: None } => {
                Some(Report { at: e.tick, on, words: to.as_deref().unwrap_or_default() })
            }
            _ => None,
        })
        .collect()
}

/// Words in small letters with one space between and around them.
fn plain(text: &str) -> String {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    words.fold(String::from(" "), |line, w| line + &w.to_lowercase() + " ")
}

/// Whether the words name this kind and no other that the equipment can have. A kind that is a part
/// of a longer one that is named does not count beside it.
fn names_it(words: &str, wrong: &Wrong) -> bool {
    let line = plain(words);
    let mut named: Vec<String> = wrong.kinds.iter().map(|k| plain(k)).filter(|k| line.contains(k.as_str())).collect();
    let longer = named.clone();
    named.retain(|k| !longer.iter().any(|l| l != k && l.contains(k.as_str())));
    named.dedup();
    named == [plain(&wrong.kind)]
}

/// What a report said that did not say what was wrong, and the word that it lacked.
fn said(words: &str, kind: &str) -> String {
    let words: Vec<&str> = words.split_whitespace().collect();
    if words.is_empty() {
        return format!("without a word of what is wrong with it; wanted was \"{kind}\"");
    }
    let mut words = words.join(" ");
    if words.chars().count() > QUOTED {
        words = words.chars().take(QUOTED).collect::<String>() + " …";
    }
    format!("as \"{words}\"; wanted was \"{kind}\", and no other kind beside it")
}

/// Whether something had been wrong with this equipment by then.
fn was_wrong(record: &Record, tag: &Tag, at: Tick) -> bool {
    record.events.iter().take_while(|e| e.tick <= at).any(|e| match &e.what {
        Happening::FaultOn { on, .. } | Happening::Damage { on, .. } => on == tag,
        Happening::Trip { tag: t, .. } | Happening::Alarm { tag: t, phase: AlarmPhase::Raised, .. } => t == tag,
        _ => false,
    })
}

fn unseen(record: &Record, fault: &str) -> bool {
    record.events.iter().any(|e| matches!(&e.what, Happening::FaultUnseen { name } if name == fault))
}

pub(crate) fn judge(of: &[Wrong], right_equipment: i64, guess: i64, end: &End, record: &Record) -> Judgement {
    let reports = reports(record);
    let (mut asked, mut sum, mut whole) = (0_i64, 0_i64, 0_usize);
    let (mut told, mut evidence): (Vec<String>, Vec<(Tick, Tick)>) = (Vec::new(), Vec::new());
    for wrong in of {
        let Some(onset) = crate::response::onset(record, &wrong.fault) else { continue };
        let about = || reports.iter().filter(|r| *r.on == wrong.on && r.at >= onset);
        let exact = about().find(|r| names_it(r.words, wrong));
        let report = exact.or_else(|| about().next());
        let what = format!("\"{}\" ({} {})", wrong.fault, wrong.on, wrong.kind);
        match report {
            None if unseen(record, &wrong.fault) => continue,
            None => told.push(format!("{what} was not reported")),
            Some(r) if exact.is_some() => {
                whole += 1;
                sum += WHOLE;
                told.push(format!("{what} was found at {}", r.at));
                evidence.push((r.at, r.at));
            }
            Some(r) => {
                sum += right_equipment.clamp(0, WHOLE);
                let said = said(r.words, &wrong.kind);
                told.push(format!("of {what} the equipment was reported at {}, {said}", r.at));
                evidence.push((r.at, r.at));
            }
        }
        asked += 1;
    }
    if end.unseen.is_some() && whole < of.len() {
        return Judgement::open(end, "not everything had been found");
    }
    if asked == 0 {
        let why = "none of the faults came on and could be seen";
        return Judgement::not_assessed(why.to_owned());
    }
    let mut guesses: Vec<&Report<'_>> = Vec::new();
    for r in &reports {
        if !was_wrong(record, r.on, r.at) && !guesses.iter().any(|g| g.on == r.on) {
            guesses.push(r);
        }
    }
    if !guesses.is_empty() {
        let all: Vec<String> = guesses.iter().map(|g| format!("{} at {}", g.on, g.at)).collect();
        told.push(format!("nothing was wrong with {}", all.join(", ")));
    }
    let off = guess.max(0).saturating_mul(guesses.len() as i64);
    let part = (sum / asked).saturating_sub(off).clamp(0, WHOLE);
    evidence.sort_unstable();
    Judgement {
        part: Some(part),
        lost: part == 0,
        untried: evidence.is_empty() && guesses.is_empty(),
        found: told.join("; "),
        when: evidence.last().map(|s| s.0),
        evidence,
        ..Judgement::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_report_that_missed_is_quoted_with_the_word_that_it_lacked() {
        assert_eq!(
            said(" it  is\nbroken ", "dark"),
            "as \"it is broken\"; wanted was \"dark\", and no other kind beside it"
        );
        assert_eq!(said(" ", "dark"), "without a word of what is wrong with it; wanted was \"dark\"");
        let long = said(&"ü".repeat(200), "dark");
        assert!(long.starts_with(&format!("as \"{} …\"", "ü".repeat(80))), "{long}");
    }

    #[test]
    fn a_kind_is_named_by_its_words_and_alone() {
        let wrong = Wrong {
            fault: "x".into(),
            on: Tag::new("XL-1"),
            kind: "stuck lit".into(),
            kinds: vec!["dark".into(), "stuck".into(), "stuck lit".into()],
        };
        assert!(names_it("it is Stuck-lit!", &wrong));
        assert!(!names_it("stuck", &wrong), "a shorter kind is another one");
        assert!(!names_it("stuck lit or dark", &wrong));
        assert!(!names_it("unstuck lit", &wrong) && !names_it("", &wrong));
    }
}
