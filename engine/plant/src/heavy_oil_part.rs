//! Heavy oil at the burner: which fuel is chosen, and what the lance makes of it.

use crate::assembly::{LiquidLink, LiquidNode};
use crate::boiler::AtomiserParams;
use crate::liquid::{Network, Walther};
use crate::parts::{BoilerPart, Parts};
use crate::registry::PointId;
use crate::steam::NodeId;
use base::units::ATMOSPHERE;

/// The lance for heavy oil beside the pressure jet for diesel oil.
#[derive(Clone, Debug)]
pub struct LancePart {
    pub atomiser: AtomiserParams,
    /// Oil through it.
    pub nozzle: LiquidLink,
    pub shut_off: usize,
    pub fuel_valve: usize,
    /// Where the oil comes to the lance.
    pub oil: LiquidNode,
    /// What atomises: a steam space, a volume of air, or whichever of both has more pressure.
    pub steam: Option<NodeId>,
    pub air: Option<usize>,
    /// Signals of its oil flow and its low fuel pressure.
    pub flow: PointId,
    pub low_fuel: PointId,
    /// Heavy oil is chosen at the panel.
    pub chosen: bool,
}

base::kept!(LancePart { chosen } fixed { atomiser, nozzle, shut_off, fuel_valve, oil, steam, air, flow, low_fuel });

/// What comes out of both burners' nozzles on a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fed {
    /// All fuel, kg/s.
    pub fuel: f64,
    /// Heavy oil in it, kg/s.
    pub residual: f64,
    /// How well the heavy oil is atomised, 0 to 1.
    pub goodness: f64,
    /// Temperature of the fuel, K.
    pub temperature: f64,
}

impl LancePart {
    /// Viscosity of the oil at the lance, m2/s.
    pub fn viscosity(&self, net: &Network) -> f64 {
        net.viscosity_at(self.oil.node)
    }
}

impl Parts {
    /// The fuel that is fed.
    pub fn fuel_fed(&self, b: &BoilerPart) -> Fed {
        let net = &self.circuits[b.nozzle.circuit];
        let fuel = net.mass_flow(b.nozzle.link).max(0.0);
        let temperature = net.temperature(net.upstream(b.nozzle.link));
        let only = Fed { fuel, residual: 0.0, goodness: 1.0, temperature };
        let Some(lance) = &b.lance else { return only };
        let net = &self.circuits[lance.nozzle.circuit];
        let residual = net.mass_flow(lance.nozzle.link).max(0.0);
        if residual <= 0.0 {
            return only;
        }
        let furnace = ATMOSPHERE + b.draught.furnace_pressure();
        let steam = lance.steam.map_or(0.0, |n| self.steam.p(n));
        let air = lance.air.map_or(0.0, |v| self.air.vessels[v].receiver.pressure());
        let goodness = lance.atomiser.goodness(steam.max(air) - furnace, lance.viscosity(net));
        let warm = net.temperature(net.upstream(lance.nozzle.link));
        let temperature = (fuel * temperature + residual * warm) / (fuel + residual);
        Fed { fuel: fuel + residual, residual, goodness, temperature }
    }
}

impl Network {
    /// Viscosity of the liquid at a node, m2/s.
    #[must_use]
    pub fn viscosity_at(&self, node: crate::liquid::NodeId) -> f64 {
        self.fluid().viscosity_law().map_or(self.fluid().viscosity(), |l: Walther| l.at(self.temperature(node)))
    }
}
