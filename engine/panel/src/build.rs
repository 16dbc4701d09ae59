//! From a plant's description to its panel, with all mistakes told at once.

use crate::alarm::{Alarm, Cause};
use crate::fields::Fields;
use crate::gauge::{Gauge, TOLERANCE};
use crate::lamp::{Follows, Lamp};
use crate::places::{WALK, WalkTo};
use crate::sight;
use crate::{KINDS, Panel};
use base::description::{Component, Description};
use base::units::Dimension;
use base::{Diagnostic, Tag};
use plant::{Plant, PointId};
use std::collections::BTreeMap;

pub(crate) fn build(d: &Description, plant: &Plant) -> Result<Panel, Vec<Diagnostic>> {
    let mut wrong = vec![];
    tags_are_unique(d, plant, &mut wrong);
    let of_kind = |kind: &'static str| d.components.iter().filter(move |c| c.kind == kind);
    let places: Vec<WalkTo> =
        of_kind("place").flat_map(|c| place(Fields { component: c, wrong: &mut wrong })).collect();
    places_are_known(d, &places, &mut wrong);
    let read = |c| Reader { component: c, plant };
    let alarms: Vec<Alarm> = of_kind("alarm").filter_map(|c| read(c).alarm(&mut wrong)).collect();
    let gauges = of_kind("gauge").filter_map(|c| read(c).gauge(&mut wrong)).collect();
    // A lamp may follow an alarm that has a mistake of its own; that one is told once.
    let alarm_tags: Vec<Tag> = of_kind("alarm").map(|c| Tag::new(&c.tag)).collect();
    let lamps = of_kind("lamp").filter_map(|c| read(c).lamp(&alarm_tags, &mut wrong)).collect();
    if wrong.is_empty() {
        let sights = sight::sights(d, plant);
        let mut panel = Panel::of_parts(gauges, lamps, alarms, places, sights);
        panel.stands = sight::stands(d);
        panel.prime(plant);
        Ok(panel)
    } else {
        Err(wrong)
    }
}

fn tags_are_unique(d: &Description, plant: &Plant, wrong: &mut Vec<Diagnostic>) {
    let mut seen = BTreeMap::new();
    for c in d.components.iter().filter(|c| KINDS.contains(&c.kind.as_str())) {
        let tag = Tag::new(&c.tag);
        let f = Fields { component: c, wrong };
        let clash = if let Some(first) = seen.insert(tag.clone(), c.place.clone()) {
            Some(format!("the tag is taken already, at {first}"))
        } else if plant.point(&tag).is_some() || plant.control(&tag).is_some() {
            Some("the tag is taken already by the plant itself".to_owned())
        } else {
            None
        };
        if let Some(message) = clash {
            let d = f.error("panel::duplicate-tag", message);
            f.wrong.push(d);
        }
    }
}

/// A place under its name and under its tag: people write either in the field "place".
fn place(mut f: Fields<'_>) -> Vec<WalkTo> {
    f.only(&[], &["walk"]);
    let walk = f.needed("walk", "40 s").and_then(|_| f.ticks("walk")).flatten();
    let c = f.component;
    let mut names = vec![c.tag.clone()];
    if !c.name.is_empty() && c.name != c.tag {
        names.push(c.name.clone());
    }
    // One whose way has a mistake is known all the same: that is told once.
    names.into_iter().map(|place| WalkTo { place, walk: walk.unwrap_or(WALK) }).collect()
}

fn places_are_known(d: &Description, places: &[WalkTo], wrong: &mut Vec<Diagnostic>) {
    if places.is_empty() {
        return; // A small plant without places: every way takes the same time.
    }
    for c in &d.components {
        let Some(field) = c.fields.get("place") else {
            continue;
        };
        if !places.iter().any(|p| p.place == field.value) {
            let f = Fields { component: c, wrong };
            let d = f
                .error("panel::unknown-place", format!("no place \"{}\" is described", field.value))
                .nearest(&field.value, places.iter().map(|p| p.place.as_str()));
            f.wrong.push(d);
        }
    }
}

struct Reader<'a> {
    component: &'a Component,
    plant: &'a Plant,
}

