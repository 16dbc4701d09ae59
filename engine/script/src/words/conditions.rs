//! Conditions that stand on their own.

use crate::condition::Kind;
use crate::desk::Mention;
use crate::hand::{Hand, Outcome};
use base::observable::{Observable, Verb};
use base::{Diagnostic, Tag};
use std::collections::BTreeMap;

pub fn lit(hand: &mut Hand) -> Outcome {
    match lamp(hand) {
        Some(tag) => hand.make(Kind::Truth(Observable::Lit(tag))),
        None => hand.marked(),
    }
}

pub fn dark(hand: &mut Hand) -> Outcome {
    let Some(tag) = lamp(hand) else {
        return hand.marked();
    };
    let place = hand.place.clone();
    let lit = hand.desk.condition(Kind::Truth(Observable::Lit(tag)), &place);
    hand.make(Kind::Not(lit))
}

fn lamp(hand: &mut Hand) -> Option<Tag> {
    let names = hand.desk.names.clone();
    known(hand, 0, "script::unknown-lamp", "there is no lamp", &names.lamps)
}

pub fn alarm(hand: &mut Hand) -> Outcome {
    standing(hand, Observable::Alarm)
}

pub fn unacknowledged(hand: &mut Hand) -> Outcome {
    standing(hand, Observable::Unacknowledged)
}

fn standing(hand: &mut Hand, what: fn(Tag) -> Observable) -> Outcome {
    let names = hand.desk.names.clone();
    match known(hand, 0, "script::unknown-alarm", "there is no alarm", &names.alarms) {
        Some(tag) => hand.make(Kind::Truth(what(tag))),
        None => hand.marked(),
    }
}

pub fn tripped(hand: &mut Hand) -> Outcome {
    let names = hand.desk.names.clone();
    match known(hand, 0, "script::unknown-trip", "there is no trip", &names.trips) {
        Some(tag) => hand.make(Kind::Truth(Observable::Tripped(tag))),
        None => hand.marked(),
    }
}

/// The tag at `i`, told as a mistake when it is not among the known ones.
fn known(hand: &mut Hand, i: usize, code: &'static str, what: &str, names: &BTreeMap<String, String>) -> Option<Tag> {
    let tag = hand.text(i)?;
    if names.contains_key(&tag) {
        return Some(Tag::new(&tag));
    }
    let place = hand.place.clone();
    let near = names.keys().map(String::as_str);
    hand.desk.unknown(code, &place, format!("{what} \"{tag}\""), &tag, near);
    None
}

pub fn set_to(hand: &mut Hand) -> Outcome {
    let (Some(tag), Some(word)) = (hand.text(0), hand.text(1)) else {
        return hand.marked();
    };
    if !control_word(hand, &tag, &word) {
        return hand.marked();
    }
    hand.make(Kind::Truth(Observable::Setting { on: Tag::new(&tag), to: Some(word) }))
}

/// Whether a control has this word; tells it when not.
fn control_word(hand: &mut Hand, tag: &str, word: &str) -> bool {
    let names = hand.desk.names.clone();
    let place = hand.place.clone();
    let Some(control) = names.controls.get(tag) else {
        let known = names.controls.keys().map(String::as_str);
        hand.desk.unknown("script::unknown-control", &place, format!("there is no control \"{tag}\""), tag, known);
        return false;
    };
    if control.words.iter().any(|w| w == word) {
        return true;
    }
    if control.dial.is_some() && word.starts_with(|c: char| c.is_ascii_digit() || c == '-') {
        hand.wrong(
            "script::dial",
            format!("the dial of {tag} is not compared by a word"),
            &format!(
                "write did(\"{tag}\") for the moment it was turned, or setting(\"{tag}\"):within(…) for where it stands"
            ),
        );
        return false;
    }
    let message = if control.words.is_empty() {
        format!("{tag} is a dial and has no words")
    } else {
        format!("{tag} cannot be put to \"{word}\"; its words are: {}", control.words.join(", "))
    };
    hand.desk.unknown("script::unknown-word", &place, message, word, control.words.iter().map(String::as_str));
    false
}

/// What was meant by a `did` of something that nobody does.
fn meant(hand: &Hand, first: &str, on: Option<&str>) -> Option<String> {
    let names = &hand.desk.names;
    if hand.desk.step_names().iter().any(|s| s == first) {
        return Some(format!("\"{first}\" is a step: write done(\"{first}\")"));
    }
    if let Some(on) = on.filter(|on| names.controls.contains_key(*on)) {
        return Some(format!("the control comes first: write did(\"{on}\", \"{first}\")"));
    }
    names.lamps.contains_key(first).then(|| format!("{first} is a lamp: write lit(\"{first}\") or dark(\"{first}\")"))
}

