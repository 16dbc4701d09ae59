//! Protection of a generator: relays that trip its breaker.
//!
//! - Reverse power: power into the machine above a part of its rating for a delay. Common practice: 8 to 15 % for a
//!   diesel set, 2 to 6 % for a turbine set, 5 to 10 s.
//! - Over-current: standard inverse curve of IEC 60255-151 (formerly 60255-3), `t = k 0.14/((I/I_s)^0.02 - 1)`; the time
//!   run is integrated, so that a current that changes is judged as a whole, and runs back below the setting.
//! - Instantaneous over-current. Under- and over-voltage, under- and over-frequency with delays.
//!
//! They act while the breaker is closed, latch, say which came first, and are reset by hand before the breaker closes
//! again (lock-out). They measure with transformers of their own at the machine, so no gauge can mislead them.
//! Looked at once a tick. Units: parts of rated; s.

use crate::control::{CauseParams, TripUnit};
use base::maths::{ln, pow};

/// A generator's protection settings, as parts of its rated values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProtectionParams {
    /// Power into the machine, part of rated power.
    pub reverse: f64,
    /// How long, s.
    pub reverse_delay: f64,
    /// Setting of the inverse-time over-current, part of rated current.
    pub overcurrent: f64,
    /// Its time multiplier.
    pub time_multiplier: f64,
    /// Instantaneous over-current, part of rated current.
    pub instantaneous: f64,
    /// Under-voltage, part of rated.
    pub undervoltage: f64,
    /// How long, s.
    pub undervoltage_delay: f64,
    /// Over-voltage, part of rated.
    pub overvoltage: f64,
    /// How long, s.
    pub overvoltage_delay: f64,
    /// Under- and over-frequency, parts of nominal.
    pub frequency: (f64, f64),
    /// How long, s.
    pub frequency_delay: f64,
}

/// What tripped, in the order of the trip unit.
pub const RELAYS: [&str; 7] = [
    "reverse power",
    "over-current, instantaneous",
    "over-current, inverse time",
    "under-voltage",
    "under-frequency",
    "over-frequency",
    "over-voltage",
];

/// What the relays measure, as parts of rated values.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measured {
    /// Power given.
    pub power: f64,
    /// Current.
    pub current: f64,
    /// Voltage.
    pub voltage: f64,
    /// Frequency.
    pub frequency: f64,
}

/// The relays of one generator.
#[derive(Clone, Debug, PartialEq)]
pub struct Protection {
    params: ProtectionParams,
    /// The latching unit.
    pub unit: TripUnit,
    /// Part of the inverse time that has run.
    run: f64,
}

base::kept!(Protection { unit, run } fixed { params });

impl Protection {
    /// Nothing has tripped.
    #[must_use]
    pub fn new(params: ProtectionParams) -> Protection {
        let p = &params;
        let delays = [
            p.reverse_delay,
            0.0,
            0.0,
            p.undervoltage_delay,
            p.frequency_delay,
            p.frequency_delay,
            p.overvoltage_delay,
        ];
        Protection { params, unit: TripUnit::new(&delays.map(|delay| CauseParams { delay })), run: 0.0 }
    }

    /// Its settings.
    #[must_use]
    pub fn params(&self) -> &ProtectionParams {
        &self.params
    }

    /// Time that the inverse curve gives for a current (part of rated), s; infinite below its setting.
    #[must_use]
    pub fn inverse_time(&self, current: f64) -> f64 {
        let m = current / self.params.overcurrent;
        if m <= 1.0 { f64::INFINITY } else { 0.14 * self.params.time_multiplier / (pow(m, 0.02) - 1.0) }
    }

    /// Looks for `dt` seconds. Returns whether the breaker must be open.
    pub fn step(&mut self, closed: bool, m: &Measured, dt: f64) -> bool {
        let p = &self.params;
        if !closed {
            self.run = 0.0;
        } else if m.current > p.overcurrent {
            self.run += dt / self.inverse_time(m.current);
        } else {
            // Runs back in the time of the curve near its setting (own choice).
            self.run = (self.run - dt / (10.0 * p.time_multiplier)).max(0.0);
        }
        let present = [
            m.power < -p.reverse,
            m.current > p.instantaneous,
            self.run >= 1.0,
            m.voltage < p.undervoltage,
            m.frequency < p.frequency.0,
            m.frequency > p.frequency.1,
            m.voltage > p.overvoltage,
        ]
        .map(|x| x && closed);
        self.unit.step(&present, dt)
    }

