//! Change-over of pumps, a choked strainer, the preheated engine, starting air.

use super::super::hand::{Hand, ready};
use super::electrical::diesel_ready;

/// Common practice: the larger pump is brought in before the smaller is stopped; pressure is never lost in between.
#[test]
fn a_change_over_of_sea_water_pumps_never_loses_pressure() {
    let mut h = ready();
    let steady = h.barg("PT-1101");
    let mut least = f64::INFINITY;
    h.set("P-1103", "start");
    h.watch(15.0, |h| least = least.min(h.barg("PT-1101")));
    h.set("P-1101", "stop");
    h.watch(60.0, |h| least = least.min(h.barg("PT-1101")));
    assert!(h.actual("YS-1103") > 0.5 && h.actual("YS-1101") < 0.5);
    assert!(least > 0.95 * steady && (h.barg("PT-1101") - steady).abs() < 0.02, "{steady} {least}");
    // The wrong way about, it is lost.
    let mut h = ready();
    h.set("P-1101", "stop");
    let mut least = f64::INFINITY;
    h.watch(20.0, |h| least = least.min(h.barg("PT-1101")));
    assert!(least < 0.5, "{least}");
}

/// The main pump that came in for the other is on duty, and the auxiliary stands by for it.
#[test]
fn pumps_come_in_one_after_the_other_on_low_pressure() {
    let mut h = ready();
    h.set("P-1103", "standby");
    h.fail("P-1101", "trips", true, None);
    h.until("the second main pump runs", 30.0, |h| h.actual("YS-1103") > 0.5);
    h.set("P-1102", "standby");
    h.run(30.0);
    assert!(h.actual("YS-1102") < 0.5 && h.barg("PT-1101") > 1.0);
    h.fail("P-1103", "trips", true, None);
    h.until("the auxiliary pump runs", 30.0, |h| h.actual("YS-1102") > 0.5);
    h.run(20.0);
    assert!(h.barg("PT-1101") > 0.8, "{}", h.barg("PT-1101"));
}

/// The auxiliary and the standby fresh-water pump do what the main one did.
#[test]
fn a_change_over_of_fresh_water_pumps_never_loses_pressure() {
    let mut h = ready();
    h.run(600.0);
    let mut least = f64::INFINITY;
    h.set("P-1202", "start");
    h.watch(15.0, |h| least = least.min(h.barg("PT-1201")));
    h.set("P-1201", "stop");
    h.watch(30.0, |h| least = least.min(h.barg("PT-1201")));
    h.set("P-1203", "start");
    h.watch(15.0, |h| least = least.min(h.barg("PT-1201")));
    assert!(least > 2.2, "{least}");
    h.set("P-1202", "stop");
    h.run(60.0);
    println!("auxiliary alone: {} barg", h.barg("PT-1201"));
    assert!(h.barg("PT-1201") > 1.5);
}

/// Dead-headed, a pump heats what is in its casing until it boils; its stream keeps it cool.
#[test]
fn a_pump_on_a_shut_line_boils_its_casing_and_hurts_its_seal() {
    let mut h = Hand::cold();
    h.set("XV-1101", "open");
    h.run(12.0);
    h.set("P-1103", "start");
    h.run(3600.0);
    let seal = h.damage("P-1103 seal");
    assert!(seal > 0.2, "{seal}");
    for valve in ["XV-1103", "XV-1104", "XV-1106"] {
        h.set(valve, "open");
    }
    h.run(30.0);
    assert!(h.barg("PT-1101") < 0.6, "in vapour it makes no head: {}", h.barg("PT-1101"));
    let mut h = ready();
    h.set("P-1103", "start");
    h.run(3600.0);
    assert_eq!(h.damage("P-1103 seal"), 0.0);
}

/// Common practice: an idle engine is kept warm by its preheater.
#[test]
fn the_preheater_warms_the_idle_engine() {
    let mut h = ready();
    h.set("P-1302", "start");
    h.set("E-1303", "automatic");
    h.until("warm", 10_800.0, |h| h.celsius("TT-1301") > 55.0);
    h.run(1800.0);
    assert!((55.0..68.0).contains(&h.celsius("TT-1301")), "{}", h.celsius("TT-1301"));
}

