//! Loss of head along one link at its present setting.
//!
//! Equations: `dh = h(Q)`, rising in Q, with slope `g = dh/dQ`.
//! Pipe: `dh = (f L/D + K) v|v| / 2g`, laminar `f = 64/Re` written as `dh = 128 nu L Q / (pi g D^4)`
//! so that it is a plain straight line through zero. Valve and strainer: `dh = r Q sqrt(Q^2 + q0^2)`,
//! which is `r Q|Q|` with a straight piece of slope `r q0` at zero (q0 is 5 mm/s through the bore, or
//! 0.1 Pa of drop by Kv; it changes `dh` by less than 1e-5 at 1 m/s). Pump: see `pump_curve`.
//! Assumptions: in the turbulent range f is renewed when flow has moved by 1 % from where it was
//! last worked out, and follows its own slope in between (changes f by less than 2e-5).

use super::friction::{Friction, RE_LAMINAR, RE_TURBULENT};
use super::layout::{GRAVITY, LinkKind};
use super::pump_curve::PumpLaw;
use super::valve_law::resistance_of_kv;
use base::maths::sqrt;
use std::f64::consts::PI;

/// Velocity at which a fitting's square law becomes straight, m/s.
const CREEPING: f64 = 0.005;
/// Smallest slope dh/dQ, s/m2, that a linearisation uses (1 cm of head for 1 m3/s).
const SLOPE_MIN: f64 = 1e-2;

/// What the operator, the machines and the failings have set on a link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Isolated altogether.
    pub shut: bool,
    /// Opening of a valve, 0 to 1.
    pub opening: f64,
    /// Part of the full flow coefficient that passes when the valve is shut.
    pub passing: f64,
    /// Part of a strainer's free area that is choked, 0 to 1.
    pub choked: f64,
    /// Part of a pump's rated speed.
    pub speed: f64,
    /// Factor on a pump's head curve: 1 sound, less when worn, 0 when gas-bound.
    pub head_factor: f64,
}

base::kept!(Setting { shut, opening, passing, choked, speed, head_factor });

impl Default for Setting {
    /// Open, clean, sound, standing.
    fn default() -> Setting {
        Setting { shut: false, opening: 1.0, passing: 0.0, choked: 0.0, speed: 0.0, head_factor: 1.0 }
    }
}

/// A link's law at its present setting.
#[derive(Clone, Copy, Debug)]
pub(super) enum Law {
    /// Nothing passes.
    Shut,
    /// A pipe.
    Pipe(PipeLaw),
    /// `dh = r Q sqrt(Q^2 + q0^2)`.
    Square { resistance: f64, creeping: f64 },
    /// A pump.
    Pump(PumpLaw),
}

base::kept!(enum Law { 0 Shut, 1 Pipe(x), 2 Square { resistance, creeping }, 3 Pump(x) });

/// A pipe's law with the friction factor last worked out.
#[derive(Clone, Copy, Debug)]
pub(super) struct PipeLaw {
    /// Slope of the laminar line, s/m2.
    laminar: f64,
    /// Head per `f Q^2`.
    friction_scale: f64,
    /// Head per `Q^2` of the fittings.
    minor: f64,
    /// Reynolds number per m3/s.
    re_per_flow: f64,
    friction: Friction,
    /// Flow, f and df/dQ where f was last worked out; flow 0 for never.
    known: (f64, f64, f64),
}

base::kept!(PipeLaw { laminar, friction_scale, minor, re_per_flow, friction, known });

impl PipeLaw {
    fn new(length: f64, diameter: f64, roughness: f64, minor_loss: f64, viscosity: f64) -> PipeLaw {
        let d2 = diameter * diameter;
        let head_per_square = 8.0 / (PI * PI * GRAVITY * d2 * d2);
        PipeLaw {
            laminar: 128.0 * viscosity * length / (PI * GRAVITY * d2 * d2),
            friction_scale: head_per_square * length / diameter,
            minor: head_per_square * minor_loss,
            re_per_flow: 4.0 / (PI * diameter * viscosity),
            friction: Friction::new(roughness / diameter),
            known: (0.0, 0.0, 0.0),
        }
    }

    fn loss(&mut self, flow: f64) -> (f64, f64) {
        let size = flow.abs();
        let re = size * self.re_per_flow;
        let fittings = self.minor * size;
        if re <= RE_LAMINAR {
            return (flow * (self.laminar + fittings), self.laminar + 2.0 * fittings);
        }
        let (f, slope) = if re < RE_TURBULENT {
            let (f, by_re) = self.friction.factor(re);
            (f, by_re * self.re_per_flow)
        } else {
            if (size - self.known.0).abs() > 0.01 * self.known.0 {
                let (f, by_re) = self.friction.factor(re);
                self.known = (size, f, by_re * self.re_per_flow);
            }
            (self.known.1 + self.known.2 * (size - self.known.0), self.known.2)
        };
        let head = self.friction_scale * f * size + fittings;
        (flow * head, 2.0 * head + self.friction_scale * slope * size * size)
    }
}

