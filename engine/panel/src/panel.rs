//! The panel: gauges, lamps and alarms of one plant, fed with its signals once a tick.

use crate::alarm::{Alarm, Cause};
use crate::difference::Ended;
use crate::failings;
use crate::gauge::Gauge;
use crate::glance::{AlarmGlance, LampGlance};
use crate::lamp::{Follows, Lamp};
use crate::places::WalkTo;
use crate::sight::Sight;
use base::description::Description;
use base::kept::{self, Misfit};
use base::record::{AlarmPhase, Happening};
use base::tick::TICKS_PER_SECOND;
use base::{Diagnostic, Tag, Tick};
use plant::registry::Failing;
use plant::{Plant, PointId};

/// How long a press of the lamp test lasts (ticks): 3 s, own choice.
pub const LAMP_TEST: u32 = 3 * TICKS_PER_SECOND;

/// A failing of the panel by its place in [`Panel::failings`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PanelFailingId(pub u16);

/// The panel in some state. A clone is a checkpoint: it goes on with the same bits.
#[derive(Clone, Debug)]
pub struct Panel {
    gauges: Vec<Gauge>,
    lamps: Vec<Lamp>,
    alarms: Vec<Alarm>,
    places: Vec<WalkTo>,
    pub(crate) sights: Vec<Sight>,
    failings: Vec<Failing>,
    /// Where components stand whose description says so, in order of tags.
    pub(crate) stands: Vec<(Tag, String)>,
    tested_until: Tick,
    /// Of each lamp and of each alarm, what decides whether it has to be looked at.
    lamp_glances: Vec<LampGlance>,
    alarm_glances: Vec<AlarmGlance>,
}

base::kept!(Panel { gauges, lamps, alarms, tested_until }
    fixed { places, sights, failings, stands, lamp_glances, alarm_glances });

impl Panel {
    /// Builds the panel of a plant from the same description.
    ///
    /// # Errors
    /// Every mistake found, at its place, with the nearest known name.
    pub fn build(description: &Description, plant: &Plant) -> Result<Panel, Vec<Diagnostic>> {
        crate::build::build(description, plant)
    }

    pub(crate) fn of_parts(
        gauges: Vec<Gauge>,
        lamps: Vec<Lamp>,
        alarms: Vec<Alarm>,
        places: Vec<WalkTo>,
        sights: Vec<Sight>,
    ) -> Panel {
        let failings = failings::all(&gauges, &lamps, &alarms);
        let stands = vec![];
        let lamp_glances = lamps.iter().map(LampGlance::of).collect();
        let alarm_glances = alarms.iter().map(AlarmGlance::of).collect();
        let tested_until = Tick::ZERO;
        Panel { gauges, lamps, alarms, places, sights, failings, stands, tested_until, lamp_glances, alarm_glances }
    }

    /// The gauges in file order.
    #[must_use]
    pub fn gauges(&self) -> &[Gauge] {
        &self.gauges
    }

    /// The lamps in file order.
    #[must_use]
    pub fn lamps(&self) -> &[Lamp] {
        &self.lamps
    }

    /// The alarms in file order.
    #[must_use]
    pub fn alarms(&self) -> &[Alarm] {
        &self.alarms
    }

    /// The places that one can be sent to.
    #[must_use]
    pub fn places(&self) -> &[WalkTo] {
        &self.places
    }

    /// What can go wrong on the panel, in order of [`PanelFailingId`].
    #[must_use]
    pub fn failings(&self) -> &[Failing] {
        &self.failings
    }

    /// The gauge with this tag, by its place.
    #[must_use]
    pub fn gauge(&self, tag: &Tag) -> Option<usize> {
        self.gauges.iter().position(|g| g.tag == *tag)
    }

    /// The first gauge that follows a point.
    #[must_use]
    pub fn gauge_of(&self, point: PointId) -> Option<usize> {
        self.gauges.iter().position(|g| g.of == point)
    }

    /// Whether anything on the panel shows a point: a gauge, or a lamp that follows it.
    #[must_use]
    pub fn shows(&self, point: PointId) -> bool {
        let follows = |l: &Lamp| matches!(l.follows, Follows::Point(p, _) if p == point);
        self.gauge_of(point).is_some() || self.lamps.iter().any(follows)
    }

    /// The lamp with this tag, by its place.
    #[must_use]
    pub fn lamp(&self, tag: &Tag) -> Option<usize> {
        self.lamps.iter().position(|l| l.tag == *tag)
    }

