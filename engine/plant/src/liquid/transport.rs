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

/// What stands at a node. What a tick needs of one stands together, as with [`Way`].
#[derive(Clone, Copy, Debug, Default)]
struct Held {
    /// Its row, [`NO_ROW`] at a reservoir.
    row: u32,
    /// One over the mass of the liquid, 1/kg: a product costs a tick less than a quotient.
    per_mass: f64,
    /// Stored thermal energy, J.
    energy: f64,
    /// Specific thermal energy, J/kg; of the liquid that a reservoir gives.
    specific: f64,
    /// Total enthalpy that a reservoir or an inflow gives, J/kg.
    given: f64,
    /// What came in over the tick, W.
    change: f64,
}

base::kept!(Held { energy, specific, given, change } fixed { row, per_mass });

/// Which way a link runs, by nodes and rows of both its ends, and what heats it.
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
    /// Heat and shaft power put in, W.
    heat: f64,
    shaft: f64,
    /// Both, and the mechanical energy lost, over the tick, W.
    own: f64,
}

base::kept!(Way { from, to, up, down, up_row, down_row, forward, flow, heat, shaft, own });

/// The thermal state of a network.
#[derive(Clone, Debug)]
pub(super) struct Transport {
    /// By node.
    held: Vec<Held>,
    /// By link; which way it runs, as long as the factors hold.
    ways: Vec<Way>,
    /// By node: into the network over the last tick, kg/s and W.
    boundary: Vec<(f64, f64)>,
    account: Account,
    /// Length of tick that the factors are for; zero when flows have changed since.
    factors_for: f64,
    /// One over the diagonal of the factors.
    inverse: Vec<f64>,
    upper: Vec<f64>,
    lower: Vec<f64>,
    right: Vec<f64>,
    /// Nothing flows.
    stands: bool,
    /// Nothing flowed, nothing was heated and nothing grew warmer or colder on the last tick.
    rests: bool,
    /// Specific thermal energy of the liquid at the room's temperature, J/kg.
    room: f64,
}

base::kept!(Transport {
    held,
    ways,
    boundary,
    account,
    factors_for,
    inverse,
    upper,
    lower,
    right,
    stands,
    rests,
    room
});

impl Transport {
    pub(super) fn new(layout: &Layout) -> Transport {
        let (nodes, links) = (layout.graph.node_count(), layout.graph.edge_count());
        let (rows, positions) = (layout.elimination.unknowns(), layout.elimination.positions());
        let held = layout.row.iter().zip(&layout.mass).map(|(&row, &mass)| Held {
            row,
            per_mass: 1.0 / mass,
            ..Held::default()
        });
        Transport {
            held: held.collect(),
            ways: vec![Way::default(); links],
            boundary: vec![(0.0, 0.0); nodes],
            account: Account::default(),
            factors_for: 0.0,
            inverse: vec![0.0; rows],
            upper: vec![0.0; positions],
            lower: vec![0.0; positions],
            right: vec![0.0; rows],
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
        // Where nothing flows, nothing is heated and nothing cooled, and that for a tick already, everything stays as it is.
        let still = self.stands && self.ways.iter().all(|way| way.heat == 0.0 && way.shaft == 0.0);
        if still && self.rests {
            return;
        }
        if still && !served {
            self.rests = !self.stand(layout, dt);
            return;
        }
        self.balance(layout, heads, (served, &demand), dt);
        layout.elimination.solve_general(&self.inverse, &self.upper, &self.lower, &mut self.right);
        let right = self.right.as_slice();
        for held in self.held.iter_mut().filter(|held| held.row != NO_ROW) {
            held.specific = right[held.row as usize];
        }
        self.move_energy(heads);
        let changed = self.store(layout, heads, (served, &demand), dt);
        self.rests = still && !changed;
    }

    /// A tick where nothing flows and nothing is heated: each junction is by itself, and only walls change anything. The
    /// bits are those of the way in full, whose matrix has nothing beside its diagonal. Whether anything changed.
    fn stand(&mut self, layout: &Layout, dt: f64) -> bool {
        self.boundary.fill((0.0, 0.0));
        let (mut room, mut changed, rate) = (0.0, false, 1.0 / dt);
        for &(node, per) in &layout.walls {
            let h = &mut self.held[node as usize];
            let specific = (h.energy * rate + per * self.room) * self.inverse[h.row as usize];
            let gained = per * (self.room - specific);
            room += gained;
            let energy = h.energy + dt * gained;
            changed |= energy != h.energy;
            (h.change, h.energy, h.specific) = (gained, energy, energy * h.per_mass);
        }
        self.account.room += dt * room;
        changed
    }

    /// The right side of every junction's balance: what it holds, what comes in from outside and from the room, and what
    /// heats the links that run to it.
    fn balance(&mut self, layout: &Layout, heads: &[f64], (served, demand): (bool, &impl Fn(usize) -> f64), dt: f64) {
        let (density, rate) = (layout.fluid.density(), 1.0 / dt);
        let (held, right) = (self.held.as_mut_slice(), self.right.as_mut_slice());
        for (i, (h, head)) in held.iter_mut().zip(heads).enumerate() {
            if h.row == NO_ROW {
                h.specific = h.given - GRAVITY * head;
                continue;
            }
            let mut sum = h.energy * rate;
            if served {
                let incoming = density * (-demand(i)).max(0.0);
                if incoming > 0.0 {
                    sum += incoming * (h.given - GRAVITY * head);
                }
            }
            right[h.row as usize] = sum;
        }
        for &(node, per) in &layout.walls {
            right[held[node as usize].row as usize] += per * self.room;
        }
        for way in &mut self.ways {
            let falls = heads[way.from as usize] - heads[way.to as usize];
            way.own = way.heat + way.shaft + GRAVITY * way.forward * falls;
            if way.down_row != NO_ROW {
                let brought = if way.up_row == NO_ROW { way.flow * held[way.up as usize].specific } else { 0.0 };
                right[way.down_row as usize] += brought + way.own;
            }
        }
    }

    /// Moves energy link by link at the specific energies just solved.
    fn move_energy(&mut self, heads: &[f64]) {
        // Of one length, so that one look tells for all that a place is within it.
        let nodes = heads.len();
        let (held, boundary) = (&mut self.held[..nodes], &mut self.boundary[..nodes]);
        boundary.fill((0.0, 0.0));
        held.iter_mut().for_each(|h| h.change = 0.0);
        for way in &self.ways {
            let (up, down) = (way.up as usize, way.down as usize);
            let leaves = way.flow * held[up].specific;
            let arrives = leaves + way.own;
            if way.up_row == NO_ROW {
                boundary[up].0 += way.flow;
                boundary[up].1 += leaves + way.flow * GRAVITY * heads[up];
            } else {
                held[up].change -= leaves;
            }
            if way.down_row == NO_ROW {
                boundary[down].0 -= way.flow;
                boundary[down].1 -= arrives + way.flow * GRAVITY * heads[down];
            } else {
                held[down].change += arrives;
            }
        }
    }

    /// Puts what was moved, what crosses the boundary at junctions and what walls pass into the stores, and keeps the
    /// account. Whether walls changed the warmth of anything.
    fn store(
        &mut self,
        layout: &Layout,
        heads: &[f64],
        (served, demand): (bool, &impl Fn(usize) -> f64),
        dt: f64,
    ) -> bool {
        let density = layout.fluid.density();
        let (mut heat, mut work, mut room) = (0.0, 0.0, 0.0);
        for way in &self.ways {
            heat += way.heat;
            work += way.shaft;
        }
        if served {
            for (i, h) in self.held.iter_mut().enumerate().filter(|(_, h)| h.row != NO_ROW) {
                let m = -density * demand(i);
                if m != 0.0 {
                    let total = if m > 0.0 { h.given } else { h.specific + GRAVITY * heads[i] };
                    self.boundary[i] = (m, m * total);
                    h.change += m * (total - GRAVITY * heads[i]);
                }
            }
        }
        let mut changed = false;
        for &(node, per) in &layout.walls {
            let h = &mut self.held[node as usize];
            let gained = per * (self.room - h.specific);
            h.change += gained;
            room += gained;
            changed |= h.energy + dt * h.change != h.energy;
        }
        for h in self.held.iter_mut().filter(|h| h.row != NO_ROW) {
            h.energy += dt * h.change;
            h.specific = h.energy * h.per_mass;
        }
        let (mut mass, mut energy) = (0.0, 0.0);
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
            let (from, to) = (ends.from, ends.to);
            *way = Way { from, to, up, down, up_row, down_row, forward: m, flow: m.abs(), ..*way };
            self.stands &= m == 0.0;
        }
    }

