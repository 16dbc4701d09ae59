//! Two markings of a class compared: every moved mark is explained.

use super::bench::{desk, files_below, log_of, run};
use serde_json::Value;
use std::fs;
use std::path::Path;

fn comparison(at: &Path, before: &str, after: &str) -> Value {
    let said = run(at, &["compare", before, after, "--json"]);
    assert_eq!((said.code, said.err.as_str()), (0, ""), "{}", said.out);
    serde_json::from_str(&said.out).unwrap()
}

/// Marks in whole hundredths, so that sums are exact.
fn hundredths(v: &Value) -> i64 {
    (v.as_f64().unwrap() * 100.0).round() as i64
}

/// Holds a comparison to the class files that it compares: what it says moved did, by the sum of what it
/// says of each item. How many people moved.
fn check(at: &Path, before: &str, after: &str, comparison: &Value) -> usize {
    let class = |folder: &str| -> Value {
        serde_json::from_slice(&fs::read(at.join(folder).join("class.json")).unwrap()).unwrap()
    };
    let (old, new) = (class(before), class(after));
    let marks = |class: &Value, id: &Value| {
        let line = class["people"].as_array().unwrap().iter().find(|p| p["id"] == *id).unwrap();
        hundredths(&line["marks"])
    };
    let mut moved = 0;
    for p in comparison["people"].as_array().unwrap() {
        let by = marks(&new, &p["id"]) - marks(&old, &p["id"]);
        let items = p["items"].as_array().unwrap();
        let explained: i64 = items.iter().map(|i| hundredths(&i["by"])).sum();
        assert_eq!(by, explained + hundredths(&p["held"]), "{p:#}");
        assert_eq!((hundredths(&p["by"]), hundredths(&p["unexplained"])), (by, 0), "{p:#}");
        assert!(items.iter().all(|i| !i["why"].as_array().unwrap().is_empty()), "every item says why: {p:#}");
        moved += usize::from(by != 0);
    }
    moved
}

fn grade(at: &Path, pack: &str, logs: &str, out: &str, more: &[&str]) {
    let said = run(at, &[&["grade", pack, logs, "--out", out], more].concat());
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
}

fn edit(at: &Path, file: &str, from: &str, to: &str) {
    let text = fs::read_to_string(at.join(file)).unwrap();
    assert!(text.contains(from), "{file} has {from}");
    fs::write(at.join(file), text.replace(from, to)).unwrap();
}

/// The bench's class: everything right; no lamp test; a late report.
fn bench() -> tempfile::TempDir {
    let desk = desk();
    let at = desk.path();
    let write = |name: &str, text: String| fs::write(at.join("logs").join(name), text).unwrap();
    write("a.jsonl", log_of("t-01"));
    write("b.jsonl", log_of("t-02").replace("{\"t\":20.0,\"do\":\"lamp test\"}\n", ""));
    write("c.jsonl", log_of("t-03").replace("\"t\":40.0", "\"t\":100.0"));
    grade(at, "pack", "logs", "before", &[]);
    desk
}

/// What is said of one item of one person.
fn item<'a>(c: &'a Value, id: &str, name: &str) -> &'a Value {
    let person = c["people"].as_array().unwrap().iter().find(|p| p["id"] == id).unwrap();
    person["items"].as_array().unwrap().iter().find(|i| i["item"] == name).unwrap_or(&Value::Null)
}

fn sheet<'a>(c: &'a Value, name: &str) -> &'a Value {
    c["items"].as_array().unwrap().iter().find(|i| i["item"] == name).unwrap()
}

