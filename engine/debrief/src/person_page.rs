//! A person's debrief as one self-contained page.

use crate::chart::{self, Group};
use crate::lanes;
use crate::moments::{self, Moment};
use crate::page::Page;
use crate::story::{self, Line};
use crate::svg::{Markup, Svg, across};
use crate::templates::{CAUTION, Caution, render};
use crate::words;
use crate::worth;
use base::record::{Ending, Event, Happening, Layer};
use base::sheet::Marks;
use base::{Severity, Tick};
use files::verdicts::Digests;
use marking::{Moderation, Outcome, RunResult, Verdict};
use serde::Serialize;

/// How many of the items that cost most stand at the top.
const COST_MOST: usize = 3;
/// How many spans of one indication the page tells beside each other.
const DIFFERED_TOLD: usize = 6;

#[derive(Serialize)]
struct View<'a> {
    id: &'a str,
    name: &'a str,
    called: &'a str,
    title: &'a str,
    brief: Vec<String>,
    pack: &'a str,
    version: &'a str,
    log: &'a str,
    start: &'a str,
    /// Empty when nothing was played.
    lasted: String,
    clock_form: &'static str,
    standing: &'static str,
    standing_class: &'static str,
    graded: bool,
    earned: String,
    out_of: String,
    bar: Option<Markup>,
    reasons: Vec<String>,
    cost_most: Vec<Cost>,
    caution: Caution,
    lanes: Option<Markup>,
    short: Vec<StoryRow>,
    whole: Vec<StoryRow>,
    groups: Vec<Group>,
    limited: bool,
    alarmed: bool,
    differed: Vec<DifferedRow>,
    shorter: Option<String>,
    items: Vec<ItemView>,
    practise: Vec<Practise>,
    sums: Vec<worth::SumRow>,
    competences: Vec<worth::SumRow>,
    not_applied: Vec<crate::class::UnfitRow>,
    repairs: Vec<RepairRow>,
    digests: &'a Digests,
}

#[derive(Serialize)]
struct Cost {
    name: String,
    lost: String,
    found: String,
}

#[derive(Serialize)]
struct StoryRow {
    time: String,
    number: Option<usize>,
    sign: Option<Markup>,
    what: &'static str,
    words: String,
}

#[derive(Serialize)]
struct DifferedRow {
    instrument: String,
    from: String,
    to: String,
    lasted: String,
    shown: String,
    actual: String,
    because: String,
}

#[derive(Serialize)]
struct ItemView {
    name: String,
    kind: String,
    outcome: &'static str,
    sign: &'static str,
    class: &'static str,
    marks: String,
    critical: bool,
    expected: String,
    found: String,
    practise: Option<String>,
    overrides: Vec<String>,
    facts: Vec<Fact>,
}

#[derive(Serialize)]
struct Fact {
    what: &'static str,
    value: String,
}

#[derive(Serialize)]
struct Practise {
    words: String,
    items: Vec<String>,
}

#[derive(Serialize)]
struct RepairRow {
    severity: &'static str,
    line: u32,
    message: String,
    hint: String,
    code: &'static str,
}

/// The debrief of one run: one HTML page that needs nothing beside it.
#[must_use]
pub fn person_page(page: &Page) -> String {
    let story = story::tell(page);
    let end = page.record.end;
    let marked = moments::place(&story, end);
    let result = page.judged.result();
    let (differed, shorter) = differed(page);
    let verdicts = result.map_or(&[][..], |r| &r.verdicts);
    render(
        "person.html",
        &View {
            id: page.who.id,
            name: page.who.name,
            called: page.who.called(),
            title: page.title,
            brief: words::paragraphs(page.brief),
            pack: page.pack.id,
            version: page.pack.version,
            log: page.log,
            start: page.start,
            lasted: if page.record.events.is_empty() { String::new() } else { words::clock(end) },
            clock_form: words::clock_form(end),
            standing: page.judged.word(),
            standing_class: standing_class(result),
            graded: result.is_some(),
            earned: result.map(|r| r.earned.to_string()).unwrap_or_default(),
            out_of: result.map(|r| r.out_of.to_string()).unwrap_or_default(),
            bar: result.and_then(bar),
            reasons: reasons(page),
            cost_most: cost_most(verdicts),
            caution: CAUTION,
            lanes: lanes::draw(page, &story, &marked),
            short: story.iter().filter(|l| l.short).map(|l| story_row(l, &marked)).collect(),
            whole: whole(&story),
            groups: chart::groups(page, &marked),
            limited: page.limits.iter().any(|l| !l.alarm),
            alarmed: page.limits.iter().any(|l| l.alarm),
            differed,
            shorter,
            items: verdicts.iter().map(|v| item(v, page.moderation)).collect(),
            practise: practise(verdicts),
            sums: result.map(|r| worth::group_rows(page.sheet, &[r])).unwrap_or_default(),
            competences: result.map(|r| worth::competence_rows(page.sheet, &[r])).unwrap_or_default(),
            not_applied: page.moderation.unfit.iter().map(crate::class::UnfitRow::of).collect(),
            repairs: page
                .repairs
                .iter()
                .map(|d| RepairRow {
                    severity: match d.severity {
                        Severity::Note => "note",
                        Severity::Warning => "warning",
                        Severity::Error => "error",
                    },
                    line: d.place.line,
                    message: words::sentence(&d.message),
                    hint: d.hint.as_deref().map(words::sentence).unwrap_or_default(),
                    code: d.code,
                })
                .collect(),
            digests: &page.digests,
        },
    )
}

