//! What a hand does, and what follows.

use super::ship::{on_diesel, ship};
use base::Tag;
use base::record::Happening;

fn told(h: &mut crate::small_plant::Hand) -> Vec<Happening> {
    let mut all = vec![];
    h.0.take_happenings(&mut all);
    all
}

#[test]
fn the_bus_is_alive_from_the_shore_before_the_first_tick() {
    let mut h = ship();
    assert_eq!(h.try_set("P-1101", "start"), Ok(()));
    assert_eq!(h.try_set("P-1102", "start"), Ok(()));
    h.run(10.0);
    assert!(h.actual("YS-1101") > 0.5 && h.actual("YS-1102") > 0.5);
    // Two pumps, the ship's load, emergency load and charger.
    let p = h.actual("JT-5400");
    assert!(p > 78e3 && p < 95e3, "{p}");
    assert_eq!(told(&mut h).len(), 0, "nothing happens by itself");
}

#[test]
fn a_starting_motor_dips_the_voltage_and_runs_on_little() {
    let mut h = on_diesel();
    let before = h.actual("ET-5000");
    h.set("P-1102", "start");
    let mut lowest = before;
    for _ in 0..40 {
        h.run(0.1);
        lowest = lowest.min(h.actual("ET-5000"));
    }
    h.run(10.0);
    assert!(lowest < before - 0.5, "{lowest} after {before}");
    assert!((h.actual("ET-5000") - before).abs() < 2.0);
}

#[test]
fn a_diesel_takes_over_from_the_shore_without_a_gap() {
    let mut h = on_diesel();
    assert!(h.actual("BUS-5000") > 0.5 && h.actual("YS-1101") > 0.5);
    assert!(h.actual("JT-5001") > 70e3 && h.actual("JT-5400") == 0.0);
    let angle = h.actual("ZI-5001").to_degrees();
    assert!(angle.abs() < 1.0, "{angle}");
    assert!(!told(&mut h).iter().any(|e| matches!(e, Happening::Trip { .. })));
    assert_eq!(h.0.damage(0), 0.0);
    // It warms and holds on cooling water of 60 degC.
    h.run(600.0);
    let jacket = h.celsius("TT-5011");
    assert!(jacket > 60.0 && jacket < 85.0, "{jacket}");
}

#[test]
fn a_blackout_is_left_by_the_emergency_set_and_then_the_diesel() {
    let mut h = ship();
    h.set("P-1101", "start");
    h.set("P-1102", "start");
    h.run(20.0);
    h.fail("CB-5400", "lost", true, None);
    h.run(0.5);
    assert!(h.actual("BUS-5000") < 0.5 && h.actual("YS-1101") < 0.5 && h.actual("YS-1102") < 0.5);
    assert!(!matches!(h.try_set("P-1101", "start"), Ok(())), "no supply, no start");
    let t = h.until("the emergency bus is live", 45.0, |h| h.actual("BUS-5300") > 0.5);
    println!("emergency bus live {t:.1} s after the blackout");
    assert!(h.actual("BUS-5000") < 0.5 && h.actual("CB-5300") < 0.5);
    h.run(0.2);
    h.set("P-1102", "start");
    h.run(5.0);
    assert!(h.actual("YS-1102") > 0.5, "what hangs on the emergency bus runs again");
    h.set("D-5011", "start");
    h.until("the diesel is ready", 60.0, |h| h.actual("ET-5001") > 440.0);
    h.set("CB-5001", "close");
    h.run(10.0);
    assert!(h.actual("BUS-5000") > 0.5);
    assert!(h.actual("YS-1101") > 0.5, "it ran before, and its feeder starts it again");
    // Back to one bus: the emergency breaker opens first.
    assert!(h.try_set("CB-5300", "close").unwrap_err().contains("both sides"));
    h.set("D-5211", "stop");
    h.set("CB-5201", "open");
    h.run(1.0);
    h.set("CB-5300", "close");
    h.run(2.0);
    assert!(h.actual("BUS-5300") > 0.5);
    let all = told(&mut h);
    let says = |tag: &str, part: &str| {
        all.iter().any(|e| matches!(e, Happening::Plant { on, says } if on.as_str() == tag && says.contains(part)))
    };
    assert!(says("BUS-5000", "dead") && says("BUS-5000", "live") && says("BUS-5300", "live"), "{all:#?}");
    assert!(says("D-5211", "fires") && says("CB-5201", "dead bus"));
}

#[test]
fn without_sequential_restart_the_motors_wait_for_a_hand() {
    let mut h = on_diesel();
    h.set("HS-5095", "off");
    h.set("CB-5001", "open");
    h.run(2.0);
    h.set("CB-5001", "close");
    h.run(20.0);
    assert!(h.actual("BUS-5000") > 0.5 && h.actual("YS-1101") < 0.5);
    h.set("P-1101", "start");
    h.run(1.0);
    assert!(h.actual("YS-1101") > 0.5);
}

