//! What a story may ask of the run.

use crate::desk::Mention;
use crate::hand::{Hand, Outcome};
use crate::handle::Handle;
use crate::names::{Names, Range};
use crate::story::Request;
use crate::whole;
use crate::words::items::in_range;
use base::Diagnostic;
use base::observable::Observable;
use session::Command;
use std::collections::BTreeMap;

pub fn wait(hand: &mut Hand) -> Outcome {
    match hand.time(0) {
        Some(0) => {
            hand.wrong("script::time", "a wait of no time waits for nothing", "wait for at least 0.1 s");
            hand.marked()
        }
        Some(ticks) => ask(hand, Request::Wait(ticks)),
        None => hand.marked(),
    }
}

pub fn wait_until(hand: &mut Hand) -> Outcome {
    let Some(condition) = hand.condition(0) else {
        return hand.marked();
    };
    if refuse_ahead(hand, condition, "a story cannot wait for it") {
        return hand.marked();
    }
    if hand.desk.rehearsing {
        let (place, waits) = (hand.place.clone(), !hand.given(1));
        whole::of_a_story(hand.desk, condition, &place, waits, false);
    }
    let at_most = if hand.given(1) {
        match hand.time(1) {
            Some(ticks) => Some(ticks),
            None => return hand.marked(),
        }
    } else {
        None
    };
    ask(hand, Request::WaitUntil(condition, at_most))
}

/// Tells that a condition looks ahead, where the run cannot know the future.
fn refuse_ahead(hand: &mut Hand, condition: crate::condition::ConditionId, why: &str) -> bool {
    let ahead = hand.desk.shelf.condition(condition).ahead;
    if ahead {
        let hint = "answered_within and until_ are for marks; here use followed_within, since or lasting";
        hand.wrong("script::looks-ahead", format!("this condition looks ahead, and {why}"), hint);
    }
    ahead
}

pub fn inject(hand: &mut Hand) -> Outcome {
    of_fault(hand, Command::Inject)
}

pub fn clear(hand: &mut Hand) -> Outcome {
    of_fault(hand, Command::Clear)
}

fn of_fault(hand: &mut Hand, command: fn(String) -> Command) -> Outcome {
    match known_fault(hand) {
        Some(name) => ask(hand, Request::Command(command(name))),
        None => hand.marked(),
    }
}

/// The fault of the exercise that the first argument names.
fn known_fault(hand: &mut Hand) -> Option<String> {
    let name = hand.text(0)?;
    if !hand.desk.faults.iter().any(|f| f.name == name) {
        let place = hand.place.clone();
        let known: Vec<String> = hand.desk.faults.iter().map(|f| f.name.clone()).collect();
        let message = format!("the exercise has no fault \"{name}\"");
        hand.desk.unknown("script::unknown-fault", &place, message, &name, known.iter().map(String::as_str));
        hand.desk.mentioned.push((Mention::Fault, name, place));
        return None;
    }
    Some(name)
}

pub fn grow(hand: &mut Hand) -> Outcome {
    let Some(fault) = known_fault(hand) else {
        return hand.marked();
    };
    let plan = hand.desk.faults.iter().find(|f| f.name == fault);
    let (on, kind) = plan.map_or(("", ""), |f| (f.on.as_str(), f.kind.as_str()));
    let size = hand.desk.names.failings.get(on).and_then(|kinds| kinds.get(kind)).copied();
    match size {
        Some(Some(size)) if size.grows => match (measured(hand, 1, size.range), over(hand)) {
            (Some(size), Some(over)) => ask(hand, Request::Command(Command::Grow { fault, size, over })),
            _ => hand.marked(),
        },
        // A target or kind that nobody knows was told where the fault was written.
        None => hand.marked(),
        _ => {
            let message = format!("the fault \"{kind}\" of {on} is there or it is not, and cannot grow");
            hand.wrong("script::grows", message, "inject and clear it, or choose a kind with an amount");
            hand.marked()
        }
    }
}

pub fn weather(hand: &mut Hand) -> Outcome {
    let Some(what) = hand.text(0) else {
        return hand.marked();
    };
    let Some(range) = hand.desk.names.weather.get(&what).copied() else {
        let message = format!("the weather has no \"{what}\"");
        return unknown(hand, "script::unknown-weather", message, &what, |n| &n.weather);
    };
    surround(hand, what, range)
}

pub fn load(hand: &mut Hand) -> Outcome {
    let Some(consumer) = hand.text(0) else {
        return hand.marked();
    };
    let Some(range) = hand.desk.names.loads.get(&consumer).copied() else {
        let names = hand.desk.names.clone();
        let called = |tag: &String| names.controls.get(tag).map_or("", |c| c.name.as_str());
        let message = format!("the ship has no consumer \"{consumer}\"");
        let d = Diagnostic::error("script::unknown-consumer", hand.place.clone(), message);
        let by_name = names.loads.keys().find(|tag| called(tag) == consumer);
        let all = names.loads.keys().map(|tag| format!("{tag} ({})", called(tag))).collect::<Vec<_>>().join(", ");
        let d = match by_name {
            Some(tag) => d.hint(format!("its tag is \"{tag}\"")),
            None => d.hint(format!("there are: {all}")).nearest(&consumer, names.loads.keys().map(String::as_str)),
        };
        hand.desk.tell(d);
        return hand.marked();
    };
    let word = hand.args.get(1).and_then(|a| a.as_string()).map(|s| s.to_string_lossy().to_string());
    match word.as_deref() {
        Some("in" | "out") if hand.given(2) => {
            hand.wrong("script::argument", "a consumer is switched in or out at once", "leave the time out");
            hand.marked()
        }
        Some(word @ ("in" | "out")) => {
            let put_in = word == "in";
            ask(hand, Request::Command(Command::Switch { consumer, put_in }))
        }
        Some(word) if !word.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)) => {
            let message = format!("\"{word}\" is neither a power nor \"in\" or \"out\"");
            hand.wrong("script::argument", message, &format!("write run:load(\"{consumer}\", \"in\") or \"150 kW\""));
            hand.marked()
        }
        _ => surround(hand, consumer, range),
    }
}

