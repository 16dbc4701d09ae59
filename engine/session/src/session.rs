//! One run, tick by tick.
//!
//! The order within a tick is fixed:
//!
//! 1. what the log says was shown is compared with the panel as it stands; the helper finishes what
//!    is done; the actions that are due are carried out or refused;
//! 2. the commands that stories gave on the tick before, then the faults that are due;
//! 3. controllers and protection;
//! 4. the plant;
//! 5. the panel;
//! 6. the monitors: the sample row, the conditions of faults, the watches;
//! 7. stories whose wait is over;
//! 8. the trends.
//!
//! A run goes through the ticks 0 to `lasts`, both included, unless it ends before.

mod commands;
mod led;
mod watching;

use crate::action::Action;
use crate::drift::{Comparison, Drift, Saw};
use crate::fault::{Fault, Targets};
use crate::helper::{Helper, HelperStatus, Request, Task};
use crate::observe::{Done, Getter, Names, Scene, unknown};
use crate::port::{Command, Story, StoryFailure};
use crate::setting::{parse_setting, sentence};
use crate::setup::{self, Setup};
use crate::story::{self, Waiting};
use crate::surroundings::Surroundings;
use crate::trend::Trend;
use base::observable::Verb;
use base::random::Stream;
use base::record::{Ending, Event, Happening, Record};
use base::{Diagnostic, Place, Tag, Tick};
use led::Led;
use monitor::Found;
use panel::Panel;
use panel::sight::Sight;
use plant::registry::Worked;
use plant::{Order, Plant};
use std::collections::VecDeque;
use watching::Watching;

/// A run that goes on. A clone is a checkpoint: it goes on with the same bits (stories aside, whose
/// state is theirs).
#[derive(Clone, Debug)]
pub struct Session {
    plant: Plant,
    panel: Panel,
    /// The tick that comes next.
    now: Tick,
    lasts: Tick,
    log_ends: Option<(Tick, Ending)>,
    seed: u64,
    place: Place,
    due: VecDeque<Action>,
    saw: Comparison,
    helper: Helper,
    faults: Vec<Fault>,
    targets: Targets,
    surroundings: Surroundings,
    getters: Vec<Getter>,
    row: Vec<f64>,
    watching: Watching,
    coroutines: Vec<Waiting>,
    commands: Vec<Command>,
    /// Of each of them, whether it answers something that the trainee did.
    by_trainee: Vec<bool>,
    /// What was carried out on this tick.
    done: Vec<Done>,
    /// What happened in this tick, on its way to the events.
    happened: Vec<Happening>,
    events: Vec<Event>,
    trends: Vec<Trend>,
    ends_by_story: Option<String>,
    failure: Option<StoryFailure>,
    ended: Option<Ending>,
    /// Another run whose faults this one follows, for [`crate::Onlooker`].
    led: Option<Led>,
}

/// What a run that is over leaves behind.
#[derive(Clone, Debug, PartialEq)]
pub struct Finished {
    /// For marking and the debrief.
    pub record: Record,
    /// What was found of each watch, in the order in which they were given.
    pub found: Vec<Found>,
    /// Why it ended.
    pub ending: Ending,
    /// Where the panel of the log and the panel here first disagreed.
    pub drift: Option<Drift>,
    /// What was wrong with the story, when it failed.
    pub failure: Option<StoryFailure>,
    /// Actions that were handed in and not reached, since the run had ended.
    pub not_reached: Vec<Action>,
}

impl Session {
    /// A session before its first tick.
    ///
    /// # Errors
    /// Every mistake of the exercise: unknown names with the nearest known, wrong units, sizes out
    /// of range, conditions that look ahead where they cannot.
    pub fn new(mut setup: Setup<'_>) -> Result<Session, Vec<Diagnostic>> {
        let bound = setup::bind(&mut setup)?;
        let Setup { plant, mut panel, exercise, seed, place, .. } = setup;
        panel.prime(&plant);
        Ok(Session {
            plant,
            panel,
            now: Tick::ZERO,
            lasts: exercise.lasts,
            log_ends: None,
            seed,
            place,
            due: VecDeque::new(),
            saw: Comparison::default(),
            helper: Helper::new(),
            targets: Targets::of(&bound.faults),
            surroundings: Surroundings::default(),
            faults: bound.faults,
            row: vec![0.0; bound.getters.len()],
            getters: bound.getters,
            watching: Watching::of(bound.watchers),
            coroutines: vec![Waiting::Start; exercise.stories],
            commands: Vec::with_capacity(story::COMMANDS_A_TICK + 1),
            by_trainee: Vec::with_capacity(story::COMMANDS_A_TICK + 1),
            done: Vec::with_capacity(16),
            happened: Vec::with_capacity(64),
            events: vec![],
            trends: bound.trends,
            ends_by_story: None,
            failure: None,
            ended: None,
            led: None,
        })
    }

