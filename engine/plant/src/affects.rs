//! What affects what: the plant as a graph, for people who ask where a change will be felt.
//!
//! A node is a component, an instrument or a control by its tag; an edge says that one acts on the other, and
//! how. Made once from what was assembled, it is used by no tick.
//!
//! Everything on board is joined to everything else in the end, if only by the bus that all motors hang on. So
//! what is found is told by *hands*: at first hand is what is reached along the same water, steam, air, oil or
//! gas, and whatever reads it there; each passage into something else (through the wall of a cooler, over a
//! shaft, by the bus, from a controller to its valve, over the surface of a tank) is one hand more.

use base::Tag;
use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// How one thing acts on another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// By what flows between them: its pressure, flow and temperature.
    Flow,
    /// An instrument reads it, or a controller the instrument; a switch or button belongs to it.
    Signal,
    /// By what falls into a tank or drum, or is burnt: what is behind feels it, not its flow.
    Fall,
    /// By heat through a wall.
    Heat,
    /// By a shaft.
    Shaft,
    /// By electric power.
    Power,
    /// By compressed air that drives it.
    Air,
    /// By an order: a controller, a protection, an automatic start.
    Order,
}

impl By {
    /// Whether it leads into something else: one hand more.
    #[must_use]
    pub fn passes(self) -> bool {
        !matches!(self, By::Flow | By::Signal)
    }

    /// In a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            By::Flow => "flow",
            By::Signal => "signal",
            By::Fall => "inflow",
            By::Heat => "heat",
            By::Shaft => "shaft",
            By::Power => "electric power",
            By::Air => "drive air",
            By::Order => "order",
        }
    }
}

/// A component, instrument or control.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// Its tag.
    pub tag: Tag,
    /// What people call it.
    pub name: String,
    /// Its system, by its place in the description.
    pub system: usize,
}

/// One thing found from another.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// What it is.
    pub thing: Thing,
    /// 1 along the same medium, and one more for each passage into something else.
    pub hand: u32,
    /// Steps on the way with the fewest hands.
    pub steps: u32,
    /// The systems on that way in order, the start's first.
    pub systems: Vec<usize>,
    /// The passages into something else on that way, in order.
    pub by: Vec<By>,
}

/// The graph.
#[derive(Clone, Debug, Default)]
pub struct Affects {
    graph: DiGraph<Thing, By>,
    at: BTreeMap<Tag, NodeIndex>,
}

impl Affects {
    /// Adds a thing, or finds it again.
    pub(crate) fn thing(&mut self, tag: &str, name: &str, system: usize) {
        let tag = Tag::new(tag);
        if !self.at.contains_key(&tag) {
            let node = self.graph.add_node(Thing { tag: tag.clone(), name: name.to_owned(), system });
            self.at.insert(tag, node);
        }
    }

    /// Says that one thing acts on another; of two ways the one with fewer hands counts.
    pub(crate) fn acts(&mut self, from: &str, to: &str, by: By) {
        let found = |tag: &str| self.at.get(&Tag::new(tag)).copied();
        let (Some(a), Some(b)) = (found(from), found(to)) else { return };
        if a == b {
            return;
        }
        match self.graph.find_edge(a, b) {
            Some(e) => self.graph[e] = self.graph[e].min(by),
            None => {
                self.graph.add_edge(a, b, by);
            }
        }
    }

    /// Says that two things act on each other.
    pub(crate) fn both(&mut self, a: &str, b: &str, by: By) {
        self.acts(a, b, by);
        self.acts(b, a, by);
    }

    /// Every thing, in the order of the plant file.
    pub fn things(&self) -> impl Iterator<Item = &Thing> {
        self.graph.node_weights()
    }

    /// The thing with this tag.
    #[must_use]
    pub fn find(&self, tag: &Tag) -> Option<&Thing> {
        self.at.get(tag).map(|n| &self.graph[*n])
    }

    /// What acts directly on what: from, to and how.
    pub fn actions(&self) -> impl Iterator<Item = (&Thing, &Thing, By)> {
        self.graph.edge_references().map(|e| (&self.graph[e.source()], &self.graph[e.target()], *e.weight()))
    }

    /// Everything that a thing acts on, nearest first: fewest hands, then fewest steps, then by the plant file.
    #[must_use]
    pub fn affected_by(&self, tag: &Tag) -> Vec<Reached> {
        self.reach(tag, Direction::Outgoing)
    }

