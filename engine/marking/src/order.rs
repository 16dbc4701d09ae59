//! Order: steps against the order that they ask for themselves.
//!
//! - The steps are those of the sheet that the item names, each with every step of the item that has to come
//!   before it, directly or through others. The run's log of them (every time that one of their conditions
//!   came true) is aligned to that order at least cost ([`monitor::align`]), so that one missed or misplaced step
//!   costs one departure and not all that follow it.
//! - A departure is a step left out (an optional one may be), a step done but out of its place, and each
//!   time that something came true that should not be done. A step that was done again is none.
//! - Every departure costs the same: whole marks at none, nothing at `none_at`, a straight line between.
//! - **Not assessed** when a sample that is not a number may hide that a step was done, or a step that
//!   looks out of its place came true more often than is remembered. Where the run was not
//!   seen to its end, only what nothing later could change stands: no departure where nothing is forbidden,
//!   or as many forbidden acts as lose everything.

use crate::judgement::{End, Judgement, WHOLE, falling};
use crate::words::{duration, times};
use base::Tick;
use base::sheet::{Asked, Item, ItemKind};
use monitor::{Entry, Found, Order, StepFate, Verdict, align};

/// How many departures are told one by one.
const TOLD: usize = 8;

/// The places in the sheet of all steps that come before one, directly or through others.
fn before<C>(items: &[Item<C>], step: usize) -> Vec<usize> {
    let (mut all, mut open) = (Vec::new(), vec![step]);
    while let Some(at) = open.pop() {
        let ItemKind::Step { after, .. } = &items[at].kind else { continue };
        for earlier in after.iter().filter_map(|name| items.iter().position(|i| i.name == *name)) {
            if !all.contains(&earlier) {
                all.push(earlier);
                open.push(earlier);
            }
        }
    }
    all
}

pub(crate) fn judge<C>(
    items: &[Item<C>],
    names: &[String],
    none_at: u32,
    forbids: bool,
    all: &[Found],
    wrong: &Found,
    end: &End,
) -> Judgement {
    let places: Vec<usize> = names.iter().filter_map(|n| items.iter().position(|i| i.name == *n)).collect();
    let optional: Vec<bool> = places.iter().map(|p| items[*p].counts.asked != Asked::Needed).collect();
    let pairs: Vec<(usize, usize)> = places
        .iter()
        .enumerate()
        .flat_map(|(later, place)| {
            let earlier = before(items, *place);
            let among = |(k, p): (usize, &usize)| earlier.contains(p).then_some((k, later));
            places.iter().enumerate().filter_map(among).collect::<Vec<_>>()
        })
        .collect();
    let order = Order::new(&optional, &pairs)
        .expect("steps that wait for each other in a ring are refused when a script is read");
    let name = |step: usize| items[places[step]].name.as_str();
    let hidden = places.iter().find(|p| all[**p].ever() == Verdict::Unknown);
    if let Some(p) = hidden {
        let text = format!("a value was missing, so that nobody can say whether \"{}\" was done", items[*p].name);
        return Judgement { when: all[*p].unknown.first(), ..Judgement::not_assessed(text) };
    }
    let times_of = |k: usize| all[places[k]].kept.list().iter().map(|s| s.first);
    let done = (0..places.len()).flat_map(|k| times_of(k).map(move |at| Entry { step: Some(k), at }));
    let forbidden = wrong.kept.list().iter().map(|s| Entry { step: None, at: s.first });
    let log: Vec<Entry> = done.chain(forbidden).collect();
    let aligned = align(&order, &log);
    // Only so many times of a step are remembered: where two look the wrong way round, the one that came true more
    // often may have been done in its place later.
    let mut pairs = aligned.steps.iter().enumerate().flat_map(|(k, fate)| match fate {
        StepFate::Early { against, .. } | StepFate::Late { against, .. } => vec![k, *against],
        _ => vec![],
    });
    if let Some(k) = pairs.find(|k| all[places[*k]].kept.overflowed()) {
        let text = format!("\"{}\" came true too often to tell whether it was done in its place", name(k));
        return Judgement { when: all[places[k]].kept.first(), ..Judgement::not_assessed(text) };
    }
    let mut told: Vec<(Option<Tick>, String)> = Vec::new();
    let (mut skipped, mut misplaced) = (0, 0);
    for (k, fate) in aligned.steps.iter().enumerate() {
        match fate {
            StepFate::InPlace { .. } | StepFate::PassedOver => {}
            StepFate::Skipped => {
                skipped += 1;
                told.push((None, format!("\"{}\" was left out", name(k))));
            }
            StepFate::Early { entry, against, by } => {
                misplaced += 1;
                let text = format!("\"{}\" came {} too early, before \"{}\"", name(k), duration(*by), name(*against));
                told.push((Some(log[*entry].at), text));
            }
            StepFate::Late { entry, against, by } => {
                misplaced += 1;
                let text = format!("\"{}\" came {} too late, after \"{}\"", name(k), duration(*by), name(*against));
                told.push((Some(log[*entry].at), text));
            }
        }
    }
    let extra = wrong.kept.count();
    if let Some(first) = wrong.kept.first() {
        told.push((Some(first), format!("what should not be done was done {}, first at {first}", times(extra))));
    }
    let departures = skipped + misplaced + extra;
    let stands = if departures == 0 { !forbids } else { extra >= none_at };
    if end.unseen.is_some() && !stands {
        return Judgement::open(end, "the steps were not all done in their places");
    }
    let part = falling(i64::from(departures), 0, i64::from(none_at));
    let evidence: Vec<(Tick, Tick)> = told.iter().filter_map(|(at, _)| at.map(|t| (t, t))).collect();
    let mut words: Vec<String> = told.into_iter().map(|(_, text)| text).collect();
    if words.len() > TOLD {
        let more = words.len() - TOLD;
        words.truncate(TOLD);
        words.push(format!("and {more} more"));
    }
    let mut found = match departures {
        0 => "all steps in their order".to_owned(),
        1 => format!("one departure: {}", words.join("; ")),
        n => format!("{n} departures: {}", words.join("; ")),
    };
    if !aligned.proven {
        found.push_str("; the log is too long to align at least cost, so that there may be fewer");
    }
    let nothing_done = log.is_empty();
    Judgement {
        part: Some(part),
        lost: part == 0,
        untried: nothing_done,
        found,
        value_margin: (part < WHOLE).then(|| match i64::from(none_at) - i64::from(departures) {
            left if left > 0 => format!("{left} short of losing all"),
            _ => format!("{none_at} or more lose all"),
        }),
        when: evidence.first().map(|s| s.0),
        evidence,
        ..Judgement::default()
    }
}
