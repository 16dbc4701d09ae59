//! The condenser's shell and hotwell: what goes in and out of the vessel beside the branches of the steam net.
//!
//! Equations, each a flow of mass with its enthalpy, the same number on both sides:
//! - condensate falls into the hotwell, `m_l / tau` with `m_l` the liquid in the shell and `tau` 2 s (own choice:
//!   the film and rain in a bundle), at the shell's temperature, which is saturation at the steam's partial pressure:
//!   air sub-cools it below saturation at the whole pressure (Dalton);
//! - a full hotwell takes no more: condensate backs up and floods the lower tubes, which condense no
//!   more; water above its top flows back into the shell;
//! - a hotwell warmer than saturation at the shell's pressure boils: `m c (T - T_sat(p)) / (r tau_b)`, `tau_b` 5 s
//!   (own choice), `r` the heat of evaporation, so that a falling pressure is held up by flashing;
//! - air extraction, a leak of cooling water. Exhaust, dumped steam and air come by branches of the net.
//!
//! Leak of a tube: `m = sqrt(2 rho (p_w - p))` times the hole's area and 0.6 (sharp-edged hole, handbook), told here as a flow.
//! Assumptions: shell steel follows the steam only by the metal given to the vessel; the hotwell is mixed.
//! Valid range: as the vessel's. Units: SI.

use super::extraction::{Draw, Suction};
use super::tubes::{CoolingWater, Tubes, TubesParams};
use crate::steam::{Inflow, Wall};
use crate::vessel::Equilibrium;
use crate::water;

/// Time in which condensate falls into the hotwell, s.
const FALL: f64 = 2.0;
/// Time in which an overheated hotwell boils off, s.
const BOIL: f64 = 5.0;
/// Part of the hotwell's height from which it takes less, and at which it takes nothing.
const FULL: (f64, f64) = (0.95, 0.97);
/// Discharge of a sharp-edged hole (handbook).
const HOLE: f64 = 0.6;

/// A condenser's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShellParams {
    /// Tubes.
    pub tubes: TubesParams,
    /// Volume of the shell above the hotwell, m3.
    pub volume: f64,
    /// Temperature of the air cooler above the inlet of the water, as a part of the shell's.
    pub approach: f64,
}

/// The hotwell below the shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Below {
    /// Water, kg.
    pub mass: f64,
    /// Water when it is full, kg.
    pub most: f64,
    /// Temperature, K.
    pub temperature: f64,
    /// Enthalpy of its water, J/kg.
    pub enthalpy: f64,
}

/// Water that went from the shell to the hotwell (negative: came back) in a second.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Taken {
    /// kg/s.
    pub water: f64,
    /// W.
    pub energy: f64,
}

base::kept!(Taken { water, energy });

/// A condenser and its state beside the vessel's own.
#[derive(Clone, Debug, PartialEq)]
pub struct Condenser {
    params: ShellParams,
    /// Its tubes.
    pub tubes: Tubes,
    /// Failing: area of a hole in a tube, m2.
    pub hole: f64,
    /// Heat on its way to the cooling water, J.
    heat: f64,
}

base::kept!(Condenser { tubes, hole, heat } fixed { params });

impl Condenser {
    /// A condenser with clean and sound tubes.
    #[must_use]
    pub fn new(params: ShellParams) -> Condenser {
        Condenser { params, tubes: Tubes::new(params.tubes), hole: 0.0, heat: 0.0 }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> ShellParams {
        self.params
    }

    /// What the air extraction finds.
    #[must_use]
    pub fn suction(&self, shell: &Equilibrium, water: CoolingWater) -> Suction {
        Suction::of(shell, water.temperature, self.params.approach)
    }

    /// Flow of cooling water through the hole, kg/s, at the water's pressure (Pa) and density (kg/m3).
    #[must_use]
    pub fn leak(&self, shell: &Equilibrium, pressure: f64, density: f64) -> f64 {
        HOLE * self.hole * (2.0 * density * (pressure - shell.p).max(0.0)).sqrt()
    }

    /// Sets the wall for the coming step: the film by the shell's state, and what lies beyond the metal.
    pub fn set_wall(&self, wall: &mut Wall, shell: &Equilibrium, water: CoolingWater) {
        let flooded = shell.liquid_volume / self.params.volume;
        let film = self.tubes.steam_side(shell, wall.t, flooded);
        wall.dry = film;
        wall.wet = film;
        wall.loss = self.tubes.beyond_metal(film, water, flooded);
        wall.ambient = water.temperature;
    }

    /// Water between shell and hotwell in the coming step.
    #[must_use]
    pub fn fall(&self, shell: &Equilibrium, below: &Below) -> Taken {
        let filled = below.mass / below.most;
        let room = ((FULL.1 - filled) / (FULL.1 - FULL.0)).clamp(0.0, 1.0);
        let down = room * shell.liquid_mass / FALL;
        let mut taken = Taken { water: down, energy: down * shell.h_l };
        let over = (below.mass - FULL.1 * below.most).max(0.0) / FALL;
        taken.water -= over;
        taken.energy -= over * below.enthalpy;
        let boils = if shell.p < water::P_MAX { water::t_sat(shell.p.max(P_LEAST)) } else { below.temperature };
        if below.temperature > boils {
            let s = water::saturation_at_t(below.temperature);
            let steam = below.mass * HEAT_CAPACITY * (below.temperature - boils) / ((s.h_v - s.h_l) * BOIL);
            taken.water -= steam;
            taken.energy -= steam * s.h_v;
        }
        taken
    }

    /// Everything that comes to the vessel in the coming step but by branches: the leak, less what falls into the
    /// hotwell and what is drawn.
    #[must_use]
    pub fn inflow(&self, taken: Taken, drawn: Draw, leak: Taken) -> Inflow {
        Inflow {
            water: leak.water - taken.water - drawn.water,
            air: -drawn.air,
            energy: leak.energy - taken.energy - drawn.energy,
        }
    }

    /// Takes the heat, J, that the wall lost in the step; it goes to the cooling water with the next solution of its circuit.
    pub fn settle(&mut self, heat: f64) {
        self.heat = heat;
    }

    /// Heat on its way to the cooling water, J.
    #[must_use]
    pub fn heat(&self) -> f64 {
        self.heat
    }
}

/// Lowest pressure at which boiling is asked for, Pa: the tables begin at the triple point.
const P_LEAST: f64 = 620.0;
/// Heat capacity of the hotwell's water, J/(kg K): feed water's.
const HEAT_CAPACITY: f64 = 4190.0;
