//! The definitions, word for word, at whatever cost: what the online monitors are held against.

use crate::{Formula, Interval};

/// Ticks of the window ahead of `t` (or behind it) that exist in a run of `n` ticks.
fn window(i: Interval, t: usize, n: usize, ahead: bool) -> Vec<usize> {
    let near = i.from as usize;
    (0..n)
        .filter(|&u| {
            let away = if ahead { u as i64 - t as i64 } else { t as i64 - u as i64 };
            away >= near as i64 && i.to.is_none_or(|to| away <= i64::from(to))
        })
        .collect()
}

fn least(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::INFINITY, |a, b| if a.is_nan() || b.is_nan() { f64::NAN } else { a.min(b) })
}

fn greatest(values: impl Iterator<Item = f64>) -> f64 {
    -least(values.map(|v| -v))
}

/// Robustness at every tick; NaN wherever a NaN has a part in it.
pub fn robustness(f: &Formula, rows: &[Vec<f64>]) -> Vec<f64> {
    let n = rows.len();
    let of = |f: &Formula| robustness(f, rows);
    let each = |g: &dyn Fn(usize) -> f64| (0..n).map(g).collect::<Vec<f64>>();
    match f {
        Formula::Compare { signal, how, with } => each(&|t| {
            let x = rows[t][signal.0 as usize];
            if how.wants_more() { x - with } else { with - x }
        }),
        Formula::Between { left, how, right } => each(&|t| {
            let d = rows[t][left.0 as usize] - rows[t][right.0 as usize];
            if how.wants_more() { d } else { -d }
        }),
        Formula::Holds(s) => each(&|t| {
            let x = rows[t][s.0 as usize];
            if x.is_nan() { x } else { f64::INFINITY.copysign(x - 0.5) }
        }),
        Formula::Not(a) => of(a).into_iter().map(|r| -r).collect(),
        Formula::All(fs) => {
            let rs: Vec<_> = fs.iter().map(of).collect();
            each(&|t| least(rs.iter().map(|r| r[t])))
        }
        Formula::Any(fs) => {
            let rs: Vec<_> = fs.iter().map(of).collect();
            each(&|t| greatest(rs.iter().map(|r| r[t])))
        }
        Formula::Implies(a, b) => {
            let (a, b) = (of(a), of(b));
            each(&|t| greatest([-a[t], b[t]].into_iter()))
        }
        Formula::Always(i, a) | Formula::Historically(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Always(..)));
            each(&|t| least(window(*i, t, n, ahead).into_iter().map(|u| a[u])))
        }
        Formula::Eventually(i, a) | Formula::Once(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Eventually(..)));
            each(&|t| greatest(window(*i, t, n, ahead).into_iter().map(|u| a[u])))
        }
        Formula::Until(i, l, r) => {
            let (l, r) = (of(l), of(r));
            each(&|t| greatest(window(*i, t, n, true).into_iter().map(|u| least((t..u).map(|w| l[w]).chain([r[u]])))))
        }
        Formula::Since(i, l, r) => {
            let (l, r) = (of(l), of(r));
            each(&|t| {
                greatest(window(*i, t, n, false).into_iter().map(|u| least((u + 1..=t).map(|w| l[w]).chain([r[u]]))))
            })
        }
    }
}

/// Truth at every tick of rows without NaN, windows cut to the ticks that exist.
pub fn truth(f: &Formula, rows: &[Vec<f64>]) -> Vec<bool> {
    let n = rows.len();
    let of = |f: &Formula| truth(f, rows);
    let each = |g: &dyn Fn(usize) -> bool| (0..n).map(g).collect::<Vec<bool>>();
    match f {
        Formula::Compare { signal, how, with } => each(&|t| how.holds(rows[t][signal.0 as usize], *with)),
        Formula::Between { left, how, right } => {
            each(&|t| how.holds(rows[t][left.0 as usize], rows[t][right.0 as usize]))
        }
        Formula::Holds(s) => each(&|t| rows[t][s.0 as usize] > 0.5),
        Formula::Not(a) => of(a).into_iter().map(|r| !r).collect(),
        Formula::All(fs) => {
            let rs: Vec<_> = fs.iter().map(of).collect();
            each(&|t| rs.iter().all(|r| r[t]))
        }
        Formula::Any(fs) => {
            let rs: Vec<_> = fs.iter().map(of).collect();
            each(&|t| rs.iter().any(|r| r[t]))
        }
        Formula::Implies(a, b) => {
            let (a, b) = (of(a), of(b));
            each(&|t| !a[t] || b[t])
        }
        Formula::Always(i, a) | Formula::Historically(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Always(..)));
            each(&|t| window(*i, t, n, ahead).into_iter().all(|u| a[u]))
        }
        Formula::Eventually(i, a) | Formula::Once(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Eventually(..)));
            each(&|t| window(*i, t, n, ahead).into_iter().any(|u| a[u]))
        }
        Formula::Until(i, l, r) => {
            let (l, r) = (of(l), of(r));
            each(&|t| window(*i, t, n, true).into_iter().any(|u| r[u] && (t..u).all(|w| l[w])))
        }
        Formula::Since(i, l, r) => {
            let (l, r) = (of(l), of(r));
            each(&|t| window(*i, t, n, false).into_iter().any(|u| r[u] && (u + 1..=t).all(|w| l[w])))
        }
    }
}
