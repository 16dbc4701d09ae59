//! A way for air: a valve, pipe, filter, leak or consumer.
//!
//! Equations: ISO 6358: `m = C rho0 p1 sqrt(T0/T1) phi`, `phi = 1` up to the critical pressure ratio b, else
//! `sqrt(1 - ((r - b)/(1 - b))^2)`, r the ratio of pressures; from r 0.98 on a straight line to zero at 1
//! (laminar blend, own choice). C is the sonic conductance, T0 293.15 K and rho0 1.185 kg/m3.
//! Between two receivers the flow over a tick is `m / (1 + dt (m/dp) (gamma R T1/V1 + gamma R T2/V2))`: the
//! end-of-tick pressure difference drives it (secant), so that small volumes never overshoot.
//! Units: m3/(s Pa); Pa absolute; K; kg/s.

use super::gas::{GAMMA, R};
use super::receiver::Receiver;
use base::maths::sqrt;

/// Reference density of ISO 6358, kg/m3.
const DENSITY_REFERENCE: f64 = 1.185;
/// Reference temperature of ISO 6358, K.
const TEMPERATURE_REFERENCE: f64 = 293.15;
/// Where the straight line to zero flow begins.
const NEAR_EQUAL: f64 = 0.98;

/// A way for air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirPath {
    /// Sonic conductance C fully open, m3/(s Pa).
    pub conductance: f64,
    /// Critical pressure ratio b.
    pub critical: f64,
    /// Part of it that is open, 0 to 1: a valve's opening, or what dirt leaves of a filter.
    pub opening: f64,
    /// Air passes one way only.
    pub non_return: bool,
}

base::kept!(AirPath { conductance, critical, opening, non_return });

impl AirPath {
    /// The conductance C that passes a mass flow (kg/s) from a pressure (Pa absolute) at 20 °C when
    /// choked: how consumers and safety valves are sized.
    #[must_use]
    pub fn conductance_for(flow: f64, pressure: f64) -> f64 {
        flow / (DENSITY_REFERENCE * pressure)
    }

    /// Mass flow from a higher pressure and its temperature to a lower pressure, kg/s.
    #[must_use]
    pub fn flow(&self, high: f64, temperature: f64, low: f64) -> f64 {
        let r = (low / high).min(1.0);
        let b = self.critical;
        let phi = |r: f64| {
            let part = ((r - b) / (1.0 - b)).max(0.0);
            sqrt(1.0 - part * part)
        };
        let part = if r < NEAR_EQUAL { phi(r) } else { phi(NEAR_EQUAL) * (1.0 - r) / (1.0 - NEAR_EQUAL) };
        let reference = sqrt(TEMPERATURE_REFERENCE / temperature);
        self.opening * self.conductance * DENSITY_REFERENCE * high * reference * part
    }

    /// Moves air between two receivers for `dt` seconds. Returns the mass flow from the first to
    /// the second, kg/s.
    pub fn between(&self, first: &mut Receiver, second: &mut Receiver, dt: f64) -> f64 {
        let forward = first.pressure() >= second.pressure();
        if !forward && self.non_return {
            return 0.0;
        }
        let (from, to) = if forward { (first, second) } else { (second, first) };
        let drop = from.pressure() - to.pressure();
        if drop <= 0.0 {
            return 0.0;
        }
        if self.opening == 0.0 {
            return if forward { 0.0 } else { -0.0 };
        }
        let now = self.flow(from.pressure(), from.temperature(), to.pressure());
        let softness = |r: &Receiver| GAMMA * R * r.temperature() / r.params().volume;
        let flow = now / (1.0 + dt * now / drop * (softness(from) + softness(to)));
        let enthalpy = from.enthalpy();
        from.add(-flow, -flow * enthalpy);
        to.add(flow, flow * enthalpy);
        if forward { flow } else { -flow }
    }

    /// Lets air out of a receiver to a constant pressure for `dt` seconds: a consumer, a leak, a vent.
    /// Returns the mass flow, kg/s.
    pub fn out_of(&self, from: &mut Receiver, pressure: f64, dt: f64) -> f64 {
        let drop = from.pressure() - pressure;
        if drop <= 0.0 {
            return 0.0;
        }
        let now = self.flow(from.pressure(), from.temperature(), pressure);
        let flow = now / (1.0 + dt * now / drop * GAMMA * R * from.temperature() / from.params().volume);
        from.add(-flow, -flow * from.enthalpy());
        flow
    }
}

#[cfg(test)]
mod tests {
    use super::super::receiver::ReceiverParams;
    use super::*;

    const PATH: AirPath = AirPath { conductance: 1e-7, critical: 0.3, opening: 1.0, non_return: false };

    #[test]
    fn flow_is_choked_falls_to_zero_and_has_no_step() {
        let at = |r: f64| PATH.flow(8e5, 293.15, 8e5 * r);
        assert_eq!(at(0.1), at(0.3));
        assert!((at(0.1) - 1e-7 * 1.185 * 8e5).abs() < 1e-12);
        let mut last = at(0.3);
        for k in 301..=1000 {
            let now = at(f64::from(k) / 1000.0);
            assert!(now <= last && last - now < 0.05 * at(0.3));
            last = now;
        }
        assert_eq!(at(1.0), 0.0);
    }

    #[test]
    fn a_wide_way_between_small_volumes_evens_out_without_overshoot() {
        let params = ReceiverParams { volume: 0.01, loss: 0.0, shell: None, safety: None };
        let mut a = Receiver::new(params, 9e5, 300.0);
        let mut c = Receiver::new(params, 2e5, 290.0);
        let (mass, energy) = (a.mass() + c.mass(), a.energy() + c.energy());
        let wide = AirPath { conductance: 1e-5, ..PATH };
        let mut last = a.pressure() - c.pressure();
        for _ in 0..200 {
            wide.between(&mut a, &mut c, 0.1);
            a.step(290.0, 0.1);
            c.step(290.0, 0.1);
            let now = a.pressure() - c.pressure();
            assert!(now <= last + 1e-6 && now > -1.0, "{now}");
            last = now;
        }
        assert!(last < 100.0);
        assert!((a.mass() + c.mass() - mass).abs() < 1e-14 && (a.energy() + c.energy() - energy).abs() < 1e-9);
    }

    #[test]
    fn a_non_return_keeps_air_back_and_a_leak_empties_to_the_surroundings() {
        let params = ReceiverParams { volume: 0.1, loss: 1e3, shell: None, safety: None };
        let mut a = Receiver::new(params, 2e5, 290.0);
        let mut c = Receiver::new(params, 8e5, 290.0);
        assert_eq!(AirPath { non_return: true, ..PATH }.between(&mut a, &mut c, 0.1), 0.0);
        for _ in 0..60_000 {
            AirPath { conductance: 1e-8, ..PATH }.out_of(&mut c, 101_325.0, 0.1);
            c.step(290.0, 0.1);
        }
        assert!((c.pressure() - 101_325.0).abs() < 10.0, "{}", c.pressure());
    }
}
