use super::*;

#[test]
fn the_lamp_test_finds_the_dark_lamp() {
    let e = Exercise { faults: vec![plan("lamp", "XL-2105", "dark", Moment::At(Tick(0)))], ..exercise(100) };
    let mut s = session(&e);
    s.act(action(20, Verb::LampTest, "", ""));
    let mut seen = vec![];
    while s.ended().is_none() {
        s.tick(&mut NoStory);
        seen.push(s.panel().lamps().iter().map(|l| l.lit()).collect::<Vec<_>>());
    }
    assert_eq!(seen[19], [false, false]);
    assert!(seen[20..50].iter().all(|l| *l == [true, false]));
    assert_eq!(seen[50], [false, false]);
}

#[test]
fn alarms_are_raised_acknowledged_and_cleared() {
    let shut = |tick| action(tick, Verb::Operate, "XV-2104", "shut");
    let ack = |tick, on| action(tick, Verb::Acknowledge, on, "");
    let actions = [open(0), ack(10, "XA-2104"), shut(20), open(100), shut(110), ack(150, ""), ack(160, "")];
    let e = Exercise {
        watched: vec![state(did(Verb::Acknowledge, Some("XA-2104"), None))],
        faults: vec![plan(
            "seen",
            "XL-2104",
            "dark",
            Moment::When(monitor::Formula::Once(monitor::Interval::ALL, Box::new(monitor::Formula::above(0, 0.5)))),
        )],
        ..exercise(200)
    };
    let told = lines(&played(&e, &actions).record.events);
    let alarms: Vec<_> =
        told.iter().filter(|l| l.contains("XA") || l.contains("acknow") || l.contains("seen")).collect();
    assert_eq!(
        alarms,
        [
            "0 XA-2104 Raised",
            "10 acknowledge XA-2104: done",
            "10 XA-2104 Acknowledged",
            "11 seen on (shown)",
            "29 XA-2104 Cleared",
            "100 XA-2104 Raised",
            "119 XA-2104 Cleared",
            "150 acknowledge : done",
            "150 XA-2104 Acknowledged",
            "160 acknowledge : no alarm waits to be acknowledged",
        ]
    );
}
