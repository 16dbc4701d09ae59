//! An air receiver, or any volume of air such as a header.
//!
//! Equations: `m' = sum of flows`, `U' = sum of flows times enthalpy - K (T - Tw)`,
//! `C Tw' = K (T - Tw) - UA (Tw - ambient)`, `T = U/(m cv)`, `p = m R T/V`; both heat flows are implicit. Where the
//! wall's own heat does not count the air loses `UA (T - ambient)`. Safety valve: lifts at its set pressure, passes
//! its rated flow in proportion to pressure, reseats at its reseating pressure.
//! Water: what has condensed collects, takes no room, and is drained by [`Receiver::drain`].
//! Assumptions: the metal wall is of one temperature. Units: SI.

use super::gas::{CP, CV, R};

/// A safety valve's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SafetyParams {
    /// Lifts at, Pa absolute.
    pub set: f64,
    /// Reseats at, Pa absolute.
    pub reseat: f64,
    /// Flow at the set pressure, kg/s.
    pub capacity: f64,
}

/// The metal around a volume of air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shell {
    /// Heat capacity, J/K.
    pub capacity: f64,
    /// Heat conductance between the air and the metal, W/K.
    pub conductance: f64,
}

/// A receiver's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReceiverParams {
    /// Volume, m3.
    pub volume: f64,
    /// Heat conductance of the wall to the surroundings, W/K.
    pub loss: f64,
    /// The metal of the wall, where what it holds counts: it keeps air that is let out quickly from growing colder than
    /// such air does.
    pub shell: Option<Shell>,
    /// Its safety valve, if it has one.
    pub safety: Option<SafetyParams>,
}

/// What left a receiver by itself since the start.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lost {
    /// Air blown off by the safety valve, kg.
    pub blown_off: f64,
    /// Enthalpy of that air, J.
    pub blown_off_energy: f64,
    /// Heat through the wall, J.
    pub heat: f64,
}

base::kept!(Lost { blown_off, blown_off_energy, heat });

/// A receiver and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Receiver {
    params: ReceiverParams,
    mass: f64,
    energy: f64,
    /// Temperature of the metal, K.
    wall: f64,
    water: f64,
    lifted: bool,
    /// Failing: the safety valve does not lift.
    pub safety_stuck: bool,
    /// Failing: the safety valve lifts and reseats this part of its pressure early.
    pub safety_early: f64,
    /// Failing: the safety valve does not reseat once it has lifted.
    pub safety_holds: bool,
    flow: f64,
    power: f64,
    lost: Lost,
    /// Pressure of a joule in it, Pa/J.
    per_joule: f64,
}

base::kept!(Receiver { mass, energy, wall, water, lifted, safety_stuck, safety_early, safety_holds, flow, power, lost }
    fixed { params, per_joule });

impl Receiver {
    /// A receiver at this pressure (Pa absolute) and temperature (K).
    #[must_use]
    pub fn new(params: ReceiverParams, pressure: f64, temperature: f64) -> Receiver {
        let mass = pressure * params.volume / (R * temperature);
        Receiver {
            params,
            mass,
            energy: mass * CV * temperature,
            wall: temperature,
            water: 0.0,
            lifted: false,
            safety_stuck: false,
            safety_early: 0.0,
            safety_holds: false,
            flow: 0.0,
            power: 0.0,
            lost: Lost::default(),
            per_joule: R / CV / params.volume,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &ReceiverParams {
        &self.params
    }

    /// Fills it to a pressure (Pa absolute) and temperature (K) at once, for a prepared start.
    pub fn prepare(&mut self, pressure: f64, temperature: f64) {
        self.mass = pressure * self.params.volume / (R * temperature);
        self.energy = self.mass * CV * temperature;
        self.wall = temperature;
    }

    /// Mass of air, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.mass
    }

    /// Internal energy, J above 0 K.
    #[must_use]
    pub fn energy(&self) -> f64 {
        self.energy
    }

    /// Temperature, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.energy / (self.mass * CV)
    }

    /// Temperature of the metal, K; of no meaning without a shell.
    #[must_use]
    pub fn wall(&self) -> f64 {
        self.wall
    }

    /// Pressure, Pa absolute.
    #[must_use]
    pub fn pressure(&self) -> f64 {
        self.energy * self.per_joule
    }

