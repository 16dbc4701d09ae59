//! Values and how they are compared.

use crate::condition::{Kind, Value, ValueId};
use crate::hand::{Hand, Outcome};
use crate::handle::Handle;
use crate::worked::Source;
use base::Tag;
use base::observable::Observable;
use base::record::Layer;
use base::units::{self, Dimension, Unit};
use monitor::Comparison;

pub fn actual(hand: &mut Hand) -> Outcome {
    point(hand, Layer::Actual)
}

pub fn signal(hand: &mut Hand) -> Outcome {
    point(hand, Layer::Signal)
}

pub fn shown(hand: &mut Hand) -> Outcome {
    point(hand, Layer::Shown)
}

fn point(hand: &mut Hand, layer: Layer) -> Outcome {
    let Some(tag) = hand.text(0) else {
        return hand.marked();
    };
    let names = hand.desk.names.clone();
    let place = hand.place.clone();
    let Some(point) = names.points.get(&tag) else {
        let hint_lamp = names.lamps.contains_key(&tag);
        if hint_lamp {
            hand.wrong(
                "script::unknown-point",
                format!("{tag} is a lamp"),
                &format!("write lit(\"{tag}\") or dark(\"{tag}\")"),
            );
        } else if names.controls.contains_key(&tag) {
            let hint = format!(
                "write set_to(\"{tag}\", …) for where it stands, or did(\"{tag}\", …) for the moment it was worked"
            );
            hand.wrong("script::unknown-point", format!("{tag} is a control"), &hint);
        } else {
            let known = names.points.keys().map(String::as_str);
            hand.desk.unknown(
                "script::unknown-point",
                &place,
                format!("nothing called \"{tag}\" can be measured"),
                &tag,
                known,
            );
        }
        return hand.marked();
    };
    if !point.layers.contains(&layer) {
        let has: Vec<&str> = point.layers.iter().map(|l| l.word()).collect();
        hand.wrong(
            "script::no-such-value",
            format!("{tag} has no {} value", layer.word()),
            &format!("it has: {}", has.join(", ")),
        );
        return hand.marked();
    }
    let of = Tag::new(&tag);
    let what = match layer {
        Layer::Actual => Observable::Actual(of),
        Layer::Signal => Observable::Signal(of),
        Layer::Shown => Observable::Shown(of),
    };
    make(hand, what, point.unit, point.words.clone())
}

pub fn setting(hand: &mut Hand) -> Outcome {
    let Some(tag) = hand.text(0) else {
        return hand.marked();
    };
    let names = hand.desk.names.clone();
    let place = hand.place.clone();
    match names.controls.get(&tag) {
        Some(control) => match control.dial {
            Some(dial) => {
                let what = Observable::Setting { on: Tag::new(&tag), to: None };
                make(hand, what, dial.unit, Vec::new())
            }
            None => {
                let hint = format!("write set_to(\"{tag}\", …) with one of: {}", control.words.join(", "));
                hand.wrong("script::no-dial", format!("{tag} has no dial"), &hint);
                hand.marked()
            }
        },
        None => {
            let known = names.controls.iter().filter(|(_, c)| c.dial.is_some()).map(|(t, _)| t.as_str());
            hand.desk.unknown("script::unknown-control", &place, format!("there is no control \"{tag}\""), &tag, known);
            hand.marked()
        }
    }
}

pub fn damage(hand: &mut Hand) -> Outcome {
    let Some(tag) = hand.text(0) else {
        return hand.marked();
    };
    let names = hand.desk.names.clone();
    let place = hand.place.clone();
    if !names.damageable.contains_key(&tag) {
        let known = names.damageable.keys().map(String::as_str);
        hand.desk.unknown("script::unknown-component", &place, format!("no damage is told of \"{tag}\""), &tag, known);
        return hand.marked();
    }
    let unit = units::unit("none").expect("the table of units has the plain number");
    make(hand, Observable::Damage(Tag::new(&tag)), unit, Vec::new())
}

fn make(hand: &mut Hand, what: Observable, unit: &'static Unit, words: Vec<String>) -> Outcome {
    let place = hand.place.clone();
    let id = hand.desk.value(Value { source: Source::Seen(what), unit, words }, &place);
    Outcome::Handle(Handle::Value(id))
}

pub fn above(hand: &mut Hand) -> Outcome {
    compare(hand, Comparison::Above)
}

