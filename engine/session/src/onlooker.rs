//! When a fault can first be seen on the panel.
//!
//! Beside a run goes a twin of it from the tick on which a fault begins: the same plant with the same
//! actions and the same other faults, but without this one. Once a second it is judged whether the two panels
//! hold a sign of the fault, which [`crate::sign`] defines: a lamp, an alarm or a gauge that stands otherwise,
//! and not merely a little sooner or later. The fault can be seen from the tick on which that difference began. A gauge stands
//! otherwise when it is off by more than [`TOLERANCE`](crate::drift::TOLERANCE) of its scale, half a division of a
//! scale with 50 (own choice: less than that nobody reads off). What the helper would find on the spot is not
//! on the panel.
//!
//! The twin ends as soon as the fault was seen. Of a fault that acts on the panel alone only the panel is
//! run twice, since the plant is the same; the twin of any other costs about half of what the run itself costs.

use crate::drift::TOLERANCE;
use crate::session::Session;
use crate::sign::{Mark, Shown, Signs, TWO_STATES};
use base::record::{Event, Happening, Record};
use base::tick::TICKS_PER_SECOND;
use base::{Tag, Tick};
use panel::{AlarmState, Panel};

/// States of an alarm, a code being a place in this list.
const STATES: [AlarmState; 4] = [AlarmState::Normal, AlarmState::Raised, AlarmState::Acknowledged, AlarmState::Cleared];

/// Looks for the moments at which faults can first be seen.
#[derive(Clone, Debug, Default)]
pub struct Onlooker {
    looked_for: Vec<String>,
    twins: Vec<Twin>,
    shown: Shown,
    acted: bool,
    /// The tick that comes next, or is being done.
    tick: Tick,
    /// How far apart two values of an indication may be.
    within: Vec<f32>,
}

#[derive(Clone, Debug)]
struct Twin {
    name: String,
    /// Gone once it has shown what it is there for.
    pair: Option<Box<Pair>>,
    seen: Option<Event>,
}

#[derive(Clone, Debug)]
struct Pair {
    session: Session,
    /// What the twin's panel showed; before the fault that is what the run's showed.
    shown: Shown,
    signs: Signs,
    /// Which indications differ, and when each difference began.
    differ: Vec<bool>,
    begun: Vec<(Tick, usize)>,
}

impl Onlooker {
    /// Looks for these faults, by their names in the exercise.
    #[must_use]
    pub fn new(faults: impl IntoIterator<Item = String>) -> Onlooker {
        Onlooker { looked_for: faults.into_iter().collect(), ..Onlooker::default() }
    }

    /// To be called before each tick of the run.
    pub fn before_tick(&mut self, run: &Session) {
        self.tick = run.now();
        for (fault, name) in run.about_to_begin() {
            if self.looked_for.iter().any(|n| n == name) && !self.twins.iter().any(|t| t.name == name) {
                let shown = self.shown.clone();
                let signs = Signs::from(shown.seconds(), row(run.panel()).collect());
                let (session, begun) = (run.without(fault), vec![]);
                let pair = Some(Box::new(Pair { session, shown, signs, differ: vec![], begun }));
                self.twins.push(Twin { name: name.to_owned(), pair, seen: None });
            }
        }
    }

    /// To be called after each tick of the run, the one that ends it included.
    pub fn after_tick(&mut self, run: &Session) {
        if self.within.is_empty() {
            self.within = within(run.panel());
        }
        self.acted |= run.worked_on_something();
        let second = self.tick.0.is_multiple_of(TICKS_PER_SECOND);
        let mark = Mark { tested: run.panel().lamps_tested_at(self.tick), acted: self.acted };
        if second {
            self.shown.push(mark, row(run.panel()));
            self.acted = false;
        }
        for twin in &mut self.twins {
            let Some(pair) = &mut twin.pair else { continue };
            pair.session.tick_along(run);
            pair.compare(run.panel(), &self.within, self.tick);
            if second {
                pair.shown.push(mark, row(pair.session.panel()));
            }
            if second || run.ended().is_some() {
                twin.look(run.panel(), &self.shown, &self.within, run.ended().is_some());
            }
        }
    }

