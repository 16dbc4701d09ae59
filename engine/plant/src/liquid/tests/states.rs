//! Ordinary states: shut, reversed, dead-headed, isolated; and conservation over a run.

use super::*;

fn pipe(length: f64, diameter: f64) -> LinkKind {
    LinkKind::Pipe { length, diameter, roughness: 1e-4, minor_loss: 1.0 }
}

fn valve(diameter: f64) -> LinkKind {
    LinkKind::Valve { diameter, minor_loss: 5.0, characteristic: Characteristic::Linear }
}

fn pump() -> LinkKind {
    LinkKind::Pump { curve: PumpCurve::through([(0.0, 30.0), (0.055, 25.0), (0.11, 10.0)]).unwrap() }
}

/// Sea, suction, two pumps with flaps, header, cooler, overboard.
struct Simple {
    net: Network,
    sea: NodeId,
    header: NodeId,
    suction: NodeId,
    pumps: [LinkId; 2],
    cooler: LinkId,
    overboard_valve: LinkId,
    overboard: NodeId,
}

fn simple() -> Simple {
    let mut b = NetworkBuilder::new(Fluid::SeaWater);
    let sea = b.reservoir("sea", -3.0);
    let overboard = b.reservoir("overboard", 0.5);
    let suction = b.junction("suction", -3.0, 0.0);
    let header = b.junction("header", -1.0, 0.2);
    let after = b.junction("after cooler", 0.0, 0.1);
    b.link("suction pipe", sea, suction, pipe(8.0, 0.25));
    let pumps =
        ["pump 1", "pump 2"].map(|name| b.link(name, suction, header, LinkParams { kind: pump(), non_return: true }));
    let cooler = b.link("cooler", header, after, valve(0.15));
    let overboard_valve = b.link("overboard valve", after, overboard, valve(0.2));
    let mut net = b.build().unwrap();
    net.set_head(sea, 0.0);
    net.set_head(overboard, 1.0);
    net.fill_at(290.0);
    net.set_temperature(sea, 290.0);
    net.set_temperature(overboard, 290.0);
    Simple { net, sea, header, suction, pumps, cooler, overboard_valve, overboard }
}

#[test]
fn standing_pumps_with_flaps_pass_nothing_backward() {
    let Simple { mut net, pumps, cooler, .. } = simple();
    net.solve().unwrap();
    // The overboard lies higher than the sea: without the flaps water would run back.
    assert_eq!((net.flow(pumps[0]), net.flow(pumps[1]), net.flow(cooler)), (0.0, 0.0, 0.0));
    assert!(net.flap_is_shut(pumps[0]));
}

#[test]
fn one_running_pump_shuts_the_flap_of_the_other() {
    let Simple { mut net, pumps, cooler, .. } = simple();
    net.set_pump(pumps[0], 1.0, 1.0);
    net.solve().unwrap();
    assert!(net.flow(pumps[0]) > 0.05 && net.flow(pumps[1]) == 0.0);
    let alone = net.flow(cooler);
    net.set_pump(pumps[1], 1.0, 1.0);
    net.solve().unwrap();
    assert!((net.flow(pumps[0]) - net.flow(pumps[1])).abs() < 1e-9);
    assert!(net.flow(cooler) > 1.05 * alone, "two pumps give more than one");
}

#[test]
fn a_pump_against_a_shut_valve_makes_its_shut_off_head_and_heats() {
    let Simple { mut net, header, pumps, overboard_valve, .. } = simple();
    net.set_pump(pumps[0], 1.0, 1.0);
    net.set_opening(overboard_valve, 0.0);
    net.solve().unwrap();
    assert!(net.flow(pumps[0]).abs() < 1e-12);
    assert!((net.head(header) - 30.0).abs() < 1e-6, "{}", net.head(header));
    net.set_shaft_power(pumps[0], 5e3);
    let before = net.temperature(header);
    for _ in 0..600 {
        net.carry(0.1);
    }
    // 5 kW for 60 s into the 0.2 m3 of the header.
    let rise = 5e3 * 60.0 / (0.2 * 1025.0 * 3993.0);
    assert!((net.temperature(header) - before - rise).abs() < 1e-9);
    // Stopped, the pressure stays trapped between the flap and the valve.
    net.set_pump(pumps[0], 0.0, 1.0);
    net.solve().unwrap();
    assert!(net.is_isolated(header) && (net.head(header) - 30.0).abs() < 1e-6);
}

