//! A bearing (or the gear): friction, film, temperature, and what hurts it.
//!
//! Friction: in a full film `P_v = P_n (mu/mu_n) n^2` (N. Petroff, 1883: torque in proportion to viscosity and speed), in none
//! `P_d = f F r w` of metal on metal. Between them the share of metal is `exp(-(mu/mu_n) n / s)`, falling with viscosity times speed over
//! load, as R. Stribeck's curve does (1902), so that turning slowly needs more torque than a little faster; what the film lacks of oil is
//! metal as well.
//! Film: `df/dt = (supply - f)/t`, `supply` being the oil that comes as a part of what it needs at its speed, `0.15 + 0.85 n` of the nominal
//! flow; `t` is short filling and longer running dry: oil clings for some seconds (own choice).
//! Heat: `C dT/dt = P - q - k_r (T - ambient) + from the rotor`, with `q = w c (1 - exp(-K f/(w c))) (T - T_oil)` into the oil, which leaves at
//! `T_oil + q/(w c)` (a wall at one temperature: the exchanger with one side constant).
//! Hurt: white metal softens from 130 degC and is lost towards 240 (makers' class of values), by `Damage::heat`; and a bearing that turns
//! with half its film or less is wiped, `d' = (1 - 2 f) sqrt(n)/life`. A hurt bearing has more friction and is loose.
//! Units: W, K, kg/s; n part of rated speed; mu parts of the nominal viscosity.

use crate::damage::{Damage, HeatLimit};
use base::maths::{exp, sqrt};

/// Time in which an empty film fills, and in which a full one runs dry, s (own choice).
const FILM: (f64, f64) = (2.0, 10.0);
/// Part of its nominal oil that a bearing needs at rest (own choice).
const NEEDS: f64 = 0.15;
/// Friction of metal on metal (handbooks: steel on white metal, greasy, about 0.1).
const METAL: f64 = 0.1;
/// Turning from which a dry bearing is wiped, as a part of rated speed.
const TURNS: f64 = 0.002;

/// A bearing's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BearingParams {
    /// Friction in a full film of nominal viscosity at rated speed, W.
    pub friction: f64,
    /// Load times the journal's speed at rated speed, W: with a friction of 0.1, a tenth of it is lost when dry.
    pub load: f64,
    /// Viscosity times speed (parts of nominal) at which the share of metal has fallen to 1/e.
    pub mixed: f64,
    /// Oil at rated speed, kg/s.
    pub flow: f64,
    /// Conductance from its metal to the oil, W/K.
    pub conductance: f64,
    /// Its heat capacity, J/K.
    pub capacity: f64,
    /// Loss to the room, W/K.
    pub loss: f64,
    /// When heat hurts it.
    pub heat_limit: HeatLimit,
    /// Seconds in which it is wiped when it runs dry at rated speed.
    pub wiped: f64,
}

/// A bearing and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearing {
    params: BearingParams,
    /// Failing: friction more by this part of the nominal one (a spoilt surface).
    pub rough: f64,
    t: f64,
    film: f64,
    /// Oil leaves at, K.
    oil_out: f64,
    /// Heat into the oil on the last tick, W.
    to_oil: f64,
    lost: f64,
    /// What has hurt it.
    pub damage: Damage,
}

base::kept!(Bearing { rough, t, film, oil_out, to_oil, lost, damage } fixed { params });

