//! Cooling before heat, air before pneumatic valves, pumps that stand by.

use super::super::hand::{Hand, in_state, ready};
use base::record::Happening;

/// Common practice: nothing that makes heat is started before its cooling water flows.
#[test]
fn a_compressor_without_cooling_water_trips_hot() {
    let run = |cooled: bool, by_hand: bool| {
        let mut h = ready();
        if !cooled {
            h.set("XV-1211", "shut");
        }
        if by_hand {
            // It goes on past its automatic stop, to where the safety valve would lift.
            h.set("K-1401", "start");
        }
        let mut hottest = 0.0f64;
        h.watch(3600.0, |h| hottest = hottest.max(h.celsius("TT-1401")));
        println!("cooled {cooled}: {hottest:.0} degC {}", h.tell());
        (h.tripped("XS-1401"), hottest)
    };
    let (automatic, wet, dry) = (run(true, false), run(true, true), run(false, true));
    assert!(!automatic.0 && automatic.1 < 150.0, "{automatic:?}");
    assert!(!wet.0, "{wet:?}");
    assert!(dry.0 && dry.1 > 160.0, "{dry:?}");
}

/// Common practice: a pneumatic valve is not trusted before control air is up.
#[test]
fn a_pneumatic_valve_does_not_move_without_control_air() {
    let mut h = Hand::cold();
    h.dial("HIC-3001", 0.5);
    h.run(60.0);
    assert!(h.actual("LCV-3001") < 0.01, "no air, no movement: {}", h.actual("LCV-3001"));
    let mut h = ready();
    h.dial("HIC-3001", 0.5);
    h.run(60.0);
    assert!((h.actual("LCV-3001") - 0.5).abs() < 0.01);
    // It stays where it stands when the air goes.
    h.set("K-1401", "stop");
    h.until("the air is used up", 7200.0, |h| h.barg("PT-1401") < 2.0);
    h.dial("HIC-3001", 1.0);
    h.run(60.0);
    assert!((h.actual("LCV-3001") - 0.5).abs() < 0.05, "{}", h.actual("LCV-3001"));
}

/// Common practice: the standby pump comes in on low pressure, before what it serves suffers.
#[test]
fn the_standby_sea_water_pump_comes_in_on_low_pressure() {
    let mut h = ready();
    h.set("P-1102", "standby");
    h.run(30.0);
    assert!(h.actual("YS-1102") < 0.5);
    h.fail("P-1101", "trips", true, None);
    h.until("the auxiliary pump runs", 30.0, |h| h.actual("YS-1102") > 0.5);
    h.run(15.0);
    assert!(h.barg("PT-1101") > 0.8, "{}", h.barg("PT-1101"));
}

/// Common practice: the low-temperature circuit is held in the middle thirties.
#[test]
fn the_fresh_water_is_held_at_its_temperature() {
    let mut h = ready();
    h.run(1200.0);
    let mut worst = 0.0f64;
    h.watch(1200.0, |h| worst = worst.max((h.celsius("TT-1201") - 35.0).abs()));
    assert!(worst < 1.5, "{worst} K off");
}

/// Common practice: the set point is trimmed to suit. Left on hand with the by-pass open, whatever it cools gets hot.
#[test]
fn fresh_water_follows_its_set_point_and_on_the_by_pass_it_heats_what_it_should_cool() {
    for set in [32.0, 38.0] {
        let mut h = in_state("on-the-board");
        h.dial("TIC-1201", 273.15 + set);
        h.run(1200.0);
        let mut worst = 0.0f64;
        h.watch(600.0, |h| worst = worst.max((h.celsius("TT-1201") - set).abs()));
        assert!(worst < 1.5, "{worst} K off {set} degC");
    }
    let after_an_hour = |by_pass: bool| {
        let mut h = in_state("on-the-board");
        if by_pass {
            h.set("TIC-1201", "manual");
            h.dial("HIC-1201", 0.0);
        }
        h.run(3600.0);
        h
    };
    let (held, hot) = (after_an_hour(false), after_an_hour(true));
    for t in ["TT-1201", "TT-5102", "TT-5002"] {
        assert!(hot.celsius(t) > held.celsius(t) + 10.0, "{t}: {} {}", held.celsius(t), hot.celsius(t));
    }
    // The compressor goes first, then the diesel by its jacket; without air the fire goes out, and the ship is dark.
    let trips = |h: &Hand| h.happened.iter().filter(|(_, what)| matches!(what, Happening::Trip { .. })).count();
    assert_eq!(trips(&held), 0, "{}", held.tell());
    assert!(hot.tripped("XS-1401") && hot.tripped("XS-5011") && hot.tripped("XS-2001"), "{:?}", hot.happened);
    assert!(matches!(&hot.happened[0].1, Happening::Trip { tag, .. } if tag.as_str() == "XS-1401"));
}
