//! A turning shaft with everything fixed to it.
//!
//! State: speed `w`, rad/s. Equation: `J dw/dt = T - T_b - P/w`, with a driving torque `T`, a torque `T_b`
//! that opposes the turning (bearings, windage, a load) and a power `P` taken off, such as the electrical
//! power of a generator. Over one step of `h` seconds torques and power stand still, the work of a torque is
//! `T m h` with the mean speed `m = (w0 + w1)/2`, and that of the power is `P h`. Then
//!
//! `J (w1^2 - w0^2)/2 = (T - T_b) m h - P h`
//!
//! holds exactly, and has the closed solution
//! `w1 - w0 = -(w0 - a/2) + sqrt((w0 + a/2)^2 - 2 b)` with `a = (T - T_b) h/J`, `b = P h/J`:
//! kinetic energy closes to rounding whatever the step is. The step must be short beside the time in which
//! the speed changes.
//!
//! Assumptions: a stiff shaft; it does not turn backwards (a turbine or a diesel engine of one direction).
//! Inertia is that of all that turns, referred to this shaft's speed (behind a gear by the square of its ratio).
//! Units: SI. Reference: any textbook of dynamics; `H = J w^2 / (2 S)` as in Kundur, Power System Stability and
//! Control (1994), section 3.9.

use base::maths::sqrt;

/// A shaft: speed and inertia.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shaft {
    /// Speed, rad/s.
    pub omega: f64,
    /// Moment of inertia, kg m2.
    pub inertia: f64,
}

base::kept!(Shaft { omega, inertia });

/// What a step did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Turned {
    /// Mean speed over the step, rad/s: the work of a torque is torque times this times the step.
    pub mean: f64,
    /// Energy that the braking torque took, J. A shaft that comes to rest takes what is left, no more.
    pub braked: f64,
    /// Energy that was taken off as power, J: all that was asked for, unless the shaft came to rest.
    pub drawn: f64,
}

base::kept!(Turned { mean, braked, drawn });

impl Shaft {
    /// A shaft at rest.
    #[must_use]
    pub fn at_rest(inertia: f64) -> Shaft {
        Shaft { omega: 0.0, inertia }
    }

    /// Its inertia from the inertia constant `H` (s) at a rating (VA) and rated speed (rad/s), kg m2.
    #[must_use]
    pub fn inertia_of(h: f64, rating: f64, omega_rated: f64) -> f64 {
        2.0 * h * rating / (omega_rated * omega_rated)
    }

    /// Kinetic energy, J.
    #[must_use]
    pub fn kinetic(&self) -> f64 {
        0.5 * self.inertia * self.omega * self.omega
    }

    /// Speed, revolutions a second.
    #[must_use]
    pub fn rotation(&self) -> f64 {
        self.omega / core::f64::consts::TAU
    }

