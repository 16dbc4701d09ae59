//! The lube-oil system: sump tank, two pumps, two filters, cooler, header, and the heat that goes round.
//!
//! Tank: `m' = make-up - leak`, energy of the oil `m c (T - 273.15 K)`, mixed; what leaves it is at its temperature, what returns from the
//! bearings and the spilling valves brings its heat back within the tick. Oil in the pipes counts as being in the tank. Pumps' power
//! `p_d q/eta` all ends as heat in the oil (throttled away again), and so does bearings' heat. Level from mass: `L = m/(rho A)`; below the suction
//! the pumps draw air.
//! Cooler: `machines::Exchanger` between the oil that a thermostat sends through it and a water link of a circuit: part through the cooler from
//! 0 at the thermostat's opening to 1 at its full temperature, a straight line (a wax element; own choice).
//! Viscosity by `viscosity::Walther` at the supply's temperature; pressure by `pressure::balance`.
//! Shaft-driven pump: displacement in proportion to speed. Priming pump: electric, by hand or on automatic: it starts when the pressure signal falls
//! below its setting for 0.3 s, and stops by itself when the shaft's pump has held the pressure for a while at nearly full speed.
//! Constants: density 865 kg/m3 and 2000 J/(kg K), a mineral turbine oil at 45 degC (handbook class of value, from memory).
//! Units: SI; pressures above atmosphere inside `pressure`, absolute for signals.

use super::pressure::{Header, HeaderParams, Running, balance};
use super::viscosity::Walther;
use crate::instruments::{Acts, Signal, Threshold, ThresholdParams};
use crate::liquid::Fluid;
use crate::machines::exchanger::Side;
use crate::machines::{Exchanger, ExchangerParams, Motor, MotorParams};
use base::units::CELSIUS_ZERO;

/// Speed of the shaft, part of rated, from which its own pump holds the pressure.
const HOLDS: f64 = 0.85;
/// How long it must hold before the priming pump stops by itself, s.
const HELD: f64 = 20.0;

/// The system's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OilParams {
    /// Area of the tank, m2.
    pub area: f64,
    /// Level from which it runs over, m.
    pub height: f64,
    /// Level below which the pumps draw air, m.
    pub suction: f64,
    /// Loss of the tank to the room, W/K.
    pub loss: f64,
    /// The header.
    pub header: HeaderParams,
    /// The oil.
    pub oil: Walther,
    /// Its viscosity that counts as nominal, m2/s.
    pub viscosity_nominal: f64,
    /// Displacement of the shaft's pump at rated speed, m3/s.
    pub shaft_pump: f64,
    /// Of the priming pump, m3/s.
    pub priming_pump: f64,
    /// Efficiency of both.
    pub efficiency: f64,
    /// Motor of the priming pump.
    pub motor: MotorParams,
    /// Its automatic starts below this, Pa absolute.
    pub starts_below: f64,
    /// The cooler, oil first.
    pub cooler: ExchangerParams,
    /// Thermostat: opens at, fully open at, K.
    pub thermostat: (f64, f64),
    /// Make-up from the store, kg/s with the valve open, and its temperature, K.
    pub make_up: (f64, f64),
}

/// What can be wrong.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OilFailing {
    /// Leak from the header, kg/s at the regulating valve's pressure.
    pub leak: f64,
    /// The automatic start of the priming pump is dead.
    pub standby_dead: bool,
    /// Part of its displacement that the shaft's pump has lost.
    pub shaft_pump_worn: f64,
    /// The cooler's thermostat sends nothing through it.
    pub thermostat_shut: bool,
}

base::kept!(OilFailing { leak, standby_dead, shaft_pump_worn, thermostat_shut });

/// One of the two filters.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Filter {
    /// Choked part, 0 to 1.
    pub choked: f64,
    /// How fast it chokes, 1/s: a failing.
    pub rate: f64,
}

base::kept!(Filter { choked, rate });

/// The oil system and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Oil {
    params: OilParams,
    mass: f64,
    energy: f64,
    /// Its failings.
    pub failing: OilFailing,
    /// Both filters.
    pub filters: [Filter; 2],
    /// Which one is in use, 0 or 1.
    pub in_use: usize,
    /// The cooler.
    pub cooler: Exchanger,
    /// Motor of the priming pump.
    pub priming: Motor,
    /// The priming pump is on automatic.
    pub automatic: bool,
    /// Make-up valve, 0 to 1.
    pub make_up: f64,
    low: Threshold,
    held: f64,
    header: Header,
    supply: f64,
    /// Viscosity, parts of nominal, and the temperature it was worked out at, K.
    mu: (f64, f64),
    shaft_power: f64,
    crossed: Crossed,
}

