//! A log against a procedure: which entries are in place, which steps were skipped, what was extra, early or late.
//!
//! Each step is done once (an optional one at most once). An alignment pairs entries of the log with steps so
//! that the pairs keep the order; an entry without a pair costs 1, a step without one costs 1, an
//! optional step without one costs nothing. The alignment of least cost is found, so that one missed step
//! costs one step and not all that follow it (van der Aalst, Adriansyah, van Dongen, WIREs Data Mining
//! and Knowledge Discovery 2 (2012) 182-192, for alignments in general; costs as in
//! `tests/data/alignments.json`).
//!
//! How: two entries cannot both be in place when the later one is of the same step as the earlier, or of a
//! step that has to come before it. This relation is transitive, so it is a partial order of the
//! entries, and every set of entries without such a pair can be put in place (steps without an entry are
//! slipped in where they are needed first). The least cost therefore leaves in place a heaviest set of
//! entries of which no two are in conflict, an entry of an optional step weighing 1 and any other 2,
//! which `antichain` finds in polynomial time, however many sequences the order allows.
//!
//! Ties: of all alignments of least cost that one is taken that has, at the first entry where they
//! differ, the entry in place: what came earlier in the log stands, what came later is told as late or
//! repeated. There is exactly one such. Entries of one tick have no order of their own: they are taken in
//! the order that the procedure wants, so that the order of lines within a tick does not matter.
//!
//! Bound: entries (neighbours of the same step counted once) times steps up to [`EXACT`]. Beyond it only the
//! first entry of each step is considered, the rest are told as repeated, and [`Alignment::proven`] is
//! false: the cost is then an upper bound.

use crate::antichain::heaviest;
use crate::order::Order;
use base::Tick;

/// How many entries times steps are aligned exactly: 10,000 entries against 400 steps (own choice). At the
/// bound a chain took 0.15 s, and 200 steps that all come before 200 others 0.23 s.
pub const EXACT: usize = 4_000_000;

/// One thing that was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The step it is an attempt at; `None` when it belongs to no step.
    pub step: Option<usize>,
    /// When.
    pub at: Tick,
}

/// What became of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EntryFate {
    /// It is its step, done in its place.
    InPlace,
    /// Its step was done in its place by another entry, or is told by another one out of place.
    Repeated,
    /// Its step was not done in its place; it came too early.
    Early,
    /// Its step was not done in its place; it came too late.
    Late,
    /// It belongs to no step.
    Foreign,
}

/// What became of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepFate {
    /// Done in its place.
    InPlace {
        /// By this entry.
        entry: usize,
    },
    /// Done only before a step that has to come first.
    Early {
        /// By this entry, the first of the step.
        entry: usize,
        /// The last done of the steps that should have come before it, in place itself.
        against: usize,
        /// How long before that step.
        by: u32,
    },
    /// Done only after a step that has to follow it.
    Late {
        /// By this entry, the first of the step.
        entry: usize,
        /// The first done of the steps that should have come after it, in place itself.
        against: usize,
        /// How long after that step, in ticks.
        by: u32,
    },
    /// Not done, though it had to be.
    Skipped,
    /// Not done, and it need not be.
    PassedOver,
}

/// One move of an alignment, log and procedure side by side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Move {
    /// An entry that is a step in its place; costs nothing.
    Both {
        /// The entry.
        entry: usize,
        /// The step.
        step: usize,
    },
    /// An entry that is no step in its place; costs 1.
    LogOnly {
        /// The entry.
        entry: usize,
    },
    /// A step without an entry in its place; costs 1, or nothing when it is optional.
    StepOnly {
        /// The step.
        step: usize,
    },
}

/// A log aligned to an order. Entries are named by their place among those given, steps by their place in the order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alignment {
    /// Log and procedure side by side: all entries by time, all steps in an order that is allowed.
    pub moves: Vec<Move>,
    /// Its cost.
    pub cost: u32,
    /// True when no alignment costs less; false when the bound was passed, and the cost is an upper bound.
    pub proven: bool,
    /// What became of each entry.
    pub entries: Vec<EntryFate>,
    /// What became of each step.
    pub steps: Vec<StepFate>,
    /// The greatest cost that this log could have: everything extra, everything skipped.
    pub worst: u32,
}

