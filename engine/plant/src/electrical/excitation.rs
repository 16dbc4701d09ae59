//! Excitation of a generator with its voltage regulator.
//!
//! Equations: target `U* = U_set min(1, w/0.95) - d q` with the reactive droop `d` (part of voltage at rated
//! volt-amperes) and the reactive power `q` of its rating; exciter demand `K (e + (1/T) integral of e)`,
//! `e = U* - U`, between none and the ceiling, the integral held at the ends; the exciter follows with one lag.
//! The target falls with speed below 95 %, so that an engine that runs down is not over-excited (volts per hertz).
//! In manual the exciter is set by hand; either mode takes over from the other without a jump.
//! Reactive load is shared by the droops: with equal settings each machine's part of its rating is the same
//! (reactive droop compensation as in IEEE Std 421.5; the proportional-integral form is our own simplification of it).
//! Units: voltage and exciter per unit, the exciter's unit being what gives rated voltage at no load.
//! Figures: own choice, classes of value of brushless machines.

/// A regulator's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExcitationParams {
    /// Exciter per unit of voltage error.
    pub gain: f64,
    /// Integral time, s.
    pub integral_time: f64,
    /// Lag of the exciter, s.
    pub exciter_time: f64,
    /// Most that the exciter gives.
    pub ceiling: f64,
    /// Reactive droop, part of voltage at rated volt-amperes.
    pub droop: f64,
    /// Exciter at full load: the whole of the hand's scale.
    pub rated: f64,
    /// Speed from which the field is on, part of rated.
    pub from_speed: f64,
}

/// How the regulator can fail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RegulatorFailing {
    /// Its output stands where it is.
    Stands,
    /// Its output goes to this part of full-load excitation.
    Gives(f64),
}

base::kept!(enum RegulatorFailing { 0 Stands, 1 Gives(x) });

/// Excitation and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Excitation {
    params: ExcitationParams,
    /// The field may be on.
    pub on: bool,
    /// What is wrong with the regulator; manual still works.
    pub failing: Option<RegulatorFailing>,
    automatic: bool,
    /// Voltage to hold, part of rated.
    set_point: f64,
    manual: f64,
    integral: f64,
    output: f64,
    lit: bool,
}

base::kept!(Excitation { on, failing, automatic, set_point, manual, integral, output, lit } fixed { params });