#[test]
fn flow_reverses_without_a_flap_and_takes_the_heat_the_other_way() {
    let mut b = NetworkBuilder::new(Fluid::FreshWater);
    let (low, high) = (b.reservoir("low", 0.0), b.reservoir("high", 0.0));
    let middle = b.junction("middle", 0.0, 0.01);
    let run = b.link("run", low, middle, pipe(5.0, 0.1));
    b.link("rest", middle, high, pipe(5.0, 0.1));
    let mut net = b.build().unwrap();
    net.fill_at(300.0);
    for (head, sign) in [(5.0, 1.0), (-5.0, -1.0)] {
        net.set_head(low, head);
        net.set_temperature(low, 350.0);
        net.set_temperature(high, 280.0);
        net.solve().unwrap();
        assert!(net.flow(run) * sign > 0.01);
        for _ in 0..1000 {
            net.carry(0.1);
        }
        let expected = if sign > 0.0 { 350.0 } else { 280.0 };
        assert!((net.temperature(middle) - expected).abs() < 0.02, "{}", net.temperature(middle));
    }
    // The two directions are mirror images.
    let backward = net.flow(run);
    net.set_head(low, 5.0);
    net.solve().unwrap();
    assert!((net.flow(run) + backward).abs() < 1e-6 * backward.abs());
}

#[test]
fn nothing_is_solved_again_when_nothing_changed() {
    let Simple { mut net, sea, pumps, .. } = simple();
    net.set_pump(pumps[0], 1.0, 1.0);
    assert!(net.solve().unwrap().iterations > 0);
    net.set_pump(pumps[0], 1.0 + 1e-6, 1.0);
    net.set_head(sea, 1e-5);
    assert_eq!(net.solve().unwrap().iterations, 0, "below the rounding of settings");
    net.set_head(sea, -0.01);
    assert!(net.solve().unwrap().iterations > 0);
}

#[test]
fn demand_is_met_or_told_to_be_out_of_reach() {
    let Simple { mut net, header, cooler, pumps, sea, .. } = simple();
    net.set_pump(pumps[0], 1.0, 1.0);
    net.set_demand(header, 0.01);
    net.solve().unwrap();
    assert!((net.flow(pumps[0]) - net.flow(cooler) - 0.01).abs() < 1e-12);
    net.set_shut(pumps[0], true);
    net.set_shut(pumps[1], true);
    net.set_shut(cooler, true);
    net.solve().unwrap();
    assert_eq!(net.delivered(header), 0.0);
    let _ = sea;
}

#[test]
fn a_pump_drives_a_closed_circuit_without_a_reservoir() {
    let mut b = NetworkBuilder::new(Fluid::FreshWater);
    let tank = b.reservoir("header tank", 10.0);
    let (s, d) = (b.junction("suction", 1.0, 0.05), b.junction("delivery", 1.0, 0.05));
    let p = b.link("pump", s, d, pump());
    b.link("circuit", d, s, valve(0.15));
    let make_up = b.link("static line", tank, s, pipe(10.0, 0.05));
    let mut net = b.build().unwrap();
    net.set_head(tank, 12.0);
    net.set_pump(p, 1.0, 1.0);
    net.solve().unwrap();
    let (flow, head) = (net.flow(p), net.head(s));
    assert!(flow > 0.05 && net.flow(make_up).abs() < 1e-12 && (head - 12.0).abs() < 1e-9);
    net.set_shut(make_up, true);
    net.solve().unwrap();
    assert!((net.flow(p) - flow).abs() < 1e-9 && (net.head(s) - 12.0).abs() < 1e-6);
    assert!(net.is_isolated(s));
}

