use super::*;
use crate::Rhythm;
use monitor::{Formula, Interval};

fn opening() -> Watched {
    Watched { what: Observable::Actual(Tag::new("XV-2104")), dimension: Dimension::Fraction }
}

#[test]
fn a_fault_begins_at_its_time_after_its_condition_and_clears_likewise() {
    let e = Exercise {
        watched: vec![opening(), state(Observable::Fault("timed".into()))],
        faults: vec![
            FaultPlan { clears: Moment::At(Tick(30)), ..plan("timed", "XL-2104", "dark", Moment::At(Tick(5))) },
            plan("met", "XL-2104", "stuck lit", Moment::When(Formula::above(0, 0.45))),
            plan("later", "XL-2105", "dark", Moment::After(Formula::above(0, 0.45), 20)),
            // Its clearing condition holds before it begins, and counts only while it acts.
            FaultPlan {
                clears: Moment::When(Formula::below(1, 0.5)),
                ..plan("brief", "XL-2105", "stuck lit", Moment::At(Tick(20)))
            },
            plan("never", "XV-2104", "seized", Moment::ByStory),
        ],
        ..exercise(60)
    };
    let told = lines(&played(&e, &[open(10)]).record.events);
    let faults: Vec<_> = told.iter().filter(|l| l.contains(" on (") || l.ends_with(" off")).collect();
    assert_eq!(
        faults,
        [
            "5 timed on (shown)",
            "15 met on (shown)", // past 45 % at the end of tick 14
            "20 brief on (shown)",
            "30 timed off",
            "31 brief off",
            "34 later on (shown)",
        ]
    );
}

#[test]
fn a_dark_lamp_leaves_signal_and_truth_alone() {
    let e = Exercise { faults: vec![plan("lamp", "XL-2104", "dark", Moment::At(Tick(0)))], ..exercise(60) };
    let mut healthy = session(&exercise(60));
    let mut faulty = session(&e);
    for s in [&mut healthy, &mut faulty] {
        s.act(open(10));
        s.run(&mut NoStory);
    }
    let lit = |s: &Session| s.panel().lamps().iter().map(|l| l.lit()).collect::<Vec<_>>();
    assert_eq!((lit(&healthy), lit(&faulty)), (vec![true, false], vec![false, false]));
    for p in 0..healthy.plant().points().len() {
        let id = plant::PointId(p as u16);
        assert_eq!(healthy.plant().actual(id), faulty.plant().actual(id));
        assert_eq!(healthy.plant().signal(id), faulty.plant().signal(id));
    }
    let told = lines(faulty.events());
    assert!(told.contains(&"60 XL-2104 dark since 19, ZSH-2104: open".to_owned()), "{told:#?}");
}

#[test]
fn a_seized_valve_is_really_where_it_stands() {
    let stuck = FaultPlan { size: Some("30 % open".into()), ..plan("stuck", "XV-2104", "seized", Moment::At(Tick(0))) };
    let e = Exercise { faults: vec![stuck], ..exercise(60) };
    let mut s = session(&e);
    s.act(open(10));
    s.run(&mut NoStory);
    let id = s.plant().point(&Tag::new("XV-2104")).unwrap();
    assert_eq!(s.plant().actual(id).0, 0.3);
    let told = lines(s.events());
    assert_eq!(told[0], "0 stuck on (actual)");
    assert!(!told.iter().any(|l| l.contains("since")), "the panel tells the truth about it: {told:#?}");
}

