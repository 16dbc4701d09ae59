//! A proportional-integral controller.
//!
//! Equations: `u = K e + I`, `I' = K e / Ti`; `e = (set point - measured) / span` for reverse action (output
//! falls as the measured value rises), the other sign for direct action. Output and gain are parts of
//! one; e is a part of the measuring span. The integral is summed with the error of the present
//! tick (backward), which with the output held over the tick comes nearest to the continuous loop.
//! Anti-windup: the integral stands while the output is at a limit and the error pushes further out.
//! Bumpless: in manual the integral is kept such that automatic begins at the output left by hand, and
//! manual begins at the output of automatic. A ramp moves the working set point towards the one
//! asked for.
//! Assumptions: one step a tick (0.1 s), much shorter than Ti. A failed measurement is the
//! business of whoever calls: [`PiController::hold`].
//! Source: any text on process control (the discrete positional form).

use crate::instruments::Signal;

/// Which way the output moves when the measured value rises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// The output rises too: a cooler's valve, a dump valve.
    Direct,
    /// The output falls: a heater's valve, feed to a level.
    Reverse,
}

/// Who sets the output.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// A person.
    Manual,
    /// The controller.
    Automatic,
}

base::kept!(enum Mode { 0 Manual, 1 Automatic });

/// A controller's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PiParams {
    /// Gain K: part of output for a part of span.
    pub gain: f64,
    /// Integral time Ti, s; infinite for none.
    pub integral_time: f64,
    /// Measuring span that errors are a part of, SI.
    pub span: f64,
    /// Lower limit of the output.
    pub output_min: f64,
    /// Upper limit of the output.
    pub output_max: f64,
    /// Which way it acts.
    pub action: Action,
    /// Fastest change of the working set point, SI a second; infinite for none.
    pub set_point_rate: f64,
}

/// A controller and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct PiController {
    params: PiParams,
    /// Who sets the output.
    mode: Mode,
    asked: f64,
    working: f64,
    integral: f64,
    output: f64,
    /// A limit on the output from outside (a load limit), on top of the controller's own.
    pub limit: f64,
}

base::kept!(PiController { mode, asked, working, integral, output, limit } fixed { params });

