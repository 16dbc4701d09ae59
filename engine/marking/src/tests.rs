//! Runs marked by hand from their sheets.

use crate::{ClassRun, Language, Outcome, RunResult, Spread, mark, statistics, watches};
use base::observable::{Observable, Verb, Watched};
use base::record::{Ending, Event, Happening, Layer, Record};
use base::sheet::{Item, ItemKind, Marks, Sheet};
use base::units::Dimension;
use base::{Place, Tag, Tick};
use monitor::{Comparison, Formula, Found, Interval, Signal, Watcher};

/// Rows hold: purge done (moment), flame lit (state), drum pressure (Pa), superheater metal (K).
pub(crate) const PURGE: u32 = 0;
pub(crate) const FLAME: u32 = 1;
pub(crate) const DRUM: u32 = 2;
pub(crate) const METAL: u32 = 3;

fn watched() -> Vec<Watched> {
    let of = |what, dimension| Watched { what, dimension };
    vec![
        of(Observable::Did { verb: Verb::Operate, on: Some(Tag::new("HS-1")), to: None }, Dimension::State),
        of(Observable::Lit(Tag::new("XL-1")), Dimension::State),
        of(Observable::Actual(Tag::new("PT-1")), Dimension::Pressure),
        of(Observable::Actual(Tag::new("TT-1")), Dimension::Temperature),
    ]
}

fn name(o: &Observable) -> String {
    match o {
        Observable::Actual(t) if t.as_str() == "PT-1" => "drum pressure".to_owned(),
        Observable::Actual(t) if t.as_str() == "TT-1" => "superheater metal".to_owned(),
        other => other.to_string(),
    }
}

pub(crate) fn item(name: &str, marks: i64, critical: bool, kind: ItemKind<Formula>) -> Item<Formula> {
    let (expected, practise) = (format!("{name} as asked"), Some(format!("practise {name}")));
    Item {
        name: name.to_owned(),
        expected,
        practise,
        marks: Marks::whole(marks),
        critical,
        counts: base::sheet::Counts::default(),
        kind,
        place: Place::default(),
    }
}

pub(crate) fn step(
    done: Formula,
    after: &[&str],
    full_by: Option<u32>,
    none_by: Option<u32>,
    out_of_order: i64,
) -> ItemKind<Formula> {
    let after = after.iter().map(|s| (*s).to_owned()).collect();
    ItemKind::Step {
        done,
        after,
        full_by: full_by.map(Tick),
        none_by: none_by.map(Tick),
        out_of_order,
        none_short: None,
    }
}

pub(crate) fn limit(
    keep: Formula,
    during: Option<Formula>,
    none_beyond: Option<f64>,
    none_after: Option<u32>,
) -> ItemKind<Formula> {
    ItemKind::Limit { keep, during, none_beyond, none_after }
}

pub(crate) fn response(by: Formula, full: u32, none: u32) -> ItemKind<Formula> {
    ItemKind::Response { to: "feed".to_owned(), by, full, none }
}

/// A run of `n` ticks in which the drum is at 4 barg and the metal at 400 degC.
pub(crate) fn quiet(n: usize) -> Vec<[f64; 4]> {
    vec![[0.0, 0.0, 501_325.0, 673.15]; n]
}

/// The same with some samples set.
pub(crate) fn with(mut rows: Vec<[f64; 4]>, set: &[(u32, std::ops::RangeInclusive<usize>, f64)]) -> Vec<[f64; 4]> {
    for (signal, ticks, value) in set {
        for t in ticks.clone() {
            rows[t][*signal as usize] = *value;
        }
    }
    rows
}

pub(crate) fn record(rows: &[[f64; 4]], fault: Option<(u32, Option<u32>)>) -> Record {
    let mut events = Vec::new();
    if let Some((on, off)) = fault {
        let what = Happening::FaultOn {
            name: "feed".into(),
            on: Tag::new("LCV-1"),
            kind: "seized".into(),
            layer: Layer::Actual,
        };
        events.push(Event { tick: Tick(on), what });
        events.extend(
            off.map(|t| Event { tick: Tick(t), what: Happening::FaultOff { name: "feed".into(), by_trainee: false } }),
        );
    }
    Record { end: Tick(rows.len() as u32 - 1), events, channels: Vec::new() }
}

fn find(sheet: &Sheet<Formula>, rows: &[[f64; 4]]) -> Vec<Found> {
    let mut watchers: Vec<Watcher> = watches(sheet).iter().map(Watcher::new).collect();
    for row in rows {
        watchers.iter_mut().for_each(|w| w.feed(row));
    }
    watchers.into_iter().map(Watcher::finish).collect()
}

