//! The net itself: what it holds and what can be asked and set.

use super::blocks::{Blocks, Triple};
use super::branch::{Branch, End, Straight};
use super::build::Builder;
use super::node::{Inflow, Outside, Wall};
use super::states::States;
use crate::vessel::{Contents, Equilibrium, T_ZERO, Unsettled, Vessel};
use std::fmt;

/// A node by its place in the net.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct NodeId(pub(super) usize);
/// A branch by its place in the net.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BranchId(pub(super) usize);

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Node {
    Vessel(usize),
    Outside(usize),
}

/// A vessel that has no state any more: where, and which variable.
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble {
    /// Name of the node.
    pub node: String,
    /// What is out of range or not a number.
    pub unsettled: Unsettled,
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "in {}, {}", self.node, self.unsettled)
    }
}
impl std::error::Error for Trouble {}

/// What went into the net over its life, less what came out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ledger {
    /// Water, kg.
    pub water: f64,
    /// Air, kg.
    pub air: f64,
    /// Enthalpy of flows, and heat, J.
    pub energy: f64,
    /// The same without regard to direction, as a scale for what closes: water, kg.
    pub water_through: f64,
    /// Air, kg.
    pub air_through: f64,
    /// Energy, J.
    pub energy_through: f64,
}

base::kept!(Ledger { water, air, energy, water_through, air_through, energy_through });

impl Ledger {
    pub(super) fn add(&mut self, m: [f64; 3]) {
        self.water += m[0];
        self.air += m[1];
        self.energy += m[2];
        self.water_through += m[0].abs();
        self.air_through += m[1].abs();
        self.energy_through += m[2].abs();
    }
}

/// How much work the ticks took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Effort {
    /// Ticks stepped.
    pub ticks: u64,
    /// Linear solutions.
    pub iterations: u64,
    /// Parts the ticks were cut into: equal to `ticks` where none was cut.
    pub parts: u64,
    /// Smallest parts whose iteration did not converge and whose last solution was taken: contents close all the same, flows are less exact.
    pub unconverged: u64,
}

base::kept!(Effort { ticks, iterations, parts, unconverged });

/// A vessel of the net.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct VesselNode {
    pub name: String,
    pub volume: f64,
    pub metal: f64,
    pub contents: Contents,
    /// Now, at the iterate of the iteration, and the candidate's.
    pub e: States,
    pub wall: Option<Wall>,
    pub heat: f64,
    pub inflow: Inflow,
    /// Of the iteration: contents at the iterate, the candidate's, the wall's conductance and heat.
    pub x: Contents,
    pub candidate: Contents,
    pub conductance: f64,
    pub wall_heat: f64,
    pub wall_slope: f64,
    /// Heat that the wall lost to its ambient over the tick so far, J.
    pub wall_lost: f64,
}

base::kept!(VesselNode { contents, e, wall, heat, inflow, conductance, wall_heat, wall_slope, wall_lost }
    fixed { name, volume, metal, x, candidate });

impl VesselNode {
    pub(super) fn new(name: String, vessel: &Vessel, e: Equilibrium, wall: Option<Wall>) -> VesselNode {
        let c = vessel.contents;
        VesselNode {
            name,
            volume: vessel.volume,
            metal: vessel.metal_capacity,
            contents: c,
            e: States::of(e),
            wall,
            heat: 0.0,
            inflow: Inflow::default(),
            x: c,
            candidate: c,
            conductance: 0.0,
            wall_heat: 0.0,
            wall_slope: 0.0,
            wall_lost: 0.0,
        }
    }
}

/// A compressible net, solved implicitly once a tick.
#[derive(Clone, Debug)]
pub struct SteamNet {
    nodes: Vec<Node>,
    pub(super) vessels: Vec<VesselNode>,
    pub(super) outsides: Vec<(String, Outside)>,
    pub(super) branches: Vec<Branch>,
    pub(super) lines: Vec<Straight>,
    pub(super) last: Vec<f64>,
    /// Places of a branch's two off-diagonal blocks.
    pub(super) pairs: Vec<(usize, usize)>,
    pub(super) blocks: Blocks,
    pub(super) change: Vec<Triple>,
    pub(super) ledger: Ledger,
    pub(super) effort: Effort,
}

