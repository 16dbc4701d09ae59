//! A sheet as SVG: lines first, then parts with their tags, words and instruments, below all of it the key.

use super::Made;
use super::looks::{Look, Medium};
use super::place::{BUBBLE_ROOM, BUBBLES_A_ROW, LINE, Placed, Seat, TAG, UNDER, WORDS};
use super::scheme::{Part, Scheme};
use super::symbols::{bubble, symbol};
use super::text::{escaped, width, wrapped};
use base::description::Description;
use std::collections::BTreeSet;
use std::fmt::Write;

/// Around everything.
const MARGIN: f64 = 24.0;
/// The least width of a sheet, so that its key has room.
const LEAST: f64 = 760.0;

const STYLE: &str = "\
.o{fill:#fff;stroke:#000;stroke-width:1.4}\
.f{fill:#000;stroke:#000;stroke-width:1}\
.l{fill:none;stroke:#000;stroke-width:1.2}\
.k{fill:none;stroke:#000;stroke-width:2}\
.t{fill:#fff;stroke:#000;stroke-width:1.6}\
.d{fill:none;stroke:#000;stroke-width:1;stroke-dasharray:4 2}\
text{font-family:Helvetica,Arial,'Liberation Sans',sans-serif;fill:#000;text-anchor:middle}\
.tag{font-size:11px;font-weight:bold}.w{font-size:9px}.b{font-size:8.5px}.in{font-size:12px}.m{font-size:8px}\
.h{font-size:15px;font-weight:bold;text-anchor:start}.key{font-size:10px;text-anchor:start}.code{font-size:8px}";

/// Draws a sheet.
pub fn draw(d: &Description, title: &str, s: &Scheme, placed: &Placed) -> (String, Made) {
    let key = key(d, s);
    let key_height = 22.0 + 15.0 * key.notes.len() as f64 + 20.0 * key.media.len().div_ceil(3) as f64;
    let heading = 30.0;
    let size = (placed.size.0.max(LEAST) + 2.0 * MARGIN, (placed.size.1 + heading + key_height + 2.0 * MARGIN).ceil());
    let mut made = Made { size: (size.0.ceil(), size.1), ..Made::default() };
    let (dx, dy) = (MARGIN + 0.5 * (size.0 - 2.0 * MARGIN - placed.size.0), MARGIN + heading);
    let mut out = String::new();
    let (w, h) = made.size;
    writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {w} {h}\" width=\"{w}\" height=\"{h}\">",
        escaped(title)
    )
    .ok();
    writeln!(out, "<title>{}</title>\n<style>{STYLE}</style>", escaped(title)).ok();
    writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>").ok();
    text(&mut out, &mut made, "h", 15.0, false, (MARGIN, MARGIN + 10.0), title);
    for (line, corners) in s.lines.iter().zip(&placed.routes) {
        let corners: Vec<(f64, f64)> = corners.iter().map(|c| (c.0 + dx, c.1 + dy)).collect();
        stroke(&mut out, line.medium, &corners);
        arrow(&mut out, s, line.medium, line.to, &corners);
        made.lines.push((s.parts[line.from].tag.clone(), s.parts[line.to].tag.clone(), corners));
    }
    for (x, y) in tees(s, &made) {
        writeln!(out, "<circle class=\"f\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"2.6\"/>").ok();
    }
    for (line, (.., corners)) in s.lines.iter().zip(made.lines.clone()) {
        code(&mut out, &mut made, s, line.medium, line.from, &corners);
    }
    for (part, seat) in s.parts.iter().zip(&placed.seats) {
        let r = seat.room;
        let seat = Seat { x: seat.x + dx, y: seat.y + dy, room: [r[0] + dx, r[1] + dy, r[2] + dx, r[3] + dy], ..*seat };
        one(&mut out, &mut made, part, &seat);
    }
    let mut y = placed.size.1 + dy + 22.0;
    for (i, m) in key.media.iter().enumerate() {
        let x = MARGIN + (i % 3) as f64 * 270.0;
        let (code, name, ..) = m.line();
        stroke(&mut out, *m, &[(x, y), (x + 44.0, y)]);
        let says = if code.is_empty() { name.to_owned() } else { format!("{code}  {name}") };
        text(&mut out, &mut made, "key", 10.0, false, (x + 52.0, y + 3.5), &says);
        if i % 3 == 2 {
            y += 20.0;
        }
    }
    if !key.media.len().is_multiple_of(3) {
        y += 20.0;
    }
    for note in &key.notes {
        text(&mut out, &mut made, "key", 10.0, false, (MARGIN, y + 3.5), note);
        y += 15.0;
    }
    out.push_str("</svg>\n");
    (out, made)
}