pub(crate) fn run(
    items: Vec<Item<Formula>>,
    pass: Option<i64>,
    rows: &[[f64; 4]],
    fault: Option<(u32, Option<u32>)>,
) -> RunResult {
    run_with(items, pass, rows, &record(rows, fault))
}

pub(crate) fn run_with(items: Vec<Item<Formula>>, pass: Option<i64>, rows: &[[f64; 4]], record: &Record) -> RunResult {
    let sheet = Sheet { items, pass: pass.map(Marks::whole), ..Sheet::default() };
    mark(&sheet, &find(&sheet, rows), record, Language { watched: &watched(), name: &name, unit: &|_| None })
}

/// One item alone against a run: outcome, hundredths earned, and what is said.
fn check(
    what: &str,
    kind: ItemKind<Formula>,
    rows: &[[f64; 4]],
    fault: Option<(u32, Option<u32>)>,
    outcome: Outcome,
    earned: i64,
    says: &[&str],
) {
    let result = run(vec![item("it", 10, false, kind)], None, rows, fault);
    let v = &result.verdicts[0];
    let said = format!(
        "{} | {} | {}",
        v.found,
        v.value_margin.as_deref().unwrap_or("-"),
        v.time_margin.as_deref().unwrap_or("-")
    );
    assert_eq!((v.outcome, v.earned.0), (outcome, earned), "{what}: {said}");
    assert_eq!(result.out_of.0, if outcome == Outcome::NotAssessed { 0 } else { 1000 }, "{what}");
    assert_eq!(v.practise.is_some(), matches!(outcome, Outcome::Part | Outcome::Nothing), "{what}");
    for s in says {
        assert!(said.contains(s), "{what}: \"{s}\" is not said in \"{said}\"");
    }
}

