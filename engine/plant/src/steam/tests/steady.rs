//! Steady states and simple histories against hand calculation.

use super::*;

/// Two valves in series between two outsides: the flow that the law gives for either, and one pressure between.
#[test]
fn two_valves_in_series() {
    let mut b = SteamNet::builder();
    let main = b.outside("main", Outside::new(8e5, 460.0, Gives::Steam));
    let sink = b.outside("sink", Outside::new(1e5, 400.0, Gives::Steam));
    let mid = b.vessel("middle", steam(0.01, 1e5, 400.0), None);
    let first = b.branch(main, mid, BranchSpec::new("first", 20.0));
    let second = b.branch(mid, sink, BranchSpec::new("second", 30.0));
    let mut net = b.build().unwrap();
    for _ in 0..50 {
        net.step(0.1).unwrap();
    }
    // By bisection on the pressure between, by the law alone; throttling keeps the enthalpy.
    let inlet = water::vapour(8e5, 460.0);
    let (mut lo, mut hi) = (1e5, 8e5);
    for _ in 0..60 {
        let p = 0.5 * (lo + hi);
        let t = water::vapour_t_of_h(p, inlet.h);
        let (a, c) = (
            kv_flow(20.0, 8e5, p, 1.0 / inlet.v, 0.72, 0.0),
            kv_flow(30.0, p, 1e5, 1.0 / water::vapour(p, t).v, 0.72, 0.0),
        );
        if a > c { lo = p } else { hi = p }
    }
    let flow = kv_flow(20.0, 8e5, lo, 1.0 / inlet.v, 0.72, 0.0);
    assert!((net.p(mid) / lo - 1.0).abs() < 1e-4, "{} {lo}", net.p(mid));
    assert!((net.flow(first) / flow - 1.0).abs() < 1e-4 && (net.flow(second) / flow - 1.0).abs() < 1e-4);
    assert!((net.branch(second).enthalpy() / inlet.h - 1.0).abs() < 1e-6);
}

/// Choked blow-down of steam to the atmosphere: against the same equations with a step of a millisecond.
#[test]
fn blow_down_of_a_vessel() {
    let build = || {
        let mut b = SteamNet::builder();
        let sky = b.outside("atmosphere", Outside::atmosphere(298.15, 0.5));
        let v = b.vessel("vessel", steam(2.0, 16e5, 553.15), None);
        let valve = b.branch(v, sky, BranchSpec::new("valve", 10.0));
        (b.build().unwrap(), v, valve)
    };
    let ((mut coarse, v, _), (mut fine, _, _)) = (build(), build());
    let c = coarse.contents(v);
    let start = (c.water, c.energy);
    let mut euler = c;
    let mut t_start = 553.15;
    for tick in 0..1600 {
        coarse.step(0.1).unwrap();
        for _ in 0..10 {
            fine.step(0.01).unwrap();
        }
        // Explicit, a hundred steps a tick, by the law alone.
        for _ in 0..100 {
            let e = crate::vessel::equilibrium(&euler, 2.0, 0.0, t_start).unwrap();
            t_start = e.t;
            let w = if e.p > 101_400.0 { kv_flow(10.0, e.p, 101_325.0, e.gas_density, 0.72, 0.0) } else { 0.0 };
            euler.water -= w * 1e-3;
            euler.energy -= w * 1e-3 * e.h_gas;
        }
        if tick % 50 == 10 {
            let p = crate::vessel::equilibrium(&euler, 2.0, 0.0, t_start).unwrap().p;
            assert!((fine.p(v) / p - 1.0).abs() < 2e-3, "{tick} {} {p}", fine.p(v));
            assert!((coarse.p(v) / p - 1.0).abs() < 1.5e-2, "{tick} {} {p}", coarse.p(v));
        }
    }
    assert!((coarse.p(v) - 101_325.0).abs() < 200.0, "{}", coarse.p(v));
    assert!(coarse.contents(v).water < 0.3 * start.0 && coarse.contents(v).energy < start.1);
}

