//! Orders by hand: steps in each other's place, and how departures are told.

use super::*;
use crate::Outcome::{Full, Part};

/// The main pump or the auxiliary one, then fresh water; 6 marks for the order, none from three departures on.
fn sheet(named: &[&str], wrong: Option<Formula>) -> Vec<Item<Formula>> {
    let mut auxiliary = item("auxiliary", 1, false, step(Formula::holds(FLAME), &[], None, None, 0));
    auxiliary.counts.instead_of = Some("main".to_owned());
    let steps = named.iter().map(|s| (*s).to_owned()).collect();
    vec![
        item("main", 1, false, step(Formula::holds(PURGE), &[], None, None, 0)),
        auxiliary,
        item("fresh", 1, false, step(Formula::above(DRUM, 601_325.0), &["main"], None, None, 0)),
        item("order", 6, false, ItemKind::Order { steps, wrong, none_at: 3 }),
    ]
}

/// Ticks at which the main pump, the auxiliary one and fresh water came; the verdicts of fresh water and the order.
fn marked(named: &[&str], at: [Option<usize>; 3]) -> [crate::Verdict; 2] {
    let [main, auxiliary, fresh] = at;
    let mut rows = quiet(100);
    for (signal, from, value) in [(PURGE, main, 1.0), (FLAME, auxiliary, 1.0), (DRUM, fresh, 701_325.0)] {
        if let Some(from) = from {
            rows = with(rows, &[(signal, from..=99, value)]);
        }
    }
    let mut verdicts = run(sheet(named, None), None, &rows, None).verdicts;
    let order = verdicts.pop().unwrap();
    [verdicts.pop().unwrap(), order]
}

/// Once whoever took one of two ways had left out the other.
#[test]
fn of_steps_in_each_others_place_one_is_enough() {
    for named in [&["main", "auxiliary", "fresh"][..], &["main", "fresh"]] {
        for at in [[Some(10), None, Some(50)], [None, Some(10), Some(50)], [Some(10), Some(60), Some(50)]] {
            let [fresh, order] = marked(named, at);
            assert_eq!((fresh.outcome, order.outcome), (Full, Full), "{named:?} {at:?}: {}", order.found);
            assert_eq!(order.found, "all steps in their order");
        }
        // Neither: one step is left out, and not two.
        let [_, order] = marked(named, [None, None, Some(50)]);
        assert_eq!((order.outcome, order.earned), (Part, Marks::whole(4)), "{}", order.found);
        assert_eq!(order.found, "one departure, where 3 lose all its marks: \"main\" was left out");
        // What stands in a step's place is what the next one comes after.
        let [fresh, order] = marked(named, [None, Some(50), Some(10)]);
        assert_eq!(fresh.found, "done at 00:01.0, before \"auxiliary\" at 00:05.0");
        assert_eq!((fresh.earned, order.earned), (Marks(0), Marks::whole(4)), "{}", order.found);
    }
}

#[test]
fn what_should_not_be_done_is_told_with_its_moment() {
    let told = |spans: &[(u32, std::ops::RangeInclusive<usize>, f64)]| {
        let rows = with(quiet(100), &[(PURGE, 5..=99, 1.0), (DRUM, 50..=99, 701_325.0)]);
        let hot = Some(Formula::above(METAL, 690.0));
        let order = run(sheet(&["main", "fresh"], hot), None, &with(rows, spans), None).verdicts.remove(3);
        (order.earned, order.found)
    };
    assert_eq!(
        told(&[(METAL, 20..=25, 700.0)]),
        (
            Marks::whole(4),
            "one departure, where 3 lose all its marks: what should not be done was done once, at 00:02.0".to_owned()
        )
    );
    let twice =
        "2 departures, where 3 lose all its marks: what should not be done was done twice, first at 00:02.0".to_owned();
    assert_eq!(told(&[(METAL, 20..=25, 700.0), (METAL, 30..=35, 700.0)]), (Marks::whole(2), twice));
}
