//! Blackout and the way out of it, synchronising, load on the sets.

use super::super::hand::{Hand, ready};
use base::record::Happening;

fn told(h: &Hand, tag: &str, part: &str) -> bool {
    h.happened.iter().any(|(_, e)| match e {
        Happening::Plant { on, says } => on.as_str() == tag && says.contains(part),
        Happening::Trip { tag: t, cause, .. } => t.as_str() == tag && cause.contains(part),
        _ => false,
    })
}

pub fn diesel_ready(h: &mut Hand) {
    h.set("XV-1601", "open");
    h.run(5.0);
    h.set("D-5011", "start");
    h.until("the diesel is ready", 60.0, |h| h.actual("ET-5001") > 440.0 && h.actual("ST-5001") > 59.5);
    h.run(10.0);
}

/// The shore carries the ship from the first tick, and a set that stands costs nothing.
#[test]
fn cold_the_ship_hangs_on_the_shore() {
    let mut h = Hand::cold();
    h.set("P-1101", "start");
    h.run(30.0);
    assert!(h.actual("BUS-5000") > 0.5 && h.actual("BUS-5300") > 0.5);
    let shore = h.actual("JT-5400");
    assert!(shore > 200e3 && shore < 300e3, "{shore}");
    assert!(h.happened.is_empty(), "{:?}", h.happened);
}

/// Common practice: the emergency set comes by itself within 45 s (SOLAS II-1 regulation 43, from memory), the main bus by a
/// hand; the motors do not start all at once.
#[test]
fn out_of_a_blackout_by_the_emergency_set_and_then_the_diesel() {
    let mut h = ready();
    h.set("P-1102", "start");
    h.run(5.0);
    h.fail("CB-5400", "lost", true, None);
    h.run(1.0);
    for contact in ["YS-1101", "YS-1102", "YS-1201", "YS-1501", "YS-3001", "BUS-5000", "BUS-5300"] {
        assert!(h.actual(contact) < 0.5, "{contact} after the blackout");
    }
    assert!(h.try_set("P-3001", "start").is_err());
    h.until("the emergency bus is live", 45.0, |h| h.actual("BUS-5300") > 0.5);
    h.run(1.0);
    h.set("P-1102", "start");
    h.run(5.0);
    assert!(h.actual("YS-1102") > 0.5 && h.actual("BUS-5000") < 0.5);
    diesel_ready(&mut h);
    h.set("CB-5001", "close");
    h.run(2.0);
    assert!(h.actual("BUS-5000") > 0.5 && h.actual("YS-1101") < 0.5, "not at once");
    h.run(10.0);
    assert!(h.actual("YS-1101") > 0.5 && h.actual("YS-1201") > 0.5, "one after the other");
    assert!(h.actual("YS-3001") < 0.5, "the feed pump waits for a hand");
    assert!(h.try_set("CB-5300", "close").unwrap_err().contains("both sides"));
    h.set("D-5211", "stop");
    h.set("CB-5201", "open");
    h.run(1.0);
    h.set("CB-5300", "close");
    h.run(2.0);
    assert!(h.actual("BUS-5300") > 0.5 && h.greatest_damage() == 0.0);
    assert!(told(&h, "BUS-5000", "dead") && told(&h, "CB-5201", "dead bus"));
    // It is set to stand by again for the next time.
    h.set("D-5211", "standby");
    h.run(5.0);
    assert!(h.actual("YS-5211") < 0.5);
}

/// Common practice: voltage matched, a little fast, closed near the top; a little load at once.
#[test]
fn two_good_orders_of_synchronising() {
    let by_hand = {
        let mut h = Hand::cold();
        diesel_ready(&mut h);
        h.set("HS-5001", "in");
        h.dial("EC-5001", h.actual("ET-5000"));
        h.dial("SC-5001", 60.1);
        h.run(10.0);
        h.until("just before the top", 30.0, |h| (-8.0..-3.0).contains(&h.actual("ZT-5090").to_degrees()));
        h.set("CB-5001", "close");
        h.run(1.0);
        h
    };
    let automatic = {
        let mut h = Hand::cold();
        diesel_ready(&mut h);
        h.set("HS-5090", "automatic");
        h.set("HS-5001", "in");
        h.until("closed by the automatic", 120.0, |h| h.actual("CB-5001") > 0.5);
        h
    };
    for (mut h, limit) in [(by_hand, 10.0), (automatic, 1.0)] {
        assert!(h.actual("ZI-5001").to_degrees().abs() < limit, "{}", h.actual("ZI-5001").to_degrees());
        for _ in 0..8 {
            h.set("SC-5001", "raise");
            h.run(4.0);
        }
        let load = h.actual("JT-5001");
        assert!(load > 50e3 && h.actual("CB-5001") > 0.5, "{load}");
        assert!(h.greatest_damage() == 0.0 && !h.tripped("XS-5001"));
    }
}

