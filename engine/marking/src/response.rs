//! Responses: an answer to a fault.
//!
//! - The clock starts when the fault could first be seen on the trainee's panel, by the record; where
//!   nobody looked for that, when it began to act. A fault that never began makes the item not assessed.
//! - The answer is the first tick from the onset on at which the condition is true for certain. One that
//!   comes before the fault could be seen has all its time in hand, and so has a condition that was true
//!   already: whoever had the remedy in place before the fault is not marked down for it.
//! - Whole marks up to `full` ticks, nothing from `none` ticks on, a straight line between.
//! - **No answer.** Nothing earned, unless the trainee had no fair chance: when the panel never showed the
//!   fault, when the run ended before the time for whole marks was over, or when the exercise cleared the
//!   fault for good before that, the item is not assessed. A fault that was cleared by something that the
//!   trainee did still asks for its answer.
//! - **Not seen to its end.** Where the log broke off or the replay drifted before the time for any marks
//!   was over, what was not answered is not assessed.
//! - **Unknown.** No answer seen, and a sample that is not a number after the onset, before the time for any
//!   marks was over: not assessed.

use crate::judgement::{End, Judgement, WHOLE, falling};
use crate::words::duration;
use base::record::{Happening, Record};
use base::{Tag, Tick};
use monitor::Found;

/// When a fault first began to act.
#[must_use]
pub fn onset(record: &Record, fault: &str) -> Option<Tick> {
    record.events.iter().find_map(|e| match &e.what {
        Happening::FaultOn { name, .. } if name == fault => Some(e.tick),
        _ => None,
    })
}

/// When a fault could first be seen.
enum Sight<'a> {
    /// At this tick: by what, what it showed, and what it would have shown.
    At(Tick, &'a Tag, &'a str, &'a str),
    /// Not up to the end of the run.
    Never,
    /// Nobody looked.
    Unknown,
}

fn sight<'a>(record: &'a Record, fault: &str) -> Sight<'a> {
    let found = record.events.iter().find_map(|e| match &e.what {
        Happening::FaultSeen { name, on, shown, otherwise } if name == fault => {
            Some(Sight::At(e.tick, on, shown, otherwise))
        }
        Happening::FaultUnseen { name } if name == fault => Some(Sight::Never),
        _ => None,
    });
    found.unwrap_or(Sight::Unknown)
}

/// When the clock of a response to this fault starts; `None` when the fault never began or could never
/// be seen.
#[must_use]
pub fn clock_start(record: &Record, fault: &str) -> Option<Tick> {
    let onset = onset(record, fault)?;
    match sight(record, fault) {
        Sight::At(tick, ..) => Some(tick),
        Sight::Never => None,
        Sight::Unknown => Some(onset),
    }
}

/// When a fault was cleared by the exercise, and not by the trainee, and did not come again.
fn cleared(record: &Record, fault: &str) -> Option<Tick> {
    let mut gone = None;
    for e in &record.events {
        match &e.what {
            Happening::FaultOn { name, .. } if name == fault => gone = None,
            Happening::FaultOff { name, by_trainee: false } if name == fault => gone = gone.or(Some(e.tick)),
            _ => {}
        }
    }
    gone
}

/// The fault with when it came on and could be seen, as an answer refers to it.
struct Asked<'a> {
    to: &'a str,
    onset: Tick,
    /// Where the clock starts; `None` when the panel never showed the fault.
    start: Option<Tick>,
    seen: Sight<'a>,
    full: u32,
    none: u32,
}

impl Asked<'_> {
    /// `after the fault "feed" came on at 00:05.0`, and how it could be seen.
    fn told(&self) -> String {
        let Asked { to, onset, .. } = self;
        match self.seen {
            Sight::Unknown => format!("the fault \"{to}\" came on at {onset}"),
            Sight::Never => format!("the fault \"{to}\" came on at {onset}, and nothing on the panel showed it"),
            Sight::At(seen, on, shown, otherwise) if seen == *onset => format!(
                "the fault \"{to}\" came on at {onset} and showed at once ({on}: {shown}, without the fault {otherwise})"
            ),
            Sight::At(seen, on, shown, otherwise) => format!(
                "the panel first showed the fault \"{to}\" at {seen} ({on}: {shown}, without the fault {otherwise}; it came on at {onset})"
            ),
        }
    }
}

