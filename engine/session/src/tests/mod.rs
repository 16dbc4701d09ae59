//! Sessions through data: small descriptions, exercises and actions over the smallest plant.

mod faults;
mod helper;
mod onlooker;
mod panel;
mod run;
mod stories;

use crate::{Action, Exercise, FaultPlan, Finished, Growth, Moment, NoStory, Session, Setup};
use ::panel::Panel;
use base::description::{Component, Description, Field};
use base::observable::{Observable, Verb, Watched};
use base::record::{Event, Happening};
use base::units::Dimension;
use base::{Place, Tag, Tick};
use plant::Plant;

pub fn part(kind: &str, tag: &str, links: &[(&str, &str)], fields: &[(&str, &str)]) -> Component {
    let field = |v: &&str| Field { value: (*v).into(), source: "own choice".into() };
    Component {
        tag: tag.into(),
        kind: kind.into(),
        name: format!("the {tag}"),
        links: links.iter().map(|(k, v)| ((*k).into(), Tag::new(v))).collect(),
        fields: fields.iter().map(|(k, v)| ((*k).into(), field(v))).collect(),
        place: Place::line("small.ron", 1),
        ..Component::default()
    }
}

/// XV-2104 is worked from the panel, V-2201 on the spot; lamps and an alarm follow the first.
pub fn description() -> Description {
    let mut front = part("place", "boiler front", &[], &[("walk", "10 s")]);
    front.name = "boiler front".into();
    let mut lower = part("place", "lower level", &[], &[("walk", "20 s")]);
    lower.name = "lower level".into();
    Description {
        components: vec![
            front,
            lower,
            part("valve", "XV-2104", &[], &[("stroke time", "1 s"), ("place", "boiler front")]),
            part(
                "valve",
                "V-2201",
                &[],
                &[("stroke time", "10 s"), ("place", "lower level"), ("worked", "on the spot")],
            ),
            part("lamp", "XL-2104", &[("of", "ZSH-2104")], &[("lit when", "open")]),
            part("lamp", "XL-2105", &[("of", "ZSL-2104")], &[("lit when", "shut")]),
            part("alarm", "XA-2104", &[("of", "ZSL-2104")], &[("when", "not shut"), ("text", "valve not shut")]),
        ],
        ..Description::default()
    }
}

pub fn parts() -> (Plant, Panel) {
    let d = description();
    let plant = Plant::build(&d).unwrap();
    let panel = Panel::build(&d, &plant).unwrap();
    (plant, panel)
}

pub fn exercise(ticks: u32) -> Exercise {
    Exercise { lasts: Tick(ticks), ..Exercise::default() }
}

pub fn state(what: Observable) -> Watched {
    Watched { what, dimension: Dimension::State }
}

pub fn did(verb: Verb, on: Option<&str>, to: Option<&str>) -> Observable {
    Observable::Did { verb, on: on.map(Tag::new), to: to.map(str::to_owned) }
}

pub fn plan(name: &str, on: &str, kind: &str, begins: Moment) -> FaultPlan {
    FaultPlan {
        name: name.into(),
        on: Tag::new(on),
        kind: kind.into(),
        size: None,
        begins,
        grows: Growth::default(),
        clears: Moment::ByStory,
        repair: None,
        place: Place::line("lesson.lua", 7),
    }
}

pub fn action(tick: u32, verb: Verb, on: &str, to: &str) -> Action {
    let some = |s: &str| (!s.is_empty()).then(|| s.to_owned());
    Action { tick: Tick(tick), verb, on: some(on).as_deref().map(Tag::new), to: some(to) }
}

pub fn open(tick: u32) -> Action {
    action(tick, Verb::Operate, "XV-2104", "open")
}

pub fn session(exercise: &Exercise) -> Session {
    let (plant, panel) = parts();
    Session::new(Setup::cold(plant, panel, exercise)).unwrap()
}

pub fn played(exercise: &Exercise, actions: &[Action]) -> Finished {
    let mut s = session(exercise);
    actions.iter().cloned().for_each(|a| s.act(a));
    s.run(&mut NoStory);
    s.finish()
}

/// The events as short lines.
pub fn lines(events: &[Event]) -> Vec<String> {
    let told = |what: &Happening| match what {
        Happening::Action { verb, on, refused, .. } => {
            let on = on.as_ref().map_or("", Tag::as_str);
            format!("{} {on}: {}", verb.word(), refused.as_deref().unwrap_or("done"))
        }
        Happening::Helper { on, says } => format!("helper at {on}: {says}"),
        Happening::Alarm { tag, phase, .. } => format!("{tag} {phase:?}"),
        Happening::FaultOn { name, layer, .. } => format!("{name} on ({})", layer.word()),
        Happening::FaultOff { name, .. } => format!("{name} off"),
        Happening::Differed { tag, since, shown, actual, .. } => format!("{tag} {shown} since {}, {actual}", since.0),
        Happening::Told(w) => format!("told {w}"),
        Happening::Note(w) => format!("note {w}"),
        Happening::Ended(e) => format!("{e:?}"),
        other => format!("{other:?}"),
    };
    events.iter().map(|e| format!("{} {}", e.tick.0, told(&e.what))).collect()
}
