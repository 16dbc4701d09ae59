//! Where everything stands: columns side by side, parts at the height of their neighbours and no box on another.

use super::layers::{Layers, Round, Spot, groups, layers};
use super::looks::Look;
use super::route::{Port, Route, channel_width, routes};
use super::scheme::{Part, Scheme};
use super::text::width;

/// Size of a tag, and of other words.
pub const TAG: f64 = 11.0;
pub const WORDS: f64 = 9.0;
/// Radius of an instrument's circle, and room for one.
pub const BUBBLE: f64 = 15.0;
pub const BUBBLE_ROOM: f64 = 34.0;
/// Instruments side by side above a part.
pub const BUBBLES_A_ROW: usize = 3;
/// Lines that come to a tall part are so far apart.
const PITCH: f64 = 24.0;
/// Between boxes of a column.
const GAP: f64 = 12.0;
/// Room for a line that passes a column, on either side.
const PASS: f64 = 6.0;
/// Between groups that do not hang together.
const APART: f64 = 30.0;
/// Widest row of such groups.
const WIDE: f64 = 1500.0;

/// A part with its place: centre of its symbol, the symbol's size, and its box.
#[derive(Clone, Copy, Debug, Default)]
pub struct Seat {
    pub x: f64,
    pub y: f64,
    pub w: f64,
    pub h: f64,
    /// Left, top, right, bottom.
    pub room: [f64; 4],
}

/// A sheet with everything in its place.
#[derive(Clone, Debug, Default)]
pub struct Placed {
    pub seats: Vec<Seat>,
    /// By line: its corners in the direction of flow.
    pub routes: Vec<Vec<(f64, f64)>>,
    pub size: (f64, f64),
}

/// What a part needs around the centre of its symbol.
#[derive(Clone, Copy, Debug, Default)]
struct Need {
    w: f64,
    h: f64,
    half: f64,
    up: f64,
    down: f64,
}

/// Where words under a symbol begin, below its lower edge, and how far apart lines of them are.
pub const UNDER: f64 = 3.0;
pub const LINE: f64 = 10.5;

fn need(part: &Part, lines_left: usize, lines_right: usize) -> Need {
    let (mut w, mut h) = part.look.size();
    if part.look.grows() {
        h = h.max(PITCH * lines_left.max(lines_right) as f64);
    }
    if part.look == Look::Flag {
        w = width(&part.tag, TAG) + 26.0;
    }
    let shown = part.look != Look::Dot;
    let tag = if shown { width(&part.tag, TAG) } else { 0.0 };
    let words = part.words.iter().map(|t| width(t, WORDS)).fold(tag, f64::max);
    let row = part.bubbles.len().min(BUBBLES_A_ROW) as f64 * BUBBLE_ROOM;
    let reads = part.bubbles.iter().filter_map(|b| b.reads.as_ref()).map(|t| width(t, WORDS)).fold(0.0, f64::max);
    let rows = part.bubbles.len().div_ceil(BUBBLES_A_ROW) as f64;
    let says = if reads > 0.0 { LINE * part.bubbles.iter().filter(|b| b.reads.is_some()).count() as f64 } else { 0.0 };
    let tag_line = if shown && !part.tag.is_empty() && part.look != Look::Flag { LINE + 2.0 } else { 0.0 };
    let text = if shown { tag_line + LINE * part.words.len() as f64 + UNDER } else { 0.0 };
    let up = h / 2.0 + part.look.above() + if rows > 0.0 { rows * BUBBLE_ROOM + 4.0 + says } else { 0.0 };
    Need { w, h, half: 0.5 * w.max(words).max(row).max(reads) + 3.0, up: up + 2.0, down: h / 2.0 + text + 2.0 }
}