impl Alignment {
    /// From 1 (nothing to find fault with) to 0 (nothing in place): 1 less the cost over the worst cost.
    #[must_use]
    pub fn fitness(&self) -> f64 {
        if self.worst == 0 { 1.0 } else { 1.0 - f64::from(self.cost) / f64::from(self.worst) }
    }
}

/// Aligns a log to an order at least cost. The entries may be given in any order; their ticks count.
///
/// ```
/// use monitor::{Entry, Order, StepFate, align};
/// use base::Tick;
/// // Purge before pilot before main flame.
/// let order = Order::new(&[false, false, false], &[(0, 1), (1, 2)]).expect("no circle");
/// let log = [(1, 50), (0, 170), (2, 300)].map(|(step, t)| Entry { step: Some(step), at: Tick(t) });
/// let a = align(&order, &log);
/// assert_eq!((a.cost, a.proven), (2, true)); // the pilot is extra where it stands, and missing where it should
/// assert_eq!(a.steps[0], StepFate::Late { entry: 1, against: 1, by: 120 });
/// ```
///
/// # Panics
/// When an entry names a step that the order does not have.
#[must_use]
pub fn align(order: &Order, entries: &[Entry]) -> Alignment {
    align_within(order, entries, EXACT)
}

/// The same with a bound of one's own on entries times steps.
///
/// # Panics
/// When an entry names a step that the order does not have.
#[must_use]
pub fn align_within(order: &Order, entries: &[Entry], exact: usize) -> Alignment {
    let steps = order.len();
    assert!(entries.iter().all(|e| e.step.is_none_or(|s| s < steps)), "entries are of the steps of their order");
    let mut by_time: Vec<usize> = (0..entries.len()).collect();
    by_time.sort_by_key(|&e| (entries[e].at, entries[e].step.map_or(steps, |s| order.rank(s)), e));
    let (candidates, proven) = candidates(order, entries, &by_time, exact);
    let mut in_place: Vec<Option<usize>> = vec![None; steps];
    for place in heaviest(&weights(order, &candidates), conflicts(order, &candidates).into_iter()) {
        let (entry, step) = candidates[place];
        in_place[step] = Some(entry);
    }
    let (step_fates, entry_fates) = fates(order, entries, &by_time, &in_place);
    let moves = moves(order, entries, &by_time, &in_place);
    let missing = (0..steps).filter(|&s| in_place[s].is_none() && !order.is_optional(s)).count();
    let paired = in_place.iter().flatten().count();
    Alignment {
        moves,
        cost: (entries.len() - paired + missing) as u32,
        proven,
        entries: entry_fates,
        steps: step_fates,
        worst: (entries.len() + order.mandatory()) as u32,
    }
}

/// The entries that could be in place, by time, each with its step; and whether these are all that matter.
fn candidates(order: &Order, entries: &[Entry], by_time: &[usize], exact: usize) -> (Vec<(usize, usize)>, bool) {
    let mut all: Vec<(usize, usize)> = by_time.iter().filter_map(|&e| Some((e, entries[e].step?))).collect();
    // The second of two neighbours of one step is in conflict with the same entries as the first.
    all.dedup_by_key(|(_, step)| *step);
    let proven = all.len().saturating_mul(order.len()) <= exact;
    if !proven {
        let mut met = vec![false; order.len()];
        let before = all.len();
        all.retain(|&(_, step)| !std::mem::replace(&mut met[step], true));
        return (all.clone(), all.len() == before);
    }
    (all, proven)
}

fn weights(order: &Order, candidates: &[(usize, usize)]) -> Vec<u32> {
    candidates.iter().map(|&(_, step)| if order.is_optional(step) { 1 } else { 2 }).collect()
}

