//! Superheater tubes: gas on one side, steam on the other, metal between.
//!
//! ```text
//! C dT/dt = Qgas - hA (T - Ts),  hA = still + hA_nominal (m/m_nominal)^0.8
//! ```
//! solved implicitly over the tick, so that a tube of any flow is stable and energy closes to rounding.
//! The steam is a volume of the steam net, which takes the heat returned here.
//! Heat transfer to gas in tubes grows with the 0.8 power of flow (Dittus and Boelter); with no flow the
//! tubes only lose a little to the steam that stands in them (own choice). When the damage reaches 1 a tube
//! bursts, and steam blows through `burst_area` into the furnace; that it comes at this point, and its size,
//! are our own choice.

use crate::damage::{Damage, HeatLimit};
use base::maths;

/// Figures of a superheater; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SuperheaterParams {
    /// Heat capacity of the tubes, J/K.
    pub heat_capacity: f64,
    /// Metal to steam at nominal flow, W/K.
    pub conductance_nominal: f64,
    /// Nominal steam flow, kg/s.
    pub flow_nominal: f64,
    /// Metal to steam that stands still, W/K.
    pub conductance_still: f64,
    /// Opening of a burst tube, m2, discharge coefficient included.
    pub burst_area: f64,
    /// When heat hurts the tubes.
    pub limit: HeatLimit,
}

/// The tubes.
#[derive(Clone, Debug, PartialEq)]
pub struct Superheater {
    params: SuperheaterParams,
    /// Damage by overheating.
    pub damage: Damage,
    temperature: f64,
    heat: f64,
}

base::kept!(Superheater { damage, temperature, heat } fixed { params });

impl Superheater {
    /// Tubes at this temperature, K.
    #[must_use]
    pub fn new(params: SuperheaterParams, temperature: f64) -> Superheater {
        Superheater { params, damage: Damage::none("superheater tubes overheated"), temperature, heat: 0.0 }
    }

    /// One tick: heat from the gas, W; steam flow through the tubes, kg/s of either sign; steam
    /// temperature, K. Returns the heat that goes to the steam, W.
    pub fn step(&mut self, dt: f64, gas_heat: f64, flow: f64, steam: f64) -> f64 {
        let p = &self.params;
        let h = p.conductance_still + p.conductance_nominal * maths::power(flow.abs() / p.flow_nominal, 0.8);
        let c = p.heat_capacity / dt;
        self.temperature = (c * self.temperature + gas_heat + h * steam) / (c + h);
        self.heat = h * (self.temperature - steam);
        self.damage.heat(self.temperature, p.limit, dt);
        self.heat
    }

    /// Whether a tube has burst.
    #[must_use]
    pub fn burst(&self) -> bool {
        self.damage.total() >= 1.0
    }

    /// Metal temperature, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// Heat to the steam in the last tick, W.
    #[must_use]
    pub fn heat(&self) -> f64 {
        self.heat
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &SuperheaterParams {
        &self.params
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boiler::sizing;

    #[test]
    fn energy_closes_and_flow_cools() {
        let p = sizing::superheater();
        let mut s = Superheater::new(p, 500.0);
        let mut kept = 0.0;
        for k in 0..2000 {
            let before = s.temperature();
            let to_steam = s.step(0.1, 4e5, 2.2 * f64::from(k % 7) / 6.0, 490.0);
            kept += 4e5 * 0.1 - to_steam * 0.1 - p.heat_capacity * (s.temperature() - before);
        }
        assert!(kept.abs() < 1e-3, "{kept} J of 8e7");
    }

    #[test]
    fn a_dry_superheater_overheats_and_one_with_steam_does_not() {
        let at = |flow: f64| {
            let mut s = Superheater::new(sizing::superheater(), 450.0);
            for _ in 0..24_000 {
                // The gas gives less the hotter the tubes are.
                let gas = 450.0 * (1250.0 - s.temperature());
                s.step(0.1, gas, flow, 470.0);
            }
            s
        };
        let (dry, wet) = (at(0.0), at(2.2));
        assert!(dry.temperature() > 950.0 && dry.damage.total() > 0.1);
        assert!(!wet.burst());
        assert!(wet.temperature() < 650.0 && wet.damage.total() == 0.0);
    }
}
