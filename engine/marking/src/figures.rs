//! What a class's marks are worth: figures of items, reliability, logs that are alike, and how far the
//! marks agree with those that people gave. The mathematics and their sources are in [`monitor::statistics`].

use crate::class::ClassRun;
use crate::verdict::Outcome;
pub use monitor::statistics::{
    Act, Alike, Caution, Cohen, Correlation, Fleiss, ItemAnalysis, ItemFigures, Likeness, alike,
};
use monitor::statistics::{analyse, cohen, correlation, fleiss};

/// Figures of a class over the items that everybody's sheet has.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// The items, in the order of the sheet; those that nobody could earn anything on are left out.
    pub names: Vec<String>,
    /// The figures, of marks in hundredths, the items as in `names`.
    pub analysis: ItemAnalysis,
}

/// The figures of a class; `None` without runs or items. A person who was not assessed on an item is
/// left out of them, and that is told among the cautions.
#[must_use]
pub fn figures(runs: &[ClassRun<'_>]) -> Option<Figures> {
    let sheet = &runs.first()?.result.verdicts;
    let worth = |at: usize| runs.iter().map(|r| r.result.verdicts[at].out_of.0).max().unwrap_or(0);
    let places: Vec<usize> = (0..sheet.len()).filter(|at| worth(*at) > 0).collect();
    if places.is_empty() {
        return None;
    }
    let greatest: Vec<f64> = places.iter().map(|at| worth(*at) as f64).collect();
    let row = |r: &ClassRun<'_>| {
        let score = |at: &usize| {
            let v = &r.result.verdicts[*at];
            (v.outcome != Outcome::NotAssessed).then_some(v.earned.0 as f64)
        };
        places.iter().map(score).collect::<Vec<_>>()
    };
    let rows: Vec<Vec<Option<f64>>> = runs.iter().map(row).collect();
    let names = places.iter().map(|at| sheet[*at].name.clone()).collect();
    Some(Figures { names, analysis: analyse(&rows, &greatest) })
}

/// Cautions in words, those that say the same of several items as one. `names` are the items of the figures.
#[must_use]
pub fn told_together(cautions: &[Caution], names: &[String]) -> Vec<String> {
    let quoted = |item: &usize| format!("\"{}\"", names.get(*item).map_or("?", String::as_str));
    // Which of the things that are said of several items a caution says, and of which item.
    let of = |c: &Caution| match c {
        Caution::EvenItem { item } => Some((0, *item)),
        Caution::AgainstTheRest { item } => Some((1, *item)),
        Caution::BesideTheRest { item } => Some((2, *item)),
        _ => None,
    };
    let of_several = [
        "everybody has the same marks on each of them: they tell nobody apart",
        "they go against the rest: who does well elsewhere does worse here; look at the items",
        "they hardly go with the rest",
    ];
    // One person has the same marks as everybody, and that is no news of any item.
    let people =
        cautions.iter().find_map(|c| if let Caution::FewPeople { people, .. } = c { Some(*people) } else { None });
    match people {
        Some(0) => return vec!["nobody was assessed on every item, so that nothing can be told".to_owned()],
        Some(1) => return vec!["one person alone tells nothing of the items".to_owned()],
        _ => {}
    }
    let few = cautions.iter().any(|c| matches!(c, Caution::FewPeople { .. }));
    let mut lines = Vec::new();
    let mut done = [false; 3];
    for caution in cautions {
        let Some((kind, _)) = of(caution) else {
            lines.push(told(caution, names));
            continue;
        };
        if std::mem::replace(&mut done[kind], true) {
            continue;
        }
        let items: Vec<usize> = cautions.iter().filter_map(of).filter(|c| c.0 == kind).map(|c| c.1).collect();
        let mut line = match &items[..] {
            [_] => told(caution, names),
            items => format!("{}: {}", items.iter().map(quoted).collect::<Vec<_>>().join(", "), of_several[kind]),
        };
        if few && kind > 0 {
            line.push_str("; with so few people it may be chance");
        }
        lines.push(line);
    }
    lines
}

/// A caution in words. `names` are the items of the figures.
#[must_use]
pub fn told(caution: &Caution, names: &[String]) -> String {
    let name = |item: &usize| names.get(*item).map_or("?", String::as_str);
    match caution {
        Caution::FewPeople { people, wanted } => {
            let are = if *people == 1 { "is" } else { "are" };
            format!("there {are} {people}, and below {wanted} each one moves the figures a good deal")
        }
        Caution::SmallGroups { group, wanted } => {
            format!(
                "the upper and lower groups have {group} each, and below {wanted} the upper-lower index says little"
            )
        }
        Caution::Dropped { people } => {
            format!("{people} left out, since not every item was assessed on them")
        }
        Caution::FewItems => "with fewer than two items there is no reliability".to_owned(),
        Caution::EvenTotals => "everybody has the same sum, so nothing goes with anything".to_owned(),
        Caution::EvenItem { item } => {
            format!("everybody has the same marks on \"{}\": it tells nobody apart", name(item))
        }
        Caution::AgainstTheRest { item } => {
            format!(
                "\"{}\" goes against the rest: who does well elsewhere does worse here; look at the item",
                name(item)
            )
        }
        Caution::BesideTheRest { item } => format!("\"{}\" hardly goes with the rest", name(item)),
        Caution::NegativeReliability => {
            "the reliability is below nought: the items go against each other more than together, and a standard error \
             of a sum says nothing"
                .to_owned()
        }
        Caution::WideInterval { low, high } => {
            format!("the interval from {low:.2} to {high:.2} is too wide to tell good from poor")
        }
        Caution::NothingToAgreeOn => "nothing differs, so that agreement beyond chance has no meaning".to_owned(),
        Caution::ShortLogs { logs, wanted } => {
            format!("{logs} logs have fewer than {wanted} actions, too few to be called alike")
        }
    }
}