use Outcome::{Full, NotAssessed, Nothing, Part};

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
    // Lasting 3 s, begun 2 s before the end: not earned.
    let lasting = Formula::Always(Interval::within(30), Box::new(flame()));
    check("cut short", step(lasting, &[], None, None, 0), &lit_at(80), None, Nothing, 0, &["cut the condition short"]);
    // Unknown.
    let missing = with(quiet(100), &[(DRUM, 10..=11, f64::NAN)]);
    check("a hole", up(), &missing, None, NotAssessed, 0, &["not assessed", "missing from 00:01.0 on"]);
    let late = with(missing, &[(DRUM, 50..=99, 701_325.0)]);
    let due = step(Formula::above(DRUM, 601_325.0), &[], Some(Tick(40).0), Some(60), 0);
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
fn limits_by_hand() {
    // Metal below 420 degC = 693.15 K; quiet is 400 degC.
    let cool = || Formula::below(METAL, 693.15);
    let hot = |k: f64, ticks: std::ops::RangeInclusive<usize>| with(quiet(100), &[(METAL, ticks, 693.15 + k)]);
    check(
        "kept",
        limit(cool(), None, None, None),
        &hot(-8.0, 40..=44),
        None,
        Full,
        1000,
        &["kept through the whole run", "superheater metal came within 8.0 K of 420.0 degC, at 00:04.0"],
    );
    check(
        "any breach",
        limit(cool(), None, None, None),
        &hot(12.0, 40..=44),
        None,
        Nothing,
        0,
        &[
            "broken once, from 00:04.0 to 00:04.4 (0.5 s in all)",
            "went 12.0 K past 420.0 degC, to 432.0 degC at 00:04.0",
        ],
    );
    // At equality "below" is broken, by nothing: the part for distance is whole.
    check(
        "at the limit",
        limit(Formula::below(METAL, 693.15), None, None, None),
        &hot(0.0, 40..=40),
        None,
        Nothing,
        0,
        &["one tick", "stood at 420.0 degC exactly"],
    );
    let most = Formula::Compare { signal: Signal(METAL), how: Comparison::AtMost, with: 693.15 };
    check(
        "at most",
        limit(most, None, None, None),
        &hot(0.0, 40..=40),
        None,
        Full,
        1000,
        &["stood at 420.0 degC exactly"],
    );
    // How far: 5 of 20 K loses a quarter; 20 all. (5 K above 693.15 is not exact in binary: to the nearest millionth.)
    check("5 of 20 K", limit(cool(), None, Some(20.0), None), &hot(5.0, 40..=44), None, Part, 750, &[]);
    check("21 of 20 K", limit(cool(), None, Some(20.0), None), &hot(21.0, 40..=44), None, Nothing, 0, &[]);
    // How long: 5 of 50 ticks loses a tenth. Both: the worse, 0.75 and 0.9.
    check(
        "5 of 50 ticks",
        limit(cool(), None, None, Some(50)),
        &hot(5.0, 40..=44),
        None,
        Part,
        900,
        &["4.5 s short of losing all"],
    );
    check("both", limit(cool(), None, Some(20.0), Some(50)), &hot(5.0, 40..=44), None, Part, 750, &[]);
    check("both, long", limit(cool(), None, Some(20.0), Some(50)), &hot(5.0, 0..=39), None, Part, 200, &[]);
    check("50 ticks", limit(cool(), None, Some(20.0), Some(50)), &hot(5.0, 0..=49), None, Nothing, 0, &[]);
    let twice = with(hot(5.0, 10..=14), &[(METAL, 20..=24, 700.0)]);
    check(
        "twice",
        limit(cool(), None, None, Some(50)),
        &twice,
        None,
        Part,
        800,
        &["broken twice, first at 00:01.0 (1.0 s in all)"],
    );
    // Only while the flame is lit.
    let lit = with(hot(12.0, 10..=12), &[(FLAME, 50..=59, 1.0)]);
    check(
        "not looked at",
        limit(cool(), Some(Formula::holds(FLAME)), None, None),
        &lit,
        None,
        Full,
        1000,
        &["all of the 1.0 s in which it counted", "came within 20.0 K"],
    );
    check(
        "never looked at",
        limit(cool(), Some(Formula::holds(FLAME)), None, None),
        &hot(12.0, 10..=12),
        None,
        NotAssessed,
        0,
        &["never came"],
    );
    // Cut by the end: seen kept.
    let settles = Formula::Eventually(Interval::within(20), Box::new(cool()));
    check(
        "cut",
        limit(settles, None, None, None),
        &hot(12.0, 90..=99),
        None,
        Full,
        1000,
        &["as far as was seen", "last 1.0 s short"],
    );
    // Unknown alone; unknown beside a breach; a breach of unknown size.
    let hole = with(quiet(100), &[(METAL, 10..=19, f64::NAN)]);
    check("a hole", limit(cool(), None, None, None), &hole, None, NotAssessed, 0, &["missing for 1.0 s"]);
    let worse = with(hole.clone(), &[(METAL, 40..=44, 698.15)]);
    check(
        "a hole and a breach",
        limit(cool(), None, None, Some(50)),
        &worse,
        None,
        Part,
        900,
        &["missing for 1.0 s, which was not counted"],
    );
    // A truth value has no distance: broken, nothing is left for it; by time it loses a tenth.
    let lit = with(quiet(100), &[(FLAME, 5..=99, 1.0)]);
    let burns = || Formula::holds(FLAME);
    check("no distance", limit(burns(), None, Some(20.0), None), &lit, None, Nothing, 0, &["0.5 s in all) | -"]);
    check("by time alone", limit(burns(), None, None, Some(50)), &lit, None, Part, 900, &["4.5 s short"]);
    // Two kinds of quantity: pascal and kelvin are not compared, each breach is told.
    let two = || Formula::All(vec![Formula::below(DRUM, 801_325.0), cool()]);
    check("two kinds kept", limit(two(), None, None, None), &quiet(100), None, Full, 1000, &["whole run | - |"]);
    let each = with(hot(3.0, 40..=44), &[(DRUM, 60..=64, 831_325.0)]);
    check(
        "two kinds broken",
        limit(two(), None, None, None),
        &each,
        None,
        Nothing,
        0,
        &["drum pressure went 0.30 bar past 7.00 barg, to 7.30 barg at 00:06.0; superheater metal went 3.0 K past"],
    );
}

