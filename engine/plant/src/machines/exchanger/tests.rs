//! Exchangers against outside data, at their limits, and between two networks.

use super::*;
use crate::liquid::{Characteristic, Fluid, LinkKind, NetworkBuilder};
use base::units::CELSIUS_ZERO;

const ALL: [Arrangement; 8] = [
    Arrangement::CrossflowUnmixedApproximate,
    Arrangement::Counterflow,
    Arrangement::Parallel,
    Arrangement::CrossflowUnmixed,
    Arrangement::CrossflowMaxMixed,
    Arrangement::CrossflowMinMixed,
    Arrangement::ShellAndTube,
    Arrangement::Condensing,
];

fn fixed(arrangement: Arrangement, conductance: f64) -> Exchanger {
    Exchanger::new(ExchangerParams { arrangement, conductance, flow_nominal: (1.0, 1.0), flow_exponent: 0.0 })
}

#[test]
fn limits_hold_for_every_arrangement() {
    for a in ALL {
        for ratio in [0.0, 1e-12, 0.3, 0.999_999_999_9, 1.0] {
            let mut last = 0.0;
            for ntu in [1e-6, 0.1, 1.0, 3.0, 10.0, 40.0, 300.0] {
                let e = a.effectiveness(ntu, ratio);
                assert!(e >= last - 1e-12 && e <= 1.0 + 1e-12, "{a:?} {ntu} {ratio}: {e}");
                last = e;
            }
            let little = a.effectiveness(1e-6, ratio);
            assert!((little / 1e-6 - 1.0).abs() < 1e-4, "{a:?}: with little surface all agree, {little}");
            // Counterflow is the best there is.
            let best = Arrangement::Counterflow.effectiveness(2.0, ratio);
            assert!(a == Arrangement::Condensing || a.effectiveness(2.0, ratio) <= best + 1e-12, "{a:?} {ratio}");
        }
    }
}

#[test]
fn nothing_flows_nothing_is_exchanged_and_heat_turns_with_the_temperatures() {
    let x = fixed(Arrangement::Counterflow, 1e4);
    let side = |mass_flow: f64, temperature: f64| Side { mass_flow, heat_capacity: 4180.0, temperature };
    assert_eq!(x.heat(side(0.0, 350.0), side(5.0, 300.0)), 0.0);
    assert_eq!(x.heat(side(5.0, 350.0), side(0.0, 300.0)), 0.0);
    let there = x.heat(side(4.0, 350.0), side(5.0, 300.0));
    let back = x.heat(side(4.0, 300.0), side(5.0, 350.0));
    assert!(there > 0.0 && (there + back).abs() < 1e-9 * there);
}

#[test]
fn fouling_and_low_flow_lower_the_conductance() {
    let mut x = Exchanger::new(ExchangerParams {
        arrangement: Arrangement::Counterflow,
        conductance: 1e5,
        flow_nominal: (20.0, 30.0),
        flow_exponent: 0.8,
    });
    assert!((x.conductance(20.0, 30.0) - 1e5).abs() < 1e-6);
    assert!(x.conductance(10.0, 30.0) < 0.8e5);
    x.fouling = 1.0;
    assert!((x.conductance(20.0, 30.0) - 0.5e5).abs() < 1e-6);
}

#[test]
fn two_networks_lose_and_gain_the_same() {
    let build = |fluid: Fluid| {
        let mut b = NetworkBuilder::new(fluid);
        let (from, to) = (b.reservoir("from", 0.0), b.reservoir("to", 0.0));
        let (before, after) = (b.junction("before", 0.0, 0.05), b.junction("after", 0.0, 0.05));
        let valve = LinkKind::Valve { diameter: 0.1, minor_loss: 10.0, characteristic: Characteristic::Linear };
        let inlet = b.link("inlet", from, before, valve);
        let through = b.link("through", before, after, valve);
        b.link("outlet", after, to, valve);
        let mut net = b.build().unwrap();
        net.set_head(from, 6.0);
        net.fill_at(300.0);
        (net, from, inlet, through, after)
    };
    let (mut hot, hot_from, hot_inlet, hot_link, hot_after) = build(Fluid::FreshWater);
    let (mut cold, cold_from, _, cold_link, cold_after) = build(Fluid::SeaWater);
    let mut x = fixed(Arrangement::Counterflow, 2e5);
    let start = hot.stored_energy() + cold.stored_energy();
    for tick in 0..20_000 {
        hot.set_temperature(hot_from, 330.0);
        cold.set_temperature(cold_from, 295.0);
        hot.set_opening(hot_inlet, if tick < 15_000 { 1.0 } else { 0.0 });
        hot.solve().unwrap();
        cold.solve().unwrap();
        x.load((&mut hot, hot_link), (&mut cold, cold_link));
        hot.carry(0.1);
        cold.carry(0.1);
        if tick == 14_999 {
            // Settled: both sides balance with the duty.
            let (m, c) = (hot.mass_flow(hot_link), Fluid::FreshWater.heat_capacity());
            let drop = 330.0 - hot.temperature(hot_after);
            // The friction along the way warms it a little.
            assert!((x.duty() / (m * c * drop) - 1.0).abs() < 2e-3 && x.duty() > 1e5);
        }
    }
    assert_eq!(x.duty(), 0.0, "the hot side stands still at the end");
    let (a, b) = (hot.account(), cold.account());
    assert_eq!(a.heat, -b.heat, "what one lost the other gained, to the bit");
    let error = hot.stored_energy() + cold.stored_energy() - start - a.energy - b.energy;
    assert!(error.abs() < 1e-10 * b.heat.abs().max(b.energy.abs()), "{error}");
    assert!(cold.temperature(cold_after) < 296.0);
}

