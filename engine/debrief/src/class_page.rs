//! The report of a class as one self-contained page.

use crate::class::{Class, Item, PersonLine, UnfitRow};
use crate::spread::{self, Spread};
use crate::svg::{Markup, Svg, across};
use crate::templates::{CAUTION, Caution, render};
use crate::words;
use crate::worth;
use base::sheet::Marks;
use files::verdicts::ClassDigests;
use serde::Serialize;

#[derive(Serialize)]
struct View<'a> {
    title: &'a str,
    pack: &'a str,
    version: &'a str,
    logs: usize,
    graded: usize,
    passed: usize,
    failed: usize,
    not_graded: usize,
    judges: bool,
    in_percent: bool,
    middle: Option<String>,
    lowest: Option<String>,
    highest: Option<String>,
    pass_mark: Option<String>,
    caution: Caution,
    columns: Vec<Column>,
    people: Vec<Person<'a>>,
    items: Vec<ItemRow>,
    most_lost: Vec<Lost>,
    spreads: Vec<Spread>,
    refused: Vec<Refused<'a>>,
    changed: Vec<Changed<'a>>,
    not_applied: Vec<UnfitRow>,
    sums: Vec<worth::SumRow>,
    competences: Vec<worth::SumRow>,
    worth: Option<worth::Worth>,
    digests: &'a ClassDigests,
}

#[derive(Serialize)]
struct Column {
    number: usize,
    name: String,
    critical: bool,
}

#[derive(Serialize)]
struct Person<'a> {
    called: &'a str,
    id: &'a str,
    debrief: Option<&'a str>,
    standing: &'static str,
    marks: String,
    out_of: String,
    repairs: usize,
    log: &'a str,
    digest: &'a str,
    cells: Vec<Cell>,
}

#[derive(Serialize)]
struct Cell {
    changed: bool,
    sign: &'static str,
    marks: String,
    outcome: &'static str,
    class: &'static str,
}

#[derive(Serialize)]
struct ItemRow {
    number: usize,
    name: String,
    kind: &'static str,
    critical: bool,
    expected: String,
    assessed: usize,
    lost: usize,
    nothing: usize,
    mean: String,
    bar: Option<Markup>,
}

#[derive(Serialize)]
struct Lost {
    name: String,
    people: String,
    practise: Option<String>,
    found: Vec<String>,
}

#[derive(Serialize)]
struct Changed<'a> {
    called: &'a str,
    item: &'a str,
    was: String,
    now: String,
    by: &'a str,
    on: &'a str,
    reason: String,
}

#[derive(Serialize)]
struct Refused<'a> {
    called: &'a str,
    id: &'a str,
    log: &'a str,
    reasons: Vec<String>,
}

/// The report of a class: one HTML page that needs nothing beside it but the debriefs that it links to.
///
/// # Panics
/// When the people were marked by different mark sheets.
#[must_use]
pub fn class_page(class: &Class) -> String {
    let items = class.items();
    let count = |passed: Option<bool>| {
        class.people.iter().filter(|p| p.judged.result().is_some_and(|r| r.passed == passed)).count()
    };
    let statistics = class.statistics();
    let graded = statistics.count;
    // Sums stand beside each other only where they are of the same whole.
    let wholes: Vec<Marks> = class.people.iter().filter_map(|p| Some(p.judged.result()?.out_of)).collect();
    let in_percent = wholes.iter().any(|w| *w != wholes[0]);
    let marks = if in_percent { statistics.percent } else { statistics.marks };
    let told = |v: f64| match in_percent {
        true => format!("{} %", words::number(v, 0)),
        false => Marks((v * 100.0).round() as i64).to_string(),
    };
    let (passed, failed) = (count(Some(true)), count(Some(false)));
    render(
        "class.html",
        &View {
            title: class.title,
            pack: class.pack.id,
            version: class.pack.version,
            logs: class.people.len(),
            graded,
            passed,
            failed,
            not_graded: class.people.len() - graded,
            judges: passed + failed > 0,
            in_percent,
            middle: marks.map(|m| told(m.median)),
            lowest: marks.map(|m| told(m.least)),
            highest: marks.map(|m| told(m.greatest)),
            pass_mark: class.pass_mark.map(|m| m.to_string()),
            caution: CAUTION,
            columns: items
                .iter()
                .enumerate()
                .map(|(i, item)| Column { number: i + 1, name: item.counted.name.clone(), critical: item.critical })
                .collect(),
            people: class.people.iter().map(|p| person(p, &items)).collect(),
            most_lost: most_lost(class, &items),
            items: items.iter().enumerate().map(|(i, item)| item_row(i + 1, item)).collect(),
            spreads: spread::spreads(class),
            refused: class
                .people
                .iter()
                .filter(|p| p.judged.result().is_none())
                .map(|p| Refused {
                    called: p.who.called(),
                    id: p.who.id,
                    log: p.log,
                    reasons: p.judged.reasons().iter().map(|r| words::sentence(r)).collect(),
                })
                .collect(),
            changed: changed(class),
            not_applied: class.unfit().map(UnfitRow::of).collect(),
            sums: worth::group_rows(class.sheet, &worth::graded(class)),
            competences: worth::competence_rows(class.sheet, &worth::graded(class)),
            worth: worth::told(class),
            digests: &class.digests,
        },
    )
}