    /// What tripped first.
    #[must_use]
    pub fn first(&self) -> Option<&'static str> {
        self.unit.first_out().map(|i| RELAYS[i])
    }
}

/// Largest current (part of the setting) that the standard inverse curve carries for a time, for those who set relays.
#[must_use]
pub fn carried(seconds: f64, time_multiplier: f64) -> f64 {
    base::maths::exp(50.0 * ln(1.0 + 0.14 * time_multiplier / seconds))
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub const SMALL: ProtectionParams = ProtectionParams {
        reverse: 0.08,
        reverse_delay: 5.0,
        overcurrent: 1.1,
        time_multiplier: 0.3,
        instantaneous: 6.0,
        undervoltage: 0.8,
        undervoltage_delay: 1.5,
        overvoltage: 1.2,
        overvoltage_delay: 1.0,
        frequency: (0.9, 1.1),
        frequency_delay: 3.0,
    };
    const SOUND: Measured = Measured { power: 0.5, current: 0.6, voltage: 1.0, frequency: 1.0 };

    fn ticks(m: Measured) -> Option<usize> {
        let mut p = Protection::new(SMALL);
        (1..100_000).find(|_| p.step(true, &m, 0.1))
    }

    #[test]
    fn inverse_time_by_the_standard() {
        // IEC 60255-151 curve A: at 2, 5 and 10 times the setting 10.03, 4.28 and 2.97 s for a multiplier of one
        // (the usual table of handbooks).
        let p = Protection::new(ProtectionParams { overcurrent: 1.0, time_multiplier: 1.0, ..SMALL });
        for (m, t) in [(2.0, 10.03), (5.0, 4.28), (10.0, 2.97)] {
            assert!((p.inverse_time(m) - t).abs() < 0.006, "{}", p.inverse_time(m));
            assert!((carried(p.inverse_time(m), 1.0) - m).abs() < 1e-9);
        }
        assert_eq!(p.inverse_time(1.0), f64::INFINITY);
        // And as it runs: 1.65 times rated is 1.5 times the setting.
        let expected = 0.14 * 0.3 / (pow(1.5, 0.02) - 1.0);
        let got = ticks(Measured { current: 1.65, ..SOUND }).unwrap() as f64 * 0.1;
        assert!((got - expected).abs() < 0.11, "{got} {expected}");
    }

    #[test]
    fn each_relay_after_its_delay_and_none_for_a_sound_machine() {
        assert_eq!(ticks(SOUND), None);
        assert_eq!(ticks(Measured { power: -0.1, ..SOUND }), Some(51));
        assert_eq!(ticks(Measured { power: -0.07, ..SOUND }), None);
        assert_eq!(ticks(Measured { current: 7.0, ..SOUND }), Some(1));
        assert_eq!(ticks(Measured { voltage: 0.7, ..SOUND }), Some(16));
        assert_eq!(ticks(Measured { voltage: 1.25, ..SOUND }), Some(11));
        assert_eq!(ticks(Measured { frequency: 0.85, ..SOUND }), Some(31));
        assert_eq!(ticks(Measured { frequency: 1.2, ..SOUND }), Some(31));
    }

    #[test]
    fn it_locks_out_says_what_was_first_and_is_reset_by_hand() {
        let mut p = Protection::new(SMALL);
        let bad = Measured { power: -0.2, ..SOUND };
        for _ in 0..60 {
            p.step(true, &bad, 0.1);
        }
        assert_eq!(p.first(), Some("reverse power"));
        for _ in 0..60 {
            p.step(false, &Measured::default(), 0.1);
        }
        assert!(p.unit.is_tripped() && p.first() == Some("reverse power"), "a dead machine adds no cause");
        assert_eq!(p.unit.reset(), Ok(()));
    }
}