/// Common practice: compressors are left on automatic with their cooling water on.
#[test]
fn starting_air_is_raised_and_kept_and_needs_its_cooling_water() {
    let mut h = ready();
    for (valve, word) in [("XV-1607", "open"), ("XV-1608", "open"), ("XV-1214", "open"), ("XV-1215", "open")] {
        h.set(valve, word);
    }
    h.run(10.0);
    h.set("K-1601", "automatic");
    h.set("K-1602", "automatic");
    let mut hottest = 0.0f64;
    h.watch(3600.0, |h| hottest = hottest.max(h.celsius("TT-1601").max(h.celsius("TT-1602"))));
    println!("{} and {} barg, {hottest} degC", h.barg("PT-1601"), h.barg("PT-1602"));
    assert!(h.barg("PT-1601") > 25.0 && h.barg("PT-1602") > 25.0 && hottest < 195.0);
    assert!(h.actual("YS-1601") < 0.5, "cut out by itself");
    // Without water a compressor trips hot.
    let mut h = ready();
    h.set("XV-1607", "open");
    h.run(10.0);
    h.set("K-1601", "start");
    h.until("it trips", 3600.0, |h| h.tripped("XS-1601"));
    assert!(h.celsius("TT-1601") > 190.0);
}

/// With the inlet valves shut the discharge line is full at once, and its safety valve holds it.
#[test]
fn compressors_against_shut_inlet_valves_lift_the_safety_valve_and_no_more() {
    let mut h = ready();
    h.set("XV-1214", "open");
    h.run(10.0);
    h.set("K-1601", "automatic");
    h.run(120.0);
    assert!(h.actual("YS-1601") < 0.5 || h.barg("PT-1601") < 19.0, "the receivers get nothing");
    assert!((17.0..18.5).contains(&h.barg("PT-1601")), "{}", h.barg("PT-1601"));
}

/// Control air can be had from starting air when its compressor fails.
#[test]
fn starting_air_feeds_the_control_air_header() {
    let mut h = ready();
    h.set("K-1401", "stop");
    h.set("XV-1601", "open");
    h.set("XV-1404", "open");
    h.run(2400.0);
    assert!((5.0..6.5).contains(&h.barg("PT-1402")), "{}", h.barg("PT-1402"));
}

/// The diesel set carries the ship after the shore is lost, with its cooling lined up or not.
fn on_the_diesel(cooled: bool) -> Hand {
    let mut h = ready();
    if cooled {
        h.set("XV-1216", "open");
    }
    h.run(10.0);
    diesel_ready(&mut h);
    h.fail("CB-5400", "lost", true, None);
    h.run(2.0);
    h.set("CB-5001", "close");
    h.run(30.0);
    assert!(h.actual("BUS-5000") > 0.5 && h.actual("YS-1301") > 0.5 && h.actual("FT-1301") > 3.0);
    h
}

/// Common practice: nothing that makes heat is started before its cooling water flows. The diesel trips without it.
#[test]
fn the_diesel_trips_without_its_cooling_and_runs_with_it() {
    let mut h = on_the_diesel(true);
    h.until("the fresh-water pump runs again", 60.0, |h| h.actual("YS-1201") > 0.5);
    h.run(5400.0);
    println!(
        "{} kW, jacket {} degC, outlet {} degC",
        h.actual("JT-5001") / 1e3,
        h.celsius("TT-5011"),
        h.celsius("TT-1301")
    );
    assert!(h.actual("YS-5011") > 0.5 && (70.0..91.0).contains(&h.celsius("TT-1301")), "{}", h.celsius("TT-1301"));
    let mut h = on_the_diesel(false);
    h.until("it trips", 7200.0, |h| h.tripped("XS-5011"));
    println!("tripped after {} s at {} degC", h.seconds(), h.celsius("TT-5011"));
    assert!(h.celsius("TT-5011") > 90.0);
}

/// A start takes air out of the receivers, and without air there is none.
#[test]
fn the_diesel_starts_by_air_or_not_at_all() {
    let mut h = ready();
    let before = h.barg("PT-1601");
    diesel_ready(&mut h);
    assert!(h.barg("PT-1601") < before - 0.1, "{before} {}", h.barg("PT-1601"));
    let mut h = ready();
    let refused = h.try_set("D-5011", "start").unwrap_err();
    assert!(refused.contains("starting air"), "the outlet valves are shut: {refused}");
}
