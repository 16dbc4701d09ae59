//! The faults of an exercise, bound to what fails in the plant or on the panel.
//!
//! A fault begins at a time, on the tick after its condition first held (or so many ticks after
//! that), or when the story says so; it clears likewise, where a condition counts only while the
//! fault acts, and by the helper's hands where it can be repaired. Beginning and clearing take effect before
//! controllers and physics of their tick. A fault acts from its beginning to its clearing, also while it has
//! gone away for a time; what of it is there, and what several of them do together, see [`crate::growth`].

use crate::exercise::{FaultPlan, Moment};
use crate::growth::{Coming, OneOf, Presence, together};
use crate::setting::quantity;
use base::observable::{Observable, Watched};
use base::record::{self, Happening, Layer};
use base::{Diagnostic, Place, Tag, Tick};
use monitor::{Formula, Trigger};
use panel::{Panel, PanelFailingId};
use plant::registry::{Failing, Size};
use plant::{FailingId, Plant};

/// What fails: a kind on a component.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Target {
    Plant(FailingId),
    Panel(PanelFailingId),
}

/// The targets of an exercise's faults, with what acts on each.
#[derive(Clone, Debug, Default)]
pub(crate) struct Targets(Vec<(Target, Presence)>);

/// When something comes about.
#[derive(Clone, Debug)]
enum Due {
    ByStory,
    At(Tick),
    When { trigger: Box<Trigger>, after: u32, at: Option<Tick> },
}

/// A fault of the exercise.
#[derive(Clone, Debug)]
pub(crate) struct Fault {
    pub name: String,
    pub acting: bool,
    /// What of it is there.
    pub presence: Presence,
    pub on: Tag,
    /// How long the helper has to work to repair it, if that is possible.
    pub repair: Option<u32>,
    kind: &'static str,
    layer: Layer,
    measure: Option<Size>,
    target: Target,
    coming: Coming,
    begins: Due,
    clears: Due,
    /// What clears it by itself hangs on what the trainee does, not on the time alone.
    clears_by_trainee: bool,
}

impl Due {
    fn bind(moment: &Moment, width: usize, place: &Place) -> Result<Due, Diagnostic> {
        Ok(match moment {
            Moment::ByStory => Due::ByStory,
            Moment::At(tick) => Due::At(*tick),
            Moment::When(f) => Due::When { trigger: Box::new(trigger(f, width, place)?), after: 1, at: None },
            Moment::After(f, ticks) => {
                Due::When { trigger: Box::new(trigger(f, width, place)?), after: (*ticks).max(1), at: None }
            }
        })
    }

    fn is(&self, now: Tick) -> bool {
        match self {
            Due::ByStory => false,
            Due::At(t) => *t == now,
            Due::When { at, .. } => *at == Some(now),
        }
    }

    fn feed(&mut self, row: &[f64], now: Tick, counts: bool) {
        // A moment that has come is never asked for again, so that its trigger need not see what follows.
        if let Due::When { trigger, after, at } = self
            && at.is_none()
            && trigger.feed(row)
            && counts
        {
            *at = Some(now.after(*after));
        }
    }
}

/// A trigger on the sample row, or what is wrong with the formula.
pub(crate) fn trigger(formula: &Formula, width: usize, place: &Place) -> Result<Trigger, Diagnostic> {
    let trigger = Trigger::new(formula).ok_or_else(|| {
        Diagnostic::error(
            "session::looks-ahead",
            place.clone(),
            "the condition looks ahead, and nobody can know the future while the run goes on",
        )
        .hint("use conditions on what is and what was, such as \"has lasted 30 s\"")
    })?;
    if trigger.row_width() > width {
        return Err(Diagnostic::error(
            "session::formula",
            place.clone(),
            format!("the condition asks for signal {} and only {width} are watched", trigger.row_width() - 1),
        ));
    }
    Ok(trigger)
}

impl Fault {
    /// Binds a fault to what fails; `watched` is the sample row.
    pub fn bind(
        plan: &FaultPlan,
        plant: &Plant,
        panel: &Panel,
        watched: &[Watched],
        seed: u64,
        wrong: &mut Vec<Diagnostic>,
    ) -> Option<Fault> {
        let width = watched.len();
        let mut noted = |r: Result<Due, Diagnostic>| r.map_err(|d| wrong.push(d)).ok();
        let begins = noted(Due::bind(&plan.begins, width, &plan.place));
        let clears = noted(Due::bind(&plan.clears, width, &plan.place));
        let (target, failing) = match find(plan, plant, panel) {
            Ok(found) => found,
            Err(d) => {
                wrong.push(d);
                return None;
            }
        };
        let coming = match size(plan, failing).and_then(|size| coming(plan, failing, size, seed)) {
            Ok(coming) => coming,
            Err(d) => {
                wrong.push(d);
                return None;
            }
        };
        Some(Fault {
            name: plan.name.clone(),
            acting: false,
            presence: Presence::Away,
            on: plan.on.clone(),
            repair: plan.repair,
            kind: failing.kind,
            layer: failing.layer,
            measure: failing.size,
            target,
            coming,
            begins: begins?,
            clears: clears?,
            clears_by_trainee: match &plan.clears {
                Moment::When(f) | Moment::After(f, _) => hangs_on_the_trainee(f, watched),
                Moment::ByStory | Moment::At(_) => false,
            },
        })
    }

