//! A liquid network: flows and heads solved together.
//!
//! Equations: `H_from - H_to = h_k(Q_k)` along every link and `sum of Q = demand` at every
//! junction, by the global-gradient method (Todini and Pilati 1988, as in the EPANET 2.2 manual):
//! each link is linearised at its present flow, `Q = y + (H_from - H_to)/g`, the heads follow from
//! one symmetric system, the flows from the heads, until flows stand still. Continuity holds after
//! every full step to rounding.
//!
//! Assumptions: incompressible, full of liquid, no inertia (quasi-steady).
//! - A shut link passes exactly nothing.
//! - A flap (non-return) that would pass backward is shut, and opens when the head before it is above
//!   the head behind it; flaps are settled within the solve.
//! - A part of the network with no open way to a reservoir has no head of its own. One of its
//!   junctions keeps the head that it last had, as trapped liquid does; the other heads follow from
//!   it. Demand there is not met. Flow within it, such as a pump driving round a closed circuit, is
//!   solved as anywhere else. [`Network::is_isolated`] tells.
//!
//! What a solve starts from (flows, heads, flaps, friction factors) is state and belongs to a
//! checkpoint, which is a clone. Settings are rounded when they are given (openings, speeds and
//! factors to 1e-4, heads to 1 mm, demands to 1e-9 m3/s); a network whose rounded settings did not
//! change is not solved again. Nothing is allocated on a solve.
//!
//! Units: heads in m of the liquid above the ship's datum, atmospheric pressure being zero; flows in m3/s.

use super::fluid::Fluid;
use super::layout::{GRAVITY, Layout, LinkId, LinkKind, NO_ROW, NodeId};
use super::link_law::{Law, Setting};
use super::transport::Transport;
use base::maths::{exp, ln};
use base::units::ATMOSPHERE;
use std::sync::Arc;

/// Most linearisations in one solve; what has not stood still by then is reported.
const ITERATIONS_MAX: u32 = 200;
/// From this iteration on, flaps move one at a time and only when the flows stand still.
const ITERATIONS_FREE: u32 = 25;
/// Flows stand still when their changes add up to less than this part of their own sum …
const STILL: f64 = 1e-8;
/// … or less than this, m3/s.
const STILL_FLOW: f64 = 1e-10;
/// A flap that is shut opens at this head across it, m.
const FLAP_HEAD: f64 = 1e-9;

/// One link's state.
#[derive(Clone, Debug)]
pub(super) struct LinkState {
    pub flow: f64,
    /// Viscosity of the liquid in it, m2/s.
    pub(super) viscosity: f64,
    /// Temperatures between which its rounded viscosity is that, K.
    as_thick: (f64, f64),
    pub(super) law: Law,
    /// Its flap is shut.
    flap_shut: bool,
    pub(super) setting: Setting,
}

base::kept!(LinkState { flow, viscosity, as_thick, law, flap_shut, setting });

impl LinkState {
    pub(super) fn passes(&self) -> bool {
        !self.flap_shut && !matches!(self.law, Law::Shut)
    }
}

/// A network and its state.
#[derive(Clone, Debug)]
pub struct Network {
    pub(super) layout: Arc<Layout>,
    pub(super) links: Vec<LinkState>,
    /// By node.
    pub(super) heads: Vec<f64>,
    /// By node; the demand asked for.
    pub(super) demand: Vec<f64>,
    /// By node; no open way to a reservoir.
    pub(super) isolated: Vec<bool>,
    pub(super) transport: Transport,
    pub(super) changed: bool,
    work: Work,
}

base::kept!(Network { links, heads, demand, isolated, transport, changed } fixed { layout, work });

/// Room for one solve.
#[derive(Clone, Debug)]
struct Work {
    diagonal: Vec<f64>,
    off: Vec<f64>,
    right: Vec<f64>,
    /// By link: slope turned over, and the flow at equal heads.
    pass: Vec<(f64, f64)>,
    /// By node: its part of the network.
    part: Vec<u32>,
    /// By node: keeps its head for an isolated part.
    keeps: Vec<bool>,
    /// By node: the head before the solve, which an isolated part keeps.
    before: Vec<f64>,
}

/// What a solve took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Effort {
    /// Linear systems solved; 0 when nothing had changed.
    pub iterations: u32,
}

