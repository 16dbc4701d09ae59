//! What the marks of a class are worth: the figures for the class file, and the same for its page.

use crate::class::Class;
use crate::page::SheetNotes;
use crate::words;
use base::Tick;
use base::sheet::Marks;
use files::class_figures::{
    AgreementFigures, CompetenceLine, GroupLine, ItemFigure, PairFigures, ResponseTimes, TestFigures,
};
use files::verdicts::{Points, Seconds};
use marking::sums::{Summed, summed};
use marking::{ClassRun, RunResult, competences, figures};
use serde::Serialize;

/// Four decimals are more than any class can tell.
fn rounded(value: f64) -> f64 {
    let r = (value * 1e4).round() / 1e4;
    if r == 0.0 { 0.0 } else { r }
}

fn runs<'a>(class: &Class<'a>) -> Vec<ClassRun<'a>> {
    class.people.iter().filter_map(|p| p.judged.result().map(|result| ClassRun { id: p.who.id, result })).collect()
}

/// The figures of items and reliability; none without a graded run.
pub fn test_figures(class: &Class<'_>) -> Option<TestFigures> {
    let f = figures::figures(&runs(class))?;
    let a = &f.analysis;
    let item = |(name, i): (&String, &figures::ItemFigures)| ItemFigure {
        name: name.clone(),
        difficulty: i.difficulty.map(rounded),
        item_rest: i.item_rest.map(rounded),
        upper_lower: i.upper_lower.map(rounded),
        alpha_without: i.alpha_without.map(rounded),
    };
    Some(TestFigures {
        people: a.people as u32,
        left_out: a.dropped as u32,
        alpha: a.reliability.map(|r| rounded(r.alpha)),
        alpha_interval: a.reliability.map(|r| [rounded(r.low), rounded(r.high)]),
        // Below nought, alpha is no part of the spread, and what is left over is wider than the spread itself.
        // Scores are in hundredths.
        standard_error: a
            .standard_error
            .filter(|_| a.reliability.is_some_and(|r| r.alpha >= 0.0))
            .map(|e| rounded(e / 100.0)),
        items: f.names.iter().zip(&a.items).map(item).collect(),
        cautions: figures::told_together(&a.cautions, &f.names).iter().map(|c| words::sentence(c)).collect(),
    })
}

/// How long each fault took to be answered.
pub fn response_times(class: &Class<'_>) -> Vec<ResponseTimes> {
    let all = || class.people.iter().flat_map(|p| &p.responses);
    let mut names: Vec<&str> = Vec::new();
    for r in all() {
        if !names.contains(&r.item.as_str()) {
            names.push(&r.item);
        }
    }
    names
        .into_iter()
        .map(|name| {
            let mut delays: Vec<u32> = all().filter(|r| r.item == name).filter_map(|r| r.delay).collect();
            delays.sort_unstable();
            let at = |i: usize| delays.get(i).map(|d| Seconds(Tick(*d)));
            ResponseTimes {
                item: name.to_owned(),
                answered: delays.len() as u32,
                missed: all().filter(|r| r.item == name && r.delay.is_none()).count() as u32,
                fastest: at(0),
                half_within: at(delays.len().saturating_sub(1) / 2),
                slowest: delays.last().map(|d| Seconds(Tick(*d))),
            }
        })
        .collect()
}

/// Agreement with marks that people gave; none where nobody did. It is the program's own marks that stand beside
/// theirs: a mark that a moderator changed is a person's already.
pub fn agreement(class: &Class<'_>) -> Option<AgreementFigures> {
    let own: Vec<(&str, RunResult)> = class
        .people
        .iter()
        .filter_map(|p| Some((p.who.id, p.moderation.as_the_program_gave(p.judged.result()?))))
        .collect();
    let runs: Vec<ClassRun<'_>> = own.iter().map(|(id, result)| ClassRun { id, result }).collect();
    let a = figures::agreement(&runs, class.hand)?;
    let pair = |(by, c): &(String, figures::Cohen)| PairFigures {
        by: by.clone(),
        marks: c.subjects as u32,
        agreed: rounded(c.observed),
        kappa: c.kappa.map(rounded),
        weighted: c.quadratic.map(rounded),
    };
    let mut cautions = vec![];
    let pairs = a.pairs.iter().map(|(by, c)| (format!("beside {by}"), &c.cautions));
    let together = a.together.iter().map(|f| ("all markers".to_owned(), &f.cautions));
    let sums = a.sums.iter().map(|s| ("the sums".to_owned(), &s.cautions));
    for (of, all) in pairs.chain(together).chain(sums) {
        cautions.extend(all.iter().map(|c| words::sentence(&format!("{of}: {}", figures::told(c, &[])))));
    }
    Some(AgreementFigures {
        markers: a.markers,
        pairs: a.pairs.iter().map(pair).collect(),
        fleiss: a.together.and_then(|f| f.kappa).map(rounded),
        correlation: a.sums.as_ref().and_then(|s| s.icc).map(rounded),
        correlation_interval: a.sums.and_then(|s| s.interval).map(|(l, h)| [rounded(l), rounded(h)]),
        cautions,
    })
}

/// The groups of one run or of a class.
pub fn group_lines(sheet: SheetNotes<'_>, runs: &[&RunResult]) -> Vec<GroupLine> {
    let line = |s: Summed| GroupLine {
        group: s.of,
        items: s.items,
        assessed: s.assessed as u32,
        marks: Points(s.earned),
        out_of: Points(s.out_of),
    };
    summed(sheet.groups, runs).into_iter().map(line).collect()
}

