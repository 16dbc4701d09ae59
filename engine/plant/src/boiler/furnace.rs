//! The furnace: a well-stirred, grey gas space that gives its heat to the riser walls, then the
//! superheater, then the convection bank of the risers, then the stack.
//!
//! ```text
//! Hin = heat set free + carried by air and fuel
//! Hin - H(Te) - K (Te - Ta) = e s A (Te4 - Tw4)          riser walls, by radiation (gives Te)
//! T2 = Tsh + (Te - Tsh) exp(-UAsh/C)                     superheater
//! T3 = Tw + (T2 - Tw) exp(-UAb/C),  stack = T3           convection bank
//! UA = UA_nominal (gas flow/nominal)^0.6
//! Qx = e s As (Tsh4 - Tw4)                                superheater to the walls that it sees
//! ```
//! The analyser at the stack reads the gas space as it is mixed: it answers within its residence, and
//! holds what stands there when nothing flows. Of unburnt oil the eye sees mist, and vapour that leaves
//! hot, since that turns to mist in the open (from 60 to 120 degC, own choice).
//! Te furnace exit, Tw riser wall, Tsh superheater metal, C heat capacity flow of the gas. Heats are
//! differences of enthalpy, so that energy closes whatever the iteration left over.
//! Source: the well-stirred furnace with radiation at its exit temperature is Hottel's simplest
//! furnace model (Hottel and Sarofim, Radiative Transfer, 1967); convection over tube banks grows with
//! the 0.6 power of flow (Incropera and DeWitt, cross-flow banks). Assumptions: gas without thermal
//! mass (its residence is a second or two), no slag on the tubes. An unlit furnace blown through with
//! cold air cools its tubes by the same equations. Valid from no flow to full flow.

use super::combustion::{BurningParams, Burnt, burn};
use super::fuel::Fuel;
use super::gas::{AIR_OXYGEN, Gas, REFERENCE};
use super::vapour::{Puff, Vapour, VapourParams};
use crate::damage::Damage;
use base::maths;

/// Stefan-Boltzmann constant, W/(m2 K4) (CODATA 2018).
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Below this gas flow (mol/s) there is no flow to speak of and the gas stands at the walls' temperature.
const NO_FLOW: f64 = 1e-6;
/// Gas constant of flue gas, J/(kg K).
const FLUE_GAS_CONSTANT: f64 = 288.0;

/// Figures of a furnace; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FurnaceParams {
    /// What is burnt.
    pub fuel: Fuel,
    /// How it burns.
    pub burning: BurningParams,
    /// Riser walls that see the flame, m2.
    pub wall_area: f64,
    /// Effective emissivity of flame and walls.
    pub emissivity: f64,
    /// Superheater, gas side, at nominal flow, W/K.
    pub superheater_ua: f64,
    /// Superheater tubes that see the riser walls, m2.
    pub superheater_view: f64,
    /// Convection bank at nominal flow, W/K.
    pub bank_ua: f64,
    /// Nominal gas flow, mol/s.
    pub gas_flow_nominal: f64,
    /// Loss through the casing, W/K of furnace exit temperature above ambient.
    pub casing_loss: f64,
    /// The gas space, and vapour in it.
    pub vapour: VapourParams,
    /// A puff above this blows a small flame out, Pa.
    pub blow_out: f64,
    /// A puff of this much does a quarter of the damage that spoils the casing; it grows with the square. Pa.
    pub casing_strength: f64,
    /// Wall temperature at which the furnace no longer hinders burning, K.
    pub warm_wall: f64,
}

/// What acts on the furnace in a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FurnaceInput {
    /// Fuel that burns in pilot and main flame, kg/s.
    pub fuel_lit: f64,
    /// Fuel admitted without flame, kg/s.
    pub fuel_unlit: f64,
    /// Part of the fuel that is heavy oil, 0 to 1.
    pub residual: f64,
    /// Temperature of the fuel, K.
    pub fuel_temperature: f64,
    /// A pilot or main flame burns.
    pub flame: bool,
    /// Goodness of atomising, 0 to 1.
    pub atomising: f64,
    /// Air flow, kg/s.
    pub air: f64,
    /// Air temperature, K.
    pub air_temperature: f64,
    /// Riser wall, K.
    pub riser_wall: f64,
    /// Superheater metal, K.
    pub superheater_wall: f64,
    /// Ambient, K.
    pub ambient: f64,
}