    /// Whether it begins, or clears, on this tick.
    pub fn due(&self, now: Tick) -> Option<bool> {
        if self.clears.is(now) {
            Some(false)
        } else if self.begins.is(now) {
            Some(true)
        } else {
            None
        }
    }

    /// Sets it going or clears it, and tells when that changed something. What acts of it then is for
    /// [`Targets::act`].
    pub fn set(&mut self, acting: bool, by_trainee: bool, now: Tick) -> Option<Happening> {
        if self.acting == acting {
            return None;
        }
        self.acting = acting;
        let name = self.name.clone();
        Some(if acting {
            self.coming.begin(now);
            let (on, kind, comes) = (self.on.clone(), self.kind.to_owned(), self.comes_on());
            Happening::FaultOn { name, on, kind, layer: self.layer, comes }
        } else {
            Happening::FaultOff { name, by_trainee }
        })
    }

    /// How it comes on, for people.
    fn comes_on(&self) -> record::Coming {
        let (growth, size) = self.coming.growth();
        let size = self.measure.zip(size).map(|(m, size)| m.unit.tell(size));
        record::Coming { size, over: growth.over, rhythm: growth.rhythm.map(|r| [r.there, r.away]) }
    }

    /// Brings it to another size, SI, and tells when that changed something: one that does not act has none.
    ///
    /// # Errors
    /// A sentence when it has no amount, or does not go so far.
    pub fn grow(&mut self, to: f64, over: u32, now: Tick) -> Result<Option<Happening>, String> {
        let name = &self.name;
        let Some(measure) = self.measure.filter(|m| m.sound.is_some()) else {
            return Err(format!("the fault \"{name}\" is there or it is not, and cannot grow"));
        };
        let tell = |size| measure.unit.tell(size);
        if !measure.takes(to) {
            let (least, most) = (tell(measure.min), tell(measure.max));
            return Err(format!("the fault \"{name}\" goes from {least} to {most}, and not to {}", tell(to)));
        }
        if !self.acting {
            return Ok(None);
        }
        let from = self.coming.grow(to, over, now);
        let name = self.name.clone();
        Ok(from.map(|from| Happening::FaultGrows { name, from: tell(from), to: tell(to), over }))
    }

    /// What of it is there on this tick.
    pub fn comes(&mut self, now: Tick) -> Presence {
        if self.acting { self.coming.at(now) } else { Presence::Away }
    }

    /// The layer that it acts on.
    pub fn layer(&self) -> Layer {
        self.layer
    }

    /// Whether what clears it by itself hangs on what the trainee does.
    pub fn clears_by_trainee(&self) -> bool {
        self.clears_by_trainee
    }

    /// Shows it the row of a tick.
    pub fn feed(&mut self, row: &[f64], now: Tick) {
        self.begins.feed(row, now, true);
        self.clears.feed(row, now, self.acting);
    }
}

impl Targets {
    /// The targets of these faults.
    pub fn of(faults: &[Fault]) -> Targets {
        let mut all: Vec<(Target, Presence)> = vec![];
        for f in faults {
            if !all.iter().any(|t| t.0 == f.target) {
                all.push((f.target, Presence::Away));
            }
        }
        Targets(all)
    }

    /// Brings onto plant and panel what the faults do together.
    ///
    /// # Errors
    /// What the plant says against a size.
    pub fn act(&mut self, faults: &[Fault], plant: &mut Plant, panel: &mut Panel) -> Result<(), String> {
        for (target, acts) in &mut self.0 {
            let on_it = faults.iter().filter(|f| f.target == *target);
            let now = together(on_it.map(|f| OneOf {
                presence: f.presence,
                began: f.coming.began(),
                sound: f.coming.sound(),
            }));
            if now == *acts {
                continue;
            }
            *acts = now;
            let (acting, size) = match now {
                Presence::Away => (false, None),
                Presence::There(size) => (true, size),
            };
            match *target {
                Target::Plant(id) => plant.set_failing(id, acting, size)?,
                Target::Panel(id) => panel.set_failing(id, acting, size),
            }
        }
        Ok(())
    }
}

