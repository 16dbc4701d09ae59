//! A small plant about a turbine: steam main, inlet line, exhaust into a condenser, oil and its cooling water.

use crate::ledger::Store;
use crate::small_plant::{Hand, description, plant};
use crate::{Plant, registry::Trip};
use base::Tag;
use base::record::Happening;

const PLANT: &str = "
CW-1 | circuit | | fluid = sea water
N-1 | outside | in CW-1 | head 0 m; temperature 24 degC
N-2 | junction | in CW-1 | elevation -2 m; holds 0.2 m3
N-3 | junction | in CW-1 | elevation 0 m; holds 0.3 m3
N-9 | outside | in CW-1 | head 1 m; temperature 24 degC
P-1 | pump | from N-1; to N-2 | efficiency 75 % efficient; run up 3 s; curve m3/h m 0 14, 400 9, 600 4
PL-1 | pipe | from N-2; to N-3 | length 12 m; diameter 250 mm; roughness 0.05 mm; losses 8 none
XV-1 | valve | from N-3; to N-9 | Kv 900 Kv; stroke time 10 s; position at start 100 % open
PL-2 | pipe | from N-2; to N-4 | length 20 m; diameter 40 mm; roughness 0.05 mm; losses 8 none
N-4 | junction | in CW-1 | elevation 0 m; holds 0.02 m3
XV-2 | valve | from N-4; to N-9 | Kv 12 Kv; stroke time 5 s; position at start 100 % open

CF-1 | circuit | | fluid = feed water
T-1 | tank | in CF-1 | area 1.2 m2; height 1 m; elevation -1 m; level at start 0.5 m; temperature at start 24 degC
T-2 | tank | in CF-1 | area 3 m2; height 2.2 m; elevation 8 m; level at start 0.6 m; temperature at start 45 degC; loss to room 0 W/K
N-11 | junction | in CF-1 | elevation -2.5 m; holds 0.05 m3
N-12 | junction | in CF-1 | elevation -2 m; holds 0.05 m3
XV-11 | valve | from T-1; to N-11 | Kv 60 Kv; stroke time 5 s; position at start 100 % open
P-11 | pump | from N-11; to N-12 | efficiency 55 % efficient; run up 3 s; suction head needed 1 m; curve m3/h m 0 50, 10 42, 16 25
FCV-12 | valve | from N-12; to T-1 | Kv 4 Kv; stroke time 5 s; dial = yes; position at start 100 % open
LCV-13 | valve | from N-12; to T-2 | Kv 6 Kv; stroke time 10 s; dial = yes

A-1 | open air | | temperature 24 degC; humidity 60 % of rated
E-1 | condenser | hotwell T-1; cooled by PL-1; relieves to A-1 | volume 4 m3; shell metal 60 kJ/K; steam film 1750 kW/K; gas film 15 kW/K; water film 880 kW/K; nominal cooling flow 110 kg/s; tube metal 900 kJ/K; air cooler 30 % of rated; air leaks in 2 kg/h; relief lifts 0.2 barg; relief Kv 300 Kv; hurt above 110 degC; life there 5 h; doubles every 20 K
K-21 | vacuum pump | of E-1 | capacity 220 m3/h; power 5.5 kW; run up 2 s; seal water 400 kJ/K; seal-water cooler 2 kW/K
K-22 | vacuum pump | of E-1 | capacity 220 m3/h; power 5.5 kW; run up 2 s; seal water 400 kJ/K; seal-water cooler 2 kW/K
PT-1 | transmitter | of E-1 | reads = pressure; range 0 bara to 2 bara; lag 0.5 s
LT-1 | transmitter | of T-1 | reads = level; range 0 m to 1 m; lag 0.5 s
LIC-1 | level controller | measures LT-1; moves LCV-13 | set point 0.5 m; set point from 0 m; set point to 1 m; gain 4 none; integral time 300 s; output = HIC-1; opens when = high

N-40 | steam main | | pressure 16 barg; temperature 320 degC
N-41 | steam space | | volume 0.12 m3; wall capacity 60 kJ/K; wall conductance 500 W/K; loss to room 8 W/K
XV-41 | steam valve | from N-40; to N-41 | Kv 120 Kv; stroke time 60 s; dial = yes
XV-42 | steam valve | from N-41; to A-1 | Kv 1 Kv; stroke time 5 s; takes = liquid first
N-42 | turbine exhaust | | volume 1.5 m3; metal in the flow 30 kJ/K; wall capacity 300 kJ/K; wall conductance 3 kW/K; loss to room 20 W/K
XV-43 | steam valve | from N-42; to E-1 | Kv 12000 Kv; stroke time 60 s; takes = liquid first
XV-44 | steam valve | from TU-1; to E-1 | Kv 2 Kv; stroke time 5 s; takes = liquid first

