//! A tank open to the air, or to a vessel above it whose pressure stands on its surface.
//!
//! Equations: `m' = sum of flows`, `E' = sum of energy flows + heat - UA (T - ambient)`, with E the thermal
//! energy and the height energy of what it holds, `E = m (c (T - 273.15 K) + g (z + L/2))`, L the level
//! in a tank with upright walls. That is the scale on which a liquid network hands energy over (see
//! `liquid::transport`), so that a tank and its networks close together to rounding.
//! Loss to the surroundings is implicit. What rises above the overflow runs off with half the excess a second.
//! Water above 100 degC under the open air boils off within a few seconds: `m c (T - 100 degC) / (r 5 s)` leaves as
//! steam with the heat of evaporation `r` (2257 kJ/kg, steam tables; the time is own choice).
//! Assumptions: perfectly mixed; evaporation below boiling left out. An outlet draws air when the level has
//! fallen to it: [`OpenTank::is_empty`] tells, from 2 cm above the bottom down, until 5 cm are back
//! (own choice), and whoever assembles the plant shuts the outlet's link then.
//! Units: SI; elevations in m above the ship's datum.

use crate::liquid::{Fluid, GRAVITY, Network, NodeId};

/// Level at which outlets draw air, and at which they are covered again, m.
const UNCOVERED: (f64, f64) = (0.02, 0.05);

/// Boiling point under the open air, K, heat of evaporation there, J/kg (steam tables), and the time it takes, s.
const BOILS: (f64, f64, f64) = (373.15, 2.257e6, 5.0);

/// A tank's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TankParams {
    /// What it holds.
    pub fluid: Fluid,
    /// Area, m2.
    pub area: f64,
    /// Elevation of its bottom, m.
    pub bottom: f64,
    /// Height of the overflow above the bottom, m.
    pub overflow: f64,
    /// Heat conductance to the surroundings, W/K.
    pub loss: f64,
}

/// What crossed a tank's boundary in one tick or since the start: kg and J.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Crossed {
    /// Mass, kg.
    pub mass: f64,
    /// Energy, J.
    pub energy: f64,
}

base::kept!(Crossed { mass, energy });

/// A tank and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenTank {
    params: TankParams,
    mass: f64,
    energy: f64,
    empty: bool,
    /// Pressure on its surface over the atmosphere's, as a head of its liquid, m: zero but under a condenser.
    surface: f64,
    /// Gathered over the tick.
    flow: f64,
    power: f64,
    overflow_rate: f64,
    overflowed: Crossed,
    boiled: Crossed,
    lost: f64,
}

base::kept!(OpenTank { mass, energy, empty, surface, flow, power, overflow_rate, overflowed, boiled, lost }
    fixed { params });

impl OpenTank {
    /// A tank with this level (m above its bottom) of liquid at this temperature (K).
    #[must_use]
    pub fn new(params: TankParams, level: f64, temperature: f64) -> OpenTank {
        let mut tank = OpenTank {
            params,
            mass: 0.0,
            energy: 0.0,
            empty: false,
            surface: 0.0,
            flow: 0.0,
            power: 0.0,
            overflow_rate: 0.0,
            overflowed: Crossed::default(),
            boiled: Crossed::default(),
            lost: 0.0,
        };
        tank.prepare(level, temperature);
        tank
    }

    /// Fills it to a level (m) at a temperature (K) at once, for a prepared start.
    pub fn prepare(&mut self, level: f64, temperature: f64) {
        let p = &self.params;
        self.mass = p.fluid.density() * p.area * level;
        self.energy = self.mass * (p.fluid.enthalpy(temperature) + GRAVITY * (p.bottom + 0.5 * level));
        self.empty = level < UNCOVERED.0;
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> TankParams {
        self.params
    }

    /// Mass held, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.mass
    }

    /// Energy held, thermal and height, J.
    #[must_use]
    pub fn energy(&self) -> f64 {
        self.energy
    }

    /// Level above the bottom, m.
    #[must_use]
    pub fn level(&self) -> f64 {
        self.mass / (self.params.fluid.density() * self.params.area)
    }

    /// Head of what it holds, m: the elevation of the surface, and the pressure on it.
    #[must_use]
    pub fn head(&self) -> f64 {
        self.params.bottom + self.level() + self.surface
    }

