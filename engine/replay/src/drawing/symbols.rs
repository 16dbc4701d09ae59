//! The symbols, each drawn about its centre. Outlines are black on white; what is filled says which way flow goes.

use super::looks::{Drive, Look};
use super::place::{BUBBLE, Seat};
use std::fmt::Write;

fn path(out: &mut String, d: &str, class: &str) {
    writeln!(out, "<path class=\"{class}\" d=\"{d}\"/>").ok();
}

fn polygon(out: &mut String, points: &[(f64, f64)], class: &str) {
    let all: Vec<String> = points.iter().map(|(x, y)| format!("{x:.1},{y:.1}")).collect();
    writeln!(out, "<polygon class=\"{class}\" points=\"{}\"/>", all.join(" ")).ok();
}

fn circle(out: &mut String, x: f64, y: f64, r: f64) {
    writeln!(out, "<circle class=\"o\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\"/>").ok();
}

fn rect(out: &mut String, s: &Seat, round: f64) {
    let (x, y) = (s.x - s.w / 2.0, s.y - s.h / 2.0);
    writeln!(
        out,
        "<rect class=\"o\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{:.1}\" height=\"{:.1}\" rx=\"{round:.1}\"/>",
        s.w, s.h
    )
    .ok();
}

fn letters(out: &mut String, x: f64, y: f64, text: &str) {
    writeln!(out, "<text class=\"in\" x=\"{x:.1}\" y=\"{:.1}\">{text}</text>", y + 4.0).ok();
}

fn zigzag(out: &mut String, s: &Seat, part: f64) {
    let (l, h) = (s.w * 0.5 * part, s.h * 0.28);
    let mut d = format!("M{:.1} {:.1}", s.x - l, s.y);
    for k in 0..4 {
        let x = s.x - l + l * (2.0 * f64::from(k) + 1.0) / 4.0;
        let y = if k % 2 == 0 { s.y - h } else { s.y + h };
        write!(d, " L{x:.1} {y:.1}").ok();
    }
    write!(d, " L{:.1} {:.1}", s.x + l, s.y).ok();
    path(out, &d, "l");
}

/// Two triangles tip to tip, lying.
fn bow(out: &mut String, x: f64, y: f64) {
    let left = [(x - 15.0, y - 8.0), (x - 15.0, y + 8.0), (x, y)];
    let right = [(x + 15.0, y - 8.0), (x + 15.0, y + 8.0), (x, y)];
    polygon(out, &left, "o");
    polygon(out, &right, "o");
}

fn drive(out: &mut String, x: f64, y: f64, by: Drive) {
    path(out, &format!("M{x:.1} {y:.1} V{:.1}", y - 14.0), "l");
    let top = y - 14.0;
    match by {
        Drive::Hand => path(out, &format!("M{:.1} {top:.1} H{:.1}", x - 7.0, x + 7.0), "l"),
        Drive::Electric => {
            let s = Seat { x, y: top - 5.0, w: 13.0, h: 12.0, ..Seat::default() };
            rect(out, &s, 0.0);
            writeln!(out, "<text class=\"m\" x=\"{x:.1}\" y=\"{:.1}\">M</text>", top - 2.0).ok();
        }
        Drive::Pneumatic => {
            path(out, &format!("M{:.1} {top:.1} A8 9 0 0 1 {:.1} {top:.1} Z", x - 8.0, x + 8.0), "o");
        }
        Drive::Itself => {}
    }
}

