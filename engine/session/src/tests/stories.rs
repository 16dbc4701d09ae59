use super::*;
use crate::{COMMANDS_A_TICK, Command, Story, StoryFailure, View, Wait};
use base::record::Ending;
use monitor::Formula;

/// A story written as a function of coroutine, how often it was woken, and view.
struct Written<F> {
    woken: Vec<usize>,
    tell: F,
}

impl<F: FnMut(usize, usize, &dyn View, &mut Vec<Command>) -> Wait> Story for Written<F> {
    fn wake(&mut self, c: usize, view: &dyn View, commands: &mut Vec<Command>) -> Result<Wait, StoryFailure> {
        self.woken.resize(self.woken.len().max(c + 1), 0);
        self.woken[c] += 1;
        Ok((self.tell)(c, self.woken[c], view, commands))
    }
}

fn told(
    e: &Exercise,
    actions: &[Action],
    tell: impl FnMut(usize, usize, &dyn View, &mut Vec<Command>) -> Wait,
) -> Finished {
    let mut s = session(e);
    actions.iter().cloned().for_each(|a| s.act(a));
    s.run(&mut Written { woken: vec![], tell });
    s.finish()
}

fn until(what: Observable, latest: Option<u32>) -> Wait {
    Wait::For { condition: Formula::above(0, 0.5), watched: vec![state(what)], latest: latest.map(Tick) }
}

/// The small plant in the open air, whose temperature a story can change.
fn in_the_open_air(e: &Exercise) -> Session {
    let mut d = description();
    d.components.push(part("open air", "A-1", &[], &[("temperature", "24 degC"), ("humidity", "60 % of rated")]));
    let plant = Plant::build(&d).unwrap();
    let panel = Panel::build(&d, &plant).unwrap();
    Session::new(Setup::cold(plant, panel, e)).unwrap()
}

fn air(s: &Session) -> f64 {
    s.plant().surrounds(s.plant().surrounding("air temperature").unwrap())
}

#[test]
fn a_story_changes_the_weather_and_a_run_beside_has_the_same() {
    let plans = vec![plan("stuck", "XV-2104", "seized", Moment::At(Tick(12)))];
    let e = Exercise { stories: 1, faults: plans, ..exercise(60) };
    let mut s = in_the_open_air(&e);
    let warmer = |to: f64, over| Command::Surround { what: "air temperature".into(), to, over };
    let mut story = Written {
        woken: vec![],
        tell: |_, n, _: &dyn View, commands: &mut Vec<Command>| match n {
            1 => Wait::Until(Tick(9)),
            2 => {
                commands.push(warmer(307.15, 10));
                Wait::Until(Tick(14))
            }
            // On its way it is sent elsewhere.
            _ => {
                commands.push(warmer(300.15, 2));
                Wait::Done
            }
        },
    };
    let (mut airs, mut beside) = (vec![], None);
    while s.ended().is_none() {
        if s.now() == Tick(12) {
            beside = Some(s.without(0));
        }
        s.tick(&mut story);
        airs.push(air(&s));
        if let Some(other) = &mut beside {
            other.tick_along(&s);
            assert_eq!(air(other), air(&s), "tick {}", airs.len() - 1);
        }
    }
    assert_eq!(airs[9], 297.15);
    let close = |tick: usize, to: f64| assert!((airs[tick] - to).abs() < 1e-9, "tick {tick}: {}", airs[tick]);
    (10..15).for_each(|t| close(t, 297.15 + (t - 9) as f64));
    close(15, 302.15 - 1.0);
    assert!(airs[16..].iter().all(|t| *t == 300.15), "{airs:?}");
    let told = lines(s.events()).into_iter().filter(|l| l.contains("Weather")).collect::<Vec<_>>();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].starts_with("10 Weather") && told[0].contains("from: \"24") && told[0].contains("to: \"34"));
    assert!(told[1].starts_with("15 Weather") && told[1].contains("from: \"29") && told[1].contains("over: 2"));
}

#[test]
fn a_command_that_cannot_be_carried_out_ends_the_run() {
    let sized = FaultPlan { size: Some("2 none".into()), ..plan("slow", "XV-2104", "sluggish", Moment::At(Tick(3))) };
    let e =
        Exercise { stories: 1, faults: vec![sized, plan("lamp", "XL-2104", "dark", Moment::ByStory)], ..exercise(60) };
    let grow = |fault: &str, size| Command::Grow { fault: fault.into(), size, over: 5 };
    for (command, why) in [
        (grow("slow", 1e4), "goes from"),
        (grow("lamp", 0.5), "cannot grow"),
        (grow("slwo", 2.0), "did you mean \"slow\"?"),
        (Command::Surround { what: "air temprature".into(), to: 300.0, over: 0 }, "did you mean \"air temperature\"?"),
        (Command::Surround { what: "air temperature".into(), to: 400.0, over: 9 }, "goes from"),
        (Command::Switch { consumer: "air temperature".into(), put_in: true }, "not switched"),
    ] {
        let mut s = in_the_open_air(&e);
        let tell = |_: usize, _: usize, _: &dyn View, commands: &mut Vec<Command>| {
            commands.push(command.clone());
            Wait::Done
        };
        s.run(&mut Written { woken: vec![], tell });
        let Some(Ending::ScriptFailed(told)) = s.ended() else { panic!("{command:?}: {:?}", s.ended()) };
        assert!(told.contains(why), "{command:?}: {told}");
        assert!(s.failure().is_some());
    }
    // A fault that does not act, since it was mended or has not begun, has no size to change.
    let f = told(&e, &[], |_, _, _, commands| {
        commands.push(grow("slow", 5.0));
        Wait::Done
    });
    assert_eq!(lines(&f.record.events), ["3 slow on (actual)", "60 TimeUp"]);
}

