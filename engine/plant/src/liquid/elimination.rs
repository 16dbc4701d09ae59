//! Gaussian elimination on a fixed sparse pattern.
//!
//! The pattern comes from the junctions of a network and the links between them. The order of
//! elimination (fewest remaining neighbours first, ties by number) and every position that fills in
//! are worked out once; a factorisation then runs through a list of positions without looking
//! anything up and without allocating. No pivoting: the matrices of the networks are symmetric
//! positive definite (heads) or diagonally dominant by columns (enthalpies), where it is not needed.

use std::collections::BTreeSet;

/// The structure: order, pattern and the positions that each elimination step touches.
#[derive(Clone, Debug)]
pub struct Elimination {
    /// Row of each unknown, by its number outside.
    row_of: Vec<u32>,
    /// For each row the span of its off-diagonal positions.
    spans: Vec<(u32, u32)>,
    /// The later row that each off-diagonal position belongs to.
    rows: Vec<u32>,
    /// For each pair (a, b), a later than b, of each row's positions, in order: the position filled.
    fills: Vec<u32>,
}

impl Elimination {
    /// Works out the structure for `unknowns` unknowns joined in these pairs.
    #[must_use]
    pub fn new(unknowns: usize, pairs: impl IntoIterator<Item = (usize, usize)>) -> Elimination {
        let mut neighbours = vec![BTreeSet::new(); unknowns];
        for (a, b) in pairs.into_iter().filter(|(a, b)| a != b) {
            neighbours[a].insert(b);
            neighbours[b].insert(a);
        }
        let mut row_of = vec![u32::MAX; unknowns];
        let mut later: Vec<Vec<usize>> = Vec::with_capacity(unknowns);
        for row in 0..unknowns {
            let next = (0..unknowns)
                .filter(|&i| row_of[i] == u32::MAX)
                .min_by_key(|&i| (neighbours[i].len(), i))
                .expect("one unknown remains for each row");
            row_of[next] = row as u32;
            let around: Vec<usize> = std::mem::take(&mut neighbours[next]).into_iter().collect();
            for &a in &around {
                neighbours[a].remove(&next);
                neighbours[a].extend(around.iter().copied().filter(|&b| b != a));
            }
            later.push(around);
        }
        let (mut spans, mut rows) = (Vec::new(), Vec::new());
        for around in &later {
            let start = rows.len() as u32;
            let mut own: Vec<u32> = around.iter().map(|&a| row_of[a]).collect();
            own.sort_unstable();
            rows.extend(own);
            spans.push((start, rows.len() as u32));
        }
        let mut e = Elimination { row_of, spans, rows, fills: Vec::new() };
        for row in 0..unknowns {
            let (start, end) = e.spans[row];
            for a in start..end {
                for b in start..a {
                    let at = e.position_of_rows(e.rows[b as usize], e.rows[a as usize]);
                    e.fills.push(at.expect("elimination joins all neighbours of what it removes"));
                }
            }
        }
        e
    }