/// Places a whole sheet.
pub fn place(s: &Scheme) -> Placed {
    let mut out =
        Placed { seats: vec![Seat::default(); s.parts.len()], routes: vec![vec![]; s.lines.len()], size: (0.0, 0.0) };
    // Groups in rows, the widest row setting the width.
    let (mut x, mut y, mut tall) = (0.0, 0.0, 0.0f64);
    for group in groups(s) {
        let l = layers(s, &group);
        let g = group_placed(s, &l);
        if x > 0.0 && x + g.size.0 > WIDE {
            (x, y, tall) = (0.0, y + tall + APART, 0.0);
        }
        for &p in &group {
            let mut seat = g.seats[p];
            seat.x += x;
            seat.y += y;
            let r = seat.room;
            seat.room = [r[0] + x, r[1] + y, r[2] + x, r[3] + y];
            out.seats[p] = seat;
        }
        for (k, route) in g.routes.iter().enumerate().filter(|r| !r.1.is_empty()) {
            out.routes[k] = route.iter().map(|p| (p.0 + x, p.1 + y)).collect();
        }
        out.size = (out.size.0.max(x + g.size.0), out.size.1.max(y + g.size.1));
        x += g.size.0 + APART;
        tall = tall.max(g.size.1);
    }
    out
}

fn group_placed(s: &Scheme, l: &Layers) -> Placed {
    let sides = |spot: usize| {
        let left = l.steps.iter().filter(|t| t.right == spot).count();
        let right = l.steps.iter().filter(|t| t.left == spot).count();
        (left, right)
    };
    let needs: Vec<Need> = (0..l.spots.len())
        .map(|i| match l.spots[i] {
            Spot::Part(p) => need(&s.parts[p], sides(i).0, sides(i).1),
            Spot::Pass(_) => Need { w: 0.0, h: 0.0, half: 2.0, up: PASS, down: PASS },
        })
        .collect();
    let y = heights(s, l, &needs);
    let ports = ports(s, l, &needs, &y);
    // Columns, and between them channels as wide as the lines that turn there.
    let mut x = vec![0.0; l.spots.len()];
    let mut edges: Vec<(f64, f64)> = vec![];
    // Lines that turn round before the first column have a channel there.
    let first: Vec<usize> = (0..l.steps.len()).filter(|k| channel(l, *k).is_none()).collect();
    let first = routes(&first, &ports);
    let mut at = if first.is_empty() { 0.0 } else { channel_width(&first) };
    let mut ways: Vec<Vec<Route>> = vec![];
    for (c, column) in l.columns.iter().enumerate() {
        let half = column.iter().map(|i| needs[*i].half).fold(0.0, f64::max);
        for &i in column {
            x[i] = at + half;
        }
        edges.push((at, at + 2.0 * half));
        at += 2.0 * half;
        let steps: Vec<usize> = (0..l.steps.len()).filter(|k| channel(l, *k) == Some(c)).collect();
        if !steps.is_empty() {
            let routed = routes(&steps, &ports);
            at += channel_width(&routed);
            ways.push(routed);
        } else {
            ways.push(vec![]);
        }
    }
    let mut out =
        Placed { seats: vec![Seat::default(); s.parts.len()], routes: vec![vec![]; s.lines.len()], size: (at, 0.0) };
    for (i, spot) in l.spots.iter().enumerate() {
        if let Spot::Part(p) = spot {
            let n = needs[i];
            let room = [x[i] - n.half, y[i] - n.up, x[i] + n.half, y[i] + n.down];
            out.seats[*p] = Seat { x: x[i], y: y[i], w: n.w, h: n.h, room };
            out.size.1 = out.size.1.max(room[3]);
        } else {
            out.size.1 = out.size.1.max(y[i] + PASS);
        }
    }
    // Corners, step by step from left to right.
    let all = first
        .iter()
        .map(|r| (r.track_x, r))
        .chain(ways.iter().zip(&edges).flat_map(|(column, edge)| column.iter().map(move |r| (edge.1 + r.track_x, r))));
    let mut corners_of: Vec<Vec<(f64, f64)>> = vec![vec![]; l.steps.len()];
    for (turn, r) in all {
        let step = l.steps[r.step];
        let edge = |spot: usize, right: bool| x[spot] + if right { 0.5 } else { -0.5 } * needs[spot].w;
        let from = (edge(step.left, step.round != Some(Round::Left)), r.y.0);
        let to = (edge(step.right, step.round == Some(Round::Right)), r.y.1);
        corners_of[r.step].push(from);
        if (r.y.0 - r.y.1).abs() > 0.01 || step.round.is_some() {
            corners_of[r.step].extend([(turn, r.y.0), (turn, r.y.1)]);
        }
        corners_of[r.step].push(to);
    }
    // A line's steps stand from left to right; where it turns round at its right end, that step begins at the part.
    for (step, mut corners) in l.steps.iter().zip(corners_of) {
        // In the order of the whole line from its left end: first the part that it comes to, last the one it leaves.
        if step.round.is_some() {
            corners.reverse();
        }
        out.routes[step.line].extend(corners);
    }
    for (k, corners) in out.routes.iter_mut().enumerate() {
        straighten(corners);
        if l.turned[k] {
            corners.reverse();
        }
    }
    out
}