fn standing_class(result: Option<&RunResult>) -> &'static str {
    match result.map(|r| r.passed) {
        None => "ungraded",
        Some(None) => "graded",
        Some(Some(true)) => "passed",
        Some(Some(false)) => "failed",
    }
}

/// Why the result is what it is.
fn reasons(page: &Page) -> Vec<String> {
    let Some(result) = page.judged.result() else {
        return page.judged.reasons().iter().map(|r| words::sentence(r)).collect();
    };
    let mut out = Vec::new();
    out.extend(pass_mark(page.pass_mark, result));
    for name in &result.critical_lost {
        out.push(format!("\u{201c}{name}\u{201d} was lost; it is critical, so it decides the run whatever the sum."));
    }
    if result.passed.is_none() && result.needed.is_none_or(|n| result.earned >= n) {
        for v in result.verdicts.iter().filter(|v| v.open && v.critical) {
            let name = &v.name;
            out.push(format!(
                "\u{201c}{name}\u{201d} is critical, and the rest of the run, which would decide it, was not seen."
            ));
        }
    }
    let ending = page.record.events.iter().rev().find_map(|e| match &e.what {
        Happening::Ended(ending) => Some(ending),
        _ => None,
    });
    match ending {
        Some(Ending::LogCutOff) => out.push(format!(
            "The log breaks off at {}. What was decided by then stands; the rest is not assessed.",
            words::clock(page.record.end)
        )),
        Some(Ending::Drifted(why)) => out.push(format!(
            "{} What was decided before stands; the rest is not assessed, since it is not the run that was recorded.",
            words::sentence(why)
        )),
        _ => {}
    }
    match page.moderation.applied.len() {
        0 => {}
        1 => out.push("One mark was changed by a moderator; it is told with its item.".to_owned()),
        n => out.push(format!("{n} changes were made by a moderator; each is told with its item.")),
    }
    let unassessed = result.verdicts.iter().filter(|v| v.outcome == Outcome::NotAssessed).count();
    match unassessed {
        0 => {}
        1 => out.push("One item was not assessed; it counts neither way.".to_owned()),
        n => out.push(format!("{n} items were not assessed; they count neither way.")),
    }
    out
}

/// Whether the pass mark was reached, as far as that can be said: it shrinks where items were not assessed.
fn pass_mark(pass: Option<Marks>, result: &RunResult) -> Option<String> {
    let (pass, needed) = (pass?, result.needed?);
    let open = result.verdicts.iter().any(|v| v.open);
    let side = if result.earned >= needed {
        "it was reached"
    } else if open && result.passed.is_none() {
        "whether it was reached cannot be said, since the rest of the run was not seen"
    } else {
        "it was not reached"
    };
    Some(if needed == pass {
        format!("The pass mark is {pass}; {side}.")
    } else {
        format!("The pass mark of {pass} is {needed} here, in proportion to what was assessed; {side}.")
    })
}

fn lost(v: &Verdict) -> Marks {
    Marks(v.out_of.0 - v.earned.0)
}

