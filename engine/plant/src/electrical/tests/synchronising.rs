//! Synchroscope, check relay, automatic and manual closing, and what a bad closure does.

use super::bench::*;
use crate::electrical::*;
use core::f64::consts::TAU;

/// Set 0 on the bus, set 1 incoming and running this much faster (Hz).
fn incoming(slip: f64) -> Switchboard {
    let mut b = on_first(150e3, 80e3);
    b.sets[1].prepare_running();
    b.synchroniser.incoming = Some(1);
    let bus = b.frequency(0) / 60.0;
    b.sets[1].changer.ask(bus + slip / 60.0);
    run(&mut b, 30.0);
    b
}

#[test]
fn the_synchroscope_turns_at_slip_frequency_clockwise_when_the_incoming_machine_is_fast() {
    for slip in [0.05, 0.2, -0.1] {
        let mut b = incoming(slip);
        let seen = b.beside(1).slip;
        assert!((seen - slip).abs() < 0.02 * slip.abs(), "{seen}");
        let (mut turned, mut before) = (0.0, b.synchroniser.seen.angle);
        for _ in 0..1000 {
            run(&mut b, DT);
            let now = b.synchroniser.seen.angle;
            let mut step = now - before;
            if step.abs() > 3.0 {
                step -= TAU * step.signum();
            }
            assert!(step * slip > 0.0, "it always turns the same way");
            turned += step;
            before = now;
        }
        // A hundred seconds: a hundred times the slip in turns.
        assert!((turned / TAU - 100.0 * seen).abs() < 0.01 * 100.0 * seen.abs() + 0.01, "{} {seen}", turned / TAU);
    }
}

#[test]
fn the_lamps_are_dark_at_the_top_and_brightest_below() {
    let mut b = incoming(0.1);
    for _ in 0..300 {
        run(&mut b, DT);
        let s = b.synchroniser.seen;
        let expected = 2.0 * base::maths::sin(0.5 * s.angle.abs());
        assert!((s.lamps - expected).abs() < 0.05, "{s:?}");
    }
}

#[test]
fn ordered_ahead_by_breaker_time_times_slip_the_contacts_touch_at_the_top() {
    for slip in [0.05, 0.1, 0.2, -0.15] {
        let mut b = incoming(slip);
        let lead = Synchroniser::lead(b.beside(1).slip, BREAKER.closing);
        // The hand moves within the tick; here it may only move at its start, so the order is given by the breaker's own wait.
        let speed = TAU * b.beside(1).slip;
        let to_go = until(&mut b, 60.0, "near the top", |b| {
            let left = -(b.beside(1).angle + lead) / speed;
            (0.0..DT).contains(&left)
        });
        assert!(to_go > 0.0 || slip != 0.0);
        let after = -(b.beside(1).angle + lead) / speed;
        b.sets[1].breaker.close(after);
        run(&mut b, 1.0);
        let c = b.sets[1].closure.expect("it has touched");
        println!("slip {slip} Hz: touched at {:.3} deg", c.beside.angle.to_degrees());
        assert!(c.beside.angle.to_degrees().abs() < 0.1, "{c:?}");
        assert_eq!(b.sets[1].strain.total(), 0.0);
    }
}

#[test]
fn the_automatic_brings_it_near_and_closes_within_a_degree() {
    for start in [0.4, -0.5, 0.02] {
        let mut b = incoming(start);
        b.sets[1].excitation.set_set_point(0.96);
        b.synchroniser.automatic = true;
        let t = until(&mut b, 180.0, "closed by the automatic", |b| b.sets[1].breaker.is_closed());
        let c = b.sets[1].closure.expect("it closed on a live bus");
        println!(
            "from {start} Hz after {t:.0} s: {:.3} deg, {:.3} Hz, {:.2} % of volts, {:.2} of rated current",
            c.beside.angle.to_degrees(),
            c.beside.slip,
            100.0 * c.beside.voltage,
            c.current
        );
        assert!(c.beside.angle.to_degrees().abs() < 1.0 && c.beside.slip > 0.0 && c.beside.slip < 0.25);
        run(&mut b, 20.0);
        assert!(b.sets[1].breaker.is_closed() && b.sets[1].strain.total() == 0.0);
    }
}

#[test]
fn by_hand_a_little_early_inside_the_limits() {
    let mut b = incoming(0.1);
    until(&mut b, 60.0, "ten degrees before the top", |b| (-10.0..-5.0).contains(&b.beside(1).angle.to_degrees()));
    assert_eq!(b.close(1), Ok(()));
    run(&mut b, 5.0);
    let c = b.sets[1].closure.unwrap();
    assert!(c.beside.angle.to_degrees().abs() < 8.0, "{c:?}");
    assert!(b.sets[1].breaker.is_closed() && b.sets[1].strain.total() == 0.0);
}

#[test]
fn the_check_relay_keeps_a_hand_from_closing_out_of_phase() {
    let mut b = incoming(0.1);
    until(&mut b, 60.0, "opposite", |b| b.beside(1).angle.to_degrees().abs() > 170.0);
    let e = b.close(1).unwrap_err();
    assert!(e.contains("check relay") && e.contains("deg"), "{e}");
    b.synchroniser.incoming = None;
    assert!(b.close(1).unwrap_err().contains("select"));
    run(&mut b, 1.0);
    assert!(!b.sets[1].breaker.is_closed());
}

#[test]
fn out_of_phase_with_the_check_relay_by_passed_hurts_the_more_the_farther() {
    let mut before = 0.0;
    for degrees in [20.0, 60.0, 120.0, 170.0] {
        let mut b = incoming(0.2);
        b.synchroniser.bypassed = true;
        until(&mut b, 60.0, "at the angle", |b| {
            let a = b.beside(1).angle.to_degrees() + 5.8;
            (degrees..degrees + 8.0).contains(&a)
        });
        assert_eq!(b.close(1), Ok(()));
        run(&mut b, 0.3);
        let c = b.sets[1].closure.unwrap();
        let hurt = b.sets[1].strain.total();
        println!("{:.0} deg: {:.1} times rated current, damage {hurt:.3}", c.beside.angle.to_degrees(), c.current);
        assert!((c.beside.angle.to_degrees() - degrees).abs() < 10.0);
        if degrees <= 20.0 {
            assert_eq!(hurt, 0.0);
        } else {
            assert!(hurt > before, "{hurt} after {before}");
        }
        before = hurt;
    }
}

#[test]
fn a_dead_bus_takes_a_machine_without_looking() {
    let mut b = ship();
    b.shores[0].breaker.set(false);
    run(&mut b, 1.0);
    assert!(b.dead(0));
    assert!(b.close(0).unwrap_err().contains("no voltage"));
    b.sets[0].prepare_running();
    assert_eq!(b.close(0), Ok(()));
    run(&mut b, 1.0);
    assert!(b.live(0) && b.sets[0].closure.is_none());
}
