//! One tick, as a fixed list of passes over the parts. The order is part of the plant's behaviour.
//!
//! First the control pass (`control_pass.rs`), on the signals of the tick before. Then the physics: drives and motors;
//! liquid circuits (flows, then heat); fire; steam net; metals and tanks; then the instruments.
//!
//! What joins two parts is given once and used on both sides within the tick: feed leaves its circuit
//! with the very mass and energy that enter the drum, condensate leaves the net as it enters the tank.

use crate::boiler::drum::DrumFlows;
use crate::boiler::{BurnerInput, FurnaceInput};
use crate::instrument_faults::PlainFailing;
use crate::instruments::Actual;
use crate::liquid::{Fluid, Network, NodeId, Trouble};
use crate::machines::{Drive, Motive};
use crate::parts::{Parts, Site};
use crate::steam::Inflow;
use crate::water;
use base::tick::TICK_SECONDS as DT;
use base::units::ATMOSPHERE;

/// Backward flow of water that stands, m3/s: a litre in a quarter of an hour. Own choice.
const CREEP: f64 = 1e-6;

impl Parts {
    /// Before the first tick: the instruments stand at what is true.
    ///
    /// # Errors
    /// A sentence that names what is no number from the first.
    pub fn prime(&mut self) -> Result<(), String> {
        // Motors have their supply before the first tick, so that the first action can start one.
        self.around_sets();
        if let Some(e) = &mut self.electrical {
            e.board.prime();
            for (was, bus) in e.was.buses.iter_mut().zip(0..) {
                *was = e.board.live(bus);
            }
        }
        for i in 0..self.pumps.len() {
            let live = self.fed(|e| e.feeders.pumps[i]);
            self.pumps[i].pump.motor.step(live, 0.0, 0.0);
        }
        let live = self.fed(|e| e.feeders.vacuum_pumps);
        for p in self.condenser.iter_mut().flat_map(|c| &mut c.pumps) {
            p.motor.step(live, 0.0, 0.0);
        }
        let live = self.fed(|e| e.feeders.valves);
        if let Some(t) = &mut self.turbine {
            t.prime(live);
        }
        // Pressures and flows are those of the plant at rest: the same settings as on a tick, without time.
        self.set_valves();
        for p in &self.pumps {
            p.pump.drive(&mut self.circuits[p.circuit]);
        }
        self.hold_ends();
        self.solve_circuits()?;
        for i in 0..self.transmitters.len() {
            let value = self.transmitters[i].source.read(self);
            let t = &mut self.transmitters[i].transmitter;
            *t = crate::instruments::Transmitter::new(t.params(), Actual(value));
        }
        Ok(())
    }

    /// The physics of a tick.
    ///
    /// # Errors
    /// A sentence that names what is no longer a number or no longer possible.
    pub fn physics(&mut self) -> Result<(), String> {
        self.engines();
        self.thermostats();
        self.drives();
        self.liquids()?;
        self.fire();
        let live = self.fed(|e| e.feeders.vacuum_pumps);
        if let Some(c) = &mut self.condenser {
            c.before_steam(&self.circuits, &mut self.tanks, &mut self.steam, live, DT);
        }
        if let Some(t) = &mut self.turbine {
            t.before_steam(&mut self.steam, self.ambient, DT);
        }
        self.steam_and_metal()?;
        if let Some(c) = &mut self.condenser {
            c.after_steam(&self.steam, self.boiler.as_mut(), DT);
        }
        for h in &mut self.hammers {
            let steam = h.ways.iter().map(|w| self.steam.flow(*w).max(0.0)).sum();
            h.hammer.step(self.steam.state(h.node), steam, DT);
        }
        self.turbine_pull();
        self.electrical();
        if let Some(t) = &mut self.turbine {
            t.after(self.electrical.as_ref(), self.ambient, DT);
        }
        self.tanks_and_coils();
        Ok(())
    }

    fn turbine_pull(&mut self) {
        let live = self.fed(|e| e.feeders.valves);
        if let Some(t) = &mut self.turbine {
            t.pull(&self.steam, live, self.electrical.as_mut(), DT);
        }
    }

