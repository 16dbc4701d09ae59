//! Numbered markers for the moments that matter: drawn on every chart, explained in the short story.

use crate::story::{Line, Mark};
use crate::svg::{Markup, Svg, across};
use base::Tick;

/// Height of one row of markers, pixels.
pub const ROW: u32 = 19;
/// How near two markers of one row may come, as a part of the width: a marker is 19 pixels wide, and
/// the narrowest chart, on a phone, is about 310.
const NEAREST: f64 = 0.06;
/// Rows of markers; where more meet, the last row lets them overlap, and the story still tells them.
const ROWS_MAX: usize = 9;

/// A moment with its place.
#[derive(Clone, Debug)]
pub struct Moment {
    /// When.
    pub tick: Tick,
    /// Its number on the charts.
    pub number: usize,
    mark: Mark,
    row: usize,
}

/// The marked lines of a story, given rows so that their markers do not cover each other.
pub fn place(story: &[Line], end: Tick) -> Vec<Moment> {
    let mut last_in_row: Vec<f64> = Vec::new();
    let mut out = Vec::new();
    for line in story {
        let (Some(number), Some(mark)) = (line.number, line.mark) else {
            continue;
        };
        let at = part(line.tick, end);
        let free = last_in_row.iter().position(|last| at - last >= NEAREST);
        let row = match free {
            Some(row) => row,
            None if last_in_row.len() < ROWS_MAX => {
                last_in_row.push(at);
                last_in_row.len() - 1
            }
            None => ROWS_MAX - 1,
        };
        last_in_row[row] = at;
        out.push(Moment { tick: line.tick, number, mark, row });
    }
    out
}

/// How far along the run a tick lies, 0 to 1.
pub fn part(tick: Tick, end: Tick) -> f64 {
    if end.0 == 0 { 0.0 } else { (f64::from(tick.0) / f64::from(end.0)).min(1.0) }
}

/// Height of all rows together, pixels.
pub fn height(moments: &[Moment]) -> u32 {
    moments.iter().map(|m| m.row as u32 + 1).max().unwrap_or(0) * ROW
}

/// The markers in their rows above `top + height`, each with a thin line down to `bottom`.
pub fn draw(svg: &mut Svg, moments: &[Moment], end: Tick, top: u32, bottom: u32) {
    for m in moments {
        let x = across(part(m.tick, end));
        let y = top + m.row as u32 * ROW + ROW / 2;
        svg.leaf("line", &[("class", &"moment"), ("x1", &x), ("x2", &x), ("y1", &y), ("y2", &bottom)]);
    }
    for m in moments {
        let x = across(part(m.tick, end));
        let y = top + m.row as u32 * ROW + ROW / 2;
        // A nested picture puts the marker's own pixels at a percentage of the width.
        svg.open("svg", &[("x", &x), ("y", &y), ("overflow", &"visible")]);
        shape(svg, m);
        svg.close();
    }
}

/// The marker by itself, to stand in a table.
pub fn sign(m: &Moment) -> Markup {
    let mut svg = Svg::sign("sign", 22, 20);
    svg.open("g", &[("transform", &"translate(11 10)")]);
    shape(&mut svg, m);
    svg.finish()
}

/// The shape around the origin: a square for faults, a hexagon for trips and damage, a circle for
/// items of the mark sheet.
fn shape(svg: &mut Svg, m: &Moment) {
    match m.mark {
        Mark::Fault => {
            svg.leaf("rect", &[("class", &"mark fault"), ("x", &-8.5), ("y", &-8), ("width", &17), ("height", &16)])
        }
        Mark::Trip => svg.leaf("path", &[("class", &"mark trip"), ("d", &"M-10.5 0L-6-8.5H6L10.5 0 6 8.5H-6z")]),
        Mark::Item => svg.leaf("circle", &[("class", &"mark item"), ("r", &8.5)]),
    }
    svg.text("text", &[("class", &"mark"), ("y", &3.5), ("text-anchor", &"middle")], &m.number.to_string());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(tick: u32, number: usize) -> Line {
        Line {
            tick: Tick(tick),
            what: "Fault",
            words: "lamp dark".into(),
            short: true,
            mark: Some(Mark::Fault),
            number: Some(number),
        }
    }

    #[test]
    fn markers_that_would_meet_take_another_row() {
        let story = [line(0, 1), line(10, 2), line(500, 3), line(510, 4), line(520, 5)];
        let rows: Vec<_> = place(&story, Tick(1000)).iter().map(|m| m.row).collect();
        assert_eq!(rows, [0, 1, 0, 1, 2]);
        assert_eq!(height(&place(&story, Tick(1000))), 3 * ROW);
        let crowd: Vec<_> = (0..50).map(|i| line(i, i as usize + 1)).collect();
        assert_eq!(height(&place(&crowd, Tick(100_000))), ROWS_MAX as u32 * ROW);
    }
}
