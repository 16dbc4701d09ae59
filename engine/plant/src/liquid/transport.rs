//! Heat carried along by the flows of a network.
//!
//! Equations: every junction holds a constant mass `M` (its own volume and half of each pipe that
//! ends there), perfectly mixed, with thermal energy `U = M u`. Over a tick
//! `U' - U = dt (sum of m u'_upstream coming in - sum of m u' going out + heat)`,
//! implicit in u', so that it is stable for any residence time. After the linear solve the
//! energies are moved link by link with the very same u': what leaves one node enters the next,
//! so that energy closes to the rounding of additions however long the run.
//!
//! Thermal and mechanical energy are kept apart. `u = c (T - 273.15 K)` is what a node stores;
//! liquid in transit carries `u + g H` with the head H solved by the network (pressure over density and
//! height, from the datum and atmospheric pressure). Whoever holds a reservoir gives its total specific
//! enthalpy `h = u + g H` and is given energy flow in the same sense, so nothing is lost at the
//! joint: pressure and height energy arrive in the tank or vessel as enthalpy (10 J/kg a metre).
//! Each link's own heat is `q + W + rho g Q (H_from - H_to)`: heat from an exchanger, shaft
//! work of a pump, and the mechanical energy lost along it (negative in a pump, where part of the
//! shaft work becomes head). By continuity the last term summed over links is the mechanical energy
//! that came in less that which left (Tellegen), so `change of U = boundary energy + q + W`.
//! A link's heat goes to the node that its flow runs to, or to its `to` node when nothing flows.
//!
//! A junction may give heat to the room through its wall: `G (T' - T_room)`, with the conductance G that it was built
//! with, implicit like the rest, so that it goes on whether liquid flows or stands.
//!
//! Assumptions: no conduction along stagnant lines; the metal of pipes holds no heat.
//! Units: J/kg, W, W/K, kg/s, K.

use super::layout::{GRAVITY, Layout, LinkId, NO_ROW, NodeId};
use super::network::Network;

/// What has crossed the network's boundary since the start: an independent account beside the
/// stored energy. Signs: into the network positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Account {
    /// Mass through reservoirs and demands, kg.
    pub mass: f64,
    /// Energy with that mass, J, on the total scale `u + g H`.
    pub energy: f64,
    /// Heat put into links, J.
    pub heat: f64,
    /// Shaft work put into links, J.
    pub work: f64,
    /// Heat from the room through the walls of junctions, J: mostly negative.
    pub room: f64,
}

base::kept!(Account { mass, energy, heat, work, room });

/// The thermal state of a network.
#[derive(Clone, Debug)]
pub(super) struct Transport {
    /// By node: stored thermal energy, J.
    energy: Vec<f64>,
    /// By node: specific thermal energy, J/kg; of the liquid that a reservoir gives.
    specific: Vec<f64>,
    /// By node: total enthalpy that a reservoir or an inflow gives, J/kg.
    given: Vec<f64>,
    /// By link: heat and shaft power put in, W.
    heat: Vec<f64>,
    shaft: Vec<f64>,
    /// By node: into the network over the last tick, kg/s and W.
    boundary: Vec<(f64, f64)>,
    account: Account,
    /// Length of tick that the factors are for; zero when flows have changed since.
    factors_for: f64,
    diagonal: Vec<f64>,
    upper: Vec<f64>,
    lower: Vec<f64>,
    right: Vec<f64>,
    /// By node: what came in over the tick, W.
    change: Vec<f64>,
    /// By link: the way it runs, as long as the factors hold.
    ways: Vec<Way>,
    /// By link: heat and lost mechanical energy of the tick, W.
    link_heat: Vec<f64>,
    /// Nothing flows.
    stands: bool,
    /// Nothing flowed, nothing was heated and nothing grew warmer or colder on the last tick.
    rests: bool,
    /// Specific thermal energy of the liquid at the room's temperature, J/kg.
    room: f64,
}

/// Which way a link runs: nodes and rows of both its ends.
#[derive(Clone, Copy, Debug, Default)]
struct Way {
    from: u32,
    to: u32,
    up: u32,
    down: u32,
    up_row: u32,
    down_row: u32,
    /// From the link's first node to its second, kg/s.
    forward: f64,
    /// The same without its sign.
    flow: f64,
}

base::kept!(Transport { energy, specific, given, heat, shaft, boundary, account, factors_for, diagonal, upper, lower,
    right, change, ways, stands, rests, room } fixed { link_heat });

