//! Putting a machine on a live bus: synchroscope, check relay, automatic synchroniser.
//!
//! - The synchroscope shows the angle of the incoming machine's voltage against the bus; it turns at the slip
//!   `f_in - f_bus`, clockwise (growing angle) when the incoming machine is fast, one turn in `1/slip`.
//! - The lamps bridge like phases of machine and bus: their voltage is `|V_in - V_bus|`, so all are dark at the top.
//! - The check relay lets a closing order through while differences of voltage, frequency and angle are inside its
//!   limits. Common practice: 5 to 10 % of voltage, 0.1 to 0.3 Hz, 10 to 20 degrees.
//! - The automatic synchroniser brings speed and voltage near by the speed changer and the regulator, and gives the order
//!   ahead of the top by breaker time times slip: `lead = 2 pi slip t_close`; the order is given within the tick, so that
//!   the contacts touch at the top.
//!
//! All measure at the machine's and the bus's own transformers. Units: rad, Hz, parts of rated voltage, s.

use super::machine::wrapped;
use core::f64::consts::TAU;

/// Limits of the check relay and aims of the automatic.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SynchroniserParams {
    /// Greatest angle either way, rad.
    pub angle: f64,
    /// Greatest slip either way, Hz.
    pub slip: f64,
    /// Greatest difference of voltage, part of rated.
    pub voltage: f64,
    /// Slip that the automatic aims at, Hz.
    pub aim: f64,
}

/// Incoming machine beside its bus.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Beside {
    /// Angle of the machine ahead of the bus, rad, in (-pi, pi].
    pub angle: f64,
    /// Machine less bus, Hz.
    pub slip: f64,
    /// Machine less bus, part of rated voltage.
    pub voltage: f64,
    /// Voltage across the lamps, part of rated.
    pub lamps: f64,
}

base::kept!(Beside { angle, slip, voltage, lamps });

/// How a machine met its bus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closure {
    /// What stood between them when the contacts touched.
    pub beside: Beside,
    /// First current, part of rated.
    pub current: f64,
}

base::kept!(Closure { beside, current });

/// The synchronising gear and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Synchroniser {
    params: SynchroniserParams,
    /// The incoming machine, by its place among the sets.
    pub incoming: Option<usize>,
    /// Automatic synchronising.
    pub automatic: bool,
    /// The check relay is by-passed by its key.
    pub bypassed: bool,
    /// Failing: the check relay lets everything through.
    pub check_dead: bool,
    /// What the synchroscope shows: it stands where it was when nothing is selected.
    pub seen: Beside,
}

base::kept!(Synchroniser { incoming, automatic, bypassed, check_dead, seen } fixed { params });

/// What the automatic does now.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Step {
    /// Change of the speed changer that is asked for, Hz from what is in force.
    pub speed: f64,
    /// Change of the voltage's set point, part of rated.
    pub voltage: f64,
    /// Close the breaker, so many seconds from now.
    pub close: Option<f64>,
}

impl Synchroniser {
    /// Manual, nothing selected, check relay in.
    #[must_use]
    pub fn new(params: SynchroniserParams) -> Synchroniser {
        Synchroniser {
            params,
            incoming: None,
            automatic: false,
            bypassed: false,
            check_dead: false,
            seen: Beside::default(),
        }
    }

    /// Its limits.
    #[must_use]
    pub fn params(&self) -> &SynchroniserParams {
        &self.params
    }

    /// Whether the check relay lets an order through.
    ///
    /// # Errors
    /// What is outside its limits, for people.
    pub fn check(&self, b: &Beside) -> Result<(), String> {
        if self.bypassed || self.check_dead {
            return Ok(());
        }
        let p = &self.params;
        let mut outside = vec![];
        if b.angle.abs() > p.angle {
            outside.push(format!("the angle is {:.0} deg", b.angle.to_degrees()));
        }
        if b.slip.abs() > p.slip {
            outside.push(format!("the slip is {:.2} Hz", b.slip));
        }
        if b.voltage.abs() > p.voltage {
            outside.push(format!("the voltages differ by {:.0} %", 100.0 * b.voltage));
        }
        if outside.is_empty() {
            Ok(())
        } else {
            Err(format!("the check relay does not let it close: {}", outside.join(", ")))
        }
    }

