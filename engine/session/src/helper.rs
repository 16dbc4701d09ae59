//! The helper: one person who goes and looks, or works what is worked on the spot.
//!
//! A request is walked to from where the last one was done (see [`panel::places`]), takes
//! [`ON_THE_SPOT`] there, and is told when done, with what is actually so. Who asks meanwhile waits
//! in order; at most [`REQUESTS`] may wait. A control is worked when the helper arrives, and what
//! came of it is told after the time on the spot.

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
    /// Where to go, and what to see there.
    pub sight: Sight,
    /// A control to work, with the words of the order.
    pub work: Option<(ControlId, Order, String)>,
}

#[derive(Clone, Debug)]
struct Doing {
    request: Request,
    arrives: Tick,
    /// The control has been worked (or refused to be).
    worked: bool,
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
        let walk = places::ticks_between(ways, &self.at, &request.sight.place);
        self.at.clone_from(&request.sight.place);
        self.doing = Some(Doing { request, arrives: now.after(walk), worked: false, refused: None, stood: None });
    }

    /// One tick, before the actions that are due in it.
    pub fn tick(&mut self, now: Tick, plant: &mut Plant, ways: &[WalkTo], into: &mut Vec<Happening>) {
        self.work(now, plant);
        let Some(doing) = &self.doing else { return };
        if now < doing.arrives.after(ON_THE_SPOT) {
            return;
        }
        let seen = doing.request.sight.tell(plant);
        let says = match (&doing.request.work, &doing.refused) {
            (None, _) => seen,
            (Some((control, _, to)), None) => match (doing.stood, position(*control, &doing.request.sight, plant)) {
                (Some(stood), Some((stands, ordered))) => moved(stood, stands, ordered, to, &seen),
                _ => format!("set to {to} as ordered; {seen}"),
            },
            (Some((_, _, to)), Some(why)) => format!("could not be set to {to}: {why}; {seen}"),
        };
        into.push(Happening::Helper { on: doing.request.on.clone(), says });
        self.doing = None;
        if let Some(next) = self.waiting.pop_front() {
            self.set_off(next, now, ways);
            // Who is already there works at once.
            self.work(now, plant);
        }
    }

    /// Works the control of the request in hand, once, as soon as the helper is there. Whoever was asked
    /// after this tick's look, and stands there already, gets to it on the next one.
    fn work(&mut self, now: Tick, plant: &mut Plant) {
        if let Some(Doing {
            request: Request { work: Some((control, order, _)), sight, .. },
            arrives,
            worked,
            refused,
            stood,
        }) = &mut self.doing
            && now >= *arrives
            && !*worked
        {
            *worked = true;
            *stood = position(*control, sight, plant).map(|(stands, _)| stands);
            *refused = plant.order(*control, *order).err();
        }
    }

    /// What the helper is about.
    pub fn status(&self) -> HelperStatus {
        HelperStatus {
            place: self.at.clone(),
            on: self.doing.as_ref().map(|d| d.request.on.clone()),
            done_at: self.doing.as_ref().map(|d| d.arrives.after(ON_THE_SPOT)),
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
