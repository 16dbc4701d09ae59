//! What a story changes around the plant: the weather, and what the ship's own consumers take.
//!
//! A change goes in a straight line from how it is to what is asked for, with its first part on the tick on which
//! it takes effect and all of it from the last tick of its time on; a new change of the same thing takes the
//! place of the one before.

use crate::port::Command;
use base::record::Happening;
use base::{Tag, Tick};
use plant::registry::{Surrounding, SurroundingId};
use plant::{Order, Plant};

/// One change on its way.
#[derive(Clone, Copy, Debug)]
struct Change {
    of: SurroundingId,
    from: f64,
    to: f64,
    began: Tick,
    over: u32,
}

/// The changes on their way, and what was commanded on this tick.
#[derive(Clone, Debug, Default)]
pub(crate) struct Surroundings {
    going: Vec<Change>,
    /// For a run that follows this one.
    commanded: Vec<Command>,
}

impl Change {
    fn at(&self, now: Tick) -> (f64, bool) {
        let so_far = now.0.saturating_sub(self.began.0).saturating_add(1);
        if so_far < self.over {
            (self.from + (self.to - self.from) * f64::from(so_far) / f64::from(self.over), false)
        } else {
            (self.to, true)
        }
    }
}

impl Surroundings {
    /// A new tick: nothing was commanded on it yet.
    pub fn begin_tick(&mut self) {
        self.commanded.clear();
    }

    /// What was commanded on this tick.
    pub fn commanded(&self) -> &[Command] {
        &self.commanded
    }

    /// Carries a command out, and tells what it was; one that is of something else does nothing.
    ///
    /// # Errors
    /// A sentence when there is no such thing, or it does not go so far.
    pub fn command(&mut self, command: &Command, plant: &mut Plant, now: Tick) -> Result<Option<Happening>, String> {
        let what = match command {
            Command::Surround { what, to, over } => {
                let (id, around) = find(what, plant)?;
                let (from, unit) = (plant.surrounds(id), around.scale.unit);
                // Refused here and now, and not when it has come so far.
                plant.surround(id, *to)?;
                plant.surround(id, from)?;
                let change = Change { of: id, from, to: *to, began: now, over: *over };
                self.going.retain(|c| c.of != id);
                self.going.push(change);
                told(&around, unit.tell(from), unit.tell(*to), *over)
            }
            Command::Switch { consumer, put_in } => {
                let (_, around) = find(consumer, plant)?;
                let words = if *put_in { ["out", "in"] } else { ["in", "out"] };
                let tag = Tag::new(consumer);
                let control = plant.control(&tag).filter(|_| around.consumer);
                let control = control.ok_or_else(|| format!("{consumer} is not switched in and out"))?;
                let place = plant.controls()[usize::from(control.0)].words.iter().position(|w| *w == words[1]);
                let place = place.ok_or_else(|| format!("{consumer} is not switched {}", words[1]))?;
                plant.order(control, Order::Word(place))?;
                told(&around, words[0].into(), words[1].into(), 0)
            }
            _ => return Ok(None),
        };
        self.commanded.push(command.clone());
        Ok(Some(what))
    }

    /// Brings what changes to where it is on this tick.
    ///
    /// # Errors
    /// What the plant says against it.
    pub fn act(&mut self, plant: &mut Plant, now: Tick) -> Result<(), String> {
        for change in &self.going {
            plant.surround(change.of, change.at(now).0)?;
        }
        self.going.retain(|c| !c.at(now).1);
        Ok(())
    }
}

/// A change for people.
fn told(of: &Surrounding, from: String, to: String, over: u32) -> Happening {
    if of.consumer {
        Happening::Load { on: Tag::new(&of.what), name: of.name.clone(), from, to, over }
    } else {
        Happening::Weather { what: of.what.clone(), from, to, over }
    }
}

fn find(what: &str, plant: &Plant) -> Result<(SurroundingId, Surrounding), String> {
    let Some(id) = plant.surrounding(what) else {
        let near = base::nearest::nearest(what, plant.surroundings().iter().map(|s| s.what.as_str()));
        let mean = near.map_or_else(String::new, |n| format!("; did you mean \"{n}\"?"));
        return Err(format!("nothing around the plant is called \"{what}\"{mean}"));
    };
    Ok((id, plant.surroundings()[usize::from(id.0)].clone()))
}
