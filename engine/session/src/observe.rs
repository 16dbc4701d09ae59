//! From the name of an observable to its value on a tick.
//!
//! A name is bound once; reading is then an index. Moments ([`Observable::Did`]) are 1 on the tick in
//! which the action was carried out; for what the helper does, that is when the trainee gave the
//! order and the helper took it.

use crate::fault::Fault;
use crate::setting::{parse_setting, same};
use base::observable::{Observable, Verb, Watched};
use base::record::{AlarmPhase, Event, Happening};
use base::units::Dimension;
use base::{Diagnostic, Place, Tag, Tick};
use panel::Panel;
use plant::{ControlId, Order, Plant, PointId};

/// An action that was carried out.
#[derive(Clone, Debug)]
pub(crate) struct Done {
    pub verb: Verb,
    pub on: Option<Tag>,
    pub to: Option<String>,
    pub order: Option<Order>,
}

/// What of an action a condition asks for.
#[derive(Clone, Debug)]
pub(crate) struct Wanted {
    verb: Verb,
    on: Option<Tag>,
    to: Option<String>,
    order: Option<Order>,
}

/// Where a value comes from.
#[derive(Clone, Debug)]
pub(crate) enum Getter {
    Actual(PointId),
    Signal(PointId),
    Pointer(usize),
    /// A lamp is lit, or (false) dark.
    Lit(usize, bool),
    Stands(usize),
    Unacknowledged(usize),
    Did(Wanted),
    Word(ControlId, usize),
    DialAt(ControlId, f64),
    Dial(ControlId),
    Tripped(usize),
    Fault(usize),
    Damage(usize),
    Clock,
}

/// Everything that values are read from.
#[derive(Clone, Copy)]
pub(crate) struct Scene<'a> {
    pub plant: &'a Plant,
    pub panel: &'a Panel,
    pub faults: &'a [Fault],
    pub done: &'a [Done],
    pub now: Tick,
}

fn same_words(a: &str, b: &str) -> bool {
    a.trim().eq_ignore_ascii_case(b.trim())
}

impl Wanted {
    fn is(&self, done: &Done) -> bool {
        let to = match (self.order, done.order, &self.to, &done.to) {
            (Some(a), Some(b), ..) => same(a, b),
            (_, _, None, _) => true,
            (_, _, Some(a), Some(b)) => same_words(a, b),
            (_, _, Some(_), None) => false,
        };
        self.verb == done.verb && to && (self.on.is_none() || self.on == done.on)
    }
}

impl Getter {
    /// The value on this tick, SI or 1.0/0.0.
    pub fn read(&self, s: &Scene<'_>) -> f64 {
        let truth = |b: bool| f64::from(u8::from(b));
        match self {
            Getter::Actual(p) => s.plant.actual(*p).0,
            Getter::Signal(p) => s.plant.signal(*p).0,
            Getter::Pointer(g) => s.panel.gauges()[*g].shown().0,
            Getter::Lit(l, when) => truth(s.panel.lit(*l) == *when),
            Getter::Stands(a) => truth(s.panel.alarms()[*a].state().stands()),
            Getter::Unacknowledged(a) => {
                let state = s.panel.alarms()[*a].state();
                truth(state.stands() && state.waits())
            }
            Getter::Did(wanted) => truth(s.done.iter().any(|d| wanted.is(d))),
            Getter::Word(c, w) => truth(s.plant.setting(*c).word == Some(*w)),
            Getter::DialAt(c, x) => {
                truth(s.plant.setting(*c).dial.is_some_and(|d| same(Order::Dial(d), Order::Dial(*x))))
            }
            // A control that stands at a word has no setting on its dial: unknown to a monitor.
            Getter::Dial(c) => s.plant.setting(*c).dial.unwrap_or(f64::NAN),
            Getter::Tripped(t) => truth(s.plant.tripped(*t)),
            Getter::Fault(f) => truth(s.faults[*f].acting),
            Getter::Damage(d) => s.plant.damage(*d),
            Getter::Clock => s.now.seconds(),
        }
    }
}

/// The names that an observable may use.
#[derive(Clone, Copy)]
pub(crate) struct Names<'a> {
    pub plant: &'a Plant,
    pub panel: &'a Panel,
    pub faults: &'a [Fault],
}

