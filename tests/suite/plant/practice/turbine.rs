//! Oil, turning, warming, run-up and stop of the turbo-generator on the training vessel.

use super::super::hand::{Hand, steaming};
use super::super::ledger::Account;
use super::condenser::raise_vacuum;
use std::sync::OnceLock;

pub fn rpm(h: &Hand) -> f64 {
    h.actual("ST-4001") * 60.0
}

pub fn um(h: &Hand, tag: &str) -> f64 {
    h.actual(tag) * 1e6
}

pub fn tell(h: &Hand) -> String {
    format!(
        "{:.0} rpm, vibration {:.0} um, eccentricity {:.0} um, exhaust {:.3} bara, oil {:.2} barg {:.0} degC, casing {:.0} degC, line {:.1} barg {:.0} degC, wheel {:.2}\n{}",
        rpm(h),
        um(h, "VT-4001"),
        um(h, "VT-4002"),
        h.actual("PT-4101") / 1e5,
        h.barg("PT-4201"),
        h.celsius("TT-4201"),
        h.celsius("TT-4001"),
        h.barg("PT-4010"),
        h.celsius("TT-4010"),
        h.actual("XV-4005"),
        h.tell()
    )
}

/// Cooling water to the oil cooler, oil by the priming pump, the turning gear in.
pub fn turning(h: &mut Hand) {
    h.set("XV-1212", "open");
    h.set("P-4201", "automatic");
    h.until("oil pressure", 60.0, |h| h.barg("PT-4201") > 1.5);
    h.set("HS-4002", "in");
    h.run(30.0);
}

/// Vacuum with the exhaust open to the condenser.
pub fn vacuum(h: &mut Hand) {
    h.set("XV-4101", "open");
    h.run(70.0);
    raise_vacuum(h);
    h.until("exhaust vacuum", 900.0, |h| h.actual("PT-4101") < 0.15e5);
}

/// Steam to the stop valve by one of the two ways, drains open.
pub fn steam(h: &mut Hand, way: &str) {
    h.set("XV-4003", "open");
    h.set("XV-4004", "open");
    h.dial(way, 0.05);
    h.run(240.0);
    h.set(way, "open");
    h.run(60.0);
}

fn set_trip_gear(h: &mut Hand) {
    h.try_set("HS-4001", "reset").unwrap_or_else(|e| panic!("{e}\n{}", tell(h)));
}

/// Rolled slowly and held.
pub fn roll(h: &mut Hand, wheel: f64, seconds: f64) {
    set_trip_gear(h);
    h.dial("XV-4005", wheel);
    h.run(seconds);
}

/// Through the critical speed without staying, until the governor has it.
pub fn run_up(h: &mut Hand) {
    let mut wheel = h.actual("XV-4005");
    while rpm(h) < 5850.0 && wheel < 1.0 && h.actual("XS-4002") > 0.5 {
        wheel = (wheel + 0.03).min(1.0);
        h.dial("XV-4005", wheel);
        h.run(4.0);
    }
    h.set("XV-4005", "open");
    h.run(60.0);
}

fn shut_drains(h: &mut Hand) {
    h.set("XV-4003", "shut");
    h.set("XV-4004", "shut");
    h.run(30.0);
}

/// At the governor's speed, warmed: reached once.
pub fn at_speed() -> Hand {
    static DONE: OnceLock<Hand> = OnceLock::new();
    DONE.get_or_init(|| {
        let mut h = steaming();
        turning(&mut h);
        vacuum(&mut h);
        h.run(600.0);
        steam(&mut h, "XV-4001");
        roll(&mut h, 0.22, 1200.0);
        run_up(&mut h);
        shut_drains(&mut h);
        h
    })
    .clone()
}

fn harm(h: &Hand) -> f64 {
    ["TU-4001", "BE-4001", "BE-4002", "BE-4003"].iter().map(|t| h.damage(t)).fold(0.0, f64::max)
}

pub fn trip_cause(h: &Hand) -> String {
    let trips = h.happened.iter().rev().find_map(|(_, x)| match x {
        base::record::Happening::Trip { tag, cause, .. } if tag.as_str() == "XS-4001" => Some(cause.to_string()),
        _ => None,
    });
    trips.unwrap_or_default()
}

