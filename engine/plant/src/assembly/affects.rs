//! The graph of what affects what, from what was assembled: the links that the file names, by the roles that the
//! assembly gives them, and what joins parts without a link (feeders, drive air, the points of a component).

use super::{Guard, Offers};
use crate::affects::{Affects, By};
use crate::machines::Drive;
use crate::parts::Parts;
use base::description::{Component, Description};

/// Kinds that only hold others together, or belong to the panel.
const NO_PARTS: &[&str] = &["circuit", "place", "lamp", "gauge", "alarm"];
/// Kinds whose state nothing changes: what stands behind them is not felt.
const FIXED: &[&str] = &["outside", "open air"];

/// The graph of an assembled plant. `valves` are the tags of its valves in order.
pub fn graph(d: &Description, parts: &Parts, offers: &Offers, valves: &[String]) -> Affects {
    let mut a = Affects::default();
    let system = |c: &Component| d.systems.iter().position(|s| s.0 == c.system).unwrap_or(0);
    for c in d.components.iter().filter(|c| !NO_PARTS.contains(&c.kind.as_str())) {
        a.thing(&c.tag, &c.name, system(c));
        if c.kind == "cooler" {
            for side in ["hot", "cold"] {
                a.thing(&side_of(c, side), &format!("{}, {side} side", c.name), system(c));
                // Its wall: one hand from side to side, none from the wall to either.
                a.acts(&side_of(c, side), &c.tag, By::Heat);
                a.acts(&c.tag, &side_of(c, side), By::Flow);
            }
        }
    }
    offered(&mut a, offers);
    for c in &d.components {
        for (role, to) in &c.links {
            let other = d.components.iter().find(|o| o.tag == to.as_str());
            if let Some(other) = other {
                link(&mut a, d, c, role, other);
            }
        }
    }
    supplies(&mut a, d, parts, valves);
    guards(&mut a, d, parts, offers);
    turbine(&mut a, d);
    a
}

fn side_of(c: &Component, side: &str) -> String {
    format!("{} {side} side", c.tag)
}

/// Points, controls and what can fail stand beside their component where they have tags of their own.
fn offered(a: &mut Affects, offers: &Offers) {
    let owner = |tag: &base::Tag| offers.owners.get(tag).map(String::as_str);
    for p in &offers.points {
        a.thing(p.tag.as_str(), &p.name, p.system);
        if let Some(of) = owner(&p.tag) {
            a.acts(of, p.tag.as_str(), By::Signal);
        }
    }
    for c in &offers.controls {
        a.thing(c.tag.as_str(), &c.name, c.system);
        if let Some(of) = owner(&c.tag) {
            a.acts(c.tag.as_str(), of, By::Signal);
        }
    }
    for f in &offers.failings {
        if let Some(of) = owner(&f.on) {
            a.acts(f.on.as_str(), of, By::Signal);
        }
    }
}

