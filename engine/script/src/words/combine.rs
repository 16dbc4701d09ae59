//! Conditions joined, and in time.

use crate::condition::{ConditionId, Kind};
use crate::hand::{Hand, Outcome};

pub fn all(hand: &mut Hand) -> Outcome {
    joined(hand, Kind::All)
}

pub fn any(hand: &mut Hand) -> Outcome {
    joined(hand, Kind::Any)
}

pub fn none(hand: &mut Hand) -> Outcome {
    joined(hand, Kind::NoneOf)
}

fn joined(hand: &mut Hand, kind: fn(Vec<ConditionId>) -> Kind) -> Outcome {
    let of = hand.conditions();
    if of.is_empty() {
        hand.mistaken(0, "at least one condition");
        return hand.marked();
    }
    hand.make(kind(of))
}

pub fn not(hand: &mut Hand) -> Outcome {
    match hand.condition(0) {
        Some(c) => hand.make(Kind::Not(c)),
        None => hand.marked(),
    }
}

pub fn not_yet(hand: &mut Hand) -> Outcome {
    match hand.condition(0) {
        Some(c) => hand.make(Kind::NotYet(c)),
        None => hand.marked(),
    }
}

pub fn lasting(hand: &mut Hand) -> Outcome {
    let this = hand.this_condition();
    let Some(ticks) = hand.time(0) else {
        return hand.marked();
    };
    if hand.desk.shelf.condition(this).moment {
        hand.wrong(
            "script::moment",
            "an action is over in a moment and cannot last",
            "ask for what the action brings about, such as set_to(…), lit(…) or actual(…):is(…)",
        );
        return hand.marked();
    }
    hand.make(Kind::Lasting(this, ticks))
}

pub fn once_within(hand: &mut Hand) -> Outcome {
    let this = hand.this_condition();
    match hand.time(0) {
        Some(ticks) => hand.make(Kind::OnceWithin(this, ticks)),
        None => hand.marked(),
    }
}

pub fn ever(hand: &mut Hand) -> Outcome {
    let this = hand.this_condition();
    hand.make(Kind::Ever(this))
}

pub fn followed_within(hand: &mut Hand) -> Outcome {
    timed(hand, Kind::Followed)
}

pub fn answered_within(hand: &mut Hand) -> Outcome {
    timed(hand, Kind::Answered)
}

fn timed(hand: &mut Hand, kind: fn(ConditionId, u32, ConditionId) -> Kind) -> Outcome {
    let this = hand.this_condition();
    let (ticks, other) = (hand.time(0), hand.condition(1));
    match (ticks, other) {
        (Some(ticks), Some(other)) => hand.make(kind(this, ticks, other)),
        _ => hand.marked(),
    }
}

pub fn since(hand: &mut Hand) -> Outcome {
    pair(hand, Kind::Since)
}

pub fn before(hand: &mut Hand) -> Outcome {
    pair(hand, Kind::Before)
}

pub fn after(hand: &mut Hand) -> Outcome {
    pair(hand, Kind::After)
}

pub fn until(hand: &mut Hand) -> Outcome {
    pair(hand, Kind::Until)
}

fn pair(hand: &mut Hand, kind: fn(ConditionId, ConditionId) -> Kind) -> Outcome {
    let this = hand.this_condition();
    match hand.condition(0) {
        Some(other) => hand.make(kind(this, other)),
        None => hand.marked(),
    }
}

pub fn times(hand: &mut Hand) -> Outcome {
    let this = hand.this_condition();
    match hand.whole(0, 1, 20) {
        Some(n) => hand.make(Kind::Times(this, n)),
        None => hand.marked(),
    }
}