struct Key {
    media: Vec<Medium>,
    notes: Vec<String>,
}

fn key(d: &Description, s: &Scheme) -> Key {
    let media: BTreeSet<Medium> = s.lines.iter().map(|l| l.medium).collect();
    let mut notes = wrapped(
        "A circle is an instrument, with a bar through it a controller or protection, at what it reads or moves; a flag \
         leads to another drawing. Limit switches, running contacts, buttons, lamps, gauges and alarms are not drawn.",
        125,
        4,
    );
    notes.push(format!("{}, {} {}. A training aid, no procedure; not to scale.", d.title, d.name, d.version));
    Key { media: media.into_iter().collect(), notes }
}

fn text(out: &mut String, made: &mut Made, class: &str, size: f64, middle: bool, at: (f64, f64), words: &str) {
    let w = width(words, size);
    let left = if middle { at.0 - w / 2.0 } else { at.0 };
    made.texts.push((words.to_owned(), [left, at.1 - 0.8 * size, left + w, at.1 + 0.25 * size]));
    writeln!(out, "<text class=\"{class}\" x=\"{:.1}\" y=\"{:.1}\">{}</text>", at.0, at.1, escaped(words)).ok();
}

/// A part with everything that belongs to it.
fn one(out: &mut String, made: &mut Made, part: &Part, s: &Seat) {
    made.boxes.push((part.tag.clone(), s.room));
    if part.local && !part.tag.is_empty() && part.look != Look::Dot {
        made.tags.push(part.tag.clone());
    }
    let top = s.y - s.h / 2.0 - part.look.above();
    let rows = part.bubbles.chunks(BUBBLES_A_ROW);
    if !part.bubbles.is_empty() {
        writeln!(out, "<path class=\"l\" d=\"M{:.1} {:.1} V{:.1}\"/>", s.x, s.y - s.h / 2.0, top - 4.0).ok();
    }
    for (k, row) in rows.enumerate() {
        let y = top - 2.0 - BUBBLE_ROOM * (k as f64 + 0.5);
        let from = s.x - 0.5 * BUBBLE_ROOM * (row.len() as f64 - 1.0);
        if k == 0 && row.len() > 1 {
            let to = from + BUBBLE_ROOM * (row.len() as f64 - 1.0);
            let rail = y + BUBBLE_ROOM / 2.0;
            writeln!(out, "<path class=\"l\" d=\"M{from:.1} {:.1} V{rail:.1} H{to:.1} V{:.1}\"/>", y, y).ok();
        }
        for (i, b) in row.iter().enumerate() {
            bubble(out, from + BUBBLE_ROOM * i as f64, y, &b.tag, b.controls);
            made.tags.push(b.tag.clone());
        }
    }
    let mut y = s.room[1] + 8.0;
    for says in part.bubbles.iter().filter_map(|b| b.reads.as_ref()) {
        text(out, made, "w", WORDS, true, (s.x, y), says);
        y += LINE;
    }
    symbol(out, part.look, s);
    let mut y = s.y + s.h / 2.0 + UNDER;
    match part.look {
        Look::Dot => return,
        Look::Flag => text(out, made, "tag", TAG, true, (s.x - 3.0, s.y + 4.0), &part.tag),
        _ if part.tag.is_empty() => {}
        _ => {
            y += TAG - 1.0;
            text(out, made, "tag", TAG, true, (s.x, y), &part.tag);
            y += 2.0;
        }
    }
    for words in &part.words {
        y += LINE;
        text(out, made, "w", WORDS, true, (s.x, y - 1.5), words);
    }
}

