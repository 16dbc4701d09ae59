//! The condenser among the other parts: what it gives to circuits, tanks and steam net, and takes from them.
//!
//! Within a tick: before the circuits are solved, the shell's pressure on the hotwell and the leak through a hole
//! are set; before they carry heat, the heat that the tubes gave up in the tick before; after that, salt
//! follows the flows. Before the steam net steps, the wall and what falls, leaks and is drawn; after it, the
//! hotwell takes what fell. What goes from one part to another is the same number on both sides; heat to the cooling
//! water and a leak are on their way for one tick, which [`CondenserPart::crossings`] counts.

use crate::assembly::condenser::LEAK_MAX;
use crate::assembly::{Fault, LiquidLink};
use crate::condenser::{Below, Condenser, CoolingWater, Draw, Salt, Taken, VacuumPump, conductivity, salt};
use crate::control::Threshold;
use crate::damage::{Damage, HeatLimit};
use crate::ledger::{Crossings, Store};
use crate::liquid::{Network, NodeId as LiquidNodeId};
use crate::parts::{BoilerPart, Parts, TankPart};
use crate::reading::Source;
use crate::registry::PointId;
use crate::steam::{BranchId, NodeId as SteamNode, SteamNet};
use base::Tag;

/// Shuts the dump valve as long as the condenser's pressure is high, whatever its controller says.
#[derive(Clone, Debug)]
pub struct DumpGuard {
    /// The valve's place among the valves.
    pub valve: usize,
    /// The point whose signal it acts on.
    pub reads: PointId,
    /// It has acted.
    pub lost: Threshold,
}

base::kept!(DumpGuard { lost } fixed { valve, reads });

/// The condenser and what belongs to it.
#[derive(Clone, Debug)]
pub struct CondenserPart {
    pub tag: Tag,
    pub node: SteamNode,
    /// Relief to the open air, when pressure rises above it.
    pub relief: BranchId,
    /// Air that leaks in: opening 1 is the most that a failing can be.
    pub in_leakage: BranchId,
    /// Opening of that for a sound condenser.
    pub sound: f64,
    pub hotwell: usize,
    /// The link of the cooling water through the tubes.
    pub cooled: LiquidLink,
    pub condenser: Condenser,
    pub pumps: Vec<VacuumPump>,
    pub salt: Salt,
    /// Branches that take the drum's water, for the salt in it.
    pub drum_ways: Vec<BranchId>,
    /// What shuts the dump valve when vacuum is lost.
    pub dump: Option<DumpGuard>,
    /// Tubes and joints above what they stand.
    pub overheated: Damage,
    pub limit: HeatLimit,
    /// Sums over the run.
    sums: Sums,
    leak: Taken,
    seal_heat: f64,
}

base::kept!(CondenserPart { condenser, pumps, salt, dump, overheated, sums, leak, seal_heat }
    fixed { tag, node, relief, in_leakage, sound, hotwell, cooled, drum_ways, limit });

#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    /// To the hotwell, kg and J.
    fallen: (f64, f64),
    /// Cooling water into the shell, kg and J; what is on its way counted.
    leaked: (f64, f64),
    /// Heat that left the tubes, J.
    cooled: f64,
    /// Heat given to the cooling water, J.
    given: f64,
    /// Heat of the pumps' seal water that left it, J.
    seal: f64,
}

base::kept!(Sums { fallen, leaked, cooled, given, seal });

/// What a condenser is made of, from the assembly.
pub struct Made {
    pub tag: Tag,
    pub node: SteamNode,
    pub relief: BranchId,
    pub in_leakage: BranchId,
    pub sound: f64,
    pub hotwell: usize,
    pub cooled: LiquidLink,
    pub condenser: Condenser,
    pub pumps: Vec<VacuumPump>,
    pub salt: Salt,
    pub drum_ways: Vec<BranchId>,
    pub dump: Option<DumpGuard>,
    pub limit: HeatLimit,
}

impl CondenserPart {
    pub fn new(made: Made) -> CondenserPart {
        let Made {
            tag,
            node,
            relief,
            in_leakage,
            sound,
            hotwell,
            cooled,
            condenser,
            pumps,
            salt,
            drum_ways,
            dump,
            limit,
        } = made;
        CondenserPart {
            tag,
            node,
            relief,
            in_leakage,
            sound,
            hotwell,
            cooled,
            condenser,
            pumps,
            salt,
            drum_ways,
            dump,
            overheated: Damage::none("condenser tubes and their joints overheated"),
            limit,
            sums: Sums::default(),
            leak: Taken::default(),
            seal_heat: 0.0,
        }
    }

