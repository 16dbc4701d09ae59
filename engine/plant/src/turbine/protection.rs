//! The trip gear: what shuts the stop valve, which cause came first, and its reset.
//!
//! The gear is set by hand, with the stop valve's wheel run down and no cause standing; then the trip oil holds the valves. From then on any
//! cause that stands for its delay lets the oil go. The gear stays tripped, with its first cause, until it is reset by hand. Before it is
//! set for the first time it is not tripped either: nothing has happened, and nothing passes.
//! Causes: a bolt on the shaft (mechanical, on the true speed) and the electronic one (on a speed signal); low oil pressure, high exhaust
//! pressure, high vibration and high bearing temperature (on signals); by hand. Settings: own choice in the plant file, of the
//! usual class (common practice: overspeed 110 %).
//! Units: parts of rated speed, Pa absolute, m, K, s.

use crate::control::trip::{CauseParams, TripUnit};

/// Why it tripped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TurbineCause {
    /// By hand.
    Hand,
    /// The bolt on the shaft.
    MechanicalOverspeed,
    /// The electronic one.
    ElectronicOverspeed,
    /// Low oil pressure.
    OilPressure,
    /// High exhaust pressure.
    ExhaustPressure,
    /// High vibration.
    Vibration,
    /// High bearing temperature.
    BearingTemperature,
}

impl TurbineCause {
    /// In the order of the trip unit.
    const ALL: [TurbineCause; 7] = [
        TurbineCause::Hand,
        TurbineCause::MechanicalOverspeed,
        TurbineCause::ElectronicOverspeed,
        TurbineCause::OilPressure,
        TurbineCause::ExhaustPressure,
        TurbineCause::Vibration,
        TurbineCause::BearingTemperature,
    ];

    /// For people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            TurbineCause::Hand => "by hand",
            TurbineCause::MechanicalOverspeed => "overspeed, mechanical",
            TurbineCause::ElectronicOverspeed => "overspeed, electronic",
            TurbineCause::OilPressure => "oil pressure low",
            TurbineCause::ExhaustPressure => "exhaust pressure high",
            TurbineCause::Vibration => "vibration high",
            TurbineCause::BearingTemperature => "bearing temperature high",
        }
    }

    /// What must be put right before a reset.
    fn stands(self) -> &'static str {
        match self {
            TurbineCause::Hand => "the trip lever is still pulled",
            TurbineCause::MechanicalOverspeed | TurbineCause::ElectronicOverspeed => "the rotor still runs too fast",
            TurbineCause::OilPressure => "the oil pressure is still low",
            TurbineCause::ExhaustPressure => "the exhaust pressure is still high; the vacuum comes first",
            TurbineCause::Vibration => "the vibration is still high",
            TurbineCause::BearingTemperature => "a bearing is still too hot",
        }
    }
}

/// Settings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProtectionParams {
    /// The bolt, part of rated speed.
    pub mechanical: f64,
    /// The electronic one, part of rated speed.
    pub electronic: f64,
    /// Oil pressure below which it trips, Pa absolute, and its delay, s.
    pub oil: (f64, f64),
    /// Exhaust pressure above which it trips, Pa, and its delay, s.
    pub exhaust: (f64, f64),
    /// Vibration above which it trips, m, and its delay, s.
    pub vibration: (f64, f64),
    /// Bearing temperature above which it trips, K, and its delay, s.
    pub bearing: (f64, f64),
}

/// What it looks at.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Watched {
    /// True speed, part of rated: the bolt.
    pub speed: f64,
    /// Speed as its transmitter says.
    pub speed_signal: f64,
    /// Oil pressure signal, Pa absolute.
    pub oil: f64,
    /// Exhaust pressure signal, Pa.
    pub exhaust: f64,
    /// Vibration signal, m.
    pub vibration: f64,
    /// The hottest bearing's signal, K.
    pub bearing: f64,
}

base::kept!(Watched { speed, speed_signal, oil, exhaust, vibration, bearing });

/// What can be wrong.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ProtectionFailing {
    /// The bolt does not act.
    pub bolt_dead: bool,
    /// The electronic overspeed trip does not act.
    pub electronic_dead: bool,
}

base::kept!(ProtectionFailing { bolt_dead, electronic_dead });

/// The trip gear and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Protection {
    params: ProtectionParams,
    /// Its failings.
    pub failing: ProtectionFailing,
    unit: TripUnit,
    set: bool,
    lever: bool,
}

base::kept!(Protection { failing, unit, set, lever } fixed { params });

impl Protection {
    /// A gear that has not been set.
    #[must_use]
    pub fn new(params: ProtectionParams) -> Protection {
        let delay = |d: f64| CauseParams { delay: d };
        let p = &params;
        let causes = [0.0, 0.0, 0.0, p.oil.1, p.exhaust.1, p.vibration.1, p.bearing.1].map(delay);
        Protection {
            params,
            failing: ProtectionFailing::default(),
            unit: TripUnit::new(&causes),
            set: false,
            lever: false,
        }
    }

    /// Its settings.
    #[must_use]
    pub fn params(&self) -> &ProtectionParams {
        &self.params
    }

    fn causes(&self, w: &Watched) -> [bool; 7] {
        let p = &self.params;
        [
            self.lever,
            w.speed > p.mechanical && !self.failing.bolt_dead,
            w.speed_signal > p.electronic && !self.failing.electronic_dead,
            w.oil < p.oil.0,
            w.exhaust > p.exhaust.0,
            w.vibration > p.vibration.0,
            w.bearing > p.bearing.0,
        ]
    }

