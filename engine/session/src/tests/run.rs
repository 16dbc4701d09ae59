use super::*;
use crate::{Prepared, Saw, prepare};
use base::record::{Ending, Layer};
use monitor::{Formula, Verdict, Watch};

#[test]
fn an_action_acts_on_its_tick_and_is_seen_on_it() {
    let watched = vec![
        state(did(Verb::Operate, Some("XV-2104"), Some("open"))),
        state(Observable::Setting { on: Tag::new("XV-2104"), to: Some("open".into()) }),
        Watched { what: Observable::Actual(Tag::new("XV-2104")), dimension: Dimension::Fraction },
        state(Observable::Lit(Tag::new("XL-2105"))),
        Watched { what: Observable::Clock, dimension: Dimension::Time },
    ];
    let e = Exercise { watched, ..exercise(50) };
    let when = |signal, with| Watch::whole_run(Formula::above(signal, with));
    let watches = [when(0, 0.5), when(1, 0.5), when(2, 0.099), when(3, 0.5), when(4, 4.85)];
    let (plant, panel) = parts();
    let mut s = Session::new(Setup { watches: &watches, ..Setup::cold(plant, panel, &e) }).unwrap();
    s.act(open(20));
    s.run(&mut NoStory);
    let found = s.finish().found;
    let first_and_last = |i: usize| {
        let spans = found[i].kept.list();
        (spans[0].first.0, spans[spans.len() - 1].last.0)
    };
    assert_eq!(first_and_last(0), (20, 20), "the moment is one tick long");
    assert_eq!(first_and_last(1), (20, 50));
    assert_eq!(first_and_last(2), (20, 50), "the plant moves on the tick of the action");
    assert_eq!(first_and_last(3), (0, 19), "and the panel shows it on that tick");
    assert_eq!(first_and_last(4), (49, 50));
    assert_eq!(found[0].ever(), Verdict::Kept);
}

#[test]
fn what_cannot_be_done_is_recorded_with_the_reason() {
    let refused = |a: Action| {
        let told = lines(&played(&exercise(10), &[a]).record.events);
        assert_eq!(told.len(), 2, "{told:?}");
        told[0].clone()
    };
    let operate = |on: &str, to: &str| refused(action(3, Verb::Operate, on, to));
    assert_eq!(
        operate("XV-2140", "open"),
        "3 operate XV-2140: there is no control \"XV-2140\"; did you mean \"XV-2104\"?"
    );
    assert_eq!(
        operate("XV-2104", "opne"),
        "3 operate XV-2104: XV-2104 cannot be set to \"opne\"; did you mean \"open\"? \
         it can be set to \"open\", \"shut\", 0.0 % open to 100.0 % open"
    );
    assert!(operate("XV-2104", "120 % open").contains("it goes from 0.0 % open to 100.0 % open"));
    assert!(operate("XV-2104", "40 % firing").contains("\"% open\" is needed"));
    assert!(operate("XV-2104", "40 %").contains("must say of what"));
    assert!(operate("XV-2104", "").contains("what to set"));
    assert!(operate("", "open").contains("what to operate"));
    assert!(refused(action(3, Verb::Acknowledge, "", "")).contains("no alarm waits"));
    assert!(refused(action(3, Verb::Acknowledge, "XA-2104", "")).contains("does not wait"));
    assert!(refused(action(3, Verb::LocalCheck, "XV-2140", "")).contains("did you mean \"XV-2104\"?"));
    assert!(refused(action(3, Verb::Report, "", " ")).contains("says nothing"));
}

#[test]
fn a_run_goes_to_its_end_or_that_of_its_log() {
    assert_eq!(lines(&played(&exercise(30), &[]).record.events), ["30 TimeUp"]);
    let mut s = session(&exercise(30));
    s.log_ends_at(Tick(12));
    s.act(open(12));
    s.act(open(13));
    s.run(&mut NoStory);
    let f = s.finish();
    assert_eq!(f.not_reached, [open(13)]);
    assert_eq!((f.ending, f.record.end), (Ending::LogEnded, Tick(12)));
    assert_eq!(lines(&f.record.events), ["12 operate XV-2104: done", "12 XA-2104 Raised", "12 LogEnded"]);
}

