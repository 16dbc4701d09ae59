//! The plants that are embedded in the program, assembled and with their panel.

use base::description::Description;
use base::record::Layer;
use base::{Diagnostic, Place, Tag};
use files::log::{Action, Refusal};
use files::{Digest, digest};
use panel::Panel;
use plant::Plant;
use session::parse_setting;
use std::collections::BTreeMap;
use std::sync::Arc;

use crate::disk::Trouble;
use crate::states::{self, State};
use base::observable::Verb;

/// The plant files in the program: short name, file, content.
pub const EMBEDDED: &[(&str, &str, &str)] = &[
    ("training-vessel", "training-vessel.ron", include_str!("../../../scenarios/plants/training-vessel.ron")),
    ("valve-bench", "valve-bench.ron", include_str!("bench.ron")),
];

/// The plant that verbs speak of when none is named.
pub const DEFAULT: &str = "training-vessel";

/// A plant ready to be cloned into sessions: cold, with its panel and the names on board.
#[derive(Clone, Debug)]
pub struct Ship {
    /// As it was written down.
    pub description: Arc<Description>,
    /// As it was assembled: cold.
    pub plant: Plant,
    /// Its panel.
    pub panel: Panel,
    /// Everything that has a name on board, for scripts.
    pub names: Arc<script::Names>,
    /// Its prepared states besides "cold".
    pub states: Arc<Vec<State>>,
    /// Digest of the plant file.
    pub digest: Digest,
}

impl Ship {
    /// The embedded plant with this short name.
    ///
    /// # Errors
    /// A diagnostic at `place` with the nearest name when there is none; mistakes of the plant file.
    pub fn named(name: &str, place: &Place) -> Result<Ship, Trouble> {
        let Some((_, file, text)) = EMBEDDED.iter().find(|e| e.0 == name) else {
            let known = || EMBEDDED.iter().map(|e| e.0);
            let d = Diagnostic::error("pack::plant", place.clone(), format!("there is no plant \"{name}\""));
            return Err(d
                .hint(format!("known plants: {}", known().collect::<Vec<_>>().join(", ")))
                .nearest(name, known())
                .into());
        };
        Ship::read(file, text.as_bytes())
    }

    /// A plant from the bytes of its file.
    ///
    /// # Errors
    /// Every mistake of form, or every mistake of assembly.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Ship, Trouble> {
        let description = files::plant_file::read(file, bytes)?;
        let plant = Plant::build(&description)?;
        let panel = Panel::build(&description, &plant)?;
        let states = states::embedded(&description.name, &description.version);
        let names = Arc::new(names(&description, &plant, &panel));
        Ok(Ship {
            description: Arc::new(description),
            plant,
            panel,
            names,
            states: Arc::new(states),
            digest: digest::bytes(bytes),
        })
    }

    /// Adds the states that a pack brings.
    pub fn bring_states(&mut self, brought: Vec<State>) {
        Arc::make_mut(&mut self.names).starts.extend(brought.iter().map(|s| s.name.clone()));
        Arc::make_mut(&mut self.states).extend(brought);
    }

    /// Lets the states that a pack brings begin where the exercises do that left their logs; tells what is odd.
    pub fn begin_states(&mut self, pack: &str, starts: &BTreeMap<String, session::Start>) -> Vec<Diagnostic> {
        let (states, told) = states::begin(self, pack, starts);
        self.states = Arc::new(states);
        told
    }

    /// The plant in a prepared state; it is made when it is first asked for.
    ///
    /// # Errors
    /// When there is none of that name, with the nearest; when its log does not fit the plant.
    pub fn state(&self, name: &str, place: &Place) -> Result<Plant, Vec<Diagnostic>> {
        if name.is_empty() || name == session::start::COLD {
            return Ok(self.plant.clone());
        }
        if let Some(state) = self.states.iter().find(|s| s.name == name) {
            return state.of(self);
        }
        let known = &self.names.starts;
        let message = format!("the plant has no prepared state \"{name}\"");
        let d = Diagnostic::error("pack::state", place.clone(), message);
        Err(vec![d.hint(format!("it has {}", known.join(", "))).nearest(name, known.iter().map(String::as_str))])
    }

    /// Whether an action of a log can be of this plant: its tag is known, and its setting one that
    /// the control can take. What the control then makes of it is for the run to say.
    ///
    /// # Errors
    /// What is wrong, with the nearest known name.
    pub fn allows(&self, action: &Action) -> Result<(), Refusal> {
        let Some(on) = &action.on else { return Ok(()) };
        match action.verb {
            Verb::Operate => {
                let Some(control) = self.plant.control(on) else {
                    let known = self.plant.controls().iter().map(|c| c.tag.as_str());
                    return Err(unknown("control", on, known));
                };
                let control = &self.plant.controls()[usize::from(control.0)];
                let to = action.to.as_deref().unwrap_or_default();
                parse_setting(control, to, &Place::default()).map(|_| ()).map_err(|d| Refusal {
                    code: "log::setting",
                    message: match d.message.contains(on.as_str()) {
                        true => d.message,
                        false => format!("{on}: {}", d.message),
                    },
                    hint: d.hint,
                })
            }
            Verb::Acknowledge => match self.panel.alarm(on) {
                Some(_) => Ok(()),
                None => Err(unknown("alarm", on, self.panel.alarms().iter().map(|a| a.tag.as_str()))),
            },
            Verb::LocalCheck => match self.panel.sight(on, &self.plant) {
                Some(_) => Ok(()),
                None => Err(unknown("thing to look at", on, self.panel.sights().map(Tag::as_str))),
            },
            Verb::Repair => {
                let all = || self.plant.failings().iter().chain(self.panel.failings()).map(|f| f.on.as_str());
                if all().any(|t| t == on.as_str()) { Ok(()) } else { Err(unknown("thing to repair", on, all())) }
            }
            Verb::Report if !self.has(on) => Err(unknown("tag", on, self.tags())),
            Verb::Report | Verb::LampTest => Ok(()),
        }
    }

    /// Whether anything on board has this tag.
    #[must_use]
    pub fn has(&self, tag: &Tag) -> bool {
        self.tags().any(|t| t == tag.as_str())
    }

    /// Every tag on board, some more than once.
    pub fn tags(&self) -> impl Iterator<Item = &str> {
        self.description
            .tags()
            .chain(self.plant.points().iter().map(|p| p.tag.as_str()))
            .chain(self.plant.controls().iter().map(|c| c.tag.as_str()))
    }
}