    /// Number of unknowns.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.spans.len()
    }

    /// Number of off-diagonal positions of one half.
    #[must_use]
    pub fn positions(&self) -> usize {
        self.rows.len()
    }

    /// The row of an unknown.
    #[must_use]
    pub fn row(&self, unknown: usize) -> usize {
        self.row_of[unknown] as usize
    }

    /// The off-diagonal position of two rows that are joined.
    #[must_use]
    pub fn position(&self, a: usize, b: usize) -> Option<usize> {
        self.position_of_rows(a.min(b) as u32, a.max(b) as u32).map(|p| p as usize)
    }

    fn position_of_rows(&self, earlier: u32, later: u32) -> Option<u32> {
        let (start, end) = self.spans[earlier as usize];
        (start..end).find(|&p| self.rows[p as usize] == later)
    }

    /// Solves the symmetric system in place: `diagonal` and `off` hold the matrix and are
    /// overwritten by its factors, `x` holds the right side and then the solution.
    pub fn solve_symmetric(&self, diagonal: &mut [f64], off: &mut [f64], x: &mut [f64]) {
        let mut fill = 0;
        for row in 0..self.spans.len() {
            let (start, end) = (self.spans[row].0 as usize, self.spans[row].1 as usize);
            let (inverse, own) = (1.0 / diagonal[row], x[row]);
            for a in start..end {
                let factor = off[a] * inverse;
                let to = self.rows[a] as usize;
                for b in start..a {
                    off[self.fills[fill] as usize] -= factor * off[b];
                    fill += 1;
                }
                diagonal[to] -= factor * off[a];
                x[to] -= factor * own;
            }
        }
        for row in (0..self.spans.len()).rev() {
            x[row] = self.less_later(row, off, x) / diagonal[row];
        }
    }

    /// Factorises a general matrix of this pattern in place. `upper[p]` holds the entry (earlier
    /// row, later row) of a position, `lower[p]` the entry (later row, earlier row). What was the diagonal
    /// is one over the factors' diagonal then.
    pub fn factorise(&self, diagonal: &mut [f64], upper: &mut [f64], lower: &mut [f64]) {
        let mut fill = 0;
        for row in 0..self.spans.len() {
            let (start, end) = (self.spans[row].0 as usize, self.spans[row].1 as usize);
            let inverse = 1.0 / diagonal[row];
            for a in start..end {
                lower[a] *= inverse;
                for b in start..a {
                    let at = self.fills[fill] as usize;
                    lower[at] -= lower[a] * upper[b];
                    upper[at] -= lower[b] * upper[a];
                    fill += 1;
                }
                diagonal[self.rows[a] as usize] -= lower[a] * upper[a];
            }
            diagonal[row] = inverse;
        }
    }

    /// Solves with the factors of [`Elimination::factorise`]; `x` is the right side, then the solution.
    pub fn solve_general(&self, inverse: &[f64], upper: &[f64], lower: &[f64], x: &mut [f64]) {
        for (row, &(start, end)) in self.spans.iter().enumerate() {
            let own = x[row];
            let span = start as usize..end as usize;
            for (&to, factor) in self.rows[span.clone()].iter().zip(&lower[span]) {
                x[to as usize] -= factor * own;
            }
        }
        for row in (0..self.spans.len()).rev() {
            x[row] = self.less_later(row, upper, x) * inverse[row];
        }
    }

    /// A row's right side, less what the rows eliminated after it have of it.
    #[inline]
    fn less_later(&self, row: usize, upper: &[f64], x: &[f64]) -> f64 {
        let (start, end) = self.spans[row];
        let span = start as usize..end as usize;
        let mut sum = x[row];
        for (&from, factor) in self.rows[span.clone()].iter().zip(&upper[span]) {
            sum -= factor * x[from as usize];
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::Elimination;

    /// A ladder of six unknowns with two cross links.
    const PAIRS: [(usize, usize); 8] = [(0, 1), (1, 2), (3, 4), (4, 5), (0, 3), (2, 5), (1, 4), (0, 5)];

    /// Two headers with consumers between them, as cooling circuits are: work is counted in the steps of the elimination.
    #[test]
    fn work_grows_no_faster_than_the_number_of_consumers() {
        let work = |consumers: usize| {
            let mut pairs = vec![];
            for i in 0..consumers {
                // Supply header, inlet, outlet, return header.
                let at = 4 * i;
                pairs.extend([(at, at + 1), (at + 1, at + 2), (at + 2, at + 3)]);
                if i > 0 {
                    pairs.extend([(at - 4, at), (at - 1, at + 3)]);
                }
            }
            let e = Elimination::new(4 * consumers, pairs);
            e.unknowns() + e.positions() + e.fills.len()
        };
        let counted = [8, 16, 32, 64, 128].map(work);
        println!("steps with 8, 16, 32, 64 and 128 consumers: {counted:?}");
        for w in counted.windows(2) {
            assert!(w[1] as f64 <= 2.1 * w[0] as f64, "{counted:?}");
        }
    }

    #[test]
    fn a_symmetric_system_is_solved() {
        let e = Elimination::new(6, PAIRS);
        let (mut d, mut o) = (vec![0.0; 6], vec![0.0; e.positions()]);
        let mut dense = [[0.0; 6]; 6];
        for (k, &(a, b)) in PAIRS.iter().enumerate() {
            let g = 1.0 + k as f64;
            dense[a][a] += g;
            dense[b][b] += g;
            dense[a][b] -= g;
            dense[b][a] -= g;
            d[e.row(a)] += g;
            d[e.row(b)] += g;
            o[e.position(e.row(a), e.row(b)).unwrap()] -= g;
        }
        dense[2][2] += 0.5;
        d[e.row(2)] += 0.5;
        let truth = [1.0, -2.0, 3.0, 0.5, 7.0, -1.0];
        let mut x = vec![0.0; 6];
        for i in 0..6 {
            x[e.row(i)] = (0..6).map(|j| dense[i][j] * truth[j]).sum();
        }
        e.solve_symmetric(&mut d, &mut o, &mut x);
        for i in 0..6 {
            assert!((x[e.row(i)] - truth[i]).abs() < 1e-12, "{i}: {} {}", x[e.row(i)], truth[i]);
        }
    }

    #[test]
    fn a_general_system_is_solved() {
        let e = Elimination::new(6, PAIRS);
        let (mut d, mut u, mut l) = (vec![0.0; 6], vec![0.0; e.positions()], vec![0.0; e.positions()]);
        let mut dense = [[0.0; 6]; 6];
        for (k, &(a, b)) in PAIRS.iter().enumerate() {
            // What leaves a enters b: column a.
            let m = 1.0 + k as f64;
            dense[a][a] += m;
            dense[b][a] -= m;
            d[e.row(a)] += m;
            let at = e.position(e.row(a), e.row(b)).unwrap();
            if e.row(b) < e.row(a) { u[at] -= m } else { l[at] -= m }
        }
        for i in 0..6 {
            dense[i][i] += 0.1;
            d[e.row(i)] += 0.1;
        }
        let truth = [1.0, -2.0, 3.0, 0.5, 7.0, -1.0];
        let mut x = vec![0.0; 6];
        for i in 0..6 {
            x[e.row(i)] = (0..6).map(|j| dense[i][j] * truth[j]).sum();
        }
        e.factorise(&mut d, &mut u, &mut l);
        e.solve_general(&d, &u, &l, &mut x);
        for i in 0..6 {
            assert!((x[e.row(i)] - truth[i]).abs() < 1e-11, "{i}: {} {}", x[e.row(i)], truth[i]);
        }
    }
}
