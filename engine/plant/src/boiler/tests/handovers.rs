//! The drum through all its states, and what happens when it is treated badly.

use super::bench::{Bench, DT};
use crate::boiler::{BurnerOrders, DrumState, TripCause, sizing};
use base::units::ATMOSPHERE;

/// At working pressure with level control by a perfect hand: feed follows steam.
fn steaming(load: f64) -> Bench {
    let mut b = Bench::hot(sizing::WORKING_PRESSURE, -0.05);
    b.feed_enthalpy = 4200.0 * 90.0;
    b.load = load * 0.2;
    b.fire(0.2);
    b.front.master.set_automatic(true);
    for k in 0..18_000 {
        b.load = load * (0.2 + 0.8 * (f64::from(k) * DT / 600.0).min(1.0));
        b.feed = (b.steam + 2.0 * (0.0 - b.drum.collapsed_level())).max(0.0);
        b.tick();
    }
    b
}

fn show(what: &str, b: &Bench) {
    println!(
        "{what}: {:.2} barg level {:+.3} collapsed {:+.3} m glass {:+.3} x {:.4} bubbles {:.3} void {:.2} flow {:.0} wetted {:.2} moisture {:.4} shell {:.1} K firing {:.2} steam {:.2} {:?}",
        b.gauge(),
        b.drum.level(),
        b.drum.collapsed_level(),
        b.drum.gauge_glass(-0.35, 0.35, 310.0),
        b.drum.quality(),
        b.drum.bubbles(),
        b.drum.void(),
        b.drum.downcomer_flow(),
        b.drum.wetted(),
        b.drum.moisture(),
        b.difference(),
        b.front.master.demand(),
        b.steam,
        b.drum.state(),
    );
}

#[test]
fn at_rated_load_it_steams_with_some_swell_and_dry_steam() {
    let b = steaming(2.1);
    show("rated", &b);
    println!(
        "superheater metal {:.0} degC, stack {:.0} degC, firing {:.2}",
        b.superheater.temperature() - 273.15,
        b.front.furnace.stack_temperature() - 273.15,
        b.front.master.demand()
    );
    assert!((b.gauge() - 16.0).abs() < 0.3, "{} barg", b.gauge());
    assert_eq!(b.drum.state(), DrumState::Boiling);
    let swell = b.drum.level() - b.drum.collapsed_level();
    assert!((0.02..0.3).contains(&swell), "swell {swell} m");
    assert!(b.drum.moisture() < 0.01);
    let glass = b.drum.gauge_glass(-0.35, 0.35, 310.0);
    assert!(glass < b.drum.level(), "the glass holds no bubbles");
    assert_eq!(b.shell_damage() + b.superheater.damage.total(), 0.0);
}

#[test]
fn steam_demand_swells_and_a_lost_fire_shrinks() {
    let b = steaming(1.2);
    let level = b.drum.level();
    show("before", &b);
    let mut more = b.clone();
    more.load += 0.8;
    let mut highest = level;
    for _ in 0..300 {
        more.tick();
        highest = highest.max(more.drum.level());
    }
    println!("swell {:+.3} m", highest - level);
    assert!(highest - level > 0.02);
    let mut lost = b.clone();
    lost.front.burner.failings.flame_lost = true;
    lost.run(60.0);
    show("a minute after the fire", &lost);
    assert!(lost.drum.level() < level - 0.02, "it shrinks");
    assert!(lost.front.management.tripped() == Some(TripCause::FlameFailure));
    // And with the steam shut as well, it falls quiet.
    lost.load = 0.0;
    lost.feed = 0.0;
    lost.run(600.0);
    show("quiet", &lost);
    assert!(lost.drum.quality() < 1e-3 && lost.drum.bubbles() < 0.1);
    assert!((lost.drum.level() - lost.drum.collapsed_level()).abs() < 0.02);
}

#[test]
fn mass_and_energy_close_over_a_rise_and_a_misuse() {
    let mut b = Bench::cold(-0.15);
    let start = b.vessel.contents;
    (b.vent, b.drain) = (3.4e-4, 1.2e-4);
    b.fire(0.5);
    b.run(1200.0);
    b.feed = 3.0;
    b.run(300.0);
    b.load = 4.0;
    b.feed = 0.0;
    b.run(300.0);
    let (c, l) = (b.vessel.contents, b.ledger);
    assert!((c.water - start.water - l.water).abs() < 1e-9 * start.water);
    assert!((c.energy - start.energy - l.energy).abs() < 1e-9 * c.energy.abs());
}

#[test]
fn filled_to_the_top_water_goes_over_and_the_pressure_is_the_pumps() {
    let mut b = steaming(1.2);
    b.feed = 6.0;
    let mut most: f64 = 0.0;
    for _ in 0..6000 {
        b.tick();
        most = most.max(b.drum.moisture());
        if b.drum.level() > 0.55 {
            break;
        }
    }
    show("full", &b);
    assert!(most > 0.05, "it primes: {most}");
    // Liquid-full from cold, quietly filled with the vent open.
    let mut b = Bench::cold(0.3);
    b.vent = 3.4e-4;
    b.feed = 2.0;
    let mut last = b.drum.level();
    for _ in 0..20_000 {
        b.tick();
        assert!((b.drum.level() - last).abs() < 0.03);
        last = b.drum.level();
        if b.drum.state() == DrumState::LiquidFull || b.gauge() > 5.0 {
            break;
        }
    }
    show("filled cold", &b);
    assert!(b.drum.level() > 0.55 && b.drum.bubbles() == 0.0);
}

