//! Steps: something to be brought about.
//!
//! A step is done at the first tick at which its condition is true for certain.
//!
//! - **Time.** Whole marks up to `full_by`, falling in a straight line to nothing at `none_by`. With
//!   `full_by` alone there is nothing after it; with `none_by` alone the marks are whole before it.
//! - **Order.** A step comes after those that it names, by the first time that each of them was done;
//!   the same tick is in order. One that was never done puts nobody out of order: it costs its own
//!   marks, and not those of what follows. Out of order earns the part that the sheet says.
//! - Where both time and order cost something, the worse of the two counts.
//! - **Done again.** A step that was done too early and comes true again when its turn has come counts
//!   as the later one, if that gives more marks. A condition that simply stays true has not been done again.
//! - **Not done by the end** earns nothing, also when the end of the run cut the condition short.
//! - **Near it.** Where the sheet says how far short of it loses everything, a step that was not done
//!   earns a part that falls in a straight line with how near it came, by the value that decided.
//! - **Not seen to its end.** Where the log broke off or the replay drifted, a step that was not done
//!   by then is not assessed, unless the time for any marks was over already.
//! - **Unknown.** When the step was never seen done and a sample that is not a number could hide that
//!   it was, it is not assessed; one that came when nothing was left to earn hides nothing.

use crate::judgement::{End, Judgement, WHOLE, falling, falling_with};
use crate::words::{Language, duration};
use base::Tick;
use monitor::{Found, Verdict};

/// What a step asks for besides its condition.
pub(crate) struct Asked<'a> {
    pub full_by: Option<Tick>,
    pub none_by: Option<Tick>,
    pub out_of_order: i64,
    pub none_short: Option<f64>,
    /// The steps that come first and were done: name and first time.
    pub after: Vec<(&'a str, Tick)>,
}

impl Asked<'_> {
    /// Part of the marks for the time alone.
    fn in_time(&self, at: Tick) -> i64 {
        let at = i64::from(at.0);
        match (self.full_by, self.none_by) {
            (None, None) => WHOLE,
            (Some(full), None) => falling(at, i64::from(full.0), i64::from(full.0)),
            (None, Some(none)) => falling(at, i64::from(none.0) - 1, i64::from(none.0)),
            (Some(full), Some(none)) => falling(at, i64::from(full.0), i64::from(none.0)),
        }
    }

    /// The last of the steps that should have come before this moment and did not.
    fn too_early_for(&self, at: Tick) -> Option<(&str, Tick)> {
        // Of two at the same tick, the one that is named first.
        self.after.iter().copied().filter(|s| s.1 > at).rev().max_by_key(|s| s.1)
    }

    fn part(&self, at: Tick) -> i64 {
        let order = if self.too_early_for(at).is_some() { self.out_of_order.clamp(0, WHOLE) } else { WHOLE };
        order.min(self.in_time(at))
    }

    fn time_margin(&self, at: Tick) -> Option<String> {
        if let Some((_, turn)) = self.too_early_for(at) {
            return Some(format!("{} too early", duration(turn.0 - at.0)));
        }
        // With `none_by` alone, the last tick for the marks is the one before it.
        let last = self.full_by.or(self.none_by.map(|t| Tick(t.0.saturating_sub(1))))?;
        Some(if at <= last {
            format!("{} in hand", duration(last.0 - at.0))
        } else {
            format!("{} too late", duration(at.0 - last.0))
        })
    }
}

pub(crate) fn judge(asked: &Asked<'_>, found: &Found, end: &End, language: Language<'_>) -> Judgement {
    let Some(first) = found.first_true() else { return not_done(asked, found, end, language) };
    let mut at = first;
    let mut again = None;
    let mut note = String::new();
    if let Some((_, turn)) = asked.too_early_for(first) {
        match found.kept.beginning_from(turn) {
            Ok(Some(later)) if asked.part(later.first) > asked.part(first) => {
                at = later.first;
                again = Some(first);
            }
            Ok(_) => {}
            Err(_) => note.push_str("; it came true too often to tell whether it was done again"),
        }
    }
    let part = asked.part(at);
    let mut text = format!("done at {at}");
    if let Some((name, turn)) = asked.too_early_for(at) {
        text.push_str(&format!(", before \"{name}\" at {turn}"));
    }
    if let Some(early) = again {
        text.push_str(&format!(", after a first time at {early} that was too early"));
    }
    match asked.full_by.or(asked.none_by) {
        Some(by) if asked.in_time(at) < WHOLE => text.push_str(&format!(", and was due by {by}")),
        _ => {}
    }
    if part < WHOLE && found.unknown.first().is_some_and(|u| u < at) {
        note.push_str("; a value was missing before that, so that an earlier time cannot be ruled out");
    }
    text.push_str(&note);
    let span = found.kept.list().iter().find(|s| s.first <= at && at <= s.last);
    Judgement {
        part: Some(part),
        lost: part == 0,
        open: false,
        untried: false,
        found: text,
        value_margin: None,
        time_margin: asked.time_margin(at),
        when: Some(at),
        evidence: again.map(|t| (t, t)).into_iter().chain([(at, span.map_or(at, |s| s.last))]).collect(),
    }
}

fn not_done(asked: &Asked<'_>, found: &Found, end: &End, language: Language<'_>) -> Judgement {
    // Once no time is left in which it could earn anything, what was not seen changes nothing.
    let too_late = asked.in_time(end.at.after(1)) == 0;
    let hidden = found.unknown.first().is_none_or(|u| asked.in_time(u) > 0);
    let text = match found.ever() {
        Verdict::Unknown if hidden => {
            let when = found.unknown.first().map(|t| format!(" from {t} on")).unwrap_or_default();
            let text = format!("a value that decides was missing{when}, so that nobody can say whether it was done");
            return Judgement { when: found.unknown.first(), ..Judgement::not_assessed(text) };
        }
        _ if end.unseen.is_some() && !too_late => {
            return Judgement {
                value_margin: language.missed_by(found),
                ..Judgement::open(end, "it had not been done")
            };
        }
        _ if end.unseen.is_some() => "not done while it could still earn marks",
        Verdict::Unknown => "not done while it could still earn marks; a value was missing only after that",
        Verdict::Undecided => "not done by the end of the run, which cut the condition short",
        Verdict::Kept | Verdict::Broken => "not done by the end of the run",
    };
    // How near it came earns a part, where the sheet says so.
    let near = found.best.filter(|b| b.robustness <= 0.0 && language.one_dimension(found).is_some());
    let part = match (asked.none_short, near) {
        (Some(none), Some(b)) if language.dimension(&b.decided.predicate).is_some() => {
            falling_with(-b.robustness, none).min(asked.part(b.tick))
        }
        _ => 0,
    };
    let missed_by = language.missed_by(found);
    Judgement {
        part: Some(part),
        lost: part == 0,
        open: false,
        untried: part == 0,
        found: text.to_owned(),
        time_margin: None,
        when: near.filter(|_| part > 0).map(|b| b.tick),
        // The moment at which it came nearest, where there is a nearness to tell.
        evidence: missed_by.as_ref().and(found.best).map(|b| (b.tick, b.tick)).into_iter().collect(),
        value_margin: missed_by,
    }
}