#[test]
fn a_changed_wording_moves_no_mark_and_is_told_as_wording_only() {
    let desk = bench();
    let at = desk.path();
    edit(
        at,
        "pack/two_valves.lua",
        "\"tested\" { marks = 2,",
        "\"tested\" { marks = 2, expected = \"Try the lamps.\",",
    );
    grade(at, "pack", "logs", "after", &[]);
    let c = comparison(at, "before", "after");
    assert_eq!(check(at, "before", "after", &c), 0);
    assert_eq!(
        (&sheet(&c, "tested")["other_words"], &sheet(&c, "tested")["other_rule"]),
        (&true.into(), &false.into())
    );
    assert_eq!(sheet(&c, "inlet")["other_words"], false);
    let said = run(at, &["compare", "before", "after"]);
    assert!(said.out.contains("\"tested\" says the same in other words, which moves no mark"), "{}", said.out);
    assert!(said.out.contains("3 people: 3 unmoved; 0 together"), "{}", said.out);
}

#[test]
fn each_reason_is_told_with_its_item() {
    let desk = bench();
    let at = desk.path();
    let script = "pack/two_valves.lua";
    edit(at, script, "\"inlet\" { marks = 4", "\"inlet\" { marks = 5.5");
    edit(at, script, "full = \"60 s\", none = \"120 s\"", "full = \"1 s\", none = \"2 s\"");
    edit(at, script, "limit \"not too early\"", "limit \"outlet kept shut\"");
    fs::write(
        at.join("o.ron"),
        "Overrides(format: \"faultwright-overrides/1\", pack: \"bench\", exercise: \"two-valves\", overrides: [\n\
         (person: \"t-02\", item: \"tested\", was: \"0 of 2\", now: \"1.5 of 2\", reason: \"stuck\", by: \"M. Example\", on: \"2031-03-05\")])",
    )
    .unwrap();
    grade(at, "pack", "logs", "after", &["--overrides", "o.ron"]);
    let c = comparison(at, "before", "after");
    assert_eq!(check(at, "before", "after", &c), 3);
    let why = |id, name| item(&c, id, name)["why"].to_string();
    assert!(why("t-01", "inlet").contains("worth 5.5 instead of 4"), "{}", why("t-01", "inlet"));
    assert!(why("t-01", "stuck seen").contains("asks for something else"));
    assert!(why("t-01", "not too early").contains("the item is gone"));
    assert!(why("t-01", "outlet kept shut").contains("the item is new"));
    assert!(why("t-02", "tested").contains("changed by M. Example on 2031-03-05: stuck"));
    assert_eq!(item(&c, "t-02", "tested")["by_overrides"], 1.5);
    assert_eq!(*item(&c, "t-01", "tested"), Value::Null);
    assert_eq!(sheet(&c, "inlet")["other_rule"], false);
    // The class file alone tells which item, and the page is a page.
    let said = run(at, &["compare", "before/class.json", "after", "--page", "c.html"]);
    assert_eq!(said.code, 0, "{}", said.err);
    let page = fs::read_to_string(at.join("c.html")).unwrap();
    for told in ["Whose marks moved", "worth 5.5 instead of 4", "The item is gone.", "a training aid, not a procedure"]
    {
        assert!(page.contains(told), "{told}");
    }
    assert!(!page.contains("<script") && page.contains("default-src 'none'"));
}

