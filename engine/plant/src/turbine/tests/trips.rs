//! Each trip by its own cause on the running machine, and what happens when it is dead.

use super::*;

fn first(b: &Bench) -> Option<&'static str> {
    b.set.turbine.protection.first().map(|c| c.words())
}

fn stops(b: &mut Bench, cause: &str) {
    assert!(b.until(600.0, |b| !b.set.turbine.protection.is_set()), "{cause}: {}", b.tell());
    assert_eq!(first(b), Some(cause));
    b.load = 0.0;
    b.run(5.0);
    assert!(b.set.turbine.governor.stop_valve() == 0.0 && b.net.flow(b.set.ways.admission) == 0.0, "{}", b.tell());
}

#[test]
fn by_hand() {
    let mut b = Bench::at_speed();
    b.set.turbine.protection.trip();
    stops(&mut b, "by hand");
    // Not reset with the wheel open, nor does anything open by itself.
    assert!(b.set.turbine.reset().is_err());
    b.set.turbine.governor.set_wheel(0.0);
    b.run(60.0);
    b.set.turbine.reset().unwrap();
    b.run(10.0);
    assert!(b.set.turbine.protection.is_set() && b.set.turbine.governor.stop_valve() == 0.0);
}

/// A governor valve that sticks open as the load is thrown off.
#[test]
fn overspeed() {
    let stuck = |bolt_dead: bool, electronic_dead: bool| {
        let mut b = Bench::loaded(7e5);
        b.set.turbine.governor.failing.valve_stuck = true;
        b.set.turbine.protection.failing.bolt_dead = bolt_dead;
        b.set.turbine.protection.failing.electronic_dead = electronic_dead;
        b.load = 0.0;
        b
    };
    stops(&mut stuck(false, false), "overspeed, electronic");
    let mut b = stuck(false, true);
    stops(&mut b, "overspeed, mechanical");
    assert!(b.set.turbine.overspeed.total() < 0.05, "{}", b.tell());
    // With both dead nothing stops it, and it is spoilt.
    let mut b = stuck(true, true);
    assert!(b.until(120.0, |b| b.set.turbine.overspeed.total() > 1.0), "{}", b.tell());
}

#[test]
fn overspeed_with_a_stop_valve_that_sticks_is_caught_by_the_governor_valve() {
    let mut b = Bench::loaded(7e5);
    b.set.turbine.governor.failing.stop_stuck = true;
    b.set.turbine.protection.trip();
    b.load = 0.0;
    b.run(20.0);
    assert!(b.set.turbine.governor.stop_valve() > 0.9 && b.n() < 1.02, "{}", b.tell());
}

/// The shaft's pump fails and the priming pump's standby start is dead.
#[test]
fn low_oil_pressure() {
    let mut b = Bench::loaded(5e5);
    b.set.oil.failing.shaft_pump_worn = 1.0;
    let (mut saved, before) = (b.clone(), b.damage());
    b.set.oil.failing.standby_dead = true;
    stops(&mut b, "oil pressure low");
    // It runs down dry: the bearings are hurt. With the standby start it would have gone on.
    b.run(300.0);
    assert!(b.set.turbine.bearings[0].damage.total() > 0.2, "{}", b.tell());
    saved.run(60.0);
    assert!(saved.set.turbine.protection.is_set() && saved.set.oil.priming.is_running(), "{}", saved.tell());
    assert!(saved.damage() < before + 0.001, "{}", saved.tell());
}

#[test]
fn lost_vacuum() {
    let mut b = Bench::loaded(5e5);
    let out = crate::steam::Outside::new(0.6e5, 370.0, crate::steam::Gives::Steam);
    b.net.set_outside(b.condenser, out);
    stops(&mut b, "exhaust pressure high");
}

/// A blade is lost: the centre of mass is off.
#[test]
fn high_vibration() {
    let mut b = Bench::loaded(5e5);
    b.set.turbine.vibration.more_unbalance = 80e-6;
    stops(&mut b, "vibration high");
}

/// The cooling water is lost: bearings grow hot, more slowly than the oil; a spoilt surface does it at once.
#[test]
fn hot_bearing() {
    let mut b = Bench::loaded(5e5);
    let cool = b.set.turbine.hottest_bearing();
    let mut spoilt = b.clone();
    b.water.mass_flow = 0.0;
    b.run(600.0);
    assert!(b.set.turbine.hottest_bearing() > cool + 5.0, "{}", b.tell());
    spoilt.set.turbine.bearings[0].rough = 5.0;
    stops(&mut spoilt, "bearing temperature high");
}

/// A filter that chokes is told by its drop, then by the pressure; changed over in time nothing happens.
#[test]
fn a_choking_filter() {
    let mut b = Bench::loaded(5e5);
    b.set.oil.filters[0].rate = 1.0 / 300.0;
    assert!(b.until(600.0, |b| b.set.oil.header().filter_drop > 1.0e5), "{}", b.tell());
    assert!(b.set.turbine.protection.is_set());
    let (mut changed, before) = (b.clone(), b.damage());
    b.set.oil.failing.standby_dead = true;
    stops(&mut b, "oil pressure low");
    changed.set.oil.in_use = 1;
    changed.run(600.0);
    assert!(changed.set.turbine.protection.is_set() && changed.damage() < before + 0.001, "{}", changed.tell());
}

/// A leak empties the tank until the pumps draw air.
#[test]
fn an_oil_leak_empties_the_tank() {
    let mut b = Bench::loaded(5e5);
    b.set.oil.failing.leak = 1.5;
    let level = b.set.oil.level();
    b.run(60.0);
    assert!(b.set.oil.level() < level - 0.05 && b.set.oil.header().p > 1.0e5, "{}", b.tell());
    stops(&mut b, "oil pressure low");
}

/// No oil, no turning; no turning gear, a bow.
#[test]
fn turning_needs_oil_and_standstill() {
    let mut b = Bench::new();
    b.run(1.0);
    let oil = b.set.oil.pressure();
    assert!(b.set.turbine.turning.engage(0.0, oil).is_err());
    b.turning(120.0);
    let speed = b.set.turbine.turning.params().speed;
    assert!((b.n() / speed - 1.0).abs() < 0.12, "{}", b.tell());
    b.line_up();
    b.roll(0.24, 300.0);
    assert!(b.n() > 2.0 * speed && !b.set.turbine.turning.is_engaged(), "it has thrown itself out: {}", b.tell());
}
