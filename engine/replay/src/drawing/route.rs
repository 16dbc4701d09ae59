//! The ways of lines between two columns: out to the right, up or down in a track of its own, on to the right.

/// Between tracks.
const TRACK: f64 = 9.0;
/// Between a column and the first or last track.
const MARGIN: f64 = 12.0;

/// Where a line meets a part: its height, and which lines meet it in the same point.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Port {
    pub y: f64,
    pub net: (usize, usize, bool),
}

/// A step between two columns.
#[derive(Clone, Copy, Debug)]
pub struct Route {
    pub step: usize,
    pub y: (f64, f64),
    /// From the edge of the left column to where it turns.
    pub track_x: f64,
    track: usize,
}

/// How wide the channel must be.
pub fn channel_width(routes: &[Route]) -> f64 {
    let tracks = routes.iter().filter(|r| r.y.0 != r.y.1).map(|r| r.track + 1).max().unwrap_or(0);
    2.0 * MARGIN + TRACK * tracks.saturating_sub(1) as f64
}

/// Ways for the steps between one column and the next.
pub fn routes(steps: &[usize], ports: &[(Port, Port)]) -> Vec<Route> {
    let mut out: Vec<Route> = steps
        .iter()
        .map(|k| Route { step: *k, y: (ports[*k].0.y, ports[*k].1.y), track_x: MARGIN, track: 0 })
        .collect();
    let turns: Vec<usize> = (0..out.len()).filter(|i| (out[*i].y.0 - out[*i].y.1).abs() > 0.01).collect();
    // Lines that go down are laid from the lowest on, lines that go up from the highest: fewest crossings.
    let mut order = turns.clone();
    order.sort_by(|a, b| {
        let key = |i: usize| {
            let (from, to) = out[i].y;
            if to > from { (0, -from) } else { (1, from) }
        };
        let (a, b) = (key(*a), key(*b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    // One that leaves where another arrives must have turned before the other comes.
    let before = |a: &Route, b: &Route| (a.y.0 - b.y.1).abs() < 4.0;
    let mut laid: Vec<usize> = vec![];
    let mut left = order;
    while !left.is_empty() {
        let free = left.iter().position(|i| left.iter().all(|j| i == j || !before(&out[*j], &out[*i])));
        let i = left.remove(free.unwrap_or(0));
        let (step, y) = (out[i].step, out[i].y);
        let same = |j: usize| {
            let (mine, other) = (ports[step], ports[out[j].step]);
            mine.0.net == other.0.net || mine.1.net == other.1.net
        };
        let (low, high) = (y.0.min(y.1), y.0.max(y.1));
        let meets = |j: usize| {
            let (l, h) = (out[j].y.0.min(out[j].y.1), out[j].y.0.max(out[j].y.1));
            l < high + 5.0 && low < h + 5.0
        };
        let least = laid.iter().filter(|j| before(&out[**j], &out[i])).map(|j| out[*j].track + 1).max().unwrap_or(0);
        let taken = |t: usize| laid.iter().any(|j| out[*j].track == t && meets(*j) && !same(*j));
        // How many of those that are laid already it would cross in a track.
        let crosses = |t: usize| {
            let over = |x: f64, r: (f64, f64)| x > r.0.min(r.1) && x < r.0.max(r.1);
            let one = |j: &usize| {
                let (other, at) = (out[*j].y, out[*j].track);
                let (first, last) = if t < at { (y, other) } else { (other, y) };
                // The one that turns first goes on over the other's track; the other came over the first's.
                if t == at { 0 } else { usize::from(over(first.1, last)) + usize::from(over(last.0, first)) }
            };
            laid.iter().map(one).sum::<usize>()
        };
        let most = laid.iter().map(|j| out[*j].track + 1).max().unwrap_or(0).max(least);
        let track = (least..=most).filter(|t| !taken(*t)).min_by_key(|t| (crosses(*t), *t)).unwrap_or(most);
        out[i].track = track;
        out[i].track_x = MARGIN + TRACK * track as f64;
        laid.push(i);
    }
    out
}
