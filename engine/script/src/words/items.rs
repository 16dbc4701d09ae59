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

use crate::hand::{Hand, Outcome};
use crate::limits::{self, Limit};
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