    /// Hands in an action. One whose tick has passed is carried out on the next tick.
    pub fn act(&mut self, action: Action) {
        let at = self.due.partition_point(|a| a.tick <= action.tick);
        self.due.insert(at, action);
    }

    /// Hands in what the log says was shown.
    ///
    /// # Errors
    /// When there is no such indication, or it cannot show that.
    pub fn saw(&mut self, saw: Saw) -> Result<(), Diagnostic> {
        self.saw.add(saw, &self.plant, &self.panel)
    }

    /// Says on which tick the log comes to its end: the run ends with it.
    pub fn log_ends_at(&mut self, last: Tick) {
        self.log_ends = Some((last, Ending::LogEnded));
    }

    /// Says on which tick the log breaks off: nothing is known of the run after it.
    pub fn log_breaks_off_at(&mut self, last: Tick) {
        self.log_ends = Some((last, Ending::LogCutOff));
    }

    /// The tick that comes next.
    #[must_use]
    pub fn now(&self) -> Tick {
        self.now
    }

    /// The plant as it stands.
    #[must_use]
    pub fn plant(&self) -> &Plant {
        &self.plant
    }

    /// The panel as it is seen.
    #[must_use]
    pub fn panel(&self) -> &Panel {
        &self.panel
    }

    /// The events so far.
    #[must_use]
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// What the helper is about.
    #[must_use]
    pub fn helper(&self) -> HelperStatus {
        self.helper.status()
    }

    /// Why the run has ended, once it has.
    #[must_use]
    pub fn ended(&self) -> Option<&Ending> {
        self.ended.as_ref()
    }

    /// What was wrong with the story, when it failed.
    #[must_use]
    pub fn failure(&self) -> Option<&StoryFailure> {
        self.failure.as_ref()
    }

    /// The first disagreement with what the log says was shown, so far.
    #[must_use]
    pub fn drift(&self) -> Option<&Drift> {
        self.saw.first.as_ref()
    }

    /// What the conditions saw on the tick before the next: a sample of everything that is watched, in the
    /// order of the exercise's `watched`.
    #[must_use]
    pub fn row(&self) -> &[f64] {
        &self.row
    }

    /// The run's random stream for a purpose.
    #[must_use]
    pub fn random(&self, purpose: &str) -> Stream {
        Stream::new(self.seed, purpose)
    }

    /// The faults that may begin on the tick that comes next and do not act yet, by their places.
    pub(crate) fn about_to_begin(&self) -> impl Iterator<Item = (usize, &str)> {
        let told = |name: &str| self.commands.iter().any(|c| matches!(c, Command::Inject(n) if n == name));
        let due = move |f: &Fault| !f.acting && (f.due(self.now) == Some(true) || told(&f.name));
        self.faults.iter().enumerate().filter(move |(_, f)| due(f)).map(|(i, f)| (i, f.name.as_str()))
    }

    /// Ticks until the run has ended.
    pub fn run(&mut self, story: &mut dyn Story) {
        while self.ended.is_none() {
            self.tick(story);
        }
    }

