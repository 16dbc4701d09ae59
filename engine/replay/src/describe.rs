//! What a plant has and what can go wrong in it, as tables for people.

use crate::catalogue;
use crate::ship::Ship;
use base::units::Unit;
use plant::registry::{Failing, Worked};

/// A plant as tables: made from what was assembled, so that it cannot disagree with what runs.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantTables {
    /// Short name, version and title.
    pub heading: String,
    /// The systems in file order.
    pub systems: Vec<SystemTable>,
}

/// One system of a plant.
#[derive(Clone, Debug, PartialEq)]
pub struct SystemTable {
    /// Title.
    pub title: String,
    /// Controls: tag, what it is called, what it can be set to, where it is worked.
    pub controls: Vec<[String; 4]>,
    /// Points: tag, what it is called, range or words, where it can be read.
    pub points: Vec<[String; 4]>,
    /// Lamps, gauges and alarms: tag, kind, what it is called, scale.
    pub panel: Vec<[String; 4]>,
}

/// One line of the fault table.
#[derive(Clone, Debug, PartialEq)]
pub struct FaultLine {
    /// The family of the catalogue.
    pub family: &'static str,
    /// What kind of thing it is on: "pump", "lamp".
    pub target: String,
    /// The component, instrument, lamp, gauge or alarm.
    pub on: String,
    /// The kind, as exercises write it.
    pub kind: String,
    /// Where it acts: "actual", "signal", "shown".
    pub layer: &'static str,
    /// Its size: what it measures, its range and what is taken when none is given; empty when it has none.
    pub size: String,
    /// What a trainee may see.
    pub seen: String,
    /// What answers it.
    pub answer: String,
}

/// What a plant has.
#[must_use]
pub fn plant(ship: &Ship) -> PlantTables {
    let d = &ship.description;
    let system_of = |tag: &str| {
        let component = d.components.iter().find(|c| c.tag == tag)?;
        d.systems.iter().position(|s| s.0 == component.system)
    };
    let systems = d
        .systems
        .iter()
        .enumerate()
        .map(|(i, (_, title))| SystemTable {
            title: title.clone(),
            controls: ship
                .plant
                .controls()
                .iter()
                .filter(|c| c.system == i)
                .map(|c| {
                    let mut can: Vec<String> = c.words.iter().map(ToString::to_string).collect();
                    can.extend(c.dial.map(|d| range(d.unit, d.min, d.max)));
                    let worked = match c.worked {
                        Worked::OnThePanel => "panel".to_owned(),
                        Worked::OnTheSpot => format!("on the spot: {}", c.place),
                    };
                    [c.tag.to_string(), c.name.clone(), can.join(", "), worked]
                })
                .collect(),
            points: ship
                .plant
                .points()
                .iter()
                .filter(|p| p.system == i)
                .map(|p| {
                    let has = match p.words {
                        Some((off, on)) => format!("{off}, {on}"),
                        None => range(p.unit, p.range.0, p.range.1),
                    };
                    let read = if p.has_signal { "sent to the panel" } else { "only on the spot" };
                    [p.tag.to_string(), p.name.clone(), has, read.to_owned()]
                })
                .collect(),
            panel: panel(ship).into_iter().filter(|row| system_of(&row[0]) == Some(i)).collect(),
        })
        .collect();
    PlantTables { heading: format!("{} {}: {}", d.name, d.version, d.title), systems }
}

fn panel(ship: &Ship) -> Vec<[String; 4]> {
    let gauges = ship
        .panel
        .gauges()
        .iter()
        .map(|g| [g.tag.to_string(), "gauge".into(), g.name.clone(), range(g.unit, g.scale.0, g.scale.1)]);
    let lamps = ship.panel.lamps().iter().map(|l| [l.tag.to_string(), "lamp".into(), l.name.clone(), String::new()]);
    let alarms = ship.panel.alarms().iter().map(|a| [a.tag.to_string(), "alarm".into(), a.text.clone(), String::new()]);
    gauges.chain(lamps).chain(alarms).collect()
}

pub(crate) fn range(unit: &Unit, min: f64, max: f64) -> String {
    format!("{} to {}", unit.tell(min), unit.tell(max))
}