TU-1 | turbine | from N-41; to N-42 | rated speed 6500 rpm; speed of its shaft 1800 rpm; inertia 160 kgm2; drag 6 kW; rated flow 1.15 kg/s; rated pressure 12 barg; rated temperature 320 degC; rated back pressure 8 kPa abs; efficiency of the blades 76 % efficient; leaving loss 15 kJ/kg; windage 6 kW; casing volume 0.06 m3; rotor, skin 50 kJ/K; rotor, core 75 kJ/K; skin to core 150 W/K; casing, inner half 150 kJ/K; casing, outer half 330 kJ/K; inner to outer 2.5 kW/K; loss to room 12 W/K; film at rated flow 1.6 kW/K; condensing film 4 kW/K; rotor to bearings 5 W/K; length 1500 mm; diameter 380 mm; bow standing 6 % of rated; bow grows in 25 min; bow dies away in 8 min; critical speed 3600 rpm; damping 6.5 % of rated; unbalance 8 um; bow for a kelvin = 0.04 um; vibration follows in 3 s; clearance 250 um; rotor longer at most = 1.6 mm; rotor shorter at most = 1.2 mm; rotor strained above 110 K; rotor life 30 min; casing strained above 110 K; casing life 30 min; strained by speed above 7475 rpm
BE-1 | turbine bearing | of TU-1 | friction 4 kW; load times speed 32 kW; mixed below 0.2 % of rated; oil 0.12 kg/s; to the oil 480 W/K; heat capacity 7 kJ/K; loss to room 2 W/K; hurt above 130 degC; life there 5 min; doubles every 15 K; wiped dry in 60 s
BE-2 | turbine bearing | of TU-1 | friction 4 kW; load times speed 32 kW; mixed below 0.2 % of rated; oil 0.12 kg/s; to the oil 480 W/K; heat capacity 7 kJ/K; loss to room 2 W/K; hurt above 130 degC; life there 5 min; doubles every 15 K; wiped dry in 60 s
BE-3 | turbine bearing | of TU-1 | friction 9 kW; load times speed 32 kW; mixed below 0.2 % of rated; oil 0.36 kg/s; to the oil 1.2 kW/K; heat capacity 9 kJ/K; loss to room 2 W/K; hurt above 130 degC; life there 5 min; doubles every 15 K; wiped dry in 60 s
SC-1 | turbine governor | of TU-1 | droop 4 % of rated; speed from 5850 rpm; speed to 6890 rpm; speed changer 24 % of rated; lag 0.1 s; opens in 0.6 s; shuts in 0.4 s; wheel turns in 30 s; slams in 0.3 s; stop valve = XV-45; stop valve Kv 85 Kv; governor valve Kv 46 Kv
HS-1 | trip gear | of TU-1; speed ST-1; oil pressure PT-2; exhaust pressure PT-3; vibration VT-1; forward TT-1; after TT-2; gear TT-3 | bolt acts at 7280 rpm; electronic overspeed 7150 rpm; oil pressure below 0.6 barg; oil delay 2 s; exhaust pressure above 45 kPa abs; exhaust delay 1 s; vibration above 125 um; vibration delay 2 s; bearing above 105 degC; bearing delay 1 s; trip = TT-TRIP; set contact = XS-1
TG-7 | turning gear | of TU-1 | turns at 32 rpm; greatest torque 5 % of rated; standstill below 3 rpm; released from 0.8 barg
LO-1 | turbine oil | cooled by PL-2 | level at start 0.7 m; temperature at start 30 degC; area 1 m2; height 1 m; suction at 0.25 m; loss to room 20 W/K; oil to the bearings 42 l/min; at a pressure of 1.8 bar difference; through the cooler 62 l/min; regulated at 1.8 barg; relief 7 barg; shaft-driven pump 82 l/min; priming pump gives 66 l/min; efficiency of the pumps 70 % efficient; motor 2 kW; drop of the filter 0.2 bar difference; drop of the cooler 0.3 bar difference; slip at 3 bar = 5 l/min; viscosity at 40 degC = 46 cSt; viscosity at 100 degC = 6.8 cSt; nominal at 45 degC; automatic starts below 1.2 barg; cooler 2.8 kW/K; cooling water 2 kg/s; thermostat opens at 40 degC; fully open at 50 degC; make-up 0.5 kg/s; make-up at 25 degC; priming pump = P-3; filter = FL-1; filter cleaning = FL-2; make-up valve = XV-46

