//! An electric heater in a line of water, switched by its own thermostat.
//!
//! Equations: the element's metal `C T' = P - Gw (T - T_in) - U (T - T_room)`, implicit in T, with
//! `Gw = m c (1 - exp(-UA/(m c)))`; on below the one and off above the other temperature of the water behind it.
//! A cut-out in the element opens above its temperature and closes again 30 K below (own choice): with no
//! water through it the heater warms its element and little else.
//! Assumptions: full power or none. Units: W, W/K, J/K, K. Figures: own choice in the plant file.

use super::exchanger::Side;
use base::maths::exp;

/// How far the element must cool before its cut-out closes again, K.
const CUT_OUT_DIFFERENTIAL: f64 = 30.0;

/// A heater's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeaterParams {
    /// Electric power, W.
    pub power: f64,
    /// Water temperature below which it is switched on and above which off, K.
    pub thermostat: (f64, f64),
    /// Heat capacity of the element, J/K.
    pub capacity: f64,
    /// Element to water, W/K.
    pub to_water: f64,
    /// Element to the room, W/K.
    pub loss: f64,
    /// Temperature of the element at which its cut-out opens, K.
    pub cut_out: f64,
}

/// A heater and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct ElectricHeater {
    params: HeaterParams,
    /// Switched to automatic at the panel.
    pub automatic: bool,
    /// Failing: the element is burnt out.
    pub burnt_out: bool,
    heating: bool,
    cut_out: bool,
    power: f64,
    temperature: f64,
    given: f64,
    lost: f64,
}

base::kept!(ElectricHeater { automatic, burnt_out, heating, cut_out, power, temperature, given, lost }
    fixed { params });

impl ElectricHeater {
    /// A heater that is switched off, at this temperature, K.
    #[must_use]
    pub fn new(params: HeaterParams, temperature: f64) -> ElectricHeater {
        ElectricHeater {
            params,
            automatic: false,
            burnt_out: false,
            heating: false,
            cut_out: false,
            power: 0.0,
            temperature,
            given: 0.0,
            lost: 0.0,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &HeaterParams {
        &self.params
    }

    /// Electric power drawn, W.
    #[must_use]
    pub fn power(&self) -> f64 {
        self.power
    }

    /// Temperature of the element, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// Electric energy that came in less what the room took since the start, J.
    #[must_use]
    pub fn energy_in(&self) -> f64 {
        self.given - self.lost
    }

    /// Runs for `dt` seconds: supply live, water as it comes in, its temperature at the thermostat and
    /// the room's, K. Returns the heat that the water takes, W.
    pub fn step(&mut self, live: bool, water: Side, at_thermostat: f64, room: f64, dt: f64) -> f64 {
        let p = &self.params;
        if at_thermostat < p.thermostat.0 {
            self.heating = true;
        } else if at_thermostat > p.thermostat.1 {
            self.heating = false;
        }
        self.cut_out = self.temperature > p.cut_out - if self.cut_out { CUT_OUT_DIFFERENTIAL } else { 0.0 };
        let on = live && self.automatic && self.heating && !self.cut_out && !self.burnt_out;
        self.power = if on { p.power } else { 0.0 };
        let carried = water.mass_flow * water.heat_capacity;
        let by_water = if carried > 0.0 { carried * (1.0 - exp(-p.to_water / carried)) } else { 0.0 };
        let outside = self.power + by_water * water.temperature + p.loss * room;
        self.temperature = (p.capacity * self.temperature + dt * outside) / (p.capacity + dt * (by_water + p.loss));
        self.given += dt * self.power;
        self.lost += dt * p.loss * (self.temperature - room);
        by_water * (self.temperature - water.temperature)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PARAMS: HeaterParams = HeaterParams {
        power: 12e3,
        thermostat: (333.0, 338.0),
        capacity: 8e3,
        to_water: 400.0,
        loss: 2.0,
        cut_out: 403.0,
    };

    #[test]
    fn it_heats_what_flows_keeps_its_band_and_cuts_out_without_water() {
        let mut h = ElectricHeater::new(PARAMS, 300.0);
        let stream = |t: f64| Side { mass_flow: 0.5, heat_capacity: 4180.0, temperature: t };
        let (start, mut taken) = (8e3 * 300.0, 0.0);
        taken += 0.1 * h.step(true, stream(300.0), 300.0, 295.0, 0.1);
        assert_eq!(h.power(), 0.0, "not before it is switched on");
        h.automatic = true;
        for _ in 0..3000 {
            taken += 0.1 * h.step(true, stream(300.0), 305.0, 295.0, 0.1);
        }
        // Settled: what goes in goes into the water but for the little that the room takes.
        let q = h.step(true, stream(300.0), 305.0, 295.0, 0.1);
        taken += 0.1 * q;
        assert!((q - (12e3 - 2.0 * (h.temperature() - 295.0))).abs() < 1.0, "{q}");
        assert_eq!((h.step(false, stream(300.0), 305.0, 295.0, 0.0), h.power()).1, 0.0, "no supply, no heat");
        taken += 0.1 * h.step(true, stream(340.0), 339.0, 295.0, 0.1);
        assert_eq!(h.power(), 0.0, "warm enough");
        taken += 0.1 * h.step(true, stream(336.0), 336.0, 295.0, 0.1);
        assert_eq!(h.power(), 0.0, "not before it is below its band");
        let dry = Side { mass_flow: 0.0, ..stream(300.0) };
        let mut hottest: f64 = 0.0;
        for _ in 0..3000 {
            taken += 0.1 * h.step(true, dry, 300.0, 295.0, 0.1);
            hottest = hottest.max(h.temperature());
        }
        assert!(hottest > 400.0 && hottest < 404.0, "{hottest}");
        let error = 8e3 * h.temperature() - start - (h.energy_in() - taken);
        assert!(error.abs() < 1e-3, "{error}");
    }
}
