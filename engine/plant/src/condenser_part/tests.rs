//! A small plant about a condenser: cooling water, hotwell, condensate pump, feed tank, vacuum pump.

use crate::small_plant::{Hand, description, plant};
use crate::{Plant, ledger::Store};

const PLANT: &str = "
CW-1 | circuit | | fluid = sea water
N-1 | outside | in CW-1 | head 0 m; temperature 24 degC
N-2 | junction | in CW-1 | elevation -2 m; holds 0.2 m3
N-3 | junction | in CW-1 | elevation 0 m; holds 0.3 m3
N-9 | outside | in CW-1 | head 1 m; temperature 24 degC
P-1 | pump | from N-1; to N-2 | efficiency 75 % efficient; run up 3 s; curve m3/h m 0 14, 400 9, 600 4
PL-1 | pipe | from N-2; to N-3 | length 12 m; diameter 250 mm; roughness 0.05 mm; losses 8 none
XV-1 | valve | from N-3; to N-9 | Kv 900 Kv; stroke time 10 s; position at start 100 % open

CF-1 | circuit | | fluid = feed water
T-1 | tank | in CF-1 | area 1.2 m2; height 1 m; elevation -1 m; level at start 0.5 m; temperature at start 24 degC
T-2 | tank | in CF-1 | area 3 m2; height 2.2 m; elevation 8 m; level at start 1 m; temperature at start 45 degC; loss to room 0 W/K
N-11 | junction | in CF-1 | elevation -2.5 m; holds 0.05 m3
N-12 | junction | in CF-1 | elevation -2 m; holds 0.05 m3
XV-11 | valve | from T-1; to N-11 | Kv 60 Kv; stroke time 5 s; position at start 100 % open
P-11 | pump | from N-11; to N-12 | efficiency 55 % efficient; run up 3 s; suction head needed 1 m; curve m3/h m 0 50, 10 42, 16 25
FCV-12 | valve | from N-12; to T-1 | Kv 4 Kv; stroke time 5 s; dial = yes; position at start 100 % open
LCV-13 | valve | from N-12; to T-2 | Kv 6 Kv; stroke time 10 s; dial = yes

A-1 | open air | | temperature 24 degC; humidity 60 % of rated
E-1 | condenser | hotwell T-1; cooled by PL-1; relieves to A-1; dump valve XV-21; vacuum PT-1 | volume 4 m3; shell metal 60 kJ/K; steam film 1750 kW/K; gas film 15 kW/K; water film 880 kW/K; nominal cooling flow 110 kg/s; tube metal 900 kJ/K; air cooler 30 % of rated; air leaks in 2 kg/h; relief lifts 0.2 barg; relief Kv 300 Kv; dump shuts above 40 kPa abs; hurt above 110 degC; life there 5 h; doubles every 20 K
K-21 | vacuum pump | of E-1 | capacity 220 m3/h; power 5.5 kW; run up 2 s; seal water 400 kJ/K; seal-water cooler 2 kW/K
K-22 | vacuum pump | of E-1 | capacity 220 m3/h; power 5.5 kW; run up 2 s; seal water 400 kJ/K; seal-water cooler 2 kW/K
XV-21 | steam valve | from A-1; to E-1 | Kv 20 Kv; stroke time 5 s

PT-1 | transmitter | of E-1 | reads = pressure; range 0 bara to 2 bara; lag 0.5 s
TT-1 | transmitter | of E-1 | reads = temperature; range 0 degC to 150 degC; lag 2 s
LT-1 | transmitter | of T-1 | reads = level; range 0 m to 1 m; lag 0.5 s
LT-2 | transmitter | of T-2 | reads = level; range 0 m to 2.2 m; lag 0.5 s
AT-1 | transmitter | of T-1 | reads = conductivity; range 0 uS/cm to 200 uS/cm; lag 2 s
AT-2 | transmitter | of T-2 | reads = conductivity; range 0 uS/cm to 200 uS/cm; lag 2 s
PT-12 | transmitter | of N-12 | reads = pressure; range 0 barg to 8 barg; lag 0.5 s
FT-12 | transmitter | of P-11 | reads = flow; range 0 kg/s to 6 kg/s; lag 0.5 s
LIC-1 | level controller | measures LT-1; moves LCV-13 | set point 0.5 m; set point from 0 m; set point to 1 m; gain 4 none; integral time 300 s; output = HIC-1; opens when = high
";

fn cold() -> Hand {
    Hand(plant(PLANT))
}

/// Cooling water, condensate on recirculation, vacuum: in the order of common practice.
fn vacuum() -> Hand {
    let mut h = cold();
    h.set("P-1", "start");
    h.run(10.0);
    h.set("P-11", "start");
    h.set("LIC-1", "automatic");
    h.set("K-21", "start");
    h.set("K-22", "start");
    h.until("vacuum", 900.0, |h| h.actual("PT-1") < 9e3);
    h
}

fn water(plant: &Plant) -> f64 {
    let held = plant.stores().iter().fold(0.0, |sum, s| match s {
        Store::Vessel { volume, p_steam, t, liquid_volume, .. } => {
            let liquid = if *liquid_volume > 0.0 { liquid_volume / crate::water::saturation_at_t(*t).v_l } else { 0.0 };
            sum + liquid + (volume - liquid_volume) / crate::water::vapour(*p_steam, *t).v
        }
        Store::Liquid { fluid: crate::liquid::Fluid::FeedWater, mass, .. } => sum + mass,
        _ => sum,
    });
    held - plant.crossings().water
}

