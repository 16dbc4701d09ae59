//! Heat through the walls of junctions to the room.

use super::super::{Characteristic, Fluid, LinkKind, NetworkBuilder, Setting};
use super::*;

const ROOM: f64 = 297.0;

/// 10 kg of oil behind a shut valve, 6 W/K to the room, and shaft power put in there as by a pump that delivers nothing.
fn stopped(power: f64) -> (Network, NodeId, LinkId) {
    let mut b = NetworkBuilder::new(Fluid::DieselOil);
    let tank = b.reservoir("tank", 2.0);
    let behind = b.junction("behind", 0.0, 10.0 / Fluid::DieselOil.density());
    let link = b.link("valve", tank, behind, LinkKind::ValveKv { kv: 5.0, characteristic: Characteristic::Linear });
    b.to_room(behind, 6.0);
    let mut net = b.build().unwrap();
    net.fill_at(320.0);
    net.set(link, Setting { shut: true, ..net.setting(link) });
    net.set_room(ROOM);
    net.set_shaft_power(link, power);
    net.solve().unwrap();
    (net, behind, link)
}

#[test]
fn standing_liquid_cools_by_the_exponential_law() {
    let (mut net, behind, _) = stopped(0.0);
    for _ in 0..36_000 {
        net.carry(0.1);
    }
    let time = net.mass_at(behind) * Fluid::DieselOil.heat_capacity() / 6.0;
    let expected = ROOM + (320.0 - ROOM) * base::maths::exp(-3600.0 / time);
    assert!((net.temperature(behind) - expected).abs() < 1e-3, "{} {expected}", net.temperature(behind));
}

#[test]
fn what_a_pump_churns_comes_to_power_over_conductance_and_the_account_closes() {
    let (mut net, behind, _) = stopped(600.0);
    let start = net.stored_energy();
    for _ in 0..600_000 {
        net.carry(0.1);
    }
    assert!((net.temperature(behind) - ROOM - 100.0).abs() < 0.1, "{}", net.temperature(behind));
    let a = net.account();
    let error = net.stored_energy() - start - a.energy - a.heat - a.work - a.room;
    assert!(a.room < -3e7 && error.abs() < 1e-9 * a.work, "{error} of {a:?}");
}

#[test]
fn at_the_rooms_temperature_it_comes_to_rest_and_leaves_it_when_the_room_changes() {
    let (mut net, behind, _) = stopped(0.0);
    for _ in 0..3_000_000 {
        net.carry(0.1);
    }
    let (held, room) = (net.stored_energy(), net.account().room);
    assert!((net.temperature(behind) - ROOM).abs() < 1e-9);
    for _ in 0..100 {
        net.carry(0.1);
    }
    assert_eq!((held.to_bits(), room.to_bits()), (net.stored_energy().to_bits(), net.account().room.to_bits()));
    net.set_room(ROOM + 10.0);
    for _ in 0..36_000 {
        net.carry(0.1);
    }
    assert!(net.temperature(behind) > ROOM + 3.0, "{}", net.temperature(behind));
}

/// A part that stands is worked out by itself only where nothing at all is heated: the same with a heated part beside it,
/// which goes the way in full.
#[test]
fn standing_alone_and_beside_something_heated_are_the_same_to_the_bit() {
    let run = |heated: f64| {
        let mut b = NetworkBuilder::new(Fluid::DieselOil);
        let tank = b.reservoir("tank", 2.0);
        let kind = LinkKind::ValveKv { kv: 5.0, characteristic: Characteristic::Linear };
        let [one, other] = ["one", "other"].map(|name| b.junction(name, 0.0, 0.01));
        let links = [b.link("to one", tank, one, kind), b.link("to other", tank, other, kind)];
        b.to_room(one, 6.0);
        let mut net = b.build().unwrap();
        net.fill_at(320.0);
        net.set_room(ROOM);
        links.iter().for_each(|l| net.set_shut(*l, true));
        net.set_heat(links[1], heated);
        net.solve().unwrap();
        (0..10_000).for_each(|_| net.carry(0.1));
        (net.temperature(one).to_bits(), net.account().room.to_bits(), net.temperature(other))
    };
    let (alone, beside) = (run(0.0), run(50.0));
    assert_eq!((alone.0, alone.1), (beside.0, beside.1));
    assert!(beside.2 > alone.2 + 1.0);
}

#[test]
fn a_stream_loses_what_its_wall_passes() {
    let mut b = NetworkBuilder::new(Fluid::FreshWater);
    let (high, low) = (b.reservoir("high", 5.0), b.reservoir("low", 0.0));
    let middle = b.junction("middle", 0.0, 0.01);
    let kind = LinkKind::ValveKv { kv: 2.0, characteristic: Characteristic::Linear };
    let link = b.link("in", high, middle, kind);
    b.link("out", middle, low, kind);
    b.to_room(middle, 500.0);
    let mut net = b.build().unwrap();
    net.fill_at(350.0);
    net.set_temperature(high, 350.0);
    net.set_room(ROOM);
    net.solve().unwrap();
    for _ in 0..10_000 {
        net.carry(0.1);
    }
    // One volume, mixed: m c (T_in - T) = G (T - T_room).
    let carried = net.mass_flow(link) * Fluid::FreshWater.heat_capacity();
    let expected = (carried * 350.0 + 500.0 * ROOM) / (carried + 500.0);
    assert!((net.temperature(middle) - expected).abs() < 0.02, "{} {expected}", net.temperature(middle));
}

#[test]
fn a_wall_where_none_can_be_is_told() {
    let mut b = NetworkBuilder::new(Fluid::FreshWater);
    let (tank, node) = (b.reservoir("tank", 0.0), b.junction("node", 0.0, 0.01));
    b.link("valve", tank, node, LinkKind::ValveKv { kv: 2.0, characteristic: Characteristic::Linear });
    b.to_room(tank, 5.0);
    b.to_room(node, -5.0);
    let told: Vec<String> = b.build().unwrap_err().into_iter().map(|m| m.part).collect();
    assert_eq!(told, ["tank", "node"]);
}
