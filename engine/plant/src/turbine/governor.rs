//! Stop valve, governor valve and governor: how much of the way for steam is open.
//!
//! Governor: `y = (n_0 - n)/droop`, held between 0 and 1, `n_0` the speed at no load that the speed changer sets: full load stands `droop` below
//! it (any textbook of governing; IEC 60045-1 has 3 to 5 % as usual, from memory). The valve follows its hydraulic motor, `dx/dt = (y - x)/t`, no
//! faster than its full stroke in the times given, opening and shutting.
//! Stop valve: its hand wheel (or motor) moves in its own time and throttles while warming; a spring slams it when the trip oil
//! is gone. Both valves need the trip oil: without it they shut whatever governor and hand wheel say.
//! Both are in series: `1/k^2 = 1/k_s^2 + 1/k_g^2`, with `k_s` in proportion to the cube of the lift, since a small pilot opens first and steam
//! must be fed finely while warming (own choice), and `k_g` in proportion.
//! Fast for a tick of 0.1 s, so that it runs in sub-steps of 0.01 s with the speed drawn on by its slope of the last tick.
//! Hunting (a failing: worn linkage) is a tenth of the droop with three times the lag and some play, so that the loop swings by its own.
//! Units: parts of full stroke, parts of rated speed, s.

use base::maths::sqrt;

/// Sub-steps of a tick.
const PARTS: u32 = 10;

/// Figures of governor and valves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GovernorParams {
    /// Fall of speed from no load to full load, part of rated speed.
    pub droop: f64,
    /// Range of the speed changer, parts of rated speed.
    pub range: (f64, f64),
    /// How fast the speed changer moves, parts of rated speed a second.
    pub rate: f64,
    /// Lag of the governor valve, s.
    pub lag: f64,
    /// Full stroke of the governor valve: opening and shutting, s.
    pub stroke: (f64, f64),
    /// Full stroke of the stop valve by its wheel, s.
    pub wheel: f64,
    /// Time in which the stop valve slams, s.
    pub slam: f64,
    /// Kv of the stop valve full open, m3/h.
    pub stop_kv: f64,
    /// Kv of the governor valve full open, m3/h.
    pub governor_kv: f64,
}

/// What can be wrong.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GovernorFailing {
    /// The governor hunts.
    pub hunting: bool,
    /// The governor valve sticks where it stands.
    pub valve_stuck: bool,
    /// The stop valve sticks where it stands.
    pub stop_stuck: bool,
}

base::kept!(GovernorFailing { hunting, valve_stuck, stop_stuck });

/// Speed changer as it is worked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Changer {
    /// It stands.
    #[default]
    Still,
    /// It raises the speed.
    Raise,
    /// It lowers the speed.
    Lower,
}

base::kept!(enum Changer { 0 Still, 1 Raise, 2 Lower });

/// Governor and valves with their state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Governor {
    params: GovernorParams,
    /// Its failings.
    pub failing: GovernorFailing,
    /// How the speed changer is worked.
    pub changer: Changer,
    no_load: f64,
    /// Where a dial wants the speed changer, if one was set.
    wanted: Option<f64>,
    valve: f64,
    stop: f64,
    wheel: f64,
    wheel_cmd: f64,
    last_n: f64,
    /// Demand that the linkage last passed on: with play it stays behind.
    linkage: f64,
}

base::kept!(Governor { failing, changer, no_load, wanted, valve, stop, wheel, wheel_cmd, last_n, linkage }
    fixed { params });

