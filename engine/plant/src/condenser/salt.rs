//! Salt on its way with the feed water: from a leaking tube through hotwell, tanks and lines to the drum.
//!
//! Equations: every node of a circuit holds a mass of salt `s`, of the concentration `x = s/m` in its water;
//! a link moves `x_up m dt` in a tick from its upstream node to the other. Explicit in time: what leaves a
//! node in a tick is at most what it holds, so that nothing is lost or made whatever the flows. Steam takes no
//! salt along; moisture and blowdown do, in the concentration of the drum's water. Where the plant ends (a
//! main, the overflow of a tank) what leaves is gone and what comes in is free of salt.
//! The salt is part of the water's mass and energy elsewhere; here is only how much of it there is.
//!
//! Conductivity, at 25 degC as instruments give it: `k = L c`, `L = 126.4 - 89.1 sqrt(c)/(1 + sqrt(c))` in S cm2/mol,
//! c in mol/l of sodium chloride, 58.44 g/mol: the limiting conductivity and Onsager's slope of NaCl, with the
//! usual denominator for stronger solutions (constants from the CRC handbook, from memory); within 2 % of its
//! table to 0.1 mol/l and of sea water's 53 mS/cm. To it comes what treatment chemicals and carbon dioxide give,
//! 3 uS/cm (own choice).
//! Units: kg, kg/kg, S/m (1 uS/cm is 1e-4 S/m).

use crate::liquid::{Network, NodeId};
use base::maths::sqrt;

/// Salt in sea water, kg/kg: 35 g/kg, the standard sea water of TEOS-10 (35.165), rounded as in the trade.
pub const SEA: f64 = 0.035;
/// Conductivity of condensate without salt, S/m: own choice.
pub const CLEAN: f64 = 3e-4;

/// Conductivity at 25 degC of water with a mass fraction of salt, S/m.
#[must_use]
pub fn conductivity(salt: f64) -> f64 {
    let c = salt.max(0.0) * 1e3 / 58.44;
    let root = sqrt(c);
    CLEAN + 0.1 * c * (126.4 - 89.1 * root / (1.0 + root))
}

/// Salt that crossed the boundary since the start, kg.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Crossed {
    /// Came in with leaks.
    pub came: f64,
    /// Left with blowdown, moisture, overflow.
    pub left: f64,
}

base::kept!(Crossed { came, left });

/// The salt of one circuit and of the drum that it feeds.
#[derive(Clone, Debug, PartialEq)]
pub struct Salt {
    /// By node of the circuit, kg.
    at: Vec<f64>,
    /// In the drum, kg.
    drum: f64,
    crossed: Crossed,
    /// Room for a tick: water that leaves a node, salt that comes to it.
    leaves: Vec<f64>,
    change: Vec<f64>,
}

base::kept!(Salt { at, drum, crossed, leaves, change });

impl Salt {
    /// A circuit without salt.
    #[must_use]
    pub fn none(net: &Network) -> Salt {
        let nodes = net.nodes().count();
        Salt {
            at: vec![0.0; nodes],
            drum: 0.0,
            crossed: Crossed::default(),
            leaves: vec![0.0; nodes],
            change: vec![0.0; nodes],
        }
    }

    /// All that is held, kg.
    #[must_use]
    pub fn held(&self) -> f64 {
        self.at.iter().sum::<f64>() + self.drum
    }

    /// What crossed.
    #[must_use]
    pub fn crossed(&self) -> Crossed {
        self.crossed
    }

    /// Salt at a node, kg.
    #[must_use]
    pub fn at(&self, node: NodeId) -> f64 {
        self.at[node.0 as usize]
    }

    /// Salt in the drum, kg.
    #[must_use]
    pub fn drum(&self) -> f64 {
        self.drum
    }

    /// Salt comes in from outside at a node (a tank), kg.
    pub fn bring(&mut self, node: NodeId, salt: f64) {
        self.at[node.0 as usize] += salt;
        self.crossed.came += salt;
    }

    /// A part of a node's salt leaves the plant (overflow of a tank).
    pub fn leave(&mut self, node: NodeId, part: f64) {
        let gone = self.at[node.0 as usize] * part.clamp(0.0, 1.0);
        self.at[node.0 as usize] -= gone;
        self.crossed.left += gone;
    }

    /// What has come to the circuit's end at the drum goes into it.
    pub fn feed_drum(&mut self, inlet: NodeId) {
        self.drum += std::mem::take(&mut self.at[inlet.0 as usize]);
    }

    /// A part of the drum's salt leaves with its water (blowdown, moisture).
    pub fn leave_drum(&mut self, part: f64) {
        let gone = self.drum * part.clamp(0.0, 1.0);
        self.drum -= gone;
        self.crossed.left += gone;
    }

    /// Carries salt along for `dt` seconds with the flows of the last solve. `mass` is the water of a node, kg;
    /// `None` where the plant ends. A node of no mass passes on what comes to it on the next tick.
    pub fn carry(&mut self, net: &Network, mass: impl Fn(NodeId) -> Option<f64>, dt: f64) {
        if self.at.iter().all(|s| *s == 0.0) {
            return;
        }
        self.leaves.fill(0.0);
        self.change.fill(0.0);
        let moved = |link| {
            let m = net.mass_flow(link) * dt;
            let (from, to) = net.ends(link);
            if m >= 0.0 { (m, from, to) } else { (-m, to, from) }
        };
        for link in net.links() {
            let (m, up, _) = moved(link);
            self.leaves[up.0 as usize] += m;
        }
        for link in net.links() {
            let (m, up, down) = moved(link);
            let i = up.0 as usize;
            if m == 0.0 || self.at[i] == 0.0 {
                continue;
            }
            let Some(held) = mass(up) else { continue };
            let salt = self.at[i] * m / held.max(self.leaves[i]);
            self.change[i] -= salt;
            if mass(down).is_some() {
                self.change[down.0 as usize] += salt;
            } else {
                self.crossed.left += salt;
            }
        }
        for (at, change) in self.at.iter_mut().zip(&self.change) {
            // Rounding of a node that gave all it had.
            *at = (*at + change).max(0.0);
        }
    }
}