#[test]
fn mass_and_energy_close_over_a_run_of_changes() {
    let Simple { mut net, sea, suction, pumps, cooler, overboard_valve, overboard, .. } = simple();
    let start = net.stored_energy();
    let mut throughput = 0.0;
    for tick in 0..36_000 {
        let t = f64::from(tick) * 0.1;
        if tick % 50 == 0 {
            let phase = f64::from(tick / 50);
            net.set_pump(pumps[0], if tick < 20_000 { (t / 10.0).min(1.0) } else { 0.0 }, 1.0);
            net.set_opening(overboard_valve, (phase * 0.37).fract());
            net.set_head(sea, 0.5 * (phase * 0.11).fract());
        }
        net.set_heat(cooler, 4e5 * (t * 0.01).fract());
        net.set_shaft_power(pumps[0], net.hydraulic_power(pumps[0]).max(0.0) / 0.7);
        net.set_temperature(sea, 285.0 + 10.0 * (t * 0.003).fract());
        net.set_temperature(overboard, 285.0);
        net.solve().unwrap();
        net.carry(0.1);
        throughput += 0.1 * net.boundary_mass_flow(sea).abs();
        assert!(net.temperature(suction).is_finite());
    }
    let account = net.account();
    assert!(throughput > 1e4 && account.work > 1e6 && account.heat > 1e6);
    assert!(account.mass.abs() < 1e-9 * throughput, "mass {} of {throughput}", account.mass);
    let error = net.stored_energy() - start - account.energy - account.heat - account.work;
    let scale = throughput * Fluid::SeaWater.enthalpy(290.0);
    assert!(error.abs() < 1e-10 * scale, "energy {error} of {scale}");
    // A planted error of one part in a million of the throughput is found by the same measure.
    assert!((error + 1e-6 * scale).abs() > 1e-10 * scale);
}

#[test]
fn figures_that_make_no_sense_are_all_told() {
    let mut b = NetworkBuilder::new(Fluid::FreshWater);
    let (a, c) = (b.reservoir("a", 0.0), b.junction("c", 0.0, 0.0));
    b.link("thin pipe", a, c, LinkKind::Pipe { length: 1.0, diameter: 0.0, roughness: 1e-4, minor_loss: 0.0 });
    b.link("loop", c, c, valve(0.1));
    let mistakes = b.build().unwrap_err();
    let parts: Vec<&str> = mistakes.iter().map(|m| m.part.as_str()).collect();
    assert_eq!(parts, ["thin pipe", "loop", "c"]);
}

/// Hagen and Poiseuille: `Q = pi g dh D^4 / (128 nu L)`, with the viscosity of what runs in.
#[test]
fn cold_heavy_oil_creeps_and_warm_oil_runs() {
    let mut b = NetworkBuilder::new(Fluid::HeavyOil);
    let (tank, end) = (b.reservoir("tank", 0.0), b.reservoir("end", 0.0));
    let middle = b.junction("middle", 0.0, 0.005);
    let half = LinkKind::Pipe { length: 10.0, diameter: 0.03, roughness: 5e-5, minor_loss: 0.0 };
    let (first, second) = (b.link("first", tank, middle, half), b.link("second", middle, end, half));
    let mut net = b.build().unwrap();
    net.set_head(tank, 20.0);
    let mut flows = vec![];
    for celsius in [25.0, 50.0, 125.0] {
        net.set_temperature(tank, 273.15 + celsius);
        net.fill_at(273.15 + celsius);
        net.thicken();
        net.solve().unwrap();
        let flow = net.flow(first);
        assert!((flow - net.flow(second)).abs() < 1e-12);
        if celsius < 60.0 {
            let nu = net.viscosity_at(middle);
            let by_hand = std::f64::consts::PI * GRAVITY * 20.0 * 8.1e-7 / (128.0 * nu * 20.0);
            assert!((flow / by_hand - 1.0).abs() < 0.011, "{celsius} degC: {flow} {by_hand}");
        }
        flows.push(flow);
    }
    assert!(flows[1] > 5.0 * flows[0] && flows[2] > 5.0 * flows[1], "{flows:?}");
    // Cold oil in the line and warm oil behind it: the flow grows as the cold is pushed out.
    net.fill_at(298.15);
    net.set_temperature(tank, 273.15 + 125.0);
    net.thicken();
    net.solve().unwrap();
    let cold = net.flow(first);
    for _ in 0..6000 {
        net.thicken();
        net.solve().unwrap();
        net.carry(0.1);
    }
    assert!(net.flow(first) > 5.0 * cold && net.temperature(middle) > 273.15 + 120.0);
}
