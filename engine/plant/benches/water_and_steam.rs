//! How long look-ups, a vessel's state and a net's tick take, beside the library's calls in the same run.
//!
//! `cargo bench -p faultwright-plant --bench water_and_steam`. The fastest of several rounds is told, since
//! anything else on the machine only adds.

use plant::steam::{BranchSpec, Characteristic, Gives, Inflow, Outside, SteamNet, Wall};
use plant::vessel::{Contents, Vessel};
use plant::water;
use std::hint::black_box;
use std::time::Instant;

/// Nanoseconds a call.
fn time(name: &str, calls: usize, mut f: impl FnMut(usize)) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..7 {
        let start = Instant::now();
        for i in 0..calls {
            f(i);
        }
        best = best.min(start.elapsed().as_secs_f64() * 1e9 / calls as f64);
    }
    println!("{name:58} {best:9.1} ns");
    best
}

fn vessels() {
    let n = 100_000;
    let two_phase = Contents::saturated(4.0, 2e6, 10e5, 2.4);
    let mut v = Vessel::new(4.0, 2e6, two_phase);
    time("vessel, two-phase with metal, 0.1 s of 3 MW apart", n, |i| {
        v.contents.energy = two_phase.energy + 3e5 * ((i % 64) as f64);
        black_box(v.equilibrium().expect("in range"));
    });
    let humid = Contents::humid_air(4.0, 0.0, 101_325.0, 320.0, 2.4, 1.0);
    let mut v = Vessel::new(4.0, 0.0, humid);
    time("vessel, liquid and humid air", n, |i| {
        v.contents.energy = humid.energy + 3e5 * ((i % 64) as f64);
        black_box(v.equilibrium().expect("in range"));
    });
    let dry = Contents::steam(0.1, 0.0, 10e5, 520.0);
    let mut v = Vessel::new(0.1, 0.0, dry);
    time("vessel, superheated steam", n, |i| {
        v.contents.energy = dry.energy * (1.0 + 1e-4 * ((i % 64) as f64));
        black_box(v.equilibrium().expect("in range"));
    });
}

