//! What the state of a closed volume tells: its regime, pressure, temperature, split and slopes, and why
//! there is none.

use super::Contents;
use std::fmt;

/// Which equations hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Regime {
    /// Liquid with a gas space of vapour, air or both.
    Wet,
    /// No gas space: the pressure is the liquid's own.
    LiquidFull,
    /// No liquid: steam, air or both.
    Dry,
    /// Nothing at all.
    #[default]
    Empty,
}

base::kept!(enum Regime { 0 Wet, 1 LiquidFull, 2 Dry, 3 Empty });

/// A variable of a vessel, to be named in a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Variable {
    /// Mass of water.
    Water,
    /// Mass of air.
    Air,
    /// Internal energy.
    Energy,
    /// Temperature.
    Temperature,
    /// Pressure.
    Pressure,
}

/// Why a vessel has no state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unsettled {
    /// The variable that is out of range or not a number.
    pub variable: Variable,
    /// Its value in SI units.
    pub value: f64,
}

impl fmt::Display for Unsettled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let v = self.value;
        match self.variable {
            Variable::Water => write!(f, "the mass of water is {v} kg, which is not possible"),
            Variable::Air => write!(f, "the mass of air is {v} kg, which is not possible"),
            Variable::Energy => write!(f, "the internal energy is {v} J, which is not possible"),
            Variable::Temperature => {
                write!(
                    f,
                    "the temperature goes to {:.1} degC; the model holds from -80 degC to 1200 degC, with liquid to 325 degC",
                    v - 273.15
                )
            }
            Variable::Pressure => write!(f, "the pressure goes to {:.2} bara; the model holds to 120 bara", v / 1e5),
        }
    }
}
impl std::error::Error for Unsettled {}

/// The state of a vessel.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Equilibrium {
    /// Which equations held.
    pub regime: Regime,
    /// Total pressure, Pa.
    pub p: f64,
    /// Temperature, K.
    pub t: f64,
    /// Partial pressure of the steam, Pa; saturation pressure wherever there is liquid.
    pub p_steam: f64,
    /// Mass of liquid, kg.
    pub liquid_mass: f64,
    /// Mass of vapour, kg.
    pub vapour_mass: f64,
    /// Volume of the liquid, m3.
    pub liquid_volume: f64,
    /// Volume of the gas space, m3.
    pub gas_volume: f64,
    /// Specific volume of the liquid, m3/kg; 0 where there is none.
    pub v_l: f64,
    /// Specific volume of the vapour at its partial pressure, m3/kg; 0 where there is no water.
    pub v_v: f64,
    /// Enthalpy of the liquid, J/kg; 0 where there is none.
    pub h_l: f64,
    /// Enthalpy of the vapour, J/kg.
    pub h_v: f64,
    /// Enthalpy of the gas, steam and air together, J/kg.
    pub h_gas: f64,
    /// Mass of air in a kilogram of gas.
    pub air_fraction: f64,
    /// Density of the gas, kg/m3 (of vapour that would form, where the vessel is liquid-full).
    pub gas_density: f64,
    /// Heat capacity of everything at constant contents and volume, J/K: slope of energy by temperature.
    pub capacity: f64,
    /// Slopes of pressure by the mass of water and of air at constant energy, Pa/kg, and by energy, Pa/J.
    pub dp_dwater: f64,
    /// See [`Equilibrium::dp_dwater`].
    pub dp_dair: f64,
    /// See [`Equilibrium::dp_dwater`].
    pub dp_denergy: f64,
    /// Slopes of temperature likewise, K/kg and K/J.
    pub dt_dwater: f64,
    /// See [`Equilibrium::dt_dwater`].
    pub dt_dair: f64,
    /// See [`Equilibrium::dt_dwater`].
    pub dt_denergy: f64,
    /// Slopes of the rest by the contents, for a net's implicit step.
    pub slopes: Slopes,
}

base::kept!(Equilibrium {
    regime,
    p,
    t,
    p_steam,
    liquid_mass,
    vapour_mass,
    liquid_volume,
    gas_volume,
    v_l,
    v_v,
    h_l,
    h_v,
    h_gas,
    air_fraction,
    gas_density,
    capacity,
    dp_dwater,
    dp_dair,
    dp_denergy,
    dt_dwater,
    dt_dair,
    dt_denergy,
    slopes
});

/// Slopes by water, air (1/kg) and energy (1/J), each at constant other two.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Slopes {
    /// Of pressure, Pa.
    pub p: [f64; 3],
    /// Of the steam's partial pressure, Pa.
    pub p_steam: [f64; 3],
    /// Of temperature, K.
    pub t: [f64; 3],
    /// Of the gas space's volume, m3.
    pub gas_volume: [f64; 3],
    /// Of the gas's density, kg/m3.
    pub gas_density: [f64; 3],
    /// Of the gas's mass fraction of air.
    pub air_fraction: [f64; 3],
    /// Of the gas's enthalpy, J/kg.
    pub h_gas: [f64; 3],
    /// Of the liquid's enthalpy, J/kg.
    pub h_l: [f64; 3],
}

base::kept!(Slopes { p, p_steam, t, gas_volume, gas_density, air_fraction, h_gas, h_l });

impl Equilibrium {
    /// Mass of gas, kg.
    #[must_use]
    pub fn gas_mass(&self, contents: &Contents) -> f64 {
        self.vapour_mass + contents.air
    }
}
