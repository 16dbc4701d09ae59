//! Two markings of a class compared.
//!
//! Logs are matched by their digests, so that a blind marking can be compared with an open one, and
//! what is left by ids. The marks that moved are the sum of what moved on each item; where marks on top
//! were held to the whole, that is a term of its own; and if anything were left it would be told as
//! unexplained. Words (what is expected, what to practise) are compared apart, and explain no mark.
//! The reasons themselves are in `reasons`.

mod reasons;

use base::sheet::Marks;
use files::comparison::{Comparison, FORMAT, ItemChange, Moved, Person, Stood, Sum};
use files::verdicts::{ChangedMark, ClassFile, ClassLine, ItemOutcome, ItemVerdict, Points, VerdictFile};

/// A marking as it lies in a folder: the class file, and of each person in its order the verdict file,
/// where there is one. Without verdict files only class file's marks are known, and no reasons.
#[derive(Clone, Debug)]
pub struct Marking {
    /// The class file.
    pub class: ClassFile,
    /// The verdicts in the order of the class file's people.
    pub verdicts: Vec<Option<VerdictFile>>,
}

/// One item of one person, from either kind of file.
struct One<'a> {
    name: &'a str,
    outcome: ItemOutcome,
    marks: Marks,
    out_of: Marks,
    overrides: &'a [ChangedMark],
    told: Option<&'a ItemVerdict>,
}

impl<'a> One<'a> {
    fn all(marking: &'a Marking, person: usize) -> Vec<One<'a>> {
        match &marking.verdicts[person] {
            Some(v) => v.items.iter().map(One::told).collect(),
            None => marking.class.people[person]
                .items
                .iter()
                .map(|i| One {
                    name: &i.name,
                    outcome: i.outcome,
                    marks: i.marks.0,
                    out_of: i.out_of.0,
                    overrides: &i.overrides,
                    told: None,
                })
                .collect(),
        }
    }

    fn told(v: &'a ItemVerdict) -> One<'a> {
        One {
            name: &v.name,
            outcome: v.outcome,
            marks: v.marks.0,
            out_of: v.out_of.0,
            overrides: &v.overrides,
            told: Some(v),
        }
    }

    fn rule(&self) -> Option<&'a str> {
        self.told.map(|v| v.rule.as_str()).filter(|r| !r.is_empty())
    }

    fn found(&self) -> &'a str {
        self.told.map_or("", |v| v.found.as_str())
    }

    /// How much a moderator moved it.
    fn moderated(&self) -> Marks {
        match self.overrides.first() {
            Some(first) => minus(self.marks, first.was.map_or(Marks(0), |p| p.0)),
            None => Marks(0),
        }
    }

    /// What the item is worth, where this person's marks tell it.
    fn worth(&self) -> Option<Marks> {
        (self.outcome != ItemOutcome::NotAssessed && self.out_of.0 > 0).then_some(self.out_of)
    }

    fn stood(&self) -> Stood {
        Stood {
            outcome: self.outcome,
            marks: Points(self.marks),
            out_of: Points(self.out_of),
            found: self.found().to_owned(),
            overrides: self.overrides.to_vec(),
        }
    }
}

fn minus(a: Marks, b: Marks) -> Marks {
    Marks(a.0 - b.0)
}

/// Compares two markings of one exercise.
#[must_use]
pub fn compare(before: &Marking, after: &Marking) -> Comparison {
    let pairs = pairs(&before.class.people, &after.class.people);
    let sheet = Sheet::of(before, after);
    let people: Vec<Person> = pairs.iter().map(|&(b, a)| person(before, after, b, a, &sheet)).collect();
    let digests = (&before.class.digests, &after.class.digests);
    let items = sheet
        .items
        .iter()
        .map(|item| {
            let moved = || people.iter().flat_map(|p| &p.items).filter(|m| m.item == item.item);
            ItemChange {
                moved: moved().filter(|m| m.by.0.0 != 0).count() as u32,
                by: Points(moved().map(|m| m.by.0).sum()),
                ..item.clone()
            }
        })
        .collect();
    Comparison {
        format: FORMAT.to_owned(),
        exercise: after.class.exercise.clone(),
        versions: [before.class.pack.version.clone(), after.class.pack.version.clone()],
        same_pack: digests.0.pack == digests.1.pack,
        same_program: digests.0.program == digests.1.program,
        pass_mark: sheet.pass_mark,
        items,
        people,
    }
}

