//! `grade`: a class's logs in, debriefs, class report and gradebook out.

use crate::exit::Exit;
use crate::told::{self, aside, count, say};
use base::{Diagnostic, Place};
use debrief::{Class, HandMarks, Judged, PackName, Page, PersonLine, Response, SheetNotes, Side, TrendLimit, Who};
use files::class_figures::AlikeLogs;
use files::hand_marks;
use files::numbers::Numbers;
use files::overrides::Overrides;
use files::verdicts::{ClassDigests, Digests};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use replay::{Graded, Options, Pack, ReadLog, Ready, Standing, Trouble, Unfit, blind, disk, logs, moderation};
use std::collections::BTreeSet;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Arguments of `grade`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Folder of the pack: the one with pack.ron in it.
    pack: PathBuf,
    /// Logs, or folders with logs (files that end in .jsonl).
    #[arg(required = true)]
    logs: Vec<PathBuf>,
    /// Folder for the results; made if it is not there.
    #[arg(long)]
    out: PathBuf,
    /// Exercise of the pack, when it has several.
    #[arg(long)]
    exercise: Option<String>,
    /// How many logs are replayed at the same time; 0 for as many as there are cores. The results do
    /// not depend on it.
    #[arg(long, default_value_t = 0)]
    jobs: usize,
    /// File with a moderator's overrides: marks changed by hand, each with a reason, a name and a date.
    #[arg(long, value_name = "FILE")]
    overrides: Option<PathBuf>,
    /// Mark blind: candidate numbers stand in all results instead of ids, names and file names.
    #[arg(long)]
    blind: bool,
    /// Marks that people gave by hand, as a CSV table (id, by, then a column an item): the class report
    /// tells how far they agree with the program's. They change no mark.
    #[arg(long, value_name = "FILE")]
    hand_marks: Option<PathBuf>,
    /// File that keeps the candidate numbers: with --blind it is read if it is there, and written
    /// with everybody who is new; without --blind it only tells whose an override by number is.
    #[arg(long, value_name = "FILE")]
    numbers: Option<PathBuf>,
}

/// Grades a class.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    let pack = Pack::open(&a.pack)?;
    told::diagnostics(&pack.told);
    let ready = pack.exercise(a.exercise.as_deref())?;
    let (paths, notes) = logs::find(&a.logs)?;
    told::diagnostics(&notes);
    let (logs, about_nobody, hand) = moderated(a, &pack, ready, &paths)?;
    let alike = replay::alike::pairs(&logs);
    for folder in ["debriefs", "verdicts"] {
        disk::make_folder(&a.out.join(folder))?;
    }
    let rules = replay::rules::digests(ready);
    let worth = ready.sheet.items.iter().map(|i| (i.name.clone(), i.marks)).collect();
    let groups = ready.sheet.groups();
    let leans_on = ready.sheet.items.iter().map(|i| (i.name.clone(), ready.sheet.leans_on(i))).collect();
    let sheet = SheetNotes {
        rules: &rules,
        competences: &ready.sheet.competences,
        worth: &worth,
        leans_on: &leans_on,
        groups: &groups,
    };
    let stop = stop_on_interrupt();
    let stems = debrief::stems(logs.iter().map(|l| l.id.as_str()));
    let bar = progress(logs.len());
    let options = Options { jobs: a.jobs, stop: stop.clone() };
    let results = replay::grade(&pack, ready, &logs, &options, &|i, graded| {
        let written = write_person(&a.out, &pack, ready, sheet, graded, &stems[i]);
        bar.inc(1);
        written
    });
    bar.finish_and_clear();

    let mut trouble = None;
    let mut people = vec![];
    for ((graded, written), stem) in results.into_iter().zip(&stems) {
        let written = written.unwrap_or_else(|t| {
            trouble.get_or_insert(t);
            false
        });
        say(&summary(&graded));
        told::diagnostics(&graded.told);
        told::diagnostics(&moderation::warnings(&graded.moderation.unfit));
        people.push((graded, written.then(|| format!("debriefs/{stem}.html"))));
    }
    told::diagnostics(&moderation::warnings(&about_nobody));
    let beside = Beside { sheet, about_nobody: &about_nobody, alike: &alike, hand: &hand };
    write_class(&a.out, &pack, ready, &people, &beside)?;
    if let Some(trouble) = trouble {
        return Err(trouble);
    }
    left_over(&a.out, &stems)?;
    let graded = people.iter().filter(|p| matches!(p.0.standing, Standing::Graded(_))).count();
    let not = people.len() - graded;
    say(&format!("{}: {graded} graded, {not} not graded", count(people.len(), "log")));
    say(&format!("debriefs: {}", a.out.join("debriefs").display()));
    say(&format!("class report: {}", a.out.join("class.html").display()));
    Ok(if stop.load(Ordering::Relaxed) {
        aside("interrupted; what was finished is kept");
        Exit::Interrupted
    } else if not > 0 {
        Exit::SomeNotGraded
    } else {
        Exit::Good
    })
}

