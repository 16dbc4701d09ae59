//! Random formulas on random runs.

use crate::{
    Columns, Comparison, Desk, Edge, Formula, Interval, Monitor, Rows, Signal, Summary, Term, Trigger, Verdict, Watch,
    Watcher, brute, evaluate,
};
use proptest::prelude::*;

fn interval() -> impl Strategy<Value = Interval> {
    (0u32..6, prop::option::of(0u32..7)).prop_map(|(from, length)| Interval { from, to: length.map(|l| from + l) })
}

fn comparison() -> impl Strategy<Value = Comparison> {
    prop::sample::select(vec![Comparison::Above, Comparison::AtLeast, Comparison::Below, Comparison::AtMost])
}

fn term(condition: BoxedStrategy<Formula>, depth: u32) -> impl Strategy<Value = Term> {
    let leaf =
        prop_oneof![5 => (0u32..3).prop_map(Term::signal), 1 => (-2i32..3).prop_map(|x| Term::Constant(f64::from(x)))];
    leaf.prop_recursive(depth, 6, 3, move |inner| {
        let boxed = || inner.clone().prop_map(Box::new);
        let condition = || condition.clone().prop_map(Box::new);
        let summary = prop::sample::select(vec![
            Summary::Least,
            Summary::Greatest,
            Summary::Mean,
            Summary::Integral,
            Summary::Travel,
            Summary::Slope,
        ]);
        let edge = prop::sample::select(vec![Edge::Rises, Edge::Falls, Edge::Changes]);
        prop_oneof![
            1 => prop::collection::vec(inner.clone(), 0..3).prop_map(Term::Sum),
            1 => (boxed(), boxed()).prop_map(|(l, r)| Term::Difference(l, r)),
            1 => (boxed(), boxed()).prop_map(|(l, r)| Term::Product(l, r)),
            1 => (boxed(), boxed()).prop_map(|(l, r)| Term::Quotient(l, r)),
            1 => boxed().prop_map(Term::Size),
            4 => (summary, interval(), boxed()).prop_map(|(s, i, t)| Term::Over(s, i, t)),
            1 => (0u32..5, boxed()).prop_map(|(ticks, t)| Term::Rate(ticks, t)),
            1 => (interval(), condition()).prop_map(|(i, f)| Term::Held(i, f)),
            1 => (interval(), condition()).prop_map(|(i, f)| Term::Stretch(i, f)),
            1 => condition().prop_map(Term::Lasted),
            1 => (edge, interval(), condition()).prop_map(|(e, i, f)| Term::Count(e, i, f)),
        ]
    })
}

/// Formulas of any operator, some of them comparing numbers that are worked out from simpler formulas.
fn formula() -> impl Strategy<Value = Formula> {
    let leaf = comparisons();
    let simple = || nested(comparisons(), 2, 6).boxed();
    // A number of whole samples is exact, so that equality can be asked for; one of numbers that were rounded is
    // only near, and is compared with what it cannot be equal to.
    let exact = prop::sample::select(vec![-1.0, 0.0, 0.2, 0.5, 1.0, 2.0, 3.0]);
    let exact = (term(simple(), 1), comparison(), exact);
    let rounded = prop::sample::select(vec![-1.3719, 0.013_719, 0.213_719, 1.13719, 2.3719]);
    let rounded = (term(simple(), 3), comparison(), rounded);
    let measured =
        |s: BoxedStrategy<(Term, Comparison, f64)>| s.prop_map(|(term, how, with)| Formula::measured(term, how, with));
    nested(prop_oneof![3 => leaf, 1 => measured(exact.boxed()), 1 => measured(rounded.boxed())], 4, 24)
}

fn comparisons() -> impl Strategy<Value = Formula> {
    // Small whole numbers, so that equality is met often.
    prop_oneof![
        4 => (0u32..3, comparison(), -2i32..3).prop_map(|(s, how, w)| Formula::Compare { signal: Signal(s), how, with: f64::from(w) }),
        1 => (0u32..3, comparison(), 0u32..3).prop_map(|(l, how, r)| Formula::Between { left: Signal(l), how, right: Signal(r) }),
        1 => (0u32..3).prop_map(|s| Formula::Holds(Signal(s))),
    ]
}

