use super::*;
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