/// Common practice, the whole row: oil, turning, vacuum, warming, run-up, drains shut. Nothing is hurt, nothing trips, everything closes.
#[test]
fn oil_turning_vacuum_warming_and_run_up_hurt_nothing() {
    let mut h = steaming();
    let account = Account::open(&h.plant);
    turning(&mut h);
    vacuum(&mut h);
    h.run(600.0);
    steam(&mut h, "XV-4001");
    roll(&mut h, 0.22, 1200.0);
    let held = um(&h, "VT-4001");
    run_up(&mut h);
    shut_drains(&mut h);
    println!("{}", tell(&h));
    assert!(!h.tripped("XS-4001") && rpm(&h) > 5700.0, "{}", tell(&h));
    assert!(harm(&h) < 0.02 && held < 60.0 && um(&h, "VT-4001") < 60.0, "{held} {}", tell(&h));
    h.run(60.0);
    assert_eq!(h.actual("P-4201"), 0.0, "the shaft's own pump has the oil now: {}", tell(&h));
    let gap = account.close(&h.plant);
    assert!(gap.closes(), "{gap:?}");
}

/// Another order that is as good: vacuum and steam first, turned for longer, the other way for steam.
#[test]
fn another_order_by_the_other_way_for_steam_hurts_nothing() {
    let mut h = steaming();
    vacuum(&mut h);
    steam(&mut h, "XV-4002");
    turning(&mut h);
    h.run(1200.0);
    roll(&mut h, 0.19, 900.0);
    h.dial("XV-4005", 0.21);
    h.run(600.0);
    run_up(&mut h);
    shut_drains(&mut h);
    assert!(!h.tripped("XS-4001") && rpm(&h) > 5700.0 && harm(&h) < 0.02, "{}", tell(&h));
}

/// Common practice: oil before turning; vacuum before steam. The machine itself refuses.
#[test]
fn no_turning_without_oil_and_no_steam_without_vacuum() {
    let mut h = steaming();
    assert!(h.try_set("HS-4002", "in").unwrap_err().contains("oil pressure"));
    turning(&mut h);
    assert!(h.try_set("HS-4001", "reset").unwrap_err().contains("vacuum"));
    h.set("XV-4001", "open");
    h.dial("XV-4005", 0.5);
    h.run(120.0);
    assert!(rpm(&h) < 40.0 && h.actual("XV-4005") == 0.0, "{}", tell(&h));
}

/// Lost vacuum trips it, and it is reset only with vacuum and the stop valve's wheel shut.
#[test]
fn lost_vacuum_trips_the_turbine_and_vacuum_comes_before_the_reset() {
    let mut h = at_speed();
    h.set("K-3221", "stop");
    h.set("XV-3223", "open");
    h.until("trip", 600.0, |h| h.tripped("XS-4001"));
    assert_eq!(trip_cause(&h), "exhaust pressure high", "{}", tell(&h));
    h.set("XV-4005", "shut");
    h.run(40.0);
    assert!(h.try_set("HS-4001", "reset").unwrap_err().contains("vacuum"));
    h.set("XV-3223", "shut");
    h.set("K-3221", "start");
    h.set("K-3222", "start");
    h.until("vacuum", 1200.0, |h| h.actual("PT-4101") < 0.2e5);
    h.set("HS-4001", "reset");
    h.run(5.0);
    assert!(!h.tripped("XS-4001") && h.actual("XS-4002") == 1.0);
}

/// Common practice: turned after the stop. A standing hot rotor bows, and run up at once it trips on vibration; turned it does not.
#[test]
fn a_standing_hot_rotor_bows_and_vibrates() {
    let mut h = at_speed();
    h.run(900.0);
    h.set("HS-4001", "trip");
    h.set("XV-4005", "shut");
    h.until("rest", 3600.0, |h| rpm(h) == 0.0);
    let mut turned = h.clone();
    turned.set("HS-4002", "in");
    for x in [&mut h, &mut turned] {
        x.run(1500.0);
        x.set("XV-4003", "open");
        x.set("XV-4004", "open");
        roll(x, 0.24, 60.0);
        run_up(x);
    }
    assert_eq!(trip_cause(&h), "vibration high", "{}", tell(&h));
    assert!(!turned.tripped("XS-4001") && rpm(&turned) > 5700.0, "{}", tell(&turned));
}

/// Common practice: vibration falls while the rotor is held at a slow roll, and is kept well below the alarm of 90 um. A
/// rotor that was turned too short a time after it had stood warm straightens itself so.
#[test]
fn vibration_falls_while_the_rotor_is_held() {
    let mut h = at_speed();
    h.run(900.0);
    h.set("HS-4001", "trip");
    h.set("XV-4005", "shut");
    h.until("rest", 3600.0, |h| rpm(h) == 0.0);
    h.run(600.0);
    h.set("HS-4002", "in");
    h.run(600.0);
    h.set("XV-4003", "open");
    h.set("XV-4004", "open");
    // Until its speed is steady.
    roll(&mut h, 0.2, 300.0);
    let mut seen = vec![um(&h, "VT-4001")];
    for _ in 0..10 {
        h.run(120.0);
        seen.push(um(&h, "VT-4001"));
    }
    println!("{seen:.1?} um at {:.0} rpm", rpm(&h));
    assert!(seen.iter().all(|x| *x < 60.0) && !h.tripped("XS-4001"), "{seen:?}");
    assert!(seen.windows(2).all(|w| w[1] < w[0]), "{seen:?}");
    assert!(seen[10] < 0.75 * seen[0], "{seen:?}");
}

