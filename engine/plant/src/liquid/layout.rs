//! What a liquid network is made of and how it is joined: fixed once built.
//!
//! The graph is petgraph's; nodes and links are numbered in the order in which they are added and
//! none is ever removed. Everything that a solve needs to find its way is worked out in
//! [`NetworkBuilder::build`].

use super::elimination::Elimination;
use super::fluid::Fluid;
use super::network::Network;
use super::pump_curve::PumpCurve;
use super::valve_law::Characteristic;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

/// Standard acceleration of free fall, m/s2 (ISO 80000-3).
pub const GRAVITY: f64 = 9.80665;

/// A node of a network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct NodeId(pub u32);

/// A link of a network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LinkId(pub u32);

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NodeKind {
    /// Pipes meet; holds liquid. `volume` (m3) is added to half the volume of every pipe that ends here.
    Junction {
        /// Liquid held here beside the pipes' own, m3.
        volume: f64,
    },
    /// Something outside holds the head here: a tank, a vessel, the sea.
    Reservoir,
}

/// What a link does to the head. Flow is positive from its `from` node to its `to` node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LinkKind {
    /// A full round pipe.
    Pipe {
        /// Length, m.
        length: f64,
        /// Bore, m.
        diameter: f64,
        /// Roughness of the wall, m.
        roughness: f64,
        /// Sum of the loss coefficients K of bends and fittings.
        minor_loss: f64,
    },
    /// A valve, or any fitting with a loss coefficient, sized by K on a diameter.
    Valve {
        /// Diameter that K refers to, m.
        diameter: f64,
        /// Loss coefficient K fully open.
        minor_loss: f64,
        /// How opening acts.
        characteristic: Characteristic,
    },
    /// A valve sized by its flow coefficient.
    ValveKv {
        /// Kv fully open, m3/h at 1 bar.
        kv: f64,
        /// How opening acts.
        characteristic: Characteristic,
    },
    /// A strainer or filter; choking takes away free area.
    Strainer {
        /// Diameter that K refers to, m.
        diameter: f64,
        /// Loss coefficient K when clean.
        minor_loss: f64,
    },
    /// A centrifugal pump.
    Pump {
        /// Its curve at rated speed.
        curve: PumpCurve,
    },
}

/// One link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinkParams {
    /// What it is.
    pub kind: LinkKind,
    /// Flow from `to` to `from` is shut off by a flap (a non-return valve in or behind it).
    pub non_return: bool,
}

impl From<LinkKind> for LinkParams {
    fn from(kind: LinkKind) -> LinkParams {
        LinkParams { kind, non_return: false }
    }
}

/// A node with its name, for messages.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub name: String,
    pub kind: NodeKind,
    pub elevation: f64,
    /// Heat conductance of its wall to the room, W/K.
    pub to_room: f64,
}

/// A link with its name, for messages.
#[derive(Clone, Debug)]
pub(super) struct Link {
    pub name: String,
    pub params: LinkParams,
}

/// No row: the node is a reservoir.
pub(super) const NO_ROW: u32 = u32::MAX;

/// Where a link's two ends stand in the arrays.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ends {
    pub from: u32,
    pub to: u32,
    pub from_row: u32,
    pub to_row: u32,
    /// Off-diagonal position, [`NO_ROW`] when an end is a reservoir.
    pub position: u32,
}

/// The fixed part of a network.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub fluid: Fluid,
    pub viscosity: f64,
    pub graph: DiGraph<Node, Link>,
    pub ends: Vec<Ends>,
    /// Row of each node in the equations, [`NO_ROW`] for a reservoir.
    pub row: Vec<u32>,
    /// Mass of liquid at each node, kg; zero at a reservoir.
    pub mass: Vec<f64>,
    /// Junctions whose wall lets heat through, and its conductance over the liquid's heat capacity, kg/s.
    pub walls: Vec<(u32, f64)>,
    pub elimination: Elimination,
}

/// Something that keeps a network from being built.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// The node or link, by the name it was given.
    pub part: String,
    /// What is wrong, as a sentence without a final full stop.
    pub message: String,
}

/// Collects a network's parts in order.
#[derive(Clone, Debug)]
pub struct NetworkBuilder {
    fluid: Fluid,
    viscosity: f64,
    graph: DiGraph<Node, Link>,
}

impl NetworkBuilder {
    /// An empty network of this liquid.
    #[must_use]
    pub fn new(fluid: Fluid) -> NetworkBuilder {
        NetworkBuilder { fluid, viscosity: fluid.viscosity(), graph: DiGraph::new() }
    }

    /// The liquid.
    #[must_use]
    pub fn fluid(&self) -> Fluid {
        self.fluid
    }

    /// Takes another kinematic viscosity (m2/s) than the liquid's usual one.
    #[must_use]
    pub fn viscosity(mut self, viscosity: f64) -> NetworkBuilder {
        self.viscosity = viscosity;
        self
    }

    /// Adds a junction: elevation in m above the ship's datum, own volume in m3.
    pub fn junction(&mut self, name: &str, elevation: f64, volume: f64) -> NodeId {
        self.node(name, elevation, NodeKind::Junction { volume })
    }

    /// Adds a reservoir: elevation of its connection in m above the ship's datum. Its head starts
    /// there (atmospheric pressure) until it is set.
    pub fn reservoir(&mut self, name: &str, elevation: f64) -> NodeId {
        self.node(name, elevation, NodeKind::Reservoir)
    }