#[test]
fn vacuum_is_pulled_and_the_pump_draws_from_under_it() {
    let mut h = vacuum();
    let sound = h.actual("PT-12");
    assert!(sound > 4e5 && h.actual("FT-12") > 1.0, "{sound} Pa {} kg/s", h.actual("FT-12"));
    // The condensate pump stands against vacuum: stopped, nothing comes back through its flap.
    h.set("P-11", "stop");
    h.run(20.0);
    assert!(h.actual("FT-12").abs() < 1e-6);
    // Breaking vacuum lets air in.
    h.set("XV-21", "open");
    h.until("vacuum is broken", 300.0, |h| h.actual("PT-1") > 3.8e4);
}

#[test]
fn the_hotwells_level_is_held_by_what_is_sent_to_the_feed_tank() {
    let mut h = vacuum();
    h.0.order(h.0.control(&base::Tag::new("LIC-1")).unwrap(), crate::Order::Dial(0.4)).unwrap();
    let before = h.actual("LT-2");
    h.run(900.0);
    // Nothing comes in, so that what was sent too much does not come back.
    assert!((0.37..0.41).contains(&h.actual("LT-1")), "{}", h.actual("LT-1"));
    assert!(h.actual("LT-2") > before + 0.02, "{} {before}", h.actual("LT-2"));
}

#[test]
fn each_vacuum_pump_lost_costs_vacuum_and_both_lose_it() {
    let mut h = vacuum();
    h.run(1200.0);
    let two = h.actual("PT-1");
    h.fail("K-21", "trips", true, None);
    h.run(1200.0);
    let one = h.actual("PT-1");
    assert!(h.actual("K-21") < 0.5 && one > 1.02 * two, "{one} {two}");
    assert!(h.try_set("K-21", "start").is_err());
    h.fail("K-22", "worn", true, Some(1.0));
    h.run(3600.0);
    assert!(h.actual("PT-1") > 1.5 * one, "{} {one}", h.actual("PT-1"));
    h.fail("K-21", "trips", false, None);
    h.set("K-21", "start");
    h.run(2400.0);
    assert!((h.actual("PT-1") / one - 1.0).abs() < 0.05, "{} {one}", h.actual("PT-1"));
}

/// A hole in a tube: sea water, as much as its area and the pressures say, its salt counted to the gram.
#[test]
fn a_tube_leak_brings_salt_that_is_found_again() {
    let mut h = vacuum();
    let (held, clean, level) = (water(&h.0), h.actual("AT-1"), h.actual("LT-1") + h.actual("LT-2") * 2.5);
    h.fail("E-1", "tube leak", true, Some(2e-6));
    h.run(600.0);
    h.fail("E-1", "tube leak", false, None);
    h.run(10.0);
    let (salt, crossed) = h.0.salt().unwrap();
    // 0.6 of the hole's area times the square root of twice the density and the difference, 1.0 to 1.2 bar: 18 g/s.
    assert!((0.33..0.43).contains(&crossed.came), "{crossed:?}");
    assert!((salt + crossed.left - crossed.came).abs() < 1e-9, "{salt} {crossed:?}");
    assert!(h.actual("AT-1") > clean + 0.01, "{} {clean}", h.actual("AT-1"));
    let now = h.actual("LT-1") + h.actual("LT-2") * 2.5;
    assert!(now > level + 0.005, "{now} {level}");
    // What the leak brought has come in, and nothing else.
    assert!((water(&h.0) - held).abs() < 2e-3, "{}", water(&h.0) - held);
}

/// The guard of the dump valve, here on the breaker: shut when vacuum is lost, whatever is asked for.
#[test]
fn lost_vacuum_shuts_the_dump_valve_and_holds_it_shut() {
    let mut h = vacuum();
    h.set("XV-21", "open");
    let seconds = h.until("vacuum is lost", 600.0, |h| h.actual("PT-1") > 4e4);
    h.run(10.0);
    assert!(h.actual("XV-21") == 0.0, "{} after {seconds} s", h.actual("XV-21"));
    h.set("XV-21", "open");
    h.run(5.0);
    assert!(h.actual("XV-21") < 0.05, "{}", h.actual("XV-21"));
    // Once the pumps have drawn it down again, the valve does as it is told.
    h.until("vacuum is back", 900.0, |h| h.actual("PT-1") < 3e4);
    h.set("XV-21", "open");
    h.run(4.0);
    assert!(h.actual("XV-21") > 0.5);
}

#[test]
fn a_condenser_asks_for_what_it_is_joined_to() {
    let told = |from: &str, to: &str| {
        let wrong = Plant::build(&description(&PLANT.replace(from, to))).expect_err("a mistake");
        wrong.iter().map(|d| format!("{} {}", d.code, d.message)).collect::<Vec<_>>().join("; ")
    };
    assert!(told("cooled by PL-1", "cooled by PL-7").contains("plant::missing-link"));
    assert!(told("hotwell T-1", "hotwell N-11").contains("plant::missing-link"));
    assert!(told("K-22 | vacuum pump | of E-1", "K-22 | vacuum pump | of T-1").contains("plant::no-condenser"));
    assert!(told("vacuum PT-1", "vacuum PT-7").contains("plant::unknown-tag"));
    assert!(told("volume 4 m3; ", "").contains("volume"));
}

#[test]
fn the_same_bits_from_a_clone() {
    let mut a = vacuum();
    let mut b = Hand(a.0.clone());
    for h in [&mut a, &mut b] {
        h.fail("E-1", "draws air", true, None);
        h.run(60.0);
    }
    for tag in ["PT-1", "TT-1", "LT-1", "AT-1", "FT-12"] {
        assert_eq!(a.actual(tag).to_bits(), b.actual(tag).to_bits(), "{tag}");
    }
}
