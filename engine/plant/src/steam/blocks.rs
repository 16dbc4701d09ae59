//! Linear equations in blocks of three, eliminated in an order that is fixed when the net is built.

/// A block: row-major three by three.
pub(super) type Block = [[f64; 3]; 3];
/// Three numbers of one vessel: water, air, energy.
pub(super) type Triple = [f64; 3];

/// What happens when one vessel is eliminated.
#[derive(Clone, Debug)]
struct Pivot {
    row: usize,
    /// Later vessels it is joined to by then: `(row, place of (row, pivot), place of (pivot, row))`.
    later: Vec<(usize, usize, usize)>,
    /// For each pair of those, the place that receives the product: in the order of two nested loops.
    meets: Vec<usize>,
}

/// A sparse matrix of blocks with its fixed order of elimination.
#[derive(Clone, Debug)]
pub(super) struct Blocks {
    rows: usize,
    /// Blocks: first the diagonal, then pairs.
    values: Vec<Block>,
    /// `(row, column, place)` of pairs, sorted, with those that elimination fills.
    places: Vec<(usize, usize, usize)>,
    pivots: Vec<Pivot>,
}

fn inverse(m: &Block) -> Block {
    // Cofactors: exact up to rounding of each entry's own scale, so that kilograms beside joules do no harm.
    let c = |a: usize, b: usize, x: usize, y: usize| m[a][x] * m[b][y] - m[a][y] * m[b][x];
    let cofactor = [
        [c(1, 2, 1, 2), -c(0, 2, 1, 2), c(0, 1, 1, 2)],
        [-c(1, 2, 0, 2), c(0, 2, 0, 2), -c(0, 1, 0, 2)],
        [c(1, 2, 0, 1), -c(0, 2, 0, 1), c(0, 1, 0, 1)],
    ];
    let d = 1.0 / (m[0][0] * cofactor[0][0] + m[0][1] * cofactor[1][0] + m[0][2] * cofactor[2][0]);
    cofactor.map(|row| row.map(|x| x * d))
}

fn product(a: &Block, b: &Block) -> Block {
    let mut out = [[0.0; 3]; 3];
    for i in 0..3 {
        for j in 0..3 {
            out[i][j] = a[i][0] * b[0][j] + a[i][1] * b[1][j] + a[i][2] * b[2][j];
        }
    }
    out
}

fn times(a: &Block, x: &Triple) -> Triple {
    a.map(|r| r[0] * x[0] + r[1] * x[1] + r[2] * x[2])
}

impl Blocks {
    /// A matrix over `rows` vessels of which the pairs given are joined.
    pub(super) fn new(rows: usize, pairs: impl IntoIterator<Item = (usize, usize)>) -> Blocks {
        let mut joined = vec![vec![false; rows]; rows];
        for (a, b) in pairs {
            if a != b {
                joined[a][b] = true;
                joined[b][a] = true;
            }
        }
        let mut places = Vec::new();
        let place = |places: &mut Vec<(usize, usize, usize)>, a: usize, b: usize| {
            if let Some(p) = places.iter().find(|p| p.0 == a && p.1 == b) {
                return p.2;
            }
            let at = rows + places.len();
            places.push((a, b, at));
            at
        };
        let mut left: Vec<usize> = (0..rows).collect();
        let mut pivots = Vec::new();
        while !left.is_empty() {
            // The vessel with fewest neighbours left, the first of them: little fill, and always the same order.
            let degree = |&v: &usize| left.iter().filter(|&&w| joined[v][w]).count();
            let row = *left.iter().min_by_key(|v| (degree(v), **v)).expect("something is left");
            left.retain(|&v| v != row);
            let near: Vec<usize> = left.iter().copied().filter(|&v| joined[row][v]).collect();
            let later: Vec<_> =
                near.iter().map(|&v| (v, place(&mut places, v, row), place(&mut places, row, v))).collect();
            let mut meets = Vec::new();
            for &i in &near {
                for &j in &near {
                    meets.push(if i == j { i } else { place(&mut places, i, j) });
                    joined[i][j] |= i != j;
                }
            }
            pivots.push(Pivot { row, later, meets });
        }
        places.sort_unstable();
        Blocks { rows, values: vec![[[0.0; 3]; 3]; rows + places.len()], places, pivots }
    }

    /// Where the block of a row and a column is kept.
    pub(super) fn place(&self, row: usize, column: usize) -> usize {
        if row == column {
            return row;
        }
        let i = self
            .places
            .binary_search_by_key(&(row, column), |p| (p.0, p.1))
            .expect("the pair was given when the net was built");
        self.places[i].2
    }