/// Common practice: no dwelling at the critical speed.
#[test]
fn dwelling_at_the_critical_speed_trips() {
    let mut h = steaming();
    turning(&mut h);
    vacuum(&mut h);
    h.run(600.0);
    steam(&mut h, "XV-4001");
    roll(&mut h, 0.22, 900.0);
    let mut wheel: f64 = 0.22;
    for _ in 0..900 {
        let n = rpm(&h);
        wheel += if n < 3570.0 {
            2e-4
        } else if n > 3630.0 {
            -8e-4
        } else {
            0.0
        };
        h.dial("XV-4005", wheel.clamp(0.0, 1.0));
        h.run(1.0);
        if h.tripped("XS-4001") {
            break;
        }
    }
    assert_eq!(trip_cause(&h), "vibration high", "{}", tell(&h));
}

/// Each failing acts on the running machine where it says, and the protection answers.
#[test]
fn failings_of_the_running_machine() {
    let quiet = at_speed();
    let after = |tag: &str, kind: &str, size: Option<f64>, seconds: f64| {
        let mut h = at_speed();
        h.fail(tag, kind, true, size);
        h.run(seconds);
        h
    };
    let h = after("TU-4001", "unbalanced", Some(80e-6), 60.0);
    assert_eq!(trip_cause(&h), "vibration high", "{}", tell(&h));
    let h = after("BE-4001", "hot", Some(6.0), 900.0);
    assert_eq!(trip_cause(&h), "bearing temperature high", "{}", tell(&h));
    let h = after("T-4201", "leaks", Some(1.0), 600.0);
    assert_eq!(trip_cause(&h), "oil pressure low", "{}", tell(&h));
    let h = after("HS-4201", "chokes", Some(0.005), 150.0);
    assert!(h.actual("PDT-4201") > 1.5 * quiet.actual("PDT-4201"), "{}", tell(&h));
    let mut h = at_speed();
    h.fail("P-4201", "standby start dead", true, None);
    h.fail("T-4201", "shaft pump worn", true, Some(1.0));
    h.run(20.0);
    assert_eq!(trip_cause(&h), "oil pressure low", "{}", tell(&h));
    h.run(300.0);
    assert!(h.damage("BE-4001") > 0.1, "it runs down dry: {}", tell(&h));
    let h = after("T-4201", "shaft pump worn", Some(1.0), 60.0);
    assert!(!h.tripped("XS-4001") && h.actual("P-4201") == 1.0, "{}", tell(&h));
    // Signals mislead the trips, the true value does not show it.
    let h = after("VT-4001", "offset", Some(150e-6), 10.0);
    assert!(h.tripped("XS-4001") && um(&h, "VT-4001") < 60.0);
}

/// Onto the board by the automatic, loaded at once, and off it by a trip: the breaker opens with the stop valve.
#[test]
fn the_turbine_takes_load_and_a_trip_opens_its_breaker() {
    let mut h = at_speed();
    let account = Account::open(&h.plant);
    h.set("HS-5090", "automatic");
    h.set("HS-5101", "in");
    h.until("closed by the automatic", 180.0, |h| h.actual("CB-5101") > 0.5);
    for _ in 0..20 {
        h.set("SC-5101", "raise");
        h.run(6.0);
        if h.actual("JT-5101") > 150e3 {
            break;
        }
    }
    h.run(120.0);
    let load = h.actual("JT-5101");
    println!("{load} W, {:.2} t/h\n{}", h.actual("FT-4001") * 3.6, tell(&h));
    assert!(load > 100e3 && h.actual("CB-5101") > 0.5 && !h.tripped("XS-4001"), "{load} {}", tell(&h));
    assert!(account.close(&h.plant).closes(), "{:?}", account.close(&h.plant));
    h.set("HS-4001", "trip");
    h.run(2.0);
    assert!(h.actual("CB-5101") < 0.5 && h.actual("XV-4005") == 0.0, "{}", tell(&h));
    h.run(60.0);
    assert!(rpm(&h) < 6300.0 && h.actual("BUS-5000") > 0.5, "the ship keeps the shore's supply: {}", tell(&h));
    assert!(account.close(&h.plant).closes(), "{:?}", account.close(&h.plant));
}

/// A machine that stands costs nothing and has nothing happen to it.
#[test]
fn a_cold_turbine_stands() {
    let mut h = steaming();
    h.run(1800.0);
    assert!(rpm(&h) == 0.0 && harm(&h) == 0.0 && !h.tripped("XS-4001"));
}
