//! Networks solved elsewhere (EPANET 2.2 and a general solver) against ours.

use super::*;
use crate::check_data;
use serde_json::Value;

fn number(v: &Value, name: &str) -> f64 {
    v[name].as_f64().unwrap_or_else(|| panic!("{name} is missing in {v}"))
}

fn list<'a>(v: &'a Value, name: &str) -> impl Iterator<Item = &'a Value> {
    v[name].as_array().into_iter().flatten()
}

#[test]
fn network() {
    let names = check_data::names("network_", ".json");
    assert!(!names.is_empty());
    for name in names {
        let (path, text) = check_data::read(&name);
        let file: Value = serde_json::from_str(&text).unwrap();
        let compared = compare(&file);
        println!("{path}: {compared} flows and heads compared");
    }
}

fn compare(file: &Value) -> usize {
    // The files' liquid has no density; flows and heads do not depend on it.
    let mut b = NetworkBuilder::new(Fluid::SeaWater).viscosity(number(file, "kin_visc_m2s"));
    let mut nodes = std::collections::BTreeMap::new();
    let id = |v: &Value| v["id"].as_str().unwrap().to_owned();
    for r in list(file, "reservoirs") {
        nodes.insert(id(r), b.reservoir(&id(r), 0.0));
    }
    for j in list(file, "junctions") {
        nodes.insert(id(j), b.junction(&id(j), number(j, "elev_m"), 0.01));
    }
    let mut links = Vec::new();
    for (group, non_return) in [("pumps", true), ("pipes", false), ("valves", false)] {
        for l in list(file, group) {
            let kind = match group {
                "pumps" => {
                    let points: Vec<(f64, f64)> =
                        list(l, "curve_m3s_m").map(|p| (p[0].as_f64().unwrap(), p[1].as_f64().unwrap())).collect();
                    let curve = PumpCurve::through([points[0], points[1], points[2]]).unwrap();
                    LinkKind::Pump { curve }
                }
                "pipes" => LinkKind::Pipe {
                    length: number(l, "length_m"),
                    diameter: number(l, "diam_m"),
                    roughness: number(l, "rough_m"),
                    minor_loss: number(l, "K"),
                },
                _ => LinkKind::Valve {
                    diameter: number(l, "diam_m"),
                    minor_loss: number(l, "K"),
                    characteristic: Characteristic::Linear,
                },
            };
            let end = |name: &str| nodes[l[name].as_str().unwrap()];
            let link = b.link(&id(l), end("from"), end("to"), LinkParams { kind, non_return });
            links.push((id(l), link, l));
        }
    }
    let mut net = b.build().unwrap();
    for r in list(file, "reservoirs") {
        net.set_head(nodes[&id(r)], number(r, "head_m"));
    }
    for j in list(file, "junctions") {
        net.set_demand(nodes[&id(j)], number(j, "demand_m3s"));
    }
    for (_, link, l) in &links {
        let on = !matches!(l["status"].as_str(), Some("off" | "shut"));
        net.set_shut(*link, !on);
        if !l["curve_m3s_m"].is_null() {
            net.set_pump(*link, if on { l["speed"].as_f64().unwrap_or(1.0) } else { 0.0 }, 1.0);
        }
    }
    net.solve().unwrap();
    let (worst, most) = imbalance(&net);
    assert!(worst <= 1e-9 * most, "continuity: {worst} of {most}");

    let result = &file["result"];
    let mut compared = 0;
    let second = &result["second_solution_flow_m3_s"];
    for (name, link, _) in &links {
        let ours = net.flow(*link);
        for theirs in
            [&result["flow_m3_s"][name.as_str()], &second[name.as_str()]].into_iter().filter_map(Value::as_f64)
        {
            let near = (ours - theirs).abs() <= (0.002 * theirs.abs()).max(1e-6);
            assert!(near, "flow in {name}: ours {ours}, theirs {theirs}");
            compared += 1;
        }
        // The second solution works with the same free fall as ours.
        if let Some(theirs) = second[name.as_str()].as_f64() {
            assert!(
                (ours - theirs).abs() <= 5e-5 * theirs.abs() + 1e-9,
                "flow in {name}: ours {ours}, second {theirs}"
            );
        }
    }
    for (name, node) in &nodes {
        for theirs in [&result["head_m"], &result["second_solution_head_m"]] {
            if let Some(theirs) = theirs[name.as_str()].as_f64() {
                let ours = net.head(*node);
                assert!((ours - theirs).abs() <= 0.05, "head at {name}: ours {ours}, theirs {theirs}");
                compared += 1;
            }
        }
    }
    compared
}
