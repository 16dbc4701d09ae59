//! Pressure in the lube-oil header: pumps, filter, cooler, bearings and the regulating valve, solved together.
//!
//! Unknown: the header's pressure `p`, Pa above the sump. Out of it go the bearings, `p = a mu q + b q^2` (laminar in the gaps, turbulent in
//! the feed orifices), a leak `q = L sqrt(p)` and the regulating valve, `q = R (p - p_set)` above its setting, up to full open. Into it
//! the pumps deliver through filter and cooler, `p_d - p = mu (r_f/(1 - c)^2 + r_c) q`, laminar, `c` the choked part of the element in
//! use. A pump of the displacing kind gives `V n - s p_d/mu`: its slip grows with pressure and falls with viscosity. The relief valve of the
//! pumps spills `k (p_d - p_relief)` above its setting. What the pumps give falls with `p`, what leaves rises with it, so that one
//! pressure balances them; it is found by Newton's method from where it stood, else by false position (Illinois), and by halving
//! where that is slow, until the pumps' flow is met to 1e-10.
//! Assumptions: incompressible oil, no inertia: quasi-steady within a tick. `mu` in parts of the nominal viscosity (dynamic; the
//! density is constant). Units: Pa, m3/s.

use base::maths::sqrt;

/// The circuit's figures, at nominal viscosity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeaderParams {
    /// All bearings together: laminar, Pa per m3/s.
    pub laminar: f64,
    /// Turbulent, Pa per (m3/s)^2.
    pub turbulent: f64,
    /// Setting of the regulating valve, Pa.
    pub set: f64,
    /// What it spills for each Pa above, m3/s.
    pub spills: f64,
    /// Clean filter, Pa per m3/s.
    pub filter: f64,
    /// Cooler, Pa per m3/s.
    pub cooler: f64,
    /// Relief valve of the pumps, Pa, and what it spills for each Pa above, m3/s.
    pub relief: (f64, f64),
    /// Slip of both pumps, m3/s for each Pa.
    pub slip: f64,
}

/// What stands at an instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Running {
    /// What the pumps displace together, m3/s.
    pub displaced: f64,
    /// Part of the slip that counts: pumps that turn.
    pub pumps: f64,
    /// Viscosity, parts of nominal.
    pub mu: f64,
    /// Choked part of the filter in use.
    pub choked: f64,
    /// Leak from the header, m3/s for the root of each Pa.
    pub leak: f64,
}

/// The header as it balances.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Header {
    /// Pressure in the header, Pa above the sump.
    pub p: f64,
    /// At the pumps' discharge, Pa.
    pub discharge: f64,
    /// Drop of the filter, Pa.
    pub filter_drop: f64,
    /// To the bearings, m3/s.
    pub bearings: f64,
    /// Leaking away, m3/s.
    pub leak: f64,
    /// Through filter and cooler, m3/s.
    pub through: f64,
    /// Back from regulating and relief valve, m3/s.
    pub spilled: f64,
}

base::kept!(Header { p, discharge, filter_drop, bearings, leak, through, spilled });

/// What goes to the bearings at a pressure, m3/s, and its slope.
fn bearings(p: &HeaderParams, mu: f64, pressure: f64) -> (f64, f64) {
    // p = a mu q + b q^2, solved without cancellation; its slope is a mu + 2 b q.
    let a = p.laminar * mu;
    let root = sqrt(a * a + 4.0 * p.turbulent * pressure);
    (2.0 * pressure / (a + root), 1.0 / root)
}

/// How the header stands at a pressure, what the pumps give more than leaves it then, and how that falls with pressure.
fn look(p: &HeaderParams, r: &Running, pressure: f64) -> (Header, f64, f64) {
    let (to_bearings, mut slope) = bearings(p, r.mu, pressure);
    let root = sqrt(pressure);
    let leak = r.leak * root;
    if leak > 0.0 {
        slope += 0.5 * r.leak / root;
    }
    let regulated = p.spills * (pressure - p.set).max(0.0);
    if regulated > 0.0 {
        slope += p.spills;
    }
    let through = to_bearings + leak + regulated;
    let clear = 1.0 - r.choked;
    let filter = r.mu * p.filter / (clear * clear);
    let filter_drop = filter * through;
    let discharge = pressure + filter_drop + r.mu * p.cooler * through;
    let rises = 1.0 + (filter + r.mu * p.cooler) * slope;
    let relieved = p.relief.1 * (discharge - p.relief.0).max(0.0);
    let slip = r.pumps * p.slip / r.mu;
    let given = r.displaced - slip * discharge - relieved;
    let falls = if relieved > 0.0 { slip + p.relief.1 } else { slip };
    let h = Header {
        p: pressure,
        discharge,
        filter_drop,
        bearings: to_bearings,
        leak,
        through,
        spilled: regulated + relieved,
    };
    (h, given - through, falls * rises + slope)
}

