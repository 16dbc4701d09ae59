//! The definitions, word for word, at whatever cost: what the online monitors are held against.

use crate::{Comparison, Edge, Formula, Interval, Summary, Term};

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
        Formula::Measured { term, how, with } => {
            let x = number(term, rows);
            each(&|t| {
                if x[t] == *with {
                    0.0
                } else if how.wants_more() {
                    x[t] - with
                } else {
                    with - x[t]
                }
            })
        }
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

/// Both, either, where one side may be unknown.
fn all3(values: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    let values: Vec<Option<bool>> = values.collect();
    if values.contains(&Some(false)) {
        Some(false)
    } else if values.contains(&None) {
        None
    } else {
        Some(true)
    }
}

fn any3(values: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    all3(values.map(|v| v.map(|b| !b))).map(|b| !b)
}

/// Truth at every tick, windows cut to the ticks that exist; none where a number that is not one stands in the way.
pub fn truth(f: &Formula, rows: &[Vec<f64>]) -> Vec<Option<bool>> {
    let n = rows.len();
    let of = |f: &Formula| truth(f, rows);
    let each = |g: &dyn Fn(usize) -> Option<bool>| (0..n).map(g).collect::<Vec<Option<bool>>>();
    let holds = |l: f64, how: Comparison, r: f64| (!l.is_nan() && !r.is_nan()).then(|| how.holds(l, r));
    match f {
        Formula::Compare { signal, how, with } => each(&|t| holds(rows[t][signal.0 as usize], *how, *with)),
        Formula::Between { left, how, right } => {
            each(&|t| holds(rows[t][left.0 as usize], *how, rows[t][right.0 as usize]))
        }
        Formula::Measured { term, how, with } => {
            let x = number(term, rows);
            each(&|t| holds(x[t], *how, *with))
        }
        Formula::Holds(s) => each(&|t| holds(rows[t][s.0 as usize], Comparison::Above, 0.5)),
        Formula::Not(a) => of(a).into_iter().map(|r| r.map(|b| !b)).collect(),
        Formula::All(fs) => {
            let rs: Vec<_> = fs.iter().map(of).collect();
            each(&|t| all3(rs.iter().map(|r| r[t])))
        }
        Formula::Any(fs) => {
            let rs: Vec<_> = fs.iter().map(of).collect();
            each(&|t| any3(rs.iter().map(|r| r[t])))
        }
        Formula::Implies(a, b) => {
            let (a, b) = (of(a), of(b));
            each(&|t| any3([a[t].map(|x| !x), b[t]].into_iter()))
        }
        Formula::Always(i, a) | Formula::Historically(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Always(..)));
            each(&|t| all3(window(*i, t, n, ahead).into_iter().map(|u| a[u])))
        }
        Formula::Eventually(i, a) | Formula::Once(i, a) => {
            let (a, ahead) = (of(a), matches!(f, Formula::Eventually(..)));
            each(&|t| any3(window(*i, t, n, ahead).into_iter().map(|u| a[u])))
        }
        Formula::Until(i, l, r) => {
            let (l, r) = (of(l), of(r));
            each(&|t| any3(window(*i, t, n, true).into_iter().map(|u| all3((t..u).map(|w| l[w]).chain([r[u]])))))
        }
        Formula::Since(i, l, r) => {
            let (l, r) = (of(l), of(r));
            each(&|t| any3(window(*i, t, n, false).into_iter().map(|u| all3((u + 1..=t).map(|w| l[w]).chain([r[u]])))))
        }
    }
}