impl Bearing {
    /// A sound, dry bearing at a temperature, K.
    #[must_use]
    pub fn new(params: BearingParams, t: f64) -> Bearing {
        Bearing {
            params,
            rough: 0.0,
            t,
            film: 0.0,
            oil_out: t,
            to_oil: 0.0,
            lost: 0.0,
            damage: Damage::none("bearing wiped or overheated"),
        }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &BearingParams {
        &self.params
    }

    /// Friction power, W, at a speed (part of rated) and a viscosity (parts of nominal).
    #[must_use]
    pub fn friction(&self, n: f64, mu: f64) -> f64 {
        let p = &self.params;
        let metal = self.metal(n, mu);
        let worse = 1.0 + self.rough + 3.0 * self.damage.total();
        ((1.0 - metal) * self.film * p.friction * mu * n * n + metal * METAL * p.load * n) * worse
    }

    /// Share of metal on metal.
    fn metal(&self, n: f64, mu: f64) -> f64 {
        1.0 - self.film * (1.0 - exp(-mu * n / self.params.mixed))
    }

    /// Torque to break away from rest, as power at rated speed, W.
    #[must_use]
    pub fn breakaway(&self) -> f64 {
        METAL * self.params.load * (1.0 + self.rough + 3.0 * self.damage.total())
    }

    /// One step: speed, friction that the shaft gave up in it (W), oil that comes (kg/s, K, J/(kg K)), heat from the rotor (W).
    pub fn step(&mut self, n: f64, friction: f64, oil: (f64, f64, f64), rotor: f64, ambient: f64, dt: f64) {
        let p = self.params;
        let (flow, t_oil, c) = oil;
        let supply = (flow / (p.flow * (NEEDS + (1.0 - NEEDS) * n))).min(1.0);
        let time = if supply > self.film { FILM.0 } else { FILM.1 };
        let x = dt / time;
        self.film = (self.film + x * supply) / (1.0 + x);
        let wc = flow * c;
        let takes = if wc > 0.0 { wc * (1.0 - exp(-p.conductance * self.film / wc)) } else { 0.0 };
        let all = p.capacity + dt * (takes + p.loss);
        self.t = (p.capacity * self.t + dt * (friction + rotor + takes * t_oil + p.loss * ambient)) / all;
        self.to_oil = takes * (self.t - t_oil);
        self.lost += p.loss * (self.t - ambient) * dt;
        self.oil_out = if wc > 0.0 { t_oil + self.to_oil / wc } else { self.t };
        self.damage.heat(self.t, p.heat_limit, dt);
        if n > TURNS && self.film < 0.5 {
            self.damage.blow((1.0 - 2.0 * self.film) * sqrt(n.min(1.0)) * dt / p.wiped);
        }
    }

    /// Its metal, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.t
    }
    /// How much of its film it has, 0 to 1.
    #[must_use]
    pub fn film(&self) -> f64 {
        self.film
    }
    /// Oil leaves at, K.
    #[must_use]
    pub fn oil_out(&self) -> f64 {
        self.oil_out
    }
    /// Heat into the oil on the last tick, W.
    #[must_use]
    pub fn to_oil(&self) -> f64 {
        self.to_oil
    }
    /// Heat lost to the room since the start, J.
    #[must_use]
    pub fn lost(&self) -> f64 {
        self.lost
    }
    /// Puts it at a temperature with a full film at once, for a prepared start.
    pub fn prepare(&mut self, t: f64) {
        (self.t, self.film) = (t, 1.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    fn run(b: &mut Bearing, n: f64, flow: f64, seconds: f64) {
        for _ in 0..(seconds * 10.0) as usize {
            let friction = b.friction(n, 1.0);
            b.step(n, friction, (flow, 318.15, 2000.0), 0.0, 300.0, 0.1);
        }
    }

    #[test]
    fn a_film_of_oil_carries_it_for_ever() {
        let p = sizing::bearings()[0];
        let mut b = Bearing::new(p, 318.15);
        run(&mut b, 0.0, 0.3 * p.flow, 30.0);
        run(&mut b, 1.0, p.flow, 3600.0);
        assert!(b.film() > 0.99 && b.damage.total() == 0.0, "{} {}", b.film(), b.damage.total());
        let c = b.temperature() - 273.15;
        assert!((55.0..85.0).contains(&c), "white metal of a sound bearing, common practice: {c}");
        // At rest its heat is what the oil and the room take.
        let heat = b.to_oil() + p.loss * (b.temperature() - 300.0);
        assert!((heat / p.friction - 1.0).abs() < 0.02, "{heat}");
    }

    #[test]
    fn run_dry_it_is_wiped_in_seconds_to_minutes() {
        let p = sizing::bearings()[0];
        let mut b = Bearing::new(p, 318.15);
        run(&mut b, 0.0, p.flow, 30.0);
        run(&mut b, 1.0, p.flow, 600.0);
        run(&mut b, 1.0, 0.0, 5.0);
        assert!(b.damage.total() < 0.05, "five seconds: {}", b.damage.total());
        run(&mut b, 1.0, 0.0, 60.0);
        assert!(b.damage.total() > 0.3, "a minute: {}", b.damage.total());
        assert!(b.temperature() > 340.0);
    }

    #[test]
    fn heat_that_friction_makes_is_found_again() {
        let p = sizing::bearings()[1];
        let mut b = Bearing::new(p, 300.0);
        let (mut made, mut oil) = (0.0, 0.0);
        for k in 0..20_000 {
            let n = f64::from(k % 3000) / 3000.0;
            let friction = b.friction(n, 2.0);
            made += friction * 0.1;
            b.step(n, friction, (p.flow * n, 310.0, 2000.0), 30.0, 295.0, 0.1);
            oil += b.to_oil() * 0.1;
        }
        let held = p.capacity * (b.temperature() - 300.0);
        let error = made + 30.0 * 2000.0 - oil - b.lost() - held;
        assert!(error.abs() < 1e-9 * made, "{error} of {made}");
    }

    /// Stribeck's curve: friction torque falls from rest, then rises with speed.
    #[test]
    fn the_curve_has_its_valley() {
        let p = sizing::bearings()[0];
        let mut b = Bearing::new(p, 318.15);
        b.prepare(318.15);
        let torque = |n: f64| b.friction(n, 1.0) / n;
        assert!(torque(1e-4) > 2.0 * torque(0.05), "{} {}", torque(1e-4), torque(0.05));
        assert!(torque(1.0) > torque(0.05));
        assert!((torque(1e-6) / b.breakaway() - 1.0).abs() < 1e-3);
    }
}
