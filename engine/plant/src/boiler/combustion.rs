//! How well a flame burns: air, atomising and a cold furnace.
//!
//! The part of the fuel that stays unburnt (as smoke, carbon monoxide and droplets that are not
//! told apart) is
//!
//! ```text
//! u = 1 - (1 - ua)(1 - ud)
//! ua = max(0, 1 - lambda/lambda_need), lambda_need = air_need + atomising_air (1 - a) + cold_air c
//! ud = droplet_loss (1 - a)^2
//! ```
//! with the air ratio lambda, the goodness of atomising a (1 good, 0 a jet) and the coldness of the
//! furnace c (1 cold, 0 warm). lambda_need is at least 1, so oxygen never runs below zero. That a
//! mixing-limited flame needs more than its theoretical air, and more when badly atomised or cold, is
//! common practice; the form and its figures are our own choice.
//! Opacity of the smoke: `1 - exp(-u/u_grey)`, own choice. Unburnt fuel carries its heating value away.

use super::fuel::Fuel;
use super::gas::{self, Gas};
use base::maths;

/// Figures of the burning; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BurningParams {
    /// Air ratio needed by a good flame in a warm furnace, at least 1.
    pub air_need: f64,
    /// Added to it when atomising is bad (a = 0).
    pub atomising_air: f64,
    /// Added to it in a cold furnace (c = 1).
    pub cold_air: f64,
    /// Part of the fuel that falls out unburnt when atomising is bad (a = 0).
    pub droplet_loss: f64,
    /// Unburnt part that makes the smoke 63 % opaque.
    pub grey: f64,
}

impl BurningParams {
    /// Our plant's burner: own choice.
    pub const OWN: BurningParams =
        BurningParams { air_need: 1.04, atomising_air: 0.5, cold_air: 0.03, droplet_loss: 0.12, grey: 0.02 };
    /// All fuel burns as soon as there is oxygen for it: for checks against complete combustion.
    pub const COMPLETE: BurningParams =
        BurningParams { air_need: 1.0, atomising_air: 0.0, cold_air: 0.0, droplet_loss: 0.0, grey: 0.02 };
}

/// What came of the burning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Burnt {
    /// The gas behind the flame.
    pub gas: Gas,
    /// Fuel that burnt, kg/s.
    pub fuel: f64,
    /// Heat set free, W.
    pub heat: f64,
    /// Heating value that left unburnt, W.
    pub unburnt: f64,
    /// Air over stoichiometric air; infinite is told as zero fuel: then it is 0.
    pub air_ratio: f64,
    /// Opacity of the smoke, 0 clear to 1 black.
    pub smoke: f64,
}

base::kept!(Burnt { gas, fuel, heat, unburnt, air_ratio, smoke });

impl Burnt {
    /// Oxygen in the dry gas by volume, 0 to 0.2095.
    #[must_use]
    pub fn oxygen(&self) -> f64 {
        self.gas.dry_part(gas::O2)
    }

    /// Carbon dioxide in the dry gas by volume.
    #[must_use]
    pub fn carbon_dioxide(&self) -> f64 {
        self.gas.dry_part(gas::CO2)
    }
}

/// Burns `fuel_flow` kg/s in `air_flow` kg/s. `atomising` and `coldness` are 0 to 1.
#[must_use]
pub fn burn(p: &BurningParams, fuel: &Fuel, fuel_flow: f64, air_flow: f64, atomising: f64, coldness: f64) -> Burnt {
    if fuel_flow <= 0.0 {
        return Burnt { gas: Gas::air(air_flow), fuel: 0.0, heat: 0.0, unburnt: 0.0, air_ratio: 0.0, smoke: 0.0 };
    }
    let bad = 1.0 - atomising;
    let air_ratio = air_flow / (fuel_flow * fuel.stoichiometric_air());
    let need = p.air_need + p.atomising_air * bad + p.cold_air * coldness;
    let short_of_air = (1.0 - air_ratio / need).max(0.0);
    let droplets = p.droplet_loss * bad * bad;
    let burnt_part = (1.0 - short_of_air) * (1.0 - droplets);
    let burnt = fuel_flow * burnt_part;
    Burnt {
        gas: fuel.products(burnt, air_flow),
        fuel: burnt,
        heat: burnt * fuel.lower_heating_value,
        unburnt: (fuel_flow - burnt) * fuel.lower_heating_value,
        air_ratio,
        smoke: -maths::exp_m1(-(1.0 - burnt_part) / p.grey),
    }
}

/// Temperature of the gas if no heat were lost, K, with the air at `air_temperature` and the fuel
/// at 298.15 K.
#[must_use]
pub fn flame_temperature(burnt: &Burnt, air_flow: f64, air_temperature: f64) -> f64 {
    let carried = Gas::air(air_flow).enthalpy(air_temperature);
    burnt.gas.temperature(burnt.heat + carried, 2000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const F: Fuel = Fuel::DISTILLATE;

    #[test]
    fn short_of_air_it_smokes_and_keeps_no_oxygen_debt() {
        let p = BurningParams::OWN;
        let at = |ratio: f64, atomising, cold| burn(&p, &F, 0.1, ratio * 0.1 * F.stoichiometric_air(), atomising, cold);
        let good = at(1.2, 1.0, 0.0);
        assert!(good.smoke == 0.0 && good.unburnt == 0.0);
        for (r, a, c) in [(0.8, 1.0, 0.0), (1.0, 1.0, 0.0), (1.2, 0.2, 0.0), (1.05, 1.0, 1.0)] {
            let b = at(r, a, c);
            assert!(b.smoke > 0.1 && b.unburnt > 0.0, "{r} {a} {c}");
            assert!(b.gas.moles[gas::O2] >= 0.0);
            let all = 0.1 * F.lower_heating_value;
            assert!((b.heat + b.unburnt - all).abs() < 1e-9 * all);
        }
        assert!(at(0.8, 1.0, 0.0).smoke > at(1.0, 1.0, 0.0).smoke);
    }

    #[test]
    fn a_mixed_fuel_brings_the_heat_of_both_and_a_bad_flame_of_heavy_oil_smokes() {
        let (d, r) = (Fuel::DISTILLATE, Fuel::RESIDUAL);
        assert_eq!(d.with(&r, 0.0), d);
        let mixed = d.with(&r, 0.3);
        let heat = 0.7 * d.lower_heating_value + 0.3 * r.lower_heating_value;
        assert!((mixed.lower_heating_value / heat - 1.0).abs() < 1e-12);
        let air = 0.7 * d.stoichiometric_air() + 0.3 * r.stoichiometric_air();
        assert!((mixed.stoichiometric_air() / air - 1.0).abs() < 1e-12);
        // Heavy oil wants about 13.9 kg of air (handbook class of value, from memory).
        assert!((13.5..14.3).contains(&r.stoichiometric_air()), "{}", r.stoichiometric_air());
        let p = BurningParams::OWN;
        let at = |goodness: f64| burn(&p, &r, 0.1, 0.12 * r.stoichiometric_air(), goodness, 0.0);
        assert!(at(1.0).smoke == 0.0 && at(0.5).smoke > 0.5 && at(0.5).unburnt > 0.0);
    }
}
