//! One condition watched over a whole run, and what was found.

use crate::formula::{Formula, Predicate};
use crate::monitor::{Decided, Monitor};
use crate::spans::{Span, Spans};
use crate::stretch::{Columns, Rows};
use crate::value::Value;
use crate::verdict::{Truth, Verdict};
use base::Tick;

/// A condition to watch: a formula, and when it is looked at (the whole run when there is no `during`).
#[derive(Clone, Debug, PartialEq)]
pub struct Watch {
    /// The formula.
    pub formula: Formula,
    /// Only ticks at which this holds are looked at.
    pub during: Option<Formula>,
}

impl Watch {
    /// A condition that is looked at over the whole run.
    #[must_use]
    pub fn whole_run(formula: Formula) -> Watch {
        Watch { formula, during: None }
    }
}

/// The value of a tick that stands out, and the comparison that decided it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// The tick.
    pub tick: Tick,
    /// Robustness of the condition there, in the unit of the comparison.
    pub robustness: f64,
    /// What decided it.
    pub decided: Decided,
}

/// What was found of a condition in a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Ticks of the run.
    pub ticks: u32,
    /// Ticks that were looked at.
    pub looked: u32,
    /// Ticks of which `during` could not say whether to look, for a sample that is not a number.
    pub during_unknown: u32,
    /// Where it was true.
    pub kept: Spans,
    /// Where it was false.
    pub broken: Spans,
    /// Where the end of the run left it open.
    pub undecided: Spans,
    /// Where a sample that is not a number left it open.
    pub unknown: Spans,
    /// The least robustness, of the ticks that are decided or true as far as was seen; the first such tick.
    pub worst: Option<Extreme>,
    /// The greatest robustness, of the ticks that are decided or false as far as was seen; the first such tick.
    pub best: Option<Extreme>,
    /// The least robustness that each comparison decided, by its place in the formula. Margins of
    /// different kinds of quantity are kept apart here.
    pub worst_by: Vec<Option<Extreme>>,
    /// The comparisons of the formula.
    pub predicates: Vec<Predicate>,
}

impl Found {
    /// Whether it was true at every tick looked at. What is broken once is broken; otherwise what is
    /// unknown weighs more than what is undecided. Kept when nothing was looked at.
    #[must_use]
    pub fn always(&self) -> Verdict {
        if self.broken.count() > 0 { Verdict::Broken } else { self.open(Verdict::Kept) }
    }

    /// Whether it was true at some tick looked at. Broken when nothing was looked at.
    #[must_use]
    pub fn ever(&self) -> Verdict {
        if self.kept.count() > 0 { Verdict::Kept } else { self.open(Verdict::Broken) }
    }

    fn open(&self, otherwise: Verdict) -> Verdict {
        if self.unknown.count() > 0 || self.during_unknown > 0 {
            Verdict::Unknown
        } else if self.undecided.count() > 0 {
            Verdict::Undecided
        } else {
            otherwise
        }
    }

    /// The first tick at which it was true.
    #[must_use]
    pub fn first_true(&self) -> Option<Tick> {
        self.kept.first()
    }
}

/// Room to work in, for any number of watchers by turns.
#[derive(Clone, Debug, Default)]
pub struct Desk {
    formula: Columns,
    during: Columns,
}

/// Watches one condition: feed it the row of every tick, or stretches of rows, then finish.
#[derive(Clone, Debug)]
pub struct Watcher {
    monitor: Monitor,
    during: Option<Monitor>,
    /// The tick that the next value belongs to.
    next: u32,
    found: Found,
}

impl Watcher {
    /// A watcher of this condition.
    #[must_use]
    pub fn new(watch: &Watch) -> Watcher {
        let monitor = Monitor::new(&watch.formula);
        let found = Found {
            worst_by: vec![None; monitor.places()],
            predicates: watch.formula.predicates(),
            ..Found::default()
        };
        Watcher { monitor, during: watch.during.as_ref().map(Monitor::new), next: 0, found }
    }

    /// Feeds the row of the next tick.
    ///
    /// # Panics
    /// When the row is shorter than the formulas' signals ask for.
    pub fn feed(&mut self, row: &[f64]) {
        self.monitor.feed(row);
        if let Some(during) = &mut self.during {
            during.feed(row);
        }
        self.settle();
    }

