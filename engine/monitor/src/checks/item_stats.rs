//! Item and rater statistics.

use super::{list, read};
use crate::statistics::{analyse, cohen, correlation, fleiss};
use serde_json::Value;

/// Compares a figure with a field of the file: within 1e-9, and nothing where the file says null.
struct Held<'a> {
    id: &'a str,
    compared: usize,
}

impl Held<'_> {
    fn figure(&mut self, name: &str, got: Option<f64>, want: &Value) {
        let want = want.as_f64();
        let same = match (got, want) {
            (Some(g), Some(w)) => (g - w).abs() <= 1e-9 * w.abs().max(1.0),
            (g, w) => g.is_none() && w.is_none(),
        };
        assert!(same, "{} {name}: {got:?}, and {want:?} was expected", self.id);
        self.compared += 1;
    }

    /// The same where the file has the field at all.
    fn given(&mut self, name: &str, got: Option<f64>, among: &Value) {
        if let Some(want) = among.get(name) {
            self.figure(name, got, want);
        }
    }

    fn count(&mut self, name: &str, got: usize, among: &Value) {
        if let Some(want) = among.get(name) {
            assert_eq!(got as u64, want.as_u64().unwrap(), "{} {name}", self.id);
            self.compared += 1;
        }
    }
}

fn numbers(v: &Value) -> Vec<f64> {
    list(v).iter().map(|x| x.as_f64().unwrap()).collect()
}

fn counts(v: &Value) -> Vec<Vec<u32>> {
    list(v).iter().map(|r| list(r).iter().map(|x| x.as_u64().unwrap() as u32).collect()).collect()
}

fn scores(held: &mut Held<'_>, case: &Value, want: &Value) {
    let rows: Vec<Vec<Option<f64>>> =
        list(&case["scores"]).iter().map(|r| list(r).iter().map(Value::as_f64).collect()).collect();
    let a = analyse(&rows, &numbers(&case["max_scores"]));
    held.count("n_used", a.people, want);
    held.count("n_items", a.items.len(), want);
    held.count("n_dropped_for_missing", a.dropped, want);
    held.count("ul27_group_size", a.group, want);
    held.given("mean_total", a.mean_total, want);
    held.given("sd_total", a.deviation_total, want);
    held.given("alpha", a.reliability.map(|r| r.alpha), want);
    held.figure("alpha_ci95 low", a.reliability.map(|r| r.low), &want["alpha_ci95"][0]);
    held.figure("alpha_ci95 high", a.reliability.map(|r| r.high), &want["alpha_ci95"][1]);
    held.given("sem", a.standard_error, want);
    held.given("alpha_pairwise", a.alpha_pairwise, want);
    held.given("kr20", a.kr20, want);
    held.given("kr21", a.kr21, want);
    let items = list(&want["items"]);
    assert_eq!(items.len(), a.items.len());
    for (got, want) in a.items.iter().zip(items) {
        held.figure("p", got.difficulty, &want["p"]);
        held.figure("item_total", got.item_total, &want["item_total"]);
        held.figure("item_rest", got.item_rest, &want["item_rest"]);
        held.figure("ul27_stable", got.upper_lower_in_order, &want["ul27_stable"]);
        held.figure("ul27_tie_averaged", got.upper_lower, &want["ul27_tie_averaged"]);
        held.figure("alpha_if_deleted", got.alpha_without, &want["alpha_if_deleted"]);
    }
}

fn of_two(held: &mut Held<'_>, ratings: &[Vec<f64>], want: &Value) {
    let categories = numbers(&want["categories"]);
    let place = |x: f64| categories.iter().position(|c| *c == x).unwrap();
    let (a, b) = (want["raters"][0].as_u64().unwrap() as usize, want["raters"][1].as_u64().unwrap() as usize);
    let pairs: Vec<(usize, usize)> = ratings.iter().map(|r| (place(r[a]), place(r[b]))).collect();
    let got = cohen(&pairs, categories.len()).unwrap();
    assert_eq!(got.table, counts(&want["table"]), "{}", held.id);
    held.count("n", got.subjects, want);
    held.figure("unweighted", got.kappa, &want["unweighted"]);
    held.figure("linear", got.linear, &want["linear"]);
    held.figure("quadratic", got.quadratic, &want["quadratic"]);
    held.figure("observed_agreement", Some(got.observed), &want["observed_agreement"]);
}

#[test]
fn figures() {
    let file = read("item_stats.json");
    let (mut cases, mut compared) = (0, 0);
    for case in list(&file["cases"]) {
        let mut held = Held { id: case["id"].as_str().unwrap(), compared: 0 };
        let want = &case["expected"];
        if case.get("scores").is_some() {
            scores(&mut held, case, want);
        }
        let ratings = case.get("ratings").or(case.get("rating_matrix"));
        let ratings: Vec<Vec<f64>> = ratings.map(|r| list(r).iter().map(numbers).collect()).unwrap_or_default();
        for want in want.get("cohen").map(list).unwrap_or_default() {
            of_two(&mut held, &ratings, want);
        }
        if let Some(want) = want.get("fleiss") {
            let got = fleiss(&counts(case.get("counts").unwrap_or(&want["counts"]))).unwrap();
            held.count("subjects", got.subjects, want);
            held.count("raters", got.raters as usize, want);
            held.figure("fleiss kappa", got.kappa, &want["kappa"]);
            held.figure("fleiss observed", Some(got.observed), &want["observed_agreement"]);
            held.figure("fleiss expected", Some(got.expected), &want["expected_agreement"]);
        }
        if let Some(want) = want.get("icc") {
            let got = correlation(&ratings).unwrap();
            held.count("targets", got.subjects, want);
            held.count("raters", got.raters, want);
            held.figure("icc_2_1", got.icc, &want["icc_2_1"]);
            held.figure("icc low", got.interval.map(|i| i.0), &want["ci95"][0]);
            held.figure("icc high", got.interval.map(|i| i.1), &want["ci95"][1]);
            held.figure("ms_rows", Some(got.ms_rows), &want["ms_rows"]);
            held.figure("ms_columns", Some(got.ms_columns), &want["ms_columns"]);
            held.figure("ms_error", Some(got.ms_error), &want["ms_error"]);
        }
        assert!(held.compared > 0, "{}: nothing of it was compared", held.id);
        cases += 1;
        compared += held.compared;
    }
    println!("compared {cases} cases, {compared} figures");
    assert!(cases > 0);
}
