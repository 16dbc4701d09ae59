//! What must hold of every run.

use crate::Outcome::{Full, NotAssessed, Nothing};
use crate::tests::{DRUM, FLAME, METAL, PURGE, item, limit, quiet, response, run, step, with};
use base::sheet::Marks;
use monitor::Formula;
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn an_earlier_answer_never_earns_less(full in 0u32..80, none in 0u32..120, early in 50usize..199, later in 0usize..60, hundredths in 0i64..5000) {
        let earned = |t: usize| {
            let mut it = item("it", 0, false, response(Formula::holds(PURGE), full, none));
            it.marks = Marks(hundredths);
            let rows = with(quiet(300), &[(PURGE, t..=t, 1.0)]);
            run(vec![it], None, &rows, Some((50, None))).earned
        };
        prop_assert!(earned(early) >= earned(early + later));
    }

    #[test]
    fn an_earlier_step_never_earns_less(full in prop::option::of(0u32..80), none in prop::option::of(0u32..120), early in 0usize..99, later in 0usize..60) {
        let earned = |t: usize| {
            let rows = with(quiet(160), &[(FLAME, t..=159, 1.0)]);
            run(vec![item("it", 7, false, step(Formula::holds(FLAME), &[], full, none, 0))], None, &rows, None).earned
        };
        prop_assert!(earned(early) >= earned(early + later));
    }

    #[test]
    fn further_or_longer_past_a_limit_never_earns_more(beyond in prop::option::of(0.5f64..40.0), after in prop::option::of(0u32..60), k in 0.0f64..30.0, more in 0.0f64..20.0, ticks in 0usize..50, longer in 0usize..40) {
        let earned = |k: f64, n: usize| {
            let rows = with(quiet(100), &[(METAL, 0..=n, 693.15 + k)]);
            run(vec![item("it", 7, false, limit(Formula::below(METAL, 693.15), None, beyond, after))], None, &rows, None).earned
        };
        prop_assert!(earned(k, ticks) >= earned(k + more, ticks));
        prop_assert!(earned(k, ticks) >= earned(k, ticks + longer));
    }

    /// Whatever the run, holes and all.
    #[test]
    fn marks_stay_within_the_item(
        rows in prop::collection::vec((prop::bool::weighted(0.1), prop::bool::ANY, 4e5f64..9e5, 600.0f64..720.0, 0u8..30), 1..80),
        fault in prop::option::of((0u32..80, prop::option::of(0u32..80))), part in -10i64..1_500_000, pass in 0i64..30,
    ) {
        let rows: Vec<[f64; 4]> = rows.into_iter().map(|(p, f, d, m, hole)| {
            let mut row = [f64::from(u8::from(p)), f64::from(u8::from(f)), d, m];
            if hole < 4 { row[hole as usize] = f64::NAN }
            row
        }).collect();
        let items = vec![
            item("purge", 6, true, step(Formula::holds(PURGE), &[], Some(10), Some(50), 0)),
            item("light", 4, false, step(Formula::holds(FLAME).lasted(3), &["purge"], None, Some(60), part)),
            item("metal", 10, true, limit(Formula::below(METAL, 693.15), Some(Formula::holds(FLAME)), Some(20.0), Some(30))),
            item("feed", 8, false, response(Formula::above(DRUM, 8e5), 5, 40)),
        ];
        let fault = fault.map(|(on, off)| (on % rows.len() as u32, off.map(|t| t % rows.len() as u32)));
        let worth: Vec<Marks> = items.iter().map(|i| i.marks).collect();
        let r = run(items.clone(), Some(pass), &rows, fault);
        for (v, marks) in r.verdicts.iter().zip(worth) {
            prop_assert!(v.earned >= Marks(0) && v.earned <= v.out_of && v.out_of <= marks);
            prop_assert!(v.outcome != NotAssessed || v.out_of == Marks(0));
            prop_assert!(v.outcome != Full || v.earned == marks);
            prop_assert!(v.outcome != Nothing || v.earned == Marks(0));
            prop_assert!(!v.found.is_empty() && !v.found.contains("NaN") && !v.found.contains("inf"));
            prop_assert!(v.evidence.iter().all(|s| s.0 <= s.1 && s.1.0 < rows.len() as u32));
        }
        prop_assert_eq!(r.earned, r.verdicts.iter().map(|v| v.earned).sum::<Marks>());
        prop_assert!(r.critical_lost.is_empty() || r.passed == Some(false));
        prop_assert_eq!(run(items, Some(pass), &rows, fault), r);
    }
}