/// What went wrong in a solve.
#[derive(Clone, Debug, PartialEq)]
pub enum Trouble {
    /// A head or flow is not a number; the node or link by name.
    NotFinite(String),
    /// Flows did not stand still; the last ones are kept, and they satisfy continuity. Part of all
    /// flow that still moved.
    NotSettled(f64),
}

impl Network {
    pub(super) fn new(layout: Layout) -> Network {
        let (nodes, links) = (layout.graph.node_count(), layout.graph.edge_count());
        let (rows, positions) = (layout.elimination.unknowns(), layout.elimination.positions());
        let setting = Setting::default();
        let links_state = layout.graph.edge_weights().map(|l| {
            let law = Law::new(&l.params.kind, &setting, layout.viscosity);
            LinkState {
                flow: law.ordinary(&l.params.kind),
                viscosity: layout.viscosity,
                as_thick: (0.0, 0.0),
                law,
                flap_shut: false,
                setting,
            }
        });
        Network {
            links: links_state.collect(),
            heads: layout.graph.node_weights().map(|n| n.elevation).collect(),
            demand: vec![0.0; nodes],
            isolated: vec![false; nodes],
            transport: Transport::new(&layout),
            changed: true,
            work: Work {
                diagonal: vec![0.0; rows],
                off: vec![0.0; positions],
                right: vec![0.0; rows],
                pass: vec![(0.0, 0.0); links],
                part: vec![0; nodes],
                keeps: vec![false; nodes],
                before: vec![0.0; nodes],
            },
            layout: Arc::new(layout),
        }
    }

    /// The liquid.
    #[must_use]
    pub fn fluid(&self) -> Fluid {
        self.layout.fluid
    }

    /// Every node in order.
    pub fn nodes(&self) -> impl Iterator<Item = NodeId> + use<> {
        (0..self.heads.len() as u32).map(NodeId)
    }

    /// The node is a junction, whose head is solved.
    #[must_use]
    pub fn is_junction(&self, node: NodeId) -> bool {
        self.layout.row[node.0 as usize] != NO_ROW
    }

    /// Every link in order.
    pub fn links(&self) -> impl Iterator<Item = LinkId> + use<> {
        (0..self.links.len() as u32).map(LinkId)
    }

    /// The nodes that a link runs from and to.
    #[must_use]
    pub fn ends(&self, link: LinkId) -> (NodeId, NodeId) {
        let e = self.layout.ends[link.0 as usize];
        (NodeId(e.from), NodeId(e.to))
    }

    /// What is set on a link.
    #[must_use]
    pub fn setting(&self, link: LinkId) -> Setting {
        self.links[link.0 as usize].setting
    }

    /// Takes the viscosity in every pipe from the temperature of what runs into it, rounded to 1 %, where the
    /// liquid's goes with temperature; to be called before [`Network::solve`]. Valves, strainers and nozzles keep
    /// their law: what thick oil loses in them is small beside the pipes (own choice).
    pub fn thicken(&mut self) {
        let Some(law) = self.layout.fluid.viscosity_law() else { return };
        for k in 0..self.links.len() {
            let kind = self.layout.graph.raw_edges()[k].weight.params.kind;
            if !matches!(kind, LinkKind::Pipe { .. }) {
                continue;
            }
            let temperature = self.temperature(self.upstream(LinkId(k as u32)));
            let link = &mut self.links[k];
            if temperature > link.as_thick.0 && temperature < link.as_thick.1 {
                continue;
            }
            let exact = law.at(temperature);
            let hundreds = 100.0 * ln(exact);
            let rounded = hundreds.round();
            let viscosity = exp(rounded / 100.0);
            // So far is it to another rounded figure, at twice the slope that it has here; but for 1e-6 of rounding.
            let far = (0.5 - 1e-6 - (hundreds - rounded).abs()) / (200.0 * law.thins(temperature, exact));
            let far = far.min(0.5);
            link.as_thick = (temperature - far, temperature + far);
            if link.viscosity != viscosity {
                link.viscosity = viscosity;
                link.law = Law::new(&kind, &link.setting, viscosity);
                self.changed = true;
            }
        }
    }