/// Balances the header, which stood at this pressure (Pa) before: the nearer, the sooner. A filter choked past 0.995 counts
/// as that much: 40,000 times its clean resistance.
#[must_use]
pub fn balance(p: &HeaderParams, r: &Running, stood: f64) -> Header {
    if r.displaced <= 0.0 {
        return Header::default();
    }
    let r = Running { choked: r.choked.clamp(0.0, 0.995), ..*r };
    let close = 1e-10 * r.displaced;
    let mut x = stood;
    for _ in 0..4 {
        // A negative pressure or one past the relief valve is no place to start from, nor is one that is no number.
        if !(x > 0.0 && x < 2.0 * p.relief.0) {
            break;
        }
        let (header, f, falls) = look(p, &r, x);
        if f.abs() < close {
            return header;
        }
        x += f / falls;
    }
    balance_from_afar(p, &r, close)
}

/// The same from wherever it stood.
fn balance_from_afar(p: &HeaderParams, r: &Running, close: f64) -> Header {
    let (mut low, mut high) = (0.0, 2.0 * p.relief.0);
    let (mut f_low, mut f_high) = (r.displaced, look(p, r, high).1);
    // The relief valve is made for all that the pumps give well below twice its setting.
    if f_high >= 0.0 {
        return look(p, r, high).0;
    }
    let (mut side, mut x) = (0, 0.0);
    for k in 0..100 {
        x = if k < 30 { (low * f_high - high * f_low) / (f_high - f_low) } else { 0.5 * (low + high) };
        let f = look(p, r, x).1;
        if f.abs() < close {
            break;
        }
        if f > 0.0 {
            (low, f_low) = (x, f);
            if side == 1 {
                f_high *= 0.5;
            }
            side = 1;
        } else {
            (high, f_high) = (x, f);
            if side == -1 {
                f_low *= 0.5;
            }
            side = -1;
        }
    }
    look(p, r, x).0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    fn at(displaced: f64, mu: f64, choked: f64) -> Header {
        balance(&sizing::header(), &Running { displaced, pumps: 1.0, mu, choked, leak: 0.0 }, 0.0)
    }

    #[test]
    fn what_comes_in_goes_out() {
        let p = sizing::header();
        for displaced in [1e-5, 4e-4, 1.5e-3, 3e-3] {
            for mu in [0.3, 1.0, 4.0, 12.0] {
                for choked in [0.0, 0.6, 0.95, 1.0] {
                    let r = Running { displaced, pumps: 1.0, mu, choked, leak: 2e-7 };
                    let h = balance(&p, &r, 0.0);
                    let slip = p.slip * h.discharge / mu;
                    let error = displaced - slip - h.bearings - h.leak - h.spilled;
                    assert!(
                        error.abs() < 2e-8 * displaced + 1e-9 * h.spilled,
                        "{displaced} {mu} {choked}: {error} {h:?}"
                    );
                    assert!(h.p >= 0.0 && h.discharge < 2.0 * p.relief.0);
                    // From wherever it stood it comes to the same.
                    for stood in [1e-3, 0.5 * h.p, 0.999 * h.p, 1.001 * h.p, p.set, p.relief.0, 1.9 * p.relief.0] {
                        let other = balance(&p, &r, stood);
                        assert!((other.p - h.p).abs() < 1e-6 * h.p, "{stood}: {other:?} {h:?}");
                    }
                }
            }
        }
    }

    /// Cold oil is thick: the pressure rises to where the valves spill, while the bearings get less of it.
    #[test]
    fn cold_oil_makes_pressure_and_little_flow() {
        let (warm, cold) = (at(1.6e-3, 1.0, 0.0), at(1.6e-3, 8.0, 0.0));
        assert!(cold.p >= warm.p && cold.discharge > 1.5 * warm.discharge, "{warm:?} {cold:?}");
        assert!(cold.bearings < 0.5 * warm.bearings);
    }

    /// Hot oil is thin: with the same pump the pressure falls.
    #[test]
    fn hot_oil_loses_pressure() {
        let slow = |mu: f64| at(7e-4, mu, 0.0).p;
        assert!(slow(0.3) < slow(1.0) && slow(1.0) < slow(2.0), "{} {} {}", slow(0.3), slow(1.0), slow(2.0));
    }

    #[test]
    fn a_choking_filter_is_told_by_its_drop_before_the_pressure_falls() {
        let clean = at(1.6e-3, 1.0, 0.0);
        let half = at(1.6e-3, 1.0, 0.6);
        let choked = at(1.6e-3, 1.0, 0.97);
        assert!(half.filter_drop > 3.0 * clean.filter_drop && half.p > 0.9 * clean.p, "{half:?}");
        assert!(choked.p < 0.5 * clean.p, "{choked:?}");
    }

    #[test]
    fn no_pump_no_pressure() {
        assert_eq!(at(0.0, 1.0, 0.0), Header::default());
    }
}
