//! Columns and order: which part stands in which column, and above which other.
//!
//! The well-known layered way: lines that close a ring are turned for the moment, each part stands to the right of
//! all that flows to it, lines over several columns pass each column between by a place of their own, and sweeps to
//! and fro order every column by the middle of its neighbours, keeping the order with the fewest crossings.

use super::scheme::Scheme;

/// A place in a column: a part, or where a line passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    Part(usize),
    Pass(usize),
}

/// One step of a line from a column to the next, left to right; its line may flow the other way.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    pub line: usize,
    pub left: usize,
    pub right: usize,
    /// Where the line turns round beside a column: both ends stand in it.
    pub round: Option<Round>,
}

/// A line that flows from right to left leaves a part at its right all the same, and comes to the next from its left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Round {
    /// In the channel right of the column: `left` is the part, `right` the place where the line passes it.
    Right,
    /// In the channel left of the column: `left` is where the line passes it, `right` the part.
    Left,
}

/// The columns of a sheet whose parts all hang together.
#[derive(Clone, Debug, Default)]
pub struct Layers {
    pub spots: Vec<Spot>,
    /// By spot.
    pub column: Vec<usize>,
    /// Spots of each column from top to bottom.
    pub columns: Vec<Vec<usize>>,
    pub steps: Vec<Step>,
    /// By line of the scheme: it flows from right to left. Lines of other sheets are false.
    pub turned: Vec<bool>,
}

/// Groups of parts that hang together, each in order, in the order of their first parts.
pub fn groups(s: &Scheme) -> Vec<Vec<usize>> {
    let mut root: Vec<usize> = (0..s.parts.len()).collect();
    fn find(root: &[usize], mut i: usize) -> usize {
        while root[i] != i {
            i = root[i];
        }
        i
    }
    for l in &s.lines {
        let (a, b) = (find(&root, l.from), find(&root, l.to));
        root[a.max(b)] = a.min(b);
    }
    let mut groups: Vec<Vec<usize>> = vec![];
    for i in 0..s.parts.len() {
        let r = find(&root, i);
        match groups.iter_mut().find(|g| g[0] == r) {
            Some(g) => g.push(i),
            None => groups.push(vec![i]),
        }
    }
    groups
}

/// The columns of one group.
pub fn layers(s: &Scheme, group: &[usize]) -> Layers {
    let lines: Vec<usize> = (0..s.lines.len()).filter(|k| group.contains(&s.lines[*k].from)).collect();
    let turned = turned(s, group, &lines);
    let ends = |k: usize| {
        let l = s.lines[k];
        if turned[k] { (l.to, l.from) } else { (l.from, l.to) }
    };
    let column = columns(s.parts.len(), group, &lines, ends);
    let mut out = Layers { turned: turned.clone(), ..Layers::default() };
    let mut spot_of = vec![usize::MAX; s.parts.len()];
    for &p in group {
        spot_of[p] = out.spots.len();
        out.spots.push(Spot::Part(p));
        out.column.push(column[p]);
    }
    for &k in &lines {
        let (a, b) = ends(k);
        let pass = |out: &mut Layers, c: usize| {
            out.spots.push(Spot::Pass(k));
            out.column.push(c);
            out.spots.len() - 1
        };
        let round = |p: usize| turned[k] && s.parts[p].look.is_passed();
        let mut left = spot_of[a];
        if round(a) {
            left = pass(&mut out, column[a]);
            out.steps.push(Step { line: k, left, right: spot_of[a], round: Some(Round::Left) });
        }
        for c in column[a] + 1..column[b] {
            let next = pass(&mut out, c);
            out.steps.push(Step { line: k, left, right: next, round: None });
            left = next;
        }
        if round(b) {
            let last = pass(&mut out, column[b]);
            out.steps.push(Step { line: k, left, right: last, round: None });
            out.steps.push(Step { line: k, left: spot_of[b], right: last, round: Some(Round::Right) });
        } else {
            out.steps.push(Step { line: k, left, right: spot_of[b], round: None });
        }
    }
    let count = out.column.iter().max().map_or(0, |m| m + 1);
    out.columns = (0..count).map(|c| (0..out.spots.len()).filter(|i| out.column[*i] == c).collect()).collect();
    order(&mut out);
    out
}

/// Which lines close a ring, walking with the flow from where it begins, first lines first.
fn turned(s: &Scheme, group: &[usize], lines: &[usize]) -> Vec<bool> {
    let mut turned = vec![false; s.lines.len()];
    // 0 not seen, 1 on the way, 2 done.
    let mut seen = vec![0u8; s.parts.len()];
    let begins = |p: &usize| lines.iter().all(|k| s.lines[*k].to != *p);
    let (first, rest): (Vec<usize>, Vec<usize>) = group.iter().copied().partition(begins);
    for start in first.into_iter().chain(rest) {
        let mut way: Vec<(usize, usize)> = vec![(start, 0)];
        if seen[start] != 0 {
            continue;
        }
        seen[start] = 1;
        while let Some((at, next)) = way.pop() {
            let Some(&k) = lines.iter().filter(|k| s.lines[**k].from == at).nth(next) else {
                seen[at] = 2;
                continue;
            };
            way.push((at, next + 1));
            let to = s.lines[k].to;
            match seen[to] {
                0 => {
                    seen[to] = 1;
                    way.push((to, 0));
                }
                1 => turned[k] = true,
                _ => {}
            }
        }
    }
    turned
}

