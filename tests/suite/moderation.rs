//! Overrides and blind marking as a moderator meets them.

use super::bench::{class, desk, files_below, log_of, run};
use serde_json::Value;
use std::fs;
use std::path::Path;

/// Three logs: everything right; no lamp test; no lamp test either, with a name and a later report.
fn logs(folder: &Path) {
    let no_test = |log: String| log.replace("{\"t\":20.0,\"do\":\"lamp test\"}\n", "");
    fs::write(folder.join("a.jsonl"), log_of("t-01")).unwrap();
    fs::write(folder.join("b.jsonl"), no_test(log_of("t-02"))).unwrap();
    let named = no_test(log_of("t-03"))
        .replace("\"start\"", "\"name\":\"Berta Nielsen\",\"start\"")
        .replace("\"t\":40.0", "\"t\":41.0");
    fs::write(folder.join("c.jsonl"), named).unwrap();
}

fn overrides(folder: &Path, entries: &str) {
    let text = format!(
        "Overrides(format: \"faultwright-overrides/1\", pack: \"bench\", exercise: \"two-valves\", overrides: [\n{entries}\n])"
    );
    fs::write(folder.join("overrides.ron"), text).unwrap();
}

fn entry(person: &str, item: &str, was: &str, now: &str) -> String {
    format!(
        "(person: \"{person}\", item: \"{item}\", was: \"{was}\", now: \"{now}\", reason: \"the button stuck\", by: \"M. Example\", on: \"2031-03-05\"),"
    )
}

const TOLD: &str = "was 0 of 2, now 2 of 2, by M. Example on 2031-03-05: the button stuck";

fn person<'a>(class: &'a Value, id: &str) -> &'a Value {
    class["people"].as_array().unwrap().iter().find(|p| p["id"] == id).unwrap()
}

fn read(desk: &Path, name: &str) -> String {
    fs::read_to_string(desk.join(name)).unwrap()
}

