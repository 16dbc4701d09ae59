//! What must hold of the marks of every run, on traces that were recorded on the training vessel.

use super::trace::{RECORDED, Trace, play};
use base::Tick;
use base::observable::Observable;
use base::record::{Event, Happening};
use base::sheet::{ItemKind, Marks};
use marking::figures::figures;
use marking::{ClassRun, Outcome, RunResult, statistics};
use monitor::Predicate;
use plant::registry::Worked;
use proptest::prelude::*;
use proptest::sample::Index;
use replay::Pack;
use std::fs;
use std::path::Path;

/// One of the recorded runs.
fn one(run: Index) -> &'static Trace {
    &RECORDED.traces[run.index(RECORDED.traces.len())]
}

/// The items of the sheet that are steps, by their places.
fn steps() -> Vec<usize> {
    let items = &RECORDED.sheet().items;
    (0..items.len()).filter(|i| matches!(items[*i].kind, ItemKind::Step { .. })).collect()
}

/// Every step that comes before this one, directly or through others.
fn before(step: usize) -> Vec<usize> {
    let items = &RECORDED.sheet().items;
    let ItemKind::Step { after, .. } = &items[step].kind else { return vec![] };
    let direct: Vec<usize> = after.iter().filter_map(|a| items.iter().position(|i| i.name == *a)).collect();
    direct.iter().flat_map(|d| before(*d)).chain(direct.iter().copied()).collect()
}

/// The response items: place, and the column of the one thing that answers.
fn answers() -> Vec<(usize, usize, String)> {
    let answer = |(at, item): (usize, &base::sheet::Item<monitor::Formula>)| match &item.kind {
        ItemKind::Response { by, to, .. } => match by.predicates()[..] {
            [Predicate::Holds { signal }] => Some((at, signal.0 as usize, to.clone())),
            ref other => panic!("an answer of the sheet is one act: {other:?}"),
        },
        _ => None,
    };
    RECORDED.sheet().items.iter().enumerate().filter_map(answer).collect()
}

/// What must hold of any marks.
fn within_bounds(r: &RunResult, end: Tick) -> Result<(), TestCaseError> {
    for (v, item) in r.verdicts.iter().zip(&RECORDED.sheet().items) {
        prop_assert!(Marks(0) <= v.earned && v.earned <= v.out_of && v.out_of <= item.marks, "{v:?}");
        prop_assert_eq!(v.outcome == Outcome::NotAssessed, v.out_of == Marks(0));
        prop_assert_eq!(v.outcome == Outcome::Full, v.earned == item.marks);
        prop_assert!(v.outcome != Outcome::Nothing || v.earned == Marks(0));
        prop_assert!(!v.found.is_empty() && !v.found.contains("NaN") && !v.found.contains("inf"), "{v:?}");
        prop_assert!(v.evidence.iter().all(|s| s.0 <= s.1 && s.1 <= end), "{v:?}");
    }
    prop_assert_eq!(r.earned, r.verdicts.iter().map(|v| v.earned).sum::<Marks>());
    prop_assert_eq!(r.out_of, r.verdicts.iter().map(|v| v.out_of).sum::<Marks>());
    Ok(())
}

