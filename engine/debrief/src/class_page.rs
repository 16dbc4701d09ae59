//! The report of a class as one self-contained page.

use crate::class::{Class, ItemCount, PersonLine};
use crate::spread::{self, Spread};
use crate::svg::{Markup, Svg, across};
use crate::templates::{CAUTION, Caution, render};
use crate::words;
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
    assessed: u32,
    lost: u32,
    nothing: u32,
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
struct Refused<'a> {
    called: &'a str,
    id: &'a str,
    log: &'a str,
    reasons: Vec<String>,
}

/// The report of a class: one HTML page that needs nothing beside it but the debriefs that it links to.
#[must_use]
pub fn class_page(class: &Class) -> String {
    let items = class.items();
    let count = |passed: Option<bool>| {
        class.people.iter().filter(|p| p.judged.result().is_some_and(|r| r.passed == passed)).count()
    };
    let mut sums: Vec<_> = class.people.iter().filter_map(|p| p.judged.result().map(|r| r.earned)).collect();
    sums.sort_unstable();
    // The lower one of the two in the middle, which is somebody's sum.
    let middle = sums.get(sums.len().saturating_sub(1) / 2);
    let (passed, failed) = (count(Some(true)), count(Some(false)));
    render(
        "class.html",
        &View {
            title: class.title,
            pack: class.pack.id,
            version: class.pack.version,
            logs: class.people.len(),
            graded: sums.len(),
            passed,
            failed,
            not_graded: class.people.len() - sums.len(),
            judges: passed + failed > 0,
            middle: middle.map(ToString::to_string),
            lowest: sums.first().map(ToString::to_string),
            highest: sums.last().map(ToString::to_string),
            pass_mark: class.pass_mark.map(|m| m.to_string()),
            caution: CAUTION,
            columns: items
                .iter()
                .enumerate()
                .map(|(i, item)| Column { number: i + 1, name: item.name.clone(), critical: item.critical })
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
            digests: &class.digests,
        },
    )
}

fn person<'a>(p: &'a PersonLine<'a>, items: &[ItemCount]) -> Person<'a> {
    let result = p.judged.result();
    let cells = items.iter().map(|item| {
        let verdict = result.and_then(|r| r.verdicts.iter().find(|v| v.name == item.name));
        match verdict {
            Some(v) => {
                let (outcome, sign, class) = words::outcome(v.outcome);
                let marks = match v.outcome {
                    marking::Outcome::NotAssessed => String::new(),
                    _ => v.earned.to_string(),
                };
                Cell { sign, marks, outcome, class }
            }
            None => Cell { sign: "", marks: String::new(), outcome: "not graded", class: "ungraded" },
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

fn item_row(number: usize, item: &ItemCount) -> ItemRow {
    let mean = item.mean_part();
    ItemRow {
        number,
        name: item.name.clone(),
        kind: item.kind,
        critical: item.critical,
        expected: words::sentence(&item.expected),
        assessed: item.assessed,
        lost: item.lost,
        nothing: item.nothing,
        mean: mean
            .map_or_else(|| "nobody assessed".to_owned(), |m| format!("{} %", words::number(f64::from(m) / 100.0, 0))),
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
fn most_lost(class: &Class, items: &[ItemCount]) -> Vec<Lost> {
    const TOLD: usize = 8;
    const FOUND: usize = 3;
    let mut order: Vec<&ItemCount> = items.iter().filter(|i| i.lost > 0).collect();
    order.sort_by_key(|i| std::cmp::Reverse(i.lost));
    order
        .into_iter()
        .take(TOLD)
        .map(|item| {
            let mut found: Vec<(String, usize)> = Vec::new();
            for p in class.people {
                let lost = p
                    .judged
                    .result()
                    .and_then(|r| r.verdicts.iter().find(|v| v.name == item.name))
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
                name: item.name.clone(),
                people: format!("{} of {}", item.lost, item.assessed),
                practise: item.practise.as_deref().map(words::sentence),
                found,
            }
        })
        .collect()
}