base::kept!(SteamNet { vessels, branches, last, ledger, effort }
    fixed { nodes, outsides, lines, pairs, blocks, change });

impl SteamNet {
    /// Begins a net.
    #[must_use]
    pub fn builder() -> Builder {
        Builder::default()
    }

    pub(super) fn new(
        nodes: Vec<Node>,
        vessels: Vec<VesselNode>,
        outsides: Vec<(String, Outside)>,
        branches: Vec<Branch>,
        blocks: Blocks,
    ) -> SteamNet {
        let pairs = branches
            .iter()
            .map(|b| match (b.from, b.to) {
                (End::Vessel(i), End::Vessel(j)) => (blocks.place(i, j), blocks.place(j, i)),
                _ => (0, 0),
            })
            .collect();
        SteamNet {
            nodes,
            lines: vec![Straight::default(); branches.len()],
            last: vec![0.0; branches.len()],
            change: vec![[0.0; 3]; vessels.len()],
            vessels,
            outsides,
            branches,
            pairs,
            blocks,
            ledger: Ledger::default(),
            effort: Effort::default(),
        }
    }

    fn vessel(&self, node: NodeId) -> &VesselNode {
        match self.nodes[node.0] {
            Node::Vessel(i) => &self.vessels[i],
            Node::Outside(i) => panic!("{} is an outside; it has no contents", self.outsides[i].0),
        }
    }
    fn vessel_mut(&mut self, node: NodeId) -> &mut VesselNode {
        match self.nodes[node.0] {
            Node::Vessel(i) => &mut self.vessels[i],
            Node::Outside(i) => panic!("{} is an outside; it has no contents", self.outsides[i].0),
        }
    }