    fn drives(&mut self) {
        let live = self.fed(|e| e.feeders.valves);
        if let Some(t) = &mut self.turbine {
            t.drives(&mut self.circuits, &mut self.steam, live, DT);
        }
        let motive = Motive { air: self.air.drive_pressure(), live: self.fed(|e| e.feeders.valves) };
        let pace = self.air.drive_pace();
        for v in &mut self.valves {
            let pneumatic = matches!(v.actuator.params().drive, Drive::Pneumatic { .. });
            let moved = v.actuator.step(motive, if pneumatic { pace * DT } else { DT });
            // A spring that moves it without air empties its cylinder, and takes none.
            if moved > 0.0 && pneumatic && !v.actuator.is_without_air() {
                self.air.stroke(moved, DT);
            }
        }
        self.set_valves();
        for (i, p) in self.pumps.iter_mut().enumerate() {
            let net = &mut self.circuits[p.circuit];
            let live = self.electrical.as_ref().is_none_or(|e| e.live(e.feeders.pumps[i]));
            if let (Some(set), Some(e)) = (p.driven, &self.electrical) {
                let machine = &e.board.sets[set].machine;
                p.pump.shaft = Some(machine.shaft.omega / machine.params().omega);
            }
            p.pump.step(net, live, vapour_pressure, DT);
            p.pump.drive(net);
        }
    }

    /// From where valves stand to the networks.
    fn set_valves(&mut self) {
        for v in &mut self.valves {
            let opening = v.actuator.position();
            // Nobody else sets these, so that what has not moved need not be set again.
            let (moved, passes) = (v.told.0 != opening, v.told.1 != v.passing);
            if !moved && !passes {
                continue;
            }
            v.told = (opening, v.passing);
            match v.site {
                Site::Liquid(l) => {
                    let net = &mut self.circuits[l.circuit];
                    if moved {
                        net.set_opening(l.link, opening);
                    }
                    if passes {
                        net.set_passing(l.link, v.passing);
                    }
                }
                Site::ThreeWay(straight, other) => {
                    let net = &mut self.circuits[straight.circuit];
                    net.set_opening(straight.link, opening);
                    net.set_opening(other.link, 1.0 - opening);
                    net.set_passing(straight.link, v.passing);
                    net.set_passing(other.link, v.passing);
                }
                Site::Air(way) => self.air.ways[way].opening = opening.max(v.passing),
                Site::AirDrain(vessel) => self.air.vessels[vessel].drain.opening = opening.max(v.passing),
                Site::Nowhere => {}
                Site::Steam(branch) => {
                    self.steam.set_opening(branch, opening);
                    self.steam.set_leak(branch, v.passing);
                }
            }
        }
    }

    /// What stands at the ends of the circuits: the drum's pressure, the tanks' levels.
    fn hold_ends(&mut self) {
        if let Some(c) = &self.condenser {
            c.before_circuits(&mut self.circuits, &mut self.tanks, &self.steam);
        }
        if let Some(b) = &self.boiler {
            let drum = self.steam.state(b.drum_node);
            let inlet = &mut self.circuits[b.inlet.circuit];
            inlet.set_pressure(b.inlet.node, drum.p);
            // Should the non-return leak, what comes back is the drum's water.
            inlet.set_enthalpy(b.inlet.node, drum.h_l);
        }
        for t in &self.tanks {
            let net = &mut self.circuits[t.at.circuit];
            t.tank.hold(net, t.at.node);
            for outlet in &t.outlets {
                net.set_shut(*outlet, t.tank.is_empty());
            }
        }
    }

    fn solve_circuits(&mut self) -> Result<(), String> {
        for (i, net) in self.circuits.iter_mut().enumerate() {
            net.thicken();
            match net.solve() {
                Ok(_) => {}
                Err(Trouble::NotSettled(_)) => self.unsettled += 1,
                Err(Trouble::NotFinite(part)) => {
                    return Err(format!("the flow or head at {part} is no longer a number (circuit {i})"));
                }
            }
        }
        Ok(())
    }