ST-1 | transmitter | of TU-1 | reads = speed; range 0 rpm to 8000 rpm; lag 0.1 s
VT-1 | transmitter | of TU-1 | reads = vibration; range 0 um to 300 um; lag 0.3 s
ET-1 | transmitter | of TU-1 | reads = eccentricity; range 0 um to 300 um; lag 0.3 s
PT-2 | transmitter | of LO-1 | reads = oil pressure; range 0 barg to 5 barg; lag 0.2 s
PT-3 | transmitter | of N-42 | reads = pressure; range 0 bara to 2 bara; lag 0.2 s
TT-1 | transmitter | of BE-1 | reads = temperature; range 0 degC to 150 degC; lag 3 s
TT-2 | transmitter | of BE-2 | reads = temperature; range 0 degC to 150 degC; lag 3 s
TT-3 | transmitter | of BE-3 | reads = temperature; range 0 degC to 150 degC; lag 3 s
TT-4 | transmitter | of LO-1 | reads = oil temperature; range 0 degC to 100 degC; lag 3 s
LT-4 | transmitter | of LO-1 | reads = level; range 0 m to 1 m; lag 0.5 s
";

fn vacuum(h: &mut Hand) {
    h.set("P-1", "start");
    h.run(10.0);
    h.set("P-11", "start");
    h.set("LIC-1", "automatic");
    h.set("K-21", "start");
    h.set("K-22", "start");
    h.set("XV-43", "open");
    h.until("vacuum", 1800.0, |h| h.actual("PT-3") < 0.15e5);
}

fn turning(h: &mut Hand) {
    h.set("P-3", "automatic");
    h.until("oil pressure", 60.0, |h| h.actual("PT-2") > 2.6e5);
    h.set("TG-7", "in");
}

fn steam(h: &mut Hand) {
    h.set("XV-42", "open");
    h.set("XV-44", "open");
    h.dial("XV-41", 0.05);
    h.run(240.0);
    h.set("XV-41", "open");
    h.run(60.0);
}

fn run_up(h: &mut Hand) {
    h.set("HS-1", "reset");
    h.dial("SC-1", 6200.0 / 60.0);
    h.dial("XV-45", 0.22);
    h.run(1200.0);
    let mut wheel = 0.22;
    while h.actual("ST-1") * 60.0 < 5900.0 && wheel < 1.0 {
        wheel += 0.03;
        h.dial("XV-45", wheel);
        h.run(4.0);
    }
    h.set("XV-45", "open");
    h.dial("SC-1", 6530.0 / 60.0);
    h.until("rated speed", 300.0, |h| h.actual("ST-1") * 60.0 > 6450.0);
}

fn at_speed() -> Hand {
    static DONE: std::sync::OnceLock<Plant> = std::sync::OnceLock::new();
    let plant = DONE.get_or_init(|| {
        let mut h = Hand(plant(PLANT));
        vacuum(&mut h);
        turning(&mut h);
        h.run(900.0);
        steam(&mut h);
        run_up(&mut h);
        h.run(60.0);
        h.0
    });
    Hand(plant.clone())
}

fn worst(h: &Hand) -> f64 {
    (0..h.0.damageable().len()).map(|i| h.0.damage(i)).fold(0.0, f64::max)
}

fn happened(h: &mut Hand) -> Vec<Happening> {
    let mut all = vec![];
    h.0.take_happenings(&mut all);
    all
}

/// Energy held less energy that came, by the plant's own properties.
fn balance(plant: &Plant) -> (f64, f64) {
    let held: f64 = plant
        .stores()
        .iter()
        .map(|s| match s {
            Store::Vessel { volume, metal, p, t, p_steam, liquid_volume, .. } => {
                let sat = crate::water::saturation_at_t(*t);
                let gas = volume - liquid_volume;
                let liquid = if *liquid_volume > 0.0 {
                    let w = crate::water::liquid_from(&sat, p.max(sat.p));
                    liquid_volume / w.v * w.u
                } else {
                    0.0
                };
                let steam = if *p_steam > 0.0 {
                    let w = crate::water::vapour(*p_steam, *t);
                    gas / w.v * w.u
                } else {
                    0.0
                };
                let air = (p - p_steam) * gas / (crate::vessel::AIR_CONSTANT * t);
                liquid + steam + air * crate::vessel::air_energy(*t) + metal * (t - crate::vessel::T_ZERO)
            }
            Store::Liquid { fluid, mass, t, height, .. } => {
                mass * (fluid.enthalpy(*t) + crate::liquid::GRAVITY * height)
            }
            Store::Heat { capacity, t, .. } => capacity * t,
            Store::Rotor { inertia, omega } => 0.5 * inertia * omega * omega,
            Store::Air { .. } | Store::Battery { .. } => 0.0,
        })
        .sum();
    (held - plant.crossings().energy, plant.crossings().energy_through)
}

