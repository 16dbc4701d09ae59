//! A moderator's overrides applied to a run that was marked.
//!
//! An override says what it replaces. It is applied only where that is still so; where the item is
//! gone, is worth something else, or the mark under it has moved, it is left out and handed back with
//! the reason, for somebody to decide anew. Several overrides of one item follow each other in the
//! order of the file: each replaces what the one before it left.
//!
//! Sums and passing are worked out anew by [`settle`]. A critical item is lost, after an override, as
//! after marking: a limit when it has less than all of its marks, anything else when it has none.

use crate::run::settle;
use crate::verdict::{Outcome, RunResult, Verdict};
use base::nearest::nearest;
use base::sheet::{Asked, Item, Marks, Sheet};
use files::overrides::{Given, Override};

/// What came of the overrides of one run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Moderation {
    /// Those that were applied, in the order of the file.
    pub applied: Vec<Override>,
    /// Those that no longer fit.
    pub unfit: Vec<Unfit>,
}

/// An override that no longer fits, and so was not applied.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfit {
    /// The override.
    pub entry: Override,
    /// Why, as a sentence without a full stop.
    pub why: String,
}

impl Moderation {
    /// The overrides applied to an item, in their order.
    pub fn of<'a>(&'a self, item: &'a str) -> impl Iterator<Item = &'a Override> {
        self.applied.iter().filter(move |o| o.item == item)
    }

    /// The verdicts as they were before any override: outcome and marks of each item. The sums stay as they are.
    #[must_use]
    pub fn as_the_program_gave(&self, result: &RunResult) -> RunResult {
        let mut own = result.clone();
        for v in &mut own.verdicts {
            let Some(first) = self.of(&v.name).next() else { continue };
            match first.was {
                Given::NotAssessed => {
                    v.outcome = Outcome::NotAssessed;
                    (v.earned, v.out_of) = (Marks(0), Marks(0));
                }
                Given::Marks { earned, out_of } => {
                    // What came on top was in no sum, and is in none now.
                    if v.outcome == Outcome::NotAssessed {
                        v.out_of = out_of;
                    }
                    v.outcome = outcome(earned, out_of);
                    v.earned = earned;
                }
            }
        }
        own
    }

    /// All of these overrides left out for one reason.
    #[must_use]
    pub fn none(entries: &[Override], why: &str) -> Moderation {
        let unfit = entries.iter().map(|e| Unfit { entry: e.clone(), why: why.to_owned() }).collect();
        Moderation { applied: Vec::new(), unfit }
    }
}

/// Applies the overrides of one run to its result.
///
/// # Panics
/// When the result is not of this sheet.
#[must_use]
pub fn moderate<C>(sheet: &Sheet<C>, result: RunResult, overrides: &[Override]) -> (RunResult, Moderation) {
    assert_eq!(sheet.items.len(), result.verdicts.len(), "a result has one verdict for each item of its sheet");
    let mut moderation = Moderation::default();
    if overrides.is_empty() {
        return (result, moderation);
    }
    let RunResult { mut verdicts, critical_lost, passed, needed, earned, out_of } = result;
    for entry in overrides {
        match fit(sheet, &verdicts, entry) {
            Ok(at) => {
                change(&mut verdicts[at], &sheet.items[at], entry.now);
                moderation.applied.push(entry.clone());
            }
            Err(why) => moderation.unfit.push(Unfit { entry: entry.clone(), why }),
        }
    }
    if moderation.applied.is_empty() {
        return (RunResult { verdicts, critical_lost, passed, needed, earned, out_of }, moderation);
    }
    let lost = |v: &Verdict| match moderation.of(&v.name).next() {
        None => critical_lost.contains(&v.name),
        Some(_) if !v.critical || v.outcome == Outcome::NotAssessed => false,
        Some(_) if v.kind == "limit" => v.outcome != Outcome::Full,
        Some(_) => v.outcome == Outcome::Nothing,
    };
    let critical_lost = verdicts.iter().filter(|v| lost(v)).map(|v| v.name.clone()).collect();
    // Only a run that may be graded is moderated.
    (settle(sheet, verdicts, critical_lost, true), moderation)
}

