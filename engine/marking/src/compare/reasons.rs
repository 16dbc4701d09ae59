//! Why marks moved between two markings, in words.

use super::{Marking, One, Sheet};
use files::comparison::Sum;
use files::verdicts::{ChangedMark, ItemSummary, Points, VerdictFile};

/// What the reasons of one person are taken from.
pub(super) struct Sides<'a> {
    pub before: &'a Marking,
    pub after: &'a Marking,
    pub sheet: &'a Sheet,
    /// Whether this person's log is another one.
    pub other_log: bool,
}

impl Sides<'_> {
    /// Why a run is passed and was not, or the other way round: of each side the sum, and the verdicts where the
    /// marking has them.
    pub fn passing(&self, [(old, was), (new, is)]: [(Sum, Option<&VerdictFile>); 2]) -> Vec<String> {
        let mut why = vec![];
        if let (Some(was), Some(is)) = (was, is) {
            let of = |names: &[String], than: &[String]| {
                names.iter().filter(|n| !than.contains(n)).map(|n| format!("\"{n}\"")).collect::<Vec<_>>().join(", ")
            };
            match of(&is.critical_lost, &was.critical_lost) {
                names if names.is_empty() => {}
                names => why.push(format!("lost now, and critical: {names}")),
            }
            match of(&was.critical_lost, &is.critical_lost) {
                names if names.is_empty() => {}
                names => why.push(format!("no longer lost as critical: {names}")),
            }
        }
        let told = |p: &Option<Points>| p.map_or_else(|| "none".to_owned(), |p| p.0.to_string());
        if let Some([was, is]) = &self.sheet.pass_mark {
            why.push(format!("the pass mark is {} instead of {}", told(is), told(was)));
        }
        if (old.marks, old.out_of) != (new.marks, new.out_of) {
            why.push("the marks moved".to_owned());
        }
        // The pass mark shrinks with what could not be assessed, and so by what the rest of the sheet is worth.
        if let (Some(was), Some(is)) = (was.and_then(|v| v.needed), is.and_then(|v| v.needed))
            && was != is
            && self.sheet.pass_mark.is_none()
        {
            why.push(format!("{} are needed to pass instead of {}", is.0, was.0));
        }
        if why.is_empty() {
            why.push("the markings do not tell why".to_owned());
        }
        why
    }

    /// Why an item moved, what weighs most first.
    pub fn why(&self, old: Option<&One<'_>>, new: Option<&One<'_>>) -> Vec<String> {
        let (old, new) = match (old, new) {
            (Some(old), Some(new)) => (old, new),
            (None, Some(new)) if !new.found().is_empty() => return vec![format!("the item is new: {}", new.found())],
            (None, _) => return vec!["the item is new".to_owned()],
            (Some(_), None) => return vec!["the item is gone".to_owned()],
        };
        let mut why = vec![];
        if self.other_log {
            why.push("the log is another one".to_owned());
        }
        let change = self.sheet.change(new.name);
        let worth = change.and_then(|c| c.worth);
        if let Some([was, is]) = worth {
            let share = self.share(new.name).map_or_else(String::new, |s| format!(": {s}"));
            why.push(format!("the item is worth {} instead of {}{share}", is.0, was.0));
        }
        let same_program = self.before.class.digests.program == self.after.class.digests.program;
        let rule = old.rule().zip(new.rule()).map(|(x, y)| x == y);
        match rule {
            Some(false) if same_program => {
                why.push("the item asks for something else: its conditions, times, parts or whether it is asked of everybody changed".to_owned());
            }
            Some(false) => {
                why.push("the item asks for something else, or the other program writes its rule otherwise".to_owned());
            }
            _ => {}
        }
        if old.overrides != new.overrides {
            let told = |o: &ChangedMark| format!("by {} on {}: {}", o.by, o.on, o.reason);
            let came = new.overrides.iter().filter(|o| !old.overrides.contains(o));
            why.extend(came.map(|o| format!("it was changed {}", told(o))));
            let went = old.overrides.iter().filter(|o| !new.overrides.contains(o));
            why.extend(went.map(|o| format!("an override is no longer applied, {}", told(o))));
        }
        if !old.found().is_empty() && !new.found().is_empty() && old.found() != new.found() {
            why.push(format!("found now: {}; before: {}", new.found(), old.found()));
        } else if old.stood().words() != new.stood().words() && why.is_empty() {
            why.push(format!("{} instead of {}", new.stood().words(), old.stood().words()));
        }
        if rule == Some(true) && !self.other_log && old.overrides == new.overrides {
            let leans_on = summary(self.after, new.name).map_or(&[][..], |s| &s.leans_on);
            let others: Vec<String> = self.sheet.others(leans_on).map(|n| format!("\"{n}\"")).collect();
            if !others.is_empty() {
                why.push(format!(
                    "its rule is the same, and it goes by other items that changed: {}",
                    others.join(", ")
                ));
            } else if !same_program {
                why.push("the rule is the same, and the program or its plant is another".to_owned());
            } else if self.before.class.digests.pack != self.after.class.digests.pack && worth.is_none() {
                why.push("the rule is the same, and something else in the pack changed, such as a fault".to_owned());
            }
        }
        why
    }

    /// What a group has to do with an item's other worth.
    fn share(&self, item: &str) -> Option<String> {
        let group = |m| summary(m, item).and_then(|s| s.group.as_deref());
        let members = |m: &Marking, group: &str| -> Vec<String> {
            let all = m.class.items.iter().filter(|i| i.group.as_deref() == Some(group));
            all.map(|i| i.name.clone()).collect()
        };
        Some(match (group(self.before), group(self.after)) {
            (None, None) => return None,
            (None, Some(is)) => format!("it has a share of the group \"{is}\" now"),
            (Some(was), None) => format!("it has no share of the group \"{was}\" now"),
            (Some(was), Some(is)) if was != is => format!("it has a share of the group \"{is}\" instead of \"{was}\""),
            (_, Some(is)) if members(self.before, is) != members(self.after, is) => {
                format!("it has a share of the group \"{is}\", to which other items belong now")
            }
            (_, Some(is)) => format!("it has a share of the group \"{is}\", whose marks or weights are others now"),
        })
    }
}

/// What a class file tells of an item of its sheet.
fn summary<'a>(marking: &'a Marking, item: &str) -> Option<&'a ItemSummary> {
    marking.class.items.iter().find(|i| i.name == item)
}