pub fn did(hand: &mut Hand) -> Outcome {
    let Some(first) = hand.text(0) else {
        return hand.marked();
    };
    let verb = Verb::from_word(&first);
    let (on, to) = (hand.optional_text(1), hand.optional_text(2));
    let names = hand.desk.names.clone();
    let place = hand.place.clone();
    let Some(verb) = verb else {
        // The first word is a control: did("P-3001", "start").
        if !names.controls.contains_key(&first) {
            let verbs = Verb::ALL.iter().map(|v| v.word());
            let known = verbs.chain(names.controls.keys().map(String::as_str));
            let message = format!("\"{first}\" is neither a control nor one of the things a trainee does");
            let d = Diagnostic::error("script::unknown-action", place, message);
            let d = match meant(hand, &first, on.as_deref()) {
                Some(hint) => d.hint(hint),
                None => d.nearest(&first, known),
            };
            hand.desk.tell(d);
            return hand.marked();
        }
        if to.is_some() {
            hand.mistaken(2, "nothing after the setting of a control");
            return hand.marked();
        }
        return operated(hand, Some(first), on);
    };
    let tag = on.as_deref().map(Tag::new);
    match verb {
        Verb::Operate => return operated(hand, on, to),
        Verb::LampTest if on.is_some() => {
            hand.mistaken(1, "nothing, since the lamp test is of all lamps");
            return hand.marked();
        }
        Verb::Acknowledge if on.as_ref().is_some_and(|t| !names.alarms.contains_key(t)) => {
            let on = on.unwrap_or_default();
            let known = names.alarms.keys().map(String::as_str);
            hand.desk.unknown("script::unknown-alarm", &place, format!("there is no alarm \"{on}\""), &on, known);
            return hand.marked();
        }
        Verb::LocalCheck if on.as_ref().is_some_and(|t| !names.checkable.contains_key(t)) => {
            let on = on.unwrap_or_default();
            let known = names.checkable.keys().map(String::as_str);
            hand.desk.unknown(
                "script::unknown-check",
                &place,
                format!("\"{on}\" cannot be checked on the spot"),
                &on,
                known,
            );
            return hand.marked();
        }
        Verb::Report if on.as_ref().is_some_and(|t| !names.all_tags().contains(&t.as_str())) => {
            let on = on.unwrap_or_default();
            hand.desk.unknown(
                "script::unknown-tag",
                &place,
                format!("there is nothing called \"{on}\" to report"),
                &on,
                names.all_tags(),
            );
            return hand.marked();
        }
        Verb::Repair if on.as_ref().is_some_and(|t| !names.failings.contains_key(t)) => {
            let on = on.unwrap_or_default();
            let known = names.failings.keys().map(String::as_str);
            let message = format!("nothing can go wrong with \"{on}\" that could be repaired");
            hand.desk.unknown("script::unknown-target", &place, message, &on, known);
            return hand.marked();
        }
        _ => {}
    }
    if to.is_some() && verb != Verb::Report {
        hand.mistaken(2, "nothing");
        return hand.marked();
    }
    hand.make(Kind::Truth(Observable::Did { verb, on: tag, to }))
}

fn operated(hand: &mut Hand, on: Option<String>, to: Option<String>) -> Outcome {
    if let Some(tag) = &on {
        let known = hand.desk.names.controls.contains_key(tag);
        // An unknown control is told with the words it has, so ask for any word.
        let good = match &to {
            Some(word) => control_word(hand, tag, word),
            None => known || control_word(hand, tag, ""),
        };
        if !good {
            return hand.marked();
        }
    }
    hand.make(Kind::Truth(Observable::Did { verb: Verb::Operate, on: on.as_deref().map(Tag::new), to }))
}

pub fn fault_acting(hand: &mut Hand) -> Outcome {
    let Some(name) = hand.text(0) else {
        return hand.marked();
    };
    let place = hand.place.clone();
    hand.desk.mentioned.push((Mention::Fault, name.clone(), place));
    hand.make(Kind::Truth(Observable::Fault(name)))
}

pub fn after_time(hand: &mut Hand) -> Outcome {
    match hand.time(0) {
        Some(ticks) => hand.make(Kind::Clock(ticks)),
        None => hand.marked(),
    }
}

pub fn done(hand: &mut Hand) -> Outcome {
    let Some(name) = hand.text(0) else {
        return hand.marked();
    };
    let step = hand.desk.items.iter().find_map(|i| match &i.kind {
        base::sheet::ItemKind::Step { done, .. } if i.name == name => Some(*done),
        _ => None,
    });
    let Some(condition) = step else {
        let place = hand.place.clone();
        let known: Vec<String> = hand.desk.step_names();
        let message = format!("no step \"{name}\" is written above this line");
        hand.desk.unknown("script::unknown-step", &place, message, &name, known.iter().map(String::as_str));
        return hand.marked();
    };
    hand.make(Kind::Done(name, condition))
}
