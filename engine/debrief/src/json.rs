//! Live verdicts into the files that other programs read.

use crate::class::Class;
use crate::page::{Judged, PackName, Page, Who};
use crate::worth;
use base::{Diagnostic, Severity, Tick};
use files::verdicts::{
    CLASS_FORMAT, ClassFile, ClassItem, ClassLine, ItemOutcome, ItemSummary, ItemVerdict, NotApplied, Pack, Person,
    Points, Repair, Seconds, Span, Standing, VERDICT_FORMAT, VerdictFile, write_class, write_verdict,
};
use marking::{Moderation, Outcome, Unfit, Verdict};

/// The bytes of `verdicts/<trainee>.json`.
#[must_use]
pub fn verdict_json(page: &Page) -> Vec<u8> {
    let result = page.judged.result();
    write_verdict(&VerdictFile {
        format: VERDICT_FORMAT.to_owned(),
        trainee: person(&page.who),
        log: page.log.to_owned(),
        exercise: page.title.to_owned(),
        pack: pack(&page.pack),
        outcome: standing(&page.judged),
        passed: result.and_then(|r| r.passed),
        marks: result.map(|r| Points(r.earned)),
        out_of: result.map(|r| Points(r.out_of)),
        needed: result.and_then(|r| r.needed).map(Points),
        reasons: page.judged.reasons().to_vec(),
        critical_lost: result.map(|r| r.critical_lost.clone()).unwrap_or_default(),
        items: result.map(|r| r.verdicts.iter().map(|v| item(v, page)).collect()).unwrap_or_default(),
        groups: result.map(|r| worth::group_lines(page.sheet, &[r])).unwrap_or_default(),
        competences: result.map(|r| worth::competence_lines(page.sheet, &[r])).unwrap_or_default(),
        not_applied: page.moderation.unfit.iter().map(not_applied).collect(),
        repairs: page.repairs.iter().map(repair).collect(),
        digests: page.digests.clone(),
    })
}

/// The bytes of `class.json`.
///
/// # Panics
/// When the people were marked by different mark sheets.
#[must_use]
pub fn class_json(class: &Class) -> Vec<u8> {
    let people = class.people.iter().map(|p| {
        let result = p.judged.result();
        ClassLine {
            id: p.who.id.to_owned(),
            name: p.who.name.to_owned(),
            log: p.log.to_owned(),
            outcome: standing(&p.judged),
            passed: result.and_then(|r| r.passed),
            marks: result.map(|r| Points(r.earned)),
            out_of: result.map(|r| Points(r.out_of)),
            reasons: p.judged.reasons().to_vec(),
            items: result.map(|r| r.verdicts.iter().map(|v| class_item(v, p.moderation)).collect()).unwrap_or_default(),
            debrief: p.debrief.clone(),
            log_digest: p.log_digest.to_owned(),
        }
    });
    write_class(&ClassFile {
        format: CLASS_FORMAT.to_owned(),
        exercise: class.title.to_owned(),
        pack: pack(&class.pack),
        pass_mark: class.pass_mark.map(Points),
        people: people.collect(),
        items: class
            .statistics()
            .items
            .into_iter()
            .map(|i| ItemSummary {
                worth: class.sheet.worth.get(&i.name).map(|m| Points(*m)),
                group: class.sheet.groups.iter().find(|g| g.1.contains(&i.name)).map(|g| g.0.clone()),
                leans_on: class.sheet.leans_on.get(&i.name).cloned().unwrap_or_default(),
                name: i.name,
                kind: i.kind.to_owned(),
                assessed: i.assessed as u32,
                lost: i.lost_by.len() as u32,
                mean_part: i.mean_part,
            })
            .collect(),
        figures: worth::test_figures(class),
        responses: worth::response_times(class),
        alike: class.alike.to_vec(),
        agreement: worth::agreement(class),
        groups: worth::group_lines(class.sheet, &worth::graded(class)),
        competences: worth::competence_lines(class.sheet, &worth::graded(class)),
        not_applied: class.unfit().map(not_applied).collect(),
        digests: class.digests.clone(),
    })
}

fn person(who: &Who) -> Person {
    Person { id: who.id.to_owned(), name: who.name.to_owned() }
}

fn pack(name: &PackName) -> Pack {
    Pack { id: name.id.to_owned(), version: name.version.to_owned() }
}

fn standing(judged: &Judged) -> Standing {
    match judged {
        Judged::Graded(_) => Standing::Graded,
        Judged::NotGraded(_) => Standing::NotGraded,
    }
}

fn outcome(outcome: Outcome) -> ItemOutcome {
    match outcome {
        Outcome::Full => ItemOutcome::Full,
        Outcome::Part => ItemOutcome::Part,
        Outcome::Nothing => ItemOutcome::Nothing,
        Outcome::NotAssessed => ItemOutcome::NotAssessed,
    }
}

fn item(v: &Verdict, page: &Page) -> ItemVerdict {
    let span = |&(from, to): &(Tick, Tick)| Span { from: Seconds(from), to: Seconds(to) };
    ItemVerdict {
        name: v.name.clone(),
        kind: v.kind.to_owned(),
        expected: v.expected.clone(),
        outcome: outcome(v.outcome),
        marks: Points(v.earned),
        out_of: Points(v.out_of),
        critical: v.critical,
        found: v.found.clone(),
        value_margin: v.value_margin.clone(),
        time_margin: v.time_margin.clone(),
        when: v.when.map(Seconds),
        shown: v.shown.clone(),
        actual: v.actual.clone(),
        evidence: v.evidence.iter().map(span).collect(),
        practise: v.practise.clone(),
        rule: page.sheet.rules.get(&v.name).cloned().unwrap_or_default(),
        overrides: page.moderation.of(&v.name).map(Into::into).collect(),
    }
}

fn class_item(v: &Verdict, moderation: &Moderation) -> ClassItem {
    ClassItem {
        name: v.name.clone(),
        outcome: outcome(v.outcome),
        marks: Points(v.earned),
        out_of: Points(v.out_of),
        overrides: moderation.of(&v.name).map(Into::into).collect(),
    }
}

fn not_applied(unfit: &Unfit) -> NotApplied {
    NotApplied {
        person: unfit.entry.person.clone(),
        item: unfit.entry.item.clone(),
        told: unfit.entry.told(),
        why: unfit.why.clone(),
    }
}

fn repair(d: &Diagnostic) -> Repair {
    let severity = match d.severity {
        Severity::Note => "note",
        Severity::Warning => "warning",
        Severity::Error => "error",
    };
    Repair {
        severity: severity.to_owned(),
        code: d.code.to_owned(),
        file: d.place.file.clone(),
        line: d.place.line,
        message: d.message.clone(),
        hint: d.hint.clone(),
    }
}
