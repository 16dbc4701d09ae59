//! Against `scalar_checks.json`: read from the folder in `CHECKS_DIR`, else from `tests/data`.

use crate::boiler::combustion::{BurningParams, burn, flame_temperature};
use crate::boiler::draught::{Purge, PurgeParams};
use crate::boiler::fuel::{Fuel, lower_heating_value};
use crate::boiler::gas::{self, Gas};
use serde_json::Value;

/// The text of a check file.
pub(super) fn check_file(name: &str) -> String {
    let local = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data");
    let given = std::env::var("CHECKS_DIR").ok();
    let path = given
        .map(|d| std::path::Path::new(&d).join(name))
        .filter(|p| p.exists())
        .unwrap_or_else(|| std::path::Path::new(local).join(name));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("cannot read {}: {e}", path.display()));
    println!("read {}", path.display());
    text
}

fn scalar(id: &str) -> (Value, Value, f64) {
    let all: Value = serde_json::from_str(&check_file("scalar_checks.json")).unwrap();
    let c = all.as_array().unwrap().iter().find(|c| c["id"] == id).unwrap().clone();
    (c["inputs"].clone(), c["expected"].clone(), c["rel_tol"].as_f64().unwrap())
}

fn list(v: &Value) -> Vec<f64> {
    v.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
}

fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((got / expected - 1.0).abs() <= tolerance, "{what}: {got}, expected {expected} within {tolerance}");
}

fn fuel_of(i: &Value) -> Fuel {
    Fuel {
        carbon: i["C"].as_f64().unwrap(),
        hydrogen: i["H"].as_f64().unwrap(),
        sulphur: i["S"].as_f64().unwrap(),
        oxygen: i["O"].as_f64().unwrap(),
        ..Fuel::DISTILLATE
    }
}

fn fuel() -> Fuel {
    fuel_of(&scalar("stoichiometric_air").0)
}

/// Air ratio at which the dry gas holds this oxygen: found by halving.
fn ratio_for_oxygen(f: &Fuel, oxygen: f64) -> f64 {
    let (mut low, mut high) = (1.0, 4.0);
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        let b = burn(&BurningParams::COMPLETE, f, 1.0, mid * f.stoichiometric_air(), 1.0, 0.0);
        if b.oxygen() < oxygen { low = mid } else { high = mid }
    }
    low
}

#[test]
fn stoichiometric_air() {
    let (i, e, tol) = scalar("stoichiometric_air");
    let f = fuel_of(&i);
    near(f.stoichiometric_air(), e["air_fuel_mass_ratio"].as_f64().unwrap(), tol, "air");
    near(f.oxygen_need() / 1e3, e["O2_kmol_per_kg"].as_f64().unwrap(), tol, "oxygen");
    near(f.carbon_dioxide(), e["CO2_kg_per_kg"].as_f64().unwrap(), tol, "carbon dioxide");
    let b = burn(&BurningParams::COMPLETE, &f, 1.0, f.stoichiometric_air(), 1.0, 0.0);
    // The check counts sulphur dioxide with the dry gas, as here.
    near(100.0 * b.carbon_dioxide(), e["CO2_max_dry_pct"].as_f64().unwrap(), tol, "CO2 max");
    println!("compared 4 values");
}

#[test]
fn excess_air_from_oxygen() {
    let (i, e, tol) = scalar("excess_air_exact");
    let f = fuel();
    let (oxygen, excess) = (list(&i["O2_dry_pct"]), list(&e["excess_air_pct"]));
    for (o, x) in oxygen.iter().zip(&excess) {
        near(100.0 * (ratio_for_oxygen(&f, o / 100.0) - 1.0), *x, tol, "excess air");
    }
    println!("compared {} values", excess.len());
}

#[test]
fn flame_temperature_of_complete_combustion() {
    let (i, e, tol) = scalar("adiabatic_flame");
    let f = Fuel { lower_heating_value: i["LHV_MJ_kg"].as_f64().unwrap() * 1e6, ..fuel() };
    let t_air = i["T_air_K"].as_f64().unwrap();
    let (ratios, flames) = (list(&i["air_ratio"]), list(&e["T_complete_combustion_K"]));
    for (r, t) in ratios.iter().zip(&flames) {
        let air = r * f.stoichiometric_air();
        let b = burn(&BurningParams::COMPLETE, &f, 1.0, air, 1.0, 0.0);
        near(flame_temperature(&b, air, t_air), *t, tol, "flame");
    }
    println!("compared {} values, column T_complete_combustion_K", flames.len());
}

#[test]
fn stack_loss() {
    let (i, e, tol) = scalar("stack_loss");
    let f = Fuel { lower_heating_value: i["LHV_MJ_kg"].as_f64().unwrap() * 1e6, ..fuel() };
    let t_air = i["T_air_C"].as_f64().unwrap() + 273.15;
    let cases = i["cases_O2dry_Tgas"].as_array().unwrap();
    let losses = list(&e["enthalpy_pct"]);
    for (c, loss) in cases.iter().zip(&losses) {
        let c = list(c);
        let air = ratio_for_oxygen(&f, c[0] / 100.0) * f.stoichiometric_air();
        let b = burn(&BurningParams::COMPLETE, &f, 1.0, air, 1.0, 0.0);
        let lost = b.gas.enthalpy(c[1] + 273.15) - b.gas.enthalpy(t_air);
        near(100.0 * lost / f.lower_heating_value, *loss, tol, "stack loss");
    }
    println!("compared {} values", losses.len());
}

#[test]
fn heating_value_from_density() {
    let (i, e, tol) = scalar("lhv_density");
    let (density, net) = (list(&i["density_15C"]), list(&e["net_MJ_kg"]));
    let at = |k: &str| i[k].as_f64().unwrap();
    for (d, n) in density.iter().zip(&net) {
        let got = lower_heating_value(*d, at("S_pct"), at("water_pct"), at("ash_pct"));
        near(got / 1e6, *n, tol, "heating value");
    }
    println!("compared {} values", net.len());
}

#[test]
fn purge_time() {
    let (i, e, tol) = scalar("purge_time");
    let volume = i["volume_m3"].as_f64().unwrap();
    let flow = i["air_flow_m3_s"].as_f64().unwrap();
    let times = list(&e["t_s"]);
    for (n, t) in list(&i["changes"]).iter().zip(&times) {
        let mut purge = Purge::new(PurgeParams { volume, volumes_needed: *n - 1e-9, flow_min: 0.1 });
        // At 273.15 K a m3 of gas weighs 1.293 kg in the model.
        let mut ticks = 0;
        while !purge.done() {
            purge.step(0.1, flow * 1.293, 273.15);
            ticks += 1;
        }
        near(f64::from(ticks) * 0.1, *t, tol, "purge time");
    }
    println!("compared {} values", times.len());
}

#[test]
fn air_is_a_fifth_oxygen() {
    assert_eq!(Gas::air(1.0).dry_part(gas::O2), gas::AIR_OXYGEN);
}
