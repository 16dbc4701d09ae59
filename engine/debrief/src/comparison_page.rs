//! Two markings beside each other as one self-contained page.

use crate::templates::{CAUTION, Caution, render};
use crate::words;
use files::comparison::{Comparison, ItemChange, Moved, Person, Stood, Sum};
use files::verdicts::Points;
use serde::Serialize;

#[derive(Serialize)]
struct View<'a> {
    title: &'a str,
    before: &'a str,
    after: &'a str,
    same_pack: bool,
    same_program: bool,
    pass_mark: Option<String>,
    counted: String,
    caution: Caution,
    items: Vec<ItemRow<'a>>,
    moved: Vec<PersonView<'a>>,
}

#[derive(Serialize)]
struct ItemRow<'a> {
    name: &'a str,
    what: String,
    moved: u32,
    by: String,
}

#[derive(Serialize)]
struct PersonView<'a> {
    called: &'a str,
    before: String,
    after: String,
    by: String,
    notes: Vec<String>,
    rows: Vec<Row<'a>>,
}

#[derive(Serialize)]
struct Row<'a> {
    item: &'a str,
    before: String,
    after: String,
    by: String,
    why: Vec<String>,
}

/// The comparison of two markings: one HTML page that needs nothing beside it.
#[must_use]
pub fn comparison_page(c: &Comparison) -> String {
    let moved: Vec<PersonView<'_>> = c.people.iter().filter(|p| p.moved() || p.shifted()).map(person).collect();
    render(
        "comparison.html",
        &View {
            title: &c.exercise,
            before: &c.versions[0],
            after: &c.versions[1],
            same_pack: c.same_pack,
            same_program: c.same_program,
            pass_mark: c.pass_mark.as_ref().map(|[was, is]| {
                let told = |p: &Option<Points>| p.map_or_else(|| "none".to_owned(), |p| p.0.to_string());
                format!("{} before, {} after", told(was), told(is))
            }),
            counted: c.counted(),
            caution: CAUTION,
            items: c.items.iter().filter_map(item).collect(),
            moved,
        },
    )
}

fn item(i: &ItemChange) -> Option<ItemRow<'_>> {
    let mut what = vec![];
    if i.new {
        what.push("new".to_owned());
    }
    if i.gone {
        what.push("gone".to_owned());
    }
    if let Some([was, now]) = i.worth {
        what.push(format!("worth {} instead of {}", now.0, was.0));
    }
    if i.other_rule == Some(true) {
        what.push("asks for something else".to_owned());
    }
    if let Some(critical) = i.critical {
        what.push(if critical { "decides the run now".to_owned() } else { "decides the run no longer".to_owned() });
    }
    if i.other_words {
        what.push("other words, which move no mark".to_owned());
    }
    if what.is_empty() && i.moved > 0 {
        what.push("the same item".to_owned());
    }
    (!what.is_empty()).then(|| ItemRow {
        name: &i.item,
        what: words::sentence(&what.join("; ")),
        moved: i.moved,
        by: signed(i.by),
    })
}

fn person(p: &Person) -> PersonView<'_> {
    let mut notes: Vec<String> = p.whole.iter().map(|w| words::sentence(w)).collect();
    if p.other_log {
        notes.push("The log is another one.".to_owned());
    }
    if !p.passing.is_empty() {
        notes.push(words::sentence(&p.passing.join("; ")));
    }
    if p.held.0.0 != 0 {
        notes.push(format!("{}: marks on top are held to the whole.", signed(p.held)));
    }
    if p.unexplained.0.0 != 0 {
        notes.push(format!("{} are not explained by any item; was a file changed by hand?", signed(p.unexplained)));
    }
    PersonView {
        called: if p.name.is_empty() { &p.id } else { &p.name },
        before: side(p.before),
        after: side(p.after),
        by: signed(p.by),
        notes,
        rows: p.items.iter().map(row).collect(),
    }
}

fn row(m: &Moved) -> Row<'_> {
    let stood = |s: &Option<Stood>| s.as_ref().map_or_else(|| "not on the sheet".to_owned(), Stood::words);
    Row {
        item: &m.item,
        before: stood(&m.before),
        after: stood(&m.after),
        by: signed(m.by),
        why: m.why.iter().map(|w| words::sentence(w)).collect(),
    }
}

fn side(sum: Option<Sum>) -> String {
    let Some(s) = sum else { return "no marks given".to_owned() };
    let passed = match s.passed {
        Some(true) => ", passed",
        Some(false) => ", not passed",
        None => "",
    };
    format!("{} of {}{passed}", s.marks.0, s.out_of.0)
}

fn signed(p: Points) -> String {
    if p.0.0 > 0 { format!("+{}", p.0) } else { p.0.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::sheet::Marks;

    /// Once charts told °C and the sentences beside them degC.
    #[test]
    fn sentences_of_a_page_have_the_signs_of_its_charts_and_quoted_words_stay() {
        let person = Person {
            id: "t-01".into(),
            name: String::new(),
            before: None,
            after: None,
            by: Points(Marks(0)),
            whole: Some("it went 12.0 K past 420.0 degC & was told as \u{201c}400 degC\u{201d}".into()),
            other_log: false,
            items: vec![Moved {
                item: "112 um".into(),
                before: None,
                after: None,
                by: Points(Marks(0)),
                by_overrides: Points(Marks(0)),
                why: vec![],
            }],
            passing: vec![],
            held: Points(Marks(0)),
            unexplained: Points(Marks(0)),
        };
        let c = Comparison {
            format: String::new(),
            exercise: String::new(),
            versions: [String::new(), String::new()],
            same_pack: true,
            same_program: true,
            pass_mark: None,
            items: vec![],
            people: vec![person],
        };
        let page = comparison_page(&c);
        let told = "12.0 K past 420.0 \u{b0}C &amp; was told as \u{201c}400 degC\u{201d}.";
        assert!(page.contains(told) && page.contains("112 \u{b5}m"), "{page}");
    }
}
