use super::*;
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Walks an alignment and holds it to the definition: all entries, all steps, the order, the cost, and fates that fit.
pub(crate) fn replay(order: &Order, entries: &[Entry], a: &Alignment) {
    let (mut done, mut used, mut cost, mut clock) = (BTreeSet::new(), BTreeSet::new(), 0, Tick(0));
    for m in &a.moves {
        let (entry, step) = match *m {
            Move::Both { entry, step } => (Some(entry), Some(step)),
            Move::LogOnly { entry } => (Some(entry), None),
            Move::StepOnly { step } => (None, Some(step)),
        };
        if let Some(e) = entry {
            assert!(used.insert(e) && entries[e].at >= clock, "an entry once, by time");
            clock = entries[e].at;
            assert!(step.is_none() || entries[e].step == step);
            assert_eq!(a.entries[e] == EntryFate::InPlace, step.is_some());
        }
        if let Some(s) = step {
            assert!(
                (0..order.len()).all(|b| !order.comes_before(b, s) || done.contains(&b)),
                "step {s} before its time"
            );
            assert!(done.insert(s), "step {s} twice");
            assert_eq!(matches!(a.steps[s], StepFate::InPlace { .. }), entry.is_some());
        }
        cost += u32::from(step.is_none() || (entry.is_none() && !order.is_optional(step.unwrap())));
    }
    assert_eq!((used.len(), done.len()), (entries.len(), order.len()));
    assert_eq!(cost, a.cost);
    for (e, fate) in a.entries.iter().enumerate() {
        let step = entries[e].step.map(|s| a.steps[s]);
        match fate {
            EntryFate::Foreign => assert_eq!(step, None),
            EntryFate::InPlace => assert_eq!(step, Some(StepFate::InPlace { entry: e })),
            EntryFate::Early => {
                assert!(matches!(step, Some(StepFate::Early { entry, by, .. }) if entry == e && by > 0))
            }
            EntryFate::Late => assert!(matches!(step, Some(StepFate::Late { entry, .. }) if entry == e)),
            EntryFate::Repeated => {
                assert!(
                    !matches!(step, Some(StepFate::Skipped | StepFate::PassedOver)),
                    "what was tried was not skipped"
                )
            }
        }
    }
}

/// Least cost by every state of (entries read, steps behind), with no thought of pairs in conflict.
fn least_cost(order: &Order, entries: &[Entry]) -> u32 {
    let ready = |behind: u32, s: usize| {
        behind >> s & 1 == 0 && (0..order.len()).all(|b| !order.comes_before(b, s) || behind >> b & 1 == 1)
    };
    let mut layer: BTreeMap<u32, u32> = BTreeMap::from([(0, 0)]);
    for at in 0..=entries.len() {
        // Steps without an entry; supersets come later in number, so one sweep does.
        for behind in 0..1u32 << order.len() {
            let Some(&cost) = layer.get(&behind) else { continue };
            for s in (0..order.len()).filter(|&s| ready(behind, s)) {
                let with = cost + u32::from(!order.is_optional(s));
                let slot = layer.entry(behind | 1 << s).or_insert(with);
                *slot = with.min(*slot);
            }
        }
        let Some(entry) = entries.get(at) else { break };
        let mut next: BTreeMap<u32, u32> = layer.iter().map(|(b, c)| (*b, c + 1)).collect();
        if let Some(s) = entry.step {
            for (&behind, &cost) in layer.iter().filter(|(b, _)| ready(**b, s)) {
                let slot = next.entry(behind | 1 << s).or_insert(cost);
                *slot = cost.min(*slot);
            }
        }
        layer = next;
    }
    layer[&((1 << order.len()) - 1)]
}

/// The statuses of the entries of the best alignment that is first in the order of ties, by trying all sets.
fn first_of_the_best(order: &Order, entries: &[Entry], cost: u32) -> Vec<bool> {
    let n = entries.len();
    let fits = |set: u32| {
        let chosen: Vec<usize> = (0..n).filter(|e| set >> e & 1 == 1).collect();
        chosen.iter().enumerate().all(|(i, &a)| {
            let Some(s) = entries[a].step else { return false };
            chosen[i + 1..].iter().all(|&b| entries[b].step.is_some_and(|t| t != s && !order.comes_before(t, s)))
        })
    };
    let weight = |set: u32| -> u32 {
        (0..n)
            .filter(|e| set >> e & 1 == 1)
            .filter_map(|e| entries[e].step)
            .map(|s| if order.is_optional(s) { 1 } else { 2 })
            .sum()
    };
    let best = (entries.len() + order.mandatory()) as u32 - cost;
    let sets = (0..1u32 << n).filter(|&set| weight(set) == best && fits(set));
    sets.map(|set| (0..n).map(|e| set >> e & 1 == 1).collect::<Vec<bool>>()).max().unwrap()
}