#[test]
fn a_good_start_in_a_small_plant_passes_unharmed_and_closes() {
    let mut h = Hand(plant(PLANT));
    let (start, _) = balance(&h.0);
    let look = |h: &Hand, when: &str| {
        let (now, scale) = balance(&h.0);
        let gap = (now - start) / scale;
        println!("{when}: {gap:e} of {scale:e} J");
        assert!(gap.abs() < 1e-7, "{when}: {gap:e}");
    };
    vacuum(&mut h);
    turning(&mut h);
    h.run(900.0);
    look(&h, "turning");
    steam(&mut h);
    run_up(&mut h);
    h.run(120.0);
    look(&h, "at speed");
    assert!(worst(&h) < 0.02, "{}", worst(&h));
    assert!(h.actual("VT-1") < 60e-6 && h.actual("P-3") == 0.0, "{} {}", h.actual("VT-1"), h.actual("P-3"));
    assert!(happened(&mut h).iter().all(|x| !matches!(x, Happening::Trip { .. })));
    h.set("HS-1", "trip");
    h.run(1.0);
    let told = happened(&mut h);
    let by_hand = |x: &Happening| matches!(x, Happening::Trip { cause, .. } if cause == "by hand");
    assert!(told.iter().any(by_hand) && h.0.tripped(0), "{told:?}");
    h.until("rest", 3600.0, |h| h.actual("ST-1") == 0.0);
    look(&h, "at rest");
    assert!(h.try_set("HS-1", "reset").is_err(), "the wheel is still open");
    h.set("XV-45", "shut");
    h.run(40.0);
    h.set("HS-1", "reset");
    assert!(happened(&mut h).iter().any(|x| matches!(x, Happening::Reset { .. })) && !h.0.tripped(0));
}

/// Nothing but what is asked for: a cold machine stands still for an hour, not tripped, unhurt.
#[test]
fn a_cold_machine_stands() {
    let mut h = Hand(plant(PLANT));
    h.run(3600.0);
    assert!(h.actual("ST-1") == 0.0 && worst(&h) == 0.0 && !h.0.tripped(0) && happened(&mut h).is_empty());
    assert!(h.try_set("TG-7", "in").is_err(), "no turning without oil");
    assert!(h.try_set("HS-1", "reset").is_err(), "no setting of the trip gear without oil and vacuum");
    h.dial("XV-45", 0.5);
    h.set("XV-41", "open");
    h.run(120.0);
    assert!(h.actual("ST-1") == 0.0, "the stop valve stays shut while the trip gear is not set");
}

/// Common practice: vacuum before steam. Without circulating water the exhaust pressure rises and trips it.
#[test]
fn lost_vacuum_trips_the_turbine() {
    let mut h = at_speed();
    happened(&mut h);
    h.set("K-21", "stop");
    h.set("K-22", "stop");
    h.set("P-1", "stop");
    h.until("trip", 3600.0, |h| h.0.tripped(0));
    let told = happened(&mut h);
    let vacuum = |x: &Happening| matches!(x, Happening::Trip { cause, .. } if cause == "exhaust pressure high");
    assert!(told.iter().any(vacuum), "{told:?}");
}

/// A transmitter that lies trips a sound machine; one that stands still hides the cause, and the bolt acts all the same.
#[test]
fn trips_act_on_signals_and_the_bolt_on_the_speed() {
    let mut h = at_speed();
    h.fail("VT-1", "offset", true, Some(150e-6));
    h.run(5.0);
    assert!(h.0.tripped(0) && h.actual("VT-1") < 60e-6);
    // The governor valve sticks while the speed is being raised.
    let runaway = |frozen: bool| {
        let mut h = at_speed();
        happened(&mut h);
        h.dial("SC-1", 5850.0 / 60.0);
        h.run(60.0);
        h.dial("SC-1", 6890.0 / 60.0);
        h.until("on the way up", 120.0, |h| h.actual("ST-1") * 60.0 > 6500.0);
        h.fail("SC-1", "stuck", true, None);
        h.fail("ST-1", "frozen", frozen, None);
        h.until("trip", 300.0, |h| h.0.tripped(0));
        format!("{:?}", happened(&mut h))
    };
    assert!(runaway(false).contains("overspeed, electronic"), "{}", runaway(false));
    assert!(runaway(true).contains("overspeed, mechanical"), "{}", runaway(true));
}

