//! The damage ledger: how much one way of being hurt has taken from one component.
//!
//! Damage is a number from 0 (none) to 1 (spoilt); it never heals and may pass 1. Components keep
//! one [`Damage`] for each way of being hurt, and the plant gathers them under their tags.

use base::maths;

/// One way in which one component can be hurt, and how far it went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Damage {
    /// What happens to it, for people: "superheater tubes overheated".
    pub what: &'static str,
    total: f64,
}

base::kept!(Damage { total } fixed { what });

impl Damage {
    /// No damage yet.
    #[must_use]
    pub const fn none(what: &'static str) -> Damage {
        Damage { what, total: 0.0 }
    }

    /// 0 none, 1 spoilt.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.total
    }

    /// Adds damage that happened at once: a blow.
    ///
    /// # Panics
    /// When the amount is negative or not finite, which is a bug of the caller.
    pub fn blow(&mut self, amount: f64) {
        assert!(amount.is_finite() && amount >= 0.0, "damage only grows, got {amount}");
        self.total += amount;
    }

    /// Adds damage from `seconds` at a temperature (K). Below `from` it does none; at `from` it
    /// spoils in `life` seconds, and twice as fast for every `doubling` kelvin above. That creep
    /// life falls about tenfold for 50 to 60 K is a rule of thumb for low-alloy boiler tubes
    /// (common practice, from memory); the figures of a component are in its parameters.
    pub fn heat(&mut self, temperature: f64, limit: HeatLimit, seconds: f64) {
        if temperature > limit.from {
            let faster = maths::exp(core::f64::consts::LN_2 * (temperature - limit.from) / limit.doubling);
            self.blow(seconds * faster / limit.life);
        }
    }

    /// Adds damage from `seconds` at a stress (any unit) above `limit`: a part of life each second
    /// that grows with the square of the excess, and spoils in `life` seconds at twice the limit.
    /// The square law is our own choice.
    pub fn strain(&mut self, stress: f64, limit: f64, life: f64, seconds: f64) {
        let over = stress.abs() / limit - 1.0;
        if over > 0.0 {
            self.blow(seconds * over * over / life);
        }
    }
}

/// When heat hurts a metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatLimit {
    /// Above this it is hurt, K.
    pub from: f64,
    /// Seconds until it is spoilt when it stays at `from`.
    pub life: f64,
    /// Kelvin that double the rate.
    pub doubling: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heat_hurts_above_its_limit_only_and_doubles() {
        let limit = HeatLimit { from: 800.0, life: 1000.0, doubling: 20.0 };
        let mut d = Damage::none("tube overheated");
        d.heat(799.0, limit, 500.0);
        assert_eq!(d.total(), 0.0);
        d.heat(820.0, limit, 250.0);
        assert!((d.total() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn strain_counts_its_excess_of_either_sign() {
        let mut d = Damage::none("shell strained");
        d.strain(-9.0, 10.0, 100.0, 1.0);
        assert_eq!(d.total(), 0.0);
        d.strain(-20.0, 10.0, 100.0, 10.0);
        assert!((d.total() - 0.1).abs() < 1e-12);
    }
}