/// What a link means. Roles that are not named here join nothing that is felt.
fn link(a: &mut Affects, d: &Description, c: &Component, role: &str, other: &Component) {
    let (me, it) = (c.tag.as_str(), other.tag.as_str());
    match (c.kind.as_str(), role) {
        ("cooler", _) => flow(a, &side_of(c, role.split(' ').next().unwrap_or_default()), other, role.ends_with("to")),
        ("pump", "driven by") => a.both(me, it, By::Shaft),
        ("thermostatic valve", "feels") => a.acts(it, me, By::Heat),
        ("heat load", "by") => a.acts(me, it, By::Heat),
        ("compressor", "to") | ("air drain", "of") | ("vacuum pump", "of") => a.both(me, it, By::Flow),
        ("superheater", "from") | ("draught fan", "blows") | ("burner", "into") => a.both(me, it, By::Flow),
        ("into drum", "of") => a.both(me, it, By::Fall),
        ("compressor", "cooled by") | ("heating coil", "in") | ("furnace", _) | ("turbine oil", "cooled by") => {
            a.both(me, it, By::Heat);
        }
        ("burner", "nozzle" | "atomised at") => a.acts(it, me, By::Fall),
        // The lance burns in the same flame, of which the burner tells.
        ("heavy-oil lance", "of") => a.both(me, it, By::Flow),
        ("heavy-oil lance", "nozzle" | "oil at" | "steam" | "air") => a.acts(it, me, By::Fall),
        ("heavy-oil lance", "flow" | "low fuel" | "fuel" | "shut-off") => lance(a, d, c, role, other),
        ("burner management", "burner" | "fan") => {
            a.acts(me, it, By::Order);
            a.acts(it, me, By::Signal);
            for role in ["fuel", "shut-off", "into"] {
                match (role, other.links.get(role)) {
                    // It reads the furnace's temperature for the volumes of air that passed.
                    ("into", Some(furnace)) => a.acts(furnace.as_str(), me, By::Signal),
                    (_, Some(valve)) => a.acts(me, valve.as_str(), By::Order),
                    _ => {}
                }
            }
        }
        ("firing master", "burner management") => {
            a.acts(me, it, By::Order);
            a.acts(it, me, By::Signal);
        }
        ("firing master", "fuel valve") | (_, "moves") => a.acts(me, it, By::Order),
        // Lost vacuum shuts the dump valve.
        ("condenser", "vacuum") => {
            if let Some(valve) = c.links.get("dump valve") {
                a.acts(it, valve.as_str(), By::Order);
            }
        }
        ("burner management" | "firing master" | "trip gear", _) if is_instrument(other) => a.acts(it, me, By::Signal),
        (_, "measures" | "steam flow" | "feed flow" | "on") if is_instrument(other) => a.acts(it, me, By::Signal),
        ("standby start", "first") => a.acts(it, me, By::Signal),
        ("standby start", "second") => {
            a.acts(me, it, By::Order);
            a.acts(it, me, By::Signal);
        }
        ("push button", "of") => a.acts(me, it, By::Signal),
        ("generator" | "shore supply", "to") | ("ship load", "on") | ("battery", "charged from") => {
            a.both(me, it, By::Power);
        }
        ("tie breaker" | "feeder", "from" | "to") => a.both(me, it, By::Power),
        ("diesel engine" | "turbine", "drives") => a.both(me, it, By::Shaft),
        ("diesel engine", "fuel") => a.both(me, it, By::Fall),
        ("diesel engine" | "generator" | "condenser", "cooled by") => a.both(me, it, By::Heat),
        ("diesel engine", "started by") => a.both(me, it, By::Air),
        ("condenser", "hotwell") => a.both(me, it, By::Fall),
        ("turbine bearing" | "turning gear", "of") => a.both(me, it, By::Flow),
        ("turbine governor" | "trip gear", "of") => {
            a.acts(me, it, By::Order);
            a.acts(it, me, By::Signal);
        }
        ("transmitter" | "switch" | "gauge glass" | "first-cause contact", "of") => a.acts(it, me, By::Signal),
        // Steam that blows into an open tank has the air before it, and the tank cannot hold it back.
        ("steam valve" | "steam trap" | "steam orifice", "to") if other.kind == "tank" => a.acts(me, it, By::Fall),
        (_, "from" | "from cooler" | "from by-pass") => flow(a, me, other, false),
        (_, "to") => flow(a, me, other, true),
        _ => {}
    }
}

fn is_instrument(c: &Component) -> bool {
    matches!(c.kind.as_str(), "transmitter" | "switch")
}

/// A way and what stands at its end.
fn flow(a: &mut Affects, way: &str, end: &Component, into: bool) {
    let end_tag = end.tag.as_str();
    match end.kind.as_str() {
        fixed if FIXED.contains(&fixed) => a.acts(end_tag, way, By::Flow),
        // What runs into a tank is felt by its level, and by its level again on other ways.
        "tank" => {
            a.acts(way, end_tag, By::Fall);
            a.acts(end_tag, way, By::Flow);
        }
        "into drum" if into => {
            a.acts(way, end_tag, By::Flow);
            a.acts(end_tag, way, By::Flow);
        }
        _ => a.both(way, end_tag, By::Flow),
    }
}

/// What the lance brings to burner management and firing master: instruments, and valves that they move.
fn lance(a: &mut Affects, d: &Description, c: &Component, role: &str, other: &Component) {
    let burner = c.links.get("of").map_or("", |t| t.as_str());
    let of_burner = |m: &&Component| m.links.get("burner").is_some_and(|b| b.as_str() == burner);
    for m in d.components.iter().filter(|m| m.kind == "burner management").filter(of_burner) {
        let named = |x: &&Component| x.links.get("burner management").is_some_and(|t| t.as_str() == m.tag);
        let masters = d.components.iter().filter(named).map(|x| x.tag.as_str());
        for who in std::iter::once(m.tag.as_str()).chain(masters) {
            match role {
                "flow" | "low fuel" => a.acts(&other.tag, who, By::Signal),
                _ => a.acts(who, &other.tag, By::Order),
            }
        }
        a.acts(&m.tag, &c.tag, By::Order);
    }
}

