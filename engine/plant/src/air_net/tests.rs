//! Starting air and control air as small plants: cut-in and cut-out, cross-connection, safety valves, drains,
//! dryer, reducing valve, and what the ledger says.

use crate::small_plant::{Hand, plant};

/// Two receivers with a compressor each, a way across, an emergency compressor, a header behind a reducing
/// valve and a dryer, and two pneumatic valves.
const PLANT: &str = "
    V-1601 | air receiver | | volume 0.3 m3; loss to room 15 W/K; pressure at start 0 barg; temperature at start 20 degC; safety valve lifts 32 barg
    V-1602 | air receiver | | volume 0.3 m3; loss to room 15 W/K; pressure at start 0 barg; temperature at start 20 degC; safety valve lifts 32 barg
    V-1603 | air receiver | | volume 0.05 m3; loss to room 5 W/K; pressure at start 0 barg; temperature at start 20 degC
    V-1402 | air receiver | | volume 0.1 m3; loss to room 6 W/K; pressure at start 0 barg; temperature at start 20 degC; bleeds 0.001 kg/s; bleeds at 7 barg; air for a stroke 0.005 kg
    V-1403 | air receiver | | volume 0.02 m3; loss to room 3 W/K; pressure at start 0 barg; temperature at start 20 degC
    K-1601 | compressor | to V-1601 | stages 2 none; displacement 60 m3/h; clearance 0.05 none; polytropic exponent 1.25 none; friction 0.8 kW; motor 15 kW; aftercooler 0.85 none; block 60 kJ/K; block to room 900 W/K; unloaded after a start 4 s; trips at 200 degC; trips after 5 s; starts at 24 barg; stops at 29 barg; moisture 0.01 none; trip=XS-1601
    K-1602 | compressor | to V-1602 | stages 2 none; displacement 60 m3/h; clearance 0.05 none; polytropic exponent 1.25 none; friction 0.8 kW; motor 15 kW; aftercooler 0.85 none; block 60 kJ/K; block to room 900 W/K; unloaded after a start 4 s; trips at 200 degC; trips after 5 s; starts at 22 barg; stops at 29 barg; moisture 0.01 none; trip=XS-1602
    K-1603 | compressor | to V-1601 | stages 2 none; displacement 12 m3/h; clearance 0.05 none; polytropic exponent 1.25 none; friction 0.3 kW; motor 4 kW; aftercooler 0.7 none; block 30 kJ/K; block to room 200 W/K; unloaded after a start 4 s; trips at 220 degC; trips after 5 s; moisture 0.01 none; trip=XS-1603; drive=engine started by hand
    XV-1601 | air valve | from V-1601; to V-1603 | passes 0.5 kg/s; passes at 30 barg; stroke time 3 s
    XV-1602 | air valve | from V-1602; to V-1603 | passes 0.5 kg/s; passes at 30 barg; stroke time 3 s
    XV-1603 | air valve | from V-1601; to V-1602 | passes 0.2 kg/s; passes at 30 barg; stroke time 3 s
    XV-1605 | air drain | of V-1601 | stroke time 2 s
    PCV-1401 | air reducer | from V-1603; to V-1403 | passes 0.04 kg/s; passes at 25 barg; set point 7 barg; band 0.5 bar difference
    D-1401 | air dryer | from V-1403; to V-1402 | passes 0.03 kg/s; passes at 7 barg
    XV-9001 | valve | | stroke time 10 s; drive=pneumatic; fails=open
    XV-9002 | valve | | stroke time 10 s; drive=pneumatic; fails=shut
    XV-9003 | valve | | stroke time 10 s; drive=pneumatic; fails=stays
    PT-1601 | transmitter | of V-1601 | reads=pressure; range=0 barg to 40 barg; lag 0.5 s
    PT-1602 | transmitter | of V-1602 | reads=pressure; range=0 barg to 40 barg; lag 0.5 s
    PT-1603 | transmitter | of V-1603 | reads=pressure; range=0 barg to 40 barg; lag 0.5 s
    PT-1402 | transmitter | of V-1402 | reads=pressure; range=0 barg to 12 barg; lag 0.5 s
    WT-1601 | transmitter | of V-1601 | reads=water; range=0 kg to 20 kg; lag 0.5 s
    WT-1402 | transmitter | of V-1402 | reads=water; range=0 kg to 20 kg; lag 0.5 s
    TT-1601 | transmitter | of K-1601 | reads=discharge temperature; range=0 degC to 300 degC; lag 1 s";

