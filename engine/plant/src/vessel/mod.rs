//! One closed volume that holds water in any state, air and metal, all at one temperature.
//!
//! What is kept is what is conserved: the mass of water, the mass of air, the internal energy (metal
//! included). Pressure and temperature follow from it, by one set of equations from a cold vessel full
//! of air to a liquid-full one:
//!
//! | regime | when | pressure |
//! | --- | --- | --- |
//! | wet with air | liquid, air | steam at saturation + air `m R T / V_gas` (Dalton) |
//! | wet without air | liquid, vapour | saturation |
//! | liquid-full | no room for gas | from the liquid's compressibility |
//! | dry | all water is steam, with or without air | steam at its partial pressure + air |
//! | empty | neither water nor air | 0 |
//!
//! Wet regimes are one equation: with `q = p - p_sat` and the gas volume `V_g`, `q V_g = m_air R T` holds
//! in all of them, as `0 = 0` on one side or the other when there is no air. Both are written by one
//! unknown `w = c V_g - q`, smooth through the hand-over from a gas space to none. The hand-over to dry
//! is where the liquid's mass reaches zero; there both sides read the same row of the vapour table.
//!
//! Assumptions: one temperature in the volume; ideal air, none dissolved in the liquid; the vapour over
//! liquid at its saturation pressure whatever the total pressure (no Poynting correction, below 0.1 % at
//! 1 bar of air); no surface tension. Range: as `water::in_range`; beyond it the answer is an error that names the variable.
//! Energy is zero for liquid water at the triple point and for air and metal at 273.16 K.

mod equilibrium;
mod state;
mod trial;

pub use equilibrium::{equilibrium, equilibrium_into, equilibrium_near};
pub use state::{Equilibrium, Regime, Slopes, Unsettled, Variable};

/// Specific gas constant of dry air, J/(kg K): ISO 2533.
pub const AIR_CONSTANT: f64 = 287.05287;
/// Heat capacity of dry air at constant volume, J/(kg K), near 300 K (handbook value 717.8, rounded as in common use).
pub const AIR_CV: f64 = 718.0;
/// Temperature at which the energy of air and metal is zero, K: the triple point of water.
pub const T_ZERO: f64 = 273.16;

/// What a vessel holds: the conserved quantities.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Contents {
    /// Water in all its states, kg.
    pub water: f64,
    /// Air, kg.
    pub air: f64,
    /// Internal energy of water, air and metal, J.
    pub energy: f64,
}

base::kept!(Contents { water, air, energy });

/// Specific internal energy of air, J/kg.
#[must_use]
pub fn air_energy(t: f64) -> f64 {
    AIR_CV * (t - T_ZERO)
}

/// Specific enthalpy of air, J/kg.
#[must_use]
pub fn air_enthalpy(t: f64) -> f64 {
    AIR_CV * (t - T_ZERO) + AIR_CONSTANT * t
}

impl Contents {
    /// Contents of a volume at a pressure and temperature: so much liquid, and above it air saturated or
    /// filled with vapour to the relative humidity given (with liquid present it is 1).
    ///
    /// `pressure`, Pa, is the total; where saturation pressure is above it there is no room for air and
    /// the result has none (then the vapour is saturated).
    #[must_use]
    pub fn humid_air(
        volume: f64,
        metal_capacity: f64,
        pressure: f64,
        t: f64,
        liquid_volume: f64,
        humidity: f64,
    ) -> Contents {
        let sat = crate::water::saturation_at_t(t);
        let liquid = crate::water::liquid_from(&sat, pressure.max(sat.p));
        let gas = volume - liquid_volume;
        let p_steam = if liquid_volume > 0.0 { sat.p } else { (humidity * sat.p).min(pressure) };
        let p_air = (pressure - p_steam).max(0.0);
        let air = p_air * gas / (AIR_CONSTANT * t);
        let liquid_mass = liquid_volume / liquid.v;
        let (vapour_mass, u_v) = if p_steam > 0.0 {
            let w = crate::water::vapour(p_steam, t);
            (gas / w.v, w.u)
        } else {
            (0.0, 0.0)
        };
        Contents {
            water: liquid_mass + vapour_mass,
            air,
            energy: liquid_mass * liquid.u + vapour_mass * u_v + air * air_energy(t) + metal_capacity * (t - T_ZERO),
        }
    }

    /// Contents of a volume with liquid and vapour at saturation, no air.
    #[must_use]
    pub fn saturated(volume: f64, metal_capacity: f64, pressure: f64, liquid_volume: f64) -> Contents {
        let s = crate::water::saturation_at_p(pressure);
        let (m_l, m_v) = (liquid_volume / s.v_l, (volume - liquid_volume) / s.v_v);
        Contents { water: m_l + m_v, air: 0.0, energy: m_l * s.u_l + m_v * s.u_v + metal_capacity * (s.t - T_ZERO) }
    }

    /// Contents of a volume full of steam at a pressure and temperature, no air.
    #[must_use]
    pub fn steam(volume: f64, metal_capacity: f64, pressure: f64, t: f64) -> Contents {
        let w = crate::water::vapour(pressure, t);
        let m = volume / w.v;
        Contents { water: m, air: 0.0, energy: m * w.u + metal_capacity * (t - T_ZERO) }
    }
}

/// A closed volume with its contents.
#[derive(Clone, Debug, PartialEq)]
pub struct Vessel {
    /// Inner volume, m3.
    pub volume: f64,
    /// Heat capacity of metal that follows the contents' temperature, J/K; 0 for none.
    pub metal_capacity: f64,
    /// What it holds.
    pub contents: Contents,
    /// Temperature from which the next solution starts, K: part of the state, so that going on from a
    /// checkpoint takes the same steps.
    pub t_start: f64,
    /// Steam pressure from which it starts, Pa, if the contents were dry, else 0: likewise part of the state.
    pub p_start: f64,
}

impl Vessel {
    /// A vessel with contents.
    #[must_use]
    pub fn new(volume: f64, metal_capacity: f64, contents: Contents) -> Vessel {
        Vessel { volume, metal_capacity, contents, t_start: 293.15, p_start: 0.0 }
    }

    /// Pressure, temperature and the rest, from the contents; the next call starts from this one's answer.
    ///
    /// # Errors
    /// When the contents have no state inside the tables' range, or are not finite; the variable is named.
    pub fn equilibrium(&mut self) -> Result<Equilibrium, Unsettled> {
        let e = equilibrium_near(&self.contents, self.volume, self.metal_capacity, self.t_start, self.p_start)?;
        self.t_start = e.t;
        self.p_start = if e.regime == Regime::Dry { e.p_steam } else { 0.0 };
        Ok(e)
    }
}

#[cfg(test)]
mod tests;
