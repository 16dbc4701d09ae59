//! Building a net: vessels, outsides and branches as a petgraph graph, checked and frozen.

use super::blocks::Blocks;
use super::branch::{Branch, BranchSpec, End};
use super::net::{BranchId, Node, NodeId, SteamNet, Trouble, VesselNode};
use super::node::{Outside, Wall};
use crate::vessel::Vessel;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use std::fmt;

/// Why a net cannot be built.
#[derive(Clone, Debug, PartialEq)]
pub enum Mistake {
    /// A vessel without a positive volume.
    Volume(String),
    /// A branch from a node to itself, or between two outsides.
    Ends(String),
    /// A flow coefficient, recovery factor or pressure ratio that is not positive.
    Number(String, &'static str),
    /// An outside beyond the range of the water tables.
    Outside(String),
    /// The starting contents of a vessel have no state.
    Start(Trouble),
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Mistake::Volume(n) => write!(f, "{n} has no volume; give it one above 0 m3"),
            Mistake::Ends(n) => {
                write!(f, "{n} joins a node to itself or two outsides; one end must be a vessel of the net")
            }
            Mistake::Number(n, what) => write!(f, "{what} of {n} must be above 0"),
            Mistake::Outside(n) => {
                write!(
                    f,
                    "{n} is out of range; it must be from 0 degC to 1200 degC, at most 120 bara, and liquid only if it is not boiling"
                )
            }
            Mistake::Start(t) => write!(f, "at the start, {t}"),
        }
    }
}
impl std::error::Error for Mistake {}

/// A net in the making.
#[derive(Clone, Debug, Default)]
pub struct Builder {
    graph: DiGraph<(String, Node), BranchSpec>,
    vessels: Vec<(String, Vessel, Option<Wall>)>,
    outsides: Vec<(String, Outside)>,
}

impl Builder {
    /// Adds a vessel.
    pub fn vessel(&mut self, name: &str, vessel: Vessel, wall: Option<Wall>) -> NodeId {
        let node = Node::Vessel(self.vessels.len());
        self.vessels.push((name.to_owned(), vessel, wall));
        NodeId(self.graph.add_node((name.to_owned(), node)).index())
    }

    /// Adds an outside.
    pub fn outside(&mut self, name: &str, outside: Outside) -> NodeId {
        let node = Node::Outside(self.outsides.len());
        self.outsides.push((name.to_owned(), outside));
        NodeId(self.graph.add_node((name.to_owned(), node)).index())
    }

    /// Adds a branch; flow is counted positive from the first end to the second.
    pub fn branch(&mut self, from: NodeId, to: NodeId, spec: BranchSpec) -> BranchId {
        BranchId(self.graph.add_edge(NodeIndex::new(from.0), NodeIndex::new(to.0), spec).index())
    }

    /// The net, ready to step.
    ///
    /// # Errors
    /// All mistakes that were made, in the order of the nodes and branches.
    pub fn build(self) -> Result<SteamNet, Vec<Mistake>> {
        let mut mistakes = Vec::new();
        let end = |n: NodeIndex| match self.graph[n].1 {
            Node::Vessel(i) => End::Vessel(i),
            Node::Outside(i) => End::Outside(i),
        };
        let mut branches = Vec::new();
        let mut pairs = Vec::new();
        for edge in self.graph.edge_references() {
            let (from, to, spec) = (end(edge.source()), end(edge.target()), edge.weight().clone());
            match (from, to) {
                (End::Vessel(a), End::Vessel(b)) if a != b => pairs.push((a, b)),
                (End::Vessel(_), End::Outside(_)) | (End::Outside(_), End::Vessel(_)) => {}
                _ => mistakes.push(Mistake::Ends(spec.name.clone())),
            }
            for (value, what) in
                [(spec.kv, "Kv"), (spec.x_t, "the pressure ratio x_T"), (spec.f_l, "the recovery factor F_L")]
            {
                if !(value > 0.0 && value.is_finite()) {
                    mistakes.push(Mistake::Number(spec.name.clone(), what));
                }
            }
            branches.push(Branch::new(spec, from, to));
        }
        let mut vessels = Vec::new();
        for (name, mut vessel, wall) in self.vessels {
            if !(vessel.volume > 0.0 && vessel.volume.is_finite()) {
                mistakes.push(Mistake::Volume(name));
                continue;
            }
            match vessel.equilibrium() {
                Ok(e) => vessels.push(VesselNode::new(name, &vessel, e, wall)),
                Err(u) => mistakes.push(Mistake::Start(Trouble { node: name, unsettled: u })),
            }
        }
        for (name, outside) in &self.outsides {
            if !outside.in_range() {
                mistakes.push(Mistake::Outside(name.clone()));
            }
        }
        if !mistakes.is_empty() {
            return Err(mistakes);
        }
        let blocks = Blocks::new(vessels.len(), pairs);
        let nodes = self.graph.node_weights().map(|n| n.1).collect();
        Ok(SteamNet::new(nodes, vessels, self.outsides, branches, blocks))
    }
}
