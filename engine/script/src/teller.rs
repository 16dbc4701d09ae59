//! Conditions told in plain English, for the mark sheet and the debrief.

use crate::condition::{ConditionId, Kind, Shelf, Value, ValueId};
use crate::names::Names;
use crate::worked::{Source, Worked};
use base::Tag;
use base::observable::{Observable, Verb};
use base::tick::TICKS_PER_SECOND;
use monitor::{Comparison, Summary};

/// Tells the conditions of one shelf, with what people call the things on board.
#[derive(Clone, Copy)]
pub struct Teller<'a> {
    /// The conditions.
    pub shelf: &'a Shelf,
    /// What things are called.
    pub names: &'a Names,
}

impl Teller<'_> {
    /// A condition as a clause: "PT-3001 (drum pressure) as shown above 4.00 barg for 30 s".
    #[must_use]
    pub fn clause(&self, id: ConditionId) -> String {
        let inner = |c: &ConditionId| self.inner(*c);
        match &self.shelf.condition(id).kind {
            Kind::Compare(v, how, with, unit) => {
                let v = self.shelf.value(*v);
                let whole = matches!(v.source, Source::Worked(Worked::Often(..))) && with.fract() == 0.0;
                let with = if whole { format!("{with:.0}") } else { unit.tell(*with) };
                format!("{} {} {with}", self.value(v), word(*how))
            }
            Kind::Against(v, how, w) => {
                format!("{} {} {}", self.value(self.shelf.value(*v)), word(*how), self.value(self.shelf.value(*w)))
            }
            Kind::Between(v, low, high, unit) => {
                format!("{} between {} and {}", self.value(self.shelf.value(*v)), unit.tell(*low), unit.tell(*high))
            }
            Kind::Within(v, tolerance, tolerance_unit, of, unit) => format!(
                "{} within {} of {}",
                self.value(self.shelf.value(*v)),
                tolerance_unit.tell(*tolerance),
                unit.tell(*of)
            ),
            Kind::Is(v, index) => {
                let v = self.shelf.value(*v);
                format!("{} {}", self.value(v), v.words.get(*index).map_or("?", String::as_str))
            }
            Kind::Truth(what) => self.truth(what),
            Kind::Clock(ticks) => format!("{} into the run", span(*ticks)),
            Kind::Done(step, _) => format!("step \"{step}\" done"),
            Kind::All(c) => list(c.iter().map(inner).collect(), "and", "always"),
            Kind::Any(c) => list(c.iter().map(inner).collect(), "or", "never"),
            Kind::NoneOf(c) => {
                format!("none of: {}", c.iter().map(inner).collect::<Vec<_>>().join("; "))
            }
            Kind::Not(c) => match &self.shelf.condition(*c).kind {
                Kind::Truth(Observable::Lit(tag)) => format!("lamp {} dark", self.tag(tag)),
                _ => format!("not: {}", inner(c)),
            },
            Kind::Lasting(c, t) => format!("{} for {}", inner(c), span(*t)),
            Kind::OnceWithin(c, t) => format!("{} within the last {}", inner(c), span(*t)),
            Kind::Ever(c) => format!("{} at some time", inner(c)),
            Kind::NotYet(c) => format!("not yet {}", inner(c)),
            Kind::Followed(a, t, b) => {
                format!("{}, and within {} after it {}", inner(a), span(*t), inner(b))
            }
            Kind::Since(a, b) => format!("{} ever since {}", inner(a), inner(b)),
            Kind::Before(a, b) => format!("{} before {}", inner(a), inner(b)),
            Kind::After(a, b) => format!("{} after {}", inner(a), inner(b)),
            Kind::Times(c, 1) => format!("{} at least once", inner(c)),
            Kind::Times(c, n) => format!("{} at least {n} times", inner(c)),
            Kind::Answered(a, t, b) => {
                format!("whenever {}, then within {} {}", inner(a), span(*t), inner(b))
            }
            Kind::Until(a, b) => format!("{} until {}", inner(a), inner(b)),
            Kind::Marked => "?".to_owned(),
        }
    }

    /// A condition as a sentence without its full stop.
    #[must_use]
    pub fn sentence(&self, id: ConditionId) -> String {
        capital(&self.clause(id))
    }

    /// A clause inside another: in brackets when it is itself a list.
    fn inner(&self, id: ConditionId) -> String {
        let text = self.clause(id);
        match &self.shelf.condition(id).kind {
            Kind::All(c) | Kind::Any(c) if c.len() > 1 => format!("({text})"),
            Kind::NoneOf(_) | Kind::Followed(..) | Kind::Answered(..) => format!("({text})"),
            _ => text,
        }
    }

    /// A value: "PT-3001 (drum pressure) as shown".
    #[must_use]
    pub fn value(&self, value: &Value) -> String {
        let what = match &value.source {
            Source::Seen(what) => what,
            Source::Worked(worked) => return self.worked(worked),
        };
        match what {
            Observable::Actual(tag) => self.tag(tag),
            Observable::Signal(tag) => format!("the signal of {}", self.tag(tag)),
            Observable::Shown(tag) => format!("{} as shown", self.tag(tag)),
            Observable::Setting { on, .. } => format!("the setting of {}", self.tag(on)),
            Observable::Damage(tag) => format!("damage to {}", self.tag(tag)),
            other => other.to_string(),
        }
    }

    /// A number that is worked out: "the mean of PT-3001 (drum pressure) over 5 min".
    fn worked(&self, worked: &Worked) -> String {
        let value = |v: &ValueId| self.value(self.shelf.value(*v));
        let over = |window: &Option<u32>| window.map_or("the run so far".to_owned(), span);
        match worked {
            Worked::Over(summary, window, v) => {
                let word = match summary {
                    Summary::Least => "least",
                    Summary::Greatest => "greatest",
                    Summary::Mean => "mean",
                    Summary::Integral => "total",
                    Summary::Travel => "travel",
                    Summary::Slope => "slope",
                };
                format!("the {word} of {} over {}", value(v), over(window))
            }
            Worked::Rate(ticks, v) => format!("the rate of {} over {}", value(v), span(*ticks)),
            Worked::InAll(window, c) => format!("the time in all of {} over {}", self.inner(*c), over(window)),
            Worked::Longest(window, c) => format!("the longest time of {} over {}", self.inner(*c), over(window)),
            Worked::Often(window, c) => {
                format!("the number of times of {} over {}", self.inner(*c), over(&Some(*window)))
            }
        }
    }

    fn truth(&self, what: &Observable) -> String {
        match what {
            Observable::Lit(tag) => format!("lamp {} lit", self.tag(tag)),
            Observable::Alarm(tag) => format!("alarm {} standing", self.tag(tag)),
            Observable::Unacknowledged(tag) => format!("alarm {} not acknowledged", self.tag(tag)),
            Observable::Tripped(tag) => format!("{} tripped", self.tag(tag)),
            Observable::Fault(name) => format!("fault \"{name}\" acting"),
            Observable::Setting { on, to: Some(word) } => format!("{} set to {word}", self.tag(on)),
            Observable::Did { verb, on, to } => self.did(*verb, on.as_ref(), to.as_deref()),
            other => other.to_string(),
        }
    }

    fn did(&self, verb: Verb, on: Option<&Tag>, to: Option<&str>) -> String {
        let on = on.map(|t| self.tag(t));
        match (verb, on, to) {
            (Verb::Operate, Some(on), Some(to)) => format!("{on} put to {to}"),
            (Verb::Operate, Some(on), None) => format!("{on} operated"),
            (Verb::Operate, None, _) => "a control operated".to_owned(),
            (Verb::Acknowledge, Some(on), _) => format!("alarm {on} acknowledged"),
            (Verb::Acknowledge, None, _) => "an alarm acknowledged".to_owned(),
            (Verb::LampTest, ..) => "the lamp test made".to_owned(),
            (Verb::LocalCheck, Some(on), _) => format!("{on} checked on the spot"),
            (Verb::LocalCheck, None, _) => "something checked on the spot".to_owned(),
            (Verb::Repair, Some(on), _) => format!("the helper asked to repair {on}"),
            (Verb::Repair, None, _) => "the helper asked to repair something".to_owned(),
            (Verb::Report, Some(on), Some(to)) => format!("{on} reported: {to}"),
            (Verb::Report, Some(on), None) => format!("{on} reported"),
            (Verb::Report, None, _) => "a report made".to_owned(),
        }
    }

    fn tag(&self, tag: &Tag) -> String {
        match self.names.name_of(tag.as_str()) {
            Some(name) => format!("{tag} ({name})"),
            None => tag.to_string(),
        }
    }
}

