//! What windows behind sum up to, sample by sample (the equations are with the words, in `term`).
//!
//! Sums are folds of the window's own samples, never a running total with old samples taken off again: nothing
//! drifts over a long run, and a sample that is not a number leaves no trace once it is out of the window.

use crate::formula::Interval;
use crate::sliding::Sliding;
use crate::term::{Edge, Summary, Term};
use crate::value::Value;
use crate::verdict::Verdict;
use crate::window::{Fold, RESERVED};
use base::tick::TICKS_PER_SECOND;
use std::collections::VecDeque;

const PER_SECOND: f64 = TICKS_PER_SECOND as f64;

/// A number, and whether the end of the run could still change it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Number {
    x: f64,
    open: bool,
}

impl Number {
    fn of(v: &Value) -> Number {
        Number { x: v.robustness, open: v.is_open() }
    }
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Lesser(Number);

impl Fold for Lesser {
    fn then(self, newer: Self) -> Self {
        let (a, b) = (self.0, newer.0);
        Lesser(Number { x: if a.x.is_nan() || a.x <= b.x { a.x } else { b.x }, open: a.open | b.open })
    }
}

/// A sum, its number of samples, and the sum of each sample times the samples before it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line {
    sum: f64,
    weighted: f64,
    samples: f64,
    open: bool,
}

impl Fold for Line {
    fn then(self, newer: Self) -> Self {
        Line {
            sum: self.sum + newer.sum,
            weighted: self.weighted + newer.weighted + self.samples * newer.sum,
            samples: self.samples + newer.samples,
            open: self.open | newer.open,
        }
    }
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Total {
    sum: f64,
    samples: u32,
    open: bool,
}

impl Fold for Total {
    fn then(self, newer: Self) -> Self {
        Total { sum: self.sum + newer.sum, samples: self.samples + newer.samples, open: self.open | newer.open }
    }
}

/// How many ticks count, and whether it is unknown or open at some.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ticks {
    count: u32,
    unknown: bool,
    open: bool,
}

impl Fold for Ticks {
    fn then(self, newer: Self) -> Self {
        Ticks { count: self.count + newer.count, unknown: self.unknown | newer.unknown, open: self.open | newer.open }
    }
}

/// True ticks in a row: at the beginning, at the end, at most; and all ticks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    head: u32,
    tail: u32,
    best: u32,
    all: u32,
    unknown: bool,
    open: bool,
}

impl Fold for Row {
    fn then(self, newer: Self) -> Self {
        Row {
            head: if self.head == self.all { self.all + newer.head } else { self.head },
            tail: if newer.tail == newer.all { self.tail + newer.all } else { newer.tail },
            best: self.best.max(newer.best).max(self.tail + newer.head),
            all: self.all + newer.all,
            unknown: self.unknown | newer.unknown,
            open: self.open | newer.open,
        }
    }
}

/// One word of the table in `term` at work.
#[derive(Clone, Debug)]
pub(crate) struct Summing {
    what: What,
    /// The tick that the next sample belongs to.
    tick: u32,
    /// The sample before, and the first of the run.
    before: Option<Value>,
    first: Number,
}

#[derive(Clone, Debug)]
enum What {
    Least(Sliding<Lesser>),
    Greatest(Sliding<Lesser>),
    Mean(Sliding<Total>),
    Integral(Sliding<Total>),
    Travel(Sliding<Total>),
    Slope(Sliding<Line>),
    Rate(u32, VecDeque<Number>),
    Held(Sliding<Ticks>),
    Stretch(Sliding<Row>),
    /// Ticks in a row; whether that is unknown, or open.
    Lasted(Ticks),
    Count(Edge, Sliding<Ticks>),
}

