//! Margins and times as people say them.
//!
//! A value margin is told from the comparison that decided and in that comparison's unit. Where a
//! condition compares several kinds of quantity, a margin that was kept is not told (it would weigh
//! pascal against kelvin); what was broken is told of each kind by itself.
//!
//! Values are told in the unit in which they are read on board, with as many decimals as that unit has
//! and more where a margin would be off by more than a tenth of itself: it never rounds to nothing.

use base::Tag;
use base::observable::{Observable, Watched};
use base::tick::TICKS_PER_SECOND;
use base::units::{Dimension, Unit, units_of};
use monitor::{Extreme, Found, Interval, Measure, Predicate, Signal, Summary, Word};

/// What marking needs to speak of the signals of a run.
#[derive(Clone, Copy)]
pub struct Language<'a> {
    /// What the signals of the conditions are, in the order of the row.
    pub watched: &'a [Watched],
    /// What people call an observable.
    pub name: &'a dyn Fn(&Observable) -> String,
    /// The unit in which an observable is read on board; `None` for the usual one of its dimension.
    pub unit: &'a dyn Fn(&Observable) -> Option<&'static Unit>,
}

/// A duration: `12.0 s`, `4 min`, `4 min 3 s`, `4 min 3.5 s`, `1 h 0 min 5 s`.
#[must_use]
pub fn duration(ticks: u32) -> String {
    let (whole, tenths) = (ticks / TICKS_PER_SECOND, ticks % TICKS_PER_SECOND);
    if whole < 60 {
        return format!("{whole}.{tenths} s");
    }
    let (h, m, s) = (whole / 3600, whole / 60 % 60, whole % 60);
    let mut text = if h > 0 { format!("{h} h {m} min") } else { format!("{m} min") };
    if tenths > 0 {
        text.push_str(&format!(" {s}.{tenths} s"));
    } else if s > 0 {
        text.push_str(&format!(" {s} s"));
    }
    text
}

/// "once", "twice", "3 times".
pub(crate) fn times(n: u32) -> String {
    match n {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}

/// A number with as many decimals as the unit has, and up to four more where the number would read
/// as zero and is not.
fn number(value: f64, decimals: usize) -> String {
    let told = |d: usize| format!("{value:.d$}");
    let says_something = |t: &String| t.bytes().any(|b| (b'1'..=b'9').contains(&b));
    (decimals..=decimals + 4).map(told).find(says_something).unwrap_or_else(|| format!("{:.decimals$}", 0.0))
}

/// The unit that people read a dimension in.
fn usual(dimension: Dimension) -> Option<&'static Unit> {
    units_of(dimension).next()
}

/// Decimals, more than a unit's own where they are needed, so that a number as told is off by no more
/// than `off` (in the number's own unit); at most six more.
fn decimals(value: f64, least: usize, off: f64) -> usize {
    let told = |d: usize| format!("{value:.d$}").parse::<f64>().unwrap_or(value);
    (least..=least + 6).find(|d| (told(*d) - value).abs() <= off).unwrap_or(least + 6)
}

/// A number without a minus before a zero.
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let digits = text.trim_start_matches('-');
    if digits.bytes().all(|b| b == b'0' || b == b'.') { digits.to_owned() } else { text }
}

/// The sign behind a difference of two values in this unit: a difference of gauge pressures is in bar.
fn sign_of_difference(unit: &Unit) -> &'static str {
    match unit.symbol {
        "barg" | "bara" | "bar difference" => " bar",
        "degC" | "K abs" => " K",
        "kPa abs" => " kPa",
        _ if unit.dimension == Dimension::Number => "",
        _ if unit.dimension == Dimension::Fraction => " percentage points",
        _ => "",
    }
}

/// A difference of two values in a unit: "3 mm", "0.05 t/h", "3.1 percentage points".
fn far(unit: &Unit, si: f64) -> String {
    let value = si / unit.scale;
    let text = plain(value, decimals(value, unit.decimals, 0.1 * value.abs()));
    match sign_of_difference(unit) {
        "" if unit.dimension == Dimension::Number => text,
        "" => format!("{text} {}", unit.symbol),
        sign => format!("{text}{sign}"),
    }
}

/// A value in a unit, to within `off` (SI): "8.003 barg", "12.25 % open".
fn at(unit: &Unit, si: f64, off: f64) -> String {
    let value = unit.from_si(si);
    let text = plain(value, decimals(value, unit.decimals, off / unit.scale));
    if unit.dimension == Dimension::Number { text } else { format!("{text} {}", unit.symbol) }
}