    /// Back to the unit matrix.
    pub(super) fn reset(&mut self) {
        for (i, b) in self.values.iter_mut().enumerate() {
            let one = f64::from(u8::from(i < self.rows));
            *b = [[one, 0.0, 0.0], [0.0, one, 0.0], [0.0, 0.0, one]];
        }
    }

    /// Adds `k` times a block.
    pub(super) fn add(&mut self, place: usize, k: f64, block: &Block) {
        let at = &mut self.values[place];
        for i in 0..3 {
            for j in 0..3 {
                at[i][j] += k * block[i][j];
            }
        }
    }

    /// Adds `k` times a row to one row of a diagonal block.
    pub(super) fn add_row(&mut self, row: usize, line: usize, k: f64, values: &Triple) {
        for (at, v) in self.values[row][line].iter_mut().zip(values) {
            *at += k * v;
        }
    }

    /// Solves in place: `x` is the right side, then the solution. The matrix is used up.
    pub(super) fn solve(&mut self, x: &mut [Triple]) {
        let values = &mut self.values;
        for pivot in &self.pivots {
            let inv = inverse(&values[pivot.row]);
            values[pivot.row] = inv;
            let n = pivot.later.len();
            for (a, &(i, down, _)) in pivot.later.iter().enumerate() {
                let l = product(&values[down], &inv);
                for (b, &(_, _, across)) in pivot.later.iter().enumerate() {
                    let fill = product(&l, &values[across]);
                    let at = &mut values[pivot.meets[a * n + b]];
                    for (r, f) in at.iter_mut().zip(&fill) {
                        for (v, f) in r.iter_mut().zip(f) {
                            *v -= f;
                        }
                    }
                }
                let less = times(&l, &x[pivot.row]);
                for (v, l) in x[i].iter_mut().zip(less) {
                    *v -= l;
                }
            }
        }
        for pivot in self.pivots.iter().rev() {
            let mut right = x[pivot.row];
            for &(j, _, across) in &pivot.later {
                let less = times(&values[across], &x[j]);
                for (v, l) in right.iter_mut().zip(less) {
                    *v -= l;
                }
            }
            x[pivot.row] = times(&values[pivot.row], &right);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A main with lines, consumers and drains along it, as steam goes: work is counted in products of blocks.
    #[test]
    fn work_grows_no_faster_than_the_number_of_consumers() {
        let work = |consumers: usize| {
            let mut pairs = vec![];
            for i in 0..consumers {
                let at = 3 * i;
                pairs.extend([(at, at + 1), (at + 1, at + 2)]);
                if i > 0 {
                    pairs.push((at - 3, at));
                }
            }
            let m = Blocks::new(3 * consumers, pairs);
            m.values.len() + m.pivots.iter().map(|p| p.later.len() + p.meets.len()).sum::<usize>()
        };
        let counted = [4, 8, 16, 32, 64].map(work);
        println!("blocks and products with 4, 8, 16, 32 and 64 consumers: {counted:?}");
        for w in counted.windows(2) {
            assert!(w[1] as f64 <= 2.2 * w[0] as f64, "{counted:?}");
        }
    }

    #[test]
    fn solves_a_ring_with_a_branch() {
        let pairs = [(0, 1), (1, 2), (2, 3), (3, 0), (2, 4)];
        let mut m = Blocks::new(5, pairs);
        m.reset();
        let (mut dense, mut seed) = (vec![[[0.0; 3]; 3]; 25], 1u32);
        let mut next = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(seed >> 8) / f64::from(1u32 << 24) - 0.5
        };
        for r in 0..5 {
            for c in 0..5 {
                let joined = r == c || pairs.iter().any(|&(a, b)| (a, b) == (r, c) || (b, a) == (r, c));
                if joined {
                    let b: Block = std::array::from_fn(|_| std::array::from_fn(|_| next()));
                    m.add(m.place(r, c), 1.0, &b);
                    dense[r * 5 + c] = b;
                }
            }
            for (k, row) in dense[r * 5 + r].iter_mut().enumerate() {
                row[k] += 1.0;
            }
        }
        let want: Vec<Triple> = (0..5).map(|_| std::array::from_fn(|_| next())).collect();
        let mut x: Vec<Triple> = (0..5)
            .map(|r| {
                (0..5).fold([0.0; 3], |s, c| {
                    let y = times(&dense[r * 5 + c], &want[c]);
                    std::array::from_fn(|k| s[k] + y[k])
                })
            })
            .collect();
        m.solve(&mut x);
        for (x, w) in x.iter().zip(&want) {
            for k in 0..3 {
                assert!((x[k] - w[k]).abs() < 1e-11, "{x:?} {w:?}");
            }
        }
    }
}