fn nested(leaf: impl Strategy<Value = Formula> + 'static, depth: u32, size: u32) -> impl Strategy<Value = Formula> {
    leaf.prop_recursive(depth, size, 3, |inner| {
        let boxed = || inner.clone().prop_map(Box::new);
        prop_oneof![
            boxed().prop_map(Formula::Not),
            prop::collection::vec(inner.clone(), 0..4).prop_map(Formula::All),
            prop::collection::vec(inner.clone(), 0..4).prop_map(Formula::Any),
            (boxed(), boxed()).prop_map(|(l, r)| Formula::Implies(l, r)),
            (interval(), boxed()).prop_map(|(i, f)| Formula::Always(i, f)),
            (interval(), boxed()).prop_map(|(i, f)| Formula::Eventually(i, f)),
            (interval(), boxed()).prop_map(|(i, f)| Formula::Historically(i, f)),
            (interval(), boxed()).prop_map(|(i, f)| Formula::Once(i, f)),
            (interval(), boxed(), boxed()).prop_map(|(i, l, r)| Formula::Until(i, l, r)),
            (interval(), boxed(), boxed()).prop_map(|(i, l, r)| Formula::Since(i, l, r)),
        ]
    })
}

/// The verdict of ticks that were seen.
fn told(truth: Option<bool>) -> Verdict {
    match truth {
        Some(true) => Verdict::Kept,
        Some(false) => Verdict::Broken,
        None => Verdict::Unknown,
    }
}