impl Summing {
    /// The word of a term; `None` for arithmetic, and for a window that ends before it begins.
    pub(crate) fn new(term: &Term) -> Option<Summing> {
        let window = |i: &Interval| (!i.is_empty()).then_some(*i);
        let what = match term {
            Term::Over(summary, i, _) => {
                let i = window(i)?;
                match summary {
                    Summary::Least => What::Least(Sliding::new(i)),
                    Summary::Greatest => What::Greatest(Sliding::new(i)),
                    Summary::Mean => What::Mean(Sliding::new(i)),
                    Summary::Integral => What::Integral(Sliding::new(i)),
                    Summary::Travel => What::Travel(Sliding::new(i)),
                    Summary::Slope => What::Slope(Sliding::new(i)),
                }
            }
            Term::Rate(ticks, _) => What::Rate(*ticks, VecDeque::with_capacity((*ticks as usize + 2).min(RESERVED))),
            Term::Held(i, _) => What::Held(Sliding::new(window(i)?)),
            Term::Stretch(i, _) => What::Stretch(Sliding::new(window(i)?)),
            Term::Lasted(_) => What::Lasted(Ticks { count: 0, unknown: false, open: false }),
            Term::Count(edge, i, _) => What::Count(*edge, Sliding::new(window(i)?)),
            _ => return None,
        };
        Some(Summing { what, tick: 0, before: None, first: Number { x: f64::NAN, open: false } })
    }

    /// What a word says of a window that holds no tick.
    pub(crate) fn of_nothing(term: &Term) -> f64 {
        match term {
            Term::Over(Summary::Least, ..) => f64::INFINITY,
            Term::Over(Summary::Greatest, ..) => f64::NEG_INFINITY,
            Term::Over(Summary::Mean, ..) => f64::NAN,
            _ => 0.0,
        }
    }

    /// Takes the next sample (a number, or the value of a condition) and gives the number of its tick.
    pub(crate) fn take(&mut self, v: Value) -> Value {
        let tick = self.tick;
        self.tick += 1;
        if self.before.is_none() {
            self.first = Number::of(&v);
        }
        let before = self.before.replace(v);
        let (x, open) = match &mut self.what {
            What::Least(s) => s.take(Lesser(Number::of(&v))).map_or((f64::INFINITY, false), |l| (l.0.x, l.0.open)),
            What::Greatest(s) => {
                let turned = Lesser(Number { x: -v.robustness, open: v.is_open() });
                s.take(turned).map_or((f64::NEG_INFINITY, false), |l| (-l.0.x, l.0.open))
            }
            What::Mean(s) => match s.take(total(v.robustness, v.is_open())) {
                Some(t) => (t.sum / f64::from(t.samples), t.open),
                None => (self.first.x, self.first.open),
            },
            What::Integral(s) => {
                s.take(total(v.robustness, v.is_open())).map_or((0.0, false), |t| (t.sum / PER_SECOND, t.open))
            }
            What::Travel(s) => {
                let (step, open) = match before {
                    Some(b) => ((v.robustness - b.robustness).abs(), v.is_open() | b.is_open()),
                    None => (0.0, false), // nothing was before
                };
                s.take(total(step, open)).map_or((0.0, false), |t| (t.sum, t.open))
            }
            What::Slope(s) => {
                let line = Line { sum: v.robustness, weighted: 0.0, samples: 1.0, open: v.is_open() };
                let length = s.length();
                s.take(line).map_or((0.0, false), |l| (slope(l, length, self.first.x), l.open))
            }
            What::Rate(ticks, ring) => {
                let ticks = *ticks;
                ring.push_back(Number::of(&v));
                let past =
                    if ring.len() > ticks as usize + 1 { ring.pop_front().and(ring.front()) } else { ring.front() };
                let past = past.copied().unwrap_or(self.first);
                ((v.robustness - past.x) / (f64::from(ticks) / PER_SECOND), v.is_open() | past.open)
            }
            What::Held(s) => seconds(s.take(ticks(seen(&v), &v))),
            What::Stretch(s) => {
                let is = u32::from(seen(&v) == Some(true));
                let row =
                    Row { head: is, tail: is, best: is, all: 1, unknown: seen(&v).is_none(), open: is_undecided(&v) };
                seconds(s.take(row).map(|r| Ticks { count: r.best, unknown: r.unknown, open: r.open }))
            }
            What::Lasted(row) => {
                *row = match seen(&v) {
                    Some(false) => ticks(Some(false), &v),
                    now => row.then(ticks(now, &v)),
                };
                seconds(Some(*row))
            }
            What::Count(edge, s) => {
                let counted = edge_of(*edge, before.as_ref(), &v);
                let open = match before {
                    Some(b) => is_undecided(&v) | is_undecided(&b),
                    None => *edge == Edge::Rises && is_undecided(&v),
                };
                let t = Ticks { count: u32::from(counted == Some(true)), unknown: counted.is_none(), open };
                s.take(t).map_or((0.0, false), |t| (if t.unknown { f64::NAN } else { f64::from(t.count) }, t.open))
            }
        };
        Value::number(x, open, tick)
    }

