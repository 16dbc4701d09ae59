//! Energy of the whole board closes.

use super::bench::*;
use crate::electrical::*;

/// What is held and what has crossed, added up from outside: the difference must not change.
fn held(b: &Switchboard) -> f64 {
    let mut sum = 0.0;
    for s in &b.sets {
        sum += 0.5 * s.machine.shaft.inertia * s.machine.shaft.omega * s.machine.shaft.omega;
        if let Some(d) = &s.diesel {
            sum += d.engine.capacity() * d.engine.temperature();
        }
    }
    sum + b.battery.as_ref().map_or(0.0, |x| x.0.charge())
}

fn crossed(b: &Switchboard) -> f64 {
    let mut sum = b.shores.iter().map(ShoreSupply::given).sum::<f64>() - b.delivered();
    for s in &b.sets {
        sum += s.account().outside - s.account().lost;
        if let Some(d) = &s.diesel {
            let a = d.engine.account();
            sum += a.fuel_heat + a.cranking - a.lost - a.water;
        }
    }
    if let Some((battery, _)) = &b.battery {
        let (bus, load, lost) = battery.account();
        sum += bus - load - lost;
    }
    sum
}

#[test]
fn energy_closes_over_starts_loads_trips_and_bad_closures() {
    let mut b = ship();
    let battery = BatteryParams { capacity: 7.2e6, voltage: 24.0, load: 600.0, charger: 1500.0, efficiency: 0.85 };
    b.battery = Some((Battery::new(battery, 0.7), 1));
    b.consumers.push(Consumer::new(
        ConsumerParams { bus: 0, power: 60e3, power_factor: 0.85, swing: 0.2, period: 90.0, shed: Shed::First },
        true,
    ));
    let (h0, c0) = (held(&b), crossed(&b));
    let mut through = 0.0;
    for k in 0..6000_u32 {
        load(&mut b, 0, 40e3 + 30.0 * f64::from(k % 900), 30e3);
        b.buses[1].motors = Load { p: 5e3, q: 2e3, g: 0.02, b: 0.05 };
        match k {
            100 => b.start(0).unwrap(),
            400 => {
                b.synchroniser.incoming = Some(0);
                b.synchroniser.bypassed = true;
                b.close(0).unwrap();
            }
            900 => b.shores[0].breaker.trip(),
            1000 => b.start(1).unwrap(),
            1500 => {
                b.synchroniser.incoming = Some(1);
                b.close(1).unwrap();
            }
            3000 => b.sets[0].around.fuel = false,
            4000 => b.sets[1].breaker.trip(),
            _ => {}
        }
        let before = b.delivered();
        run(&mut b, DT);
        through += b.delivered() - before;
        // The generators together give what is taken, in every sub-step.
        assert!(b.imbalance() < 1e-9 * 500e3, "tick {k}: {} W", b.imbalance());
        let gap = (held(&b) - h0) - (crossed(&b) - c0);
        assert!(gap.abs() <= 1e-9 * through.max(h0.abs()), "tick {k}: {gap} J of {through}");
    }
    assert!(b.sets[2].breaker.is_closed(), "in the end the emergency set feeds its bus");
    println!("energy through the loads {:.1} MJ, greatest imbalance {:e} W", through / 1e6, b.imbalance());
}

#[test]
fn shaft_power_is_load_and_losses_and_kinetic_energy() {
    // d(kinetic)/dt = shaft power - bus load - losses, over each tick of a load step, from the machine's own figures.
    let mut b = on_first(150e3, 80e3);
    b.sets[0].diesel = None;
    b.sets[0].outside.drive = 900.0;
    load(&mut b, 0, 260e3, 140e3);
    for _ in 0..8 {
        let s = &b.sets[0];
        let (k0, a0, d0) = (s.machine.shaft.kinetic(), *s.account(), b.delivered());
        b.step(ROOM, DT);
        let s = &b.sets[0];
        let a = s.account();
        let stored = s.machine.shaft.kinetic() - k0;
        let balance = (a.outside - a0.outside) - (b.delivered() - d0) - (a.lost - a0.lost) - stored;
        assert!(balance.abs() < 1e-9 * 260e3 * DT, "{balance} J");
        assert!(a.lost - a0.lost > 800.0 && stored < 0.0);
    }
}

#[test]
fn a_set_at_rest_costs_nothing_and_holds_nothing() {
    let mut b = ship();
    run(&mut b, 60.0);
    for s in &b.sets {
        assert!(s.at_rest());
        assert_eq!(s.machine.shaft.omega, 0.0);
        assert_eq!(s.account().given, 0.0);
    }
}