/// Five litres with two kilograms a second through them: many residence times a tick, and quietly quasi-steady.
#[test]
fn a_small_volume_in_a_large_flow() {
    let mut b = SteamNet::builder();
    let main = b.outside("main", Outside::new(16e5, 553.15, Gives::Steam));
    let sink = b.outside("sink", Outside::new(10e5, 500.0, Gives::Steam));
    let small = b.vessel("small", steam(0.005, 10e5, 500.0), None);
    let first = b.branch(main, small, BranchSpec::new("first", 70.0));
    let second = b.branch(small, sink, BranchSpec::new("second", 70.0));
    let mut net = b.build().unwrap();
    net.step(0.1).unwrap();
    let mut before = net.p(small);
    for i in 0..100 {
        net.step(0.1).unwrap();
        if i > 10 {
            assert!((net.p(small) / before - 1.0).abs() < 1e-9, "tick {i}: {} {before}", net.p(small));
        }
        before = net.p(small);
    }
    assert!((1.5..2.6).contains(&net.flow(first)), "{}", net.flow(first));
    assert!((net.flow(first) - net.flow(second)).abs() < 1e-6);
    let contents = net.contents(small).water;
    assert!(net.flow(first) * 0.1 > 5.0 * contents, "many times its contents in a tick");
    let effort = net.effort();
    assert!(effort.iterations < 130 && effort.unconverged == 0, "{effort:?}");
    // Reversed at once.
    net.set_outside(sink, Outside::new(18e5, 560.0, Gives::Steam));
    for _ in 0..20 {
        net.step(0.1).unwrap();
    }
    assert!(net.flow(first) < -1.0 && (net.flow(first) - net.flow(second)).abs() < 1e-6, "{}", net.flow(first));
    assert_eq!(net.effort().unconverged, 0);
}

/// A vessel of saturated steam cools to a vacuum and draws air in through its vent until it is at the atmosphere's pressure.
#[test]
fn a_cooling_vessel_draws_air_through_its_vent() {
    let mut b = SteamNet::builder();
    let sky = b.outside("atmosphere", Outside::atmosphere(298.15, 0.5));
    let v = b.vessel("vessel", boiler(1.0, 1.2e5, 0.02, 1e4), None);
    let vent = b.branch(v, sky, BranchSpec::new("vent", 2.0));
    let mut net = b.build().unwrap();
    net.set_opening(vent, 0.0);
    net.set_heat(v, -2e4);
    while net.t(v) > 320.0 {
        net.step(0.1).unwrap();
    }
    assert!(net.p(v) < 0.12e5, "a vacuum: {}", net.p(v));
    net.set_heat(v, 0.0);
    net.set_opening(vent, 1.0);
    for _ in 0..3000 {
        net.step(0.1).unwrap();
    }
    assert!((net.p(v) - 101_325.0).abs() < 50.0, "{}", net.p(v));
    assert!(net.contents(v).air > 0.8 && net.state(v).air_fraction > 0.9, "{:?}", net.state(v));
    assert_eq!(net.effort().unconverged, 0);
}

/// A non-return valve holds against reversed pressure but for its seat.
#[test]
fn a_non_return_valve_holds() {
    let mut b = SteamNet::builder();
    let low = b.outside("low", Outside::new(5e5, 450.0, Gives::Steam));
    let v = b.vessel("vessel", steam(1.0, 8e5, 480.0), None);
    let check = b.branch(low, v, BranchSpec::non_return("check", 50.0));
    let mut net = b.build().unwrap();
    net.step(0.1).unwrap();
    let leak = -net.flow(check);
    let full = kv_flow(50.0, 8e5, 5e5, net.state(v).gas_density, 0.72, 0.0);
    assert!((leak / (full * 1e-3) - 1.0).abs() < 1e-2, "{leak} {full}");
    net.set_outside(low, Outside::new(9e5, 480.0, Gives::Steam));
    net.step(0.1).unwrap();
    assert!(net.flow(check) > 0.5, "{}", net.flow(check));
}

/// What a tick of 0.1 s makes of a valve worked quickly: against ticks of a hundredth of it.
#[test]
fn a_coarse_tick_keeps_near_a_fine_one() {
    let run = |parts: usize| {
        let mut m = mixed(boiler(4.0, 10e5, 2.4, 2e6));
        m.net.set_heat(m.boiler, 2e6);
        let mut told = Vec::new();
        for tick in 0..1200 {
            m.net.set_opening(m.main, if tick < 300 { 0.2 } else { 0.6 });
            m.net.set_opening(m.use_valve, if tick < 600 { 0.0 } else { 0.8 });
            m.net.set_opening(m.blowdown, 0.0);
            for _ in 0..parts {
                m.net.step(0.1 / parts as f64).unwrap();
            }
            if tick % 100 == 99 {
                told.extend(m.nodes.iter().map(|&n| m.net.p(n)));
            }
        }
        told
    };
    let worst = run(1).iter().zip(&run(20)).map(|(a, b)| (a / b - 1.0).abs()).fold(0.0, f64::max);
    assert!(worst < 0.01, "{worst}");
}
