//! Air extraction: a liquid-ring vacuum pump driven by a motor.
//!
//! Equations: `S = S_n n (1 - p_v/p)` is the volume that it takes in a second at suction pressure `p`, `n` being
//! its speed and `p_v` the vapour pressure of its seal water: the ring gives off vapour that fills that
//! part of the cells (Dalton), so that it never comes below the seal water's own pressure. That form of the
//! suction curve, flat at the top and falling to zero at `p_v`, is the usual one of such pumps (handbook, from memory).
//!
//! What it draws is the shell's gas after the bundle's air cooler: steam is at saturation at the cooler's
//! temperature `T_c = T_in + a (T - T_in)` (`a` the air cooler's approach as a part of the shell's difference to the
//! cooling water), the rest of the pressure is air. The air in the shell is mixed in this model, where in a bundle
//! it is swept towards the cooler; the cooler therefore finds it enriched, at most [`ENRICHED`] times the mean
//! (own choice). `p_a = min(p - p_sat(T_c), ENRICHED p_air)`; the rest is steam.
//!
//! Seal water: `C dT/dt = P - k (T - T_in)`, implicit, with shaft power `P` as heat (compression is near isothermal)
//! and `k` to the cooling water in proportion to its flow up to its nominal.
//! Assumptions: no pressure loss in the suction line; the pump's non-return flap holds when it stands.
//! Valid range: any suction pressure. Units: Pa, K, kg/s, m3/s, W.

use crate::machines::{Motor, MotorParams};
use crate::vessel::{AIR_CONSTANT, Contents, Equilibrium, air_enthalpy};
use crate::water;

/// Most times that the air at the suction is richer than the shell's mean: own choice.
pub const ENRICHED: f64 = 8.0;

/// A vacuum pump's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VacuumPumpParams {
    /// Volume taken in a second with a cold ring, m3/s.
    pub capacity: f64,
    /// Shaft power at rated speed, W.
    pub power: f64,
    /// Heat capacity of the seal water and its cooler, J/K.
    pub seal_capacity: f64,
    /// Conductance of the seal-water cooler at nominal flow of cooling water, W/K.
    pub seal_cooling: f64,
    /// Its motor.
    pub motor: MotorParams,
}

/// What a pump finds at the condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suction {
    /// Temperature after the air cooler, K.
    pub temperature: f64,
    /// Total pressure, Pa.
    pub pressure: f64,
    /// Partial pressure of air there, Pa.
    pub air: f64,
    /// Partial pressure of steam there, Pa.
    pub steam: f64,
}

impl Suction {
    /// The gas after the air cooler of a shell whose cooling water comes in at `inlet`, K.
    #[must_use]
    pub fn of(shell: &Equilibrium, inlet: f64, approach: f64) -> Suction {
        // The air cooler cannot be warmer than the shell, nor colder than the tables go.
        let cooled = (inlet + approach * (shell.t - inlet)).min(shell.t).max(water::T_MIN);
        let mean = (shell.p - shell.p_steam).max(0.0);
        let saturation = if cooled < water::T_MAX_LIQUID { water::p_sat(cooled) } else { shell.p };
        let steam = saturation.min(shell.p_steam);
        let rest = (shell.p - steam).max(0.0);
        if rest <= ENRICHED * mean {
            return Suction { temperature: cooled, pressure: shell.p, air: rest, steam };
        }
        // Too little air to fill the rest: the cooler's gas is mostly steam, and no colder than its saturation.
        let air = ENRICHED * mean;
        let steam = shell.p - air;
        Suction { temperature: cooled.max(water::t_sat(steam)), pressure: shell.p, air, steam }
    }
}

/// What leaves a shell, per second.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Draw {
    /// Water as vapour, kg/s.
    pub water: f64,
    /// Air, kg/s.
    pub air: f64,
    /// Their enthalpy, W.
    pub energy: f64,
}

base::kept!(Draw { water, air, energy });

