//! What a condition can be, by interval arithmetic over what it looks at: whether it can hold at all,
//! and whether it can fail to.
//!
//! Every value is taken to be anywhere in its range at any moment, together with the others of the same
//! condition: "above 5 and below 3" of one value cannot hold, "above 5" of one and "below 3" of another
//! can. Of what lies back or ahead only that is used whether its parts can hold at all. What is found
//! impossible is so; what is let through may still never come about.

use crate::condition::{ConditionId, Kind, Shelf, Value};
use crate::names::Names;
use crate::worked::{Source, Worked};
use base::Tick;
use base::observable::Observable;
use base::tick::TICKS_PER_SECOND;
use base::units::Dimension;
use monitor::{Comparison, Summary};
use std::collections::{BTreeMap, BTreeSet};

/// Part of its span by which a transmitter may say more than its range (NAMUR NE 43, from memory:
/// 3.8 to 20.5 mA of 4 to 20 mA, rounded up).
const SATURATION: f64 = 0.05;

/// What conditions are judged by.
#[derive(Clone, Copy)]
pub struct Ranges<'a> {
    /// The conditions.
    pub shelf: &'a Shelf,
    /// What is on board.
    pub names: &'a Names,
    /// How long the run lasts.
    pub lasts: Tick,
    /// Faults that never act.
    pub idle: &'a BTreeSet<String>,
    /// Whether the range of an instrument counts for what is actually so: the plant can go past it.
    pub instruments: bool,
}

/// An interval; its ends belong to it or do not.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Span {
    low: f64,
    low_in: bool,
    high: f64,
    high_in: bool,
}

/// What must be so of the values of a condition for it to hold: an interval each, and a word each.
#[derive(Clone, Debug, Default)]
pub struct Box {
    spans: BTreeMap<String, Span>,
    words: BTreeMap<String, String>,
}

const ANYTHING: Span = Span { low: f64::NEG_INFINITY, low_in: false, high: f64::INFINITY, high_in: false };

impl Span {
    fn from_to(low: f64, high: f64) -> Span {
        Span { low, low_in: true, high, high_in: true }
    }

    fn of(how: Comparison, with: f64) -> Span {
        match how {
            Comparison::Above => Span { low: with, low_in: false, ..ANYTHING },
            Comparison::AtLeast => Span { low: with, low_in: true, ..ANYTHING },
            Comparison::Below => Span { high: with, high_in: false, ..ANYTHING },
            Comparison::AtMost => Span { high: with, high_in: true, ..ANYTHING },
        }
    }

    fn and(self, other: Span) -> Option<Span> {
        let (low, low_in) = match self.low.total_cmp(&other.low) {
            std::cmp::Ordering::Less => (other.low, other.low_in),
            std::cmp::Ordering::Greater => (self.low, self.low_in),
            std::cmp::Ordering::Equal => (self.low, self.low_in && other.low_in),
        };
        let (high, high_in) = match self.high.total_cmp(&other.high) {
            std::cmp::Ordering::Less => (self.high, self.high_in),
            std::cmp::Ordering::Greater => (other.high, other.high_in),
            std::cmp::Ordering::Equal => (self.high, self.high_in && other.high_in),
        };
        (low < high || (low == high && low_in && high_in)).then_some(Span { low, low_in, high, high_in })
    }
}

impl Box {
    fn one(key: String, span: Span) -> Box {
        Box { spans: BTreeMap::from([(key, span)]), words: BTreeMap::new() }
    }

    /// Both.
    fn and(mut self, other: Box) -> Option<Box> {
        for (key, span) in other.spans {
            let both = self.spans.get(&key).map_or(Some(span), |s| s.and(span))?;
            self.spans.insert(key, both);
        }
        for (key, word) in other.words {
            if self.words.get(&key).is_some_and(|w| *w != word) {
                return None;
            }
            self.words.insert(key, word);
        }
        Some(self)
    }

    /// Either: only what both ask for is sure.
    fn or(mut self, other: &Box) -> Box {
        self.spans.retain(|key, span| match other.spans.get(key) {
            Some(o) => {
                let low = if o.low < span.low { (o.low, o.low_in) } else { (span.low, span.low_in) };
                let high = if o.high > span.high { (o.high, o.high_in) } else { (span.high, span.high_in) };
                *span = Span { low: low.0, low_in: true, high: high.0, high_in: true };
                true
            }
            None => false,
        });
        self.words.retain(|key, word| other.words.get(key) == Some(word));
        self
    }
}