fn unknown<'a>(what: &str, tag: &Tag, known: impl IntoIterator<Item = &'a str>) -> Refusal {
    let near = base::nearest::nearest(tag.as_str(), known);
    Refusal {
        code: "log::unknown-tag",
        message: format!("there is no {what} {tag}"),
        hint: near.map(|n| format!("did you mean \"{n}\"?")),
    }
}

/// Everything that has a name on board.
fn names(d: &Description, plant: &Plant, panel: &Panel) -> script::Names {
    let mut names = script::Names { plant: d.name.clone(), starts: states::names(&d.name), ..Default::default() };
    for p in plant.points() {
        let mut layers = vec![Layer::Actual];
        layers.extend(p.has_signal.then_some(Layer::Signal));
        let point = plant.point(&p.tag);
        layers.extend(point.and_then(|p| panel.gauge_of(p)).map(|_| Layer::Shown));
        let words = p.words.map_or(vec![], |(off, on)| vec![off.to_owned(), on.to_owned()]);
        let scale = point.and_then(|p| panel.gauge_of(p)).map(|g| panel.gauges()[g].scale);
        let point = script::names::Point {
            name: p.name.clone(),
            unit: p.unit,
            words,
            layers,
            range: p.words.is_none().then_some(p.range),
            scale,
        };
        names.points.insert(p.tag.to_string(), point);
    }
    for g in panel.gauges() {
        let point = script::names::Point {
            name: g.name.clone(),
            unit: g.unit,
            words: vec![],
            layers: vec![Layer::Shown],
            range: None,
            scale: Some(g.scale),
        };
        names.points.entry(g.tag.to_string()).or_insert(point);
    }
    for c in plant.controls() {
        let control = script::names::Control {
            name: c.name.clone(),
            words: c.words.iter().map(ToString::to_string).collect(),
            dial: c.dial.map(|d| script::names::Range { unit: d.unit, min: d.min, max: d.max }),
        };
        names.controls.insert(c.tag.to_string(), control);
    }
    names.lamps = panel.lamps().iter().map(|l| (l.tag.to_string(), l.name.clone())).collect();
    names.alarms = panel.alarms().iter().map(|a| (a.tag.to_string(), a.text.clone())).collect();
    names.trips = plant.trips().iter().map(|t| (t.tag.to_string(), t.name.clone())).collect();
    let called: BTreeMap<&str, &str> = d.components.iter().map(|c| (c.tag.as_str(), c.name.as_str())).collect();
    let name = |tag: &Tag| match called.get(tag.as_str()) {
        Some(name) => (*name).to_owned(),
        // A part of a component, such as the tubes of a boiler, is called after it.
        None => match tag.as_str().split_once(' ').and_then(|(of, part)| Some((called.get(of)?, part))) {
            Some((of, part)) => format!("{of}, {part}"),
            None => String::new(),
        },
    };
    names.damageable = plant.damageable().iter().map(|t| (t.to_string(), name(t))).collect();
    names.checkable = panel.sights().map(|t| (t.to_string(), name(t))).collect();
    // Whoever looks at a gauge, lamp or alarm on the spot looks at what it follows.
    let panel_tags = panel.gauges().iter().map(|g| &g.tag).chain(panel.lamps().iter().map(|l| &l.tag));
    for tag in panel_tags.chain(panel.alarms().iter().map(|a| &a.tag)) {
        if panel.sight(tag, plant).is_some() {
            names.checkable.entry(tag.to_string()).or_insert_with(|| name(tag));
        }
    }
    for s in plant.surroundings() {
        let range = script::names::Range { unit: s.scale.unit, min: s.scale.min, max: s.scale.max };
        let among = if s.consumer { &mut names.loads } else { &mut names.weather };
        among.insert(s.what.clone(), range);
    }
    for f in plant.failings().iter().chain(panel.failings()) {
        let size = f.size.map(|s| script::names::Size {
            range: script::names::Range { unit: s.unit, min: s.min, max: s.max },
            // A failing without a default size means something of its own when none is given.
            needed: false,
            grows: s.sound.is_some(),
        });
        names.failings.entry(f.on.to_string()).or_default().insert(f.kind.to_owned(), size);
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::Tick;

    fn action(verb: Verb, on: &str, to: Option<&str>) -> Action {
        let on = (!on.is_empty()).then(|| Tag::new(on));
        Action { line: 2, tick: Tick(1), verb, on, to: to.map(ToOwned::to_owned) }
    }

    #[test]
    fn every_embedded_plant_assembles_under_its_name() {
        for (name, ..) in EMBEDDED {
            let ship = Ship::named(name, &Place::default()).unwrap_or_else(|e| panic!("{name}:\n{e}"));
            assert_eq!(ship.description.name, *name);
            assert!(!ship.names.controls.is_empty() && !ship.names.lamps.is_empty());
        }
        let told = Ship::named("valve-bend", &Place::line("pack.ron", 3)).unwrap_err().to_string();
        assert!(
            told.contains("there is no plant \"valve-bend\"\n  at pack.ron:3\n  hint: did you mean \"valve-bench\"?"),
            "{told}"
        );
    }

    #[test]
    fn actions_are_held_to_what_is_on_board() {
        let ship = Ship::named("valve-bench", &Place::default()).unwrap();
        for good in [
            action(Verb::Operate, "XV-1001", Some("open")),
            action(Verb::Operate, "XV-1001", Some("35 % open")),
            action(Verb::Acknowledge, "XA-1001", None),
            action(Verb::Acknowledge, "", None),
            action(Verb::LampTest, "", None),
            action(Verb::LocalCheck, "XV-1002", None),
            action(Verb::LocalCheck, "XL-1001", None),
            action(Verb::Repair, "XL-1001", None),
            action(Verb::Report, "XL-1001", Some("dark")),
        ] {
            assert_eq!(ship.allows(&good), Ok(()), "{good:?}");
        }
        for (bad, code, hint) in [
            (action(Verb::Operate, "XV-1011", Some("open")), "log::unknown-tag", "XV-1001"),
            (action(Verb::Operate, "XL-1001", Some("open")), "log::unknown-tag", ""),
            (action(Verb::Operate, "XV-1001", Some("opne")), "log::setting", "open"),
            (action(Verb::Operate, "XV-1001", Some("135 % open")), "log::setting", "100"),
            (action(Verb::Operate, "XV-1001", Some("4 barg")), "log::setting", ""),
            (action(Verb::Acknowledge, "XV-1001", None), "log::unknown-tag", ""),
            (action(Verb::LocalCheck, "XV-9", None), "log::unknown-tag", ""),
            (action(Verb::Report, "ZZ-1", Some("x")), "log::unknown-tag", ""),
            (action(Verb::Repair, "XL-1011", None), "log::unknown-tag", "XL-1001"),
        ] {
            let refusal = ship.allows(&bad).unwrap_err();
            assert_eq!(refusal.code, code, "{bad:?}");
            assert!(refusal.hint.as_deref().unwrap_or_default().contains(hint), "{refusal:?}");
        }
    }
}