    /// The alarm with this tag, by its place.
    #[must_use]
    pub fn alarm(&self, tag: &Tag) -> Option<usize> {
        self.alarms.iter().position(|a| a.tag == *tag)
    }

    /// The point that an alarm watches; none for the alarm of a trip.
    #[must_use]
    pub fn alarm_point(&self, alarm: usize) -> Option<PointId> {
        match self.alarms[alarm].cause {
            Cause::Above { point, .. } | Cause::Below { point, .. } | Cause::State(point, _) => Some(point),
            Cause::Trip(_) => None,
        }
    }

    /// Whether a lamp is seen lit, by its place.
    #[must_use]
    pub fn lit(&self, lamp: usize) -> bool {
        self.lamps[lamp].lit()
    }

    /// The failing of this kind on this lamp or gauge.
    #[must_use]
    pub fn failing(&self, on: &Tag, kind: &str) -> Option<PanelFailingId> {
        self.failings.iter().position(|f| f.on == *on && f.kind == kind).map(|i| PanelFailingId(i as u16))
    }

    /// Sets a failing of the panel going (with its size, SI), or mends it. It acts on what is shown and nowhere
    /// else.
    pub fn set_failing(&mut self, failing: PanelFailingId, acting: bool, size: Option<f64>) {
        let f = &self.failings[usize::from(failing.0)];
        let (on, kind) = (f.on.clone(), f.kind);
        let size = size.or(f.size.and_then(|s| s.default));
        if let Some(l) = self.lamp(&on) {
            self.lamp_glances[l].forget();
            match kind {
                "dark" => self.lamps[l].dark = acting,
                _ => self.lamps[l].stuck_lit = acting,
            }
        } else if let Some(g) = self.gauge(&on) {
            failings::set_gauge(&mut self.gauges[g], kind, acting, size);
        } else if let Some(a) = self.alarm(&on) {
            self.alarm_glances[a].forget();
            match kind {
                "mute" => self.alarms[a].mute = acting,
                _ => self.alarms[a].spurious = acting,
            }
        }
    }

    /// Acknowledges one alarm, by its place; false when it does not wait for that.
    pub fn acknowledge(&mut self, alarm: usize, into: &mut Vec<Happening>) -> bool {
        let a = &mut self.alarms[alarm];
        let done = a.acknowledge();
        if done {
            into.push(told(a, AlarmPhase::Acknowledged));
        }
        done
    }

    /// Presses the lamp test: every lamp that is not dark is lit from the coming update on, for
    /// `LAMP_TEST`.
    pub fn lamp_test(&mut self, now: Tick) {
        self.tested_until = now.after(LAMP_TEST);
    }

    /// Whether the lamp test was on at this tick's update.
    #[must_use]
    pub fn lamps_tested_at(&self, tick: Tick) -> bool {
        tick < self.tested_until
    }

    /// Takes over a plant as it stands, without events: alarms whose cause is there already count
    /// as acknowledged before the run began.
    pub fn prime(&mut self, plant: &Plant) {
        for a in &mut self.alarms {
            a.prime(cause_value(a.cause, plant));
        }
        for g in &mut self.gauges {
            g.prime(plant.signal(g.of).0, plant.actual(g.of).0);
        }
        for l in &mut self.lamps {
            let (signal, _) = followed(l.follows, plant, &self.alarms);
            l.prime(signal);
        }
        self.look_anew();
    }

    /// Has all of it looked at in full on the coming tick.
    pub(crate) fn look_anew(&mut self) {
        self.lamp_glances.iter_mut().for_each(LampGlance::forget);
        self.alarm_glances.iter_mut().for_each(AlarmGlance::forget);
    }

    /// One tick: reads the plant's signals, moves alarms, gauges and lamps, and appends what
    /// happened (alarms, and differences between shown and true that have ended).
    pub fn update(&mut self, plant: &Plant, tick: Tick, into: &mut Vec<Happening>) {
        let (signal, actual) = (plant.signals(), plant.actuals());
        for (glance, a) in self.alarm_glances.iter_mut().zip(&mut self.alarms) {
            if glance.stays_quiet(signal) {
                continue;
            }
            if let Some(phase) = a.update(cause_value(a.cause, plant)) {
                into.push(told(a, phase));
            }
            *glance = AlarmGlance::of(a);
        }
        for g in &mut self.gauges {
            let i = usize::from(g.of.0);
            if let Some(ended) = g.update(tick, signal[i], actual[i]) {
                into.push(gauge_differed(g, ended, plant));
            }
        }
        let test = tick < self.tested_until;
        for (glance, l) in self.lamp_glances.iter_mut().zip(&mut self.lamps) {
            if glance.stays(signal, actual, test) {
                continue;
            }
            let by_point = glance.followed(signal, actual);
            let (said, truth) = by_point.unwrap_or_else(|| followed(l.follows, plant, &self.alarms));
            if !glance.is_new(said, truth, test) {
                continue;
            }
            if let Some(ended) = l.update(tick, said, truth, test) {
                into.push(lamp_differed(l, ended, plant, &self.alarms));
            }
        }
    }