impl Ranges<'_> {
    /// What must be so for a condition to hold (or, with `want` false, to fail); nothing when it cannot.
    #[must_use]
    pub fn may(&self, id: ConditionId, want: bool) -> Option<Box> {
        let can = |c: &ConditionId, want: bool| self.may(*c, want);
        let only_if = |so: bool| so.then(Box::default);
        match &self.shelf.condition(id).kind {
            Kind::Compare(v, how, with, _) => {
                let span = Span::of(if want { *how } else { opposite(*how) }, *with);
                self.within(self.shelf.value(*v), span)
            }
            Kind::Between(v, low, high, _) => self.between(self.shelf.value(*v), *low, *high, want),
            Kind::Within(v, tolerance, _, of, _) => {
                self.between(self.shelf.value(*v), of - tolerance, of + tolerance, want)
            }
            Kind::Against(v, how, w) => {
                let (a, b) = (self.span(self.shelf.value(*v)), self.span(self.shelf.value(*w)));
                only_if(match if want { *how } else { opposite(*how) } {
                    Comparison::Above => a.high > b.low,
                    Comparison::AtLeast => a.high >= b.low,
                    Comparison::Below => a.low < b.high,
                    Comparison::AtMost => a.low <= b.high,
                })
            }
            Kind::Is(v, index) => {
                let value = self.shelf.value(*v);
                let (index, last) = (*index as f64, value.words.len().saturating_sub(1) as f64);
                if want {
                    Some(Box::one(key(value), Span::from_to(index, index)))
                } else if last == 1.0 {
                    Some(Box::one(key(value), Span::from_to(1.0 - index, 1.0 - index)))
                } else {
                    only_if(last > 0.0)
                }
            }
            Kind::Truth(Observable::Fault(name)) if want && self.idle.contains(name) => None,
            Kind::Truth(Observable::Setting { on, to: Some(to) }) if want => {
                Some(Box { words: BTreeMap::from([(on.to_string(), to.clone())]), ..Box::default() })
            }
            Kind::Truth(Observable::Setting { .. }) => Some(Box::default()),
            // Two actions of one kind may fall into one moment: nothing is said of moments together.
            Kind::Truth(Observable::Did { .. }) => Some(Box::default()),
            Kind::Truth(what) => {
                let x = f64::from(u8::from(want));
                Some(Box::one(what.to_string(), Span::from_to(x, x)))
            }
            Kind::Clock(ticks) => {
                let at = f64::from(*ticks) / f64::from(TICKS_PER_SECOND);
                let span = Span::of(if want { Comparison::AtLeast } else { Comparison::Below }, at);
                let run = Span::from_to(0.0, self.lasts.seconds());
                Some(Box::one("the clock".to_owned(), span.and(run)?))
            }
            Kind::All(parts) if want => self.every(parts, true),
            Kind::All(parts) => self.some(parts, false),
            Kind::Any(parts) if want => self.some(parts, true),
            Kind::Any(parts) => self.every(parts, false),
            Kind::NoneOf(parts) if want => self.every(parts, false),
            Kind::NoneOf(parts) => self.some(parts, true),
            Kind::Not(c) => can(c, !want),
            Kind::Lasting(c, ticks) if want => can(c, true).filter(|_| *ticks <= self.lasts.0),
            Kind::Done(_, c) | Kind::Ever(c) | Kind::OnceWithin(c, _) | Kind::Times(c, _) => {
                only_if(can(c, want).is_some())
            }
            Kind::NotYet(c) => only_if(can(c, !want).is_some()),
            Kind::Followed(a, _, b) | Kind::After(b, a) if want => {
                can(a, true)?;
                can(b, true)
            }
            Kind::Since(a, b) if want => {
                can(b, true)?;
                can(a, true)
            }
            Kind::Before(a, _) if want => only_if(can(a, true).is_some()),
            Kind::Until(_, b) if want => only_if(can(b, true).is_some()),
            Kind::Answered(a, _, b) if want => only_if(can(a, false).is_some() || can(b, true).is_some()),
            Kind::Answered(a, ..) => only_if(can(a, true).is_some()),
            _ => Some(Box::default()),
        }
    }

    /// The first part of a condition that by itself cannot be what is wanted of it.
    #[must_use]
    pub fn culprit(&self, id: ConditionId, want: bool) -> Option<ConditionId> {
        if self.may(id, want).is_some() {
            return None;
        }
        let kind = &self.shelf.condition(id).kind;
        let turned = matches!(kind, Kind::Not(_) | Kind::NoneOf(_) | Kind::NotYet(_));
        kind.of().into_iter().find_map(|c| self.culprit(c, want != turned)).or(Some(id))
    }

    fn every(&self, parts: &[ConditionId], want: bool) -> Option<Box> {
        parts.iter().try_fold(Box::default(), |all, c| all.and(self.may(*c, want)?))
    }

    fn some(&self, parts: &[ConditionId], want: bool) -> Option<Box> {
        let mut each = parts.iter().filter_map(|c| self.may(*c, want));
        let first = each.next()?;
        Some(each.fold(first, |any, b| any.or(&b)))
    }

    fn between(&self, value: &Value, low: f64, high: f64, want: bool) -> Option<Box> {
        if want {
            return self.within(value, Span::from_to(low, high));
        }
        let below = self.within(value, Span::of(Comparison::Below, low));
        let above = self.within(value, Span::of(Comparison::Above, high));
        match (below, above) {
            (Some(a), Some(b)) => Some(a.or(&b)),
            (one, other) => one.or(other),
        }
    }

    fn within(&self, value: &Value, span: Span) -> Option<Box> {
        let both = span.and(self.span(value))?;
        // The ends of a scale are decimal figures: above its very end, give or take their rounding, is nothing.
        let slack = 2.0 * self.slack(value);
        let nothing = both.high - both.low <= slack && !(both.low_in && both.high_in);
        (!nothing).then(|| Box::one(key(value), both))
    }

    /// Where a value can be.
    fn span(&self, value: &Value) -> Span {
        let slack = self.slack(value);
        self.limits(value).map_or(ANYTHING, |(low, high)| Span::from_to(low - slack, high + slack))
    }

    fn slack(&self, value: &Value) -> f64 {
        // Damage has no end of a scale.
        let scale = self.limits(value).filter(|(low, high)| high - low < 1e12);
        scale.map_or(0.0, |(low, high)| 1e-9 * (high - low).abs())
    }

    /// Where a value can be, SI, when that is known.
    #[must_use]
    pub fn limits(&self, value: &Value) -> Option<(f64, f64)> {
        let point = |tag: &base::Tag| self.names.points.get(tag.as_str());
        let what = match &value.source {
            Source::Seen(what) => what,
            Source::Worked(worked) => return self.worked(worked),
        };
        match what {
            Observable::Shown(tag) => point(tag)?.scale,
            Observable::Signal(tag) => {
                let (low, high) = point(tag)?.range?;
                let more = SATURATION * (high - low);
                Some((low - more, high + more))
            }
            Observable::Actual(tag) => {
                let p = point(tag)?;
                p.range.filter(|_| self.instruments || p.unit.dimension == Dimension::Fraction)
            }
            Observable::Setting { on, to: None } => {
                let dial = self.names.controls.get(on.as_str())?.dial?;
                Some((dial.min, dial.max))
            }
            Observable::Damage(_) => Some((0.0, f64::MAX)),
            Observable::Clock => Some((0.0, self.lasts.seconds())),
            _ => None,
        }
    }

    /// Where a number can be that is worked out.
    fn worked(&self, worked: &Worked) -> Option<(f64, f64)> {
        let tick = 1.0 / f64::from(TICKS_PER_SECOND);
        // The first tick of the run is one more than its time.
        let run = self.lasts.seconds() + tick;
        let long = |window: &Option<u32>| window.map_or(run, |t| run.min(f64::from(t) * tick));
        match worked {
            Worked::Over(summary, window, v) => {
                let (low, high) = self.limits(self.shelf.value(*v)).filter(|(low, high)| high - low < 1e12)?;
                Some(match summary {
                    Summary::Least | Summary::Greatest | Summary::Mean => (low, high),
                    Summary::Integral => ((low * long(window)).min(0.0), (high * long(window)).max(0.0)),
                    Summary::Travel => (0.0, (high - low) * long(window) / tick),
                    Summary::Slope => return None,
                })
            }
            Worked::Rate(ticks, v) => {
                let (low, high) = self.limits(self.shelf.value(*v)).filter(|(low, high)| high - low < 1e12)?;
                let most = (high - low) / (f64::from(*ticks) * tick);
                Some((-most, most))
            }
            Worked::InAll(window, _) | Worked::Longest(window, _) => Some((0.0, long(window))),
            Worked::Often(window, _) => Some((0.0, (long(&Some(*window)) / tick).round())),
        }
    }
}

/// What a value is known by among those of a condition. What is worked out stands for itself alone: that two such
/// values contradict each other is not told.
fn key(value: &Value) -> String {
    match &value.source {
        Source::Seen(what) => what.to_string(),
        Source::Worked(worked) => format!("{worked:?}"),
    }
}

fn opposite(how: Comparison) -> Comparison {
    match how {
        Comparison::Above => Comparison::AtMost,
        Comparison::AtLeast => Comparison::Below,
        Comparison::Below => Comparison::AtLeast,
        Comparison::AtMost => Comparison::Above,
    }
}
