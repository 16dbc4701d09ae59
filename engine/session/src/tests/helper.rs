use super::*;

fn check(tick: u32, on: &str) -> Action {
    action(tick, Verb::LocalCheck, on, "")
}

#[test]
fn a_local_check_takes_the_walk_and_tells_what_is_true() {
    // A dark lamp asks for a look: 10 s to the boiler front, 5 s there; then again, without a walk.
    let stuck = FaultPlan { size: Some("30 % open".into()), ..plan("stuck", "XV-2104", "seized", Moment::At(Tick(0))) };
    let e = Exercise { faults: vec![stuck], ..exercise(600) };
    let told = lines(&played(&e, &[check(20, "XV-2104"), check(200, "XL-2104")]).record.events);
    let helper: Vec<_> = told.iter().filter(|l| l.contains("helper at")).collect();
    assert_eq!(
        helper,
        [
            "170 helper at XV-2104: the XV-2104: 30.0 % open",
            "250 helper at XL-2104: the XV-2104, open limit switch: not open"
        ]
    );
}

#[test]
fn requests_wait_in_order_and_too_many_are_refused() {
    let actions = [
        check(0, "XV-2104"),
        check(1, "V-2201"),
        check(2, "XV-2104"),
        check(3, "XV-2104"),
        check(4, "V-2201"),
        check(300, "V-2201"),
    ];
    let told = lines(&played(&exercise(1500), &actions).record.events);
    let helper: Vec<_> = told.iter().filter(|l| l.contains("helper")).collect();
    assert_eq!(
        helper,
        [
            "4 local check V-2201: the helper is busy, and 3 requests wait already",
            "150 helper at XV-2104: the XV-2104: 0.0 % open",
            "400 helper at V-2201: the V-2201: 0.0 % open", // 20 s from one level to the other
            "650 helper at XV-2104: the XV-2104: 0.0 % open",
            "700 helper at XV-2104: the XV-2104: 0.0 % open", // already there
            "950 helper at V-2201: the V-2201: 0.0 % open",
        ]
    );
}

#[test]
fn what_is_worked_on_the_spot_is_worked_when_the_helper_arrives() {
    let e = Exercise {
        watched: vec![state(did(Verb::Operate, Some("V-2201"), Some("open")))],
        faults: vec![plan("lamp", "XL-2104", "dark", Moment::When(monitor::Formula::above(0, 0.5)))],
        ..exercise(600)
    };
    let mut s = session(&e);
    s.act(action(10, Verb::Operate, "V-2201", "open"));
    let id = s.plant().point(&Tag::new("V-2201")).unwrap();
    while s.now() < Tick(210) {
        s.tick(&mut NoStory);
    }
    assert_eq!(s.plant().actual(id).0, 0.0, "20 s of walking");
    s.tick(&mut NoStory);
    assert!((s.plant().actual(id).0 - 0.01).abs() < 1e-12, "then its stroke begins");
    s.run(&mut NoStory);
    assert_eq!(
        lines(s.events()),
        [
            "10 operate V-2201: done", // the moment is that of the order
            "11 lamp on (shown)",
            "260 helper at V-2201: opening as ordered; the V-2201: 50.0 % open so far",
            "600 TimeUp"
        ]
    );
}

/// Once a control that was ordered while the helper stood beside it, free, was never worked and yet
/// told as "set as ordered".
#[test]
fn a_control_beside_an_idle_helper_is_worked_too() {
    let e = exercise(1200);
    let mut s = session(&e);
    s.act(check(10, "V-2201"));
    s.act(action(600, Verb::Operate, "V-2201", "open"));
    let id = s.plant().point(&Tag::new("V-2201")).unwrap();
    while s.now() < Tick(603) {
        s.tick(&mut NoStory);
    }
    assert!(s.plant().actual(id).0 > 0.0, "nobody has to walk: it moves at once");
    s.run(&mut NoStory);
    assert_eq!(s.plant().actual(id).0, 1.0);
}

/// Once the helper said "set to open as ordered" of a valve that was still on its way, or did not move.
#[test]
fn the_helper_tells_whether_what_was_worked_is_there_on_its_way_or_stuck() {
    let told = |e: &Exercise, actions: &[Action]| -> Vec<String> {
        let all = lines(&played(e, actions).record.events);
        all.into_iter().filter(|l| l.contains("helper at")).collect()
    };
    let order = |tick: u32, to: &str| action(tick, Verb::Operate, "V-2201", to);
    assert_eq!(
        told(&exercise(1200), &[order(10, "open"), order(300, "open"), order(500, "shut")]),
        [
            "260 helper at V-2201: opening as ordered; the V-2201: 50.0 % open so far",
            "350 helper at V-2201: set to open as ordered; the V-2201: 100.0 % open",
            "550 helper at V-2201: shutting as ordered; the V-2201: 51.0 % open so far",
        ]
    );
    let stuck = FaultPlan { size: Some("30 % open".into()), ..plan("stuck", "V-2201", "seized", Moment::At(Tick(0))) };
    let e = Exercise { faults: vec![stuck], ..exercise(600) };
    assert_eq!(
        told(&e, &[order(10, "open")]),
        ["260 helper at V-2201: was ordered to open, and does not move; the V-2201: 30.0 % open"]
    );
}