    /// Samples kept.
    pub(crate) fn kept(&self) -> usize {
        match &self.what {
            What::Least(s) | What::Greatest(s) => s.kept(),
            What::Mean(s) | What::Integral(s) | What::Travel(s) => s.kept(),
            What::Slope(s) => s.kept(),
            What::Held(s) | What::Count(_, s) => s.kept(),
            What::Stretch(s) => s.kept(),
            What::Rate(_, ring) => ring.len(),
            What::Lasted(_) => 1,
        }
    }

    pub(crate) fn work(&self) -> u64 {
        match &self.what {
            What::Least(s) | What::Greatest(s) => s.work(),
            What::Mean(s) | What::Integral(s) | What::Travel(s) => s.work(),
            What::Slope(s) => s.work(),
            What::Held(s) | What::Count(_, s) => s.work(),
            What::Stretch(s) => s.work(),
            What::Rate(..) | What::Lasted(_) => 0,
        }
    }
}

fn total(sum: f64, open: bool) -> Total {
    Total { sum, samples: 1, open }
}

/// Whether a condition is true as far as was seen; `None` when that is unknown.
fn seen(v: &Value) -> Option<bool> {
    match v.truth.seen() {
        Verdict::Kept => Some(true),
        Verdict::Unknown => None,
        _ => Some(false),
    }
}

fn is_undecided(v: &Value) -> bool {
    v.verdict() == Verdict::Undecided
}

fn ticks(now: Option<bool>, v: &Value) -> Ticks {
    Ticks { count: u32::from(now == Some(true)), unknown: now.is_none(), open: is_undecided(v) }
}

/// Seconds of so many ticks; not a number when one of them is unknown.
fn seconds(t: Option<Ticks>) -> (f64, bool) {
    t.map_or((0.0, false), |t| (if t.unknown { f64::NAN } else { f64::from(t.count) / PER_SECOND }, t.open))
}

/// Whether a tick counts; `None` when that is unknown.
fn edge_of(edge: Edge, before: Option<&Value>, now: &Value) -> Option<bool> {
    let now = seen(now);
    let Some(before) = before else {
        return if edge == Edge::Rises { now } else { Some(false) };
    };
    let before = seen(before);
    match edge {
        Edge::Rises if now == Some(false) || before == Some(true) => Some(false),
        Edge::Falls if now == Some(true) || before == Some(false) => Some(false),
        _ => Some(now? != before?),
    }
}

/// Slope of the line of least squares, per second: the samples of the fold, before them the first sample of
/// the run for as many ticks as the window lacks.
fn slope(fold: Line, length: Option<usize>, first: f64) -> f64 {
    let n = length.map_or(fold.samples, |l| l as f64);
    let lacking = n - fold.samples;
    let mut line = fold;
    if lacking > 0.0 {
        let stood = Line {
            sum: lacking * first,
            weighted: first * lacking * (lacking - 1.0) / 2.0,
            samples: lacking,
            open: false,
        };
        line = stood.then(fold);
    }
    if !line.sum.is_finite() {
        return f64::NAN;
    }
    if n < 2.0 {
        return 0.0; // a line through one tick: nothing has changed
    }
    // Sum of (i - mean i) x over sum of (i - mean i)^2, i from 0 to n - 1.
    (line.weighted - (n - 1.0) / 2.0 * line.sum) / (n * (n * n - 1.0) / 12.0) * PER_SECOND
}