mod checks {
    use super::*;
    use crate::check_data::{example, read};

    #[test]
    fn exchanger() {
        let (path, text) = read("heat_exchanger_effectiveness.csv");
        let mut cases = 0;
        for line in text.lines().skip(1).filter(|l| !l.is_empty() && !l.starts_with('#')) {
            // The arrangement may hold a comma and stand in quotes; the numbers are the last three.
            let mut parts: Vec<&str> = line.rsplitn(4, ',').collect();
            parts.reverse();
            let name = parts[0].trim_matches('"');
            let v: Vec<f64> = parts[1..].iter().map(|x| x.trim().parse().unwrap()).collect();
            let a = arrangement(name);
            let ours = a.effectiveness(v[0], v[1]);
            assert!((ours - v[2]).abs() < 1e-6, "{line}: {ours}");
            cases += 1;
        }
        assert!(cases > 0);
        println!("{path}: {cases} cases compared");
    }

    fn arrangement(name: &str) -> Arrangement {
        match name {
            "counterflow" => Arrangement::Counterflow,
            "parallel" => Arrangement::Parallel,
            "crossflow" => Arrangement::CrossflowUnmixed,
            "crossflow approximate" => Arrangement::CrossflowUnmixedApproximate,
            "crossflow, mixed Cmax" => Arrangement::CrossflowMaxMixed,
            "crossflow, mixed Cmin" => Arrangement::CrossflowMinMixed,
            "1S&P" => Arrangement::ShellAndTube,
            other => panic!("no arrangement is called {other}"),
        }
    }

    fn side(mass_flow: f64, heat_capacity: f64, celsius: f64) -> Side {
        Side { mass_flow, heat_capacity, temperature: celsius + CELSIUS_ZERO }
    }

    #[test]
    fn exchanger_examples() {
        for (id, a) in
            [("hx_central_cooler", Arrangement::Counterflow), ("hx_lube_cooler", Arrangement::CrossflowUnmixed)]
        {
            let e = example(id);
            let hot = side(e.input("m_hot"), e.input("cp_hot"), e.input("Th_in"));
            let cold = side(e.input("m_cold"), e.input("cp_cold"), e.input("Tc_in"));
            let x = fixed(a, e.input("UA"));
            let q = x.heat(hot, cold);
            let (c, d) = (hot.mass_flow * hot.heat_capacity, cold.mass_flow * cold.heat_capacity);
            let (ntu, ratio) = (e.input("UA") / c.min(d), c.min(d) / c.max(d));
            e.compare("NTU", ntu);
            e.compare("Cr", ratio);
            e.compare("eff", a.effectiveness(ntu, ratio));
            e.compare("q_kW", q / 1e3);
            e.compare("Tho", e.input("Th_in") - q / (hot.mass_flow * hot.heat_capacity));
            e.compare("Tco", e.input("Tc_in") + q / (cold.mass_flow * cold.heat_capacity));
        }
        let e = example("hx_steam_oil_crossflow");
        // The mixed side is the one of the larger capacity flow, the steam.
        let cold = side(e.input("m_oil"), e.input("cp_oil"), e.input("Tc_in"));
        let hot = side(e.input("m_steam"), e.input("cp_steam"), e.input("Th_in"));
        let q = fixed(Arrangement::CrossflowMaxMixed, e.input("U") * e.input("A")).heat(hot, cold);
        e.compare("q_W", q);
        e.compare("Tc_out_C", e.input("Tc_in") + q / (cold.mass_flow * cold.heat_capacity));
        e.compare("Th_out_C", e.input("Th_in") - q / (hot.mass_flow * hot.heat_capacity));

        let e = example("hx_oil_cooler");
        // Given both oil temperatures: the conductance expected must give that duty.
        let hot = side(e.input("m_hot"), e.input("cp_hot"), e.input("Th_in"));
        let cold = side(e.input("m_cold"), e.input("cp_cold"), e.input("Tc_in"));
        let q = fixed(Arrangement::Counterflow, e.expected["UA_W_K"].as_f64().unwrap()).heat(hot, cold);
        e.compare("q_W", q);
        e.compare("Tc_out_C", e.input("Tc_in") + q / (cold.mass_flow * cold.heat_capacity));
    }

    #[test]
    fn condenser() {
        let e = example("condenser_pressure");
        let x = fixed(Arrangement::Condensing, e.input("UA"));
        let cold = side(e.input("m_cold"), e.input("cp_cold"), e.input("Tc_in"));
        // The duty is linear in the condensing temperature: find the one that gives the duty asked for.
        let per_kelvin = x.heat_condensing(cold.temperature + 1.0, cold);
        let condensing = e.input("Tc_in") + e.input("q_W") / per_kelvin;
        e.compare("Tsat_C", condensing);
        e.compare("Tco", e.input("Tc_in") + e.input("q_W") / (cold.mass_flow * cold.heat_capacity));
        e.compare(
            "eff",
            Arrangement::Condensing.effectiveness(e.input("UA") / (cold.mass_flow * cold.heat_capacity), 0.0),
        );
    }
}
