//! Random networks at random settings: solved, continuous, finite; and how long a solve takes.

use super::*;
use proptest::prelude::*;

/// A ring main of `4 * bays` junctions with cross-connections, pumps with flaps and branch valves:
/// with ten bays 40 junctions and 62 links.
fn ring_main(bays: usize) -> Network {
    let mut b = NetworkBuilder::new(Fluid::FreshWater);
    let pipe = |d: f64| LinkKind::Pipe { length: 6.0, diameter: d, roughness: 5e-5, minor_loss: 1.5 };
    let valve = LinkKind::ValveKv { kv: 80.0, characteristic: Characteristic::EqualPercentage(50.0) };
    let sea = b.reservoir("sea", 0.0);
    let tank = b.reservoir("tank", 10.0);
    let nodes: Vec<[NodeId; 4]> =
        (0..bays).map(|bay| [0, 1, 2, 3].map(|k| b.junction(&format!("junction {bay} {k}"), 0.0, 0.01))).collect();
    for bay in 0..bays {
        let [s, d, x, y] = nodes[bay];
        let next = nodes[(bay + 1) % bays];
        b.link("bay", d, next[1], pipe(0.15));
        b.link("inlet", d, x, pipe(0.08));
        b.link("branch", x, y, valve);
        b.link("return", y, s, pipe(0.08));
        b.link("returns", s, next[0], pipe(0.15));
        if bay % 3 == 0 {
            let curve = PumpCurve::through([(0.0, 30.0), (0.03, 26.0), (0.06, 12.0)]).unwrap();
            b.link("pump", s, d, LinkParams { kind: LinkKind::Pump { curve }, non_return: true });
        } else if bay % 3 == 1 {
            b.link("bleed", s, sea, LinkParams { kind: valve, non_return: true });
        }
    }
    b.link("static", tank, nodes[0][0], pipe(0.05));
    b.link("strainer", sea, nodes[bays - 1][0], LinkKind::Strainer { diameter: 0.1, minor_loss: 3.0 });
    b.link("header", nodes[0][1], nodes[bays / 2][1], pipe(0.1));
    let mut net = b.build().unwrap();
    net.fill_at(300.0);
    net.set_head(tank, 12.0);
    net
}

/// Sets every link from a list of numbers between 0 and 1.
fn scatter(net: &mut Network, dice: &[f64]) {
    for (k, link) in net.links().collect::<Vec<_>>().into_iter().enumerate() {
        let die = |n: usize| dice[(k * 5 + n) % dice.len()];
        let three_ways = |x: f64| {
            if x < 0.25 {
                0.0
            } else if x > 0.7 {
                1.0
            } else {
                (x - 0.25) / 0.45
            }
        };
        net.set(
            link,
            Setting {
                shut: die(0) < 0.1,
                opening: three_ways(die(1)),
                passing: if die(2) < 0.1 { 0.01 } else { 0.0 },
                choked: if die(3) < 0.3 { die(3) / 0.3 } else { 0.0 },
                speed: three_ways(die(4)),
                head_factor: 0.5 + 0.5 * die(2),
            },
        );
    }
    net.set_head(NodeId(0), dice[1] * 20.0 - 10.0);
    net.set_head(NodeId(1), dice[2] * 20.0);
}

fn is_sound(net: &mut Network) -> u32 {
    let effort = net.solve().unwrap_or_else(|t| panic!("{t:?}"));
    let (worst, most) = imbalance(net);
    // 1e-11 m3/s is the rounding of heads seen through the widest pipe.
    assert!(worst <= 1e-9 * most + 1e-11, "continuity: {worst} of {most}");
    for link in net.links() {
        let setting = net.setting(link);
        assert!(net.flow(link).is_finite() && (!setting.shut || net.flow(link) == 0.0));
        if net.flap_is_shut(link) {
            assert_eq!(net.flow(link), 0.0);
        }
    }
    net.carry(0.1);
    assert!(net.nodes().all(|n| net.head(n).is_finite() && net.temperature(n).is_finite()));
    effort.iterations
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_settings_are_solved(dice in prop::collection::vec(0.0..1.0f64, 97), later in prop::collection::vec(0.0..1.0f64, 89)) {
        let mut net = ring_main(10);
        scatter(&mut net, &dice);
        is_sound(&mut net);
        // From that state to another, and back.
        scatter(&mut net, &later);
        is_sound(&mut net);
        scatter(&mut net, &dice);
        is_sound(&mut net);
        // The same settings from the first start agree where the head is determined.
        let mut fresh = ring_main(10);
        scatter(&mut fresh, &dice);
        is_sound(&mut fresh);
        for link in net.links() {
            prop_assert!((net.flow(link) - fresh.flow(link)).abs() < 1e-5, "{:?}: {} {}", link, net.flow(link), fresh.flow(link));
        }
    }
}

#[test]
fn a_clone_goes_on_with_the_same_bits() {
    let mut net = ring_main(10);
    let dice: Vec<f64> = (0..97).map(|k| f64::from(k * 37 % 101) / 101.0).collect();
    scatter(&mut net, &dice);
    net.solve().unwrap();
    let mut other = net.clone();
    for step in 0..200 {
        for n in [&mut net, &mut other] {
            n.set_head(NodeId(1), 10.0 + f64::from(step % 17) * 0.1);
            n.solve().unwrap();
            n.carry(0.1);
        }
    }
    for link in net.links() {
        assert_eq!(net.flow(link).to_bits(), other.flow(link).to_bits());
    }
    for node in net.nodes() {
        assert_eq!(net.temperature(node).to_bits(), other.temperature(node).to_bits());
    }
}

/// Prints timings (run with `--nocapture`, `--release` for real ones); holds only the count of iterations.
#[test]
fn effort() {
    let mut net = ring_main(10);
    for link in net.links() {
        net.set_pump(link, 1.0, 1.0);
    }
    let cold = net.clone();
    let (n, mut cold_iterations) = (200, 0);
    let clock = std::time::Instant::now();
    for _ in 0..n {
        net.clone_from(&cold);
        cold_iterations = net.solve().unwrap().iterations;
    }
    let cold_time = clock.elapsed() / n;
    let mut warm_iterations = 0;
    let clock = std::time::Instant::now();
    for k in 0..n {
        net.set_head(NodeId(1), 12.0 + 0.001 * f64::from(k % 2));
        warm_iterations = warm_iterations.max(net.solve().unwrap().iterations);
    }
    let warm_time = clock.elapsed() / n;
    let clock = std::time::Instant::now();
    for _ in 0..n {
        net.carry(0.1);
    }
    let carry_time = clock.elapsed() / n;
    println!(
        "40 junctions, {} links: cold {cold_time:?} in {cold_iterations} iterations (with copying the network), warm {warm_time:?} in {warm_iterations}, carrying heat {carry_time:?}",
        net.links().count()
    );
    assert!(cold_iterations < 25 && warm_iterations <= 3);
}
