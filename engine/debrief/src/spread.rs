//! How long a class took to answer each fault: a dot a person along a time axis, and the same in figures.

use crate::axis;
use crate::class::Class;
use crate::moments::part;
use crate::svg::{Markup, Svg, across};
use crate::words;
use base::Tick;
use serde::Serialize;

/// Dots of one column before they overlap.
const HIGH: usize = 12;
/// Columns of dots along the axis.
const COLUMNS: u32 = 50;

/// The answers to one fault.
#[derive(Debug, Serialize)]
pub struct Spread {
    item: String,
    picture: Option<Markup>,
    clock_form: &'static str,
    answered: usize,
    missed: usize,
    fastest: String,
    middle: String,
    slowest: String,
}

/// One for each item that anyone has a response for, in the order in which they first appear.
pub fn spreads(class: &Class) -> Vec<Spread> {
    let mut names: Vec<&str> = Vec::new();
    for r in class.people.iter().flat_map(|p| &p.responses) {
        if !names.contains(&r.item.as_str()) {
            names.push(&r.item);
        }
    }
    names.iter().enumerate().map(|(i, name)| spread(class, name, i + 1)).collect()
}

fn spread(class: &Class, item: &str, index: usize) -> Spread {
    let all = || class.people.iter().flat_map(|p| &p.responses).filter(|r| r.item == item);
    let mut delays: Vec<u32> = all().filter_map(|r| r.delay).collect();
    delays.sort_unstable();
    let missed = all().count() - delays.len();
    let told = |d: Option<&u32>| d.map_or_else(|| "none".to_owned(), |d| words::lasting(*d));
    // The lower one of the two in the middle, which is somebody's time.
    let middle = delays.get(delays.len().saturating_sub(1) / 2);
    let (fastest, middle, slowest) = (told(delays.first()), told(middle), told(delays.last()));
    Spread {
        picture: (!delays.is_empty()).then(|| {
            let desc = format!(
                "{} answered, between {fastest} and {slowest}, half of them within {middle}; {missed} never did.",
                delays.len()
            );
            picture(index, item, &desc, &delays)
        }),
        clock_form: words::clock_form(delays.last().map_or(Tick::ZERO, |d| Tick(*d))),
        item: item.to_owned(),
        answered: delays.len(),
        missed,
        fastest,
        middle,
        slowest,
    }
}

fn picture(index: usize, item: &str, desc: &str, delays: &[u32]) -> Markup {
    let end = Tick(delays.last().copied().unwrap_or(0).max(100));
    let labels = axis::moments(end);
    let step = labels.get(1).map_or(end.0, |t| t.0);
    let end = Tick(end.0.div_ceil(step) * step);
    let column = |d: u32| (u64::from(d) * u64::from(COLUMNS) / u64::from(end.0)) as usize;
    let mut stack = vec![0_usize; COLUMNS as usize + 1];
    for d in delays {
        stack[column(*d)] += 1;
    }
    let high = stack.iter().copied().max().unwrap_or(0).clamp(1, HIGH);
    let base = high as u32 * 11 + 10;
    let mut svg = Svg::picture(
        &format!("spread-{index}"),
        "chart",
        base + 20,
        &format!("Time from the fault to the answer: {item}"),
        desc,
    );
    crate::lanes::time_axis(&mut svg, end, 4, base);
    stack.fill(0);
    for d in delays {
        let level = stack[column(*d)].min(HIGH - 1);
        stack[column(*d)] += 1;
        svg.leaf(
            "circle",
            &[
                ("class", &"dot"),
                ("cx", &across(part(Tick(*d), end))),
                ("cy", &(base - 6 - level as u32 * 11)),
                ("r", &4.5),
            ],
        );
    }
    svg.finish()
}