/// Draws a symbol.
#[expect(clippy::too_many_lines, reason = "one arm a symbol")]
pub fn symbol(out: &mut String, look: Look, s: &Seat) {
    let (x, y, w, h) = (s.x, s.y, s.w / 2.0, s.h / 2.0);
    match look {
        Look::Valve(by) => {
            bow(out, x, y);
            drive(out, x, y, by);
            if by == Drive::Itself {
                path(out, &format!("M{x:.1} {:.1} H{:.1} V{y:.1}", y - 14.0, x + 15.0), "l");
            }
        }
        Look::ThreeWay(by) => {
            bow(out, x, y);
            polygon(out, &[(x - 8.0, y + 15.0), (x + 8.0, y + 15.0), (x, y)], "o");
            drive(out, x, y, by);
            // The ports of the two ways in, at its left side.
            path(out, &format!("M{:.1} {:.1} V{:.1}", x - 15.0, y - 12.0, y + 12.0), "l");
            path(out, &format!("M{:.1} {:.1} H{:.1}", x - 15.0, y + 12.0, x - 6.0), "l");
            if by == Drive::Itself {
                circle(out, x, y - 14.0, 3.5);
            }
        }
        Look::Safety => {
            bow(out, x, y);
            path(out, &format!("M{x:.1} {y:.1} V{:.1} l-5 -2 l10 -3 l-10 -3 l10 -3", y - 8.0), "l");
        }
        Look::Pump => {
            circle(out, x, y, w);
            polygon(out, &[(x - 0.5 * w, y - 0.86 * h), (x - 0.5 * w, y + 0.86 * h), (x + w, y)], "f");
        }
        Look::Compressor | Look::Fan => {
            circle(out, x, y, w);
            path(out, &format!("M{:.1} {:.1} L{:.1} {:.1}", x - 0.8 * w, y - 0.6 * h, x + 0.95 * w, y - 0.3 * h), "l");
            path(out, &format!("M{:.1} {:.1} L{:.1} {:.1}", x - 0.8 * w, y + 0.6 * h, x + 0.95 * w, y + 0.3 * h), "l");
            if look == Look::Fan {
                path(
                    out,
                    &format!("M{:.1} {y:.1} H{:.1} M{x:.1} {:.1} V{:.1}", x - 6.0, x + 6.0, y - 6.0, y + 6.0),
                    "l",
                );
            }
        }
        Look::Cooler => {
            rect(out, s, 0.0);
            path(out, &format!("M{:.1} {:.1} L{:.1} {:.1}", x - w, y + h, x + w, y - h), "l");
        }
        Look::Heater => {
            rect(out, s, 0.0);
            for k in -1..=1 {
                path(out, &format!("M{:.1} {:.1} V{:.1}", x + 10.0 * f64::from(k), y - 0.6 * h, y + 0.6 * h), "k");
            }
        }
        Look::Coil => {
            rect(out, s, 0.0);
            zigzag(out, s, 0.9);
        }
        Look::Strainer => {
            rect(out, s, 0.0);
            path(out, &format!("M{:.1} {:.1} L{:.1} {:.1}", x - w, y + h, x + w, y - h), "d");
        }
        Look::Dryer => {
            rect(out, s, 0.0);
            path(
                out,
                &format!("M{:.1} {:.1} l4 8 l4 -8 M{:.1} {:.1} l4 8 l4 -8", x - 9.0, y - 4.0, x + 1.0, y - 4.0),
                "l",
            );
        }
        Look::Orifice => {
            let d = format!(
                "M{:.1} {y:.1} H{:.1} M{x:.1} {:.1} V{:.1} M{x:.1} {:.1} V{:.1}",
                x - w,
                x + w,
                y - h,
                y - 3.0,
                y + 3.0,
                y + h
            );
            path(out, &d, "k");
        }
        Look::Trap => {
            circle(out, x, y, w);
            path(
                out,
                &format!(
                    "M{:.1} {:.1} A{w:.1} {w:.1} 0 0 0 {:.1} {:.1} Z",
                    x - 0.7 * w,
                    y - 0.7 * w,
                    x + 0.7 * w,
                    y + 0.7 * w
                ),
                "f",
            );
        }
        Look::User => {
            rect(out, s, 4.0);
            zigzag(out, s, 0.7);
        }
        Look::Tank => {
            path(out, &format!("M{:.1} {:.1} V{:.1} H{:.1} V{:.1}", x - w, y - h, y + h, x + w, y - h), "t");
            path(out, &format!("M{:.1} {:.1} H{:.1}", x - w, y - 0.55 * h, x + w), "d");
        }
        Look::Receiver => rect(out, s, w),
        Look::Drum => {
            rect(out, s, h.min(28.0));
            path(out, &format!("M{:.1} {y:.1} H{:.1}", x - w, x + w), "d");
        }
        Look::Header | Look::Bus => {
            let fill = if look == Look::Bus { "f" } else { "o" };
            polygon(out, &[(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)], fill);
        }
        Look::Furnace => {
            rect(out, s, 0.0);
            let d = format!("M{:.1} {:.1} q-12 -18 2 -34 q2 12 10 14 q6 10 -2 20 z", x - 4.0, y + 18.0);
            path(out, &d, "l");
        }
        Look::Burner => polygon(out, &[(x - w, y - h), (x - w, y + h), (x + w, y)], "o"),
        Look::Condenser => {
            rect(out, s, 20.0);
            let d = format!("M{:.1} {:.1} h10 l6 -14 l10 28 l10 -28 l6 14 h10", x - 26.0, y);
            path(out, &d, "l");
        }
        Look::Turbine => {
            polygon(out, &[(x - w, y - 0.45 * h), (x + w, y - h), (x + w, y + h), (x - w, y + 0.45 * h)], "o");
            path(out, &format!("M{:.1} {:.1} V{:.1}", x - w, y - h, y + h), "l");
        }
        Look::Generator => {
            circle(out, x, y, w);
            letters(out, x, y, "G");
        }
        Look::Engine => {
            rect(out, s, 0.0);
            letters(out, x, y, "diesel");
        }
        Look::Load => {
            path(out, &format!("M{:.1} {y:.1} H{:.1}", x - w, x + 2.0), "l");
            polygon(out, &[(x + 2.0, y - 6.0), (x + 2.0, y + 6.0), (x + w, y)], "f");
        }
        Look::Battery => {
            let d = format!(
                "M{:.1} {y:.1} H{:.1} M{:.1} {:.1} V{:.1} M{:.1} {:.1} V{:.1}",
                x - w,
                x - 4.0,
                x - 4.0,
                y - h,
                y + h,
                x + 4.0,
                y - 0.5 * h,
                y + 0.5 * h
            );
            path(out, &d, "k");
        }
        Look::Supply => {
            rect(out, s, 8.0);
            letters(out, x, y, "~");
        }
        Look::Breaker => {
            rect(out, s, 0.0);
            path(out, &format!("M{:.1} {:.1} l16 16 m0 -16 l-16 16", x - 8.0, y - 8.0), "l");
        }
        Look::Dot => {
            writeln!(out, "<circle class=\"f\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\"/>").ok();
        }
        Look::End => {
            path(
                out,
                &format!("M{:.1} {:.1} V{:.1} M{:.1} {:.1} V{:.1}", x - w, y - h, y + h, x + w, y - h, y + h),
                "l",
            );
            path(out, &format!("M{:.1} {y:.1} q4 -6 8 0 q4 6 8 0", x - w), "l");
        }
        Look::Flag => {
            let tip = 8.0;
            polygon(
                out,
                &[(x - w, y - h), (x + w - tip, y - h), (x + w, y), (x + w - tip, y + h), (x - w, y + h)],
                "o",
            );
        }
    }
}

/// An instrument: a circle with its letters above its number, and a bar where it controls.
pub fn bubble(out: &mut String, x: f64, y: f64, tag: &str, controls: bool) {
    circle(out, x, y, BUBBLE);
    if controls {
        path(out, &format!("M{:.1} {y:.1} H{:.1}", x - BUBBLE, x + BUBBLE), "l");
    }
    let (letters, number) = tag.split_once('-').unwrap_or((tag, ""));
    writeln!(out, "<text class=\"b\" x=\"{x:.1}\" y=\"{:.1}\">{letters}</text>", y - 3.0).ok();
    writeln!(out, "<text class=\"b\" x=\"{x:.1}\" y=\"{:.1}\">{number}</text>", y + 9.0).ok();
}
