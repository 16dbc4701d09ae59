//! What somebody sees who goes and looks: the actual values, in words.
//!
//! A tag on the panel leads to what it follows. A tag in the plant leads to the points with that
//! tag, else to the points that belong to the component: those that say they are "of" it in the
//! plant file, and switches of the same number that have no entry of their own.

use crate::lamp::Follows;
use crate::{KINDS, Panel};
use base::Tag;
use base::description::Description;
use plant::{ControlId, Plant, PointId};
use std::collections::{BTreeMap, BTreeSet};

/// What can be seen at one tag.
#[derive(Clone, Debug, PartialEq)]
pub struct Sight {
    /// The tag.
    pub tag: Tag,
    /// Where one has to go; empty when nobody said.
    pub place: String,
    /// What one reads there.
    pub points: Vec<PointId>,
    /// The control that stands there.
    pub control: Option<ControlId>,
    /// The trip that is latched or not there, by its place in [`Plant::trips`].
    pub trip: Option<usize>,
}

/// Everything that can be looked at, in order of tags.
pub(crate) fn sights(d: &Description, plant: &Plant) -> Vec<Sight> {
    let near = Near::of(d, plant);
    let mut all: BTreeMap<Tag, Sight> = BTreeMap::new();
    let mut add = |tag: Tag, points: Vec<PointId>, place: Option<String>| {
        let control = plant.control(&tag);
        let trip = plant.trips().iter().position(|t| t.tag == tag);
        if (points.is_empty() && control.is_none() && trip.is_none()) || all.contains_key(&tag) {
            return;
        }
        let place = place
            .or_else(|| points.first().map(|p| plant.points()[usize::from(p.0)].place.clone()))
            .or_else(|| control.map(|c| plant.controls()[usize::from(c.0)].place.clone()))
            .unwrap_or_default();
        all.insert(tag.clone(), Sight { tag, place, points, control, trip });
    };
    for c in d.components.iter().filter(|c| !KINDS.contains(&c.kind.as_str())) {
        let tag = Tag::new(&c.tag);
        let points = plant.point(&tag).map_or_else(|| near.points(&tag), |own| vec![own]);
        add(tag, points, c.fields.get("place").map(|f| f.value.clone()));
    }
    for (i, p) in plant.points().iter().enumerate() {
        add(p.tag.clone(), vec![PointId(i as u16)], None);
    }
    for tag in plant.controls().iter().map(|c| &c.tag) {
        add(tag.clone(), vec![], None);
    }
    for tag in plant.trips().iter().map(|t| &t.tag) {
        add(tag.clone(), vec![], None);
    }
    all.into_values().collect()
}

/// The points that belong to a component without being named like it; found once, for there are hundreds of each.
struct Near<'a> {
    /// By the tag that a point's entry in the plant file says it is "of".
    said: BTreeMap<&'a str, BTreeSet<PointId>>,
    /// By the number in its tag, points that have no entry of their own.
    numbered: BTreeMap<&'a str, BTreeSet<PointId>>,
}

impl<'a> Near<'a> {
    fn of(d: &'a Description, plant: &'a Plant) -> Near<'a> {
        let mut near = Near { said: BTreeMap::new(), numbered: BTreeMap::new() };
        let mut described: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for c in &d.components {
            described.entry(&c.tag).or_default().extend(c.links.get("of").map(|of| of.as_str()));
        }
        for (i, p) in plant.points().iter().enumerate() {
            let id = PointId(i as u16);
            match described.get(p.tag.as_str()) {
                Some(owners) => owners.iter().for_each(|of| _ = near.said.entry(of).or_default().insert(id)),
                None => _ = number(p.tag.as_str()).map(|n| near.numbered.entry(n).or_default().insert(id)),
            }
        }
        near
    }

    fn points(&self, tag: &Tag) -> Vec<PointId> {
        let said = self.said.get(tag.as_str()).into_iter().flatten();
        let numbered = number(tag.as_str()).and_then(|n| self.numbered.get(n)).into_iter().flatten();
        said.chain(numbered).copied().collect::<BTreeSet<PointId>>().into_iter().collect()
    }
}