impl<'a> Names<'a> {
    /// Binds an observable, and tells the dimension of its values.
    pub fn bind(&self, what: &Observable, place: &Place) -> Result<(Getter, Dimension), Diagnostic> {
        let (plant, panel) = (self.plant, self.panel);
        let state = |g| Ok((g, Dimension::State));
        let dimension = |p: PointId| plant.points()[usize::from(p.0)].unit.dimension;
        match what {
            Observable::Actual(tag) => {
                let p = self.point(tag, place)?;
                Ok((Getter::Actual(p), dimension(p)))
            }
            Observable::Signal(tag) => {
                let p = self.point(tag, place)?;
                if !plant.points()[usize::from(p.0)].has_signal {
                    return Err(Diagnostic::error(
                        "session::no-signal",
                        place.clone(),
                        format!("{tag} sends no signal; it can only be read on the spot"),
                    )
                    .hint("ask for its actual value"));
                }
                Ok((Getter::Signal(p), dimension(p)))
            }
            Observable::Shown(tag) => self.shown(tag, place),
            Observable::Lit(tag) => match panel.lamp(tag) {
                Some(l) => state(Getter::Lit(l, true)),
                None => Err(unknown("lamp", tag, panel.lamps().iter().map(|l| &l.tag), place)),
            },
            Observable::Alarm(tag) => state(Getter::Stands(self.alarm(tag, place)?)),
            Observable::Unacknowledged(tag) => state(Getter::Unacknowledged(self.alarm(tag, place)?)),
            Observable::Did { verb, on, to } => {
                state(Getter::Did(self.wanted(*verb, on.as_ref(), to.as_deref(), place)?))
            }
            Observable::Setting { on, to } => {
                let c = self.control(on, place)?;
                let control = &plant.controls()[usize::from(c.0)];
                match (to, &control.dial) {
                    (Some(to), _) => match parse_setting(control, to, place)? {
                        Order::Word(w) => state(Getter::Word(c, w)),
                        Order::Dial(x) => state(Getter::DialAt(c, x)),
                    },
                    (None, Some(dial)) => Ok((Getter::Dial(c), dial.unit.dimension)),
                    (None, None) => Err(Diagnostic::error(
                        "session::setting",
                        place.clone(),
                        format!("{on} has no dial that could be read"),
                    )
                    .hint(format!("ask whether it is set to {}", control.words.join(" or ")))),
                }
            }
            Observable::Tripped(tag) => match plant.trips().iter().position(|t| t.tag == *tag) {
                Some(t) => state(Getter::Tripped(t)),
                None => Err(unknown("trip", tag, plant.trips().iter().map(|t| &t.tag), place)),
            },
            Observable::Fault(name) => match self.faults.iter().position(|f| f.name == *name) {
                Some(f) => state(Getter::Fault(f)),
                None => Err(self.unknown_fault(name, place)),
            },
            Observable::Damage(tag) => match plant.damageable().iter().position(|t| t == tag) {
                Some(d) => Ok((Getter::Damage(d), Dimension::Fraction)),
                None => Err(unknown("component that can be hurt", tag, plant.damageable().iter(), place)),
            },
            Observable::Clock => Ok((Getter::Clock, Dimension::Time)),
        }
    }

    /// Binds a watched observable, whose dimension must be the one that it is compared in.
    pub fn bind_watched(&self, watched: &Watched, place: &Place) -> Result<Getter, Diagnostic> {
        let (getter, is) = self.bind(&watched.what, place)?;
        let asked = watched.dimension;
        // Truth and damage are plain numbers from 0 to 1, whatever they are called.
        let plain = [Dimension::State, Dimension::Number, Dimension::Fraction];
        let loose = is == Dimension::State || matches!(getter, Getter::Damage(_));
        if is == asked || (loose && plain.contains(&asked)) {
            return Ok(getter);
        }
        let units = base::units::units_of(is).map(|u| u.symbol).collect::<Vec<_>>().join(", ");
        Err(Diagnostic::error(
            "session::unit",
            place.clone(),
            format!("{} is compared with a {}, and it is a {}", watched.what, asked.name(), is.name()),
        )
        .hint(format!("units of {}: {units}", is.name())))
    }

    fn shown(&self, tag: &Tag, place: &Place) -> Result<(Getter, Dimension), Diagnostic> {
        let (plant, panel) = (self.plant, self.panel);
        let point = plant.point(tag);
        if let Some(g) = panel.gauge(tag).or_else(|| panel.gauge_of(point?)) {
            return Ok((Getter::Pointer(g), panel.gauges()[g].unit.dimension));
        }
        // What a lamp tells of the state that it follows: of a lamp lit when shut, dark is not shut.
        let by_lamp = panel.lamps().iter().enumerate().find_map(|(i, l)| match l.follows {
            _ if l.tag == *tag => Some(Getter::Lit(i, true)),
            panel::lamp::Follows::Point(p, when) if Some(p) == point => Some(Getter::Lit(i, when)),
            _ => None,
        });
        if let Some(getter) = by_lamp {
            return Ok((getter, Dimension::State));
        }
        if point.is_some() {
            return Err(Diagnostic::error(
                "session::not-shown",
                place.clone(),
                format!("nothing on the panel shows {tag}"),
            )
            .hint("ask for its signal or its actual value"));
        }
        let known = panel.gauges().iter().map(|g| &g.tag).chain(panel.lamps().iter().map(|l| &l.tag));
        Err(unknown("gauge or lamp", tag, known.chain(plant.points().iter().map(|p| &p.tag)), place))
    }