/// The column of each part: right of all that comes to it; what only gives stands just before its first taker.
fn columns(n: usize, group: &[usize], lines: &[usize], ends: impl Fn(usize) -> (usize, usize)) -> Vec<usize> {
    let mut column = vec![0usize; n];
    for _ in 0..group.len() {
        let before = column.clone();
        for &k in lines {
            let (a, b) = ends(k);
            column[b] = column[b].max(column[a] + 1);
        }
        if column == before {
            break;
        }
    }
    // From right to left, so that a whole row of givers moves along.
    let mut by_column: Vec<usize> = group.to_vec();
    by_column.sort_by_key(|p| std::cmp::Reverse(column[*p]));
    for p in by_column {
        let takers = lines.iter().map(|k| ends(*k)).filter(|e| e.0 == p).map(|e| column[e.1]).min();
        let givers = lines.iter().filter(|k| ends(**k).1 == p).count();
        let takes = lines.iter().filter(|k| ends(**k).0 == p).count();
        if let Some(first) = takers
            && givers <= takes.min(1)
        {
            column[p] = column[p].max(first - 1);
        }
    }
    let least = group.iter().map(|p| column[*p]).min().unwrap_or(0);
    for p in group {
        column[*p] -= least;
    }
    column
}

/// Orders every column by sweeps, and keeps the order with the fewest crossings.
fn order(l: &mut Layers) {
    let mut best = (crossings(l), l.columns.clone());
    for sweep in 0..24 {
        let n = l.columns.len();
        let right = sweep % 2 == 0;
        let these: Vec<usize> = if right { (1..n).collect() } else { (0..n.saturating_sub(1)).rev().collect() };
        for c in these {
            let near = &l.columns[if right { c - 1 } else { c + 1 }];
            let mut at = vec![usize::MAX; l.spots.len()];
            for (i, s) in near.iter().enumerate() {
                at[*s] = i;
            }
            let middle = |spot: usize| {
                let mut all: Vec<usize> = l
                    .steps
                    .iter()
                    .filter(|s| s.round.is_none())
                    .filter_map(|s| match right {
                        true if s.right == spot => Some(at[s.left]),
                        false if s.left == spot => Some(at[s.right]),
                        _ => None,
                    })
                    .collect();
                all.sort_unstable();
                let (sum, n) = (all.iter().sum::<usize>(), all.len());
                // In hundredths, so that places compare exactly.
                (sum * 100).checked_div(n)
            };
            let old = l.columns[c].clone();
            // What has no neighbour there keeps its place; the others are sorted among themselves.
            let mut moving: Vec<(usize, usize)> = old.iter().filter_map(|s| middle(*s).map(|m| (m, *s))).collect();
            moving.sort_by_key(|m| m.0);
            let mut moved = moving.into_iter();
            let new: Vec<usize> =
                old.iter().map(|s| if middle(*s).is_some() { moved.next().map_or(*s, |m| m.1) } else { *s }).collect();
            l.columns[c] = new;
        }
        let now = crossings(l);
        if now < best.0 {
            best = (now, l.columns.clone());
        }
    }
    l.columns = best.1;
    swap_neighbours(l);
}

/// Swaps neighbours in a column as long as that takes crossings away.
fn swap_neighbours(l: &mut Layers) {
    let mut least = crossings(l);
    for _ in 0..8 {
        let before = least;
        for c in 0..l.columns.len() {
            for i in 1..l.columns[c].len() {
                l.columns[c].swap(i - 1, i);
                let now = crossings(l);
                if now < least {
                    least = now;
                } else {
                    l.columns[c].swap(i - 1, i);
                }
            }
        }
        if least == before {
            break;
        }
    }
}

/// How many pairs of steps cross between columns.
fn crossings(l: &Layers) -> usize {
    let mut at = vec![0usize; l.spots.len()];
    for c in &l.columns {
        for (i, s) in c.iter().enumerate() {
            at[*s] = i;
        }
    }
    let mut n = 0;
    for (i, a) in l.steps.iter().enumerate() {
        for b in &l.steps[i + 1..] {
            if a.round.is_none() && b.round.is_none() && l.column[a.left] == l.column[b.left] {
                let (left, right) = (at[a.left].cmp(&at[b.left]), at[a.right].cmp(&at[b.right]));
                n += usize::from(left.is_lt() && right.is_gt() || left.is_gt() && right.is_lt());
            }
        }
    }
    n
}
