//! When a fault can first be seen on the panel.
//!
//! Beside a run goes a twin of it from the tick on which a fault begins: the same plant with the same
//! actions and the same other faults, but without this one. The fault can be seen from the first tick on
//! which the two panels differ: a lamp or an alarm that stands otherwise, or a gauge that is off by more
//! than [`TOLERANCE`](crate::drift::TOLERANCE) of its scale, half a division of a scale with 50 (own choice: less
//! than that nobody reads off). What the helper would find on the spot is not on the panel.
//!
//! The twin ends as soon as the fault was seen. It costs about half of what the run itself costs for
//! each tick on which it goes.

use crate::drift::TOLERANCE;
use crate::session::Session;
use base::record::{Event, Happening, Record};
use base::{Tag, Tick};
use panel::Panel;

/// Looks for the moments at which faults can first be seen.
#[derive(Clone, Debug, Default)]
pub struct Onlooker {
    looked_for: Vec<String>,
    twins: Vec<Twin>,
}

#[derive(Clone, Debug)]
struct Twin {
    name: String,
    /// Gone once it has shown what it is there for.
    session: Option<Box<Session>>,
    seen: Option<Event>,
}

impl Onlooker {
    /// Looks for these faults, by their names in the exercise.
    #[must_use]
    pub fn new(faults: impl IntoIterator<Item = String>) -> Onlooker {
        Onlooker { looked_for: faults.into_iter().collect(), twins: vec![] }
    }

    /// To be called before each tick of the run.
    pub fn before_tick(&mut self, run: &Session) {
        for (fault, name) in run.about_to_begin() {
            if self.looked_for.iter().any(|n| n == name) && !self.twins.iter().any(|t| t.name == name) {
                let session = Some(Box::new(run.without(fault)));
                self.twins.push(Twin { name: name.to_owned(), session, seen: None });
            }
        }
    }

    /// To be called after each tick of the run.
    pub fn after_tick(&mut self, run: &Session) {
        for twin in &mut self.twins {
            let Some(session) = &mut twin.session else { continue };
            let tick = session.now();
            session.tick_along(run);
            if let Some((on, shown, otherwise)) = differs(run.panel(), session.panel()) {
                let what = Happening::FaultSeen { name: twin.name.clone(), on, shown, otherwise };
                twin.seen = Some(Event { tick, what });
                twin.session = None;
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

/// The first indication that differs, as it stands in the run and in its twin.
fn differs(run: &Panel, twin: &Panel) -> Option<(Tag, String, String)> {
    for (a, b) in run.alarms().iter().zip(twin.alarms()) {
        if a.state() != b.state() {
            return Some((a.tag.clone(), a.state().word().to_owned(), b.state().word().to_owned()));
        }
    }
    let word = |lit: bool| (if lit { "lit" } else { "dark" }).to_owned();
    for (i, lamp) in run.lamps().iter().enumerate() {
        if run.lit(i) != twin.lit(i) {
            return Some((lamp.tag.clone(), word(run.lit(i)), word(twin.lit(i))));
        }
    }
    for (a, b) in run.gauges().iter().zip(twin.gauges()) {
        if (a.shown().0 - b.shown().0).abs() > TOLERANCE * (a.scale.1 - a.scale.0) {
            return Some((a.tag.clone(), a.text(), b.text()));
        }
    }
    None
}