#[test]
fn losing_level_trips_and_with_a_dead_cut_out_the_tubes_burn() {
    let lose = |cut_out_dead: bool| {
        let mut b = steaming(1.2);
        b.feed = 0.0;
        b.blowdown = 3.0;
        let mut last = b.drum.wetted();
        for _ in 0..30_000 {
            b.front.signals.level_low_low = !cut_out_dead && b.drum.level() < -0.3;
            if b.e.liquid_mass < 800.0 {
                b.blowdown = 0.0;
            }
            b.tick();
            assert!((b.drum.wetted() - last).abs() < 0.25, "{} {}", last, b.drum.wetted());
            last = b.drum.wetted();
            if b.gauge() < 1.0 {
                b.load = 0.0;
            }
        }
        show("lost level", &b);
        b
    };
    let safe = lose(false);
    assert_eq!(safe.front.management.tripped(), Some(TripCause::LowLowLevel));
    assert_eq!(safe.drum.tubes.as_ref().unwrap().damage.total(), 0.0);
    let burnt = lose(true);
    let tubes = burnt.drum.tubes.as_ref().unwrap();
    println!("tubes {:.0} degC damage {:.2}", tubes.temperature() - 273.15, tubes.damage.total());
    assert!(matches!(burnt.drum.state(), DrumState::BelowDrum | DrumState::Dry));
    assert!(burnt.drum.downcomer_flow() == 0.0);
    assert!(tubes.damage.total() > 0.1);
}

#[test]
fn a_superheater_without_steam_overheats() {
    let fired = |drain: f64| {
        let mut b = Bench::cold(-0.15);
        (b.vent, b.drain) = (3.4e-4, drain);
        b.fire(0.25);
        while b.gauge() < 2.0 {
            b.tick();
        }
        b.vent = 0.0;
        b.run(1500.0);
        println!(
            "superheater {:.0} degC damage {:.3} at {:.1} barg",
            b.superheater.temperature() - 273.15,
            b.superheater.damage.total(),
            b.gauge()
        );
        b.superheater.damage.total()
    };
    assert_eq!(fired(1.2e-4), 0.0);
    assert!(fired(0.0) > 0.05);
}

#[test]
fn cold_feed_into_a_hot_nearly_empty_drum_strains_the_shell() {
    let feed = |level: f64, temperature: f64, flow: f64| {
        let mut b = Bench::hot(1.1e6, level);
        b.feed_enthalpy = 4200.0 * temperature;
        b.feed = flow;
        let mut worst: f64 = 0.0;
        for _ in 0..3000 {
            b.tick();
            worst = worst.max(b.difference().abs());
        }
        show("fed", &b);
        println!("worst {worst:.1} K, damage {:.3}", b.shell_damage());
        (worst, b.shell_damage())
    };
    let gentle = feed(-0.1, 90.0, 0.5);
    let harsh = feed(-0.55, 20.0, 3.0);
    assert_eq!(gentle.1, 0.0);
    assert!(harsh.0 > sizing::shell().limit && harsh.1 > 0.01);
}

#[test]
fn boiled_dry_and_filled_again_stays_a_number() {
    let mut b = Bench::hot(6e5, -0.5);
    b.blowdown = 8.0;
    b.drain = 3e-3;
    b.front.manual = BurnerOrders::default();
    for _ in 0..20_000 {
        b.tick();
        if b.e.p < 1.05 * ATMOSPHERE {
            b.drain = 0.0;
        }
    }
    show("blown down", &b);
    assert!(b.drum.wetted() < 0.2);
    b.blowdown = 0.0;
    b.feed = 3.0;
    b.run(900.0);
    show("filled again", &b);
    let numbers =
        [b.drum.level(), b.drum.quality(), b.drum.bubbles(), b.drum.moisture(), b.difference(), b.drum.riser_wall()];
    assert!(numbers.iter().all(|x| x.is_finite()));
    assert_eq!(b.drum.wetted(), 1.0);
}

#[test]
fn from_a_gas_space_to_none_and_back() {
    let mut b = Bench::hot(2e5, 0.598);
    b.feed_enthalpy = b.e.h_l;
    b.feed = 0.05;
    let mut ticks = 0;
    while b.drum.state() != DrumState::LiquidFull {
        b.tick();
        ticks += 1;
        assert!(ticks < 3000, "never full");
    }
    b.run(20.0);
    show("liquid-full", &b);
    assert!(b.gauge() > 3.0, "the pump makes the pressure");
    assert_eq!((b.drum.bubbles(), b.drum.void(), b.drum.moisture()), (0.0, 0.0, 1.0));
    assert!((b.drum.level() - 0.6).abs() < 1e-9);
    (b.feed, b.blowdown) = (0.0, 1.0);
    b.run(300.0);
    show("drawn down", &b);
    assert_eq!(b.drum.state(), DrumState::Boiling);
    assert!(b.drum.level() < 0.55);
}

#[test]
fn no_number_of_the_state_goes_astray() {
    let mut b = Bench::cold(-0.15);
    (b.vent, b.drain) = (3.4e-4, 1.2e-4);
    b.fire(1.0);
    for k in 0..20_000u32 {
        // Rough handling without a pattern that repeats soon.
        if k % 500 == 0 {
            let r = k.wrapping_mul(2_654_435_761) >> 16;
            b.feed = f64::from(r % 7);
            b.load = f64::from(r / 7 % 5) * 0.8;
            b.blowdown = f64::from(r / 35 % 4);
            b.vent = f64::from(r / 140 % 3) * 1e-3;
            b.front.manual.damper = f64::from(r % 11) / 10.0;
        }
        if b.gauge() < 0.5 {
            b.load = 0.0;
        }
        b.tick();
        let all = b.drum.numbers().into_iter().chain(b.front.furnace.numbers());
        for (name, x) in all {
            assert!(x.is_finite(), "{name} is {x}");
        }
    }
    show("after rough handling", &b);
}
