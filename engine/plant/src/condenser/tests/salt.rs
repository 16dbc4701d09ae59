//! Salt is moved, never made or lost.

use super::*;
use crate::liquid::{Characteristic, Fluid, LinkKind, NetworkBuilder};

#[test]
fn conductivity_is_that_of_common_salt_and_of_sea_water() {
    // Molar conductivity of NaCl at 25 degC, S cm2/mol: CRC handbook, from memory.
    for (c, molar) in [(0.001, 123.7), (0.01, 118.5), (0.1, 106.7)] {
        let k = conductivity(c * 58.44e-3) - crate::condenser::salt::CLEAN;
        assert!((k / (0.1 * c * molar) - 1.0).abs() < 0.02, "{c} mol/l: {k}");
    }
    assert!((conductivity(0.035) / 5.3 - 1.0).abs() < 0.05, "{}", conductivity(0.035));
    assert!((conductivity(0.0) - 3e-4).abs() < 1e-15);
}

/// A hotwell pumped round and to a tank: what comes in is held, and the tank gets what the water carries.
#[test]
fn it_follows_the_water_and_closes() {
    let mut b = NetworkBuilder::new(Fluid::FeedWater);
    let (high, low, main) = (b.reservoir("hotwell", 5.0), b.reservoir("tank", 0.0), b.reservoir("main", 3.0));
    let middle = b.junction("middle", 0.0, 0.05);
    let valve = LinkKind::ValveKv { kv: 10.0, characteristic: Characteristic::Linear };
    let out = b.link("discharge", high, middle, valve);
    b.link("to the tank", middle, low, valve);
    b.link("make-up", main, middle, valve);
    let mut net = b.build().unwrap();
    net.fill_at(300.0);
    net.solve().unwrap();
    let (mut a, mut c) = (1000.0, 500.0);
    let mut salt = Salt::none(&net);
    salt.bring(high, 2.0);
    for _ in 0..30_000 {
        salt.carry(
            &net,
            |n| {
                if n == high {
                    Some(a)
                } else if n == low {
                    Some(c)
                } else if n == main {
                    None
                } else {
                    Some(net.mass_at(n))
                }
            },
            DT,
        );
        a -= net.mass_flow(out) * DT;
        c += (net.mass_flow(out) + 0.0) * DT;
        if a < 100.0 {
            break;
        }
    }
    assert!((salt.held() - 2.0).abs() < 1e-12, "{}", salt.held());
    assert!(salt.at(low) > 1.0 && salt.at(high) < 1.0, "{} {}", salt.at(low), salt.at(high));
    // The hotwell's own concentration stays: only water with its salt leaves it.
    assert!((salt.at(high) / a / (2.0 / 1000.0) - 1.0).abs() < 1e-9);
    salt.leave(low, 0.5);
    let gone = salt.crossed().left;
    assert!(gone > 0.5 && (salt.held() + gone - 2.0).abs() < 1e-12);
    salt.feed_drum(low);
    assert!(salt.at(low) == 0.0 && salt.drum() > 0.5);
    salt.leave_drum(0.25);
    assert!((salt.held() + salt.crossed().left - salt.crossed().came).abs() < 1e-12);
}

/// However much flows in a tick through however little water, no node gives more than it has.
#[test]
fn a_node_smaller_than_a_tick_gives_no_more_than_it_has() {
    let mut b = NetworkBuilder::new(Fluid::FeedWater);
    let (high, low) = (b.reservoir("high", 50.0), b.reservoir("low", 0.0));
    let middle = b.junction("middle", 0.0, 1e-4);
    let valve = LinkKind::ValveKv { kv: 100.0, characteristic: Characteristic::Linear };
    b.link("in", high, middle, valve);
    b.link("out", middle, low, valve);
    let mut net = b.build().unwrap();
    net.solve().unwrap();
    let mut salt = Salt::none(&net);
    salt.bring(high, 1.0);
    for _ in 0..100 {
        salt.carry(&net, |n| Some(if n == middle { net.mass_at(n) } else { 100.0 }), DT);
        assert!(salt.at(middle) >= 0.0 && (salt.held() - 1.0).abs() < 1e-12);
    }
    assert!(salt.at(low) > 0.9);
}
