//! One tag told: what it is, what stands on it, what affects it and what it affects.

use crate::describe;
use crate::ship::Ship;
use base::Tag;
use base::description::Component;
use plant::affects::Reached;
use plant::registry::Worked;

/// How many are told of what stands at one hand, nearest first.
const TOLD: usize = 14;
/// The last hand that is told one by one; what is farther is counted.
const HANDS: u32 = 2;
/// Kinds that join others and that nobody reads or works: they are passed, and not told.
const JOINTS: &[&str] =
    &["junction", "pipe", "orifice", "steam orifice", "into drum", "outside", "open air", "feeder", "air line"];

/// What there is to say of a tag.
#[derive(Clone, Debug, PartialEq)]
pub struct About {
    /// Tag and name.
    pub heading: String,
    /// What is said: of what, and what.
    pub facts: Vec<[String; 2]>,
    /// What affects it.
    pub affected_by: Near,
    /// What it affects.
    pub affects: Near,
}

/// What is near in the plant's graph.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Near {
    /// By hand.
    pub hands: Vec<Hand>,
    /// How many more there are beyond.
    pub farther: usize,
}

/// What stands at one hand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hand {
    /// 1 along the same medium, one more for each passage into something else.
    pub hand: u32,
    /// Tag, name, and the way there where it leaves the system.
    pub rows: Vec<[String; 3]>,
    /// How many more stand there.
    pub more: usize,
}

/// What there is to say of a tag; `None` when nothing on board has it.
#[must_use]
pub fn tag(ship: &Ship, tag: &str) -> Option<About> {
    let d = &ship.description;
    let tag = Tag::new(tag);
    if !ship.has(&tag) && !ship.plant.trips().iter().any(|t| t.tag == tag) {
        return None;
    }
    let component = d.components.iter().find(|c| c.tag == tag.as_str());
    // What hangs on the panel is affected as what it follows is.
    let seat = ship.plant.affects().find(&tag).map(|t| t.tag.clone()).or_else(|| {
        let of = component?.links.get("of")?;
        ship.plant.affects().find(of).map(|t| t.tag.clone())
    });
    let followed = seat.as_ref().filter(|s| **s != tag);
    let mut affects = seat.as_ref().map(|s| ship.plant.affects().affected_by(s)).unwrap_or_default();
    if followed.is_some() {
        // A gauge, lamp or alarm acts on nobody but whoever looks.
        affects.clear();
    }
    let affecting = seat.as_ref().map(|s| ship.plant.affects().affecting(s)).unwrap_or_default();
    Some(About {
        heading: format!("{tag}: {}", name(ship, &tag, component)),
        facts: facts(ship, &tag, component, followed),
        affected_by: near(ship, &affecting),
        affects: near(ship, &affects),
    })
}

/// The tag on board that is nearest to one that is not.
#[must_use]
pub fn nearest(ship: &Ship, tag: &str) -> Option<String> {
    base::nearest::nearest(tag, ship.tags()).map(ToOwned::to_owned)
}

fn name(ship: &Ship, tag: &Tag, component: Option<&Component>) -> String {
    let of_trip = || ship.plant.trips().iter().find(|t| t.tag == *tag).map(|t| t.name.clone());
    component
        .map(|c| c.name.clone())
        .or_else(|| ship.plant.affects().find(tag).map(|t| t.name.clone()))
        .or_else(of_trip)
        .unwrap_or_default()
}