/// A span of ticks as people say it: "30 s", "1 min 30 s", "0.5 s", "2 h".
#[must_use]
pub fn span(ticks: u32) -> String {
    let (tenths, s) = (ticks % TICKS_PER_SECOND, ticks / TICKS_PER_SECOND);
    let (h, m, s) = (s / 3600, s / 60 % 60, s % 60);
    let mut parts = Vec::new();
    if h > 0 {
        parts.push(format!("{h} h"));
    }
    if m > 0 {
        parts.push(format!("{m} min"));
    }
    if tenths > 0 {
        parts.push(format!("{s}.{tenths} s"));
    } else if s > 0 || parts.is_empty() {
        parts.push(format!("{s} s"));
    }
    parts.join(" ")
}

/// The same text with a capital at the front.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

fn list(mut parts: Vec<String>, word: &str, of_none: &str) -> String {
    match parts.pop() {
        None => of_none.to_owned(),
        Some(last) if parts.is_empty() => last,
        Some(last) => format!("{} {word} {last}", parts.join(", ")),
    }
}

fn word(how: Comparison) -> &'static str {
    match how {
        Comparison::Above => "above",
        Comparison::AtLeast => "at least",
        Comparison::Below => "below",
        Comparison::AtMost => "at most",
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn spans_are_told_as_people_say_them() {
        for (ticks, told) in [(300, "30 s"), (900, "1 min 30 s"), (5, "0.5 s"), (72_000, "2 h"), (0, "0 s")] {
            assert_eq!(super::span(ticks), told);
        }
    }
}
