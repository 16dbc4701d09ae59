//! A plant file: components with kinds, links, figures and tables, as text with its place.
//!
//! What the words mean is for whoever assembles the plant; here only the form is held: the version,
//! unknown fields, doubled tags and names, empty links, missing sources, systems that are not listed.

use crate::strict::{self, Once};
use base::description::{Component, Description, Field, Table};
use base::{Diagnostic, Place, Tag};
use ron::value::RawValue;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The format that this version reads.
pub const FORMAT: &str = "faultwright-plant/1";
const CODE: &str = "plant::form";

#[derive(Deserialize)]
#[serde(rename = "Plant", deny_unknown_fields)]
struct PlantOnDisk<'a> {
    format: String,
    name: String,
    version: String,
    title: String,
    systems: Vec<(String, String)>,
    #[serde(borrow)]
    components: Vec<&'a RawValue>,
}

#[derive(Deserialize)]
#[serde(rename = "Plant")]
struct FormatOnly {
    format: String,
}

#[derive(Deserialize)]
#[serde(rename = "Component", deny_unknown_fields)]
struct ComponentOnDisk {
    tag: String,
    kind: String,
    system: String,
    name: String,
    #[serde(default)]
    links: Once<String>,
    #[serde(default)]
    fields: Once<(String, String)>,
    #[serde(default)]
    tables: Once<TableOnDisk>,
}

#[derive(Deserialize)]
#[serde(rename = "Table", deny_unknown_fields)]
struct TableOnDisk {
    x: String,
    y: String,
    rows: Vec<(f64, f64)>,
    source: String,
}

/// Reads a plant file. Every component carries the line and column at which it begins.
///
/// # Errors
/// Every mistake of form. Each component is read by itself, so a slip in one does not hide those in
/// the others.
pub fn read(file: &str, bytes: &[u8]) -> Result<Description, Vec<Diagnostic>> {
    let text = strict::text(file, bytes, CODE).map_err(|d| vec![d])?;
    let first: FormatOnly = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    if first.format != FORMAT {
        return Err(vec![crate::pack::wrong_format(file, text, &first.format, FORMAT)]);
    }
    let disk: PlantOnDisk<'_> = strict::ron(file, text, text, CODE).map_err(|d| vec![d])?;
    debug_assert_eq!(disk.format, FORMAT);
    let mut wrong = vec![];
    let mut components = Vec::with_capacity(disk.components.len());
    let mut lines = Lines::new(text);
    for raw in disk.components {
        let part = raw.trim().get_ron();
        match strict::ron::<ComponentOnDisk>(file, text, part, CODE) {
            Ok(c) => components.push(live(c, lines.place(file, strict::offset_of(text, part)))),
            Err(d) => wrong.push(d),
        }
    }
    let description =
        Description { name: disk.name, version: disk.version, title: disk.title, systems: disk.systems, components };
    judge(&description, &mut wrong);
    if wrong.is_empty() {
        Ok(description)
    } else {
        wrong.sort_by_key(|d| (d.place.line, d.place.column));
        Err(wrong)
    }
}

fn live(c: ComponentOnDisk, place: Place) -> Component {
    Component {
        tag: c.tag,
        kind: c.kind,
        system: c.system,
        name: c.name,
        links: c.links.0.into_iter().map(|(role, to)| (role, Tag::new(&to))).collect(),
        fields: c.fields.0.into_iter().map(|(name, (value, source))| (name, Field { value, source })).collect(),
        tables: c
            .tables
            .0
            .into_iter()
            .map(|(name, t)| {
                let table = Table { x_unit: t.x, y_unit: t.y, rows: t.rows, source: t.source };
                (name, table)
            })
            .collect(),
        place,
    }
}

/// What can be said of the whole. Where links lead is left to the assembly: a component may bring
/// points along (a valve its limit switches), which are known only there.
fn judge(d: &Description, wrong: &mut Vec<Diagnostic>) {
    let mut first: BTreeMap<&str, u32> = BTreeMap::new();
    for c in &d.components {
        if c.tag.trim().is_empty() || c.tag.trim() != c.tag {
            wrong.push(Diagnostic::error(
                "plant::tag",
                c.place.clone(),
                format!("\"{}\" is not a tag: empty, or with blanks around it", c.tag),
            ));
        }
        if let Some(line) = first.get(c.tag.as_str()) {
            wrong.push(
                Diagnostic::error("plant::twice", c.place.clone(), format!("the tag {} is given twice", c.tag))
                    .hint(format!("it was first given on line {line}")),
            );
        } else {
            first.insert(&c.tag, c.place.line);
        }
        if !d.systems.iter().any(|s| s.0 == c.system) {
            wrong.push(
                Diagnostic::error(
                    "plant::system",
                    c.place.clone(),
                    format!("{} belongs to the system \"{}\", which is not listed", c.tag, c.system),
                )
                .hint("list it under systems")
                .nearest(&c.system, d.systems.iter().map(|s| s.0.as_str())),
            );
        }
        for (role, to) in &c.links {
            if to.as_str().is_empty() {
                wrong.push(Diagnostic::error(
                    "plant::link",
                    c.place.clone(),
                    format!("the link \"{role}\" of {} is empty", c.tag),
                ));
            }
        }
        for (name, f) in &c.fields {
            if f.source.trim().is_empty() {
                wrong.push(
                    Diagnostic::error(
                        "plant::source",
                        c.place.clone(),
                        format!("\"{name}\" of {} does not say where it comes from", c.tag),
                    )
                    .hint("name the maker's class of value, the handbook, or \"own choice\""),
                );
            }
        }
        for (name, t) in &c.tables {
            if t.source.trim().is_empty() {
                wrong.push(Diagnostic::error(
                    "plant::source",
                    c.place.clone(),
                    format!("the table \"{name}\" of {} does not say where it comes from", c.tag),
                ));
            }
            if t.rows.iter().any(|r| !(r.0.is_finite() && r.1.is_finite())) {
                wrong.push(Diagnostic::error(
                    "plant::number",
                    c.place.clone(),
                    format!("the table \"{name}\" of {} has a number that is not finite", c.tag),
                ));
            }
        }
    }
    for (i, s) in d.systems.iter().enumerate() {
        if d.systems[..i].iter().any(|x| x.0 == s.0) {
            let place = d.components.first().map_or_else(Place::default, |c| Place::file(&c.place.file));
            wrong.push(Diagnostic::error("plant::twice", place, format!("the system \"{}\" is listed twice", s.0)));
        }
    }
}