#[test]
fn all_mistakes_of_an_exercise_are_told_at_once() {
    let watch = |what, dimension| Watched { what, dimension };
    let soon = Formula::Eventually(Interval::within(5), Box::new(Formula::above(0, 0.5)));
    let sized = |size: &str| FaultPlan { size: Some(size.into()), ..plan("s", "XV-2104", "seized", Moment::ByStory) };
    let mut e = Exercise {
        watched: vec![
            watch(Observable::Actual(Tag::new("XV-2140")), Dimension::Fraction),
            watch(Observable::Actual(Tag::new("XV-2104")), Dimension::Pressure),
            watch(Observable::Shown(Tag::new("ZSH-2201")), Dimension::State),
            watch(Observable::Signal(Tag::new("XV-2104")), Dimension::Fraction),
            state(Observable::Lit(Tag::new("XL-2014"))),
            state(Observable::Alarm(Tag::new("XA-2401"))),
            state(Observable::Fault("stuk".into())),
            state(did(Verb::Operate, Some("XV-2104"), Some("opened"))),
            state(did(Verb::LampTest, Some("XL-2104"), None)),
            state(Observable::Setting { on: Tag::new("V-2210"), to: None }),
        ],
        faults: vec![
            plan("stuck", "XV-2104", "seezed", Moment::ByStory),
            plan("lamp", "XL-2014", "dark", Moment::ByStory),
            plan("ahead", "XL-2104", "dark", Moment::When(soon)),
            sized("130 % open"),
            sized("30 % firing"),
            FaultPlan { size: Some("1 s".into()), ..plan("d", "XL-2104", "dark", Moment::ByStory) },
        ],
        trends: vec![Tag::new("ZSH-2014")],
        ..exercise(0)
    };
    e.start.changes = vec![(Tag::new("XV-2104"), "ajar".into(), Place::line("lesson.lua", 3))];
    let (plant, panel) = parts();
    let wrong = Session::new(Setup::cold(plant, panel, &e)).unwrap_err();
    let told: Vec<_> =
        wrong.iter().map(|d| format!("{} {} / {}", d.code, d.message, d.hint.as_deref().unwrap_or("-"))).collect();
    for expected in [
        "instrument \"XV-2140\" / did you mean \"XV-2104\"?",
        "actual XV-2104 is compared with a pressure, and it is a percentage of something",
        "session::not-shown nothing on the panel shows ZSH-2201",
        "session::no-signal",
        "lamp \"XL-2014\" / did you mean \"XL-2104\"?",
        "alarm \"XA-2401\" / did you mean \"XA-2104\"?",
        "no fault \"stuk\" / did you mean",
        "cannot be set to \"opened\" / did you mean \"open\"?",
        "session::lamp-test",
        "control \"V-2210\" / did you mean \"V-2201\"?",
        "XV-2104 cannot be \"seezed\" / did you mean \"seized\"? it can be seized",
        "nothing with the tag \"XL-2014\" can fail / did you mean \"XL-2104\"?",
        "session::looks-ahead",
        "a position of 130 % open is out of range / it goes from 0.0 % open to 100.0 % open",
        "in its position, \"30 % firing\" is in \"% firing\", and \"% open\" is needed",
        "\"dark\" has no size",
        "there are two faults \"s\"",
        "instrument \"ZSH-2014\"",
        "session::lasts",
        "cannot be set to \"ajar\"",
    ] {
        assert!(told.iter().any(|t| t.contains(expected)), "{expected}\nin {told:#?}");
    }
    assert_eq!(wrong.iter().find(|d| d.code == "session::looks-ahead").unwrap().place.line, 7);
}

fn size_of(text: &str) -> Option<String> {
    Some(text.into())
}

/// How far XV-2104 passes is not seen by any point; how slowly it moves is.
#[test]
fn a_fault_grows_over_its_time_and_its_whole_size_acts_then() {
    let slow = |over| FaultPlan {
        size: size_of("11 none"),
        grows: Growth { over, rhythm: None },
        ..plan("slow", "XV-2104", "sluggish", Moment::At(Tick(0)))
    };
    let opened = |over| {
        let mut s = session(&Exercise { faults: vec![slow(over)], ..exercise(60) });
        s.act(open(0));
        (0..20).for_each(|_| s.tick(&mut NoStory));
        let id = s.plant().point(&Tag::new("XV-2104")).unwrap();
        s.plant().actual(id).0
    };
    // A stroke of 1 s: each tick moves 0.1 over how sluggish it is. From 2 to 11 times in ten ticks, then 11 times.
    let expected: f64 = (1..=10).map(|n| 0.1 / (1.0 + f64::from(n))).sum::<f64>() + 10.0 * 0.1 / 11.0;
    assert!((opened(10) - expected).abs() < 1e-9, "{} {expected}", opened(10));
    assert!((opened(0) - 20.0 * 0.1 / 11.0).abs() < 1e-9);
}

#[test]
fn a_fault_comes_and_goes_by_the_seed_and_acts_all_the_while() {
    let rhythm = Some(Rhythm { there: (3, 6), away: (2, 4) });
    let flickers = FaultPlan {
        grows: Growth { over: 0, rhythm },
        clears: Moment::At(Tick(50)),
        ..plan("lamp", "XL-2105", "dark", Moment::At(Tick(5)))
    };
    let e = Exercise { faults: vec![flickers], ..exercise(80) };
    let lit = |seed| -> Vec<bool> {
        let (plant, panel) = parts();
        let mut s = Session::new(Setup { seed, ..Setup::cold(plant, panel, &e) }).unwrap();
        let lit = (0..70).map(|_| {
            s.tick(&mut NoStory);
            s.panel().lit(1)
        });
        let lit = lit.collect();
        let told: Vec<String> = lines(s.events()).into_iter().filter(|l| l.contains("lamp")).collect();
        assert_eq!(told, ["5 lamp on (shown)", "50 lamp off"]);
        lit
    };
    let one = lit(1);
    assert_eq!(one, lit(1));
    assert_ne!(one, lit(2));
    assert!(one[..5].iter().all(|l| *l) && one[50..].iter().all(|l| *l));
    let turns = one[5..50].windows(2).filter(|w| w[0] != w[1]).count();
    assert!((7..=18).contains(&turns), "{turns} turns in 45 ticks");
}

