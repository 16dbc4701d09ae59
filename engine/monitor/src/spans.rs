//! Spans of ticks, remembered up to a counted number.

use base::Tick;

/// Ticks from the first to the last, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First tick.
    pub first: Tick,
    /// Last tick.
    pub last: Tick,
}

impl Span {
    /// How many ticks.
    #[must_use]
    pub fn ticks(self) -> u32 {
        self.last.0 - self.first.0 + 1
    }
}

/// How many spans are remembered; all are counted.
pub const REMEMBERED: usize = 1024;

/// Spans in the order of time. Only the first [`REMEMBERED`] are kept one by one; the number of
/// spans and of ticks is of all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spans {
    list: Vec<Span>,
    count: u32,
    ticks: u32,
    latest: Option<Span>,
}

/// There were more spans than are remembered, so that the question has no certain answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooMany;

impl Spans {
    /// Adds ticks that are all later than every tick before.
    pub(crate) fn add(&mut self, more: Span) {
        self.ticks += more.ticks();
        match &mut self.latest {
            Some(span) if span.last.0 + 1 == more.first.0 => span.last = more.last,
            latest => {
                *latest = Some(more);
                self.count += 1;
            }
        }
        if let Some(span) = self.latest {
            let at = self.count as usize - 1;
            match self.list.get_mut(at) {
                Some(listed) => *listed = span,
                None if at < REMEMBERED => self.list.push(span),
                None => {}
            }
        }
    }

    /// The spans that are remembered.
    #[must_use]
    pub fn list(&self) -> &[Span] {
        &self.list
    }

    /// How many spans there were.
    #[must_use]
    pub fn count(&self) -> u32 {
        self.count
    }

    /// How many ticks they have in all.
    #[must_use]
    pub fn ticks(&self) -> u32 {
        self.ticks
    }

    /// True when there were more spans than are remembered.
    #[must_use]
    pub fn overflowed(&self) -> bool {
        self.count as usize > self.list.len()
    }

    /// The first tick of all.
    #[must_use]
    pub fn first(&self) -> Option<Tick> {
        self.list.first().map(|s| s.first)
    }

    /// The last tick of all.
    #[must_use]
    pub fn last(&self) -> Option<Tick> {
        self.latest.map(|s| s.last)
    }

    /// The first tick at or after a moment.
    ///
    /// # Errors
    /// When it lies beyond the spans that are remembered.
    pub fn next_from(&self, moment: Tick) -> Result<Option<Tick>, TooMany> {
        match self.list.iter().find(|s| s.last >= moment) {
            Some(s) => Ok(Some(s.first.max(moment))),
            None if self.overflowed() && self.last() >= Some(moment) => Err(TooMany),
            None => Ok(None),
        }
    }

    /// The first span that begins at or after a moment: where the condition comes true again.
    ///
    /// # Errors
    /// When it lies beyond the spans that are remembered.
    pub fn beginning_from(&self, moment: Tick) -> Result<Option<Span>, TooMany> {
        match self.list.iter().find(|s| s.first >= moment) {
            Some(s) => Ok(Some(*s)),
            None if self.overflowed() && self.latest.is_some_and(|s| s.first >= moment) => Err(TooMany),
            None => Ok(None),
        }
    }

    /// Whether a tick lies in one of the remembered spans.
    #[must_use]
    pub fn contains(&self, tick: Tick) -> bool {
        self.list.iter().any(|s| s.first <= tick && tick <= s.last)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_join_and_gaps_part() {
        let mut s = Spans::default();
        for (first, last) in [(0, 0), (1, 2), (5, 5), (7, 7), (8, 8)] {
            s.add(Span { first: Tick(first), last: Tick(last) });
        }
        assert_eq!((s.count(), s.ticks(), s.overflowed()), (3, 6, false));
        assert_eq!(s.next_from(Tick(1)), Ok(Some(Tick(1))));
        assert_eq!(s.next_from(Tick(3)), Ok(Some(Tick(5))));
        assert_eq!(s.next_from(Tick(9)), Ok(None));
        assert_eq!(s.beginning_from(Tick(1)), Ok(Some(Span { first: Tick(5), last: Tick(5) })));
        assert_eq!(s.beginning_from(Tick(8)), Ok(None));
    }

    #[test]
    fn what_is_not_remembered_is_counted_and_said() {
        let mut s = Spans::default();
        for t in 0..2000 {
            s.add(Span { first: Tick(2 * t), last: Tick(2 * t) });
        }
        assert_eq!((s.count(), s.ticks(), s.list().len(), s.overflowed()), (2000, 2000, REMEMBERED, true));
        assert_eq!(s.last(), Some(Tick(3998)));
        assert_eq!(s.next_from(Tick(3000)), Err(TooMany));
        assert_eq!(s.next_from(Tick(3999)), Ok(None));
    }
}
