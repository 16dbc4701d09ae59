//! Against `scalar_checks.json`: read from the folder in `CHECKS_DIR`, else from `tests/data`.

use super::*;
use crate::check_data::example;
use crate::water;
use base::units::CELSIUS_ZERO;

#[test]
fn expansion_of_the_worked_example() {
    let e = example("turbine_expansion");
    let (p1, t1) = (e.input("p1_bar_abs") * 1e5, e.input("T1_C") + CELSIUS_ZERO);
    let p2 = e.input("p2_bar_abs") * 1e5;
    let h1 = water::vapour(p1, t1).h;
    let s1 = water::entropy(p1, h1);
    let h2s = water::enthalpy_of_entropy(p2, s1);
    let work = e.input("eta_is") * (h1 - h2s);
    let h2 = h1 - work;
    let sat = water::saturation_at_p(p2);
    let dryness = |h: f64| (h - sat.h_l) / (sat.h_v - sat.h_l);
    e.compare("h1", h1 / 1e3);
    e.compare("s1", s1 / 1e3);
    e.compare("h2s", h2s / 1e3);
    e.compare("x2s", dryness(h2s));
    e.compare("h2", h2 / 1e3);
    e.compare("x2", dryness(h2));
    e.compare("work_kJ_kg", work / 1e3);
    e.compare("steam_kg_h_per_kW", 3600.0 / (work / 1e3));
}

/// Willans: under throttle governing the steam rises with the load in a straight line from what no load needs.
#[test]
fn the_machine_follows_a_willans_line() {
    let mut b = Bench::loaded(8e5);
    let mut points = vec![];
    for load in [8e5, 6e5, 4e5, 2e5, 0.0] {
        b.load = load;
        b.run(1200.0);
        points.push((load * b.n(), b.net.flow(b.set.ways.stages)));
    }
    let (full, none) = (points[0], points[4]);
    let slope = (full.1 - none.1) / (full.0 - none.0);
    println!("no load {:.0} kg/h, {:.2} kg/kWh more", none.1 * 3600.0, slope * 3.6e6);
    assert!((0.04..0.2).contains(&(none.1 / full.1)), "no load takes {} of full", none.1 / full.1);
    for (p, w) in &points {
        let line = none.1 + slope * p;
        println!("{:.0} kW: {:.0} kg/h, by the line {:.0}", p / 1e3, w * 3600.0, line * 3600.0);
        assert!((w - line).abs() < 0.05 * full.1, "{p} {w} {line}");
    }
    // The definition's own figures: specific steam is the line over the load.
    let e = example("willans");
    let (m0, by) = (e.input("no_load_kg_h"), e.input("slope_kg_per_kWh"));
    let loads = e.inputs["load_kW"].as_array().unwrap();
    for (i, load) in loads.iter().enumerate() {
        let load = load.as_f64().unwrap();
        let steam = e.expected["steam_kg_h"][i].as_f64().unwrap();
        assert!((m0 + by * load - steam).abs() <= e.tolerance * steam);
    }
    println!("{}: {} points of the line compared", e.path, loads.len());
}
