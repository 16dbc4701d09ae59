//! Steadiness: how well a value was held.
//!
//! - The measure is how far the value lay from where it should be, either way, on average over the ticks
//!   that count (all of the run, or those at which `during` holds): the sum of the sizes over the number of ticks.
//! - Whole marks up to the tolerance, falling in a straight line to nothing at `none_beyond`.
//! - **Not assessed** when there were no such ticks, when a sample in them is not a number, and when the
//!   run was not seen to its end, since the average is that of the whole time.

use crate::judgement::{End, Judgement, WHOLE, falling_with};
use crate::words::Language;
use base::tick::TICKS_PER_SECOND;
use monitor::{Comparison, Formula, Found, Interval, Predicate, Signal, Summary, Term, Watch};

/// The signal, where it should be, and the tolerance, from a value within a tolerance of something.
fn target(within: &Formula) -> Option<(Signal, f64, f64)> {
    match within.predicates()[..] {
        [Predicate::Compare { signal, with: low, .. }, Predicate::Compare { signal: same, with: high, .. }]
            if signal == same =>
        {
            Some((signal, f64::midpoint(low, high), 0.5 * (high - low)))
        }
        _ => None,
    }
}

/// What is watched: the average so far, looked at on the last tick.
///
/// # Panics
/// When `within` is not a value between a low and a high end.
pub(crate) fn watch(within: &Formula, during: Option<&Formula>) -> Watch {
    let (signal, around, full) = target(within).expect("steadiness is asked of a value between a low and a high end");
    let off = Term::Signal(signal).off(around);
    let mean = match during {
        None => off.over(Summary::Mean, Interval::ALL),
        Some(during) => {
            // A tick that counts has a tenth of a second of it; the others none.
            let counts = |window| Term::Held(window, Box::new(during.clone()));
            let weighed = Term::Product(Box::new(off), Box::new(counts(Interval::within(0))));
            let tick = 1.0 / f64::from(TICKS_PER_SECOND);
            let time = Term::Product(Box::new(Term::Constant(tick)), Box::new(counts(Interval::ALL)));
            Term::Quotient(Box::new(weighed.over(Summary::Integral, Interval::ALL)), Box::new(time))
        }
    };
    // True on the last tick alone, after which there is none.
    let another = Formula::Eventually(Interval { from: 1, to: Some(1) }, Box::new(Formula::All(Vec::new())));
    Watch { formula: Formula::measured(mean, Comparison::AtMost, full), during: Some(another.not()) }
}

pub(crate) fn judge(none_beyond: f64, found: &Found, end: &End, language: Language<'_>) -> Judgement {
    if end.unseen.is_some() {
        return Judgement::open(end, "how steady it was held is a matter of the whole time, which was not over");
    }
    let (Some(last), Some(Predicate::Measured { of: Some(signal), with: full, .. })) =
        (found.worst, found.predicates.first())
    else {
        let why = "the time in which it counts never came, or a value was missing in it";
        return Judgement::not_assessed(why.to_owned());
    };
    let mean = last.decided.sample;
    let part = falling_with(mean - full, none_beyond - full);
    let told = |si| language.distance(*signal, si);
    let (who, off) = told(mean).unwrap_or_default();
    let allowed = told(*full).unwrap_or_default().1;
    let room = told((mean - full).abs()).unwrap_or_default().1;
    Judgement {
        part: Some(part),
        lost: part == 0,
        found: format!("{who} was {off} off on average over the time that counts; {allowed} were allowed"),
        value_margin: Some(if part == WHOLE {
            format!("{room} to spare on average")
        } else {
            format!("{room} too far off on average")
        }),
        evidence: vec![(base::Tick::ZERO, end.at)],
        ..Judgement::default()
    }
}
