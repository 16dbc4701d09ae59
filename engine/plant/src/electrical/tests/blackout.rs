//! Starting, tripping, blackout and the way out of it.

use super::bench::*;
use crate::electrical::engine::ENGINE_CAUSES;
use crate::electrical::*;

fn engine(b: &Switchboard, set: usize) -> &DieselEngine {
    &b.sets[set].diesel.as_ref().unwrap().engine
}

#[test]
fn a_start_by_air_runs_up_and_uses_air() {
    let mut b = ship();
    b.start(0).unwrap();
    let mut air = 0.0;
    let mut t = 0.0;
    while !b.sets[0].ready() {
        run(&mut b, DT);
        air += b.sets[0].gives.air * DT;
        t += DT;
        assert!(t < 60.0, "it does not run up: {}", b.sets[0].machine.speed());
    }
    run(&mut b, 20.0);
    println!("ready after {t:.1} s with {air:.2} kg of air");
    assert!(t > 3.0 && t < 30.0 && air > 0.1 && air < 5.0);
    assert!((b.sets[0].machine.speed() - 1.0).abs() < 1e-3 && (b.sets[0].voltage() - 1.0).abs() < 1e-3);
    assert!(engine(&b, 0).trip.first_out().is_none() && engine(&b, 0).oil_pressure() > 4e5);
}

#[test]
fn without_air_no_start_and_with_a_dead_injection_a_start_failure() {
    let mut b = ship();
    b.sets[0].around.starting = 5e5;
    assert!(b.start(0).unwrap_err().contains("starting air"));
    b.sets[0].around.starting = 31e5;
    b.sets[0].diesel.as_mut().unwrap().engine.failing.will_not_start = true;
    b.start(0).unwrap();
    run(&mut b, 12.0);
    assert_eq!(engine(&b, 0).trip.first_out(), Some(3));
    assert_eq!(ENGINE_CAUSES[3], "start failure");
    assert!(b.start(0).unwrap_err().contains("start failure"));
    let e = &mut b.sets[0].diesel.as_mut().unwrap().engine;
    e.failing.will_not_start = false;
    assert_eq!(e.trip.reset(), Ok(()));
    run(&mut b, 30.0);
    b.start(0).unwrap();
    until(&mut b, 40.0, "ready", |b| b.sets[0].ready());
}

#[test]
fn without_cooling_the_jacket_trips_it_and_with_cooling_it_runs_on() {
    for (water, trips) in [(true, false), (false, true)] {
        let mut b = on_first(300e3, 150e3);
        b.sets[0].around.water = water.then_some(WATER);
        run(&mut b, 1500.0);
        println!("jacket {:.1} degC, with water: {water}", engine(&b, 0).temperature() - 273.15);
        assert_eq!(engine(&b, 0).trip.is_tripped(), trips);
        if trips {
            assert_eq!(engine(&b, 0).trip.first_out(), Some(2));
            assert!(!b.sets[0].breaker.is_closed() && b.dead(0));
        } else {
            assert!(b.live(0) && engine(&b, 0).liners.total() == 0.0);
        }
    }
}

#[test]
fn lost_oil_trips_and_running_on_without_hurts() {
    let mut b = on_first(200e3, 100e3);
    b.sets[0].diesel.as_mut().unwrap().engine.failing.oil_leak = 0.9;
    run(&mut b, 10.0);
    assert_eq!(engine(&b, 0).trip.first_out(), Some(1));
    let tripped = engine(&b, 0).bearings.total();
    let mut b = on_first(200e3, 100e3);
    let e = &mut b.sets[0].diesel.as_mut().unwrap().engine;
    e.failing.oil_leak = 0.9;
    e.trip.dead = true;
    run(&mut b, 60.0);
    assert!(engine(&b, 0).bearings.total() > 5.0 * tripped.max(0.01));
}

#[test]
fn load_thrown_off_overspeeds_a_little_and_a_racing_engine_trips() {
    let mut b = on_first(380e3, 150e3);
    b.sets[0].breaker.trip();
    let mut greatest = 0.0_f64;
    for _ in 0..100 {
        run(&mut b, DT);
        greatest = greatest.max(b.sets[0].machine.speed());
    }
    println!("load thrown off: {:.1} % of speed", 100.0 * greatest);
    assert!(greatest > 1.02 && greatest < 1.15 && !engine(&b, 0).trip.is_tripped());
    // Driven from outside past its setting.
    for (dead, first) in [(true, None), (false, Some(0))] {
        b.sets[0].diesel.as_mut().unwrap().engine.failing.overspeed_dead = dead;
        b.sets[0].machine.shaft.omega = 1.2 * b.sets[0].machine.params().omega;
        run(&mut b, DT);
        assert_eq!(engine(&b, 0).trip.first_out(), first);
    }
}

