//! The switchboard: the diesel in the shore's place, the turbine beside the diesel.

use crate::hands::Hands;

/// Cooling water first, then starting air; the diesel by air, onto the live bus, loaded, and the shore left.
pub fn diesel_for_the_shore(h: &mut Hands) {
    for valve in ["XV-1214", "XV-1215", "XV-1607", "XV-1608", "XV-1216", "XV-1213"] {
        h.set(valve, "open");
    }
    h.wait(10.0);
    h.set("K-1601", "automatic");
    h.set("K-1602", "automatic");
    h.until("there is air to start with", 3600.0, |h| h.barg("PT-1601") > 24.0);
    h.set("XV-1601", "open");
    h.wait(5.0);
    h.set("D-5011", "start");
    h.until("the diesel is at its speed", 60.0, |h| h.actual("ET-5001") > 440.0 && h.actual("ST-5001") > 59.0);
    h.wait(120.0);
    synchronise(h, "5001");
    for _ in 0..60 {
        if h.actual("JT-5400") < 15e3 {
            break;
        }
        h.set("SC-5001", "raise");
        h.wait(5.0);
    }
    h.set("CB-5400", "open");
    h.wait(30.0);
    hold_frequency(h, "SC-5001");
    hold_voltage(h, &["5001"]);
}

/// The turbine generator onto the diesel's bus, loaded at once, until both carry the same part of what they can.
pub fn turbine_beside_the_diesel(h: &mut Hands) {
    synchronise(h, "5101");
    h.set("SC-5101", "raise");
    h.wait(3.0);
    h.set("SC-5101", "raise");
    share(h);
    hold_voltage(h, &["5001", "5101"]);
    h.set("HS-5101", "out");
    h.set("HS-3001", "three-element");
    h.wait(600.0);
    share(h);
    h.wait(300.0);
}

/// Voltage matched, a little fast, closed just before the top, by hand through the check relay.
fn synchronise(h: &mut Hands, number: &str) {
    let changer = format!("SC-{number}");
    h.set(&format!("HS-{number}"), "in");
    h.wait(2.0);
    let volts = h.actual("ET-5000");
    h.set(&format!("EC-{number}"), &format!("{volts:.0} V"));
    h.wait(10.0);
    for _ in 0..100 {
        let slip = h.actual("ST-5090");
        if (0.05..0.16).contains(&slip) {
            break;
        }
        h.set(&changer, if slip < 0.05 { "raise" } else { "lower" });
        h.wait(6.0);
    }
    // The breaker takes 0.08 s, in which the pointer goes a few degrees.
    h.moment("the pointer is just before the top", 120.0, |h| (-7.0..-1.0).contains(&h.actual("ZT-5090").to_degrees()));
    let breaker = format!("CB-{number}");
    h.set(&breaker, "close");
    h.wait(1.0);
    assert!(h.actual(&breaker) > 0.5, "{breaker} is closed");
}

/// The speed changer until the bus has its frequency again.
fn hold_frequency(h: &mut Hands, changer: &str) {
    for _ in 0..40 {
        let off = h.actual("ST-5000") - 60.0;
        if off.abs() < 0.1 {
            break;
        }
        h.set(changer, if off < 0.0 { "raise" } else { "lower" });
        h.wait(6.0);
    }
}

/// The regulators' set points so that the bus has its voltage: they droop by 4 % with the reactive load, which the sets
/// then share by their ratings.
fn hold_voltage(h: &mut Hands, sets: &[&str]) {
    let ratings: f64 = sets.iter().map(|n| if *n == "5001" { 500e3 } else { 750e3 }).sum();
    let reactive: f64 = sets.iter().map(|n| h.actual(&format!("QT-{n}"))).sum();
    let volts = 450.0 * (1.0 + 0.04 * reactive / ratings);
    for number in sets {
        h.set(&format!("EC-{number}"), &format!("{volts:.0} V"));
    }
    h.wait(20.0);
}

/// Load from one set to the other by both speed changers, in turns as the frequency wants it, and as slowly as the rotor
/// takes the heat.
fn share(h: &mut Hands) {
    for _ in 0..200 {
        let (diesel, turbine) = (h.actual("JT-5001") / 400e3, h.actual("JT-5101") / 600e3);
        let low = h.actual("ST-5000") < 60.0;
        let off = (h.actual("ST-5000") - 60.0).abs() > 0.12;
        let (changer, way) = match turbine - diesel {
            d if d < -0.04 => {
                if low {
                    ("SC-5101", "raise")
                } else {
                    ("SC-5001", "lower")
                }
            }
            d if d > 0.04 => {
                if low {
                    ("SC-5001", "raise")
                } else {
                    ("SC-5101", "lower")
                }
            }
            _ if off => ("SC-5101", if low { "raise" } else { "lower" }),
            _ => return,
        };
        h.set(changer, way);
        h.wait(30.0);
    }
    panic!("the sets do not come to share");
}