    fn liquids(&mut self) -> Result<(), String> {
        self.hold_ends();
        self.leak_between();
        self.solve_circuits()?;
        for p in &mut self.pumps {
            p.pump.load(&mut self.circuits[p.circuit]);
        }
        for c in &mut self.coolers {
            let [hot, cold] =
                self.circuits.get_disjoint_mut([c.hot.circuit, c.cold.circuit]).expect("a cooler joins two circuits");
            c.exchanger.load((hot, c.hot.link), (cold, c.cold.link));
        }
        for h in &mut self.heat_loads {
            let net = &mut self.circuits[h.link.circuit];
            // The heat goes to the node that the flow runs to: its temperature counts, else water that creeps
            // backwards would be warmed past the source.
            // Water that stands has a flow of either sign by what the solver leaves, and warms nothing behind it.
            let flow = net.flow(h.link.link);
            let warmed = if flow >= 0.0 { h.link.to } else { h.link.from };
            let stands = flow < 0.0 && flow > -CREEP;
            let heat = if stands { 0.0 } else { h.conductance * (h.source - net.temperature(warmed)) };
            net.set_heat(h.link.link, heat);
            h.given += heat * DT;
        }
        self.heaters_and_casings(self.fed(|e| e.feeders.heaters));
        let e = &self.electrical;
        let live = |i: usize| e.as_ref().is_none_or(|e| e.live(e.feeders.compressors[i]));
        self.air.step(&mut self.circuits, live, self.ambient, DT);
        if let Some(c) = &mut self.condenser {
            c.heat(&mut self.circuits, DT);
        }
        for net in &mut self.circuits {
            net.set_room(self.ambient);
            net.carry(DT);
        }
        self.leaked_between();
        if let Some(c) = &mut self.condenser {
            c.after_circuits(&self.circuits, &self.tanks, self.boiler.as_ref(), DT);
        }
        for o in &self.outsides {
            let net = &self.circuits[o.circuit];
            let (mass, energy) = (net.boundary_mass_flow(o.node) * DT, net.boundary_energy_flow(o.node) * DT);
            self.outside.energy += energy;
            self.outside.energy_through += energy.abs();
            if net.fluid() == Fluid::FeedWater {
                self.outside.water += mass;
                self.outside.water_through += mass.abs();
            } else {
                self.outside.other_liquids += mass;
            }
        }
        for t in &mut self.tanks {
            t.tank.take(&self.circuits[t.at.circuit], t.at.node);
        }
        Ok(())
    }

    fn fire(&mut self) {
        let Some(fed) = self.boiler.as_ref().map(|b| self.fuel_fed(b)) else { return };
        let Some(b) = &mut self.boiler else { return };
        let orders = *b.management.orders();
        b.draught.step(DT, b.fan_on, orders.damper, b.furnace.stack_temperature(), self.ambient);
        let net = &self.circuits[b.nozzle.circuit];
        let furnace_pressure = ATMOSPHERE + b.draught.furnace_pressure();
        b.burner.step(
            DT,
            &BurnerInput {
                igniter: orders.igniter,
                pilot_valve: orders.pilot_valve,
                fuel: fed.fuel,
                residual: fed.residual,
                residual_goodness: fed.goodness,
                air: b.draught.flow(),
                atomising_pressure: net.pressure(b.atomised_at.node) - furnace_pressure,
            },
        );
        let input = FurnaceInput {
            fuel_lit: b.burner.fuel_lit(),
            fuel_unlit: b.burner.fuel_unlit(),
            residual: if fed.fuel > 0.0 { fed.residual / fed.fuel } else { 0.0 },
            fuel_temperature: fed.temperature,
            flame: b.burner.main_lit() || b.burner.pilot_lit(),
            atomising: b.burner.atomising(),
            air: b.draught.flow(),
            air_temperature: self.ambient,
            riser_wall: b.drum.riser_wall(),
            superheater_wall: b.superheater.temperature(),
            ambient: self.ambient,
        };
        let heat = b.furnace.step(DT, &input);
        let burst = (b.drum.tubes.as_ref().is_some_and(|t| t.burst()), b.superheater.burst());
        self.steam.set_opening(b.burst, f64::from(u8::from(burst.0)).max(b.leaks.0));
        self.steam.set_opening(b.superheater_burst, f64::from(u8::from(burst.1)).max(b.leaks.1));
        if b.furnace.blown_out() || burst.0 || burst.1 {
            b.burner.blow_out();
        }
        let to_risers = heat.risers();
        let (from_tubes, from_shell) = b.drum.warm(DT, to_risers, self.ambient);
        self.steam.set_heat(b.drum_node, from_tubes + from_shell);
        let flow = self.steam.flow(b.outlet);
        let to_steam = b.superheater.step(DT, heat.superheater, flow, self.steam.t(b.superheater_node));
        self.steam.set_heat(b.superheater_node, to_steam);
        let f = &mut b.fired;
        f.fuel += (b.burner.fuel_lit() + b.burner.fuel_unlit()) * DT;
        f.to_boiler += (to_risers + heat.superheater) * DT;
        f.lagging += b.drum.shell.as_ref().map_or(0.0, |s| s.lost()) * DT;
        f.brought += heat.brought * DT;
        f.left += (heat.stack + heat.casing + heat.unburnt) * DT;
        b.to_water = from_tubes;
        self.inside.to_net += (from_tubes + from_shell + to_steam) * DT;
    }