    /// Puts what was found among the events of the run: a fault that was seen on its tick, one that never
    /// was at the end.
    pub fn tell(self, record: &mut Record) {
        let began = |name: &str, events: &[Event]| {
            events.iter().any(|e| matches!(&e.what, Happening::FaultOn { name: n, .. } if n == name))
        };
        for twin in self.twins {
            // A fault that was about to begin and did not, since the run ended with that tick.
            if !began(&twin.name, &record.events) {
                continue;
            }
            let end = Tick(record.end.0);
            let event = twin.seen.filter(|e| e.tick <= end);
            let event = event.unwrap_or(Event { tick: end, what: Happening::FaultUnseen { name: twin.name } });
            let ended = |e: &Event| matches!(e.what, Happening::Ended(_));
            let at = record.events.iter().position(|e| e.tick > event.tick || (e.tick == event.tick && ended(e)));
            record.events.insert(at.unwrap_or(record.events.len()), event);
        }
    }
}

impl Twin {
    /// Looks whether the fault has been seen; if so, the twin has done its work.
    fn look(&mut self, panel: &Panel, run: &Shown, within: &[f32], at_end: bool) {
        let Some(pair) = &mut self.pair else { return };
        if let Some((second, i)) = pair.signs.judge(run, &pair.shown, within, at_end) {
            let (on, shown) = told(panel, i, run.at(second, i));
            let (_, otherwise) = told(panel, i, pair.shown.at(second, i));
            let tick = pair.began(second as u32, i);
            let what = Happening::FaultSeen { name: self.name.clone(), on, shown, otherwise };
            self.seen = Some(Event { tick, what });
            self.pair = None;
        }
    }
}

impl Pair {
    /// Puts down which indications begin to differ on this tick.
    fn compare(&mut self, run: &Panel, within: &[f32], tick: Tick) {
        self.differ.resize(within.len(), false);
        let pairs = row(run).zip(row(self.session.panel())).zip(within);
        for (i, (((a, b), within), was)) in pairs.zip(&mut self.differ).enumerate() {
            let is = (a - b).abs() > *within;
            if is && !*was {
                self.begun.push((tick, i));
            }
            *was = is;
        }
    }

    /// When a difference began that stood at the end of this second.
    fn began(&self, second: u32, indication: usize) -> Tick {
        let end = second * TICKS_PER_SECOND;
        let before = end.saturating_sub(TICKS_PER_SECOND);
        let last = self.begun.iter().rev().find(|(t, i)| *i == indication && t.0 <= end);
        last.map_or(Tick(end), |(t, _)| *t).max(Tick(if second == 0 { 0 } else { before + 1 }))
    }
}

/// What a panel shows: its alarms, its lamps, its gauges.
fn row(panel: &Panel) -> impl Iterator<Item = f32> {
    let alarms = panel.alarms().iter().map(|a| STATES.iter().position(|s| *s == a.state()).unwrap_or(0) as f32);
    let lamps = panel.lamps().iter().map(|l| f32::from(u8::from(l.lit())));
    let gauges = panel.gauges().iter().map(|g| ((g.shown().0 - g.scale.0) / (g.scale.1 - g.scale.0)) as f32);
    alarms.chain(lamps).chain(gauges)
}

fn within(panel: &Panel) -> Vec<f32> {
    let of_two_states = std::iter::repeat_n(TWO_STATES, panel.alarms().len() + panel.lamps().len());
    of_two_states.chain(std::iter::repeat_n(TOLERANCE as f32, panel.gauges().len())).collect()
}

/// The tag of an indication, and a value of it in words.
fn told(panel: &Panel, indication: usize, value: f32) -> (Tag, String) {
    let (alarms, lamps) = (panel.alarms(), panel.lamps());
    if let Some(a) = alarms.get(indication) {
        return (a.tag.clone(), STATES[value as usize].word().to_owned());
    }
    if let Some(l) = lamps.get(indication - alarms.len()) {
        return (l.tag.clone(), (if value > 0.5 { "lit" } else { "dark" }).to_owned());
    }
    let g = &panel.gauges()[indication - alarms.len() - lamps.len()];
    (g.tag.clone(), g.unit.tell(g.scale.0 + f64::from(value) * (g.scale.1 - g.scale.0)))
}