    /// Puts its surface under a pressure, Pa absolute. The pressure's work goes with what flows, so that all closes.
    pub fn set_surface_pressure(&mut self, pressure: f64) {
        self.surface = (pressure - base::units::ATMOSPHERE) / (self.params.fluid.density() * GRAVITY);
    }

    /// Specific thermal energy, J/kg.
    #[must_use]
    pub fn specific_energy(&self) -> f64 {
        if self.mass > 0.0 {
            self.energy / self.mass - GRAVITY * (self.params.bottom + 0.5 * self.level())
        } else {
            self.params.fluid.enthalpy(base::units::CELSIUS_ZERO + 20.0)
        }
    }

    /// Total specific enthalpy of what leaves it, J/kg, on the networks' scale.
    #[must_use]
    pub fn enthalpy(&self) -> f64 {
        self.specific_energy() + GRAVITY * self.head()
    }

    /// Temperature, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.params.fluid.temperature(self.specific_energy())
    }

    /// Its outlets draw air.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.empty
    }

    /// Flow over the overflow, kg/s.
    #[must_use]
    pub fn overflow_rate(&self) -> f64 {
        self.overflow_rate
    }

    /// What has run over since the start.
    #[must_use]
    pub fn overflowed(&self) -> Crossed {
        self.overflowed
    }

    /// What has boiled off since the start.
    #[must_use]
    pub fn boiled(&self) -> Crossed {
        self.boiled
    }

    /// Heat lost to the surroundings since the start, J.
    #[must_use]
    pub fn heat_lost(&self) -> f64 {
        self.lost
    }

    /// Holds the head and gives the enthalpy at its node of a network, before the network is solved.
    pub fn hold(&self, net: &mut Network, node: NodeId) {
        net.set_head(node, self.head());
        net.set_enthalpy(node, self.enthalpy());
    }

    /// Takes what crossed its node of a network on this tick.
    pub fn take(&mut self, net: &Network, node: NodeId) {
        self.add(-net.boundary_mass_flow(node), -net.boundary_energy_flow(node));
    }

    /// Takes another flow (kg/s, negative out) with its energy flow (W, total enthalpy), or heat alone.
    pub fn add(&mut self, mass_flow: f64, energy_flow: f64) {
        self.flow += mass_flow;
        self.power += energy_flow;
    }

    /// Stands for `dt` seconds with what was taken, in surroundings of this temperature (K).
    pub fn step(&mut self, ambient: f64, dt: f64) {
        let p = self.params;
        let most = p.fluid.density() * p.area * p.overflow;
        self.overflow_rate = 0.5 * (self.mass - most).max(0.0);
        let over = dt * self.overflow_rate;
        let over_energy = over * self.enthalpy();
        self.overflowed.mass += over;
        self.overflowed.energy += over_energy;
        self.mass += dt * self.flow - over;
        self.energy += dt * self.power - over_energy;
        if self.mass > 0.0 && p.loss > 0.0 {
            // Implicit: the loss at the temperature at the end of the tick.
            let excess = self.temperature() - ambient;
            let heat = p.loss * excess * dt / (1.0 + p.loss * dt / (self.mass * p.fluid.heat_capacity()));
            self.energy -= heat;
            self.lost += heat;
        }
        self.boil(dt);
        let level = self.level();
        self.empty = if self.empty { level < UNCOVERED.1 } else { level < UNCOVERED.0 };
        self.flow = 0.0;
        self.power = 0.0;
    }
}

