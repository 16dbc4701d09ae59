//! Limits: something to keep.
//!
//! - A limit is judged on the ticks at which its `during` holds. If there were none it is not assessed.
//! - Marks fall with how far (whole at no excess, nothing at `none_beyond`) and with how long in total
//!   (whole at no time, nothing at `none_after` ticks), each in a straight line; where the sheet gives
//!   both, the worse of the two counts. With neither, any breach loses all.
//! - How far is the greatest excess of any comparison that decided a breach, in that comparison's SI
//!   unit. A truth value has no distance: where one is broken, the part for "how far" is nothing.
//! - Undecided ticks (cut by the end of the run) are no breach: a limit is judged on what was seen.
//! - Unknown ticks (a sample that is not a number) are no breach beside ticks that are; when nothing
//!   is known to be broken and something is unknown, the limit is not assessed. Nor is it when a breach
//!   is certain, its size matters and cannot be told.
//! - Where the rest of the run could not be seen (the log broke off, or the replay drifted), a limit
//!   that was kept so far is not assessed; one that was broken is, by what was seen of it.
//! - A critical limit is lost by any breach, however small.

use crate::judgement::{End, Judgement, WHOLE, falling, falling_with};
use crate::words::{Language, duration, times};
use monitor::{Found, Verdict};

/// How many spans of a breach are given as evidence.
const SPANS: usize = 20;

pub(crate) fn judge(
    none_beyond: Option<f64>,
    none_after: Option<u32>,
    found: &Found,
    end: &End,
    language: Language<'_>,
) -> Judgement {
    if found.looked == 0 && end.unseen.is_some() {
        return Judgement::open(end, "the time in which the limit counts had not come");
    }
    if found.looked == 0 {
        return Judgement::not_assessed(if found.during_unknown > 0 {
            "a value was missing that tells when the limit counts".to_owned()
        } else {
            "the time in which the limit counts never came".to_owned()
        });
    }
    match found.always() {
        Verdict::Broken => broken(none_beyond, none_after, found, language),
        Verdict::Unknown => {
            let ticks = found.unknown.ticks() + found.during_unknown;
            let text = format!("a value was missing for {}, and nothing else was past the limit", duration(ticks));
            let evidence = found.unknown.list().iter().take(SPANS).map(|s| (s.first, s.last)).collect();
            Judgement { when: found.unknown.first(), evidence, ..Judgement::not_assessed(text) }
        }
        Verdict::Kept | Verdict::Undecided if end.unseen.is_some() => {
            Judgement { value_margin: language.spare(found), ..Judgement::open(end, "it had been kept so far") }
        }
        Verdict::Kept | Verdict::Undecided => kept(found, language),
    }
}

fn kept(found: &Found, language: Language<'_>) -> Judgement {
    let mut text = if found.looked == found.ticks {
        "kept through the whole run".to_owned()
    } else {
        format!("kept for all of the {} in which it counted", duration(found.looked))
    };
    if found.undecided.ticks() > 0 {
        text.push_str(&format!(
            ", as far as was seen: the end of the run cut the last {} short",
            duration(found.undecided.ticks())
        ));
    }
    let nearest = found.worst.filter(|w| w.robustness.is_finite());
    Judgement {
        part: Some(WHOLE),
        lost: false,
        open: false,
        untried: false,
        found: text,
        value_margin: language.spare(found),
        time_margin: None,
        when: None,
        evidence: nearest.map(|w| (w.tick, w.tick)).into_iter().collect(),
    }
}

/// The part that is left for how far, millionths; `None` when that cannot be told.
fn left_for_distance(none_beyond: f64, found: &Found, language: Language<'_>) -> Option<i64> {
    let mut worst: Option<f64> = None;
    for extreme in found.worst_by.iter().flatten().filter(|e| e.robustness <= 0.0) {
        let excess = match language.dimension(&extreme.decided.predicate) {
            Some(_) => -extreme.robustness,
            None => f64::INFINITY,
        };
        worst = Some(worst.map_or(excess, |w| w.max(excess)));
    }
    let excess = worst?;
    Some(falling_with(excess, none_beyond))
}

fn broken(none_beyond: Option<f64>, none_after: Option<u32>, found: &Found, language: Language<'_>) -> Judgement {
    let (ticks, count) = (found.broken.ticks(), found.broken.count());
    let long = none_after.map(|none| falling(i64::from(ticks), 0, i64::from(none)));
    let far = none_beyond.map(|beyond| left_for_distance(beyond, found, language));
    let part = match (far, long) {
        (None, None) => 0,
        (None, Some(long)) => long,
        (Some(Some(far)), long) => far.min(long.unwrap_or(WHOLE)),
        (Some(None), Some(0)) => 0,
        (Some(None), _) => {
            let when = found.broken.first();
            return Judgement {
                when,
                ..Judgement::not_assessed("it was broken, but a missing value hides by how much".to_owned())
            };
        }
    };
    let begin = found.broken.first();
    let mut text = match (count, begin, found.broken.last()) {
        (1, Some(first), Some(last)) if first == last => format!("broken for one tick at {first}"),
        (1, Some(first), Some(last)) => format!("broken once, from {first} to {last}"),
        (n, Some(first), _) => format!("broken {}, first at {first}", times(n)),
        _ => "broken".to_owned(),
    };
    text.push_str(&format!(" ({} in all)", duration(ticks)));
    let missing = found.unknown.ticks() + found.during_unknown;
    if missing > 0 {
        text.push_str(&format!("; a value was missing for {}, which was not counted", duration(missing)));
    }
    if found.broken.list().len() > SPANS {
        text.push_str(&format!("; the first {SPANS} spans are shown"));
    }
    let time_margin = none_after.map(|none| {
        if ticks >= none {
            format!("{} past all that is allowed", duration(ticks - none))
        } else {
            format!("{} short of losing all", duration(none - ticks))
        }
    });
    Judgement {
        part: Some(part),
        lost: true,
        open: false,
        untried: false,
        found: text,
        value_margin: language.excess(found),
        time_margin,
        when: begin,
        evidence: found.broken.list().iter().take(SPANS).map(|s| (s.first, s.last)).collect(),
    }
}
