//! The drawings of the systems: everything stands on one of them, nothing on anything else, and nothing beside the
//! paper. That they are those of the book is held with its other made pages.

use base::Place;
use base::description::Description;
use replay::drawing::{Drawing, all};
use replay::{Ship, ship};
use std::collections::BTreeMap;

fn every() -> Vec<(Description, Vec<Drawing>)> {
    let of = |name: &str| {
        let ship = Ship::named(name, &Place::default()).unwrap();
        (ship.description.as_ref().clone(), all(&ship.description))
    };
    ship::EMBEDDED.iter().map(|e| of(e.0)).collect()
}

/// Whether two boxes (left, top, right, bottom) share more than an edge.
fn meet(a: &[f64; 4], b: &[f64; 4]) -> bool {
    a[0] < b[2] - 0.1 && b[0] < a[2] - 0.1 && a[1] < b[3] - 0.1 && b[1] < a[3] - 0.1
}

#[test]
fn no_two_boxes_overlap_and_no_text_leaves_the_paper() {
    for (_, drawings) in every() {
        for d in drawings {
            let m = &d.made;
            for (i, (tag, one)) in m.boxes.iter().enumerate() {
                for (other, two) in &m.boxes[i + 1..] {
                    assert!(!meet(one, two), "{}: {tag} {one:?} stands on {other} {two:?}", d.file);
                }
            }
            for (text, b) in &m.texts {
                let inside = b[0] >= 0.0 && b[1] >= 0.0 && b[2] <= m.size.0 && b[3] <= m.size.1;
                assert!(inside, "{}: \"{text}\" leaves the paper: {b:?} of {:?}", d.file, m.size);
            }
        }
    }
}

#[test]
fn texts_of_parts_do_not_run_into_each_other() {
    for (_, drawings) in every() {
        for d in drawings {
            for (i, (text, one)) in d.made.texts.iter().enumerate() {
                for (other, two) in &d.made.texts[i + 1..] {
                    assert!(!meet(one, two), "{}: \"{text}\" {one:?} and \"{other}\" {two:?}", d.file);
                }
            }
        }
    }
}

/// Lines run up, down and level; they pass no box but those of their ends, and none runs along another that is not
/// joined to it.
#[test]
fn lines_keep_off_boxes_and_off_each_other() {
    let mut pieces_seen = 0;
    for (_, drawings) in every() {
        for d in drawings {
            let m = &d.made;
            let mut pieces = vec![];
            for (k, (from, to, corners)) in m.lines.iter().enumerate() {
                assert!(corners.len() > 1, "{}: the line from {from} to {to} has no way", d.file);
                for w in corners.windows(2) {
                    let level = w[0].0 == w[1].0 || w[0].1 == w[1].1;
                    assert!(level, "{}: {from} to {to} runs askew: {w:?}", d.file);
                    let (a, b) = (w[0], w[1]);
                    let room = [a.0.min(b.0), a.1.min(b.1), a.0.max(b.0) + 0.2, a.1.max(b.1) + 0.2];
                    for (tag, of) in m.boxes.iter().filter(|x| !x.0.is_empty() && x.0 != *from && x.0 != *to) {
                        assert!(!meet(&room, of), "{}: the line from {from} to {to} passes over {tag}", d.file);
                    }
                    pieces.push((k, room));
                }
            }
            pieces_seen += pieces.len();
            for (i, (k, one)) in pieces.iter().enumerate() {
                for (n, two) in &pieces[i + 1..] {
                    let (a, b) = (&m.lines[*k], &m.lines[*n]);
                    let joined = [&a.0, &a.1].iter().any(|t| !t.is_empty() && (**t == b.0 || **t == b.1));
                    let upright = |r: &[f64; 4]| r[2] - r[0] < 1.0;
                    if k == n || joined || upright(one) != upright(two) {
                        continue;
                    }
                    assert!(!meet(one, two), "{}: {}-{} runs along {}-{}", d.file, a.0, a.1, b.0, b.1);
                }
            }
        }
    }
    assert!(pieces_seen > 300, "{pieces_seen} pieces of line");
}

/// Kinds that no flow diagram shows: what holds others, the panel, and what is told in words or goes into a line.
const NOT_DRAWN: &[&str] = &[
    "circuit",
    "place",
    "lamp",
    "gauge",
    "alarm",
    "push button",
    "first-cause contact",
    "junction",
    "pipe",
    "into drum",
    "outside",
    "open air",
    "air line",
];

#[test]
fn every_part_and_instrument_stands_on_one_drawing() {
    for (plant, drawings) in every() {
        let mut told: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for d in &drawings {
            assert_eq!(d.svg.matches("<title>").count(), 1);
            assert!(!d.svg.contains("NaN") && !d.svg.contains("inf"), "{}", d.file);
            for tag in &d.made.tags {
                told.entry(tag).or_default().push(&d.file);
            }
        }
        for c in plant.components.iter().filter(|c| !NOT_DRAWN.contains(&c.kind.as_str())) {
            let words = matches!(c.kind.as_str(), "heat load" | "turbine bearing");
            if words {
                let on = drawings.iter().filter(|d| d.svg.contains(&c.tag)).count();
                assert!(on > 0, "{} is written on no drawing", c.tag);
                continue;
            }
            let on = told.get(c.tag.as_str()).map(Vec::as_slice).unwrap_or_default();
            assert_eq!(on.len(), 1, "{} ({}) stands on {on:?}", c.tag, c.kind);
        }
    }
}
