//! Sums, passing, and a class by hand.

use super::*;
use crate::{ClassRun, Spread, statistics};
use base::record::Ending;

#[test]
fn sums_and_passing_by_hand() {
    let sheet = |critical| {
        vec![
            item("purge", 6, false, step(Formula::holds(PURGE), &[], None, None, 0)),
            item("metal", 10, critical, limit(Formula::below(METAL, 693.15), None, Some(20.0), None)),
            item("feed", 4, false, response(Formula::holds(PURGE), 20, 60)),
        ]
    };
    // Purged, 5 K too hot: 6 + 7.5, the response not assessed: 13.5 of 16. The pass mark 14 of 20 becomes 11.2.
    let rows = with(quiet(100), &[(PURGE, 10..=10, 1.0), (METAL, 20..=30, 698.15)]);
    let r = run(sheet(false), Some(14), &rows, None);
    assert_eq!((r.earned, r.out_of, r.passed), (Marks(1350), Marks(1600), Some(true)));
    let r = run(sheet(false), Some(17), &rows, None); // 17 of 20 is 13.6 of 16
    assert_eq!(r.passed, Some(false));
    // The same with the limit critical: not passed, whatever the sum.
    let r = run(sheet(true), Some(1), &rows, None);
    assert_eq!((r.earned, r.passed, r.critical_lost), (Marks(1350), Some(false), vec!["metal".to_owned()]));
    // No pass mark: nothing to pass.
    assert_eq!(run(sheet(true), None, &quiet(100), None).passed, None);
    // A run that may not be graded is neither passed nor failed.
    let s = Sheet { items: sheet(true), pass: Some(Marks::whole(1)), ..Sheet::default() };
    let mut bad = record(&rows, None);
    bad.events.push(Event { tick: Tick(99), what: Happening::Ended(Ending::PlantFailed("a number".into())) });
    assert_eq!(
        mark(&s, &find(&s, &rows), &bad, Language { watched: &watched(), name: &name, unit: &|_| None }).passed,
        None
    );
}

/// Once the debrief compared the marks with the pass mark of the whole sheet, where the run was judged by what
/// of it was assessed.
#[test]
fn what_is_needed_shrinks_with_what_was_assessed() {
    let sheet = || {
        vec![
            item("purge", 6, false, step(Formula::holds(PURGE), &[], None, None, 0)),
            item("metal", 10, false, limit(Formula::below(METAL, 693.15), None, Some(20.0), None)),
            item("feed", 4, false, response(Formula::holds(PURGE), 20, 60)),
        ]
    };
    let rows = with(quiet(100), &[(METAL, 20..=30, 698.15)]);
    // No purge, 5 K too hot, no fault: 7.5 of 16. 9.37 of 20 are 7.496 of 16, so 7.5 are needed.
    let r = run(sheet(), None, &rows, None);
    assert_eq!((r.earned, r.out_of, r.needed), (Marks(750), Marks(1600), None));
    let needed = |pass: i64| {
        let s = Sheet { items: sheet(), pass: Some(Marks(pass)), ..Sheet::default() };
        let language = Language { watched: &watched(), name: &name, unit: &|_| None };
        let r = mark(&s, &find(&s, &rows), &record(&rows, None), language);
        (r.needed, r.passed)
    };
    assert_eq!(needed(937), (Some(Marks(750)), Some(true)));
    assert_eq!(needed(938), (Some(Marks(751)), Some(false)));
    assert_eq!(needed(2000), (Some(Marks(1600)), Some(false)));
    assert_eq!(needed(0), (Some(Marks(0)), Some(true)));
    // Everything assessed: the pass mark itself.
    let r = run(sheet(), Some(9), &rows, Some((20, None)));
    assert_eq!((r.needed, r.out_of), (Some(Marks::whole(9)), Marks::whole(20)));
}

