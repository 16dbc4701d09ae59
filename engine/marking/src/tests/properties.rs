//! What must hold of every run.

use super::{DRUM, FLAME, METAL, PURGE, item, limit, quiet, record, response, run, run_with, step, with};
use crate::Outcome::{Full, NotAssessed, Nothing};
use base::sheet::{ItemKind, Marks};
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

    /// Four steps in a chain, done at these times or not at all: doing one that was missing, when its turn
    /// is, never takes marks away.
    #[test]
    fn a_missing_step_that_is_supplied_in_its_turn_never_costs(
        at in prop::collection::vec(prop::option::of(0usize..100), 4), missing in 0usize..4, part in 0i64..1_000_000,
        none_at in 1u32..6,
    ) {
        let mut done: Vec<Option<usize>> = at;
        done[missing] = None;
        // Its turn: after all that come before it and before all that follow it, where there is such a time.
        let earliest = done[..missing].iter().flatten().max().map_or(0, |t| t + 1);
        let latest = done[missing + 1..].iter().flatten().min().map_or(110, |t| *t);
        prop_assume!(earliest < latest);
        let earned = |done: &[Option<usize>]| {
            let mut rows = quiet(120);
            for (signal, t) in done.iter().enumerate() {
                if let Some(t) = t { rows = with(rows, &[(signal as u32, *t..=*t, 9e9)]) }
            }
            let names = ["a", "b", "c", "d"];
            let mut items: Vec<_> = names.iter().enumerate().map(|(k, name)| {
                let after: Vec<&str> = if k == 0 { vec![] } else { vec![names[k - 1]] };
                item(name, 3, false, step(Formula::above(k as u32, 1e9), &after, None, None, part))
            }).collect();
            let steps = names.iter().map(|n| (*n).to_owned()).collect();
            items.push(item("in turn", 10, false, ItemKind::Order { steps, wrong: None, none_at }));
            run(items, None, &rows, None)
        };
        let before = earned(&done);
        done[missing] = Some(earliest);
        let after = earned(&done);
        prop_assert!(after.earned >= before.earned, "{before:?} {after:?}");
        prop_assert!(after.verdicts[4].earned >= before.verdicts[4].earned);
    }

    /// Without times in the sheet, a run that begins later gives the same marks, as much later.
    #[test]
    fn a_shifted_run_gives_shifted_verdicts(purge in 0usize..40, lit in 0usize..40, hot in 0usize..40, shift in 1usize..60) {
        let of = |by: usize| {
            let rows = with(quiet(60 + by), &[
                (PURGE, purge + by..=purge + by, 1.0), (FLAME, lit + by..=59 + by, 1.0), (METAL, hot + by..=hot + by + 5, 700.0),
            ]);
            let items = vec![
                item("purge", 6, false, step(Formula::holds(PURGE), &[], None, None, 0)),
                item("light", 4, false, step(Formula::holds(FLAME), &["purge"], None, None, 250_000)),
                item("metal", 10, false, limit(Formula::below(METAL, 693.15), Some(Formula::holds(FLAME)), Some(20.0), Some(30))),
            ];
            run(items, None, &rows, None)
        };
        let (first, later) = (of(0), of(shift));
        for (a, b) in first.verdicts.iter().zip(&later.verdicts) {
            prop_assert_eq!((a.outcome, a.earned, a.out_of), (b.outcome, b.earned, b.out_of));
            prop_assert_eq!(a.when.map(|t| t.0 + shift as u32), b.when.map(|t| t.0));
        }
    }

    /// Reports of anything at any time: within bounds, and one more of sound equipment never earns more.
    #[test]
    fn findings_stay_within_bounds_and_guessing_never_pays(
        reports in prop::collection::vec((0u32..100, 0usize..4, 0usize..3), 0..8), right in 0i64..=1_000_000, guess in 0i64..=1_000_000,
    ) {
        let tags = ["LCV-1", "XV-9", "XV-8", "XV-7"];
        let words = ["seized", "passing", "odd"];
        let wrong = base::sheet::Wrong {
            fault: "feed".into(), on: base::Tag::new("LCV-1"), kind: "seized".into(),
            kinds: vec!["passing".into(), "seized".into()],
        };
        let of = |reports: &[(u32, usize, usize)]| {
            let mut r = record(&quiet(100), Some((30, None)));
            for (tick, tag, word) in reports {
                let what = base::record::Happening::Action {
                    verb: base::observable::Verb::Report, on: Some(base::Tag::new(tags[*tag])),
                    to: Some(words[*word].into()), refused: None,
                };
                r.events.push(base::record::Event { tick: base::Tick(*tick), what });
            }
            r.events.sort_by_key(|e| e.tick);
            let kind = ItemKind::Finding { of: vec![wrong.clone()], right_equipment: right, guess };
            run_with(vec![item("found", 8, false, kind)], None, &quiet(100), &r)
        };
        let plain = of(&reports);
        prop_assert!(plain.earned >= Marks(0) && plain.earned <= Marks(800) && plain.out_of == Marks(800));
        let mut more = reports.clone();
        more.push((99, 3, 0));
        prop_assert!(of(&more).earned <= plain.earned);
    }

    /// How steady: the average by hand, and never more for being farther off.
    #[test]
    fn steadiness_is_the_average_distance(values in prop::collection::vec(380.0f64..420.0, 1..60), more in 0.0f64..20.0) {
        let of = |values: &[f64]| {
            let rows: Vec<[f64; 4]> = values.iter().map(|k| [0.0, 0.0, 5e5, *k]).collect();
            let low = Formula::Compare { signal: monitor::Signal(METAL), how: monitor::Comparison::AtLeast, with: 398.0 };
            let high = Formula::Compare { signal: monitor::Signal(METAL), how: monitor::Comparison::AtMost, with: 402.0 };
            let kind = ItemKind::Steadiness { within: Formula::All(vec![low, high]), during: None, none_beyond: 22.0 };
            run(vec![item("held", 10, false, kind)], None, &rows, None).earned
        };
        let mean = values.iter().map(|v| (v - 400.0).abs()).sum::<f64>() / values.len() as f64;
        let by_hand = 1000.0 * (1.0 - ((mean - 2.0) / 20.0).clamp(0.0, 1.0));
        prop_assert!((of(&values).0 as f64 - by_hand).abs() <= 0.51, "{} {by_hand}", of(&values).0);
        let farther: Vec<f64> = values.iter().map(|v| if *v < 400.0 { v - more } else { v + more }).collect();
        prop_assert!(of(&farther) <= of(&values));
    }
}
