//! `plant`: what a plant has.

use crate::exit::Exit;
use crate::told::{say, table};
use base::Place;
use replay::{Ship, Trouble, describe, ship, states};

/// Arguments of `plant`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Short name of the plant.
    #[arg(default_value = ship::DEFAULT)]
    plant: String,
    /// Make the prepared states anew, and tell how the plant stands in each.
    #[arg(long)]
    states: bool,
}

/// Lists systems, controls, points and panel.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    let ship = Ship::named(&a.plant, &Place::file("command line"))?;
    if a.states {
        for state in states::told(&ship)? {
            say(&state.heading);
            table(&state.readings);
            say("");
        }
        return Ok(Exit::Good);
    }
    let tables = describe::plant(&ship);
    say(&tables.heading);
    for system in &tables.systems {
        say("");
        say(&format!("== {}", system.title));
        for (title, rows) in [("controls", &system.controls), ("points", &system.points), ("panel", &system.panel)] {
            if !rows.is_empty() {
                say(&format!("-- {title}"));
                table(rows);
            }
        }
    }
    Ok(Exit::Good)
}