pub(crate) fn judge(to: &str, full: u32, none: u32, found: &Found, end: &End, record: &Record) -> Judgement {
    let Some(onset) = onset(record, to) else {
        if end.unseen.is_some() {
            return Judgement::open(end, &format!("the fault \"{to}\" had not come on"));
        }
        return Judgement::not_assessed(format!("the fault \"{to}\" never came on"));
    };
    let asked = Asked { to, onset, start: clock_start(record, to), seen: sight(record, to), full, none };
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
    let Some(at) = answer else { return no_answer(&asked, found, end, record) };
    let start = asked.start.filter(|s| *s <= at);
    let delay = start.map_or(0, |s| at.0 - s.0);
    let part = falling(i64::from(delay), i64::from(full), i64::from(none));
    let already = onset > Tick::ZERO && found.kept.contains(onset) && found.kept.contains(Tick(onset.0 - 1));
    let mut text = if already {
        format!("already so when the fault \"{to}\" came on at {onset}")
    } else if start.is_some() {
        format!("answered at {at}, {} after {}", duration(delay), asked.told())
    } else {
        format!("answered at {at}, before it could be seen: {}", asked.told())
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
        open: false,
        untried: false,
        found: text,
        value_margin: None,
        time_margin: Some(margin),
        when: Some(at),
        evidence: vec![(start.unwrap_or(onset), at)],
    }
}

fn no_answer(asked: &Asked<'_>, found: &Found, end: &End, record: &Record) -> Judgement {
    let Asked { to, onset, full, none, .. } = asked;
    let onset = *onset;
    // Once no time is left in which it could earn anything, a missing value hides nothing.
    let over = asked.start.map(|s| s.after(*none));
    let hidden = match found.unknown.next_from(onset) {
        Ok(missing) => missing.is_some_and(|u| over.is_none_or(|over| u < over)),
        Err(_) => true,
    };
    if hidden || found.during_unknown > 0 {
        let text = format!("a value that decides was missing after the fault \"{to}\" came on at {onset}");
        return Judgement { when: Some(onset), ..Judgement::not_assessed(text) };
    }
    let Some(start) = asked.start else {
        let unseen = Judgement { when: Some(onset), evidence: vec![(onset, record.end)], ..Judgement::default() };
        let Judgement { found, open, .. } = if end.unseen.is_some() {
            Judgement::open(end, &format!("the panel had not shown the fault \"{to}\", which came on at {onset},"))
        } else {
            Judgement::not_assessed(asked.told())
        };
        return Judgement { found, open, ..unseen };
    };
    let gone = cleared(record, to).filter(|t| *t >= onset);
    let (until, why) = match gone {
        Some(t) if t <= record.end => (t, "the fault was cleared"),
        _ => (record.end, "the run ended"),
    };
    let had = until.0.saturating_sub(start.0);
    let evidence = vec![(start.min(until), until)];
    if end.unseen.is_some() && gone.is_none() && had < *none {
        let text = format!("there was no answer yet, {} after {},", duration(had), asked.told());
        return Judgement { when: Some(start), evidence, ..Judgement::open(end, &text) };
    }
    if had < *full {
        let text = format!("{why} {} after {}, before the time for an answer was over", duration(had), asked.told());
        return Judgement { when: Some(start), evidence, ..Judgement::not_assessed(text) };
    }
    Judgement {
        part: Some(0),
        lost: true,
        open: false,
        untried: true,
        found: format!("no answer after {}; {why} {} later", asked.told(), duration(had)),
        // How near the condition came may be from before the fault: it is not told.
        value_margin: None,
        time_margin: None,
        when: Some(start),
        evidence: vec![(start, record.end)],
    }
}
