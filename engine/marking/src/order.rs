//! Order: steps against the order that they ask for themselves.
//!
//! - The steps are those of the sheet that the item names, each with every step of the item that has to come
//!   before it, directly or through others. The run's log of them (every time that one of their conditions
//!   came true) is aligned to that order at least cost ([`monitor::align`]), so that one missed or misplaced step
//!   costs one departure and not all that follow it.
//! - Where a step was not done, and another one that may stand in its place was, that one is taken for it; of
//!   several in each other's place none of which was done, one is left out.
//! - A departure is a step left out (an optional one may be), a step done but out of its place, and each
//!   time that something came true that should not be done. A step that was done again is none.
//! - Every departure costs the same: whole marks at none, nothing at `none_at`, a straight line between.
//! - **Not assessed** when a sample that is not a number may hide that a step was done, or a step that
//!   looks out of its place came true more often than is remembered. Where the run was not
//!   seen to its end, only what nothing later could change stands: no departure where nothing is forbidden,
//!   or as many forbidden acts as lose everything.

use crate::counting::done_for;
use crate::judgement::{End, Judgement, falling};
use crate::words::{duration, times};
use base::Tick;
use base::sheet::{self, Item, before, stand_for_each_other};
use monitor::{Entry, Found, Order, StepFate, Verdict, align};

/// How many departures are told one by one.
const TOLD: usize = 8;

/// What was done in a step's place, or the step itself where nothing was.
fn taken_for<C>(items: &[Item<C>], step: usize, all: &[Found]) -> usize {
    done_for(items, step, |i| all[i].first_true().is_some()).unwrap_or(step)
}

/// The steps that a run is held to.
struct Asked {
    /// Their places in the sheet.
    places: Vec<usize>,
    /// Named steps in whose place nothing was done.
    open: Vec<usize>,
}

impl Asked {
    /// Each named step by what was done in its place; of several in each other's place none of which was done,
    /// the first.
    fn of<C>(items: &[Item<C>], names: &[String], all: &[Found]) -> Asked {
        let mut asked = Asked { places: Vec::new(), open: Vec::new() };
        let named: Vec<usize> = names.iter().filter_map(|n| items.iter().position(|i| i.name == *n)).collect();
        let done = |at: usize| all[at].first_true().is_some();
        for at in &named {
            let by = taken_for(items, *at, all);
            if !done(by) {
                if !asked.open.iter().any(|o| stand_for_each_other(items, *o, *at)) {
                    asked.places.push(*at);
                }
                asked.open.push(*at);
            } else if !asked.places.contains(&by) && (by == *at || !named.contains(&by)) {
                asked.places.push(by);
            }
        }
        asked
    }
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
    let asked = Asked::of(items, names, all);
    let places = &asked.places;
    let optional: Vec<bool> = places.iter().map(|p| items[*p].counts.asked != sheet::Asked::Needed).collect();
    let pairs: Vec<(usize, usize)> = places
        .iter()
        .enumerate()
        .flat_map(|(later, place)| {
            let earlier: Vec<usize> = before(items, *place).into_iter().map(|p| taken_for(items, p, all)).collect();
            let among = |(k, p): (usize, &usize)| (k != later && earlier.contains(p)).then_some((k, later));
            places.iter().enumerate().filter_map(among).collect::<Vec<_>>()
        })
        .collect();
    let order = Order::new(&optional, &pairs)
        .expect("steps that wait for each other in a ring are refused when a script is read");
    let name = |step: usize| items[places[step]].name.as_str();
    let hidden = asked.open.iter().find(|p| all[**p].ever() == Verdict::Unknown);
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
        let when = if extra == 1 { "" } else { "first " };
        told.push((Some(first), format!("what should not be done was done {}, {when}at {first}", times(extra))));
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
    let lose = if none_at == 1 { "one loses".to_owned() } else { format!("{none_at} lose") };
    let mut found = match departures {
        0 => "all steps in their order".to_owned(),
        1 => format!("one departure, where {lose} all its marks: {}", words.join("; ")),
        n => format!("{n} departures, where {lose} all its marks: {}", words.join("; ")),
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
        when: evidence.first().map(|s| s.0),
        evidence,
        ..Judgement::default()
    }
}
