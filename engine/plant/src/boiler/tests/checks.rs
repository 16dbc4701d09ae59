//! Against `scalar_checks.json`: read from the folder in `CHECKS_DIR`, else from `tests/data`.

use crate::boiler::combustion::{BurningParams, burn, flame_temperature};
use crate::boiler::draught::{Purge, PurgeParams};
use crate::boiler::fuel::{Fuel, lower_heating_value};
use crate::boiler::gas::{self, Gas};
use serde_json::Value;

/// The text of a check file.
pub(super) fn check_file(name: &str) -> String {
    let (path, text) = crate::check_data::read(name);
    println!("read {path}");
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

/// The very drum of the plant against the steps of `drum_boiler_parameters.json`.
mod drum {
    use super::{Value, check_file};
    use crate::boiler::circulation::CirculationParams;
    use crate::boiler::drum::{Bubbles, CarryOver, Drum, DrumFlows, DrumParams};
    use crate::boiler::level::DrumShape;
    use crate::vessel::{Contents, Vessel};

    const DT: f64 = 0.1;

    fn params(plant: &Value, bubbles: f64) -> DrumParams {
        let at = |k: &str| plant[k].as_f64().unwrap();
        DrumParams {
            shape: DrumShape::Prism { area: at("Ad"), height: at("Vd") / at("Ad") },
            normal_level: 0.0,
            circulation: CirculationParams {
                riser_volume: at("Vr"),
                downcomer_volume: at("Vdc"),
                downcomer_area: at("Adc"),
                friction: at("kf"),
                riser_metal: at("mr") * at("cm"),
                drum_metal: at("md") * at("cm"),
                beta: at("beta"),
                residence: at("Td"),
            },
            bubbles: Bubbles::Fixed(bubbles),
            onset: 3.0,
            uncover: 0.15,
            pool_exchange: 2.0,
            carry_over: CarryOver { nominal: 0.001, velocity: 0.06, height: 0.6, priming: 0.1 },
            feed_pipe: -0.3,
        }
    }

    /// Columns of a response: time, pressure, level from its start, quality, water volume.
    fn response(file: &str) -> Vec<[f64; 5]> {
        let text = check_file(file);
        let mut lines = text.lines();
        let head: Vec<&str> = lines.next().unwrap().split(',').collect();
        let names = ["t_s", "p_MPa", "level_dev_m", "x_riser_out", "V_water_m3"];
        let columns = names.map(|n| head.iter().position(|h| *h == n).unwrap());
        lines
            .map(|l| {
                let v: Vec<f64> = l.split(',').map(|x| x.parse().unwrap()).collect();
                columns.map(|c| v[c])
            })
            .collect()
    }

    #[test]
    fn answers_every_step() {
        let given: Value = serde_json::from_str(&check_file("drum_boiler_parameters.json")).unwrap();
        let plant = &given["plant"];
        let step_at = given["step_at_s"].as_f64().unwrap();
        let steps = given["steps"].as_object().unwrap();
        for (name, step) in steps {
            let expected = response(&format!("drum_boiler_{name}.csv"));
            let point = &given["operating_points"][step["load"].as_str().unwrap()];
            let at = |k: &str| point[k].as_f64().unwrap();
            let change = |k: &str| step[k].as_f64().unwrap();
            let p = params(plant, at("Vb0"));
            let metal = plant["mt"].as_f64().unwrap() * plant["cm"].as_f64().unwrap();
            let contents = Contents::saturated(p.volume(), metal, at("p"), at("Vw"));
            let mut vessel = Vessel::new(p.volume(), metal, contents);
            vessel.t_start = 570.0;
            let mut e = vessel.equilibrium().unwrap();
            // The responses start at rest, and so does the drum. The given point is at rest for IAPWS-95;
            // for IAPWS-IF97 rest is a little beside it, by much less than the model's own accuracy.
            let rest = DrumFlows { heat: at("Q"), feed: at("mf"), feed_enthalpy: at("hf"), steam: at("ms") };
            let mut drum = Drum::new(p, &e).settled(&rest, &e);
            assert!((drum.quality() / at("x") - 1.0).abs() < 5e-4);
            assert!((drum.bubbles() - at("Vb")).abs() < 1e-3 * at("Vb0"));
            assert!((drum.downcomer_flow() / at("mdc") - 1.0).abs() < 5e-4);
            let level = drum.level();
            let mut worst = [0.0f64; 5];
            let mut excursion = [0.0f64; 5];
            let mut tick = 0;
            for row in &expected {
                while f64::from(tick) * DT < row[0] - 1e-6 {
                    let after = f64::from(tick) * DT >= step_at - 1e-6;
                    let on = |x: f64| if after { x } else { 0.0 };
                    let flows = DrumFlows {
                        heat: at("Q") + on(change("dQ_W")),
                        feed: at("mf") + on(change("d_feed_kg_s")),
                        feed_enthalpy: at("hf"),
                        steam: at("ms") + on(change("d_steam_kg_s")),
                    };
                    let (risers, shell) = drum.warm(DT, flows.heat, 300.0);
                    assert!(shell == 0.0);
                    let c = &mut vessel.contents;
                    c.water += (flows.feed - flows.steam) * DT;
                    c.energy += (risers + flows.feed * flows.feed_enthalpy - flows.steam * e.h_v) * DT;
                    e = vessel.equilibrium().unwrap();
                    drum.distribute(DT, &e, &flows);
                    tick += 1;
                }
                let got = [row[0], e.p / 1e6, drum.level() - level, drum.quality(), e.liquid_volume];
                for k in 1..5 {
                    worst[k] = worst[k].max((got[k] - row[k]).abs());
                    excursion[k] = excursion[k].max((row[k] - expected[0][k]).abs());
                }
            }
            let part = |k: usize| 100.0 * worst[k] / excursion[k];
            println!(
                "{name}: {} rows; largest error of the excursion: pressure {:.3} %, level {:.3} %, quality {:.3} %, water {:.3} %",
                expected.len(),
                part(1),
                part(2),
                part(3),
                part(4),
            );
            for k in 1..5 {
                assert!(part(k) <= 0.5, "{name} column {k}: {:.3} %", part(k));
            }
        }
        println!("compared {} steps", steps.len());
    }
}