/// The logs by candidate number where that is asked for, each with its overrides, and the overrides
/// that are about nobody. Everything that the moderator wrote is read before anything is graded.
fn moderated(
    a: &Arguments,
    pack: &Pack,
    ready: &Ready,
    paths: &[PathBuf],
) -> Result<(Vec<ReadLog>, Vec<Unfit>, hand_marks::HandMarks), Trouble> {
    let known = match &a.numbers {
        Some(path) => blind::read_numbers(pack, path)?,
        None => Numbers::default(),
    };
    let overrides = match &a.overrides {
        Some(path) => moderation::read_overrides(pack, ready, path)?,
        None => Overrides::default(),
    };
    let mut hand = match &a.hand_marks {
        Some(path) => moderation::read_hand_marks(ready, path)?,
        None => hand_marks::HandMarks::default(),
    };
    let mut logs = replay::read_logs(pack, ready, paths);
    let mut numbers = known.clone();
    if a.blind {
        numbers = blind::assign(pack, &logs, &known);
        blind::hide(&mut logs, &numbers);
        blind::no_names_beside(&a.out, &numbers)?;
        if let Some(path) = a.numbers.as_ref().filter(|_| numbers != known) {
            disk::write_whole(path, &files::numbers::write(&numbers))?;
        }
    }
    let about_nobody = moderation::attach(&mut logs, &overrides, &numbers);
    told::diagnostics(&moderation::name_hand_marks(&mut hand, &logs, &numbers));
    Ok((logs, about_nobody, hand))
}

/// A flag that an interrupt sets. A second interrupt ends the program at once.
fn stop_on_interrupt() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = stop.clone();
    let set = ctrlc::set_handler(move || {
        if flag.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    if let Err(e) = set {
        aside(&format!("note: an interrupt will end the program at once ({e})"));
    }
    stop
}

/// A bar on a terminal, nothing anywhere else.
fn progress(length: usize) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::with_draw_target(Some(length as u64), ProgressDrawTarget::stderr());
    let style = ProgressStyle::with_template("{bar:32} {pos} of {len} logs, {eta} left");
    bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
}

/// One line a log.
fn summary(g: &Graded) -> String {
    let who = if g.person.is_empty() { g.id.clone() } else { format!("{} {}", g.id, g.person) };
    let what = match &g.standing {
        Standing::Graded(r) => {
            let passed = match r.passed {
                Some(true) => ", passed",
                Some(false) => ", not passed",
                None => "",
            };
            let lost = match &r.critical_lost[..] {
                [] => String::new(),
                items => format!(" (critical: {})", items.join(", ")),
            };
            let changed = match g.moderation.applied.len() {
                0 => String::new(),
                n => format!(", {}", count(n, "override")),
            };
            format!("{} of {}{passed}{lost}{changed}", r.earned, r.out_of)
        }
        other => format!("not graded: {}", other.reasons().join("; ")),
    };
    let repairs = if g.told.is_empty() { String::new() } else { format!(" [{}]", count(g.told.len(), "remark")) };
    format!("{who}: {what}{repairs}  {}", g.log)
}

fn judged<'a>(standing: &'a Standing, reasons: &'a [String]) -> Judged<'a> {
    match standing {
        Standing::Graded(result) => Judged::Graded(result),
        _ => Judged::NotGraded(reasons),
    }
}

fn pack_name(pack: &Pack) -> PackName<'_> {
    PackName { id: &pack.file.id, version: &pack.file.version }
}

