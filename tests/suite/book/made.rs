//! Pages of the book that are made from the code that runs.

use super::{help, hold};
use base::Place;
use base::description::Component;
use base::units::UNITS;
use replay::catalogue::FAMILIES;
use replay::{Ship, describe, ship};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

#[test]
fn units_are_those_of_the_program() {
    let mut made = String::from("| what | units |\n| --- | --- |\n");
    let mut told = BTreeSet::new();
    for first in UNITS {
        if first.symbol == "state" || first.symbol == "none" || !told.insert(first.dimension) {
            continue;
        }
        let all: Vec<String> = base::units::units_of(first.dimension).map(|u| format!("`{}`", u.symbol)).collect();
        writeln!(made, "| {} | {} |", first.dimension.name(), all.join(", ")).unwrap();
    }
    hold("units.md", &made);
}

#[test]
fn the_log_schema_is_the_one_of_the_reader() {
    hold("log.schema.json", &files::schema::log());
}

#[test]
fn the_schemas_of_results_are_those_of_the_writer() {
    hold("verdict.schema.json", &files::verdicts::verdict_schema());
    hold("class.schema.json", &files::verdicts::class_schema());
    hold("comparison.schema.json", &files::comparison::schema());
}

#[test]
fn competences_are_those_of_the_list() {
    let mut made = String::from("| reference | wording |\n| --- | --- |\n");
    for c in base::competence::all() {
        let wording = c.wording.words();
        writeln!(made, "| `{}` | {wording} |", c.reference()).unwrap();
    }
    hold("competences.md", &made);
}

#[test]
fn the_caps_of_logs_are_those_of_the_reader() {
    use files::log;
    let mut made = String::from("| at most | |\n| --- | --- |\n");
    for (what, cap) in [
        ("actions of a log", log::ACTIONS_MAX.to_string()),
        ("lines of a log, those of what was shown among them", log::LINES_MAX.to_string()),
        ("bytes of a line", log::LINE_BYTES_MAX.to_string()),
        ("bytes of a log", log::BYTES_MAX.to_string()),
        ("seconds of a time", log::SECONDS_MAX.to_string()),
    ] {
        writeln!(made, "| {what} | {cap} |").unwrap();
    }
    hold("log-caps.md", &made);
}

#[test]
fn commands_are_those_of_the_program() {
    let mut made = String::new();
    for (verb, text) in help() {
        let title = format!("faultwright {verb}");
        let title = title.trim();
        writeln!(made, "## {title}\n\n```text\n{}\n```\n", text.trim_end()).unwrap();
    }
    hold("cli.md", &made);
}

#[test]
fn words_are_those_of_the_program() {
    let words = describe::words();
    let (_, below) = words.split_once("\n## ").expect("the reference has a title of its own, which the page has too");
    hold("lua.md", &format!("## {below}"));
}