fn person<'a>(p: &'a PersonLine<'a>, items: &[Item]) -> Person<'a> {
    let result = p.judged.result();
    let cells = items.iter().map(|item| {
        let verdict = result.and_then(|r| r.verdicts.iter().find(|v| v.name == item.counted.name));
        match verdict {
            Some(v) => {
                let (outcome, sign, class) = words::outcome(v.outcome);
                let marks = match v.outcome {
                    marking::Outcome::NotAssessed => String::new(),
                    _ => v.earned.to_string(),
                };
                Cell { changed: p.moderation.of(&v.name).next().is_some(), sign, marks, outcome, class }
            }
            None => Cell { changed: false, sign: "", marks: String::new(), outcome: "not graded", class: "ungraded" },
        }
    });
    Person {
        called: p.who.called(),
        id: p.who.id,
        debrief: p.debrief.as_deref(),
        standing: p.judged.word(),
        marks: result.map(|r| r.earned.to_string()).unwrap_or_default(),
        out_of: result.map(|r| r.out_of.to_string()).unwrap_or_default(),
        repairs: p.repairs,
        log: p.log,
        digest: p.log_digest,
        cells: cells.collect(),
    }
}

/// Marks that a moderator changed, person by person.
fn changed<'a>(class: &Class<'a>) -> Vec<Changed<'a>> {
    let of = |p: &PersonLine<'a>| {
        let called = p.who.called();
        p.moderation.applied.iter().map(move |o| Changed {
            called,
            item: &o.item,
            was: o.was.to_string(),
            now: o.now.to_string(),
            by: &o.by,
            on: &o.on,
            reason: words::sentence(&o.reason),
        })
    };
    class.people.iter().flat_map(of).collect()
}

fn item_row(number: usize, item: &Item) -> ItemRow {
    let mean = item.counted.mean_part;
    ItemRow {
        number,
        name: item.counted.name.clone(),
        kind: item.counted.kind,
        critical: item.critical,
        expected: words::sentence(&item.expected),
        assessed: item.counted.assessed,
        lost: item.counted.lost_by.len(),
        nothing: item.nothing,
        mean: part_earned(mean, item.counted.assessed, item.on_top),
        // The figure stands beside it.
        bar: mean.map(|m| {
            let mut svg = Svg::sign("part", 90, 10);
            svg.leaf("rect", &[("class", &"all"), ("width", &"100%"), ("height", &10)]);
            svg.leaf("rect", &[("class", &"earned"), ("width", &across(f64::from(m) / 10_000.0)), ("height", &10)]);
            svg.finish()
        }),
    }
}

/// Items by how many lost marks on them, with what was found most often.
fn most_lost(class: &Class, items: &[Item]) -> Vec<Lost> {
    const TOLD: usize = 8;
    const FOUND: usize = 3;
    let mut order: Vec<&Item> = items.iter().filter(|i| !i.counted.lost_by.is_empty()).collect();
    order.sort_by_key(|i| std::cmp::Reverse(i.counted.lost_by.len()));
    order
        .into_iter()
        .take(TOLD)
        .map(|item| {
            let mut found: Vec<(String, usize)> = Vec::new();
            for p in class.people {
                let lost = p
                    .judged
                    .result()
                    .and_then(|r| r.verdicts.iter().find(|v| v.name == item.counted.name))
                    .filter(|v| matches!(v.outcome, marking::Outcome::Part | marking::Outcome::Nothing));
                let Some(v) = lost else { continue };
                let words = words::sentence(&v.found);
                match found.iter_mut().find(|f| f.0 == words) {
                    Some(known) => known.1 += 1,
                    None => found.push((words, 1)),
                }
            }
            found.sort_by_key(|f| std::cmp::Reverse(f.1));
            // What only one person did is told in that person's debrief.
            let found = found
                .into_iter()
                .filter(|f| f.1 > 1)
                .take(FOUND)
                .map(|(words, n)| format!("{n} times: {words}"))
                .collect();
            Lost {
                name: item.counted.name.clone(),
                people: format!("{} of {}", item.counted.lost_by.len(), item.counted.assessed),
                practise: item.practise.as_deref().map(words::sentence),
                found,
            }
        })
        .collect()
}

/// The part of an item's marks that a class earned, in hundredths of a percent, as it is told.
fn part_earned(mean: Option<u32>, assessed: usize, on_top: bool) -> String {
    match mean {
        Some(m) => format!("{} %", words::number(f64::from(m) / 100.0, 0)),
        None if assessed == 0 => "nobody assessed".to_owned(),
        None if on_top => "on top".to_owned(),
        // It decides the run, and earns nothing.
        None => "no marks to earn".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::part_earned;

    #[test]
    fn an_item_without_marks_is_no_bonus() {
        let told = [(Some(8333), 3, false), (None, 0, false), (None, 2, true), (None, 2, false)];
        let told = told.map(|(mean, assessed, on_top)| part_earned(mean, assessed, on_top));
        assert_eq!(told, ["83 %", "nobody assessed", "on top", "no marks to earn"]);
    }
}
