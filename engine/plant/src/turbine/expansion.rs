//! What a kilogram of steam gives up in the stages, and what the turning wheels lose in it.
//!
//! With `h_1` before the stages, `h_2s` where an expansion without loss to the pressure behind ends (`water::entropy`), and
//! `H = h_1 - h_2s`:
//!
//! - Speed: blades give `H eta (2 v - v^2)`, `v` being the ratio of blade speed to steam speed as a part of its best value, so
//!   `v = n sqrt(H_n / H)` with `n` the speed as a part of rated speed: the parabola of impulse stages (S. L. Dixon, Fluid
//!   Mechanics and Thermodynamics of Turbomachinery; A. Stodola, Steam and Gas Turbines). At rest it gives no power
//!   and about twice the rated torque, and past twice the best ratio the wheel drives the steam.
//! - Moisture: one per cent less for each per cent of mean moisture (K. Baumann, 1921); the mean is half of what is there at the end, and
//!   the liquid that comes in counts in full.
//! - Leaving loss: `l (W v_2 / (W v_2)_n)^2`, the kinetic energy behind the last blades, which grows with the square of the
//!   volume that leaves: more flow or a deeper vacuum costs more of it (any turbine handbook). It stays in the steam as heat. Past the
//!   rated volume it goes on in a straight line, since the speed of leaving steam cannot pass that of sound (own choice).
//! - Windage: discs and idle blades churn the steam they turn in, `P = P_w (rho/rho_n) n^3` (Stodola), `rho` a fifth of the density before
//!   the stages and four fifths of that behind. This is a brake on the shaft and heat in the exhaust, so that a
//!   machine that is turned without steam grows hot in a poor vacuum.
//! - Air: an ideal gas, `c_p T (1 - r^(R/c_p))`, in proportion to its mass.
//!
//! Assumptions: one efficiency for the whole flow path; throttle governing (all nozzles alike). Valid: pressures from 650 Pa
//! to 40 bar. Figures: own choice in the plant file. Units: SI; J/kg; n, v and parts without unit.

use crate::vessel::AIR_CONSTANT;
use crate::water;
use base::maths::{power, sqrt};

/// Heat capacity of air at constant pressure, J/(kg K) (handbook).
const AIR_CP: f64 = 1005.0;
/// Pressure of steam below which it is so thin that its own tables are left, Pa.
const THIN: f64 = 1500.0;

/// The design point and losses of the stages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExpansionParams {
    /// Flow at rated load, kg/s.
    pub flow: f64,
    /// Pressure before the stages then, Pa.
    pub pressure: f64,
    /// Temperature there, K.
    pub temperature: f64,
    /// Pressure behind them, Pa.
    pub back_pressure: f64,
    /// Efficiency of the blades at their best speed with dry steam.
    pub efficiency: f64,
    /// Leaving loss at the rated flow and back pressure, J/kg.
    pub leaving: f64,
    /// Windage at rated speed in the rated densities, W.
    pub windage: f64,
}

/// Steam before the stages.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Inlet {
    /// Pressure, Pa.
    pub p: f64,
    /// Partial pressure of the steam, Pa.
    pub p_steam: f64,
    /// Temperature, K.
    pub t: f64,
    /// Enthalpy of the vapour, J/kg.
    pub h_vapour: f64,
    /// Density of the gas, kg/m3.
    pub density: f64,
    /// Mass of air in a kilogram of gas.
    pub air: f64,
    /// Mass of liquid in a kilogram of what flows.
    pub liquid: f64,
}

/// The stages with what follows from their design point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expansion {
    params: ExpansionParams,
    /// Drop without loss at the design point, J/kg.
    drop: f64,
    /// Densities before and behind at the design point, kg/m3.
    density: (f64, f64),
    /// Volume flow behind the stages at the design point, m3/s.
    volume: f64,
    /// Work of a kilogram at the design point, J/kg.
    work: f64,
}

base::kept!(Expansion { drop, density, volume, work } fixed { params });

/// One look at the stages.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Given {
    /// Drop without loss, J/kg.
    pub drop: f64,
    /// Work that a kilogram gives to the shaft, J/kg; negative where the wheel drives the steam.
    pub work: f64,
}

impl Given {
    /// Work as a part of the drop without loss; 0 where there is hardly a drop.
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        if self.drop > 1e3 { self.work / self.drop } else { 0.0 }
    }
}