#[cfg(test)]
mod tests {
    use crate::{Comparison, Edge, Formula, Interval, Measure, Summary, Term, Verdict, Word, evaluate, numbers};

    const LAST3: Interval = Interval { from: 0, to: Some(2) };

    fn of(term: Term, xs: &[f64]) -> Vec<f64> {
        numbers(&term, xs.iter().map(|x| [*x]))
    }

    fn over(summary: Summary, xs: &[f64]) -> Vec<f64> {
        of(Term::signal(0).over(summary, LAST3), xs)
    }

    #[test]
    fn windows_of_numbers() {
        let xs = [1.0, 4.0, 2.0, 2.0, 8.0];
        assert_eq!(over(Summary::Least, &xs), [1.0, 1.0, 1.0, 2.0, 2.0]);
        assert_eq!(over(Summary::Greatest, &xs), [1.0, 4.0, 4.0, 4.0, 8.0]);
        assert_eq!(over(Summary::Mean, &xs), [1.0, 2.5, 7.0 / 3.0, 8.0 / 3.0, 4.0]);
        assert_eq!(over(Summary::Integral, &xs), [0.1, 0.5, 0.7, 0.8, 1.2]);
        assert_eq!(over(Summary::Travel, &xs), [0.0, 3.0, 5.0, 5.0, 8.0]);
        // 4 a second: 2 kg/s for a quarter of an hour make 1800 kg.
        let mass = of(Term::signal(0).over(Summary::Integral, Interval::ALL), &[2.0; 9000]);
        assert_eq!(mass[8999], 1800.0);
    }

    #[test]
    fn a_slope_is_that_of_the_line() {
        // Half a kelvin a tick is five a second, once the window is full; before that it is less, never more.
        let xs: Vec<f64> = (0..40).map(|t| 300.0 + 0.5 * f64::from(t)).collect();
        let window = Interval { from: 2, to: Some(11) };
        let slopes = of(Term::signal(0).over(Summary::Slope, window), &xs);
        assert!(slopes[11..].iter().all(|s| (s - 5.0).abs() < 1e-9), "{slopes:?}");
        assert!(slopes[..11].windows(2).all(|w| w[0] <= w[1] + 1e-9) && slopes[0] == 0.0, "{slopes:?}");
        // The textbook's sum of products over sum of squares, on noise.
        let noise: Vec<f64> = (0..200u32).map(|t| f64::from(t.wrapping_mul(2_654_435_761) >> 24)).collect();
        let got = of(Term::signal(0).over(Summary::Slope, Interval::within(29)), &noise);
        for t in 29..noise.len() {
            let xs = &noise[t - 29..=t];
            let (mi, mx) = (14.5, xs.iter().sum::<f64>() / 30.0);
            let products: f64 = xs.iter().enumerate().map(|(i, x)| (i as f64 - mi) * (x - mx)).sum();
            let squares: f64 = (0..30).map(|i| (f64::from(i) - mi) * (f64::from(i) - mi)).sum();
            assert!((got[t] - products / squares * 10.0).abs() < 1e-9, "{t}");
        }
        let rates = of(Term::Rate(10, Box::new(Term::signal(0))), &xs);
        assert_eq!((rates[0], rates[5], rates[10], rates[39]), (0.0, 2.5, 5.0, 5.0));
    }

    #[test]
    fn a_missing_sample_is_forgotten_once_it_is_out_of_the_window() {
        for summary in [Summary::Least, Summary::Mean, Summary::Integral, Summary::Slope] {
            let got = over(summary, &[1.0, f64::NAN, 1.0, 1.0, 1.0]);
            assert!(
                got[1..4].iter().all(|x| x.is_nan()) && !got[4].is_nan() && !got[0].is_nan(),
                "{summary:?} {got:?}"
            );
        }
    }

