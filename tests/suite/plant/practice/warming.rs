//! Oil, warming and drains of the turbine, and its first minutes on the board, each also done wrong.

use super::super::hand::{Hand, in_state, steaming};
use super::turbine::{at_speed, roll, rpm, run_up, steam, tell, trip_cause, turning, um, vacuum};
use base::record::Happening;
use std::sync::OnceLock;

/// Turned and under vacuum, no steam in the inlet line yet: reached once.
fn turned() -> Hand {
    static DONE: OnceLock<Hand> = OnceLock::new();
    DONE.get_or_init(|| {
        let mut h = steaming();
        turning(&mut h);
        vacuum(&mut h);
        h.run(600.0);
        h
    })
    .clone()
}

/// Common practice: nothing that makes heat runs without its cooling water. The oil gets hot, and the bearings trip it.
#[test]
fn oil_without_its_cooling_water_trips_the_bearings_hot() {
    let mut h = at_speed();
    h.run(600.0);
    let cooled = h.celsius("TT-4201");
    h.set("XV-1212", "shut");
    h.until("the oil is too hot", 10_800.0, |h| h.celsius("TT-4201") > 60.0);
    println!("oil {cooled:.1} degC cooled");
    assert!(cooled < 55.0, "{cooled}");
    h.until("it trips", 10_800.0, |h| h.tripped("XS-4001"));
    assert_eq!(trip_cause(&h), "bearing temperature high", "{}", tell(&h));
}

/// Common practice: rolled slowly and held before it is run up, and loaded slowly. Run up and loaded cold, the rotor is
/// strained and grows longer than its casing.
#[test]
fn a_rotor_run_up_cold_is_strained_and_outgrows_its_casing() {
    let run = |hold: f64, rest: f64| {
        let mut h = turned();
        steam(&mut h, "XV-4001");
        roll(&mut h, 0.2, hold);
        let (mut shakes, mut longer) = (0.0f64, 0.0f64);
        let mut look = |h: &Hand| {
            shakes = shakes.max(um(h, "VT-4001"));
            longer = longer.max(h.actual("ZT-4001") * 1e3);
        };
        h.dial("XV-4005", 0.45);
        while rpm(&h) < 4300.0 {
            h.watch(1.0, &mut look);
        }
        h.dial("XV-4005", 0.3);
        h.watch(rest, &mut look);
        h.set("XV-4005", "open");
        h.watch(300.0, &mut look);
        println!("held {hold} and {rest} s: {shakes:.0} um, {longer:.2} mm, damage {:.4}", h.damage("TU-4001"));
        assert!(!h.tripped("XS-4001"), "{}", tell(&h));
        (shakes, longer, h.damage("TU-4001"))
    };
    let (held, cold) = (run(1800.0, 400.0), run(20.0, 0.0));
    assert!(held.0 < 95.0 && held.2 < 0.01, "{held:?}");
    assert!(cold.1 > held.1 + 0.05 && cold.2 > 3.0 * held.2, "{cold:?} {held:?}");
}

/// Common practice: lines drained and warmed before steam goes to the blades. Water that lies in the line goes through them.
#[test]
fn an_inlet_line_that_was_not_drained_sends_water_through_the_blades() {
    let struck = |drained: bool| {
        let mut h = turned();
        if drained {
            steam(&mut h, "XV-4001");
        } else {
            h.set("XV-4001", "open");
            h.run(60.0);
        }
        let mut shakes = 0.0f64;
        roll(&mut h, 0.22, 5.0);
        h.dial("XV-4005", 0.35);
        h.watch(120.0, |h| shakes = shakes.max(um(h, "VT-4001")));
        println!("drained {drained}: damage {:.4}, {shakes:.0} um", h.damage("TU-4001"));
        (h.damage("TU-4001"), shakes)
    };
    let (dry, wet) = (struck(true), struck(false));
    assert!(dry.0 < 0.02, "{dry:?}");
    assert!(wet.0 > dry.0 + 0.01 || wet.1 > dry.1 + 10.0, "{wet:?} {dry:?}");
}

/// Common practice: a little load at once. Left behind the bus, the machine is driven by it until its relay opens the
/// breaker; the diesel keeps the ship. Left with its load, nothing happens for an hour.
#[test]
fn a_turbine_that_is_driven_by_the_bus_is_taken_off_by_its_relay() {
    let mut h = in_state("on-the-board");
    h.dial("SC-5101", 57.0);
    h.until("the relay acts", 180.0, |h| h.tripped("XS-5101"));
    let told = h.happened.iter().any(|(_, e)| {
        matches!(e, Happening::Trip { tag, cause, .. } if tag.as_str() == "XS-5101" && cause.contains("reverse power"))
    });
    h.run(5.0);
    assert!(told && h.actual("CB-5101") < 0.5 && h.actual("BUS-5000") > 0.5, "{}", tell(&h));
    let mut h = in_state("on-the-board");
    h.run(3600.0);
    assert!(h.actual("CB-5101") > 0.5 && h.actual("CB-5001") > 0.5 && h.greatest_damage() < 0.01, "{}", tell(&h));
}

/// The prepared state is warm through: run up from it, nothing shakes.
#[test]
fn from_the_state_turbine_warm_it_runs_up_quietly() {
    let mut h = in_state("turbine-warm");
    let mut shakes = 0.0f64;
    run_up(&mut h);
    h.watch(60.0, |h| shakes = shakes.max(um(h, "VT-4001")));
    assert!(rpm(&h) > 5700.0 && shakes < 60.0 && !h.tripped("XS-4001"), "{shakes} {}", tell(&h));
}
