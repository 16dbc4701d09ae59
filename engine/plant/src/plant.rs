//! The plant as the layers above see it: read points, give orders, set failings, step.

use crate::instruments::{Actual, Signal};
use crate::registry::{Control, ControlId, Failing, FailingId, Order, Point, PointId, Setting, Trip};
use base::description::Description;
use base::record::Happening;
use base::{Diagnostic, Tag};

/// Kinds of component that the plant assembles.
pub const KINDS: &[&str] = &["valve"];

/// A plant in some state. A clone is a checkpoint: it goes on with the same bits.
#[derive(Clone, Debug)]
pub struct Plant {
    points: Vec<Point>,
    controls: Vec<Control>,
    failings: Vec<Failing>,
    trips: Vec<Trip>,
    tripped: Vec<bool>,
    damageable: Vec<Tag>,
    damage: Vec<f64>,
    actual: Vec<f64>,
    signal: Vec<f64>,
    settings: Vec<Setting>,
    happened: Vec<Happening>,
    valves: Vec<FirstValve>,
}

#[derive(Clone, Debug)]
struct FirstValve {
    position: f64,
    wanted: f64,
    stroke: f64,
    seized: Option<f64>,
}

impl Plant {
    /// Assembles a plant from its description.
    ///
    /// # Errors
    /// Every mistake found, at its place: unknown kinds and fields, missing links, wrong units.
    pub fn build(description: &Description) -> Result<Plant, Vec<Diagnostic>> {
        first::build(description)
    }

    /// The points, in order of [`PointId`].
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The controls, in order of [`ControlId`].
    #[must_use]
    pub fn controls(&self) -> &[Control] {
        &self.controls
    }

    /// What can go wrong, in order of [`FailingId`].
    #[must_use]
    pub fn failings(&self) -> &[Failing] {
        &self.failings
    }

    /// The latching protections.
    #[must_use]
    pub fn trips(&self) -> &[Trip] {
        &self.trips
    }

    /// Whether a protection is latched, by its place in [`Plant::trips`].
    #[must_use]
    pub fn tripped(&self, trip: usize) -> bool {
        self.tripped[trip]
    }

    /// Components that can be hurt.
    #[must_use]
    pub fn damageable(&self) -> &[Tag] {
        &self.damageable
    }

    /// Damage of one, by its place in [`Plant::damageable`]: 0 none, 1 spoilt.
    #[must_use]
    pub fn damage(&self, which: usize) -> f64 {
        self.damage[which]
    }

    /// What is true at a point, SI.
    #[must_use]
    pub fn actual(&self, point: PointId) -> Actual {
        Actual(self.actual[usize::from(point.0)])
    }

    /// What its transmitter or switch says, SI; the actual value where there is none.
    #[must_use]
    pub fn signal(&self, point: PointId) -> Signal {
        Signal(self.signal[usize::from(point.0)])
    }

    /// The point with this tag.
    #[must_use]
    pub fn point(&self, tag: &Tag) -> Option<PointId> {
        self.points.iter().position(|p| p.tag == *tag).map(|i| PointId(i as u16))
    }

    /// The control with this tag.
    #[must_use]
    pub fn control(&self, tag: &Tag) -> Option<ControlId> {
        self.controls.iter().position(|c| c.tag == *tag).map(|i| ControlId(i as u16))
    }

    /// The failing of this kind on this component.
    #[must_use]
    pub fn failing(&self, on: &Tag, kind: &str) -> Option<FailingId> {
        self.failings.iter().position(|f| f.on == *on && f.kind == kind).map(|i| FailingId(i as u16))
    }

    /// How a control stands.
    #[must_use]
    pub fn setting(&self, control: ControlId) -> Setting {
        self.settings[usize::from(control.0)]
    }

    /// Works a control. It takes effect in the next pass of controllers and physics.
    ///
    /// # Errors
    /// A sentence that says why it cannot be done: no such word, a dial past its scale, a reset
    /// while the cause stands.
    pub fn order(&mut self, control: ControlId, order: Order) -> Result<(), String> {
        first::order(self, control, order)
    }

    /// Sets a failing going (with its size, SI), or mends it.
    ///
    /// # Errors
    /// A sentence when the size is past its range.
    pub fn set_failing(&mut self, failing: FailingId, acting: bool, size: Option<f64>) -> Result<(), String> {
        first::set_failing(self, failing, acting, size)
    }

    /// Controllers, protection and burner management: read signals of the tick before, give commands.
    pub fn control_pass(&mut self) {}

    /// One tick of physics, then the instruments.
    ///
    /// # Errors
    /// A sentence naming the variable that became not finite or not physical.
    pub fn step(&mut self) -> Result<(), String> {
        first::step(self);
        Ok(())
    }

    /// Moves what happened since the last call (trips, resets, damage, flames) to the end of `into`.
    pub fn take_happenings(&mut self, into: &mut Vec<Happening>) {
        into.append(&mut self.happened);
    }
}

