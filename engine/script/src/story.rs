//! Stories: coroutines of a script that the session wakes.

use crate::condition::{ConditionId, Kind, Row, Shelf, ValueId};
use crate::host::Host;
use crate::limits::{self, Limit};
use crate::{Input, author};
use base::observable::Observable;
use base::{Diagnostic, Place};
use mlua::thread::ThreadStatus;
use mlua::{Function, MultiValue, Thread, Value};
use monitor::Comparison;
use session::{Command, Story, StoryFailure, View, Wait};

/// What a story asks of the run.
#[derive(Clone, Debug, PartialEq)]
pub enum Request {
    /// To wait so many ticks.
    Wait(u32),
    /// To wait for a condition, or so many ticks at most.
    WaitUntil(ConditionId, Option<u32>),
    /// To do something.
    Command(Command),
    /// The time.
    Time,
    /// A value.
    Value(ValueId),
    /// Whether a condition holds now.
    Holds(ConditionId),
    /// Whether actions were done since the start, and whether that is what is wanted.
    Has(ConditionId, bool),
}

/// The stories of one run: the script is read again in a state of its own.
///
/// Before them go coroutines without a script: each follows a step that stories ask for from the start of the run on,
/// since a story that asks whether it was done may begin to look long after it was.
pub struct Stories {
    host: Host,
    followed: Vec<Followed>,
    coroutines: Vec<Coroutine>,
    /// Once a story has failed the run is over: it stays failed.
    failed: Option<StoryFailure>,
}

/// A step that is followed.
struct Followed {
    step: String,
    condition: ConditionId,
    begun: bool,
}

struct Coroutine {
    thread: Thread,
    /// What it runs, for the lines that were reached.
    function: Function,
    begun: bool,
    /// It waits for a condition and wants to know whether that came.
    asked: bool,
    line: Place,
}

impl Stories {
    /// Reads the script again and makes its stories ready.
    ///
    /// # Errors
    /// All mistakes of the script, as [`crate::author`] tells them.
    pub fn new(input: &Input) -> Result<Stories, Vec<Diagnostic>> {
        let host = author::read(input)?;
        let mut coroutines = Vec::new();
        let told = |e: &mlua::Error| vec![host.diagnose(e)];
        for f in host.stories.sequence_values::<Function>() {
            let f = f.map_err(|e| told(&e))?;
            let info = f.info();
            let file = info.source.unwrap_or_default();
            let file = file.strip_prefix('=').unwrap_or(&file).to_owned();
            let line = Place::line(&file, info.line_defined.unwrap_or_default() as u32);
            coroutines.push(Coroutine {
                thread: host.lua.create_thread(f.clone()).map_err(|e| told(&e))?,
                function: f,
                begun: false,
                asked: false,
                line,
            });
        }
        let followed = host.desk.borrow().followed().into_iter();
        let followed = followed.map(|(step, condition)| Followed { step, condition, begun: false }).collect();
        // Mistakes are told once, when the script was read; from here on they end the run.
        host.desk.borrow_mut().told.clear();
        Ok(Stories { host, followed, coroutines, failed: None })
    }

    /// From here on what the stories wait for is weighed: see [`crate::rehearse`]. `done` says whether every step has
    /// been done.
    pub(crate) fn are_tried(&mut self, done: bool) {
        let mut desk = self.host.desk.borrow_mut();
        desk.rehearsing = true;
        if done {
            desk.shelf.seen_done = self.followed.iter().map(|f| f.step.clone()).collect();
        }
    }

    /// The lines of a story that hold something to be done, each with whether it was reached. Only where lines are
    /// counted.
    pub(crate) fn lines(&self, story: usize) -> std::collections::BTreeMap<u32, bool> {
        let mut lines = std::collections::BTreeMap::new();
        self.coroutines[story].function.coverage(|c| {
            for (line, hits) in c.hits.iter().enumerate().filter(|(_, hits)| **hits >= 0) {
                *lines.entry(line as u32).or_insert(false) |= *hits > 0;
            }
        });
        lines
    }

    /// The file in which a story is written.
    pub(crate) fn file(&self, story: usize) -> &str {
        &self.coroutines[story].line.file
    }

    /// The warnings so far.
    pub(crate) fn warnings(&self) -> Vec<Diagnostic> {
        let desk = self.host.desk.borrow();
        desk.told.iter().filter(|d| d.severity < base::Severity::Error).cloned().collect()
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.coroutines.len()
    }

    /// The coroutine of the run that a story is: those that follow steps go before it.
    #[must_use]
    pub(crate) fn coroutine(&self, story: usize) -> usize {
        self.followed.len() + story
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.coroutines.is_empty()
    }