/// The channel of a step, by the column on its left; `None` before the first.
fn channel(l: &Layers, step: usize) -> Option<usize> {
    let s = &l.steps[step];
    match s.round {
        Some(Round::Left) => l.column[s.left].checked_sub(1),
        _ => Some(l.column[s.left]),
    }
}

/// Drops corners on a straight line.
fn straighten(corners: &mut Vec<(f64, f64)>) {
    let mut kept: Vec<(f64, f64)> = vec![];
    for &c in corners.iter() {
        if let [.., a, b] = kept.as_slice()
            && ((a.0 == b.0 && b.0 == c.0) || (a.1 == b.1 && b.1 == c.1))
        {
            kept.pop();
        }
        if kept.last() != Some(&c) {
            kept.push(c);
        }
    }
    *corners = kept;
}

/// Heights of symbols' centres: each as near as can be to the middle of its neighbours.
fn heights(s: &Scheme, l: &Layers, needs: &[Need]) -> Vec<f64> {
    let mut y = vec![0.0; l.spots.len()];
    for column in &l.columns {
        let mut at = 0.0;
        for &i in column {
            at += needs[i].up;
            y[i] = at;
            at += needs[i].down + GAP;
        }
    }
    let n = l.columns.len();
    for sweep in 0..60 {
        let right = sweep % 2 == 0;
        let these: Vec<usize> = if right { (0..n).collect() } else { (0..n).rev().collect() };
        // Both sides count from the middle of the sweeps on.
        let both = (20..56).contains(&sweep);
        let (sees_left, sees_right) = (right || both, !right || both);
        for c in these {
            let ports = ports(s, l, needs, &y);
            let wants: Vec<f64> = l.columns[c]
                .iter()
                .map(|i| {
                    let mut all: Vec<f64> = vec![];
                    for (k, t) in l.steps.iter().enumerate().filter(|t| t.1.round.is_none()) {
                        // Its centre, so that the ends of this line stand at one height.
                        if t.right == *i && sees_left {
                            all.push(ports[k].0.y - (ports[k].1.y - y[*i]));
                        } else if t.left == *i && sees_right {
                            all.push(ports[k].1.y - (ports[k].0.y - y[*i]));
                        }
                    }
                    all.sort_by(f64::total_cmp);
                    match all.len() {
                        0 => y[*i],
                        n if n % 2 == 1 => all[n / 2],
                        n => 0.5 * (all[n / 2 - 1] + all[n / 2]),
                    }
                })
                .collect();
            let apart: Vec<f64> = l.columns[c].windows(2).map(|w| needs[w[0]].down + GAP + needs[w[1]].up).collect();
            for (i, at) in l.columns[c].iter().zip(settled(&wants, &apart)) {
                y[*i] = at;
            }
        }
    }
    straightened(s, l, needs, &mut y);
    let top = (0..y.len()).map(|i| y[i] - needs[i].up).fold(f64::INFINITY, f64::min);
    y.iter().map(|v| ((v - top) * 2.0).round() / 2.0).collect()
}