impl Expansion {
    /// The stages of a design point.
    #[must_use]
    pub fn new(params: ExpansionParams) -> Expansion {
        let w = water::vapour(params.pressure, params.temperature);
        let h2s = water::enthalpy_of_entropy(params.back_pressure, water::entropy(params.pressure, w.h));
        let drop = w.h - h2s;
        let density = (1.0 / w.v, behind(params.back_pressure, w.h - params.efficiency * drop));
        let volume = params.flow / polytropic(density.0, params.back_pressure / params.pressure);
        let mut e = Expansion { params, drop, density, volume, work: 0.0 };
        let inlet = Inlet {
            p: params.pressure,
            p_steam: params.pressure,
            t: params.temperature,
            h_vapour: w.h,
            density: 1.0 / w.v,
            air: 0.0,
            liquid: 0.0,
        };
        e.work = e.gives(&inlet, params.back_pressure, 1.0, params.flow).work;
        e
    }

    /// The design point.
    #[must_use]
    pub fn params(&self) -> &ExpansionParams {
        &self.params
    }

    /// Work of a kilogram at the design point, J/kg.
    #[must_use]
    pub fn work_nominal(&self) -> f64 {
        self.work
    }

    /// Power of the stages at the design point, W.
    #[must_use]
    pub fn power_nominal(&self) -> f64 {
        self.work * self.params.flow
    }

    /// Density of the steam at the design point before the stages, kg/m3.
    #[must_use]
    pub fn density_nominal(&self) -> f64 {
        self.density.0
    }

    /// What a kilogram gives at a speed (part of rated), with a pressure behind (Pa) and a flow (kg/s).
    #[must_use]
    pub fn gives(&self, inlet: &Inlet, back: f64, n: f64, flow: f64) -> Given {
        // So little flow gives nothing that anybody could find.
        if back >= inlet.p || flow <= 1e-7 * self.params.flow {
            return Given::default();
        }
        let ratio = back / inlet.p;
        let air_drop = AIR_CP * inlet.t * (1.0 - power(ratio, AIR_CONSTANT / AIR_CP));
        let (mut drop, mut dryness) = (air_drop, 1.0);
        if inlet.p_steam > THIN && inlet.air < 1.0 {
            // Steam expands by the ratio of the whole; its share of the pressure stays what it is.
            let end = (inlet.p_steam * ratio).max(0.5 * THIN);
            let s = water::entropy_of_steam(inlet.p_steam, inlet.t, inlet.h_vapour);
            let (h_end, sat) = water::end_of_expansion(end, s);
            let steam_drop = inlet.h_vapour - h_end;
            drop = inlet.air * air_drop + (1.0 - inlet.air) * steam_drop;
            let h2 = inlet.h_vapour - self.params.efficiency * steam_drop;
            dryness = ((h2 - sat.h_l) / (sat.h_v - sat.h_l)).min(1.0);
        }
        // Liquid that comes in does not work.
        drop *= 1.0 - inlet.liquid;
        if drop <= 0.0 {
            return Given::default();
        }
        let moisture = 0.5 * (1.0 - dryness) + inlet.liquid;
        let speed = sqrt(self.drop / drop) * n;
        let blades = self.params.efficiency * speed * (2.0 - speed);
        let part = flow / polytropic(inlet.density, back / inlet.p) / self.volume;
        let leaving = self.params.leaving * if part < 1.0 { part * part } else { 2.0 * part - 1.0 };
        // Leaving loss is a loss of what the blades would give: it takes no more than they have.
        let work = drop * blades * (1.0 - moisture);
        let work = if work > 0.0 { work - leaving.min(work) } else { work };
        Given { drop, work }
    }

    /// Windage, W, at a speed (part of rated) in these densities, kg/m3.
    #[must_use]
    pub fn windage(&self, n: f64, before: f64, behind: f64) -> f64 {
        let thick = 0.2 * before / self.density.0 + 0.8 * behind / self.density.1;
        self.params.windage * thick * n * n * n
    }
}

/// Density behind the stages, kg/m3: `p v^1.1` stays, between wet and superheated steam (handbooks: 1.135 and 1.3 without
/// loss, less with it); near enough for the leaving speed.
fn polytropic(density: f64, ratio: f64) -> f64 {
    density * power(ratio, 1.0 / 1.1)
}

/// Density of wet or dry steam at a pressure and enthalpy, kg/m3.
fn behind(p: f64, h: f64) -> f64 {
    let sat = water::saturation_at_p(p);
    if h >= sat.h_v {
        1.0 / water::vapour(p, water::vapour_t_of_h(p, h)).v
    } else {
        let x = (h - sat.h_l) / (sat.h_v - sat.h_l);
        1.0 / (x * sat.v_v + (1.0 - x) * sat.v_l)
    }
}