#[test]
fn responses_by_hand() {
    let by = || Formula::holds(PURGE); // a moment
    let answer = |t: usize| with(quiet(200), &[(PURGE, t..=t, 1.0)]);
    let on = Some((50, None));
    // Onset at 50; whole up to 20 ticks, nothing from 60 on.
    check("at once", response(by(), 20, 60), &answer(50), on, Full, 1000, &["0.0 s after", "2.0 s in hand"]);
    check(
        "in time",
        response(by(), 20, 60),
        &answer(70),
        on,
        Full,
        1000,
        &["answered at 00:07.0, 2.0 s after the fault \"feed\" came on at 00:05.0", "0.0 s in hand"],
    );
    check("slow", response(by(), 20, 60), &answer(80), on, Part, 750, &["1.0 s too late"]);
    check("too slow", response(by(), 20, 60), &answer(110), on, Nothing, 0, &["4.0 s too late"]);
    check("before the fault only", response(by(), 20, 60), &answer(40), on, Nothing, 0, &["no answer"]);
    check("no answer", response(by(), 20, 60), &quiet(200), on, Nothing, 0, &["the run ended 14.9 s later"]);
    // The remedy stood before.
    let ready = with(quiet(200), &[(FLAME, 10..=199, 1.0)]);
    check("ready", response(Formula::holds(FLAME), 20, 60), &ready, on, Full, 1000, &["already so"]);
    // No chance.
    check("no fault", response(by(), 20, 60), &quiet(200), None, NotAssessed, 0, &["never came on"]);
    check("run over", response(by(), 20, 60), &quiet(60), on, NotAssessed, 0, &["the run ended 0.9 s after"]);
    check(
        "cleared",
        response(by(), 20, 60),
        &quiet(200),
        Some((50, Some(65))),
        NotAssessed,
        0,
        &["cleared 1.5 s after"],
    );
    check("the whole chance", response(by(), 20, 60), &quiet(200), Some((50, Some(70))), Nothing, 0, &[]);
    let mut again = record(&quiet(200), Some((50, Some(65))));
    again.events.extend(record(&quiet(200), Some((80, None))).events);
    let sheet = Sheet { items: vec![item("it", 10, false, response(by(), 20, 60))], pass: None, ..Sheet::default() };
    let language = Language { watched: &watched(), name: &name, unit: &|_| None };
    let r = mark(&sheet, &find(&sheet, &quiet(200)), &again, language);
    assert_eq!(r.verdicts[0].outcome, Nothing, "a fault that comes and goes still asks for its answer");
    check(
        "cleared late",
        response(by(), 20, 60),
        &quiet(200),
        Some((50, Some(75))),
        Nothing,
        0,
        &["cleared 2.5 s later"],
    );
    check("run over late", response(by(), 20, 60), &quiet(90), on, Nothing, 0, &[]);
    let hole = with(quiet(200), &[(PURGE, 100..=100, f64::NAN)]);
    check("a hole", response(by(), 20, 60), &hole, on, NotAssessed, 0, &["missing after the fault"]);
}

/// A fault on at 50 that the trainee cleared at 65, or the exercise did.
fn cleared_at_65(by_trainee: bool) -> Record {
    let mut r = record(&quiet(200), Some((50, None)));
    r.events.push(Event { tick: Tick(65), what: Happening::FaultOff { name: "feed".into(), by_trainee } });
    r
}

#[test]
fn a_fault_that_the_trainee_cleared_still_asks_for_its_answer() {
    let it = || vec![item("it", 10, false, response(Formula::holds(PURGE), 20, 60))];
    let rows = quiet(200);
    let v = run_with(it(), None, &rows, &cleared_at_65(true)).verdicts.remove(0);
    assert_eq!((v.outcome, v.out_of), (Nothing, Marks::whole(10)), "{}", v.found);
    let v = run_with(it(), None, &rows, &cleared_at_65(false)).verdicts.remove(0);
    assert_eq!((v.outcome, v.out_of), (NotAssessed, Marks(0)), "{}", v.found);
    let answered = with(quiet(200), &[(PURGE, 80..=80, 1.0)]);
    let v = run_with(it(), None, &answered, &cleared_at_65(true)).verdicts.remove(0);
    assert_eq!((v.outcome, v.earned), (Part, Marks(750)), "{}", v.found);
}

