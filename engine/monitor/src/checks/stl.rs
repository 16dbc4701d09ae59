//! Against the robustness vectors of outside programs.

use super::read;
use crate::{Comparison, Formula, Interval, Signal, robustness};
use serde_json::Value;

fn interval(v: &Value, period: f64) -> Interval {
    if v.is_null() {
        return Interval::ALL;
    }
    let ticks = |v: &Value| {
        let exact = v.as_f64().unwrap() / period;
        assert!((exact - exact.round()).abs() < 1e-6, "{v} s is not a whole number of samples of {period} s");
        exact.round() as u32
    };
    Interval { from: ticks(&v[0]), to: Some(ticks(&v[1])) }
}

fn formula(ast: &Value, signals: &[&str], period: f64) -> Formula {
    let part = |name: &str| Box::new(formula(&ast[name], signals, period));
    let signal = |v: &Value| {
        v.get("signal").map(|s| Signal(signals.iter().position(|n| *n == s.as_str().unwrap()).unwrap() as u32))
    };
    let span = || interval(&ast["interval"], period);
    let op = ast["op"].as_str().unwrap();
    match op {
        "gt" | "ge" | "lt" | "le" => {
            let how = match op {
                "gt" => Comparison::Above,
                "ge" => Comparison::AtLeast,
                "lt" => Comparison::Below,
                _ => Comparison::AtMost,
            };
            let left = signal(&ast["left"]).expect("a signal on the left side");
            match signal(&ast["right"]) {
                Some(right) => Formula::Between { left, how, right },
                None => Formula::Compare { signal: left, how, with: ast["right"]["const"].as_f64().unwrap() },
            }
        }
        "not" => part("arg").not(),
        "and" => Formula::All(vec![*part("left"), *part("right")]),
        "or" => Formula::Any(vec![*part("left"), *part("right")]),
        "implies" => Formula::Implies(part("left"), part("right")),
        "always" => Formula::Always(span(), part("arg")),
        "eventually" => Formula::Eventually(span(), part("arg")),
        "historically" => Formula::Historically(span(), part("arg")),
        "once" => Formula::Once(span(), part("arg")),
        "until" => Formula::Until(span(), part("left"), part("right")),
        "since" => Formula::Since(span(), part("left"), part("right")),
        other => panic!("unknown operator {other}"),
    }
}

fn number(v: &Value) -> f64 {
    match v.as_str() {
        Some("inf") => f64::INFINITY,
        Some("-inf") => f64::NEG_INFINITY,
        Some(other) => panic!("\"{other}\" is not a number"),
        None => v.as_f64().unwrap(),
    }
}

#[test]
fn vectors() {
    let file = read("stl_vectors.json");
    let (mut cases, mut samples, mut horizons) = (0, 0, 0);
    for case in file["cases"].as_array().unwrap() {
        let id = case["id"].as_str().unwrap();
        let period = case["sampling_period"].as_f64().unwrap();
        let signals: Vec<&str> = case["signals"].as_object().unwrap().keys().map(String::as_str).collect();
        let series: Vec<Vec<f64>> = signals
            .iter()
            .map(|s| case["signals"][s].as_array().unwrap().iter().map(|p| number(&p[1])).collect())
            .collect();
        let rows: Vec<Vec<f64>> = (0..series[0].len()).map(|t| series.iter().map(|s| s[t]).collect()).collect();
        let f = formula(&case["formula_ast"], &signals, period);
        let got = robustness(&f, &rows);
        let want: Vec<f64> = case["robustness"].as_array().unwrap().iter().map(|p| number(&p[1])).collect();
        assert_eq!(got.len(), want.len(), "{id}: one value a sample");
        for (t, (&g, &w)) in got.iter().zip(&want).enumerate() {
            assert!(
                g == w || (g - w).abs() <= 1e-9,
                "{id} ({}) at sample {t}: {g}, and {w} was expected",
                case["rtamt_text"]
            );
            samples += 1;
        }
        let horizon = case["future_horizon_s"].as_f64().map(|s| (s / period).round() as u32);
        assert_eq!(f.horizon(), horizon, "{id}: how far the formula looks ahead");
        let history = case["past_history_s"].as_f64().map(|s| (s / period).round() as u32);
        assert_eq!(f.history(), history, "{id}: how far the formula looks back");
        horizons += 1;
        cases += 1;
    }
    println!("compared {cases} cases, {samples} samples, {horizons} horizons and histories");
    assert!(cases > 0 && samples > cases);
}