base::kept!(Way { from, to, up, down, up_row, down_row, forward, flow });

impl Transport {
    pub(super) fn new(layout: &Layout) -> Transport {
        let (nodes, links) = (layout.graph.node_count(), layout.graph.edge_count());
        let (rows, positions) = (layout.elimination.unknowns(), layout.elimination.positions());
        Transport {
            energy: vec![0.0; nodes],
            specific: vec![0.0; nodes],
            given: vec![0.0; nodes],
            heat: vec![0.0; links],
            shaft: vec![0.0; links],
            boundary: vec![(0.0, 0.0); nodes],
            account: Account::default(),
            factors_for: 0.0,
            diagonal: vec![0.0; rows],
            upper: vec![0.0; positions],
            lower: vec![0.0; positions],
            right: vec![0.0; rows],
            change: vec![0.0; nodes],
            ways: vec![Way::default(); links],
            link_heat: vec![0.0; links],
            stands: false,
            rests: false,
            room: 0.0,
        }
    }

    pub(super) fn flows_changed(&mut self) {
        self.factors_for = 0.0;
    }

    /// One tick with given flows (by link), heads (by node) and demands (by node; and whether there are any).
    fn carry(
        &mut self,
        layout: &Layout,
        flow: impl Fn(usize) -> f64,
        heads: &[f64],
        (served, demand): (bool, impl Fn(usize) -> f64),
        dt: f64,
    ) {
        if self.factors_for != dt {
            self.lay_ways(layout, flow, &demand);
            self.factorise(layout, &demand, dt);
        }
        let (idle, still) = self.gather_heat(heads);
        // Where nothing flows, nothing is heated and nothing cooled, and that for a tick already, everything stays as it is.
        if still && self.rests {
            return;
        }
        let density = layout.fluid.density();
        let held = self.specific.iter_mut().zip(&self.given).zip(&self.energy);
        for (i, (((specific, given), energy), (&row, head))) in held.zip(layout.row.iter().zip(heads)).enumerate() {
            if row == NO_ROW {
                *specific = given - GRAVITY * head;
                continue;
            }
            let mut held = energy / dt;
            if served {
                let incoming = density * (-demand(i)).max(0.0);
                if incoming > 0.0 {
                    held += incoming * (given - GRAVITY * head);
                }
            }
            self.right[row as usize] = held;
        }
        for &(node, per) in &layout.walls {
            self.right[layout.row[node as usize] as usize] += per * self.room;
        }
        for (way, &heat) in self.ways.iter().zip(&self.link_heat) {
            if way.down_row != NO_ROW {
                let brought = if way.up_row == NO_ROW { way.flow * self.specific[way.up as usize] } else { 0.0 };
                self.right[way.down_row as usize] += brought + heat;
            }
        }
        layout.elimination.solve_general(&self.diagonal, &self.upper, &self.lower, &mut self.right);
        for (specific, &row) in self.specific.iter_mut().zip(&layout.row) {
            if row != NO_ROW {
                *specific = self.right[row as usize];
            }
        }
        let changed = self.move_energy(layout, heads, (served, demand), dt);
        self.rests = still && idle && !changed;
    }

    /// Heat and lost mechanical energy of every link, W. Whether none of them is heated, and whether beside that nothing flows.
    fn gather_heat(&mut self, heads: &[f64]) -> (bool, bool) {
        let mut idle = true;
        let put_in = self.heat.iter().zip(&self.shaft);
        for ((way, link_heat), (heat, shaft)) in self.ways.iter().zip(&mut self.link_heat).zip(put_in) {
            idle &= *heat == 0.0 && *shaft == 0.0;
            let falls = heads[way.from as usize] - heads[way.to as usize];
            *link_heat = heat + shaft + GRAVITY * way.forward * falls;
        }
        (idle, idle && self.stands)
    }