#[test]
fn two_good_orders_of_synchronising() {
    // One lets the automatic do it (as `on_diesel`); the other matches voltage and speed by hand and moves a little early.
    let mut h = ship();
    h.set("P-1101", "start");
    h.set("D-5011", "start");
    h.until("ready", 60.0, |h| h.actual("ET-5001") > 440.0);
    h.run(10.0);
    h.dial("EC-5001", h.actual("ET-5000"));
    h.dial("SC-5001", 60.1);
    h.run(10.0);
    h.set("HS-5001", "in");
    h.until("five degrees before the top", 30.0, |h| (-8.0..-3.0).contains(&h.actual("ZT-5000").to_degrees()));
    h.set("CB-5001", "close");
    h.run(1.0);
    h.set("SC-5001", "raise");
    h.set("SC-5001", "raise");
    h.run(20.0);
    assert!(h.actual("CB-5001") > 0.5 && h.actual("JT-5001") > 5e3, "a little load at once");
    assert_eq!(h.0.damage(0), 0.0);
    assert!(!told(&mut h).iter().any(|e| matches!(e, Happening::Trip { .. })));
}

#[test]
fn left_below_the_shores_frequency_the_reverse_power_relay_acts() {
    let mut h = ship();
    h.set("P-1101", "start");
    h.set("D-5011", "start");
    h.until("ready", 60.0, |h| h.actual("ET-5001") > 440.0);
    h.set("HS-5001", "in");
    h.set("HS-5000", "automatic");
    h.until("closed", 120.0, |h| h.actual("CB-5001") > 0.5);
    h.dial("SC-5001", 58.8);
    h.until("the relay acts", 60.0, |h| h.actual("XS-5001") > 0.5);
    h.run(1.0);
    assert!(h.actual("CB-5001") < 0.5 && h.actual("BUS-5000") > 0.5);
    let all = told(&mut h);
    assert!(all.iter().any(|e| matches!(e, Happening::Trip { tag, cause, first: true } if tag.as_str() == "XS-5001" && cause == "reverse power")));
    let k = h.0.trips().iter().position(|t| t.tag == Tag::new("XS-5001")).unwrap();
    assert!(h.0.tripped(k));
    assert!(h.try_set("CB-5001", "close").unwrap_err().contains("reverse power"));
    h.set("CB-5001", "reset");
    assert!(!h.0.tripped(k));
}

#[test]
fn by_passed_and_out_of_phase_it_hurts() {
    let mut h = ship();
    h.set("P-1101", "start");
    h.set("D-5011", "start");
    h.until("ready", 60.0, |h| h.actual("ET-5001") > 440.0);
    h.dial("SC-5001", 60.2);
    h.run(10.0);
    h.set("HS-5001", "in");
    h.until("opposite", 30.0, |h| h.actual("ZT-5000").to_degrees().abs() > 120.0);
    let refused = h.try_set("CB-5001", "close").unwrap_err();
    assert!(refused.contains("check relay"), "{refused}");
    h.set("HS-5090", "by-passed");
    h.set("CB-5001", "close");
    h.run(2.0);
    let k = h.0.damageable().iter().position(|t| t.as_str() == "G-5001").unwrap();
    assert!(h.0.damage(k) > 0.1, "{}", h.0.damage(k));
    assert!(told(&mut h).iter().any(|e| matches!(e, Happening::Damage { on, .. } if on.as_str() == "G-5001")));
}

#[test]
fn the_diesel_trips_without_its_cooling() {
    let mut h = on_diesel();
    h.set("L-5402", "in");
    h.run(60.0);
    h.set("P-1101", "stop");
    let t = h.until("it trips", 3600.0, |h| h.actual("XS-5011") > 0.5);
    println!("tripped after {t:.0} s at {:.1} degC", h.celsius("TT-5011"));
    h.run(1.0);
    assert!(h.actual("CB-5001") < 0.5 && h.actual("BUS-5000") < 0.5);
    assert!(
        told(&mut h).iter().any(|e| matches!(e, Happening::Trip { cause, .. } if cause == "jacket temperature high"))
    );
}