    /// Everything that acts on a thing, nearest first. The systems of each are told from there to the thing.
    #[must_use]
    pub fn affecting(&self, tag: &Tag) -> Vec<Reached> {
        let mut found = self.reach(tag, Direction::Incoming);
        for r in &mut found {
            r.systems.reverse();
            r.by.reverse();
        }
        found
    }

    /// Dijkstra's way: fewest hands first, then fewest steps.
    fn reach(&self, tag: &Tag, direction: Direction) -> Vec<Reached> {
        let Some(&start) = self.at.get(tag) else { return vec![] };
        let n = self.graph.node_count();
        let mut best: Vec<Option<(u32, u32)>> = vec![None; n];
        let mut came: Vec<Option<(NodeIndex, By)>> = vec![None; n];
        let mut next = BinaryHeap::from([Reverse((1, 0, start.index()))]);
        best[start.index()] = Some((1, 0));
        let mut found = vec![];
        while let Some(Reverse((hand, steps, i))) = next.pop() {
            if best[i] != Some((hand, steps)) {
                continue;
            }
            if i != start.index() {
                found.push((hand, steps, i));
            }
            for e in self.graph.edges_directed(NodeIndex::new(i), direction) {
                let y = if direction == Direction::Outgoing { e.target() } else { e.source() };
                let at = (hand + u32::from(e.weight().passes()), steps + 1);
                if best[y.index()].is_none_or(|b| at < b) {
                    best[y.index()] = Some(at);
                    came[y.index()] = Some((NodeIndex::new(i), *e.weight()));
                    next.push(Reverse((at.0, at.1, y.index())));
                }
            }
        }
        found.into_iter().map(|(hand, steps, i)| self.reached(start, hand, steps, i, &came)).collect()
    }

    fn reached(&self, start: NodeIndex, hand: u32, steps: u32, i: usize, came: &[Option<(NodeIndex, By)>]) -> Reached {
        let thing = self.graph[NodeIndex::new(i)].clone();
        let (mut systems, mut by, mut at) = (vec![thing.system], vec![], NodeIndex::new(i));
        while at != start {
            let Some((before, how)) = came[at.index()] else { break };
            let system = self.graph[before].system;
            if systems.last() != Some(&system) {
                systems.push(system);
            }
            if how.passes() {
                by.push(how);
            }
            at = before;
        }
        systems.reverse();
        by.reverse();
        Reached { thing, hand, steps, systems, by }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pump, cooler wall, another circuit's valve with a controller that reads behind the cooler.
    fn small() -> Affects {
        let mut a = Affects::default();
        for (tag, system) in [("P", 0), ("L", 0), ("E", 0), ("V", 1), ("TT", 1), ("TIC", 1)] {
            a.thing(tag, tag, system);
        }
        a.both("P", "L", By::Flow);
        a.both("L", "E", By::Heat);
        a.both("E", "V", By::Flow);
        a.acts("V", "TT", By::Signal);
        a.acts("TT", "TIC", By::Signal);
        a.acts("TIC", "V", By::Order);
        a
    }

    fn told(found: &[Reached]) -> Vec<(&str, u32, u32)> {
        found.iter().map(|r| (r.thing.tag.as_str(), r.hand, r.steps)).collect()
    }

    #[test]
    fn the_nearest_stand_first_and_each_passage_is_a_hand() {
        let a = small();
        let found = a.affected_by(&Tag::new("P"));
        assert_eq!(told(&found), [("L", 1, 1), ("E", 2, 2), ("V", 2, 3), ("TT", 2, 4), ("TIC", 2, 5)]);
        assert_eq!((&found[2].systems, &found[2].by), (&vec![0, 1], &vec![By::Heat]));
        let found = a.affecting(&Tag::new("TT"));
        assert_eq!(told(&found), [("V", 1, 1), ("E", 1, 2), ("TIC", 2, 2), ("L", 2, 3), ("P", 2, 4)]);
        assert_eq!(found[4].systems, [0, 1], "from there to here");
    }

    #[test]
    fn an_instrument_acts_only_through_what_reads_it() {
        let a = small();
        assert_eq!(told(&a.affected_by(&Tag::new("TT")))[..2], [("TIC", 1, 1), ("V", 2, 2)]);
        assert!(a.affecting(&Tag::new("P")).iter().any(|r| r.thing.tag == Tag::new("TIC")));
        assert!(a.affected_by(&Tag::new("none")).is_empty());
    }
}
