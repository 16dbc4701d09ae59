//! `faults`: what can go wrong in a plant.

use crate::exit::Exit;
use crate::told::{say, table};
use base::{Diagnostic, Place};
use replay::{Ship, Trouble, describe, ship};

/// Arguments of `faults`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Only what can go wrong with this component, instrument, lamp, gauge or alarm. Words instead of a tag, such as
    /// vacuum pump, list what can go wrong with everything that is called so
    #[arg(value_name = "TAG OR WORDS")]
    tag: Vec<String>,
    /// Short name of the plant.
    #[arg(long, default_value = ship::DEFAULT)]
    plant: String,
}

/// Lists the fault table.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    let ship = Ship::named(&a.plant, &Place::file("command line"))?;
    let tag = (!a.tag.is_empty()).then(|| a.tag.join(" "));
    let mut lines = describe::faults(&ship, tag.as_deref());
    if let (Some(words), true) = (&tag, lines.is_empty()) {
        let called = describe::called(&ship, words);
        lines = called.iter().flat_map(|[on, ..]| describe::faults(&ship, Some(on))).collect();
    }
    if let (Some(tag), true) = (&tag, lines.is_empty()) {
        let message = format!("nothing can be made to go wrong with \"{tag}\"");
        let d = Diagnostic::error("faults::tag", Place::file("command line"), message);
        return Err(match describe::nearest_with_faults(&ship, tag) {
            Some(near) => d.hint(format!("did you mean \"{near}\"?")),
            None => d,
        }
        .into());
    }
    let heading =
        ["on", "what it is", "kind", "acts on", "size", "what may be seen", "what answers it"].map(ToOwned::to_owned);
    let rows = lines.into_iter().map(|l| [l.on, l.target, l.kind, l.layer.to_owned(), l.size, l.seen, l.answer]);
    let all: Vec<[String; 7]> = std::iter::once(heading).chain(rows).collect();
    table(&all);
    say("");
    say("acts on: actual = the plant itself, signal = its transmitter or switch, shown = the panel");
    Ok(Exit::Good)
}
