//! Vacuum, condensate, dump and salt on the training vessel.

use super::super::hand::{Hand, raising, steaming};
use super::super::ledger::Account;

/// Condenser pressure, kPa abs.
fn kpa(h: &Hand) -> f64 {
    h.actual("PT-3201") / 1e3
}

/// Circulating water and condensate on recirculation: what comes before gland steam and air extraction.
fn water_side(h: &mut Hand) {
    h.set("XV-3201", "open");
    h.set("XV-3208", "open");
    h.run(12.0);
    h.set("P-3201", "start");
    h.set("XV-3211", "open");
    h.run(10.0);
    h.set("P-3211", "start");
    h.run(5.0);
    h.set("P-3212", "standby");
    h.set("FIC-3213", "automatic");
    h.set("LIC-3214", "automatic");
}

fn glands(h: &mut Hand) {
    h.set("PIC-3231", "automatic");
    h.run(60.0);
}

/// In the order of common practice.
pub fn raise_vacuum(h: &mut Hand) {
    water_side(h);
    glands(h);
    h.set("K-3221", "start");
    h.set("K-3222", "start");
    h.until("vacuum", 1200.0, |h| kpa(h) < 12.0);
    h.set("K-3222", "stop");
}

/// Under vacuum, dumping what the boiler makes.
fn dumping() -> Hand {
    let mut h = steaming();
    raise_vacuum(&mut h);
    h.dial("HIC-3241", 0.25);
    h.run(900.0);
    h
}

/// Common practice: circulating water, condensate on recirculation, gland steam, air extraction, in that order; vacuum is
/// proved in some minutes, and everything closes.
#[test]
fn vacuum_in_the_order_of_practice_closes_and_hurts_nothing() {
    let mut h = steaming();
    let account = Account::open(&h.plant);
    let began = h.seconds();
    raise_vacuum(&mut h);
    let took = h.seconds() - began;
    assert!((120.0..900.0).contains(&took), "{took} s");
    h.run(600.0);
    assert!(kpa(&h) < 9.0, "{} kPa", kpa(&h));
    h.dial("HIC-3241", 0.25);
    h.run(900.0);
    println!("{took} s to 12 kPa; dumping {:.2} kg/s of steam at {:.2} kPa", h.actual("FT-2101"), kpa(&h));
    assert!(kpa(&h) < 10.0 && h.damage("E-3201") < 1e-6);
    let gap = account.close(&h.plant);
    println!("{gap:?}");
    assert!(gap.closes(), "{gap:?}");
    assert_eq!(h.plant.steam_effort().unconverged, 0);
    assert!((h.actual("LT-3201") - 0.5).abs() < 0.1, "{}", h.actual("LT-3201"));
}

/// Violation: the vacuum pumps before gland steam. Air comes in by the glands, and full vacuum is not had.
#[test]
fn without_gland_steam_the_vacuum_stays_poor() {
    let pulled = |sealed: bool| {
        let mut h = steaming();
        water_side(&mut h);
        if sealed {
            glands(&mut h);
        }
        h.set("K-3221", "start");
        h.set("K-3222", "start");
        h.run(1500.0);
        kpa(&h)
    };
    let (sealed, open) = (pulled(true), pulled(false));
    println!("{sealed:.1} kPa with gland steam, {open:.1} kPa without");
    assert!(sealed < 9.0 && open > 12.0 && open > 1.8 * sealed);
}

/// Violation: steam is dumped without circulating water. Pressure rises, the dump is shut by its guard.
#[test]
fn dumping_without_circulating_water_loses_the_vacuum_and_shuts_the_dump() {
    let mut h = dumping();
    h.set("P-3201", "stop");
    h.until("vacuum is lost", 600.0, |h| kpa(h) > 40.0);
    h.run(30.0);
    assert!(h.actual("PCV-3241") < 0.01, "{}", h.actual("PCV-3241"));
    h.run(300.0);
    // Relief or not, nothing bursts: the shell stays near the atmosphere's pressure.
    assert!(kpa(&h) < 130.0, "{} kPa", kpa(&h));
    h.set("P-3201", "start");
    h.until("vacuum comes back", 1800.0, |h| kpa(h) < 15.0);
}