#[test]
fn an_override_is_told_wherever_the_mark_is() {
    let desk = desk();
    let at = desk.path();
    logs(&at.join("logs"));
    overrides(at, &entry("t-02", "tested", "0 of 2", "2 of 2"));
    let said = run(at, &["grade", "pack", "logs", "--out", "out", "--overrides", "overrides.ron"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains("t-02: 10 of 10, passed, 1 override"), "{}", said.out);
    assert!(said.out.contains("t-03 Berta Nielsen: 8 of 10, passed  c.jsonl"), "{}", said.out);

    let class = class(at);
    let changed = &person(&class, "t-02")["items"][1]["overrides"];
    assert_eq!((&changed[0]["was"], &changed[0]["now"]), (&Value::from(0), &Value::from(2)));
    assert_eq!(person(&class, "t-03")["items"][1]["overrides"].as_array().unwrap().len(), 0);
    let verdict: Value = serde_json::from_str(&read(at, "out/verdicts/t-02.json")).unwrap();
    assert_eq!(verdict["items"][1]["overrides"], *changed);
    assert_eq!((&verdict["marks"], &verdict["items"][1]["outcome"]), (&Value::from(10), &Value::from("full")));

    assert!(read(at, "out/debriefs/t-02.html").contains(&format!("<dt>Changed</dt><dd>W{}.</dd>", &TOLD[1..])));
    assert!(!read(at, "out/debriefs/t-03.html").contains("Changed</dt>"));
    assert!(read(at, "out/gradebook.csv").contains(&format!("tested: {TOLD}")));
    let page = read(at, "out/class.html");
    for told in ["0 of 2", "2 of 2", "M. Example", "2031-03-05", "The button stuck.", "changed by a moderator"] {
        assert!(page.contains(told), "{told}");
    }
}

#[test]
fn an_override_survives_a_changed_sheet_as_long_as_it_fits() {
    let desk = desk();
    let at = desk.path();
    logs(&at.join("logs"));
    let entries = [
        entry("t-02", "tested", "0 of 2", "2 of 2"),
        entry("t-03", "inlet", "4 of 4", "3 of 4"),
        entry("t-03", "not too early", "2 of 2", "1 of 2"),
        entry("t-04", "tested", "0 of 2", "1 of 2"),
    ];
    overrides(at, &entries.concat());
    let script = read(at, "pack/two_valves.lua");
    // The inlet is worth more, and the limit has another name.
    let other = script.replace("\"inlet\" { marks = 4", "\"inlet\" { marks = 5").replace("not too early", "early");
    fs::write(at.join("pack/two_valves.lua"), other).unwrap();
    let said = run(at, &["grade", "pack", "logs", "--out", "out", "--overrides", "overrides.ron"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains("t-02: 11 of 11, passed, 1 override"), "{}", said.out);
    assert!(said.out.contains("t-03 Berta Nielsen: 9 of 11, passed  c.jsonl"), "{}", said.out);
    let class = class(at);
    let why: Vec<&str> = class["not_applied"].as_array().unwrap().iter().map(|n| n["why"].as_str().unwrap()).collect();
    assert_eq!(
        why,
        [
            "the item is worth 5 marks, and the override speaks of 4",
            "the mark sheet has no item \"not too early\"",
            "no log of this class is theirs; did you mean \"t-01\"?",
        ]
    );
    assert_eq!(said.err.matches("no longer fits and is not applied").count(), 3, "{}", said.err);
    assert!(said.err.contains("overrides.ron:2"), "{}", said.err);
    let debrief = read(at, "out/debriefs/t-03.html");
    assert!(debrief.contains("Overrides that no longer fit") && debrief.contains("The item is worth 5 marks"));
    assert!(read(at, "out/class.html").contains("To be decided"));
    assert!(read(at, "out/gradebook.csv").contains("the item is worth 5 marks"));
}

#[test]
fn a_mistake_in_the_overrides_is_told_before_anything_is_graded() {
    let desk = desk();
    let at = desk.path();
    logs(&at.join("logs"));
    overrides(at, &(entry("t-02", "tested", "0 of 2", "3 of 2") + "\n" + &entry("", "tested", "0 of 2", "1 of 2")));
    let said = run(at, &["grade", "pack", "logs", "--out", "out", "--overrides", "overrides.ron"]);
    assert_eq!(said.code, 1, "{}{}", said.out, said.err);
    assert!(said.err.contains("3 is more than 2") && said.err.contains("person is empty"), "{}", said.err);
    assert!(said.err.contains("overrides.ron:2") && said.err.contains("overrides.ron:3"), "{}", said.err);
    assert!(!at.join("out").exists());
    let other = read(at, "overrides.ron").replace("two-valves", "three-valves");
    fs::write(at.join("overrides.ron"), other).unwrap();
    assert_eq!(run(at, &["grade", "pack", "logs", "--out", "out", "--overrides", "gone.ron"]).code, 1);
}

#[test]
fn a_blind_marking_names_nobody_and_can_be_undone_by_who_holds_the_numbers() {
    let desk = desk();
    let at = desk.path();
    logs(&at.join("logs"));
    // A copy, a second log of one trainee, and a refused one: what is told of logs tells no names either.
    fs::write(at.join("logs/copy.jsonl"), log_of("t-05")).unwrap();
    fs::write(at.join("logs/again.jsonl"), log_of("t-01")).unwrap();
    fs::write(at.join("logs/torn.jsonl"), log_of("t-06").replace("XV-1002", "XV-9999")).unwrap();
    let blind = ["grade", "pack", "logs", "--out", "out", "--blind", "--numbers", "numbers.ron"];
    let said = run(at, &blind);
    assert_eq!(said.code, 2, "{}{}", said.out, said.err);
    let mut told = said.out + &said.err;
    for (name, bytes) in files_below(&at.join("out")) {
        // The workbook is packed; it is made from what the gradebook is made from.
        told.push_str(&format!("{name}\n{}\n", String::from_utf8_lossy(&bytes)));
    }
    let names = [
        "t-01",
        "t-02",
        "t-03",
        "t-05",
        "t-06",
        "Berta",
        "Nielsen",
        "a.jsonl",
        "copy.jsonl",
        "again.jsonl",
        "torn.jsonl",
    ];
    for name in names {
        assert!(!told.contains(name), "{name} is told: {}", told.split(name).next().unwrap().lines().last().unwrap());
    }
    // Whoever holds the numbers knows.
    let numbers = read(at, "numbers.ron");
    let number = |trainee: &str| {
        let line = numbers.lines().find(|l| l.contains(&format!("\"{trainee}\""))).unwrap();
        line.split('"').nth(1).unwrap().to_owned()
    };
    let class = class(at);
    assert_eq!(person(&class, &number("t-02"))["marks"], 8);
    assert_eq!(class["people"].as_array().unwrap().iter().filter(|p| p["id"] == *number("t-01")).count(), 2);

    // The same numbers without the file, in another order and with fewer logs; nothing is written unasked.
    fs::rename(at.join("numbers.ron"), at.join("kept.ron")).unwrap();
    let said = run(at, &["grade", "pack", "logs/c.jsonl", "logs/b.jsonl", "--out", "two", "--blind"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains(&format!("{}: 8 of 10", number("t-02"))), "{}", said.out);
    assert!(!at.join("numbers.ron").exists());

    // An override by number, in a blind marking and in an open one.
    overrides(at, &entry(&number("t-02"), "tested", "0 of 2", "1 of 2"));
    let with = ["--overrides", "overrides.ron", "--numbers", "kept.ron"];
    let blind = run(at, &[&["grade", "pack", "logs", "--out", "out", "--blind"], &with[..]].concat());
    assert!(blind.out.contains(&format!("{}: 9 of 10, passed, 1 override", number("t-02"))), "{}", blind.out);
    let open = run(at, &[&["grade", "pack", "logs", "--out", "open"], &with[..]].concat());
    assert!(open.out.contains("t-02: 9 of 10, passed, 1 override"), "{}{}", open.out, open.err);
    assert_eq!(read(at, "kept.ron"), numbers);

    // Names do not come to lie beside numbers.
    let said = run(at, &["grade", "pack", "logs", "--out", "open", "--blind"]);
    assert_eq!(said.code, 1, "{}", said.err);
    assert!(said.err.contains("not of this blind marking"), "{}", said.err);
}

/// Once a standard error was told that was wider than the spread of the sums themselves.
#[test]
fn a_standard_error_is_told_only_where_the_reliability_is_not_below_nought() {
    let desk = desk();
    let at = desk.path();
    fs::create_dir_all(at.join("logs")).unwrap();
    let lamps = |log: String| log.replace("{\"t\":20.0,\"do\":\"lamp test\"}\n", "");
    let late = |log: String| log.replace("\"t\":40.0", "\"t\":100.0");
    let grade = |all: [String; 4]| {
        for (i, log) in all.into_iter().enumerate() {
            fs::write(at.join(format!("logs/{i}.jsonl")), log).unwrap();
        }
        let said = run(at, &["grade", "pack", "logs", "--out", "out"]);
        assert_eq!(said.code, 0, "{}{}", said.out, said.err);
        let figures = class(at)["figures"].clone();
        (figures["alpha"].as_f64().unwrap(), figures["standard_error"].clone(), read(at, "out/class.html"))
    };
    // Who tests the lamps reports late, and the other way round: the two items go against each other.
    let against = grade([lamps(log_of("t-01")), lamps(log_of("t-02")), late(log_of("t-03")), late(log_of("t-04"))]);
    assert!(against.0 < 0.0 && against.1.is_null(), "{} {}", against.0, against.1);
    let says = "<dt>Standard error of a sum</dt><dd>says nothing, since the reliability is below nought</dd>";
    assert!(against.2.contains(says) && against.2.contains("a standard error of a sum says nothing"));
    // Who does the one does the other.
    let together = grade([log_of("t-01"), log_of("t-02"), late(lamps(log_of("t-03"))), late(lamps(log_of("t-04")))]);
    assert!(together.0 > 0.0 && together.1.as_f64().unwrap() > 0.0, "{} {}", together.0, together.1);
    assert!(!together.2.contains("says nothing"));
}

#[test]
fn a_class_report_tells_figures_competences_and_how_far_people_agree() {
    let desk = desk();
    let at = desk.path();
    logs(&at.join("logs"));
    let script = read(at, "pack/two_valves.lua");
    let watch = "A-III/1: Maintain a safe engineering watch";
    let tagged =
        script.replace("\"tested\" { marks = 2,", &format!("\"tested\" {{ marks = 2, competence = \"{watch}\","));
    assert_ne!(tagged, script);
    fs::write(at.join("pack/two_valves.lua"), tagged).unwrap();
    // The first marker agrees but for one mark; the second saw two people only.
    let hand = "id,by,inlet,tested\nt-01,M. Example,4,2\nt-02,M. Example,4,1\nt-03,M. Example,4,0\nt-01,N. Second,4,2\nt-02,N. Second,4,0\n";
    fs::write(at.join("hand.csv"), hand).unwrap();
    let said = run(at, &["grade", "pack", "logs", "--out", "out", "--hand-marks", "hand.csv"]);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    let class = class(at);
    // By hand: the lamp test was earned by one of three.
    let item = |name: &str| class["figures"]["items"].as_array().unwrap().iter().find(|i| i["name"] == name).unwrap();
    assert_eq!((&item("tested")["difficulty"], &item("inlet")["difficulty"]), (&0.3333.into(), &1.0.into()));
    assert!(item("inlet")["item_rest"].is_null(), "everybody has the same");
    let cautions: Vec<&str> =
        class["figures"]["cautions"].as_array().unwrap().iter().map(|c| c.as_str().unwrap()).collect();
    let told = |words: &str, of: &str| cautions.iter().any(|c| c.contains(words) && c.contains(of));
    assert!(told("below 30", "There are 3") && told("verybody has the same marks", "\"inlet\""), "{cautions:?}");
    // Five of six marks of the first marker agree, all four of the second.
    let pairs = class["agreement"]["pairs"].as_array().unwrap();
    assert_eq!(
        (&pairs[0]["by"], &pairs[0]["marks"], &pairs[0]["agreed"]),
        (&"M. Example".into(), &6.into(), &0.8333.into())
    );
    assert_eq!((&pairs[1]["marks"], &pairs[1]["agreed"], &pairs[1]["kappa"]), (&4.into(), &1.0.into(), &1.0.into()));
    let shown = &class["competences"][0];
    assert_eq!((&shown["competence"], &shown["marks"], &shown["out_of"]), (&watch.into(), &2.into(), &6.into()));
    let person: Value = serde_json::from_str(&read(at, "out/verdicts/t-02.json")).unwrap();
    assert_eq!((&person["competences"][0]["marks"], &person["competences"][0]["out_of"]), (&0.into(), &2.into()));
    assert!(read(at, "out/debriefs/t-02.html").contains("Maintain a safe engineering watch"));
    let page = read(at, "out/class.html");
    for told in [
        "What the marks are worth",
        "Maintain a safe engineering watch",
        "M. Example",
        "To be taken with care",
        "Fleiss",
    ] {
        assert!(page.contains(told), "{told}");
    }
    fs::write(at.join("hand.csv"), "id,by,inlet,testde\nt-01,M,5,1\n").unwrap();
    let said = run(at, &["grade", "pack", "logs", "--out", "out", "--hand-marks", "hand.csv"]);
    assert_eq!(said.code, 1);
    assert!(said.err.contains("did you mean \"tested\"?") && said.err.contains("which is worth 4"), "{}", said.err);
}
