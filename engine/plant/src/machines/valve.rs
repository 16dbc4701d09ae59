//! Valves in a liquid network: an actuator on a link, or on two for a three-way valve.
//!
//! The link's characteristic and size are the network's; here is what moves it and whether it passes
//! when shut. Passing is a part of the full flow coefficient (0 tight to 1).

use super::actuator::{Actuator, ActuatorParams};
use crate::liquid::{LinkId, Network};

/// A valve.
#[derive(Clone, Debug, PartialEq)]
pub struct Valve {
    /// Its link in the network.
    pub link: LinkId,
    /// What moves it.
    pub actuator: Actuator,
    /// Failing: part of its full flow coefficient that passes when shut.
    pub passing: f64,
}

impl Valve {
    /// A tight valve standing at a position.
    #[must_use]
    pub fn new(params: ActuatorParams, link: LinkId, position: f64) -> Valve {
        Valve { link, actuator: Actuator::new(params, position), passing: 0.0 }
    }

    /// Puts its position into the network before it is solved.
    pub fn drive(&self, net: &mut Network) {
        let setting = net.setting(self.link);
        net.set(
            self.link,
            crate::liquid::Setting { opening: self.actuator.position(), passing: self.passing, ..setting },
        );
    }
}

/// A three-way valve: what one way loses the other gains. Position 1 sends everything the straight
/// way, 0 everything the other way.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreeWayValve {
    /// The way that opens with the position.
    pub straight: LinkId,
    /// The way that shuts with it.
    pub other: LinkId,
    /// What moves it.
    pub actuator: Actuator,
    /// Failing: part of the full flow coefficient that passes through the way that is shut.
    pub passing: f64,
}

impl ThreeWayValve {
    /// A tight valve standing at a position.
    #[must_use]
    pub fn new(params: ActuatorParams, straight: LinkId, other: LinkId, position: f64) -> ThreeWayValve {
        ThreeWayValve { straight, other, actuator: Actuator::new(params, position), passing: 0.0 }
    }

    /// Puts its position into the network before it is solved.
    pub fn drive(&self, net: &mut Network) {
        let position = self.actuator.position();
        for (link, opening) in [(self.straight, position), (self.other, 1.0 - position)] {
            let setting = net.setting(link);
            net.set(link, crate::liquid::Setting { opening, passing: self.passing, ..setting });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::actuator::{Drive, Motive};
    use super::*;
    use crate::liquid::{Characteristic, Fluid, LinkKind, NetworkBuilder};

    #[test]
    fn a_three_way_valve_shares_a_nearly_steady_flow() {
        let mut b = NetworkBuilder::new(Fluid::FreshWater);
        let (from, to) = (b.reservoir("from", 0.0), b.reservoir("to", 0.0));
        let (before, cooler, bypass) =
            (b.junction("before", 0.0, 0.1), b.junction("cooler", 0.0, 0.1), b.junction("by-pass", 0.0, 0.1));
        let open = LinkKind::Valve { diameter: 0.15, minor_loss: 30.0, characteristic: Characteristic::Linear };
        let total = b.link("supply", from, before, open);
        b.link("cooler", before, cooler, open);
        b.link("by-pass", before, bypass, open);
        let kv = LinkKind::ValveKv { kv: 150.0, characteristic: Characteristic::Linear };
        let (a, c) = (b.link("straight", cooler, to, kv), b.link("other", bypass, to, kv));
        let mut net = b.build().unwrap();
        net.set_head(from, 10.0);
        let mut valve = ThreeWayValve::new(ActuatorParams { stroke: 10.0, drive: Drive::Hand }, a, c, 0.0);
        valve.actuator.set_command(1.0);
        let mut last = 0.0;
        for _ in 0..100 {
            valve.actuator.step(Motive { air: 0.0, live: false }, 0.1);
            valve.drive(&mut net);
            net.solve().unwrap();
            assert!(net.flow(a) >= last, "the straight way gains");
            last = net.flow(a);
            assert!((net.flow(a) + net.flow(c) - net.flow(total)).abs() < 1e-12);
        }
        assert_eq!(net.flow(c), 0.0);
        valve.passing = 0.05;
        valve.drive(&mut net);
        net.solve().unwrap();
        assert!(net.flow(c) > 0.0 && net.flow(c) < 0.1 * net.flow(a));
    }

    #[test]
    fn a_passing_valve_passes_when_shut() {
        let mut b = NetworkBuilder::new(Fluid::FreshWater);
        let (from, to) = (b.reservoir("from", 0.0), b.reservoir("to", 0.0));
        let kind = LinkKind::ValveKv { kv: 40.0, characteristic: Characteristic::EqualPercentage(50.0) };
        let link = b.link("valve", from, to, kind);
        let mut net = b.build().unwrap();
        net.set_head(from, 10.0);
        let mut v = Valve::new(ActuatorParams { stroke: 1.0, drive: Drive::Hand }, link, 0.0);
        v.drive(&mut net);
        net.solve().unwrap();
        assert_eq!(net.flow(link), 0.0);
        v.passing = 0.1;
        v.drive(&mut net);
        net.solve().unwrap();
        // A tenth of Kv 40 at 10 m of head: 4 sqrt(dp) m3/h by the definition of Kv.
        let drop: f64 = 10.0 * 993.0 * 9.80665 / 1e5;
        let expected = 4.0 / 3600.0 * (drop / (993.0 / 999.1)).sqrt();
        assert!((net.flow(link) / expected - 1.0).abs() < 1e-4, "{} {expected}", net.flow(link));
    }
}