/// A way to tell that two lines are of one person.
type Way<'a> = &'a dyn Fn(&ClassLine, &ClassLine) -> bool;

/// Places before and after, in the order of the later class, then those who are gone.
fn pairs(before: &[ClassLine], after: &[ClassLine]) -> Vec<(Option<usize>, Option<usize>)> {
    let mut free: Vec<bool> = vec![true; before.len()];
    let mut found: Vec<Option<usize>> = vec![None; after.len()];
    let same_log = |a: &ClassLine, b: &ClassLine| !a.log_digest.is_empty() && a.log_digest == b.log_digest;
    // The same log of the same person, the same log, the same person.
    let ways: [Way<'_>; 3] = [&|a, b| same_log(a, b) && a.id == b.id, &same_log, &|a, b| a.id == b.id];
    for way in ways {
        for (i, a) in after.iter().enumerate().filter(|(i, _)| found[*i].is_none()).collect::<Vec<_>>() {
            if let Some(at) = (0..before.len()).find(|&j| free[j] && way(a, &before[j])) {
                free[at] = false;
                found[i] = Some(at);
            }
        }
    }
    let mut all: Vec<_> = found.iter().enumerate().map(|(i, b)| (*b, Some(i))).collect();
    all.extend(free.iter().enumerate().filter(|(_, f)| **f).map(|(j, _)| (Some(j), None)));
    all
}

/// What became of the mark sheet.
struct Sheet {
    items: Vec<ItemChange>,
    pass_mark: Option<[Option<Points>; 2]>,
}

impl Sheet {
    fn of(before: &Marking, after: &Marking) -> Sheet {
        let names = |m: &Marking| m.class.items.iter().map(|i| i.name.clone()).collect::<Vec<_>>();
        let (old, new) = (names(before), names(after));
        let same_program = before.class.digests.program == after.class.digests.program;
        let gone = old.iter().filter(|n| !new.contains(n));
        let change = |name: &String| {
            let (b, a) = (Self::everywhere(before, name), Self::everywhere(after, name));
            let worth = |m: &Marking, all: &[One<'_>]| {
                let told = m.class.items.iter().find(|i| i.name == *name).and_then(|i| i.worth);
                told.map(|p| p.0).or_else(|| all.iter().find_map(One::worth))
            };
            let rule = |all: &[One<'_>]| all.iter().find_map(|o| o.rule().map(ToOwned::to_owned));
            let words = |all: &[One<'_>]| all.iter().find_map(|o| o.told.map(|t| t.expected.clone()));
            let critical = |all: &[One<'_>]| all.iter().find_map(|o| o.told.map(|t| t.critical));
            let advice = |all: &[One<'_>]| all.iter().find_map(|o| o.told.and_then(|t| t.practise.clone()));
            let differ = |x: Option<String>, y: Option<String>| x.zip(y).is_some_and(|(x, y)| x != y);
            ItemChange {
                item: name.clone(),
                new: !old.contains(name),
                gone: !new.contains(name),
                worth: worth(before, &b)
                    .zip(worth(after, &a))
                    .filter(|(x, y)| x != y)
                    .map(|(x, y)| [Points(x), Points(y)]),
                // Another program may write the same rule otherwise.
                other_rule: rule(&b).zip(rule(&a)).map(|(x, y)| x != y).filter(|other| same_program || !other),
                critical: critical(&b).zip(critical(&a)).filter(|(x, y)| x != y).map(|(_, y)| y),
                other_words: differ(words(&b), words(&a)) || differ(advice(&b), advice(&a)),
                moved: 0,
                by: Points(Marks(0)),
            }
        };
        let pass = [before.class.pass_mark, after.class.pass_mark];
        Sheet { items: new.iter().chain(gone).map(change).collect(), pass_mark: (pass[0] != pass[1]).then_some(pass) }
    }

    fn everywhere<'a>(marking: &'a Marking, name: &str) -> Vec<One<'a>> {
        let all = (0..marking.class.people.len()).flat_map(|p| One::all(marking, p));
        all.filter(|o| o.name == name).collect()
    }

    fn change(&self, item: &str) -> Option<&ItemChange> {
        self.items.iter().find(|i| i.item == item)
    }

    /// The items that ask for something else, or are on one side only.
    fn others<'a>(&'a self, names: &'a [String]) -> impl Iterator<Item = &'a str> {
        let other = |i: &&ItemChange| names.contains(&i.item) && (i.new || i.gone || i.other_rule == Some(true));
        self.items.iter().filter(other).map(|i| i.item.as_str())
    }
}

fn person(before: &Marking, after: &Marking, b: Option<usize>, a: Option<usize>, sheet: &Sheet) -> Person {
    let (was, is) = (b.map(|b| &before.class.people[b]), a.map(|a| &after.class.people[a]));
    let who = is.or(was).expect("a pair has one side at least");
    let (old, new) = (was.and_then(sum), is.and_then(sum));
    let marks = |s: Option<Sum>| s.map_or(Marks(0), |s| s.marks.0);
    let by = minus(marks(new), marks(old));
    let mut person = Person {
        id: who.id.clone(),
        name: who.name.clone(),
        before: old,
        after: new,
        by: Points(by),
        whole: None,
        other_log: was.zip(is).is_some_and(|(x, y)| x.log_digest != y.log_digest),
        items: vec![],
        passing: vec![],
        held: Points(Marks(0)),
        unexplained: Points(Marks(0)),
    };
    let (Some(b), Some(a), Some(_), Some(_)) = (b, a, old, new) else {
        let why = |l: &ClassLine| l.reasons.join("; ");
        person.whole = match (was, is) {
            (None, _) => Some("the later marking alone has this log".to_owned()),
            (_, None) => Some("the earlier marking alone has this log".to_owned()),
            (Some(_), Some(y)) if new.is_none() && old.is_some() => Some(format!("it is not graded now: {}", why(y))),
            (Some(x), Some(_)) if old.is_none() && new.is_some() => Some(format!("it was not graded: {}", why(x))),
            _ => None,
        };
        return person;
    };
    let (old_items, new_items) = (One::all(before, b), One::all(after, a));
    let sides = reasons::Sides { before, after, sheet, other_log: person.other_log };
    let gone = old_items.iter().filter(|o| !new_items.iter().any(|n| n.name == o.name));
    let kept = new_items.iter().map(|n| (old_items.iter().find(|o| o.name == n.name), Some(n)));
    for (o, n) in kept.chain(gone.map(|o| (Some(o), None))) {
        let name = n.or(o).map_or("", |i| i.name);
        let of = |one: Option<&One<'_>>| one.map_or(Marks(0), |i| i.marks);
        let moved = minus(of(n), of(o));
        let assessed = |one: Option<&One<'_>>| {
            one.map_or((Marks(0), false), |i| (i.out_of, i.outcome != ItemOutcome::NotAssessed))
        };
        if moved.0 == 0 && assessed(o) == assessed(n) {
            continue;
        }
        let moderated = |one: Option<&One<'_>>| one.map_or(Marks(0), One::moderated);
        person.items.push(Moved {
            item: name.to_owned(),
            before: o.map(One::stood),
            after: n.map(One::stood),
            by: Points(moved),
            by_overrides: Points(minus(moderated(n), moderated(o))),
            why: sides.why(o, n),
        });
    }
    let all = |items: &[One<'_>]| items.iter().map(|i| i.marks).sum::<Marks>();
    let held = |s: Option<Sum>, items: &[One<'_>]| match s {
        // Marks on top are held to the whole, and nothing else makes a sum less than its items.
        Some(s) if s.marks == s.out_of && all(items) > s.marks.0 => minus(s.marks.0, all(items)),
        _ => Marks(0),
    };
    let held = minus(held(new, &new_items), held(old, &old_items));
    let explained: Marks = person.items.iter().map(|m| m.by.0).sum();
    if let (Some(old), Some(new)) = (old, new)
        && old.passed != new.passed
    {
        person.passing = sides.passing([(old, before.verdicts[b].as_ref()), (new, after.verdicts[a].as_ref())]);
    }
    person.held = Points(held);
    person.unexplained = Points(minus(by, explained + held));
    person
}

fn sum(line: &ClassLine) -> Option<Sum> {
    Some(Sum { marks: line.marks?, out_of: line.out_of?, passed: line.passed })
}