    /// The flow that really leaves at a junction, m3/s: the demand, or nothing where the junction is isolated.
    #[must_use]
    pub fn delivered(&self, node: NodeId) -> f64 {
        if self.isolated[node.0 as usize] { 0.0 } else { self.demand[node.0 as usize] }
    }

    /// Flow along a link, m3/s.
    #[must_use]
    pub fn flow(&self, link: LinkId) -> f64 {
        self.links[link.0 as usize].flow
    }

    /// Flow along a link, kg/s.
    #[must_use]
    pub fn mass_flow(&self, link: LinkId) -> f64 {
        self.layout.fluid.density() * self.flow(link)
    }

    /// Head gained along a link, m: what a pump makes; negative where head is lost.
    #[must_use]
    pub fn head_gain(&self, link: LinkId) -> f64 {
        let e = self.layout.ends[link.0 as usize];
        self.heads[e.to as usize] - self.heads[e.from as usize]
    }

    /// Head of a node, m above the datum.
    #[must_use]
    pub fn head(&self, node: NodeId) -> f64 {
        self.heads[node.0 as usize]
    }

    /// Pressure of a node, Pa absolute. Below zero means that the liquid would have parted: what
    /// stands there in a real line is vapour.
    #[must_use]
    pub fn pressure(&self, node: NodeId) -> f64 {
        let elevation = self.layout.graph.raw_nodes()[node.0 as usize].weight.elevation;
        ATMOSPHERE + self.layout.fluid.density() * GRAVITY * (self.heads[node.0 as usize] - elevation)
    }

    /// No open way leads from the node to a reservoir.
    #[must_use]
    pub fn is_isolated(&self, node: NodeId) -> bool {
        self.isolated[node.0 as usize]
    }

    /// The non-return flap of a link is shut.
    #[must_use]
    pub fn flap_is_shut(&self, link: LinkId) -> bool {
        self.links[link.0 as usize].flap_shut
    }

    /// Solves flows and heads if a setting has changed since the last time.
    ///
    /// # Errors
    /// When something is not a number or the flows do not stand still.
    pub fn solve(&mut self) -> Result<Effort, Trouble> {
        if !self.changed {
            return Ok(Effort::default());
        }
        self.transport.flows_changed();
        self.work.before.copy_from_slice(&self.heads);
        self.drop_flaps();
        self.find_parts();
        let mut last_move = 0.0;
        for iteration in 1..=ITERATIONS_MAX {
            let moved = self.step();
            if !moved.is_finite() {
                return Err(self.not_finite());
            }
            let still = moved <= STILL;
            let flaps_moved =
                if iteration < ITERATIONS_FREE { self.move_flaps(false) } else { still && self.move_flaps(true) };
            if flaps_moved {
                self.find_parts();
            } else if still {
                self.changed = false;
                return Ok(Effort { iterations: iteration });
            }
            last_move = moved;
        }
        Err(Trouble::NotSettled(last_move))
    }

    /// One linearisation and linear solve. Returns how much the flows moved, as a part of their sum.
    fn step(&mut self) -> f64 {
        let Network { layout, links, heads, demand, isolated, work, .. } = self;
        let Work { diagonal, off, right, pass, keeps, before, .. } = work;
        diagonal.fill(0.0);
        off.fill(0.0);
        for (node, &row) in layout.row.iter().enumerate().filter(|(_, row)| **row != NO_ROW) {
            let row = row as usize;
            right[row] = if isolated[node] { 0.0 } else { -demand[node] };
            if keeps[node] {
                diagonal[row] = 1.0;
                right[row] += before[node];
            }
        }
        for ((link, ends), pass) in links.iter_mut().zip(&layout.ends).zip(pass.iter_mut()) {
            if !link.passes() {
                *pass = (0.0, 0.0);
                continue;
            }
            let (head, slope) = link.law.loss(link.flow);
            let p = 1.0 / slope;
            let y = link.flow - head * p;
            *pass = (p, y);
            if ends.position != NO_ROW {
                off[ends.position as usize] -= p;
            }
            if ends.from_row != NO_ROW {
                diagonal[ends.from_row as usize] += p;
                right[ends.from_row as usize] -= y;
                if ends.to_row == NO_ROW {
                    right[ends.from_row as usize] += p * heads[ends.to as usize];
                }
            }
            if ends.to_row != NO_ROW {
                diagonal[ends.to_row as usize] += p;
                right[ends.to_row as usize] += y;
                if ends.from_row == NO_ROW {
                    right[ends.to_row as usize] += p * heads[ends.from as usize];
                }
            }
        }
        layout.elimination.solve_symmetric(diagonal, off, right);
        for (head, &row) in heads.iter_mut().zip(&layout.row).filter(|(_, row)| **row != NO_ROW) {
            *head = right[row as usize];
        }
        let (mut moved, mut all) = (0.0, 0.0);
        for ((link, ends), (p, y)) in links.iter_mut().zip(&layout.ends).zip(pass.iter()) {
            let flow = y + p * (heads[ends.from as usize] - heads[ends.to as usize]);
            moved += (flow - link.flow).abs();
            all += flow.abs();
            link.flow = flow;
        }
        if moved <= STILL_FLOW { 0.0 } else { moved / (all + moved) }
    }

