//! What an exercise may refer to: plain data that the caller fills from plant and panel, so that an
//! unknown name is found where the script wrote it.

use base::record::Layer;
use base::units::Unit;
use std::collections::BTreeMap;

/// Everything that has a name on board. The keys are tags as stamped on the equipment.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// The plant's short name.
    pub plant: String,
    /// The prepared states that a run may start from.
    pub starts: Vec<String>,
    /// What can be measured, or has a state.
    pub points: BTreeMap<String, Point>,
    /// What can be operated.
    pub controls: BTreeMap<String, Control>,
    /// Indicator lamps, with what people call them.
    pub lamps: BTreeMap<String, String>,
    /// Alarms, with their text on the panel.
    pub alarms: BTreeMap<String, String>,
    /// Protections that latch, with what they protect.
    pub trips: BTreeMap<String, String>,
    /// Components that can be hurt, with what people call them.
    pub damageable: BTreeMap<String, String>,
    /// What the helper can be sent to look at, with what people call it.
    pub checkable: BTreeMap<String, String>,
    /// What can go wrong: by target, then by kind; with the size a kind has, if it has one.
    pub failings: BTreeMap<String, BTreeMap<String, Option<Size>>>,
    /// The weather: what of it changes ("sea temperature"), and where it goes.
    pub weather: BTreeMap<String, Range>,
    /// Consumers of the ship, with the power that each may take.
    pub loads: BTreeMap<String, Range>,
}

/// A measured thing or a state.
#[derive(Clone, Debug)]
pub struct Point {
    /// What people call it: "drum pressure".
    pub name: String,
    /// The unit people read it in; its dimension is the point's.
    pub unit: &'static Unit,
    /// For a state, the words for 0, 1 and so on ("shut", "open"); empty for a quantity.
    pub words: Vec<String>,
    /// Which of the three values it has.
    pub layers: Vec<Layer>,
    /// The instrument's range, SI, where that is known: a transmitter says little outside of it.
    pub range: Option<(f64, f64)>,
    /// The ends of the gauge's scale, SI, where it has one: nothing is shown outside of it.
    pub scale: Option<(f64, f64)>,
}

/// Something a trainee may operate.
#[derive(Clone, Debug)]
pub struct Control {
    /// What people call it.
    pub name: String,
    /// The words it can be set to.
    pub words: Vec<String>,
    /// Its dial, if it has one.
    pub dial: Option<Range>,
}

/// A continuous scale.
#[derive(Clone, Copy, Debug)]
pub struct Range {
    /// The unit on the scale.
    pub unit: &'static Unit,
    /// Least value, SI.
    pub min: f64,
    /// Greatest value, SI.
    pub max: f64,
}

/// The size of a fault.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// Its scale.
    pub range: Range,
    /// Whether the exercise has to say it.
    pub needed: bool,
    /// Whether it is an amount, which can grow from nothing.
    pub grows: bool,
}

impl Names {
    /// What people call the thing with this tag, when they call it anything.
    #[must_use]
    pub fn name_of(&self, tag: &str) -> Option<&str> {
        let name =
            self.points.get(tag).map(|p| p.name.as_str()).or_else(|| self.controls.get(tag).map(|c| c.name.as_str()));
        let other = [&self.lamps, &self.alarms, &self.trips, &self.damageable, &self.checkable];
        name.or_else(|| other.iter().find_map(|m| m.get(tag)).map(String::as_str))
            .filter(|n| !n.is_empty() && *n != tag)
    }

    /// Every tag that a report may be about, in order and once each.
    #[must_use]
    pub fn all_tags(&self) -> Vec<&str> {
        let mut tags: Vec<&str> = self
            .points
            .keys()
            .chain(self.controls.keys())
            .chain(self.lamps.keys())
            .chain(self.alarms.keys())
            .chain(self.trips.keys())
            .chain(self.damageable.keys())
            .chain(self.checkable.keys())
            .chain(self.failings.keys())
            .map(String::as_str)
            .collect();
        tags.sort_unstable();
        tags.dedup();
        tags
    }
}
