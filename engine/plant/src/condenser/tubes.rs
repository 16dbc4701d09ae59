//! Condenser tubes: steam condenses on one side at one temperature, cooling water warms on the other.
//!
//! Equations: effectiveness of a condenser `q = C (1 - exp(-UA/C)) (T_s - T_in)` with `C = m c` of the
//! water (any handbook, e.g. Incropera and DeWitt, chapter on heat exchangers, C_r = 0);
//! `1/UA = 1/hA_s + 1/hA_w`; water side `hA_w = hA_wn (m/m_n)^0.8 / (1 + fouling)` (Dittus and Boelter),
//! fouling being the added resistance as a part of the clean water side's.
//! Steam side `hA_s = dry + (wet - dry) g`, with `g = clear (1 - flooded) / (1 + B y)`: `y` is the air's part of
//! the shell's pressure, `flooded` the part of the bundle that condensate covers. That a little air hinders
//! condensation much is Othmer's finding (Ind. Eng. Chem. 21, 1929, from memory: half a per cent by volume
//! halves the coefficient of still steam, B near 200); in a bundle that is swept towards its air cooler the mean
//! air does about a tenth of that, B 20 (own choice of this form).
//! `clear` is 1 where the wall is colder than saturation at the steam's partial pressure, 0 where it is not; steam
//! that is superheated condenses by its saturation temperature and not by its own, so that its share is
//! `(T_sat - T_wall)/(T - T_wall)`.
//!
//! The tubes' metal is one node between the two: `hA_s` leads to it, and the conductance from it to the water's
//! inlet temperature is the one that makes both in series exactly `C (1 - exp(-UA/C))`. With the water
//! standing it is zero: the tubes then only warm.
//! Assumptions: one shell temperature; metal's own resistance within the two sides'; steady within a tick on the water side.
//! Valid range: water flows from zero up, either way. Units: W/K, kg/s, K, J/K.

use crate::vessel::Equilibrium;
use crate::water;
use base::maths::{exp, power};

/// How much the mean air in the shell hinders condensation: own choice, see above.
pub const HINDRANCE: f64 = 20.0;

/// Tubes' data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TubesParams {
    /// Conductance of the whole steam side with no air, W/K.
    pub wet: f64,
    /// Conductance of the steam side to gas that does not condense, W/K.
    pub dry: f64,
    /// Conductance of the whole clean water side at its nominal flow, W/K.
    pub water: f64,
    /// Nominal flow of cooling water, kg/s.
    pub flow_nominal: f64,
    /// Metal and the water standing in it, J/K.
    pub capacity: f64,
}

/// Cooling water as it comes in.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CoolingWater {
    /// Mass flow, kg/s, zero or more.
    pub mass_flow: f64,
    /// Specific heat capacity, J/(kg K).
    pub heat_capacity: f64,
    /// Temperature coming in, K.
    pub temperature: f64,
}

/// The tubes; their temperature is the wall's in the steam net.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tubes {
    params: TubesParams,
    /// Failing: added resistance as a part of the clean water side's.
    pub fouling: f64,
}

base::kept!(Tubes { fouling } fixed { params });

impl Tubes {
    /// Clean tubes.
    #[must_use]
    pub fn new(params: TubesParams) -> Tubes {
        Tubes { params, fouling: 0.0 }
    }

    /// Their data.
    #[must_use]
    pub fn params(&self) -> TubesParams {
        self.params
    }

    /// Conductance of the steam side, W/K, with the wall at a temperature, K, and a part of the bundle flooded.
    #[must_use]
    pub fn steam_side(&self, shell: &Equilibrium, wall: f64, flooded: f64) -> f64 {
        let TubesParams { wet, dry, .. } = self.params;
        let saturation = if shell.p_steam > P_STEAM_MIN { water::t_sat(shell.p_steam) } else { 0.0 };
        if saturation <= wall {
            return dry;
        }
        let clear = if shell.t > saturation { (saturation - wall) / (shell.t - wall) } else { 1.0 };
        let air = ((shell.p - shell.p_steam) / shell.p).clamp(0.0, 1.0);
        dry + (wet - dry) * clear * (1.0 - flooded.clamp(0.0, 1.0)) / (1.0 + HINDRANCE * air)
    }

    /// Conductance of the water side at a flow, kg/s, W/K.
    #[must_use]
    pub fn water_side(&self, mass_flow: f64) -> f64 {
        let TubesParams { water, flow_nominal, .. } = self.params;
        if mass_flow <= 0.0 {
            return 0.0;
        }
        water * power(mass_flow / flow_nominal, 0.8) / (1.0 + self.fouling)
    }

    /// Heat per kelvin between the shell and the water's inlet, W/K, with this conductance of the steam side and a part
    /// of the bundle flooded: tubes under condensate condense nothing, so that their water side does nothing either.
    #[must_use]
    pub fn whole(&self, steam_side: f64, water: CoolingWater, flooded: f64) -> f64 {
        let water_side = self.water_side(water.mass_flow) * (1.0 - flooded.clamp(0.0, 1.0));
        let capacity_flow = water.mass_flow * water.heat_capacity;
        if water_side <= 0.0 || capacity_flow <= 0.0 || steam_side <= 0.0 {
            return 0.0;
        }
        let ua = 1.0 / (1.0 / steam_side + 1.0 / water_side);
        capacity_flow * (1.0 - exp(-ua / capacity_flow))
    }

    /// Conductance from the metal to the water's inlet temperature, W/K: in series with `steam_side` it makes [`Tubes::whole`].
    #[must_use]
    pub fn beyond_metal(&self, steam_side: f64, water: CoolingWater, flooded: f64) -> f64 {
        let whole = self.whole(steam_side, water, flooded);
        if whole <= 0.0 {
            return 0.0;
        }
        // `whole` is below `steam_side`, since the water side adds to it; near-equal they differ by rounding only.
        let rest = 1.0 / whole - 1.0 / steam_side;
        1.0 / rest
    }
}

/// Steam pressure below which nothing condenses: ice would form, which is not modelled, Pa.
const P_STEAM_MIN: f64 = 650.0;