    /// Moves energy link by link at the specific energies just solved, and keeps the account. Whether walls changed the
    /// warmth of anything.
    fn move_energy(
        &mut self,
        layout: &Layout,
        heads: &[f64],
        (served, demand): (bool, impl Fn(usize) -> f64),
        dt: f64,
    ) -> bool {
        let density = layout.fluid.density();
        self.change.fill(0.0);
        self.boundary.fill((0.0, 0.0));
        let (mut heat, mut work, mut room) = (0.0, 0.0, 0.0);
        let put_in = self.heat.iter().zip(&self.shaft);
        for ((way, own), (put_heat, put_work)) in self.ways.iter().zip(&self.link_heat).zip(put_in) {
            let (up, down) = (way.up as usize, way.down as usize);
            let leaves = way.flow * self.specific[up];
            let arrives = leaves + own;
            if way.up_row == NO_ROW {
                self.boundary[up].0 += way.flow;
                self.boundary[up].1 += leaves + way.flow * GRAVITY * heads[up];
            } else {
                self.change[up] -= leaves;
            }
            if way.down_row == NO_ROW {
                self.boundary[down].0 -= way.flow;
                self.boundary[down].1 -= arrives + way.flow * GRAVITY * heads[down];
            } else {
                self.change[down] += arrives;
            }
            heat += put_heat;
            work += put_work;
        }
        let (mut mass, mut energy) = (0.0, 0.0);
        if served {
            for (i, _) in layout.row.iter().enumerate().filter(|(_, row)| **row != NO_ROW) {
                let m = -density * demand(i);
                if m != 0.0 {
                    let total = if m > 0.0 { self.given[i] } else { self.specific[i] + GRAVITY * heads[i] };
                    self.boundary[i] = (m, m * total);
                    self.change[i] += m * (total - GRAVITY * heads[i]);
                }
            }
        }
        let mut changed = false;
        for &(node, per) in &layout.walls {
            let node = node as usize;
            let gained = per * (self.room - self.specific[node]);
            self.change[node] += gained;
            room += gained;
            changed |= self.energy[node] + dt * self.change[node] != self.energy[node];
        }
        let stored = self.energy.iter_mut().zip(&mut self.specific).zip(&self.change);
        for (((stored, specific), change), (&row, weight)) in stored.zip(layout.row.iter().zip(&layout.mass)) {
            if row != NO_ROW {
                *stored += dt * change;
                *specific = *stored / weight;
            }
        }
        for crossed in &self.boundary {
            mass += crossed.0;
            energy += crossed.1;
        }
        self.account.mass += dt * mass;
        self.account.energy += dt * energy;
        self.account.heat += dt * heat;
        self.account.work += dt * work;
        self.account.room += dt * room;
        changed
    }

    /// Writes down which way every link runs, and whether anything moves at all.
    fn lay_ways(&mut self, layout: &Layout, flow: impl Fn(usize) -> f64, demand: &impl Fn(usize) -> f64) {
        let density = layout.fluid.density();
        self.stands = (0..layout.row.len()).all(|i| demand(i) == 0.0);
        self.rests = false;
        for (k, (ends, way)) in layout.ends.iter().zip(&mut self.ways).enumerate() {
            let m = density * flow(k);
            let (from, to) = ((ends.from, ends.from_row), (ends.to, ends.to_row));
            let ((up, up_row), (down, down_row)) = if m >= 0.0 { (from, to) } else { (to, from) };
            *way = Way { from: ends.from, to: ends.to, up, down, up_row, down_row, forward: m, flow: m.abs() };
            self.stands &= m == 0.0;
        }
    }

    /// Factorises the transport matrix for the present flows.
    fn factorise(&mut self, layout: &Layout, demand: &impl Fn(usize) -> f64, dt: f64) {
        let density = layout.fluid.density();
        self.upper.fill(0.0);
        self.lower.fill(0.0);
        for (i, &row) in layout.row.iter().enumerate().filter(|(_, row)| **row != NO_ROW) {
            self.diagonal[row as usize] = layout.mass[i] / dt + density * demand(i).max(0.0);
        }
        for &(node, per) in &layout.walls {
            self.diagonal[layout.row[node as usize] as usize] += per;
        }
        for (way, ends) in self.ways.iter().zip(&layout.ends) {
            if way.up_row != NO_ROW {
                self.diagonal[way.up_row as usize] += way.flow;
                if ends.position != NO_ROW {
                    // The entry stands in the row of `down` and the column of `up`.
                    let half = if way.down_row < way.up_row { &mut self.upper } else { &mut self.lower };
                    half[ends.position as usize] -= way.flow;
                }
            }
        }
        layout.elimination.factorise(&mut self.diagonal, &mut self.upper, &mut self.lower);
        self.factors_for = dt;
    }
}

impl Network {
    /// Fills every junction with liquid of this temperature, K.
    pub fn fill_at(&mut self, temperature: f64) {
        let u = self.layout.fluid.enthalpy(temperature);
        for (i, mass) in self.layout.mass.iter().enumerate() {
            self.transport.energy[i] = mass * u;
            self.transport.specific[i] = u;
            self.transport.given[i] = u + GRAVITY * self.heads[i];
        }
        self.transport.rests = false;
    }

