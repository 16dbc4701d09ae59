//! Cold lines, condensate, traps, liquid-full nodes.

use super::*;

/// A cold line full of air is warmed through a small valve: condensate gathers on the cold wall and leaves by the trap with
/// the air; in the end the line is hot, free of air and nearly dry.
#[test]
fn a_cold_line_warms_through() {
    let mut b = SteamNet::builder();
    let main = b.outside("main", Outside::new(10e5, 470.0, Gives::Steam));
    let tank = b.outside("tank", Outside::new(101_325.0, 298.15, Gives::Air { humidity: 1.0 }));
    let wall = Wall { t: 298.15, capacity: 1.2e5, dry: 60.0, wet: 6000.0, loss: 10.0, ambient: 298.15, heat: 0.0 };
    let line = b.vessel("line", air(0.3, 298.15), Some(wall));
    b.branch(main, line, BranchSpec::new("warming valve", 0.8));
    let trap = b.branch(line, tank, BranchSpec::trap("trap", 1.0));
    let mut net = b.build().unwrap();
    let (mut wettest, mut condensate) = (0.0f64, 0.0);
    for _ in 0..18_000 {
        net.step(0.1).unwrap();
        wettest = wettest.max(net.state(line).liquid_mass);
        condensate += net.flow(trap) * (1.0 - net.branch(trap).air_fraction()) * 0.1;
    }
    let s = net.state(line);
    assert!(s.p > 9.5e5 && net.wall(line).unwrap().t > 440.0, "{s:?}");
    assert!(wettest > 0.5, "condensate gathered: {wettest}");
    assert!(net.contents(line).air < 0.1 * 0.35, "{:?}", net.contents(line));
    // The wall's heat came from condensing: 1.2e5 J/K over 150 K is 18 MJ, 9 kg of steam.
    assert!((7.0..25.0).contains(&condensate), "{condensate}");
    assert!(net.effort().unconverged < 20, "{:?}", net.effort());
}

/// A trap holds steam and passes liquid.
#[test]
fn a_trap_holds_steam() {
    let mut b = SteamNet::builder();
    let tank = b.outside("tank", Outside::new(101_325.0, 298.15, Gives::Air { humidity: 1.0 }));
    let v = b.vessel("vessel", boiler(1.0, 6e5, 0.1, 0.0), None);
    let trap = b.branch(v, tank, BranchSpec::trap("trap", 3.0));
    let mut net = b.build().unwrap();
    net.step(0.1).unwrap();
    let e = *net.state(v);
    // Saturated water flashes: the standard's liquid limit, Kv and density alone.
    let hold = 0.96 - 0.28 * (e.p / 22.064e6).sqrt();
    let most = 0.81 * (1.0 - hold) * e.p;
    let want = 31.622_776_6 * 3.0 * (most / 1e5 / e.v_l).sqrt() / 3600.0;
    assert!((net.flow(trap) / want - 1.0).abs() < 5e-3, "{} {want}", net.flow(trap));
    for _ in 0..6000 {
        net.step(0.1).unwrap();
    }
    assert!(net.flow(trap) < 2e-3 && net.p(v) > 4e5, "{} {}", net.flow(trap), net.p(v));
}

/// Pumped until liquid-full, it rises to the outlet's pressure and what comes in goes out as liquid; then emptied by a drain.
#[test]
fn a_liquid_full_vessel_passes_liquid() {
    let mut b = SteamNet::builder();
    let sky = b.outside("atmosphere", Outside::atmosphere(298.15, 0.5));
    let v = b.vessel("vessel", air(0.5, 298.15), None);
    let top = b.branch(v, sky, BranchSpec::new("vent", 8.0));
    let bottom = b.branch(v, sky, BranchSpec::drain("drain", 8.0).falling(1.0));
    let mut net = b.build().unwrap();
    net.set_opening(bottom, 0.0);
    let h = water::liquid(2e5, 298.15).h;
    net.set_inflow(v, Inflow { water: 1.0, air: 0.0, energy: h });
    for _ in 0..6000 {
        net.step(0.1).unwrap();
    }
    assert!(net.level(v) > 0.98, "{}", net.level(v));
    assert!((net.flow(top) - 1.0).abs() < 1e-3, "{}", net.flow(top));
    assert!((net.branch(top).enthalpy() - net.state(v).h_l).abs() < 500.0);
    net.set_inflow(v, Inflow::default());
    net.set_opening(bottom, 1.0);
    for _ in 0..12_000 {
        net.step(0.1).unwrap();
    }
    assert!(net.level(v) < 0.02, "{}", net.level(v));
    assert!((net.p(v) - 101_325.0).abs() < 2000.0);
    assert!(net.effort().unconverged < 20, "{:?}", net.effort());
}

/// No gas at all and no way out but a shut valve: the pressure follows the liquid's compressibility, and returns.
#[test]
fn a_shut_full_vessel_is_stiff_but_settles() {
    let mut b = SteamNet::builder();
    let sky = b.outside("atmosphere", Outside::atmosphere(298.15, 0.5));
    let full = Vessel::new(0.5, 0.0, Contents::saturated(0.5, 0.0, 1e5, 0.499));
    let v = b.vessel("vessel", full, None);
    let out = b.branch(v, sky, BranchSpec::new("relief", 1.0));
    let mut net = b.build().unwrap();
    net.set_opening(out, 0.0);
    net.set_inflow(v, Inflow { water: 0.05, air: 0.0, energy: 0.05 * net.state(v).h_l });
    let mut ticks = 0;
    while net.p(v) < 20e5 {
        net.step(0.1).unwrap();
        ticks += 1;
        assert!(ticks < 2000);
    }
    net.set_inflow(v, Inflow::default());
    net.set_opening(out, 0.1);
    for _ in 0..600 {
        net.step(0.1).unwrap();
    }
    assert!(net.p(v) < 1.2e5, "{}", net.p(v));
}

/// Wet steam: what the drum carries over leaves as liquid with the gas.
#[test]
fn carry_over_takes_liquid_along() {
    let mut b = SteamNet::builder();
    let sky = b.outside("atmosphere", Outside::atmosphere(298.15, 0.5));
    let drum = b.vessel("drum", boiler(1.0, 10e5, 0.5, 0.0), None);
    let out = b.branch(drum, sky, BranchSpec::new("outlet", 2.0));
    let mut net = b.build().unwrap();
    net.set_carry(out, 0.05);
    net.step(0.1).unwrap();
    let s = net.state(drum);
    assert!((net.branch(out).enthalpy() / (0.95 * s.h_v + 0.05 * s.h_l) - 1.0).abs() < 1e-5);
}