fn cost_most(verdicts: &[Verdict]) -> Vec<Cost> {
    let mut by_loss: Vec<&Verdict> =
        verdicts.iter().filter(|v| v.outcome != Outcome::NotAssessed && lost(v).0 > 0).collect();
    // Stable: equal losses stay in the order of the sheet.
    by_loss.sort_by_key(|v| std::cmp::Reverse(lost(v)));
    by_loss
        .into_iter()
        .take(COST_MOST)
        .map(|v| Cost { name: v.name.clone(), lost: words::marks(lost(v)), found: words::sentence(&v.found) })
        .collect()
}

/// Marks earned as a bar, with the pass mark on it.
fn bar(result: &RunResult) -> Option<Markup> {
    if result.out_of.0 <= 0 {
        return None;
    }
    let part = |m: Marks| across((m.0 as f64 / result.out_of.0 as f64).clamp(0.0, 1.0));
    // Where more is needed than could be assessed so far, no line can stand for it.
    let pass = result.needed.filter(|n| *n <= result.out_of);
    let desc = match pass {
        Some(pass) => format!("The pass mark of {pass} is drawn as a line."),
        None => "No pass mark is drawn.".to_owned(),
    };
    let title = format!("{} of {} marks", result.earned, result.out_of);
    let mut svg = Svg::picture("marks", "marks", 34, &title, &desc);
    svg.leaf("rect", &[("class", &"all"), ("y", &2), ("width", &"100%"), ("height", &14)]);
    svg.leaf("rect", &[("class", &"earned"), ("y", &2), ("width", &part(result.earned)), ("height", &14)]);
    if let Some(pass) = pass {
        let x = part(pass);
        svg.leaf("line", &[("class", &"pass"), ("x1", &x), ("x2", &x), ("y1", &0), ("y2", &20)]);
        let far = pass.0 * 2 > result.out_of.0;
        svg.text(
            "text",
            &[("class", &"label"), ("x", &x), ("y", &31), ("text-anchor", &(if far { "end" } else { "start" }))],
            &format!("pass mark {pass}"),
        );
    }
    Some(svg.finish())
}

fn story_row(line: &Line, marked: &[Moment]) -> StoryRow {
    let moment = marked.iter().find(|m| Some(m.number) == line.number);
    StoryRow {
        time: words::clock(line.tick),
        number: line.number,
        sign: moment.map(moments::sign),
        what: line.what,
        words: words::sentence(&line.words),
    }
}

/// Every line of the story; one that comes again and again with nothing between is told once, with how often,
/// and damage that grows with nothing between with how far.
fn whole(story: &[Line]) -> Vec<StoryRow> {
    let grows = |a: &Line, b: &Line| a.what == "Damage" && hurt(a).0 == hurt(b).0;
    let same = |a: &Line, b: &Line| a.what == b.what && (a.words == b.words || grows(a, b));
    let run = |lines: &[Line]| {
        let mut row = story_row(&lines[0], &[]);
        if let [first, .., last] = lines {
            let at = words::clock(last.tick);
            row.words.push_str(&match hurt(last).1.filter(|_| first.words != last.words) {
                Some(so_far) => format!(" It grew to {so_far} by {at}."),
                None => format!(" So {} times, the last at {at}.", lines.len()),
            });
        }
        row
    };
    story.chunk_by(same).map(run).collect()
}

/// What was hurt, and how far, from a line such as "TU-4001: rotor rubbed (10 % of its life so far)".
fn hurt(line: &Line) -> (&str, Option<&str>) {
    match line.words.rsplit_once(" (") {
        Some((what, so_far)) => (what, so_far.strip_suffix(')')),
        None => (&line.words, None),
    }
}