/// Where the heat went, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FurnaceHeat {
    /// Heating value of all fuel that took part, and what air and fuel carried in above 298.15 K.
    pub brought: f64,
    /// To the riser walls by radiation.
    pub radiation: f64,
    /// To the superheater metal, less what it radiates to the walls.
    pub superheater: f64,
    /// To the convection bank of the risers, and from the superheater to the walls.
    pub bank: f64,
    /// Through the casing.
    pub casing: f64,
    /// Carried up the stack as warmth above 298.15 K.
    pub stack: f64,
    /// Heating value that left unburnt.
    pub unburnt: f64,
}

base::kept!(FurnaceHeat { brought, radiation, superheater, bank, casing, stack, unburnt });

impl FurnaceHeat {
    /// To the risers, by radiation and convection.
    #[must_use]
    pub fn risers(&self) -> f64 {
        self.radiation + self.bank
    }
}

/// The furnace and its gas passes.
#[derive(Clone, Debug, PartialEq)]
pub struct Furnace {
    params: FurnaceParams,
    /// Unburnt vapour in the gas space.
    pub vapour: Vapour,
    /// Damage to casing and refractory by puffs.
    pub casing_damage: Damage,
    exit_temperature: f64,
    superheater_exit: f64,
    stack_temperature: f64,
    heat: FurnaceHeat,
    burnt: Burnt,
    smoke: f64,
    white_smoke: f64,
    puff: Option<Puff>,
    /// Oxygen in the gas space, dry, part of volume.
    oxygen: f64,
}

base::kept!(Furnace { vapour, casing_damage, exit_temperature, superheater_exit, stack_temperature, heat, burnt,
    smoke, white_smoke, puff, oxygen }
    fixed { params });

impl Furnace {
    /// A furnace that stands at this temperature, K.
    #[must_use]
    pub fn new(params: FurnaceParams, temperature: f64) -> Furnace {
        Furnace {
            vapour: Vapour::new(params.vapour),
            casing_damage: Damage::none("furnace casing strained by a puff"),
            exit_temperature: temperature,
            superheater_exit: temperature,
            stack_temperature: temperature,
            heat: FurnaceHeat::default(),
            burnt: burn(&params.burning, &params.fuel, 0.0, 0.0, 1.0, 0.0),
            smoke: 0.0,
            white_smoke: 0.0,
            puff: None,
            oxygen: AIR_OXYGEN,
            params,
        }
    }

    /// One tick of `dt` seconds. A puff of this tick is in [`Furnace::puff`].
    pub fn step(&mut self, dt: f64, i: &FurnaceInput) -> FurnaceHeat {
        let p = self.params;
        let fuel = &p.fuel.with(&Fuel::RESIDUAL, i.residual);
        let flow = i.air / 101_325.0 * FLUE_GAS_CONSTANT * self.exit_temperature;
        let vapour =
            self.vapour.step(dt, i.fuel_unlit, flow, i.flame, fuel.lower_heating_value, fuel.stoichiometric_air());
        self.puff = vapour.puff;
        let fed = i.fuel_lit + vapour.burnt / dt;
        let coldness = ((p.warm_wall - i.riser_wall) / (p.warm_wall - REFERENCE)).clamp(0.0, 1.0);
        let b = burn(&p.burning, fuel, fed, i.air, i.atomising, coldness);
        let carried =
            Gas::air(i.air).enthalpy(i.air_temperature) + fed * fuel.specific_heat * (i.fuel_temperature - REFERENCE);
        self.burnt = b;
        self.pass_heat(b.heat + carried, i);
        if b.gas.total() > NO_FLOW {
            self.oxygen += (b.oxygen() - self.oxygen) * -maths::exp_m1(-flow * dt / p.vapour.volume);
        }
        // Vapour that left, and what a puff threw out of the vents, are lost as heating value.
        let puffed = vapour.puff.map_or(0.0, |x| x.burnt);
        let lost = (vapour.left + puffed) * fuel.lower_heating_value / dt;
        self.heat.brought = b.heat + b.unburnt + carried + lost;
        self.heat.unburnt = b.unburnt + lost;
        let hot = ((self.stack_temperature - 333.15) / 60.0).clamp(0.0, 1.0);
        let seen = vapour.left_as_mist + hot * (vapour.left - vapour.left_as_mist);
        self.tell_smoke(dt, seen / dt, flow);
        if let Some(x) = self.puff {
            let times = x.overpressure / self.params.casing_strength;
            self.casing_damage.blow(0.25 * times * times);
        }
        self.heat
    }