#[test]
fn a_group_is_summed_over_its_items() {
    let rows = with(quiet(100), &[(PURGE, 10..=10, 1.0), (FLAME, 30..=99, 1.0)]);
    let sheet = vec![
        item("purge", 6, false, step(Formula::holds(PURGE), &[], None, None, 0)),
        item("light", 4, false, step(Formula::holds(FLAME), &[], Some(20), Some(60), 0)),
        item("feed", 4, false, response(Formula::holds(PURGE), 20, 60)),
        item("metal", 10, false, limit(Formula::below(METAL, 693.15), None, None, None)),
    ];
    let r = run(sheet, None, &rows, None);
    let names = |n: &[&str]| n.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    let sets = [("fire".to_owned(), names(&["purge", "light", "feed"])), ("faults".to_owned(), names(&["feed"]))];
    // Purged, lit 1 s late of 4 s (3 of 4), no fault: 9 of 10. Two runs: twice that.
    let of = |runs: &[&RunResult]| -> Vec<_> {
        crate::sums::summed(&sets, runs).into_iter().map(|s| (s.assessed, s.earned, s.out_of)).collect()
    };
    assert_eq!(of(&[&r]), [(2, Marks(900), Marks(1000)), (0, Marks(0), Marks(0))]);
    assert_eq!(of(&[&r, &r])[0], (4, Marks(1800), Marks(2000)));
}

/// Once what somebody had earned on top in part counted as lost.
#[test]
fn what_comes_on_top_is_lost_by_nobody() {
    let mut light = item("light", 4, false, step(Formula::holds(FLAME), &[], Some(20), Some(60), 0));
    light.counts.asked = base::sheet::Asked::Bonus;
    let rows = with(quiet(100), &[(FLAME, 30..=99, 1.0)]);
    let r = run(vec![light], None, &rows, None);
    assert_eq!((r.verdicts[0].outcome, r.verdicts[0].earned), (Outcome::Part, Marks(300)));
    let s = statistics(&[ClassRun { id: "a", result: &r }]);
    assert_eq!((s.items[0].assessed, s.items[0].lost_by.len(), s.items[0].mean_part), (1, 0, None));
}

#[test]
fn a_class_by_hand() {
    let sheet = || {
        vec![
            item("light", 10, false, step(Formula::holds(FLAME), &[], Some(20), Some(60), 0)),
            item("feed", 4, false, response(Formula::holds(PURGE), 20, 60)),
        ]
    };
    // Lit at 10, 30, 40, never: 10, 7.5, 5, 0 of 10; only "b" meets the fault, and does not answer: 7.5 of 14.
    let lit = |t: usize| with(quiet(100), &[(FLAME, t..=99, 1.0)]);
    let a = run(sheet(), Some(7), &lit(10), None);
    let b = run(sheet(), Some(7), &lit(30), Some((20, None)));
    let c = run(sheet(), Some(7), &lit(40), None);
    let d = run(sheet(), Some(7), &quiet(100), None);
    let of = |id, result| ClassRun { id, result };
    let s = statistics(&[of("d", &d), of("b", &b), of("a", &a), of("c", &c)]);
    assert_eq!(s, statistics(&[of("a", &a), of("b", &b), of("c", &c), of("d", &d)]));
    // The pass mark is 7 of 14, which is 5 of 10: a, b and c have half or more.
    assert_eq!((s.count, s.passed, s.pass_known), (4, 3, 4));
    let marks = s.marks.unwrap();
    assert_eq!((marks.mean, marks.median, marks.least, marks.greatest), (5.625, 6.25, 0.0, 10.0));
    // Squares from the mean: 19.140625 + 3.515625 + 0.390625 + 31.640625 = 54.6875, over 3.
    assert!((marks.deviation.unwrap() - (54.6875f64 / 3.0).sqrt()).abs() < 1e-12);
    assert_eq!((s.items[0].assessed, s.items[0].mean_part), (4, Some(5625)));
    assert_eq!(s.items[0].lost_by, ["b", "c", "d"]);
    assert_eq!((s.items[1].assessed, s.items[1].mean_part), (1, Some(0)));
    assert_eq!(
        (s.items[1].lost_by.clone(), s.items[1].not_assessed.clone()),
        (vec!["b".to_owned()], vec!["a".to_owned(), "c".into(), "d".into()])
    );
    assert_eq!(Spread::of(&[]), None);
    assert_eq!(Spread::of(&[3.0]).unwrap().deviation, None);
}
