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
    let number = |tag: &str| tag.split_once('-').map(|(_, n)| n.to_owned());
    let described = |tag: &Tag| d.components.iter().any(|c| c.tag == tag.as_str());
    let mut all: Vec<Sight> = vec![];
    let mut add = |tag: Tag, points: Vec<PointId>, place: Option<String>| {
        let control = plant.control(&tag);
        let trip = plant.trips().iter().position(|t| t.tag == tag);
        if (points.is_empty() && control.is_none() && trip.is_none()) || all.iter().any(|s| s.tag == tag) {
            return;
        }
        let place = place
            .or_else(|| points.first().map(|p| plant.points()[usize::from(p.0)].place.clone()))
            .or_else(|| control.map(|c| plant.controls()[usize::from(c.0)].place.clone()))
            .unwrap_or_default();
        all.push(Sight { tag, place, points, control, trip });
    };
    for c in d.components.iter().filter(|c| !KINDS.contains(&c.kind.as_str())) {
        let tag = Tag::new(&c.tag);
        let mut points: Vec<PointId> = plant.point(&tag).into_iter().collect();
        if points.is_empty() {
            for (i, p) in plant.points().iter().enumerate() {
                let says_so = d
                    .components
                    .iter()
                    .any(|x| x.tag == p.tag.as_str() && x.links.get("of").is_some_and(|of| *of == tag));
                let same_number = !described(&p.tag)
                    && number(p.tag.as_str()).is_some()
                    && number(p.tag.as_str()) == number(tag.as_str());
                if says_so || same_number {
                    points.push(PointId(i as u16));
                }
            }
        }
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
    all.sort_by(|a, b| a.tag.cmp(&b.tag));
    all
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
