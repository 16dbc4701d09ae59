//! From cold to steam, and what goes wrong on the way.

use super::bench::{Bench, DT};
use crate::boiler::{DrumState, sizing};

/// Open vent and superheater drain as practice has it: 25 mm and 15 mm bore, coefficient 0.7.
const VENT: f64 = 3.4e-4;
const DRAIN: f64 = 1.2e-4;

struct Rise {
    to_boiling: f64,
    to_1: f64,
    to_5: f64,
    swell: f64,
    difference: f64,
    bench: Bench,
}

/// Fires at this rate from cold until 5 barg; the vent is shut at 1 barg.
fn rise(rate: f64) -> Rise {
    let mut b = Bench::cold(-0.15);
    (b.vent, b.drain) = (VENT, DRAIN);
    b.fire(rate);
    let (mut t, mut to_boiling, mut to_1) = (0.0, 0.0, 0.0);
    let (mut swell, mut difference, mut jump): (f64, f64, f64) = (-1.0, 0.0, 0.0);
    while b.gauge() < 5.0 {
        let before = b.drum.level();
        b.tick();
        t += DT;
        jump = jump.max((b.drum.level() - before).abs());
        if to_boiling == 0.0 && b.drum.state() == DrumState::Boiling {
            to_boiling = t;
        }
        if to_1 == 0.0 && b.gauge() > 1.0 {
            to_1 = t;
            b.vent = 0.0;
        }
        swell = swell.max(b.drum.level());
        difference = difference.max(b.difference());
        if (t / DT).round() as i64 % 3000 == 0 {
            println!(
                "{:5.1} min {:6.2} barg {:6.1} degC level {:+.3} m collapsed {:+.3} x {:.4} bubbles {:.3} void {:.2} flow {:.0} shell {:.1} K superheater {:.0} degC stack {:.0} degC exit {:.0} K steam {:.3}",
                t / 60.0,
                b.gauge(),
                b.e.t - 273.15,
                b.drum.level(),
                b.drum.collapsed_level(),
                b.drum.quality(),
                b.drum.bubbles(),
                b.drum.void(),
                b.drum.downcomer_flow(),
                b.difference(),
                b.superheater.temperature() - 273.15,
                b.front.furnace.stack_temperature() - 273.15,
                b.front.furnace.exit_temperature(),
                b.steam,
            );
        }
        assert!(t < 3.0 * 3600.0, "no steam after three hours");
    }
    println!("largest step of the level in a tick {:.1} mm", 1e3 * jump);
    assert!(jump < 0.01, "the level jumps {jump} m");
    Rise { to_boiling, to_1, to_5: t, swell, difference, bench: b }
}

#[test]
fn a_fifth_of_full_fire_takes_35_to_45_minutes_to_5_barg() {
    let r = rise(0.2);
    println!(
        "boiling after {:.1} min, 1 barg after {:.1} min, 5 barg after {:.1} min; highest level {:+.3} m, shell {:.1} K, superheater {:.0} degC",
        r.to_boiling / 60.0,
        r.to_1 / 60.0,
        r.to_5 / 60.0,
        r.swell,
        r.difference,
        r.bench.superheater.temperature() - 273.15
    );
    assert!((35.0..45.0).contains(&(r.to_5 / 60.0)));
    assert!(r.to_boiling < r.to_1 && r.to_1 < r.to_5);
    assert!(r.bench.vessel.contents.air < 0.05, "the air is out: {} kg", r.bench.vessel.contents.air);
    assert!(r.swell > -0.05, "it swells");
    assert_eq!(r.bench.shell_damage(), 0.0);
    assert_eq!(r.bench.superheater.damage.total(), 0.0);
    assert_eq!(r.bench.drum.tubes.as_ref().unwrap().damage.total(), 0.0);
}

#[test]
fn firing_hard_from_cold_strains_the_shell() {
    let (low, hard) = (rise(0.2), rise(1.0));
    println!(
        "full fire: 5 barg after {:.1} min, shell {:.1} K, damage {:.3}",
        hard.to_5 / 60.0,
        hard.difference,
        hard.bench.shell_damage()
    );
    assert!(hard.difference > 2.0 * low.difference);
    let limit = sizing::shell().limit;
    assert!(hard.difference > limit && low.difference < limit);
    assert!(hard.bench.shell_damage() > 0.0);
}