fn unknown(
    hand: &mut Hand,
    code: &'static str,
    message: String,
    given: &str,
    of: fn(&Names) -> &BTreeMap<String, Range>,
) -> Outcome {
    let names = hand.desk.names.clone();
    let place = hand.place.clone();
    hand.desk.unknown(code, &place, message, given, of(&names).keys().map(String::as_str));
    hand.marked()
}

fn surround(hand: &mut Hand, what: String, range: Range) -> Outcome {
    match (measured(hand, 1, range), over(hand)) {
        (Some(to), Some(over)) => ask(hand, Request::Command(Command::Surround { what, to, over })),
        _ => hand.marked(),
    }
}

/// A quantity on this scale, SI, at `i`; what is wrong with it is told.
fn measured(hand: &mut Hand, i: usize, range: Range) -> Option<f64> {
    let value = hand.args.get(i).cloned().unwrap_or(mlua::Value::Nil);
    let place = hand.place.clone();
    in_range(hand.desk, &place, &value, range)
}

/// How long it takes, the third argument: no time when it is left out.
fn over(hand: &mut Hand) -> Option<u32> {
    if hand.given(2) { hand.time(2) } else { Some(0) }
}

pub fn tell(hand: &mut Hand) -> Outcome {
    in_words(hand, Command::Tell)
}

pub fn note(hand: &mut Hand) -> Outcome {
    in_words(hand, Command::Note)
}

pub fn finish(hand: &mut Hand) -> Outcome {
    in_words(hand, Command::End)
}

fn in_words(hand: &mut Hand, command: fn(String) -> Command) -> Outcome {
    match hand.text(0) {
        Some(text) if text.len() > 4_000 => {
            hand.wrong("script::long-words", "this text is longer than 4000 bytes", "say it shorter");
            hand.marked()
        }
        Some(text) => ask(hand, Request::Command(command(text))),
        None => hand.marked(),
    }
}

pub fn time(hand: &mut Hand) -> Outcome {
    ask(hand, Request::Time)
}

pub fn value(hand: &mut Hand) -> Outcome {
    match hand.args.first().and_then(Handle::of) {
        Some(Handle::Value(v)) if hand.desk.shelf.value(v).source.seen().is_none() => {
            let hint = "wait for a condition on it with run:wait_until(…), or ask for the value itself";
            hand.wrong("script::looks-back", "a value that is worked out is not there to be asked for", hint);
            hand.marked()
        }
        Some(Handle::Value(v)) => ask(hand, Request::Value(v)),
        Some(Handle::Marked) => hand.marked(),
        _ => {
            hand.mistaken(0, "a value such as shown(\"PT-2001\")");
            hand.marked()
        }
    }
}

pub fn holds(hand: &mut Hand) -> Outcome {
    let Some(condition) = hand.condition(0) else {
        return hand.marked();
    };
    let (temporal, moment) = {
        let c = hand.desk.shelf.condition(condition);
        (c.temporal, c.moment)
    };
    if temporal || moment {
        let hint = "wait for it with run:wait_until, or ask run:has(did(…)) for what the trainee has done, \
                    run:has(done(…)) for a step";
        hand.wrong("script::not-now", "this condition cannot be answered from the present alone", hint);
        return hand.marked();
    }
    if hand.desk.rehearsing {
        let place = hand.place.clone();
        whole::of_a_story(hand.desk, condition, &place, false, true);
    }
    ask(hand, Request::Holds(condition))
}

pub fn has(hand: &mut Hand) -> Outcome {
    done_so_far(hand, true)
}

pub fn not_yet(hand: &mut Hand) -> Outcome {
    done_so_far(hand, false)
}

fn done_so_far(hand: &mut Hand, wanted: bool) -> Outcome {
    let Some(condition) = hand.condition(0) else {
        return hand.marked();
    };
    if !only_actions(hand, condition) {
        let hint = "write did(…) or done(…), or any(…), all(…), none(…) of them; for what is so at this moment write \
                    run:holds(…)";
        let message = format!("run:{} is about what the trainee has done and steps that are done", hand.word.name);
        hand.wrong("script::not-an-action", message, hint);
        return hand.marked();
    }
    ask(hand, Request::Has(condition, wanted))
}

fn only_actions(hand: &Hand, condition: crate::condition::ConditionId) -> bool {
    use crate::condition::Kind;
    match &hand.desk.shelf.condition(condition).kind {
        Kind::Truth(Observable::Did { .. }) | Kind::Marked => true,
        Kind::Done(_, c) => !hand.desk.shelf.condition(*c).ahead,
        Kind::All(c) | Kind::Any(c) | Kind::NoneOf(c) => c.iter().all(|c| only_actions(hand, *c)),
        Kind::Not(c) | Kind::Ever(c) => only_actions(hand, *c),
        _ => false,
    }
}

fn ask(hand: &mut Hand, request: Request) -> Outcome {
    hand.desk.request = Some(request);
    Outcome::Ask
}
