//! From working pressure to the plant's busiest state: diesel and turbo-generator share the ship's load.

use super::hand::{Hand, steaming};
use std::sync::OnceLock;

/// The diesel has its starting air and cooling water, and is put on the board by the automatic.
fn diesel_on_the_board(h: &mut Hand) {
    h.set("XV-1601", "open");
    h.set("XV-1216", "open");
    h.run(5.0);
    h.set("D-5011", "start");
    h.until("the diesel is ready", 60.0, |h| h.actual("ET-5001") > 440.0 && h.actual("ST-5001") > 59.5);
    h.run(10.0);
    h.set("HS-5090", "automatic");
    h.set("HS-5001", "in");
    h.until("the diesel is on the board", 120.0, |h| h.actual("CB-5001") > 0.5);
    load(h, "SC-5001", "JT-5001", 50e3);
}

/// Circulating water, condensate, gland steam, air extraction.
fn vacuum(h: &mut Hand) {
    h.set("XV-4101", "open");
    h.set("XV-3201", "open");
    h.set("XV-3208", "open");
    h.run(12.0);
    h.set("P-3201", "start");
    h.set("XV-3211", "open");
    h.run(10.0);
    h.set("P-3211", "start");
    h.run(5.0);
    h.set("P-3212", "standby");
    h.set("FIC-3213", "automatic");
    h.set("LIC-3214", "automatic");
    h.set("PIC-3231", "automatic");
    h.run(60.0);
    h.set("K-3221", "start");
    h.set("K-3222", "start");
    h.until("vacuum", 1200.0, |h| h.actual("PT-3201") < 12e3);
    h.set("K-3222", "stop");
    h.until("exhaust vacuum", 900.0, |h| h.actual("PT-4101") < 0.15e5);
}

/// Oil, turning, warming, rolled, run up, drains shut.
fn turbine_at_speed(h: &mut Hand) {
    h.set("XV-1212", "open");
    h.set("P-4201", "automatic");
    h.until("oil pressure", 60.0, |h| h.barg("PT-4201") > 1.5);
    h.set("HS-4002", "in");
    h.run(630.0);
    h.set("XV-4003", "open");
    h.set("XV-4004", "open");
    h.dial("XV-4001", 0.05);
    h.run(240.0);
    h.set("XV-4001", "open");
    h.run(60.0);
    h.set("HS-4001", "reset");
    h.dial("XV-4005", 0.22);
    h.run(1200.0);
    let mut wheel = 0.22;
    while h.actual("ST-4001") * 60.0 < 5850.0 && wheel < 1.0 {
        wheel = (wheel + 0.03_f64).min(1.0);
        h.dial("XV-4005", wheel);
        h.run(4.0);
    }
    h.set("XV-4005", "open");
    h.run(60.0);
    h.set("XV-4003", "shut");
    h.set("XV-4004", "shut");
    h.run(30.0);
}

/// Raises a set's speed changer until it carries so much, W.
fn load(h: &mut Hand, changer: &str, power: &str, least: f64) {
    for _ in 0..20 {
        if h.actual(power) > least {
            break;
        }
        h.set(changer, "raise");
        h.run(6.0);
    }
}

/// Steaming with both consumers, diesel and turbo-generator on the board without the shore; reached once and cloned.
pub fn on_the_board() -> Hand {
    static ON: OnceLock<Hand> = OnceLock::new();
    ON.get_or_init(|| {
        let mut h = steaming();
        diesel_on_the_board(&mut h);
        vacuum(&mut h);
        turbine_at_speed(&mut h);
        h.set("HS-5101", "in");
        h.until("the turbo-generator is on the board", 180.0, |h| h.actual("CB-5101") > 0.5);
        load(&mut h, "SC-5101", "JT-5101", 120e3);
        h.set("CB-5400", "open");
        h.run(300.0);
        let stands = |tag| h.actual(tag) > 0.5;
        assert!(stands("CB-5101") && stands("CB-5001") && !stands("CB-5400"), "{}", h.tell());
        h
    })
    .clone()
}
