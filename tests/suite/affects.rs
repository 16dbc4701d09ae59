//! The plant's graph says what affects what: nothing may move that it does not lead to, and it must say less than
//! "everything".

use base::{Place, Tag};
use plant::affects::By;
use plant::registry::{ControlId, FailingId, Order};
use plant::{Plant, PointId};
use replay::Ship;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

const STATES: [&str; 4] = ["cold", "cooling-up", "steam-up", "on-the-board"];
/// Plant time over which two runs are compared: 10 s.
const TICKS: usize = 100;
const KINDS: [By; 8] = [By::Flow, By::Signal, By::Fall, By::Heat, By::Shaft, By::Power, By::Air, By::Order];

fn ship() -> &'static Ship {
    static SHIP: OnceLock<Ship> = OnceLock::new();
    SHIP.get_or_init(|| Ship::named("training-vessel", &Place::default()).unwrap())
}

fn bits(plant: &Plant) -> Vec<(u64, u64)> {
    let one = |i| (plant.actual(PointId(i)).0.to_bits(), plant.signal(PointId(i)).0.to_bits());
    (0..plant.points().len() as u16).map(one).collect()
}

fn run(plant: &mut Plant) -> Vec<Vec<(u64, u64)>> {
    let tick = |plant: &mut Plant| {
        plant.control_pass();
        plant.step().unwrap();
        bits(plant)
    };
    (0..TICKS).map(|_| tick(plant)).collect()
}

/// Everything that can be done to a plant in a state, one thing at a time: where, and the plant after it.
fn disturbed(plant: &Plant) -> Vec<(Tag, String, Plant)> {
    let mut all = vec![];
    for (i, c) in plant.controls().iter().enumerate() {
        let mut orders: Vec<Order> = (0..c.words.len()).map(Order::Word).collect();
        orders.extend(c.dial.iter().flat_map(|d| [Order::Dial(d.min), Order::Dial(d.max)]));
        for order in orders {
            let mut other = plant.clone();
            if other.order(ControlId(i as u16), order).is_ok() {
                all.push((c.tag.clone(), format!("{order:?}"), other));
            }
        }
    }
    for (i, f) in plant.failings().iter().enumerate() {
        let size = f.size.map(|s| s.default.unwrap_or(0.5 * (s.min + s.max)));
        let mut other = plant.clone();
        other.set_failing(FailingId(i as u16), true, size).unwrap();
        all.push((f.on.clone(), f.kind.to_owned(), other));
    }
    all
}

/// What a tag leads to, with the hand at which it is reached; itself at first hand.
fn hands(from: &Tag) -> BTreeMap<Tag, u32> {
    let found = ship().plant.affects().affected_by(from);
    let mut hands: BTreeMap<Tag, u32> = found.into_iter().map(|r| (r.thing.tag, r.hand)).collect();
    hands.insert(from.clone(), 1);
    hands
}

/// What a tag leads to when one kind of action is left out of the graph.
fn without(kind: By, from: &Tag) -> BTreeSet<Tag> {
    static NEXT: OnceLock<BTreeMap<(By, Tag), Vec<Tag>>> = OnceLock::new();
    let next = NEXT.get_or_init(|| {
        let mut next: BTreeMap<(By, Tag), Vec<Tag>> = BTreeMap::new();
        for (a, b, by) in ship().plant.affects().actions() {
            for kind in KINDS.into_iter().filter(|k| *k != by) {
                next.entry((kind, a.tag.clone())).or_default().push(b.tag.clone());
            }
        }
        next
    });
    let mut found = BTreeSet::from([from.clone()]);
    let mut open = vec![from.clone()];
    while let Some(tag) = open.pop() {
        for to in next.get(&(kind, tag)).into_iter().flatten() {
            if found.insert(to.clone()) {
                open.push(to.clone());
            }
        }
    }
    found
}

#[test]
fn nothing_moves_that_the_graph_does_not_lead_to() {
    let points = ship().plant.points();
    let mut wrong = BTreeSet::new();
    // Of what had moved: how much by hand, at the first tick and at the last.
    let (mut first, mut last) = (BTreeMap::<u32, usize>::new(), BTreeMap::<u32, usize>::new());
    let (mut runs, mut moved_runs) = (0, 0);
    // Kinds of action without which some value would move that nothing leads to.
    let mut needed = BTreeSet::new();
    let mut leads: BTreeMap<(By, Tag), BTreeSet<Tag>> = BTreeMap::new();
    for state in STATES {
        let plant = ship().state(state, &Place::default()).unwrap();
        let still = run(&mut plant.clone());
        for (from, what, mut other) in disturbed(&plant) {
            let (after, hands) = (run(&mut other), hands(&from));
            runs += 1;
            let mut moved = false;
            for (p, point) in points.iter().enumerate() {
                let Some(tick) = (0..TICKS).find(|k| still[*k][p] != after[*k][p]) else { continue };
                moved = true;
                let Some(hand) = hands.get(&point.tag) else {
                    wrong.insert(format!("{state}: {from} {what}: {} moves at tick {tick}", point.tag));
                    continue;
                };
                if tick == 0 {
                    *first.entry(*hand).or_default() += 1;
                }
                *last.entry(*hand).or_default() += 1;
                for kind in KINDS {
                    let leads = leads.entry((kind, from.clone())).or_insert_with(|| without(kind, &from));
                    if !leads.contains(&point.tag) {
                        needed.insert(kind);
                    }
                }
            }
            moved_runs += usize::from(moved);
        }
    }
    println!("{runs} runs, {moved_runs} moved something; by hand: first tick {first:?}, in 10 s {last:?}");
    assert!(wrong.is_empty(), "{} cases\n{}", wrong.len(), wrong.into_iter().take(40).collect::<Vec<_>>().join("\n"));
    assert!(moved_runs * 3 > runs, "hardly anything moved: {moved_runs} of {runs}");
    println!("found out if left out of the graph: {needed:?}");
    // A graph without one of these would be found out. (Others have ways round them in these states.)
    for kind in [By::Flow, By::Signal, By::Fall, By::Heat, By::Power, By::Order] {
        assert!(needed.contains(&kind), "{} could be left out of the graph and nobody would see it", kind.word());
    }
    // What moves at once stands near, though on the board the frequency carries everything along within a tick: the
    // first hand holds a tenth of all points, and the first two hands two fifths (see the next test).
    let all = first.values().sum::<usize>();
    let (one, two) = (first[&1], first[&1] + first[&2]);
    assert!(
        one * 100 > all * 30 && two * 100 > all * 65,
        "of {all} values that move at the first tick {one} stand at first hand, {two} within two hands"
    );
}

#[test]
fn the_graph_says_less_than_everything() {
    let affects = ship().plant.affects();
    let points: BTreeSet<&Tag> = ship().plant.points().iter().map(|p| &p.tag).collect();
    let mut sums = [0usize; 3];
    let mut n = 0;
    for c in ship().plant.controls() {
        let found = affects.affected_by(&c.tag);
        for (hand, sum) in [1, 2, 3].into_iter().zip(&mut sums) {
            *sum += found.iter().filter(|r| r.hand <= hand && points.contains(&r.thing.tag)).count();
        }
        n += 1;
    }
    let share = sums.map(|s| s as f64 / (n * points.len()) as f64);
    println!("of all points, a control leads on average to {share:.3?} within one, two and three hands");
    assert!(share[0] < 0.12 && share[1] < 0.5, "{share:?}");
}
