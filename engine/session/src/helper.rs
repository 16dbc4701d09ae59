//! The helper: one person who goes and looks, works what is worked on the spot, or repairs.
//!
//! A request is walked to from where the last one was done (see [`panel::places`]), takes
//! [`ON_THE_SPOT`] there, and is told when done, with what is actually so. Who asks meanwhile waits
//! in order; at most [`REQUESTS`] may wait. A control is worked when the helper arrives, and what
//! came of it is told after the time on the spot. A repair takes the time of all that can be repaired there,
//! as found on arrival; where nothing can, the helper says so after the time on the spot.

use base::record::Happening;
use base::tick::TICKS_PER_SECOND;
use base::{Tag, Tick};
use panel::sight::Sight;
use panel::{WalkTo, places};
use plant::{ControlId, Order, Plant};
use std::collections::VecDeque;

/// Ticks on the spot to look or to work a control: 5 s, own choice.
pub const ON_THE_SPOT: u32 = 5 * TICKS_PER_SECOND;
/// Requests that may wait while the helper is busy; more are refused. Own choice: what a person
/// keeps in mind.
pub const REQUESTS: usize = 3;

/// Part of a stroke that somebody beside a valve sees; own choice.
const SEEN: f64 = 0.002;

/// What the helper is about, for whoever shows it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HelperStatus {
    /// Where the helper is or walks to; empty for the control room.
    pub place: String,
    /// What the helper was asked for; nothing when free.
    pub on: Option<Tag>,
    /// When it will be done.
    pub done_at: Option<Tick>,
    /// How many requests wait.
    pub waiting: usize,
}

/// What the helper is asked for.
#[derive(Clone, Debug)]
pub(crate) struct Request {
    /// Under which tag it was asked.
    pub on: Tag,
    /// Where to go.
    pub place: String,
    /// What to do there.
    pub task: Task,
}

/// What there is to do on the spot.
#[derive(Clone, Debug)]
pub(crate) enum Task {
    Look(Sight),
    /// Work a control, with the words of the order, and see what came of it.
    Work(Sight, ControlId, Order, String),
    Repair,
}

#[derive(Clone, Debug)]
struct Doing {
    request: Request,
    arrives: Tick,
    /// Ticks on the spot.
    takes: u32,
    /// The work has been begun (or refused to be).
    worked: bool,
    /// Something is there to be repaired.
    mends: bool,
    refused: Option<String>,
    /// Where what was worked stood before, when it has a position to be seen.
    stood: Option<f64>,
}

/// The helper.
#[derive(Clone, Debug)]
pub(crate) struct Helper {
    at: String,
    doing: Option<Doing>,
    waiting: VecDeque<Request>,
}

impl Helper {
    /// In the control room, with nothing to do.
    pub fn new() -> Helper {
        Helper { at: String::new(), doing: None, waiting: VecDeque::with_capacity(REQUESTS) }
    }

    /// Takes a request, or says why not.
    pub fn ask(&mut self, request: Request, now: Tick, ways: &[WalkTo]) -> Result<(), String> {
        if self.doing.is_none() {
            self.set_off(request, now, ways);
            return Ok(());
        }
        if self.waiting.len() >= REQUESTS {
            return Err(format!("the helper is busy, and {REQUESTS} requests wait already"));
        }
        self.waiting.push_back(request);
        Ok(())
    }

    fn set_off(&mut self, request: Request, now: Tick, ways: &[WalkTo]) {
        let walk = places::ticks_between(ways, &self.at, &request.place);
        self.at.clone_from(&request.place);
        self.doing = Some(Doing {
            request,
            arrives: now.after(walk),
            takes: ON_THE_SPOT,
            worked: false,
            mends: false,
            refused: None,
            stood: None,
        });
    }

    /// One tick, before the actions that are due in it. `repairs` tells how long a tag's faults that can be
    /// repaired take, if there are any. Returns the tag that has been repaired.
    pub fn tick(
        &mut self,
        now: Tick,
        plant: &mut Plant,
        ways: &[WalkTo],
        repairs: &dyn Fn(&Tag) -> Option<u32>,
        into: &mut Vec<Happening>,
    ) -> Option<Tag> {
        self.work(now, plant, repairs);
        let doing = self.doing.take_if(|d| now >= d.arrives.after(d.takes))?;
        let says = match (&doing.request.task, &doing.refused) {
            (Task::Look(sight), _) => sight.tell(plant),
            (Task::Work(sight, control, _, to), None) => {
                let seen = sight.tell(plant);
                match (doing.stood, position(*control, sight, plant)) {
                    (Some(stood), Some((stands, ordered))) => moved(stood, stands, ordered, to, &seen),
                    _ => format!("set to {to} as ordered; {seen}"),
                }
            }
            (Task::Work(sight, _, _, to), Some(why)) => {
                format!("could not be set to {to}: {why}; {}", sight.tell(plant))
            }
            (Task::Repair, _) if doing.mends => "repaired".to_owned(),
            (Task::Repair, _) => "nothing found that could be repaired".to_owned(),
        };
        let on = doing.request.on;
        into.push(Happening::Helper { on: on.clone(), says });
        if let Some(next) = self.waiting.pop_front() {
            self.set_off(next, now, ways);
            // Who is already there works at once.
            self.work(now, plant, repairs);
        }
        doing.mends.then_some(on)
    }

    /// Begins the work of the request in hand, once, as soon as the helper is there. Whoever was asked
    /// after this tick's look, and stands there already, gets to it on the next one.
    fn work(&mut self, now: Tick, plant: &mut Plant, repairs: &dyn Fn(&Tag) -> Option<u32>) {
        let Some(doing) = self.doing.as_mut().filter(|d| now >= d.arrives && !d.worked) else { return };
        doing.worked = true;
        match &doing.request.task {
            Task::Look(_) => {}
            Task::Work(sight, control, order, _) => {
                doing.stood = position(*control, sight, plant).map(|(stands, _)| stands);
                doing.refused = plant.order(*control, *order).err();
            }
            Task::Repair => {
                let takes = repairs(&doing.request.on);
                doing.mends = takes.is_some();
                doing.takes = takes.unwrap_or(ON_THE_SPOT);
            }
        }
    }

    /// What the helper is about.
    pub fn status(&self) -> HelperStatus {
        HelperStatus {
            place: self.at.clone(),
            on: self.doing.as_ref().map(|d| d.request.on.clone()),
            done_at: self.doing.as_ref().map(|d| d.arrives.after(d.takes)),
            waiting: self.waiting.len(),
        }
    }
}

/// Where what a control moves stands, and where it is ordered to, when somebody beside it can see that:
/// the control has a dial, and a point of the same tag tells the position.
fn position(control: ControlId, sight: &Sight, plant: &Plant) -> Option<(f64, f64)> {
    let c = &plant.controls()[usize::from(control.0)];
    let ordered = plant.setting(control).dial?;
    let at = sight.points.iter().find(|p| plant.points()[usize::from(p.0)].tag == c.tag)?;
    (plant.points()[usize::from(at.0)].unit.symbol == "% open").then(|| (plant.actual(*at).0, ordered))
}

/// What is seen of something on its way: there, moving, or not moving at all.
fn moved(stood: f64, stands: f64, ordered: f64, to: &str, seen: &str) -> String {
    if (stands - ordered).abs() <= SEEN {
        format!("set to {to} as ordered; {seen}")
    } else if (stands - stood).abs() <= SEEN {
        format!("was ordered to {to}, and does not move; {seen}")
    } else {
        let way = if stands > stood { "opening" } else { "shutting" };
        format!("{way} as ordered; {seen} so far")
    }
}