fn order() -> impl Strategy<Value = Order> {
    (1usize..8)
        .prop_flat_map(|n| {
            let pairs = prop::collection::vec((0..n, 0..n), 0..10);
            (
                prop::collection::vec(prop::bool::weighted(0.25), n),
                pairs,
                Just((0..n).collect::<Vec<_>>()).prop_shuffle(),
            )
        })
        .prop_map(|(optional, pairs, names)| {
            let pairs: Vec<_> = pairs.into_iter().filter(|(a, b)| a < b).map(|(a, b)| (names[a], names[b])).collect();
            Order::new(&optional, &pairs).unwrap()
        })
}

/// A log that mostly keeps the order, with mistakes; its steps are cut to those there are.
fn log(steps: usize) -> impl Strategy<Value = Vec<Entry>> {
    let entry = (prop::option::weighted(0.9, 0..steps), 1u32..4);
    prop::collection::vec(entry, 0..9).prop_map(|entries| {
        let mut at = 0;
        entries
            .into_iter()
            .map(|(step, gap)| {
                at += gap;
                Entry { step, at: Tick(at) }
            })
            .collect()
    })
}

fn order_and_log() -> impl Strategy<Value = (Order, Vec<Entry>)> {
    order().prop_flat_map(|o| {
        let n = o.len();
        (Just(o), log(n))
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn no_alignment_costs_less((order, entries) in order_and_log()) {
        let a = align(&order, &entries);
        prop_assert_eq!(a.cost, least_cost(&order, &entries));
        prop_assert!(a.proven);
        replay(&order, &entries, &a);
        let kept: Vec<bool> = a.entries.iter().map(|f| *f == EntryFate::InPlace).collect();
        prop_assert_eq!(kept, first_of_the_best(&order, &entries, a.cost));
        prop_assert!((0.0..=1.0).contains(&a.fitness()));
    }

    /// The order of lines does not matter, nor does it within a tick; nor when the run began.
    #[test]
    fn only_ticks_count((order, mut entries) in order_and_log(), shuffle in prop::collection::vec(0u32..1000, 9), later in 0u32..500) {
        for e in &mut entries { e.at = Tick(e.at.0 / 4); } // several in one tick
        let a = align(&order, &entries);
        replay(&order, &entries, &a);
        let mut other: Vec<usize> = (0..entries.len()).collect();
        other.sort_by_key(|&e| shuffle[e]);
        let moved: Vec<Entry> = other.iter().map(|&e| Entry { at: Tick(entries[e].at.0 + later), ..entries[e] }).collect();
        let b = align(&order, &moved);
        prop_assert_eq!(a.cost, b.cost);
        // Entries of one step in one tick are alike; compare what they are, not which.
        let told = |entries: &[Entry], a: &Alignment| {
            let mut told: Vec<_> = entries.iter().zip(&a.entries).map(|(e, f)| format!("{:?} {f:?}", e.step)).collect();
            told.sort();
            told
        };
        prop_assert_eq!(told(&entries, &a), told(&moved, &b));
        for (x, y) in a.steps.iter().zip(&b.steps) {
            match (*x, *y) {
                (StepFate::Early { against: p, by: q, .. }, StepFate::Early { against: r, by: s, .. })
                | (StepFate::Late { against: p, by: q, .. }, StepFate::Late { against: r, by: s, .. }) => prop_assert_eq!((p, q), (r, s)),
                (StepFate::InPlace { .. }, StepFate::InPlace { .. }) => {}
                (x, y) => prop_assert_eq!(x, y),
            }
        }
    }

    /// Within a tick no order of the lines would cost less.
    #[test]
    fn a_tick_is_taken_in_the_best_order((order, mut entries) in order_and_log(), shuffle in prop::collection::vec(0u32..1000, 9)) {
        for e in &mut entries { e.at = Tick(e.at.0 / 6); }
        let mut lines: Vec<usize> = (0..entries.len()).collect();
        lines.sort_by_key(|&e| (entries[e].at, shuffle[e]));
        let in_line: Vec<Entry> = lines.iter().map(|&e| entries[e]).collect();
        prop_assert!(align(&order, &entries).cost <= least_cost(&order, &in_line));
    }

    #[test]
    fn beyond_the_bound_the_cost_is_an_upper_one((order, entries) in order_and_log()) {
        let (exact, bounded) = (align(&order, &entries), align_within(&order, &entries, 0));
        replay(&order, &entries, &bounded);
        prop_assert!(bounded.cost >= exact.cost);
        prop_assert!(!bounded.proven || bounded.cost == exact.cost);
    }

    /// A step supplied where the order allows it never costs more.
    #[test]
    fn a_missing_step_supplied_helps((order, entries) in order_and_log()) {
        let a = align(&order, &entries);
        let Some(step) = a.steps.iter().position(|f| *f == StepFate::Skipped) else { return Ok(()) };
        // Just before the first pair that has to follow it, or at the end.
        let follows = |m: &&Move| matches!(m, Move::Both { step: s, .. } if order.comes_before(step, *s));
        let at = a.moves.iter().find(follows).map_or(Tick(u32::MAX), |m| match *m {
            Move::Both { entry, .. } => entries[entry].at,
            _ => unreachable!("only pairs were looked for"),
        });
        let mut more = entries.clone();
        more.push(Entry { step: Some(step), at });
        let b = align(&order, &more);
        prop_assert_eq!(b.cost, a.cost - 1);
    }
}

fn chain(n: usize) -> Order {
    Order::new(&vec![false; n], &(1..n).map(|s| (s - 1, s)).collect::<Vec<_>>()).unwrap()
}

fn entries(steps: &[usize]) -> Vec<Entry> {
    steps.iter().enumerate().map(|(t, &s)| Entry { step: Some(s), at: Tick(10 * t as u32) }).collect()
}

#[test]
fn what_came_first_stands() {
    // A C B D: either B or C could be out of place; C came first, so B is late.
    let a = align(&chain(4), &entries(&[0, 2, 1, 3]));
    assert_eq!((a.cost, a.steps[1]), (2, StepFate::Late { entry: 2, against: 2, by: 10 }));
    assert_eq!(a.steps[2], StepFate::InPlace { entry: 1 });
    // C A B D: one is out of place, not two; C came 20 ticks before B.
    let a = align(&chain(4), &entries(&[2, 0, 1, 3]));
    assert_eq!((a.cost, a.steps[2]), (2, StepFate::Early { entry: 0, against: 1, by: 20 }));
    // Of repeats the first counts, unless only a later one is in place.
    let a = align(&chain(3), &entries(&[0, 1, 1, 2]));
    assert_eq!(a.entries[1..3], [EntryFate::InPlace, EntryFate::Repeated]);
    let a = align(&chain(3), &entries(&[1, 0, 1, 2]));
    assert_eq!((a.cost, a.entries[0]), (1, EntryFate::Repeated));
}

#[test]
fn one_missed_step_costs_one_step() {
    let a = align(&chain(25), &entries(&(0..25).filter(|s| *s != 3).collect::<Vec<_>>()));
    assert_eq!((a.cost, a.steps[3]), (1, StepFate::Skipped));
    assert!(a.steps.iter().enumerate().all(|(s, f)| s == 3 || matches!(f, StepFate::InPlace { .. })));
}

#[test]
fn a_log_past_the_bound_is_told_as_such() {
    // 40 steps backwards and forwards again, 300 times over: a case for the bound, with a known answer.
    let (order, n) = (chain(40), 40);
    let log: Vec<usize> = (0..300).flat_map(|_| (0..n).rev().chain(0..n)).collect();
    let (exact, bounded) = (align(&order, &entries(&log)), align_within(&order, &entries(&log), 100_000));
    assert_eq!((exact.cost as usize, exact.proven), (log.len() - n, true));
    assert_eq!((bounded.cost as usize, bounded.proven), (log.len() - 1 + n - 1, false));
}