/// The place of the item that an override still fits.
fn fit<C>(sheet: &Sheet<C>, verdicts: &[Verdict], entry: &Override) -> Result<usize, String> {
    let Some(at) = verdicts.iter().position(|v| v.name == entry.item) else {
        let near = nearest(&entry.item, sheet.items.iter().map(|i| i.name.as_str()));
        let near = near.map_or_else(String::new, |n| format!("; did you mean \"{n}\"?"));
        return Err(format!("the mark sheet has no item \"{}\"{near}", entry.item));
    };
    let full = sheet.items[at].marks;
    for given in [entry.was, entry.now] {
        if let Given::Marks { out_of, .. } = given
            && out_of != full
        {
            return Err(format!("the item is worth {full} marks, and the override speaks of {out_of}"));
        }
    }
    let is = standing(&verdicts[at], full);
    if is != entry.was {
        return Err(format!("the mark under it is {is}, and the override replaces {}", entry.was));
    }
    Ok(at)
}

/// What a verdict gives, out of all the marks of its item.
fn standing(v: &Verdict, full: Marks) -> Given {
    match v.outcome {
        Outcome::NotAssessed => Given::NotAssessed,
        _ => Given::Marks { earned: v.earned, out_of: full },
    }
}

fn outcome(earned: Marks, out_of: Marks) -> Outcome {
    match earned {
        e if e == out_of => Outcome::Full,
        Marks(0) => Outcome::Nothing,
        _ => Outcome::Part,
    }
}

