//! The rotor's bow: how far it is bent by heat.
//!
//! A rotor that stands in a warm casing is hotter above than below. The difference across it, `d` (K), goes towards a part of what
//! the rotor is above the room: `dd/dt = (k (T_rotor - ambient) - d)/t_stand`; turning makes it even: `dd/dt = -d/t_turn`. A rotor with a
//! linear difference across its diameter `D` bends to the arc of a circle, `b = alpha L^2 d/(8 D)` between bearings `L` apart
//! (beam theory: curvature `alpha d/D`; Timoshenko). Rubbing heats the spot that rubs, so that the bow grows while it rubs
//! (B. L. Newkirk, "Shaft rubbing", Mechanical Engineering 48 (1926)): `dd/dt = + r n` times how far it presses past the clearance,
//! since what rubs heats with the speed at which it slides. The strips of a seal give way and wear: they press no harder than
//! at `STRIPS` past the clearance, however far the rotor shakes (own choice).
//! `k`, `t_stand`, `t_turn`, `r`: own choice; that a warm rotor bows within minutes, worst an hour or so after the stop, and that
//! turning for some tens of minutes straightens it, is common practice. Units: K, m, s.

/// Expansion of steel, 1/K (handbooks).
const ALPHA: f64 = 1.2e-5;

/// How deep a rotor can press into the strips of its seals, m peak to peak: own choice.
const STRIPS: f64 = 1e-4;

/// The bow's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BowParams {
    /// Distance of the bearings, m.
    pub length: f64,
    /// Diameter of the rotor, m.
    pub diameter: f64,
    /// Difference across a rotor that stands, as a part of its temperature above the room.
    pub part: f64,
    /// Time in which it grows, s.
    pub standing: f64,
    /// Time in which it dies away when turned, s.
    pub turning: f64,
    /// Growth by rubbing at rated speed, K/s for each metre past the clearance.
    pub rub: f64,
    /// Speed from which it counts as turned, as a part of rated speed.
    pub turned_from: f64,
}

/// The bow and its state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bow {
    params: BowParams,
    /// Hotter side less colder side, K.
    difference: f64,
}

base::kept!(Bow { difference } fixed { params });

impl Bow {
    /// A straight rotor.
    #[must_use]
    pub fn new(params: BowParams) -> Bow {
        Bow { params, difference: 0.0 }
    }

    /// Difference across the rotor, K.
    #[must_use]
    pub fn difference(&self) -> f64 {
        self.difference
    }

    /// How far the middle is from the line of the bearings, m.
    #[must_use]
    pub fn bow(&self) -> f64 {
        let p = self.params;
        ALPHA * p.length * p.length * self.difference / (8.0 * p.diameter)
    }

    /// One step: speed (part of rated), mean of the rotor (K), how far the vibration is past the clearance (m, zero or more).
    pub fn step(&mut self, n: f64, rotor: f64, ambient: f64, past: f64, dt: f64) {
        let p = self.params;
        let (towards, time) =
            if n >= p.turned_from { (0.0, p.turning) } else { (p.part * (rotor - ambient).max(0.0), p.standing) };
        let rubs = p.rub * n.abs() * past.min(STRIPS);
        // Implicit in the difference itself.
        self.difference = (self.difference + dt * (towards / time + rubs)) / (1.0 + dt / time);
    }

    /// Gives it a difference at once, K, for a prepared start.
    pub fn prepare(&mut self, difference: f64) {
        self.difference = difference;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    fn after(bow: &mut Bow, n: f64, seconds: f64) -> f64 {
        for _ in 0..(seconds * 10.0) as usize {
            bow.step(n, 500.0, 300.0, 0.0, 0.1);
        }
        bow.bow()
    }

    /// Common practice: minutes are enough to bow it, tens of minutes of turning straighten it.
    #[test]
    fn it_grows_standing_and_dies_away_turned() {
        let p = sizing::bow();
        let mut b = Bow::new(p);
        let quarter = after(&mut b, 0.0, 900.0);
        let hour = after(&mut b, 0.0, 2700.0);
        assert!(quarter > 30e-6 && hour > quarter && hour < 200e-6, "{quarter:e} {hour:e}");
        // The exact answer of the equation.
        let most = ALPHA * p.length * p.length * p.part * 200.0 / (8.0 * p.diameter);
        let exact = most * (1.0 - base::maths::exp(-3600.0 / p.standing));
        assert!((hour / exact - 1.0).abs() < 1e-3, "{hour:e} {exact:e}");
        let turned = after(&mut b, p.turned_from, 1800.0);
        assert!(turned < 0.1 * hour, "half an hour of turning: {turned:e} of {hour:e}");
    }

    #[test]
    fn a_cold_rotor_stays_straight_and_a_rub_bends_one() {
        let mut b = Bow::new(sizing::bow());
        for _ in 0..36_000 {
            b.step(0.0, 300.0, 300.0, 0.0, 0.1);
        }
        assert_eq!(b.bow(), 0.0);
        for _ in 0..100 {
            b.step(0.5, 300.0, 300.0, 50e-6, 0.1);
        }
        assert!(b.bow() > 1e-6, "{:e}", b.bow());
    }

    /// However far it shakes: the bow has an end, and slow turning straightens it, rub or no rub.
    #[test]
    fn a_rub_bends_it_so_far_and_dies_away_on_the_turning_gear() {
        let mut b = Bow::new(sizing::bow());
        for _ in 0..36_000 {
            b.step(1.0, 300.0, 300.0, 1.0, 0.1);
        }
        let rubbed = b.bow();
        assert!((100e-6..2e-3).contains(&rubbed), "{rubbed:e}");
        for _ in 0..36_000 {
            b.step(0.005, 300.0, 300.0, (2.0 * b.bow() - 250e-6).max(0.0), 0.1);
        }
        assert!(b.bow() < 0.1 * rubbed, "{:e}", b.bow());
        let mut b = Bow::new(sizing::bow());
        b.step(0.0, 300.0, 300.0, 1.0, 0.1);
        assert_eq!(b.bow(), 0.0, "nothing rubs at rest");
    }
}
