//! Against sources outside the project.

use super::*;
use crate::check_data::example;

/// A condenser at steady state: effectiveness 1 - exp(-NTU), saturation by IF97.
#[test]
fn condenser_pressure() {
    let e = example("condenser_pressure");
    let water = CoolingWater {
        mass_flow: e.input("m_cold"),
        heat_capacity: e.input("cp_cold"),
        temperature: 273.15 + e.input("Tc_in"),
    };
    let (ua, q) = (e.input("UA"), e.input("q_W"));
    let c = water.mass_flow * water.heat_capacity;
    // The same whole conductance from a film three times the other side's.
    let params =
        TubesParams { wet: 4.0 * ua, dry: 1.0, water: 4.0 / 3.0 * ua, flow_nominal: water.mass_flow, capacity: 1e6 };
    let tubes = Tubes::new(params);
    let whole = tubes.whole(params.wet, water, 0.0);
    e.compare("eff", whole / c);
    let t = water.temperature + q / whole;
    e.compare("Tsat_C", t - 273.15);
    e.compare("p_kPa", crate::water::p_sat(t) / 1e3);
    e.compare("Tco", water.temperature + q / c - 273.15);
    // Metal between the two: in series they give the whole.
    let beyond = tubes.beyond_metal(params.wet, water, 0.0);
    let series = 1.0 / (1.0 / params.wet + 1.0 / beyond);
    assert!((series / whole - 1.0).abs() < 1e-12);
    println!("{}: condenser_pressure compared", e.path);
}

/// The rig itself settles where the example's equations say: whatever the steam brings, in vacuum and without air.
#[test]
fn the_shell_settles_at_the_pressure_of_its_duty() {
    let mut rig = Rig::steaming(0.7);
    // Without air: the leak shut, the pump takes the rest.
    rig.net.set_opening(rig.leak, 0.0);
    rig.run(3600.0);
    let (start, began) = (rig.cooled, rig.air());
    rig.run(10.0);
    let duty = (rig.cooled - start) / 10.0;
    let film = rig.condenser.tubes.steam_side(rig.net.state(rig.shell), SEA_IN, 0.0);
    let t = rig.water.temperature + duty / rig.condenser.tubes.whole(film, rig.water, 0.0);
    assert!(began < 30.0, "{began} Pa of air");
    assert!((rig.net.t(rig.shell) - t).abs() < 0.05, "{} {t}", rig.net.t(rig.shell));
    assert!((rig.p() / crate::water::p_sat(t) - 1.0).abs() < 0.01);
    // And the log-mean difference says the same of the conductance (any handbook).
    let rise = duty / (rig.water.mass_flow * rig.water.heat_capacity);
    let (a, b) = (t - rig.water.temperature, t - rig.water.temperature - rise);
    let lmtd = (a - b) / base::maths::ln(a / b);
    let ua = 1.0 / (1.0 / film + 1.0 / tubes().water);
    assert!((duty / (ua * lmtd) - 1.0).abs() < 1e-3, "{duty} {}", ua * lmtd);
}

/// Saturation at condenser pressures, by the release of IF97 itself (table 35 class of value): 0.05 bar is 32.87 degC,
/// 0.07 bar 39.00 degC, 0.1 bar 45.81 degC (steam tables).
#[test]
fn saturation_at_condenser_pressures() {
    for (p, t) in [(5e3, 32.87), (7e3, 39.0), (1e4, 45.81)] {
        assert!((crate::water::t_sat(p) - 273.15 - t).abs() < 0.006, "{p}");
    }
}
