//! The hot side of the riser tubes: a metal that the water cools where it wets it.
//!
//! ```text
//! C dT/dt = (1 - w) Q - (w hAw + (1 - w) hAd)(T - Tc)
//! ```
//! The wetted part w passes its heat Q straight to the water; the dry part heats this metal, which loses
//! little to steam and, when water comes back, much and quickly. Solved implicitly over the tick; the heat
//! to the contents is `w Q` and what the metal gives, so that energy closes. One mean temperature stands
//! for the dry part (own choice); it is near the contents' while all is wet.
//!
//! When the damage reaches 1 a tube bursts: water and steam blow through `burst_area` into the furnace and
//! put the flame out. The plant opens that way and calls [`super::Burner::blow_out`] while it blows. That a
//! burst comes at this point, and its size, are our own choice.

use crate::damage::{Damage, HeatLimit};

/// Figures of the tubes; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TubesParams {
    /// C, J/K; not counted among the metal that follows the contents.
    pub heat_capacity: f64,
    /// hAw, all wetted, W/K.
    pub wet: f64,
    /// hAd, all dry, W/K.
    pub dry: f64,
    /// When heat hurts them.
    pub limit: HeatLimit,
    /// Opening of a burst tube, m2, discharge coefficient included.
    pub burst_area: f64,
}

/// The riser tubes.
#[derive(Clone, Debug, PartialEq)]
pub struct Tubes {
    params: TubesParams,
    /// Damage by overheating.
    pub damage: Damage,
    temperature: f64,
}

base::kept!(Tubes { damage, temperature } fixed { params });

impl Tubes {
    /// Tubes at one temperature, K.
    #[must_use]
    pub fn new(params: TubesParams, temperature: f64) -> Tubes {
        Tubes { params, damage: Damage::none("riser tubes overheated, bare of water"), temperature }
    }

    /// One tick: heat from the gas, W; wetted part, 0 to 1; contents, K. Returns the heat to the contents, W.
    pub fn step(&mut self, dt: f64, heat: f64, wetted: f64, contents: f64) -> f64 {
        let p = &self.params;
        let (c, h) = (p.heat_capacity / dt, wetted * p.wet + (1.0 - wetted) * p.dry);
        let dry_heat = (1.0 - wetted) * heat;
        self.temperature = (c * self.temperature + dry_heat + h * contents) / (c + h);
        self.damage.heat(self.temperature, p.limit, dt);
        wetted * heat + h * (self.temperature - contents)
    }

    /// Temperature of the hot side, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// Whether a tube has burst.
    #[must_use]
    pub fn burst(&self) -> bool {
        self.damage.total() >= 1.0
    }

    /// The opening to the furnace, m2: none until a tube bursts.
    #[must_use]
    pub fn leak_area(&self) -> f64 {
        if self.burst() { self.params.burst_area } else { 0.0 }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &TubesParams {
        &self.params
    }
}