fn change<C>(v: &mut Verdict, item: &Item<C>, now: Given) {
    match now {
        Given::NotAssessed => {
            v.outcome = Outcome::NotAssessed;
            (v.earned, v.out_of) = (Marks(0), Marks(0));
        }
        Given::Marks { earned, out_of } => {
            // What comes on top is asked of nobody.
            if v.outcome == Outcome::NotAssessed && item.counts.asked != Asked::Bonus {
                v.out_of = out_of;
            }
            v.earned = earned;
            v.outcome = outcome(earned, out_of);
        }
    }
    // Somebody has looked: whatever the run could not show is decided.
    v.open = false;
    let lost_something = matches!(v.outcome, Outcome::Part | Outcome::Nothing);
    v.practise = item.practise.clone().filter(|_| lost_something);
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::Place;
    use base::sheet::{Counts, ItemKind};

    fn sheet() -> Sheet<()> {
        let item = |name: &str, marks, kind| Item {
            name: name.to_owned(),
            expected: String::new(),
            practise: Some(format!("practise {name}")),
            marks: Marks::whole(marks),
            critical: name == "purge" || name == "level",
            counts: Counts::default(),
            kind,
            place: Place::default(),
        };
        let step = || ItemKind::Step {
            done: (),
            after: vec![],
            full_by: None,
            none_by: None,
            out_of_order: 500_000,
            none_short: None,
        };
        let limit = ItemKind::Limit { keep: (), during: None, none_beyond: None, none_after: None };
        let items = vec![item("purge", 6, step()), item("light up", 4, step()), item("level", 10, limit)];
        Sheet { items, pass: Some(Marks::whole(12)), ..Sheet::default() }
    }

    fn verdict(name: &str, kind: &'static str, earned: i64, full: i64) -> Verdict {
        let outcome = match earned {
            0 => Outcome::Nothing,
            e if e == full => Outcome::Full,
            _ => Outcome::Part,
        };
        Verdict {
            name: name.to_owned(),
            kind,
            expected: String::new(),
            outcome,
            earned: Marks(earned),
            out_of: Marks(full),
            critical: name != "light up",
            found: "found".to_owned(),
            value_margin: None,
            time_margin: None,
            when: None,
            shown: None,
            actual: None,
            evidence: vec![],
            practise: None,
            open: false,
        }
    }

    /// Purge lost (critical), light up in part, level kept: 12 of 20, not passed.
    fn result() -> RunResult {
        let verdicts = vec![
            verdict("purge", "step", 0, 600),
            verdict("light up", "step", 200, 400),
            verdict("level", "limit", 1000, 1000),
        ];
        settle(&sheet(), verdicts, vec!["purge".to_owned()], true)
    }

    fn given(text: &str) -> Given {
        let Some((earned, out_of)) = text.split_once(" of ") else { return Given::NotAssessed };
        let marks = |t: &str| Marks((t.parse::<f64>().unwrap() * 100.0).round() as i64);
        Given::Marks { earned: marks(earned), out_of: marks(out_of) }
    }

    fn entry(item: &str, was: &str, now: &str) -> Override {
        Override {
            person: "t-07".into(),
            log: None,
            item: item.into(),
            was: given(was),
            now: given(now),
            reason: "jammed".into(),
            by: "M. Example".into(),
            on: "2031-03-05".into(),
            place: Place::line("o.ron", 7),
        }
    }

    fn why(entries: &[Override]) -> String {
        let (after, moderation) = moderate(&sheet(), result(), entries);
        assert_eq!((after, moderation.applied.len()), (result(), 0), "what does not fit changes nothing");
        moderation.unfit[0].why.clone()
    }

    #[test]
    fn an_override_changes_the_sum_the_outcome_and_what_was_critical() {
        assert_eq!((result().earned, result().passed), (Marks(1200), Some(false)));
        let (after, moderation) = moderate(&sheet(), result(), &[entry("purge", "0 of 6", "4 of 6")]);
        assert_eq!((after.earned, after.out_of, after.passed), (Marks(1600), Marks(2000), Some(true)));
        assert!(after.critical_lost.is_empty());
        assert_eq!(after.verdicts[0].outcome, Outcome::Part);
        assert_eq!(after.verdicts[0].practise.as_deref(), Some("practise purge"));
        assert_eq!(moderation.applied.len(), 1);
        assert_eq!(moderation.applied[0].told(), "was 0 of 6, now 4 of 6, by M. Example on 2031-03-05: jammed");
    }

    #[test]
    fn a_critical_limit_that_lost_anything_is_lost() {
        let (after, _) =
            moderate(&sheet(), result(), &[entry("purge", "0 of 6", "6 of 6"), entry("level", "10 of 10", "9 of 10")]);
        assert_eq!(after.critical_lost, ["level"]);
        assert_eq!(after.passed, Some(false));
    }

    #[test]
    fn not_assessed_takes_the_marks_out_of_the_sum_and_back_puts_them_in() {
        let out = entry("light up", "2 of 4", "not assessed");
        let (after, _) = moderate(&sheet(), result(), std::slice::from_ref(&out));
        assert_eq!((after.earned, after.out_of), (Marks(1000), Marks(1600)));
        let (after, _) = moderate(&sheet(), result(), &[out, entry("light up", "not assessed", "4 of 4")]);
        assert_eq!((after.earned, after.out_of), (Marks(1400), Marks(2000)));
    }

    #[test]
    fn a_critical_item_without_marks_is_lost_no_more_when_it_is_not_assessed() {
        let mut sheet = sheet();
        sheet.items[0].marks = Marks(0);
        let lost = Verdict { outcome: Outcome::Nothing, ..verdict("purge", "step", 0, 0) };
        let kept = [verdict("light up", "step", 400, 400), verdict("level", "limit", 1000, 1000)];
        let verdicts = std::iter::once(lost).chain(kept).collect();
        let result = settle(&sheet, verdicts, vec!["purge".to_owned()], true);
        assert_eq!(result.passed, Some(false));
        let (after, moderation) = moderate(&sheet, result, &[entry("purge", "0 of 0", "not assessed")]);
        assert_eq!((after.passed, after.earned, moderation.applied.len()), (Some(true), Marks(1400), 1));
    }

    #[test]
    fn overrides_of_one_item_follow_each_other() {
        let (first, second) = (entry("purge", "0 of 6", "4 of 6"), entry("purge", "4 of 6", "5 of 6"));
        let (after, moderation) = moderate(&sheet(), result(), &[first.clone(), second.clone()]);
        assert_eq!((after.verdicts[0].earned, moderation.applied.len()), (Marks(500), 2));
        // Whatever was changed, it is still known what the program gave.
        let (after, moderation) = moderate(&sheet(), result(), &[first.clone(), second.clone()]);
        let given = |r: &RunResult| (r.verdicts[0].outcome, r.verdicts[0].earned, r.verdicts[0].out_of);
        assert_eq!(given(&moderation.as_the_program_gave(&after)), given(&result()));
        // Without the first the second does not fit: the mark under it is another.
        assert_eq!(why(&[second]), "the mark under it is 0 of 6, and the override replaces 4 of 6");
    }

    #[test]
    fn what_no_longer_fits_is_told_and_not_applied() {
        assert_eq!(
            why(&[entry("purg", "0 of 6", "4 of 6")]),
            "the mark sheet has no item \"purg\"; did you mean \"purge\"?"
        );
        assert_eq!(
            why(&[entry("purge", "0 of 8", "4 of 8")]),
            "the item is worth 6 marks, and the override speaks of 8"
        );
        assert_eq!(
            why(&[entry("light up", "1 of 4", "4 of 4")]),
            "the mark under it is 2 of 4, and the override replaces 1 of 4"
        );
        assert_eq!(
            why(&[entry("light up", "not assessed", "4 of 4")]),
            "the mark under it is 2 of 4, and the override replaces not assessed"
        );
    }
}
