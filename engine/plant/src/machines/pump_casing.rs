//! The casing of a pump with the liquid in it: where the heat goes of a pump that delivers nothing.
//!
//! Equations: `C T' = P - Ph - m c (T - T_in) - U (T - T_room)`, implicit in T, with the shaft power P, the
//! hydraulic power Ph, the stream m that comes in at T_in and leaves at T. The temperature stays at boiling
//! (the liquid's own at the delivery pressure): what more comes in leaves as vapour through vent and glands
//! and is counted as lost, and the wheel then turns in vapour.
//! Assumptions: liquid and metal of one temperature; the vapour's mass is not missed (a few grams a second).
//! Units: J/K, W, K. Figures: own choice in the plant file.

use super::exchanger::Side;
use crate::damage::Damage;

/// Seconds in vapour or without liquid that spoil a shaft seal: own choice, of the size that makers warn of.
const SEAL_LIFE: f64 = 600.0;

/// A casing's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CasingParams {
    /// Heat capacity of casing and liquid, J/K.
    pub capacity: f64,
    /// To the room, W/K.
    pub loss: f64,
}

/// A casing and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Casing {
    params: CasingParams,
    temperature: f64,
    boils: bool,
    given: f64,
    lost: f64,
    /// What running dry has done to the shaft seal.
    pub seal: Damage,
}

base::kept!(Casing { temperature, boils, given, lost, seal } fixed { params });

impl Casing {
    /// A casing at this temperature, K.
    #[must_use]
    pub fn new(params: CasingParams, temperature: f64) -> Casing {
        let seal = Damage::none("shaft seal run dry");
        Casing { params, temperature, boils: false, given: 0.0, lost: 0.0, seal }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> CasingParams {
        self.params
    }

    /// Temperature, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// The liquid in it boils.
    #[must_use]
    pub fn boils(&self) -> bool {
        self.boils
    }

    /// Heat that came from the shaft less what left as vapour and to the room since the start, J.
    #[must_use]
    pub fn energy_in(&self) -> f64 {
        self.given - self.lost
    }

    /// Runs for `dt` seconds with this heat from the shaft (W) and stream through it; `boiling` tells the
    /// boiling temperature for who has come to a temperature (anything above that where it is far off), `room` is the room's, K. Returns the heat that the stream takes along, W.
    pub fn step(&mut self, heat: f64, stream: Side, boiling: impl FnOnce(f64) -> f64, room: f64, dt: f64) -> f64 {
        let CasingParams { capacity, loss } = self.params;
        let carried = stream.mass_flow * stream.heat_capacity;
        let outside = heat + carried * stream.temperature + loss * room;
        let t = (capacity * self.temperature + dt * outside) / (capacity + dt * (carried + loss));
        self.given += dt * heat;
        self.lost += dt * loss * (t - room);
        let boiling = boiling(t);
        self.boils = t >= boiling;
        self.temperature = t.min(boiling);
        self.lost += capacity * (t - self.temperature);
        carried * (t - stream.temperature)
    }

    /// The wheel has turned without liquid for `dt` seconds.
    pub fn runs_dry(&mut self, dt: f64) {
        self.seal.blow(dt / SEAL_LIFE);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(mass_flow: f64) -> Side {
        Side { mass_flow, heat_capacity: 4180.0, temperature: 300.0 }
    }

    #[test]
    fn without_a_stream_it_boils_and_with_one_it_stays_cool_and_energy_closes() {
        let params = CasingParams { capacity: 1e5, loss: 5.0 };
        let mut c = Casing::new(params, 300.0);
        let mut taken = 0.0;
        let mut ticks = 0;
        while !c.boils() {
            taken += 0.1 * c.step(4000.0, side(0.0), |_| 383.0, 295.0, 0.1);
            ticks += 1;
        }
        // 83 K in 100 kJ/K by 4 kW less some loss: a little over 2075 s.
        assert!((20_750..22_500).contains(&ticks), "{ticks}");
        for _ in 0..5000 {
            taken += 0.1 * c.step(4000.0, side(0.0), |_| 383.0, 295.0, 0.1);
        }
        assert_eq!(c.temperature(), 383.0);
        for _ in 0..50_000 {
            taken += 0.1 * c.step(4000.0, side(5.0), |_| 383.0, 295.0, 0.1);
        }
        assert!((c.temperature() - 300.0 - 4000.0 / (5.0 * 4180.0)).abs() < 0.01);
        let error = 1e5 * (c.temperature() - 300.0) - (c.energy_in() - taken);
        assert!(error.abs() < 1e-3, "{error}");
    }
}
