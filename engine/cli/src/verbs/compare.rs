//! `compare`: whose marks moved between two markings of a class, by how much, and why.

use crate::exit::Exit;
use crate::told::{self, say};
use base::sheet::Marks;
use files::comparison::{Comparison, ItemChange, Moved, Person, Points, Sum};
use replay::{Trouble, disk};
use std::path::PathBuf;

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The earlier marking: a folder that grade wrote, or the class.json in it.
    before: PathBuf,
    /// The later marking.
    after: PathBuf,
    /// Tell everything as JSON on standard output, for another program.
    #[arg(long)]
    json: bool,
    /// Write the comparison as a page, too.
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,
}

/// Compares two markings.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    let (before, mut notes) = replay::compare::read(&a.before)?;
    let (after, more) = replay::compare::read(&a.after)?;
    notes.extend(more);
    told::diagnostics(&notes);
    let comparison = replay::compare::compare(&before, &after);
    if let Some(page) = &a.page {
        disk::write_whole(page, debrief::comparison_page(&comparison).as_bytes())?;
    }
    if a.json {
        say(String::from_utf8_lossy(&files::comparison::write(&comparison)).trim_end());
    } else {
        text(&comparison);
    }
    Ok(Exit::Good)
}

fn text(c: &Comparison) {
    let [was, is] = &c.versions;
    let sides = match (c.same_pack, c.same_program) {
        (true, true) => "the same pack and program".to_owned(),
        (true, false) => "the same pack, another program".to_owned(),
        (false, _) if was == is => format!("another pack, under the same version {was}"),
        (false, _) => format!("pack {was} before, {is} after"),
    };
    say(&format!("{}: {sides}", c.exercise));
    if let Some(line) = pass_mark(c) {
        say(&format!("  {line}"));
    }
    for item in &c.items {
        if let Some(line) = item_line(item) {
            say(&format!("  \"{}\" {line}", item.item));
        }
    }
    c.people.iter().filter(|p| p.moved() || p.shifted()).for_each(person);
    let sum: Marks = c.people.iter().map(|p| p.by.0).sum();
    say(&format!("{}; {} together", c.counted(), signed(Points(sum))));
}

fn pass_mark(c: &Comparison) -> Option<String> {
    let told = |p: &Option<Points>| p.map_or_else(|| "none".to_owned(), |p| p.0.to_string());
    c.pass_mark.as_ref().map(|[was, is]| format!("the pass mark is {} instead of {}", told(is), told(was)))
}

/// What became of an item; nothing where nothing did.
fn item_line(i: &ItemChange) -> Option<String> {
    let mut parts: Vec<String> = vec![];
    if i.new {
        parts.push("is new".into());
    }
    if i.gone {
        parts.push("is gone".into());
    }
    if let Some([was, now]) = i.worth {
        parts.push(format!("is worth {} instead of {}", now.0, was.0));
    }
    if i.other_rule == Some(true) {
        parts.push("asks for something else".into());
    }
    if let Some(critical) = i.critical {
        parts.push(if critical { "decides the run now".into() } else { "decides the run no longer".into() });
    }
    if i.other_words {
        let only = parts.is_empty();
        parts.push(if only {
            "says the same in other words, which moves no mark".into()
        } else {
            "says it in other words".into()
        });
    }
    if i.moved > 0 {
        parts.push(format!("marks of {} moved, {} together", i.moved, signed(i.by)));
    }
    (!parts.is_empty()).then(|| parts.join("; "))
}

fn person(p: &Person) {
    let who = if p.name.is_empty() { p.id.clone() } else { format!("{} {}", p.id, p.name) };
    say(&format!("{who}: {} -> {}, {}", side(p.before), side(p.after), signed(p.by)));
    if let Some(whole) = &p.whole {
        say(&format!("  {whole}"));
    }
    if p.other_log {
        say("  the log is another one");
    }
    if !p.passing.is_empty() {
        say(&format!("  {}", p.passing.join("; ")));
    }
    for m in &p.items {
        say(&format!("  {}", moved(m)));
    }
    if p.held.0.0 != 0 {
        say(&format!("  {}: marks on top are held to the whole", signed(p.held)));
    }
    if p.unexplained.0.0 != 0 {
        say(&format!("  {}: not explained by any item; was a file changed by hand?", signed(p.unexplained)));
    }
}

fn moved(m: &Moved) -> String {
    let stood = |s: &Option<files::comparison::Stood>| match s {
        None => "not on the sheet".to_owned(),
        Some(s) => s.words(),
    };
    format!("\"{}\" {}: {} -> {}; {}", m.item, signed(m.by), stood(&m.before), stood(&m.after), m.why.join("; "))
}

fn side(sum: Option<Sum>) -> String {
    match sum {
        None => "no marks given".to_owned(),
        Some(s) => {
            let passed = match s.passed {
                Some(true) => ", passed",
                Some(false) => ", not passed",
                None => "",
            };
            format!("{} of {}{passed}", s.marks.0, s.out_of.0)
        }
    }
}

fn signed(p: Points) -> String {
    if p.0.0 > 0 { format!("+{}", p.0) } else { p.0.to_string() }
}
