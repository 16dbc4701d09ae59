//! Logs on the bench of two valves whose marks were worked out by hand, in words, before the code that
//! grades them was written: `tests/data/marks_by_hand.txt`.

use base::sheet::Marks;
use marking::{Outcome, RunResult};
use replay::{Options, Pack, Standing};
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// A case as it stands in the file.
#[derive(Default)]
struct Case {
    name: String,
    sheet: String,
    pass: Option<String>,
    log: Vec<String>,
    /// Item, outcome, earned, out of.
    items: Vec<(String, Outcome, Marks, Marks)>,
    sum: (Marks, Marks),
    /// Passed, not passed, or neither.
    passed: Option<bool>,
}

fn marks(text: &str) -> Marks {
    Marks((text.parse::<f64>().unwrap_or_else(|_| panic!("\"{text}\" are no marks")) * 100.0).round() as i64)
}

/// "6.67 of 10" as marks.
fn sum(text: &str) -> (Marks, Marks) {
    let (earned, out_of) = text.split_once(" of ").unwrap_or_else(|| panic!("\"{text}\" is no sum"));
    (marks(earned), marks(out_of))
}

fn cases() -> Vec<Case> {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/marks_by_hand.txt")).unwrap();
    let (mut cases, mut part): (Vec<Case>, String) = (vec![], String::new());
    for line in text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()) {
        if let Some(name) = line.strip_prefix("case ") {
            cases.push(Case { name: name.into(), ..Case::default() });
            continue;
        }
        let case = cases.last_mut().expect("the file begins with a case");
        if let Some(pass) = line.strip_prefix("pass ") {
            case.pass = Some(pass.into());
        } else if !line.starts_with(' ') {
            part = line.into();
        } else {
            let line = line.trim();
            match (part.as_str(), line.split_once(": ")) {
                ("sheet", _) => case.sheet.push_str(&format!("{line}\n")),
                ("log", _) => case.log.push(line.into()),
                ("why", _) => {}
                ("marks", Some(("sum", told))) => {
                    let (told, passed) = told.split_once(", ").unwrap_or((told, ""));
                    case.sum = sum(told);
                    case.passed = match passed {
                        "passed" => Some(true),
                        "not passed" => Some(false),
                        "" | "open" => None,
                        other => panic!("{}: \"{other}\"", case.name),
                    };
                }
                ("marks", Some((item, told))) => {
                    let outcomes = [
                        ("full ", Outcome::Full),
                        ("part ", Outcome::Part),
                        ("nothing ", Outcome::Nothing),
                        ("not assessed ", Outcome::NotAssessed),
                    ];
                    let (told, outcome) =
                        outcomes.into_iter().find_map(|(w, o)| Some((told.strip_prefix(w)?, o))).unwrap();
                    let (earned, out_of) = sum(told);
                    case.items.push((item.into(), outcome, earned, out_of));
                }
                (part, _) => panic!("{}: \"{line}\" in \"{part}\"", case.name),
            }
        }
    }
    cases
}

/// "20.0 operate XV-1001 70 % open" as a line of a log.
fn log_line(line: &str) -> String {
    let (t, rest) = line.split_once(' ').unwrap();
    let verbs = ["operate", "acknowledge", "lamp test", "local check", "report", "saw", "end"];
    let verb = verbs.into_iter().find(|v| rest.starts_with(v)).unwrap_or_else(|| panic!("{line}"));
    let rest = rest[verb.len()..].trim();
    let (on, to) = rest.split_once(' ').unwrap_or((rest, ""));
    if verb == "saw" {
        return format!("{{\"t\":{t},\"saw\":{{\"{on}\":\"{to}\"}}}}\n");
    }
    let field =
        |name: &str, text: &str| if text.is_empty() { String::new() } else { format!(",\"{name}\":\"{text}\"") };
    format!("{{\"t\":{t},\"do\":\"{verb}\"{}{}}}\n", field("on", on), field("to", to))
}

