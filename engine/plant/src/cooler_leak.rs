//! A hole in a tube of a cooler: water runs from the side of the higher pressure to the other.
//!
//! Equations: `m = C A sqrt(2 rho dp)` with the pressures at the two outlets and the density of the side that gives,
//! C 0.6 (a sharp-edged hole; handbook). What has left one circuit in a tick enters the other in the next, with
//! the same mass and energy; [`CoolerLeak::crossed`] tells the ledger what is on its way, and what found no room.
//! Units: kg, J, m2, s.

use crate::liquid::Network;
use crate::parts::{CoolerPart, Parts};
use base::tick::TICK_SECONDS as DT;

/// Coefficient of discharge.
const DISCHARGE: f64 = 0.6;

/// The hole and what went through it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CoolerLeak {
    /// Its area, m2: a failing.
    pub area: f64,
    /// What left the side of the higher pressure in the last tick, kg/s and W; negative from cold to hot.
    moves: (f64, f64),
    /// What is set on the circuits now.
    set: bool,
    /// What left either side and what entered the other since the start, kg and J.
    left: (f64, f64),
    entered: (f64, f64),
}

base::kept!(CoolerLeak { area, moves, set, left, entered });

impl CoolerLeak {
    /// What has come in less what has left the circuits by the hole, kg and J: what is on its way, negative.
    pub fn crossed(&self) -> (f64, f64) {
        (self.entered.0 - self.left.0, self.entered.1 - self.left.1)
    }
}

impl CoolerPart {
    /// Mass flow through the hole, kg/s, from hot to cold.
    fn through(&self, hot: &Network, cold: &Network) -> f64 {
        let dp = hot.pressure(self.hot.to) - cold.pressure(self.cold.to);
        let density = if dp >= 0.0 { hot.fluid().density() } else { cold.fluid().density() };
        DISCHARGE * self.leak.area * (2.0 * density * dp.abs()).sqrt().copysign(dp)
    }
}

impl Parts {
    fn leaking(&mut self, i: usize) -> Option<(&mut CoolerPart, &mut Network, &mut Network)> {
        let c = &mut self.coolers[i];
        if c.leak.area == 0.0 && !c.leak.set {
            return None;
        }
        let [hot, cold] = self.circuits.get_disjoint_mut([c.hot.circuit, c.cold.circuit]).ok()?;
        Some((c, hot, cold))
    }

    /// Before the circuits are solved: what leaves one side, and what left it in the tick before enters the other.
    pub fn leak_between(&mut self) {
        for i in 0..self.coolers.len() {
            let Some((c, hot, cold)) = self.leaking(i) else { continue };
            let flow = c.through(hot, cold);
            let (moved, energy) = c.leak.moves;
            c.leak.set = c.leak.area > 0.0 || moved != 0.0;
            let (hot_at, cold_at) = (c.hot.to, c.cold.to);
            // Out of the giving side now, into the other what left before; where the sense turned, both are at rest.
            let gives = |net: &mut Network, at, out: f64, back: f64, energy: f64| {
                let volume = if back > 0.0 { -back } else { out.max(0.0) } / net.fluid().density();
                if back > 0.0 {
                    net.set_enthalpy(at, energy / back);
                }
                net.set_demand(at, volume);
            };
            gives(hot, hot_at, flow, -moved, -energy);
            gives(cold, cold_at, -flow, moved, energy);
        }
    }

    /// After they carried heat: what really left and entered.
    pub fn leaked_between(&mut self) {
        for i in 0..self.coolers.len() {
            let Some((c, hot, cold)) = self.leaking(i) else { continue };
            let hot = (hot.boundary_mass_flow(c.hot.to), hot.boundary_energy_flow(c.hot.to));
            let cold = (cold.boundary_mass_flow(c.cold.to), cold.boundary_energy_flow(c.cold.to));
            let leak = &mut c.leak;
            leak.moves = (0.0, 0.0);
            for (side, sense) in [(hot, 1.0), (cold, -1.0)] {
                if side.0 < 0.0 {
                    leak.moves.0 -= sense * side.0;
                    leak.moves.1 -= sense * side.1;
                    leak.left.0 -= side.0 * DT;
                    leak.left.1 -= side.1 * DT;
                } else {
                    leak.entered.0 += side.0 * DT;
                    leak.entered.1 += side.1 * DT;
                }
            }
        }
    }
}
