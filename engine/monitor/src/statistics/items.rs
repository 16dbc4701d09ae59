//! Items and reliability of a test (classical test theory).
//!
//! Sources: corrected item-rest correlation, Henrysson, Psychometrika 28 (1963) 211-218; upper and lower 27 %,
//! Kelley, Journal of Educational Psychology 30 (1939) 17-24; alpha, Cronbach, Psychometrika 16 (1951)
//! 297-334; its interval, Feldt, Psychometrika 30 (1965) 357-370; formulas 20 and 21, Kuder and Richardson,
//! Psychometrika 2 (1937) 151-160. Conventions to the letter of `tests/data/item_stats.json`.
//!
//! Symbols: n people, k items, s² variance with divisor n - 1.
//!
//! | figure | equation |
//! | --- | --- |
//! | difficulty | mean score / greatest score (larger is easier) |
//! | item-rest | Pearson correlation of the item with the total without it |
//! | upper-lower | (mean of upper - mean of lower g people) / greatest score, g = max(1, floor(0.27 n + 0.5)) |
//! | alpha | k/(k-1) (1 - sum of s²_item / s²_total) |
//! | interval | 1 - (1 - alpha) F(p; n-1, (n-1)(k-1)) at p = 0.975 and 0.025 |
//! | standard error | s_total sqrt(1 - alpha) |
//!
//! Scores are best given in whole units (hundredths of a mark), so that equal totals are equal bits.

use super::beta::f_quantile;
use super::caution::{Caution, GROUP_WANTED, PEOPLE_WANTED, REST_WANTED, WIDTH_WANTED};
use base::maths::sqrt;

/// Figures of one item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ItemFigures {
    /// Mean score over greatest score; larger is easier. `None` without people or a greatest score.
    pub difficulty: Option<f64>,
    /// Correlation with the total; `None` when either has no spread.
    pub item_total: Option<f64>,
    /// Corrected discrimination: correlation with the total of the other items; `None` when either has no spread.
    pub item_rest: Option<f64>,
    /// How much better the upper group does than the lower, from 1 to -1; people tied at the edge of a group share
    /// its last places.
    pub upper_lower: Option<f64>,
    /// The same with ties taken in the order of the rows, so that it changes with that order: only for
    /// comparing with programs that work so.
    pub upper_lower_in_order: Option<f64>,
    /// Alpha of the test without this item.
    pub alpha_without: Option<f64>,
}

/// A reliability with its interval of 95 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reliability {
    /// Cronbach's alpha. It can be below 0, and is then not cut off.
    pub alpha: f64,
    /// Lower end by Feldt.
    pub low: f64,
    /// Upper end by Feldt.
    pub high: f64,
}

/// Figures of a test.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemAnalysis {
    /// People whose scores were complete and used.
    pub people: usize,
    /// People left out, since a score of theirs is missing.
    pub dropped: usize,
    /// Mean total.
    pub mean_total: Option<f64>,
    /// Standard deviation of totals (divisor n - 1).
    pub deviation_total: Option<f64>,
    /// Alpha with its interval.
    pub reliability: Option<Reliability>,
    /// Alpha from covariances of whoever has both items, nobody left out.
    pub alpha_pairwise: Option<f64>,
    /// Standard error of measurement, in the unit of the scores.
    pub standard_error: Option<f64>,
    /// Kuder and Richardson's formula 20; only where all scores are 0 or 1 of 1.
    pub kr20: Option<f64>,
    /// Kuder and Richardson's formula 21; only where all scores are 0 or 1 of 1.
    pub kr21: Option<f64>,
    /// People in the upper group, and as many in the lower.
    pub group: usize,
    /// The items.
    pub items: Vec<ItemFigures>,
    /// What to take with care.
    pub cautions: Vec<Caution>,
}

