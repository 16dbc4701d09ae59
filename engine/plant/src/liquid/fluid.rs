//! The liquids that run in the networks, each with constant properties but for the viscosity of heavy oil.
//!
//! Equations: `h = c (T - 273.15 K)`, so that zero enthalpy is at 0 °C and the thermal energy of
//! water agrees with IAPWS-IF97 within 0.3 % of itself between 5 and 120 °C.
//! Assumptions: incompressible, properties at the usual working temperature of the system.
//! Valid range: liquid; nothing here freezes or boils (the tank or vessel that feeds a network
//! does that). Units: SI.

use super::viscosity::Walther;
use base::units::CELSIUS_ZERO;

/// A liquid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fluid {
    /// Sea water of 35 g/kg at about 20 °C.
    SeaWater,
    /// Treated fresh cooling water at about 38 °C.
    FreshWater,
    /// Feed water and condensate at about 90 °C.
    FeedWater,
    /// Marine distillate fuel at about 40 °C.
    DieselOil,
    /// Mineral turbine oil at about 45 °C.
    LubeOil,
    /// Heavy fuel oil of 380 mm2/s at 50 °C, at about 100 °C.
    HeavyOil,
}

impl Fluid {
    /// Density, kg/m3. Sea water: 1025, the trade's round figure (common practice). Fresh water:
    /// 993 at 38 °C and 965 at 90 °C (IAPWS-IF97). Diesel oil: 845, middle of the densities that
    /// ISO 8217 distillates have (common practice). Turbine oil: 865 (handbook class of value, from memory).
    /// Heavy oil: 945 at about 90 °C, from 990 at 15 °C and 0.65 kg/m3 a kelvin (common practice).
    #[must_use]
    pub const fn density(self) -> f64 {
        match self {
            Fluid::SeaWater => 1025.0,
            Fluid::FreshWater => 993.0,
            Fluid::FeedWater => 965.0,
            Fluid::DieselOil => 845.0,
            Fluid::LubeOil => 865.0,
            Fluid::HeavyOil => 945.0,
        }
    }

    /// Specific heat capacity, J/(kg K). Sea water 3993 (ht/TEOS-10 class of value at 20 °C and
    /// 35 g/kg), fresh water 4180 (IAPWS-IF97 at 38 °C), feed water 4190 (mean from 0 °C to
    /// 60-105 °C by IAPWS-IF97: h/t is 4186 to 4192), diesel oil and turbine oil 2000
    /// (handbook class of value, from memory), heavy oil 2000 (the same at 100 °C, from memory).
    #[must_use]
    pub const fn heat_capacity(self) -> f64 {
        match self {
            Fluid::SeaWater => 3993.0,
            Fluid::FreshWater => 4180.0,
            Fluid::FeedWater => 4190.0,
            Fluid::DieselOil => 2000.0,
            Fluid::LubeOil => 2000.0,
            Fluid::HeavyOil => 2000.0,
        }
    }

    /// Kinematic viscosity, m2/s. Sea water 1.05e-6 and fresh water 6.6e-7 as in the check data of
    /// the cooling networks; feed water 3.26e-7 (IAPWS viscosity at 90 °C); diesel oil 3e-6
    /// (ISO 8217 distillates lie between 2 and 6 cSt at 40 °C, from memory); turbine oil 3.6e-5, ISO VG 46 at 45 °C.
    #[must_use]
    pub const fn viscosity(self) -> f64 {
        match self {
            Fluid::SeaWater => 1.05e-6,
            Fluid::FreshWater => 6.6e-7,
            Fluid::FeedWater => 3.26e-7,
            Fluid::DieselOil => 3.0e-6,
            Fluid::LubeOil => 3.6e-5,
            Fluid::HeavyOil => 35e-6,
        }
    }

    /// How its viscosity goes with temperature, for a liquid whose viscosity counts.
    #[must_use]
    pub const fn viscosity_law(self) -> Option<Walther> {
        if matches!(self, Fluid::HeavyOil) { Some(Walther::HEAVY_OIL) } else { None }
    }

    /// Specific enthalpy at a temperature in K, J/kg, zero at 0 °C and atmospheric pressure.
    #[must_use]
    pub fn enthalpy(self, temperature: f64) -> f64 {
        self.heat_capacity() * (temperature - CELSIUS_ZERO)
    }

    /// Temperature in K at a specific enthalpy in J/kg (atmospheric pressure).
    #[must_use]
    pub fn temperature(self, enthalpy: f64) -> f64 {
        enthalpy * self.kelvin() + CELSIUS_ZERO
    }

    /// What a joule warms a kilogram by, K: one over the heat capacity, without a division on every tick.
    const fn kelvin(self) -> f64 {
        match self {
            Fluid::SeaWater => const { 1.0 / Fluid::SeaWater.heat_capacity() },
            Fluid::FreshWater => const { 1.0 / Fluid::FreshWater.heat_capacity() },
            Fluid::FeedWater => const { 1.0 / Fluid::FeedWater.heat_capacity() },
            Fluid::DieselOil => const { 1.0 / Fluid::DieselOil.heat_capacity() },
            Fluid::LubeOil => const { 1.0 / Fluid::LubeOil.heat_capacity() },
            Fluid::HeavyOil => const { 1.0 / Fluid::HeavyOil.heat_capacity() },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Fluid;

    #[test]
    fn temperature_and_enthalpy_are_inverse() {
        use Fluid::{DieselOil, FeedWater, FreshWater, HeavyOil, LubeOil, SeaWater};
        for f in [SeaWater, FreshWater, FeedWater, DieselOil, LubeOil, HeavyOil] {
            for t in [275.0, 310.0, 378.0] {
                assert!((f.temperature(f.enthalpy(t)) - t).abs() < 1e-9);
            }
            assert!(f.enthalpy(300.0) > f.enthalpy(299.0));
        }
    }

    #[test]
    fn feed_water_agrees_with_the_steam_tables() {
        // IAPWS-IF97 at 1 bar (6 bar above 99 °C), kJ/kg: 20 °C 84.0, 60 °C 251.2, 90 °C 377.0, 105 °C 440.6.
        for (t, h) in [(20.0, 84.0e3), (60.0, 251.2e3), (90.0, 377.0e3), (105.0, 440.6e3)] {
            let ours = Fluid::FeedWater.enthalpy(273.15 + t);
            assert!((ours / h - 1.0).abs() < 3e-3, "{t} degC: {ours} against {h}");
        }
    }
}