/// Once a run that passed by another pass mark was told as moved, with no reason; and an item on top that was
/// worth more as "3 of 0", because of a fault.
#[test]
fn whoever_passes_now_is_told_why_and_what_is_on_top_is_told_as_that() {
    let desk = bench();
    let at = desk.path();
    let script = "pack/two_valves.lua";
    // No lamp test, so nothing on top, and a late report.
    let late = log_of("t-04").replace("{\"t\":20.0,\"do\":\"lamp test\"}\n", "").replace("\"t\":40.0", "\"t\":100.0");
    fs::write(at.join("logs/d.jsonl"), late).unwrap();
    edit(at, script, "\"tested\" { marks = 2,", "\"tested\" { marks = 2, bonus = true,");
    grade(at, "pack", "logs", "on top", &[]);
    let c = comparison(at, "before", "on top");
    let t1 = item(&c, "t-01", "tested");
    assert_eq!((t1["before"]["out_of"].clone(), t1["after"]["out_of"].clone()), (2.into(), 0.into()));
    assert!(t1["why"].to_string().contains("whether it is asked of everybody changed"), "{t1:#}");
    edit(at, script, "\"tested\" { marks = 2,", "\"tested\" { marks = 1.5,");
    edit(at, script, "pass = 6", "pass = 7.9");
    edit(at, script, "limit \"not too early\" { marks = 2,", "limit \"not too early\" { marks = 2, critical = true,");
    grade(at, "pack", "logs", "again", &[]);
    let c = comparison(at, "on top", "again");
    check(at, "on top", "again", &c);
    assert_eq!(c["pass_mark"], serde_json::json!([6, 7.9]));
    assert_eq!(sheet(&c, "tested")["worth"], serde_json::json!([2, 1.5]));
    let why = item(&c, "t-01", "tested")["why"].to_string();
    assert!(why.contains("worth 1.5 instead of 2") && !why.contains("fault"), "{why}");
    let said = run(at, &["compare", "on top", "again", "--page", "c.html"]);
    assert!(said.out.contains("2 on top -> 1.5 on top") && !said.out.contains("of 0;"), "{}", said.out);
    assert!(said.out.contains("the pass mark is 7.9 instead of 6"), "{}", said.out);
    let person = |id: &str| c["people"].as_array().unwrap().iter().find(|p| p["id"] == id).unwrap().clone();
    // Of 8, without the lamps.
    let (first, late) = (person("t-01"), person("t-04"));
    assert_eq!((first["after"]["passed"].clone(), first["passing"].clone()), (true.into(), serde_json::json!([])));
    assert_eq!(
        (late["before"]["passed"].clone(), late["after"]["passed"].clone()),
        (true.into(), false.into()),
        "{late:#}"
    );
    assert!(late["passing"][0].as_str().unwrap().contains("the pass mark is 7.9 instead of 6"), "{late:#}");
    let page = fs::read_to_string(at.join("c.html")).unwrap();
    assert!(page.contains("6 before, 7.9 after") && page.contains("The pass mark is 7.9 instead of 6"), "{page}");
}

/// Once it was said of such an item that "something else in the pack changed, such as a fault".
#[test]
fn an_item_that_moved_because_of_another_names_it() {
    let desk = bench();
    let at = desk.path();
    // The inlet counts as open only after a minute, so that the lamp test, at 20 s, came too early.
    edit(at, "pack/two_valves.lua", "above(\"90 % open\"), full_by", "above(\"90 % open\"):lasting(\"50 s\"), full_by");
    grade(at, "pack", "logs", "after", &[]);
    let c = comparison(at, "before", "after");
    assert_eq!(check(at, "before", "after", &c), 3);
    let why = item(&c, "t-01", "tested")["why"].to_string();
    assert!(why.contains("its rule is the same, and it goes by other items that changed: \\\"inlet\\\""), "{why}");
    assert!(!why.contains("fault"), "{why}");
}

#[test]
fn a_share_of_a_group_is_told_as_that() {
    let desk = bench();
    let at = desk.path();
    let script = "pack/two_valves.lua";
    let why = |after: &Value| item(after, "t-01", "inlet")["why"].to_string();
    edit(at, script, "step \"inlet\" {", "group \"valves\" { marks = 8 }\nstep \"inlet\" { group = \"valves\",");
    edit(at, script, "step \"tested\" {", "step \"tested\" { group = \"valves\",");
    grade(at, "pack", "logs", "one", &[]);
    let c = comparison(at, "before", "one");
    assert_eq!(check(at, "before", "one", &c), 3);
    assert!(why(&c).contains("worth 5.33 instead of 4: it has a share of the group \\\"valves\\\" now"), "{}", why(&c));
    edit(at, script, "limit \"not too early\" {", "limit \"not too early\" { group = \"valves\",");
    grade(at, "pack", "logs", "two", &[]);
    let c = comparison(at, "one", "two");
    assert!(why(&c).contains("\\\"valves\\\", to which other items belong now"), "{}", why(&c));
    edit(at, script, "{ marks = 8 }", "{ marks = 6 }");
    grade(at, "pack", "logs", "three", &[]);
    let c = comparison(at, "two", "three");
    check(at, "two", "three", &c);
    assert!(why(&c).contains("\\\"valves\\\", whose marks or weights are others now"), "{}", why(&c));
}