/// Works out the figures of a test: a row of scores for each person (`None` where one is missing), and the
/// greatest score of each item.
///
/// # Panics
/// When a row has not one score for each item, or a number is not finite.
#[must_use]
pub fn analyse(rows: &[Vec<Option<f64>>], greatest: &[f64]) -> ItemAnalysis {
    let k = greatest.len();
    assert!(rows.iter().all(|r| r.len() == k), "a row holds one score for each item");
    assert!(rows.iter().flatten().flatten().chain(greatest).all(|x| x.is_finite()), "scores are finite");
    let given: Vec<Vec<f64>> = rows.iter().filter_map(|r| r.iter().copied().collect()).collect();
    let mut used = given.clone();
    used.sort_by(|a, b| compare(a, b));
    let totals: Vec<f64> = used.iter().map(|r| r.iter().sum()).collect();
    let alpha = alpha(&used, k, None);
    let variance_total = variance(&totals);
    let n = used.len();
    let group = if n == 0 { 0 } else { ((0.27 * n as f64 + 0.5).floor() as usize).max(1) };
    let binary = greatest.iter().all(|m| *m == 1.0) && used.iter().flatten().all(|x| *x == 0.0 || *x == 1.0);
    let kuder = if binary && n > 1 { kuder_richardson(&used, &totals, k) } else { (None, None) };
    let mut analysis = ItemAnalysis {
        people: n,
        dropped: rows.len() - n,
        mean_total: mean(&totals),
        deviation_total: variance_total.map(sqrt),
        reliability: alpha.and_then(|a| feldt(a, n, k)),
        alpha_pairwise: alpha_pairwise(rows, k),
        standard_error: alpha.zip(variance_total).map(|(a, v)| sqrt(v) * sqrt(1.0 - a)),
        kr20: kuder.0,
        kr21: kuder.1,
        group,
        items: (0..k).map(|i| item(&used, &given, &totals, i, greatest[i], group)).collect(),
        cautions: Vec::new(),
    };
    analysis.cautions = cautions(&analysis, &used, &totals);
    analysis
}

fn item(used: &[Vec<f64>], given: &[Vec<f64>], totals: &[f64], at: usize, greatest: f64, group: usize) -> ItemFigures {
    let scores: Vec<f64> = used.iter().map(|r| r[at]).collect();
    let rest: Vec<f64> = used.iter().map(|r| without(r, at)).collect();
    let part = |x: f64| (greatest != 0.0).then(|| x / greatest);
    ItemFigures {
        difficulty: mean(&scores).and_then(part),
        item_total: pearson(&scores, totals),
        item_rest: pearson(&scores, &rest),
        upper_lower: if group == 0 {
            None
        } else {
            part(tied(&scores, totals, group, true) - tied(&scores, totals, group, false))
        },
        upper_lower_in_order: if group == 0 { None } else { part(in_order(given, at, group)) },
        alpha_without: alpha(used, used.first().map_or(0, Vec::len), Some(at)),
    }
}

/// Sum of a row without one item.
fn without(row: &[f64], at: usize) -> f64 {
    row.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, x)| x).sum()
}

/// Mean score of the best (or least) `group` people by total, those tied at the edge sharing the last places.
fn tied(scores: &[f64], totals: &[f64], group: usize, best: bool) -> f64 {
    let sign = if best { -1.0 } else { 1.0 };
    let mut order: Vec<f64> = totals.iter().map(|t| sign * t).collect();
    order.sort_by(f64::total_cmp);
    let edge = order[group - 1];
    let (mut inside, mut at_edge, mut sum, mut sum_at_edge) = (0, 0, 0.0, 0.0);
    for (score, total) in scores.iter().zip(totals) {
        if sign * total < edge {
            inside += 1;
            sum += score;
        } else if sign * total == edge {
            at_edge += 1;
            sum_at_edge += score;
        }
    }
    (sum + sum_at_edge * (group - inside) as f64 / f64::from(at_edge)) / group as f64
}

/// Difference of the two groups, people sorted by total from the best, ties in the order of the rows.
fn in_order(given: &[Vec<f64>], at: usize, group: usize) -> f64 {
    let mut order: Vec<(f64, f64)> = given.iter().map(|r| (r.iter().sum(), r[at])).collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0));
    let sum = |people: &[(f64, f64)]| people.iter().map(|p| p.1).sum::<f64>();
    (sum(&order[..group]) - sum(&order[order.len() - group..])) / group as f64
}

/// Alpha of all `k` items, or of all but one.
fn alpha(rows: &[Vec<f64>], k: usize, left_out: Option<usize>) -> Option<f64> {
    let items: Vec<usize> = (0..k).filter(|i| Some(*i) != left_out).collect();
    if items.len() < 2 {
        return None;
    }
    let totals: Vec<f64> = rows.iter().map(|r| items.iter().map(|&i| r[i]).sum()).collect();
    let of_total = spread(&totals).then(|| variance(&totals)).flatten()?;
    let of_items =
        items.iter().map(|&i| variance(&rows.iter().map(|r| r[i]).collect::<Vec<_>>())).sum::<Option<f64>>()?;
    let k = items.len() as f64;
    Some(k / (k - 1.0) * (1.0 - of_items / of_total))
}

fn feldt(alpha: f64, n: usize, k: usize) -> Option<Reliability> {
    let (d1, d2) = ((n - 1) as f64, ((n - 1) * (k - 1)) as f64);
    let end = |p: f64| Some(1.0 - (1.0 - alpha) * f_quantile(p, d1, d2)?);
    Some(Reliability { alpha, low: end(0.975)?, high: end(0.025)? })
}

