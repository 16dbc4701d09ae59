//! Thick metal of the drum: an inner and an outer half.
//!
//! ```text
//! Ci dTi/dt = UA (T - Ti) + K (To - Ti)
//! Co dTo/dt = K (Ti - To) + L (Ta - To)
//! UA = A (w hw + (1 - w) hd)
//! ```
//! solved implicitly over the tick. T contents, Ta ambient, K conduction between the middles of the two
//! halves (k A/(thickness/2)), L lagging, w wetted part. hw is that of still liquid, of boiling or of
//! circulating water; hd that of condensing steam where the wall is colder than saturation, thinned by
//! the square of the steam's part in the gas (air blankets), else of gas. Coefficients are handbook
//! orders of magnitude (Incropera and DeWitt, table of typical values: free convection of liquids 50 to 1000,
//! boiling and condensation 2500 to 100 000, gases 2 to 25 W/(m2 K)).
//!
//! The difference of the two halves stands for the thermal stress: above its limit it wears the shell.
//!
//! Feed that falls through steam onto bare metal, when the water is below the feed pipe, chills the part
//! that it runs over to its own temperature. That part cools the inner half with the coefficient of
//! flowing water, and the heat goes to the contents.

use crate::damage::Damage;

/// Figures of the shell; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShellParams {
    /// Ci = Co, half of the shell, J/K.
    pub half_capacity: f64,
    /// K, W/K.
    pub conduction: f64,
    /// A, m2.
    pub area: f64,
    /// Still liquid, W/(m2 K).
    pub h_liquid: f64,
    /// Boiling or circulating water, W/(m2 K).
    pub h_boiling: f64,
    /// Condensing steam, W/(m2 K).
    pub h_condensing: f64,
    /// Gas, W/(m2 K).
    pub h_gas: f64,
    /// L, W/K.
    pub lagging: f64,
    /// Part of the wall that feed runs over when it falls through steam, at nominal feed.
    pub chilled_part: f64,
    /// Nominal feed, kg/s.
    pub feed_nominal: f64,
    /// Difference of the halves above which it wears, K.
    pub limit: f64,
    /// Seconds to be spoilt at twice the limit.
    pub life: f64,
}

/// What the shell meets in a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShellMeets {
    /// Contents, K.
    pub contents: f64,
    /// Wetted part, 0 to 1.
    pub wetted: f64,
    /// How far the water boils or circulates, 0 to 1.
    pub boiling: f64,
    /// Part of the steam in the pressure of the gas, 0 to 1; 0 as well when the gas is not saturated.
    pub steam_part: f64,
    /// Feed that falls through steam onto bare metal, kg/s.
    pub falling_feed: f64,
    /// Its temperature, K.
    pub feed_temperature: f64,
    /// Ambient, K.
    pub ambient: f64,
}

/// The drum's shell.
#[derive(Clone, Debug, PartialEq)]
pub struct Shell {
    params: ShellParams,
    /// Damage by thermal stress.
    pub damage: Damage,
    inner: f64,
    outer: f64,
    heat: f64,
    lost: f64,
}

base::kept!(Shell { damage, inner, outer, heat, lost } fixed { params });

impl Shell {
    /// A shell at one temperature, K.
    #[must_use]
    pub fn new(params: ShellParams, temperature: f64) -> Shell {
        Shell {
            params,
            damage: Damage::none("drum shell strained by uneven heating"),
            inner: temperature,
            outer: temperature,
            heat: 0.0,
            lost: 0.0,
        }
    }

    /// One tick of `dt` seconds. Returns the heat to the contents, W.
    pub fn step(&mut self, dt: f64, m: &ShellMeets) -> f64 {
        let p = &self.params;
        let wet = p.h_liquid + (p.h_boiling - p.h_liquid) * m.boiling;
        let cold = self.inner < m.contents;
        let thinned = m.steam_part * m.steam_part;
        let dry = if cold { p.h_gas + (p.h_condensing - p.h_gas) * thinned } else { p.h_gas };
        let chilled = p.chilled_part * (m.falling_feed / p.feed_nominal).clamp(0.0, 1.0);
        let bare = (1.0 - m.wetted - chilled).max(0.0);
        let chilled = 1.0 - m.wetted - bare;
        let (u, f) = (p.area * (m.wetted * wet + bare * dry), p.area * chilled * p.h_boiling);
        let (c, k) = (p.half_capacity / dt, p.conduction);
        // [c+u+f+k  -k] [Ti]   [c Ti0 + u T + f Tf]
        // [-k  c+k+L]   [To] = [c To0 + L Ta]
        let (a, d) = (c + u + f + k, c + k + p.lagging);
        let b1 = c * self.inner + u * m.contents + f * m.feed_temperature;
        let b2 = c * self.outer + p.lagging * m.ambient;
        let det = a * d - k * k;
        self.inner = (b1 * d + k * b2) / det;
        self.outer = (a * b2 + k * b1) / det;
        self.heat = u * (self.inner - m.contents) + f * (self.inner - m.feed_temperature);
        self.lost = p.lagging * (self.outer - m.ambient);
        let difference = self.inner - self.outer;
        self.damage.strain(difference, p.limit, p.life, dt);
        self.heat
    }

    /// Inner half, K.
    #[must_use]
    pub fn inner(&self) -> f64 {
        self.inner
    }

    /// Outer half, K.
    #[must_use]
    pub fn outer(&self) -> f64 {
        self.outer
    }

    /// Inner less outer, K: the measure of thermal stress, positive while heating.
    #[must_use]
    pub fn difference(&self) -> f64 {
        self.inner - self.outer
    }

    /// Heat to the contents in the last tick, W.
    #[must_use]
    pub fn heat(&self) -> f64 {
        self.heat
    }

    /// Heat lost through the lagging in the last tick, W.
    #[must_use]
    pub fn lost(&self) -> f64 {
        self.lost
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &ShellParams {
        &self.params
    }
}
