//! Logs that are the same, or nearly.
//!
//! Who follows a procedure does what everybody does: it is the times between acts that are a person's own. So two
//! acts match when they are the same and came as long after the act before them, to within a slack; a shift of
//! a whole log then changes only its first wait. The distance is the least number of acts to put in, take
//! out or replace that turns one log into the other (Levenshtein, Soviet Physics Doklady 10 (1966)
//! 707-710), looked for only as far as a limit (Ukkonen, Information and Control 64 (1985) 100-118), so
//! that two logs of `n` acts cost `n` times the limit. One act put in changes two waits, and counts 2.
//!
//! Likeness is a reason to ask, and proves nothing: a short exercise has few ways to be done.

use super::caution::Caution;
use base::Tick;

/// One thing done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Act {
    /// What was done, the same number for the same act.
    pub what: u32,
    /// When.
    pub at: Tick,
}

/// When two logs are called alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likeness {
    /// How far the waits of two acts may lie apart, in ticks; `u32::MAX` leaves times out.
    pub slack: u32,
    /// Edits allowed for every hundred acts of the longer log.
    pub percent: u32,
    /// Logs shorter than this are called alike only when they are identical.
    pub shortest: usize,
}

impl Default for Likeness {
    /// Half a second, ten edits in a hundred acts, ten acts at least (own choice).
    fn default() -> Likeness {
        Likeness { slack: 5, percent: 10, shortest: 10 }
    }
}

/// Two logs that are alike, by their places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Alike {
    /// The earlier of the two.
    pub first: usize,
    /// The later.
    pub second: usize,
    /// The same acts on the same ticks.
    pub identical: bool,
    /// Edits between them, waits counted.
    pub edits: u32,
    /// Acts of the longer one.
    pub acts: u32,
}

/// All pairs of logs that are alike, in rising order, and what to take with care. Acts of a log are in the order
/// of time.
#[must_use]
pub fn alike(logs: &[Vec<Act>], likeness: &Likeness) -> (Vec<Alike>, Vec<Caution>) {
    let mut found = Vec::new();
    let some: Vec<usize> = (0..logs.len()).filter(|&l| !logs[l].is_empty()).collect();
    let short = |l: usize| logs[l].len() < likeness.shortest;
    let waited: Vec<Vec<(u32, u32)>> = logs.iter().map(|l| waits(l)).collect();
    for (i, &first) in some.iter().enumerate() {
        for &second in &some[i + 1..] {
            let acts = logs[first].len().max(logs[second].len());
            let identical = logs[first] == logs[second];
            let limit = (acts as u64 * u64::from(likeness.percent) / 100) as u32;
            let edits = match short(first) || short(second) {
                true => identical.then_some(0),
                false => banded(&waited[first], &waited[second], likeness.slack, limit),
            };
            found.extend(edits.map(|edits| Alike { first, second, identical, edits, acts: acts as u32 }));
        }
    }
    let short = (0..logs.len()).filter(|&l| short(l)).count();
    let caution = (short > 0).then_some(Caution::ShortLogs { logs: short, wanted: likeness.shortest });
    (found, caution.into_iter().collect())
}

/// The least number of edits between two logs, when it is no more than `limit`.
#[must_use]
pub fn edits(a: &[Act], b: &[Act], slack: u32, limit: u32) -> Option<u32> {
    banded(&waits(a), &waits(b), slack, limit)
}

/// Each act with how long after the one before it came.
fn waits(log: &[Act]) -> Vec<(u32, u32)> {
    let mut before = 0;
    log.iter()
        .map(|act| {
            let wait = act.at.0.saturating_sub(before);
            before = act.at.0;
            (act.what, wait)
        })
        .collect()
}

fn banded(a: &[(u32, u32)], b: &[(u32, u32)], slack: u32, limit: u32) -> Option<u32> {
    let (a, b) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    let limit = limit.min(b.len() as u32);
    if b.len() - a.len() > limit as usize {
        return None;
    }
    let far = limit + 1;
    let reach = limit as usize;
    // Row i: edits between the first i acts of b and each beginning of a, worked out near the diagonal only.
    let mut row: Vec<u32> = (0..=a.len() as u32).map(|j| j.min(far)).collect();
    for (i, &(what, wait)) in b.iter().enumerate() {
        let from = (i + 1).saturating_sub(reach);
        let to = (i + 1 + reach).min(a.len());
        let mut diagonal = row[from.saturating_sub(1)];
        if from == 0 {
            diagonal = row[0];
            row[0] = (i as u32 + 1).min(far);
        } else {
            row[from - 1] = far;
        }
        let mut least = if from == 0 { row[0] } else { far };
        for j in from.max(1)..=to {
            let same = a[j - 1].0 == what && a[j - 1].1.abs_diff(wait) <= slack;
            // Beyond the band of the row before lies nothing nearer than the limit.
            let above = if j > i + reach { far } else { row[j] };
            let cost = (diagonal + u32::from(!same)).min(above + 1).min(row[j - 1] + 1).min(far);
            diagonal = row[j];
            row[j] = cost;
            least = least.min(cost);
        }
        if least > limit {
            return None;
        }
    }
    Some(row[a.len()]).filter(|e| *e <= limit)
}
