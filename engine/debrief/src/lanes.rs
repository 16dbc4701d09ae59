//! The story drawn as lanes along time: faults and trips as bars for as long as they stood, alarms
//! packed beneath each other, actions and the helper's answers as strokes, items of the sheet as signs.

use crate::axis;
use crate::moments::{self, Moment, part};
use crate::page::Page;
use crate::story::Line;
use crate::svg::{Markup, Svg, across};
use crate::words;
use base::record::{AlarmPhase, Event, Happening, Record};
use base::{Tag, Tick};
use marking::Outcome;
use std::collections::{BTreeMap, BTreeSet};

/// Height of a lane's caption, pixels.
const CAPTION: u32 = 17;
/// Letters of a caption that fit beside each other on a phone.
const CAPTION_LETTERS: usize = 52;
/// Height of a bar, pixels.
const BAR: u32 = 12;
/// Rows that alarms may take; further ones share the last row, and the table tells them apart.
const ALARM_ROWS: usize = 5;

struct Bar {
    key: String,
    from: Tick,
    to: Tick,
    words: String,
}

/// Bars of one key in one lane.
struct Lane<'a> {
    key: &'a str,
    words: Vec<&'a str>,
    bars: Vec<&'a Bar>,
}

/// The drawing, or none when nothing happened.
pub fn draw(page: &Page, story: &[Line], marked: &[Moment]) -> Option<Markup> {
    let record = page.record;
    let end = record.end;
    if end == Tick::ZERO || story.is_empty() {
        return None;
    }
    let faults = faults(record);
    let trips = standing(record, trip_begins, trip_ends);
    let alarms = alarms(record);
    let alarm_rows = pack(&alarms, end);
    let alarm_height = alarm_rows.iter().max().map_or(0, |r| r + 1) as u32 * 7;
    let top = moments::height(marked);
    let (fault_lanes, trip_lanes) = (lanes(&faults), lanes(&trips));
    let each = |lanes: &[Lane]| lanes.len() as u32 * (CAPTION + BAR + 3);
    let plot = top
        + 4
        + each(&fault_lanes)
        + each(&trip_lanes)
        + if alarms.is_empty() { 0 } else { CAPTION + alarm_height + 5 }
        + 3 * (CAPTION + BAR + 5);
    let desc = format!(
        "Time runs from left to right, from 00:00 to {}. In all {}, {} and {}. \
         The table below tells the same in words.",
        words::clock(end),
        words::count(faults.len(), "fault"),
        words::count(trips.len(), "trip"),
        words::count(alarms.len(), "alarm")
    );
    let mut svg = Svg::picture("story", "lanes", plot + 20, "The story of the run", &desc);
    svg.open("defs", &[]);
    hatch(&mut svg);
    svg.close();
    time_axis(&mut svg, end, top, plot);
    moments::draw(&mut svg, marked, end, 0, plot);
    let mut y = top + 4;
    let kinds = [("Fault", "fault", fault_lanes), ("Trip", "trip", trip_lanes)];
    for (kind, class, lanes) in &kinds {
        for l in lanes {
            caption(&mut svg, &mut y, &format!("{kind} {}: {}", l.key, l.words.join("; ")));
            for bar in &l.bars {
                draw_bar(&mut svg, bar, end, y, BAR, class);
            }
            y += BAR + 3;
        }
    }
    if !alarms.is_empty() {
        caption(&mut svg, &mut y, &format!("Alarms standing ({})", alarms.len()));
        for (bar, row) in alarms.iter().zip(&alarm_rows) {
            draw_bar(&mut svg, bar, end, y + *row as u32 * 7, 5, "alarm");
        }
        y += alarm_height + 5;
    }
    strokes(&mut svg, &mut y, "Actions (a cross where one was not possible)", end, story, |l| match l.what {
        "Action" => Some("action"),
        "Not possible" => Some("refused"),
        _ => None,
    });
    strokes(&mut svg, &mut y, "Answers of the helper", end, story, |l| (l.what == "Helper").then_some("answer"));
    caption(&mut svg, &mut y, "Items: filled all, half some, empty no marks");
    for v in page.judged.result().map_or(&[][..], |r| &r.verdicts) {
        if let Some(when) = v.when {
            item_sign(&mut svg, v.outcome, &across(part(when, end)), y + BAR / 2);
        }
    }
    Some(svg.finish())
}