/// Electric supply and drive air.
fn supplies(a: &mut Affects, d: &Description, parts: &Parts, valves: &[String]) {
    let header = parts.air.header.map(|h| parts.air.vessels[h].tag.clone());
    for (tag, v) in valves.iter().zip(&parts.valves) {
        if let (Drive::Pneumatic { .. }, Some(header)) = (v.actuator.params().drive, &header) {
            a.both(header.as_str(), tag, By::Air);
        }
    }
    let Some(e) = &parts.electrical else { return };
    let bus = |i: usize| e.tags.buses[i].as_str();
    for (tag, v) in valves.iter().zip(&parts.valves) {
        if matches!(v.actuator.params().drive, Drive::Electric) {
            a.acts(bus(e.feeders.valves), tag, By::Power);
        }
    }
    for (p, i) in parts.pumps.iter().zip(&e.feeders.pumps).filter(|(p, _)| p.driven.is_none()) {
        a.both(bus(*i), p.tag.as_str(), By::Power);
    }
    for (m, i) in parts.air.machines.iter().zip(&e.feeders.compressors).filter(|(m, _)| !m.by_hand) {
        a.both(bus(*i), m.tag.as_str(), By::Power);
    }
    for c in &d.components {
        let fed = match c.kind.as_str() {
            "electric heater" => e.feeders.heaters,
            "vacuum pump" => e.feeders.vacuum_pumps,
            "draught fan" => e.feeders.fan,
            // Priming pump and trip gear's supply; the motor of the turning gear.
            "turbine oil" | "turning gear" | "turbine governor" => e.feeders.valves,
            _ => continue,
        };
        a.both(bus(fed), &c.tag, By::Power);
    }
    // The board's own gear: synchronising, relays, preferential trip, sequential restart.
    let board = e.tags.board.as_str();
    for b in &e.tags.buses {
        a.acts(b.as_str(), board, By::Signal);
    }
    for c in &d.components {
        let restarted = || {
            d.components.iter().any(|f| f.kind == "feeder" && f.links.get("to").is_some_and(|t| t.as_str() == c.tag))
        };
        match c.kind.as_str() {
            "generator" | "diesel engine" | "tie breaker" | "shore supply" => {
                a.acts(board, &c.tag, By::Order);
                a.acts(&c.tag, board, By::Signal);
            }
            "battery" => {
                a.both(board, &c.tag, By::Power);
            }
            "ship load" => {
                a.acts(board, &c.tag, By::Order);
                a.acts(&c.tag, board, By::Power);
            }
            "pump" | "compressor" if restarted() => a.acts(board, &c.tag, By::Order),
            _ => {}
        }
    }
}

/// A latched trip stands at the part that it guards.
fn guards(a: &mut Affects, d: &Description, parts: &Parts, offers: &Offers) {
    for (trip, guard) in offers.trips.iter().zip(&offers.guards) {
        let of_kind = |kind: &str| d.components.iter().find(|c| c.kind == kind).map(|c| c.tag.clone());
        let e = parts.electrical.as_ref();
        let part = match guard {
            Guard::Boiler => of_kind("burner management"),
            Guard::Turbine => of_kind("trip gear"),
            Guard::Compressor(i) => Some(parts.air.machines[*i].tag.to_string()),
            Guard::Relays(i) => e.map(|e| e.tags.sets[*i].to_string()),
            Guard::Engine(i) => e.and_then(|e| e.tags.engines[*i].as_ref()).map(ToString::to_string),
            Guard::Shore(i) => e.map(|e| e.tags.shores[*i].to_string()),
        };
        if let Some(part) = part {
            let system = a.find(&base::Tag::new(&part)).map_or(0, |t| t.system);
            a.thing(trip.tag.as_str(), &trip.name, system);
            a.acts(&part, trip.tag.as_str(), By::Signal);
        }
    }
}

/// What belongs to the turbine without a link: its oil, and the breaker that its trip opens.
fn turbine(a: &mut Affects, d: &Description) {
    let Some(t) = d.components.iter().find(|c| c.kind == "turbine") else { return };
    for c in &d.components {
        match c.kind.as_str() {
            "turbine oil" => a.both(&c.tag, &t.tag, By::Flow),
            "trip gear" | "turbine governor" => {
                if let Some(generator) = t.links.get("drives") {
                    a.both(&c.tag, generator.as_str(), By::Order);
                }
            }
            _ => {}
        }
    }
}