base::kept!(Oil { mass, energy, failing, filters, in_use, cooler, priming, automatic, make_up, low, held, header,
    supply, mu, shaft_power, crossed }
    fixed { params });

/// What crossed the system's boundary since the start.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Crossed {
    /// Oil in less out, kg.
    pub oil: f64,
    /// Its energy, J.
    pub oil_energy: f64,
    /// Oil in and out without regard to direction, kg.
    pub oil_through: f64,
    /// Heat lost by the tank, J.
    pub lost: f64,
    /// Work of the priming pump, J.
    pub priming: f64,
    /// Heat given to the water of the cooler, J.
    pub cooled: f64,
}

base::kept!(Crossed { oil, oil_energy, oil_through, lost, priming, cooled });

impl Oil {
    /// A system at rest with so much oil (m) at a temperature (K).
    #[must_use]
    pub fn new(params: OilParams, level: f64, t: f64) -> Oil {
        let mass = Fluid::LubeOil.density() * params.area * level;
        let low = Threshold::new(ThresholdParams {
            setting: params.starts_below,
            differential: 0.1e5,
            delay: 0.3,
            acts: Acts::Falling,
        });
        Oil {
            params,
            mass,
            energy: mass * Fluid::LubeOil.enthalpy(t),
            failing: OilFailing::default(),
            filters: [Filter::default(); 2],
            in_use: 0,
            cooler: Exchanger::new(params.cooler),
            priming: Motor::new(params.motor),
            automatic: false,
            make_up: 0.0,
            low,
            held: 0.0,
            header: Header::default(),
            supply: t,
            mu: (params.oil.at(t) / params.viscosity_nominal, t),
            shaft_power: 0.0,
            crossed: Crossed::default(),
        }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &OilParams {
        &self.params
    }

    /// The priming pump's automatic, on the pressure signal (Pa absolute) and the shaft's true speed (its own switch), part of rated.
    pub fn control(&mut self, pressure: Signal, n: f64, dt: f64) {
        let wanted = self.automatic && !self.failing.standby_dead;
        if self.low.step(if wanted { pressure.0 } else { f64::INFINITY }, dt) && !self.priming.is_running() {
            self.priming.reset();
            self.priming.start();
        }
        let held = wanted && self.priming.is_running() && n > HOLDS && pressure.0 > self.params.starts_below + 0.2e5;
        self.held = if held { self.held + dt } else { 0.0 };
        if self.held > HELD {
            self.priming.stop();
        }
    }

    /// Flows of a tick at a speed of the shaft (part of rated); `live` is the priming pump's supply. Then each bearing has its share of
    /// [`Oil::bearings_flow`] at [`Oil::supply`].
    pub fn flows(&mut self, n: f64, live: bool, water: Side, dt: f64) {
        let p = self.params;
        let wet = self.level() > p.suction;
        self.priming.step(live, self.priming_power(), dt);
        let (shaft, priming) = if wet {
            (p.shaft_pump * n * (1.0 - self.failing.shaft_pump_worn), p.priming_pump * self.priming.speed())
        } else {
            (0.0, 0.0)
        };
        let t = self.temperature();
        let rho_c = Fluid::LubeOil.density() * Fluid::LubeOil.heat_capacity();
        // The cooler by the last tick's flow: flow and temperature hang on each other only through the viscosity.
        let part = if self.failing.thermostat_shut {
            0.0
        } else {
            ((t - p.thermostat.0) / (p.thermostat.1 - p.thermostat.0)).clamp(0.0, 1.0)
        };
        let through = self.header.through * Fluid::LubeOil.density();
        let side = Side { mass_flow: part * through, heat_capacity: Fluid::LubeOil.heat_capacity(), temperature: t };
        let cooled = self.cooler.heat(side, water);
        self.supply = if self.header.through > 0.0 { t - cooled / (rho_c * self.header.through) } else { t };
        // Worked out anew when the oil has become so much warmer or colder, a thousandth of the viscosity.
        if (self.supply - self.mu.1).abs() > 0.02 {
            self.mu = (p.oil.at(self.supply) / p.viscosity_nominal, self.supply);
        }
        let mu = self.mu.0;
        let pumps = n.min(1.0) + self.priming.speed();
        let leak = self.failing.leak / Fluid::LubeOil.density() / base::maths::sqrt(p.header.set);
        let choked = self.filters[self.in_use].choked;
        let running = Running { displaced: shaft + priming, pumps, mu, choked, leak };
        self.header = balance(&p.header, &running, self.header.p);
        let all = shaft + priming;
        let hydraulic = self.header.discharge / p.efficiency;
        // Each pump pays for what it displaces.
        self.shaft_power = hydraulic * shaft;
        let priming_work = hydraulic * priming * dt;
        let leaked = self.header.leak * Fluid::LubeOil.density() * dt;
        let leaked = leaked.min(self.mass);
        let came = self.make_up * p.make_up.0 * dt;
        let most = Fluid::LubeOil.density() * p.area * p.height;
        let over = (self.mass - most).max(0.0) * 0.5 * dt;
        let h = Fluid::LubeOil.enthalpy(t);
        let h_leak = Fluid::LubeOil.enthalpy(self.supply);
        let h_came = Fluid::LubeOil.enthalpy(p.make_up.1);
        let oil_energy = came * h_came - leaked * h_leak - over * h;
        self.mass += came - leaked - over;
        self.energy += oil_energy - cooled * dt + priming_work;
        let c = &mut self.crossed;
        c.oil += came - leaked - over;
        c.oil_through += came + leaked + over;
        c.oil_energy += oil_energy;
        c.cooled += cooled * dt;
        c.priming += priming_work;
        if all > 0.0 && self.header.through > 0.0 {
            let f = &mut self.filters[self.in_use];
            f.choked = (f.choked + f.rate * dt).min(1.0);
        }
    }

    /// Ends the tick: heat from the bearings (W), work that the shaft gave its pump (W), the room (K).
    pub fn settle(&mut self, bearings: f64, shaft_pump: f64, ambient: f64, dt: f64) {
        let p = self.params;
        self.energy += (bearings + shaft_pump) * dt;
        if self.mass > 0.0 {
            // Implicit: the loss at the temperature at the end of the tick.
            let excess = self.temperature() - ambient;
            let heat = p.loss * excess * dt / (1.0 + p.loss * dt / (self.mass * Fluid::LubeOil.heat_capacity()));
            self.energy -= heat;
            self.crossed.lost += heat;
        }
    }

    fn priming_power(&self) -> f64 {
        self.header.discharge * self.params.priming_pump * self.priming.speed() / self.params.efficiency
    }

    /// Power that the shaft's pump takes at this tick's flows, W.
    #[must_use]
    pub fn shaft_power(&self) -> f64 {
        self.shaft_power
    }
    /// Temperature of the tank, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        if self.mass > 0.0 {
            self.energy / (self.mass * Fluid::LubeOil.heat_capacity()) + CELSIUS_ZERO
        } else {
            self.supply
        }
    }
    /// Temperature of the oil to the bearings, K.
    #[must_use]
    pub fn supply(&self) -> f64 {
        self.supply
    }
    /// Level in the tank, m.
    #[must_use]
    pub fn level(&self) -> f64 {
        self.mass / (Fluid::LubeOil.density() * self.params.area)
    }
    /// Mass in the tank, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.mass
    }
    /// The header as it balanced.
    #[must_use]
    pub fn header(&self) -> Header {
        self.header
    }
    /// Pressure of the oil to the bearings, Pa absolute.
    #[must_use]
    pub fn pressure(&self) -> f64 {
        self.header.p + base::units::ATMOSPHERE
    }
    /// Oil to all bearings, kg/s.
    #[must_use]
    pub fn bearings_flow(&self) -> f64 {
        self.header.bearings * Fluid::LubeOil.density()
    }
    /// Viscosity of the supply, parts of nominal.
    #[must_use]
    pub fn mu(&self) -> f64 {
        self.mu.0
    }
    /// What crossed its boundary.
    #[must_use]
    pub fn crossed(&self) -> Crossed {
        self.crossed
    }
    /// Heats or cools the tank at once, K, for a prepared start.
    pub fn prepare(&mut self, t: f64) {
        self.energy = self.mass * Fluid::LubeOil.enthalpy(t);
        self.supply = t;
        self.mu = (self.params.oil.at(t) / self.params.viscosity_nominal, t);
    }
}