    /// Its state as bytes, exact to the bit; what was built from its file is not in them.
    #[must_use]
    pub fn state(&self) -> Vec<u8> {
        kept::state(self)
    }

    /// Puts a state into a panel that was built from the same file; it goes on from there with the same bits.
    ///
    /// # Errors
    /// When the bytes are not a state of such a panel. Nothing has changed then.
    pub fn restore(&mut self, state: &[u8]) -> Result<(), Misfit> {
        *self = kept::restored(self, state)?;
        self.look_anew();
        Ok(())
    }

    /// Ends the differences that go on when the run ends; `after` is the tick after the last.
    pub fn finish(&mut self, plant: &Plant, after: Tick, into: &mut Vec<Happening>) {
        for g in &mut self.gauges {
            if let Some(ended) = g.finish(after) {
                into.push(gauge_differed(g, ended, plant));
            }
        }
        for l in &mut self.lamps {
            if let Some(ended) = l.finish(after) {
                into.push(lamp_differed(l, ended, plant, &self.alarms));
            }
        }
    }
}

fn told(a: &Alarm, phase: AlarmPhase) -> Happening {
    Happening::Alarm { tag: a.tag.clone(), text: a.text.clone(), phase }
}

fn cause_value(cause: Cause, plant: &Plant) -> f64 {
    match cause {
        Cause::Above { point, .. } | Cause::Below { point, .. } | Cause::State(point, _) => plant.signal(point).0,
        Cause::Trip(t) => f64::from(u8::from(plant.tripped(t))),
    }
}

/// Whether a lamp would be lit by what is said, and by what is true.
fn followed(follows: Follows, plant: &Plant, alarms: &[Alarm]) -> (bool, bool) {
    let both = |x: bool| (x, x);
    match follows {
        Follows::Point(p, when) => ((plant.signal(p).0 >= 0.5) == when, (plant.actual(p).0 >= 0.5) == when),
        Follows::Trip(t, when) => both(plant.tripped(t) == when),
        Follows::Standing(a, when) => both(alarms[a].state().stands() == when),
        Follows::Unacknowledged(a) => both(alarms[a].state().waits()),
        Follows::Control(c, word) => both(plant.setting(c).word == Some(word)),
    }
}

fn gauge_differed(g: &Gauge, ended: Ended, plant: &Plant) -> Happening {
    Happening::Differed {
        tag: g.tag.clone(),
        of: plant.points()[usize::from(g.of.0)].tag.clone(),
        since: ended.since,
        shown: g.unit.tell(ended.shown),
        actual: g.unit.tell(ended.actual),
    }
}

fn lamp_differed(l: &Lamp, ended: Ended, plant: &Plant, alarms: &[Alarm]) -> Happening {
    let word = |lit: f64| if lit >= 0.5 { "lit" } else { "dark" };
    let is = ended.actual >= 0.5;
    let (of, state) = match l.follows {
        Follows::Point(p, when) => {
            let point = &plant.points()[usize::from(p.0)];
            let value = f64::from(u8::from(is == when));
            (&point.tag, point.tell(value))
        }
        Follows::Trip(t, when) => {
            (&plant.trips()[t].tag, (if is == when { "tripped" } else { "not tripped" }).to_owned())
        }
        Follows::Standing(a, when) => (&alarms[a].tag, (if is == when { "standing" } else { "normal" }).to_owned()),
        Follows::Unacknowledged(a) => {
            (&alarms[a].tag, (if is { "not acknowledged" } else { "nothing to acknowledge" }).to_owned())
        }
        Follows::Control(c, w) => {
            let control = &plant.controls()[usize::from(c.0)];
            let not = if is { "" } else { "not " };
            (&control.tag, format!("{not}at {}", control.words[w]))
        }
    };
    let (tag, shown, actual) = (l.tag.clone(), word(ended.shown).to_owned(), format!("{of}: {state}"));
    Happening::Differed { tag, of: of.clone(), since: ended.since, shown, actual }
}