/// Each failing acts where it says, on the machine at speed.
#[test]
fn failings_act_where_they_say() {
    let quiet = at_speed();
    let after = |tag: &str, kind: &str, size: Option<f64>, seconds: f64| {
        let mut h = at_speed();
        h.fail(tag, kind, true, size);
        h.run(seconds);
        h
    };
    assert!(after("TU-1", "unbalanced", Some(30e-6), 30.0).actual("VT-1") > quiet.actual("VT-1") + 30e-6);
    assert!(after("BE-2", "hot", Some(1.0), 300.0).actual("TT-2") > quiet.actual("TT-2") + 10.0);
    assert!(after("LO-1", "leaks", Some(0.5), 120.0).actual("LT-4") < quiet.actual("LT-4") - 0.05);
    assert!(after("LO-1", "thermostat stuck", None, 900.0).actual("TT-4") > quiet.actual("TT-4") + 3.0);
    let h = after("LO-1", "shaft pump worn", Some(0.9), 30.0);
    assert!(h.actual("P-3") == 1.0 && !h.0.tripped(0), "the priming pump starts by itself");
    let mut h = at_speed();
    h.fail("P-3", "standby start dead", true, None);
    h.fail("LO-1", "shaft pump worn", true, Some(0.95));
    h.run(30.0);
    assert!(h.actual("P-3") == 0.0 && h.0.tripped(0));
    let mut h = at_speed();
    h.fail("FL-1", "chokes", true, Some(0.02));
    h.until("choked", 120.0, |h| h.barg("PT-2") < 1.1);
    h.set("FL-1", "filter 2");
    h.run(30.0);
    assert!(h.barg("PT-2") > 1.5 && !h.0.tripped(0), "changed over: {}", h.barg("PT-2"));
    h.set("FL-2", "clean");
    h.fail("FL-1", "chokes", false, None);
    h.set("FL-1", "filter 1");
    h.run(30.0);
    assert!(h.barg("PT-2") > 1.5, "cleaned: {}", h.barg("PT-2"));
    let h = after("XV-45", "stuck", None, 1.0);
    assert_eq!(h.actual("XV-45"), 1.0);
    let mut h = Hand(h.0.clone());
    h.set("HS-1", "trip");
    h.run(20.0);
    assert!(h.actual("XV-45") == 1.0 && h.actual("SC-1") < 1e-6, "the governor valve shuts all the same");
}

/// A turning gear that fails leaves a hot rotor to bow.
#[test]
fn without_turning_gear_a_hot_rotor_bows() {
    let mut h = at_speed();
    h.run(600.0);
    h.set("HS-1", "trip");
    h.set("XV-45", "shut");
    h.until("rest", 3600.0, |h| h.actual("ST-1") == 0.0);
    let mut turned = Hand(h.0.clone());
    turned.set("TG-7", "in");
    h.fail("TG-7", "slips", true, None);
    h.set("TG-7", "in");
    for x in [&mut h, &mut turned] {
        x.run(1200.0);
    }
    assert!(h.actual("ET-1") > 3.0 * turned.actual("ET-1") + 5e-6, "{} {}", h.actual("ET-1"), turned.actual("ET-1"));
}

/// Mistakes of a file are told with what to do.
#[test]
fn a_turbine_without_its_parts_is_told() {
    let told = |text: &str| {
        let wrong = Plant::build(&description(text)).err().unwrap_or_default();
        wrong.iter().map(|d| d.message.clone()).collect::<Vec<_>>().join("\n")
    };
    let without = |start: &str| PLANT.lines().filter(|l| !l.starts_with(start)).collect::<Vec<_>>().join("\n");
    assert!(told(&without("SC-1")).contains("needs one turbine governor"));
    assert!(told(&without("BE-3")).contains("needs three turbine bearings"));
    assert!(told(&without("LO-1")).contains("turbine oil") || told(&without("LO-1")).contains("LO-1"));
    assert!(
        told(&PLANT.replace("viscosity at 100 degC = 6.8 cSt", "viscosity at 100 degC = 68 cSt"))
            .contains("thin with heat")
    );
    assert!(told(&PLANT.replace("of TU-1; speed ST-1", "of TU-1; speed PL-1")).contains("must name a transmitter"));
    assert!(told(PLANT).is_empty());
    let h = Hand(plant(PLANT));
    let Trip { tag, .. } = &h.0.trips()[0];
    assert_eq!(*tag, Tag::new("TT-TRIP"));
}
