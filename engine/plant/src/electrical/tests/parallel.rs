//! Machines in parallel: sharing of load and reactive load.

use super::bench::*;
use crate::check_data::example;
use crate::electrical::machine::tests::SMALL;
use crate::electrical::*;

fn list(v: &serde_json::Value) -> Vec<f64> {
    v.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
}

/// Two diesel sets on one bus, run until they rest.
fn shared(rating: &[f64], droop: &[f64], set: &[f64], load_w: f64, reactive: f64) -> Switchboard {
    let mut b = board();
    for k in 0..2 {
        let machine = MachineParams { rating: 1.25 * rating[k], power: rating[k], ..SMALL };
        let mut s = diesel_set(
            0,
            machine,
            EngineParams { power: 1.1 * rating[k], trips: EngineTrips { jacket: None, ..DIESEL.trips }, ..DIESEL },
        );
        let d = s.diesel.as_mut().unwrap();
        let governor = *d.governor.params();
        d.governor = Governor::new(GovernorParams { droop: droop[k], ..governor });
        s.changer.ask(set[k]);
        s.prepare_running();
        s.breaker.set(true);
        b.sets.push(s);
    }
    b.prime();
    super::bench::load(&mut b, 0, load_w, reactive);
    // Heat is no matter here, and the relays are not run: only the physics.
    for _ in 0..3000 {
        b.step(ROOM, DT);
    }
    b
}

mod checks {
    use super::*;

    #[test]
    fn droop_sharing_of_scalar_checks() {
        for id in ["droop_two_sets", "droop_unequal"] {
            let e = example(id);
            let rated = e.inputs["rated_Hz"].as_f64().unwrap_or(60.0);
            let (rating, droop) = (list(&e.inputs["rating_kW"]), list(&e.inputs["droop"]));
            let rating: Vec<f64> = rating.iter().map(|x| x * 1e3).collect();
            let set: Vec<f64> = list(&e.inputs["no_load_Hz"]).iter().map(|x| x / rated).collect();
            let b = shared(&rating, &droop, &set, e.input("load_kW") * 1e3, 0.0);
            e.compare("f_Hz", b.frequency(0));
            for (k, p) in list(&e.expected["P_kW"]).iter().enumerate() {
                let ours = b.sets[k].machine.power() / 1e3;
                assert!((ours / p - 1.0).abs() < e.tolerance, "{id}: {ours}, expected {p}");
            }
            println!("{}: {id}, powers of {} sets compared", e.path, rating.len());
        }
    }
}

#[test]
fn reactive_load_is_shared_by_the_droops() {
    let b = shared(&[400e3, 400e3], &[0.04, 0.04], &[1.02, 1.02], 300e3, 200e3);
    let q: Vec<f64> = b.sets.iter().map(|s| s.machine.reactive() / s.machine.params().rating).collect();
    assert!((q[0] - q[1]).abs() < 1e-6, "{q:?}");
    // The bus stands on the droop's line: set point less droop times reactive load.
    let v = b.voltage(0) / 450.0;
    assert!((v - (1.0 - 0.04 * q[0])).abs() < 1e-6, "{v} {q:?}");
    // Unequal machines carry equal parts of their ratings.
    let b = shared(&[400e3, 200e3], &[0.04, 0.04], &[1.02, 1.02], 300e3, 150e3);
    let part: Vec<f64> = b.sets.iter().map(|s| s.machine.reactive() / s.machine.params().rating).collect();
    assert!((part[0] - part[1]).abs() < 1e-6, "{part:?}");
}

#[test]
fn a_raised_speed_changer_takes_load_and_a_raised_voltage_takes_reactive_load() {
    let mut b = shared(&[400e3, 400e3], &[0.04, 0.04], &[1.02, 1.02], 300e3, 150e3);
    let before = (b.sets[0].machine.power(), b.sets[0].machine.reactive());
    b.sets[0].changer.nudge(0.004);
    b.sets[0].excitation.set_set_point(1.01);
    for _ in 0..600 {
        b.step(ROOM, DT);
    }
    let after = (b.sets[0].machine.power(), b.sets[0].machine.reactive());
    // Half of 0.4 % at a droop of 4 % is 5 % of 400 kW; half of 1 % at 4 % is an eighth of 500 kVA.
    assert!((after.0 - before.0 - 20e3).abs() < 300.0, "{before:?} {after:?}");
    assert!((after.1 - before.1 - 62.5e3).abs() < 500.0, "{before:?} {after:?}");
}

#[test]
fn an_engine_without_fuel_is_driven_and_its_reverse_power_relay_opens_it() {
    let mut b = shared(&[400e3, 400e3], &[0.04, 0.04], &[1.02, 1.02], 200e3, 100e3);
    b.sets[1].around.fuel = false;
    let t = until(&mut b, 20.0, "the breaker opens", |b| !b.sets[1].breaker.is_closed());
    assert_eq!(b.sets[1].protection.first(), Some("reverse power"));
    assert!(t > 5.0 && t < 8.0, "{t}");
    assert!(b.live(0) && b.sets[0].machine.power() > 199e3, "the other one carries all");
    assert!(b.close(1).unwrap_err().contains("reverse power"), "locked out until reset");
}
