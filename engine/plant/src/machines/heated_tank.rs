//! A tank of liquid that is only heated: stirred, of one temperature, losing to the room.
//!
//! `C dT/dt = Q - U (T - T_room)`, implicit in T, so that energy closes and any tick is stable.
//! Assumptions: the mass does not change; perfectly mixed. Units: J/K, W/K, K.

/// The tank.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatedTank {
    capacity: f64,
    loss: f64,
    temperature: f64,
    heat: f64,
    lost: f64,
}

base::kept!(HeatedTank { temperature, heat, lost } fixed { capacity, loss });

impl HeatedTank {
    /// A tank of this heat capacity (J/K), loss to the room (W/K), at this temperature (K).
    #[must_use]
    pub fn new(capacity: f64, loss: f64, temperature: f64) -> HeatedTank {
        HeatedTank { capacity, loss, temperature, heat: 0.0, lost: 0.0 }
    }

    /// Adds heat for the coming step, W.
    pub fn heat(&mut self, power: f64) {
        self.heat += power;
    }

    /// One step of `dt` seconds in a room of this temperature, K.
    pub fn step(&mut self, room: f64, dt: f64) {
        let c = self.capacity / dt;
        self.temperature = (c * self.temperature + self.heat + self.loss * room) / (c + self.loss);
        self.lost += self.loss * (self.temperature - room) * dt;
        self.heat = 0.0;
    }

    /// Temperature, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// Heat capacity, J/K.
    #[must_use]
    pub fn capacity(&self) -> f64 {
        self.capacity
    }

    /// Heat lost to the room since the start, J.
    #[must_use]
    pub fn lost(&self) -> f64 {
        self.lost
    }
}

#[cfg(test)]
mod tests {
    use super::HeatedTank;

    #[test]
    fn energy_closes_and_the_end_is_where_heat_and_loss_meet() {
        let mut t = HeatedTank::new(2e6, 500.0, 300.0);
        let (mut given, start) = (0.0, t.temperature());
        for _ in 0..400_000 {
            t.heat(20e3);
            given += 2e3;
            t.step(295.0, 0.1);
        }
        let stored = t.capacity() * (t.temperature() - start);
        assert!((given - stored - t.lost()).abs() < 1e-9 * given);
        assert!((t.temperature() - 335.0).abs() < 0.01);
    }
}
