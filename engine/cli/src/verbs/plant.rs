//! `plant`: what a plant has, what affects what, and its drawings.

use crate::exit::Exit;
use crate::told::{say, table};
use base::{Diagnostic, Place};
use replay::about::{self, Near};
use replay::{Ship, Trouble, describe, drawing, ship, states};
use std::path::PathBuf;

/// Arguments of `plant`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// Only what has this tag: what it is, what affects it and what it affects, nearest first. Words instead of a tag,
    /// such as vacuum pump, list what is called so; with --states it is the name of a state
    #[arg(value_name = "TAG OR WORDS")]
    tag: Vec<String>,
    /// Short name of the plant.
    #[arg(long, default_value = ship::DEFAULT)]
    plant: String,
    /// Draw every system as a flow diagram (SVG) into this folder.
    #[arg(long, value_name = "FOLDER")]
    draw: Option<PathBuf>,
    /// Tell how the plant stands in its prepared states, or in the one that is named: gauges, lamps that are lit, alarms
    /// that stand, controls. They are made anew for it.
    #[arg(long)]
    states: bool,
}

/// Lists systems, controls, points and panel.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    let ship = Ship::named(&a.plant, &Place::file("command line"))?;
    if a.states {
        for state in states::told(&ship, (!a.tag.is_empty()).then(|| a.tag.join(" ")).as_deref())? {
            say(&state.heading);
            table(&state.readings);
            say("-- lamps that are lit");
            table(&state.lit);
            say("-- alarms that stand");
            table(&state.alarms);
            say("-- controls");
            table(&state.controls);
            say("");
        }
        return Ok(Exit::Good);
    }
    if let Some(folder) = &a.draw {
        for file in drawing::write(&ship.description, folder)? {
            say(&file.display().to_string());
        }
        return Ok(Exit::Good);
    }
    if !a.tag.is_empty() {
        return one(&ship, &a.tag.join(" "));
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

/// Tells one tag.
fn one(ship: &Ship, tag: &str) -> Result<Exit, Trouble> {
    let Some(about) = about::tag(ship, tag) else {
        let called = describe::called(ship, tag);
        if !called.is_empty() {
            table(&called);
            return Ok(Exit::Good);
        }
        let d = Diagnostic::error("plant::tag", Place::file("command line"), format!("nothing on board is \"{tag}\""));
        return Err(match about::nearest(ship, tag) {
            Some(near) => d.hint(format!("did you mean \"{near}\"?")),
            None => d,
        }
        .into());
    };
    say(&about.heading);
    table(&about.facts);
    near("what affects it", &about.affected_by);
    near("what it affects", &about.affects);
    Ok(Exit::Good)
}

fn near(title: &str, near: &Near) {
    say("");
    say(&format!("== {title}"));
    if near.hands.is_empty() && near.farther == 0 {
        say("nothing");
    }
    for hand in &near.hands {
        say(match hand.hand {
            1 => "-- at first hand: along the same medium, or by what reads it",
            _ => "-- at second hand: over one passage into something else",
        });
        table(&hand.rows);
        if hand.more > 0 {
            say(&format!("and {} more", hand.more));
        }
    }
    if near.farther > 0 {
        say(&format!("-- farther away: {}", near.farther));
    }
}
