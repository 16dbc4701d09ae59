//! Exercise, faults and the items of the mark sheet: tables read strictly.

mod faults;
mod fields;
mod finding;
mod form;
mod heading;
mod marked;
mod order;
mod steadiness;

pub use fields::{FIELDS, Field};
pub(crate) use finding::fill_in;
pub(crate) use form::finish_item;
pub(super) use form::in_range;

use crate::hand::{Hand, Outcome};
use crate::limits::{self, Limit};
use base::random::Stream;
use mlua::Value;

pub fn exercise(hand: &mut Hand) -> Outcome {
    match hand.args.first() {
        Some(Value::Table(table)) => {
            let table = table.clone();
            let place = hand.place.clone();
            form::finish_item(hand.desk, "exercise", "", &place, &table);
            Outcome::Nothing
        }
        _ => {
            hand.mistaken(0, "a table in braces");
            hand.marked()
        }
    }
}

pub fn fault(hand: &mut Hand) -> Outcome {
    begin(hand)
}

pub fn step(hand: &mut Hand) -> Outcome {
    begin(hand)
}

pub fn limit(hand: &mut Hand) -> Outcome {
    begin(hand)
}

pub fn response(hand: &mut Hand) -> Outcome {
    begin(hand)
}

pub fn order(hand: &mut Hand) -> Outcome {
    begin(hand)
}

pub fn steadiness(hand: &mut Hand) -> Outcome {
    begin(hand)
}

pub fn finding(hand: &mut Hand) -> Outcome {
    begin(hand)
}

pub fn group(hand: &mut Hand) -> Outcome {
    begin(hand)
}

/// `step "name"`: the table comes in a second call.
fn begin(hand: &mut Hand) -> Outcome {
    let word = hand.word.name;
    if matches!(hand.args.first(), Some(Value::Table(_))) {
        hand.wrong("script::no-name", format!("this {word} has no name"), &format!("write {word} \"a name\" {{ … }}"));
        return hand.marked();
    }
    let Some(name) = hand.text(0) else {
        return hand.marked();
    };
    if name.trim().is_empty() || name.len() > 200 {
        hand.wrong(
            "script::no-name",
            format!("the name of a {word} is from 1 to 200 letters long"),
            "give it a short name",
        );
        return hand.marked();
    }
    let place = hand.place.clone();
    if hand.desk.begins as usize >= limits::ITEMS {
        hand.desk.meter.hit(Limit::Items, place);
        return hand.marked();
    }
    hand.desk.begins += 1;
    let number = hand.desk.begins;
    hand.desk.begun.insert(number, (word, name.clone(), place));
    Outcome::Begun(word, name, number)
}

pub fn story(hand: &mut Hand) -> Outcome {
    match hand.args.first() {
        Some(Value::Function(_)) => {
            if hand.desk.stories >= limits::ITEMS {
                hand.desk.meter.hit(Limit::Items, hand.place.clone());
            }
            hand.desk.stories += 1;
            Outcome::Nothing
        }
        _ => {
            hand.mistaken(0, "a function");
            hand.marked()
        }
    }
}

/// One of the choices. Runs whose seeds follow each other go through all of them, in an order that the
/// name shuffles, so that a choice tells nothing of another.
pub fn variant(hand: &mut Hand) -> Outcome {
    let Some(name) = hand.text(0) else {
        return hand.marked();
    };
    let choices = hand.args.get(1..).unwrap_or_default().to_vec();
    if choices.len() < 2 || choices.iter().any(Value::is_nil) {
        hand.wrong(
            "script::argument",
            format!("variant \"{name}\" needs at least two choices"),
            "write variant(\"lamp\", \"XL-2104\", \"XL-2101\")",
        );
        // With the only choice the rest of the script can be read.
        return match choices.first() {
            Some(only @ Value::String(_)) => Outcome::Given(only.clone()),
            _ => hand.marked(),
        };
    }
    Outcome::Given(choices[chosen(&name, choices.len(), hand.desk.seed)].clone())
}

/// Which of `n` choices a seed takes: a shuffled order, gone through seed by seed.
fn chosen(name: &str, n: usize, seed: u64) -> usize {
    let mut stream = Stream::new(0, &format!("variant {name}"));
    let mut order: Vec<usize> = (0..n).collect();
    for i in (1..n).rev() {
        order.swap(i, stream.below(i as u64 + 1) as usize);
    }
    order[(seed % n as u64) as usize]
}

#[cfg(test)]
mod tests {
    use super::chosen;

    #[test]
    fn neighbours_get_different_choices_and_all_choices_the_same_weight() {
        for n in 2..9 {
            for name in ["lamp", "valve", "level"] {
                let taken: Vec<usize> = (0..5 * n as u64).map(|seed| chosen(name, n, seed)).collect();
                assert!(taken.windows(2).all(|w| w[0] != w[1]), "{name} of {n}: {taken:?}");
                assert!((0..n).all(|c| taken.iter().filter(|t| **t == c).count() == 5), "{name} of {n}");
            }
        }
    }
}
