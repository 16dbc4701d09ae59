use super::*;
use crate::Onlooker;

/// When each fault was seen, by what.
fn sightings(e: &Exercise, actions: &[Action], until: u32) -> Vec<String> {
    let mut s = session(e);
    for a in actions {
        s.act(a.clone());
    }
    s.log_ends_at(Tick(until));
    let mut onlooker = Onlooker::new(e.faults.iter().map(|f| f.name.clone()));
    while s.ended().is_none() {
        onlooker.before_tick(&s);
        s.tick(&mut NoStory);
        onlooker.after_tick(&s);
    }
    let mut record = s.finish().record;
    onlooker.tell(&mut record);
    assert!(record.events.is_sorted_by_key(|e| e.tick));
    assert!(matches!(record.events.last().unwrap().what, Happening::Ended(_)), "the end comes last");
    let told = record.events.iter().filter_map(|e| match &e.what {
        Happening::FaultSeen { name, on, shown, otherwise } => {
            Some(format!("{} {name}: {on} {shown}, not {otherwise}", e.tick.0))
        }
        Happening::FaultUnseen { name } => Some(format!("{} {name} unseen", e.tick.0)),
        _ => None,
    });
    told.collect()
}

#[test]
fn a_dark_lamp_is_seen_when_it_should_be_lit() {
    let e = Exercise { faults: vec![plan("lamp", "XL-2104", "dark", Moment::At(Tick(3)))], ..exercise(200) };
    assert_eq!(sightings(&e, &[], 150), ["150 lamp unseen"], "nothing asks for the lamp");
    let test = action(40, Verb::LampTest, "", "");
    assert_eq!(sightings(&e, std::slice::from_ref(&test), 150), ["40 lamp: XL-2104 dark, not lit"]);
    let first = sightings(&e, &[open(10), test], 150);
    assert_eq!(first, sightings(&e, &[open(10)], 150)[..1], "the valve is open before the test, or the test shows it");
}

#[test]
fn a_fault_that_has_not_begun_is_neither_seen_nor_unseen() {
    let e = Exercise { faults: vec![plan("lamp", "XL-2104", "dark", Moment::At(Tick(90)))], ..exercise(200) };
    assert_eq!(sightings(&e, &[], 50), [""; 0]);
    assert_eq!(sightings(&e, &[], 90), ["90 lamp unseen"]);
}

#[test]
fn a_seized_valve_is_seen_when_its_lamp_stays_away_whatever_else_fails() {
    let faults = vec![
        plan("stuck", "XV-2104", "seized", Moment::At(Tick(0))),
        plan("lamp", "XL-2105", "dark", Moment::At(Tick(5))),
    ];
    let e = Exercise { faults, ..exercise(400) };
    // Without its fault the valve leaves its seat with the order at 20, and the alarm of that comes up.
    let told = sightings(&e, &[open(20)], 300);
    assert_eq!(told, ["5 lamp: XL-2105 dark, not lit", "20 stuck: XA-2104 normal, not raised"]);
}