/// Common practice: a vacuum pump lost costs vacuum slowly; the other one brings it back.
#[test]
fn the_standby_vacuum_pump_answers_the_loss_of_the_first() {
    let mut h = dumping();
    let sound = kpa(&h);
    h.fail("K-3221", "trips", true, None);
    h.until("the alarm's limit", 3600.0, |h| kpa(h) > 15.0);
    h.set("K-3222", "start");
    h.until("vacuum comes back", 1800.0, |h| kpa(h) < sound + 1.0);
}

/// On standby the second vacuum pump comes in by itself when the vacuum falls, before the alarm of a poor one, whichever of
/// the two is on duty; not when its start is dead, nor after its fellow was stopped by a hand.
#[test]
fn the_standby_vacuum_pump_starts_by_itself_on_falling_vacuum() {
    let sound = dumping();
    let fallen = |h: &Hand| kpa(h) > 14.0;
    for (duty, other) in [("K-3221", "K-3222"), ("K-3222", "K-3221")] {
        let mut h = sound.clone();
        h.set(duty, "start");
        h.run(10.0);
        h.set(other, "stop");
        h.set(other, "standby");
        h.run(60.0);
        let runs = |h: &Hand, tag: &str| h.actual(&tag.replace('K', "YS")) > 0.5;
        assert!(!runs(&h, other), "not while the vacuum holds");
        let (mut dead, mut stopped) = (h.clone(), h.clone());
        h.fail(duty, "trips", true, None);
        h.until("the standby pump runs", 3600.0, |h| runs(h, other));
        assert!((11.0..14.0).contains(&kpa(&h)), "{}", kpa(&h));
        h.until("vacuum comes back", 1800.0, |h| kpa(h) < kpa(&sound) + 1.0);
        dead.fail(other, "standby start dead", true, None);
        dead.fail(duty, "trips", true, None);
        dead.until("vacuum is lost", 3600.0, fallen);
        assert!(!runs(&dead, other));
        stopped.set(duty, "stop");
        stopped.until("vacuum is lost", 3600.0, fallen);
        assert!(!runs(&stopped, other));
    }
}

/// The second condensate pump starts by itself when the first one trips, and the hotwell does not notice.
#[test]
fn the_standby_condensate_pump_starts_by_itself() {
    let mut h = dumping();
    let level = h.actual("LT-3201");
    h.fail("P-3211", "trips", true, None);
    h.run(60.0);
    assert!(h.actual("P-3212") > 0.5);
    h.run(600.0);
    assert!((h.actual("LT-3201") - level).abs() < 0.1, "{} {level}", h.actual("LT-3201"));
}

/// A recirculation valve that sticks shut leaves the pump without flow when the feed tank takes nothing.
#[test]
fn a_stuck_recirculation_valve_leaves_the_pump_without_flow() {
    let flow = |stuck: bool| {
        let mut h = raising();
        water_side(&mut h);
        h.run(120.0);
        if stuck {
            h.fail("FCV-3213", "seized", true, Some(0.0));
        }
        h.set("LIC-3214", "manual");
        h.dial("HIC-3214", 0.0);
        h.run(120.0);
        h.actual("FT-3211")
    };
    assert!(flow(false) > 0.9 && flow(true) < 0.01);
}

/// The hotwell's transmitter frozen: more steam comes, the controller sees nothing of it, the hotwell runs full, the tubes
/// flood and vacuum falls.
#[test]
fn a_frozen_hotwell_transmitter_floods_the_condenser() {
    let mut h = dumping();
    let (before, shown) = (kpa(&h), h.plant.signal(h.point("LT-3201")).0);
    h.fail("LT-3201", "frozen", true, None);
    h.dial("LIC-3214", shown);
    h.dial("HIC-3241", 0.35);
    h.run(300.0);
    let more = kpa(&h);
    h.until("the tubes flood", 4.0 * 3600.0, |h| kpa(h) > 1.2 * more);
    println!("{before:.2} kPa, {more:.2} with more steam, then {:.2}, hotwell {:.2} m", kpa(&h), h.actual("LT-3201"));
    assert!(h.actual("LT-3201") > 0.93 && (h.plant.signal(h.point("LT-3201")).0 - shown).abs() < 1e-9);
}

