//! Drift: a replayed run that no longer is the run that was recorded.
//!
//! A log may say what the trainee's own panel showed at a tick. Before the actions of that tick it is
//! compared with the panel here. Lamps and alarms must agree; a gauge may differ by [`TOLERANCE`] of
//! its scale (own choice: half a division of a scale with 50), and always by one step of the last digit that it
//! is told with. The first disagreement ends the run:
//! from there on it did not happen that way.

use crate::observe::unknown;
use base::units;
use base::{Diagnostic, Place, Tag, Tick};
use panel::Panel;
use plant::Plant;
use std::collections::VecDeque;

/// Part of a gauge's scale by which a recorded reading may differ.
pub const TOLERANCE: f64 = 0.01;

/// What a log says was shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Saw {
    /// When: before the actions of this tick.
    pub tick: Tick,
    /// The gauge (or what it follows), lamp or alarm.
    pub tag: Tag,
    /// What it showed: "4.10 barg", "lit", "dark", "raised".
    pub text: String,
    /// Where the log says so.
    pub place: Place,
}

/// The first disagreement.
#[derive(Clone, Debug, PartialEq)]
pub struct Drift {
    /// When.
    pub tick: Tick,
    /// What disagreed.
    pub tag: Tag,
    /// What the log says was shown.
    pub saw: String,
    /// What is shown here.
    pub shown: String,
}

impl Drift {
    /// Both readings in words.
    #[must_use]
    pub fn told(&self) -> String {
        format!(
            "the trainee's panel showed {} for {} at {}, and the replay shows {}",
            self.saw, self.tag, self.tick, self.shown
        )
    }
}

#[derive(Clone, Debug)]
enum Bound {
    Gauge(usize, f64),
    Lamp(usize, bool),
    Alarm(usize),
}

/// What the log says, in order, and the first disagreement.
#[derive(Clone, Debug, Default)]
pub(crate) struct Comparison {
    due: VecDeque<(Saw, Bound)>,
    pub first: Option<Drift>,
}

impl Comparison {
    pub fn add(&mut self, saw: Saw, plant: &Plant, panel: &Panel) -> Result<(), Diagnostic> {
        let bound = bind(&saw, plant, panel)?;
        let at = self.due.partition_point(|(s, _)| s.tick <= saw.tick);
        self.due.insert(at, (saw, bound));
        Ok(())
    }

    pub fn tick(&mut self, now: Tick, panel: &Panel) {
        while self.due.front().is_some_and(|(s, _)| s.tick <= now) {
            let Some((saw, bound)) = self.due.pop_front() else { return };
            if self.first.is_some() {
                continue;
            }
            if let Some(shown) = disagrees(&saw, &bound, panel) {
                self.first = Some(Drift { tick: saw.tick, tag: saw.tag, saw: saw.text, shown });
            }
        }
    }
}

fn bind(saw: &Saw, plant: &Plant, panel: &Panel) -> Result<Bound, Diagnostic> {
    let text = saw.text.trim();
    let wrong = |message: String, hint: &str| Diagnostic::error("session::saw", saw.place.clone(), message).hint(hint);
    let by_point = || panel.gauge_of(plant.point(&saw.tag)?);
    if let Some(g) = panel.gauge(&saw.tag).or_else(by_point) {
        let gauge = &panel.gauges()[g];
        let number = text.strip_suffix("off scale").map_or(text, |t| t.trim_end().trim_end_matches(','));
        return match units::parse_as(number, gauge.unit.dimension) {
            Ok(si) => Ok(Bound::Gauge(g, si)),
            Err(e) => {
                let (message, hint) = e.told();
                Err(wrong(format!("{} is a gauge, and {message}", saw.tag), &hint))
            }
        };
    }
    if let Some(l) = panel.lamp(&saw.tag) {
        return match text {
            "lit" => Ok(Bound::Lamp(l, true)),
            "dark" => Ok(Bound::Lamp(l, false)),
            _ => {
                Err(wrong(format!("{} is a lamp, and \"{text}\" is nothing it can show", saw.tag), "write lit or dark"))
            }
        };
    }
    let Some(a) = panel.alarm(&saw.tag) else {
        let known = panel.gauges().iter().map(|g| &g.tag);
        let known = known.chain(panel.lamps().iter().map(|l| &l.tag)).chain(panel.alarms().iter().map(|a| &a.tag));
        return Err(unknown("gauge, lamp or alarm", &saw.tag, known, &saw.place));
    };
    let words = ["normal", "raised", "acknowledged", "cleared, not acknowledged"];
    if words.contains(&text) {
        Ok(Bound::Alarm(a))
    } else {
        let hint = format!("write {}", words.map(|w| format!("\"{w}\"")).join(" or "));
        Err(wrong(format!("{} is an alarm, and \"{text}\" is nothing it can show", saw.tag), &hint))
    }
}

/// What is shown, where that is not what the log says.
fn disagrees(saw: &Saw, bound: &Bound, panel: &Panel) -> Option<String> {
    match *bound {
        Bound::Gauge(g, si) => {
            let gauge = &panel.gauges()[g];
            let within = (TOLERANCE * (gauge.scale.1 - gauge.scale.0)).max(gauge.unit.last_digit());
            ((gauge.shown().0 - si).abs() > within).then(|| gauge.text())
        }
        Bound::Lamp(l, lit) => {
            let is = panel.lit(l);
            (is != lit).then(|| (if is { "lit" } else { "dark" }).to_owned())
        }
        Bound::Alarm(a) => {
            let is = panel.alarms()[a].state().word();
            (is != saw.text.trim()).then(|| is.to_owned())
        }
    }
}