    /// Specific enthalpy of what leaves it, J/kg.
    #[must_use]
    pub fn enthalpy(&self) -> f64 {
        CP * self.temperature()
    }

    /// Water collected, kg.
    #[must_use]
    pub fn water(&self) -> f64 {
        self.water
    }

    /// The safety valve is blowing.
    #[must_use]
    pub fn is_blowing(&self) -> bool {
        self.lifted
    }

    /// What left it by itself since the start.
    #[must_use]
    pub fn lost(&self) -> Lost {
        self.lost
    }

    /// Takes a mass flow (kg/s, negative out) with its energy flow (W).
    pub fn add(&mut self, mass_flow: f64, energy_flow: f64) {
        self.flow += mass_flow;
        self.power += energy_flow;
    }

    /// Puts what was taken so far in the tick into the volume at once, so that what comes next sees it.
    pub fn settle(&mut self, dt: f64) {
        if self.flow == 0.0 && self.power == 0.0 {
            return;
        }
        self.mass += dt * self.flow;
        self.energy += dt * self.power;
        self.flow = 0.0;
        self.power = 0.0;
    }

    /// Collects condensed water, kg.
    pub fn add_water(&mut self, mass: f64) {
        self.water += mass;
    }

    /// Drains water at a rate (kg/s) for `dt` seconds. Returns what ran out, kg.
    pub fn drain(&mut self, rate: f64, dt: f64) -> f64 {
        let out = (rate * dt).min(self.water);
        self.water -= out;
        out
    }

