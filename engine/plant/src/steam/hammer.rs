//! Water hammer in a steam line, as an estimate and not as a wave.
//!
//! Condensate lies in the bottom of a line until steam runs over it fast enough to raise it into a slug that closes the
//! bore; the slug is then driven along at the steam's speed, and where it is stopped by a bend or a valve it gives
//! - slug: `j_g > 0.5 a^1.5 sqrt(g D (rho_l - rho_g)/rho_g)` (Wallis and Dobson, Int. J. Multiphase Flow 1 (1973) 173,
//!   from memory), `j_g` the steam's flow over the whole bore's area, `a` the gas's part of the volume, `D` the bore;
//! - blow: `dp = rho_l c u` (Joukowsky 1898), `c` 1200 m/s, of water in a steel pipe (handbook class of value).
//!
//! `u` is `j_g`, the speed of the steam that drives it. A slug needs water for [`SLUG`] bores of length (own choice). It is
//! driven out of the straight it lay in, so that the next blow comes [`AGAIN`] seconds later at the earliest (own choice).
//! A blow hurts by the square of what it is above the line's strength: spoilt by one of eleven times, hurt a hundredth by
//! one of twice (own choice).
//! Assumptions: the line's liquid lies evenly along it; collapse of steam on colder water is not told apart, since a
//! vessel has one temperature. Units: SI.

use crate::damage::Damage;
use crate::vessel::Equilibrium;

/// Length of the least slug, in bores.
const SLUG: f64 = 2.0;
/// Least time from one blow to the next, s.
const AGAIN: f64 = 15.0;
/// Speed of sound in water in a steel pipe, m/s.
const SOUND: f64 = 1200.0;
/// Standard gravity, m/s2 (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;

/// A line's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HammerParams {
    /// Bore, m.
    pub bore: f64,
    /// Blow that it and its supports stand, Pa.
    pub strength: f64,
    /// Volume of the line, m3.
    pub volume: f64,
}

/// What hammer does to a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Hammer {
    params: HammerParams,
    /// What the blows have done.
    pub damage: Damage,
    rest: f64,
    blow: Option<f64>,
}

base::kept!(Hammer { damage, rest, blow } fixed { params });

impl Hammer {
    /// A line that has had no blow.
    #[must_use]
    pub fn new(params: HammerParams) -> Hammer {
        Hammer { params, damage: Damage::none("water hammer"), rest: 0.0, blow: None }
    }

    /// The blow of the last tick, Pa, if there was one.
    #[must_use]
    pub fn blow(&self) -> Option<f64> {
        self.blow
    }

    /// Speed of the steam over the whole bore above which it raises slugs, m/s; `None` where there is too little water.
    #[must_use]
    pub fn slugs_from(&self, line: &Equilibrium) -> Option<f64> {
        let HammerParams { bore, volume, .. } = self.params;
        let area = core::f64::consts::FRAC_PI_4 * bore * bore;
        if line.liquid_volume < SLUG * bore * area || line.gas_density <= 0.0 || line.v_l <= 0.0 {
            return None;
        }
        let gas = (line.gas_volume / volume).clamp(0.0, 1.0);
        let lighter = (1.0 / line.v_l - line.gas_density).max(0.0) / line.gas_density;
        Some(0.5 * gas * gas.sqrt() * (GRAVITY * bore * lighter).sqrt())
    }

    /// `dt` seconds with so much steam, kg/s, coming into the line.
    pub fn step(&mut self, line: &Equilibrium, steam: f64, dt: f64) {
        self.blow = None;
        self.rest = (self.rest - dt).max(0.0);
        let Some(limit) = self.slugs_from(line) else { return };
        let area = core::f64::consts::FRAC_PI_4 * self.params.bore * self.params.bore;
        let speed = steam.max(0.0) / (line.gas_density * area);
        if speed <= limit || self.rest > 0.0 {
            return;
        }
        let blow = SOUND * speed / line.v_l;
        self.rest = AGAIN;
        self.blow = Some(blow);
        let over = blow / self.params.strength - 1.0;
        if over > 0.0 {
            self.damage.blow(0.01 * over * over);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vessel::{Contents, equilibrium};

    const LINE: HammerParams = HammerParams { bore: 0.15, strength: 4e6, volume: 0.4 };

    fn line(liquid: f64) -> Equilibrium {
        equilibrium(&Contents::saturated(0.4, 0.0, 16e5, liquid), 0.4, 0.0, 470.0).unwrap()
    }

    #[test]
    fn dry_or_slow_there_is_no_blow() {
        let mut h = Hammer::new(LINE);
        for _ in 0..1000 {
            h.step(&line(1e-4), 2.0, 0.1);
            h.step(&line(0.02), 0.3, 0.1);
            assert_eq!(h.blow(), None);
        }
        assert_eq!(h.damage.total(), 0.0);
    }

    /// By hand: 2 kg/s over 7.9 kg/m3 in 150 mm is 14.1 m/s (steam tables, 16 bar: 0.1237 m3/kg, 1.159e-3 m3/kg); the limit
    /// is 0.5 (0.95)^1.5 sqrt(9.81 0.15 (863 - 8.08)/8.08) = 5.78 m/s; the blow 863 1200 14.0 = 145 bar.
    #[test]
    fn the_blow_is_joukowskys() {
        let mut h = Hammer::new(LINE);
        let e = line(0.02);
        assert!((h.slugs_from(&e).unwrap() / 5.78 - 1.0).abs() < 0.01, "{:?}", h.slugs_from(&e));
        h.step(&e, 2.0, 0.1);
        let blow = h.blow().unwrap();
        assert!((blow / 145e5 - 1.0).abs() < 0.01, "{blow}");
        let over: f64 = blow / 4e6 - 1.0;
        assert!((h.damage.total() - 0.01 * over * over).abs() < 1e-12);
    }

    #[test]
    fn one_slug_gives_one_blow() {
        let mut h = Hammer::new(LINE);
        let mut blows = 0;
        for _ in 0..200 {
            h.step(&line(0.02), 2.0, 0.1);
            blows += u32::from(h.blow().is_some());
        }
        assert_eq!(blows, 2, "twenty seconds hold two");
    }
}