#[test]
fn limits_of_scripts_are_those_of_the_program() {
    let words = describe::words();
    let (_, limits) = words.split_once("\n## Limits\n").expect("the reference ends with the limits");
    let table: Vec<&str> = limits.lines().filter(|l| l.starts_with('|')).collect();
    hold("script-limits.md", &format!("{}\n", table.join("\n")));
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

fn rows<const N: usize>(made: &mut String, title: &str, heading: [&str; N], rows: &[[String; N]]) {
    if rows.is_empty() {
        return;
    }
    writeln!(made, "\n**{title}**\n\n| {} |\n|{}", heading.join(" | "), " --- |".repeat(N)).unwrap();
    for row in rows {
        let cells: Vec<String> = row.iter().map(|c| cell(c)).collect();
        writeln!(made, "| {} |", cells.join(" | ")).unwrap();
    }
}

fn ship(name: &str) -> Ship {
    Ship::named(name, &Place::file("the book")).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn the_plants_are_those_that_run() {
    for (name, ..) in ship::EMBEDDED {
        hold(&format!("plant-{name}.md"), &plant_page(&ship(name)));
    }
}

fn plant_page(ship: &Ship) -> String {
    let tables = describe::plant(ship);
    let mut made = format!("{}.\n", tables.heading);
    for system in &tables.systems {
        writeln!(made, "\n### {}", system.title).unwrap();
        rows(&mut made, "Controls", ["tag", "what it is", "can be set to", "worked"], &system.controls);
        rows(&mut made, "Points", ["tag", "what it is", "range or words", "read"], &system.points);
        rows(&mut made, "Panel", ["tag", "what", "what it tells", "scale"], &system.panel);
    }
    let pairs = |of: &BTreeMap<String, String>| of.iter().map(|(t, n)| [t.clone(), n.clone()]).collect::<Vec<_>>();
    let walk = |c: &Component| [c.name.clone(), c.fields.get("walk").map(|f| f.value.clone()).unwrap_or_default()];
    let places = ship.description.components.iter().filter(|c| c.kind == "place").map(walk).collect::<Vec<_>>();
    writeln!(made, "\n### Trips, damage and ways").unwrap();
    rows(&mut made, "Trips", ["tag", "what it is"], &pairs(&ship.names.trips));
    rows(&mut made, "What can be hurt", ["tag", "what it is"], &pairs(&ship.names.damageable));
    rows(&mut made, "Walking time from the control room", ["place", "time"], &places);
    made
}

#[test]
fn the_drawings_are_those_of_the_plant_that_runs() {
    let ship = ship(ship::DEFAULT);
    let mut made = String::new();
    let drawings = replay::drawing::all(&ship.description);
    for d in &drawings {
        writeln!(made, "## {}\n\n![Flow diagram: {}](generated/drawings/{})\n", d.title, d.title, d.file).unwrap();
        hold(&format!("drawings/{}", d.file), &d.svg);
    }
    hold("drawings.md", &made);
    let folder = super::book().join("src/generated/drawings");
    assert_eq!(std::fs::read_dir(folder).unwrap().count(), drawings.len(), "a drawing of a system that is no more");
}

#[test]
fn the_kinds_of_component_are_those_of_the_plant_file() {
    let ship = ship(ship::DEFAULT);
    #[derive(Default)]
    struct Kind<'a> {
        count: usize,
        links: BTreeSet<String>,
        fields: BTreeMap<&'a str, &'a str>,
    }
    let mut kinds: BTreeMap<&str, Kind> = BTreeMap::new();
    for c in &ship.description.components {
        let kind = kinds.entry(&c.kind).or_default();
        kind.count += 1;
        kind.links.extend(c.links.keys().cloned());
        for (name, field) in &c.fields {
            kind.fields.entry(name).or_insert(&field.value);
        }
        kind.links.extend(c.tables.keys().map(|t| format!("{t} (table)")));
    }
    let mut made = String::from(
        "| kind | how many | links and tables | fields, each with an example |\n| --- | --- | --- | --- |\n",
    );
    for (kind, Kind { count, links, fields }) in kinds {
        let links = links.into_iter().collect::<Vec<_>>().join(", ");
        let fields: Vec<String> = fields.iter().map(|(name, value)| format!("{name} ({value})")).collect();
        writeln!(made, "| {kind} | {count} | {links} | {} |", cell(&fields.join(", "))).unwrap();
    }
    hold("plant-kinds.md", &made);
}

#[test]
fn the_fault_table_is_the_one_that_runs() {
    hold("faults.md", &fault_page(&ship(ship::DEFAULT)));
}

/// Family by family; what is the same but for its target stands in one row, and so does what differs in its
/// range only.
fn fault_page(ship: &Ship) -> String {
    let mut kinds: Vec<([String; 6], Vec<[String; 2]>)> = vec![];
    let mut told = describe::faults(ship, None);
    let place = |family: &str| FAMILIES.iter().position(|f| f.name == family);
    told.sort_by(|a, b| {
        (place(a.family), &a.target, &a.kind, &a.on).cmp(&(place(b.family), &b.target, &b.kind, &b.on))
    });
    for l in &told {
        let (what, range) = l.size.split_once(", ").unwrap_or_default();
        let mut all = ship.plant.failings().iter().chain(ship.panel.failings());
        let failing = all.find(|f| f.on.as_str() == l.on && f.kind == l.kind).expect("a line of the table is of one");
        let what = match failing.size {
            Some(s) if s.sound.is_none() => format!("{what} (cannot grow)"),
            _ => what.to_owned(),
        };
        let heading = format!("{}: {} ({})", l.target, l.kind, l.layer);
        let (seen, answer) = (l.seen.clone(), l.answer.clone());
        let key = [l.family.to_owned(), heading, l.layer.to_owned(), what, seen, answer];
        let one = [l.on.clone(), range.to_owned()];
        match kinds.iter_mut().find(|k| k.0 == key) {
            Some(k) => k.1.push(one),
            None => kinds.push((key, vec![one])),
        }
    }
    let (mut made, mut family) = (String::new(), String::new());
    for ([of, heading, _, size, seen, answer], on) in &kinds {
        if *of != family {
            family.clone_from(of);
            writeln!(made, "## Family: {family}\n").unwrap();
        }
        let same = on.iter().all(|o| o[1] == on[0][1]);
        let size = match (size.as_str(), same) {
            ("", _) => "none".to_owned(),
            (what, true) => format!("{what}, {}", on[0][1]),
            (what, false) => format!("{what}; the range stands with each"),
        };
        let tell = |o: &[String; 2]| if same { o[0].clone() } else { format!("{} ({})", o[0], o[1]) };
        let on: Vec<String> = on.iter().map(tell).collect();
        writeln!(made, "### {heading}\n").unwrap();
        for (what, text) in
            [("What may be seen", seen), ("What answers it", answer), ("Size", &size), ("With", &on.join(", "))]
        {
            writeln!(made, "- **{what}:** {text}.").unwrap();
        }
        made.push('\n');
    }
    made
}