#[test]
fn electrical_failings_act_where_they_say() {
    // A hunting governor swings the frequency; without it the frequency stands still.
    let mut h = on_diesel();
    let swing = |h: &mut crate::small_plant::Hand| {
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for _ in 0..100 {
            h.run(0.1);
            (low, high) = (low.min(h.actual("ST-5000")), high.max(h.actual("ST-5000")));
        }
        high - low
    };
    h.run(30.0);
    assert!(swing(&mut h) < 0.05);
    h.fail("D-5011", "governor hunting", true, None);
    h.run(10.0);
    assert!(swing(&mut h) > 0.2);
    h.fail("D-5011", "governor hunting", false, None);
    h.run(20.0);
    assert!(swing(&mut h) < 0.05);
    // An earth fault is seen at the insulation while its consumer is in.
    assert!(h.actual("AT-5000") > 400e3);
    h.fail("L-5401", "earth fault", true, None);
    h.run(5.0);
    assert!(h.actual("AT-5000") < 6e3);
    h.set("L-5401", "out");
    h.run(5.0);
    assert!(h.actual("AT-5000") > 400e3);
    h.fail("L-5401", "earth fault", false, None);
    // A breaker that falls out blacks out, with no relay having acted.
    h.fail("CB-5001", "falls out", true, None);
    h.run(1.0);
    assert!(h.actual("BUS-5000") < 0.5 && h.actual("XS-5001") < 0.5);
    h.fail("CB-5001", "falls out", false, None);
    h.fail("CB-5001", "will not close", true, None);
    assert_eq!(h.try_set("CB-5001", "close"), Ok(()));
    h.run(2.0);
    assert!(h.actual("CB-5001") < 0.5);
    h.fail("CB-5001", "will not close", false, None);
    h.set("CB-5001", "close");
    h.run(2.0);
    assert!(h.actual("BUS-5000") > 0.5);
    // A frozen synchroscope misleads the eye and no relay.
    h.fail("ZT-5000", "frozen", true, None);
    h.run(1.0);
    h.fail("ZT-5000", "frozen", false, None);
    // An oil leak trips the engine.
    h.fail("D-5011", "oil leak", true, None);
    h.run(15.0);
    assert!(h.actual("XS-5011") > 0.5);
    // A start that fails.
    h.fail("D-5011", "oil leak", false, None);
    h.fail("D-5011", "will not start", true, None);
    h.run(60.0);
    h.set("D-5011", "reset");
    h.set("D-5011", "start");
    h.run(15.0);
    assert!(h.actual("XS-5011") > 0.5);
    assert!(h.try_set("D-5011", "start").unwrap_err().contains("start failure"));
}

#[test]
fn a_failed_regulator_is_answered_by_hand() {
    let mut h = on_diesel();
    h.set("L-5403", "out");
    h.run(10.0);
    h.fail("G-5001", "regulator failed", true, None);
    h.set("L-5403", "in");
    h.run(10.0);
    let low = h.actual("ET-5000");
    assert!(low < 440.0, "{low}");
    assert!(h.0.control(&Tag::new("HIC-5001")).is_some());
    h.set("EC-5001", "manual");
    for _ in 0..200 {
        let id = h.0.control(&Tag::new("HIC-5001")).unwrap();
        let now = h.0.setting(id).dial.unwrap();
        let off = (450.0 - h.actual("ET-5000")) / 450.0;
        h.dial("HIC-5001", (now + 0.1 * off).clamp(0.0, 1.2));
        h.run(0.5);
    }
    assert!((h.actual("ET-5000") - 450.0).abs() < 10.0, "{}", h.actual("ET-5000"));
}

#[test]
fn the_check_relay_that_passes_all_and_a_synchroscope_that_lies() {
    let mut h = ship();
    h.set("P-1101", "start");
    h.set("D-5011", "start");
    h.until("ready", 60.0, |h| h.actual("ET-5001") > 440.0);
    h.dial("SC-5001", 60.2);
    h.run(10.0);
    h.set("HS-5001", "in");
    // The pointer stands at the top for whoever looks; the relay has transformers of its own.
    h.until("at the top", 30.0, |h| h.actual("ZT-5000").to_degrees().abs() < 3.0);
    h.fail("ZT-5000", "frozen", true, None);
    h.until("opposite in truth", 30.0, |h| h.actual("ZT-5000").to_degrees().abs() > 150.0);
    let said = h.0.signal(h.0.point(&Tag::new("ZT-5000")).unwrap()).0.to_degrees();
    assert!(said.abs() < 10.0, "{said}");
    assert!(h.try_set("CB-5001", "close").unwrap_err().contains("check relay"));
    h.fail("SB-5000", "check relay passes all", true, None);
    h.set("CB-5001", "close");
    h.run(1.0);
    let k = h.0.damageable().iter().position(|t| t.as_str() == "G-5001").unwrap();
    assert!(h.0.damage(k) > 0.1);
}

#[test]
fn a_dead_charger_and_a_tie_that_falls_out() {
    let mut h = ship();
    h.run(60.0);
    let full = h.actual("BAT-5301");
    assert!(full >= 0.9, "{full}");
    h.fail("BAT-5301", "charger dead", true, None);
    h.run(600.0);
    // A tenth of a kilowatt-hour in ten minutes of 600 W.
    assert!((full - h.actual("BAT-5301") - 0.1 / 4.0).abs() < 0.001, "{}", h.actual("BAT-5301"));
    assert!(h.actual("ET-5301") < 26.0 && h.actual("BUS-5300") > 0.5);
    h.fail("CB-5300", "falls out", true, None);
    h.run(0.5);
    assert!(h.actual("BUS-5300") < 0.5 && h.actual("BUS-5000") > 0.5);
    h.until("the emergency set comes", 45.0, |h| h.actual("BUS-5300") > 0.5);
    // A flat battery closes no breaker.
    h.run(7.0 * 3600.0);
    assert_eq!(h.actual("BAT-5301"), 0.0);
    assert!(h.try_set("CB-5300", "close").unwrap_err().contains("control supply"));
}