/// Writes debrief and verdicts of one log; false when there is nothing to write.
fn write_person(
    out: &Path,
    pack: &Pack,
    ready: &Ready,
    sheet: SheetNotes<'_>,
    g: &Graded,
    stem: &str,
) -> Result<bool, Trouble> {
    if g.standing == Standing::Stopped {
        return Ok(false);
    }
    let reasons = g.standing.reasons();
    let start = &ready.exercise.start.state;
    let limits: Vec<TrendLimit> = g
        .limits
        .iter()
        .map(|l| TrendLimit {
            tag: l.tag.clone(),
            layer: l.layer,
            value: l.value,
            label: l.label.clone(),
            wrong: if l.wrong_above { Side::Above } else { Side::Below },
            alarm: l.alarm,
        })
        .collect();
    // That somebody's log is like another's is for whoever marks the class, and names the other.
    let repairs: Vec<Diagnostic> = g.told.iter().filter(|d| d.code != "log::identical").cloned().collect();
    let page = Page {
        who: Who { id: &g.id, name: &g.person },
        log: &g.log,
        title: &ready.exercise.title,
        brief: &ready.exercise.brief,
        pack: pack_name(pack),
        start: if start.is_empty() { "cold" } else { start },
        pass_mark: ready.sheet.pass,
        record: &g.record,
        judged: judged(&g.standing, &reasons),
        moderation: &g.moderation,
        sheet,
        repairs: &repairs,
        digests: Digests {
            pack: pack.digest.to_string(),
            log: g.digest.to_string(),
            program: pack.program.to_string(),
        },
        limits: &limits,
    };
    disk::write_whole(&out.join(format!("verdicts/{stem}.json")), &debrief::verdict_json(&page))?;
    disk::write_whole(&out.join(format!("debriefs/{stem}.html")), debrief::person_page(&page).as_bytes())?;
    Ok(true)
}

/// What a class's results are made from beside the people.
struct Beside<'a> {
    sheet: SheetNotes<'a>,
    about_nobody: &'a [Unfit],
    alike: &'a [AlikeLogs],
    hand: &'a hand_marks::HandMarks,
}

fn write_class(
    out: &Path,
    pack: &Pack,
    ready: &Ready,
    people: &[(Graded, Option<String>)],
    beside: &Beside<'_>,
) -> Result<(), Trouble> {
    let hand: Vec<HandMarks<'_>> = beside
        .hand
        .rows
        .iter()
        .map(|row| HandMarks {
            by: &row.by,
            id: &row.id,
            marks: beside.hand.items.iter().zip(&row.marks).filter_map(|(i, m)| Some((i.as_str(), (*m)?.0))).collect(),
        })
        .collect();
    let reasons: Vec<Vec<String>> = people.iter().map(|p| p.0.standing.reasons()).collect();
    let lines: Vec<PersonLine<'_>> = people
        .iter()
        .zip(&reasons)
        .map(|((g, debrief), reasons)| PersonLine {
            who: Who { id: &g.id, name: &g.person },
            log: &g.log,
            debrief: debrief.clone(),
            judged: judged(&g.standing, reasons),
            moderation: &g.moderation,
            repairs: g.told.len(),
            responses: g.responses.iter().map(|(item, delay)| Response { item: item.clone(), delay: *delay }).collect(),
            log_digest: g.digest.as_str(),
        })
        .collect();
    let class = Class {
        title: &ready.exercise.title,
        pack: pack_name(pack),
        pass_mark: ready.sheet.pass,
        people: &lines,
        sheet: beside.sheet,
        alike: beside.alike,
        hand: &hand,
        about_nobody: beside.about_nobody,
        digests: ClassDigests { pack: pack.digest.to_string(), program: pack.program.to_string() },
    };
    disk::write_whole(&out.join("class.html"), debrief::class_page(&class).as_bytes())?;
    disk::write_whole(&out.join("gradebook.csv"), &debrief::gradebook(&class))?;
    disk::write_whole(&out.join("gradebook.xlsx"), &debrief::workbook(&class))?;
    disk::write_whole(&out.join("class.json"), &debrief::class_json(&class))
}

/// Tells results in the folder that are of no log of this class.
fn left_over(out: &Path, stems: &[String]) -> Result<(), Trouble> {
    let ours: BTreeSet<&str> = stems.iter().map(String::as_str).collect();
    let folder = out.join("debriefs");
    let machine = |why| Trouble::Machine { path: folder.clone(), doing: "read", why };
    let mut others = 0;
    for entry in std::fs::read_dir(&folder).map_err(machine)? {
        let path = entry.map_err(machine)?.path();
        let stem = path.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
        others += usize::from(!ours.contains(stem.as_str()));
    }
    if others > 0 {
        told::diagnostics(&[Diagnostic::note(
            "grade::left-over",
            Place::file(&folder.to_string_lossy()),
            format!("{} in this folder are of an earlier grading and were left as they are", count(others, "file")),
        )]);
    }
    Ok(())
}
