//! Raising steam well, and too fast.

use super::super::hand::{Hand, ready};

/// The greatest of something over a run.
fn greatest(h: &mut Hand, seconds: f64, of: impl Fn(&Hand) -> f64) -> f64 {
    let mut most = f64::NEG_INFINITY;
    h.watch(seconds, |h| most = most.max(of(h)));
    most
}

/// Common practice: low fire until pressure is up, vent and superheater drain open, vent shut at about 1 bar,
/// a small first consumer from 2 bar up, then automatic. It takes its time and hurts nothing.
#[test]
fn raising_steam_as_practice_has_it_works_and_hurts_nothing() {
    let mut h = ready();
    h.light_up(0.2);
    let lit = h.seconds();
    h.raise_steam();
    let minutes = (h.seconds() - 180.0 - lit) / 60.0;
    println!("5 barg after {minutes:.1} min");
    assert!((33.0..47.0).contains(&minutes), "{minutes} min from light-up to 5 barg");
    h.load();
    h.run(1200.0);
    println!("{}", h.tell());
    assert!(h.greatest_damage() < 0.01, "{}", h.tell());
    assert!(!h.tripped("XS-2001") && !h.tripped("XS-1401"));
    assert!((h.barg("PT-2001") - 16.0).abs() < 0.5, "{}", h.tell());
    assert!(h.actual("LT-2001").abs() < 0.05, "{}", h.tell());
}

/// Common practice: the metal limits the rate. Full fire from cold strains the drum; low fire does not.
#[test]
fn firing_too_hard_too_soon_strains_the_drum() {
    let strain = |firing: f64| {
        let mut h = ready();
        h.light_up(0.2);
        h.dial("HIC-2001", firing);
        h.set("FCV-2001", "with the firing master");
        let most = greatest(&mut h, 1200.0, |h| h.actual("TDT-2001"));
        println!("{firing}: {most:.1} K {}", h.tell());
        (most, h.damage("B-2001"))
    };
    let (low, high) = (strain(0.2), strain(1.0));
    assert!(low.0 < 12.0 && low.1 < 0.01, "{low:?}");
    assert!(high.0 > 12.0 && high.0 > 1.5 * low.0 && high.1 > 0.03, "{high:?}");
}

/// Common practice: some steam flows through the superheater while the fire is in. Its drain shut before
/// another way is open, the tubes are only cooled by steam that stands.
#[test]
fn shutting_the_superheater_drain_too_early_overheats_it() {
    let run = |shut: bool| {
        let mut h = ready();
        h.light_up(0.2);
        h.until("steam blows", 3600.0, |h| h.barg("PT-2001") > 1.0);
        h.set("XV-2001", "shut");
        if shut {
            h.set("XV-2101", "shut");
        }
        h.until("3 barg", 1800.0, |h| h.barg("PT-2001") > 3.0);
        h.dial("HIC-2001", 0.45);
        let most = greatest(&mut h, 900.0, |h| h.celsius("TT-2102"));
        println!("{shut}: {most:.0} degC {}", h.tell());
        (most, h.damage("SH-2101"))
    };
    let (open, shut) = (run(false), run(true));
    assert!(open.1 < 0.01 && open.0 < 540.0, "{open:?}");
    assert!(shut.0 > open.0 + 40.0 && shut.1 > 0.02 && shut.1 > 5.0 * open.1, "{shut:?} {open:?}");
}

/// Common practice: a boiler that has run hot and dry is left to cool. Cold feed falls onto hot metal.
#[test]
fn cold_feed_into_hot_metal_strains_the_drum() {
    let feed = |drained: bool| {
        let mut h = super::super::hand::steaming();
        h.set("HS-2002", "stop");
        for valve in ["XV-2201", "XV-2202", "XV-2103"] {
            h.set(valve, "shut");
        }
        h.set("LIC-3001", "manual");
        h.dial("HIC-3001", 0.0);
        h.run(60.0);
        if drained {
            h.set("XV-2002", "open");
            h.run(900.0);
            h.set("XV-2002", "shut");
            h.run(15.0);
        } else {
            h.run(915.0);
        }
        println!("before feed {}", h.tell());
        h.dial("HIC-3001", 1.0);
        let most = -greatest(&mut h, 240.0, |h| -h.actual("TDT-2001"));
        println!("{drained}: {most:.1} K {}", h.tell());
        (most, h.damage("B-2001"))
    };
    let (full, drained) = (feed(false), feed(true));
    assert!(drained.0 < -12.0 && drained.1 > 0.01 && drained.1 > full.1, "{drained:?} {full:?}");
    assert!(full.0 > -12.0, "{full:?}");
}
