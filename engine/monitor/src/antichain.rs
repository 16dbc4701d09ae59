//! The heaviest set of elements of a partial order of which no two are comparable.
//!
//! By Dilworth's theorem with weights (Dilworth, Annals of Mathematics 51 (1950) 161-166; as a flow:
//! Ford and Fulkerson, Flows in Networks, 1962, II.9) it weighs as much as the least number of chains that
//! cover every element as often as it weighs. Each element is a left and a right point: the source gives a
//! left point its weight, a right point gives its weight to the sink, and what a left point sends to the
//! right points below it are links of chains that are saved. A right point passes on to its own left
//! point, so that links through others need no edge of their own. The greatest flow is Dinic's
//! (Soviet Mathematics Doklady 11 (1970) 1277-1280).
//!
//! Of several heaviest sets, the points that the source still reaches give the lowest: every member of it
//! lies at or below some member of any other.

const UNLIMITED: u32 = u32::MAX / 2;
const SOURCE: usize = 0;
const SINK: usize = 1;

/// A network of flow under construction or at work.
struct Network {
    /// Where each edge goes, and how much more it can carry; edge `e ^ 1` is the way back.
    to: Vec<u32>,
    left: Vec<u32>,
    /// Edges by their start, as lists.
    first: Vec<u32>,
    next: Vec<u32>,
    level: Vec<u32>,
}

const NONE: u32 = u32::MAX;

impl Network {
    fn new(points: usize) -> Network {
        let lists = vec![NONE; points];
        Network { to: Vec::new(), left: Vec::new(), first: lists.clone(), next: Vec::new(), level: lists }
    }

    fn edge(&mut self, from: usize, to: usize, capacity: u32) {
        for (from, to, capacity) in [(from, to, capacity), (to, from, 0)] {
            self.next.push(self.first[from]);
            self.first[from] = self.to.len() as u32;
            self.to.push(to as u32);
            self.left.push(capacity);
        }
    }

    /// Distances from the source over edges that can carry more.
    fn measure(&mut self) {
        self.level.fill(NONE);
        self.level[SOURCE] = 0;
        let mut line = vec![SOURCE as u32];
        let mut at = 0;
        while let Some(&point) = line.get(at) {
            at += 1;
            let mut e = self.first[point as usize];
            while e != NONE {
                let to = self.to[e as usize] as usize;
                if self.left[e as usize] > 0 && self.level[to] == NONE {
                    self.level[to] = self.level[point as usize] + 1;
                    line.push(to as u32);
                }
                e = self.next[e as usize];
            }
        }
    }

    /// Sends as much as can go; afterwards `level` tells which points the source still reaches.
    fn fill(&mut self) {
        loop {
            self.measure();
            if self.level[SINK] == NONE {
                return;
            }
            let mut current = self.first.clone();
            let mut path: Vec<u32> = Vec::new();
            loop {
                let point = path.last().map_or(SOURCE, |&e| self.to[e as usize] as usize);
                if point == SINK {
                    let room = path.iter().map(|&e| self.left[e as usize]).min().unwrap_or(0);
                    for &e in &path {
                        self.left[e as usize] -= room;
                        self.left[e as usize ^ 1] += room;
                    }
                    let full = path.iter().position(|&e| self.left[e as usize] == 0).unwrap_or(0);
                    path.truncate(full);
                    continue;
                }
                let e = current[point];
                if e == NONE {
                    // A dead end: back one step, and on from there.
                    let Some(back) = path.pop() else { break };
                    let before = path.last().map_or(SOURCE, |&e| self.to[e as usize] as usize);
                    current[before] = self.next[back as usize];
                    continue;
                }
                let to = self.to[e as usize] as usize;
                if self.left[e as usize] > 0 && self.level[to] == self.level[point] + 1 {
                    path.push(e);
                } else {
                    current[point] = self.next[e as usize];
                }
            }
        }
    }
}

/// The lowest of the heaviest sets of elements no two of which are comparable, in rising order of place.
/// `weights` holds a weight above 0 for each element; `pairs` gives (higher, lower) elements, as many as it
/// takes for every comparable pair to be joined by a chain of them.
pub(crate) fn heaviest(weights: &[u32], pairs: impl Iterator<Item = (usize, usize)>) -> Vec<usize> {
    let (left, right) = (|v: usize| 2 + 2 * v, |v: usize| 3 + 2 * v);
    let mut network = Network::new(2 + 2 * weights.len());
    for (v, &weight) in weights.iter().enumerate() {
        network.edge(SOURCE, left(v), weight);
        network.edge(right(v), SINK, weight);
        network.edge(right(v), left(v), UNLIMITED);
    }
    for (higher, lower) in pairs {
        network.edge(left(higher), right(lower), UNLIMITED);
    }
    network.fill();
    let reached = |point: usize| network.level[point] != NONE;
    (0..weights.len()).filter(|&v| reached(left(v)) && !reached(right(v))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lowest_of_the_heaviest() {
        // 0 < 1 < 2, and 3 beside them all.
        let pairs = [(1, 0), (2, 1)];
        assert_eq!(heaviest(&[1, 1, 1, 1], pairs.into_iter()), [0, 3]);
        assert_eq!(heaviest(&[1, 2, 2, 1], pairs.into_iter()), [1, 3]);
        assert_eq!(heaviest(&[], [].into_iter()), [0usize; 0]);
    }
}
