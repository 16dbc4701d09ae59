//! What marks are given for, watched in stretches.
//!
//! Nothing in a run waits for what a watcher finds, so a watcher need not see every row on its tick. It is fed a
//! stretch of rows at a time: what one watcher needs then stays in the processor's cache for the whole stretch, and
//! each part of its formula is worked over all of them before the next ([`monitor::stretch`]).
//! The rows and their order are the same, and so is what is found.

use monitor::{Desk, Found, Rows, STRETCH, Watcher};

/// Watchers, and the rows that they have not seen.
#[derive(Clone, Debug, Default)]
pub(super) struct Watching {
    watchers: Vec<Watcher>,
    rows: Vec<f64>,
    waiting: usize,
    desk: Desk,
}

impl Watching {
    /// Nothing seen yet.
    pub fn of(watchers: Vec<Watcher>) -> Watching {
        Watching { watchers, rows: vec![], waiting: 0, desk: Desk::default() }
    }

    /// Takes the row of the next tick.
    pub fn take(&mut self, row: &[f64]) {
        if self.watchers.is_empty() {
            return;
        }
        if self.waiting == 0 {
            self.rows.reserve_exact(STRETCH * row.len());
        }
        self.rows.extend_from_slice(row);
        self.waiting += 1;
        if self.waiting == STRETCH {
            self.feed();
        }
    }

    fn feed(&mut self) {
        if self.waiting == 0 {
            return;
        }
        let width = self.rows.len() / self.waiting;
        let rows = Rows::new(&self.rows, width, self.waiting);
        for watcher in &mut self.watchers {
            watcher.feed_rows(rows, &mut self.desk);
        }
        self.rows.clear();
        self.waiting = 0;
    }

    /// What was found, the last rows included.
    pub fn finish(mut self) -> Vec<Found> {
        self.feed();
        self.watchers.into_iter().map(Watcher::finish).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use monitor::{Formula, Interval, Watch};

    #[test]
    fn a_stretch_at_a_time_finds_what_a_row_at_a_time_does() {
        let watch = Watch { formula: Formula::above(0, 0.3).lasted(3), during: Some(Formula::below(1, 0.9)) };
        let late = Watch::whole_run(Formula::Eventually(Interval::within(7), Box::new(Formula::above(1, 0.8))));
        for ticks in [0, 1, 31, 32, 33, 200] {
            let row = |t: usize| [(t * 37 % 101) as f64 / 101.0, (t * 53 % 97) as f64 / 97.0];
            let watchers = || vec![Watcher::new(&watch), Watcher::new(&late)];
            let mut one_by_one = watchers();
            let mut stretches = Watching::of(watchers());
            for t in 0..ticks {
                one_by_one.iter_mut().for_each(|w| w.feed(&row(t)));
                stretches.take(&row(t));
            }
            let found: Vec<Found> = one_by_one.into_iter().map(Watcher::finish).collect();
            assert!(ticks < 100 || (found[0].kept.ticks() > 0 && found[0].broken.ticks() > 0), "a run with both");
            assert_eq!(stretches.finish(), found, "{ticks} ticks");
        }
    }

    #[test]
    fn a_condition_on_nothing_is_fed_rows_without_columns() {
        let mut w = Watching::of(vec![Watcher::new(&Watch::whole_run(Formula::All(vec![])))]);
        for _ in 0..70 {
            w.take(&[]);
        }
        assert_eq!(w.finish()[0].ticks, 70);
    }
}
