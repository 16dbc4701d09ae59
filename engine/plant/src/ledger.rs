//! What an independent ledger needs: everything that holds mass or energy, told by the state that can be
//! seen from outside, and everything that crossed the boundary.
//!
//! Stores are told by pressure, temperature and volumes, never by the conserved quantities themselves, so
//! that whoever adds them up with properties of his own checks the tables and the solvers too.
//!
//! The boundary: sea, mains and nozzle at the ends of the circuits; vents, drains and safety valve of the
//! steam net; shaft power; heat that the fire gives to metal; losses to the room. What passes between two
//! parts of the plant (feed, condensate, coils, coolers) is inside and must cancel.

use crate::liquid::Fluid;
use crate::parts::Parts;

/// Something that holds mass or energy.
#[derive(Clone, Debug, PartialEq)]
pub enum Store {
    /// A closed volume of water, steam and air.
    Vessel {
        /// Its name.
        name: String,
        /// Inner volume, m3.
        volume: f64,
        /// Metal at its temperature, J/K.
        metal: f64,
        /// Pressure, Pa.
        p: f64,
        /// Temperature, K.
        t: f64,
        /// Partial pressure of steam, Pa.
        p_steam: f64,
        /// Volume of the liquid, m3.
        liquid_volume: f64,
    },
    /// Liquid in a circuit or tank.
    Liquid {
        /// Its name.
        name: String,
        /// Which liquid.
        fluid: Fluid,
        /// Mass, kg: the volume times the liquid's density.
        mass: f64,
        /// Temperature, K.
        t: f64,
        /// Height of its middle above the datum where that counts as energy (tanks), m.
        height: f64,
    },
    /// Metal or a tank that only holds heat.
    Heat {
        /// Its name.
        name: &'static str,
        /// Heat capacity, J/K.
        capacity: f64,
        /// Temperature, K.
        t: f64,
    },
    /// Something that turns.
    Rotor {
        /// Moment of inertia, kg m2.
        inertia: f64,
        /// Speed, rad/s.
        omega: f64,
    },
    /// A battery.
    Battery {
        /// Charge, J.
        charge: f64,
    },
    /// Air in the receiver.
    Air {
        /// Volume, m3.
        volume: f64,
        /// Pressure, Pa.
        p: f64,
        /// Temperature, K.
        t: f64,
    },
}

/// What has come in since the start, less what has left.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Crossings {
    /// Water of the steam and feed side, kg.
    pub water: f64,
    /// Air of the steam side, kg.
    pub steam_air: f64,
    /// Air of the control-air side, kg.
    pub control_air: f64,
    /// Sea water, cooling water and fuel, kg.
    pub other_liquids: f64,
    /// Energy, J.
    pub energy: f64,
    /// Energy without regard to direction, J: a scale for what closes.
    pub energy_through: f64,
    /// Water without regard to direction, kg.
    pub water_through: f64,
}

base::kept!(Crossings { water, steam_air, control_air, other_liquids, energy, energy_through, water_through });

/// Sums over a run of what passes inside, taken out of the parts' own accounts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Inside {
    /// Feed into the drum, kg and J.
    pub feed: (f64, f64),
    /// Condensate to tanks: water kg, air kg, J.
    pub condensate: (f64, f64, f64),
    /// Heat from metal into the steam net, J.
    pub to_net: f64,
    /// Heat from coils into tanks, J.
    pub coils: f64,
}

base::kept!(Inside { feed, condensate, to_net, coils });