/// Once "the markings do not tell why" stood there.
#[test]
fn who_passes_since_the_rest_of_the_sheet_is_worth_more_is_told_why_and_counted_apart() {
    let desk = bench();
    let at = desk.path();
    let script = "pack/two_valves.lua";
    // Neither tried the lamps nor reported: 6 of 10, and an item that nobody can be assessed on.
    let short = log_of("t-04").replace("{\"t\":20.0,\"do\":\"lamp test\"}\n", "");
    let short: String = short.lines().filter(|l| !l.contains("\"report\"")).map(|l| format!("{l}\n")).collect();
    fs::write(at.join("logs/d.jsonl"), short).unwrap();
    let never = "\nlimit \"never asked\" { marks = 2, keep = actual(\"XV-1002\"):below(\"10 % open\"), \
                 during = all(actual(\"XV-1001\"):above(\"90 % open\"), actual(\"XV-1001\"):below(\"5 % open\")) }\n";
    let text = fs::read_to_string(at.join(script)).unwrap();
    fs::write(at.join(script), text + never).unwrap();
    edit(at, script, "pass = 6", "pass = 8");
    grade(at, "pack", "logs", "one", &[]);
    edit(at, script, "\"never asked\" { marks = 2", "\"never asked\" { marks = 20");
    grade(at, "pack", "logs", "two", &[]);
    let c = comparison(at, "one", "two");
    assert_eq!(check(at, "one", "two", &c), 0);
    let person = c["people"].as_array().unwrap().iter().find(|p| p["id"] == "t-04").unwrap().clone();
    assert_eq!((&person["before"]["passed"], &person["after"]["passed"]), (&false.into(), &true.into()), "{person:#}");
    // Of 10 marks that could be assessed: 8 of 12 in proportion, then 8 of 30.
    assert_eq!(person["passing"], serde_json::json!(["2.67 are needed to pass instead of 6.67"]));
    let said = run(at, &["compare", "one", "two", "--page", "c.html"]);
    let counted =
        "4 people: 1 with the same sum, from other items, out of another whole or passed otherwise; 3 unmoved";
    assert!(said.out.contains(&format!("{counted}; 0 together")), "{}", said.out);
    assert!(fs::read_to_string(at.join("c.html")).unwrap().contains(&format!("<p>{counted}.</p>")));
}

#[test]
fn an_item_that_decides_the_run_now_asks_for_nothing_else() {
    let desk = bench();
    let at = desk.path();
    edit(at, "pack/two_valves.lua", "\"tested\" { marks = 2,", "\"tested\" { marks = 2, critical = true,");
    grade(at, "pack", "logs", "after", &[]);
    let c = comparison(at, "before", "after");
    assert_eq!(check(at, "before", "after", &c), 0);
    let tested = sheet(&c, "tested");
    assert_eq!((&tested["critical"], &tested["other_rule"]), (&true.into(), &false.into()));
    let said = run(at, &["compare", "before", "after"]);
    assert!(said.out.contains("\"tested\" decides the run now\n"), "{}", said.out);
    // One of the three did not test the lamps.
    assert!(
        said.out.contains("lost now, and critical: \"tested\"") && said.out.contains("; 2 unmoved"),
        "{}",
        said.out
    );
}

