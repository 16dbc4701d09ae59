//! The heat of a generator: windings and iron as one lump that the losses warm and an air cooler cools.
//!
//! Equations: `C dT/dt = losses - heat to the water - G_room (T - T_room)`; the air goes round between windings and
//! cooler, so that the heat to the water is `(1 - exp(-G_water/c)) c (T - T_in)`, with `c` the heat capacity of the
//! water's flow; without water only the casing gives heat away.
//! Assumptions: one temperature for copper and iron, the air's own heat and the fan's share are left out.
//! Insulation ages twice as fast for every few kelvin above what its class allows.
//! Units: W, W/K, J/K, K, s. Valid from standstill to overload.

use crate::damage::{Damage, HeatLimit};
use crate::machines::Side;
use base::maths::exp;

/// Data of a generator's heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindingsParams {
    /// Heat capacity of copper and iron, J/K.
    pub capacity: f64,
    /// Conductance through the air to the cooler's water, W/K.
    pub to_water: f64,
    /// Conductance to the room, W/K.
    pub to_room: f64,
    /// What the insulation stands.
    pub limit: HeatLimit,
}

/// A generator's heat and what it did.
#[derive(Clone, Debug)]
pub struct Windings {
    params: WindingsParams,
    temperature: f64,
    water: f64,
    lost: f64,
    /// Insulation aged by heat.
    pub aged: Damage,
}

base::kept!(Windings { temperature, water, lost, aged } fixed { params });

impl Windings {
    /// Windings as warm as the room.
    #[must_use]
    pub fn new(params: WindingsParams, temperature: f64) -> Windings {
        let aged = Damage::none("insulation of the windings aged by heat");
        Windings { params, temperature, water: 0.0, lost: 0.0, aged }
    }

    /// Their data.
    #[must_use]
    pub fn params(&self) -> &WindingsParams {
        &self.params
    }

    /// Their temperature, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// Heat that goes to the cooling water in this tick, W.
    #[must_use]
    pub fn to_water(&self) -> f64 {
        self.water
    }

    /// Heat that the room took since the start, J.
    #[must_use]
    pub fn lost(&self) -> f64 {
        self.lost
    }

    /// Before the cooling water is carried on: they give their heat to it and to the room.
    pub fn cool(&mut self, water: Option<Side>, room: f64, dt: f64) {
        let p = &self.params;
        self.water = water.map_or(0.0, |s| {
            let c = s.mass_flow * s.heat_capacity;
            if c > 0.0 { (1.0 - exp(-p.to_water / c)) * c * (self.temperature - s.temperature) } else { 0.0 }
        });
        let lost = p.to_room * (self.temperature - room);
        self.temperature -= (self.water + lost) * dt / p.capacity;
        self.lost += lost * dt;
    }

    /// At the tick's end: the losses of the tick, J, warm them, and heat ages them.
    pub fn warm(&mut self, losses: f64, dt: f64) {
        self.temperature += losses / self.params.capacity;
        self.aged.heat(self.temperature, self.params.limit, dt);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn windings() -> Windings {
        let limit = HeatLimit { from: 403.15, life: 1000.0, doubling: 10.0 };
        Windings::new(WindingsParams { capacity: 4e5, to_water: 300.0, to_room: 30.0, limit }, 300.0)
    }

    /// For an hour under a steady loss; returns the heat to the water, J.
    fn hour(w: &mut Windings, water: Option<Side>) -> f64 {
        let mut given = 0.0;
        for _ in 0..36_000 {
            w.cool(water, 300.0, 0.1);
            given += w.to_water() * 0.1;
            w.warm(2e4 * 0.1, 0.1);
        }
        given
    }

    /// Settled, the water takes `loss / (1 + 30/300')` at the temperature that the same equations give by hand.
    #[test]
    fn heat_closes_and_settles_where_the_equations_say() {
        let side = Side { mass_flow: 1.0, heat_capacity: 4186.0, temperature: 300.0 };
        let mut w = windings();
        let given = hour(&mut w, Some(side));
        let held = 4e5 * (w.temperature() - 300.0);
        assert!((given + w.lost() + held - 7.2e7).abs() < 1e-6 * 7.2e7);
        // Conductance to the stream: (1 - exp(-300/4186)) 4186 = 289.5 W/K, and 30 W/K to the room.
        assert!((w.temperature() - 300.0 - 2e4 / 319.5).abs() < 5.0, "{}", w.temperature());
        assert_eq!(w.aged.total(), 0.0);
    }

    #[test]
    fn without_water_they_age() {
        let mut w = windings();
        assert_eq!(hour(&mut w, None), 0.0);
        assert!(w.temperature() > 403.15 && w.aged.total() > 0.0, "{}", w.temperature());
    }
}