#[test]
fn a_story_waits_looks_and_commands() {
    let e = Exercise { stories: 2, faults: vec![plan("lamp", "XL-2104", "dark", Moment::ByStory)], ..exercise(100) };
    let opened = || did(Verb::Operate, Some("XV-2104"), Some("100 % open"));
    let by_word = || did(Verb::Operate, Some("XV-2104"), Some("open"));
    let f = told(&e, &[open(10)], |c, n, view, commands| match (c, n) {
        (0, 1) => {
            assert_eq!((view.now(), view.ever(&by_word())), (Tick(0), Some(false)));
            until(by_word(), None)
        }
        (0, 2) => {
            assert!(view.condition_met());
            assert_eq!(view.value(&by_word()), Some(1.0));
            assert_eq!(view.value(&opened()), Some(0.0), "the word and the dial are two orders");
            assert_eq!(view.value(&Observable::Actual(Tag::new("XV-2140"))), None);
            commands.push(Command::Inject("lamp".into()));
            commands.push(Command::Note(format!("at {}", view.now())));
            until(by_word(), Some(45))
        }
        (0, _) => {
            assert!(!view.condition_met());
            assert_eq!((view.now(), view.ever(&by_word())), (Tick(45), Some(true)));
            assert_eq!(view.value(&Observable::Fault("lamp".into())), Some(1.0));
            commands.push(Command::Clear("lamp".into()));
            Wait::Done
        }
        (_, 1) => Wait::Until(Tick(20)),
        _ => {
            assert_eq!(view.now(), Tick(20));
            commands.push(Command::Tell("hello".into()));
            Wait::Done
        }
    });
    assert_eq!(
        lines(&f.record.events),
        [
            "10 operate XV-2104: done",
            "10 XA-2104 Raised",
            "11 lamp on (shown)",
            "11 note at 00:01.0",
            "21 told hello",
            "46 lamp off",
            "46 XL-2104 dark since 19, ZSH-2104: open",
            "100 TimeUp"
        ]
    );
}

#[test]
fn a_story_can_end_the_run() {
    let f = told(&Exercise { stories: 1, ..exercise(100) }, &[], |_, _, _, commands| {
        commands.push(Command::End("enough".into()));
        commands.push(Command::Tell("goodbye".into()));
        Wait::Done
    });
    assert_eq!((&f.ending, f.record.end), (&Ending::Story("enough".into()), Tick(1)));
    assert_eq!(lines(&f.record.events), ["1 told goodbye", "1 Story(\"enough\")"]);
}

#[test]
fn a_story_that_goes_wrong_ends_the_run_without_a_result() {
    let ends = |tell: &dyn Fn(&mut Vec<Command>) -> Wait, code: &str, says: &str| {
        let f = told(&Exercise { stories: 1, ..exercise(100) }, &[], |_, n, _, commands| {
            if n == 1 { tell(commands) } else { Wait::Until(Tick(0)) }
        });
        let failure = f.failure.expect("the story failed");
        assert_eq!(failure.code, code);
        assert!(failure.told().contains(says), "{}", failure.told());
        assert_eq!(f.ending, Ending::ScriptFailed(failure.told()));
    };
    let flood = |commands: &mut Vec<Command>| {
        commands.extend((0..=COMMANDS_A_TICK).map(|_| Command::Note("again".into())));
        Wait::Done
    };
    ends(&flood, "session::too-many-commands", "101 commands in one tick");
    let unknown = |commands: &mut Vec<Command>| {
        commands.push(Command::Inject("lmap".into()));
        Wait::Done
    };
    ends(&unknown, "session::unknown-fault", "no fault \"lmap\"");
    let wrong_tag = |_: &mut Vec<Command>| until(Observable::Lit(Tag::new("XL-2014")), None);
    ends(&wrong_tag, "session::unknown-tag", "did you mean \"XL-2104\"?");
    let ahead = |_: &mut Vec<Command>| Wait::For {
        condition: Formula::Eventually(monitor::Interval::ALL, Box::new(Formula::above(0, 0.5))),
        watched: vec![state(Observable::Fault("x".into()))].into_iter().take(0).collect(),
        latest: None,
    };
    ends(&ahead, "session::looks-ahead", "nobody can know the future");
}

#[test]
fn a_story_that_waits_for_the_past_cannot_spin_within_a_tick() {
    let mut wakes = 0;
    let f = told(&Exercise { stories: 1, ..exercise(50) }, &[], |_, _, _, _| {
        wakes += 1;
        Wait::Until(Tick(0))
    });
    assert_eq!((f.ending, wakes), (Ending::TimeUp, 51));
}
