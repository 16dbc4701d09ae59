//! A centrifugal pump's head against flow and speed.
//!
//! Equations: `H = w^2 H0 - b w^(2-n) Q^n`, the power curve through three points (the first at
//! zero flow) with the affinity laws; w is speed as a part of rated speed.
//! Assumptions: backward flow through a turning pump meets the curve mirrored
//! (`H = w^2 H0 + b w^(2-n) |Q|^n`); a standing pump is a passage with the curve's own loss at
//! rated speed, `H = -b Q|Q|^(n-1)` (own choice: within the range of locked-rotor losses).
//! Worn or gas-bound pumps have the whole head curve scaled down.
//! Units: H in m of the liquid, Q in m3/s. Source of the law: EPANET 2.2 manual; affinity laws from
//! any pump handbook.

use base::maths::{ln, pow, power};

/// Below this part of rated speed a pump counts as standing: it makes less than 1 % of its head.
pub const STANDING: f64 = 0.1;

/// The curve at rated speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PumpCurve {
    /// Head at zero flow, m.
    pub shut_off_head: f64,
    /// Factor b of the law.
    pub factor: f64,
    /// Exponent n of the law.
    pub exponent: f64,
    /// The largest flow of the given points, m3/s.
    pub flow_max: f64,
}

impl PumpCurve {
    /// The curve through three points (flow m3/s, head m): the first at zero flow, flows rising,
    /// heads falling. `None` when they are not such points.
    #[must_use]
    pub fn through(points: [(f64, f64); 3]) -> Option<PumpCurve> {
        let [(q0, h0), (q1, h1), (q2, h2)] = points;
        let finite = points.iter().all(|(q, h)| q.is_finite() && h.is_finite());
        if !(finite && q0 == 0.0 && q1 > 0.0 && q2 > q1 && h0 > h1 && h1 > h2 && h2 >= 0.0) {
            return None;
        }
        let exponent = ln((h0 - h2) / (h0 - h1)) / ln(q2 / q1);
        Some(PumpCurve { shut_off_head: h0, factor: (h0 - h1) / pow(q1, exponent), exponent, flow_max: q2 })
    }

    /// The law at a speed: what does not depend on flow, worked out once when speed changes.
    #[must_use]
    pub fn at_speed(&self, speed: f64, head_factor: f64) -> PumpLaw {
        let (gain, factor) = if speed < STANDING {
            (0.0, self.factor)
        } else {
            (speed * speed * self.shut_off_head * head_factor, self.factor * pow(speed, 2.0 - self.exponent))
        };
        PumpLaw { gain, factor, exponent: self.exponent }
    }

    /// Head made at a flow and speed, m.
    #[must_use]
    pub fn head(&self, flow: f64, speed: f64) -> f64 {
        -self.at_speed(speed, 1.0).loss(flow).0
    }
}

/// A pump's law at one speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PumpLaw {
    /// Head at zero flow, m.
    pub gain: f64,
    /// Factor of `Q^n`.
    pub factor: f64,
    /// Exponent n.
    pub exponent: f64,
}

base::kept!(PumpLaw { gain, factor, exponent });

impl PumpLaw {
    /// Loss of head in the pump's own direction (negative while it makes head) and its slope
    /// against flow, m and m/(m3/s).
    #[must_use]
    pub fn loss(&self, flow: f64) -> (f64, f64) {
        let size = flow.abs();
        if size == 0.0 {
            return (-self.gain, if self.exponent > 1.0 { 0.0 } else { self.factor });
        }
        let lost = self.factor * power(size, self.exponent);
        (lost * flow.signum() - self.gain, lost * self.exponent / size)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const POINTS: [(f64, f64); 3] = [(0.0, 30.0), (0.055, 25.0), (0.11, 10.0)];

    #[test]
    fn the_curve_passes_its_points_and_refuses_nonsense() {
        let c = PumpCurve::through(POINTS).unwrap();
        for (q, h) in POINTS {
            assert!((c.head(q, 1.0) - h).abs() < 1e-9);
        }
        assert_eq!(PumpCurve::through([(0.0, 30.0), (0.05, 31.0), (0.1, 10.0)]), None);
        assert_eq!(PumpCurve::through([(0.01, 30.0), (0.05, 25.0), (0.1, 10.0)]), None);
        assert_eq!(PumpCurve::through([(0.0, 30.0), (0.05, f64::NAN), (0.1, 10.0)]), None);
    }

    #[test]
    fn loss_rises_with_flow_everywhere() {
        let c = PumpCurve::through(POINTS).unwrap();
        for speed in [0.0, 0.3, 1.0, 1.1] {
            let law = c.at_speed(speed, 0.8);
            let mut last = f64::NEG_INFINITY;
            for k in -20..=20 {
                let (loss, slope) = law.loss(f64::from(k) * 0.01);
                assert!(loss > last && slope >= 0.0);
                last = loss;
            }
        }
        assert_eq!(c.at_speed(0.0, 1.0).loss(0.0).0, 0.0, "a standing pump makes no head");
    }

    mod checks {
        use super::super::PumpCurve;
        use crate::check_data::example;

        #[test]
        fn pump_affinity() {
            let e = example("pump_affinity");
            let (q1, h1, w) = (e.input("Q1"), e.input("H1"), e.input("N2") / e.input("N1"));
            // Any curve through the given duty point must move it along the affinity laws.
            let c = PumpCurve::through([(0.0, 1.3 * h1), (q1, h1), (1.5 * q1, 0.5 * h1)]).unwrap();
            e.compare("H2", c.head(q1 * w, w));
            // Where the curve at the lower speed meets the expected head, by bisection, is the expected flow.
            let target = e.expected["H2"].as_f64().unwrap();
            let (mut low, mut high) = (0.0, q1);
            for _ in 0..200 {
                let middle = 0.5 * (low + high);
                if c.head(middle, w) > target { low = middle } else { high = middle }
            }
            e.compare("Q2", low);
            // Shaft power at equal efficiency goes with head times flow.
            e.compare("P2", e.input("P1") * c.head(q1 * w, w) * low / (h1 * q1));
        }
    }
}