/// The competences of one run or of a class.
pub fn competence_lines(sheet: SheetNotes<'_>, runs: &[&RunResult]) -> Vec<CompetenceLine> {
    let line = |s: Summed| CompetenceLine {
        competence: s.of,
        items: s.items,
        assessed: s.assessed as u32,
        marks: Points(s.earned),
        out_of: Points(s.out_of),
    };
    competences::shown(sheet.competences, runs).into_iter().map(line).collect()
}

/// The results of those of a class who were graded.
pub fn graded<'a>(class: &Class<'a>) -> Vec<&'a RunResult> {
    class.people.iter().filter_map(|p| p.judged.result()).collect()
}

/// A sum over some of the items on a page: of a group, or of a competence.
#[derive(Debug, Serialize)]
pub struct SumRow {
    of: String,
    items: String,
    marks: String,
    part: String,
}

impl SumRow {
    fn of(of: &str, items: &[String], assessed: u32, marks: Marks, out_of: Marks) -> SumRow {
        let (marks, part) = match (assessed, out_of) {
            (0, _) => ("not assessed".to_owned(), String::new()),
            // What comes on top is not in what can be earned.
            (_, Marks(0)) if marks > Marks(0) => (format!("{} on top", words::marks(marks)), String::new()),
            (_, Marks(0)) => ("no marks to earn".to_owned(), String::new()),
            (_, all) => {
                let part = 100.0 * marks.0 as f64 / all.0 as f64;
                (format!("{marks} of {all}"), format!("{} %", words::number(part, 0)))
            }
        };
        SumRow { of: of.to_owned(), items: items.join(", "), marks, part }
    }
}

/// Groups as a page tells them.
pub fn group_rows(sheet: SheetNotes<'_>, runs: &[&RunResult]) -> Vec<SumRow> {
    let row = |l: GroupLine| SumRow::of(&l.group, &l.items, l.assessed, l.marks.0, l.out_of.0);
    group_lines(sheet, runs).into_iter().map(row).collect()
}

/// Competences as a page tells them.
pub fn competence_rows(sheet: SheetNotes<'_>, runs: &[&RunResult]) -> Vec<SumRow> {
    let row = |l: CompetenceLine| SumRow::of(&l.competence, &l.items, l.assessed, l.marks.0, l.out_of.0);
    competence_lines(sheet, runs).into_iter().map(row).collect()
}

/// The figures as a page tells them.
#[derive(Debug, Serialize)]
pub struct Worth {
    people: u32,
    left_out: u32,
    alpha: String,
    standard_error: String,
    items: Vec<[String; 4]>,
    cautions: Vec<String>,
    alike: Vec<[String; 3]>,
    markers: Vec<[String; 4]>,
    agreed: Vec<String>,
}

/// The figures of a class in words; none without a graded run.
pub fn told(class: &Class<'_>) -> Option<Worth> {
    let f = test_figures(class)?;
    let figure = |v: Option<f64>| v.map_or_else(|| "cannot be told".to_owned(), |v| words::number(v, 2));
    let alpha = match (f.alpha, f.alpha_interval) {
        (Some(a), Some([low, high])) => {
            format!("{} (95 % interval {} to {})", words::number(a, 2), words::number(low, 2), words::number(high, 2))
        }
        _ => "cannot be told".to_owned(),
    };
    let item = |i: &ItemFigure| [i.name.clone(), figure(i.difficulty), figure(i.item_rest), figure(i.upper_lower)];
    let alike = class.alike.iter().map(|a| {
        let what = if a.identical {
            "the same actions to the tenth of a second".to_owned()
        } else {
            format!("{} edits in {} actions turn one into the other", a.edits, a.actions)
        };
        [a.first.clone(), a.second.clone(), what]
    });
    let agreement = agreement(class);
    let mut agreed = vec![];
    if let Some(a) = &agreement {
        if a.markers.len() > 2 {
            agreed.push(format!("All markers together (Fleiss\u{2019} kappa): {}.", figure(a.fleiss)));
        }
        let interval = a.correlation_interval.map_or_else(String::new, |[low, high]| {
            format!(" (95 % interval {} to {})", words::number(low, 2), words::number(high, 2))
        });
        agreed.push(format!("Sums (intraclass correlation): {}{interval}.", figure(a.correlation)));
        agreed.extend(a.cautions.iter().cloned());
    }
    let marker = |p: &PairFigures| {
        [p.by.clone(), p.marks.to_string(), format!("{} %", words::number(100.0 * p.agreed, 0)), figure(p.kappa)]
    };
    Some(Worth {
        people: f.people,
        left_out: f.left_out,
        alpha,
        standard_error: match (f.standard_error, f.alpha) {
            (Some(e), _) => format!("{} marks", words::number(e, 1)),
            (None, Some(a)) if a < 0.0 => "says nothing, since the reliability is below nought".to_owned(),
            (None, _) => "cannot be told".to_owned(),
        },
        items: f.items.iter().map(item).collect(),
        cautions: f.cautions,
        alike: alike.collect(),
        markers: agreement.map(|a| a.pairs.iter().map(marker).collect()).unwrap_or_default(),
        agreed,
    })
}