/// Line numbers of growing offsets, without counting from the start each time.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: u32,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Lines<'a> {
        Lines { text, at: 0, line: 1 }
    }

    fn place(&mut self, file: &str, offset: usize) -> Place {
        self.line += self.text[self.at..offset].bytes().filter(|b| *b == b'\n').count() as u32;
        self.at = offset;
        let column = self.text[..offset].rsplit('\n').next().unwrap_or("").chars().count() as u32 + 1;
        Place { file: file.to_owned(), line: self.line, column }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = r#"// a plant
Plant(
    format: "faultwright-plant/1",
    name: "small", version: "1.0.0", title: "A small plant",
    systems: [("sea water", "Sea-water cooling")],
    components: [
        // the pump
        (tag: "P-1101", kind: "pump", system: "sea water", name: "main pump",
         links: {"from": "N-1101", "to": "N-1102"},
         fields: {"stroke time": ("8 s", "own choice")},
         tables: {"curve": (x: "m3/h", y: "m", rows: [(0.0, 30.0), (50, 24.5)], source: "own choice")}),
        (
            tag: "XV-1102", kind: "valve", system: "sea water", name: "outlet valve",
        ),
    ],
)"#;

    fn wrong(text: &str) -> Vec<String> {
        read("small.ron", text.as_bytes()).unwrap_err().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_plant_is_read_with_the_line_of_each_component() {
        let d = read("small.ron", GOOD.as_bytes()).unwrap();
        let lines: Vec<_> = d.components.iter().map(|c| (c.tag.as_str(), c.place.line, c.place.column)).collect();
        assert_eq!(lines, [("P-1101", 8, 9), ("XV-1102", 12, 9)]);
        assert_eq!(d.components[0].tables["curve"].rows, [(0.0, 30.0), (50.0, 24.5)]);
        assert_eq!(d.components[0].links["to"], Tag::new("N-1102"));
    }

    #[test]
    fn mistakes_in_two_components_are_both_told_at_their_places() {
        let text = GOOD
            .replace("tag: \"XV-1102\", kind", "tag: \"XV-1102\", knd")
            .replace("links: {\"from\": \"N-1101\", \"to\"", "links: {\"from\": \"N-1101\", \"from\"");
        let told = wrong(&text);
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told[0].contains("\"from\" is given twice\n  at small.ron:9"), "{told:?}");
        assert!(told[1].contains("unknown field \"knd\" in Component\n  at small.ron:13"), "{told:?}");
        assert!(told[1].ends_with("did you mean \"kind\"?"), "{told:?}");
    }

    #[test]
    fn doubled_tags_strange_systems_and_missing_sources() {
        let text = GOOD
            .replace("XV-1102", "P-1101")
            .replace("system: \"sea water\", name: \"main", "system: \"seawater\", name: \"main")
            .replace("(\"8 s\", \"own choice\")", "(\"8 s\", \"\")");
        let told = wrong(&text).join("\n");
        assert!(
            told.contains("the tag P-1101 is given twice\n  at small.ron:12:9\n  hint: it was first given on line 8"),
            "{told}"
        );
        assert!(told.contains("did you mean \"sea water\"?"), "{told}");
        assert!(told.contains("\"stroke time\" of P-1101 does not say where it comes from"), "{told}");
    }

    #[test]
    fn broken_form_is_told_and_not_a_panic() {
        for cut in 0..GOOD.len() - 1 {
            if GOOD.is_char_boundary(cut) {
                assert_eq!(wrong(&GOOD[..cut]).len(), 1, "cut at {cut}");
            }
        }
        assert!(wrong(&GOOD.replace("plant/1", "plant/9"))[0].contains("this program reads faultwright-plant/1"));
    }
}