/// Labelled lines for the time, shared with the charts.
pub fn time_axis(svg: &mut Svg, end: Tick, top: u32, bottom: u32) {
    let labels = axis::moments(end);
    for tick in &labels {
        let x = across(part(*tick, end));
        svg.leaf("line", &[("class", &"grid"), ("x1", &x), ("x2", &x), ("y1", &top), ("y2", &bottom)]);
        // The first and the last label stay inside the drawing.
        let at = part(*tick, end);
        let anchor = match at {
            a if a < 0.03 => "start",
            a if a > 0.96 => "end",
            _ => "middle",
        };
        svg.text(
            "text",
            &[("class", &"label"), ("x", &x), ("y", &(bottom + 14)), ("text-anchor", &anchor)],
            &words::clock(*tick),
        );
    }
    svg.leaf("line", &[("class", &"base"), ("x1", &"0"), ("x2", &"100%"), ("y1", &bottom), ("y2", &bottom)]);
}

/// Slanted lines on white: a bar that is told from the others without colour.
fn hatch(svg: &mut Svg) {
    svg.open(
        "pattern",
        &[
            ("id", &"story-hatch"),
            ("width", &5),
            ("height", &5),
            ("patternUnits", &"userSpaceOnUse"),
            ("patternTransform", &"rotate(45)"),
        ],
    );
    svg.leaf("rect", &[("width", &5), ("height", &5), ("fill", &"#fff")]);
    svg.leaf("rect", &[("width", &2.5), ("height", &5), ("class", &"hatch")]);
    svg.close();
}

/// A lane's caption. Text in a drawing does not wrap, so a long one is cut; the table tells all of it.
fn caption(svg: &mut Svg, y: &mut u32, text: &str) {
    let text = if text.chars().count() > CAPTION_LETTERS {
        let kept: String = text.chars().take(CAPTION_LETTERS - 1).collect();
        format!("{}\u{2026}", kept.trim_end())
    } else {
        text.to_owned()
    };
    svg.text("text", &[("class", &"caption"), ("x", &0), ("y", &(*y + 12))], &text);
    *y += CAPTION;
}

fn draw_bar(svg: &mut Svg, bar: &Bar, end: Tick, y: u32, height: u32, class: &str) {
    let (from, to) = (part(bar.from, end), part(bar.to, end));
    let x = across(from);
    svg.leaf(
        "rect",
        &[("class", &format!("bar {class}")), ("x", &x), ("y", &y), ("width", &across(to - from)), ("height", &height)],
    );
    // However short, its beginning is seen.
    svg.leaf("line", &[("class", &format!("bar {class}")), ("x1", &x), ("x2", &x), ("y1", &y), ("y2", &(y + height))]);
}

fn strokes(
    svg: &mut Svg,
    y: &mut u32,
    caption: &str,
    end: Tick,
    story: &[Line],
    class: impl Fn(&Line) -> Option<&'static str>,
) {
    self::caption(svg, y, caption);
    for line in story {
        let Some(class) = class(line) else { continue };
        let x = across(part(line.tick, end));
        if class == "refused" {
            svg.open("svg", &[("x", &x), ("y", &(*y + BAR / 2)), ("overflow", &"visible")]);
            svg.leaf("path", &[("class", &"refused"), ("d", &"M-4-4L4 4M-4 4L4-4")]);
            svg.close();
        } else {
            svg.leaf("line", &[("class", &class), ("x1", &x), ("x2", &x), ("y1", y), ("y2", &(*y + BAR))]);
        }
    }
    *y += BAR + 5;
}

fn item_sign(svg: &mut Svg, outcome: Outcome, x: &str, y: u32) {
    if outcome == Outcome::NotAssessed {
        return;
    }
    svg.open("svg", &[("x", &x), ("y", &y), ("overflow", &"visible")]);
    svg.leaf("circle", &[("class", &"result"), ("r", &5)]);
    match outcome {
        Outcome::Full => svg.leaf("circle", &[("class", &"earned"), ("r", &5)]),
        Outcome::Part => svg.leaf("path", &[("class", &"earned"), ("d", &"M0-5A5 5 0 0 0 0 5z")]),
        Outcome::Nothing | Outcome::NotAssessed => {}
    }
    svg.close();
}

/// Faults with when each began and ended; one that never ended stands to the end of the run.
fn faults(record: &Record) -> Vec<Bar> {
    standing(
        record,
        |what| match what {
            Happening::FaultOn { name, on, kind, .. } => Some((name.clone(), format!("{on} {kind}"))),
            _ => None,
        },
        |what| match what {
            Happening::FaultOff { name, .. } => Some(name.clone()),
            _ => None,
        },
    )
}

fn trip_begins(what: &Happening) -> Option<(String, String)> {
    match what {
        Happening::Trip { tag, cause, .. } => Some((tag.to_string(), cause.clone())),
        _ => None,
    }
}

