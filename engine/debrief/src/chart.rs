//! Trend charts: one an instrument, grouped by unit, what was true and what was shown as lines of
//! different stroke, limits with the wrong side hatched, and the table of the same values.

use crate::axis::{self, Axis};
use crate::lanes::time_axis;
use crate::limit;
use crate::moments::{self, Moment};
use crate::page::{Page, Side, TrendLimit};
use crate::signs;
use crate::svg::{Markup, Svg};
use crate::words::{self, number};
use base::Tick;
use base::record::{Channel, Happening, Layer};
use serde::Serialize;
use std::fmt::Write;

/// Height of the area in which lines are drawn, pixels.
const PLOT: u32 = 136;
/// The same for a state that is either 0 or 1.
const PLOT_OF_STATES: u32 = 56;
/// Columns into which a run is divided: each keeps its lowest and its highest value, so that no peak
/// is lost however long the run.
const COLUMNS: i64 = 480;
/// Steps of a line's height in its own grid.
const STEPS: f64 = 1000.0;
/// Rows of the table beside a chart.
const TABLE_ROWS: u32 = 20;

/// Charts of one unit.
#[derive(Debug, Serialize)]
pub struct Group {
    heading: String,
    charts: Vec<Chart>,
}

/// One instrument's chart.
#[derive(Debug, Serialize)]
pub struct Chart {
    title: String,
    unit: String,
    picture: Markup,
    key: Vec<Key>,
    notes: Vec<String>,
    columns: Vec<&'static str>,
    rows: Vec<Row>,
}

#[derive(Debug, Serialize)]
struct Key {
    sign: Markup,
    words: String,
}

#[derive(Debug, Serialize)]
struct Row {
    time: String,
    values: Vec<String>,
}

/// The charts of a run. Units come in the order in which they first appear; instruments in the order
/// of the record.
pub fn groups(page: &Page, marked: &[Moment]) -> Vec<Group> {
    let mut instruments: Vec<Vec<&Channel>> = Vec::new();
    for channel in &page.record.channels {
        match instruments.iter_mut().find(|i| i[0].tag == channel.tag && i[0].unit == channel.unit) {
            Some(found) => found.push(channel),
            None => instruments.push(vec![channel]),
        }
    }
    let mut groups: Vec<(String, Vec<Chart>)> = Vec::new();
    for (index, mut layers) in instruments.into_iter().enumerate() {
        layers.sort_by_key(|c| c.layer);
        let unit = layers[0].unit.clone();
        let drawn = chart(page, marked, index + 1, &layers);
        match groups.iter_mut().find(|g| g.0 == unit) {
            Some(group) => group.1.push(drawn),
            None => groups.push((unit, vec![drawn])),
        }
    }
    groups.into_iter().map(|(unit, charts)| Group { heading: heading(&unit), charts }).collect()
}

/// "Pressure, barg": what the unit measures and its sign.
fn heading(unit: &str) -> String {
    match base::units::unit(unit) {
        Some(known) if known.symbol == "state" => "States".to_owned(),
        Some(known) if known.symbol == "none" => "Numbers".to_owned(),
        Some(known) if known.symbol.starts_with('%') => {
            format!("Percentages: {}", known.symbol)
        }
        Some(known) => {
            format!("{}, {}", words::sentence(known.dimension.name()).trim_end_matches('.'), signs::unit(unit))
        }
        None if unit.is_empty() => "Numbers".to_owned(),
        None => unit.to_owned(),
    }
}