/// What stands behind the first dash of a tag.
fn number(tag: &str) -> Option<&str> {
    tag.split_once('-').map(|(_, n)| n)
}

/// Where each component stands, in order of tags.
pub(crate) fn stands(d: &Description) -> Vec<(Tag, String)> {
    let placed = d.components.iter().filter(|c| !KINDS.contains(&c.kind.as_str()));
    let mut all: Vec<(Tag, String)> =
        placed.filter_map(|c| Some((Tag::new(&c.tag), c.fields.get("place")?.value.clone()))).collect();
    all.sort();
    all
}

impl Panel {
    /// Where one goes to repair what has this tag: the control room, an empty name, for what is on the panel.
    #[must_use]
    pub fn place_of(&self, tag: &Tag, plant: &Plant) -> String {
        if self.gauge(tag).is_some() || self.lamp(tag).is_some() || self.alarm(tag).is_some() {
            return String::new();
        }
        let stands = self.stands.binary_search_by(|s| s.0.cmp(tag)).ok().map(|i| self.stands[i].1.clone());
        stands.or_else(|| self.sight(tag, plant).map(|s| s.place.clone())).unwrap_or_default()
    }

    /// What can be looked at under this tag: of the plant, or what a gauge, lamp or alarm follows.
    #[must_use]
    pub fn sight(&self, tag: &Tag, plant: &Plant) -> Option<&Sight> {
        let found = |tag: &Tag| self.sights.binary_search_by(|s| s.tag.cmp(tag)).ok().map(|i| &self.sights[i]);
        let of_point = |p: PointId| found(&plant.points()[usize::from(p.0)].tag);
        if let Some(sight) = found(tag) {
            return Some(sight);
        }
        if let Some(g) = self.gauge(tag) {
            return of_point(self.gauges()[g].of);
        }
        if let Some(a) = self.alarm(tag) {
            return self.alarm_point(a).and_then(of_point);
        }
        match self.lamps()[self.lamp(tag)?].follows {
            Follows::Point(p, _) => of_point(p),
            Follows::Trip(t, _) => found(&plant.trips()[t].tag),
            Follows::Standing(a, _) | Follows::Unacknowledged(a) => self.alarm_point(a).and_then(of_point),
            Follows::Control(c, _) => found(&plant.controls()[usize::from(c.0)].tag),
        }
    }

    /// The tags that can be looked at.
    pub fn sights(&self) -> impl Iterator<Item = &Tag> {
        self.sights.iter().map(|s| &s.tag)
    }
}

impl Sight {
    /// What somebody says who looks now: actual values in words.
    #[must_use]
    pub fn tell(&self, plant: &Plant) -> String {
        let mut told = vec![];
        for id in &self.points {
            let p = &plant.points()[usize::from(id.0)];
            let value = plant.tell(*id);
            told.push(if p.name.is_empty() { format!("{} {value}", p.tag) } else { format!("{}: {value}", p.name) });
        }
        // A position already says how a valve stands; a control is told where nothing else is.
        if let Some(id) = self.control.filter(|_| told.is_empty()) {
            let c = &plant.controls()[usize::from(id.0)];
            let setting = plant.setting(id);
            let stands = match (setting.word, setting.dial, &c.dial) {
                (Some(w), ..) => c.words[w].to_owned(),
                (None, Some(x), Some(dial)) => dial.unit.tell(x),
                _ => "a push button that keeps no position".to_owned(),
            };
            told.push(format!("{}: {stands}", c.name));
        }
        if let Some(t) = self.trip {
            let state = if plant.tripped(t) { "tripped" } else { "not tripped" };
            told.push(format!("{}: {state}", plant.trips()[t].name));
        }
        told.join("; ")
    }
}
