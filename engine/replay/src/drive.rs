//! An exercise driven by hand or by another program: steps, actions, what the panel shows, and the
//! log as it goes.

use crate::pack::{Pack, Ready, on_disk};
use crate::record::readings;
use crate::run;
use crate::telling::{self, Own};
use base::observable::Verb;
use base::record::{AlarmPhase, Ending, Event, Happening};
use base::{Diagnostic, Place, Tag, Tick};
use files::log::{self, Action, Header, Refusal, Saw};
use session::{Session, Story};
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// An exercise under way.
pub struct Driver<'a> {
    pack: &'a Pack,
    session: Session,
    story: Box<dyn Story>,
    header: Header,
    line: u32,
    heard: usize,
    lamps: BTreeMap<Tag, bool>,
    testing: bool,
    last: Tick,
}

/// Whether an event is one that a trainee hears: alarms, what the helper says, what the story tells,
/// an action that was refused, the end. Faults and what is true in the plant are not.
pub(crate) fn heard(e: &Event) -> bool {
    match &e.what {
        Happening::Action { refused, .. } => refused.is_some(),
        Happening::Helper { .. } | Happening::Alarm { .. } | Happening::Told(_) | Happening::Ended(_) => true,
        _ => false,
    }
}

impl<'a> Driver<'a> {
    /// An exercise before its first tick. The header's exercise, pack and version are filled in.
    ///
    /// # Errors
    /// Mistakes of the exercise.
    pub fn new(pack: &'a Pack, ready: &Ready, header: Header) -> Result<Driver<'a>, Vec<Diagnostic>> {
        let ready = &ready.of_run(&pack.ship, Own::of(&header))?;
        let session = run::session(ready, &pack.ship)?;
        let story = telling::story(ready, &pack.ship, &Arc::new(AtomicBool::new(false)))?;
        let header = Header {
            exercise: ready.id.clone(),
            pack: pack.file.id.clone(),
            pack_version: pack.file.version.clone(),
            ..header
        };
        let (lamps, last) = (BTreeMap::new(), Tick::ZERO);
        let mut driver = Driver { pack, session, story, header, line: 1, heard: 0, lamps, testing: false, last };
        driver.lamps = driver.lamps_now();
        Ok(driver)
    }

    /// The first line of the log.
    #[must_use]
    pub fn header_line(&self) -> String {
        log::header_line(&self.header)
    }

    /// The tick that comes next.
    #[must_use]
    pub fn now(&self) -> Tick {
        self.session.now()
    }

    /// Whether the run has ended.
    #[must_use]
    pub fn ended(&self) -> bool {
        self.session.ended().is_some()
    }

    /// Why the run broke off without a result, once it has: the script failed, or the plant did.
    #[must_use]
    pub fn failure(&self) -> Option<Diagnostic> {
        let ending = self.session.ended().filter(|e| !e.gradable())?;
        let d = run::broken_off(ending, self.session.failure(), self.now(), "");
        Some(on_disk(&self.pack.folder, d))
    }

    /// What is true: for whoever proves the plant over a run, never for a trainee.
    #[must_use]
    pub fn plant(&self) -> &plant::Plant {
        self.session.plant()
    }

    /// Ticks once.
    pub fn step(&mut self) {
        self.last = self.session.now();
        self.session.tick(self.story.as_mut());
    }

    /// Does something on the tick that comes next; the line of the log that says so.
    ///
    /// # Errors
    /// When the plant knows no such tag or setting: then nothing is done and nothing is logged.
    pub fn act(&mut self, verb: Verb, on: Option<&str>, to: Option<&str>) -> Result<String, Refusal> {
        let on = on.map(Tag::new);
        let missing = match verb {
            Verb::Operate | Verb::LocalCheck if on.is_none() => Some("on what? a tag is missing"),
            Verb::Operate | Verb::Report if to.is_none_or(|t| t.trim().is_empty()) => {
                Some("to what? words are missing")
            }
            _ => None,
        };
        if let Some(message) = missing {
            return Err(Refusal { code: "log::line", message: message.to_owned(), hint: None });
        }
        self.line += 1;
        let action = Action { line: self.line, tick: self.now(), verb, on, to: to.map(|t| t.trim().to_owned()) };
        self.pack.ship.allows(&action)?;
        self.session.act(session::Action {
            tick: action.tick,
            verb: action.verb,
            on: action.on.clone(),
            to: action.to.clone(),
        });
        Ok(log::action_line(&action))
    }

    /// A line of the log with what the panel shows now.
    #[must_use]
    pub fn saw_line(&mut self) -> String {
        self.line += 1;
        log::saw_line(&Saw { line: self.line, tick: self.now(), shown: readings(&self.session) })
    }

    /// The last line of the log: the recording is whole, up to and with the last tick that was. Step
    /// once more before, so that what was done on the tick that comes next belongs to it.
    #[must_use]
    pub fn end_line(&self) -> String {
        log::end_line(self.last)
    }

    /// What the trainee hears and sees change since this was last asked, a sentence each, with the
    /// time: alarms, lamps, the helper, the story, refused actions, the end.
    pub fn news(&mut self) -> Vec<String> {
        let mut news: Vec<String> = self.session.events()[self.heard..]
            .iter()
            .filter(|e| heard(e))
            .map(|e| format!("{}  {}", e.tick, told(&e.what)))
            .collect();
        self.heard = self.session.events().len();
        let at = Tick(self.now().0.saturating_sub(1));
        let lamps = self.lamps_now();
        let testing = self.session.panel().lamps_tested_at(at);
        if testing {
            if !self.testing {
                news.extend(self.lamp_test(&lamps).map(|line| format!("{at}  {line}")));
            }
        } else {
            for (tag, lit) in lamps.iter().filter(|(tag, lit)| self.lamps.get(*tag) != Some(*lit)) {
                news.push(format!("{at}  lamp {} {}", self.lamp(tag), lit_or_dark(*lit)));
            }
            // What the lamps showed before a lamp test is what they are compared with after it.
            self.lamps = lamps;
        }
        self.testing = testing;
        news
    }

    /// What a lamp test shows: how many lamps light up, and which stay dark.
    fn lamp_test(&self, lamps: &BTreeMap<Tag, bool>) -> [String; 2] {
        let dark: Vec<String> = lamps.iter().filter(|(_, lit)| !**lit).map(|(tag, _)| self.lamp(tag)).collect();
        let lit = lamps.len() - dark.len();
        [
            format!("lamp test: {lit} of {} lamps are lit", lamps.len()),
            if dark.is_empty() {
                "no lamp stays dark".to_owned()
            } else {
                format!("these stay dark: {}", dark.join(", "))
            },
        ]
    }

    /// "XL-2104 (main flame)".
    fn lamp(&self, tag: &Tag) -> String {
        match self.pack.ship.names.lamps.get(tag.as_str()).filter(|name| !name.is_empty()) {
            Some(name) => format!("{tag} ({name})"),
            None => tag.to_string(),
        }
    }

    fn lamps_now(&self) -> BTreeMap<Tag, bool> {
        self.session.panel().picture().lamps.into_iter().map(|l| (l.tag, l.lit)).collect()
    }

    /// The panel as it is read now: every gauge, the lamps that are lit, the alarms that stand, one a
    /// line; only the named tags when any are named, and a sentence for each that the panel has not.
    #[must_use]
    pub fn look(&self, only: &[&str]) -> Vec<String> {
        let picture = self.session.panel().picture();
        let wanted = |tag: &Tag| only.is_empty() || only.contains(&tag.as_str());
        let mut lines = vec![];
        for g in picture.gauges.iter().filter(|g| wanted(&g.tag)) {
            lines.push(format!("{:<9} {:>18}  {}", g.tag.as_str(), g.text, g.name));
        }
        for l in picture.lamps.iter().filter(|l| wanted(&l.tag) && (l.lit || !only.is_empty())) {
            lines.push(format!("{:<9} {:>18}  {}", l.tag.as_str(), lit_or_dark(l.lit), l.name));
        }
        for a in picture.alarms.iter().filter(|a| wanted(&a.tag) && (a.state.stands() || !only.is_empty())) {
            lines.push(format!("{:<9} {:>18}  {}", a.tag.as_str(), a.state.word(), a.text));
        }
        let on_panel = || {
            let others = picture.lamps.iter().map(|l| &l.tag).chain(picture.alarms.iter().map(|a| &a.tag));
            picture.gauges.iter().map(|g| &g.tag).chain(others).map(Tag::as_str)
        };
        for tag in only.iter().filter(|tag| !on_panel().any(|t| t == **tag)) {
            let near = base::nearest::nearest(tag, on_panel());
            let near = near.map(|n| format!("; did you mean \"{n}\"?")).unwrap_or_default();
            lines.push(format!("the panel shows nothing called \"{tag}\"{near}"));
        }
        lines
    }

    /// The kinds of failure that a report may name, by equipment, lamp, gauge or alarm: of the named tags,
    /// or of everything that can fail. They are those of the fault table, whatever the exercise has in store.
    ///
    /// # Errors
    /// A sentence about the first tag that is on nothing on board, with the nearest.
    pub fn kinds(&self, only: &[&str]) -> Result<BTreeMap<&str, Vec<&str>>, String> {
        let failings = &self.pack.ship.names.failings;
        if only.is_empty() {
            return Ok(failings.iter().map(|(on, kinds)| (on.as_str(), words_of(kinds))).collect());
        }
        let mut named = BTreeMap::new();
        for tag in only {
            let (on, kinds) = match failings.get_key_value(*tag) {
                Some((on, kinds)) => (on.as_str(), words_of(kinds)),
                None => match self.pack.ship.tags().find(|t| t == tag) {
                    Some(on) => (on, vec![]),
                    None => {
                        let near = base::nearest::nearest(tag, failings.keys().map(String::as_str));
                        let near = near.map(|n| format!("; did you mean \"{n}\"?")).unwrap_or_default();
                        return Err(format!("nothing on board is called \"{tag}\"{near}"));
                    }
                },
            };
            named.insert(on, kinds);
        }
        Ok(named)
    }

    /// Readings by tag, for another program.
    #[must_use]
    pub fn readings(&self) -> BTreeMap<Tag, String> {
        readings(&self.session)
    }

    /// What a trainee may call things: for "did you mean".
    #[must_use]
    pub fn has(&self, tag: &str) -> bool {
        self.pack.ship.has(&Tag::new(tag))
    }

    /// Where the exercise was written; for diagnostics.
    #[must_use]
    pub fn place(&self) -> Place {
        Place::file(&self.header.exercise)
    }
}

fn words_of<T>(kinds: &BTreeMap<String, T>) -> Vec<&str> {
    kinds.keys().map(String::as_str).collect()
}

fn lit_or_dark(lit: bool) -> &'static str {
    if lit { "lit" } else { "dark" }
}