    /// A tick.
    pub fn step(&mut self, w: &Watched, dt: f64) {
        // Once it has tripped it goes on looking, so that it can be told which causes came after the first.
        if self.set || self.unit.is_tripped() {
            let causes = self.causes(w);
            if self.unit.step(&causes, dt) {
                self.set = false;
            }
        }
        self.lever = false;
    }

    /// Pulls the trip lever.
    pub fn trip(&mut self) {
        self.lever = true;
    }

    /// Sets the gear, or resets it after a trip.
    ///
    /// # Errors
    /// A sentence that says what stands against it.
    pub fn reset(&mut self, w: &Watched, wheel: f64) -> Result<(), String> {
        if self.set {
            return Ok(());
        }
        if wheel > 0.0 {
            return Err("the stop valve's wheel must be run down to shut first".into());
        }
        let causes = self.causes(w);
        if let Some(i) = causes.iter().position(|c| *c) {
            return Err(format!("the trip gear cannot be set: {}", TurbineCause::ALL[i].stands()));
        }
        // Nothing stands any more: look once so that the unit knows, then let it go.
        self.unit.step(&causes, 0.0);
        let done = self.unit.reset();
        debug_assert!(done.is_ok(), "no cause stands");
        self.set = true;
        Ok(())
    }

    /// The trip oil holds the valves.
    #[must_use]
    pub fn is_set(&self) -> bool {
        self.set
    }
    /// It has tripped and was not reset since.
    #[must_use]
    pub fn is_tripped(&self) -> bool {
        self.unit.is_tripped()
    }
    /// What tripped it.
    #[must_use]
    pub fn first(&self) -> Option<TurbineCause> {
        self.unit.first_out().map(|i| TurbineCause::ALL[i])
    }
    /// Whether a cause has come, first or later, since the last reset.
    #[must_use]
    pub fn came(&self, cause: TurbineCause) -> bool {
        TurbineCause::ALL.iter().position(|c| *c == cause).is_some_and(|i| self.unit.came(i))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    fn good() -> Watched {
        Watched { speed: 1.0, speed_signal: 1.0, oil: 2.9e5, exhaust: 0.1e5, vibration: 20e-6, bearing: 340.0 }
    }

    fn set() -> Protection {
        let mut p = Protection::new(sizing::protection());
        p.reset(&good(), 0.0).unwrap();
        p
    }

    fn bad(p: &ProtectionParams) -> [(TurbineCause, Watched); 6] {
        [
            (TurbineCause::MechanicalOverspeed, Watched { speed: p.mechanical + 0.01, ..good() }),
            (TurbineCause::ElectronicOverspeed, Watched { speed_signal: p.electronic + 0.01, ..good() }),
            (TurbineCause::OilPressure, Watched { oil: p.oil.0 - 1e4, ..good() }),
            (TurbineCause::ExhaustPressure, Watched { exhaust: p.exhaust.0 + 1e4, ..good() }),
            (TurbineCause::Vibration, Watched { vibration: p.vibration.0 * 1.1, ..good() }),
            (TurbineCause::BearingTemperature, Watched { bearing: p.bearing.0 + 1.0, ..good() }),
        ]
    }

    #[test]
    fn each_cause_trips_latches_and_is_reset_when_gone() {
        for (cause, w) in bad(&sizing::protection()) {
            let mut p = set();
            for _ in 0..50 {
                p.step(&w, 0.1);
            }
            assert!(!p.is_set() && p.is_tripped(), "{cause:?}");
            assert_eq!(p.first(), Some(cause));
            for _ in 0..50 {
                p.step(&good(), 0.1);
            }
            assert!(p.is_tripped(), "it latches");
            assert!(p.reset(&w, 0.0).is_err(), "not while it stands");
            assert!(p.reset(&good(), 0.3).is_err(), "not with the stop valve's wheel open");
            p.reset(&good(), 0.0).unwrap();
            assert!(p.is_set() && !p.is_tripped() && p.first().is_none());
        }
    }

    #[test]
    fn the_first_cause_is_kept_when_others_follow() {
        let mut p = set();
        let (_, low) = bad(&sizing::protection())[2];
        for _ in 0..50 {
            p.step(&low, 0.1);
        }
        for (_, w) in bad(&sizing::protection()) {
            p.step(&w, 0.1);
        }
        assert_eq!(p.first(), Some(TurbineCause::OilPressure));
    }

    #[test]
    fn by_hand_and_dead_ones() {
        let mut p = set();
        p.trip();
        p.step(&good(), 0.1);
        assert_eq!(p.first(), Some(TurbineCause::Hand));
        let mut p = set();
        p.failing.bolt_dead = true;
        let w = Watched { speed: 1.3, ..good() };
        for _ in 0..20 {
            p.step(&w, 0.1);
        }
        assert!(p.is_set(), "a dead bolt, and a speed signal that says 1.0");
    }

    #[test]
    fn a_gear_that_was_never_set_is_not_tripped_and_holds_nothing() {
        let mut p = Protection::new(sizing::protection());
        for _ in 0..100 {
            p.step(&Watched { oil: 1e5, exhaust: 1e5, ..Watched::default() }, 0.1);
        }
        assert!(!p.is_set() && !p.is_tripped());
    }
}