fn chart(page: &Page, marked: &[Moment], index: usize, layers: &[&Channel]) -> Chart {
    let first = layers[0];
    let unit = signs::unit(&first.unit).into_owned();
    let decimals = words::decimals(&first.unit);
    let title = if first.name.is_empty() { first.tag.to_string() } else { format!("{}, {}", first.tag, first.name) };
    let end = page.record.end.max(last_sample(layers));
    let limits: Vec<&TrendLimit> =
        page.limits.iter().filter(|l| l.tag == first.tag && layers.iter().any(|c| c.layer == l.layer)).collect();
    let told = |v: f64| with_unit(v, decimals, &unit);
    let mut notes = Vec::new();
    let Some((low, high)) = range(layers) else {
        notes.push("No value was recorded, so nothing is drawn.".to_owned());
        return Chart { title, unit, picture: Markup::default(), key: vec![], notes, columns: vec![], rows: vec![] };
    };
    // A limit far from everything that happened would press the lines flat; it is told instead.
    let span = (high - low).max(0.02 * high.abs().max(low.abs()));
    let (near, far): (Vec<&TrendLimit>, Vec<&TrendLimit>) =
        limits.into_iter().partition(|l| l.value > low - 2.0 * span && l.value < high + 2.0 * span);
    if !far.is_empty() {
        let all: Vec<String> = far.iter().map(|l| format!("{} at {}", l.label, told(l.value))).collect();
        notes.push(format!("Outside the range drawn: {}.", all.join("; ")));
    }
    let (low, high) = near.iter().fold((low, high), |(low, high), limit| (low.min(limit.value), high.max(limit.value)));
    let states = first.unit == "state" && low >= 0.0 && high <= 1.0;
    let axis = if states {
        notes.push("1 is on, lit or open; 0 is off, dark or shut.".to_owned());
        Axis::of_states()
    } else {
        // What is less than anybody could read off is no change.
        let least = (0..decimals).fold(1.0, |step, _| step / 10.0);
        if high - low < least { Axis::around(low - least, high + least) } else { Axis::around(low, high) }
    };
    let height = if states { PLOT_OF_STATES } else { PLOT };
    for channel in layers {
        let gaps = channel.values.iter().filter(|v| !v.is_finite()).count();
        if gaps > 0 {
            notes.push(format!(
                "{gaps} of {} samples of the {} value are no number; the line has gaps there.",
                channel.values.len(),
                channel.layer.word()
            ));
        }
    }
    let mut desc = String::new();
    for channel in layers {
        if let Some((low, high)) = range(&[channel]) {
            write!(
                desc,
                "{}: lowest {}, highest {}. ",
                words::sentence(meaning(channel.layer)).trim_end_matches('.'),
                told(low),
                told(high)
            )
            .expect("a string takes any text");
        }
    }
    for limit in &near {
        let side = wrong_side(limit);
        let what = if limit.alarm { "Set-point of" } else { "Limit" };
        let side = if limit.alarm { String::new() } else { format!(", wrong {side}") };
        write!(desc, "{what} {} at {}{side}. ", limit.label, told(limit.value)).expect("a string takes any text");
    }
    desc.push_str("The table below holds the values.");
    let id = format!("chart-{index}");
    Chart {
        picture: picture(page, marked, &id, &title, &desc, &axis, height, end, layers, &near),
        key: keys(layers, &near, &told),
        columns: layers.iter().map(|c| meaning(c.layer)).collect(),
        rows: rows(layers, end, decimals),
        notes,
        title,
        unit,
    }
}

fn with_unit(value: f64, decimals: usize, unit: &str) -> String {
    let text = number(value, decimals);
    if unit.is_empty() || unit == "state" { text } else { format!("{text} {unit}") }
}

fn meaning(layer: Layer) -> &'static str {
    match layer {
        Layer::Actual => "true in the plant",
        Layer::Signal => "said by the transmitter",
        Layer::Shown => "shown on the panel",
    }
}

fn wrong_side(limit: &TrendLimit) -> &'static str {
    match limit.wrong {
        Side::Above => "above it",
        Side::Below => "below it",
    }
}

fn last_sample(layers: &[&Channel]) -> Tick {
    let last = |c: &&Channel| Tick((c.values.len().max(1) as u32 - 1) * c.every);
    layers.iter().map(last).max().unwrap_or_default()
}

/// The lowest and highest number of the layers.
fn range(layers: &[&Channel]) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for v in layers.iter().flat_map(|c| &c.values).filter(|v| v.is_finite()) {
        found = Some(found.map_or((*v, *v), |(low, high)| (low.min(*v), high.max(*v))));
    }
    found
}

