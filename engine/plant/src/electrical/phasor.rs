//! Phasors, and the voltage of a bus between its sources and its loads.
//!
//! A source is an electromotive force `E` behind a reactance `X`. A bus with several sources and a load holds
//! `sum (E_i - V)/(j X_i) = Y V + (P - jQ)/V*`: part of the load is an admittance `Y = g - jb`, part draws constant
//! power. With `Y_n = Y + sum 1/(j X_i)`, `Z = 1/Y_n = R + jX` and `V_0 = Z sum E_i/(j X_i)` its magnitude solves
//!
//! `V^4 - 2 a V^2 + c = 0`, `a = V_0^2/2 - (R P + X Q)`, `c = |Z|^2 (P^2 + Q^2)`, upper root,
//!
//! so that the powers balance to rounding without any iteration (nose curve of a feeder: Kundur, Power System
//! Stability and Control (1994), section 2.3). Below `V_min` (0.7 of nominal, common practice of stability
//! programs) or past the nose, the constant power turns into the admittance that it has at `V_min`.
//!
//! Units: V between lines (effective), W and var of all three phases, ohm and siemens of one phase: with these
//! `S = V conj(V)/conj(Z)` needs no factor of three.
//! Assumptions: balanced; reactances do not change with frequency; resistance of cables and windings is left out
//! of the network (copper losses of the machines are taken from their shafts).

use base::maths::{sin_cos, sqrt};

/// A phasor: a complex number.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Phasor {
    /// Real part.
    pub re: f64,
    /// Imaginary part.
    pub im: f64,
}

base::kept!(Phasor { re, im });

impl Phasor {
    /// A phasor from length and angle (rad).
    #[must_use]
    pub fn polar(length: f64, angle: f64) -> Phasor {
        let (sine, cosine) = sin_cos(angle);
        Phasor { re: length * cosine, im: length * sine }
    }

    /// Length.
    #[must_use]
    pub fn length(self) -> f64 {
        sqrt(self.square())
    }

    /// Square of its length.
    #[must_use]
    pub fn square(self) -> f64 {
        self.re * self.re + self.im * self.im
    }

    /// Angle, rad, in (-pi, pi].
    #[must_use]
    pub fn angle(self) -> f64 {
        base::maths::atan2(self.im, self.re)
    }

    /// Sum.
    #[must_use]
    pub fn plus(self, o: Phasor) -> Phasor {
        Phasor { re: self.re + o.re, im: self.im + o.im }
    }

    /// Difference.
    #[must_use]
    pub fn minus(self, o: Phasor) -> Phasor {
        Phasor { re: self.re - o.re, im: self.im - o.im }
    }

    /// Product.
    #[must_use]
    pub fn times(self, o: Phasor) -> Phasor {
        Phasor { re: self.re * o.re - self.im * o.im, im: self.re * o.im + self.im * o.re }
    }

    /// Quotient.
    #[must_use]
    pub fn over(self, o: Phasor) -> Phasor {
        let d = o.square();
        Phasor { re: (self.re * o.re + self.im * o.im) / d, im: (self.im * o.re - self.re * o.im) / d }
    }

    /// What a source of this force sends into a bus at `bus` through a reactance: power (W) and, at the bus, reactive
    /// power (var).
    #[must_use]
    pub fn sends(self, bus: Phasor, reactance: f64) -> (f64, f64) {
        // I = (E - V)/(jX) = (im - j re)/X of the difference; S = V conj(I).
        let d = self.minus(bus);
        ((bus.im * d.re - bus.re * d.im) / -reactance, (bus.re * d.re + bus.im * d.im) / reactance)
    }
}

/// What hangs on a bus.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Load {
    /// Constant power, W.
    pub p: f64,
    /// Constant reactive power, var, inductive positive.
    pub q: f64,
    /// Conductance, siemens.
    pub g: f64,
    /// Susceptance, siemens, inductive positive.
    pub b: f64,
}

base::kept!(Load { p, q, g, b });

impl Load {
    /// Both together.
    #[must_use]
    pub fn plus(self, o: Load) -> Load {
        Load { p: self.p + o.p, q: self.q + o.q, g: self.g + o.g, b: self.b + o.b }
    }
}

/// The sources of a bus, gathered.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sources {
    /// Sum of the forces over their reactances, A times the root of three.
    force: Phasor,
    /// Sum of one over the reactances, siemens.
    stiffness: f64,
    /// How many.
    pub count: usize,
}

/// A bus as its sources and loads leave it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Solved {
    /// Its voltage.
    pub voltage: Phasor,
    /// Part of the constant powers that is delivered: one, unless the voltage is too low.
    pub served: f64,
    /// Power delivered to all of the load, W.
    pub power: f64,
}

base::kept!(Solved { voltage, served, power });

impl Sources {
    /// Adds a source: its force (V) and reactance (ohm).
    pub fn add(&mut self, force: Phasor, reactance: f64) {
        self.force = self.force.plus(Phasor { re: force.re / reactance, im: force.im / reactance });
        self.stiffness += 1.0 / reactance;
        self.count += 1;
    }