fn facts(ship: &Ship, tag: &Tag, component: Option<&Component>, followed: Option<&Tag>) -> Vec<[String; 2]> {
    let (d, plant, panel) = (&ship.description, &ship.plant, &ship.panel);
    let mut facts: Vec<[String; 2]> = vec![];
    let mut say = |of: &str, what: String| facts.push([of.to_owned(), what]);
    let title = |id: &str| d.systems.iter().find(|s| s.0 == id).map_or(id.to_owned(), |s| s.1.clone());
    let owner = plant.owner(tag).and_then(|o| d.components.iter().find(|c| c.tag == o));
    match (component, owner) {
        (Some(c), _) => say("is", c.kind.clone()),
        (None, Some(o)) => say("belongs to", format!("{}: {}", o.tag, o.name)),
        _ => {}
    }
    if let Some(c) = component.or(owner) {
        say("system", title(&c.system));
    }
    if let Some(of) = followed {
        say("follows", format!("{of}: {}", name(ship, of, d.components.iter().find(|c| c.tag == of.as_str()))));
    }
    let point = plant.point(tag);
    if let Some(p) = point.map(|p| &plant.points()[usize::from(p.0)]) {
        let has = match p.words {
            Some((off, on)) => format!("{off} or {on}"),
            None => describe::range(p.unit, p.range.0, p.range.1),
        };
        say("reads", format!("{has}, {}", if p.has_signal { "sent to the panel" } else { "only on the spot" }));
        if !p.place.is_empty() {
            say("stands", p.place.clone());
        }
    }
    for g in panel.gauges().iter().filter(|g| g.tag == *tag || Some(g.of) == point) {
        say("gauge", format!("{}, {}", g.tag, describe::range(g.unit, g.scale.0, g.scale.1)));
    }
    for c in d.components.iter().filter(|c| c.kind == "lamp" && c.links.get("of") == Some(tag)) {
        let when = c.fields.get("lit when").map(|f| format!(", lit when {}", f.value)).unwrap_or_default();
        say("lamp", format!("{}: {}{when}", c.tag, c.name));
    }
    let on = |c: &&Component| c.kind == "alarm" && (c.links.get("of") == Some(tag) || c.tag == tag.as_str());
    for c in d.components.iter().filter(on) {
        let limit: Vec<String> = ["above", "below", "when", "returns at", "delay"]
            .iter()
            .filter_map(|k| c.fields.get(*k).map(|f| format!("{k} {}", f.value)))
            .collect();
        let text = c.fields.get("text").map_or(&c.name, |f| &f.value);
        say("alarm", format!("{}: {text}{}{}", c.tag, if limit.is_empty() { "" } else { ", " }, limit.join(", ")));
    }
    for c in plant.controls().iter().filter(|c| c.tag == *tag || plant.owner(&c.tag) == Some(tag.as_str())) {
        let mut can: Vec<String> = c.words.iter().map(ToString::to_string).collect();
        can.extend(c.dial.map(|d| describe::range(d.unit, d.min, d.max)));
        let worked = match c.worked {
            Worked::OnThePanel => "from the panel".to_owned(),
            Worked::OnTheSpot => format!("on the spot: {}", c.place),
        };
        let which = if c.tag == *tag { String::new() } else { format!("{}, {}: ", c.tag, c.name) };
        say("control", format!("{which}{}, {worked}", can.join(", ")));
    }
    for t in plant.trips().iter().filter(|t| t.tag == *tag) {
        say("trip", format!("{}: latches until it is reset by hand", t.name));
    }
    let kinds: Vec<String> = describe::faults(ship, Some(tag.as_str())).into_iter().map(|f| f.kind).collect();
    if !kinds.is_empty() {
        say("can go wrong", kinds.join(", "));
    }
    facts
}

/// What is told of what was found, nearest first.
fn near(ship: &Ship, found: &[Reached]) -> Near {
    let d = &ship.description;
    let told = |r: &&Reached| {
        let tag = &r.thing.tag;
        let kind = d.components.iter().find(|c| c.tag == tag.as_str()).map(|c| c.kind.as_str());
        // Contacts and positions are told with the valve or machine that they belong to.
        let apart = kind.is_some() || ship.plant.control(tag).is_some();
        kind.is_none_or(|k| !JOINTS.contains(&k)) && (apart || ship.plant.owner(tag).is_none())
    };
    let mut near = Near::default();
    for r in found.iter().filter(told) {
        if r.hand > HANDS {
            near.farther += 1;
            continue;
        }
        if near.hands.last().is_none_or(|h| h.hand != r.hand) {
            near.hands.push(Hand { hand: r.hand, ..Hand::default() });
        }
        if let Some(hand) = near.hands.last_mut() {
            if hand.rows.len() == TOLD {
                hand.more += 1;
            } else {
                hand.rows.push([r.thing.tag.to_string(), r.thing.name.clone(), way(ship, r)]);
            }
        }
    }
    near
}

/// "by heat, through Low-temperature fresh water".
fn way(ship: &Ship, r: &Reached) -> String {
    let by: Vec<&str> = r.by.iter().map(|b| b.word()).collect();
    let systems: Vec<&str> = r.systems.iter().map(|s| ship.description.systems[*s].1.as_str()).collect();
    let mut told = vec![];
    if !by.is_empty() {
        told.push(format!("by {}", by.join(", then ")));
    }
    if systems.len() > 1 {
        told.push(systems.join(" > "));
    }
    told.join("; ")
}
