//! A whole run against its mark sheet.

use crate::judgement::{End, Judgement};
use crate::verdict::{Outcome, RunResult, Verdict};
use crate::words::Language;
use crate::{limit, response, step};
use base::Tick;
use base::record::{Happening, Record};
use base::sheet::{ItemKind, Marks, Sheet};
use monitor::{Formula, Found, Watch};

/// What must be watched in a run so that it can be marked: one condition an item, in the sheet's order.
#[must_use]
pub fn watches(sheet: &Sheet<Formula>) -> Vec<Watch> {
    let of = |kind: &ItemKind<Formula>| match kind {
        ItemKind::Step { done, .. } => Watch::whole_run(done.clone()),
        ItemKind::Limit { keep, during, .. } => Watch { formula: keep.clone(), during: during.clone() },
        ItemKind::Response { by, .. } => Watch::whole_run(by.clone()),
    };
    sheet.items.iter().map(|item| of(&item.kind)).collect()
}

/// Marks a run: the sheet, what was found of each item's condition ([`watches`], in the same order),
/// and the record. How each kind of item is marked is written on the pages of
/// [`step`], [`limit`] and [`response`].
///
/// - Marks are whole hundredths: the part (in millionths) of an item's marks, rounded half away from
///   zero. They are never below nothing nor above the item's marks.
/// - An item that is not assessed takes its marks out of `out_of`: neither lost nor gained.
/// - A critical item is lost when a step or a response earns nothing, or a limit is broken at all.
///   One that is not assessed is not lost.
/// - Passed: no critical item lost, and at least the pass mark, which shrinks in proportion when items
///   were not assessed (compared in whole numbers). `None` when the sheet sets no pass mark and no
///   critical item was lost, when the rest of the run could not be seen and would decide it, when
///   nothing could be assessed, or when the run ended in a way that may not be graded ([`base::record::Ending::gradable`]).
///
/// # Panics
/// When there is not one finding an item.
#[must_use]
pub fn mark<C>(sheet: &Sheet<C>, found: &[Found], record: &Record, language: Language<'_>) -> RunResult {
    assert_eq!(sheet.items.len(), found.len(), "a run is marked with one finding for each item of its sheet");
    let done_at = |name: &str| -> Option<Tick> {
        let at = sheet.items.iter().position(|i| i.name == name)?;
        found[at].first_true()
    };
    let end = End::of(record);
    let mut verdicts = Vec::with_capacity(sheet.items.len());
    let mut critical_lost = Vec::new();
    for (item, found) in sheet.items.iter().zip(found) {
        let judged: Judgement = match &item.kind {
            ItemKind::Step { after, full_by, none_by, out_of_order, .. } => {
                let after = after.iter().filter_map(|name| Some((name.as_str(), done_at(name)?))).collect();
                let asked = step::Asked { full_by: *full_by, none_by: *none_by, out_of_order: *out_of_order, after };
                step::judge(&asked, found, &end, language)
            }
            ItemKind::Limit { none_beyond, none_after, .. } => {
                limit::judge(*none_beyond, *none_after, found, &end, language)
            }
            ItemKind::Response { to, full, none, .. } => response::judge(to, *full, *none, found, &end, record),
        };
        if item.critical && judged.lost {
            critical_lost.push(item.name.clone());
        }
        verdicts.push(judged.verdict(item));
    }
    let gradable = record.events.iter().all(|e| !matches!(&e.what, Happening::Ended(ending) if !ending.gradable()));
    settle(sheet, verdicts, critical_lost, gradable)
}

/// The sums of verdicts, and passed or not, by the rules of [`mark`]. `gradable` is false when the run
/// ended in a way that may not be graded.
#[must_use]
pub fn settle<C>(sheet: &Sheet<C>, verdicts: Vec<Verdict>, critical_lost: Vec<String>, gradable: bool) -> RunResult {
    let earned: Marks = verdicts.iter().map(|v| v.earned).sum();
    let out_of: Marks = verdicts.iter().map(|v| v.out_of).sum();
    let all: Marks = sheet.items.iter().map(|i| i.marks).sum();
    // What an item that could not be seen to its end might have brought.
    let open = || verdicts.iter().zip(&sheet.items).filter(|(v, _)| v.open && v.outcome == Outcome::NotAssessed);
    let might: Marks = open().map(|(_, i)| i.marks).sum();
    let assessed = verdicts.iter().any(|v| v.outcome != Outcome::NotAssessed);
    let passed = match sheet.pass {
        _ if !assessed || !gradable => None,
        _ if !critical_lost.is_empty() => Some(false),
        None => None,
        Some(pass) => {
            // earned / out_of >= pass / all, without dividing.
            let enough = |earned: Marks| {
                i128::from(earned.0) * i128::from(all.0) >= i128::from(pass.0) * i128::from((out_of + might).0)
            };
            if enough(earned) && !open().any(|(_, i)| i.critical) {
                Some(true)
            } else if enough(earned + might) && open().next().is_some() {
                None
            } else {
                Some(false)
            }
        }
    };
    RunResult { earned, out_of, passed, critical_lost, verdicts }
}