    /// The lines that the stories printed, and how many were left out.
    #[must_use]
    pub fn log(&self) -> crate::desk::Log {
        self.host.desk.borrow().log.clone()
    }

    /// The failure that ends the run, if there is one: a limit first, whatever the script returned.
    fn failure(&self, error: Option<&mlua::Error>, at: &Place) -> Option<StoryFailure> {
        let told = self.host.desk.borrow().told.iter().find(|d| d.severity == base::Severity::Error).cloned();
        let d = self.host.meter.diagnostic().or(told).or_else(|| error.map(|e| self.host.diagnose(e)))?;
        let place = if d.place == Place::default() { at.clone() } else { d.place.clone() };
        Some(StoryFailure { code: d.code, message: d.message, hint: d.hint, place })
    }
}

impl Story for Stories {
    fn wake(&mut self, coroutine: usize, view: &dyn View, commands: &mut Vec<Command>) -> Result<Wait, StoryFailure> {
        if let Some(failure) = &self.failed {
            return Err(failure.clone());
        }
        let result = match coroutine.checked_sub(self.followed.len()) {
            Some(story) => self.go_on(story, view, commands),
            None => Ok(self.follow(coroutine, view)),
        };
        self.failed = result.as_ref().err().cloned();
        result
    }
}

impl Stories {
    /// Waits for a step to be done, and remembers it.
    fn follow(&mut self, which: usize, view: &dyn View) -> Wait {
        let step = &mut self.followed[which];
        let mut desk = self.host.desk.borrow_mut();
        let shelf = &mut desk.shelf;
        let c = shelf.condition(step.condition);
        // A wait is looked at from the next tick on: what the first tick brought is asked now.
        let already = match (c.temporal, c.moment) {
            (false, false) => holds(shelf, step.condition, view),
            (false, true) => has(shelf, step.condition, view),
            (true, _) => Ok(false),
        };
        if step.begun || already.unwrap_or(false) {
            shelf.seen_done.insert(step.step.clone());
            return Wait::Done;
        }
        step.begun = true;
        let mut row = Row::default();
        let condition = shelf.formula(step.condition, &mut row);
        Wait::For { condition, watched: row.watched, latest: None }
    }

    /// Lets one coroutine run until it waits or ends.
    fn go_on(&mut self, coroutine: usize, view: &dyn View, commands: &mut Vec<Command>) -> Result<Wait, StoryFailure> {
        let Some(c) = self.coroutines.get(coroutine) else {
            return Ok(Wait::Done);
        };
        if !c.thread.is_resumable() {
            return Ok(Wait::Done);
        }
        let (thread, begun, asked, line) = (c.thread.clone(), c.begun, c.asked, c.line.clone());
        self.coroutines[coroutine].begun = true;
        self.coroutines[coroutine].asked = false;
        let meter = self.host.meter.clone();
        meter.refuel(limits::FUEL_WAKING.min(limits::FUEL_RUN.saturating_sub(meter.total())));
        let fail = |s: &Stories, e: Option<&mlua::Error>| {
            s.failure(e, &line).unwrap_or_else(|| StoryFailure {
                code: "script::story",
                message: "the story cannot go on".to_owned(),
                hint: None,
                place: line.clone(),
            })
        };
        if let Err(e) = self.host.enter.call::<()>(thread.clone()) {
            return Err(fail(self, Some(&e)));
        }
        let mut answer = if !begun {
            Value::Table(self.host.run.clone())
        } else if asked {
            Value::Boolean(view.condition_met())
        } else {
            Value::Nil
        };
        let before = commands.len();
        loop {
            self.host.desk.borrow_mut().request = None;
            let result = thread.resume::<MultiValue>(answer);
            if let Some(f) = self.failure(result.as_ref().err(), &line) {
                return Err(f);
            }
            if thread.status() != ThreadStatus::Resumable {
                return Ok(Wait::Done);
            }
            let request = self.host.desk.borrow_mut().request.take();
            let desk = self.host.desk.borrow();
            answer = match request {
                Some(Request::Wait(ticks)) => return Ok(Wait::Until(view.now().after(ticks))),
                Some(Request::WaitUntil(condition, at_most)) => {
                    let mut row = Row::default();
                    let condition = desk.shelf.formula(condition, &mut row);
                    let latest = at_most.map(|t| view.now().after(t));
                    drop(desk);
                    self.coroutines[coroutine].asked = true;
                    return Ok(Wait::For { condition, watched: row.watched, latest });
                }
                Some(Request::Command(command)) => {
                    if commands.len() - before >= limits::COMMANDS {
                        meter.hit(Limit::Commands, line.clone());
                        drop(desk);
                        return Err(fail(self, None));
                    }
                    let ends = matches!(command, Command::End(_));
                    commands.push(command);
                    if ends {
                        return Ok(Wait::Done);
                    }
                    Value::Nil
                }
                Some(Request::Time) => Value::Number(view.now().seconds()),
                Some(Request::Value(v)) => {
                    let value = desk.shelf.value(v);
                    // The word refuses what is worked out.
                    let what = value.source.seen().cloned().unwrap_or(Observable::Clock);
                    match view.value(&what) {
                        None => return Err(nothing(&what, &line)),
                        Some(si) if value.words.is_empty() => Value::Number(value.unit.from_si(si)),
                        Some(si) => {
                            let index = (si.round().max(0.0) as usize).min(value.words.len() - 1);
                            match self.host.lua.create_string(&value.words[index]) {
                                Ok(word) => Value::String(word),
                                Err(_) => Value::Nil,
                            }
                        }
                    }
                }
                Some(Request::Holds(c)) => match holds(&desk.shelf, c, view) {
                    Ok(b) => Value::Boolean(b),
                    Err(what) => return Err(nothing(&what, &line)),
                },
                Some(Request::Has(c, wanted)) => match has(&desk.shelf, c, view) {
                    Ok(b) => Value::Boolean(b == wanted),
                    Err(what) => return Err(nothing(&what, &line)),
                },
                None => {
                    return Err(StoryFailure {
                        code: "script::yield",
                        message: "a story stops with run:wait or run:wait_until, not with coroutine.yield".to_owned(),
                        hint: None,
                        place: line.clone(),
                    });
                }
            };
        }
    }
}