fn told(what: &Happening) -> String {
    match what {
        Happening::Action { verb, on, refused, .. } => {
            let on = on.as_ref().map(|t| format!(" {t}")).unwrap_or_default();
            format!("not done: {}{on}: {}", verb.word(), refused.as_deref().unwrap_or_default())
        }
        Happening::Helper { on, says } => format!("helper at {on}: {says}"),
        Happening::Alarm { tag, text, phase } => {
            let phase = match phase {
                AlarmPhase::Raised => "raised",
                AlarmPhase::Acknowledged => "acknowledged",
                AlarmPhase::Cleared => "cleared",
            };
            format!("alarm {tag} {phase}: {text}")
        }
        Happening::Told(words) => words.clone(),
        Happening::Ended(ending) => match ending {
            Ending::TimeUp => "the exercise has ended: its time is up".to_owned(),
            Ending::LogEnded | Ending::LogCutOff => "the exercise has ended: the recording ends here".to_owned(),
            Ending::Drifted(why) => format!("the exercise has ended: {why}"),
            Ending::Story(why) => format!("the exercise has ended: {why}"),
            Ending::ScriptFailed(why) => format!("the exercise broke off, since its script failed: {why}"),
            Ending::PlantFailed(why) => format!("the exercise broke off, since the plant's equations failed: {why}"),
        },
        other => format!("{other:?}"),
    }
}
