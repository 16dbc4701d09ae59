use super::*;
use base::Tick;
use proptest::prelude::*;

fn rows() -> impl Strategy<Value = Vec<Vec<Option<f64>>>> {
    let score = prop::option::weighted(0.95, (0u32..5).prop_map(|x| f64::from(x) * 37.0));
    (1usize..6).prop_flat_map(move |k| prop::collection::vec(prop::collection::vec(score.clone(), k), 0..25))
}

/// Every figure as bits, so that nothing hides in a tolerance.
fn bits(a: &ItemAnalysis) -> String {
    let mut a = a.clone();
    a.items.iter_mut().for_each(|i| i.upper_lower_in_order = None);
    format!("{a:?}")
}

fn shuffled<T: Clone>(xs: &[T], by: &[u32]) -> Vec<T> {
    let mut order: Vec<usize> = (0..xs.len()).collect();
    order.sort_by_key(|&i| by[i % by.len()].wrapping_mul(i as u32 + 1) % 1009);
    order.into_iter().map(|i| xs[i].clone()).collect()
}

/// The distance by its definition, the whole table.
fn plain_edits(a: &[Act], b: &[Act], slack: u32) -> u32 {
    let wait = |l: &[Act], i: usize| l[i].at.0 - if i == 0 { 0 } else { l[i - 1].at.0 };
    let mut d = vec![vec![0u32; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            d[i][j] = match (i, j) {
                (0, j) => j as u32,
                (i, 0) => i as u32,
                _ => {
                    let same = a[i - 1].what == b[j - 1].what && wait(a, i - 1).abs_diff(wait(b, j - 1)) <= slack;
                    (d[i - 1][j - 1] + u32::from(!same)).min(d[i - 1][j] + 1).min(d[i][j - 1] + 1)
                }
            };
        }
    }
    d[a.len()][b.len()]
}