fn trip_ends(what: &Happening) -> Option<String> {
    match what {
        Happening::Reset { tag } => Some(tag.to_string()),
        _ => None,
    }
}

fn alarm_begins(what: &Happening) -> Option<(String, String)> {
    match what {
        Happening::Alarm { tag, text, phase: AlarmPhase::Raised } => Some((tag.to_string(), text.clone())),
        _ => None,
    }
}

fn alarm_ends(what: &Happening) -> Option<String> {
    match what {
        Happening::Alarm { tag, phase: AlarmPhase::Cleared, .. } => Some(tag.to_string()),
        _ => None,
    }
}

/// Alarms with when each came up and went. One that was seen or went without having come up stood there when the run
/// began, as on a cold ship.
fn alarms(record: &Record) -> Vec<Bar> {
    let mut bars = standing(record, alarm_begins, alarm_ends);
    let mut known: BTreeSet<&Tag> = BTreeSet::new();
    for event in &record.events {
        let Happening::Alarm { tag, text, phase } = &event.what else { continue };
        if known.insert(tag) && *phase != AlarmPhase::Raised {
            let went = |e: &&Event| alarm_ends(&e.what).is_some_and(|t| t == tag.as_str());
            let to = record.events.iter().find(went).map_or(record.end, |e| e.tick);
            bars.push(Bar { key: tag.to_string(), from: Tick::ZERO, to, words: text.clone() });
        }
    }
    bars.sort_by_key(|b| b.from);
    bars
}

/// Pairs beginnings with endings of the same key, in the order of the beginnings.
fn standing(
    record: &Record,
    begins: impl Fn(&Happening) -> Option<(String, String)>,
    ends: impl Fn(&Happening) -> Option<String>,
) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    let mut open: BTreeMap<String, usize> = BTreeMap::new();
    for event in &record.events {
        if let Some((key, words)) = begins(&event.what)
            && !open.contains_key(&key)
        {
            open.insert(key.clone(), bars.len());
            bars.push(Bar { key, from: event.tick, to: record.end, words });
        } else if let Some(key) = ends(&event.what)
            && let Some(index) = open.remove(&key)
        {
            bars[index].to = event.tick;
        }
    }
    bars
}

/// Bars gathered into lanes, in the order in which their keys first appear.
fn lanes(bars: &[Bar]) -> Vec<Lane<'_>> {
    let mut lanes: Vec<Lane> = Vec::new();
    for bar in bars {
        let at = lanes.iter().position(|l| l.key == bar.key);
        let at = at.unwrap_or_else(|| {
            lanes.push(Lane { key: &bar.key, words: vec![], bars: vec![] });
            lanes.len() - 1
        });
        if !lanes[at].words.contains(&bar.words.as_str()) {
            lanes[at].words.push(&bar.words);
        }
        lanes[at].bars.push(bar);
    }
    lanes
}

/// A row for each bar so that bars of one row do not touch.
fn pack(bars: &[Bar], end: Tick) -> Vec<usize> {
    let gap = 0.004;
    let mut ends: Vec<f64> = Vec::new();
    bars.iter()
        .map(|bar| {
            let from = part(bar.from, end);
            let row = match ends.iter().position(|e| from - e > gap) {
                Some(row) => row,
                None if ends.len() < ALARM_ROWS => {
                    ends.push(0.0);
                    ends.len() - 1
                }
                None => ALARM_ROWS - 1,
            };
            ends[row] = part(bar.to, end).max(ends[row]);
            row
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Once alarms that stood at the start were left out, and the lane told three of nine.
    #[test]
    fn an_alarm_that_stood_when_the_run_began_is_drawn_from_there() {
        let at = |tick: u32, tag: &str, phase| {
            let what = Happening::Alarm { tag: Tag::new(tag), text: format!("{tag} low"), phase };
            Event { tick: Tick(tick), what }
        };
        let events = vec![
            at(5, "XA-3", AlarmPhase::Raised),
            at(10, "XA-1", AlarmPhase::Cleared),
            at(20, "XA-2", AlarmPhase::Acknowledged),
            at(30, "XA-1", AlarmPhase::Raised),
            at(40, "XA-3", AlarmPhase::Cleared),
            at(50, "XA-2", AlarmPhase::Cleared),
        ];
        let record = Record { end: Tick(100), events, ..Record::default() };
        let told: Vec<_> = alarms(&record).iter().map(|b| (b.key.clone(), b.from.0, b.to.0)).collect();
        let bar = |tag: &str, from, to| (tag.to_owned(), from, to);
        assert_eq!(told, [bar("XA-1", 0, 10), bar("XA-2", 0, 50), bar("XA-3", 5, 40), bar("XA-1", 30, 100)]);
    }
}