    /// Lets heat through a junction's wall to the room: conductance in W/K.
    ///
    /// # Panics
    /// When the node is not of this builder.
    pub fn to_room(&mut self, node: NodeId, conductance: f64) {
        self.graph[NodeIndex::new(node.0 as usize)].to_room = conductance;
    }

    fn node(&mut self, name: &str, elevation: f64, kind: NodeKind) -> NodeId {
        NodeId(self.graph.add_node(Node { name: name.to_owned(), kind, elevation, to_room: 0.0 }).index() as u32)
    }

    /// Joins two nodes of this builder.
    ///
    /// # Panics
    /// When a node is not of this builder.
    pub fn link(&mut self, name: &str, from: NodeId, to: NodeId, params: impl Into<LinkParams>) -> LinkId {
        let link = Link { name: name.to_owned(), params: params.into() };
        LinkId(self.graph.add_edge(NodeIndex::new(from.0 as usize), NodeIndex::new(to.0 as usize), link).index() as u32)
    }

    /// Works out the structure.
    ///
    /// # Errors
    /// Every node and link whose figures make no sense.
    pub fn build(self) -> Result<Network, Vec<Mistake>> {
        let mut mistakes = Vec::new();
        let mut volume = vec![0.0; self.graph.node_count()];
        for e in self.graph.edge_references() {
            let link = e.weight();
            if let Some(message) = nonsense(&link.params.kind) {
                mistakes.push(Mistake { part: link.name.clone(), message: message.to_owned() });
            }
            if e.source() == e.target() {
                let message = "both ends are joined to the same node".to_owned();
                mistakes.push(Mistake { part: link.name.clone(), message });
            }
            if let LinkKind::Pipe { length, diameter, .. } = link.params.kind {
                let half = 0.125 * std::f64::consts::PI * diameter * diameter * length;
                volume[e.source().index()] += half;
                volume[e.target().index()] += half;
            }
        }
        let density = self.fluid.density();
        let (mut row, mut mass, mut walls, mut unknowns) = (Vec::new(), Vec::new(), Vec::new(), 0);
        for (i, (node, pipes)) in (0u32..).zip(self.graph.node_weights().zip(&volume)) {
            if node.to_room != 0.0 {
                walls.push((i, node.to_room / self.fluid.heat_capacity()));
                if !(node.to_room > 0.0 && node.to_room.is_finite() && matches!(node.kind, NodeKind::Junction { .. })) {
                    let message = "a heat conductance to the room must be above zero, and is a junction's".to_owned();
                    mistakes.push(Mistake { part: node.name.clone(), message });
                }
            }
            match node.kind {
                NodeKind::Reservoir => {
                    row.push(NO_ROW);
                    mass.push(0.0);
                }
                NodeKind::Junction { volume } => {
                    row.push(unknowns);
                    mass.push(density * (volume + pipes));
                    unknowns += 1;
                    if !(volume >= 0.0 && volume + pipes > 0.0 && node.elevation.is_finite()) {
                        let message = "needs a volume above zero, its own or that of a pipe that ends here".to_owned();
                        mistakes.push(Mistake { part: node.name.clone(), message });
                    }
                }
            }
        }
        if !mistakes.is_empty() {
            return Err(mistakes);
        }
        let rows_of = |e: petgraph::graph::EdgeReference<'_, Link>| (row[e.source().index()], row[e.target().index()]);
        let pairs = self.graph.edge_references().map(rows_of).filter(|&(a, b)| a != NO_ROW && b != NO_ROW);
        let elimination = Elimination::new(unknowns as usize, pairs.map(|(a, b)| (a as usize, b as usize)));
        let row: Vec<u32> =
            row.iter().map(|&r| if r == NO_ROW { NO_ROW } else { elimination.row(r as usize) as u32 }).collect();
        let ends = self.graph.edge_references().map(|e| {
            let (from, to) = (e.source().index(), e.target().index());
            let (from_row, to_row) = (row[from], row[to]);
            let inside = from_row != NO_ROW && to_row != NO_ROW;
            let position = if inside { elimination.position(from_row as usize, to_row as usize) } else { None };
            Ends { from: from as u32, to: to as u32, from_row, to_row, position: position.map_or(NO_ROW, |p| p as u32) }
        });
        let ends = ends.collect();
        let (fluid, viscosity, graph) = (self.fluid, self.viscosity, self.graph);
        Ok(Network::new(Layout { fluid, viscosity, graph, ends, row, mass, walls, elimination }))
    }
}

/// Why a link's figures make no sense, if they do not.
fn nonsense(kind: &LinkKind) -> Option<&'static str> {
    let above = |v: f64| v > 0.0 && v.is_finite();
    let no_less = |v: f64| v >= 0.0 && v.is_finite();
    match *kind {
        LinkKind::Pipe { length, diameter, roughness, minor_loss } => {
            let sound = above(length) && above(diameter) && no_less(roughness) && no_less(minor_loss);
            (!(sound && roughness < 0.05 * diameter))
                .then_some("a pipe needs a length and bore above zero and a roughness below a twentieth of its bore")
        }
        LinkKind::Valve { diameter, minor_loss, .. } | LinkKind::Strainer { diameter, minor_loss } => {
            (!(above(diameter) && above(minor_loss))).then_some("needs a diameter and a loss coefficient above zero")
        }
        LinkKind::ValveKv { kv, .. } => (!above(kv)).then_some("needs a Kv above zero"),
        LinkKind::Pump { curve } => (!(above(curve.shut_off_head) && above(curve.factor) && above(curve.exponent)))
            .then_some("the pump's curve must fall from a head above zero"),
    }
}