fn log() -> impl Strategy<Value = Vec<Act>> {
    prop::collection::vec((0u32..4, 0u32..6), 0..14).prop_map(|acts| {
        let mut at = 0;
        let act = |(what, wait)| {
            at += wait;
            Act { what, at: Tick(at) }
        };
        acts.into_iter().map(act).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn the_order_of_people_does_not_matter(rows in rows(), by in prop::collection::vec(1u32..1000, 25)) {
        let greatest = vec![148.0; rows.first().map_or(2, Vec::len)];
        let (a, b) = (analyse(&rows, &greatest), analyse(&shuffled(&rows, &by), &greatest));
        prop_assert_eq!(bits(&a), bits(&b));
        for item in &a.items {
            prop_assert!(item.difficulty.is_none_or(|d| (0.0..=1.0).contains(&d)));
            prop_assert!(item.item_rest.is_none_or(|r| r.abs() <= 1.0 + 1e-12));
            prop_assert!(item.upper_lower.is_none_or(|u| u.abs() <= 1.0 + 1e-12));
        }
        if let Some(r) = a.reliability { prop_assert!(r.low <= r.alpha && r.alpha <= r.high && r.alpha <= 1.0 + 1e-12) }
        // Whoever has every score counts the same in both ways of working out alpha.
        if a.dropped == 0 {
            match (a.reliability, a.alpha_pairwise) {
                (Some(x), Some(y)) => prop_assert!((x.alpha - y).abs() <= 1e-9 * (1.0 + y.abs()) , "{} {}", x.alpha, y),
                (None, None) => {}
                // Rounding can leave a variance of totals that is nought a trace above it.
                (None, Some(_)) => prop_assert!(a.deviation_total.is_none_or(|d| d < 1e-6)),
                (Some(_), None) => prop_assert!(false),
            }
        }
    }

    #[test]
    fn the_order_of_subjects_does_not_matter(ratings in prop::collection::vec(prop::collection::vec(0usize..4, 3), 2..20), by in prop::collection::vec(1u32..1000, 20)) {
        let other = shuffled(&ratings, &by);
        let pairs = |r: &[Vec<usize>]| r.iter().map(|r| (r[0], r[1])).collect::<Vec<_>>();
        prop_assert_eq!(cohen(&pairs(&ratings), 4), cohen(&pairs(&other), 4));
        let counts = |r: &[Vec<usize>]| r.iter().map(|r| (0..4).map(|c| r.iter().filter(|x| **x == c).count() as u32).collect()).collect::<Vec<Vec<u32>>>();
        prop_assert_eq!(fleiss(&counts(&ratings)), fleiss(&counts(&other)));
        let numbers = |r: &[Vec<usize>]| r.iter().map(|r| r.iter().map(|x| *x as f64).collect()).collect::<Vec<Vec<f64>>>();
        prop_assert_eq!(correlation(&numbers(&ratings)), correlation(&numbers(&other)));
        // Raters who always agree: full agreement, unless there is but one category.
        let same: Vec<(usize, usize)> = ratings.iter().map(|r| (r[0], r[0])).collect();
        prop_assert!(cohen(&same, 4).unwrap().kappa.is_none_or(|k| k == 1.0));
    }

    #[test]
    fn edits_are_the_definition(a in log(), b in log(), slack in 0u32..3, limit in 0u32..16) {
        let plain = plain_edits(&a, &b, slack);
        prop_assert_eq!(edits(&a, &b, slack, limit), Some(plain).filter(|e| *e <= limit));
        prop_assert_eq!(edits(&b, &a, slack, limit), edits(&a, &b, slack, limit));
    }
}

fn score(rows: &[&[f64]]) -> ItemAnalysis {
    let rows: Vec<Vec<Option<f64>>> = rows.iter().map(|r| r.iter().map(|x| Some(*x)).collect()).collect();
    let greatest = vec![1.0; rows.first().map_or(0, Vec::len)];
    analyse(&rows, &greatest)
}

#[test]
fn what_a_class_cannot_say_is_none_and_told_why() {
    let nobody = score(&[]);
    assert_eq!((nobody.people, nobody.group, nobody.mean_total, nobody.reliability), (0, 0, None, None));
    let one = score(&[&[1.0, 0.0]]);
    assert_eq!((one.people, one.group, one.mean_total, one.deviation_total), (1, 1, Some(1.0), None));
    assert_eq!((one.reliability, one.alpha_pairwise, one.standard_error), (None, None, None));
    assert!(
        one.cautions.contains(&Caution::EvenTotals)
            && one.cautions.contains(&Caution::FewPeople { people: 1, wanted: 30 })
    );
    let even = score(&[&[1.0, 0.0], &[1.0, 0.0], &[1.0, 0.0]]);
    assert_eq!((even.reliability, even.items[0].item_rest, even.items[0].difficulty), (None, None, Some(1.0)));
    assert!(even.cautions.contains(&Caution::EvenItem { item: 1 }));
    let against = score(&[&[1.0, 0.0], &[1.0, 0.0], &[0.0, 1.0], &[1.0, 1.0]]);
    assert!(against.reliability.unwrap().alpha < 0.0);
    assert!(
        against.cautions.contains(&Caution::NegativeReliability)
            && against.cautions.contains(&Caution::AgainstTheRest { item: 0 })
    );
    let single = score(&[&[1.0], &[0.0]]);
    assert!(single.reliability.is_none() && single.cautions.contains(&Caution::FewItems));
    // A class that is large and whose items go together needs no caution.
    let good: Vec<Vec<f64>> = (0..60).map(|p| (0..6).map(|i| f64::from(u8::from(p % 7 > i))).collect()).collect();
    assert_eq!(score(&good.iter().map(Vec::as_slice).collect::<Vec<_>>()).cautions, []);
}

#[test]
fn agreement_that_has_no_meaning_is_none() {
    let one = cohen(&[(1, 1), (1, 1)], 3).unwrap();
    assert_eq!((one.kappa, one.linear, one.observed), (None, None, 1.0));
    assert!(one.cautions.contains(&Caution::NothingToAgreeOn));
    assert_eq!(cohen(&[], 3), Err(AgreementFault::FewSubjects));
    assert_eq!(cohen(&[(0, 0), (0, 3)], 3), Err(AgreementFault::NoSuchCategory { subject: 1 }));
    assert_eq!(fleiss(&[vec![2, 0], vec![2, 0]]).unwrap().kappa, None);
    assert_eq!(fleiss(&[vec![2, 0], vec![2, 1]]), Err(AgreementFault::UnequalRaters { subject: 1 }));
    assert_eq!(fleiss(&[vec![1, 0]]), Err(AgreementFault::FewRaters));
    assert_eq!(correlation(&[vec![1.0, 1.0], vec![1.0, 1.0]]).unwrap().icc, None);
    let perfect = correlation(&[vec![1.0, 1.0], vec![3.0, 3.0], vec![2.0, 2.0]]).unwrap();
    assert_eq!((perfect.icc, perfect.interval), (Some(1.0), None));
    assert_eq!(correlation(&[vec![1.0, 1.0], vec![1.0]]), Err(AgreementFault::UnequalRaters { subject: 1 }));
    assert_eq!(correlation(&[vec![1.0, f64::NAN], vec![1.0, 2.0]]), Err(AgreementFault::NotANumber { subject: 0 }));
}

#[test]
fn logs_that_are_alike() {
    let log = |shift: u32, late: u32| -> Vec<Act> {
        (0..40).map(|i| Act { what: i % 7, at: Tick(shift + 30 * i + i * i + if i > 20 { late } else { 0 }) }).collect()
    };
    let own: Vec<Act> = (0..40).map(|i| Act { what: i % 7, at: Tick(50 * i + 200 * (i % 3)) }).collect();
    let short = vec![Act { what: 1, at: Tick(1) }];
    let logs = [log(0, 0), own, log(0, 0), log(600, 0), log(0, 90), short];
    let (found, cautions) = alike(&logs, &Likeness::default());
    let pairs: Vec<_> = found.iter().map(|a| (a.first, a.second, a.identical, a.edits)).collect();
    // The copy; the copy begun a minute later; the copy with one pause: a wait each.
    let expected =
        [(0, 2, true, 0), (0, 3, false, 1), (0, 4, false, 1), (2, 3, false, 1), (2, 4, false, 1), (3, 4, false, 2)];
    assert_eq!(pairs, expected);
    assert_eq!(cautions, [Caution::ShortLogs { logs: 1, wanted: 10 }]);
    // With times left out, whoever did the same in the same order is alike.
    let (found, _) = alike(&logs, &Likeness { slack: u32::MAX, ..Likeness::default() });
    assert_eq!(found.len(), 10);
}