    /// Feeds the rows of the next ticks: what is found is the same as by feeding them one by one.
    ///
    /// # Panics
    /// When the rows are shorter than the formulas' signals ask for.
    pub fn feed_rows(&mut self, rows: Rows<'_>, desk: &mut Desk) {
        if !self.monitor.is_prompt() || self.during.as_ref().is_some_and(|d| !d.is_prompt()) {
            self.monitor.feed_rows(rows, &mut desk.formula);
            if let Some(during) = &mut self.during {
                during.feed_rows(rows, &mut desk.during);
            }
            return self.settle();
        }
        // Nothing can be waiting: the values are noted from where they were worked out.
        let Some(values) = self.monitor.answers(rows, &mut desk.formula) else { return };
        let during = self.during.as_mut().and_then(|d| d.answers(rows, &mut desk.during));
        let truths = |i: usize| (values[i].truth, during.map(|d| d[i].truth));
        let mut from = 0;
        while from < values.len() {
            let alike = truths(from);
            let to = (from + 1..values.len()).find(|i| truths(*i) != alike).unwrap_or(values.len());
            self.look(&values[from..to], alike.1);
            from = to;
        }
    }

    /// The run is over: settles what was open and tells what was found.
    #[must_use]
    pub fn finish(mut self) -> Found {
        self.monitor.finish();
        if let Some(during) = &mut self.during {
            during.finish();
        }
        self.settle();
        self.found.ticks = self.monitor.ticks();
        self.found
    }

    fn settle(&mut self) {
        while self.monitor.is_ready() && self.during.as_ref().is_none_or(Monitor::is_ready) {
            let Some(value) = self.monitor.next_value() else { return };
            let during = self.during.as_mut().and_then(Monitor::next_value);
            self.look(&[value], during.map(|d| d.truth));
        }
    }

    /// Takes the values of the next ticks, which all have one truth, as has `during` on them.
    fn look(&mut self, values: &[Value], during: Option<Truth>) {
        let (first, ticks) = (self.next, values.len() as u32);
        self.next += ticks;
        // A `during` that the end of the run leaves open counts as far as it was seen.
        match during.map_or(Verdict::Kept, Truth::seen) {
            Verdict::Kept => self.note(first, values),
            Verdict::Unknown => self.found.during_unknown += ticks,
            Verdict::Broken | Verdict::Undecided => {}
        }
    }

    fn note(&mut self, first: u32, values: &[Value]) {
        let Some(truth) = values.first().map(|v| v.truth) else { return };
        let ticks = values.len() as u32;
        let span = Span { first: Tick(first), last: Tick(first + ticks - 1) };
        let found = &mut self.found;
        found.looked += ticks;
        let verdict = truth.verdict();
        match verdict {
            Verdict::Kept => found.kept.add(span),
            Verdict::Broken => found.broken.add(span),
            Verdict::Undecided => found.undecided.add(span),
            Verdict::Unknown => found.unknown.add(span),
        }
        if verdict == Verdict::Unknown {
            return;
        }
        let for_worst = verdict != Verdict::Undecided || truth.seen() == Verdict::Kept;
        let for_best = verdict != Verdict::Undecided || truth.seen() == Verdict::Broken;
        for (i, value) in values.iter().enumerate() {
            let robustness = value.robustness;
            let beats_worst = |e: &Option<Extreme>| e.is_none_or(|e| robustness < e.robustness);
            let place = value.leaf as usize;
            let worse = for_worst && self.found.worst_by.get(place).is_some_and(beats_worst);
            let better = for_best && self.found.best.is_none_or(|e| robustness > e.robustness);
            // Most ticks are neither: they are done here.
            if !worse && !better {
                continue;
            }
            let Some(decided) = self.monitor.decided(value) else { continue };
            let extreme = Some(Extreme { tick: Tick(first + i as u32), robustness, decided });
            if worse {
                if beats_worst(&self.found.worst) {
                    self.found.worst = extreme;
                }
                if let Some(slot) = self.found.worst_by.get_mut(place) {
                    *slot = extreme;
                }
            }
            if better {
                self.found.best = extreme;
            }
        }
    }
}

/// A cheap check of a condition on every tick, for the onset of faults and for stories that wait.
#[derive(Clone, Debug)]
pub struct Trigger {
    monitor: Monitor,
    columns: Columns,
}

impl Trigger {
    /// A trigger of this formula; `None` when the formula looks ahead ([`Formula::past_only`]), since
    /// its truth is then not known at the time.
    #[must_use]
    pub fn new(formula: &Formula) -> Option<Trigger> {
        formula.past_only().then(|| Trigger { monitor: Monitor::new(formula), columns: Columns::default() })
    }