/// What was shown beside what was true, with the fault that was the reason where one acts there. An
/// indication that flickers differs hundreds of times: of each one the longest are told, and how many
/// shorter ones there were.
fn differed(page: &Page) -> (Vec<DifferedRow>, Option<String>) {
    let events = &page.record.events;
    let spans: Vec<_> = events
        .iter()
        .filter_map(|event| match &event.what {
            Happening::Differed { tag, of, since, shown, actual } => {
                Some((tag, *since, event.tick, shown, actual, [tag, of]))
            }
            _ => None,
        })
        .collect();
    let length = |from: Tick, to: Tick| to.0.saturating_sub(from.0);
    let told = |index: usize| {
        let (tag, from, to, ..) = spans[index];
        let longer = spans.iter().enumerate().filter(|(i, s)| {
            let other = length(s.1, s.2);
            s.0 == tag && (other > length(from, to) || (other == length(from, to) && *i < index))
        });
        longer.count() < DIFFERED_TOLD
    };
    let rows: Vec<DifferedRow> = spans
        .iter()
        .enumerate()
        .filter(|(i, _)| told(*i))
        .map(|(_, (tag, from, to, shown, actual, read))| {
            // It may lie in the indication or in the transmitter or switch that it follows.
            let because = events.iter().find_map(|e| match &e.what {
                Happening::FaultOn { name, on, kind, layer, .. }
                    if read.contains(&on)
                        && *layer != Layer::Actual
                        && e.tick <= *to
                        && !over_before(events, name, e.tick, *from) =>
                {
                    let of = if on == *tag { String::new() } else { format!("{on} ") };
                    Some(format!("{name}: {of}{kind}, {}", words::acts(*layer)))
                }
                _ => None,
            });
            let named = page.record.channels.iter().find(|c| read.contains(&&c.tag) && !c.name.is_empty());
            DifferedRow {
                instrument: named.map_or_else(|| tag.to_string(), |c| format!("{tag}, {}", c.name)),
                from: words::clock(*from),
                to: words::clock(*to),
                lasted: words::lasting(length(*from, *to)),
                shown: (*shown).clone(),
                actual: (*actual).clone(),
                because: because.unwrap_or_default(),
            }
        })
        .collect();
    let more = spans.len() - rows.len();
    let shorter = (more > 0).then(|| format!("{more} shorter differences are in the list of everything at the end."));
    (rows, shorter)
}

/// Whether a fault that came on at `on` was over before `from`.
fn over_before(events: &[Event], fault: &str, on: Tick, from: Tick) -> bool {
    let over = |e: &&Event| e.tick >= on && matches!(&e.what, Happening::FaultOff { name, .. } if name == fault);
    events.iter().find(over).is_some_and(|e| e.tick < from)
}

fn item(v: &Verdict, moderation: &Moderation) -> ItemView {
    let (outcome, sign, class) = words::outcome(v.outcome);
    let marks = match v.outcome {
        Outcome::NotAssessed => "not assessed".to_owned(),
        // What comes on top is not in what can be earned.
        _ if v.out_of == Marks(0) && v.earned > Marks(0) => format!("{} on top", words::marks(v.earned)),
        _ => format!("{} of {}", v.earned, words::marks(v.out_of)),
    };
    ItemView {
        name: v.name.clone(),
        kind: v.kind.to_owned(),
        outcome,
        sign,
        class,
        marks,
        critical: v.critical,
        expected: words::sentence(&v.expected),
        found: words::sentence(&v.found),
        practise: v.practise.as_deref().map(words::sentence),
        overrides: moderation.of(&v.name).map(|o| words::sentence(&o.told())).collect(),
        facts: [
            ("When", v.when.map(words::clock)),
            ("Shown then", v.shown.clone()),
            ("True then", v.actual.clone()),
            ("Margin in value", v.value_margin.clone()),
            ("Margin in time", v.time_margin.clone()),
            ("Look at", evidence(&v.evidence)),
        ]
        .into_iter()
        .filter_map(|(what, value)| value.map(|value| Fact { what, value }))
        .collect(),
    }
}

/// Spans in words; a long list is cut, and says so.
fn evidence(spans: &[(Tick, Tick)]) -> Option<String> {
    const TOLD: usize = 6;
    let mut parts: Vec<String> = spans
        .iter()
        .take(TOLD)
        .map(|(from, to)| {
            if words::clock(*from) == words::clock(*to) {
                words::clock(*from)
            } else {
                format!("{} to {}", words::clock(*from), words::clock(*to))
            }
        })
        .collect();
    if spans.len() > TOLD {
        parts.push(format!("and {} more", spans.len() - TOLD));
    }
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// What to practise, each advice once, with the items that ask for it, what cost most first.
fn practise(verdicts: &[Verdict]) -> Vec<Practise> {
    let mut by_loss: Vec<&Verdict> =
        verdicts.iter().filter(|v| lost(v).0 > 0 && v.outcome != Outcome::NotAssessed).collect();
    by_loss.sort_by_key(|v| std::cmp::Reverse(lost(v)));
    let mut out: Vec<Practise> = Vec::new();
    for v in by_loss {
        let Some(advice) = v.practise.as_deref().map(words::sentence) else {
            continue;
        };
        match out.iter_mut().find(|p| p.words == advice) {
            Some(known) => known.items.push(v.name.clone()),
            None => out.push(Practise { words: advice, items: vec![v.name.clone()] }),
        }
    }
    out
}
