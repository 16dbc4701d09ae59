//! Robustness by the definitions, one array a part and one loop a window: the work that online monitors save.

use monitor::{Comparison, Edge, Formula, Interval, Summary, Term};

/// The first and last tick of a window behind (or ahead of) a tick, cut to a run of `n`; none when nothing is left.
fn window(i: Interval, t: usize, n: usize, ahead: bool) -> Option<(usize, usize)> {
    let (near, far) = (i.from as usize, i.to.map(|to| to as usize));
    let (first, last) = if ahead {
        (t + near, far.map_or(n - 1, |f| (t + f).min(n - 1)))
    } else {
        (far.map_or(0, |f| t.saturating_sub(f)), t.checked_sub(near)?)
    };
    (first <= last && first < n).then_some((first, last))
}

fn fold(xs: &[f64], at: Option<(usize, usize)>, from: f64, with: fn(f64, f64) -> f64) -> f64 {
    at.map_or(from, |(a, b)| xs[a..=b].iter().fold(from, |x, y| with(x, *y)))
}

/// Robustness at every tick.
pub fn robustness(f: &Formula, rows: &[Vec<f64>]) -> Vec<f64> {
    let n = rows.len();
    let of = |f: &Formula| robustness(f, rows);
    let compare = |l: f64, how: &Comparison, r: f64| if how.wants_more() { l - r } else { r - l };
    let every = |parts: &[Formula], from: f64, with: fn(f64, f64) -> f64| {
        let mut all = vec![from; n];
        for part in parts {
            all.iter_mut().zip(of(part)).for_each(|(a, b)| *a = with(*a, b));
        }
        all
    };
    match f {
        Formula::Compare { signal, how, with } => {
            rows.iter().map(|r| compare(r[signal.0 as usize], how, *with)).collect()
        }
        Formula::Between { left, how, right } => {
            rows.iter().map(|r| compare(r[left.0 as usize], how, r[right.0 as usize])).collect()
        }
        Formula::Measured { term, how, with } => {
            number(term, rows).into_iter().map(|x| compare(x, how, *with)).collect()
        }
        Formula::Holds(s) => rows.iter().map(|r| f64::INFINITY.copysign(r[s.0 as usize] - 0.5)).collect(),
        Formula::Not(a) => of(a).into_iter().map(|x| -x).collect(),
        Formula::All(fs) => every(fs, f64::INFINITY, f64::min),
        Formula::Any(fs) => every(fs, f64::NEG_INFINITY, f64::max),
        Formula::Implies(a, b) => of(a).into_iter().zip(of(b)).map(|(a, b)| (-a).max(b)).collect(),
        Formula::Always(i, a) | Formula::Historically(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Always(..)));
            (0..n).map(|t| fold(&a, window(*i, t, n, ahead), f64::INFINITY, f64::min)).collect()
        }
        Formula::Eventually(i, a) | Formula::Once(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Eventually(..)));
            (0..n).map(|t| fold(&a, window(*i, t, n, ahead), f64::NEG_INFINITY, f64::max)).collect()
        }
        Formula::Until(i, l, r) => {
            let (l, r) = (of(l), of(r));
            let at = |t: usize| {
                let Some((first, last)) = window(*i, t, n, true) else { return f64::NEG_INFINITY };
                let (mut best, mut left) = (f64::NEG_INFINITY, f64::INFINITY);
                for u in t..=last {
                    if u >= first {
                        best = best.max(left.min(r[u]));
                    }
                    left = left.min(l[u]);
                }
                best
            };
            (0..n).map(at).collect()
        }
        Formula::Since(i, l, r) => {
            let (l, r) = (of(l), of(r));
            let at = |t: usize| {
                let Some((first, last)) = window(*i, t, n, false) else { return f64::NEG_INFINITY };
                let (mut best, mut left) = (f64::NEG_INFINITY, f64::INFINITY);
                for u in (first..=t).rev() {
                    if u <= last {
                        best = best.max(left.min(r[u]));
                    }
                    left = left.min(l[u]);
                }
                best
            };
            (0..n).map(at).collect()
        }
    }
}

/// A number at every tick; the words that the benchmark uses.
fn number(term: &Term, rows: &[Vec<f64>]) -> Vec<f64> {
    let n = rows.len();
    let ticks = |f: &Formula| robustness(f, rows).into_iter().map(|r| f64::from(u8::from(r > 0.0))).collect::<Vec<_>>();
    let sum = |xs: &[f64], i: Interval, t: usize| fold(xs, window(i, t, n, false), 0.0, |a, b| a + b);
    match term {
        Term::Signal(s) => rows.iter().map(|r| r[s.0 as usize]).collect(),
        Term::Constant(x) => vec![*x; n],
        Term::Size(a) => number(a, rows).into_iter().map(f64::abs).collect(),
        Term::Difference(l, r) => number(l, rows).into_iter().zip(number(r, rows)).map(|(a, b)| a - b).collect(),
        Term::Over(summary, i, a) => {
            let x = number(a, rows);
            let at = |t: usize| match summary {
                Summary::Least => fold(&x, window(*i, t, n, false), f64::INFINITY, f64::min),
                Summary::Greatest => fold(&x, window(*i, t, n, false), f64::NEG_INFINITY, f64::max),
                Summary::Integral => sum(&x, *i, t) / 10.0,
                Summary::Mean => window(*i, t, n, false).map_or(x[0], |(a, b)| sum(&x, *i, t) / (b - a + 1) as f64),
                Summary::Slope => slope(&x, i.to.expect("a bounded window") as usize, t),
                Summary::Travel => unimplemented!("not in the benchmark"),
            };
            (0..n).map(at).collect()
        }
        Term::Held(i, f) => {
            let is = ticks(f);
            (0..n).map(|t| sum(&is, *i, t) / 10.0).collect()
        }
        Term::Count(Edge::Rises, i, f) => {
            let is = ticks(f);
            let rises: Vec<f64> = (0..n).map(|t| if t == 0 { is[0] } else { (is[t] - is[t - 1]).max(0.0) }).collect();
            (0..n).map(|t| sum(&rises, *i, t)).collect()
        }
        _ => unimplemented!("not in the benchmark"),
    }
}

fn slope(x: &[f64], far: usize, t: usize) -> f64 {
    let n = (far + 1) as f64;
    let middle = (n - 1.0) / 2.0;
    let products: f64 = (0..=far).map(|k| (k as f64 - middle) * x[(t + k).saturating_sub(far)]).sum();
    products / (n * (n * n - 1.0) / 12.0) * 10.0
}