#[test]
fn of_two_faults_on_one_target_the_stronger_acts_and_the_other_stays_when_it_clears() {
    let passing = |name: &str, times: &str, from, to| FaultPlan {
        size: size_of(times),
        clears: Moment::At(Tick(to)),
        ..plan(name, "XV-2104", "sluggish", Moment::At(Tick(from)))
    };
    let e = Exercise {
        faults: vec![passing("little", "2 none", 0, 40), passing("much", "10 none", 10, 20)],
        ..exercise(60)
    };
    let mut s = session(&e);
    s.act(open(0));
    let mut moved = vec![];
    for _ in 0..30 {
        let id = s.plant().point(&Tag::new("XV-2104")).unwrap();
        let before = s.plant().actual(id).0;
        s.tick(&mut NoStory);
        moved.push(s.plant().actual(id).0 - before);
    }
    for (tick, m) in moved.iter().enumerate() {
        let times = if (10..20).contains(&tick) { 10.0 } else { 2.0 };
        let left = if tick < 20 { 1.0 } else { *m * times / 0.1 };
        assert!((m - left * 0.1 / times).abs() < 1e-9, "{tick}: {m}");
    }
}

#[test]
fn a_fault_begins_on_an_action_and_the_helper_repairs_it() {
    let fault =
        FaultPlan { repair: Some(100), ..plan("lamp", "XL-2105", "dark", Moment::When(Formula::above(0, 0.5))) };
    let valve = FaultPlan {
        size: size_of("0 % open"),
        repair: Some(50),
        ..plan("stuck", "XV-2104", "seized", Moment::At(Tick(0)))
    };
    let for_ever = plan("for ever", "XL-2104", "dark", Moment::At(Tick(0)));
    let e = Exercise {
        watched: vec![state(did(Verb::LampTest, None, None))],
        faults: vec![fault, valve, for_ever],
        ..exercise(2000)
    };
    let repair = |tick, on| action(tick, Verb::Repair, on, "");
    let told = lines(
        &played(
            &e,
            &[
                action(10, Verb::LampTest, "", ""),
                // The control room is no way off; a valve is a walk of 10 s.
                repair(20, "XL-2105"),
                repair(30, "XV-2104"),
                repair(40, "XL-2104"),
                repair(50, "XL-2105"),
                repair(60, "V-2290"),
                repair(1500, "V-2201"),
            ],
        )
        .record
        .events,
    );
    let kept: Vec<&String> =
        told.iter().filter(|l| !l.contains("XA-2104") && !l.contains("since") && !l.contains("TimeUp")).collect();
    assert_eq!(
        kept,
        [
            "0 stuck on (actual)",
            "0 for ever on (shown)",
            "10 lamp test : done",
            "11 lamp on (shown)",
            "20 repair XL-2105: done",
            "30 repair XV-2104: done",
            "40 repair XL-2104: done",
            "50 repair XL-2105: done",
            "60 repair V-2290: there is no thing to repair \"V-2290\"; did you mean \"V-2201\"?",
            "120 helper at XL-2105: repaired",
            "120 lamp off",
            "270 helper at XV-2104: repaired",
            "270 stuck off",
            "420 helper at XL-2104: nothing found that could be repaired",
            "470 helper at XL-2105: nothing found that could be repaired",
            "1500 repair V-2201: done",
            "1750 helper at V-2201: nothing found that could be repaired",
        ]
    );
    let off = |name: &str| {
        let all = played(&e, &[action(10, Verb::LampTest, "", ""), repair(20, "XL-2105")]).record.events;
        all.into_iter().find_map(|e| match e.what {
            Happening::FaultOff { name: n, by_trainee } if n == name => Some(by_trainee),
            _ => None,
        })
    };
    assert_eq!((off("lamp"), off("for ever")), (Some(true), None));
}

#[test]
fn what_cannot_grow_is_told() {
    let grows = Growth { over: 10, rhythm: None };
    let e = Exercise {
        faults: vec![
            FaultPlan { grows, ..plan("lamp", "XL-2104", "dark", Moment::ByStory) },
            FaultPlan { grows, size: size_of("30 % open"), ..plan("place", "XV-2104", "seized", Moment::ByStory) },
            FaultPlan { grows, ..plan("default", "XV-2104", "passing", Moment::ByStory) },
        ],
        ..exercise(60)
    };
    let (plant, panel) = parts();
    let wrong = Session::new(Setup::cold(plant, panel, &e)).unwrap_err();
    let told: Vec<_> = wrong.iter().map(|d| (d.code, d.message.as_str())).collect();
    assert_eq!(
        told,
        [
            ("session::grows", "fault \"lamp\": \"dark\" is there or it is not, and cannot grow"),
            ("session::grows", "fault \"place\": \"seized\" is there or it is not, and cannot grow"),
        ]
    );
}