pub fn at_least(hand: &mut Hand) -> Outcome {
    compare(hand, Comparison::AtLeast)
}

pub fn below(hand: &mut Hand) -> Outcome {
    compare(hand, Comparison::Below)
}

pub fn at_most(hand: &mut Hand) -> Outcome {
    compare(hand, Comparison::AtMost)
}

fn compare(hand: &mut Hand, how: Comparison) -> Outcome {
    let Some((this, dimension)) = quantity_of(hand) else {
        return hand.marked();
    };
    match hand.args.first().and_then(Handle::of) {
        Some(Handle::Value(other)) => {
            let theirs = hand.desk.shelf.value(other).unit.dimension;
            if theirs != dimension {
                let message = format!("{} cannot be compared with {}", dimension.name(), theirs.name());
                hand.wrong("script::unit", message, "compare values of the same kind");
                return hand.marked();
            }
            return hand.make(Kind::Against(this, how, other));
        }
        Some(Handle::Marked) => return hand.marked(),
        _ => {}
    }
    match hand.quantity(0, dimension) {
        Some((si, unit)) => hand.make(Kind::Compare(this, how, si, unit)),
        None => hand.marked(),
    }
}

pub fn between(hand: &mut Hand) -> Outcome {
    let Some((this, dimension)) = quantity_of(hand) else {
        return hand.marked();
    };
    let (low, high) = (hand.quantity(0, dimension), hand.quantity(1, dimension));
    let (Some((low, unit)), Some((high, _))) = (low, high) else {
        return hand.marked();
    };
    if low > high {
        hand.wrong("script::between", "the first limit is above the second", "write the lower one first");
        return hand.marked();
    }
    hand.make(Kind::Between(this, low, high, unit))
}

pub fn within(hand: &mut Hand) -> Outcome {
    let Some((this, dimension)) = quantity_of(hand) else {
        return hand.marked();
    };
    let (tolerance, of) = (hand.quantity(0, dimension.difference()), hand.quantity(1, dimension));
    let (Some((tolerance, tolerance_unit)), Some((of, unit))) = (tolerance, of) else {
        return hand.marked();
    };
    if tolerance < 0.0 {
        hand.wrong("script::within", "a tolerance cannot be negative", "leave out the sign");
        return hand.marked();
    }
    hand.make(Kind::Within(this, tolerance, tolerance_unit, of, unit))
}

/// The value that the method was called on, which must be a quantity.
pub(super) fn quantity_of(hand: &mut Hand) -> Option<(ValueId, Dimension)> {
    let id = hand.this_value()?;
    let value = hand.desk.shelf.value(id).clone();
    if let Some(word) = value.words.first() {
        let message = format!("a state has no {}", hand.word.name);
        let hint = format!("write :is(\"{word}\"); the words are: {}", value.words.join(", "));
        hand.wrong("script::state", message, &hint);
        return None;
    }
    Some((id, value.unit.dimension))
}

pub fn is(hand: &mut Hand) -> Outcome {
    match state(hand) {
        Some((v, index)) => hand.make(Kind::Is(v, index)),
        None => hand.marked(),
    }
}

pub fn is_not(hand: &mut Hand) -> Outcome {
    let Some((v, index)) = state(hand) else {
        return hand.marked();
    };
    let place = hand.place.clone();
    let is = hand.desk.condition(Kind::Is(v, index), &place);
    hand.make(Kind::Not(is))
}

fn state(hand: &mut Hand) -> Option<(ValueId, usize)> {
    let id = hand.this_value()?;
    let word = hand.text(0)?;
    let value = hand.desk.shelf.value(id).clone();
    let place = hand.place.clone();
    if value.words.is_empty() {
        let called = value.source.seen().map_or_else(|| "what is worked out".to_owned(), ToString::to_string);
        let message = format!("{called} has a quantity, not a state");
        hand.wrong("script::state", message, "write :above(…), :below(…) or :within(…)");
        return None;
    }
    let index = value.words.iter().position(|w| *w == word);
    if index.is_none() {
        let message = format!("\"{word}\" is no state of {}; its words are: {}", told(&value), value.words.join(", "));
        hand.desk.unknown("script::unknown-word", &place, message, &word, value.words.iter().map(String::as_str));
    }
    index.map(|i| (id, i))
}

/// What a state is called; states are never worked out.
fn told(value: &Value) -> String {
    value.source.seen().map_or_else(String::new, ToString::to_string)
}
