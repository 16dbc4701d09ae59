//! Weather and the ship's load: what changes around the plant acts through the physics, and the ledger closes.

use super::hand::{Hand, in_state};
use super::ledger::Account;
use base::units::CELSIUS_ZERO;

/// Brings a surrounding to a value over so many seconds, as a story does.
fn change(h: &mut Hand, what: &str, to: f64, seconds: u32) {
    let id = h.plant.surrounding(what).unwrap_or_else(|| panic!("nothing is called {what}"));
    let from = h.plant.surrounds(id);
    for k in 1..=seconds {
        h.plant.surround(id, from + (to - from) * f64::from(k) / f64::from(seconds)).unwrap();
        h.run(1.0);
    }
    assert_eq!(h.plant.surrounds(id), to);
}

#[test]
fn sea_air_and_load_act_through_the_physics_and_the_ledger_closes() {
    let start = in_state("on-the-board");
    let (mut same, mut changed) = (start.clone(), start);
    let account = Account::open(&changed.plant);
    changed.set("L-5415", "in");
    same.set("L-5415", "in");
    change(&mut changed, "sea temperature", CELSIUS_ZERO + 34.0, 60);
    change(&mut changed, "air temperature", CELSIUS_ZERO + 45.0, 60);
    change(&mut changed, "L-5415", 200e3, 20);
    changed.run(160.0);
    same.run(300.0);
    let gap = account.close(&changed.plant);
    println!("{gap:?}");
    assert!(gap.closes(), "{gap:?}");
    let more = |tag: &str| changed.actual(tag) - same.actual(tag);
    let told: Vec<String> =
        ["TT-1101", "PT-3201", "JT-5000"].iter().map(|t| format!("{t}: {:+.4e}", more(t))).collect();
    println!("{told:?}");
    assert!((more("TT-1101") - 10.0).abs() < 0.1, "{told:?}");
    // 10 K of cooling water are about 10 K of condensing temperature: at 40 degC 74 mbar, at 50 degC 123 mbar.
    assert!(more("PT-3201") > 500.0, "{told:?}");
    // The mean goes from 120 to 200 kW, and the consumer swings about it by a fifth.
    assert!((60e3..100e3).contains(&more("JT-5000")), "{told:?}");
}

/// What loses heat to the engine room loses less of it when that is hot, and no gap opens in its account.
#[test]
fn a_hot_engine_room_takes_less_heat() {
    let start = in_state("steam-up");
    let loss = |celsius: f64| {
        let mut h = start.clone();
        change(&mut h, "air temperature", CELSIUS_ZERO + celsius, 1);
        h.set("HS-2002", "stop");
        let before = h.actual("PT-2001");
        h.run(300.0);
        before - h.actual("PT-2001")
    };
    let (cold, hot) = (loss(5.0), loss(55.0));
    println!("the drum loses {cold:.0} Pa in a cold room and {hot:.0} Pa in a hot one");
    assert!(hot < cold);
}

#[test]
fn a_state_is_kept_with_its_weather() {
    let mut h = in_state("cooling-up");
    change(&mut h, "sea temperature", CELSIUS_ZERO + 5.0, 3);
    change(&mut h, "air temperature", CELSIUS_ZERO + 2.0, 3);
    change(&mut h, "L-5411", 140e3, 3);
    let mut again = Hand::cold();
    again.plant.restore(&h.plant.state()).unwrap();
    for what in ["sea temperature", "air temperature", "L-5411"] {
        let id = h.plant.surrounding(what).unwrap();
        assert_eq!(again.plant.surrounds(id), h.plant.surrounds(id), "{what}");
    }
    h.run(60.0);
    again.run(60.0);
    assert!(again.plant.state() == h.plant.state(), "it goes on with the same bits");
}

#[test]
fn what_is_past_its_range_is_refused() {
    let mut h = Hand::cold();
    for (what, si) in
        [("sea temperature", CELSIUS_ZERO + 40.0), ("air temperature", CELSIUS_ZERO - 5.0), ("L-5415", 241e3)]
    {
        let id = h.plant.surrounding(what).unwrap();
        let before = h.plant.surrounds(id);
        let why = h.plant.surround(id, si).unwrap_err();
        assert!(why.contains("goes from") && why.contains(what), "{why}");
        assert_eq!(h.plant.surrounds(id), before);
    }
    assert_eq!(h.plant.surrounding("wind"), None);
}