#[test]
fn a_log_that_is_cut_off_ends_otherwise_than_one_that_says_so() {
    let mut s = session(&exercise(30));
    s.log_breaks_off_at(Tick(12));
    s.run(&mut NoStory);
    let f = s.finish();
    assert_eq!((f.ending.clone(), f.record.end), (Ending::LogCutOff, Tick(12)));
    assert!(f.ending.gradable() && !f.ending.of_the_whole_run());
    // The exercise was over before: all of it was seen.
    let mut s = session(&exercise(30));
    s.log_breaks_off_at(Tick(30));
    s.run(&mut NoStory);
    assert_eq!(s.finish().ending, Ending::TimeUp);
}

#[test]
fn a_run_ends_on_the_tick_before_its_panel_parts_from_the_recorded_one() {
    let saw = |tick, text: &str| crate::Saw {
        tick: Tick(tick),
        tag: Tag::new("XL-2104"),
        text: text.into(),
        place: Place::default(),
    };
    let ending = |readings: &[(u32, &str)]| {
        let mut s = session(&exercise(30));
        for (tick, text) in readings {
            s.saw(saw(*tick, text)).unwrap();
        }
        s.run(&mut NoStory);
        let f = s.finish();
        (f.record.end, f.ending, f.found.len(), f.drift.map(|d| d.tick))
    };
    let (end, why, _, at) = ending(&[(5, "dark"), (20, "lit"), (25, "lit")]);
    assert_eq!((end, at), (Tick(19), Some(Tick(20))));
    let words = "the trainee's panel showed lit for XL-2104 at 00:02.0, and the replay shows dark";
    assert_eq!(why, Ending::Drifted(words.into()));
    assert_eq!(ending(&[(0, "lit")]).0, Tick(0));
    assert_eq!(ending(&[(5, "dark")]).1, Ending::TimeUp);
}

fn busy_exercise() -> (Exercise, Vec<Action>) {
    let watched = vec![
        Watched { what: Observable::Actual(Tag::new("XV-2104")), dimension: Dimension::Fraction },
        state(did(Verb::LampTest, None, None)),
    ];
    let open_for_a_second = Moment::After(Formula::above(0, 0.5).lasted(10), 20);
    let e = Exercise {
        watched,
        trends: vec![Tag::new("XV-2104"), Tag::new("ZSH-2104")],
        faults: vec![
            plan("lamp", "XL-2104", "dark", Moment::At(Tick(70))),
            FaultPlan {
                clears: Moment::When(Formula::above(1, 0.5)),
                ..plan("stuck", "XV-2104", "seized", open_for_a_second)
            },
        ],
        ..exercise(600)
    };
    let actions = vec![
        open(10),
        action(30, Verb::LocalCheck, "V-2201", ""),
        action(40, Verb::Operate, "V-2201", "30 % open"),
        action(41, Verb::Acknowledge, "", ""),
        action(200, Verb::Operate, "XV-2104", "shut"),
        action(300, Verb::LampTest, "", ""),
    ];
    (e, actions)
}

#[test]
fn the_same_run_twice_gives_the_same_bits() {
    let (e, actions) = busy_exercise();
    let (a, b) = (played(&e, &actions), played(&e, &actions));
    assert!(a.record.events.len() > 10, "{:#?}", lines(&a.record.events));
    assert_eq!(format!("{a:?}"), format!("{b:?}"));
}