    /// Angle ahead of the top at which the order must go out, rad.
    #[must_use]
    pub fn lead(slip: f64, closing: f64) -> f64 {
        TAU * slip * closing
    }

    /// One tick of the automatic: what stands between machine and bus now, the breaker's closing time.
    #[must_use]
    pub fn step(&self, b: &Beside, closing: f64, dt: f64) -> Step {
        let p = &self.params;
        let off = p.aim - b.slip;
        let mut step = Step { speed: 0.0, voltage: 0.0, close: None };
        // A dead band, so that the speed changer rests once the slip is near its aim.
        if off.abs() > 0.3 * p.aim {
            step.speed = off;
        }
        if b.voltage.abs() > 0.005 {
            step.voltage = (-b.voltage).clamp(-0.002, 0.002);
        }
        let ready = b.slip > 0.25 * p.aim && b.slip < p.slip && b.voltage.abs() <= p.voltage;
        if ready {
            // Seconds until the angle that is left is the lead.
            let to_go = wrapped(-(b.angle + Synchroniser::lead(b.slip, closing))) / (TAU * b.slip);
            if (0.0..dt).contains(&to_go) {
                step.close = Some(to_go);
            }
        }
        step
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub const SMALL: SynchroniserParams = SynchroniserParams { angle: 0.26, slip: 0.25, voltage: 0.06, aim: 0.1 };

    #[test]
    fn the_check_relay_tells_all_that_is_outside() {
        let s = Synchroniser::new(SMALL);
        assert_eq!(s.check(&Beside { angle: 0.1, slip: 0.1, voltage: 0.02, lamps: 0.1 }), Ok(()));
        let e = s.check(&Beside { angle: 0.7, slip: 0.5, voltage: -0.1, lamps: 0.7 }).unwrap_err();
        assert!(e.contains("40 deg") && e.contains("0.50 Hz") && e.contains("-10 %"), "{e}");
        let s = Synchroniser { bypassed: true, ..s };
        assert_eq!(s.check(&Beside { angle: 3.0, slip: 2.0, voltage: 1.0, lamps: 2.0 }), Ok(()));
    }

    mod checks {
        use super::*;
        use crate::check_data::example;

        #[test]
        fn geometry_of_scalar_checks() {
            let e = example("sync_geometry");
            let list = |v: &serde_json::Value| -> Vec<f64> {
                v.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
            };
            let (slip, breaker) = (list(&e.inputs["slip_Hz"]), list(&e.inputs["breaker_s"]));
            let (lead, turn) = (list(&e.expected["lead_angle_deg"]), list(&e.expected["pointer_turn_s"]));
            let s = Synchroniser::new(SMALL);
            for k in 0..slip.len() {
                let ours = Synchroniser::lead(slip[k], breaker[k]).to_degrees();
                assert!((ours / lead[k] - 1.0).abs() < e.tolerance, "{ours} {}", lead[k]);
                // The automatic waits from the angle of one order to that of the next for one turn of the pointer.
                let just_after = -Synchroniser::lead(slip[k], breaker[k]) + 1e-9;
                let b = Beside { angle: just_after, slip: slip[k], ..Beside::default() };
                let wait = (wrapped(-(b.angle + Synchroniser::lead(b.slip, breaker[k]))) + TAU) / (TAU * slip[k]);
                assert!((wait / turn[k] - 1.0).abs() < 1e-8, "{wait} {}", turn[k]);
                // And it gives the order at the lead: one millisecond before, it asks for that millisecond.
                let b = Beside { angle: just_after - 1e-9 - TAU * slip[k] * 1e-3, slip: slip[k], ..b };
                let asked = s.step(&b, breaker[k], 0.1).close.unwrap();
                assert!((asked - 1e-3).abs() < 1e-9);
            }
            println!("{}: {} slips compared", e.path, slip.len());
        }
    }
}
