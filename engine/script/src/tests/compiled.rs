//! What conditions become, and how they are told.

use super::{run, with_heading};
use base::observable::{Observable, Verb};
use base::sheet::ItemKind;
use monitor::{Comparison, Formula, Interval, Signal};
use session::Moment;

fn step_of(condition: &str) -> (Formula, String) {
    let a = run(&with_heading(&format!("step \"s\" {{ marks = 1, done = {condition} }}"))).unwrap();
    let item = &a.sheet.items[0];
    let ItemKind::Step { done, .. } = &item.kind else { panic!("a step") };
    (done.clone(), item.expected.clone())
}

fn truth(signal: u32) -> Formula {
    Formula::holds(signal)
}

#[test]
fn a_lasting_condition_waits_for_its_whole_window() {
    let (formula, told) = step_of("shown(\"PT-3001\"):above(\"4 barg\"):lasting(\"30 s\")");
    let above = Formula::Compare { signal: Signal(0), how: Comparison::Above, with: 501_325.0 };
    assert_eq!(formula, above.lasted(300));
    assert_eq!(told, "PT-3001 (drum pressure) as shown above 4.00 barg for 30 s");
}

#[test]
fn one_action_followed_by_another() {
    let (formula, told) = step_of("did(\"lamp test\"):followed_within(\"2 min\", did(\"local check\", \"XV-2104\"))");
    let once = Formula::Once(Interval::within(1200), Box::new(truth(1)));
    assert_eq!(formula, Formula::All(vec![truth(0), once]));
    assert_eq!(told, "The lamp test made, and within 2 min after it XV-2104 (suction valve) checked on the spot");
}

#[test]
fn the_row_holds_each_observable_once() {
    let a = run(&with_heading(
        "step \"a\" { marks = 1, done = all(lit(\"XL-3310\"), did(\"P-3101\", \"start\")) }\n\
         step \"b\" { marks = 1, done = lit(\"XL-3310\"):ever() }",
    ))
    .unwrap();
    let row: Vec<&Observable> = a.exercise.watched.iter().map(|w| &w.what).collect();
    let start = Observable::Did { verb: Verb::Operate, on: Some("P-3101".into()), to: Some("start".into()) };
    assert_eq!(row, [&Observable::Lit("XL-3310".into()), &start]);
    assert_eq!(a.conditions.len(), 2);
    assert_eq!(a.conditions[1].item, 1);
}

#[test]
fn states_are_told_by_words() {
    let below = |with| Formula::Compare { signal: Signal(0), how: Comparison::Below, with };
    let at_least = |with| Formula::Compare { signal: Signal(0), how: Comparison::AtLeast, with };
    assert_eq!(step_of("actual(\"XV-2104\"):is(\"open\")").0, truth(0));
    assert_eq!(step_of("actual(\"XV-2104\"):is(\"shut\")").0, truth(0).not());
    assert_eq!(step_of("actual(\"NV-1\"):is(\"pilot\")").0, Formula::All(vec![at_least(0.5), below(1.5)]));
    assert_eq!(step_of("actual(\"NV-1\"):is(\"main\")").0, at_least(1.5));
    assert_eq!(step_of("actual(\"NV-1\"):is_not(\"off\")").1, "Not: NV-1 (burner state) off");
}

#[test]
fn tolerances_are_differences() {
    let (formula, told) = step_of("shown(\"PT-3001\"):within(\"0.5 bar difference\", \"7 barg\")");
    let Formula::All(parts) = formula else { panic!("two sides") };
    let Formula::Compare { with, .. } = &parts[0] else { panic!("a comparison") };
    assert!((with - (7e5 + 101_325.0 - 5e4)).abs() < 1e-6);
    assert_eq!(told, "PT-3001 (drum pressure) as shown within 0.50 bar difference of 7.00 barg");
}

#[test]
fn values_are_compared_with_values() {
    let (formula, _) = step_of("actual(\"PT-3001\"):above(actual(\"PT-3002\"))");
    assert_eq!(formula, Formula::Between { left: Signal(0), how: Comparison::Above, right: Signal(1) });
}

#[test]
fn faults_begin_and_clear_as_written() {
    let a = run(&with_heading(
        "fault \"a\" { on = \"XL-2104\", kind = \"dark\", at = \"5 min\", lasts = \"1 min\" }\n\
         fault \"b\" { on = \"FCV-3102\", kind = \"seized\", size = \"40 % open\", after = { lit(\"XL-3310\"), \"10 s\" }, clears_at = \"9 min\" }\n\
         fault \"c\" { on = \"B-3001\", kind = \"flame lost\", when = fault_acting(\"a\") }\n\
         fault \"d\" { on = \"XL-2104\", kind = \"dark\", at = { \"2 min\", \"4 min\" } }",
    ))
    .unwrap();
    let f = &a.exercise.faults;
    assert_eq!(f[0].begins, Moment::At(base::Tick(3000)));
    assert!(matches!(f[0].clears, Moment::After(_, 600)));
    assert!(matches!(f[1].begins, Moment::After(_, 100)));
    assert_eq!(f[1].clears, Moment::At(base::Tick(5400)));
    assert!(matches!(f[2].begins, Moment::When(_)));
    assert!(matches!(f[3].begins, Moment::At(t) if (1200..=2400).contains(&t.0)));
}

#[test]
fn the_indexed_sheet_follows_the_conditions() {
    let a = run(&with_heading(
        "limit \"l\" { marks = 2, keep = actual(\"TT-3207\"):below(\"420 degC\"), during = lit(\"XL-3310\"), none_beyond = \"10 K\" }\n\
         step \"s\" { marks = 1.25, done = lit(\"XL-3310\") }",
    ))
    .unwrap();
    let sheet = a.indexed_sheet();
    assert!(
        matches!(sheet.items[0].kind, ItemKind::Limit { keep: 0, during: Some(1), none_beyond: Some(b), .. } if (b - 10.0).abs() < 1e-12)
    );
    assert!(matches!(sheet.items[1].kind, ItemKind::Step { done: 2, .. }));
    assert_eq!(sheet.items[1].marks.0, 125);
    assert_eq!(
        a.sheet.items[0].expected,
        "Keep: TT-3207 (superheater metal) below 420.0 degC, while lamp XL-3310 (main flame) lit"
    );
}

#[test]
fn competences_stand_in_the_sheet_by_the_names_of_their_items() {
    let watch = "A-III/1: Maintain a safe engineering watch";
    let knowledge = format!("{watch}: Safety and emergency procedures");
    let a = run(&with_heading(&format!(
        "step \"s\" {{ marks = 1, done = lit(\"XL-3310\"), competence = {{ \"{knowledge}\", \"{watch}\" }} }}\n\
         step \"t\" {{ marks = 1, done = lit(\"XL-3310\") }}"
    )))
    .unwrap();
    let want = std::collections::BTreeMap::from([("s".to_owned(), vec![knowledge, watch.to_owned()])]);
    assert_eq!(a.sheet.competences, want);
    assert_eq!(a.indexed_sheet().competences, want);
}
