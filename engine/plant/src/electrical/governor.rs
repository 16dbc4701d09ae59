//! Speed changer and governor of a generating set.
//!
//! Equations: the governor holds `w* = w_set - d p`, with the droop `d` and the load `p`, the measured power as a part of
//! rated power behind one lag; fuel demand `K (e + (1/T) integral of e)`, `e = w* - w`, between none and the rack's end.
//! In rest `w = w_set - d p`, which is the droop law `f = f_set - d f_rated P/P_rated`: the load is shared by the
//! droops and settings alone, whatever engine or efficiency stands behind (electronic governor with load-dependent
//! droop, common practice; the law: any textbook of power stations).
//! The speed changer runs to what is asked at a fixed rate, by a small motor.
//! Failings: hunting, a false wave of its size and period on the speed that the governor sees; and stuck, its output
//! standing where it stands, so that the speed goes with the load.
//! Units: speed as a part of rated; s.

use base::maths::sin;
use core::f64::consts::TAU;

/// The speed changer's data and state: the no-load speed that is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedChanger {
    /// How fast it runs, part of rated speed a second.
    pub rate: f64,
    /// Lowest and highest setting, part of rated.
    pub range: (f64, f64),
    /// Asked for.
    wanted: f64,
    setting: f64,
}

base::kept!(SpeedChanger { wanted, setting } fixed { rate, range });

impl SpeedChanger {
    /// At rated speed.
    #[must_use]
    pub fn new(rate: f64, range: (f64, f64)) -> SpeedChanger {
        SpeedChanger { rate, range, wanted: 1.0, setting: 1.0 }
    }

    /// No-load speed in force, part of rated.
    #[must_use]
    pub fn setting(&self) -> f64 {
        self.setting
    }

    /// No-load speed asked for, part of rated.
    #[must_use]
    pub fn wanted(&self) -> f64 {
        self.wanted
    }

    /// Asks for a no-load speed; it stops at the ends of its range.
    pub fn ask(&mut self, part: f64) {
        self.wanted = part.clamp(self.range.0, self.range.1);
    }

    /// Asks for this much more or less than what is in force, as by the raise and lower switch.
    pub fn nudge(&mut self, part: f64) {
        self.ask(self.setting + part);
    }

    /// Runs for `dt` seconds.
    pub fn step(&mut self, dt: f64) {
        let way = self.rate * dt;
        self.setting += (self.wanted - self.setting).clamp(-way, way);
    }
}

/// A governor's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GovernorParams {
    /// Speed lost from no load to rated load, part of rated.
    pub droop: f64,
    /// Rack for a speed error of one.
    pub gain: f64,
    /// Integral time, s.
    pub integral_time: f64,
    /// Lag of the measured load, s.
    pub load_time: f64,
    /// End of the rack.
    pub most: f64,
}

/// A false wave on the speed that the governor sees.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Hunting {
    /// Part of rated speed; zero for none.
    pub size: f64,
    /// Period, s.
    pub period: f64,
}

base::kept!(Hunting { size, period });

/// A governor and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Governor {
    params: GovernorParams,
    /// What is wrong with it.
    pub hunting: Hunting,
    /// Its output stands where it is.
    pub stuck: bool,
    load: f64,
    integral: f64,
    phase: f64,
    demand: f64,
}

base::kept!(Governor { hunting, stuck, load, integral, phase, demand } fixed { params });

impl Governor {
    /// A governor at rest.
    #[must_use]
    pub fn new(params: GovernorParams) -> Governor {
        Governor {
            params,
            hunting: Hunting::default(),
            stuck: false,
            load: 0.0,
            integral: 0.0,
            phase: 0.0,
            demand: 0.0,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &GovernorParams {
        &self.params
    }

    /// Fuel demand, part of full rack.
    #[must_use]
    pub fn demand(&self) -> f64 {
        self.demand
    }

    /// At rest again, as when the engine is stopped.
    pub fn rest(&mut self) {
        (self.integral, self.demand, self.load) = (0.0, 0.0, 0.0);
    }

    /// Puts it at a demand and load at once, for a prepared start.
    pub fn prepare(&mut self, demand: f64, load: f64) {
        (self.integral, self.demand, self.load) = (demand, demand, load);
    }

    /// Runs for `dt` seconds: setting and speed as parts of rated, measured power as a part of rated power, and the most
    /// that the rack may stand at now. Returns the fuel demand.
    pub fn step(&mut self, setting: f64, speed: f64, load: f64, most: f64, dt: f64) -> f64 {
        let p = &self.params;
        self.load += (load - self.load) * (dt / p.load_time).min(1.0);
        if self.stuck {
            return self.demand;
        }
        let mut seen = speed;
        if self.hunting.size > 0.0 {
            self.phase = (self.phase + dt / self.hunting.period) % 1.0;
            seen += self.hunting.size * sin(TAU * self.phase);
        }
        let error = setting - p.droop * self.load - seen;
        let most = most.min(p.most);
        let wanted = self.integral + p.gain * error;
        let inside = wanted.clamp(0.0, most);
        if inside == wanted || (wanted - inside) * error < 0.0 {
            self.integral += p.gain * error * dt / p.integral_time;
        }
        self.demand = inside;
        inside
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub const SMALL: GovernorParams =
        GovernorParams { droop: 0.04, gain: 12.0, integral_time: 1.2, load_time: 0.5, most: 1.1 };

    #[test]
    fn the_speed_changer_runs_at_its_rate_and_stops_at_its_ends() {
        let mut c = SpeedChanger::new(0.002, (0.95, 1.05));
        c.ask(1.01);
        for _ in 0..49 {
            c.step(0.1);
        }
        assert!((c.setting() - 1.0098).abs() < 1e-9);
        c.ask(2.0);
        for _ in 0..1000 {
            c.step(0.1);
        }
        assert!((c.setting() - 1.05).abs() < 1e-12);
        c.nudge(-0.01);
        assert!((c.wanted() - 1.04).abs() < 1e-12);
    }

    #[test]
    fn a_bare_rotor_settles_on_the_droop_line() {
        // 2H dw/dt = rack - load, with a fixed load of 0.6.
        let mut g = Governor::new(SMALL);
        let (mut w, mut rack) = (1.0, 0.0);
        for _ in 0..20_000 {
            let demand = g.step(1.02, w, 0.6, 1.1, 0.01);
            rack += (demand - rack) * 0.01 / 0.08;
            w += (rack - 0.6) / 2.4 * 0.01;
        }
        assert!((w - (1.02 - 0.04 * 0.6)).abs() < 1e-9, "{w}");
    }

    #[test]
    fn a_hunting_governor_swings_the_rack_with_its_period() {
        let mut g = Governor::new(SMALL);
        g.hunting = Hunting { size: 0.01, period: 2.0 };
        let (mut w, mut rack, mut crossings, mut was) = (1.0, 0.6, 0, false);
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for k in 0..4000 {
            rack += (g.step(1.024, w, 0.6, 1.1, 0.01) - rack) * 0.01 / 0.08;
            w += (rack - 0.6) / 2.4 * 0.01;
            if k >= 2000 {
                (low, high) = (f64::min(low, w), f64::max(high, w));
                crossings += i32::from((w > 1.0) != was);
            }
            was = w > 1.0;
        }
        assert!(high - low > 0.005, "{low} {high}");
        assert!((18..=22).contains(&crossings), "twice a period over 20 s: {crossings}");
    }
}