/// A difference of two values of a dimension: "0.40 bar", "12.0 K", "3.0 percentage points".
#[must_use]
pub fn difference(dimension: Dimension, si: f64) -> String {
    let Some(unit) = usual(dimension) else { return number(si, 3) };
    let value = number(si / unit.scale, unit.decimals);
    match dimension {
        Dimension::Number => value,
        Dimension::Fraction => format!("{value} percentage points"),
        _ => match unit.symbol {
            "barg" => format!("{value} bar"),
            "degC" => format!("{value} K"),
            "bar difference" => format!("{value} bar"),
            other => format!("{value} {other}"),
        },
    }
}

/// A value of a dimension: "8.00 barg", "420.0 degC", "35.0 %".
#[must_use]
pub fn quantity(dimension: Dimension, si: f64) -> String {
    match (usual(dimension), dimension) {
        (Some(unit), Dimension::Fraction) => format!("{} %", number(unit.from_si(si), unit.decimals)),
        (Some(unit), _) => unit.tell(si),
        (None, _) => number(si, 3),
    }
}

/// Which way a margin counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    /// Did not get there.
    Within,
    /// Never moved from where it stood.
    Still,
    /// Went past.
    Past,
}

impl Language<'_> {
    fn watched(&self, signal: Signal) -> Option<&Watched> {
        self.watched.get(signal.0 as usize)
    }

    /// The dimension of a comparison; `None` for a truth value, which has no margin.
    pub(crate) fn dimension(&self, predicate: &Predicate) -> Option<Dimension> {
        let of = |s: Signal| self.watched(s).map(|w| w.dimension).filter(|d| *d != Dimension::State);
        match predicate {
            Predicate::Compare { signal, .. } => of(*signal),
            Predicate::Between { left, .. } => of(*left).map(Dimension::difference),
            Predicate::Holds { .. } => None,
            Predicate::Measured { measure, of: whose, .. } => {
                let dimension = whose.and_then(of);
                match (measure, dimension) {
                    (Measure::Time, _) => Some(Dimension::Time),
                    (Measure::Count, _) => Some(Dimension::Number),
                    (Measure::Level, d) => d,
                    (Measure::Difference, d) => d.map(Dimension::difference),
                    // A number in a unit that nobody has a name for is not told as a margin.
                    (Measure::Integral, d) => d.and_then(Dimension::total),
                    (Measure::PerSecond, d) => d.and_then(Dimension::rate),
                    (Measure::Other, _) => None,
                }
            }
        }
    }

    /// The one dimension of all comparisons of a condition, truth values left aside.
    pub(crate) fn one_dimension(&self, found: &Found) -> Option<Dimension> {
        let mut all = found.predicates.iter().filter_map(|p| self.dimension(p));
        let first = all.next()?;
        all.all(|d| d == first).then_some(first)
    }

    /// "drum pressure PT-3001 came within 0.40 bar of 8.00 barg".
    pub(crate) fn margin(&self, extreme: &Extreme, side: Side) -> Option<String> {
        let d = &extreme.decided;
        let dimension = self.dimension(&d.predicate)?;
        let called = |s: Signal| self.watched(s).map(|w| (self.name)(&w.what));
        let own = |s: Signal| {
            let unit = (self.unit)(&self.watched(s)?.what)?;
            (unit.dimension.difference() == dimension.difference()).then_some(unit)
        };
        let (signal, usual) = match d.predicate {
            Predicate::Compare { signal, .. } => (signal, usual(dimension)),
            Predicate::Between { left, .. } => (left, usual(dimension)),
            Predicate::Holds { .. } => return None,
            Predicate::Measured { of, .. } => (of.unwrap_or(Signal(u32::MAX)), usual(dimension)),
        };
        // How often something came about is a whole number, and so is how far off that was.
        let counts =
            matches!(d.predicate, Predicate::Measured { measure: Measure::Count, with, .. } if with.fract() == 0.0);
        let off = 0.1 * d.margin.abs();
        let (far, value): (String, Box<dyn Fn(f64, f64) -> String>) = match own(signal).or(usual) {
            _ if counts => (format!("{:.0}", d.margin.abs()), Box::new(|si, _| format!("{si:.0}"))),
            // What a percentage is of is known only from the unit on board.
            Some(unit) if dimension != Dimension::Fraction || own(signal).is_some() => {
                (far(unit, d.margin.abs()), Box::new(move |si, off| at(unit, si, off)))
            }
            _ => (difference(dimension, d.margin.abs()), Box::new(move |si, _| quantity(dimension, si))),
        };
        let (who, limit, reached) = match d.predicate {
            // A limit is a figure that somebody wrote: it is told as it was meant.
            Predicate::Compare { with, .. } => {
                (called(signal)?, value(with, 1e-6 * with.abs().max(1e-6)), Some(value(d.sample, off)))
            }
            Predicate::Between { right, .. } => (called(signal)?, called(right)?, None),
            Predicate::Holds { .. } => return None,
            Predicate::Measured { word, of, with, .. } => {
                let who = measured(word, of.and_then(called))?;
                (who, value(with, 1e-6 * with.abs().max(1e-6)), Some(value(d.sample, off)))
            }
        };
        let when = d.at;
        // What is only the rounding of a sum is no margin.
        if d.margin.abs() <= 1e-12 * d.sample.abs() {
            return Some(format!("{who} stood at {limit} exactly, at {when}"));
        }
        Some(match (side, reached) {
            (Side::Within, _) => format!("{who} came within {far} of {limit}, at {when}"),
            (Side::Still, _) => format!("{who} was {far} from {limit} all the time"),
            (Side::Past, Some(reached)) => format!("{who} went {far} past {limit}, to {reached} at {when}"),
            (Side::Past, None) => format!("{who} went {far} past {limit}, at {when}"),
        })
    }

    /// What a signal is called, and a distance in its unit.
    pub(crate) fn distance(&self, signal: Signal, si: f64) -> Option<(String, String)> {
        let watched = self.watched(signal)?;
        let unit = (self.unit)(&watched.what).filter(|u| u.dimension == watched.dimension);
        let told = match unit.or(usual(watched.dimension)) {
            Some(unit) => far(unit, si),
            None => difference(watched.dimension.difference(), si),
        };
        Some(((self.name)(&watched.what), told))
    }

    /// The instruments that a condition looks at, in the order of its comparisons.
    pub(crate) fn instruments<'f>(&'f self, found: &'f Found) -> impl Iterator<Item = &'f Tag> {
        let signals = found.predicates.iter().flat_map(|p| match p {
            Predicate::Compare { signal, .. } | Predicate::Holds { signal } => [Some(*signal), None],
            Predicate::Between { left, right, .. } => [Some(*left), Some(*right)],
            Predicate::Measured { of, .. } => [*of, None],
        });
        signals.flatten().filter_map(|s| match &self.watched(s)?.what {
            Observable::Actual(t) | Observable::Signal(t) | Observable::Shown(t) => Some(t),
            _ => None,
        })
    }

    /// How near a condition that never came true was to it; `None` where no one margin can be told. Nor is it where
    /// it was as near at every moment: then nothing came nearer, and of several values that stood as far off there
    /// is no one to name.
    pub(crate) fn missed_by(&self, found: &Found) -> Option<String> {
        self.one_dimension(found)?;
        if as_near_all_the_time(found) { None } else { self.margin(&found.best?, Side::Within) }
    }

    /// How near a limit that was kept was to being broken; `None` where no one margin can be told.
    pub(crate) fn spare(&self, found: &Found) -> Option<String> {
        self.one_dimension(found)?;
        let nearest = self.quantities(found).min_by(|a, b| a.robustness.total_cmp(&b.robustness))?;
        if nearest.robustness < 0.0 {
            return None;
        }
        let one = self.quantities(found).count() == 1;
        self.margin(nearest, if one && as_near_all_the_time(found) { Side::Still } else { Side::Within })
    }

    /// How far a limit was broken, of each comparison that was; `None` where none has a margin.
    pub(crate) fn excess(&self, found: &Found) -> Option<String> {
        let told: Vec<String> =
            self.quantities(found).filter(|e| e.robustness <= 0.0).filter_map(|e| self.margin(e, Side::Past)).collect();
        (!told.is_empty()).then(|| told.join("; "))
    }

    /// The worst of each comparison that has a margin, in the order of the formula.
    fn quantities<'f>(&self, found: &'f Found) -> impl Iterator<Item = &'f Extreme> {
        let language = *self;
        found.worst_by.iter().flatten().filter(move |e| language.dimension(&e.decided.predicate).is_some())
    }
}