/// Moves a place to the height of a neighbour where there is room and more steps come out straight.
fn straightened(s: &Scheme, l: &Layers, needs: &[Need], y: &mut [f64]) {
    let bend = |y: &[f64]| {
        let ports = ports(s, l, needs, y);
        let flat = |k: &usize| l.steps[*k].round.is_none();
        let bends = (0..l.steps.len()).filter(flat).map(|k| (ports[k].0.y - ports[k].1.y).abs());
        bends.fold((0usize, 0.0), |sum, b| (sum.0 + usize::from(b > 0.3), sum.1 + b))
    };
    let mut least = bend(y);
    for _ in 0..6 {
        let before = least;
        for k in 0..l.steps.len() {
            let step = l.steps[k];
            if step.round.is_some() {
                continue;
            }
            for moves in [step.left, step.right] {
                let at = ports(s, l, needs, y)[k];
                let by = if moves == step.left { at.1.y - at.0.y } else { at.0.y - at.1.y };
                let column = &l.columns[l.column[moves]];
                let Some(i) = column.iter().position(|x| *x == moves) else { continue };
                // Half the gap may go for a straight line.
                let fits = |a: usize, b: usize, y: &[f64]| y[b] - y[a] >= needs[a].down + 0.5 * GAP + needs[b].up;
                let old = y[moves];
                y[moves] += by;
                let free = (i == 0 || fits(column[i - 1], moves, y))
                    && (i + 1 == column.len() || fits(moves, column[i + 1], y));
                let now = bend(y);
                // More straight ones, or as many with less to climb.
                if free && by.abs() > 0.01 && (now.0 < least.0 || (now.0 == least.0 && now.1 < least.1 - 0.01)) {
                    least = now;
                } else {
                    y[moves] = old;
                }
            }
        }
        if least == before {
            break;
        }
    }
}

/// Places in order, at least so far apart, with the least sum of squares from where each wants to be: blocks that
/// push each other move together to their mean.
fn settled(wants: &[f64], apart: &[f64]) -> Vec<f64> {
    let mut offset = vec![0.0; wants.len()];
    for i in 1..wants.len() {
        offset[i] = offset[i - 1] + apart[i - 1];
    }
    // Sum and count of what the members of a block want, less their offsets.
    let mut blocks: Vec<(f64, usize)> = vec![];
    for (want, off) in wants.iter().zip(&offset) {
        blocks.push((want - off, 1));
        while let [.., a, b] = blocks.as_slice() {
            if a.0 / a.1 as f64 <= b.0 / b.1 as f64 {
                break;
            }
            let joined = (a.0 + b.0, a.1 + b.1);
            blocks.truncate(blocks.len() - 2);
            blocks.push(joined);
        }
    }
    let mut out = vec![];
    for (sum, n) in blocks {
        for _ in 0..n {
            out.push(sum / n as f64 + offset[out.len()]);
        }
    }
    out
}

/// By step: where it leaves on the left and arrives on the right. Simple symbols have one port a side.
fn ports(s: &Scheme, l: &Layers, needs: &[Need], y: &[f64]) -> Vec<(Port, Port)> {
    let mut out = vec![(Port::default(), Port::default()); l.steps.len()];
    let mut rank = vec![0usize; l.spots.len()];
    for column in &l.columns {
        for (i, spot) in column.iter().enumerate() {
            rank[*spot] = i;
        }
    }
    for i in 0..l.spots.len() {
        let tall = matches!(l.spots[i], Spot::Part(p) if s.parts[p].look.is_tall());
        for leaves in [true, false] {
            let mut mine: Vec<usize> = (0..l.steps.len())
                .filter(|k| if leaves { l.steps[*k].left == i } else { l.steps[*k].right == i })
                .collect();
            mine.sort_by_key(|k| rank[if leaves { l.steps[*k].right } else { l.steps[*k].left }]);
            let n = mine.len();
            let pitch = if n > 1 { PITCH.min((needs[i].h - 6.0) / (n - 1) as f64) } else { 0.0 };
            for (j, k) in mine.into_iter().enumerate() {
                let at = if tall { y[i] + pitch * (j as f64 - 0.5 * (n as f64 - 1.0)) } else { y[i] };
                let net = if tall { (i, j + 1, leaves) } else { (i, 0, leaves) };
                let port = Port { y: at, net };
                if leaves { out[k].0 = port } else { out[k].1 = port }
            }
        }
    }
    out
}