/// Alpha from the covariances of whoever has both items.
fn alpha_pairwise(rows: &[Vec<Option<f64>>], k: usize) -> Option<f64> {
    if k < 2 {
        return None;
    }
    let mut rows: Vec<&Vec<Option<f64>>> = rows.iter().collect();
    rows.sort_by(|a, b| {
        let key = |x: &Option<f64>| x.unwrap_or(f64::INFINITY);
        a.iter()
            .zip(b.iter())
            .map(|(x, y)| key(x).total_cmp(&key(y)))
            .find(|o| o.is_ne())
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let (mut own, mut all) = (0.0, 0.0);
    for i in 0..k {
        for j in 0..k {
            let both: Vec<(f64, f64)> = rows.iter().filter_map(|r| r[i].zip(r[j])).collect();
            let c = covariance(&both)?;
            all += c;
            if i == j {
                own += c;
            }
        }
    }
    let k = k as f64;
    (all != 0.0).then(|| k / (k - 1.0) * (1.0 - own / all))
}

/// Formulas 20 and 21, with the population variance of the totals.
fn kuder_richardson(rows: &[Vec<f64>], totals: &[f64], k: usize) -> (Option<f64>, Option<f64>) {
    let n = rows.len() as f64;
    let (Some(m), Some(v), true) = (mean(totals), variance(totals), k > 1 && spread(totals)) else {
        return (None, None);
    };
    let v = v * (n - 1.0) / n;
    let pq: f64 = (0..k)
        .map(|i| {
            let p = rows.iter().map(|r| r[i]).sum::<f64>() / n;
            p * (1.0 - p)
        })
        .sum();
    let k = k as f64;
    (Some(k / (k - 1.0) * (1.0 - pq / v)), Some(k / (k - 1.0) * (1.0 - m * (k - m) / (k * v))))
}

fn cautions(a: &ItemAnalysis, rows: &[Vec<f64>], totals: &[f64]) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let mut say = |when: bool, caution: Caution| {
        if when {
            cautions.push(caution);
        }
    };
    say(a.people < PEOPLE_WANTED, Caution::FewPeople { people: a.people, wanted: PEOPLE_WANTED });
    say(a.group < GROUP_WANTED, Caution::SmallGroups { group: a.group, wanted: GROUP_WANTED });
    say(a.dropped > 0, Caution::Dropped { people: a.dropped });
    say(a.items.len() < 2, Caution::FewItems);
    say(!spread(totals), Caution::EvenTotals);
    if let Some(r) = a.reliability {
        say(r.alpha < 0.0, Caution::NegativeReliability);
        say(r.high - r.low > WIDTH_WANTED, Caution::WideInterval { low: r.low, high: r.high });
    }
    for (item, figures) in a.items.iter().enumerate() {
        let even = !spread(&rows.iter().map(|r| r[item]).collect::<Vec<_>>());
        say(even, Caution::EvenItem { item });
        match figures.item_rest {
            Some(r) if r < 0.0 => say(true, Caution::AgainstTheRest { item }),
            Some(r) => say(r < REST_WANTED, Caution::BesideTheRest { item }),
            None => {}
        }
    }
    cautions
}

/// Rows by their numbers from left to right.
pub(super) fn compare(a: &[f64], b: &[f64]) -> std::cmp::Ordering {
    a.iter().zip(b).map(|(x, y)| x.total_cmp(y)).find(|o| o.is_ne()).unwrap_or(std::cmp::Ordering::Equal)
}

fn spread(xs: &[f64]) -> bool {
    xs.iter().any(|x| *x != xs[0])
}

pub(super) fn mean(xs: &[f64]) -> Option<f64> {
    (!xs.is_empty()).then(|| xs.iter().sum::<f64>() / xs.len() as f64)
}

fn variance(xs: &[f64]) -> Option<f64> {
    covariance(&xs.iter().map(|x| (*x, *x)).collect::<Vec<_>>())
}

/// With divisor n - 1; `None` below two pairs.
fn covariance(xs: &[(f64, f64)]) -> Option<f64> {
    if xs.len() < 2 {
        return None;
    }
    let n = xs.len() as f64;
    let (mx, my) = (xs.iter().map(|p| p.0).sum::<f64>() / n, xs.iter().map(|p| p.1).sum::<f64>() / n);
    Some(xs.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum::<f64>() / (n - 1.0))
}

/// Pearson's correlation; `None` when either side has no spread.
fn pearson(xs: &[f64], ys: &[f64]) -> Option<f64> {
    if !spread(xs) || !spread(ys) {
        return None;
    }
    let pairs: Vec<(f64, f64)> = xs.iter().copied().zip(ys.iter().copied()).collect();
    Some(covariance(&pairs)? / (sqrt(variance(xs)?) * sqrt(variance(ys)?)))
}