#[allow(clippy::too_many_arguments)] // one drawing, each of its parts named once
fn picture(
    page: &Page,
    marked: &[Moment],
    id: &str,
    title: &str,
    desc: &str,
    axis: &Axis,
    height: u32,
    end: Tick,
    layers: &[&Channel],
    limits: &[&TrendLimit],
) -> Markup {
    let top = moments::height(marked) + 4;
    let bottom = top + height;
    let mut svg = Svg::picture(id, "chart", bottom + 20, title, desc);
    let y = |value: f64| words::number(f64::from(bottom) - axis.up(value) * f64::from(height), 1);
    for l in limits.iter().filter(|l| !l.alarm) {
        limit::wrong_area(&mut svg, id, l, axis, top, bottom);
    }
    for value in &axis.labels {
        let at = y(*value);
        svg.leaf("line", &[("class", &"grid"), ("x1", &"0"), ("x2", &"100%"), ("y1", &at), ("y2", &at)]);
        svg.text(
            "text",
            &[("class", &"label"), ("x", &-6), ("y", &at), ("dy", &"0.35em"), ("text-anchor", &"end")],
            &axis.label(*value),
        );
    }
    time_axis(&mut svg, end, top, bottom);
    moments::draw(&mut svg, marked, end, 0, bottom);
    svg.open(
        "svg",
        &[
            ("x", &"0"),
            ("y", &top),
            ("width", &"100%"),
            ("height", &height),
            ("viewBox", &format!("0 0 {COLUMNS} {STEPS}")),
            ("preserveAspectRatio", &"none"),
        ],
    );
    for channel in layers {
        svg.leaf("path", &[("class", &format!("line {}", channel.layer.word())), ("d", &line(channel, axis, end))]);
    }
    let actions = rug(page, end);
    if !actions.is_empty() {
        svg.leaf("path", &[("class", &"rug"), ("d", &actions)]);
    }
    svg.close();
    for (l, spot) in limits.iter().zip(limit::spots(limits, axis, layers, height)) {
        limit::line(&mut svg, l, &y(l.value), spot);
    }
    svg.finish()
}

/// A line as path commands: per column the lowest and the highest value in the order in which they
/// came, on a whole-number grid; where nothing changes nothing is written.
fn line(channel: &Channel, axis: &Axis, end: Tick) -> String {
    let mut runs: Vec<Vec<(i64, i64)>> = vec![Vec::new()];
    let grid = |v: f64| (STEPS - axis.up(v) * STEPS).round() as i64;
    let column = |i: usize| {
        let tick = i as i64 * i64::from(channel.every);
        tick * COLUMNS / i64::from(end.0.max(1))
    };
    let mut i = 0;
    while i < channel.values.len() {
        let x = column(i);
        let mut j = i;
        let (mut low, mut high) = (i, i);
        while j < channel.values.len() && column(j) == x && channel.values[j].is_finite() {
            if channel.values[j] < channel.values[low] {
                low = j;
            }
            if channel.values[j] > channel.values[high] {
                high = j;
            }
            j += 1;
        }
        if j == i {
            // Not a number: the line breaks.
            if runs.last().is_some_and(|r| !r.is_empty()) {
                runs.push(Vec::new());
            }
            i += 1;
            continue;
        }
        let run = runs.last_mut().expect("there is always one run");
        for at in [low.min(high), low.max(high)] {
            let point = (x, grid(channel.values[at]));
            if run.last() != Some(&point) {
                run.push(point);
            }
        }
        i = j;
    }
    let mut d = String::new();
    for run in runs.iter().filter(|r| !r.is_empty()) {
        write_run(&mut d, run);
    }
    d
}

fn write_run(d: &mut String, run: &[(i64, i64)]) {
    let (mut x, mut y) = run[0];
    write!(d, "M{x} {y}l").expect("a string takes any text");
    if run.len() == 1 {
        // A single sample is a dot.
        d.push_str("0 0");
        return;
    }
    let mut apart = false;
    for k in 1..run.len() {
        let (nx, ny) = run[k];
        // A point in the middle of a level stretch says nothing.
        if ny == y && run.get(k + 1).is_some_and(|next| next.1 == y) {
            continue;
        }
        let (dx, dy) = (nx - x, ny - y);
        if apart {
            d.push(' ');
        }
        let space = if dy < 0 { "" } else { " " };
        write!(d, "{dx}{space}{dy}").expect("a string takes any text");
        apart = true;
        (x, y) = (nx, ny);
    }
}

