//! Steps by hand: in time, in order, done again, not done, not known.

use super::*;
use crate::Outcome::{Full, NotAssessed, Nothing, Part};
use monitor::Interval;

#[test]
fn steps_by_hand() {
    let flame = || Formula::holds(FLAME);
    let lit_at = |t: usize| with(quiet(100), &[(FLAME, t..=99, 1.0)]);
    let by = |full, none| step(flame(), &[], full, none, 0);
    // No time asked: whenever.
    check("in the end", by(None, None), &lit_at(99), None, Full, 1000, &["done at 00:09.9"]);
    // 20 to 60: whole at 20, (60-30)/40 = 3/4 at 30, nothing at 60.
    check("just in time", by(Some(20), Some(60)), &lit_at(20), None, Full, 1000, &["0.0 s in hand"]);
    check("early", by(Some(20), Some(60)), &lit_at(5), None, Full, 1000, &["1.5 s in hand"]);
    check(
        "late",
        by(Some(20), Some(60)),
        &lit_at(30),
        None,
        Part,
        750,
        &["done at 00:03.0, and was due by 00:02.0", "1.0 s too late"],
    );
    check("too late", by(Some(20), Some(60)), &lit_at(60), None, Nothing, 0, &["4.0 s too late"]);
    // 20 to 50: (50-40)/30 = 333333 millionths at 40, of 10 marks 3.33.
    check("thirds", by(Some(20), Some(50)), &lit_at(40), None, Part, 333, &[]);
    // A deadline alone, of either kind.
    check("at the deadline", by(Some(20), None), &lit_at(20), None, Full, 1000, &[]);
    check("after it", by(Some(20), None), &lit_at(21), None, Nothing, 0, &["0.1 s too late"]);
    check("before none", by(None, Some(20)), &lit_at(19), None, Full, 1000, &[]);
    check("at none", by(None, Some(20)), &lit_at(20), None, Nothing, 0, &[]);
    // Never.
    check("never", by(None, None), &quiet(100), None, Nothing, 0, &["not done by the end"]);
    let up = || step(Formula::above(DRUM, 601_325.0), &[], None, None, 0);
    let near = with(quiet(100), &[(DRUM, 50..=60, 561_325.0)]);
    check(
        "nearly",
        up(),
        &near,
        None,
        Nothing,
        0,
        &["not done", "drum pressure came within 0.40 bar of 5.00 barg, at 00:05.0"],
    );
    // What is only true or false has no moment at which it was nearly so.
    let never = run(vec![item("it", 10, false, by(None, None))], None, &quiet(100), None).verdicts.remove(0);
    assert_eq!(never.evidence, []);
    // Lasting 3 s, begun 2 s before the end: not earned.
    let lasting = Formula::Always(Interval::within(30), Box::new(flame()));
    check("cut short", step(lasting, &[], None, None, 0), &lit_at(80), None, Nothing, 0, &["cut the condition short"]);
    // Unknown.
    let missing = with(quiet(100), &[(DRUM, 10..=11, f64::NAN)]);
    check("a hole", up(), &missing, None, NotAssessed, 0, &["not assessed", "missing from 00:01.0 on"]);
    let late = with(missing, &[(DRUM, 50..=99, 701_325.0)]);
    let due = step(Formula::above(DRUM, 601_325.0), &[], Some(Tick(40).0), Some(60), 0);
    // Missing only when nothing was left to earn: 20 to 60, and the hole at 70. At 59 there was something left.
    let due_early = || step(Formula::above(DRUM, 601_325.0), &[], Some(20), Some(60), 0);
    let hole = |t: usize| with(quiet(100), &[(DRUM, t..=t, f64::NAN)]);
    check("a hole too late", due_early(), &hole(70), None, Nothing, 0, &["a value was missing only after that"]);
    check("a hole in time", due_early(), &hole(59), None, NotAssessed, 0, &["missing from 00:05.9 on"]);
    check("a hole before", due, &late, None, Part, 500, &["earlier time cannot be ruled out"]);
}

