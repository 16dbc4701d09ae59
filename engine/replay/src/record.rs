//! A run recorded by a program: a behaviour looks at the panel, acts like a trainee, and a log comes
//! out. The logs of the shipped class are made this way, and the model run can be.

use crate::pack::{Pack, Ready};
use crate::{run, telling};
use base::observable::Verb;
use base::record::Event;
use base::{Diagnostic, Place, Tag, Tick};
use files::log::{self, Action, Header, Log};
use session::Session;
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// What a trainee can see and hear at a moment. Nothing of what is true in the plant is in it.
pub struct Scene<'a> {
    session: &'a Session,
    heard: usize,
}

/// Something that a behaviour does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deed {
    /// The verb.
    pub verb: Verb,
    /// On what.
    pub on: Option<Tag>,
    /// To what, or the words of a report.
    pub to: Option<String>,
}

impl Deed {
    /// Operate a control.
    #[must_use]
    pub fn operate(on: &str, to: &str) -> Deed {
        Deed { verb: Verb::Operate, on: Some(Tag::new(on)), to: Some(to.to_owned()) }
    }

    /// Acknowledge every alarm that stands.
    #[must_use]
    pub fn acknowledge() -> Deed {
        Deed { verb: Verb::Acknowledge, on: None, to: None }
    }

    /// Press the lamp test.
    #[must_use]
    pub fn lamp_test() -> Deed {
        Deed { verb: Verb::LampTest, on: None, to: None }
    }

    /// Send the helper to look.
    #[must_use]
    pub fn local_check(on: &str) -> Deed {
        Deed { verb: Verb::LocalCheck, on: Some(Tag::new(on)), to: None }
    }

    /// Report what seems to be wrong.
    #[must_use]
    pub fn report(on: &str, words: &str) -> Deed {
        Deed { verb: Verb::Report, on: Some(Tag::new(on)), to: Some(words.to_owned()) }
    }
}

impl Scene<'_> {
    /// The tick that comes next: deeds are carried out on it.
    #[must_use]
    pub fn now(&self) -> Tick {
        self.session.now()
    }

    /// Where the pointer of a gauge stands, SI: by the gauge's tag, or by that of what it follows.
    #[must_use]
    pub fn shown(&self, tag: &str) -> Option<f64> {
        let panel = self.session.panel();
        let tag = Tag::new(tag);
        let gauge = panel.gauge(&tag).or_else(|| panel.gauge_of(self.session.plant().point(&tag)?))?;
        Some(panel.gauges()[gauge].shown().0)
    }

    /// Whether a lamp is seen lit.
    #[must_use]
    pub fn lit(&self, lamp: &str) -> Option<bool> {
        let panel = self.session.panel();
        panel.lamp(&Tag::new(lamp)).map(|l| panel.lit(l))
    }

    /// Whether an alarm stands.
    #[must_use]
    pub fn alarm(&self, tag: &str) -> Option<bool> {
        let panel = self.session.panel();
        panel.alarm(&Tag::new(tag)).map(|a| panel.alarms()[a].state().stands())
    }

    /// Whether any alarm waits to be acknowledged.
    #[must_use]
    pub fn waits(&self) -> bool {
        self.session.panel().alarms().iter().any(|a| a.state().waits())
    }

    /// Whether the helper is under way.
    #[must_use]
    pub fn helper_busy(&self) -> bool {
        self.session.helper().on.is_some()
    }

    /// How a control stands: its word, when it keeps one.
    #[must_use]
    pub fn word(&self, control: &str) -> Option<&'static str> {
        let plant = self.session.plant();
        let id = plant.control(&Tag::new(control))?;
        plant.setting(id).word.map(|w| plant.controls()[usize::from(id.0)].words[w])
    }

    /// The events of the ticks since this was last asked that a trainee hears: alarms, what the helper
    /// says, what the story tells, refused actions. Faults and what is true are not among them.
    #[must_use]
    pub fn heard(&self) -> Vec<&Event> {
        self.session.events()[self.heard..].iter().filter(|e| crate::drive::heard(e)).collect()
    }
}

/// How a run is recorded.
#[derive(Clone, Copy, Debug)]
pub struct Recording {
    /// Ticks between two looks of the behaviour at the panel; at least 1.
    pub look_every: u32,
    /// Ticks between two lines of what the panel showed; `None` for none.
    pub saw_every: Option<u32>,
}

/// Has a behaviour play an exercise and records what it did as a log. An action of the behaviour that
/// the plant does not know is a mistake of the behaviour and ends the recording.
///
/// # Errors
/// Mistakes of the exercise, and deeds that no log of this plant may hold.
pub fn record(
    pack: &Pack,
    ready: &Ready,
    header: &Header,
    recording: Recording,
    behaviour: &mut dyn FnMut(&Scene<'_>) -> Vec<Deed>,
) -> Result<Log, Vec<Diagnostic>> {
    let ready = &ready.of_run(&pack.ship, telling::Own::of(header))?;
    let mut session = run::session(ready, &pack.ship)?;
    let mut story = telling::story(ready, &pack.ship, &Arc::new(AtomicBool::new(false)))?;
    let mut log = Log {
        header: Header {
            exercise: ready.id.clone(),
            pack: pack.file.id.clone(),
            pack_version: pack.file.version.clone(),
            ..header.clone()
        },
        actions: vec![],
        saw: vec![],
        end: Tick::ZERO,
        whole: true,
    };
    let mut line = 1;
    let mut heard = 0;
    while session.ended().is_none() {
        let now = session.now();
        if recording.saw_every.is_some_and(|n| now.0.is_multiple_of(n.max(1))) {
            line += 1;
            log.saw.push(log::Saw { line, tick: now, shown: readings(&session) });
        }
        if now.0.is_multiple_of(recording.look_every.max(1)) {
            let deeds = behaviour(&Scene { session: &session, heard });
            heard = session.events().len();
            for deed in deeds {
                line += 1;
                let action = Action { line, tick: now, verb: deed.verb, on: deed.on, to: deed.to };
                pack.ship.allows(&action).map_err(|r| {
                    let d = Diagnostic::error(r.code, Place::file("behaviour"), format!("at {now}: {}", r.message));
                    vec![Diagnostic { hint: r.hint, ..d }]
                })?;
                session.act(session::Action {
                    tick: now,
                    verb: action.verb,
                    on: action.on.clone(),
                    to: action.to.clone(),
                });
                log.actions.push(action);
            }
        }
        session.tick(story.as_mut());
        log.end = now;
    }
    Ok(log)
}

/// Every gauge, lamp and standing alarm as it is read.
pub(crate) fn readings(session: &Session) -> BTreeMap<Tag, String> {
    let picture = session.panel().picture();
    let gauges = picture.gauges.into_iter().map(|g| (g.tag, g.text));
    let lamps = picture.lamps.into_iter().map(|l| (l.tag, (if l.lit { "lit" } else { "dark" }).to_owned()));
    let alarms = picture.alarms.into_iter().map(|a| (a.tag, a.state.word().to_owned()));
    gauges.chain(lamps).chain(alarms).collect()
}