/// Short strokes along the bottom where the trainee acted.
fn rug(page: &Page, end: Tick) -> String {
    let mut d = String::new();
    let mut last = -1;
    for event in &page.record.events {
        if matches!(event.what, Happening::Action { .. }) {
            let x = i64::from(event.tick.0) * COLUMNS / i64::from(end.0.max(1));
            if x != last {
                write!(d, "M{x} 1000v-40").expect("a string takes any text");
                last = x;
            }
        }
    }
    d
}

fn keys(layers: &[&Channel], limits: &[&TrendLimit], told: &impl Fn(f64) -> String) -> Vec<Key> {
    let sign = |class: &str| {
        let mut svg = Svg::sign("sign", 34, 12);
        svg.leaf("path", &[("class", &class), ("d", &"M1 6h32")]);
        svg.finish()
    };
    let lines = layers
        .iter()
        .map(|c| Key { sign: sign(&format!("line {}", c.layer.word())), words: meaning(c.layer).to_owned() });
    let limits = limits.iter().map(|l| Key {
        sign: sign(if l.alarm { "setpoint" } else { "limit" }),
        words: if l.alarm {
            format!("{}: comes up {} {}", l.label, wrong_side(l).trim_end_matches(" it"), told(l.value))
        } else {
            format!("{}: {}, wrong {}", l.label, told(l.value), wrong_side(l))
        },
    });
    lines.chain(limits).collect()
}

/// Values at round moments.
fn rows(layers: &[&Channel], end: Tick, decimals: usize) -> Vec<Row> {
    let mut step = axis::moments(end).get(1).map_or(1, |t| t.0);
    // The labels of the axis are at most seven; halves and fifths of their step are round as well.
    for parts in [5, 4, 3, 2] {
        if step.is_multiple_of(parts) && end.0 / (step / parts) <= TABLE_ROWS {
            step /= parts;
            break;
        }
    }
    (0..=end.0 / step.max(1))
        .map(|i| {
            let tick = i * step;
            Row {
                time: words::clock(Tick(tick)),
                values: layers
                    .iter()
                    .map(|c| {
                        let value = c.values.get((tick / c.every.max(1)) as usize);
                        value.map_or_else(|| "no value".to_owned(), |v| number(*v, decimals))
                    })
                    .collect(),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn channel(values: Vec<f64>) -> Channel {
        Channel {
            tag: "PT-3001".into(),
            name: "drum pressure".into(),
            layer: Layer::Actual,
            unit: "barg".into(),
            every: 10,
            values,
        }
    }

    #[test]
    fn a_level_line_is_two_points_and_a_gap_breaks_it() {
        let axis = Axis::around(0.0, 4.0);
        let flat = line(&channel(vec![2.0; 1000]), &axis, Tick(9990));
        assert_eq!(flat, "M0 500l480 0");
        let gap = line(&channel(vec![2.0, 2.0, f64::NAN, 2.0, 2.0]), &axis, Tick(40));
        assert_eq!(gap, "M0 500l120 0M360 500l120 0");
    }

    #[test]
    fn no_peak_is_lost_to_the_columns() {
        let axis = Axis::around(0.0, 4.0);
        let mut values = vec![0.0; 6000];
        values[3210] = 4.0; // one sample out of more than twelve in its column
        let d = line(&channel(values), &axis, Tick(59_990));
        assert!(d.contains("-1000"), "{d}");
        assert!(d.len() < 60, "{d}");
    }

    #[test]
    fn a_table_is_short_and_round() {
        let c = channel((0..4801).map(f64::from).collect());
        let rows = rows(&[&c], Tick(48_000), 1);
        assert_eq!(rows.len(), 17);
        assert_eq!(rows[1].time, "05:00");
        assert_eq!(rows[1].values, ["300.0"]);
    }
}