/// A hole in a tube: conductivity of the condensate, then of the feed tank, then of the drum; blowdown takes it out; the
/// salt is counted to the gram throughout.
#[test]
fn a_tube_leak_reaches_the_drum_and_blowdown_takes_it_out() {
    let mut h = dumping();
    let account = Account::open(&h.plant);
    h.fail("E-3201", "tube leak", true, None);
    let at = |h: &Hand, tag: &str| h.actual(tag) * 1e4;
    h.until("the condensate tells", 600.0, |h| at(h, "AT-3201") > 20.0);
    assert!(at(&h, "AT-3001") < 20.0 && at(&h, "AT-2003") < 20.0, "the feed tank and the drum come later");
    h.run(1800.0);
    let (condensate, tank, drum) = (at(&h, "AT-3201"), at(&h, "AT-3001"), at(&h, "AT-2003"));
    println!("after half an hour: {condensate:.0}, {tank:.0}, {drum:.0} uS/cm");
    assert!(condensate > 100.0 && tank > 50.0 && drum > 100.0);
    let closes = |h: &Hand| {
        let (held, crossed) = h.plant.salt().unwrap();
        assert!((held + crossed.left - crossed.came).abs() < 1e-9 * crossed.came, "{held} {crossed:?}");
        crossed
    };
    closes(&h);
    h.fail("E-3201", "tube leak", false, None);
    h.run(600.0);
    let before = at(&h, "AT-2003");
    h.set("XV-2003", "open");
    h.run(1800.0);
    let left = closes(&h).left;
    assert!(left > 0.05, "{left} kg");
    println!("drum {before:.0} then {:.0} uS/cm, {left:.2} kg out", at(&h, "AT-2003"));
    let gap = account.close(&h.plant);
    assert!(gap.closes(), "{gap:?}");
}

/// Feed-tank heating holds its temperature and its steam is not lost.
#[test]
fn the_feed_tank_is_heated_to_its_set_point() {
    let mut h = steaming();
    // Condensate of the coils would heat it by itself.
    h.set("XV-2201", "shut");
    h.set("XV-2202", "shut");
    let account = Account::open(&h.plant);
    h.dial("TIC-3251", 343.15);
    h.set("TIC-3251", "automatic");
    h.until("warm", 7200.0, |h| h.celsius("TT-3001") > 69.0);
    h.run(1200.0);
    assert!((h.celsius("TT-3001") - 70.0).abs() < 2.0, "{}", h.celsius("TT-3001"));
    let gap = account.close(&h.plant);
    assert!(gap.closes(), "{gap:?}");
}

/// A load step on the real plant: by the level alone, the valve first goes the wrong way with the swell; with the steam
/// flow it goes with the load, and the level then falls less.
#[test]
fn a_load_step_moves_single_element_control_the_wrong_way_first_and_three_element_not() {
    let step = |words: &str| {
        let mut h = steaming();
        raise_vacuum(&mut h);
        h.dial("HIC-3241", 0.12);
        h.set("HS-3001", words);
        h.run(3600.0);
        let (start, level) = (h.actual("LCV-3001"), h.actual("LT-2001"));
        h.dial("HIC-3241", 0.3);
        let (mut least, mut most, mut fell) = (start, start, 0.0f64);
        h.watch(60.0, |h| {
            least = least.min(h.actual("LCV-3001"));
            most = most.max(h.actual("LCV-3001"));
        });
        h.watch(1800.0, |h| fell = fell.max(level - h.actual("LT-2001")));
        println!(
            "{words}: valve {start:.3}, in a minute {least:.3} to {most:.3}; the level falls by {:.1} mm",
            fell * 1e3
        );
        (start - least, most - start, fell)
    };
    let (single, three) = (step("single-element"), step("three-element"));
    assert!(single.0 > 0.02, "the swell shuts the valve: {single:?}");
    assert!(three.0 < 0.005 && three.1 > 0.02, "the valve opens with the steam: {three:?}");
    assert!(three.2 < 0.6 * single.2, "{three:?} {single:?}");
}

/// Changing over makes no bump, either way.
#[test]
fn changing_the_number_of_elements_makes_no_bump() {
    let mut h = dumping();
    for words in ["three-element", "single-element", "three-element"] {
        h.run(300.0);
        let before = h.actual("LCV-3001");
        h.set("HS-3001", words);
        h.run(2.0);
        assert!((h.actual("LCV-3001") - before).abs() < 0.01, "{words}: {} from {before}", h.actual("LCV-3001"));
    }
}
