//! What a vessel or the outside gives to a branch.

use super::branch::Draws;
use super::node::Outside;
use crate::vessel::Equilibrium;

/// A stream: what a kilogram of it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stream {
    /// Pressure where it is drawn, Pa.
    pub p: f64,
    /// Density, kg/m3.
    pub density: f64,
    /// Enthalpy, J/kg.
    pub h: f64,
    /// Mass fraction of air.
    pub air: f64,
    /// Mass fraction of liquid.
    pub liquid: f64,
    /// Pressure of its steam, Pa: what flashing needs.
    pub p_steam: f64,
}

impl Stream {
    /// Water, air and enthalpy of a kilogram.
    pub(super) fn kilogram(&self) -> [f64; 3] {
        [1.0 - self.air, self.air, self.h]
    }
}

/// A stream with its slopes by its donor's contents, and the share of a trap that is open to it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Drawn {
    pub stream: Stream,
    pub passes: f64,
    pub p: [f64; 3],
    pub density: [f64; 3],
    pub h: [f64; 3],
    pub air: [f64; 3],
    pub liquid: [f64; 3],
    pub p_steam: [f64; 3],
    pub passes_by: [f64; 3],
}

/// A smooth share of 0 to 1 and its slope.
pub(super) fn share(x: f64) -> (f64, f64) {
    if x <= 0.0 {
        (0.0, 0.0)
    } else if x >= 1.0 {
        (1.0, 0.0)
    } else {
        (x * x * (3.0 - 2.0 * x), 6.0 * x * (1.0 - x))
    }
}

/// Gas space, as a part of the volume, below which a gas outlet begins to take liquid (own choice).
const FLOODED: f64 = 0.01;

/// Mass fraction of air at which a trap's air vent is fully open (own choice: a thermostatic element that begins to
/// open a few kelvins below saturation).
const VENTS: f64 = 0.1;

/// What a branch draws from a vessel, into a place of its own. `pocket` is the volume of liquid, m3, that covers a drain.
#[inline]
pub(super) fn from_vessel(d: &mut Drawn, e: &Equilibrium, volume: f64, draws: Draws, carry: f64, pocket: f64) {
    let s = &e.slopes;
    // Mass share of liquid and its slope by the gas volume.
    let (covered, by_liquid_volume) = share(e.liquid_volume / pocket);
    let (mut y, y_vg) = match draws {
        Draws::Gas => {
            let (clear, slope) = share(e.gas_volume / (FLOODED * volume));
            let carry = carry * covered;
            (1.0 - clear * (1.0 - carry), -slope / (FLOODED * volume) * (1.0 - carry))
        }
        Draws::Liquid | Draws::LiquidOnly { .. } => (covered, -by_liquid_volume / pocket),
    };
    let mut y_by: [f64; 3] = s.gas_volume.map(|d| y_vg * d);
    let (mut passes, mut passes_by) = (1.0, [0.0; 3]);
    if let Draws::LiquidOnly { vents_air } = draws {
        // Open to liquid, and to air if it has a vent; shut to steam. What passes is liquid and the vented gas.
        let (a, slope) = if vents_air { share(e.air_fraction / VENTS) } else { (0.0, 0.0) };
        let a_by = s.air_fraction.map(|d| d * slope / VENTS);
        passes = y + (1.0 - y) * a;
        passes_by = std::array::from_fn(|k| (1.0 - a) * y_by[k] + (1.0 - y) * a_by[k]);
        if passes > 0.0 {
            y /= passes;
            y_by = std::array::from_fn(|k| (y_by[k] - y * passes_by[k]) / passes);
        }
    }
    *d = Drawn {
        stream: Stream {
            p: e.p,
            density: e.gas_density,
            h: e.h_gas,
            air: e.air_fraction,
            liquid: y,
            p_steam: e.p_steam,
        },
        passes,
        p: s.p,
        density: s.gas_density,
        h: s.h_gas,
        air: s.air_fraction,
        liquid: y_by,
        p_steam: s.p_steam,
        passes_by,
    };
    if y > 0.0 {
        let v_gas = 1.0 / e.gas_density;
        let v = (1.0 - y) * v_gas + y * e.v_l;
        let density = 1.0 / v;
        d.stream.density = density;
        d.stream.h = (1.0 - y) * e.h_gas + y * e.h_l;
        d.stream.air = (1.0 - y) * e.air_fraction;
        for (k, dy) in y_by.into_iter().enumerate() {
            let dv = -(1.0 - y) * v_gas * v_gas * s.gas_density[k] + (e.v_l - v_gas) * dy;
            d.density[k] = -density * density * dv;
            d.h[k] = (1.0 - y) * s.h_gas[k] + y * s.h_l[k] + (e.h_l - e.h_gas) * dy;
            d.air[k] = (1.0 - y) * s.air_fraction[k] - e.air_fraction * dy;
        }
    }
}

/// What the outside gives: always the same.
pub(super) fn from_outside(d: &mut Drawn, o: &Outside, draws: Draws) {
    let s = o.stream();
    let passes = match draws {
        Draws::LiquidOnly { vents_air } => {
            s.liquid + if vents_air { (1.0 - s.liquid) * share(s.air / VENTS).0 } else { 0.0 }
        }
        _ => 1.0,
    };
    *d = Drawn { stream: s, passes, ..Drawn::default() };
}