    /// Sets the temperature (K) of what a junction holds.
    pub fn fill_node_at(&mut self, node: NodeId, temperature: f64) {
        let i = node.0 as usize;
        let u = self.layout.fluid.enthalpy(temperature);
        self.transport.energy[i] = self.layout.mass[i] * u;
        self.transport.specific[i] = u;
        self.transport.rests = false;
    }

    /// Mass of the liquid that a junction holds, kg; zero at a reservoir.
    #[must_use]
    pub fn mass_at(&self, node: NodeId) -> f64 {
        self.layout.mass[node.0 as usize]
    }

    /// Sets what a reservoir gives, J/kg total specific enthalpy (pressure and height included),
    /// or what comes in with a negative demand at a junction.
    pub fn set_enthalpy(&mut self, node: NodeId, enthalpy: f64) {
        self.transport.given[node.0 as usize] = enthalpy;
    }

    /// Sets what a reservoir gives by its temperature, K, at the head set there.
    pub fn set_temperature(&mut self, node: NodeId, temperature: f64) {
        self.set_enthalpy(node, self.layout.fluid.enthalpy(temperature) + GRAVITY * self.heads[node.0 as usize]);
    }

    /// Tells how warm the room around the junctions is, K.
    pub fn set_room(&mut self, temperature: f64) {
        let room = self.layout.fluid.enthalpy(temperature);
        if self.transport.room != room {
            self.transport.room = room;
            self.transport.rests = false;
        }
    }

    /// Puts heat (W, negative to take it out) into a link until it is set again.
    pub fn set_heat(&mut self, link: LinkId, heat: f64) {
        self.transport.heat[link.0 as usize] = heat;
    }

    /// Puts shaft power (W) into a pump's link until it is set again.
    pub fn set_shaft_power(&mut self, link: LinkId, power: f64) {
        self.transport.shaft[link.0 as usize] = power;
    }

    /// Temperature of the liquid at a node, K. At a reservoir: of the liquid that it gives.
    #[must_use]
    pub fn temperature(&self, node: NodeId) -> f64 {
        self.layout.fluid.temperature(self.specific_energy(node))
    }

    /// Specific thermal energy of the liquid at a node, J/kg.
    #[must_use]
    pub fn specific_energy(&self, node: NodeId) -> f64 {
        let i = node.0 as usize;
        if self.layout.row[i] == NO_ROW {
            self.transport.given[i] - GRAVITY * self.heads[i]
        } else {
            self.transport.specific[i]
        }
    }

    /// The node that a link's flow comes from (its `from` node when nothing flows).
    #[must_use]
    pub fn upstream(&self, link: LinkId) -> NodeId {
        let (from, to) = self.ends(link);
        if self.flow(link) >= 0.0 { from } else { to }
    }

    /// Mass flow (kg/s) into the network at a reservoir or junction over the last tick.
    #[must_use]
    pub fn boundary_mass_flow(&self, node: NodeId) -> f64 {
        self.transport.boundary[node.0 as usize].0
    }

    /// Energy flow (W) into the network at a reservoir or junction over the last tick, on the total
    /// scale `u + g H`.
    #[must_use]
    pub fn boundary_energy_flow(&self, node: NodeId) -> f64 {
        self.transport.boundary[node.0 as usize].1
    }

    /// What has crossed the boundary since the start.
    #[must_use]
    pub fn account(&self) -> Account {
        self.transport.account
    }

    /// Thermal energy stored in all junctions, J above 0 °C.
    #[must_use]
    pub fn stored_energy(&self) -> f64 {
        self.transport.energy.iter().sum()
    }

    /// Mass of liquid in all junctions, kg.
    #[must_use]
    pub fn stored_mass(&self) -> f64 {
        self.layout.mass.iter().sum()
    }

    /// Mechanical power that the liquid gains along a link, W: hydraulic power of a pump.
    #[must_use]
    pub fn hydraulic_power(&self, link: LinkId) -> f64 {
        self.mass_flow(link) * GRAVITY * self.head_gain(link)
    }

    /// Carries heat along for `dt` seconds with the flows of the last solve.
    pub fn carry(&mut self, dt: f64) {
        let Network { layout, links, heads, demand, isolated, transport, .. } = self;
        let served = demand.iter().any(|d| *d != 0.0);
        let really = |i: usize| if isolated[i] { 0.0 } else { demand[i] };
        transport.carry(layout, |k| links[k].flow, heads, (served, really), dt);
    }
}