#[test]
fn a_checkpoint_goes_on_bit_for_bit() {
    let (e, actions) = busy_exercise();
    let whole = format!("{:?}", played(&e, &actions));
    for stop in [0, 41, 75, 160, 301] {
        let mut s = session(&e);
        actions.iter().cloned().for_each(|a| s.act(a));
        while s.now() < Tick(stop) {
            s.tick(&mut NoStory);
        }
        let mut resumed = s.clone();
        s.run(&mut NoStory);
        drop(s);
        resumed.run(&mut NoStory);
        assert_eq!(format!("{:?}", resumed.finish()), whole, "stopped before tick {stop}");
    }
}

#[test]
fn trends_are_taken_once_a_second_in_display_units() {
    let (e, actions) = busy_exercise();
    let channels = played(&e, &actions).record.channels;
    let told: Vec<_> = channels.iter().map(|c| (c.tag.as_str(), c.layer, c.unit.as_str())).collect();
    assert_eq!(
        told,
        [
            ("XV-2104", Layer::Actual, "% open"),
            ("ZSH-2104", Layer::Actual, "state"),
            ("ZSH-2104", Layer::Shown, "state")
        ]
    );
    assert_eq!(channels[0].values.len(), 61);
    let tenth = |v: f64| (v * 10.0).round() / 10.0;
    assert_eq!(channels[0].values[..4].iter().map(|v| tenth(*v)).collect::<Vec<_>>(), [0.0, 10.0, 100.0, 100.0]);
    // The dark lamp hides what is true.
    assert_eq!((channels[1].values[7], channels[2].values[7]), (1.0, 0.0));
}

#[test]
fn a_start_may_be_changed_or_prepared() {
    let mut e = exercise(30);
    e.start.changes = vec![(Tag::new("XV-2104"), "40 % open".into(), Place::default())];
    let mut s = session(&e);
    s.run(&mut NoStory);
    let id = s.plant().point(&Tag::new("XV-2104")).unwrap();
    assert_eq!(s.plant().actual(id).0, 0.4);

    let (plant, panel) = parts();
    let half = Prepared {
        name: "half open".into(),
        deeds: vec![crate::start::Deed {
            tick: Tick(3),
            on: Tag::new("XV-2104"),
            to: "50 % open".into(),
            place: Place::default(),
        }],
        lasts: Tick(103),
    };
    let plant = prepare(plant, &half).unwrap();
    assert_eq!(plant.actual(id).0, 0.5);
    let mut e = exercise(30);
    e.start.state = "half open".into();
    let cold = Session::new(Setup::cold(plant.clone(), panel.clone(), &e)).unwrap_err();
    assert_eq!(cold[0].code, "session::unknown-state");
    let mut s = Session::new(Setup { prepared: "half open", ..Setup::cold(plant, panel, &e) }).unwrap();
    s.run(&mut NoStory);
    // The valve was not shut before the run began: the alarm stands, and is no news.
    assert_eq!(lines(s.events()), ["30 TimeUp"]);
}

#[test]
fn a_state_goes_on_from_another_only_where_nothing_else_was_done() {
    let deed = |tick, to: &str| crate::start::Deed {
        tick: Tick(tick),
        on: Tag::new("XV-2104"),
        to: to.into(),
        place: Place::line("any.jsonl", tick),
    };
    let state = |deeds, lasts| Prepared { name: "a state".into(), deeds, lasts: Tick(lasts) };
    let first = state(vec![deed(3, "50 % open")], 60);
    let second = state(vec![deed(3, "50 % open"), deed(61, "open")], 200);
    assert_eq!(second.goes_on_from(&first), Some(Tick(61)));
    // Done on the last tick of the other, otherwise from the beginning, or the other way about.
    assert_eq!(state(vec![deed(3, "50 % open"), deed(60, "open")], 200).goes_on_from(&first), None);
    assert_eq!(state(vec![deed(3, "40 % open"), deed(61, "open")], 200).goes_on_from(&first), None);
    assert_eq!(first.goes_on_from(&second), None);
    assert_eq!(first.goes_on_from(&first), None);
    let (plant, _) = parts();
    let id = plant.point(&Tag::new("XV-2104")).unwrap();
    let half = prepare(plant.clone(), &first).unwrap();
    let on = crate::start::go_on(half, &second, Tick(61)).unwrap();
    let whole = prepare(plant, &second).unwrap();
    assert_eq!(on.actual(id).0.to_bits(), whole.actual(id).0.to_bits());
}

