//! A whole run against its mark sheet.

use crate::judgement::{End, Judgement};
use crate::verdict::{Outcome, RunResult, Verdict};
use crate::words::Language;
use crate::{counting, finding, limit, order, response, steadiness, step};
use base::Tick;
use base::record::{Happening, Record};
use base::sheet::{Asked, Item, ItemKind, Marks, Sheet};
use monitor::{Formula, Found, Watch};

/// What must be watched in a run so that it can be marked: one condition an item, in the sheet's order.
#[must_use]
pub fn watches(sheet: &Sheet<Formula>) -> Vec<Watch> {
    let never = || Formula::Any(Vec::new());
    let of = |kind: &ItemKind<Formula>| match kind {
        ItemKind::Step { done, .. } => Watch::whole_run(done.clone()),
        ItemKind::Limit { keep, during, .. } => Watch { formula: keep.clone(), during: during.clone() },
        ItemKind::Response { by, .. } => Watch::whole_run(by.clone()),
        ItemKind::Order { wrong, .. } => Watch::whole_run(wrong.clone().unwrap_or_else(never)),
        ItemKind::Steadiness { within, during, .. } => steadiness::watch(within, during.as_ref()),
        ItemKind::Finding { .. } => Watch::whole_run(never()),
    };
    sheet.items.iter().map(|item| of(&item.kind)).collect()
}

/// Marks a run: the sheet, what was found of each item's condition ([`watches`], in the same order),
/// and the record. How each kind of item is marked is written on the pages of
/// [`step`], [`limit`], [`response`], [`order`], [`steadiness`] and [`finding`].
///
/// - Marks are whole hundredths: the part (in millionths) of an item's marks, rounded half away from
///   zero. They are never below nothing nor above the item's marks.
/// - Of items that may stand in each other's place the best one counts, and the others are not assessed.
/// - An item that need not be tried is not assessed when nobody tried it. A bonus comes on top: it is not in
///   `out_of`, and the sum of a run never goes past `out_of`.
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
    // When a step was done, or what stands in its place.
    let done_at = |name: &str| -> Option<(&str, Tick)> {
        let at = sheet.items.iter().position(|i| i.name == name)?;
        let by = counting::done_for(&sheet.items, at, |i| found[i].first_true().is_some())?;
        Some((sheet.items[by].name.as_str(), found[by].first_true()?))
    };
    let end = End::of(record);
    let one = |item: &Item<C>, finding: &Found| match &item.kind {
        ItemKind::Step { after, full_by, none_by, out_of_order, none_short, .. } => {
            let after = after.iter().filter_map(|name| done_at(name)).collect();
            let asked = step::Asked {
                full_by: *full_by,
                none_by: *none_by,
                out_of_order: *out_of_order,
                none_short: *none_short,
                after,
            };
            step::judge(&asked, finding, &end, language)
        }
        ItemKind::Limit { none_beyond, none_after, .. } => {
            limit::judge(*none_beyond, *none_after, finding, &end, language)
        }
        ItemKind::Response { to, full, none, .. } => response::judge(to, *full, *none, finding, &end, record),
        ItemKind::Order { steps, wrong, none_at } => {
            order::judge(&sheet.items, steps, *none_at, wrong.is_some(), found, finding, &end)
        }
        ItemKind::Steadiness { none_beyond, .. } => steadiness::judge(*none_beyond, finding, &end, language),
        ItemKind::Finding { of, right_equipment, guess } => finding::judge(of, *right_equipment, *guess, &end, record),
    };
    let asked = |(item, finding): (&Item<C>, &Found)| one(item, finding).counted_as(item.counts.asked);
    let mut judged: Vec<Judgement> = sheet.items.iter().zip(found).map(asked).collect();
    counting::leave_aside(&sheet.items, &mut judged);
    let mut verdicts = Vec::with_capacity(sheet.items.len());
    let mut critical_lost = Vec::new();
    for ((item, finding), judged) in sheet.items.iter().zip(found).zip(judged) {
        if item.critical && judged.lost {
            critical_lost.push(item.name.clone());
        }
        let (shown, actual) = counting::shown_and_true(finding, judged.when, record, language);
        verdicts.push(Verdict { shown, actual, ..judged.verdict(item) });
    }
    let gradable = record.events.iter().all(|e| !matches!(&e.what, Happening::Ended(ending) if !ending.gradable()));
    settle(sheet, verdicts, critical_lost, gradable)
}

/// The sums of verdicts, and passed or not, by the rules of [`mark`]. `gradable` is false when the run
/// ended in a way that may not be graded.
#[must_use]
pub fn settle<C>(sheet: &Sheet<C>, verdicts: Vec<Verdict>, critical_lost: Vec<String>, gradable: bool) -> RunResult {
    let out_of: Marks = verdicts.iter().map(|v| v.out_of).sum();
    // What comes on top makes good for what was lost elsewhere, and does not go past the whole.
    let earned: Marks = verdicts.iter().map(|v| v.earned).sum::<Marks>().min(out_of);
    let all = sheet.whole();
    // What an item that could not be seen to its end might have brought.
    let open = || verdicts.iter().zip(&sheet.items).filter(|(v, _)| v.open && v.outcome == Outcome::NotAssessed);
    let might: Marks = open().filter(|(_, i)| i.counts.asked != Asked::Bonus).map(|(_, i)| i.marks).sum();
    let on_top: Marks = open().filter(|(_, i)| i.counts.asked == Asked::Bonus).map(|(_, i)| i.marks).sum();
    let assessed = verdicts.iter().any(|v| v.outcome != Outcome::NotAssessed);
    let needed = sheet.pass.filter(|_| assessed).map(|pass| needed(pass, out_of + might, all));
    let passed = match needed {
        _ if !assessed || !gradable => None,
        _ if !critical_lost.is_empty() => Some(false),
        None => None,
        Some(needed) if earned >= needed && !open().any(|(_, i)| i.critical) => Some(true),
        Some(needed) if (earned + might + on_top).min(out_of + might) >= needed && open().next().is_some() => None,
        Some(_) => Some(false),
    };
    RunResult { earned, out_of, needed, passed, critical_lost, verdicts }
}

/// The fewest hundredths that are as great a part of these marks as the pass mark is of all.
fn needed(pass: Marks, of: Marks, all: Marks) -> Marks {
    let (part, whole) = (i128::from(pass.0) * i128::from(of.0), i128::from(all.0).max(1));
    Marks((part + whole - 1).div_euclid(whole) as i64)
}
