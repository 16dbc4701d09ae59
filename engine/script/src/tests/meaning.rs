//! What conditions mean, tick by tick, by the monitor that a run uses.

use super::{run, with_heading};
use base::sheet::ItemKind;
use monitor::{Verdict, evaluate};

/// The ticks at which a condition over lamp A (XL-3310) and lamp B (XL-2104) is true; the lamps are
/// given as text, one letter a tick: `a`, `b`, `x` for both, `.` for none.
fn true_at(condition: &str, lamps: &str) -> Vec<usize> {
    let condition = condition.replace('A', "lit(\"XL-3310\")").replace('B', "lit(\"XL-2104\")");
    // The first step sets the order of the row.
    let body = format!(
        "step \"row\" {{ marks = 0, done = all(lit(\"XL-3310\"), lit(\"XL-2104\")) }}\nstep \"s\" {{ marks = 1, done = {condition} }}"
    );
    let authored = run(&with_heading(&body)).unwrap();
    let ItemKind::Step { done, .. } = &authored.sheet.items[1].kind else { panic!("a step") };
    let rows: Vec<[f64; 2]> =
        lamps.chars().map(|c| [f64::from(u8::from("ax".contains(c))), f64::from(u8::from("bx".contains(c)))]).collect();
    let values = evaluate(done, rows);
    assert_eq!(values.len(), lamps.len());
    values.iter().enumerate().filter(|(_, v)| v.verdict() == Verdict::Kept).map(|(i, _)| i).collect()
}

#[test]
fn words_mean_what_they_say() {
    for (condition, lamps, at) in [
        ("A:lasting(\"0.2 s\")", "aaaa.aaa", vec![2, 3, 7]),
        ("A:once_within(\"0.2 s\")", ".a......", vec![1, 2, 3]),
        ("A:ever()", "..a..", vec![2, 3, 4]),
        ("not_yet(A)", "..a..", vec![0, 1]),
        ("A:followed_within(\"0.2 s\", B)", "a.b..b.a", vec![2]),
        ("A:since(B)", ".abaa.a", vec![2, 3, 4]),
        ("A:before(B)", "..a.b.a", vec![2, 3, 4, 5, 6]),
        ("A:before(B)", "..b.a", vec![]),
        ("A:before(B)", "..x", vec![]),
        ("A:after(B)", "a.b.a", vec![4]),
        ("A:times(2)", "aa.a.a", vec![3, 4, 5]),
        ("A:times(3)", "a.aa.a", vec![5]),
        ("A:times(1)", ".a..", vec![1, 2, 3]),
        ("none(A, B)", "abx.", vec![3]),
        ("all(A, not_(B))", "abx.", vec![0]),
        ("any(A, B)", "abx.", vec![0, 1, 2]),
    ] {
        assert_eq!(true_at(condition, lamps), at, "{condition} over {lamps}");
    }
}

#[test]
fn what_looks_ahead_is_answered_when_it_is_known() {
    // At tick 0 the answer comes in time; at 4 it does not; at 9 the run ends before it can be known.
    let at = true_at("A:answered_within(\"0.2 s\", B)", "a.b.a....a");
    assert_eq!(at, [0, 1, 2, 3, 5, 6, 7, 8]);
    assert_eq!(true_at("A:until_(B)", "aab.a"), [0, 1, 2]);
}
