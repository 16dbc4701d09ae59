//! The turbine with its oil, joined to the steam net: what both the plant and the tests run.
//!
//! In the net: an inlet line, the casing before the stages (whose wall is the casing's inner half), the exhaust behind them; a branch from
//! the line to the casing that both valves open, and a branch of stages. Drains, source valves and exhaust valve are branches like others.

use super::machine::{Pull, Seen, Turbine};
use super::oil::Oil;
use crate::electrical::Turned;
use crate::liquid::Fluid;
use crate::machines::Side;
use crate::steam::{BranchId, NodeId, SteamNet};

/// Where the turbine is in the steam net.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ways {
    /// The inlet line.
    pub line: NodeId,
    /// The casing before the stages.
    pub casing: NodeId,
    /// The exhaust.
    pub exhaust: NodeId,
    /// From line to casing: stop valve and governor valve.
    pub admission: BranchId,
    /// From casing to exhaust: the stages.
    pub stages: BranchId,
}

/// A turbine with its oil.
#[derive(Clone, Debug)]
pub struct TurbineSet {
    /// The turbine.
    pub turbine: Turbine,
    /// Its oil.
    pub oil: Oil,
    /// Its place in the net.
    pub ways: Ways,
}

base::kept!(TurbineSet { turbine, oil } fixed { ways });

impl TurbineSet {
    /// Valves, before the net is stepped: `water` is the cooler's cold side, `live` the supply of the priming pump. Gives the heat to the water, W.
    pub fn drives(&mut self, steam: &mut SteamNet, water: Side, live: bool, dt: f64) -> f64 {
        let before = self.oil.crossed().cooled;
        self.oil.flows(self.turbine.n(), live, water, dt);
        let part = self.turbine.valves(self.oil.pressure(), dt);
        steam.set_opening(self.ways.admission, part);
        (self.oil.crossed().cooled - before) / dt
    }

    /// Heat, work and water, before the net is stepped.
    pub fn before(&mut self, steam: &mut SteamNet, ambient: f64, dt: f64) {
        let w = self.ways;
        let seen = Seen {
            line: steam.state(w.line),
            line_volume: steam.volume(w.line),
            casing: steam.state(w.casing),
            casing_volume: steam.volume(w.casing),
            exhaust: steam.state(w.exhaust),
            admission: steam.flow(w.admission),
            stages: steam.flow(w.stages),
            inner: steam.wall(w.casing).map_or(ambient, |w| w.t),
            ambient,
            mu: self.oil.mu(),
            oil_pump: self.oil.shaft_power(),
        };
        let to = self.turbine.before(&seen, dt);
        steam.set_work(w.stages, to.work);
        steam.set_heat(w.casing, to.casing);
        steam.set_heat(w.exhaust, to.exhaust);
        steam.set_carry(w.admission, to.admission_water);
        steam.set_carry(w.stages, to.stages_water);
        if let Some(wall) = steam.wall_mut(w.casing) {
            wall.heat = to.inner;
            wall.dry = to.film;
        }
    }

    /// What acts on the shaft, after the net was stepped; `live` is the supply of the turning gear.
    pub fn pull(&mut self, steam: &SteamNet, live: bool, dt: f64) -> Pull {
        let stages = steam.branch(self.ways.stages);
        self.turbine.pull(stages.worked(), stages.flow(), self.oil.pressure(), live, dt)
    }

    /// Ends the tick, after the shaft was turned.
    pub fn after(&mut self, turned: &Turned, ambient: f64, dt: f64) {
        let oil = (self.oil.bearings_flow(), self.oil.supply(), Fluid::LubeOil.heat_capacity());
        let (heat, pump) = self.turbine.after(turned, oil, ambient, dt);
        self.oil.settle(heat, pump, ambient, dt);
    }
}
