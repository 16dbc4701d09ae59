//! What a story may ask of the run.

use crate::desk::Mention;
use crate::hand::{Hand, Outcome};
use crate::handle::Handle;
use crate::story::Request;
use base::observable::Observable;
use session::Command;

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
    let Some(name) = hand.text(0) else {
        return hand.marked();
    };
    if !hand.desk.faults.iter().any(|f| f.name == name) {
        let place = hand.place.clone();
        let known: Vec<String> = hand.desk.faults.iter().map(|f| f.name.clone()).collect();
        let message = format!("the exercise has no fault \"{name}\"");
        hand.desk.unknown("script::unknown-fault", &place, message, &name, known.iter().map(String::as_str));
        hand.desk.mentioned.push((Mention::Fault, name, place));
        return hand.marked();
    }
    ask(hand, Request::Command(command(name)))
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
        let hint = "wait for it with run:wait_until, or ask run:has(did(…)) for what the trainee has done";
        hand.wrong("script::not-now", "this condition cannot be answered from the present alone", hint);
        return hand.marked();
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
        let hint = "write did(…), or any(…), all(…), none(…) of them; for what is so at this moment write run:holds(…)";
        hand.wrong("script::not-an-action", format!("run:{} is about what the trainee has done", hand.word.name), hint);
        return hand.marked();
    }
    ask(hand, Request::Has(condition, wanted))
}

fn only_actions(hand: &Hand, condition: crate::condition::ConditionId) -> bool {
    use crate::condition::Kind;
    match &hand.desk.shelf.condition(condition).kind {
        Kind::Truth(Observable::Did { .. }) | Kind::Marked => true,
        Kind::All(c) | Kind::Any(c) | Kind::NoneOf(c) => c.iter().all(|c| only_actions(hand, *c)),
        Kind::Not(c) | Kind::Ever(c) => only_actions(hand, *c),
        _ => false,
    }
}

fn ask(hand: &mut Hand, request: Request) -> Outcome {
    hand.desk.request = Some(request);
    Outcome::Ask
}