    /// Stands for `dt` seconds with what was taken, in surroundings of this temperature (K).
    pub fn step(&mut self, ambient: f64, dt: f64) {
        if let Some(s) = self.params.safety {
            let p = self.pressure();
            let at = (1.0 - self.safety_early) * if self.lifted { s.reseat } else { s.set };
            let holds = self.lifted && self.safety_holds;
            self.lifted = !self.safety_stuck && (holds || p > at);
            if self.lifted {
                let (flow, enthalpy) = (s.capacity * p / s.set, self.enthalpy());
                self.add(-flow, -flow * enthalpy);
                self.lost.blown_off += flow * dt;
                self.lost.blown_off_energy += flow * enthalpy * dt;
            }
        }
        self.settle(dt);
        let per_kelvin = self.params.loss * dt;
        if let Some(shell) = self.params.shell {
            // Both temperatures at the end of the tick, from the two balances together.
            let (air, metal, between) = (self.mass * CV, shell.capacity, shell.conductance * dt);
            let both = (air + between) * (metal + between + per_kelvin) - between * between;
            let (brings, holds) = (self.energy, metal * self.wall + per_kelvin * ambient);
            let inside = (brings * (metal + between + per_kelvin) + between * holds) / both;
            let wall = ((air + between) * holds + between * brings) / both;
            let given = between * (inside - wall);
            let heat = per_kelvin * (wall - ambient);
            self.energy -= given;
            self.wall += (given - heat) / metal;
            self.lost.heat += heat;
            return;
        }
        let excess = self.temperature() - ambient;
        let heat = per_kelvin * excess / (1.0 + per_kelvin / (self.mass * CV));
        self.energy -= heat;
        self.lost.heat += heat;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SAFETY: SafetyParams = SafetyParams { set: 32e5, reseat: 29e5, capacity: 0.05 };

    #[test]
    fn filled_without_loss_it_warms_as_the_first_law_says() {
        let mut r = Receiver::new(ReceiverParams { volume: 0.5, loss: 0.0, shell: None, safety: None }, 1e5, 290.0);
        let (m, u) = (r.mass(), r.energy());
        for _ in 0..1000 {
            r.add(0.01, 0.01 * CP * 300.0);
            r.step(290.0, 0.1);
        }
        assert!((r.mass() - m - 1.0).abs() < 1e-12);
        assert!((r.energy() - u - CP * 300.0).abs() < 1e-6 && r.temperature() > 320.0);
    }

    #[test]
    fn the_metal_keeps_air_that_is_let_out_from_growing_too_cold_and_energy_closes() {
        let coldest = |shell: Option<Shell>| {
            let params = ReceiverParams { volume: 0.03, loss: 3.0, shell, safety: None };
            let mut r = Receiver::new(params, 30e5, 295.0);
            let held = |r: &Receiver| r.energy() + shell.map_or(0.0, |s| s.capacity * r.wall());
            let (start, mut left, mut coldest) = (held(&r), 0.0, f64::INFINITY);
            for tick in 0..6000 {
                if tick < 100 {
                    let flow = r.mass() * 0.4;
                    left += 0.1 * flow * r.enthalpy();
                    r.add(-flow, -flow * r.enthalpy());
                }
                r.step(295.0, 0.1);
                coldest = r.temperature().min(coldest);
            }
            let error = held(&r) - start + left + r.lost().heat;
            assert!(error.abs() < 1e-9 * start, "{error}");
            assert!((r.temperature() - 295.0).abs() < 10.0, "{}", r.temperature());
            coldest
        };
        // The isentropic end is T2 = T1 (m2/m1)^(k-1) = 295 K x e^(-4 x 0.4) = 60 K; the room warms the last wisp.
        let (without, within) = (coldest(None), coldest(Some(Shell { capacity: 2e4, conductance: 60.0 })));
        assert!((60.0..140.0).contains(&without), "{without}");
        assert!((200.0..290.0).contains(&within), "{within}");
    }

    #[test]
    fn the_safety_valve_lifts_holds_and_reseats_unless_stuck() {
        let run = |stuck: bool| {
            let mut r = Receiver::new(
                ReceiverParams { volume: 0.5, loss: 50.0, shell: None, safety: Some(SAFETY) },
                31e5,
                290.0,
            );
            r.safety_stuck = stuck;
            let (mut blew, mut highest): (bool, f64) = (false, 0.0);
            for _ in 0..3000 {
                r.add(0.01, 0.01 * CP * 300.0);
                r.step(290.0, 0.1);
                blew |= r.is_blowing();
                highest = highest.max(r.pressure());
            }
            for _ in 0..3000 {
                r.step(290.0, 0.1);
            }
            assert!(!r.is_blowing());
            (blew, highest, r.lost().blown_off)
        };
        let (blew, highest, mass) = run(false);
        assert!(blew && highest < 32.2e5 && mass > 0.1, "{highest} {mass}");
        let (blew, highest, _) = run(true);
        assert!(!blew && highest > 36e5);
    }

    #[test]
    fn water_collects_and_drains_to_nothing() {
        let mut r = Receiver::new(ReceiverParams { volume: 0.5, loss: 0.0, shell: None, safety: None }, 1e5, 290.0);
        r.add_water(0.25);
        assert_eq!(r.drain(1.0, 0.1), 0.1);
        assert!((r.drain(1.0, 10.0) - 0.15).abs() < 1e-15 && r.water() == 0.0);
    }

    mod checks {
        use super::super::*;
        use crate::check_data::example;
        use base::units::CELSIUS_ZERO;

        /// Fills the receiver of an example at a constant free-air delivery, the wall keeping it at the
        /// surroundings' temperature. Minutes to the upper pressure, the last tick in part.
        fn minutes(id: &str) {
            let e = example(id);
            let atmosphere = e.input("p_atm_bar") * 1e5;
            let (from, to) = (e.input("p_from_bar_g") * 1e5 + atmosphere, e.input("p_to_bar_g") * 1e5 + atmosphere);
            let ambient = CELSIUS_ZERO + 20.0;
            let params = ReceiverParams { volume: e.input("V_m3"), loss: 1e12, shell: None, safety: None };
            let mut r = Receiver::new(params, from, ambient);
            let flow = e.input("FAD_m3_h") / 3600.0 * atmosphere / (R * ambient);
            let (mut ticks, mut before) = (0.0, from);
            while r.pressure() < to {
                before = r.pressure();
                r.add(flow, flow * CP * ambient);
                r.step(ambient, 0.1);
                ticks += 1.0;
            }
            let part = (to - before) / (r.pressure() - before);
            e.compare("t_min", (ticks - 1.0 + part) * 0.1 / 60.0);
        }

        #[test]
        fn air_fill() {
            minutes("air_fill");
        }

        #[test]
        fn air_fill_top_up() {
            minutes("air_fill_top_up");
        }
    }
}
