//! Responses by hand: the clock, the answer, and who had no fair chance.

use super::*;
use crate::Outcome::{Full, NotAssessed, Nothing, Part};

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
    // Missing when the time for any marks was over (110): it can hide nothing that would count.
    let hole = |t: usize| with(quiet(200), &[(PURGE, t..=t, f64::NAN)]);
    check("a hole too late", response(by(), 20, 60), &hole(110), on, Nothing, 0, &["no answer"]);
    check("a hole in time", response(by(), 20, 60), &hole(109), on, NotAssessed, 0, &["missing after the fault"]);
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