fn stroke(out: &mut String, m: Medium, corners: &[(f64, f64)]) {
    let (_, _, weight, dashes) = m.line();
    let mut d = String::new();
    for (i, c) in corners.iter().enumerate() {
        write!(d, "{}{:.1} {:.1}", if i == 0 { "M" } else { " L" }, c.0, c.1).ok();
    }
    let dashes = if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dashes}\"") };
    writeln!(out, "<path d=\"{d}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{weight}\"{dashes}/>").ok();
    if m == Medium::Shaft {
        writeln!(out, "<path d=\"{d}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"1.6\"/>").ok();
    }
}

/// Where lines that meet a part in one point part from each other: a dot says that they are joined, and that
/// lines which only cross are not.
fn tees(s: &Scheme, made: &Made) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = vec![];
    for (i, a) in s.lines.iter().enumerate() {
        let corners = &made.lines[i].2;
        for &c in corners.iter().skip(1).take(corners.len().saturating_sub(2)) {
            let mut ways = BTreeSet::new();
            for (k, b) in s.lines.iter().enumerate() {
                let joined = [a.from, a.to].iter().any(|p| (*p == b.from || *p == b.to) && !s.parts[*p].look.is_tall());
                if k == i || joined {
                    ways.extend(made.lines[k].2.windows(2).flat_map(|w| leaving(c, (w[0], w[1]))));
                }
            }
            if ways.len() > 2 && !found.contains(&c) {
                found.push(c);
            }
        }
    }
    found
}

/// To which sides a piece of line leaves a point that is on it.
fn leaving(c: (f64, f64), (p, q): ((f64, f64), (f64, f64))) -> Vec<(i8, i8)> {
    let near = |a: f64, b: f64| (a - b).abs() < 0.3;
    let on = (near(p.0, q.0) && near(c.0, p.0) && c.1 >= p.1.min(q.1) - 0.3 && c.1 <= p.1.max(q.1) + 0.3)
        || (near(p.1, q.1) && near(c.1, p.1) && c.0 >= p.0.min(q.0) - 0.3 && c.0 <= p.0.max(q.0) + 0.3);
    if !on {
        return vec![];
    }
    let side = |to: f64, from: f64| {
        if near(to, from) {
            0
        } else if to > from {
            1
        } else {
            -1
        }
    };
    [p, q].iter().map(|e| (side(e.0, c.0), side(e.1, c.1))).filter(|d| *d != (0, 0)).collect()
}

/// The arrow at the end of a line, where it comes to more than a joint or a valve.
fn arrow(out: &mut String, s: &Scheme, m: Medium, to: usize, corners: &[(f64, f64)]) {
    let [.., before, end] = corners else { return };
    if matches!(s.parts[to].look, Look::Dot | Look::Valve(_) | Look::Orifice | Look::Load) || m == Medium::Shaft {
        return;
    }
    let back = if end.0 >= before.0 { -7.0 } else { 7.0 };
    writeln!(
        out,
        "<polygon class=\"f\" points=\"{:.1},{:.1} {:.1},{:.1} {:.1},{:.1}\"/>",
        end.0,
        end.1,
        end.0 + back,
        end.1 - 3.2,
        end.0 + back,
        end.1 + 3.2
    )
    .ok();
}

/// The letters of a medium, near where its line leaves something that is more than a joint or a valve.
fn code(out: &mut String, made: &mut Made, s: &Scheme, m: Medium, from: usize, corners: &[(f64, f64)]) {
    let (code, ..) = m.line();
    if code.is_empty() || matches!(s.parts[from].look, Look::Dot | Look::Valve(_) | Look::Strainer | Look::Orifice) {
        return;
    }
    let [a, b, ..] = corners else { return };
    let w = width(code, 8.0) + 3.0;
    let long = (b.0 - a.0).abs();
    // At the part's side while the level piece is too short for it and an arrow.
    if long < w + 4.0 {
        return;
    }
    let x = a.0 + (b.0 - a.0).signum() * (3.0 + w / 2.0).max(long.min(40.0) / 2.0);
    // Lines that leave together are marked once.
    if made.texts.iter().any(|t| t.0 == code && (t.1[1] + t.1[3] - 2.0 * a.1).abs() < 6.0 && (t.1[0] - x).abs() < 40.0)
    {
        return;
    }
    writeln!(
        out,
        "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{w:.1}\" height=\"10\" fill=\"#fff\"/>",
        x - w / 2.0,
        a.1 - 5.0
    )
    .ok();
    text(out, made, "code", 8.0, true, (x, a.1 + 3.0), code);
}