    fn wanted(&self, verb: Verb, on: Option<&Tag>, to: Option<&str>, place: &Place) -> Result<Wanted, Diagnostic> {
        let mut order = None;
        match (verb, on) {
            (Verb::Operate, Some(on)) => {
                let c = self.control(on, place)?;
                let control = &self.plant.controls()[usize::from(c.0)];
                order = to.map(|to| parse_setting(control, to, place)).transpose()?;
            }
            (Verb::Acknowledge, Some(on)) => {
                self.alarm(on, place)?;
            }
            (Verb::LocalCheck, Some(on)) if self.panel.sight(on, self.plant).is_none() => {
                return Err(unknown("thing to look at", on, self.panel.sights(), place));
            }
            (Verb::Repair, Some(on)) => self.repairable(on, place)?,
            (Verb::LampTest, Some(on)) => {
                return Err(Diagnostic::error(
                    "session::lamp-test",
                    place.clone(),
                    format!("the lamp test is of all lamps, not of {on} alone"),
                ));
            }
            _ => {}
        }
        Ok(Wanted { verb, on: on.cloned(), to: to.map(str::to_owned), order })
    }

    /// A point by its tag, or by that of the gauge that shows it.
    pub fn point(&self, tag: &Tag, place: &Place) -> Result<PointId, Diagnostic> {
        let by_gauge = || self.panel.gauge(tag).map(|g| self.panel.gauges()[g].of);
        self.plant
            .point(tag)
            .or_else(by_gauge)
            .ok_or_else(|| unknown("instrument", tag, self.plant.points().iter().map(|p| &p.tag), place))
    }

    pub fn control(&self, tag: &Tag, place: &Place) -> Result<ControlId, Diagnostic> {
        self.plant
            .control(tag)
            .ok_or_else(|| unknown("control", tag, self.plant.controls().iter().map(|c| &c.tag), place))
    }

    pub fn alarm(&self, tag: &Tag, place: &Place) -> Result<usize, Diagnostic> {
        self.panel.alarm(tag).ok_or_else(|| unknown("alarm", tag, self.panel.alarms().iter().map(|a| &a.tag), place))
    }

    /// Whether anything can go wrong with what has this tag.
    pub fn repairable(&self, tag: &Tag, place: &Place) -> Result<(), Diagnostic> {
        let all = || self.plant.failings().iter().chain(self.panel.failings()).map(|f| &f.on);
        if all().any(|on| on == tag) { Ok(()) } else { Err(unknown("thing to repair", tag, all(), place)) }
    }

    pub fn unknown_fault(&self, name: &str, place: &Place) -> Diagnostic {
        unknown_fault(name, self.faults.iter().map(|f| f.name.as_str()), place)
    }

    /// Whether a moment or a state has come about since the start, from the events of the run.
    pub fn ever(&self, what: &Observable, events: &[Event]) -> Option<bool> {
        let nowhere = Place::default();
        let any = |f: &dyn Fn(&Happening) -> bool| Some(events.iter().any(|e| f(&e.what)));
        let raised =
            |tag: &Tag| any(&|h| matches!(h, Happening::Alarm { tag: t, phase: AlarmPhase::Raised, .. } if t == tag));
        match what {
            Observable::Did { verb, on, to } => {
                let wanted = self.wanted(*verb, on.as_ref(), to.as_deref(), &nowhere).ok()?;
                any(&|h| match h {
                    Happening::Action { verb, on, to, refused: None } => {
                        let order = on
                            .as_ref()
                            .and_then(|on| self.plant.control(on))
                            .zip(to.as_ref())
                            .filter(|_| *verb == Verb::Operate)
                            .and_then(|(c, to)| {
                                parse_setting(&self.plant.controls()[usize::from(c.0)], to, &nowhere).ok()
                            });
                        wanted.is(&Done { verb: *verb, on: on.clone(), to: to.clone(), order })
                    }
                    Happening::Alarm { tag, phase: AlarmPhase::Acknowledged, .. } => {
                        wanted.is(&Done { verb: Verb::Acknowledge, on: Some(tag.clone()), to: None, order: None })
                    }
                    _ => false,
                })
            }
            Observable::Alarm(tag) | Observable::Unacknowledged(tag) => raised(tag),
            Observable::Tripped(tag) => any(&|h| matches!(h, Happening::Trip { tag: t, .. } if t == tag)),
            Observable::Fault(name) => any(&|h| matches!(h, Happening::FaultOn { name: n, .. } if n == name)),
            _ => None,
        }
    }
}

/// An unknown name, with the nearest of those known.
pub(crate) fn unknown<'a>(kind: &str, tag: &Tag, known: impl Iterator<Item = &'a Tag>, place: &Place) -> Diagnostic {
    let d = Diagnostic::error("session::unknown-tag", place.clone(), format!("there is no {kind} \"{tag}\""));
    d.nearest(tag.as_str(), known.map(Tag::as_str))
}

/// An unknown fault, with the nearest of those of the exercise.
pub(crate) fn unknown_fault<'a>(name: &str, known: impl Iterator<Item = &'a str>, place: &Place) -> Diagnostic {
    let message = format!("the exercise has no fault \"{name}\"");
    Diagnostic::error("session::unknown-fault", place.clone(), message).nearest(name, known)
}
