//! A self-acting thermostat: wax in a bulb that moves a three-way valve, without air or current.
//!
//! Equations: the bulb follows the water with a time constant, `tau Tb' = T - Tb`; the valve's position goes in a
//! straight line from 0 at the temperature where it begins to open to 1 where it is full open.
//! Assumptions: no hysteresis of the wax. Units: K, s. Figures: own choice in the plant file.

/// A thermostat's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThermostatParams {
    /// Begins to open at, K.
    pub opens_from: f64,
    /// Full open at, K.
    pub opens_by: f64,
    /// Time constant of the bulb, s.
    pub lag: f64,
}

/// A thermostat and its state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thermostat {
    params: ThermostatParams,
    bulb: f64,
}

base::kept!(Thermostat { bulb } fixed { params });

impl Thermostat {
    /// A thermostat whose bulb has this temperature, K.
    #[must_use]
    pub fn new(params: ThermostatParams, bulb: f64) -> Thermostat {
        Thermostat { params, bulb }
    }

    /// Feels water of this temperature (K) for `dt` seconds. Returns the position that it asks for.
    pub fn step(&mut self, water: f64, dt: f64) -> f64 {
        let p = &self.params;
        self.bulb += dt / (dt + p.lag) * (water - self.bulb);
        ((self.bulb - p.opens_from) / (p.opens_by - p.opens_from)).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_follows_the_water_late_and_opens_over_its_band() {
        let mut t = Thermostat::new(ThermostatParams { opens_from: 350.0, opens_by: 358.0, lag: 15.0 }, 300.0);
        assert_eq!(t.step(354.0, 0.1), 0.0);
        for _ in 0..150 {
            t.step(354.0, 0.1);
        }
        assert_eq!(t.step(354.0, 0.1), 0.0, "a time constant later the bulb is at 334");
        for _ in 0..2000 {
            t.step(354.0, 0.1);
        }
        assert!((t.step(354.0, 0.1) - 0.5).abs() < 1e-3);
    }
}