#[test]
fn the_clock_of_a_response_starts_when_the_panel_shows_its_fault() {
    let seen_at = |seen: Option<u32>| {
        let mut r = record(&quiet(200), Some((50, None)));
        r.events.push(match seen {
            Some(t) => Event {
                tick: Tick(t),
                what: Happening::FaultSeen {
                    name: "feed".into(),
                    on: Tag::new("LT-1"),
                    shown: "-12 mm".into(),
                    otherwise: "3 mm".into(),
                },
            },
            None => Event { tick: r.end, what: Happening::FaultUnseen { name: "feed".into() } },
        });
        r
    };
    let of = |seen, rows: &[[f64; 4]]| {
        let items = vec![item("it", 10, false, response(Formula::holds(PURGE), 20, 60))];
        run_with(items, None, rows, &seen_at(seen)).verdicts.remove(0)
    };
    let answer = |t: usize| with(quiet(200), &[(PURGE, t..=t, 1.0)]);
    // On at 50, seen at 90: whole up to 110, nothing from 150.
    let v = of(Some(90), &answer(110));
    assert_eq!(v.outcome, Full);
    assert_eq!(
        v.found,
        "answered at 00:11.0, 2.0 s after the panel first showed the fault \"feed\" at 00:09.0 (LT-1: -12 mm, without the fault 3 mm; it came on at 00:05.0)"
    );
    let v = of(Some(90), &answer(120));
    assert_eq!((v.outcome, v.earned.0, v.time_margin.as_deref()), (Part, 750, Some("1.0 s too late")));
    let v = of(Some(90), &answer(60));
    assert_eq!((v.outcome, v.time_margin.as_deref()), (Full, Some("2.0 s in hand")));
    assert!(v.found.contains("before it could be seen"), "{}", v.found);
    let v = of(Some(90), &answer(40));
    assert_eq!(v.outcome, Nothing, "an answer before the fault is none");
    assert!(v.found.starts_with("no answer after the panel first showed the fault"), "{}", v.found);
    let v = of(Some(50), &answer(60));
    assert!(v.found.contains("came on at 00:05.0 and showed at once (LT-1: -12 mm"), "{}", v.found);
    assert_eq!(of(Some(190), &quiet(200)).outcome, NotAssessed, "0.9 s were left of the run");
    // Nothing ever showed it: whoever found it all the same earns it, and nobody loses it.
    assert_eq!(of(None, &answer(180)).outcome, Full);
    let v = of(None, &quiet(200));
    assert_eq!(v.outcome, NotAssessed);
    assert!(v.found.contains("nothing on the panel showed it"), "{}", v.found);
}

#[test]
fn margins_are_told_in_the_unit_of_the_gauge() {
    let told = |dimension, symbol: &'static str, keep: Formula, value: f64| {
        let watched = [Watched { what: Observable::Actual(Tag::new("X-1")), dimension }];
        let sheet =
            Sheet { items: vec![item("it", 1, false, limit(keep, None, None, None))], pass: None, ..Sheet::default() };
        let mut watchers: Vec<Watcher> = watches(&sheet).iter().map(Watcher::new).collect();
        watchers[0].feed(&[value]);
        let found: Vec<Found> = watchers.into_iter().map(Watcher::finish).collect();
        let unit = |_: &Observable| base::units::unit(symbol);
        let language = Language { watched: &watched, name: &|_| "it".into(), unit: &unit };
        mark(&sheet, &found, &Record::default(), language).verdicts[0].value_margin.clone().unwrap_or_default()
    };
    let above = |x: f64| Formula::above(0, x);
    let mm = told(Dimension::Length, "mm", above(-0.14), -0.182);
    assert_eq!(mm, "it went 42 mm past -140 mm, to -182 mm at 00:00.0");
    let flow = told(Dimension::MassFlow, "t/h", above(0.05 / 3.6), 0.0);
    assert_eq!(flow, "it went 0.05 t/h past 0.05 t/h, to 0.00 t/h at 00:00.0");
    let open = told(Dimension::Fraction, "% open", above(0.9), 0.931);
    assert_eq!(open, "it came within 3.1 percentage points of 90.0 % open, at 00:00.0");
    let near = told(Dimension::Pressure, "barg", Formula::below(0, 901_325.0), 901_625.0);
    assert_eq!(near, "it went 0.003 bar past 8.00 barg, to 8.003 barg at 00:00.0");
    // Numbers that are worked out: a rate, a total, and how often.
    let measured = |term, how, with| Formula::Measured { term: Box::new(term), how, with };
    let rate =
        measured(monitor::Term::Rate(600, Box::new(monitor::Term::signal(0))), monitor::Comparison::Above, 1.0 / 60.0);
    let slow = told(Dimension::Temperature, "degC", rate, 300.0);
    assert_eq!(slow, "the rate of it over 1 min went 1.00 K/min past 1.00 K/min, to 0.00 K/min at 00:00.0");
    let total = monitor::Term::signal(0).over(monitor::Summary::Integral, monitor::Interval::ALL);
    let much = told(Dimension::MassFlow, "t/h", measured(total, monitor::Comparison::Below, 0.5), 10.0);
    assert_eq!(much, "the total of it over the whole run so far went 0.5 kg past 0.5 kg, to 1.0 kg at 00:00.0");
    let window = monitor::Interval::within(2999);
    let often = monitor::Term::Count(monitor::Edge::Rises, window, Box::new(above(0.5)));
    let often = told(Dimension::Number, "none", measured(often, monitor::Comparison::AtMost, 0.0), 1.0);
    assert_eq!(often, "the number of times, over 5 min went 1 past 0, to 1 at 00:00.0");
}

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
