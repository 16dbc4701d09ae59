//! The ship's own load: consumers that are no machines of the plant.
//!
//! Equations: a consumer that is in draws `P (1 + s (0.6 sin(2 pi t/T) + 0.4 sin(2 pi t/(0.618 T))))` with its swing `s` and
//! period `T`, the two waves never in step: a load that changes and is the same in every run. Its reactive power follows
//! from the power factor.
//! Preferential trip: consumers of the first group are shed when a generator has carried more than its setting for a
//! delay, those of the second group after a longer one; they stay out until somebody puts them in again.
//! `P` is what its file says until the ship asks for another.
//! An earth fault on a consumer brings the insulation of its bus down while the consumer is in.
//! Figures: own choice in the plant's file. Units: W; s; ohm.

use super::phasor::Load;
use base::maths::{sin, sqrt};
use core::f64::consts::TAU;

/// When a consumer is shed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shed {
    /// Never.
    Essential,
    /// First.
    First,
    /// If that was not enough.
    Second,
}

/// A consumer's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConsumerParams {
    /// Bus, by its place.
    pub bus: usize,
    /// Mean power at the start, W.
    pub power: f64,
    /// Power factor, inductive.
    pub power_factor: f64,
    /// Part of its power by which it swings.
    pub swing: f64,
    /// Period of the swing, s.
    pub period: f64,
    /// Its group.
    pub shed: Shed,
}

/// A consumer and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Consumer {
    params: ConsumerParams,
    /// Mean power now, W.
    pub power: f64,
    /// Switched in.
    pub on: bool,
    /// Put out by the preferential trip.
    pub shed: bool,
    /// Resistance of an earth fault, ohm; infinite for none.
    pub earth: f64,
    /// How far it has swung from its mean, part of it.
    wave: f64,
}

base::kept!(Consumer { power, on, shed, earth, wave } fixed { params });

impl Consumer {
    /// A consumer, in or out.
    #[must_use]
    pub fn new(params: ConsumerParams, on: bool) -> Consumer {
        Consumer { params, power: params.power, on, shed: false, earth: f64::INFINITY, wave: 0.0 }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &ConsumerParams {
        &self.params
    }

    /// It is in.
    #[must_use]
    pub fn is_in(&self) -> bool {
        self.on && !self.shed
    }

    /// Switches it in or out; in also takes back the shedding.
    pub fn switch(&mut self, on: bool) {
        (self.on, self.shed) = (on, false);
    }

    /// Swings to where it stands at a time (s) since the start, if it is in.
    pub fn swing_to(&mut self, t: f64) {
        let p = &self.params;
        if p.swing > 0.0 && self.is_in() {
            let turn = TAU * t / p.period;
            self.wave = p.swing * (0.6 * sin(turn) + 0.4 * sin(turn / 0.618));
        }
    }

    /// What it draws where its swing stands.
    #[must_use]
    pub fn load(&self) -> Load {
        if !self.is_in() {
            return Load::default();
        }
        let power = self.power * (1.0 + self.wave);
        Load { p: power, q: power * reactive_of(self.params.power_factor), g: 0.0, b: 0.0 }
    }
}

/// Reactive power over power at a power factor.
#[must_use]
pub fn reactive_of(power_factor: f64) -> f64 {
    sqrt(1.0 - power_factor * power_factor) / power_factor
}

/// The preferential trip's settings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PreferentialParams {
    /// Current of a generator, part of rated.
    pub setting: f64,
    /// Delays of the first and the second group, s.
    pub delays: (f64, f64),
}

/// The preferential trip and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Preferential {
    params: PreferentialParams,
    stood: f64,
    /// Groups shed and not yet taken back: first, second.
    pub acted: (bool, bool),
}

base::kept!(Preferential { stood, acted } fixed { params });

impl Preferential {
    /// Nothing shed.
    #[must_use]
    pub fn new(params: PreferentialParams) -> Preferential {
        Preferential { params, stood: 0.0, acted: (false, false) }
    }

    /// Looks for `dt` seconds at the greatest part of rated current that a connected generator carries.
    pub fn step(&mut self, greatest: f64, consumers: &mut [Consumer], dt: f64) {
        let p = &self.params;
        self.stood = if greatest > p.setting { self.stood + dt } else { 0.0 };
        let due = (self.stood > p.delays.0, self.stood > p.delays.1);
        if due.0 {
            for c in consumers.iter_mut() {
                let out = match c.params.shed {
                    Shed::Essential => false,
                    Shed::First => true,
                    Shed::Second => due.1,
                };
                if out && c.is_in() {
                    c.shed = true;
                }
            }
        }
        let any = |g: Shed| consumers.iter().any(|c| c.shed && c.params.shed == g);
        self.acted = (any(Shed::First), any(Shed::Second));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    pub const GALLEY: ConsumerParams =
        ConsumerParams { bus: 0, power: 40e3, power_factor: 0.9, swing: 0.2, period: 600.0, shed: Shed::First };

    #[test]
    fn it_swings_about_its_mean_and_keeps_its_power_factor() {
        let mut c = Consumer::new(GALLEY, true);
        let mut at = |t: f64| {
            c.swing_to(t);
            c.load()
        };
        let all: Vec<Load> = (0..60_000).map(|k| at(f64::from(k))).collect();
        let mean = all.iter().map(|l| l.p).sum::<f64>() / all.len() as f64;
        assert!((mean / 40e3 - 1.0).abs() < 5e-3, "{mean}");
        let (low, high) = all.iter().fold((f64::MAX, f64::MIN), |m, l| (m.0.min(l.p), m.1.max(l.p)));
        assert!(low > 0.79 * 40e3 && high < 1.21 * 40e3 && high - low > 0.3 * 40e3);
        let l = all[17];
        assert!((l.p / sqrt(l.p * l.p + l.q * l.q) - 0.9).abs() < 1e-12);
    }

    #[test]
    fn groups_are_shed_in_order_and_stay_out() {
        let second = ConsumerParams { shed: Shed::Second, ..GALLEY };
        let essential = ConsumerParams { shed: Shed::Essential, ..GALLEY };
        let mut all = [GALLEY, second, essential].map(|p| Consumer::new(p, true));
        let mut p = Preferential::new(PreferentialParams { setting: 1.0, delays: (5.0, 10.0) });
        let mut out = [None; 3];
        for k in 1..=200 {
            p.step(1.1, &mut all, 0.1);
            for (o, c) in out.iter_mut().zip(&all) {
                *o = o.or((!c.is_in()).then_some(k));
            }
        }
        assert!(matches!(out, [Some(50..=52), Some(100..=102), None]), "{out:?}");
        for _ in 0..100 {
            p.step(0.5, &mut all, 0.1);
        }
        assert_eq!(p.acted, (true, true), "they do not come back by themselves");
        all[0].switch(true);
        p.step(0.5, &mut all, 0.1);
        assert_eq!(p.acted, (false, true));
    }
}
