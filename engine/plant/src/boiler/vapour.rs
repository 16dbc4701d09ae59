//! Unburnt fuel vapour in the furnace, its washing out, and its lighting at once: a puff.
//!
//! ```text
//! dm/dt = w - m F/V        perfect mixing: clean air leaves exp(-volumes) of what was there
//! ```
//! with the mass m of vapour in the gas space V, the fuel w admitted without a flame, and the volume
//! flow F through the space; solved exactly over a tick with w and F held.
//!
//! A source of ignition in a mixture above the lower flammable limit burns what oxygen allows at
//! once. Overpressure (own choice of method): the heat E set free over the time tb pushes
//! `(g - 1) E/(g p0 tb)` of volume out through the vent area, `dp = r/2 (Fv/(Cd A))2`, and at most what
//! the closed space would give, `(g - 1) E/V`. Below the limit, vapour that is drawn through a flame
//! burns with it. Too rich a mixture is taken to light at its edge, since air leaks in.
//!
//! Fuel sprayed without a flame is a mist at first, which can be seen; it settles and evaporates to
//! vapour, which cannot, within about a minute (own choice).
//!
//! Lower flammable limit of heavy hydrocarbons: about 45 to 48 g/m3 of air (Zabetakis, US Bureau of
//! Mines Bulletin 627, 1965, from memory).

use base::maths;
use base::units::ATMOSPHERE;

/// Ratio of specific heats of hot gas.
const GAMMA: f64 = 1.3;
/// Density of hot gas in the vent, kg/m3, and the vent's discharge coefficient: own choice.
const VENT_DENSITY: f64 = 0.3;
const VENT_COEFFICIENT: f64 = 0.6;
/// Density of the air that the vapour burns in, kg/m3.
const AIR_DENSITY: f64 = 1.2;
/// Time in which mist settles or evaporates, s.
const MIST_TIME: f64 = 60.0;

/// Figures of the gas space; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VapourParams {
    /// Furnace and gas passes to be washed, m3.
    pub volume: f64,
    /// Lower flammable limit, kg of vapour in a m3.
    pub lower_limit: f64,
    /// Time in which a lit mixture burns, s.
    pub burn_time: f64,
    /// Free area to the stack, register and relief doors, m2.
    pub vent_area: f64,
    /// Vapour that stands in the furnace at the start, kg: what an atomiser dripped since the last stop.
    pub initial: f64,
}

/// A mixture that lit at once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Puff {
    /// Vapour that burnt, kg.
    pub burnt: f64,
    /// Greatest pressure above atmosphere, Pa.
    pub overpressure: f64,
}

base::kept!(Puff { burnt, overpressure });

/// What happened to the vapour in one tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct VapourTick {
    /// Drawn through a flame and burnt, kg.
    pub burnt: f64,
    /// Left unburnt by the stack, kg.
    pub left: f64,
    /// The part of it that left as mist, kg.
    pub left_as_mist: f64,
    /// Lit at once.
    pub puff: Option<Puff>,
}

/// The vapour in the furnace.
#[derive(Clone, Debug, PartialEq)]
pub struct Vapour {
    params: VapourParams,
    mass: f64,
    /// The part of the mass that is still mist.
    mist: f64,
}

base::kept!(Vapour { mass, mist } fixed { params });

impl Vapour {
    /// The furnace at its start.
    #[must_use]
    pub fn new(params: VapourParams) -> Vapour {
        Vapour { mass: params.initial, mist: 0.0, params }
    }

