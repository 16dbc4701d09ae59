//! Responses: an answer to a fault.
//!
//! - The clock starts when the fault first began to act, by the record. A fault that never did makes
//!   the item not assessed.
//! - The answer is the first tick from then on at which the condition is true for certain. A condition
//!   that was true already counts as an answer at once: whoever had the remedy in place before the
//!   fault is not marked down for it.
//! - Whole marks up to `full` ticks, nothing from `none` ticks on, a straight line between.
//! - **No answer.** Nothing earned, unless the trainee had no fair chance: when the run ended, or the fault
//!   was cleared for good, before the time for whole marks was over, the item is not assessed.
//! - **Unknown.** No answer seen, and a sample that is not a number after the onset: not assessed.

use crate::judgement::{Judgement, WHOLE, falling};
use crate::words::duration;
use base::Tick;
use base::record::{Happening, Record};
use monitor::Found;

/// When a fault first began to act.
fn onset(record: &Record, fault: &str) -> Option<Tick> {
    record.events.iter().find_map(|e| match &e.what {
        Happening::FaultOn { name, .. } if name == fault => Some(e.tick),
        _ => None,
    })
}

/// When a fault was cleared and did not come again.
fn cleared(record: &Record, fault: &str) -> Option<Tick> {
    let mut gone = None;
    for e in &record.events {
        match &e.what {
            Happening::FaultOn { name, .. } if name == fault => gone = None,
            Happening::FaultOff { name } if name == fault => gone = gone.or(Some(e.tick)),
            _ => {}
        }
    }
    gone
}

pub(crate) fn judge(to: &str, full: u32, none: u32, found: &Found, record: &Record) -> Judgement {
    let Some(onset) = onset(record, to) else {
        return Judgement::not_assessed(format!("the fault \"{to}\" never came on"));
    };
    let answer = match found.kept.next_from(onset) {
        Ok(answer) => answer,
        Err(_) => {
            return Judgement {
                when: Some(onset),
                ..Judgement::not_assessed(
                    "the condition came and went too often to tell when it answered the fault".to_owned(),
                )
            };
        }
    };
    let Some(at) = answer else { return no_answer(to, onset, full, found, record) };
    let delay = at.0 - onset.0;
    let part = falling(i64::from(delay), i64::from(full), i64::from(none));
    let already = onset > Tick::ZERO && found.kept.contains(onset) && found.kept.contains(Tick(onset.0 - 1));
    let mut text = if already {
        format!("already so when the fault \"{to}\" came on at {onset}")
    } else {
        format!("answered at {at}, {} after the fault \"{to}\" came on at {onset}", duration(delay))
    };
    if part < WHOLE && found.unknown.next_from(onset).is_ok_and(|u| u.is_some_and(|u| u < at)) {
        text.push_str("; a value was missing before that, so that an earlier answer cannot be ruled out");
    }
    let margin = if delay <= full {
        format!("{} in hand", duration(full - delay))
    } else {
        format!("{} too late", duration(delay - full))
    };
    Judgement {
        part: Some(part),
        lost: part == 0,
        found: text,
        value_margin: None,
        time_margin: Some(margin),
        when: Some(at),
        evidence: vec![(onset, at)],
    }
}

fn no_answer(to: &str, onset: Tick, full: u32, found: &Found, record: &Record) -> Judgement {
    if found.unknown.last().is_some_and(|u| u >= onset) || found.during_unknown > 0 {
        let text = format!("a value that decides was missing after the fault \"{to}\" came on at {onset}");
        return Judgement { when: Some(onset), ..Judgement::not_assessed(text) };
    }
    let gone = cleared(record, to).filter(|t| *t >= onset);
    let (until, why) = match gone {
        Some(t) if t <= record.end => (t, "the fault was cleared"),
        _ => (record.end, "the run ended"),
    };
    let had = until.0.saturating_sub(onset.0);
    if had < full {
        let text = format!(
            "{why} {} after the fault \"{to}\" came on at {onset}, before the time for an answer was over",
            duration(had)
        );
        return Judgement { when: Some(onset), evidence: vec![(onset, until)], ..Judgement::not_assessed(text) };
    }
    Judgement {
        part: Some(0),
        lost: true,
        found: format!("no answer to the fault \"{to}\", which came on at {onset}; {why} {} later", duration(had)),
        // How near the condition came may be from before the fault: it is not told.
        value_margin: None,
        time_margin: None,
        when: Some(onset),
        evidence: vec![(onset, record.end)],
    }
}
