//! The law of flow of a valve or pipe, and how a valve opens.
//!
//! IEC 60534-2-1: gas `W = 31.6 Kv Y sqrt(x p1 rho1)` in kg/h, bar, kg/m3, with `x = dp / p1` held at
//! `F_gamma x_T` (choked) and `Y = 1 - x / (3 F_gamma x_T)`; liquid `W = 31.6 Kv sqrt(dp rho)` with
//! `dp` held at `F_L^2 (p1 - F_F p_v)`, `F_F = 0.96 - 0.28 sqrt(p_v / p_c)` (flashing). A mixture takes
//! its mean density and the two laws' pressure terms by its mass share (own choice).
//! Stages of a turbine: Stodola's ellipse, `W^2 = K^2 rho_1 (p_1^2 - p_2^2)/p_1`, so that the flow goes in proportion to
//! the pressure before the stages over the root of its temperature once the pressure behind is small, and fades along an
//! ellipse as both come together (A. Stodola, Steam and Gas Turbines, 1927; D. H. Cooke, "On prediction of off-design
//! multistage turbine pressures by Stodola's ellipse", J. Eng. Gas Turbines Power 107 (1985) 596-606).
//! In SI this is `W^2 = K^2 rho F(dp)`. Where the difference passes zero a laminar blend,
//! `W sqrt(W^2 + W_l^2) = K^2 rho F`, gives the law a finite slope; `W_l` is the flow at [`LAMINAR`].

/// Kv in m3/h to `K` of `W = K sqrt(rho dp)` in SI: 31.6 kg/h at 1 bar and 1 kg/m3 is sqrt(1000)/3600/sqrt(1e5).
const KV_TO_SI: f64 = 31.622_776_601_683_793 / 3600.0 / 316.227_766_016_837_94;
/// Pressure difference below which flow turns laminar, Pa (own choice; the error at 1 bar of difference is 5e-6).
pub(super) const LAMINAR: f64 = 20.0;
/// Critical pressure of water, Pa (IAPWS R7-97).
const P_CRITICAL: f64 = 22.064e6;
/// Ratio of specific heats: steam (as the standard's examples), and what air adds to it.
const GAMMA_STEAM: f64 = 1.3;
const GAMMA_AIR_MORE: f64 = 0.1;

/// How the flow coefficient follows the stem.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Characteristic {
    /// In proportion.
    Linear,
    /// `R^(x - 1)`, straight to zero below 5 % of travel; `R` is the rangeability, usually 50.
    EqualPercentage(f64),
    /// Square root of travel.
    QuickOpening,
}

impl Characteristic {
    /// Share of the full flow coefficient at a travel of 0 to 1.
    #[must_use]
    pub fn share(self, travel: f64) -> f64 {
        match self {
            Characteristic::Linear => travel,
            Characteristic::EqualPercentage(r) => {
                let at = |x: f64| base::maths::exp((x - 1.0) * base::maths::ln(r));
                if travel < 0.05 { at(0.05) * travel / 0.05 } else { at(travel) }
            }
            Characteristic::QuickOpening => travel.max(0.0).sqrt(),
        }
    }
}

/// What the law needs of a donor and a valve.
#[derive(Clone, Copy, Debug)]
pub(super) struct Conditions {
    pub p_1: f64,
    /// Positive.
    pub dp: f64,
    pub p_steam: f64,
    pub liquid: f64,
    pub air: f64,
    pub x_t: f64,
    pub f_l: f64,
    pub way: Way,
}

/// What gas flows through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Way {
    /// A valve, pipe or orifice, by the standard.
    #[default]
    Valve,
    /// The stages of a turbine, by Stodola's ellipse.
    Stages,
}

/// `F(dp)` with its slopes by `dp` (at constant `p_1`), `p_1`, steam pressure and liquid share.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Drive {
    pub f: f64,
    pub by_dp: f64,
    pub by_p1: f64,
    pub by_steam: f64,
    pub by_liquid: f64,
}

pub(super) fn drive(c: &Conditions) -> Drive {
    let limit = c.x_t * (GAMMA_STEAM + GAMMA_AIR_MORE * c.air) / 1.4;
    let full = limit * c.p_1;
    let (g, g_dp, g_p1) = if c.way == Way::Stages {
        let r = c.dp / c.p_1;
        (c.dp * (2.0 - r), 2.0 - 2.0 * r, r * r)
    } else if c.dp < full {
        let y = 1.0 - c.dp / (3.0 * full);
        (c.dp * y * y, y * (y - 2.0 * c.dp / (3.0 * full)), 2.0 * c.dp * c.dp * y / (3.0 * full * c.p_1))
    } else {
        (full * 4.0 / 9.0, 0.0, limit * 4.0 / 9.0)
    };
    if c.liquid == 0.0 {
        return Drive { f: g, by_dp: g_dp, by_p1: g_p1, by_steam: 0.0, by_liquid: 0.0 };
    }
    let ratio = (c.p_steam / P_CRITICAL).sqrt();
    let hold = 0.96 - 0.28 * ratio;
    let most = c.f_l * c.f_l * (c.p_1 - hold * c.p_steam);
    let (l, l_dp, l_p1, l_steam) = if c.dp < most {
        (c.dp, 1.0, 0.0, 0.0)
    } else {
        (most, 0.0, c.f_l * c.f_l, -c.f_l * c.f_l * (hold - 0.14 * ratio))
    };
    let y = c.liquid;
    Drive {
        f: (1.0 - y) * g + y * l,
        by_dp: (1.0 - y) * g_dp + y * l_dp,
        by_p1: (1.0 - y) * g_p1 + y * l_p1,
        by_steam: y * l_steam,
        by_liquid: l - g,
    }
}

/// `K^2` of a Kv in m3/h.
pub(super) fn k_squared(kv: f64) -> f64 {
    let k = KV_TO_SI * kv;
    k * k
}

/// The flow, kg/s, at which the blended law gives `s = K^2 rho F` (signed), `low` being `W_l^2`.
pub(super) fn flow(s: f64, low: f64) -> f64 {
    let a = s.abs();
    // 2 s^2 / (low + sqrt(low^2 + 4 s^2)) is W^2 without cancellation.
    let w2 = 2.0 * a * a / (low + (low * low + 4.0 * a * a).sqrt());
    if a == 0.0 { 0.0 } else { w2.sqrt().copysign(s) }
}

/// The blended law's left side and its slope by the flow.
pub(super) fn resistance(w: f64, low: f64) -> (f64, f64) {
    let root = (w * w + low).sqrt();
    (w * root, (2.0 * w * w + low) / root)
}

/// Flow, kg/s, of gas through a valve by the standard, for sizing and for checks: Kv in m3/h, Pa, kg/m3.
#[must_use]
pub fn kv_flow(kv: f64, p_1: f64, p_2: f64, density: f64, x_t: f64, air: f64) -> f64 {
    let c = Conditions { p_1, dp: p_1 - p_2, p_steam: 0.0, liquid: 0.0, air, x_t, f_l: 1.0, way: Way::Valve };
    (k_squared(kv) * density * drive(&c).f).sqrt()
}

/// Kv, m3/h, of turbine stages that pass this flow, kg/s, from `p_1` and a density there to `p_2`, Pa, by the ellipse.
#[must_use]
pub fn stages_kv(flow: f64, p_1: f64, p_2: f64, density: f64) -> f64 {
    flow / (KV_TO_SI * (density * (p_1 * p_1 - p_2 * p_2) / p_1).sqrt())
}