    /// The bus between these sources and this load; `least` is the voltage below which the load no longer draws
    /// constant power. Without a source it is dead.
    #[must_use]
    pub fn solve(&self, load: Load, least: f64) -> Solved {
        if self.count == 0 {
            return Solved::default();
        }
        // Both sides times j: sum E/X = (stiffness + j Y) V + ..., and j Y = b + j g.
        let y = Phasor { re: self.stiffness + load.b, im: load.g };
        let open = self.force.over(y);
        if load.p == 0.0 && load.q == 0.0 {
            return Solved { voltage: open, served: 1.0, power: load.g * open.square() };
        }
        // Z = j / y.
        let z = Phasor { re: 0.0, im: 1.0 }.over(y);
        let s2 = load.p * load.p + load.q * load.q;
        let a = 0.5 * open.square() - (z.re * load.p + z.im * load.q);
        let under = a * a - z.square() * s2;
        let v2 = if under >= 0.0 { a + sqrt(under) } else { 0.0 };
        if v2 >= least * least {
            let drop = z.times(Phasor { re: load.p / v2, im: -load.q / v2 });
            let voltage = open.over(Phasor { re: 1.0 + drop.re, im: drop.im });
            return Solved { voltage, served: 1.0, power: load.p + load.g * v2 };
        }
        let l2 = least * least;
        let y = Phasor { re: y.re + load.q / l2, im: y.im + load.p / l2 };
        let voltage = self.force.over(y);
        let served = voltage.square() / l2;
        Solved { voltage, served, power: load.p * served + load.g * voltage.square() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::maths::{cos, sin};

    #[test]
    fn what_the_sources_send_is_what_the_load_takes() {
        let mut worst = 0.0_f64;
        for k in 0..500 {
            let x = f64::from(k);
            let forces = [Phasor::polar(450.0, 0.001 * x), Phasor::polar(470.0, -0.4 + 0.002 * x)];
            let reactances = [0.08, 0.05 + 0.0001 * x];
            let load = Load { p: 1200.0 * x, q: 700.0 * x, g: 0.1, b: 0.02 * (x % 7.0) };
            let mut s = Sources::default();
            for (e, r) in forces.iter().zip(reactances) {
                s.add(*e, r);
            }
            let at = s.solve(load, 315.0);
            let sent: f64 = forces.iter().zip(reactances).map(|(e, r)| e.sends(at.voltage, r).0).sum();
            let var: f64 = forces.iter().zip(reactances).map(|(e, r)| e.sends(at.voltage, r).1).sum();
            let q = load.q * at.served + load.b * at.voltage.square();
            worst = worst.max((sent - at.power).abs() / 1e6).max((var - q).abs() / 1e6);
            assert!(at.served <= 1.0);
        }
        println!("greatest gap of the balance {worst:e} of a megawatt");
        assert!(worst < 1e-12);
    }

    #[test]
    fn the_power_angle_law() {
        // P = E V sin(delta) / X against a stiff bus: Kundur, section 3.6.
        let (e, v, x) = (1.1, 1.0, 0.5);
        for delta in [-2.0_f64, -0.3, 0.1, 0.9, 1.5, 2.9] {
            let (p, q) = Phasor::polar(e, delta).sends(Phasor::polar(v, 0.0), x);
            assert!((p - e * v / x * sin(delta)).abs() < 1e-14);
            assert!((q - (e * v * cos(delta) - v * v) / x).abs() < 1e-14);
        }
    }

    #[test]
    fn a_load_past_the_nose_pulls_the_voltage_down_and_gets_less() {
        let mut s = Sources::default();
        s.add(Phasor::polar(450.0, 0.0), 0.1);
        // The nose of a lossless source: P = E^2 / (2 X) at unity power factor.
        let nose = 450.0 * 450.0 / 0.2;
        assert_eq!(s.solve(Load { p: 0.9 * nose, ..Load::default() }, 300.0).served, 1.0);
        let far = s.solve(Load { p: 3.0 * nose, ..Load::default() }, 315.0);
        assert!(far.served < 1.0 && far.voltage.length() < 315.0);
        assert_eq!(Sources::default().solve(Load { p: 1.0, ..Load::default() }, 1.0), Solved::default());
    }

    #[test]
    fn the_load_law_is_continuous_where_it_changes() {
        let mut s = Sources::default();
        s.add(Phasor::polar(450.0, 0.0), 0.1);
        // Reactive load that brings the bus near 0.7 of nominal.
        let at = |q: f64| s.solve(Load { p: 1e5, q, ..Load::default() }, 315.0).voltage.length();
        let mut before = at(3e5);
        for k in 0..4000 {
            let now = at(3e5 + f64::from(k) * 100.0);
            assert!(now <= before + 1e-9 && before - now < 0.5, "{before} then {now}");
            before = now;
        }
        assert!(before < 315.0);
    }
}
