//! Alignments at least cost.

use super::{list, read};
use crate::alignment::tests::replay;
use crate::{Entry, Order, align};
use base::Tick;
use serde_json::Value;

fn names(v: &Value) -> Vec<&str> {
    list(v).iter().map(|n| n.as_str().unwrap()).collect()
}

#[test]
fn costs() {
    let file = read("alignments.json");
    let mut cases = 0;
    for case in list(&file["cases"]) {
        let id = case["id"].as_str().unwrap();
        let steps = names(&case["steps"]);
        let place = |name: &str| steps.iter().position(|s| *s == name);
        let optional: Vec<bool> = steps.iter().map(|s| names(&case["optional"]).contains(s)).collect();
        let pairs: Vec<(usize, usize)> = list(&case["edges"])
            .iter()
            .map(|e| (place(e[0].as_str().unwrap()).unwrap(), place(e[1].as_str().unwrap()).unwrap()))
            .collect();
        let order = Order::new(&optional, &pairs).unwrap();
        let entries: Vec<Entry> = names(&case["trace"])
            .iter()
            .enumerate()
            .map(|(t, name)| Entry { step: place(name), at: Tick(t as u32) })
            .collect();
        let got = align(&order, &entries);
        assert!(got.proven, "{id}");
        assert_eq!(u64::from(got.cost), case["optimal_cost"].as_u64().unwrap(), "{id}");
        let fitness = case["fitness"].as_f64().unwrap();
        assert!((got.fitness() - fitness).abs() <= 1e-9, "{id}: {} and {fitness}", got.fitness());
        replay(&order, &entries, &got);
        cases += 1;
    }
    println!("compared {cases} cases: cost, fitness, and the alignment replayed");
    assert!(cases > 0);
}
