//! Liquid fuel by its elements, and what it needs to burn.
//!
//! ```text
//! C + O2 -> CO2, 2 H + 1/2 O2 -> H2O, S + O2 -> SO2; oxygen in the fuel counts against the need
//! ```

use super::gas::{AIR_MOLAR_MASS, AIR_OXYGEN, Gas};

/// Molar masses of C, H, S, O, kg/mol (IUPAC 2021, rounded).
const MOLAR: [f64; 4] = [12.011e-3, 1.008e-3, 32.06e-3, 15.999e-3];

/// What is burnt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fuel {
    /// Carbon, kg/kg.
    pub carbon: f64,
    /// Hydrogen, kg/kg.
    pub hydrogen: f64,
    /// Sulphur, kg/kg.
    pub sulphur: f64,
    /// Oxygen, kg/kg.
    pub oxygen: f64,
    /// Lower heating value, J/kg.
    pub lower_heating_value: f64,
    /// Specific heat of the liquid, J/(kg K).
    pub specific_heat: f64,
}

impl Fuel {
    /// Marine distillate: C 86.2, H 13.6, S 0.17 % by mass (the distillate default of the IMO NOx
    /// Technical Code, from memory), 42.7 MJ/kg, 2.0 kJ/(kg K) (handbook class of value).
    pub const DISTILLATE: Fuel = Fuel {
        carbon: 0.862,
        hydrogen: 0.136,
        sulphur: 0.0017,
        oxygen: 0.0003,
        lower_heating_value: 42.7e6,
        specific_heat: 2000.0,
    };

    /// Heavy fuel oil of half a per cent sulphur: C 86.5, H 11.5, S 0.5, O 0.5 % by mass, the rest nitrogen, ash and
    /// water that are not followed; 41.0 MJ/kg, 2.0 kJ/(kg K) (classes of value, from memory).
    pub const RESIDUAL: Fuel = Fuel {
        carbon: 0.865,
        hydrogen: 0.115,
        sulphur: 0.005,
        oxygen: 0.005,
        lower_heating_value: 41.0e6,
        specific_heat: 2000.0,
    };

    /// This fuel with a part (by mass, 0 to 1) of another in it. None of it is the fuel itself, to the bit.
    #[must_use]
    pub fn with(&self, other: &Fuel, part: f64) -> Fuel {
        if part <= 0.0 {
            return *self;
        }
        let mix = |a: f64, b: f64| a + part * (b - a);
        Fuel {
            carbon: mix(self.carbon, other.carbon),
            hydrogen: mix(self.hydrogen, other.hydrogen),
            sulphur: mix(self.sulphur, other.sulphur),
            oxygen: mix(self.oxygen, other.oxygen),
            lower_heating_value: mix(self.lower_heating_value, other.lower_heating_value),
            specific_heat: mix(self.specific_heat, other.specific_heat),
        }
    }

    /// Oxygen for complete burning, mol/kg.
    #[must_use]
    pub fn oxygen_need(&self) -> f64 {
        self.carbon / MOLAR[0] + self.hydrogen / (4.0 * MOLAR[1]) + self.sulphur / MOLAR[2]
            - self.oxygen / (2.0 * MOLAR[3])
    }

    /// Dry air for complete burning, kg/kg.
    #[must_use]
    pub fn stoichiometric_air(&self) -> f64 {
        self.oxygen_need() / AIR_OXYGEN * AIR_MOLAR_MASS
    }

    /// Carbon dioxide from complete burning, kg/kg.
    #[must_use]
    pub fn carbon_dioxide(&self) -> f64 {
        self.carbon / MOLAR[0] * (MOLAR[0] + 2.0 * MOLAR[3])
    }

    /// The gas that leaves when `burnt` kg/s of fuel burn whole in `air` kg/s of dry air. The caller
    /// has seen to it that there is oxygen enough.
    #[must_use]
    pub fn products(&self, burnt: f64, air: f64) -> Gas {
        let n = air / AIR_MOLAR_MASS;
        Gas::new([
            burnt * self.carbon / MOLAR[0],
            burnt * self.hydrogen / (2.0 * MOLAR[1]),
            n * (1.0 - AIR_OXYGEN),
            n * AIR_OXYGEN - burnt * self.oxygen_need(),
            burnt * self.sulphur / MOLAR[2],
        ])
    }
}

/// Lower heating value of a distillate from its density at 15 °C, J/kg: the formula of the annex of
/// ISO 8217 (from memory). Density in kg/m3; sulphur, water and ash in % by mass. Valid 800 to 900 kg/m3.
#[must_use]
pub fn lower_heating_value(density_15: f64, sulphur: f64, water: f64, ash: f64) -> f64 {
    let d = density_15;
    1e6 * ((46.423 - 8.792e-6 * d * d + 3.170e-3 * d) * (1.0 - 0.01 * (water + ash + sulphur))
        + 0.01 * (9.42 * sulphur - 2.449 * water))
}