/// Closed by hand, so many degrees after the top: the hand moves early by the breaker's time times the slip, or at the top.
fn touches(slip: f64, early: bool) -> f64 {
    let mut h = Hand::cold();
    diesel_ready(&mut h);
    h.set("HS-5001", "in");
    h.dial("EC-5001", h.actual("ET-5000"));
    h.dial("SC-5001", 60.0 + slip);
    h.run(20.0);
    let slip = h.actual("ST-5090");
    let lead = if early { 360.0 * slip * 0.08 } else { 0.0 };
    // Half of what the pointer goes in a tick: no hand meets it nearer.
    let half = 180.0 * slip * 0.1;
    h.until("the moment", 120.0, |h| (-half..half).contains(&(h.actual("ZT-5090").to_degrees() + lead)));
    h.set("CB-5001", "close");
    h.run(1.0);
    assert!(h.actual("CB-5001") > 0.5);
    println!("slip {slip:.3} Hz, early {early}: {:.2} deg", h.actual("ZI-5001").to_degrees());
    h.actual("ZI-5001").to_degrees().abs()
}

/// Common practice: the hand moves before the top, so that the contacts touch at it.
#[test]
fn closing_early_by_the_breakers_time_lands_at_the_top() {
    assert!(touches(0.05, true) < 1.0);
    // Where the pointer stands on the tick that is nearest is chance: several slips, and the mean of each way.
    let (mut early, mut late) = (0.0, 0.0);
    for slip in [0.16, 0.18, 0.2, 0.22, 0.24] {
        let lands = touches(slip, true);
        assert!(lands < 180.0 * slip * 0.1 + 0.5, "{slip}: {lands}");
        (early, late) = (early + lands / 5.0, late + touches(slip, false) / 5.0);
    }
    assert!(late > early + 2.0, "{late} {early}");
}

/// The violations: left with no load, or closed where the pointer should not be.
#[test]
fn reverse_power_trips_and_closing_out_of_phase_hurts() {
    let mut h = Hand::cold();
    diesel_ready(&mut h);
    h.set("HS-5090", "automatic");
    h.set("HS-5001", "in");
    h.until("closed by the automatic", 120.0, |h| h.actual("CB-5001") > 0.5);
    h.dial("SC-5001", 58.8);
    h.until("the relay acts", 60.0, |h| h.tripped("XS-5001"));
    h.run(1.0);
    assert!(told(&h, "XS-5001", "reverse power"));
    assert!(h.actual("CB-5001") < 0.5 && h.actual("BUS-5000") > 0.5, "the ship keeps its supply");
    h.set("CB-5001", "reset");
    h.set("HS-5090", "manual");
    h.dial("SC-5001", 60.2);
    h.run(20.0);
    h.until("opposite", 30.0, |h| h.actual("ZT-5090").to_degrees().abs() > 130.0);
    assert!(h.try_set("CB-5001", "close").unwrap_err().contains("check relay"));
    h.set("HS-5091", "by-passed");
    h.set("CB-5001", "close");
    h.run(1.0);
    assert!(h.damage("G-5001") > 0.1, "{}", h.damage("G-5001"));
}

/// Common practice: what can be spared is shed before the generator trips.
#[test]
fn too_much_load_sheds_what_can_be_spared() {
    let mut h = Hand::cold();
    diesel_ready(&mut h);
    h.set("HS-5090", "automatic");
    h.set("HS-5001", "in");
    h.until("closed by the automatic", 120.0, |h| h.actual("CB-5001") > 0.5);
    h.set("CB-5400", "open");
    h.run(5.0);
    // Deck machinery and every pump that there is.
    h.set("L-5415", "in");
    for valve in ["XV-1101", "XV-1106", "XV-1103", "XV-1104", "XV-1201", "XV-1202"] {
        h.set(valve, "open");
    }
    h.run(10.0);
    for pump in ["P-1101", "P-1102", "P-1201", "P-1202"] {
        h.set(pump, "start");
    }
    h.set("HS-2001", "manual");
    h.set("K-2001", "start");
    h.dial("FCV-2001", 1.0);
    h.until("consumers are shed", 600.0, |h| h.actual("XS-5090") > 0.5);
    assert!(h.actual("YS-5413") < 0.5 && h.actual("YS-5415") < 0.5, "the first group is out");
    assert!(h.actual("YS-5411") > 0.5, "essential consumers stay in");
    h.run(60.0);
    assert!(h.actual("CB-5001") > 0.5 && h.actual("BUS-5000") > 0.5 && h.actual("IT-5001") < 645.0);
    h.set("L-5413", "in");
    h.run(1.0);
    assert!(h.actual("YS-5413") > 0.5, "taken back by hand");
}