#[test]
fn order_by_hand() {
    let both = |rows: &[[f64; 4]], part: i64, full_by: Option<u32>, none_by: Option<u32>| {
        let purge = item("purge", 6, true, step(Formula::holds(PURGE), &[], None, None, 0));
        let light = item("light up", 4, false, step(Formula::holds(FLAME), &["purge"], full_by, none_by, part));
        run(vec![light, purge], None, rows, None)
    };
    let earned = |r: &RunResult| (r.verdicts[0].earned.0, r.verdicts[1].earned.0);
    let purge_at = |t: usize| with(quiet(100), &[(PURGE, t..=t, 1.0)]);
    // In order, and at the same tick.
    assert_eq!(earned(&both(&with(purge_at(30), &[(FLAME, 40..=99, 1.0)]), 250_000, None, None)), (400, 600));
    assert_eq!(earned(&both(&with(purge_at(30), &[(FLAME, 30..=99, 1.0)]), 250_000, None, None)), (400, 600));
    // Lit 2 s before the purge and still lit: a quarter of 4.
    let r = both(&with(purge_at(30), &[(FLAME, 10..=99, 1.0)]), 250_000, None, None);
    assert_eq!(earned(&r), (100, 600));
    assert_eq!(r.verdicts[0].found, "done at 00:01.0, before \"purge\" at 00:03.0");
    assert_eq!(r.verdicts[0].time_margin.as_deref(), Some("2.0 s too early"));
    // Lit before, out, and lit again after: the later one counts, in full.
    let again = with(purge_at(30), &[(FLAME, 10..=20, 1.0), (FLAME, 50..=99, 1.0)]);
    let r = both(&again, 250_000, None, None);
    assert_eq!(earned(&r), (400, 600));
    assert_eq!(r.verdicts[0].found, "done at 00:05.0, after a first time at 00:01.0 that was too early");
    assert_eq!(r.verdicts[0].evidence, [(Tick(10), Tick(10)), (Tick(50), Tick(99))]);
    // But not when the later one is too late to be worth more: at 50 of 20..60 it is a quarter, no more than the order.
    let r = both(&again, 250_000, Some(20), Some(60));
    assert_eq!((earned(&r), r.verdicts[0].when), ((100, 600), Some(Tick(10))));
    // Never purged: the purge is lost (and it is critical), the light is not out of order.
    let r = both(&with(quiet(100), &[(FLAME, 10..=99, 1.0)]), 250_000, None, None);
    assert_eq!((earned(&r), r.passed, r.critical_lost), ((400, 0), Some(false), vec!["purge".to_owned()]));
    // Early by order and late by the clock: the worse counts. At 25 of 20..30 half, order a quarter.
    let r = both(&with(purge_at(30), &[(FLAME, 25..=99, 1.0)]), 250_000, Some(20), Some(30));
    assert_eq!(earned(&r), (100, 600));
    let r = both(&with(purge_at(30), &[(FLAME, 25..=99, 1.0)]), 750_000, Some(20), Some(30));
    assert_eq!(earned(&r), (200, 600));
}

#[test]
fn what_never_moved_is_not_said_to_have_come_near() {
    // Pressure up and metal up: the pressure came, the metal never moved, and both were 10 off at the start.
    let both = Formula::All(vec![Formula::above(DRUM, 501_335.0), Formula::above(METAL, 683.15)]);
    let up = with(quiet(100), &[(DRUM, 20..=60, 601_325.0)]);
    let r = run(vec![item("it", 10, false, step(both.clone(), &[], None, None, 0))], None, &up, None);
    assert_eq!((r.verdicts[0].outcome, r.verdicts[0].found.as_str()), (Nothing, "not done by the end of the run"));
    assert_eq!((&r.verdicts[0].value_margin, r.verdicts[0].evidence.len()), (&None, 0));
    // One value that stands still names nothing either; one that moved is told where it was nearest.
    let alone = step(Formula::above(METAL, 683.15), &[], None, None, 0);
    let margin = |rows: &[[f64; 4]]| {
        run(vec![item("it", 10, false, alone.clone())], None, rows, None).verdicts[0].value_margin.clone()
    };
    assert_eq!(margin(&quiet(100)), None);
    let nearer = margin(&with(quiet(100), &[(METAL, 30..=40, 680.15)]));
    assert_eq!(nearer.as_deref(), Some("superheater metal came within 3.0 K of 410.0 degC, at 00:03.0"));
}

#[test]
fn a_step_that_came_true_too_often_to_be_remembered_loses_no_order() {
    // The flame flickers more than a thousand times, then comes the purge, and then the flame in its place.
    let mut rows = quiet(2500);
    (0..2300).step_by(2).for_each(|t| rows[t][FLAME as usize] = 1.0);
    let rows = with(rows, &[(PURGE, 2400..=2400, 1.0), (FLAME, 2410..=2499, 1.0)]);
    let sheet = || {
        let steps = vec!["purge".to_owned(), "light up".to_owned()];
        vec![
            item("purge", 1, false, step(Formula::holds(PURGE), &[], None, None, 0)),
            item("light up", 1, false, step(Formula::holds(FLAME), &["purge"], None, None, 0)),
            item("order", 4, false, ItemKind::Order { steps, wrong: None, none_at: 2 }),
        ]
    };
    let order = |rows: &[[f64; 4]]| run(sheet(), None, rows, None).verdicts[2].clone();
    let v = order(&rows);
    assert_eq!(v.outcome, NotAssessed, "{}", v.found);
    assert_eq!(v.found, "not assessed: \"light up\" came true too often to tell whether it was done in its place");
    // With fewer of them it is seen to be in its place.
    assert_eq!(order(&rows[600..]).outcome, Full);
}