impl<'a> Reader<'a> {
    fn fields<'b>(&self, wrong: &'b mut Vec<Diagnostic>) -> Fields<'b>
    where
        'a: 'b,
    {
        Fields { component: self.component, wrong }
    }

    fn unknown(&self, f: &mut Fields<'_>, of: &Tag, extra: &[Tag]) {
        let plant = self.plant;
        let known = plant
            .points()
            .iter()
            .map(|p| &p.tag)
            .chain(plant.trips().iter().map(|t| &t.tag))
            .chain(plant.controls().iter().map(|c| &c.tag))
            .chain(extra);
        let d = f
            .error("panel::unknown-tag", format!("there is nothing to show with the tag \"{of}\""))
            .nearest(of.as_str(), known.map(Tag::as_str));
        f.wrong.push(d);
    }

    /// A point with a signal, which is what a panel can show.
    fn point(&self, f: &mut Fields<'_>, of: &Tag) -> Option<PointId> {
        let Some(id) = self.plant.point(of) else {
            self.unknown(f, of, &[]);
            return None;
        };
        if !self.plant.points()[usize::from(id.0)].has_signal {
            let d = f
                .error("panel::no-signal", format!("{of} sends no signal; it can only be read on the spot"))
                .hint("let it follow a transmitter or switch");
            f.wrong.push(d);
            return None;
        }
        Some(id)
    }

    fn gauge(&self, wrong: &mut Vec<Diagnostic>) -> Option<Gauge> {
        let mut f = self.fields(wrong);
        f.only(&["of"], &["scale", "tolerance", "place"]);
        let scale = f.scale("scale");
        let of = f.of()?;
        let point = self.point(&mut f, &of)?;
        let measured = self.plant.points()[usize::from(point.0)].unit.dimension;
        if measured == Dimension::State {
            let d = f
                .error("panel::is-a-state", format!("{of} is a state, which no scale can show"))
                .hint("show it with a lamp");
            f.wrong.push(d);
            return None;
        }
        let (scale, unit) = scale?;
        if unit.dimension != measured {
            let d = f.error(
                "panel::unit",
                format!(
                    "its scale is in {}, a unit of {}, and {of} measures {}",
                    unit.symbol,
                    unit.dimension.name(),
                    measured.name()
                ),
            );
            f.wrong.push(d);
            return None;
        }
        let tolerance = match f.quantity("tolerance", measured.difference())? {
            Some(t) if t > 0.0 => t,
            Some(_) => {
                let d = f.error("panel::range", "its \"tolerance\" must be above zero");
                f.wrong.push(d);
                return None;
            }
            None => TOLERANCE * (scale.1 - scale.0),
        };
        let c = self.component;
        Some(Gauge::new(Tag::new(&c.tag), c.name.clone(), point, unit, scale, tolerance))
    }

    /// "1" or "0", or one of two words.
    fn which(&self, f: &mut Fields<'_>, name: &str, of: &Tag, words: (&str, &str)) -> Option<bool> {
        let text = f.needed(name, words.1)?;
        match text.as_str() {
            t if t == "1" || t == words.1 => Some(true),
            t if t == "0" || t == words.0 => Some(false),
            t => {
                let d = f
                    .error("panel::word", format!("\"{name}\" is \"{t}\", and {of} is never that"))
                    .hint(format!("write \"{}\" or \"{}\" (or 1 or 0)", words.1, words.0));
                f.wrong.push(d);
                None
            }
        }
    }

    fn words_of(&self, point: PointId) -> Option<(&'static str, &'static str)> {
        let p = &self.plant.points()[usize::from(point.0)];
        (p.unit.dimension == Dimension::State).then(|| p.words.unwrap_or(("0", "1")))
    }

    fn trip(&self, of: &Tag) -> Option<usize> {
        self.plant.trips().iter().position(|t| t.tag == *of)
    }

    fn lamp(&self, alarms: &[Tag], wrong: &mut Vec<Diagnostic>) -> Option<Lamp> {
        let mut f = self.fields(wrong);
        f.only(&["of"], &["lit when", "place"]);
        let of = f.of()?;
        let point = self.plant.point(&of);
        let state = point.and_then(|p| Some((p, self.words_of(p)?)));
        let follows = if let Some((_, words)) = state {
            let point = self.point(&mut f, &of)?;
            Follows::Point(point, self.which(&mut f, "lit when", &of, words)?)
        } else if let Some(trip) = self.trip(&of) {
            Follows::Trip(trip, self.which(&mut f, "lit when", &of, ("reset", "tripped"))?)
        } else if let Some(alarm) = alarms.iter().position(|a| *a == of) {
            if f.text("lit when") == Some("not acknowledged") {
                Follows::Unacknowledged(alarm)
            } else {
                Follows::Standing(alarm, self.which(&mut f, "lit when", &of, ("normal", "standing"))?)
            }
        } else if let Some(control) = self.plant.control(&of) {
            let words = &self.plant.controls()[usize::from(control.0)].words;
            let text = f.needed("lit when", words.first().copied().unwrap_or("auto"))?;
            let Some(word) = words.iter().position(|w| *w == text) else {
                let d = f
                    .error("panel::word", format!("\"lit when\" is \"{text}\", and {of} cannot be set to that"))
                    .hint(format!("it can be set to {}", words.join(", ")));
                f.wrong.push(d);
                return None;
            };
            Follows::Control(control, word)
        } else if point.is_some() {
            let d = f
                .error("panel::not-a-state", format!("{of} is a quantity, which a lamp cannot show"))
                .hint("show it with a gauge, or let the lamp follow a switch or an alarm");
            f.wrong.push(d);
            return None;
        } else {
            self.unknown(&mut f, &of, alarms);
            return None;
        };
        let c = self.component;
        Some(Lamp::new(Tag::new(&c.tag), c.name.clone(), follows))
    }

    fn alarm(&self, wrong: &mut Vec<Diagnostic>) -> Option<Alarm> {
        let mut f = self.fields(wrong);
        let c = self.component;
        f.only(&["of"], &["above", "below", "returns at", "when", "delay", "text"]);
        let delay = f.ticks("delay");
        let of = f.of()?;
        let cause = if self.plant.point(&of).is_none()
            && let Some(trip) = self.trip(&of)
        {
            Cause::Trip(trip)
        } else {
            let point = self.point(&mut f, &of)?;
            match self.words_of(point) {
                Some(words) => Cause::State(point, self.which(&mut f, "when", &of, words)?),
                None => self.limit(&mut f, point)?,
            }
        };
        let allowed: &[&str] = match cause {
            Cause::Trip(_) => &["delay", "text"],
            Cause::State(..) => &["when", "delay", "text"],
            Cause::Above { .. } => &["above", "returns at", "delay", "text"],
            Cause::Below { .. } => &["below", "returns at", "delay", "text"],
        };
        for name in ["above", "below", "returns at", "when"] {
            if f.text(name).is_some() && !allowed.contains(&name) {
                let d = f.error("panel::unknown-field", format!("\"{name}\" means nothing for an alarm on {of}"));
                f.wrong.push(d);
            }
        }
        let text = f.text("text").unwrap_or(&c.name).to_owned();
        Some(Alarm::new(Tag::new(&c.tag), text, cause, delay?.unwrap_or(0)))
    }

    fn limit(&self, f: &mut Fields<'_>, point: PointId) -> Option<Cause> {
        let p = &self.plant.points()[usize::from(point.0)];
        let dimension = p.unit.dimension;
        let above = f.quantity("above", dimension)?;
        let below = f.quantity("below", dimension)?;
        let returns = f.quantity("returns at", dimension)?;
        // Without "returns at" the differential is 1 % of the instrument's range (own choice).
        let differential = 0.01 * (p.range.1 - p.range.0);
        let (cause, good) = match (above, below) {
            (Some(limit), None) => {
                let returns_at = returns.unwrap_or(limit - differential);
                (Cause::Above { point, limit, returns_at }, returns_at <= limit)
            }
            (None, Some(limit)) => {
                let returns_at = returns.unwrap_or(limit + differential);
                (Cause::Below { point, limit, returns_at }, returns_at >= limit)
            }
            _ => {
                let d = f
                    .error("panel::missing-field", "it needs one limit, \"above\" or \"below\"")
                    .hint("two limits are two alarms");
                f.wrong.push(d);
                return None;
            }
        };
        if !good {
            let d = f
                .error("panel::range", "\"returns at\" lies on the wrong side of its limit")
                .hint("an alarm above 10 returns below 10, an alarm below 10 returns above 10");
            f.wrong.push(d);
            return None;
        }
        Some(cause)
    }
}
