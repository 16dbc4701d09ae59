//! What random actions and practice found wrong, each by its name.

use super::hand::{Hand, ready};
use super::ledger::Account;
use plant::ledger::Store;
use plant::liquid::Fluid;

/// An outlet used to go on giving, and the tank's mass went below zero; the pumps' leak-off line gave as well.
#[test]
fn an_empty_feed_tank_gives_no_more() {
    let mut h = ready();
    let account = Account::open(&h.plant);
    h.dial("HIC-3001", 1.0);
    h.set("XV-2002", "open");
    h.set("XV-2001", "open");
    h.until("the feed tank is empty", 3600.0, |h| h.actual("T-3001") < 0.02);
    h.run(30.0);
    assert!(h.actual("FT-3001").abs() < 1e-9 && h.actual("T-3001") > 0.0, "{}", h.tell());
    assert!(account.close(&h.plant).closes(), "{:?}", account.close(&h.plant));
    h.set("XV-3003", "open");
    h.until("make-up brings the feed back", 600.0, |h| h.actual("FT-3001") > 0.5);
}

/// Standing water that crept backwards was warmed by what another node had to take, without end.
#[test]
fn services_never_warm_cooling_water_past_themselves() {
    let mut h = Hand::cold();
    h.set("XV-1202", "open");
    h.run(3600.0);
    for s in h.plant.stores() {
        if let Store::Liquid { fluid: Fluid::FreshWater, t, .. } = s {
            assert!(t < 273.15 + 75.0, "{s:?}");
        }
    }
}

/// The standby start used to stand down when the pump that it stands by for had tripped, which is what it is for.
#[test]
fn the_standby_pump_starts_when_the_duty_pump_trips() {
    let mut h = ready();
    h.set("P-1202", "standby");
    h.run(20.0);
    assert!(h.actual("YS-1202") < 0.5);
    h.fail("P-1201", "trips", true, None);
    h.until("the standby pump runs", 30.0, |h| h.actual("YS-1202") > 0.5);
    h.run(20.0);
    assert!(h.barg("PT-1201") > 2.2, "{}", h.barg("PT-1201"));
}

/// Nor does it start while nobody has started the duty pump, or after it was stopped by hand.
#[test]
fn the_standby_pump_leaves_a_pump_alone_that_was_stopped_by_hand() {
    let mut h = Hand::cold();
    h.set("P-1202", "standby");
    h.run(30.0);
    assert!(h.actual("YS-1202") < 0.5);
    let mut h = ready();
    h.set("P-1202", "standby");
    h.run(5.0);
    h.set("P-1201", "stop");
    h.run(60.0);
    assert!(h.actual("YS-1202") < 0.5);
}

/// A drum overfilled for half an hour through vent and open main line used to end the run: 64 parts of a tick were
/// not enough where the last gas goes out of drum, superheater and line together.
#[test]
fn a_drum_overfilled_into_the_line_goes_on() {
    let mut h = Hand::cold();
    for valve in ["XV-3000", "XV-3001", "XV-3003", "LCV-3002", "XV-2001", "XV-2103", "XV-2104"] {
        h.set(valve, "open");
    }
    h.run(180.0);
    let account = Account::open(&h.plant);
    h.set("P-3001", "start");
    h.set("P-3002", "start");
    h.run(2000.0);
    assert!(account.close(&h.plant).closes(), "{:?}", account.close(&h.plant));
}

/// A pump that was started as the very first action did not start: its motor had no supply before the first tick.
#[test]
fn a_pump_starts_as_the_first_action() {
    let mut h = Hand::cold();
    h.set("P-1101", "start");
    h.run(5.0);
    assert!(h.actual("YS-1101") > 0.5);
}
