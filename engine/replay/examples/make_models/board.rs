//! The switchboard by hand: a machine onto a live bus, load from one to the other, the frequency held.

use crate::plan::{Plan, lit, shown};
use replay::record::Deed;

/// Rated power of the two sets, W.
const RATED: [f64; 2] = [400e3, 600e3];

/// Voltage matched, a little fast, closed just before the top, by hand through the check relay.
pub fn synchronise(p: &mut Plan, number: &'static str) {
    p.set(&format!("HS-{number}"), "in");
    p.wait(5.0);
    p.read(move |s| Deed::operate(&format!("EC-{number}"), &format!("{:.0} V", shown(s, "ET-5000"))));
    p.wait(10.0);
    let changer = format!("SC-{number}");
    p.trim(6.0, move |s| {
        let slip = shown(s, "ST-5090");
        let way = if slip < 0.05 { "raise" } else { "lower" };
        (!(0.05..0.16).contains(&slip)).then(|| Deed::operate(&changer, way))
    });
    // The breaker takes 0.08 s, in which the pointer goes a few degrees.
    p.until("the pointer is just before the top", 180.0, |s| (-7.0..-1.0).contains(&shown(s, "ZT-5090").to_degrees()));
    p.set(&format!("CB-{number}"), "close");
    let lamp = format!("XL-{number}");
    p.until("the breaker is closed", 3.0, move |s| lit(s, &lamp));
}

/// The speed changer until the bus has its frequency.
pub fn hold_frequency(p: &mut Plan, changer: &'static str) {
    p.trim(6.0, move |s| {
        let off = shown(s, "ST-5000") - 60.0;
        (off.abs() > 0.1).then(|| Deed::operate(changer, if off < 0.0 { "raise" } else { "lower" }))
    });
}

/// The regulators' set points so that the bus has its voltage: they droop by 4 % with the reactive load, which the sets
/// then share by their ratings.
pub fn hold_voltage(p: &mut Plan, sets: &'static [&'static str]) {
    for number in sets {
        p.read(move |s| {
            let ratings: f64 = sets.iter().map(|n| if *n == "5001" { 500e3 } else { 750e3 }).sum();
            let reactive: f64 = sets.iter().map(|n| shown(s, &format!("QT-{n}"))).sum();
            let volts = 450.0 * (1.0 + 0.04 * reactive / ratings);
            Deed::operate(&format!("EC-{number}"), &format!("{volts:.0} V"))
        });
    }
    p.wait(20.0);
}

/// Load from one set to the other by both speed changers, in turns as the frequency wants it, and as slowly as the rotor
/// takes the heat.
pub fn share(p: &mut Plan) {
    p.trim(30.0, |s| {
        let more = shown(s, "JT-5101") / RATED[1] - shown(s, "JT-5001") / RATED[0];
        let off = shown(s, "ST-5000") - 60.0;
        let (changer, way) = match more {
            d if d < -0.04 => {
                if off < 0.0 {
                    ("SC-5101", "raise")
                } else {
                    ("SC-5001", "lower")
                }
            }
            d if d > 0.04 => {
                if off < 0.0 {
                    ("SC-5001", "raise")
                } else {
                    ("SC-5101", "lower")
                }
            }
            _ if off.abs() > 0.12 => ("SC-5101", if off < 0.0 { "raise" } else { "lower" }),
            _ => return None,
        };
        Some(Deed::operate(changer, way))
    });
}