impl Law {
    /// The law of a link at a setting; `viscosity` in m2/s.
    pub(super) fn new(kind: &LinkKind, setting: &Setting, viscosity: f64) -> Law {
        if setting.shut {
            return Law::Shut;
        }
        let area = |d: f64| 0.25 * PI * d * d;
        let fitting = |diameter: f64, k: f64, part: f64| {
            let a = area(diameter);
            if part > 0.0 {
                Law::Square { resistance: k / (2.0 * GRAVITY * a * a * part * part), creeping: CREEPING * a * part }
            } else {
                Law::Shut
            }
        };
        match *kind {
            LinkKind::Pipe { length, diameter, roughness, minor_loss } => {
                Law::Pipe(PipeLaw::new(length, diameter, roughness, minor_loss, viscosity))
            }
            LinkKind::Valve { diameter, minor_loss, characteristic } => {
                fitting(diameter, minor_loss, characteristic.part(setting.opening).max(setting.passing))
            }
            LinkKind::ValveKv { kv, characteristic } => {
                let kv = kv * characteristic.part(setting.opening).max(setting.passing);
                if kv > 0.0 {
                    let creeping = kv / 3600.0 * 1e-3;
                    Law::Square { resistance: resistance_of_kv(kv, GRAVITY), creeping }
                } else {
                    Law::Shut
                }
            }
            LinkKind::Strainer { diameter, minor_loss } => fitting(diameter, minor_loss, 1.0 - setting.choked),
            LinkKind::Pump { curve } => Law::Pump(curve.at_speed(setting.speed, setting.head_factor)),
        }
    }

    /// Loss of head at a flow and its slope (never below a small positive number).
    pub(super) fn loss(&mut self, flow: f64) -> (f64, f64) {
        let (head, slope) = match self {
            Law::Shut => (0.0, f64::INFINITY),
            Law::Pipe(p) => p.loss(flow),
            Law::Square { resistance, creeping } => {
                let root = sqrt(flow * flow + *creeping * *creeping);
                (*resistance * flow * root, *resistance * (root + flow * flow / root))
            }
            Law::Pump(p) => p.loss(flow),
        };
        (head, slope.max(SLOPE_MIN))
    }

    /// A flow of ordinary size, m3/s, from which a link that begins to flow is first linearised.
    pub(super) fn ordinary(&self, kind: &LinkKind) -> f64 {
        match (self, kind) {
            (Law::Square { creeping, .. }, LinkKind::ValveKv { .. }) => 300.0 * creeping,
            (Law::Square { creeping, .. }, _) => creeping / CREEPING,
            (Law::Pump(_), LinkKind::Pump { curve }) => 0.5 * curve.flow_max,
            (_, LinkKind::Pipe { diameter, .. }) => 0.25 * PI * diameter * diameter,
            _ => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::liquid::valve_law::Characteristic;

    #[test]
    fn every_law_rises_and_its_slope_is_the_derivative() {
        let kinds = [
            LinkKind::Pipe { length: 8.0, diameter: 0.2, roughness: 1e-4, minor_loss: 2.0 },
            LinkKind::Valve { diameter: 0.15, minor_loss: 25.0, characteristic: Characteristic::Linear },
            LinkKind::ValveKv { kv: 60.0, characteristic: Characteristic::EqualPercentage(50.0) },
        ];
        for kind in kinds {
            let mut last = f64::NEG_INFINITY;
            for k in -400..=400 {
                let q = f64::from(k) * 2e-4 + 1e-6;
                let mut law = Law::new(&kind, &Setting::default(), 1e-6);
                let (head, slope) = law.loss(q);
                assert!(head > last, "{kind:?} at {q}");
                last = head;
                let mut law = Law::new(&kind, &Setting::default(), 1e-6);
                let d = 1e-4 * q.abs();
                let by_difference = (law.loss(q + d).0 - law.loss(q - d).0) / (2.0 * d);
                assert!(
                    (slope / by_difference.max(SLOPE_MIN) - 1.0).abs() < 0.02,
                    "{kind:?} at {q}: {slope} {by_difference}"
                );
            }
        }
    }

    #[test]
    fn shut_is_shut_and_passing_passes() {
        let kind = LinkKind::Valve { diameter: 0.1, minor_loss: 5.0, characteristic: Characteristic::Linear };
        let shut = Setting { opening: 0.0, ..Setting::default() };
        assert!(matches!(Law::new(&kind, &shut, 1e-6), Law::Shut));
        let passing = Setting { passing: 0.02, ..shut };
        assert!(matches!(Law::new(&kind, &passing, 1e-6), Law::Square { .. }));
        let strainer = LinkKind::Strainer { diameter: 0.1, minor_loss: 5.0 };
        assert!(matches!(Law::new(&strainer, &Setting { choked: 1.0, ..Setting::default() }, 1e-6), Law::Shut));
    }
}