/// What is read of the recorded runs as they are, so that the rest has something to change.
#[test]
fn the_recorded_runs_have_what_the_properties_change() {
    let marks: Vec<RunResult> = RECORDED.traces.iter().map(|t| RECORDED.marks(t, t)).collect();
    for (trace, r) in RECORDED.traces.iter().zip(&marks) {
        let told: Vec<String> = r.verdicts.iter().map(|v| format!("{} {:?} {}", v.name, v.outcome, v.earned)).collect();
        println!("{}: {} of {}: {}", trace.name, r.earned, r.out_of, told.join("; "));
        within_bounds(r, trace.record.end).unwrap();
    }
    let outcomes = |kind: &str| {
        let mut all: Vec<Outcome> =
            marks.iter().flat_map(|r| &r.verdicts).filter(|v| v.kind == kind).map(|v| v.outcome).collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    };
    for kind in ["step", "order", "response", "limit", "steadiness", "finding"] {
        assert!(outcomes(kind) >= 2, "the runs differ in what they earn on a {kind}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// A step taken out of a run and done again at any moment that its order allows: nothing is worth less for it.
    #[test]
    fn a_missing_step_supplied_where_the_order_allows_it_never_costs(
        run: Index, step: Index, when: Index, holds in 1usize..3000,
    ) {
        let trace = one(run);
        let step = *step.get(&steps());
        let (column, yes, no) = RECORDED.step(step).unwrap();
        let items = &RECORDED.sheet().items;
        let first = |i: usize| RECORDED.first(trace, &items[i].name);
        let earliest = before(step).into_iter().filter_map(first).max().unwrap_or(0);
        let follow = steps().into_iter().filter(|s| before(*s).contains(&step)).filter_map(first).min();
        let latest = follow.unwrap_or(trace.record.end.0 as usize);
        prop_assume!(earliest <= latest);
        let at = earliest + when.index(latest - earliest + 1);
        let missing = trace.with(column, |c| c.fill(no));
        let supplied = missing.with(column, |c| c.iter_mut().skip(at).take(holds).for_each(|x| *x = yes));
        let (less, more) = (RECORDED.marks(&missing, trace), RECORDED.marks(&supplied, trace));
        prop_assert_eq!(less.verdicts[step].outcome, Outcome::Nothing);
        prop_assert_eq!(more.verdicts[step].outcome, Outcome::Full, "{:?}", more.verdicts[step]);
        for (a, b) in less.verdicts.iter().zip(&more.verdicts) {
            prop_assert!(a.earned <= b.earned, "{a:?} {b:?}");
        }
        prop_assert!(more.earned.0 >= less.earned.0 + items[step].marks.0);
    }

    /// The same answer given earlier, at any two moments: it is never worth less, and any answer is worth
    /// as much as none.
    #[test]
    fn an_earlier_response_never_costs(run: Index, which: Index, a: Index, b: Index) {
        let trace = one(run);
        let (item, column, fault) = which.get(&answers()).clone();
        let onset = trace.record.events.iter().find_map(|e| match &e.what {
            Happening::FaultOn { name, .. } if *name == fault => Some(e.tick.0 as usize),
            _ => None,
        });
        // Half of the moments lie where marks are to be had, soon after the fault.
        let onset = onset.unwrap_or(0);
        let left = trace.record.end.0 as usize - onset;
        let moment = |i: Index| onset + if i.index(2) == 0 { i.index(left + 1) } else { i.index(left.min(12_000) + 1) };
        let (early, late) = (moment(a).min(moment(b)), moment(a).max(moment(b)));
        let marks = |at: Option<usize>| {
            let changed = trace.with(column, |c| {
                c.iter_mut().skip(onset).for_each(|x| *x = 0.0);
                at.into_iter().for_each(|t| c[t] = 1.0);
            });
            RECORDED.marks(&changed, trace).verdicts[item].earned
        };
        prop_assert!(marks(Some(early)) >= marks(Some(late)));
        prop_assert!(marks(Some(late)) >= marks(None));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    /// With no absolute time in the sheet, a run that begins later is worth the same, every moment as much later.
    #[test]
    fn a_shifted_trace_gives_a_shifted_verdict(run: Index, by in 1u32..6000) {
        let trace = one(run);
        let moments: Vec<bool> =
            RECORDED.ready.exercise.watched.iter().map(|w| matches!(w.what, Observable::Did { .. })).collect();
        let later = trace.later(by, &moments);
        let (first, then) = (RECORDED.marks(trace, trace), RECORDED.marks(&later, trace));
        for (a, b) in first.verdicts.iter().zip(&then.verdicts) {
            prop_assert_eq!((&a.name, a.outcome, a.earned, a.out_of), (&b.name, b.outcome, b.earned, b.out_of));
            prop_assert_eq!(a.when.map(|t| t + by), b.when, "{:?} {:?}", a, b);
            // Steadiness rests on the whole run, whose beginning has no moment.
            if a.kind != "steadiness" {
                let shifted: Vec<_> = a.evidence.iter().map(|s| (s.0 + by, s.1 + by)).collect();
                prop_assert_eq!(&shifted, &b.evidence, "{:?} {:?}", a, b);
            }
        }
        prop_assert_eq!((first.earned, first.out_of), (then.earned, then.out_of));
    }

    /// Whatever is missing, whatever is wild and wherever the log breaks off.
    #[test]
    fn marks_stay_within_bounds(
        run: Index, end in prop::option::of(0.0f64..1.0),
        changes in prop::collection::vec((any::<Index>(), 0.0f64..1.0, 1usize..20_000, 0u8..4), 0..6),
    ) {
        let trace = one(run);
        let mut changed = trace.clone();
        for (column, from, length, what) in changes {
            let column = column.index(changed.columns.len());
            changed = changed.with(column, |c| {
                let from = (from * c.len() as f64) as usize;
                for (k, x) in c.iter_mut().skip(from).take(length).enumerate() {
                    *x = match what {
                        0 => f64::NAN,
                        1 => 0.0,
                        2 => 1e9,
                        _ => f64::from(u8::from(k % 7 == 0)),
                    };
                }
            });
        }
        if let Some(part) = end {
            changed = changed.cut(Tick((part * f64::from(trace.record.end.0)) as u32));
        }
        let r = RECORDED.marks(&changed, trace);
        within_bounds(&r, changed.record.end)?;
        // Cutting a log off takes nothing for granted: what is open is neither lost nor gained.
        prop_assert!(r.verdicts.iter().all(|v| !v.open || v.outcome == Outcome::NotAssessed));
    }

    /// A class of such runs in any order: the same statistics and figures.
    #[test]
    fn statistics_do_not_depend_on_the_order_of_people(
        order in Just((0..12usize).collect::<Vec<_>>()).prop_shuffle(), holes in prop::collection::vec(0.2f64..1.0, 12),
    ) {
        let result = |i: usize| {
            let trace = &RECORDED.traces[i % RECORDED.traces.len()];
            // Cut where the recorded run is worth something else at each length.
            let end = Tick((holes[i] * f64::from(trace.record.end.0)) as u32);
            let mut cut = trace.cut(end);
            cut.record.events.retain(|e| !matches!(e.what, Happening::Ended(_)));
            RECORDED.marks(&cut, trace)
        };
        let results: Vec<RunResult> = (0..12).map(result).collect();
        let ids: Vec<String> = (0..12).map(|i| format!("t-{i:02}")).collect();
        let class = |order: &[usize]| -> Vec<ClassRun<'_>> {
            order.iter().map(|i| ClassRun { id: &ids[*i], result: &results[*i] }).collect()
        };
        let straight: Vec<usize> = (0..12).collect();
        let (a, b) = (class(&straight), class(&order));
        prop_assert_eq!(statistics(&a), statistics(&b));
        let (a, b) = (figures(&a).unwrap(), figures(&b).unwrap());
        prop_assert_eq!(&a.names, &b.names);
        prop_assert_eq!((a.analysis.people, a.analysis.dropped), (b.analysis.people, b.analysis.dropped));
        let near = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-9,
            (a, b) => a.is_none() && b.is_none(),
        };
        for (x, y) in a.analysis.items.iter().zip(&b.analysis.items) {
            prop_assert!(near(x.difficulty, y.difficulty) && near(x.item_rest, y.item_rest), "{x:?} {y:?}");
            prop_assert!(near(x.upper_lower, y.upper_lower) && near(x.alpha_without, y.alpha_without), "{x:?} {y:?}");
        }
        let alpha = |f: &marking::figures::Figures| f.analysis.reliability.map(|r| r.alpha);
        prop_assert!(near(alpha(&a), alpha(&b)));
    }
}

/// Lines of a log that belong to one tick and to controls that have nothing to do with each other, the
/// other way round: the same trace, and the same marks.
#[test]
fn the_order_of_independent_lines_within_a_tick_does_not_matter() {
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/raise-steam");
    let pack = Pack::open(&shipped).unwrap();
    let on_the_spot = |line: &str| {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        let spot = |c: &&plant::registry::Control| c.tag.as_str() == line["on"] && c.worked != Worked::OnThePanel;
        line["do"] == "local check" || pack.ship.plant.controls().iter().any(|c| spot(&c))
    };
    let time = |line: &str| serde_json::from_str::<serde_json::Value>(line).unwrap()["t"].as_f64();
    let name = "t-19";
    let log = fs::read_to_string(shipped.join(format!("class/{name}.jsonl"))).unwrap();
    let mut lines: Vec<&str> = log.lines().collect();
    let mut turned = 0;
    for group in lines.chunk_by_mut(|a, b| time(a).is_some() && time(a) == time(b)) {
        // The one helper is asked for one thing after the other, which is an order.
        if group.len() > 1 && group.iter().filter(|l| on_the_spot(l)).count() < 2 {
            group.reverse();
            turned += 1;
        }
    }
    assert!(turned >= 4, "{name}: {turned} moments with several lines");
    let other = play(&pack, name, lines.join("\n").as_bytes());
    let same = play(&pack, name, log.as_bytes());
    assert_eq!(other.columns, same.columns, "{name}");
    let sorted = |events: &[Event]| {
        let mut all: Vec<String> = events.iter().map(|e| format!("{e:?}")).collect();
        all.sort();
        all
    };
    assert_eq!(sorted(&other.record.events), sorted(&same.record.events), "{name}");
    let ready = pack.exercise(None).unwrap();
    let graded = |lines: &[&str]| {
        let log = replay::logs::read_bytes(&pack, ready, "x.jsonl", lines.join("\n").as_bytes());
        let options = replay::Options { jobs: 1, stop: Default::default() };
        replay::grade(&pack, ready, &[log], &options, &|_, _| ()).remove(0).0.standing
    };
    assert_eq!(graded(&lines), graded(&log.lines().collect::<Vec<_>>()), "{name}");
}