impl PiController {
    /// A controller in manual at this output, with this set point.
    #[must_use]
    pub fn new(params: PiParams, set_point: f64, output: f64) -> PiController {
        PiController {
            params,
            mode: Mode::Manual,
            asked: set_point,
            working: set_point,
            integral: output,
            output,
            limit: f64::INFINITY,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> PiParams {
        self.params
    }

    /// Changes the tuning without a bump of the integral.
    pub fn tune(&mut self, gain: f64, integral_time: f64) {
        self.params.gain = gain;
        self.params.integral_time = integral_time;
    }

    /// Who sets the output.
    #[must_use]
    pub fn mode(&self) -> Mode {
        self.mode
    }

    /// Hands the output over to a person or to the controller.
    pub fn set_mode(&mut self, mode: Mode) {
        self.mode = mode;
    }

    /// The set point asked for, SI.
    #[must_use]
    pub fn set_point(&self) -> f64 {
        self.asked
    }

    /// The set point that it works with while the ramp is on its way, SI.
    #[must_use]
    pub fn working_set_point(&self) -> f64 {
        self.working
    }

    /// Asks for a set point, SI.
    pub fn set_set_point(&mut self, set_point: f64) {
        self.asked = set_point;
    }

    /// Sets the output by hand; does nothing in automatic.
    pub fn set_output(&mut self, output: f64) {
        if self.mode == Mode::Manual {
            self.output = self.within(output);
        }
    }

    /// The output.
    #[must_use]
    pub fn output(&self) -> f64 {
        self.output
    }

    fn within(&self, output: f64) -> f64 {
        output.min(self.params.output_max).min(self.limit).max(self.params.output_min)
    }

    /// The error as a part of span, positive where more output is wanted.
    fn error(&self, measured: Signal) -> f64 {
        let e = (self.working - measured.0) / self.params.span;
        if self.params.action == Action::Reverse { e } else { -e }
    }

    /// Keeps the output where it is for a tick, whatever the mode: for a measurement that has failed.
    pub fn hold(&mut self) -> f64 {
        self.output
    }

    /// Takes an output that something else has set, so that going on from it makes no bump, whatever the mode. A ramp of
    /// the set point is at its end then.
    pub fn follow(&mut self, output: f64, measured: Signal) {
        self.working = self.asked;
        self.output = self.within(output);
        self.integral = self.output - self.params.gain * self.error(measured);
    }

    /// Works for `dt` seconds.
    pub fn step(&mut self, measured: Signal, dt: f64) -> f64 {
        let most = self.params.set_point_rate * dt;
        self.working = if (self.asked - self.working).abs() <= most {
            self.asked
        } else {
            self.working + most * (self.asked - self.working).signum()
        };
        let e = self.error(measured);
        let proportional = self.params.gain * e;
        match self.mode {
            Mode::Manual => {
                self.output = self.within(self.output);
                self.integral = self.output - proportional;
            }
            Mode::Automatic => {
                let more = proportional * dt / self.params.integral_time;
                let wanted = proportional + self.integral + more;
                self.output = self.within(wanted);
                let pushes_out = (wanted - self.output) * more > 0.0;
                if !pushes_out {
                    self.integral += more;
                }
            }
        }
        self.output
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level() -> PiParams {
        PiParams {
            gain: 2.0,
            integral_time: 10.0,
            span: 1.0,
            output_min: 0.0,
            output_max: 1.0,
            action: Action::Reverse,
            set_point_rate: f64::INFINITY,
        }
    }

    #[test]
    fn changing_over_makes_no_bump() {
        let mut c = PiController::new(level(), 0.5, 0.37);
        c.step(Signal(0.3), 0.1);
        c.set_mode(Mode::Automatic);
        let first = c.step(Signal(0.3), 0.1);
        // Only the integral of one tick moves it: 2 * 0.2 * 0.1 / 10.
        assert!((first - 0.374).abs() < 1e-12, "{first}");
        c.set_output(0.9);
        assert_eq!(c.output(), first, "the hand has no say in automatic");
        c.set_mode(Mode::Manual);
        assert_eq!(c.step(Signal(0.3), 0.1), first);
        c.set_output(7.0);
        assert_eq!(c.output(), 1.0);
    }

    #[test]
    fn what_it_followed_it_goes_on_from() {
        let mut c = PiController::new(level(), 0.5, 0.1);
        c.set_mode(Mode::Automatic);
        c.step(Signal(0.2), 0.1);
        c.follow(0.6, Signal(0.3));
        let next = c.step(Signal(0.3), 0.1);
        assert!((next - 0.604).abs() < 1e-12, "{next}");
    }

    #[test]
    fn it_comes_off_its_limit_as_soon_as_the_error_turns() {
        let mut c = PiController::new(level(), 0.5, 0.5);
        c.set_mode(Mode::Automatic);
        for _ in 0..10_000 {
            c.step(Signal(0.0), 0.1);
        }
        assert_eq!(c.output(), 1.0);
        let ticks = (1..1000).find(|_| c.step(Signal(0.6), 0.1) < 1.0);
        assert_eq!(ticks, Some(1), "nothing was wound up");
        // An outside limit holds it likewise.
        c.limit = 0.4;
        for _ in 0..100 {
            c.step(Signal(0.0), 0.1);
        }
        assert_eq!(c.output(), 0.4);
    }

    #[test]
    fn direct_is_the_mirror_and_the_set_point_ramps() {
        let mut c = PiController::new(PiParams { action: Action::Direct, set_point_rate: 0.1, ..level() }, 0.5, 0.5);
        c.set_mode(Mode::Automatic);
        assert!(c.step(Signal(0.6), 0.1) > 0.5);
        c.set_set_point(0.7);
        c.step(Signal(0.6), 0.1);
        assert!((c.working_set_point() - 0.51).abs() < 1e-12);
        for _ in 0..20 {
            c.step(Signal(0.6), 0.1);
        }
        assert_eq!(c.working_set_point(), 0.7);
    }

    mod checks {
        use super::super::*;
        use crate::check_data::{example, read};

        /// The loop of the check data: plant 2/((10s+1)(2s+1)), controller 1.5 (1 + 1/(9s)), unit step,
        /// the controller once every `dt`, the plant in steps of at most 1 ms. Returns (t, y) by plant step.
        fn respond(dt: f64) -> Vec<(f64, f64)> {
            let params = PiParams {
                gain: 1.5,
                integral_time: 9.0,
                span: 1.0,
                output_min: -100.0,
                output_max: 100.0,
                action: Action::Reverse,
                set_point_rate: f64::INFINITY,
            };
            let mut c = PiController::new(params, 0.0, 0.0);
            c.set_mode(Mode::Automatic);
            c.set_set_point(1.0);
            let fine = (dt / 1e-3).round().max(1.0) as u32;
            let h = dt / f64::from(fine);
            let (mut x, mut y, mut curve) = (0.0, 0.0, Vec::new());
            for k in 0..(60.0 / dt).round() as u32 {
                let u = c.step(Signal(y), dt);
                for j in 0..fine {
                    curve.push((f64::from(k) * dt + f64::from(j) * h, y));
                    // Midpoint rule: its error is far below the tolerance.
                    let slope = |x: f64, y: f64| ((2.0 * u - x) / 10.0, (x - y) / 2.0);
                    let (dx, dy) = slope(x, y);
                    let (dx, dy) = slope(x + 0.5 * h * dx, y + 0.5 * h * dy);
                    x += h * dx;
                    y += h * dy;
                }
            }
            curve
        }

        fn worst_against_file(curve: &[(f64, f64)]) -> (f64, usize, String) {
            let (path, text) = read("pi_step.csv");
            let (mut worst, mut cases): (f64, usize) = (0.0, 0);
            let h = curve[1].0;
            for line in text.lines().skip(1).filter(|l| !l.is_empty()) {
                let v: Vec<f64> = line.split(',').map(|x| x.parse().unwrap()).collect();
                if let Some((t, y)) = curve.get((v[0] / h).round() as usize) {
                    assert!((t - v[0]).abs() < 0.51 * h);
                    worst = worst.max((y - v[1]).abs());
                    cases += 1;
                }
            }
            (worst, cases, path)
        }

        #[test]
        fn pi_loop() {
            // At the plant's tick: within 1 % of the step everywhere. The output is held over a tick, half a
            // tick of delay that the continuous loop has not; ten times finer it goes away.
            for (dt, tolerance) in [(0.1, 0.01), (0.01, 0.001)] {
                let (worst, cases, path) = worst_against_file(&respond(dt));
                assert!(cases > 100 && worst < tolerance, "at {dt} s: {worst}");
                println!("{path}: {cases} points compared at {dt} s, worst {worst:.5} of the step");
            }
            let e = example("pi_loop");
            let curve = respond(0.01);
            let &(peak_time, peak) = curve.iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
            e.compare("overshoot_pct", (peak - 1.0) * 100.0);
            // The times of the source lie on its own grid of samples, which they are all multiples of
            // (8, 19 and 30 times 0.56814 s): they can be held to one step of it and no better.
            let grid = 0.569;
            let crossing = |level: f64| curve.iter().find(|p| p.1 >= level).unwrap().0;
            let settled = curve.iter().rev().find(|p| (p.1 - 1.0).abs() > 0.02).unwrap().0;
            let rise = crossing(0.9) - crossing(0.1);
            for (name, ours) in [("peak_time_s", peak_time), ("rise_time_s", rise), ("settling_2pct_s", settled)] {
                let theirs = e.expected[name].as_f64().unwrap();
                assert!((ours - theirs).abs() <= grid, "{name}: ours {ours}, theirs {theirs}");
                println!("{}: {name} compared, ours {ours:.3}, theirs {theirs:.3}", e.path);
            }
        }
    }
}