    fn steam_and_metal(&mut self) -> Result<(), String> {
        for c in &self.coils {
            if let Some(wall) = self.steam.wall_mut(c.node) {
                wall.ambient = self.heated_tanks[c.tank].temperature();
            }
        }
        let Some(b) = &mut self.boiler else {
            return self.steam.step(DT).map_err(|t| t.to_string());
        };
        let net = &self.circuits[b.inlet.circuit];
        let (feed, energy) = (-net.boundary_mass_flow(b.inlet.node), -net.boundary_energy_flow(b.inlet.node));
        self.steam.set_inflow(b.drum_node, Inflow { water: feed, air: 0.0, energy });
        self.inside.feed.0 += feed * DT;
        self.inside.feed.1 += energy * DT;
        self.steam.set_carry(b.outlet, b.drum.moisture());
        self.steam.step(DT).map_err(|t| t.to_string())?;
        let flows = DrumFlows {
            heat: b.to_water,
            feed,
            feed_enthalpy: if feed > 0.0 { energy / feed } else { 0.0 },
            steam: self.steam.flow(b.outlet),
        };
        b.drum.distribute(DT, self.steam.state(b.drum_node), &flows);
        Ok(())
    }

    fn tanks_and_coils(&mut self) {
        for c in &self.coils {
            let lost = self.steam.wall_lost(c.node);
            self.heated_tanks[c.tank].heat(lost);
            self.inside.coils += lost * DT;
        }
        for h in &mut self.heated_tanks {
            h.step(self.ambient, DT);
        }
        for &(branch, tank) in &self.condensate {
            let b = self.steam.branch(branch);
            // Air that the trap lets through leaves the tank again: only water stays.
            let (water, air) = (b.flow() * (1.0 - b.air_fraction()), b.flow() * b.air_fraction());
            self.tanks[tank].tank.add(water, b.enthalpy_flow());
            let sum = &mut self.inside.condensate;
            *sum = (sum.0 + water * DT, sum.1 + air * DT, sum.2 + b.enthalpy_flow() * DT);
        }
        for t in &mut self.tanks {
            t.tank.step(self.ambient, DT);
        }
    }

    /// From what is true to what is said.
    pub fn instruments(&mut self, actual: &mut [f64], signal: &mut [f64]) {
        // Out of the way while it looks at everything else.
        let mut round = std::mem::take(&mut self.round);
        if self.plains_fail {
            round.remember(&self.plains, actual, signal);
        }
        round.go(self, actual);
        for s in &mut self.switches {
            let seen = &mut actual[usize::from(s.point.0)];
            s.switch.step(Actual(*seen), DT);
            *seen = s.switch.actual().0;
        }
        signal.copy_from_slice(actual);
        for s in &self.switches {
            signal[usize::from(s.point.0)] = s.switch.signal().0;
        }
        for t in &mut self.transmitters {
            if self.legs_lost && t.leg != 0.0 {
                continue;
            }
            let says = &mut signal[usize::from(t.point.0)];
            *says = t.transmitter.step(Actual(*says), DT).0;
        }
        if self.legs_lost {
            self.with_lost_legs(signal);
        }
        for (point, says) in round.said() {
            signal[usize::from(point.0)] = says;
        }
        if self.plains_fail {
            for (p, last) in self.plains.iter().zip(round.last()) {
                let at = usize::from(p.point.0);
                if p.failing.plugged {
                    actual[at] = last.0 + self.glass_fills() * DT;
                    signal[at] = actual[at];
                } else if p.failing != PlainFailing::default() {
                    signal[at] = p.failing.says(signal[at], last.1);
                }
            }
        }
        self.round = round;
    }

    /// Level transmitters whose reference leg has lost height: by how much they are out the rest of the plant tells.
    fn with_lost_legs(&mut self, signal: &mut [f64]) {
        for i in 0..self.transmitters.len() {
            let leg = self.transmitters[i].leg;
            if leg != 0.0 {
                let off = self.leg_error(leg);
                let t = &mut self.transmitters[i];
                let says = &mut signal[usize::from(t.point.0)];
                *says = t.transmitter.step(Actual(*says + off), DT).0;
            }
        }
    }
}

/// Vapour pressure of the liquid at a pump's suction, Pa: water's by its temperature, next to nothing of oil's. Where
/// it is certainly below what would do, a greater figure that is below that too.
fn vapour_pressure(net: &Network, suction: NodeId, would_do: f64) -> f64 {
    /// Below this temperature (K) water's is less than the second figure (Pa), which may be told where the third would do.
    const MILD: (f64, f64, f64) = (323.0, 12.5e3, 13e3);
    match net.fluid() {
        Fluid::SeaWater | Fluid::FreshWater | Fluid::FeedWater => match net.temperature(suction) {
            t if t < MILD.0 && would_do > MILD.2 => MILD.1,
            t => water::p_sat(t.clamp(274.0, 500.0)),
        },
        _ => 1e2,
    }
}