    /// Vapour in the furnace, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.mass
    }

    /// Vapour in a m3 of the furnace, kg/m3.
    #[must_use]
    pub fn concentration(&self) -> f64 {
        self.mass / self.params.volume
    }

    /// Whether a flame would light it at once.
    #[must_use]
    pub fn flammable(&self) -> bool {
        self.concentration() > self.params.lower_limit
    }

    /// One tick of `dt` seconds: `admitted` kg/s of fuel without flame, `flow` m3/s of gas through the
    /// furnace, `lit` when a pilot or main flame burns. Heating value in J/kg, air need in kg/kg.
    pub fn step(
        &mut self,
        dt: f64,
        admitted: f64,
        flow: f64,
        lit: bool,
        heating_value: f64,
        air_need: f64,
    ) -> VapourTick {
        let mut tick = VapourTick::default();
        if self.mass <= 0.0 && admitted <= 0.0 {
            return tick;
        }
        if lit && self.flammable() {
            let burnt = self.mass.min(AIR_DENSITY * self.params.volume / air_need);
            self.mist *= 1.0 - burnt / self.mass;
            self.mass -= burnt;
            tick.puff = Some(Puff { burnt, overpressure: self.overpressure(burnt * heating_value) });
        }
        let k = flow / self.params.volume * dt;
        let before = self.mass + admitted * dt;
        let stays = maths::exp(-k);
        // (1 - exp(-k))/k, which is 1 at no flow.
        let mean = if k > 1e-9 { (1.0 - stays) / k } else { 1.0 };
        self.mass = self.mass * stays + admitted * dt * mean;
        let out = before - self.mass;
        let mist = self.mist * stays + admitted * dt * mean;
        let mist_out = self.mist + admitted * dt - mist;
        self.mist = mist * (1.0 - dt / MIST_TIME);
        if lit {
            tick.burnt = out;
        } else {
            tick.left = out;
            tick.left_as_mist = mist_out;
        }
        // Traces far below anything that can be smelt are gone.
        if self.mass < 1e-9 {
            self.mass = 0.0;
            self.mist = 0.0;
        }
        tick
    }

    fn overpressure(&self, heat: f64) -> f64 {
        let p = &self.params;
        let push = (GAMMA - 1.0) * heat / (GAMMA * ATMOSPHERE * p.burn_time);
        let speed = push / (VENT_COEFFICIENT * p.vent_area);
        let closed = (GAMMA - 1.0) * heat / p.volume;
        (0.5 * VENT_DENSITY * speed * speed).min(closed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn space(initial: f64) -> Vapour {
        Vapour::new(VapourParams { volume: 12.0, lower_limit: 0.045, burn_time: 0.8, vent_area: 0.8, initial })
    }

    #[test]
    fn five_volumes_of_air_leave_exp_minus_five() {
        let mut v = space(1.0);
        let mut left = 0.0;
        for _ in 0..400 {
            left += v.step(0.1, 0.0, 1.5, false, 42.7e6, 14.6).left;
        }
        assert!((v.mass() - maths::exp(-5.0)).abs() < 1e-12);
        assert!((left + v.mass() - 1.0).abs() < 1e-12, "mass closes");
    }

    #[test]
    fn what_stood_there_leaves_unseen_and_what_is_sprayed_leaves_as_mist() {
        let mut old = space(1.0);
        assert_eq!(old.step(0.1, 0.0, 1.5, false, 42.7e6, 14.6).left_as_mist, 0.0);
        let mut fresh = space(0.0);
        let (mut left, mut seen) = (0.0, 0.0);
        for _ in 0..600 {
            let t = fresh.step(0.1, 0.02, 1.5, false, 42.7e6, 14.6);
            (left, seen) = (left + t.left, seen + t.left_as_mist);
        }
        // Eight seconds in the furnace against sixty to settle.
        assert!(seen < left && (seen / left - 60.0 / 68.0).abs() < 0.02, "{seen} of {left} kg");
    }

    #[test]
    fn a_rich_furnace_puffs_and_a_lean_one_does_not() {
        let mut rich = space(0.8);
        let puff = rich.step(0.1, 0.0, 1.5, true, 42.7e6, 14.6).puff;
        let puff = puff.expect("0.067 kg/m3 is above the limit");
        assert!(puff.overpressure > 1e3 && puff.overpressure < 1e5);
        let mut lean = space(0.5);
        assert!(lean.step(0.1, 0.0, 1.5, true, 42.7e6, 14.6).puff.is_none());
        assert!(lean.mass() < 0.5);
    }

    #[test]
    fn a_passing_fuel_valve_fills_a_furnace_without_draught() {
        let mut v = space(0.0);
        for _ in 0..600 {
            v.step(0.1, 0.01, 0.0, false, 42.7e6, 14.6);
        }
        assert!((v.mass() - 0.6).abs() < 1e-9 && v.flammable());
    }
}