impl Draw {
    /// Both together.
    #[must_use]
    pub fn and(self, more: Draw) -> Draw {
        Draw { water: self.water + more.water, air: self.air + more.air, energy: self.energy + more.energy }
    }
}

/// A vacuum pump and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct VacuumPump {
    params: VacuumPumpParams,
    /// What drives it.
    pub motor: Motor,
    /// Failing: part of its capacity that is lost.
    pub worn: f64,
    /// Failing: power that a hot bearing takes at rated speed, as a part of the motor's rated power.
    pub bearing: f64,
    seal: f64,
    /// What was drawn in the last tick.
    pub drawn: Draw,
    power: f64,
    work: f64,
    cooled: f64,
}

base::kept!(VacuumPump { motor, worn, bearing, seal, drawn, power, work, cooled } fixed { params });

impl VacuumPump {
    /// A pump at rest with its seal water at a temperature, K.
    #[must_use]
    pub fn new(params: VacuumPumpParams, temperature: f64) -> VacuumPump {
        let motor = Motor::new(params.motor);
        VacuumPump {
            params,
            motor,
            worn: 0.0,
            bearing: 0.0,
            seal: temperature,
            drawn: Draw::default(),
            power: 0.0,
            work: 0.0,
            cooled: 0.0,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> VacuumPumpParams {
        self.params
    }

    /// Temperature of the seal water, K.
    #[must_use]
    pub fn seal_temperature(&self) -> f64 {
        self.seal
    }

    /// Shaft power, W.
    #[must_use]
    pub fn shaft_power(&self) -> f64 {
        self.power
    }

    /// Shaft work since the start, J.
    #[must_use]
    pub fn work(&self) -> f64 {
        self.work
    }

    /// Heat given to the cooling water in the last tick, J.
    #[must_use]
    pub fn cooled(&self) -> f64 {
        self.cooled
    }

    /// Volume taken at a suction pressure, m3/s.
    #[must_use]
    pub fn volume_flow(&self, pressure: f64) -> f64 {
        let vapour = water::p_sat(self.seal);
        if pressure <= vapour {
            return 0.0;
        }
        self.params.capacity * (1.0 - self.worn) * self.motor.speed() * (1.0 - vapour / pressure)
    }

    /// Runs for `dt` seconds with supply or without, drawing from a shell that holds `contents`. `cooling` is the
    /// cooling water's inlet temperature, K, and its flow as a part of nominal.
    pub fn step(&mut self, live: bool, suction: &Suction, contents: &Contents, cooling: (f64, f64), dt: f64) -> Draw {
        let rubs = self.bearing * self.params.motor.rated_power * self.motor.speed();
        self.motor.step(live, self.power + rubs, dt);
        let speed = self.motor.speed();
        self.power = self.params.power * speed * speed * speed;
        let volume = self.volume_flow(suction.pressure);
        let t = suction.temperature;
        // The ring takes no more in a tick than a part of what the shell holds: its flow falls off with the contents.
        let air = (volume * suction.air / (AIR_CONSTANT * t)).min(0.2 * contents.air.max(0.0) / dt);
        let (mut steam, mut enthalpy) = (0.0, 0.0);
        if suction.steam > 0.0 && volume > 0.0 {
            let w = water::vapour(suction.steam, t);
            steam = (volume / w.v).min(0.2 * contents.water.max(0.0) / dt);
            enthalpy = w.h;
        }
        self.drawn = Draw { water: steam, air, energy: steam * enthalpy + air * air_enthalpy(t) };
        let k = self.params.seal_cooling * cooling.1.clamp(0.0, 1.0);
        let c = self.params.seal_capacity;
        let to = (c * self.seal + dt * (self.power + k * cooling.0)) / (c + dt * k);
        self.cooled = dt * k * (to - cooling.0);
        self.work += dt * self.power;
        self.seal = to;
        self.drawn
    }
}