/// A number at every tick. Sums are of whole numbers where samples are, so that their order does not matter.
pub fn number(term: &Term, rows: &[Vec<f64>]) -> Vec<f64> {
    let n = rows.len();
    let of = |t: &Term| number(t, rows);
    let each = |g: &dyn Fn(usize) -> f64| (0..n).map(g).collect::<Vec<f64>>();
    let pair =
        |l: &Term, r: &Term, g: &dyn Fn(f64, f64) -> f64| of(l).into_iter().zip(of(r)).map(|(a, b)| g(a, b)).collect();
    let behind = |i: &Interval, t: usize| window(*i, t, n, false);
    let seconds = |ticks: Option<usize>| ticks.map_or(f64::NAN, |k| k as f64 / 10.0);
    match term {
        Term::Signal(s) => each(&|t| rows[t][s.0 as usize]),
        Term::Constant(x) => each(&|_| *x),
        Term::Sum(ts) => {
            let xs: Vec<_> = ts.iter().map(of).collect();
            each(&|t| xs.iter().map(|x| x[t]).sum::<f64>() + 0.0)
        }
        Term::Difference(l, r) => pair(l, r, &|a, b| a - b),
        Term::Product(l, r) => pair(l, r, &|a, b| a * b),
        Term::Quotient(l, r) => pair(l, r, &|a, b| if b == 0.0 { f64::NAN } else { a / b }),
        Term::Size(a) => of(a).into_iter().map(f64::abs).collect(),
        Term::Over(summary, i, a) => {
            let x = of(a);
            each(&|t| {
                let inside: Vec<f64> = behind(i, t).into_iter().map(|u| x[u]).collect();
                match summary {
                    Summary::Least => least(inside.into_iter()),
                    Summary::Greatest => greatest(inside.into_iter()),
                    Summary::Mean if inside.is_empty() => x[0],
                    Summary::Mean => inside.iter().sum::<f64>() / inside.len() as f64,
                    Summary::Integral => inside.iter().sum::<f64>() / 10.0,
                    Summary::Travel => behind(i, t)
                        .into_iter()
                        .map(|u| if u == 0 { 0.0 } else { (x[u] - x[u - 1]).abs() })
                        .sum::<f64>(),
                    Summary::Slope => slope(*i, t, &x),
                }
            })
        }
        Term::Rate(ticks, a) => {
            let x = of(a);
            each(&|t| (x[t] - x[t.saturating_sub(*ticks as usize)]) / (f64::from(*ticks) / 10.0))
        }
        Term::Held(i, f) => {
            let is = truth(f, rows);
            each(&|t| seconds(behind(i, t).into_iter().map(|u| is[u].map(usize::from)).sum()))
        }
        Term::Stretch(i, f) => {
            let is = truth(f, rows);
            each(&|t| {
                let inside: Option<Vec<bool>> = behind(i, t).into_iter().map(|u| is[u]).collect();
                seconds(inside.map(|b| b.split(|x| !x).map(<[bool]>::len).max().unwrap_or(0)))
            })
        }
        Term::Lasted(f) => {
            let is = truth(f, rows);
            each(&|t| {
                let row: Vec<Option<bool>> = (0..=t).rev().map(|u| is[u]).take_while(|b| *b != Some(false)).collect();
                seconds(row.iter().all(Option::is_some).then_some(row.len()))
            })
        }
        Term::Count(edge, i, f) => {
            // By the formulas that tell the same moments.
            let moment = match edge {
                Edge::Rises => (**f).clone().comes_true(),
                Edge::Falls => (**f).clone().ends(),
                Edge::Changes => (**f).clone().changes(),
            };
            let is = truth(&moment, rows);
            each(&|t| {
                behind(i, t)
                    .into_iter()
                    .map(|u| is[u].map(usize::from))
                    .sum::<Option<usize>>()
                    .map_or(f64::NAN, |k| k as f64)
            })
        }
    }
}

/// Over all the ticks that a window would have, the first sample of the run standing for those before it.
fn slope(i: Interval, t: usize, x: &[f64]) -> f64 {
    let far = i.to.map_or(t as i64, i64::from);
    let xs: Vec<f64> = (i64::from(i.from)..=far).rev().map(|ago| x[(t as i64 - ago).max(0) as usize]).collect();
    let n = xs.len() as f64;
    if (t as i64) < i64::from(i.from) {
        return 0.0;
    }
    if !xs.iter().all(|x| x.is_finite()) {
        return f64::NAN;
    }
    if xs.len() < 2 {
        return 0.0;
    }
    let sum: f64 = xs.iter().sum();
    let weighted: f64 = xs.iter().enumerate().map(|(k, x)| k as f64 * x).sum();
    (weighted - (n - 1.0) / 2.0 * sum) / (n * (n * n - 1.0) / 12.0) * 10.0
}