#[test]
fn markings_are_matched_by_log_and_what_is_missing_is_told() {
    let desk = bench();
    let at = desk.path();
    fs::remove_file(at.join("logs/c.jsonl")).unwrap();
    grade(at, "pack", "logs", "blind", &["--blind"]);
    let c = comparison(at, "before", "blind");
    let people = c["people"].as_array().unwrap();
    assert_eq!(people.len(), 3);
    assert!(people.iter().filter(|p| p["by"] == 0).count() == 2, "{c:#}");
    assert!(people.iter().any(|p| p["id"] == "t-03" && p["whole"].as_str().unwrap().contains("earlier marking alone")));
    // Verdicts of another marking are not used, and are told.
    let name = files_below(&at.join("before")).into_keys().find(|n| n.ends_with("t-01.json")).unwrap();
    edit(at, &format!("before/{name}"), "\"log\": \"", "\"log\": \"x");
    let said = run(at, &["compare", "before", "blind"]);
    assert_eq!(said.code, 0);
    let none = run(at, &["compare", "before", "nowhere"]);
    assert_eq!(none.code, 1);
    assert!(none.err.contains("class.json"), "{}", none.err);
}

/// The shipped class graded, its mark sheet changed in every way, the class graded again: the comparison
/// explains every moved mark to the hundredth.
#[test]
fn the_shipped_class_marked_again_after_a_changed_sheet_is_explained_to_the_hundredth() {
    let desk = tempfile::tempdir().unwrap();
    let at = desk.path();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/raise-steam");
    for (name, bytes) in files_below(&from) {
        let to = at.join("pack").join(name);
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::write(to, bytes).unwrap();
    }
    grade(at, "pack", "pack/class", "before", &[]);
    let script = "pack/raise_steam.lua";
    let text = fs::read_to_string(at.join(script)).unwrap();
    let mut lines: Vec<String> = text.lines().map(ToOwned::to_owned).collect();
    let from = |word: &str| text.lines().position(|l| l.starts_with(word)).unwrap_or_else(|| panic!("{word}"));
    // Worth more, and in other words.
    let purge = from("step \"purge\"");
    lines[purge + 1] = lines[purge + 1].replacen("marks = 6", "marks = 7.25", 1);
    // Another name: one item gone, one new.
    let lamp = from("step \"lamp reported\"");
    lines[lamp] = lines[lamp].replace("lamp reported", "lamp told");
    // Earlier for whole marks.
    let air = from("step \"control air\"");
    lines[air + 1] = lines[air + 1].replace("20 min", "5 min").replace("35 min", "21 min");
    let words = from("step \"sea water\"");
    let practise = (words..).find(|i| lines[*i].contains("practise")).unwrap();
    lines[practise] = lines[practise].replace("Lining up", "The line-up of");
    let changed = lines.join("\n");
    assert_eq!(changed.lines().zip(text.lines()).filter(|(a, b)| a != b).count(), 4);
    fs::write(at.join(script), changed).unwrap();
    grade(at, "pack", "pack/class", "after", &[]);
    let c = comparison(at, "before", "after");
    let moved = check(at, "before", "after", &c);
    let said = run(at, &["compare", "before", "after"]);
    assert!(said.out.contains(&format!("24 people: {moved} with another sum; ")), "{}", said.out);
    println!("{moved} of {} people moved", c["people"].as_array().unwrap().len());
    assert!(moved > 12, "{moved}");
    assert_eq!(sheet(&c, "purge")["worth"], serde_json::json!([6, 7.25]));
    assert_eq!((&sheet(&c, "lamp told")["new"], &sheet(&c, "lamp reported")["gone"]), (&true.into(), &true.into()));
    assert_eq!(sheet(&c, "control air")["other_rule"], true);
    assert_eq!((&sheet(&c, "sea water")["other_rule"], &sheet(&c, "sea water")["moved"]), (&false.into(), &0.into()));
    // Nobody moved on an item that did not change.
    let free: Vec<&Value> =
        c["items"].as_array().unwrap().iter().filter(|i| i["moved"] != 0).map(|i| &i["item"]).collect();
    assert!(
        free.iter().all(|i| ["purge", "lamp told", "lamp reported", "control air"].contains(&i.as_str().unwrap())),
        "{free:?}"
    );
}