    /// Shuts the flaps that the heads of before would push shut, so that a pressure behind a flap is
    /// trapped when its pump stops. One that ought to be open opens again within the solve.
    fn drop_flaps(&mut self) {
        for ((link, ends), edge) in self.links.iter_mut().zip(&self.layout.ends).zip(self.layout.graph.raw_edges()) {
            if edge.weight.params.non_return && link.passes() {
                let push = self.heads[ends.from as usize] - self.heads[ends.to as usize] - link.law.loss(0.0).0;
                if push < -FLAP_HEAD {
                    link.flap_shut = true;
                    link.flow = 0.0;
                }
            }
        }
    }

    /// Shuts flaps that pass backward and opens those that are pushed open. Returns whether any moved.
    fn move_flaps(&mut self, one: bool) -> bool {
        let mut moved = false;
        for (k, link) in self.links.iter_mut().enumerate() {
            let weight = &self.layout.graph.raw_edges()[k].weight;
            if !weight.params.non_return || matches!(link.law, Law::Shut) {
                continue;
            }
            let ends = self.layout.ends[k];
            if link.flap_shut {
                let push = self.heads[ends.from as usize] - self.heads[ends.to as usize] - link.law.loss(0.0).0;
                if push > FLAP_HEAD {
                    link.flap_shut = false;
                    link.flow = link.law.ordinary(&weight.params.kind);
                    moved = true;
                }
            } else if link.flow < -STILL_FLOW {
                link.flap_shut = true;
                link.flow = 0.0;
                moved = true;
            }
            if moved && one {
                break;
            }
        }
        moved
    }

    /// Finds the parts of the network that hang together and which of them reach a reservoir.
    fn find_parts(&mut self) {
        let Work { part, keeps, .. } = &mut self.work;
        for (i, p) in part.iter_mut().enumerate() {
            *p = i as u32;
        }
        fn root(part: &mut [u32], mut i: u32) -> u32 {
            while part[i as usize] != i {
                part[i as usize] = part[part[i as usize] as usize];
                i = part[i as usize];
            }
            i
        }
        for (_, ends) in self.links.iter().zip(&self.layout.ends).filter(|(l, _)| l.passes()) {
            let (a, b) = (root(part, ends.from), root(part, ends.to));
            // The root is the lowest number, but a reservoir before any junction.
            let fixed = |i: u32| self.layout.row[i as usize] == NO_ROW;
            let a_leads = if fixed(a) == fixed(b) { a < b } else { fixed(a) };
            if a_leads { part[b as usize] = a } else { part[a as usize] = b }
        }
        for (i, (isolated, keeps)) in self.isolated.iter_mut().zip(keeps).enumerate() {
            let r = root(part, i as u32) as usize;
            *isolated = self.layout.row[r] != NO_ROW;
            *keeps = *isolated && r == i;
        }
    }

    fn not_finite(&self) -> Trouble {
        let node = self.layout.graph.node_weights().zip(&self.heads).find(|(_, h)| !h.is_finite());
        let link = self.layout.graph.edge_weights().zip(&self.links).find(|(_, l)| !l.flow.is_finite());
        let name = node.map(|(n, _)| &n.name).or(link.map(|(l, _)| &l.name));
        Trouble::NotFinite(name.cloned().unwrap_or_else(|| "the sum of flows".to_owned()))
    }
}