    /// A node's name.
    #[must_use]
    pub fn name(&self, node: NodeId) -> &str {
        match self.nodes[node.0] {
            Node::Vessel(i) => &self.vessels[i].name,
            Node::Outside(i) => &self.outsides[i].0,
        }
    }
    /// A node's pressure, Pa.
    #[must_use]
    pub fn p(&self, node: NodeId) -> f64 {
        match self.nodes[node.0] {
            Node::Vessel(i) => self.vessels[i].e.now().p,
            Node::Outside(i) => self.outsides[i].1.p(),
        }
    }
    /// A node's temperature, K.
    #[must_use]
    pub fn t(&self, node: NodeId) -> f64 {
        match self.nodes[node.0] {
            Node::Vessel(i) => self.vessels[i].e.now().t,
            Node::Outside(i) => self.outsides[i].1.t(),
        }
    }
    /// A vessel's state after the last tick.
    ///
    /// # Panics
    /// When the node is an outside; so do the other functions that concern a vessel.
    #[must_use]
    pub fn state(&self, node: NodeId) -> &Equilibrium {
        self.vessel(node).e.now()
    }
    /// What a vessel holds.
    #[must_use]
    pub fn contents(&self, node: NodeId) -> Contents {
        self.vessel(node).contents
    }
    /// A vessel's volume, m3.
    #[must_use]
    pub fn volume(&self, node: NodeId) -> f64 {
        self.vessel(node).volume
    }
    /// Volume of liquid as a part of the vessel's.
    #[must_use]
    pub fn level(&self, node: NodeId) -> f64 {
        let v = self.vessel(node);
        v.e.now().liquid_volume / v.volume
    }
    /// A vessel's wall.
    #[must_use]
    pub fn wall(&self, node: NodeId) -> Option<&Wall> {
        self.vessel(node).wall.as_ref()
    }
    /// A vessel's wall, to change what acts on it (heat, ambient). Its temperature is its state.
    pub fn wall_mut(&mut self, node: NodeId) -> Option<&mut Wall> {
        self.vessel_mut(node).wall.as_mut()
    }
    /// Heat that its wall gave to a vessel in the last tick, W (in its last part, where the tick was cut).
    #[must_use]
    pub fn wall_heat(&self, node: NodeId) -> f64 {
        self.vessel(node).wall_heat
    }
    /// Heat that a vessel's wall lost to its ambient over the last tick, J.
    #[must_use]
    pub fn wall_lost(&self, node: NodeId) -> f64 {
        self.vessel(node).wall_lost
    }
    /// The nodes that are vessels, in order.
    pub fn vessels(&self) -> impl Iterator<Item = NodeId> + '_ {
        let is_vessel = |n: &(usize, &Node)| matches!(n.1, Node::Vessel(_));
        self.nodes.iter().enumerate().filter(is_vessel).map(|(i, _)| NodeId(i))
    }
    /// Heat capacity of a vessel's metal that follows its contents, J/K.
    #[must_use]
    pub fn metal(&self, node: NodeId) -> f64 {
        self.vessel(node).metal
    }
    /// A branch.
    #[must_use]
    pub fn branch(&self, branch: BranchId) -> &Branch {
        &self.branches[branch.0]
    }
    /// Mean flow through a branch in the last tick, kg/s.
    #[must_use]
    pub fn flow(&self, branch: BranchId) -> f64 {
        self.branches[branch.0].flow
    }

    /// Heat into a vessel's contents from now on, W.
    pub fn set_heat(&mut self, node: NodeId, heat: f64) {
        self.vessel_mut(node).heat = heat;
    }
    /// Flow into a vessel other than by branches from now on.
    pub fn set_inflow(&mut self, node: NodeId, inflow: Inflow) {
        self.vessel_mut(node).inflow = inflow;
    }
    /// A branch's travel from now on, 0 to 1 (a safety valve has its own).
    pub fn set_opening(&mut self, branch: BranchId, travel: f64) {
        let b = &mut self.branches[branch.0];
        if b.opening != travel {
            b.opening = travel;
            b.share = b.spec.characteristic.share(travel);
        }
    }
    /// Shaft work that each kilogram gives up on its way forward through a branch from now on, J/kg: turbine stages.
    pub fn set_work(&mut self, branch: BranchId, work: f64) {
        self.branches[branch.0].work = work;
    }
    /// The part of Kv that passes when a valve is shut.
    pub fn set_leak(&mut self, branch: BranchId, part: f64) {
        self.branches[branch.0].leak = part;
    }
    /// The mass fraction of liquid that gas leaving by a branch carries along (if there is liquid).
    pub fn set_carry(&mut self, branch: BranchId, fraction: f64) {
        self.branches[branch.0].carry = fraction;
    }
    /// Holds a safety valve at a lift whatever the pressure (0: gagged or stuck), or lets it go.
    pub fn hold_safety(&mut self, branch: BranchId, lift: Option<f64>) {
        self.branches[branch.0].held = lift;
    }
    /// The spring and lift of a safety valve, if the branch is one.
    pub fn safety_mut(&mut self, branch: BranchId) -> Option<&mut super::SafetyValve> {
        self.branches[branch.0].safety.as_mut()
    }
    /// Changes an outside; it must be in range ([`Outside::in_range`]).
    ///
    /// # Panics
    /// When the node is a vessel.
    pub fn set_outside(&mut self, node: NodeId, outside: Outside) {
        match self.nodes[node.0] {
            Node::Outside(i) => self.outsides[i].1 = outside,
            Node::Vessel(i) => panic!("{} is a vessel; its state follows from what it holds", self.vessels[i].name),
        }
    }

    /// What went in and out over the net's life.
    #[must_use]
    pub fn ledger(&self) -> Ledger {
        self.ledger
    }
    /// How much work the ticks took.
    #[must_use]
    pub fn effort(&self) -> Effort {
        self.effort
    }
    /// Everything the vessels and their walls hold: water, air (kg), energy (J).
    #[must_use]
    pub fn inventory(&self) -> Contents {
        let mut sum = Contents::default();
        for v in &self.vessels {
            sum.water += v.contents.water;
            sum.air += v.contents.air;
            sum.energy += v.contents.energy + v.wall.map_or(0.0, |w| w.capacity * (w.t - T_ZERO));
        }
        sum
    }
}