impl Excitation {
    /// In automatic, at rated voltage.
    #[must_use]
    pub fn new(params: ExcitationParams) -> Excitation {
        Excitation {
            params,
            on: true,
            failing: None,
            automatic: true,
            set_point: 1.0,
            manual: 0.0,
            integral: 0.0,
            output: 0.0,
            lit: false,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &ExcitationParams {
        &self.params
    }

    /// The regulator holds the voltage.
    #[must_use]
    pub fn automatic(&self) -> bool {
        self.automatic
    }

    /// Manual or automatic, without a jump.
    pub fn set_automatic(&mut self, automatic: bool) {
        if automatic != self.automatic {
            self.automatic = automatic;
            self.manual = self.output;
            self.integral = self.output;
        }
    }

    /// Voltage to hold, part of rated.
    #[must_use]
    pub fn set_point(&self) -> f64 {
        self.set_point
    }

    /// Sets the voltage to hold, part of rated.
    pub fn set_set_point(&mut self, part: f64) {
        self.set_point = part;
    }

    /// Excitation by hand, part of full load.
    #[must_use]
    pub fn by_hand(&self) -> f64 {
        if self.automatic { self.output / self.params.rated } else { self.manual / self.params.rated }
    }

    /// Sets the excitation by hand, part of full load.
    pub fn set_by_hand(&mut self, part: f64) {
        self.manual = part * self.params.rated;
    }

    /// Exciter voltage, per unit.
    #[must_use]
    pub fn output(&self) -> f64 {
        self.output
    }

    /// Field current, part of full load.
    #[must_use]
    pub fn field(&self) -> f64 {
        self.output / self.params.rated
    }

    /// Puts it at an output at once, for a prepared start.
    pub fn prepare(&mut self, output: f64) {
        (self.output, self.integral, self.manual, self.lit) = (output, output, output, true);
    }

    /// Runs for `dt` seconds: terminal voltage, reactive power and speed, each as a part of rated.
    pub fn step(&mut self, voltage: f64, reactive: f64, speed: f64, dt: f64) -> f64 {
        let p = &self.params;
        self.lit = self.on && speed >= if self.lit { p.from_speed - 0.1 } else { p.from_speed };
        if !self.lit {
            self.integral = 0.0;
            self.output -= self.output * (dt / p.exciter_time).min(1.0);
            if self.output < 1e-6 {
                self.output = 0.0;
            }
            return self.output;
        }
        let target = self.set_point * (speed / 0.95).min(1.0) - p.droop * reactive;
        let error = target - voltage;
        let demand = if !self.automatic {
            self.manual
        } else {
            match self.failing {
                Some(RegulatorFailing::Stands) => self.output,
                Some(RegulatorFailing::Gives(part)) => part * p.rated,
                None => {
                    let wanted = self.integral + p.gain * error;
                    let inside = wanted.clamp(0.0, p.ceiling);
                    // The integral stands when the demand is at an end and would go further.
                    if inside == wanted || (wanted - inside) * error < 0.0 {
                        self.integral += p.gain * error * dt / p.integral_time;
                    }
                    inside
                }
            }
        };
        self.output += (demand - self.output) * (dt / p.exciter_time).min(1.0);
        self.output
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub const SMALL: ExcitationParams = ExcitationParams {
        gain: 15.0,
        integral_time: 1.0,
        exciter_time: 0.1,
        ceiling: 4.0,
        droop: 0.04,
        rated: 2.4,
        from_speed: 0.9,
    };

    #[test]
    fn off_below_its_speed_and_no_jump_between_modes() {
        let mut e = Excitation::new(SMALL);
        assert_eq!(e.step(0.0, 0.0, 0.5, 0.01), 0.0);
        for _ in 0..400 {
            e.step(0.99, 0.1, 1.0, 0.01);
        }
        let before = e.output();
        e.set_automatic(false);
        assert!((e.step(0.99, 0.1, 1.0, 0.01) - before).abs() < 1e-12);
        e.set_automatic(true);
        // The error is kept at zero droop distance here, so that nothing but the integral speaks.
        assert!((e.step(1.0 - 0.04 * 0.1, 0.1, 1.0, 0.01) - before).abs() < 1e-3);
    }

    #[test]
    fn a_failed_regulator_stands_and_manual_still_works() {
        let mut e = Excitation::new(SMALL);
        e.prepare(1.5);
        e.failing = Some(RegulatorFailing::Stands);
        for _ in 0..100 {
            e.step(0.7, 0.3, 1.0, 0.01);
        }
        assert!((e.output() - 1.5).abs() < 1e-12, "it does not answer a low voltage");
        e.set_automatic(false);
        e.set_by_hand(0.9);
        for _ in 0..200 {
            e.step(0.7, 0.3, 1.0, 0.01);
        }
        assert!((e.output() - 0.9 * 2.4).abs() < 1e-6);
    }

    #[test]
    fn the_ceiling_holds_and_does_not_wind_up() {
        let mut e = Excitation::new(SMALL);
        for _ in 0..3000 {
            e.step(0.2, 0.0, 1.0, 0.01);
        }
        assert!((e.output() - SMALL.ceiling).abs() < 1e-6);
        // Half a second of over-voltage is enough to leave the ceiling.
        for _ in 0..50 {
            e.step(1.1, 0.0, 1.0, 0.01);
        }
        assert!(e.output() < 0.7 * SMALL.ceiling, "{}", e.output());
    }
}
