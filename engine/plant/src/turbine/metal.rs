//! Rotor and casing as metal: two nodes each, the stress between them, and how much longer one grows than the other.
//!
//! Rotor: `C_s dT_s/dt = film (T - T_s) - k (T_s - T_c)`, `C_c dT_c/dt = k (T_s - T_c) - ends (T_c - T_b)`, skin and core; the ends lead
//! heat to the bearings. Casing: the inner skin is the wall of the casing's space in the steam net, which condenses on it; the outer node
//! `C_o dT_o/dt = k (T_i - T_o) - loss (T_o - ambient)`. Every step is implicit in the node's own temperature.
//! Film: `dry (0.03 + (W/W_n)^0.8)`, rising with flow as in tubes (Dittus and Boelter's exponent); the small constant is steam that stands. Where
//! steam condenses on the rotor it rises to `wet`, as on the casing's wall: the share of steam in the pressure, squared, two
//! kelvins for a full film (see `steam::Wall`).
//! Differential expansion: `alpha L (mean of the rotor - mean of the casing)`, `alpha` 1.2e-5 1/K (handbooks, carbon and low-alloy steel).
//! The difference between skin and core, and between the casing's inner and outer halves, is the measure of thermal stress
//! (`E alpha dT/(1 - nu)` for a skin that is held: 3.6 MPa a kelvin).
//! Assumptions: one temperature along the rotor, that of the steam before the stages. Units: W, K, J/K, m.

use base::maths::power;

/// Expansion of steel, 1/K.
const ALPHA: f64 = 1.2e-5;
/// Film of standing steam, as a part of that at rated flow.
const STANDING: f64 = 0.03;

/// The metal's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MetalParams {
    /// Heat capacity of the rotor's skin and core, J/K.
    pub rotor: (f64, f64),
    /// Conductance between them, W/K.
    pub rotor_link: f64,
    /// Heat capacity of the casing's inner half, J/K: the wall of its space in the net.
    pub casing_inner: f64,
    /// Of its outer half, J/K.
    pub casing_outer: f64,
    /// Conductance between them, W/K.
    pub casing_link: f64,
    /// Loss through the lagging, W/K.
    pub loss: f64,
    /// Film on the rotor at rated flow, W/K.
    pub dry: f64,
    /// Film where steam condenses, W/K.
    pub wet: f64,
    /// Conductance from the rotor's core to the bearings, W/K.
    pub ends: f64,
    /// Length over which rotor and casing grow apart, m.
    pub length: f64,
}

/// The metal and its state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    params: MetalParams,
    skin: f64,
    core: f64,
    outer: f64,
    /// Temperature of the casing's inner half, as the net had it last.
    inner: f64,
    /// Heat lost by the lagging since the start, J.
    lost: f64,
}

base::kept!(Metal { skin, core, outer, inner, lost } fixed { params });

/// What the metal gives in a tick, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MetalHeat {
    /// From the rotor's skin to the steam.
    pub to_steam: f64,
    /// From the outer half of the casing to the inner one.
    pub to_inner: f64,
    /// From the rotor's core to the bearings.
    pub to_bearings: f64,
}

base::kept!(MetalHeat { to_steam, to_inner, to_bearings });

/// Steam as the rotor feels it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Around {
    /// Temperature, K.
    pub t: f64,
    /// Saturation temperature of the steam's own pressure, K; 0 where there is none to speak of.
    pub t_dew: f64,
    /// Share of the steam in the pressure.
    pub share: f64,
    /// Flow as a part of rated flow.
    pub flow: f64,
}