/// Whether a condition hangs on more than the time and the faults of the exercise. Everything else that
/// changes in a plant begins with what somebody does to it.
pub(crate) fn hangs_on_the_trainee(formula: &Formula, watched: &[Watched]) -> bool {
    formula.all_signals().into_iter().any(|signal| {
        let what = watched.get(signal.0 as usize).map(|w| &w.what);
        !matches!(what, None | Some(Observable::Clock | Observable::Fault(_)))
    })
}

fn find<'a>(plan: &FaultPlan, plant: &'a Plant, panel: &'a Panel) -> Result<(Target, &'a Failing), Diagnostic> {
    if let Some(id) = plant.failing(&plan.on, &plan.kind) {
        return Ok((Target::Plant(id), &plant.failings()[usize::from(id.0)]));
    }
    if let Some(id) = panel.failing(&plan.on, &plan.kind) {
        return Ok((Target::Panel(id), &panel.failings()[usize::from(id.0)]));
    }
    let all = || plant.failings().iter().chain(panel.failings());
    let kinds: Vec<&str> = all().filter(|f| f.on == plan.on).map(|f| f.kind).collect();
    if kinds.is_empty() {
        let message = format!("fault \"{}\": nothing with the tag \"{}\" can fail", plan.name, plan.on);
        return Err(Diagnostic::error("session::unknown-tag", plan.place.clone(), message)
            .nearest(plan.on.as_str(), all().map(|f| f.on.as_str())));
    }
    let near = base::nearest::nearest(&plan.kind, kinds.iter().copied());
    let mean = near.map_or_else(String::new, |k| format!("did you mean \"{k}\"? "));
    let message = format!("fault \"{}\": {} cannot be \"{}\"", plan.name, plan.on, plan.kind);
    Err(Diagnostic::error("session::unknown-fault-kind", plan.place.clone(), message)
        .hint(format!("{mean}it can be {}", kinds.join(", "))))
}

/// How it comes on, or why it cannot come on so.
fn coming(plan: &FaultPlan, failing: &Failing, size: Option<f64>, seed: u64) -> Result<Coming, Diagnostic> {
    let sound = failing.size.as_ref().and_then(|s| s.sound);
    if plan.grows.over > 0 && (size.is_none() || sound.is_none()) {
        let message = format!("fault \"{}\": \"{}\" is there or it is not, and cannot grow", plan.name, failing.kind);
        return Err(Diagnostic::error("session::grows", plan.place.clone(), message)
            .hint("let it come as a whole, or choose a kind with an amount"));
    }
    Ok(Coming::new(plan.grows, size, sound, seed, &plan.name))
}

fn size(plan: &FaultPlan, failing: &Failing) -> Result<Option<f64>, Diagnostic> {
    let at = &plan.place;
    let (text, size) = match (&plan.size, &failing.size) {
        (None, size) => return Ok(size.as_ref().and_then(|s| s.default)),
        (Some(_), None) => {
            let message = format!("fault \"{}\": \"{}\" has no size", plan.name, failing.kind);
            return Err(Diagnostic::error("session::size", at.clone(), message).hint("leave the size out"));
        }
        (Some(text), Some(size)) => (text, size),
    };
    let si = quantity(text, size.unit, at).map_err(|mut d| {
        d.message = format!("fault \"{}\": in its {}, {}", plan.name, size.what, d.message);
        d
    })?;
    if si < size.min || si > size.max {
        let message = format!("fault \"{}\": a {} of {text} is out of range", plan.name, size.what);
        return Err(Diagnostic::error("session::size", at.clone(), message).hint(format!(
            "it goes from {} to {}",
            size.unit.tell(size.min),
            size.unit.tell(size.max)
        )));
    }
    Ok(Some(si))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn due(formula: Formula) -> Due {
        Due::bind(&Moment::After(formula, 3), 1, &Place::default()).unwrap()
    }

    #[test]
    fn a_moment_that_has_come_comes_no_second_time() {
        let mut due = due(Formula::above(0, 0.5));
        for (tick, sample) in [(4, 0.0), (5, 1.0), (6, 0.0), (7, 1.0), (8, 1.0)] {
            due.feed(&[sample], Tick(tick), true);
        }
        assert_eq!((0..20).filter(|t| due.is(Tick(*t))).collect::<Vec<_>>(), [8]);
    }

    #[test]
    fn what_does_not_count_yet_is_remembered_all_the_same() {
        // Two ticks without a break before the one on which it begins to count.
        let mut due = due(Formula::above(0, 0.5).lasted(2));
        for tick in 0..5 {
            due.feed(&[1.0], Tick(tick), tick >= 4);
        }
        assert_eq!((0..20).filter(|t| due.is(Tick(*t))).collect::<Vec<_>>(), [7]);
    }
}
