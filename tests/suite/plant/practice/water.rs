//! Shrink and swell.

use super::super::hand::{Hand, ready, steaming};

/// A run beside another that differs in one thing: levels each second.
fn beside(base: &Hand, seconds: u32, change: impl Fn(&mut Hand)) -> Vec<(f64, f64)> {
    let (mut a, mut b) = (base.clone(), base.clone());
    change(&mut b);
    (0..seconds)
        .map(|_| {
            a.run(1.0);
            b.run(1.0);
            (a.actual("LT-2001"), b.actual("LT-2001"))
        })
        .collect()
}

/// Feed by hand, so that nothing answers but the water.
fn feed_by_hand() -> Hand {
    let mut h = steaming();
    h.set("XV-2202", "shut");
    h.run(600.0);
    let opening = h.actual("LCV-3001");
    h.set("LIC-3001", "manual");
    h.dial("HIC-3001", opening);
    h
}

/// Common practice: water is left below normal before lighting up, since it swells.
#[test]
fn the_level_swells_as_it_begins_to_boil() {
    let mut h = ready();
    h.light_up(0.2);
    h.until("90 degC in the drum", 3600.0, |h| h.celsius("TT-2102") > 0.0 && h.barg("PT-2001") > 0.05);
    let before = h.actual("LT-2001");
    h.run(600.0);
    let after = h.actual("LT-2001");
    println!("{before} {after} {}", h.tell());
    assert!(after > before + 0.03, "{before} {after}");
}

/// Common practice: a big consumer lowers the pressure, the level swells first and falls afterwards.
#[test]
fn a_big_consumer_swells_the_level_and_then_lowers_it() {
    let h = feed_by_hand();
    let levels = beside(&h, 900, |h| h.dial("XV-2202", 1.0));
    let rise = levels[..90].iter().map(|(a, b)| b - a).fold(f64::NEG_INFINITY, f64::max);
    let (a, b) = levels[899];
    println!("rise {rise} then {} ", b - a);
    assert!(rise > 0.01, "{rise}");
    assert!(b - a < -0.02, "{} {}", a, b);
}

/// Common practice: more feed, colder than the drum, shrinks the level before it raises it.
#[test]
fn more_feed_shrinks_the_level_first() {
    let mut h = feed_by_hand();
    h.dial("XV-2202", 0.5);
    h.run(240.0);
    let levels = beside(&h, 300, |h| h.dial("HIC-3001", 1.0));
    let fall = levels[..60].iter().map(|(a, b)| b - a).fold(f64::INFINITY, f64::min);
    let (a, b) = levels[299];
    println!("fall {fall} then {}", b - a);
    assert!(fall < -0.002, "{fall}");
    assert!(b - a > 0.02, "{a} {b}");
}
