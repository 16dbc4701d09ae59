//! Runs that were not seen to their end: logs that break off, and replays that drift.

use super::{DRUM, FLAME, METAL, PURGE, item, limit, quiet, record, response, run_with, step, with};
use crate::{Outcome, RunResult};
use Outcome::{Full, NotAssessed, Nothing, Part};
use base::Tick;
use base::record::{Ending, Event, Happening};
use base::sheet::{Item, Marks};
use monitor::Formula;

/// Runs the items over the rows, which end so.
fn ended(
    items: Vec<Item<Formula>>,
    pass: Option<i64>,
    rows: &[[f64; 4]],
    on: Option<u32>,
    ending: Ending,
) -> RunResult {
    let mut r = record(rows, on.map(|t| (t, None)));
    r.events.push(Event { tick: r.end, what: Happening::Ended(ending) });
    run_with(items, pass, rows, &r)
}

fn endings() -> [Ending; 2] {
    [Ending::LogCutOff, Ending::Drifted("the trainee's panel showed something else".into())]
}

#[test]
fn a_log_that_is_cut_off_does_not_mark_what_lies_after_its_last_line() {
    let cool = || Formula::below(METAL, 693.15);
    // (what, item, rows, fault, whole run: outcome and hundredths, cut off: the same)
    let lit = |t: usize| with(quiet(100), &[(FLAME, t..=99, 1.0)]);
    let hot = with(quiet(100), &[(METAL, 40..=44, 698.15)]);
    let flame = |full, none| step(Formula::holds(FLAME), &[], full, none, 0);
    let answer = || Formula::holds(PURGE);
    let cases = [
        ("done stands", flame(None, None), lit(30), None, (Full, 1000), (Full, 1000)),
        ("late stands", flame(Some(20), Some(60)), lit(30), None, (Part, 750), (Part, 750)),
        ("not done", flame(None, None), quiet(100), None, (Nothing, 0), (NotAssessed, 0)),
        ("not done, time left", flame(Some(20), Some(200)), quiet(100), None, (Nothing, 0), (NotAssessed, 0)),
        ("not done, too late", flame(Some(20), Some(60)), quiet(100), None, (Nothing, 0), (Nothing, 0)),
        ("kept so far", limit(cool(), None, None, None), quiet(100), None, (Full, 1000), (NotAssessed, 0)),
        ("broken stands", limit(cool(), None, None, Some(50)), hot.clone(), None, (Part, 900), (Part, 900)),
        (
            "never counted",
            limit(cool(), Some(Formula::holds(FLAME)), None, None),
            hot,
            None,
            (NotAssessed, 0),
            (NotAssessed, 0),
        ),
        ("no answer yet", response(answer(), 20, 60), quiet(100), Some(50), (Nothing, 0), (NotAssessed, 0)),
        ("answer too late by now", response(answer(), 20, 60), quiet(120), Some(50), (Nothing, 0), (Nothing, 0)),
        (
            "answered",
            response(answer(), 20, 60),
            with(quiet(100), &[(PURGE, 60..=60, 1.0)]),
            Some(50),
            (Full, 1000),
            (Full, 1000),
        ),
        ("fault not yet", response(answer(), 20, 60), quiet(100), None, (NotAssessed, 0), (NotAssessed, 0)),
    ];
    for (what, kind, rows, on, whole, cut) in cases {
        let of = |ending| {
            let r = ended(vec![item("it", 10, false, kind.clone())], None, &rows, on, ending);
            let v = &r.verdicts[0];
            assert_eq!(r.out_of.0, if v.outcome == NotAssessed { 0 } else { 1000 }, "{what}");
            ((v.outcome, v.earned.0), v.found.clone())
        };
        assert_eq!(of(Ending::LogEnded).0, whole, "{what}, with an end line");
        for ending in endings() {
            let said =
                if ending == Ending::LogCutOff { "the log broke off at" } else { "parted from the recorded run" };
            let (came_out, found) = of(ending);
            assert_eq!(came_out, cut, "{what}: {found}");
            assert_eq!(found.contains(said), cut.0 == NotAssessed, "{what}: {found}");
        }
    }
}

#[test]
fn a_log_that_is_cut_off_is_passed_only_when_nothing_unseen_could_change_it() {
    let sheet = |critical| {
        vec![
            item("purge", 6, false, step(Formula::holds(PURGE), &[], None, None, 0)),
            item("drum", 4, critical, step(Formula::above(DRUM, 8e5), &[], None, None, 0)),
        ]
    };
    let rows = with(quiet(100), &[(PURGE, 10..=10, 1.0)]);
    // 6 earned, 4 open: between 6 and 10 of 10.
    let passed = |critical, pass| ended(sheet(critical), Some(pass), &rows, None, Ending::LogCutOff).passed;
    assert_eq!(passed(false, 6), Some(true));
    assert_eq!(passed(false, 7), None);
    assert_eq!(passed(true, 6), None, "what is open is critical");
    // Nothing earned, 6 lost for good, 4 open.
    let late = || {
        let mut s = sheet(false);
        s[0] = item("purge", 6, false, step(Formula::holds(PURGE), &[], Some(20), Some(60), 0));
        s
    };
    let r = ended(late(), Some(5), &quiet(100), None, Ending::LogCutOff);
    assert_eq!((r.earned, r.out_of, r.passed), (Marks(0), Marks(600), Some(false)));
    assert_eq!(ended(late(), Some(4), &quiet(100), None, Ending::LogCutOff).passed, None);
    // A critical item that is lost for good decides.
    let mut lost = late();
    lost[0].critical = true;
    let r = ended(lost, Some(1), &quiet(100), None, Ending::Drifted("so".into()));
    assert_eq!((r.passed, r.verdicts[0].when), (Some(false), None::<Tick>));
}