    /// One tick, in the order at the head of this file. Does nothing once the run has ended.
    pub fn tick(&mut self, story: &mut dyn Story) {
        if self.ended.is_some() {
            return;
        }
        self.done.clear();
        self.surroundings.begin_tick();
        self.saw.tick(self.now, &self.panel);
        if let Some(drift) = &self.saw.first {
            // The tick before was the last of the run that was recorded.
            let why = drift.told();
            self.now = Tick(self.now.0.saturating_sub(1));
            return self.end(Ending::Drifted(why));
        }
        self.help();
        while self.due.front().is_some_and(|a| a.tick <= self.now) {
            if let Some(action) = self.due.pop_front() {
                self.carry_out(action);
            }
        }
        if let Err(ending) = self.commands_and_faults() {
            return self.end(ending);
        }
        self.plant.control_pass();
        let stepped = self.plant.step();
        self.plant.take_happenings(&mut self.happened);
        self.note();
        if let Err(why) = stepped {
            return self.end(Ending::PlantFailed(why));
        }
        self.panel.update(&self.plant, self.now, &mut self.happened);
        self.note();
        self.monitors();
        if let Err(failure) = self.stories(story) {
            let message = failure.told();
            self.failure = Some(failure);
            return self.end(Ending::ScriptFailed(message));
        }
        let scene =
            Scene { plant: &self.plant, panel: &self.panel, faults: &self.faults, done: &self.done, now: self.now };
        for trend in &mut self.trends {
            trend.sample(&scene);
        }
        let ending = if let Some(why) = self.ends_by_story.take() {
            Some(Ending::Story(why))
        } else if self.now >= self.lasts {
            Some(Ending::TimeUp)
        } else {
            self.log_ends.clone().filter(|(last, _)| *last <= self.now).map(|(_, ending)| ending)
        };
        match ending {
            Some(ending) => self.end(ending),
            None => self.now = self.now.after(1),
        }
    }

    /// Puts what happened among the events of this tick.
    fn note(&mut self) {
        let tick = self.now;
        self.events.extend(self.happened.drain(..).map(|what| Event { tick, what }));
    }

    fn end(&mut self, ending: Ending) {
        self.panel.finish(&self.plant, self.now.after(1), &mut self.happened);
        self.happened.push(Happening::Ended(ending.clone()));
        self.note();
        self.ended = Some(ending);
    }

    /// A run that is over, or is broken off here: settles what was watched.
    #[must_use]
    pub fn finish(mut self) -> Finished {
        let ending = match &self.ended {
            Some(ending) => ending.clone(),
            None => {
                // The tick that comes next has not been.
                self.now = Tick(self.now.0.saturating_sub(1));
                self.end(Ending::LogEnded);
                Ending::LogEnded
            }
        };
        Finished {
            record: Record {
                end: self.now,
                events: self.events,
                channels: self.trends.into_iter().map(Trend::into_channel).collect(),
            },
            found: self.watching.finish(),
            ending,
            drift: self.saw.first,
            failure: self.failure,
            not_reached: self.due.into(),
        }
    }

    fn carry_out(&mut self, action: Action) {
        let at = self.events.len();
        let result = self.attempt(&action);
        let Action { verb, on, to, .. } = action;
        let refused = match result {
            Ok(order) => {
                self.done.push(Done { verb, on: on.clone(), to: to.clone(), order });
                None
            }
            Err(why) => Some(why),
        };
        // The action stands before what it brought about.
        self.events.insert(at, Event { tick: self.now, what: Happening::Action { verb, on, to, refused } });
        self.note();
    }