    /// Factorises the transport matrix for the present flows.
    fn factorise(&mut self, layout: &Layout, demand: &impl Fn(usize) -> f64, dt: f64) {
        let (density, rate) = (layout.fluid.density(), 1.0 / dt);
        self.upper.fill(0.0);
        self.lower.fill(0.0);
        for (i, &row) in layout.row.iter().enumerate().filter(|(_, row)| **row != NO_ROW) {
            self.inverse[row as usize] = layout.mass[i] * rate + density * demand(i).max(0.0);
        }
        for &(node, per) in &layout.walls {
            self.inverse[layout.row[node as usize] as usize] += per;
        }
        for (way, ends) in self.ways.iter().zip(&layout.ends) {
            if way.up_row != NO_ROW {
                self.inverse[way.up_row as usize] += way.flow;
                if ends.position != NO_ROW {
                    // The entry stands in the row of `down` and the column of `up`.
                    let half = if way.down_row < way.up_row { &mut self.upper } else { &mut self.lower };
                    half[ends.position as usize] -= way.flow;
                }
            }
        }
        layout.elimination.factorise(&mut self.inverse, &mut self.upper, &mut self.lower);
        self.factors_for = dt;
    }
}

impl Network {
    /// Fills every junction with liquid of this temperature, K.
    pub fn fill_at(&mut self, temperature: f64) {
        let u = self.layout.fluid.enthalpy(temperature);
        for (i, mass) in self.layout.mass.iter().enumerate() {
            self.transport.held[i].energy = mass * u;
            self.transport.held[i].specific = u;
            self.transport.held[i].given = u + GRAVITY * self.heads[i];
        }
        self.transport.rests = false;
    }

    /// Sets the temperature (K) of what a junction holds.
    pub fn fill_node_at(&mut self, node: NodeId, temperature: f64) {
        let i = node.0 as usize;
        let u = self.layout.fluid.enthalpy(temperature);
        self.transport.held[i].energy = self.layout.mass[i] * u;
        self.transport.held[i].specific = u;
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
        self.transport.held[node.0 as usize].given = enthalpy;
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
        self.transport.ways[link.0 as usize].heat = heat;
    }

    /// Puts shaft power (W) into a pump's link until it is set again.
    pub fn set_shaft_power(&mut self, link: LinkId, power: f64) {
        self.transport.ways[link.0 as usize].shaft = power;
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
        let h = &self.transport.held[i];
        if h.row == NO_ROW { h.given - GRAVITY * self.heads[i] } else { h.specific }
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
        self.transport.held.iter().map(|h| h.energy).sum()
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
