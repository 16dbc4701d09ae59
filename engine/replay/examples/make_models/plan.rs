//! A plan at the panel: tasks one after the other, each of which looks at the panel until it is done.

use base::record::Happening;
use replay::record::{Deed, Scene};
use std::collections::VecDeque;

/// What a task does at a look.
pub enum Turn {
    /// It waits.
    Wait,
    /// It does something, and goes on.
    Do(Deed),
    /// It does something or nothing, and is done.
    Done(Vec<Deed>),
}

type Task = Box<dyn FnMut(&Scene<'_>, f64) -> Turn>;

/// Tasks that are still to be done.
#[derive(Default)]
pub struct Plan {
    tasks: VecDeque<Task>,
    /// When the present task was begun, s.
    since: Option<f64>,
    /// When an alarm was first heard that nobody has answered, s.
    rings_since: Option<f64>,
}

/// How long somebody takes to answer an alarm, s.
const ANSWERS_IN: f64 = 8.0;

impl Plan {
    /// A task of its own kind: it is given the panel and how long it has lasted, s.
    pub fn task(&mut self, task: impl FnMut(&Scene<'_>, f64) -> Turn + 'static) {
        self.tasks.push_back(Box::new(task));
    }

    /// Sets a control.
    pub fn set(&mut self, on: &str, to: &str) {
        self.deed(Deed::operate(on, to));
    }

    /// Opens these, one after the other.
    pub fn open(&mut self, valves: &[&str]) {
        for valve in valves {
            self.set(valve, "open");
            self.wait(2.0);
        }
    }

    /// Does something.
    pub fn deed(&mut self, deed: Deed) {
        self.task(move |_, _| Turn::Done(vec![deed.clone()]));
    }

    /// Does something that the panel tells how.
    pub fn read(&mut self, deed: impl Fn(&Scene<'_>) -> Deed + 'static) {
        self.task(move |scene, _| Turn::Done(vec![deed(scene)]));
    }

    /// Has the helper do something, once the helper is free, and waits until it is done.
    pub fn spot(&mut self, deed: Deed) {
        self.until("the helper is free", 900.0, |s| !s.helper_busy());
        self.deed(deed);
        self.wait(1.0);
        self.until("the helper is back", 900.0, |s| !s.helper_busy());
    }

    /// Lets time pass, s.
    pub fn wait(&mut self, seconds: f64) {
        self.task(move |_, lasted| if lasted + 1e-9 >= seconds { Turn::Done(vec![]) } else { Turn::Wait });
    }

    /// Waits for something, at most so many seconds.
    ///
    /// # Panics
    /// When it does not come about: the plan is wrong, and no model is made.
    pub fn until(&mut self, what: &'static str, most: f64, holds: impl Fn(&Scene<'_>) -> bool + 'static) {
        self.task(move |scene, lasted| {
            if holds(scene) {
                return Turn::Done(vec![]);
            }
            assert!(lasted < most, "at {}: {what}: not within {most} s", scene.now());
            Turn::Wait
        });
    }

    /// Does what is called for every so many seconds, until nothing is.
    pub fn trim(&mut self, every: f64, mut called_for: impl FnMut(&Scene<'_>) -> Option<Deed> + 'static) {
        let mut next = 0.0;
        self.task(move |scene, lasted| {
            if lasted < next {
                return Turn::Wait;
            }
            next = lasted + every;
            assert!(lasted < 3600.0, "at {}: the trimming ends", scene.now());
            called_for(scene).map_or(Turn::Done(vec![]), Turn::Do)
        });
    }

    /// How many tasks the run's end has left undone.
    pub fn left(&self) -> usize {
        self.tasks.len()
    }

    /// Looks at the panel, and does what is due.
    pub fn look(&mut self, scene: &Scene<'_>) -> Vec<Deed> {
        let now = scene.now().seconds();
        for heard in scene.heard() {
            if let Happening::Action { refused: Some(why), on, .. } = &heard.what {
                let on = on.as_ref().map(ToString::to_string).unwrap_or_default();
                println!("  at {}: {on} is refused: {why}", scene.now());
            }
        }
        let mut deeds = vec![];
        self.answer_alarms(scene, now, &mut deeds);
        while let Some(task) = self.tasks.front_mut() {
            let since = *self.since.get_or_insert(now);
            match task(scene, now - since) {
                Turn::Wait => break,
                Turn::Do(deed) => {
                    deeds.push(deed);
                    break;
                }
                Turn::Done(last) => {
                    let acted = !last.is_empty();
                    deeds.extend(last);
                    self.tasks.pop_front();
                    self.since = None;
                    // One thing at a time: the panel shows what came of it before the next look.
                    if acted {
                        break;
                    }
                }
            }
        }
        deeds
    }

    fn answer_alarms(&mut self, scene: &Scene<'_>, now: f64, deeds: &mut Vec<Deed>) {
        if !scene.waits() {
            self.rings_since = None;
        } else if now - *self.rings_since.get_or_insert(now) >= ANSWERS_IN {
            deeds.push(Deed::acknowledge());
            self.rings_since = None;
        }
    }
}

/// Gauge pressure, bar, of what a gauge shows.
pub fn barg(scene: &Scene<'_>, tag: &str) -> f64 {
    (shown(scene, tag) - base::units::ATMOSPHERE) / 1e5
}

/// Temperature, degC, of what a gauge shows.
pub fn celsius(scene: &Scene<'_>, tag: &str) -> f64 {
    shown(scene, tag) - base::units::CELSIUS_ZERO
}

/// What a gauge shows, SI.
///
/// # Panics
/// When the panel has no such gauge.
pub fn shown(scene: &Scene<'_>, tag: &str) -> f64 {
    scene.shown(tag).unwrap_or_else(|| panic!("there is a gauge of {tag}"))
}

/// Whether a lamp is lit.
///
/// # Panics
/// When the panel has no such lamp.
pub fn lit(scene: &Scene<'_>, lamp: &str) -> bool {
    scene.lit(lamp).unwrap_or_else(|| panic!("there is a lamp {lamp}"))
}