/// Pairs of (later, earlier) candidates that cannot both be in place, as few as it takes for the rest to follow
/// through them: of each step that is the later one's own or has to follow it the last candidate before, unless
/// one that came since leads to it.
fn conflicts(order: &Order, candidates: &[(usize, usize)]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    // The last candidate of each step, the latest of all at the end.
    let mut recent: Vec<(usize, usize)> = Vec::with_capacity(order.len());
    let mut reached = vec![0u64; order.len().div_ceil(64)];
    let holds = |bits: &[u64], step: usize| bits[step / 64] >> (step % 64) & 1 == 1;
    for (place, &(_, step)) in candidates.iter().enumerate() {
        reached.fill(0);
        for &(before, other) in recent.iter().rev() {
            if holds(order.onward(step), other) && !holds(&reached, other) {
                pairs.push((place, before));
                reached.iter_mut().zip(order.onward(other)).for_each(|(r, o)| *r |= o);
            }
            if other == step {
                break; // it leads to all that came before it
            }
        }
        recent.retain(|(_, other)| *other != step);
        recent.push((place, step));
    }
    pairs
}

/// What became of steps and entries. When the alignment is of least cost, an entry of a step that is nowhere in
/// place is either before a step in place that should have preceded it, or after one that should have
/// followed it, and never both: else it could be put in place.
fn fates(
    order: &Order,
    entries: &[Entry],
    by_time: &[usize],
    in_place: &[Option<usize>],
) -> (Vec<StepFate>, Vec<EntryFate>) {
    let mut position = vec![0; entries.len()];
    by_time.iter().enumerate().for_each(|(at, &e)| position[e] = at);
    let paired: Vec<(usize, usize)> = in_place.iter().enumerate().filter_map(|(s, e)| Some((s, (*e)?))).collect();
    let mut steps: Vec<StepFate> = (0..order.len())
        .map(|s| match in_place[s] {
            Some(entry) => StepFate::InPlace { entry },
            None if order.is_optional(s) => StepFate::PassedOver,
            None => StepFate::Skipped,
        })
        .collect();
    let mut fates = vec![EntryFate::Foreign; entries.len()];
    for &e in by_time {
        let Some(step) = entries[e].step else { continue };
        fates[e] = EntryFate::Repeated;
        if in_place[step] == Some(e) {
            fates[e] = EntryFate::InPlace;
        }
        if !matches!(steps[step], StepFate::Skipped | StepFate::PassedOver) {
            continue;
        }
        let later = paired.iter().filter(|(s, p)| order.comes_before(*s, step) && position[*p] > position[e]);
        let earlier = paired.iter().filter(|(s, p)| order.comes_before(step, *s) && position[*p] < position[e]);
        if let Some(&(against, p)) = later.max_by_key(|(_, p)| position[*p]) {
            fates[e] = EntryFate::Early;
            steps[step] = StepFate::Early { entry: e, against, by: entries[p].at.0 - entries[e].at.0 };
        } else if let Some(&(against, p)) = earlier.min_by_key(|(_, p)| position[*p]) {
            fates[e] = EntryFate::Late;
            steps[step] = StepFate::Late { entry: e, against, by: entries[e].at.0 - entries[p].at.0 };
        }
    }
    (steps, fates)
}

/// The moves: before a pair, the steps without an entry that have to precede it; the rest of them at the end.
fn moves(order: &Order, entries: &[Entry], by_time: &[usize], in_place: &[Option<usize>]) -> Vec<Move> {
    let mut waiting: Vec<usize> = order.sequence().iter().copied().filter(|&s| in_place[s].is_none()).collect();
    let mut moves = Vec::with_capacity(entries.len() + waiting.len());
    for &entry in by_time {
        match entries[entry].step {
            Some(step) if in_place[step] == Some(entry) => {
                waiting.retain(|&s| {
                    let needed = order.comes_before(s, step);
                    if needed {
                        moves.push(Move::StepOnly { step: s });
                    }
                    !needed
                });
                moves.push(Move::Both { entry, step });
            }
            _ => moves.push(Move::LogOnly { entry }),
        }
    }
    moves.extend(waiting.into_iter().map(|step| Move::StepOnly { step }));
    moves
}

#[cfg(test)]
pub(crate) mod tests;