    fn pass_heat(&mut self, brought: f64, i: &FurnaceInput) {
        let p = &self.params;
        let gas = &self.burnt.gas;
        let grey = p.emissivity * STEFAN_BOLTZMANN * p.wall_area;
        let fourth = |t: f64| t * t * t * t;
        let wall4 = fourth(i.riser_wall);
        let mut t = self.exit_temperature;
        // Newton on a convex balance: from above it never overshoots, from below once.
        for _ in 0..12 {
            let left = brought - gas.enthalpy(t) - p.casing_loss * (t - i.ambient) - grey * (fourth(t) - wall4);
            let slope = gas.heat_capacity(t) + p.casing_loss + 4.0 * grey * t * t * t;
            let step = left / slope;
            t = (t + step).clamp(200.0, 3500.0);
            if step.abs() < 1e-4 {
                break;
            }
        }
        let casing = p.casing_loss * (t - i.ambient);
        let behind_furnace = gas.enthalpy(t);
        let radiation = brought - behind_furnace - casing;
        let total = gas.total();
        let (mut t2, mut t3) = (i.superheater_wall, i.riser_wall);
        if total > NO_FLOW {
            let more = maths::power(total / p.gas_flow_nominal, 0.6);
            t2 += (t - t2) * maths::exp(-p.superheater_ua * more / gas.heat_capacity(t));
            t3 += (t2 - t3) * maths::exp(-p.bank_ua * more / gas.heat_capacity(t2));
        }
        let behind_superheater = gas.enthalpy(t2);
        let across =
            p.emissivity * STEFAN_BOLTZMANN * p.superheater_view * (fourth(i.superheater_wall) - fourth(i.riser_wall));
        let stack = gas.enthalpy(t3);
        self.exit_temperature = t;
        self.superheater_exit = t2;
        self.stack_temperature = t3;
        self.heat = FurnaceHeat {
            brought,
            radiation,
            superheater: behind_furnace - behind_superheater - across,
            bank: behind_superheater - stack + across,
            casing,
            stack,
            unburnt: 0.0,
        };
    }

    fn tell_smoke(&mut self, dt: f64, mist_left: f64, flow: f64) {
        // The stack holds its smoke for a few seconds after a puff. Own choice: 4 s.
        let now = if self.puff.is_some() { 1.0 } else { self.burnt.smoke };
        let held = self.smoke - self.smoke * dt / 4.0;
        self.smoke = now.max(held);
        if self.smoke < 1e-6 {
            self.smoke = 0.0;
        }
        // 5 g/m3 of oil mist makes a dense white plume: own choice.
        let thick = if flow > 1e-9 { mist_left / flow / 0.005 } else { 0.0 };
        self.white_smoke = thick.min(1.0);
    }

    /// What lit at once in this tick.
    #[must_use]
    pub fn puff(&self) -> Option<Puff> {
        self.puff
    }

    /// Whether the puff of this tick blows the flame out.
    #[must_use]
    pub fn blown_out(&self) -> bool {
        self.puff.is_some_and(|x| x.overpressure > self.params.blow_out)
    }

    /// Where the heat of this tick went.
    #[must_use]
    pub fn heat(&self) -> &FurnaceHeat {
        &self.heat
    }

    /// The burning of this tick: gas, air ratio, oxygen, carbon dioxide.
    #[must_use]
    pub fn burnt(&self) -> &Burnt {
        &self.burnt
    }

    /// Oxygen that an analyser at the stack reads, dry, part of volume.
    #[must_use]
    pub fn oxygen(&self) -> f64 {
        self.oxygen
    }

    /// Gas at the furnace exit, K.
    #[must_use]
    pub fn exit_temperature(&self) -> f64 {
        self.exit_temperature
    }

    /// Gas behind the superheater, K.
    #[must_use]
    pub fn superheater_exit(&self) -> f64 {
        self.superheater_exit
    }

    /// Gas in the stack, K.
    #[must_use]
    pub fn stack_temperature(&self) -> f64 {
        self.stack_temperature
    }

    /// Opacity of black smoke at the stack, 0 clear to 1 dense.
    #[must_use]
    pub fn smoke(&self) -> f64 {
        self.smoke
    }

    /// Opacity of white smoke (oil vapour), 0 clear to 1 dense.
    #[must_use]
    pub fn white_smoke(&self) -> f64 {
        self.white_smoke
    }

    /// The numbers of its state by name, for whoever looks for one that is not finite.
    #[must_use]
    pub fn numbers(&self) -> [(&'static str, f64); 4] {
        [
            ("gas temperature in the furnace", self.exit_temperature),
            ("stack temperature", self.stack_temperature),
            ("heat to the risers", self.heat.risers()),
            ("fuel vapour in the furnace", self.vapour.mass()),
        ]
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &FurnaceParams {
        &self.params
    }
}
