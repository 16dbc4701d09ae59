//! Hands at the controls of a plant, and a log of what they did.

use base::observable::Verb;
use base::tick::TICKS_PER_SECOND;
use base::units::{ATMOSPHERE, CELSIUS_ZERO};
use base::{Place, Tag, Tick};
use files::log::{self, Action, Header, Log};
use plant::Plant;
use replay::Ship;

/// Hands at the controls.
pub struct Hands {
    ship: Ship,
    plant: Plant,
    now: u32,
    actions: Vec<Action>,
}

impl Hands {
    /// At a cold training vessel.
    pub fn cold() -> Hands {
        let ship = Ship::named(replay::ship::DEFAULT, &Place::default()).unwrap_or_else(|e| panic!("{e}"));
        Hands { plant: ship.plant.clone(), ship, now: 0, actions: vec![] }
    }

    /// Sets a control, as written in a log.
    ///
    /// # Panics
    /// When the plant does not take it: the order is wrong, and the state is not made.
    pub fn set(&mut self, tag: &str, to: &str) {
        let on = Tag::new(tag);
        let id = self.plant.control(&on).unwrap_or_else(|| panic!("there is a control {tag}"));
        let control = &self.plant.controls()[usize::from(id.0)];
        let order = session::parse_setting(control, to, &Place::default()).unwrap_or_else(|d| panic!("{}", d.message));
        self.plant.order(id, order).unwrap_or_else(|why| panic!("at {} {tag} {to}: {why}", Tick(self.now)));
        let line = self.actions.len() as u32 + 2;
        self.actions.push(Action {
            line,
            tick: Tick(self.now),
            verb: Verb::Operate,
            on: Some(on),
            to: Some(to.into()),
        });
    }

    /// Lets time pass, s.
    pub fn wait(&mut self, seconds: f64) {
        for _ in 0..(seconds * f64::from(TICKS_PER_SECOND)).round() as u32 {
            self.tick();
        }
    }

    /// Waits for something, at most so many seconds.
    ///
    /// # Panics
    /// When it does not come about.
    pub fn until(&mut self, what: &str, most: f64, holds: impl Fn(&Hands) -> bool) {
        self.moment(what, most, holds);
        // Whole seconds read better in a log.
        while !self.now.is_multiple_of(TICKS_PER_SECOND) {
            self.tick();
        }
    }

    /// The same to the tick: a breaker does not wait for a whole second.
    ///
    /// # Panics
    /// When it does not come about.
    pub fn moment(&mut self, what: &str, most: f64, holds: impl Fn(&Hands) -> bool) {
        let end = self.now + (most * f64::from(TICKS_PER_SECOND)) as u32;
        while !holds(self) {
            assert!(self.now < end, "{what}: not within {most} s, at {}", Tick(self.now));
            self.tick();
        }
    }

    /// What is true at a point, SI.
    pub fn actual(&self, tag: &str) -> f64 {
        let point = self.plant.point(&Tag::new(tag)).unwrap_or_else(|| panic!("there is a point {tag}"));
        self.plant.actual(point).0
    }

    /// Gauge pressure, bar.
    pub fn barg(&self, tag: &str) -> f64 {
        (self.actual(tag) - ATMOSPHERE) / 1e5
    }

    /// Temperature, degC.
    pub fn celsius(&self, tag: &str) -> f64 {
        self.actual(tag) - CELSIUS_ZERO
    }

    /// The log so far, as a state of this name.
    pub fn log(&self, name: &str) -> Vec<u8> {
        let d = &self.ship.description;
        let header = Header {
            exercise: name.into(),
            pack: d.name.clone(),
            pack_version: d.version.clone(),
            trainee: "state".into(),
            name: None,
            start: "2031-01-01T00:00:00Z".into(),
            recorder: "faultwright make_states".into(),
            seed: 1,
            parameters: Default::default(),
        };
        log::write(&Log { header, actions: self.actions.clone(), saw: vec![], end: Tick(self.now), whole: true })
    }

    fn tick(&mut self) {
        self.plant.control_pass();
        self.plant.step().unwrap_or_else(|why| panic!("at {}: {why}", Tick(self.now)));
        self.plant.take_happenings(&mut vec![]);
        self.now += 1;
    }
}