/// The first, smallest plant: stroked valves with limit switches. Gives way to the assembly.
mod first {
    use super::*;
    use crate::registry::{Dial, Size, Worked};
    use base::record::Layer;
    use base::units::{self, Dimension};

    pub fn build(d: &Description) -> Result<Plant, Vec<Diagnostic>> {
        let mut p = Plant {
            points: vec![],
            controls: vec![],
            failings: vec![],
            trips: vec![],
            tripped: vec![],
            damageable: vec![],
            damage: vec![],
            actual: vec![],
            signal: vec![],
            settings: vec![],
            happened: vec![],
            valves: vec![],
        };
        let open = units::unit("% open").expect("the table of units has it");
        let state = units::unit("state").expect("the table of units has it");
        let mut wrong = vec![];
        for c in d.components.iter().filter(|c| c.kind == "valve") {
            let stroke = match c.fields.get("stroke time").map(|f| units::parse_as(&f.value, Dimension::Time)) {
                Some(Ok(s)) => s,
                _ => {
                    wrong.push(Diagnostic::error(
                        "plant::field",
                        c.place.clone(),
                        format!("valve {} needs a \"stroke time\"", c.tag),
                    ));
                    continue;
                }
            };
            let place = c.fields.get("place").map(|f| f.value.clone()).unwrap_or_default();
            let system = d.systems.iter().position(|s| s.0 == c.system).unwrap_or(0);
            let number = c.tag.split_once('-').map_or("", |x| x.1);
            let point = |tag: String, name: String, unit, words, has_signal| Point {
                tag: Tag::new(&tag),
                name,
                system,
                place: place.clone(),
                unit,
                range: (0.0, 1.0),
                words,
                has_signal,
            };
            p.points.push(point(c.tag.clone(), c.name.clone(), open, None, false));
            p.points.push(point(
                format!("ZSH-{number}"),
                format!("{}, open limit switch", c.name),
                state,
                Some(("not open", "open")),
                true,
            ));
            p.points.push(point(
                format!("ZSL-{number}"),
                format!("{}, shut limit switch", c.name),
                state,
                Some(("not shut", "shut")),
                true,
            ));
            let worked = if c.fields.get("worked").is_some_and(|f| f.value == "on the spot") {
                Worked::OnTheSpot
            } else {
                Worked::OnThePanel
            };
            p.controls.push(Control {
                tag: Tag::new(&c.tag),
                name: c.name.clone(),
                system,
                place: place.clone(),
                worked,
                words: vec!["open", "shut"],
                dial: Some(Dial { unit: open, min: 0.0, max: 1.0 }),
            });
            p.failings.push(Failing {
                on: Tag::new(&c.tag),
                kind: "seized",
                layer: Layer::Actual,
                size: Some(Size { what: "position", unit: open, min: 0.0, max: 1.0, default: None }),
                seen: "it does not follow its control",
                answer: "by-pass or work round it",
            });
            p.valves.push(FirstValve { position: 0.0, wanted: 0.0, stroke, seized: None });
            p.settings.push(Setting { word: Some(1), dial: Some(0.0) });
            p.actual.extend([0.0, 0.0, 1.0]);
            p.signal.extend([0.0, 0.0, 1.0]);
        }
        if wrong.is_empty() { Ok(p) } else { Err(wrong) }
    }

    pub fn order(p: &mut Plant, control: ControlId, order: Order) -> Result<(), String> {
        let i = usize::from(control.0);
        let to = match order {
            Order::Word(0) => 1.0,
            Order::Word(_) => 0.0,
            Order::Dial(x) if (0.0..=1.0).contains(&x) => x,
            Order::Dial(_) => return Err("past the end of the scale".into()),
        };
        p.valves[i].wanted = to;
        p.settings[i] = Setting {
            word: if to == 1.0 {
                Some(0)
            } else if to == 0.0 {
                Some(1)
            } else {
                None
            },
            dial: Some(to),
        };
        Ok(())
    }

    pub fn set_failing(p: &mut Plant, failing: FailingId, acting: bool, size: Option<f64>) -> Result<(), String> {
        let v = &mut p.valves[usize::from(failing.0)];
        v.seized = acting.then(|| size.unwrap_or(v.position));
        Ok(())
    }

    pub fn step(p: &mut Plant) {
        for (i, v) in p.valves.iter_mut().enumerate() {
            let to = v.seized.unwrap_or(v.wanted);
            let most = base::tick::TICK_SECONDS / v.stroke;
            v.position += (to - v.position).clamp(-most, most);
            let x = [v.position, f64::from(u8::from(v.position > 0.98)), f64::from(u8::from(v.position < 0.02))];
            p.actual[3 * i..3 * i + 3].copy_from_slice(&x);
            p.signal[3 * i..3 * i + 3].copy_from_slice(&x);
        }
    }
}