impl Metal {
    /// Everything at one temperature, K.
    #[must_use]
    pub fn new(params: MetalParams, t: f64) -> Metal {
        Metal { params, skin: t, core: t, outer: t, inner: t, lost: 0.0 }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &MetalParams {
        &self.params
    }

    /// The casing's film to gas at a flow (part of rated), W/K, for its wall in the net: as the rotor's.
    #[must_use]
    pub fn dry_film(&self, flow: f64) -> f64 {
        self.params.dry * (STANDING + power(flow.max(0.0), 0.8))
    }

    /// One step. `inner` is the casing's inner half (K) after the net's last tick, `bearings` what the rotor's ends lead to.
    pub fn step(&mut self, around: &Around, inner: f64, bearings: f64, ambient: f64, dt: f64) -> MetalHeat {
        let p = self.params;
        self.inner = inner;
        let cold = ((around.t_dew - self.skin) / 2.0).clamp(0.0, 1.0);
        let wetted = cold * cold * (3.0 - 2.0 * cold) * around.share * around.share;
        let dry = self.dry_film(around.flow);
        let film = dry + (p.wet - dry).max(0.0) * wetted;
        // Steam in a small space warms and cools far faster than the rotor: its temperature of the last tick counts.
        let against = if wetted > 0.0 { around.t.max(around.t_dew) } else { around.t };
        let inward = p.rotor_link * (self.skin - self.core);
        let skin = (p.rotor.0 * self.skin + dt * (film * against - inward)) / (p.rotor.0 + dt * film);
        let to_steam = film * (skin - against);
        self.skin = skin;
        let core = (p.rotor.1 * self.core + dt * (inward + p.ends * bearings)) / (p.rotor.1 + dt * p.ends);
        let to_bearings = p.ends * (core - bearings);
        self.core = core;
        let outward = p.casing_link * (inner - self.outer);
        let outer = (p.casing_outer * self.outer + dt * (outward + p.loss * ambient)) / (p.casing_outer + dt * p.loss);
        self.lost += p.loss * (outer - ambient) * dt;
        self.outer = outer;
        MetalHeat { to_steam, to_inner: -outward, to_bearings }
    }

    /// The rotor's skin, K.
    #[must_use]
    pub fn skin(&self) -> f64 {
        self.skin
    }
    /// Its core, K.
    #[must_use]
    pub fn core(&self) -> f64 {
        self.core
    }
    /// The casing's inner half, K.
    #[must_use]
    pub fn inner(&self) -> f64 {
        self.inner
    }
    /// Its outer half, K.
    #[must_use]
    pub fn outer(&self) -> f64 {
        self.outer
    }
    /// Mean of the rotor by its heat, K.
    #[must_use]
    pub fn rotor(&self) -> f64 {
        let (a, b) = self.params.rotor;
        (a * self.skin + b * self.core) / (a + b)
    }
    /// Mean of the casing, K.
    #[must_use]
    pub fn casing(&self) -> f64 {
        let (a, b) = (self.params.casing_inner, self.params.casing_outer);
        (a * self.inner + b * self.outer) / (a + b)
    }
    /// Skin less core of the rotor, K.
    #[must_use]
    pub fn rotor_difference(&self) -> f64 {
        self.skin - self.core
    }
    /// Inner less outer half of the casing, K.
    #[must_use]
    pub fn casing_difference(&self) -> f64 {
        self.inner - self.outer
    }
    /// How much longer the rotor has grown than the casing, m.
    #[must_use]
    pub fn differential_expansion(&self) -> f64 {
        ALPHA * self.params.length * (self.rotor() - self.casing())
    }
    /// Heat lost by the lagging since the start, J.
    #[must_use]
    pub fn lost(&self) -> f64 {
        self.lost
    }
    /// Puts everything at temperatures at once, for a prepared start: skin, core, outer half, K.
    pub fn prepare(&mut self, skin: f64, core: f64, outer: f64) {
        (self.skin, self.core, self.outer) = (skin, core, outer);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    #[test]
    fn what_leaves_one_node_enters_the_next() {
        let p = sizing::metal();
        let mut m = Metal::new(p, 293.0);
        let hot = Around { t: 520.0, t_dew: 380.0, share: 1.0, flow: 0.3 };
        let inner = 450.0;
        let (mut steam, mut to_inner, mut ends) = (0.0, 0.0, 0.0);
        for _ in 0..20_000 {
            let q = m.step(&hot, inner, 320.0, 293.0, 0.1);
            steam += q.to_steam * 0.1;
            to_inner += q.to_inner * 0.1;
            ends += q.to_bearings * 0.1;
        }
        let rotor = p.rotor.0 * (m.skin() - 293.0) + p.rotor.1 * (m.core() - 293.0);
        assert!((rotor + steam + ends).abs() < 1e-9 * rotor, "{rotor} {steam} {ends}");
        let outer = p.casing_outer * (m.outer() - 293.0);
        assert!((outer + to_inner + m.lost()).abs() < 1e-9 * outer, "{outer} {to_inner} {}", m.lost());
    }

    /// A bar that is warmed at its skin: the core follows with `C/k`, as the two-node model's own exact answer says.
    #[test]
    fn the_core_follows_in_its_own_time() {
        let p = MetalParams { ends: 0.0, dry: 1e9, wet: 1e9, ..sizing::metal() };
        let mut m = Metal::new(p, 300.0);
        let hot = Around { t: 400.0, t_dew: 0.0, share: 1.0, flow: 1.0 };
        let time = p.rotor.1 / p.rotor_link;
        let steps = (time / 0.1) as usize;
        for _ in 0..steps {
            m.step(&hot, 300.0, 300.0, 300.0, 0.1);
        }
        let expected = 400.0 - 100.0 * base::maths::exp(-1.0);
        assert!((m.core() - expected).abs() < 0.05, "{} {expected}", m.core());
    }

    #[test]
    fn the_rotor_grows_before_the_casing_and_both_meet_again() {
        let p = sizing::metal();
        let mut m = Metal::new(p, 300.0);
        let hot = Around { t: 500.0, t_dew: 0.0, share: 1.0, flow: 0.5 };
        let mut inner = 300.0;
        let mut most: f64 = 0.0;
        for _ in 0..400_000 {
            let q = m.step(&hot, inner, 330.0, 300.0, 0.1);
            let film = m.dry_film(0.5);
            inner += 0.1 * (film * (500.0 - inner) + q.to_inner) / p.casing_inner;
            most = most.max(m.differential_expansion());
        }
        // 200 K of rotor alone would be 1.2e-5 x 1.6 x 200 = 3.8 mm.
        assert!(most > 0.3e-3 && most < 3.8e-3, "{most}");
        assert!(m.differential_expansion().abs() < 0.3 * most, "{} {most}", m.differential_expansion());
    }
}