/// Grades one sheet against one log.
fn grade(sheet: &str, pass: Option<&str>, log: &[String]) -> RunResult {
    let desk = tempfile::tempdir().unwrap();
    let pass = pass.map(|p| format!(", pass = {p}")).unwrap_or_default();
    let script = format!(
        "exercise {{ title = \"By hand\", plant = \"valve-bench\", start = \"cold\", lasts = \"5 min\"{pass} }}\n{sheet}"
    );
    fs::write(desk.path().join("case.lua"), script).unwrap();
    let pack = "Pack(format: \"faultwright-pack/1\", id: \"by-hand\", version: \"1.0.0\", title: \"By hand\", \
        plant: \"valve-bench\", exercises: [(id: \"case\", script: \"case.lua\")], licence: \"MIT OR Apache-2.0\")";
    fs::write(desk.path().join("pack.ron"), pack).unwrap();
    let pack = Pack::open(desk.path()).unwrap_or_else(|e| panic!("{e}\n{sheet}"));
    let ready = pack.exercise(None).unwrap();
    let header = "{\"format\":\"faultwright-log/1\",\"exercise\":\"case\",\"pack\":\"by-hand\",\"pack_version\":\"1.0.0\",\
        \"trainee\":\"t\",\"start\":\"2031-03-04T08:00:00Z\",\"recorder\":\"by hand\",\"seed\":1}\n";
    let text: String = std::iter::once(header.to_owned()).chain(log.iter().map(|l| log_line(l))).collect();
    let log = replay::logs::read_bytes(&pack, ready, "case.jsonl", text.as_bytes());
    let options = Options { jobs: 1, stop: Arc::new(AtomicBool::new(false)) };
    let mut results = replay::grade(&pack, ready, &[log], &options, &|_, _| ());
    match results.remove(0).0.standing {
        Standing::Graded(result) => result,
        other => panic!("{other:?}\n{sheet}\n{text}"),
    }
}

#[test]
fn all_logs_get_the_marks_that_were_worked_out_by_hand() {
    let cases = cases();
    assert!(cases.len() >= 30, "{} cases", cases.len());
    let mut wrong = vec![];
    for case in &cases {
        let result = grade(&case.sheet, case.pass.as_deref(), &case.log);
        let got: Vec<_> = result.verdicts.iter().map(|v| (v.name.clone(), v.outcome, v.earned, v.out_of)).collect();
        if got != case.items || (result.earned, result.out_of) != case.sum || result.passed != case.passed {
            let found: Vec<String> = result.verdicts.iter().map(|v| format!("{}: {}", v.name, v.found)).collect();
            wrong.push(format!(
                "{}\n  by hand {:?}, {:?}, {:?}\n  graded  {got:?}, {:?}, {:?}\n  {}",
                case.name,
                case.items,
                case.sum,
                case.passed,
                (result.earned, result.out_of),
                result.passed,
                found.join("\n  ")
            ));
        }
    }
    println!("{} cases of tests/data/marks_by_hand.txt compared", cases.len());
    assert!(wrong.is_empty(), "{} of {} disagree:\n{}", wrong.len(), cases.len(), wrong.join("\n"));
}

/// Lines of one tick have no order of their own: whichever way they stand, the marks are the same.
#[test]
fn the_order_of_independent_lines_within_a_tick_does_not_matter() {
    let sheet = "fault \"stuck\" { on = \"XV-1002\", kind = \"seized\", at = \"10 s\" }\n\
        step \"inlet\" { marks = 2, done = did(\"XV-1001\", \"open\") }\n\
        step \"lamps\" { marks = 2, done = did(\"lamp test\"), after = \"inlet\" }\n\
        step \"said\" { marks = 2, done = did(\"report\"), after = \"lamps\" }\n\
        order \"in turn\" { marks = 6, steps = { \"inlet\", \"lamps\", \"said\" } }\n\
        finding \"found\" { marks = 4, faults = { \"stuck\" } }\n";
    let lines =
        ["20.0 operate XV-1001 open", "20.0 lamp test", "20.0 report XV-1002 seized", "20.0 report XL-1002 dark"];
    let graded = |order: &[usize]| {
        let mut log: Vec<String> = order.iter().map(|i| lines[*i].to_owned()).collect();
        log.push("60.0 end".into());
        let r = grade(sheet, None, &log);
        (r.earned, r.verdicts.iter().map(|v| (v.outcome, v.earned)).collect::<Vec<_>>())
    };
    let first = graded(&[0, 1, 2, 3]);
    assert_eq!(first.0, Marks(2 * 300 + 600 + 300), "all but the guess");
    for order in [[3, 2, 1, 0], [1, 0, 3, 2], [2, 3, 0, 1], [3, 0, 2, 1]] {
        assert_eq!(graded(&order), first, "{order:?}");
    }
}