/// Marks that somebody gave by hand, in hundredths: the person, then one an item, `None` where none was given.
#[derive(Clone, Debug, PartialEq)]
pub struct HandMarks<'a> {
    /// Who gave them.
    pub by: &'a str,
    /// Whose marks.
    pub id: &'a str,
    /// The items that were marked, and the marks.
    pub marks: Vec<(&'a str, i64)>,
}

/// How far markers agree: the program first, then the people in order of name.
#[derive(Clone, Debug, PartialEq)]
pub struct Agreement {
    /// The markers.
    pub markers: Vec<String>,
    /// For each person beside the program: agreement on whether an item earned all, some or none of its marks.
    pub pairs: Vec<(String, Cohen)>,
    /// All of them together, over what all of them marked.
    pub together: Option<Fleiss>,
    /// Of the sums over what all of them marked of a person.
    pub sums: Option<Correlation>,
}

/// What the program calls itself among markers.
pub const PROGRAM: &str = "the program";

/// Agreement of the program with people, over the items that both marked; `None` when nothing was.
#[must_use]
pub fn agreement(runs: &[ClassRun<'_>], hand: &[HandMarks<'_>]) -> Option<Agreement> {
    let mut people: Vec<&str> = hand.iter().map(|h| h.by).collect();
    people.sort_unstable();
    people.dedup();
    let mut runs = runs.to_vec();
    runs.sort_by(|a, b| a.id.cmp(b.id));
    // A row for each person and item that was assessed: the program's marks, the full marks, and each marker's.
    let mut rows: Vec<(usize, i64, i64, Vec<Option<i64>>)> = vec![];
    for (person, run) in runs.iter().enumerate() {
        for v in run.result.verdicts.iter().filter(|v| v.outcome != Outcome::NotAssessed && v.out_of.0 > 0) {
            let given = |by: &&str| {
                let of = hand.iter().filter(|h| h.by == *by && h.id == run.id);
                of.flat_map(|h| &h.marks).find(|m| m.0 == v.name).map(|m| m.1)
            };
            rows.push((person, v.earned.0, v.out_of.0, people.iter().map(given).collect()));
        }
    }
    let category = |marks: i64, full: i64| if marks <= 0 { 0 } else { usize::from(marks >= full) + 1 };
    let mut pairs = vec![];
    for (at, by) in people.iter().enumerate() {
        let both: Vec<(usize, usize)> = rows
            .iter()
            .filter_map(|(_, earned, full, given)| Some((category(*earned, *full), category(given[at]?, *full))))
            .collect();
        if let Ok(c) = cohen(&both, 3) {
            pairs.push(((*by).to_owned(), c));
        }
    }
    if pairs.is_empty() {
        return None;
    }
    let complete: Vec<(usize, Vec<i64>, i64)> = rows
        .iter()
        .filter_map(|(person, earned, full, given)| {
            let given: Option<Vec<i64>> = given.iter().copied().collect();
            Some((*person, std::iter::once(*earned).chain(given?).collect(), *full))
        })
        .collect();
    let counts: Vec<Vec<u32>> = complete
        .iter()
        .map(|(_, marks, full)| {
            let mut count = vec![0; 3];
            marks.iter().for_each(|m| count[category(*m, *full)] += 1);
            count
        })
        .collect();
    let sums: Vec<Vec<f64>> = (0..runs.len())
        .filter_map(|person| {
            let of: Vec<&Vec<i64>> = complete.iter().filter(|c| c.0 == person).map(|c| &c.1).collect();
            let columns = of.first()?.len();
            Some((0..columns).map(|c| of.iter().map(|row| row[c]).sum::<i64>() as f64).collect())
        })
        .collect();
    Some(Agreement {
        markers: std::iter::once(PROGRAM.to_owned()).chain(people.iter().map(|p| (*p).to_owned())).collect(),
        pairs,
        together: fleiss(&counts).ok(),
        sums: correlation(&sums).ok(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_of_several_items_is_said_once() {
        let names = ["purge", "light up", "level"].map(ToOwned::to_owned);
        let even = |item| Caution::EvenItem { item };
        let against = |item| Caution::AgainstTheRest { item };
        let lines = told_together(&[even(0), against(1), even(2)], &names);
        assert_eq!(
            lines,
            [
                "\"purge\", \"level\": everybody has the same marks on each of them: they tell nobody apart",
                "\"light up\" goes against the rest: who does well elsewhere does worse here; look at the item",
            ]
        );
        let alone = [Caution::FewPeople { people: 1, wanted: 30 }, Caution::EvenTotals, even(0), even(1)];
        assert_eq!(told_together(&alone, &names), ["one person alone tells nothing of the items"]);
        // In a small class a correlation says little.
        let lines = told_together(&[Caution::FewPeople { people: 9, wanted: 30 }, against(0), against(2)], &names);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].starts_with("\"purge\", \"level\": they go against"), "{lines:?}");
        assert!(lines[1].ends_with("with so few people it may be chance"), "{lines:?}");
    }
}