    /// Carries an action out, or says why not.
    fn attempt(&mut self, action: &Action) -> Result<Option<Order>, String> {
        let told = |d: Diagnostic| sentence(&d);
        let names = Names { plant: &self.plant, panel: &self.panel, faults: &self.faults };
        match (action.verb, &action.on) {
            (Verb::Operate, None) => Err("it does not say what to operate".to_owned()),
            (Verb::Operate, Some(on)) => {
                let id = names.control(on, &self.place).map_err(told)?;
                let control = &self.plant.controls()[usize::from(id.0)];
                // A push button can only be pressed.
                let only = (control.dial.is_none() && control.words.len() == 1).then(|| control.words[0]);
                let Some(to) = action.to.as_deref().or(only) else {
                    return Err(format!("it does not say what to set {on} to"));
                };
                let order = parse_setting(control, to, &self.place).map_err(told)?;
                match control.worked {
                    Worked::OnThePanel => self.plant.order(id, order)?,
                    Worked::OnTheSpot => self.send(on, |sight| Task::Work(sight, id, order, to.to_owned()))?,
                }
                Ok(Some(order))
            }
            (Verb::Acknowledge, Some(on)) => {
                let alarm = names.alarm(on, &self.place).map_err(told)?;
                if !self.panel.acknowledge(alarm, &mut self.happened) {
                    return Err(format!("{on} does not wait to be acknowledged"));
                }
                Ok(None)
            }
            (Verb::Acknowledge, None) => {
                let mut any = false;
                for alarm in 0..self.panel.alarms().len() {
                    if self.panel.acknowledge(alarm, &mut self.happened) {
                        any = true;
                        let on = Some(self.panel.alarms()[alarm].tag.clone());
                        self.done.push(Done { verb: Verb::Acknowledge, on, to: None, order: None });
                    }
                }
                if any { Ok(None) } else { Err("no alarm waits to be acknowledged".to_owned()) }
            }
            (Verb::LampTest, _) => {
                self.panel.lamp_test(self.now);
                Ok(None)
            }
            (Verb::LocalCheck, None) => Err("it does not say what to look at".to_owned()),
            (Verb::LocalCheck, Some(on)) => self.send(on, Task::Look).map(|()| None),
            (Verb::Repair, None) => Err("it does not say what to repair".to_owned()),
            (Verb::Repair, Some(on)) => {
                names.repairable(on, &self.place).map_err(told)?;
                let place = self.panel.place_of(on, &self.plant);
                let request = Request { on: on.clone(), place, task: Task::Repair };
                self.helper.ask(request, self.now, self.panel.places()).map(|()| None)
            }
            (Verb::Report, on) => {
                if on.is_none() && action.to.as_deref().is_none_or(|t| t.trim().is_empty()) {
                    return Err("the report says nothing".to_owned());
                }
                Ok(None)
            }
        }
    }

    fn send(&mut self, on: &Tag, task: impl FnOnce(Sight) -> Task) -> Result<(), String> {
        let Some(sight) = self.panel.sight(on, &self.plant).cloned() else {
            return Err(sentence(&unknown("thing to look at", on, self.panel.sights(), &self.place)));
        };
        let request = Request { on: on.clone(), place: sight.place.clone(), task: task(sight) };
        self.helper.ask(request, self.now, self.panel.places())
    }

    /// What the helper does; a repair clears what acts on its target and can be repaired.
    fn help(&mut self) {
        let now = self.now;
        let Session { helper, plant, panel, faults, happened, .. } = self;
        let repairs = |on: &Tag| {
            let here = faults.iter().filter(|f| f.acting && f.on == *on).filter_map(|f| f.repair);
            here.fold(None, |sum: Option<u32>, ticks| Some(sum.unwrap_or(0).saturating_add(ticks)))
        };
        let repaired = helper.tick(now, plant, panel.places(), &repairs, happened);
        self.note();
        // A run that follows another clears its faults as that one does.
        let Some(on) = repaired.filter(|_| self.led.is_none()) else { return };
        for i in 0..self.faults.len() {
            if self.faults[i].on == on && self.faults[i].repair.is_some() {
                self.set_fault(i, false, true);
            }
        }
    }

    fn monitors(&mut self) {
        // A run that follows another has its faults led, and nothing is watched in it.
        if self.led.is_some() {
            return;
        }
        let scene =
            Scene { plant: &self.plant, panel: &self.panel, faults: &self.faults, done: &self.done, now: self.now };
        for (value, getter) in self.row.iter_mut().zip(&self.getters) {
            *value = getter.read(&scene);
        }
        for fault in &mut self.faults {
            fault.feed(&self.row, self.now);
        }
        self.watching.take(&self.row);
    }

    fn stories(&mut self, story: &mut dyn Story) -> Result<(), StoryFailure> {
        if self.coroutines.is_empty() {
            return Ok(());
        }
        let scene =
            Scene { plant: &self.plant, panel: &self.panel, faults: &self.faults, done: &self.done, now: self.now };
        story::wake(
            &mut self.coroutines,
            story,
            scene,
            &self.events,
            &self.place,
            &mut self.commands,
            &mut self.by_trainee,
        )
    }
}