fn nothing(what: &Observable, line: &Place) -> StoryFailure {
    let message = format!("the run has no value for: {what}");
    StoryFailure { code: "script::no-value", message, hint: None, place: line.clone() }
}

/// Whether a condition without time in it holds now.
fn holds(shelf: &Shelf, id: ConditionId, view: &dyn View) -> Result<bool, Observable> {
    let value = |v: ValueId| {
        // The word refuses what is worked out: that looks back.
        let what = shelf.value(v).source.seen().unwrap_or(&Observable::Clock);
        view.value(what).ok_or_else(|| what.clone())
    };
    let compared = |a: f64, how: Comparison, b: f64| match how {
        Comparison::Above => a > b,
        Comparison::AtLeast => a >= b,
        Comparison::Below => a < b,
        Comparison::AtMost => a <= b,
    };
    Ok(match &shelf.condition(id).kind {
        Kind::Compare(v, how, with, _) => compared(value(*v)?, *how, *with),
        Kind::Against(v, how, w) => compared(value(*v)?, *how, value(*w)?),
        Kind::Between(v, low, high, _) => (*low..=*high).contains(&value(*v)?),
        Kind::Within(v, tolerance, _, of, _) => (of - tolerance..=of + tolerance).contains(&value(*v)?),
        Kind::Is(v, index) => value(*v)?.round() == *index as f64,
        Kind::Truth(what) => view.value(what).ok_or_else(|| what.clone())? >= 0.5,
        Kind::Clock(ticks) => view.now().0 >= *ticks,
        Kind::All(c) => all(c, |c| holds(shelf, c, view))?,
        Kind::Any(c) => any(c, |c| holds(shelf, c, view))?,
        Kind::NoneOf(c) => !any(c, |c| holds(shelf, c, view))?,
        Kind::Not(c) => !holds(shelf, *c, view)?,
        _ => false, // the word refuses conditions with time in them
    })
}

/// Whether actions and steps were done since the start of the run.
fn has(shelf: &Shelf, id: ConditionId, view: &dyn View) -> Result<bool, Observable> {
    Ok(match &shelf.condition(id).kind {
        Kind::Truth(what) => view.ever(what).ok_or_else(|| what.clone())?,
        Kind::All(c) => all(c, |c| has(shelf, c, view))?,
        Kind::Any(c) => any(c, |c| has(shelf, c, view))?,
        Kind::NoneOf(c) => !any(c, |c| has(shelf, c, view))?,
        Kind::Not(c) => !has(shelf, *c, view)?,
        Kind::Ever(c) => has(shelf, *c, view)?,
        Kind::Done(step, _) => shelf.seen_done.contains(step),
        _ => false, // the word refuses anything else
    })
}

type Answer = Result<bool, Observable>;

fn all(of: &[ConditionId], mut f: impl FnMut(ConditionId) -> Answer) -> Answer {
    of.iter().try_fold(true, |so_far, c| Ok(f(*c)? && so_far))
}

fn any(of: &[ConditionId], mut f: impl FnMut(ConditionId) -> Answer) -> Answer {
    of.iter().try_fold(false, |so_far, c| Ok(f(*c)? || so_far))
}
