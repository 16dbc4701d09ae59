//! Heavy oil: warm it burns, cold it smokes and loses its flame.

use super::super::hand::{Hand, raising};

/// A plant that fires diesel oil, with heavy oil going round its ring.
fn ring(heated: bool) -> Hand {
    let mut h = raising();
    h.set("XV-1701", "open");
    h.run(5.0);
    h.set("P-1701", "start");
    if heated {
        h.set("E-1703", "automatic");
    }
    // Steam from the main line to atomise, and the line warmed on the way.
    h.set("XV-2104", "open");
    h.dial("XV-2103", 0.1);
    h.until("4.5 barg", 3600.0, |h| h.barg("PT-2001") > 4.5);
    h.set("XV-2120", "open");
    h.until("atomising steam", 1200.0, |h| h.barg("PT-2120") > 3.2);
    h
}

/// Common practice: heavy oil is fired when it is thin enough for the atomiser.
#[test]
fn warm_heavy_oil_takes_over_from_diesel_oil_without_smoke() {
    let mut h = ring(true);
    h.until("thin", 3600.0, |h| h.actual("AT-1701") < 20e-6);
    println!("{} degC, {} cSt", h.celsius("TT-1701"), h.actual("AT-1701") * 1e6);
    h.set("HS-2010", "heavy oil");
    h.run(10.0);
    let mut smoke = 0.0f64;
    h.watch(300.0, |h| smoke = smoke.max(h.actual("AT-2002")));
    assert!(!h.tripped("XS-2001") && h.actual("BSH-2001") > 0.5, "{}", h.tell());
    assert!(
        h.actual("FT-1701") > 0.01 && h.actual("FT-1501") < 1e-6,
        "{} {}",
        h.actual("FT-1701"),
        h.actual("FT-1501")
    );
    assert!(smoke < 0.2, "{smoke}");
    // And back.
    h.set("HS-2010", "diesel oil");
    h.run(30.0);
    assert!(!h.tripped("XS-2001") && h.actual("FT-1701") < 1e-6 && h.actual("FT-1501") > 0.01);
}

/// Cold heavy oil is not atomised: the flame goes out and the boiler trips. Half warm, it smokes.
#[test]
fn cold_heavy_oil_smokes_and_loses_the_flame() {
    let mut h = ring(false);
    assert!(h.actual("AT-1701") > 120e-6, "{}", h.actual("AT-1701"));
    h.set("HS-2010", "heavy oil");
    h.until("the boiler trips", 60.0, |h| h.tripped("XS-2001"));
    let mut h = ring(true);
    h.until("half warm", 3600.0, |h| h.actual("AT-1701") < 45e-6);
    h.set("E-1703", "off");
    h.set("HS-2010", "heavy oil");
    let mut smoke = 0.0f64;
    h.watch(60.0, |h| smoke = smoke.max(h.actual("AT-2002")));
    assert!(smoke > 0.35, "{smoke}");
    // As what is in the heater is used up, colder oil comes, and the flame is lost.
    h.until("the boiler trips", 1800.0, |h| h.tripped("XS-2001"));
}

/// Atomising steam lost, the flame is lost; atomising air would have held it.
#[test]
fn heavy_oil_without_steam_or_air_loses_the_flame() {
    let mut h = ring(true);
    h.until("thin", 3600.0, |h| h.actual("AT-1701") < 20e-6);
    h.set("HS-2010", "heavy oil");
    h.run(60.0);
    let mut with_air = h.clone();
    with_air.set("XV-1712", "open");
    with_air.run(30.0);
    with_air.set("XV-2120", "shut");
    with_air.run(60.0);
    assert!(!with_air.tripped("XS-2001"), "{} barg of air", with_air.barg("PT-1704"));
    h.set("XV-2120", "shut");
    h.until("the boiler trips", 60.0, |h| h.tripped("XS-2001"));
}

/// The quick-closing valve stops the oil at the tank.
#[test]
fn the_quick_closing_valve_starves_the_burner() {
    let mut h = ring(true);
    h.until("thin", 3600.0, |h| h.actual("AT-1701") < 20e-6);
    h.set("HS-2010", "heavy oil");
    h.run(30.0);
    h.set("XV-1701", "shut");
    h.until("the boiler trips", 60.0, |h| h.tripped("XS-2001"));
}