/// A drum, superheater, header, line, three consumers, drains, a condenser: ten vessels and eighteen branches.
fn net() {
    let air = |v: f64| Vessel::new(v, 0.0, Contents::humid_air(v, 0.0, 101_325.0, 298.15, 0.0, 0.5));
    let wall = |c: f64| Wall { t: 298.15, capacity: c, dry: 60.0, wet: 3000.0, loss: 10.0, ambient: 298.15, heat: 0.0 };
    let mut b = SteamNet::builder();
    let sky = b.outside("atmosphere", Outside::atmosphere(298.15, 0.6));
    let tank = b.outside("drain tank", Outside::new(101_325.0, 298.15, Gives::Air { humidity: 1.0 }));
    let drum = b.vessel("drum", Vessel::new(4.0, 2e6, Contents::saturated(4.0, 2e6, 10e5, 2.4)), None);
    let superheater = b.vessel("superheater", air(0.08), None);
    let header = b.vessel("header", air(0.02), None);
    let line = b.vessel("line", air(0.3), Some(wall(1e5)));
    let coils: Vec<_> = (0..4).map(|i| b.vessel(&format!("coil {i}"), air(0.05), Some(wall(3e4)))).collect();
    let deaerating = b.vessel("heater", air(0.5), None);
    let condenser = b.vessel("condenser", air(3.0), Some(Wall { loss: 4e4, wet: 8e4, ..wall(2e5) }));
    let eq = Characteristic::EqualPercentage(50.0);
    b.branch(drum, superheater, BranchSpec::new("drum outlet", 90.0));
    b.branch(superheater, header, BranchSpec::non_return("non-return", 80.0));
    b.branch(header, line, BranchSpec::new("main valve", 60.0).opening_as(eq));
    let vent = b.branch(superheater, sky, BranchSpec::new("vent", 6.0));
    for &c in &coils {
        b.branch(line, c, BranchSpec::new("coil valve", 6.0).opening_as(eq));
        b.branch(c, tank, BranchSpec::trap("coil trap", 1.0));
    }
    b.branch(header, deaerating, BranchSpec::new("heating steam", 4.0));
    b.branch(deaerating, tank, BranchSpec::drain("heater drain", 3.0));
    b.branch(line, condenser, BranchSpec::new("dump", 10.0));
    b.branch(line, tank, BranchSpec::trap("line trap", 1.0));
    b.branch(condenser, tank, BranchSpec::drain("condenser drain", 20.0));
    let blow = b.branch(drum, tank, BranchSpec::drain("blowdown", 3.0));
    let mut net = b.build().expect("the net has no mistakes");
    net.set_opening(vent, 0.0);
    net.set_opening(blow, 0.0);
    net.set_heat(drum, 3e6);
    net.set_inflow(drum, Inflow { water: 1.0, air: 0.0, energy: 4e5 });
    let tick = |net: &mut SteamNet, i: usize| {
        // The firing and one valve keep moving.
        net.set_heat(drum, 3e6 + 2e5 * ((i % 100) as f64 - 50.0) / 50.0);
        net.set_opening(vent, if i % 600 < 300 { 0.1 } else { 0.0 });
        let level = net.level(drum);
        let w = if level < 0.6 { 1.6 } else { 0.0 };
        net.set_inflow(drum, Inflow { water: w, air: 0.0, energy: w * 4e5 });
        net.step(0.1).expect("in range");
    };
    for i in 0..6000 {
        tick(&mut net, i);
    }
    let before = net.effort();
    time("net of 10 vessels and 18 branches, a tick", 6000, |i| tick(&mut net, i));
    let e = net.effort();
    println!(
        "  {:.2} linear solutions a tick, {} of {} ticks cut, {} parts unconverged; drum at {:.1} bara",
        (e.iterations - before.iterations) as f64 / (e.ticks - before.ticks) as f64,
        e.parts - before.parts - (e.ticks - before.ticks),
        e.ticks - before.ticks,
        e.unconverged - before.unconverged,
        net.p(drum) / 1e5
    );
}

fn main() {
    let n = 1_000_000;
    let t = |i: usize| 300.0 + 0.25 * ((i * 7919) % 1000) as f64;
    let p = |i: usize| 1e4 + 4e3 * ((i * 7919) % 1000) as f64;
    let line = time("saturation at a temperature (13 values)", n, |i| {
        black_box(water::saturation_at_t(black_box(t(i))));
    });
    let library = time("  the library: pressure, v, u of both phases", n / 20, |i| {
        let c = black_box(t(i)) - 273.15;
        let p = seuif97::tx2p(c, 0.0);
        for region in [1, 2] {
            black_box(seuif97::pt(p, c, (seuif97::OV, region)));
            black_box(seuif97::pt(p, c, (seuif97::OU, region)));
        }
    });
    println!("  library over table: {:.0}", library / line);
    time("saturation at a pressure", n, |i| {
        black_box(water::saturation_at_p(black_box(p(i))));
    });
    let table = time("vapour (7 values)", n, |i| {
        black_box(water::vapour(black_box(p(i) * 0.2), black_box(t(i) + 250.0)));
    });
    let library = time("  the library: v, u and two slopes", n / 20, |i| {
        let (p, c) = (black_box(p(i) * 0.2) * 1e-6, black_box(t(i)) - 23.15);
        for what in [seuif97::OV, seuif97::OU, seuif97::ODVDT, seuif97::ODVDP] {
            black_box(seuif97::pt(p, c, (what, 2)));
        }
    });
    println!("  library over table: {:.0}", library / table);
    let table = time("liquid (7 values)", n, |i| {
        black_box(water::liquid(black_box(4e6), black_box(t(i))));
    });
    let library = time("  the library: v, u and two slopes", n / 20, |i| {
        let c = black_box(t(i)) - 273.15;
        for what in [seuif97::OV, seuif97::OU, seuif97::ODVDT, seuif97::ODVDP] {
            black_box(seuif97::pt(4.0, c, (what, 1)));
        }
    });
    println!("  library over table: {:.0}", library / table);
    vessels();
    net();
}