    /// Turns for `dt` seconds under a driving torque (N m, may be negative: it then only slows), a braking torque
    /// (N m, zero or more) and a power taken off (W; negative when the machine is driven as a motor).
    pub fn step(&mut self, drive: f64, brake: f64, power: f64, dt: f64) -> Turned {
        let (w0, held) = (self.omega, self.kinetic());
        let net = drive - brake;
        if w0 <= 0.0 && net <= 0.0 && power >= 0.0 {
            return Turned::default();
        }
        let (a, b) = (net * dt / self.inertia, power * dt / self.inertia);
        let under = (w0 + 0.5 * a) * (w0 + 0.5 * a) - 2.0 * b;
        let w1 = if under > 0.0 { 0.5 * a + sqrt(under) } else { 0.0 };
        if w1 > 0.0 {
            self.omega = w1;
            let mean = 0.5 * (w0 + w1);
            return Turned { mean, braked: brake * mean * dt, drawn: power * dt };
        }
        // It comes to rest within the step: what it held and what drove it goes to the power first, then the brake.
        self.omega = 0.0;
        let mean = 0.5 * w0;
        let left = held + drive * mean * dt;
        let drawn = (power * dt).min(left);
        Turned { mean, braked: left - drawn, drawn }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check_data::example;
    use core::f64::consts::TAU;

    /// A rotor of 1,250 kVA at 1,800 rpm with H = 3 s.
    const RATED: f64 = 1800.0 / 60.0 * TAU;

    #[test]
    fn kinetic_energy_closes_whatever_is_done_to_it() {
        let mut s = Shaft { omega: 100.0, inertia: 50.0 };
        let (mut held, mut drive_work) = (s.kinetic(), 0.0);
        let mut out = 0.0;
        for k in 0..5000_u32 {
            let drive = f64::from(k % 700) * 3.0;
            let power = f64::from(k % 311) * 900.0 - 80_000.0;
            let t = s.step(drive, 20.0, power, 0.01);
            drive_work += drive * t.mean * 0.01;
            out += t.braked + t.drawn;
        }
        held = s.kinetic() - held;
        assert!((held - drive_work + out).abs() < 1e-9 * drive_work, "{held} {drive_work} {out}");
    }

    #[test]
    fn a_brake_stops_it_and_never_turns_it_back() {
        let mut s = Shaft { omega: 10.0, inertia: 2.0 };
        let held = s.kinetic();
        let taken: f64 = (0..300).map(|_| s.step(0.0, 1.0, 0.0, 0.1).braked).sum();
        assert_eq!(s.omega, 0.0);
        assert!((taken - held).abs() < 1e-9 * held);
        assert_eq!(s.step(0.5, 1.0, 0.0, 0.1), Turned::default(), "it holds up to itself");
        s.step(1.5, 1.0, 0.0, 0.1);
        assert!(s.omega > 0.0);
    }

    #[test]
    fn a_power_that_it_cannot_give_takes_what_it_has() {
        let mut s = Shaft { omega: 1.0, inertia: 2.0 };
        let t = s.step(0.0, 0.0, 1e3, 0.1);
        assert_eq!(s.omega, 0.0);
        assert!((t.drawn - 1.0).abs() < 1e-12 && t.braked.abs() < 1e-12);
    }

    mod checks {
        use super::*;

        #[test]
        fn rotor_of_scalar_checks() {
            let e = example("rotor");
            let (h, rating) = (e.input("H_s"), e.input("S_kVA") * 1e3);
            let rated = e.input("rpm") / 60.0 * TAU;
            let inertia = Shaft::inertia_of(h, rating, rated);
            let mut s = Shaft { omega: rated, inertia };
            e.compare("J_kg_m2", inertia);
            e.compare("energy_MJ", s.kinetic() / 1e6);
            // The megawatt that is no longer taken, over an instant.
            let h = 1e-7;
            s.step(1e6 / rated, 0.0, 0.0, h);
            e.compare("accel_rpm_per_s_on_1MW_load_loss", (s.omega - rated) / TAU * 60.0 / h);
            // Constant power up to 110 %: the power of the shaft is exact for any step.
            let mut s = Shaft { omega: rated, inertia };
            let step = 1e-5;
            let mut n = 0.0;
            while s.omega < 1.1 * rated {
                s.step(0.0, 0.0, -1e6, step);
                n += 1.0;
            }
            // The last step is passed by what it was too long.
            let over = (s.kinetic() - 0.5 * inertia * 1.21 * rated * rated) / 1e6;
            e.compare("time_to_110pct_constant_power_s", n * step - over);
            let mut s = Shaft::at_rest(inertia);
            let mut t = 0.0;
            while s.omega < rated {
                s.step(500.0, 0.0, 0.0, 0.01);
                t += 0.01;
            }
            e.compare("run_up_s_constant_500Nm_0_to_1800rpm", t - (s.omega - rated) * inertia / 500.0);
            assert!((rated - RATED).abs() < 1e-9);
        }
    }
}
