//! A strainer that chokes and can be cleaned.
//!
//! Equations: its link's loss coefficient is `K/(1 - c)^2` with c the part of free area choked; c grows
//! at the choking rate. Units: parts of one; 1/s.

use crate::liquid::{GRAVITY, LinkId, Network};

/// A strainer and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Strainer {
    /// Its link in the network.
    pub link: LinkId,
    /// Part of the free area that is choked, 0 clean to 1.
    pub choked: f64,
    /// How fast it chokes, 1/s.
    pub rate: f64,
}

impl Strainer {
    /// A clean strainer.
    #[must_use]
    pub fn new(link: LinkId) -> Strainer {
        Strainer { link, choked: 0.0, rate: 0.0 }
    }

    /// Cleans it.
    pub fn clean(&mut self) {
        self.choked = 0.0;
    }

    /// Chokes for `dt` seconds while water passes.
    pub fn step(&mut self, net: &Network, dt: f64) {
        if net.flow(self.link) != 0.0 {
            self.choked = (self.choked + self.rate * dt).min(1.0);
        }
    }

    /// Puts its state into the network before it is solved.
    pub fn drive(&self, net: &mut Network) {
        net.set_choked(self.link, self.choked);
    }

    /// Pressure drop across it, Pa: what its differential gauge measures.
    #[must_use]
    pub fn pressure_drop(&self, net: &Network) -> f64 {
        -net.head_gain(self.link) * net.fluid().density() * GRAVITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::liquid::{Fluid, LinkKind, NetworkBuilder};

    #[test]
    fn it_chokes_to_nothing_and_is_cleaned() {
        let mut b = NetworkBuilder::new(Fluid::SeaWater);
        let (sea, s, out) = (b.reservoir("sea", 0.0), b.junction("after", 0.0, 0.1), b.reservoir("out", 0.0));
        let link = b.link("strainer", sea, s, LinkKind::Strainer { diameter: 0.2, minor_loss: 3.0 });
        b.link("pipe", s, out, LinkKind::Pipe { length: 10.0, diameter: 0.2, roughness: 1e-4, minor_loss: 1.0 });
        let mut net = b.build().unwrap();
        net.set_head(sea, 3.0);
        let mut strainer = Strainer::new(link);
        strainer.rate = 0.01;
        let (mut flow, mut drop) = (f64::INFINITY, 0.0);
        for _ in 0..9 {
            strainer.drive(&mut net);
            net.solve().unwrap();
            assert!(net.flow(link) < flow && strainer.pressure_drop(&net) > drop);
            (flow, drop) = (net.flow(link), strainer.pressure_drop(&net));
            strainer.step(&net, 10.0);
        }
        strainer.choked = 1.0;
        strainer.drive(&mut net);
        net.solve().unwrap();
        assert_eq!(net.flow(link), 0.0);
        strainer.clean();
        strainer.drive(&mut net);
        net.solve().unwrap();
        assert!(net.flow(link) > flow);
    }
}
