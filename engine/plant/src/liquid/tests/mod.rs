//! The network as a whole: outside data, conservation, limits, random settings.

mod checks;
mod random;
mod states;
mod walls;

use super::*;

/// Greatest imbalance of flow over the junctions, m3/s, and the greatest flow.
fn imbalance(net: &Network) -> (f64, f64) {
    let mut sums = vec![0.0; net.nodes().count()];
    let mut most: f64 = 0.0;
    for link in net.links() {
        let (from, to) = net.ends(link);
        sums[from.0 as usize] -= net.flow(link);
        sums[to.0 as usize] += net.flow(link);
        most = most.max(net.flow(link).abs());
    }
    let junctions = net.nodes().filter(|n| net.is_junction(*n));
    let worst = junctions.map(|n| (sums[n.0 as usize] - net.delivered(n)).abs()).fold(0.0, f64::max);
    (worst, most)
}
