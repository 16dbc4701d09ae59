//! Three-element control of a drum's level: level, steam flow and feed flow.
//!
//! Equations: `w* = w_steam + trim W`, `trim` being the output of a level controller (proportional-integral, within
//! plus and minus its limit) and `W` the flows' measuring span; the valve is the output of a flow controller on
//! feed flow against `w*`. A change of steam flow moves feed at once, in the right direction, while the level,
//! which first swells or shrinks the other way, only trims slowly what is left (any text on boiler control).
//! While it does not act it follows: the flow controller the valve, the level's trim the difference of feed and steam
//! flow as it is, so that it takes over without a bump ([`ThreeElement::follow`]).
//! While the valve stands at a limit the level does not wind up.
//! Assumptions: both flows are measured, in the same unit; density is not compensated. Units: kg/s, m, s.

use super::pi::{Action, Mode, PiController, PiParams};
use crate::instruments::Signal;

/// A three-element controller's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreeElementParams {
    /// Trim (part of the flows' span) for an error of level (part of its span).
    pub level_gain: f64,
    /// Integral time of the level, s.
    pub level_time: f64,
    /// Measuring span of the level, m.
    pub level_span: f64,
    /// Most trim, part of the flows' span.
    pub trim_max: f64,
    /// Valve opening for an error of feed flow (part of its span).
    pub flow_gain: f64,
    /// Integral time of the feed flow, s.
    pub flow_time: f64,
    /// Measuring span of both flows, kg/s.
    pub flow_span: f64,
}

/// What it measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elements {
    /// Level, m.
    pub level: Signal,
    /// Steam flow, kg/s.
    pub steam: Signal,
    /// Feed flow, kg/s.
    pub feed: Signal,
}

/// A three-element controller and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreeElement {
    params: ThreeElementParams,
    level: PiController,
    flow: PiController,
}

base::kept!(ThreeElement { level, flow } fixed { params });

impl ThreeElement {
    /// A controller that follows.
    #[must_use]
    pub fn new(params: ThreeElementParams) -> ThreeElement {
        let part = |gain, integral_time, span, least, most| PiParams {
            gain,
            integral_time,
            span,
            output_min: least,
            output_max: most,
            action: Action::Reverse,
            set_point_rate: f64::INFINITY,
        };
        let p = &params;
        let level = part(p.level_gain, p.level_time, p.level_span, -p.trim_max, p.trim_max);
        let flow = part(p.flow_gain, p.flow_time, p.flow_span, 0.0, 1.0);
        let mut made =
            ThreeElement { params, level: PiController::new(level, 0.0, 0.0), flow: PiController::new(flow, 0.0, 0.0) };
        made.level.set_mode(Mode::Automatic);
        made.flow.set_mode(Mode::Automatic);
        made
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> ThreeElementParams {
        self.params
    }

    /// Feed flow that it asks for, kg/s.
    #[must_use]
    pub fn asks(&self) -> f64 {
        self.flow.set_point()
    }

    /// Follows an output that something else sets, for a tick.
    pub fn follow(&mut self, set_point: f64, seen: &Elements, output: f64) {
        let span = self.params.flow_span;
        self.level.set_set_point(set_point);
        self.level.follow((seen.feed.0 - seen.steam.0) / span, seen.level);
        self.flow.set_set_point(seen.steam.0 + self.level.output() * span);
        self.flow.follow(output, seen.feed);
    }

    /// Works for `dt` seconds towards a level, m, and returns the valve's opening.
    pub fn step(&mut self, set_point: f64, seen: &Elements, dt: f64) -> f64 {
        self.level.set_set_point(set_point);
        let wants_more = seen.level.0 < set_point;
        let at_limit = if wants_more { self.flow.output() >= 1.0 } else { self.flow.output() <= 0.0 };
        let trim = if at_limit { self.level.hold() } else { self.level.step(seen.level, dt) };
        self.flow.set_set_point(seen.steam.0 + trim * self.params.flow_span);
        self.flow.step(seen.feed, dt)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn params() -> ThreeElementParams {
        ThreeElementParams {
            level_gain: 0.8,
            level_time: 600.0,
            level_span: 0.6,
            trim_max: 0.4,
            flow_gain: 0.4,
            flow_time: 8.0,
            flow_span: 4.0,
        }
    }

    fn seen(level: f64, steam: f64, feed: f64) -> Elements {
        Elements { level: Signal(level), steam: Signal(steam), feed: Signal(feed) }
    }

    #[test]
    fn it_takes_over_without_a_bump() {
        let mut c = ThreeElement::new(params());
        // Level 40 mm low, feed above steam: whatever the plant is about.
        let now = seen(-0.04, 1.2, 1.5);
        c.follow(0.0, &now, 0.37);
        let first = c.step(0.0, &now, 0.1);
        assert!((first - 0.37).abs() < 1e-3, "{first}");
        assert!((c.asks() - 1.5).abs() < 1e-3, "{}", c.asks());
    }

    #[test]
    fn more_steam_moves_the_valve_open_at_once_whatever_the_level_says() {
        let mut c = ThreeElement::new(params());
        c.follow(0.0, &seen(0.0, 1.2, 1.2), 0.37);
        // Steam steps up, and the level swells by 50 mm.
        let mut last = 0.37;
        for _ in 0..20 {
            let next = c.step(0.0, &seen(0.05, 2.0, 1.2), 0.1);
            assert!(next >= last, "{next} after {last}");
            last = next;
        }
        assert!(last > 0.42, "{last}");
    }

    /// A drum without swell: area 4 m2 of water of 880 kg/m3; a valve that gives 4 kg/s fully open, with a lag of 2 s.
    #[test]
    fn it_brings_the_level_back_after_a_step() {
        let mut c = ThreeElement::new(params());
        let (mut level, mut feed, mut valve) = (0.0, 1.2, 0.3);
        c.follow(0.0, &seen(level, 1.2, feed), valve);
        let (mut least, mut steam) = (0.0f64, 1.2);
        for tick in 0..108_000 {
            if tick == 100 {
                steam = 2.4;
            }
            valve = c.step(0.0, &seen(level, steam, feed), 0.1);
            feed += 0.1 / 2.0 * (4.0 * valve - feed);
            level += 0.1 * (feed - steam) / (880.0 * 4.0);
            least = least.min(level);
        }
        assert!(level.abs() < 1e-3, "{level}");
        assert!(least > -0.01, "{least}");
        assert!((feed - steam).abs() < 1e-3);
    }

    #[test]
    fn a_valve_at_its_limit_winds_nothing_up() {
        let mut c = ThreeElement::new(params());
        c.follow(0.0, &seen(0.0, 2.0, 2.0), 0.9);
        // No feed comes for ten minutes: the pump has stopped.
        for _ in 0..6000 {
            c.step(0.0, &seen(-0.1, 2.0, 0.0), 0.1);
        }
        assert!((c.asks() - 2.0) / 4.0 < 0.2, "{}", c.asks());
        // Feed comes back well above what is asked: the valve leaves its limit at once.
        let next = c.step(0.0, &seen(-0.1, 2.0, 4.0), 0.1);
        assert!(next < 1.0, "{next}");
    }
}