#[test]
fn what_condenses_is_somewhere_or_has_been_drained() {
    let mut h = started();
    h.fail("D-1401", "stopped", true, None);
    h.set("XV-1605", "open");
    h.run(600.0);
    let held: f64 = h.0.air().vessels.iter().map(|v| v.receiver.water()).sum();
    let came = h.0.air().water_in();
    assert!(held > 0.05 && (held - came).abs() < 1e-9, "{held} {came}");
}

fn closes(h: &Hand, start: &(f64, f64)) {
    let (mass, energy) = held(h);
    let (came, brought) = (h.0.crossings().control_air, h.0.crossings().energy);
    assert!((mass - start.0 - came).abs() < 1e-10 * mass, "air: {} of {mass}", mass - start.0 - came);
    assert!((energy - start.1 - brought).abs() < 1e-10 * energy, "energy: {} of {energy}", energy - start.1 - brought);
}

/// Air (kg) and energy (J) from what can be seen of the stores.
fn held(h: &Hand) -> (f64, f64) {
    let (mut mass, mut energy) = (0.0, 0.0);
    for s in h.0.stores() {
        match s {
            crate::ledger::Store::Air { volume, p, t } => {
                mass += p * volume / (287.05 * t);
                energy += p * volume * 2.5;
            }
            crate::ledger::Store::Heat { capacity, t, .. } => energy += capacity * t,
            _ => {}
        }
    }
    (mass, energy)
}

fn started() -> Hand {
    let mut h = Hand(plant(PLANT));
    for k in ["K-1601", "K-1602"] {
        h.set(k, "automatic");
    }
    for v in ["XV-1601", "XV-1602"] {
        h.set(v, "open");
    }
    h.until("both receivers are full", 7200.0, |h| h.barg("PT-1601") > 28.5 && h.barg("PT-1602") > 28.0);
    h.run(120.0);
    h
}

#[test]
fn compressors_cut_in_and_out_by_themselves_and_the_account_closes() {
    let mut h = Hand(plant(PLANT));
    let start = held(&h);
    h.set("K-1601", "automatic");
    let took = h.until("cut out", 7200.0, |h| h.barg("PT-1601") > 20.0 && h.actual("YS-1601") < 0.5);
    // Ideal gas, 30 barg by 55 m3/h of free air: 0.3 m3 takes about 10 minutes.
    assert!((400.0..1000.0).contains(&took), "{took}");
    assert!(h.barg("PT-1601") < 29.3 && h.celsius("TT-1601") < 190.0, "{}", h.celsius("TT-1601"));
    h.set("XV-1601", "open");
    h.until("cut in", 7200.0, |h| h.actual("YS-1601") > 0.5);
    assert!(h.barg("PT-1601") < 24.2);
    h.until("cut out again", 7200.0, |h| h.actual("YS-1601") < 0.5);
    closes(&h, &start);
}

#[test]
fn the_header_is_held_by_its_reducing_valve() {
    let mut h = started();
    h.run(600.0);
    let p = h.barg("PT-1402");
    assert!((6.2..7.3).contains(&p), "{p}");
    // Gone without compressors, the header falls when the receivers are down to it.
    for k in ["K-1601", "K-1602"] {
        h.set(k, "stop");
    }
    h.until("the receivers are used up", 40_000.0, |h| h.barg("PT-1402") < 3.0);
    assert!(h.barg("PT-1603") < 4.0, "{}", h.barg("PT-1603"));
}