impl Governor {
    /// Everything shut, the speed changer at its lowest.
    #[must_use]
    pub fn new(params: GovernorParams) -> Governor {
        Governor {
            params,
            failing: GovernorFailing::default(),
            changer: Changer::Still,
            no_load: params.range.0,
            wanted: None,
            valve: 0.0,
            stop: 0.0,
            wheel: 0.0,
            wheel_cmd: 0.0,
            last_n: 0.0,
            linkage: 0.0,
        }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &GovernorParams {
        &self.params
    }

    /// Turns the stop valve's wheel towards a position, 0 to 1.
    pub fn set_wheel(&mut self, x: f64) {
        self.wheel_cmd = x.clamp(0.0, 1.0);
    }

    /// Lets the speed changer run to a speed at no load, part of rated.
    pub fn set_speed(&mut self, n_0: f64) {
        self.wanted = Some(n_0.clamp(self.params.range.0, self.params.range.1));
        self.changer = Changer::Still;
    }

    /// Takes the speed at no load, part of rated, from a speed changer elsewhere.
    pub fn follow(&mut self, n_0: f64) {
        (self.no_load, self.wanted, self.changer) = (n_0, None, Changer::Still);
    }

    /// Works the speed changer by hand; it forgets a speed that was set.
    pub fn work(&mut self, changer: Changer) {
        self.wanted = None;
        self.changer = changer;
    }

    /// A tick: speed (part of rated) and whether the trip oil holds the valves. Gives Kv for the steam, m3/h.
    pub fn step(&mut self, n: f64, oil: bool, dt: f64) -> f64 {
        let p = self.params;
        let h = dt / f64::from(PARTS);
        // A rotor that has just been stopped or started has no slope worth drawing on.
        let slope = (n - self.last_n).clamp(-0.05, 0.05);
        self.last_n = n;
        let moves = match (self.changer, self.wanted) {
            (Changer::Raise, _) => p.rate * dt,
            (Changer::Lower, _) => -p.rate * dt,
            (Changer::Still, Some(to)) => (to - self.no_load).clamp(-p.rate * dt, p.rate * dt),
            (Changer::Still, None) => 0.0,
        };
        self.no_load = (self.no_load + moves).clamp(p.range.0, p.range.1);
        self.wheel += (self.wheel_cmd - self.wheel).clamp(-dt / p.wheel, dt / p.wheel);
        let (droop, lag, play) =
            if self.failing.hunting { (0.1 * p.droop, 3.0 * p.lag, 0.05) } else { (p.droop, p.lag, 0.0) };
        let mut k = 0.0;
        for part in 0..PARTS {
            let at = n + slope * f64::from(part) / f64::from(PARTS);
            let asked = if oil { ((self.no_load - at) / droop).clamp(0.0, 1.0) } else { 0.0 };
            self.linkage = self.linkage.clamp(asked - play, asked + play).clamp(0.0, 1.0);
            if !self.failing.valve_stuck {
                let rate = ((self.linkage - self.valve) / lag).clamp(-1.0 / p.stroke.1, 1.0 / p.stroke.0);
                self.valve = (self.valve + rate * h).clamp(0.0, 1.0);
            }
            if !self.failing.stop_stuck {
                let fast = h / p.slam;
                let towards = if oil { self.wheel } else { 0.0 };
                // Opening follows the wheel; shutting by the spring is as fast as the valve goes.
                self.stop = if towards < self.stop { (self.stop - fast).max(towards) } else { towards };
            }
            k += self.kv() / f64::from(PARTS);
        }
        k
    }

    /// Kv of both valves in series as they stand, m3/h.
    #[must_use]
    pub fn kv(&self) -> f64 {
        let p = self.params;
        let s = p.stop_kv * self.stop * self.stop * self.stop;
        let g = p.governor_kv * self.valve;
        if s <= 0.0 || g <= 0.0 { 0.0 } else { s * g / sqrt(s * s + g * g) }
    }

    /// Kv of both full open, m3/h.
    #[must_use]
    pub fn kv_full(&self) -> f64 {
        let (s, g) = (self.params.stop_kv, self.params.governor_kv);
        s * g / sqrt(s * s + g * g)
    }

    /// Position of the governor valve, 0 to 1.
    #[must_use]
    pub fn valve(&self) -> f64 {
        self.valve
    }
    /// Position of the stop valve, 0 to 1.
    #[must_use]
    pub fn stop_valve(&self) -> f64 {
        self.stop
    }
    /// Position of its wheel, 0 to 1.
    #[must_use]
    pub fn wheel(&self) -> f64 {
        self.wheel
    }
    /// Where its wheel was last sent.
    #[must_use]
    pub fn wheel_command(&self) -> f64 {
        self.wheel_cmd
    }
    /// Speed at no load that the speed changer has set, part of rated.
    #[must_use]
    pub fn no_load_speed(&self) -> f64 {
        self.no_load
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    fn open() -> Governor {
        let mut g = Governor::new(sizing::governor());
        g.set_wheel(1.0);
        g.set_speed(1.0);
        for _ in 0..6000 {
            g.step(0.5, true, 0.1);
        }
        assert!(g.stop_valve() == 1.0 && g.valve() > 0.999 && (g.no_load_speed() - 1.0).abs() < 1e-9);
        g
    }

    fn settle(g: &mut Governor, n: f64) -> f64 {
        for _ in 0..200 {
            g.step(n, true, 0.1);
        }
        g.valve()
    }

    /// The definition of droop: full open the droop below the speed at no load, half open in the middle.
    #[test]
    fn droop_is_the_fall_of_speed_to_full_load() {
        let mut g = open();
        let d = g.params().droop;
        for part in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let x = settle(&mut g, 1.0 - part * d);
            assert!((x - part).abs() < 1e-6, "{part} {x}");
        }
        assert!(settle(&mut g, 1.01) < 1e-9);
    }

    #[test]
    fn without_trip_oil_both_shut_in_a_fraction_of_a_second() {
        let mut g = open();
        for _ in 0..5 {
            g.step(0.97, false, 0.1);
        }
        assert!(g.stop_valve() == 0.0 && g.valve() < 0.15 && g.kv() == 0.0, "{} {}", g.stop_valve(), g.valve());
    }

    #[test]
    fn a_stuck_stop_valve_leaves_the_governor_valve_to_shut() {
        let mut g = open();
        g.failing.stop_stuck = true;
        for _ in 0..20 {
            g.step(0.97, false, 0.1);
        }
        assert!(g.stop_valve() == 1.0 && g.kv() < 0.01 * g.kv_full());
    }

    #[test]
    fn the_wheel_throttles_finely_at_its_beginning() {
        let mut g = open();
        g.set_wheel(0.1);
        for _ in 0..600 {
            g.step(0.2, true, 0.1);
        }
        assert!((g.kv() / (1e-3 * g.params().stop_kv) - 1.0).abs() < 1e-3, "{}", g.kv());
    }
}