fn rows(length: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Vec<f64>>> {
    prop::collection::vec(prop::collection::vec((-3i32..4).prop_map(f64::from), 3), length)
}

/// The same with a few samples that are not numbers.
fn holed(length: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Vec<f64>>> {
    let sample = prop_oneof![9 => (-3i32..4).prop_map(f64::from), 1 => Just(f64::NAN)];
    prop::collection::vec(prop::collection::vec(sample, 3), length)
}

/// One way to fill every hole.
fn filled(rows: &[Vec<f64>], with: &[i32]) -> Vec<Vec<f64>> {
    let mut next = with.iter().cycle();
    let mut fill = |x: &f64| {
        if x.is_nan() { f64::from(*next.next().unwrap()) } else { *x }
    };
    rows.iter().map(|r| r.iter().map(&mut fill).collect()).collect()
}

/// The same bits; where numbers are worked out, the same but for the order in which sums were rounded.
fn same(f: &Formula, a: f64, b: f64) -> bool {
    let worked_out = leaves(f).iter().any(|l| matches!(l, Formula::Measured { .. }));
    let near = || worked_out && b.is_finite() && (a - b).abs() <= 1e-9 * (1.0 + b.abs());
    a == b || (a.is_nan() && b.is_nan()) || near()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn values_are_the_definitions(f in formula(), rows in rows(0..20)) {
        let values = evaluate(&f, &rows);
        let (r, t) = (brute::robustness(&f, &rows), brute::truth(&f, &rows));
        prop_assert_eq!(values.len(), rows.len());
        for (k, v) in values.iter().enumerate() {
            prop_assert!(same(&f, v.robustness, r[k]), "tick {}: {} and {}", k, v.robustness, r[k]);
            prop_assert_eq!(v.truth.seen(), told(t[k]), "tick {}", k);
            // Sign agreement: a robustness that is not zero tells the truth on the ticks seen.
            if v.robustness > 0.0 { prop_assert_eq!(v.truth.seen(), Verdict::Kept) }
            if v.robustness < 0.0 { prop_assert_eq!(v.truth.seen(), Verdict::Broken) }
        }
        if f.past_only() {
            prop_assert!(values.iter().all(|v| v.verdict() == v.truth.seen()), "the end of the run cuts no window behind");
        }
    }

    /// What is decided stays decided, whatever the run would have gone on with.
    #[test]
    fn a_decision_is_final(f in formula(), rows in rows(1..14), more in rows(1..12)) {
        // "To the rest of the run" means another run when there is more of it.
        if f.horizon().is_none() { return Ok(()) }
        let longer = [rows.clone(), more].concat();
        let truth = brute::truth(&f, &longer);
        for (k, v) in evaluate(&f, &rows).iter().enumerate() {
            match v.verdict() {
                Verdict::Kept => prop_assert_eq!(truth[k], Some(true), "tick {}", k),
                Verdict::Broken => prop_assert_eq!(truth[k], Some(false), "tick {}", k),
                Verdict::Undecided => prop_assert!(k + f.horizon().unwrap() as usize >= rows.len(), "tick {} was not cut", k),
                // No sample was missing, but nought may have been divided by nought.
                Verdict::Unknown => prop_assert!(v.robustness.is_nan(), "tick {}", k),
            }
        }
    }

    /// What is kept or broken in spite of a missing sample is so whatever the sample was; a
    /// robustness that is a number had no missing sample in it.
    #[test]
    fn a_missing_sample_does_not_decide(f in formula(), rows in holed(1..16), with in prop::collection::vec(-3i32..4, 1..9)) {
        let whole = filled(&rows, &with);
        let (r, t) = (brute::robustness(&f, &rows), brute::truth(&f, &whole));
        for (k, v) in evaluate(&f, &rows).iter().enumerate() {
            prop_assert!(same(&f, v.robustness, r[k]), "tick {}: {} and {}", k, v.robustness, r[k]);
            match v.truth.seen() {
                Verdict::Kept => prop_assert_eq!(t[k], Some(true)),
                Verdict::Broken => prop_assert_eq!(t[k], Some(false)),
                _ => prop_assert!(v.robustness.is_nan()),
            }
        }
    }

    /// A formula that looks at nothing to come is known at once; one that looks ahead, as late as its horizon.
    #[test]
    fn a_value_is_as_late_as_the_horizon(f in formula(), rows in rows(1..24)) {
        let mut m = Monitor::new(&f);
        let mut known = 0usize;
        for (k, row) in rows.iter().enumerate() {
            m.feed(row);
            while m.next_value().is_some() { known += 1 }
            match f.horizon() {
                Some(h) => prop_assert_eq!(known, (k + 1).saturating_sub(h as usize)),
                None => prop_assert_eq!(known, 0),
            }
        }
    }

    /// Rows may come in stretches of any lengths, mixed with single rows: every value, the tick on which it is known
    /// and what decided it are the same to the bit, and so is all that is found.
    #[test]
    fn a_stretch_at_a_time_is_the_same(
        f in formula(), during in prop::option::of(formula()), rows in holed(0..90), lengths in prop::collection::vec(0usize..40, 1..9),
    ) {
        let bits = |v: crate::Value| (v.robustness.to_bits(), v.truth, v.leaf, v.tick);
        let known = |m: &mut Monitor| std::iter::from_fn(|| m.next_value()).map(bits).collect::<Vec<_>>();
        let watch = Watch { formula: f, during };
        let (mut plain, mut at_once) = (Monitor::new(&watch.formula), Monitor::new(&watch.formula));
        let (mut one_by_one, mut stretches) = (Watcher::new(&watch), Watcher::new(&watch));
        // Room that another formula has used before must make no difference.
        let (mut columns, mut desk) = (Columns::default(), Desk::default());
        let other = Watch { formula: Formula::Not(Box::new(watch.formula.clone())), during: Some(watch.formula.clone()) };
        Watcher::new(&other).feed_rows(Rows::new(&[9.0; 60], 3, 20), &mut desk);
        let (mut from, mut lengths) = (0, lengths.into_iter().cycle());
        while from < rows.len() {
            // Nought stands for one row by itself.
            let length = lengths.next().unwrap_or(0);
            let to = (from + length.max(1)).min(rows.len());
            for row in &rows[from..to] {
                plain.feed(row);
                one_by_one.feed(row);
            }
            if length == 0 {
                at_once.feed(&rows[from]);
                stretches.feed(&rows[from]);
            } else {
                let samples = rows[from..to].concat();
                at_once.feed_rows(Rows::new(&samples, 3, to - from), &mut columns);
                stretches.feed_rows(Rows::new(&samples, 3, to - from), &mut desk);
            }
            prop_assert_eq!(known(&mut plain), known(&mut at_once), "known after tick {}", to - 1);
            prop_assert_eq!(plain.kept(), at_once.kept());
            from = to;
        }
        plain.finish();
        at_once.finish();
        prop_assert_eq!(known(&mut plain), known(&mut at_once));
        // As text, in which nought has its sign and what is not a number is like itself.
        prop_assert_eq!(format!("{:?}", one_by_one.finish()), format!("{:?}", stretches.finish()));
    }

    /// What is found is what the values of the ticks say, and a trigger goes by them: told from the definitions.
    #[test]
    fn what_is_found_is_what_the_definitions_say(f in formula(), during in prop::option::of(formula()), rows in holed(0..40)) {
        let values = evaluate(&f, &rows);
        if let Some(mut trigger) = Trigger::new(&f) {
            let told: Vec<bool> = rows.iter().map(|r| trigger.feed(r)).collect();
            prop_assert_eq!(told, values.iter().map(|v| v.verdict() == Verdict::Kept).collect::<Vec<_>>());
        }
        let looked = during.as_ref().map(|d| evaluate(d, &rows));
        let looked = |t: usize| looked.as_ref().map_or(Verdict::Kept, |d| d[t].truth.seen());
        let mut watcher = Watcher::new(&Watch { formula: f, during });
        watcher.feed_rows(Rows::new(&rows.concat(), 3, rows.len()), &mut Desk::default());
        let found = watcher.finish();
        for (t, v) in values.iter().enumerate() {
            let tick = base::Tick(t as u32);
            for (spans, verdict) in [
                (&found.kept, Verdict::Kept),
                (&found.broken, Verdict::Broken),
                (&found.undecided, Verdict::Undecided),
                (&found.unknown, Verdict::Unknown),
            ] {
                prop_assert_eq!(spans.contains(tick), looked(t) == Verdict::Kept && v.verdict() == verdict, "tick {}", t);
            }
        }
        let count = |of: Verdict| (0..rows.len()).filter(|t| looked(*t) == of).count() as u32;
        prop_assert_eq!((found.ticks, found.looked), (rows.len() as u32, count(Verdict::Kept)));
        prop_assert_eq!(found.during_unknown, count(Verdict::Unknown));
        // What no comparison decided, or a sample that is missing, stands out by nothing.
        let seen = |(t, v): &(usize, &crate::Value)| {
            let decided = v.leaf != crate::value::NOBODY && !v.robustness.is_nan();
            looked(*t) == Verdict::Kept && v.verdict() != Verdict::Unknown && decided
        };
        let open = |v: &crate::Value, seen: Verdict| v.verdict() == Verdict::Undecided && v.truth.seen() != seen;
        let worst = values.iter().enumerate().filter(seen).filter(|(_, v)| !open(v, Verdict::Kept)).map(|(_, v)| v.robustness);
        let best = values.iter().enumerate().filter(seen).filter(|(_, v)| !open(v, Verdict::Broken)).map(|(_, v)| v.robustness);
        prop_assert_eq!(found.worst.map(|e| e.robustness), worst.reduce(f64::min));
        prop_assert_eq!(found.best.map(|e| e.robustness), best.reduce(f64::max));
    }

    /// A run that begins later gives the same, later: nothing hangs on when a run began.
    #[test]
    fn a_shifted_run_gives_a_shifted_verdict(f in formula(), before in rows(0..12), rows in rows(1..24)) {
        let Some(history) = f.history() else { return Ok(()) };
        let shifted = evaluate(&f, [before.clone(), rows.clone()].concat());
        for (k, v) in evaluate(&f, &rows).iter().enumerate().skip(history as usize) {
            let w = shifted[before.len() + k];
            prop_assert!(same(&f, v.robustness, w.robustness), "tick {}: {} and {}", k, v.robustness, w.robustness);
            prop_assert_eq!(v.truth, w.truth, "tick {}", k);
        }
    }

    /// The comparison that decided has the robustness and the sample that it says.
    #[test]
    fn the_deciding_sample_is_in_the_run(f in formula(), rows in rows(1..16)) {
        let m = Monitor::new(&f);
        for v in evaluate(&f, &rows) {
            match m.decided(&v) {
                None => prop_assert!(!v.robustness.is_finite()),
                Some(d) => {
                    let row = &rows[d.at.0 as usize];
                    let sample = match d.predicate {
                        crate::Predicate::Compare { signal, .. } => row[signal.0 as usize],
                        crate::Predicate::Holds { signal } => f64::from(u8::from(row[signal.0 as usize] > 0.5)),
                        crate::Predicate::Between { left, right, .. } => row[left.0 as usize] - row[right.0 as usize],
                        crate::Predicate::Measured { .. } => {
                            let Formula::Measured { term, .. } = leaves(&f)[d.place] else { panic!("a number decided") };
                            brute::number(term, &rows)[d.at.0 as usize]
                        }
                    };
                    let near = 1e-12 * (1.0 + sample.abs());
                    prop_assert!(d.sample == sample || (d.sample - sample).abs() <= near, "{} and {}", d.sample, sample);
                    prop_assert_eq!(f.predicates()[d.place], d.predicate);
                    prop_assert_eq!(d.margin.abs(), v.robustness.abs());
                }
            }
        }
    }
}

/// The comparisons as formulas, in the order of [`Formula::predicates`].
fn leaves(f: &Formula) -> Vec<&Formula> {
    match f {
        Formula::Compare { .. } | Formula::Between { .. } | Formula::Holds(_) | Formula::Measured { .. } => vec![f],
        _ => f.parts().into_iter().flat_map(leaves).collect(),
    }
}

/// Every operator, with one window.
fn every_operator(i: Interval) -> Vec<Formula> {
    let x = || Box::new(Formula::above(0, 0.0));
    let y = || Box::new(Formula::below(1, 0.5));
    vec![
        Formula::Always(i, x()),
        Formula::Eventually(i, x()),
        Formula::Historically(i, x()),
        Formula::Once(i, x()),
        Formula::Until(i, x(), y()),
        Formula::Since(i, x(), y()),
    ]
}

/// Every number over a window.
fn every_number(i: Interval) -> Vec<Term> {
    let x = || Box::new(Formula::above(0, 0.0));
    let over = |summary| Term::signal(0).over(summary, i);
    vec![
        over(Summary::Least),
        over(Summary::Greatest),
        over(Summary::Mean),
        over(Summary::Integral),
        over(Summary::Travel),
        over(Summary::Slope),
        Term::Held(i, x()),
        Term::Stretch(i, x()),
        Term::Count(Edge::Changes, i, x()),
    ]
}

#[test]
fn the_cost_a_sample_does_not_grow_with_the_window() {
    let ticks = 20_000u32;
    // Rising, falling and jumping by turns: the awkward shapes for sliding windows.
    let row = |t: u32| [f64::from(t % 4000) - 2000.0, f64::from(t.wrapping_mul(2_654_435_761) >> 20) / 4096.0];
    for from in [0, 7, 300] {
        for place in 0..15 {
            let cost = |window: u32| {
                let i = Interval { from, to: Some(from + window) };
                let numbers = every_number(i).into_iter().map(|t| Formula::measured(t, Comparison::Above, 1.0));
                let f = &every_operator(i).into_iter().chain(numbers).collect::<Vec<_>>()[place];
                let mut m = Monitor::new(f);
                for t in 0..ticks {
                    m.feed(&row(t));
                    while m.next_value().is_some() {}
                }
                m.finish();
                m.work() as f64 / f64::from(ticks)
            };
            let costs: Vec<f64> = [1, 10, 100, 1000, 5000].into_iter().map(cost).collect();
            println!("operator {place}, from {from}: folds a sample {costs:.2?}");
            assert!(costs.iter().all(|&c| c <= 6.0), "{costs:?}");
        }
    }
}

#[test]
fn memory_is_that_of_the_windows_however_long_the_run() {
    for (from, length) in [(0, Some(200)), (30, Some(200)), (30, None)] {
        let i = Interval { from, to: length.map(|l| from + l) };
        let numbers = every_number(i).into_iter().chain([Term::Rate(from + 200, Box::new(Term::signal(0)))]);
        let numbers = numbers.map(|t| Formula::measured(t, Comparison::Above, 1.0));
        for f in every_operator(i).into_iter().chain(numbers) {
            // What looks to the end of the run keeps the run.
            let Some(horizon) = f.horizon() else { continue };
            let mut m = Monitor::new(&f);
            let mut kept = Vec::new();
            for t in 0..4000u32 {
                m.feed(&[f64::from(t % 700) - 350.0, f64::from(t % 11) / 10.0]);
                while m.next_value().is_some() {}
                kept.push(m.kept());
            }
            let most = kept[..1000].iter().max().unwrap();
            assert!(kept[1000..].iter().all(|k| k <= most), "{f:?} goes on growing");
            // At most three windows of two parts, and what lies between them and now.
            let bound = 3 * (length.unwrap_or(0) + 1) + 3 * from + horizon + 202;
            assert!(*most <= bound as usize, "{f:?} keeps {most}, and {bound} is the bound");
        }
    }
}

#[test]
fn strict_and_not_strict_differ_at_equality_only() {
    let at = |how, x: f64| {
        let v = evaluate(&Formula::Compare { signal: Signal(0), how, with: 5.0 }, [[x]])[0];
        (v.robustness, v.verdict())
    };
    assert_eq!(at(Comparison::Above, 5.0), (0.0, Verdict::Broken));
    assert_eq!(at(Comparison::AtLeast, 5.0), (0.0, Verdict::Kept));
    assert_eq!(at(Comparison::Below, 5.0), (0.0, Verdict::Broken));
    assert_eq!(at(Comparison::AtMost, 5.0), (0.0, Verdict::Kept));
    assert_eq!(at(Comparison::AtLeast, f64::INFINITY), (f64::INFINITY, Verdict::Kept));
    assert_eq!(at(Comparison::Above, f64::NAN).1, Verdict::Unknown);
    let equal = Formula::Between { left: Signal(0), how: Comparison::AtMost, right: Signal(1) };
    let v = evaluate(&equal, [[f64::INFINITY, f64::INFINITY]])[0];
    assert_eq!((v.robustness, v.verdict()), (0.0, Verdict::Kept), "equal infinities differ by nothing");
}

#[test]
fn lasting_asks_for_the_whole_time() {
    let f = Formula::above(0, 0.0).lasted(2);
    let kept: Vec<bool> = evaluate(&f, [[1.0], [1.0], [1.0], [0.0], [1.0], [1.0], [1.0]])
        .iter()
        .map(|v| v.verdict() == Verdict::Kept)
        .collect();
    assert_eq!(kept, [false, false, true, false, false, false, true]);
    let f = Formula::above(0, 0.0).comes_true();
    let kept: Vec<bool> =
        evaluate(&f, [[1.0], [1.0], [0.0], [1.0], [1.0]]).iter().map(|v| v.verdict() == Verdict::Kept).collect();
    assert_eq!(kept, [true, false, false, true, false]);
}

#[test]
fn a_window_that_ends_before_it_begins_holds_nothing() {
    for (place, f) in every_operator(Interval { from: 3, to: Some(1) }).iter().enumerate() {
        let kept = matches!(f, Formula::Always(..) | Formula::Historically(..));
        let values = evaluate(f, [[1.0, 0.0], [1.0, 0.0]]);
        assert!(
            values.len() == 2
                && values.iter().all(|v| v.verdict() == if kept { Verdict::Kept } else { Verdict::Broken }),
            "{place}"
        );
    }
}

#[test]
fn a_truth_value_is_not_weighed_against_a_quantity() {
    // While the lamp (1) is lit, the pressure (0) stays below 5 bar: broken by 20,000 Pa, not by a half.
    let f = Formula::Implies(Box::new(Formula::holds(1)), Box::new(Formula::below(0, 5e5)));
    let values = evaluate(&f, [[5.2e5, 1.0], [5.2e5, 0.0], [4.9e5, 1.0]]);
    assert_eq!(values.iter().map(|v| v.robustness).collect::<Vec<_>>(), [-2e4, f64::INFINITY, 1e4]);
}

#[test]
fn numbers_count_in_the_depth() {
    let inner = Formula::above(0, 0.0).not();
    let f = Formula::measured(Term::Size(Box::new(Term::Lasted(Box::new(inner)))), Comparison::Above, 3.0);
    assert_eq!((f.depth(), f.clone().not().depth()), (4, 5));
    assert_eq!((f.row_width(), f.history(), f.past_only()), (1, None, true));
}

#[test]
fn a_formula_of_the_greatest_depth_works_on_a_small_stack() {
    let mut f = Formula::above(0, 0.0);
    while f.depth() < Formula::DEEPEST {
        f = Formula::Once(Interval::within(3), Box::new(f));
    }
    let thread = std::thread::Builder::new().stack_size(512 * 1024);
    let values = thread.spawn(move || evaluate(&f.clone(), [[1.0], [0.0]])).unwrap().join().unwrap();
    assert!(values.iter().all(|v| v.verdict() == Verdict::Kept));
}