/// Whether a condition was as far from changing at every moment at which that can be told.
fn as_near_all_the_time(found: &Found) -> bool {
    let still = |(worst, best): (Extreme, Extreme)| worst.robustness == best.robustness;
    found.looked > 1 && found.worst.zip(found.best).is_some_and(still)
}

/// What a number that is worked out is called: "the mean of PT-3001 over 5 min".
fn measured(word: Word, whose: Option<String>) -> Option<String> {
    let over = |window: Interval| match window.to {
        None => "the whole run so far".to_owned(),
        Some(to) => duration(to.saturating_sub(window.from) + 1),
    };
    Some(match (word, whose) {
        (Word::Held(w), _) => format!("the time for which it held, over {}", over(w)),
        (Word::Stretch(w), _) => format!("the longest stretch for which it held, over {}", over(w)),
        (Word::Lasted, _) => "the time for which it has held".to_owned(),
        (Word::Count(_, w), _) => format!("the number of times, over {}", over(w)),
        (_, None) => return None,
        (Word::Signal, Some(name)) => name,
        (Word::Reckoned, Some(name)) => format!("what is reckoned from {name}"),
        (Word::Rate(ticks), Some(name)) => format!("the rate of {name} over {}", duration(ticks)),
        (Word::Over(summary, w), Some(name)) => {
            let called = match summary {
                Summary::Least => "least",
                Summary::Greatest => "greatest",
                Summary::Mean => "mean",
                Summary::Integral => "total",
                Summary::Travel => "travel",
                Summary::Slope => "rate",
            };
            format!("the {called} of {name} over {}", over(w))
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_are_worked_out_have_a_name() {
        let name = || Some("PT-3001".to_owned());
        let window = Interval::within(599);
        let told = |word, whose| measured(word, whose).unwrap_or_default();
        assert_eq!(told(Word::Over(Summary::Mean, window), name()), "the mean of PT-3001 over 1 min");
        assert_eq!(
            told(Word::Over(Summary::Travel, Interval::ALL), name()),
            "the travel of PT-3001 over the whole run so far"
        );
        assert_eq!(told(Word::Held(window), None), "the time for which it held, over 1 min");
        assert_eq!(measured(Word::Signal, None), None);
    }

    #[test]
    fn durations_read_as_on_a_stopwatch() {
        let told = [0, 4, 120, 599, 600, 625, 2430, 36_000, 36_051].map(duration);
        assert_eq!(
            told,
            ["0.0 s", "0.4 s", "12.0 s", "59.9 s", "1 min", "1 min 2.5 s", "4 min 3 s", "1 h 0 min", "1 h 0 min 5.1 s"]
        );
    }

    #[test]
    fn differences_have_no_zero_point() {
        assert_eq!(difference(Dimension::Pressure, 4e4), "0.40 bar");
        assert_eq!(difference(Dimension::Temperature, 12.0), "12.0 K");
        assert_eq!(difference(Dimension::Fraction, 0.031), "3.1 percentage points");
        assert_eq!(difference(Dimension::Pressure, 300.0), "0.003 bar"); // not "0.00 bar"
        assert_eq!(quantity(Dimension::Pressure, 901_325.0), "8.00 barg");
        assert_eq!(quantity(Dimension::Fraction, 0.35), "35.0 %");
    }

    fn unit(symbol: &str) -> &'static Unit {
        base::units::unit(symbol).unwrap()
    }

    #[test]
    fn a_margin_never_rounds_to_nothing() {
        // 0.05 t/h is 0.0139 kg/s, and was told as "0.01".
        assert_eq!(far(unit("t/h"), 0.05 / 3.6), "0.05 t/h");
        assert_eq!(far(unit("kg/s"), 0.05 / 3.6), "0.014 kg/s");
        assert_eq!(far(unit("% open"), 0.0004), "0.04 percentage points");
        assert_eq!(far(unit("mm"), 0.000_3), "0.3 mm");
        assert_eq!(far(unit("mm"), 0.042), "42 mm");
        assert_eq!(far(unit("degC"), 12.04), "12.0 K");
        assert_eq!(far(unit("barg"), 40.0), "0.0004 bar");
        // What was reached stands apart from the limit.
        assert_eq!(at(unit("barg"), 901_625.0, 30.0), "8.003 barg");
        assert_eq!(at(unit("barg"), 901_325.0, 0.1), "8.00 barg");
        assert_eq!(at(unit("% open"), 0.1225, 1e-8), "12.25 % open");
        assert_eq!(at(unit("mm"), -0.000_2, 1e-3), "0 mm");
    }
}
