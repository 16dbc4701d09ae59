//! The ends of branches: what stands outside the net, and what comes to a vessel but by branches.

use super::stream::Stream;
use crate::vessel::{self, Equilibrium};
use crate::water;

/// What an outside gives when flow comes from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gives {
    /// Air of this relative humidity, 0 to 1.
    Air {
        /// Relative humidity.
        humidity: f64,
    },
    /// Steam at its pressure and temperature.
    Steam,
    /// Liquid water: an open tank whose outlet is covered.
    Water,
}

/// A place whose pressure the net does not change: the atmosphere, an open tank, a main.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outside {
    p: f64,
    t: f64,
    gives: Gives,
    stream: Stream,
}

impl Outside {
    /// An outside at a pressure, Pa, and a temperature, K.
    #[must_use]
    pub fn new(p: f64, t: f64, gives: Gives) -> Outside {
        let stream = match gives {
            Gives::Air { humidity } => {
                let p_steam = (humidity * water::p_sat(t)).min(p);
                let air = (p - p_steam) / (vessel::AIR_CONSTANT * t);
                let (steam, h) = if p_steam > 0.0 {
                    let w = water::vapour(p_steam, t);
                    (1.0 / w.v, w.h)
                } else {
                    (0.0, 0.0)
                };
                let density = air + steam;
                let h = (air * vessel::air_enthalpy(t) + steam * h) / density;
                Stream { p, density, h, air: air / density, liquid: 0.0, p_steam }
            }
            Gives::Steam => {
                let w = water::vapour(p, t);
                Stream { p, density: 1.0 / w.v, h: w.h, air: 0.0, liquid: 0.0, p_steam: p }
            }
            Gives::Water => {
                let w = water::liquid(p, t);
                Stream { p, density: 1.0 / w.v, h: w.h, air: 0.0, liquid: 1.0, p_steam: water::p_sat(t) }
            }
        };
        Outside { p, t, gives, stream }
    }

    /// The atmosphere: 101 325 Pa, so warm, K, and so humid.
    #[must_use]
    pub fn atmosphere(t: f64, humidity: f64) -> Outside {
        Outside::new(base::units::ATMOSPHERE, t, Gives::Air { humidity })
    }

    /// Whether the water tables hold there: 0 degC to 1200 degC, up to 120 bara, not below saturation for liquid.
    #[must_use]
    pub fn in_range(&self) -> bool {
        let liquid = self.gives != Gives::Water || (self.t <= water::T_MAX_LIQUID && self.p >= water::p_sat(self.t));
        self.p > 0.0 && water::in_range(self.p, self.t) && liquid
    }

    /// Its pressure, Pa.
    #[must_use]
    pub fn p(&self) -> f64 {
        self.p
    }

    /// Its temperature, K.
    #[must_use]
    pub fn t(&self) -> f64 {
        self.t
    }

    /// What it gives.
    #[must_use]
    pub fn stream(&self) -> Stream {
        self.stream
    }
}

/// What comes into a vessel but by branches (feed, a turbine's exhaust) or leaves it (negative), per second.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Inflow {
    /// Water, kg/s.
    pub water: f64,
    /// Air, kg/s.
    pub air: f64,
    /// The enthalpy they carry, W.
    pub energy: f64,
}

base::kept!(Inflow { water, air, energy });

/// Metal around a vessel that has a temperature of its own.
///
/// `C dT_w/dt = hA (T - T_w) + UA (T_ambient - T_w) + heat`, implicit in both temperatures. The coefficient to the
/// contents rises from `dry` to `wet` where steam condenses on the wall (the wall colder than saturation
/// at the steam's partial pressure; air blankets it in proportion to the square of its part of the pressure
/// missing, own choice) and where liquid covers it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// Temperature, K.
    pub t: f64,
    /// Heat capacity, J/K.
    pub capacity: f64,
    /// Conductance to gas, W/K.
    pub dry: f64,
    /// Conductance to condensing steam or liquid, W/K.
    pub wet: f64,
    /// Conductance to the ambient, W/K.
    pub loss: f64,
    /// Temperature of the ambient, K.
    pub ambient: f64,
    /// Heat put into the metal from outside, W.
    pub heat: f64,
}

base::kept!(Wall { t, capacity, dry, wet, loss, ambient, heat });

impl Wall {
    /// Conductance to the contents, W/K.
    pub(super) fn conductance(&self, e: &Equilibrium, volume: f64) -> f64 {
        // Two kelvins of sub-cooling for the film to be full: keeps a wall at saturation from chattering.
        let part = (e.p_steam / e.p.max(1.0)).min(1.0);
        let condenses = self.sub_cooled(e.p_steam) * part * part;
        let covered = (e.liquid_volume / volume).clamp(0.0, 1.0);
        self.dry + (self.wet - self.dry) * condenses.max(covered)
    }

    /// How full the film is by the wall's sub-cooling below saturation at this pressure, 0 to 1.
    fn sub_cooled(&self, p_steam: f64) -> f64 {
        // Saturation pressure at the wall tells at a fraction of the cost where the answer is none or all of it.
        const SURE: f64 = 1e-6;
        if p_steam <= 600.0 || self.t >= water::T_MAX_LIQUID || water::p_sat(self.t) > p_steam * (1.0 + SURE) {
            return 0.0;
        }
        if self.t > water::T_MIN && water::p_sat(self.t + 2.0) < p_steam * (1.0 - SURE) {
            return 1.0;
        }
        super::stream::share((water::t_sat(p_steam) - self.t) / 2.0).0
    }

    /// Heat to contents at `t`, W, over a step, and its slope by `t`.
    pub(super) fn heat_to(&self, t: f64, conductance: f64, dt: f64) -> (f64, f64) {
        let all = self.capacity + dt * (conductance + self.loss);
        let wall = (self.capacity * self.t + dt * (conductance * t + self.loss * self.ambient + self.heat)) / all;
        (conductance * (wall - t), -conductance * (self.capacity + dt * self.loss) / all)
    }

    /// The wall's temperature after it gave so much heat to the contents, and the heat lost to the ambient, W.
    pub(super) fn after(&self, to_contents: f64, dt: f64) -> (f64, f64) {
        let t = (self.capacity * self.t + dt * (self.heat - to_contents + self.loss * self.ambient))
            / (self.capacity + dt * self.loss);
        (t, self.loss * (t - self.ambient))
    }
}