    /// Feeds the row of the next tick and tells whether the formula is true now. What is unknown is
    /// not true.
    ///
    /// # Panics
    /// When the row is shorter than the formula's signals ask for.
    pub fn feed(&mut self, row: &[f64]) -> bool {
        let values = self.monitor.answers(Rows::one(row), &mut self.columns);
        values.and_then(<[Value]>::first).is_some_and(|v| v.verdict() == Verdict::Kept)
    }

    /// How long a row must be.
    #[must_use]
    pub fn row_width(&self) -> usize {
        self.monitor.row_width()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Interval, Signal, Span, formula::Comparison};

    fn watch(watch: &Watch, rows: &[&[f64]]) -> Found {
        let mut w = Watcher::new(watch);
        rows.iter().for_each(|r| w.feed(r));
        w.finish()
    }

    fn span(first: u32, last: u32) -> Span {
        Span { first: Tick(first), last: Tick(last) }
    }

    #[test]
    fn a_limit_with_a_time_to_look() {
        let keep = Watch { formula: Formula::below(0, 10.0), during: Some(Formula::above(1, 0.5)) };
        // Tick 0 is past the limit, but not looked at; 2 and 3 are past it; 5 is missing.
        let f = watch(&keep, &[&[20.0, 0.0], &[9.0, 1.0], &[12.0, 1.0], &[11.0, 1.0], &[8.0, 1.0], &[f64::NAN, 1.0]]);
        assert_eq!((f.ticks, f.looked), (6, 5));
        assert_eq!(f.kept.list(), [span(1, 1), span(4, 4)]);
        assert_eq!(f.broken.list(), [span(2, 3)]);
        assert_eq!(f.unknown.list(), [span(5, 5)]);
        assert_eq!((f.always(), f.ever()), (Verdict::Broken, Verdict::Kept));
        let worst = f.worst.unwrap();
        assert_eq!(
            (worst.tick, worst.robustness, worst.decided.sample, worst.decided.margin),
            (Tick(2), -2.0, 12.0, -2.0)
        );
        assert_eq!(
            worst.decided.predicate,
            Predicate::Compare { signal: Signal(0), how: Comparison::Below, with: 10.0 }
        );
        assert_eq!(f.best.unwrap().robustness, 2.0);
    }

    #[test]
    fn kinds_of_quantity_are_kept_apart() {
        // A pressure in pascal and a temperature in kelvin: each has its own worst.
        let keep = Watch::whole_run(Formula::All(vec![Formula::below(0, 5e5), Formula::below(1, 700.0)]));
        let f = watch(&keep, &[&[4e5, 650.0], &[5.1e5, 690.0], &[4.9e5, 703.0]]);
        assert_eq!(f.worst_by[0].unwrap().robustness, -1e4);
        assert_eq!(f.worst_by[1].unwrap().robustness, -3.0);
        assert_eq!(f.worst_by[1].unwrap().decided.sample, 703.0);
    }

    #[test]
    fn what_the_end_cuts_is_undecided() {
        let soon = Watch::whole_run(Formula::Eventually(Interval::within(2), Box::new(Formula::above(0, 0.0))));
        let f = watch(&soon, &[&[1.0], &[-3.0], &[-2.0], &[-5.0]]);
        assert_eq!((f.kept.ticks(), f.broken.ticks(), f.undecided.ticks()), (1, 1, 2));
        assert_eq!((f.always(), f.ever()), (Verdict::Broken, Verdict::Kept));
        // The cut ticks are false as far as was seen, and no breach: the worst is that of tick 1.
        assert_eq!(f.worst.unwrap().robustness, -2.0);
    }

    #[test]
    fn an_unknown_during_is_told() {
        let keep = Watch { formula: Formula::below(0, 10.0), during: Some(Formula::above(1, 0.5)) };
        let f = watch(&keep, &[&[1.0, 1.0], &[1.0, f64::NAN]]);
        assert_eq!((f.looked, f.during_unknown, f.always()), (1, 1, Verdict::Unknown));
    }

    #[test]
    fn a_trigger_looks_back_only() {
        let mut t = Trigger::new(&Formula::above(0, 0.0).lasted(1)).unwrap();
        assert_eq!([1.0, 1.0, f64::NAN, 1.0, 1.0].map(|x| t.feed(&[x])), [false, true, false, false, true]);
        assert!(Trigger::new(&Formula::Eventually(Interval::ALL, Box::new(Formula::above(0, 0.0)))).is_none());
    }
}
