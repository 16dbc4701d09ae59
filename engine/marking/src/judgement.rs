//! One item judged, before it becomes a verdict of the sheet, and the arithmetic of parts of marks.

use crate::verdict::{Outcome, Verdict};
use base::Tick;
use base::record::{Ending, Happening, Record};
use base::sheet::{Asked, Item, Marks};

/// All the marks, in parts of a million.
pub const WHOLE: i64 = 1_000_000;

/// A part of the marks that falls in a straight line: whole up to `full`, nothing from `none` on,
/// rounded to the nearest millionth between (half away from zero). Where `none` is not after `full`
/// there is no line: whole up to `full`, nothing after.
#[must_use]
pub fn falling(at: i64, full: i64, none: i64) -> i64 {
    if at <= full {
        WHOLE
    } else if at >= none {
        0
    } else {
        let (left, line) = (i128::from(none) - i128::from(at), i128::from(none) - i128::from(full));
        ((2 * left * i128::from(WHOLE) + line) / (2 * line)) as i64
    }
}

/// The same line over real numbers: whole at no distance, nothing from `none` on.
#[must_use]
pub fn falling_with(distance: f64, none: f64) -> i64 {
    if distance <= 0.0 {
        WHOLE
    } else if distance >= none {
        0
    } else {
        ((1.0 - distance / none) * WHOLE as f64).round() as i64
    }
}

/// How what was seen of a run came to its end.
#[derive(Clone, Copy, Debug)]
pub(crate) struct End {
    /// The last tick.
    pub at: Tick,
    /// Why the trainee's run may have gone on unseen; `None` when all of it was seen.
    pub unseen: Option<Unseen>,
}

/// Why the rest of a run could not be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unseen {
    CutOff,
    Drifted,
}

impl End {
    /// The end of a run, by its record.
    pub(crate) fn of(record: &Record) -> End {
        let unseen = record.events.iter().rev().find_map(|e| match &e.what {
            Happening::Ended(ending) => Some(match ending {
                Ending::LogCutOff => Some(Unseen::CutOff),
                Ending::Drifted(_) => Some(Unseen::Drifted),
                _ => None,
            }),
            _ => None,
        });
        End { at: record.end, unseen: unseen.flatten() }
    }

    /// "the log broke off at 00:12.3".
    fn why(&self) -> String {
        match self.unseen {
            Some(Unseen::CutOff) => format!("the log broke off at {}", self.at),
            Some(Unseen::Drifted) => format!("the replay parted from the recorded run at {}", self.at),
            None => format!("the run ended at {}", self.at),
        }
    }
}

/// What was found of one item.
#[derive(Clone, Debug, Default)]
pub(crate) struct Judgement {
    /// Part of the marks, millionths; `None` when the item is not assessed.
    pub part: Option<i64>,
    /// Lost, for an item that is critical.
    pub lost: bool,
    /// Not assessed because the rest of the run, which would have decided it, could not be seen.
    pub open: bool,
    /// Nothing was earned since nobody tried.
    pub untried: bool,
    pub found: String,
    pub value_margin: Option<String>,
    pub time_margin: Option<String>,
    pub when: Option<Tick>,
    pub evidence: Vec<(Tick, Tick)>,
}

impl Judgement {
    /// Neither earned nor lost, for this reason.
    pub(crate) fn not_assessed(reason: String) -> Judgement {
        Judgement { found: format!("not assessed: {reason}"), ..Judgement::default() }
    }

    /// Neither earned nor lost, since what could be seen of the run ends before it was decided.
    pub(crate) fn open(end: &End, what: &str) -> Judgement {
        Judgement { open: true, ..Judgement::not_assessed(format!("{what} when {}", end.why())) }
    }

    /// What an item that need not be tried, or that comes on top, makes of it.
    pub(crate) fn counted_as(self, asked: Asked) -> Judgement {
        let nothing = self.part == Some(0);
        let why = match asked {
            Asked::Optional if nothing && self.untried => "it need not be done",
            Asked::Bonus if nothing => "it would have come on top",
            _ => return self,
        };
        Judgement { part: None, lost: false, found: format!("not assessed: {why}; {}", self.found), ..self }
    }

    /// The verdict on an item.
    pub(crate) fn verdict<C>(self, item: &Item<C>) -> Verdict {
        let outcome = match self.part {
            None => Outcome::NotAssessed,
            Some(p) if p >= WHOLE => Outcome::Full,
            Some(0) => Outcome::Nothing,
            Some(_) => Outcome::Part,
        };
        let lost_something = matches!(outcome, Outcome::Part | Outcome::Nothing);
        let asked = item.counts.asked != Asked::Bonus;
        Verdict {
            name: item.name.clone(),
            kind: item.kind.word(),
            expected: item.expected.clone(),
            outcome,
            open: self.open,
            earned: self.part.map_or(Marks(0), |p| item.marks.part(p)),
            out_of: self.part.filter(|_| asked).map_or(Marks(0), |_| item.marks),
            critical: item.critical,
            found: self.found,
            value_margin: self.value_margin,
            time_margin: self.time_margin,
            when: self.when,
            shown: None,
            actual: None,
            evidence: self.evidence,
            practise: item.practise.clone().filter(|_| lost_something),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_fall_in_a_straight_line() {
        assert_eq!([99, 100, 150, 200, 201].map(|t| falling(t, 100, 200)), [WHOLE, WHOLE, 500_000, 0, 0]);
        assert_eq!(falling(1, 0, 3), 666_667);
        assert_eq!(falling(2, 0, 3), 333_333);
        // No line: a deadline.
        assert_eq!([5, 6].map(|t| falling(t, 5, 5)), [WHOLE, 0]);
        assert_eq!([5, 6].map(|t| falling(t, 5, 2)), [WHOLE, 0]);
    }
}