/// What can go wrong, in order of tags and kinds; only on `tag` when one is named.
#[must_use]
pub fn faults(ship: &Ship, tag: Option<&str>) -> Vec<FaultLine> {
    let all: Vec<&Failing> = ship.plant.failings().iter().chain(ship.panel.failings()).collect();
    let mut lines: Vec<FaultLine> = all
        .into_iter()
        .filter(|f| tag.is_none_or(|t| f.on.as_str() == t))
        .map(|f| (f, catalogue::target(ship, f)))
        .map(|(f, target)| FaultLine {
            family: catalogue::family(&target, f.kind).unwrap_or(""),
            target,
            on: f.on.to_string(),
            kind: f.kind.to_owned(),
            layer: f.layer.word(),
            size: f.size.map(size).unwrap_or_default(),
            seen: f.seen.to_owned(),
            answer: f.answer.to_owned(),
        })
        .collect();
    lines.sort_by(|a, b| (&a.on, &a.kind).cmp(&(&b.on, &b.kind)));
    lines
}

/// "head lost, 0.0 % of rated to 90.0 % of rated; left out: 30.0 % of rated".
fn size(s: plant::registry::Size) -> String {
    let left_out = s.default.map(|x| format!("; left out: {}", s.unit.tell(x))).unwrap_or_default();
    format!("{}, {}{left_out}", s.what, range(s.unit, s.min, s.max))
}

/// What is called by all of these words, whatever their case: tag, kind, name. Points stand for what carries them.
#[must_use]
pub fn called(ship: &Ship, words: &str) -> Vec<[String; 3]> {
    let wanted: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
    let is = |name: &str| {
        let name = name.to_lowercase();
        !wanted.is_empty() && wanted.iter().all(|w| name.contains(w.as_str()))
    };
    let d = &ship.description;
    let components = d.components.iter().map(|c| [c.tag.clone(), c.kind.clone(), c.name.clone()]);
    let points = ship.plant.points().iter().map(|p| [p.tag.to_string(), "point".to_owned(), p.name.clone()]);
    let controls = ship.plant.controls().iter().map(|c| [c.tag.to_string(), "control".to_owned(), c.name.clone()]);
    let mut rows: Vec<[String; 3]> = vec![];
    for row in components.chain(points).chain(controls) {
        if is(&row[2]) && !rows.iter().any(|r| r[0] == row[0]) {
            rows.push(row);
        }
    }
    rows.sort();
    rows
}

/// The tag with faults that is nearest to one that has none.
#[must_use]
pub fn nearest_with_faults(ship: &Ship, tag: &str) -> Option<String> {
    let all = ship.plant.failings().iter().chain(ship.panel.failings());
    base::nearest::nearest(tag, all.map(|f| f.on.as_str())).map(ToOwned::to_owned)
}

/// The words of the exercises, as the reference in the book: Markdown.
#[must_use]
pub fn words() -> String {
    script::reference::markdown()
}

#[cfg(test)]
mod tests {
    use crate::ship::{DEFAULT, Ship};
    use base::Place;
    use script::words::{On, WORDS};
    use script::{Input, Sources, author};

    /// Once the reference spoke of a ship of its own, so that nothing in it could be tried.
    #[test]
    fn every_example_of_the_reference_can_be_tried_on_the_shipped_plant() {
        let ship = Ship::named(DEFAULT, &Place::default()).unwrap();
        let heading = "exercise { title = \"T\", plant = \"training-vessel\", start = \"cold\", lasts = \"80 min\" }\n";
        let around = "fault \"lamp\" { on = \"XL-2104\", kind = \"dark\", at = \"5 min\" }\n\
                      fault \"feed\" { on = \"LCV-3001\", kind = \"seized\", at = \"5 min\" }\n\
                      fault \"leak\" { on = \"XV-2002\", kind = \"passing\", size = \"5 % of rated\", at = \"5 min\" }\n\
                      step \"purge\" { marks = 1, done = lit(\"BL-2003\") }\n\
                      step \"burning\" { marks = 1, done = lit(\"BL-2003\"), after = \"purge\" }\n";
        for word in WORDS {
            let text = match (word.on, word.name) {
                (_, "exercise") => word.example.to_owned(),
                (On::Run, _) => format!("{heading}{around}story(function(run) {} end)", word.example),
                (_, "fault" | "variant") => format!("{heading}{}", word.example),
                (_, "step" | "limit" | "response" | "order" | "steadiness" | "finding" | "group" | "story") => {
                    format!("{heading}{around}{}", word.example)
                }
                _ => format!("{heading}{around}local example = {}", word.example),
            };
            let read = author(&Input::new(Sources::one("example.lua", &text), ship.names.clone()));
            if let Err(told) = read {
                panic!("{}: {}", word.name, told[0]);
            }
        }
    }
}