impl OpenTank {
    /// Lets water above its boiling point boil off.
    fn boil(&mut self, dt: f64) {
        let (point, heat, time) = BOILS;
        let fluid = self.params.fluid;
        let water = matches!(fluid, Fluid::FeedWater | Fluid::FreshWater);
        if !water || self.surface != 0.0 || self.mass <= 0.0 || self.temperature() <= point {
            return;
        }
        let steam = self.mass * fluid.heat_capacity() * (self.temperature() - point) / (heat * time) * dt;
        let energy = steam * (self.enthalpy() + heat);
        self.mass -= steam;
        self.energy -= energy;
        self.boiled.mass += steam;
        self.boiled.energy += energy;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::liquid::{Characteristic, LinkKind, NetworkBuilder};

    const PARAMS: TankParams = TankParams { fluid: Fluid::FeedWater, area: 2.0, bottom: 3.0, overflow: 1.5, loss: 0.0 };

    #[test]
    fn two_tanks_and_a_pipe_close_in_mass_and_energy() {
        let mut b = NetworkBuilder::new(Fluid::FeedWater);
        let (high, low) = (b.reservoir("high", 3.0), b.reservoir("low", 0.0));
        let middle = b.junction("middle", 0.0, 0.02);
        let kind = LinkKind::ValveKv { kv: 20.0, characteristic: Characteristic::Linear };
        let outlet = b.link("outlet", high, middle, kind);
        b.link("pipe", middle, low, LinkKind::Pipe { length: 10.0, diameter: 0.08, roughness: 5e-5, minor_loss: 1.0 });
        let mut net = b.build().unwrap();
        net.fill_at(300.0);
        let mut a = OpenTank::new(PARAMS, 1.0, 350.0);
        let mut c = OpenTank::new(TankParams { bottom: 0.0, overflow: 0.6, loss: 50.0, ..PARAMS }, 0.2, 300.0);
        let mass = a.mass() + c.mass();
        let energy = a.energy() + c.energy() + net.stored_energy();
        for _ in 0..30_000 {
            net.set_shut(outlet, a.is_empty());
            a.hold(&mut net, high);
            c.hold(&mut net, low);
            net.solve().unwrap();
            net.carry(0.1);
            a.take(&net, high);
            c.take(&net, low);
            a.step(290.0, 0.1);
            c.step(290.0, 0.1);
            assert!(a.level() >= 0.0);
        }
        assert!(a.is_empty() && c.overflowed().mass > 100.0, "{} {}", a.level(), c.overflowed().mass);
        let mass_error = a.mass() + c.mass() + c.overflowed().mass - mass;
        let energy_now = a.energy() + c.energy() + net.stored_energy() + c.overflowed().energy + c.heat_lost();
        assert!(mass_error.abs() < 1e-9 * mass, "{mass_error}");
        assert!((energy_now - energy).abs() < 1e-10 * energy, "{} of {energy}", energy_now - energy);
    }

    #[test]
    fn heat_warms_it_as_its_capacity_says() {
        let mut t = OpenTank::new(PARAMS, 1.0, 300.0);
        for _ in 0..1000 {
            t.add(0.0, 1e4);
            t.step(290.0, 0.1);
        }
        let rise = 1e4 * 100.0 / (t.mass() * 4190.0);
        assert!((t.temperature() - 300.0 - rise).abs() < 1e-9);
    }

    #[test]
    fn water_heated_past_its_boiling_point_boils_off_and_closes() {
        let mut t = OpenTank::new(PARAMS, 1.0, 370.0);
        let (mass, energy) = (t.mass(), t.energy());
        for _ in 0..20_000 {
            t.add(0.0, 5e5);
            t.step(290.0, 0.1);
        }
        // All that came above the boiling point left as steam: 500 kW over its heat of evaporation.
        let gone = t.boiled();
        assert!((t.temperature() - 373.15).abs() < 1.0, "{}", t.temperature());
        assert!((300.0..450.0).contains(&gone.mass), "{gone:?}");
        assert!((t.mass() + gone.mass - mass).abs() < 1e-9);
        let heat = 5e5 * 2000.0;
        assert!((t.energy() + gone.energy - energy - heat).abs() < 1e-9 * energy);
        // Under a condenser's vacuum it is the condenser that takes what boils.
        let mut t = OpenTank::new(PARAMS, 1.0, 380.0);
        t.set_surface_pressure(1e4);
        t.step(290.0, 0.1);
        assert_eq!(t.boiled().mass, 0.0);
    }

    #[test]
    fn loss_brings_it_to_the_surroundings_and_no_further() {
        let mut t = OpenTank::new(TankParams { loss: 1e9, ..PARAMS }, 0.5, 350.0);
        for _ in 0..100 {
            t.step(290.0, 0.1);
            assert!(t.temperature() > 290.0 - 1e-9);
        }
        assert!((t.temperature() - 290.0).abs() < 1e-6);
    }
}
