//! What the plant holds, added up by properties of our own: IAPWS-IF97 evaluated directly.
//!
//! Equations, from what can be seen of a store (pressure, temperature, volumes) and nothing else:
//! - closed volumes: liquid of region 1 and vapour of region 2, `m = V/v`, `U = m u`; ideal air
//!   `m = (p - p_steam) V_gas / (R T)`, `u = 718 J/(kg K) (T - 273.16 K)`; metal `C (T - 273.16 K)`;
//! - circuits and tanks: `m (c (T - 273.15 K) + g z)` with the density and heat capacity that `Fluid` states;
//! - what turns: `J w^2/2`; a battery: its charge;
//! - the receiver: `m = p V / (R T)`, `U = 2.5 R m T`, R 287.05 J/(kg K).

use plant::ledger::Store;
use plant::liquid::Fluid;
use seuif97::{OU, OV, pt, tx2p};

const AIR_CONSTANT: f64 = 287.05287;
const AIR_CV: f64 = 718.0;
const T_ZERO: f64 = 273.16;
const GRAVITY: f64 = 9.80665;

/// Everything held.
#[derive(Clone, Copy, Debug, Default)]
pub struct Inventory {
    /// Water of the steam and feed side, kg.
    pub water: f64,
    /// Air in steam spaces, kg.
    pub steam_air: f64,
    /// Air in the receiver, kg.
    pub control_air: f64,
    /// Sea water, cooling water and fuel, kg.
    pub other_liquids: f64,
    /// Energy, J.
    pub energy: f64,
    /// Energy of each store without regard to sign, J: a scale.
    pub energy_scale: f64,
}

impl Inventory {
    pub fn of(stores: &[Store]) -> Inventory {
        let mut sum = Inventory::default();
        for s in stores {
            let before = sum.energy;
            let mut energy = 0.0;
            match s {
                Store::Vessel { volume, metal, p, t, p_steam, liquid_volume, .. } => {
                    let c = t - 273.15;
                    let gas = volume - liquid_volume;
                    if *liquid_volume > 0.0 {
                        // Below 0 degC, outside IF97, water stays liquid as it is there.
                        let warm = c.max(0.0);
                        let at = (p * 1e-6).max(tx2p(warm, 0.0));
                        let m = liquid_volume / pt(at, warm, (OV, 1));
                        sum.water += m;
                        energy += m * (pt(at, warm, (OU, 1)) * 1e3 + 4220.0 * c.min(0.0));
                    }
                    if *p_steam > 0.0 && gas > 0.0 {
                        let at = p_steam * 1e-6;
                        // Below 0 degC, outside IF97: the ideal gas from there on, 1.39 kJ/(kg K).
                        let (v, u) = if c >= 0.0 {
                            (pt(at, c, (OV, 2)), pt(at, c, (OU, 2)) * 1e3)
                        } else {
                            (pt(at, 0.0, (OV, 2)) * t / 273.15, pt(at, 0.0, (OU, 2)) * 1e3 + 1390.0 * c)
                        };
                        let m = gas / v;
                        sum.water += m;
                        energy += m * u;
                    }
                    if gas > 0.0 {
                        let air = (p - p_steam) * gas / (AIR_CONSTANT * t);
                        sum.steam_air += air;
                        energy += air * AIR_CV * (t - T_ZERO);
                    }
                    energy += metal * (t - T_ZERO);
                }
                Store::Liquid { fluid, mass, t, height, .. } => {
                    if *fluid == Fluid::FeedWater {
                        sum.water += mass;
                    } else {
                        sum.other_liquids += mass;
                    }
                    energy += mass * (fluid.heat_capacity() * (t - 273.15) + GRAVITY * height);
                }
                Store::Heat { capacity, t, .. } => energy += capacity * (t - T_ZERO),
                Store::Rotor { inertia, omega } => energy += 0.5 * inertia * omega * omega,
                Store::Battery { charge } => energy += charge,
                Store::Air { volume, p, t } => {
                    let m = p * volume / (287.05 * t);
                    sum.control_air += m;
                    energy += m * 2.5 * 287.05 * t;
                }
            }
            sum.energy = before + energy;
            sum.energy_scale += energy.abs();
        }
        sum
    }
}
