//! Words that work a number out of a value or a condition.

use super::values::quantity_of;
use crate::condition::{ConditionId, Value, ValueId};
use crate::hand::{Hand, Outcome};
use crate::handle::Handle;
use crate::worked::{Source, Worked};
use base::units::{self, Dimension, Unit};
use monitor::Summary;

pub fn rate(hand: &mut Hand) -> Outcome {
    let Some((this, dimension)) = quantity_of(hand) else {
        return hand.marked();
    };
    let Some(ticks) = window(hand) else {
        return hand.marked();
    };
    match dimension.rate() {
        Some(rate) => make(hand, Worked::Rate(ticks, this), usual(rate)),
        None => {
            let message = format!("there is no unit for how fast a {} changes", dimension.name());
            hand.wrong("script::no-rate", message, "compare the value itself, or its greatest(…) and least(…)");
            hand.marked()
        }
    }
}

pub fn total(hand: &mut Hand) -> Outcome {
    let Some((this, dimension)) = quantity_of(hand) else {
        return hand.marked();
    };
    let Some(window) = optional_window(hand) else {
        return hand.marked();
    };
    match dimension.total() {
        Some(total) => make(hand, Worked::Over(Summary::Integral, window, this), usual(total)),
        None => {
            let message = format!("a {} does not add up to anything over time", dimension.name());
            let hint = "flows and powers have a total; of anything else take mean(…), or travel(…) for how far it went";
            hand.wrong("script::no-total", message, hint);
            hand.marked()
        }
    }
}

pub fn mean(hand: &mut Hand) -> Outcome {
    summed(hand, Summary::Mean)
}

pub fn greatest(hand: &mut Hand) -> Outcome {
    summed(hand, Summary::Greatest)
}

pub fn least(hand: &mut Hand) -> Outcome {
    summed(hand, Summary::Least)
}

pub fn travel(hand: &mut Hand) -> Outcome {
    summed(hand, Summary::Travel)
}

fn summed(hand: &mut Hand, summary: Summary) -> Outcome {
    let Some((this, dimension)) = quantity_of(hand) else {
        return hand.marked();
    };
    let Some(window) = optional_window(hand) else {
        return hand.marked();
    };
    let own = hand.desk.shelf.value(this).unit;
    let far = dimension.difference();
    let unit = if summary == Summary::Travel && far != dimension { usual(far) } else { own };
    make(hand, Worked::Over(summary, window, this), unit)
}

pub fn in_all(hand: &mut Hand) -> Outcome {
    held(hand, Worked::InAll)
}

pub fn longest(hand: &mut Hand) -> Outcome {
    held(hand, Worked::Longest)
}

fn held(hand: &mut Hand, worked: fn(Option<u32>, ConditionId) -> Worked) -> Outcome {
    let this = hand.this_condition();
    let Some(window) = optional_window(hand) else {
        return hand.marked();
    };
    if hand.desk.shelf.condition(this).moment {
        let hint = "ask for what the action brings about, or how often it was done: times_in(…)";
        hand.wrong("script::moment", "an action is over in a moment and has no length", hint);
        return hand.marked();
    }
    make(hand, worked(window, this), usual(Dimension::Time))
}

pub fn times_in(hand: &mut Hand) -> Outcome {
    let this = hand.this_condition();
    match window(hand) {
        Some(window) => make(hand, Worked::Often(window, this), usual(Dimension::Number)),
        None => hand.marked(),
    }
}

/// How far back to look, in ticks.
fn window(hand: &mut Hand) -> Option<u32> {
    let ticks = hand.time(0)?;
    if ticks == 0 {
        let example = hand.word.example;
        hand.wrong("script::time", "the time to look back over is nothing", &format!("write {example}"));
        return None;
    }
    Some(ticks)
}

/// How far back to look, in ticks; the run so far when it is left out; nothing when it was a mistake.
fn optional_window(hand: &mut Hand) -> Option<Option<u32>> {
    if hand.given(0) { window(hand).map(Some) } else { Some(None) }
}

fn make(hand: &mut Hand, worked: Worked, unit: &'static Unit) -> Outcome {
    let place = hand.place.clone();
    let value = Value { source: Source::Worked(worked), unit, words: Vec::new() };
    let id: ValueId = hand.desk.value(value, &place);
    Outcome::Handle(Handle::Value(id))
}

/// The unit that a dimension is read in.
fn usual(dimension: Dimension) -> &'static Unit {
    units::units_of(dimension).next().expect("every rate and total has a unit in the table of units")
}