impl Parts {
    /// Everything that holds mass or energy.
    pub fn stores(&self) -> Vec<Store> {
        let mut all = vec![];
        for node in self.steam.vessels() {
            let e = self.steam.state(node);
            all.push(Store::Vessel {
                name: self.steam.name(node).to_owned(),
                volume: self.steam.volume(node),
                metal: self.steam.metal(node),
                p: e.p,
                t: e.t,
                p_steam: e.p_steam,
                liquid_volume: e.liquid_volume,
            });
            if let Some(w) = self.steam.wall(node) {
                all.push(Store::Heat { name: "wall of a steam space", capacity: w.capacity, t: w.t });
            }
        }
        for net in &self.circuits {
            for node in net.nodes().filter(|n| net.is_junction(*n)) {
                let (mass, t) = (net.mass_at(node), net.temperature(node));
                all.push(Store::Liquid { name: String::new(), fluid: net.fluid(), mass, t, height: 0.0 });
            }
        }
        for t in &self.tanks {
            let p = t.tank.params();
            let (level, temperature) = (t.tank.level(), t.tank.temperature());
            all.push(Store::Liquid {
                name: "tank".into(),
                fluid: p.fluid,
                mass: p.fluid.density() * p.area * level,
                t: temperature,
                height: p.bottom + 0.5 * level,
            });
        }
        for h in &self.heated_tanks {
            all.push(Store::Heat { name: "heated tank", capacity: h.capacity(), t: h.temperature() });
        }
        if let Some(b) = &self.boiler {
            if let Some(s) = &b.drum.shell {
                let half = s.params().half_capacity;
                all.push(Store::Heat { name: "inner half of the shell", capacity: half, t: s.inner() });
                all.push(Store::Heat { name: "outer half of the shell", capacity: half, t: s.outer() });
            }
            if let Some(t) = &b.drum.tubes {
                let capacity = t.params().heat_capacity;
                all.push(Store::Heat { name: "hot side of the tubes", capacity, t: t.temperature() });
            }
            let capacity = b.superheater.params().heat_capacity;
            all.push(Store::Heat { name: "superheater tubes", capacity, t: b.superheater.temperature() });
        }
        for h in &self.heaters {
            let capacity = h.heater.params().capacity;
            all.push(Store::Heat { name: "electric heater", capacity, t: h.heater.temperature() });
        }
        for c in self.pumps.iter().filter_map(|p| p.pump.casing.as_ref()) {
            all.push(Store::Heat { name: "casing of a pump", capacity: c.params().capacity, t: c.temperature() });
        }
        if let Some(c) = &self.condenser {
            c.stores(&mut all);
        }
        if let Some(e) = &self.electrical {
            e.stores(&mut all);
        }
        if let Some(t) = &self.turbine {
            t.stores(&mut all);
        }
        for v in &self.air.vessels {
            let (p, t) = (v.receiver.pressure(), v.receiver.temperature());
            all.push(Store::Air { volume: v.receiver.params().volume, p, t });
            if let Some(shell) = v.receiver.params().shell {
                all.push(Store::Heat {
                    name: "wall of an air receiver",
                    capacity: shell.capacity,
                    t: v.receiver.wall(),
                });
            }
        }
        for m in &self.air.machines {
            let capacity = m.compressor.params().block;
            all.push(Store::Heat { name: "compressor", capacity, t: m.compressor.block_temperature() });
        }
        all
    }

    /// What has crossed the boundary.
    pub fn crossings(&self) -> Crossings {
        let mut c = self.outside;
        let inside = &self.inside;
        let mut leaked = 0.0;
        let mut energy = |x: f64| {
            c.energy += x;
            c.energy_through += x.abs();
        };
        for net in &self.circuits {
            energy(net.account().work);
            energy(net.account().room);
        }
        for h in &self.heat_loads {
            energy(h.given);
        }
        for cooler in &self.coolers {
            let (mass, heat) = cooler.leak.crossed();
            energy(heat);
            leaked += mass;
        }
        for h in &self.heaters {
            energy(h.heater.energy_in());
        }
        for c in self.pumps.iter().filter_map(|p| p.pump.casing.as_ref()) {
            energy(c.energy_in());
        }
        for t in &self.tanks {
            energy(-t.tank.heat_lost());
            energy(-t.tank.overflowed().energy);
            energy(-t.tank.boiled().energy);
        }
        for h in &self.heated_tanks {
            energy(-h.lost());
        }
        let net = self.steam.ledger();
        energy(net.energy - inside.feed.1 + inside.condensate.2 - inside.to_net + inside.coils);
        if let Some(b) = &self.boiler {
            energy(b.fired.to_boiler);
            energy(-b.fired.lagging);
        }
        if !self.air.vessels.is_empty() {
            energy(self.air.energy_in());
            c.control_air += self.air.air_in();
        }
        if let Some(e) = &self.electrical {
            energy(e.energy_in());
            c.other_liquids -= e.taken.0;
        }
        if let Some(k) = &self.condenser {
            k.crossings(&mut c);
        }
        if let Some(t) = &self.turbine {
            t.crossings(&mut c);
        }
        c.other_liquids += leaked;
        c.water += net.water - inside.feed.0 + inside.condensate.0;
        c.steam_air += net.air + inside.condensate.1;
        c.water_through += net.water_through;
        for t in &self.tanks {
            let over = t.tank.overflowed().mass + t.tank.boiled().mass;
            if t.tank.params().fluid == Fluid::FeedWater {
                c.water -= over;
            } else {
                c.other_liquids -= over;
            }
        }
        // Air that came through the traps does not stay in the tank.
        c.steam_air -= inside.condensate.1;
        c
    }
}
