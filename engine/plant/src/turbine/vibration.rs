//! Vibration as an amplitude envelope.
//!
//! A rotor on two bearings as Jeffcott's: with `r` the speed as a part of the critical one and `z` the damping ratio,
//! `D = (1 - r^2)^2 + (2 z r)^2`, unbalance `e` gives `e r^2/sqrt(D)` and a bow `b` gives `b/sqrt(D)` (H. H. Jeffcott, 1919; J. C. Nicholas,
//! E. J. Gunter, P. E. Allaire, "Effect of residual shaft bow on unbalance response and balancing of a single mass flexible rotor", Trans.
//! ASME J. Eng. Power 98 (1976)). Both are added as if in one direction: the worst case. The thermal state adds to the bow
//! `c |skin - core|`, since no rotor warms quite evenly (own choice). What is measured is peak to peak, twice the amplitude. It is
//! followed with a lag, `dA/dt = (A_steady - A)/t`: passing the critical speed quickly leaves less of it than staying there. That
//! `t` is longer than the `1/(z w_c)` of the theory stands for how slowly a real run-up is read (own choice).
//! Loose or wiped bearings make it worse, by a part; water and rubbing come as blows.
//! Units: m peak to peak; speeds as parts of rated speed.

use base::maths::sqrt;

/// The rotor's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VibrationParams {
    /// Critical speed as a part of rated speed.
    pub critical: f64,
    /// Damping ratio.
    pub damping: f64,
    /// Unbalance of the sound rotor: distance of its centre of mass, m.
    pub unbalance: f64,
    /// Bow for each kelvin between skin and core, m/K.
    pub thermal: f64,
    /// Time of the envelope, s.
    pub time: f64,
    /// Peak to peak at which the rotor touches its seals, m.
    pub clearance: f64,
}

/// Vibration and its state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vibration {
    params: VibrationParams,
    /// Failing: centre of mass further off by so much, m.
    pub more_unbalance: f64,
    level: f64,
}

base::kept!(Vibration { more_unbalance, level } fixed { params });

/// What shakes the rotor.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shaking {
    /// Speed as a part of rated speed.
    pub n: f64,
    /// Bow, m.
    pub bow: f64,
    /// Skin less core, K.
    pub difference: f64,
    /// Part by which bad bearings make it worse, 0 sound.
    pub loose: f64,
    /// What water in the steam adds, m peak to peak.
    pub water: f64,
}

impl Vibration {
    /// A rotor at rest.
    #[must_use]
    pub fn new(params: VibrationParams) -> Vibration {
        Vibration { params, more_unbalance: 0.0, level: 0.0 }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &VibrationParams {
        &self.params
    }

    /// Peak to peak, m.
    #[must_use]
    pub fn level(&self) -> f64 {
        self.level
    }

    /// How far it is past the clearance, m; 0 while nothing touches.
    #[must_use]
    pub fn past(&self) -> f64 {
        (self.level - self.params.clearance).max(0.0)
    }

    /// Where it would settle, m peak to peak.
    #[must_use]
    pub fn steady(&self, s: &Shaking) -> f64 {
        let p = self.params;
        let r = s.n / p.critical;
        let (a, b) = (1.0 - r * r, 2.0 * p.damping * r);
        let root = sqrt(a * a + b * b);
        let moves = if s.n > 0.0 { 1.0 } else { 0.0 };
        let bent = s.bow + p.thermal * s.difference.abs();
        2.0 * moves * ((p.unbalance + self.more_unbalance) * r * r + bent) / root * (1.0 + s.loose) + s.water
    }

    /// One step.
    pub fn step(&mut self, s: &Shaking, dt: f64) {
        let x = dt / self.params.time;
        self.level = (self.level + x * self.steady(s)) / (1.0 + x);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    fn at(n: f64) -> Shaking {
        Shaking { n, ..Shaking::default() }
    }

    /// The textbook's limits: e/(2 z) at the critical speed, e far above it, nothing far below.
    #[test]
    fn unbalance_at_its_limits() {
        let p = sizing::vibration();
        let v = Vibration::new(p);
        let critical = v.steady(&at(p.critical));
        assert!((critical - 2.0 * p.unbalance / (2.0 * p.damping)).abs() < 1e-9 * critical);
        let far = v.steady(&at(40.0 * p.critical));
        assert!((far / (2.0 * p.unbalance) - 1.0).abs() < 2e-3, "{far:e}");
        assert!(v.steady(&at(0.01)) < 0.01 * far);
    }

    #[test]
    fn a_bow_is_seen_as_it_is_when_turned_slowly() {
        let v = Vibration::new(sizing::vibration());
        let slow = v.steady(&Shaking { bow: 80e-6, ..at(0.005) });
        assert!((slow / 160e-6 - 1.0).abs() < 0.01, "{slow:e}");
        assert_eq!(v.steady(&Shaking { bow: 80e-6, ..at(0.0) }), 0.0, "a rotor at rest does not shake");
    }

    /// Common practice: no dwelling at the critical speed.
    #[test]
    fn passing_the_critical_speed_leaves_less_than_staying_there() {
        let p = sizing::vibration();
        let pass = |rate: f64| {
            let (mut v, mut most, mut n) = (Vibration::new(p), 0.0f64, 0.2);
            while n < 1.0 {
                v.step(&at(n), 0.1);
                most = most.max(v.level());
                n += rate * 0.1;
            }
            (most, v.level())
        };
        let (quick, end) = pass(0.03);
        let (slow, _) = pass(0.001);
        let stay = Vibration::new(p).steady(&at(p.critical));
        assert!(quick < 0.8 * slow && slow <= 1.01 * stay, "{quick:e} {slow:e} {stay:e}");
        assert!(end < 0.5 * quick, "quiet again above it: {end:e}");
    }
}
