//! A supply from the shore: a stiff voltage behind a cable's reactance at its own frequency.
//!
//! Equations: see [`super::phasor`]; its angle runs on at its own frequency. Assumptions: the shore never sags.
//! Units: V, W, var, ohm; voltage and frequency as parts of nominal. Figures: own choice in the plant's file.

use super::breaker::Breaker;
use super::protection::Protection;

/// A supply from the shore.
#[derive(Clone, Debug, PartialEq)]
pub struct ShoreSupply {
    /// Its bus.
    pub bus: usize,
    /// Its breaker.
    pub breaker: Breaker,
    /// Its over-current relay (the other relays never act).
    pub protection: Protection,
    /// The shore gives voltage.
    pub available: bool,
    /// Voltage, part of nominal.
    pub voltage: f64,
    /// Frequency, part of nominal.
    pub speed: f64,
    /// Reactance of cable and transformer, ohm.
    pub reactance: f64,
    /// Rating, VA.
    pub rating: f64,
    pub(super) angle: f64,
    pub(super) power: f64,
    pub(super) reactive: f64,
    pub(super) given: f64,
}

base::kept!(ShoreSupply { breaker, protection, available, angle, power, reactive, given }
    fixed { bus, voltage, speed, reactance, rating });

impl ShoreSupply {
    /// A supply that gives nominal voltage and frequency.
    #[must_use]
    pub fn new(bus: usize, breaker: Breaker, protection: Protection, reactance: f64, rating: f64) -> ShoreSupply {
        ShoreSupply {
            bus,
            breaker,
            protection,
            available: true,
            voltage: 1.0,
            speed: 1.0,
            reactance,
            rating,
            angle: 0.0,
            power: 0.0,
            reactive: 0.0,
            given: 0.0,
        }
    }

    /// It feeds its bus.
    #[must_use]
    pub fn feeds(&self) -> bool {
        self.available && self.breaker.is_closed()
    }

    /// Power given, W.
    #[must_use]
    pub fn power(&self) -> f64 {
        self.power
    }

    /// Reactive power given, var.
    #[must_use]
    pub fn reactive(&self) -> f64 {
        self.reactive
    }

    /// Energy given since the start, J.
    #[must_use]
    pub fn given(&self) -> f64 {
        self.given
    }
}
