//! The swing equation against closed results.
//!
//! The textbook's equation `2H/(2 pi f_0) d2(delta)/dt2 = P_m - P_max sin(delta)` neglects that speed departs from nominal;
//! its only parameter is `H/f_0`. So the tests run the very board with both a thousand times as large, where the
//! departure is gone, and one test tells what it is at 60 Hz.

use super::bench::*;
use crate::check_data::example;
use crate::electrical::breaker::Breaker;
use crate::electrical::machine::tests::SMALL;
use crate::electrical::*;
use core::f64::consts::{PI, TAU};

struct Case {
    e: f64,
    v: f64,
    x: f64,
    pm: f64,
    h: f64,
    f0: f64,
}

/// One machine against a stiff bus; `larger` scales H and the frequency together.
fn against_stiff(c: &Case, larger: f64, fine: f64) -> Switchboard {
    let mut b = board();
    let params = BoardParams { frequency: c.f0 * larger, fine, coarse: fine, ..*b.params() };
    b = Switchboard::new(params, vec![b.buses[0]], b.synchroniser.clone(), b.preferential.clone());
    let base = 450.0 * 450.0 / SMALL.rating;
    let machine = MachineParams {
        frequency: c.f0 * larger,
        transient: 0.6 * c.x,
        damper: 0.0,
        field_time: f64::INFINITY,
        fixed_loss: 0.0,
        load_loss: 0.0,
        ..SMALL
    };
    let mut s = diesel_set(0, machine, DIESEL);
    s.diesel = None;
    s.machine.shaft.inertia = Shaft::inertia_of(c.h * larger, machine.rating, machine.omega);
    s.machine.shaft.omega = machine.omega;
    s.machine.flux = c.e;
    s.outside.drive = c.pm * machine.rating / machine.omega;
    s.breaker = Breaker::new(BREAKER, true);
    b.sets.push(s);
    let stiff = ProtectionParams {
        reverse: f64::INFINITY,
        undervoltage: 0.0,
        frequency: (0.0, 9.0),
        ..crate::electrical::protection::tests::SMALL
    };
    let mut shore = ShoreSupply::new(0, Breaker::new(BREAKER, true), Protection::new(stiff), 0.4 * c.x * base, 1e9);
    shore.voltage = c.v;
    b.shores.push(shore);
    b
}

fn given() -> (Case, crate::check_data::Example) {
    let e = example("swing");
    let case = Case {
        e: e.input("E"),
        v: e.input("V"),
        x: e.input("X"),
        pm: e.input("Pm"),
        h: e.input("H_s"),
        f0: e.input("f0"),
    };
    (case, e)
}

/// Whether it stays in step when the line is open for `open` seconds and then back; and its greatest angle, rad.
fn survives(c: &Case, larger: f64, fine: f64, start: f64, open: f64) -> (bool, f64) {
    let mut b = against_stiff(c, larger, fine);
    b.sets[0].machine.angle = start;
    b.sets[0].breaker.set(false);
    b.step(ROOM, open);
    b.sets[0].breaker.set(true);
    let mut greatest = 0.0_f64;
    for _ in 0..600 {
        b.step(ROOM, 0.005);
        let angle = b.sets[0].machine.angle;
        greatest = greatest.max(angle);
        if angle.abs() > 0.95 * PI {
            return (false, greatest);
        }
    }
    (true, greatest)
}

fn critical(c: &Case, larger: f64, fine: f64, start: f64) -> f64 {
    let (mut low, mut high) = (0.05, 0.5);
    for _ in 0..22 {
        let mid = 0.5 * (low + high);
        if survives(c, larger, fine, start, mid).0 { low = mid } else { high = mid }
    }
    0.5 * (low + high)
}

mod checks {
    use super::*;

    #[test]
    fn critical_clearing_time_of_scalar_checks() {
        let (c, e) = given();
        let mut b = against_stiff(&c, 1000.0, 0.0005);
        // The greatest power over all angles, and the angle at which it gives what drives it.
        let mut greatest = 0.0_f64;
        for k in 0..1800 {
            b.sets[0].machine.angle = f64::from(k) * PI / 1800.0;
            b.prime();
            greatest = greatest.max(b.sets[0].machine.power() / SMALL.rating);
        }
        e.compare("P_max", greatest);
        let (mut low, mut high) = (0.0, 0.5 * PI);
        for _ in 0..50 {
            let mid = 0.5 * (low + high);
            b.sets[0].machine.angle = mid;
            b.prime();
            if b.sets[0].machine.power() < c.pm * SMALL.rating { low = mid } else { high = mid }
        }
        e.compare("delta0_deg", low.to_degrees());
        let critical = critical(&c, 1000.0, 0.0005, low);
        e.compare("critical_clearing_s", critical);
        // The angle that it has reached then.
        let mut b = against_stiff(&c, 1000.0, 0.0005);
        b.sets[0].machine.angle = low;
        b.sets[0].breaker.set(false);
        b.step(ROOM, critical);
        e.compare("critical_angle_deg", b.sets[0].machine.angle.to_degrees());
        // Small swings about the working angle.
        let mut b = against_stiff(&c, 1000.0, 0.0005);
        b.sets[0].machine.angle = low + 1e-3;
        let (mut crossings, mut first, mut last, mut was) = (0, 0.0, 0.0, 1e-3);
        for k in 1..=40_000 {
            b.step(ROOM, 0.0005);
            let now = b.sets[0].machine.angle - low;
            if (now > 0.0) != (was > 0.0) {
                last = 0.0005 * (f64::from(k) - now / (now - was));
                if crossings == 0 {
                    first = last;
                }
                crossings += 1;
            }
            was = now;
        }
        e.compare("natural_Hz", f64::from(crossings - 1) / 2.0 / (last - first));
    }
}

#[test]
fn equal_areas() {
    // Stevenson, Elements of Power System Analysis (1982), section 14.6; Kundur (1994), section 13.1: with the line back at
    // delta_c, P_m (delta_m - delta_0) = P_max (cos delta_c - cos delta_m).
    let (c, _) = given();
    let (start, max) = (base::maths::asin(c.pm / (c.e * c.v / c.x)), c.e * c.v / c.x);
    for open in [0.08, 0.14, 0.2] {
        let (kept, greatest) = survives(&c, 1000.0, 0.0005, start, open);
        let delta_c = start + TAU * c.f0 * c.pm / (4.0 * c.h) * open * open;
        let left = c.pm * (greatest - start);
        let right = max * (base::maths::cos(delta_c) - base::maths::cos(greatest));
        println!("open {open} s: greatest angle {:.2} deg, areas {left:.6} {right:.6}", greatest.to_degrees());
        assert!(kept && (left / right - 1.0).abs() < 1e-3);
    }
}

#[test]
fn the_step_of_the_plant_is_fine_enough_and_what_speed_departure_does() {
    let (c, e) = given();
    let start = base::maths::asin(c.pm / (c.e * c.v / c.x));
    let expected = e.expected["critical_clearing_s"].as_f64().unwrap();
    let plant = critical(&c, 1000.0, SUB_STEPS.0, start);
    let real = critical(&c, 1.0, SUB_STEPS.0, start);
    println!("closed {expected:.5}, at the plant's step {plant:.5}, at 60 Hz with the true shaft {real:.5}");
    assert!((plant / expected - 1.0).abs() < 1e-3);
    assert!((real / expected - 1.0).abs() < 1e-3);
}