    #[test]
    fn conditions_are_timed_and_counted() {
        let xs = [1.0, 1.0, -1.0, 1.0, 1.0, 1.0, -1.0, -1.0];
        let up = || Box::new(Formula::above(0, 0.0));
        let last4 = Interval::within(3);
        assert_eq!(of(Term::Held(last4, up()), &xs), [0.1, 0.2, 0.2, 0.3, 0.3, 0.3, 0.3, 0.2]);
        assert_eq!(of(Term::Stretch(last4, up()), &xs), [0.1, 0.2, 0.2, 0.2, 0.2, 0.3, 0.3, 0.2]);
        assert_eq!(of(Term::Lasted(up()), &xs), [0.1, 0.2, 0.0, 0.1, 0.2, 0.3, 0.0, 0.0]);
        assert_eq!(of(Term::Count(Edge::Rises, Interval::ALL, up()), &xs), [1.0, 1.0, 1.0, 2.0, 2.0, 2.0, 2.0, 2.0]);
        assert_eq!(of(Term::Count(Edge::Falls, Interval::ALL, up()), &xs), [0.0, 0.0, 1.0, 1.0, 1.0, 1.0, 2.0, 2.0]);
        assert_eq!(of(Term::Count(Edge::Changes, last4, up()), &xs), [0.0, 0.0, 1.0, 2.0, 2.0, 2.0, 2.0, 1.0]);
    }

    #[test]
    fn the_number_decides_with_its_unit() {
        // Held for half a second in all: the margin is in seconds, not in the signal's unit.
        let held = Term::Held(Interval::ALL, Box::new(Formula::above(0, 4e5)));
        let f = Formula::measured(held, Comparison::AtLeast, 0.5);
        let mut m = crate::Monitor::new(&f);
        let mut values = Vec::new();
        for t in 0..8 {
            m.feed(&[if t % 2 == 0 { 5e5 } else { 3e5 }]);
            values.extend(m.next_value());
        }
        let last = m.decided(&values[7]).unwrap();
        assert!((last.margin + 0.1).abs() < 1e-12 && (last.sample - 0.4).abs() < 1e-12, "{last:?}");
        assert_eq!(m.places(), 1);
        let crate::Predicate::Measured { word, measure, of, .. } = last.predicate else { panic!("{last:?}") };
        assert_eq!((word, measure, of), (Word::Held(Interval::ALL), Measure::Time, None));
        assert_eq!(f.predicates(), [last.predicate]);
    }

    #[test]
    fn units_follow_from_the_words() {
        let x = || Term::signal(3);
        let over = |s| x().over(s, LAST3);
        let told =
            [over(Summary::Mean), over(Summary::Slope), over(Summary::Integral), over(Summary::Travel), x().off(2.0)];
        let measures = told.map(|t| (t.of().map(|s| s.0), t.measure()));
        let expected =
            [Measure::Level, Measure::PerSecond, Measure::Integral, Measure::Difference, Measure::Difference];
        assert_eq!(measures, expected.map(|m| (Some(3), m)));
        let ratio = Term::Quotient(Box::new(x()), Box::new(Term::signal(1)));
        assert_eq!(ratio.measure(), Measure::Other);
    }

    #[test]
    fn what_the_end_leaves_open_is_undecided_in_a_count_too() {
        // How long it has been so that a trip follows within 3 ticks.
        let soon = Formula::Eventually(Interval::within(3), Box::new(Formula::above(0, 0.0)));
        let f = Formula::measured(Term::Held(Interval::ALL, Box::new(soon)), Comparison::AtLeast, 0.3);
        let verdicts: Vec<Verdict> =
            evaluate(&f, [[0.0], [1.0], [0.0], [0.0], [0.0], [0.0]]).iter().map(crate::Value::verdict).collect();
        // True at ticks 0 and 1, false at 2; from 3 on the end of the run stands in the way.
        use Verdict::{Broken, Undecided};
        assert_eq!(verdicts, [Broken, Broken, Broken, Undecided, Undecided, Undecided]);
    }
}