    fn water(&self, circuits: &[Network]) -> CoolingWater {
        let net = &circuits[self.cooled.circuit];
        CoolingWater {
            mass_flow: net.mass_flow(self.cooled.link).abs(),
            heat_capacity: net.fluid().heat_capacity(),
            temperature: net.temperature(net.upstream(self.cooled.link)),
        }
    }

    /// Before the circuits are solved: the pressure on the hotwell, and what leaks out of the cooling water.
    pub fn before_circuits(&self, circuits: &mut [Network], tanks: &mut [TankPart], steam: &SteamNet) {
        let shell = steam.state(self.node);
        tanks[self.hotwell].tank.set_surface_pressure(shell.p);
        let net = &mut circuits[self.cooled.circuit];
        let (at, density) = (self.cooled.to, net.fluid().density());
        let leak = self.condenser.leak(shell, net.pressure(at), density) / density;
        // To 1e-7 m3/s: a circuit whose settings did not change is not solved again.
        net.set_demand(at, (leak * 1e7).round() * 1e-7);
    }

    /// Before the circuits carry heat: what the tubes and the seal water gave up in the tick before.
    pub fn heat(&mut self, circuits: &mut [Network], dt: f64) {
        let heat = self.condenser.heat() + self.seal_heat;
        circuits[self.cooled.circuit].set_heat(self.cooled.link, heat / dt);
        self.sums.given += heat;
    }

    /// After they carried: what left the cooling water by the hole, and the salt of the feed water.
    pub fn after_circuits(&mut self, circuits: &[Network], tanks: &[TankPart], boiler: Option<&BoilerPart>, dt: f64) {
        let net = &circuits[self.cooled.circuit];
        let (out, energy) = (-net.boundary_mass_flow(self.cooled.to), -net.boundary_energy_flow(self.cooled.to));
        self.leak = Taken { water: out, energy };
        self.sums.leaked.0 += out * dt;
        self.sums.leaked.1 += energy * dt;
        let at = tanks[self.hotwell].at;
        if out != 0.0 {
            self.salt.bring(at.node, salt::SEA * out * dt);
        }
        let feed = &circuits[at.circuit];
        let drum = boiler.filter(|b| b.inlet.circuit == at.circuit).map(|b| b.inlet.node);
        let tank = |n| tanks.iter().find(|t| t.at.circuit == at.circuit && t.at.node == n);
        let mass = |n: LiquidNodeId| {
            if feed.is_junction(n) {
                Some(feed.mass_at(n))
            } else if drum == Some(n) {
                // Nothing comes back from the drum's inlet: its salt is passed on at once.
                Some(0.0)
            } else {
                tank(n).map(|t| t.tank.mass())
            }
        };
        self.salt.carry(feed, mass, dt);
        if let Some(n) = drum {
            self.salt.feed_drum(n);
        }
        for t in tanks.iter().filter(|t| t.at.circuit == at.circuit && t.tank.overflow_rate() > 0.0) {
            self.salt.leave(t.at.node, t.tank.overflow_rate() * dt / t.tank.mass());
        }
    }

    /// Before the steam net steps: wall and inflow of the shell.
    pub fn before_steam(
        &mut self,
        circuits: &[Network],
        tanks: &mut [TankPart],
        steam: &mut SteamNet,
        live: bool,
        dt: f64,
    ) {
        let water = self.water(circuits);
        let (shell, contents) = (*steam.state(self.node), steam.contents(self.node));
        let suction = self.condenser.suction(&shell, water);
        let cooling = (water.temperature, water.mass_flow / self.condenser.params().tubes.flow_nominal);
        let mut drawn = Draw::default();
        self.seal_heat = 0.0;
        for p in &mut self.pumps {
            drawn = drawn.and(p.step(live, &suction, &contents, cooling, dt));
            self.seal_heat += p.cooled();
        }
        self.sums.seal += self.seal_heat;
        let tank = &mut tanks[self.hotwell].tank;
        let (params, enthalpy) = (tank.params(), tank.specific_energy());
        let below = Below {
            mass: tank.mass(),
            most: params.fluid.density() * params.area * params.overflow,
            temperature: tank.temperature(),
            enthalpy,
        };
        let taken = self.condenser.fall(&shell, &below);
        tank.add(taken.water, taken.energy);
        self.sums.fallen.0 += taken.water * dt;
        self.sums.fallen.1 += taken.energy * dt;
        steam.set_inflow(self.node, self.condenser.inflow(taken, drawn, self.leak));
        if let Some(wall) = steam.wall_mut(self.node) {
            self.condenser.set_wall(wall, &shell, water);
        }
    }

