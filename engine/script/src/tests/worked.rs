//! What values that are worked out become, how they are told, and what they come to.

use super::{run, with_heading};
use base::sheet::ItemKind;
use monitor::{Comparison, Edge, Formula, Interval, Summary, Term, Verdict, evaluate};

fn step_of(condition: &str) -> (Formula, String) {
    let a = run(&with_heading(&format!("step \"s\" {{ marks = 1, done = {condition} }}"))).unwrap();
    let item = &a.sheet.items[0];
    let ItemKind::Step { done, .. } = &item.kind else { panic!("a step") };
    (done.clone(), item.expected.clone())
}

fn measured(term: Term, how: Comparison, with: f64) -> Formula {
    Formula::Measured { term: Box::new(term), how, with }
}

#[test]
fn each_word_becomes_its_term_and_is_told() {
    let x = || Term::signal(0);
    let lamp = || Box::new(Formula::holds(0));
    let ten = Interval::within(99); // a hundred ticks
    for (condition, term, how, with, told) in [
        (
            "actual(\"TT-3207\"):rate(\"1 min\"):below(\"60 K/min\")",
            Term::Rate(600, Box::new(x())),
            Comparison::Below,
            1.0,
            "The rate of TT-3207 (superheater metal) over 1 min below 60.00 K/min",
        ),
        (
            "actual(\"FT-3301\"):mean(\"10 s\"):above(\"5 kg/s\")",
            x().over(Summary::Mean, ten),
            Comparison::Above,
            5.0,
            "The mean of FT-3301 (air flow) over 10 s above 5.00 kg/s",
        ),
        (
            "actual(\"FT-3301\"):greatest():at_most(\"5 kg/s\")",
            x().over(Summary::Greatest, Interval::ALL),
            Comparison::AtMost,
            5.0,
            "The greatest of FT-3301 (air flow) over the run so far at most 5.00 kg/s",
        ),
        (
            "actual(\"FT-3301\"):least(\"10 s\"):at_least(\"5 kg/s\")",
            x().over(Summary::Least, ten),
            Comparison::AtLeast,
            5.0,
            "The least of FT-3301 (air flow) over 10 s at least 5.00 kg/s",
        ),
        (
            "actual(\"FT-3301\"):total():above(\"50 kg\")",
            x().over(Summary::Integral, Interval::ALL),
            Comparison::Above,
            50.0,
            "The total of FT-3301 (air flow) over the run so far above 50.0 kg",
        ),
        (
            "actual(\"PT-3001\"):travel(\"10 s\"):below(\"2 bar difference\")",
            x().over(Summary::Travel, ten),
            Comparison::Below,
            2e5,
            "The travel of PT-3001 (drum pressure) over 10 s below 2.00 bar difference",
        ),
        (
            "lit(\"XL-3310\"):in_all():above(\"1 min\")",
            Term::Held(Interval::ALL, lamp()),
            Comparison::Above,
            60.0,
            "The time in all of lamp XL-3310 (main flame) lit over the run so far above 1.0 min",
        ),
        (
            "lit(\"XL-3310\"):longest(\"10 s\"):above(\"5 s\")",
            Term::Stretch(ten, lamp()),
            Comparison::Above,
            5.0,
            "The longest time of lamp XL-3310 (main flame) lit over 10 s above 5.0 s",
        ),
        (
            "lit(\"XL-3310\"):times_in(\"10 s\"):at_most(2)",
            Term::Count(Edge::Rises, ten, lamp()),
            Comparison::AtMost,
            2.0,
            "The number of times of lamp XL-3310 (main flame) lit over 10 s at most 2",
        ),
    ] {
        assert_eq!(step_of(condition), (measured(term, how, with), told.to_owned()), "{condition}");
    }
}

#[test]
fn a_value_is_compared_with_its_own_mean() {
    let (formula, _) = step_of("actual(\"PT-3001\"):above(actual(\"PT-3001\"):mean(\"10 s\"))");
    let mean = Term::signal(0).over(Summary::Mean, Interval::within(99));
    let off = Term::Difference(Box::new(Term::signal(0)), Box::new(mean));
    assert_eq!(formula, measured(off, Comparison::Above, 0.0));
}

/// The ticks at which a condition holds over these samples of its one signal.
fn true_at(condition: &str, samples: &[f64]) -> Vec<usize> {
    let values = evaluate(&step_of(condition).0, samples.iter().map(|x| [*x]));
    values.iter().enumerate().filter(|(_, v)| v.verdict() == Verdict::Kept).map(|(i, _)| i).collect()
}

#[test]
fn numbers_come_to_what_they_say() {
    let lamp = [0.0, 1.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0];
    assert_eq!(true_at("lit(\"XL-3310\"):in_all():at_least(\"0.3 s\")", &lamp), [4, 5, 6, 7]);
    assert_eq!(true_at("lit(\"XL-3310\"):in_all(\"0.4 s\"):at_least(\"0.3 s\")", &lamp), [4]);
    assert_eq!(true_at("lit(\"XL-3310\"):longest(\"0.4 s\"):at_least(\"0.2 s\")", &lamp), [2, 3, 4]);
    assert_eq!(true_at("lit(\"XL-3310\"):times_in(\"0.4 s\"):at_least(2)", &lamp), [4]);
    // Samples of a flow in kg/s: 10 kg/s for two ticks are 2 kg.
    let flow = [0.0, 10.0, 10.0, 0.0, 0.0];
    assert_eq!(true_at("actual(\"FT-3301\"):total():above(\"1.5 kg\")", &flow), [2, 3, 4]);
    assert_eq!(true_at("actual(\"FT-3301\"):mean(\"0.2 s\"):above(\"7 kg/s\")", &flow), [2]);
    assert_eq!(true_at("actual(\"FT-3301\"):greatest(\"0.2 s\"):above(\"7 kg/s\")", &flow), [1, 2, 3]);
    assert_eq!(true_at("actual(\"FT-3301\"):least(\"0.2 s\"):above(\"7 kg/s\")", &flow), [2]);
    assert_eq!(true_at("actual(\"FT-3301\"):travel():above(\"15 kg/s\")", &flow), [3, 4]);
    assert_eq!(true_at("actual(\"FT-3301\"):rate(\"0.1 s\"):above(\"50 kg/s per min\")", &flow), [1]);
}

#[test]
fn what_no_window_can_come_to_is_told() {
    let told = |keep: &str| {
        let read = run(&with_heading(&format!("limit \"l\" {{ marks = 1, keep = {keep} }}")));
        let all = read.map_or_else(|told| told, |authored| authored.warnings);
        all.iter().map(|d| d.code).collect::<Vec<_>>()
    };
    assert_eq!(told("lit(\"XL-3310\"):in_all(\"5 min\"):at_most(\"6 min\")").len(), 1);
    assert_eq!(told("lit(\"XL-3310\"):in_all(\"5 min\"):at_most(\"4 min\")").len(), 0);
    assert_eq!(told("setting(\"FCV-3102\"):mean():at_most(\"110 % open\")").len(), 1);
    assert_eq!(told("setting(\"FCV-3102\"):rate(\"1 min\"):at_most(\"110 percentage points/min\")").len(), 1);
    assert_eq!(told("setting(\"FCV-3102\"):rate(\"1 min\"):at_most(\"90 percentage points/min\")").len(), 0);
}