#[test]
fn drift_is_the_first_disagreement_with_the_log() {
    let saw = |tick, tag: &str, text: &str| Saw {
        tick: Tick(tick),
        tag: Tag::new(tag),
        text: text.into(),
        place: Place::line("log.jsonl", 4),
    };
    let mut s = session(&exercise(60));
    s.act(open(10));
    s.saw(saw(10, "XL-2105", "lit")).unwrap(); // before the action of the tick
    s.saw(saw(40, "XL-2104", "dark")).unwrap();
    s.saw(saw(30, "XA-2104", "raised")).unwrap();
    s.saw(saw(50, "XL-2105", "lit")).unwrap();
    let wrong = s.saw(saw(5, "XL-2104", "green")).unwrap_err();
    assert_eq!((wrong.code, wrong.place.line), ("session::saw", 4));
    assert_eq!(s.saw(saw(5, "XL-2140", "lit")).unwrap_err().hint.unwrap(), "did you mean \"XL-2104\"?");
    s.run(&mut NoStory);
    let drift = s.finish().drift.unwrap();
    assert_eq!((drift.tick, drift.tag.as_str(), drift.shown.as_str()), (Tick(40), "XL-2104", "lit"));
}

#[test]
fn a_size_that_is_no_number_is_refused() {
    let (mut plant, _) = parts();
    let seized = plant.failing(&Tag::new("XV-2104"), "seized").unwrap();
    assert!(plant.set_failing(seized, true, Some(f64::NAN)).is_err());
}

#[test]
fn whatever_a_trainee_does_a_run_can_be_replayed_and_resumed() {
    use base::random::Stream;
    let tags = ["XV-2104", "V-2201", "XL-2104", "XA-2104", "ZSH-2104", "XV-2140", ""];
    let words = ["open", "shut", "40 % open", "", "-1 % open", "hello"];
    let (e, _) = busy_exercise();
    let mut carried_out = 0;
    for seed in 0..200 {
        let mut random = Stream::new(seed, "actions");
        let mut pick = |n: usize| random.below(n as u64) as usize;
        let actions: Vec<Action> = (0..30)
            .map(|_| {
                let verb = Verb::ALL[pick(5)];
                action(pick(600) as u32, verb, tags[pick(tags.len())], words[pick(words.len())])
            })
            .collect();
        let stop = Tick(pick(600) as u32);
        let whole = played(&e, &actions);
        let mut s = session(&e);
        actions.iter().cloned().for_each(|a| s.act(a));
        while s.now() < stop {
            s.tick(&mut NoStory);
        }
        let mut resumed = s.clone();
        resumed.run(&mut NoStory);
        assert_eq!(resumed.finish(), whole, "seed {seed}");
        let all = whole.record.events.iter().filter(|e| matches!(e.what, Happening::Action { .. })).count();
        assert_eq!((all, whole.not_reached.len()), (30, 0), "every action is in the record");
        carried_out +=
            whole.record.events.iter().filter(|e| matches!(e.what, Happening::Action { refused: None, .. })).count();
    }
    assert!(carried_out > 2000, "{carried_out}");
}

/// A gauge told in whole volts used to drift at once: the reading is rounded by more than a hundredth of its scale.
#[test]
fn a_reading_may_be_off_by_its_last_digit() {
    let volt = base::units::unit("V").unwrap();
    assert_eq!(volt.last_digit(), 1.0);
    let bar = base::units::unit("barg").unwrap();
    assert!((bar.last_digit() - 1e3).abs() < 1e-9);
}