#[test]
fn low_control_air_moves_each_valve_to_its_fail_position() {
    let mut h = started();
    for v in ["XV-9001", "XV-9002", "XV-9003"] {
        h.set(v, "open");
    }
    h.run(4.0);
    h.set("XV-9001", "shut");
    h.run(60.0);
    assert_eq!((h.actual("XV-9001"), h.actual("XV-9002"), h.actual("XV-9003")), (0.0, 1.0, 1.0));
    for v in ["XV-1601", "XV-1602"] {
        h.set(v, "shut");
    }
    h.until("the header is empty", 8000.0, |h| h.barg("PT-1402") < 2.0);
    h.run(30.0);
    assert_eq!((h.actual("XV-9001"), h.actual("XV-9002"), h.actual("XV-9003")), (1.0, 0.0, 1.0));
    h.set("XV-9003", "shut");
    h.run(30.0);
    assert_eq!(h.actual("XV-9003"), 1.0, "it stays where it stood");
    for v in ["XV-1601", "XV-1602"] {
        h.set(v, "open");
    }
    h.run(600.0);
    assert_eq!((h.actual("XV-9001"), h.actual("XV-9002"), h.actual("XV-9003")), (0.0, 1.0, 0.0));
}

#[test]
fn the_cross_connection_evens_the_receivers_out() {
    let mut h = Hand(plant(PLANT));
    let start = held(&h);
    h.set("K-1601", "start");
    h.run(400.0);
    h.set("K-1601", "stop");
    h.run(1200.0);
    let before = h.barg("PT-1601");
    assert!(before > 15.0 && h.barg("PT-1602") < 0.1);
    h.set("XV-1603", "open");
    h.run(900.0);
    let (a, b) = (h.barg("PT-1601"), h.barg("PT-1602"));
    assert!((a - b).abs() < 0.05 && (a - 0.5 * before).abs() < 0.5, "{before} {a} {b}");
    closes(&h, &start);
}

#[test]
fn in_hand_the_safety_valve_keeps_the_receiver() {
    let mut h = Hand(plant(PLANT));
    let start = held(&h);
    h.set("K-1601", "start");
    let mut most = 0.0f64;
    for _ in 0..3000 {
        h.run(1.0);
        most = most.max(h.barg("PT-1601"));
    }
    assert!((31.9..32.3).contains(&most), "{most}");
    closes(&h, &start);
}

#[test]
fn the_emergency_compressor_needs_nothing_but_a_hand() {
    let mut h = Hand(plant(PLANT));
    assert_eq!(h.0.controls().iter().find(|c| c.tag.as_str() == "K-1603").unwrap().words, ["start", "stop", "reset"]);
    h.set("K-1603", "start");
    h.until("air enough for a start", 7200.0, |h| h.barg("PT-1601") > 15.0);
    h.set("K-1603", "stop");
    h.run(10.0);
    assert_eq!(h.actual("YS-1603"), 0.0);
}

#[test]
fn water_collects_and_the_drain_lets_it_out_first() {
    let mut h = started();
    let before = h.actual("WT-1601");
    // 0.3 m3 at 29 bar is about 10 kg of air, and a hundredth of that in water.
    assert!((0.06..0.3).contains(&before), "{before}");
    h.set("XV-1605", "open");
    h.until("the water is out", 60.0, |h| h.actual("WT-1601") <= 0.0);
    let full = h.barg("PT-1601");
    h.set("K-1601", "stop");
    h.run(60.0);
    assert!(h.barg("PT-1601") < full - 1.0, "then air: {full} {}", h.barg("PT-1601"));
}

#[test]
fn a_dryer_that_stops_lets_water_through_and_the_drives_crawl() {
    let mut h = started();
    assert_eq!(h.actual("WT-1402"), 0.0);
    h.fail("D-1401", "stopped", true, None);
    h.until("water in the header", 90_000.0, |h| h.actual("WT-1402") > 0.04);
    h.set("XV-9003", "open");
    h.run(20.0);
    let crawled = h.actual("XV-9003");
    assert!((0.3..0.5).contains(&crawled), "{crawled}");
}

#[test]
fn a_choked_reducing_line_lowers_the_header() {
    let mut h = started();
    h.fail("PCV-1401", "choked", true, Some(0.99));
    h.run(2400.0);
    assert!(h.barg("PT-1402") < 4.0, "{}", h.barg("PT-1402"));
    h.fail("PCV-1401", "choked", false, None);
    h.run(300.0);
    assert!(h.barg("PT-1402") > 6.0);
}