    /// After it: the heat to the cooling water, what heat hurts, and the drum's salt.
    pub fn after_steam(&mut self, steam: &SteamNet, boiler: Option<&mut BoilerPart>, dt: f64) {
        let lost = steam.wall_lost(self.node);
        self.condenser.settle(lost);
        self.sums.cooled += lost;
        if let Some(wall) = steam.wall(self.node) {
            self.overheated.heat(wall.t, self.limit, dt);
        }
        let Some(b) = boiler else { return };
        if self.salt.drum() == 0.0 {
            return;
        }
        let e = steam.state(b.drum_node);
        let mut water = 0.0;
        for way in &self.drum_ways {
            let branch = steam.branch(*way);
            let flow = branch.flow().max(0.0);
            let liquid = if *way == b.outlet {
                b.drum.moisture()
            } else if e.h_v > e.h_l && e.liquid_mass > 0.0 {
                ((e.h_gas - branch.enthalpy()) / (e.h_gas - e.h_l)).clamp(0.0, 1.0)
            } else {
                0.0
            };
            water += flow * liquid * dt;
        }
        if e.liquid_mass > 0.0 {
            self.salt.leave_drum(water / e.liquid_mass);
            b.drum.set_salt(self.salt.drum() / e.liquid_mass);
        }
    }

    /// Conductivity of the water at a node of the feed circuit, S/m.
    pub fn conductivity_at(&self, circuits: &[Network], tanks: &[TankPart], node: LiquidNodeId) -> f64 {
        let at = tanks[self.hotwell].at;
        let net = &circuits[at.circuit];
        let mass = if net.is_junction(node) {
            net.mass_at(node)
        } else {
            tanks.iter().find(|t| t.at.circuit == at.circuit && t.at.node == node).map_or(0.0, |t| t.tank.mass())
        };
        conductivity(if mass > 0.0 { self.salt.at(node) / mass } else { 0.0 })
    }

    /// Conductivity of the drum's water, S/m.
    pub fn drum_conductivity(&self, steam: &SteamNet, boiler: Option<&BoilerPart>) -> f64 {
        let held = boiler.map_or(0.0, |b| steam.state(b.drum_node).liquid_mass);
        conductivity(if held > 0.0 { self.salt.drum() / held } else { 0.0 })
    }

    /// What an instrument of the condenser finds.
    pub fn read(&self, source: Source, parts: &Parts) -> f64 {
        match source {
            Source::VacuumPumpRuns(i) => f64::from(u8::from(self.pumps[i].motor.is_running())),
            Source::Conductivity(n) => self.conductivity_at(&parts.circuits, &parts.tanks, n.node),
            Source::DrumConductivity => self.drum_conductivity(&parts.steam, parts.boiler.as_ref()),
            _ => 0.0,
        }
    }

    /// Sets one of its failings going, or mends it.
    pub fn fail(&mut self, steam: &mut SteamNet, fault: Fault, acting: bool, size: Option<f64>) {
        let size = if acting { size.unwrap_or(0.0) } else { 0.0 };
        match fault {
            Fault::CondenserFouled => self.condenser.tubes.fouling = size,
            Fault::CondenserTubeLeak => self.condenser.hole = size,
            Fault::CondenserDrawsAir => {
                steam.set_opening(self.in_leakage, (self.sound + size / LEAK_MAX).min(1.0));
            }
            Fault::VacuumPumpTrips(i) => {
                let motor = &mut self.pumps[i].motor;
                motor.failing.trips = acting;
                if !acting {
                    motor.reset();
                }
            }
            Fault::VacuumPumpWillNotStart(i) => self.pumps[i].motor.failing.will_not_start = acting,
            Fault::VacuumPumpWorn(i) => self.pumps[i].worn = size,
            Fault::VacuumPumpBearing(i) => self.pumps[i].bearing = size,
            _ => {}
        }
    }

    /// What it holds beside the steam net and the hotwell.
    pub fn stores(&self, all: &mut Vec<Store>) {
        for p in &self.pumps {
            let capacity = p.params().seal_capacity;
            all.push(Store::Heat { name: "seal water of a vacuum pump", capacity, t: p.seal_temperature() });
        }
    }

    /// What crossed, beside what the steam net's own ledger tells (which counts the hotwell, the cooling water and the
    /// leak as outside): they are inside, but for what is on its way to the cooling water.
    pub fn crossings(&self, c: &mut Crossings) {
        let s = &self.sums;
        // A leak that has left its circuit enters the shell in the same tick.
        c.water += s.fallen.0;
        c.other_liquids -= s.leaked.0;
        let work: f64 = self.pumps.iter().map(|p| p.work()).sum();
        let on_its_way = s.cooled + s.seal - s.given;
        for x in [s.fallen.1, -s.leaked.1, s.cooled, work, -on_its_way] {
            c.energy += x;
            c.energy_through += x.abs();
        }
    }
}

#[cfg(test)]
mod tests;