#[test]
fn with_its_governor_stuck_an_engine_races_when_its_load_is_thrown_off() {
    let races = |dead: bool, stopped: bool| {
        let mut b = on_first(380e3, 150e3);
        let d = b.sets[0].diesel.as_mut().unwrap();
        (d.governor.stuck, d.engine.failing.overspeed_dead) = (true, dead);
        b.sets[0].breaker.trip();
        let mut greatest = 0.0_f64;
        for tick in 0..1250 {
            if stopped && tick == 50 {
                b.sets[0].diesel.as_mut().unwrap().engine.stop();
            }
            run(&mut b, DT);
            greatest = greatest.max(b.sets[0].machine.speed());
        }
        (greatest, engine(&b, 0).trip.first_out(), engine(&b, 0).bearings.total())
    };
    // The trip catches it; without the trip it races until its bearings are gone, or somebody stops it.
    let (caught, raced, stopped) = (races(false, false), races(true, false), races(true, true));
    println!("{caught:?} {raced:?} {stopped:?}");
    assert!(caught.0 > 1.15 && caught.0 < 1.25 && caught.1 == Some(0) && caught.2 == 0.0, "{caught:?}");
    assert!(raced.0 > 1.3 && raced.0 < 1.4 && raced.1.is_none() && raced.2 > 1.0, "{raced:?}");
    assert!(stopped.2 < 0.2, "{stopped:?}");
}

#[test]
fn a_blackout_brings_the_emergency_set_within_45_s_and_then_the_diesel() {
    // SOLAS II-1 regulation 43 (from memory): started and connected automatically within at most 45 s.
    let mut b = ship();
    load(&mut b, 0, 90e3, 50e3);
    load(&mut b, 1, 20e3, 10e3);
    run(&mut b, 20.0);
    assert!(b.live(0) && b.live(1));
    b.shores[0].available = false;
    run(&mut b, 1.0);
    assert!(b.dead(0) && b.dead(1));
    load(&mut b, 0, 0.0, 0.0);
    b.sets[2].around.starting = 1.0;
    let t = until(&mut b, 45.0, "emergency bus live", |b| b.live(1));
    println!("emergency bus live after {t:.1} s");
    assert!(b.dead(0), "the main bus stays dead: the tie has opened");
    assert!(!b.ties[0].breaker.is_closed());
    // The diesel onto the dead main bus.
    b.start(0).unwrap();
    until(&mut b, 40.0, "diesel ready", |b| b.sets[0].ready());
    b.close(0).unwrap();
    run(&mut b, 2.0);
    assert!(b.live(0));
    // Both sides are live now: the tie cannot close before the emergency breaker is open.
    assert!(b.close_tie(0).unwrap_err().contains("both sides"));
    b.sets[2].emergency.as_mut().unwrap().standby = false;
    b.sets[2].breaker.trip();
    run(&mut b, 0.5);
    b.close_tie(0).unwrap();
    run(&mut b, 1.0);
    assert!(b.live(1) && (b.load(0) - 20e3).abs() < 1.0);
}

#[test]
fn too_much_load_sheds_the_preferential_groups_and_keeps_the_bus() {
    let mut b = on_first(300e3, 200e3);
    for shed in [Shed::First, Shed::Second] {
        let params = ConsumerParams { bus: 0, power: 60e3, power_factor: 0.8, swing: 0.0, period: 60.0, shed };
        b.consumers.push(Consumer::new(params, true));
    }
    run(&mut b, 30.0);
    assert!(b.consumers[0].shed, "the first group is out");
    assert!(b.sets[0].breaker.is_closed() && b.live(0));
    assert!(b.sets[0].measured().current < 1.0);
}

#[test]
fn a_failed_regulator_loses_the_voltage_and_a_hand_holds_it() {
    let mut b = on_first(200e3, 100e3);
    b.sets[0].protection.unit.dead = true;
    b.sets[0].excitation.failing = Some(RegulatorFailing::Stands);
    load(&mut b, 0, 240e3, 120e3);
    run(&mut b, 20.0);
    let low = b.voltage(0) / 450.0;
    assert!(low < 0.93, "{low}");
    b.sets[0].excitation.set_automatic(false);
    for _ in 0..3000 {
        let off = 1.0 - b.voltage(0) / 450.0;
        let hand = b.sets[0].excitation.by_hand() + 0.01 * off;
        b.sets[0].excitation.set_by_hand(hand);
        run(&mut b, DT);
    }
    assert!((b.voltage(0) / 450.0 - 1.0).abs() < 0.02, "{}", b.voltage(0) / 450.0);
}

#[test]
fn a_breaker_that_falls_out_blacks_out_and_one_that_will_not_close_stays_open() {
    let mut b = on_first(200e3, 100e3);
    b.sets[0].breaker.failing.falls_out = true;
    run(&mut b, 1.0);
    assert!(b.dead(0) && !b.sets[0].protection.unit.is_tripped());
    b.sets[0].breaker.failing.falls_out = false;
    b.sets[0].breaker.failing.will_not_close = true;
    assert_eq!(b.close(0), Ok(()), "the order goes out; what follows is to be seen");
    run(&mut b, 2.0);
    assert!(b.dead(0) && !b.sets[0].breaker.is_closed());
}
