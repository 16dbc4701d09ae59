//! What the steam loses is what shaft, metal and oil get.

use super::*;
use crate::liquid::Fluid;

fn held(b: &Bench) -> f64 {
    let t = &b.set.turbine;
    let m = t.metal.params();
    let metal = m.rotor.0 * t.metal.skin() + m.rotor.1 * t.metal.core() + m.casing_outer * t.metal.outer();
    let bearings: f64 = t.bearings.iter().map(|x| x.params().capacity * x.temperature()).sum();
    let oil = b.set.oil.mass() * Fluid::LubeOil.enthalpy(b.set.oil.temperature());
    b.net.inventory().energy + t.shaft.kinetic() + metal + bearings + oil + t.sums().waits
}

/// What has come over the boundary: through the net's outsides, turning gear, priming pump, make-up, less cooling, losses and the generator.
fn came(b: &Bench) -> f64 {
    let t = &b.set.turbine;
    let (net, sums, oil) = (b.net.ledger(), t.sums(), b.set.oil.crossed());
    let losses: f64 = t.bearings.iter().map(|x| x.lost()).sum::<f64>() + t.metal.lost() + oil.lost;
    // Heat from rotor, windage and the casing's outer half into the net, and work out of it, are inside.
    let inside = sums.to_net + sums.to_inner - sums.worked;
    net.energy - inside + sums.turning + oil.priming + oil.oil_energy - oil.cooled - losses - b.drawn
}

#[test]
fn energy_closes_from_cold_to_load_and_back() {
    let mut b = Bench::new();
    let (h0, c0) = (held(&b), came(&b));
    let look = |b: &Bench, when: &str| {
        let gap = (held(b) - h0) - (came(b) - c0);
        let scale = b.net.ledger().energy_through;
        println!("{when}: {gap:e} J of {scale:e}");
        assert!(gap.abs() < 1e-9 * scale + 1e-3, "{when}: {gap:e} of {scale:e}");
    };
    b.run(5.0);
    b.turning(300.0);
    b.line_up();
    look(&b, "turning");
    b.roll(0.22, 900.0);
    look(&b, "rolled");
    b.run_up();
    b.load = 6e5;
    b.set.oil.failing.leak = 0.2;
    b.set.oil.make_up = 0.5;
    b.run(600.0);
    look(&b, "loaded");
    b.load = 0.0;
    b.set.turbine.protection.trip();
    b.until(3600.0, |b| b.n() == 0.0);
    b.run(300.0);
    look(&b, "at rest");
}

/// What the stages give by the net's own account, against IF97 by the library: inlet and exhaust of the running machine.
#[test]
fn the_expansion_agrees_with_the_library() {
    use seuif97::{OH, OS, ps, pt};
    for load in [2e5, 8e5] {
        let b = Bench::loaded(load);
        let w = &b.set.ways;
        let (p1, t1) = (b.net.p(w.casing), b.net.t(w.casing));
        let p2 = b.net.p(w.exhaust);
        let (h1, s1) = (pt(p1 * 1e-6, t1 - 273.15, OH), pt(p1 * 1e-6, t1 - 273.15, OS));
        let drop = (h1 - ps(p2 * 1e-6, s1, OH)) * 1e3;
        let branch = b.net.branch(w.stages);
        let work = branch.worked() / (branch.flow() * DT);
        let efficiency = work / drop;
        println!("{load} W: {work} J/kg of {drop}, {efficiency}");
        assert!((efficiency - b.set.turbine.efficiency()).abs() < 2e-4, "{efficiency} {}", b.set.turbine.efficiency());
        assert!((0.6..0.78).contains(&efficiency));
        // Steam that leaves carries so much less.
        assert!((branch.enthalpy() - h1 * 1e3).abs() < 50.0);
    }
}

/// Losses with load and back pressure: little load and a poor vacuum cost efficiency and power.
#[test]
fn efficiency_falls_with_little_load_and_power_with_a_poor_vacuum() {
    let full = Bench::loaded(8e5);
    let little = Bench::at_speed();
    assert!(full.set.turbine.efficiency() > little.set.turbine.efficiency() + 0.02);
    let per_kilowatt = |b: &Bench| b.net.flow(b.set.ways.stages) / b.load;
    let mut poor = full.clone();
    poor.net.set_outside(poor.condenser, crate::steam::Outside::new(0.3e5, 345.0, crate::steam::Gives::Steam));
    poor.run(300.0);
    assert!(per_kilowatt(&poor) > 1.1 * per_kilowatt(&full), "{} {}", poor.tell(), full.tell());
}

/// A machine driven without steam in a poor vacuum grows hot by windage.
#[test]
fn windage_heats_an_exhaust_without_flow() {
    let mut b = Bench::loaded(3e5);
    // A generator that drives it from the bus.
    let speed = b.set.turbine.shaft.omega;
    b.set.turbine.governor.set_wheel(0.0);
    b.load = 0.0;
    let cold = b.net.t(b.set.ways.exhaust);
    b.net.set_outside(b.condenser, crate::steam::Outside::new(0.4e5, 350.0, crate::steam::Gives::Steam));
    for _ in 0..24_000 {
        b.tick();
        b.set.turbine.shaft.omega = speed;
    }
    let t = b.net.t(b.set.ways.exhaust);
    assert!(t > cold + 60.0 && b.set.turbine.protection.is_set(), "{t} {cold} {}", b.tell());
}
