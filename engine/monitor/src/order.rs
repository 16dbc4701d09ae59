//! Steps in a partial order: which must come before which, directly or through others.
//!
//! An optional step that is passed over still hands its order on: with A before B before C and B left
//! out, A stays before C.

use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use std::collections::BTreeSet;

/// Steps by their place, and the order they ask for.
#[derive(Clone, Debug)]
pub struct Order {
    optional: Vec<bool>,
    /// Row `s` holds the steps that come before `s`, as bits.
    before: Vec<u64>,
    /// Row `s` holds `s` itself and the steps that come after it.
    onward: Vec<u64>,
    words: usize,
    /// Place of each step in one sequence that keeps the order.
    rank: Vec<usize>,
    /// That sequence.
    sequence: Vec<usize>,
}

/// Why steps cannot be put in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OrderFault {
    /// A pair names a step that does not exist.
    NoSuchStep {
        /// Which pair.
        pair: usize,
        /// The step that it names.
        step: usize,
    },
    /// These steps each have to come before the others of them (or a step before itself), in rising order.
    Circle(Vec<usize>),
}

impl Order {
    /// An order of as many steps as `optional` tells, each true where the step may be left out, with
    /// pairs of (earlier, later). Pairs that follow from others do no harm.
    ///
    /// # Errors
    /// When a pair names no step, or steps go round in a circle.
    pub fn new(optional: &[bool], pairs: &[(usize, usize)]) -> Result<Order, OrderFault> {
        let n = optional.len();
        for (pair, &(a, b)) in pairs.iter().enumerate() {
            if let Some(step) = [a, b].into_iter().find(|&s| s >= n) {
                return Err(OrderFault::NoSuchStep { pair, step });
            }
        }
        let mut graph: DiGraph<(), ()> = DiGraph::with_capacity(n, pairs.len());
        for _ in 0..n {
            graph.add_node(());
        }
        for (a, b) in pairs.iter().copied().collect::<BTreeSet<_>>() {
            graph.add_edge(NodeIndex::new(a), NodeIndex::new(b), ());
        }
        let circle = |group: &Vec<NodeIndex>| group.len() > 1 || graph.contains_edge(group[0], group[0]);
        let circles = tarjan_scc(&graph).into_iter().filter(circle).map(|group| {
            let mut steps: Vec<usize> = group.into_iter().map(NodeIndex::index).collect();
            steps.sort_unstable();
            steps
        });
        if let Some(first) = circles.min() {
            return Err(OrderFault::Circle(first));
        }
        let words = n.div_ceil(64);
        let mut order = Order {
            optional: optional.to_vec(),
            before: vec![0; n * words],
            onward: vec![0; n * words],
            words,
            rank: vec![0; n],
            sequence: Vec::with_capacity(n),
        };
        // Of the steps that may come next, the one of the lowest place does, so that the sequence is one.
        let mut waits: Vec<usize> =
            graph.node_indices().map(|s| graph.neighbors_directed(s, petgraph::Incoming).count()).collect();
        let mut ready: BTreeSet<usize> = (0..n).filter(|&s| waits[s] == 0).collect();
        while let Some(step) = ready.pop_first() {
            order.rank[step] = order.sequence.len();
            order.sequence.push(step);
            for later in graph.neighbors(NodeIndex::new(step)).map(NodeIndex::index) {
                for w in 0..words {
                    let bits = order.before[step * words + w];
                    order.before[later * words + w] |= bits;
                }
                order.before[later * words + step / 64] |= 1 << (step % 64);
                waits[later] -= 1;
                if waits[later] == 0 {
                    ready.insert(later);
                }
            }
        }
        for step in 0..n {
            for earlier in 0..n {
                if earlier != step && !order.comes_before(earlier, step) {
                    continue;
                }
                order.onward[earlier * words + step / 64] |= 1 << (step % 64);
            }
        }
        Ok(order)
    }

    /// How many steps.
    #[must_use]
    pub fn len(&self) -> usize {
        self.optional.len()
    }

    /// True of no steps.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.optional.is_empty()
    }

    /// Whether a step may be left out.
    ///
    /// # Panics
    /// When there is no such step.
    #[must_use]
    pub fn is_optional(&self, step: usize) -> bool {
        self.optional[step]
    }

    /// How many steps may not be left out.
    #[must_use]
    pub fn mandatory(&self) -> usize {
        self.optional.iter().filter(|o| !**o).count()
    }

    /// Whether `a` has to come before `b`, directly or through others.
    ///
    /// # Panics
    /// When there is no such step.
    #[must_use]
    pub fn comes_before(&self, a: usize, b: usize) -> bool {
        self.before[b * self.words + a / 64] >> (a % 64) & 1 == 1
    }

    /// One sequence of all steps that keeps the order; where several could come next, the one of the
    /// lowest place does.
    #[must_use]
    pub fn sequence(&self) -> &[usize] {
        &self.sequence
    }

    /// A step and those that have to come after it, as bits.
    pub(crate) fn onward(&self, step: usize) -> &[u64] {
        &self.onward[step * self.words..][..self.words]
    }

    /// A step's place in [`Order::sequence`].
    pub(crate) fn rank(&self, step: usize) -> usize {
        self.rank[step]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn order_goes_through_what_lies_between() {
        let o = Order::new(&[false, true, false, false], &[(2, 1), (1, 0), (2, 0)]).unwrap();
        assert!(o.comes_before(2, 0) && o.comes_before(1, 0) && !o.comes_before(0, 2) && !o.comes_before(3, 0));
        assert_eq!(o.sequence(), [2, 1, 0, 3]);
        assert_eq!((o.len(), o.mandatory()), (4, 3));
    }

    #[test]
    fn circles_and_strangers_are_told() {
        let steps = [false; 70];
        assert_eq!(
            Order::new(&steps, &[(0, 69), (69, 5), (5, 0), (1, 2)]).unwrap_err(),
            OrderFault::Circle(vec![0, 5, 69])
        );
        assert_eq!(Order::new(&steps, &[(3, 3)]).unwrap_err(), OrderFault::Circle(vec![3]));
        assert_eq!(Order::new(&steps, &[(0, 1), (1, 70)]).unwrap_err(), OrderFault::NoSuchStep { pair: 1, step: 70 });
        assert!(Order::new(&[], &[]).unwrap().is_empty());
    }
}
