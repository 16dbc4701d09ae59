//! The saturation line.
//!
//! The fourth root of pressure, the liquid's volume and energy, the vapour's compressibility factor
//! and energy are cubic Hermite splines over temperature, 2.5 K a cell. The vapour's columns are the
//! `s = 1` row of the vapour table itself, so that both meet to rounding. `t_sat` inverts the very
//! spline of `p_sat` by Newton's method, so that the two are each other's inverse to rounding.

use super::cold::{cold_p_sat, cold_saturation, cold_t_sat};
use super::tables::{
    Hermite, ROOT, ROOT_FIRST, ROOT_NODES, ROOT_STEP, SATURATION, SATURATION_NODES, SATURATION_WIDTH, SCALE,
    SCALE_NODES, SCALE_WIDTH, T_FIRST, T_STEP, VAPOUR_CONSTANT, cell,
};

/// Water and steam in equilibrium over a flat surface, by IAPWS-IF97. Slopes are along the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saturation {
    /// Pressure, Pa.
    pub p: f64,
    /// Temperature, K.
    pub t: f64,
    /// Specific volume of the liquid, m3/kg.
    pub v_l: f64,
    /// Specific volume of the vapour, m3/kg.
    pub v_v: f64,
    /// Internal energy of the liquid, J/kg.
    pub u_l: f64,
    /// Internal energy of the vapour, J/kg.
    pub u_v: f64,
    /// Enthalpy of the liquid, J/kg.
    pub h_l: f64,
    /// Enthalpy of the vapour, J/kg.
    pub h_v: f64,
    /// Pa/K.
    pub dp_dt: f64,
    /// m3/(kg K).
    pub dv_l_dt: f64,
    /// m3/(kg K).
    pub dv_v_dt: f64,
    /// J/(kg K).
    pub du_l_dt: f64,
    /// J/(kg K).
    pub du_v_dt: f64,
    /// How the liquid's volume and energy leave the line as pressure rises above it.
    pub(crate) liquid: LiquidTerms,
}

/// Coefficients of the liquid at one temperature: `v = v_l + q (a1 + q (a2 + q a3))`, `q = p - p_sat`,
/// the same with `b` for energy; and their slopes by temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LiquidTerms {
    pub a: [f64; 3],
    pub da: [f64; 3],
    pub b: [f64; 3],
    pub db: [f64; 3],
}

impl LiquidTerms {
    /// Volume added by the pressure `q` above saturation, and its slope by `q`.
    #[inline]
    pub(crate) fn volume(&self, q: f64) -> (f64, f64) {
        let a = &self.a;
        (q * (a[0] + q * (a[1] + q * a[2])), a[0] + q * (2.0 * a[1] + q * 3.0 * a[2]))
    }
    /// Energy added by `q`, and its slope by `q`.
    #[inline]
    pub(crate) fn energy(&self, q: f64) -> (f64, f64) {
        let b = &self.b;
        (q * (b[0] + q * (b[1] + q * b[2])), b[0] + q * (2.0 * b[1] + q * 3.0 * b[2]))
    }
    /// Slopes of both by temperature at constant `q`.
    #[inline]
    pub(crate) fn slopes(&self, q: f64) -> (f64, f64) {
        let (a, b) = (&self.da, &self.db);
        (q * (a[0] + q * (a[1] + q * a[2])), q * (b[0] + q * (b[1] + q * b[2])))
    }
}

impl Saturation {
    /// Slope of saturation temperature by pressure, K/Pa.
    #[must_use]
    pub fn dt_dp(&self) -> f64 {
        1.0 / self.dp_dt
    }
    /// Density of the liquid, kg/m3.
    #[must_use]
    pub fn rho_l(&self) -> f64 {
        1.0 / self.v_l
    }
    /// Density of the vapour, kg/m3.
    #[must_use]
    pub fn rho_v(&self) -> f64 {
        1.0 / self.v_v
    }
    /// Slope of the liquid's density by pressure along the line, kg/(m3 Pa).
    #[must_use]
    pub fn drho_l_dp(&self) -> f64 {
        -self.dv_l_dt / (self.v_l * self.v_l * self.dp_dt)
    }
    /// Slope of the vapour's density by pressure along the line, kg/(m3 Pa).
    #[must_use]
    pub fn drho_v_dp(&self) -> f64 {
        -self.dv_v_dt / (self.v_v * self.v_v * self.dp_dt)
    }
    /// Slope of the liquid's enthalpy by pressure along the line, J/(kg Pa).
    #[must_use]
    pub fn dh_l_dp(&self) -> f64 {
        (self.du_l_dt + self.p * self.dv_l_dt) / self.dp_dt + self.v_l
    }
    /// Slope of the vapour's enthalpy by pressure along the line, J/(kg Pa).
    #[must_use]
    pub fn dh_v_dp(&self) -> f64 {
        (self.du_v_dt + self.p * self.dv_v_dt) / self.dp_dt + self.v_v
    }
}

const T_STEP_INVERSE: f64 = 1.0 / T_STEP;

/// The pressure scale of the vapour table (saturation pressure up to 598.15 K) and its slope.
#[inline]
pub(super) fn scale(i: usize, h: &Hermite) -> (f64, f64) {
    let (a, b) = (&SCALE[i * SCALE_WIDTH..][..SCALE_WIDTH], &SCALE[(i + 1) * SCALE_WIDTH..][..SCALE_WIDTH]);
    let (y, dy) = h.both(a[0], a[1], b[0], b[1]);
    let y2 = y * y;
    (y2 * y2, 4.0 * y2 * y * dy * T_STEP_INVERSE)
}

/// Saturation pressure, Pa, at a temperature, K.
#[must_use]
pub fn p_sat(t: f64) -> f64 {
    if t < T_FIRST {
        return cold_p_sat(t).0;
    }
    let (i, x) = cell(t, T_FIRST, T_STEP_INVERSE, SATURATION_NODES);
    scale(i, &Hermite::at(x)).0
}

/// Saturation temperature, K, at a pressure, Pa: the inverse of [`p_sat`] to rounding.
#[must_use]
pub fn t_sat(p: f64) -> f64 {
    let root = p.sqrt().sqrt();
    if root < SCALE[0] {
        return cold_t_sat(p);
    }
    let (i, x) = cell(root, ROOT_FIRST, 1.0 / ROOT_STEP, ROOT_NODES);
    let r = &ROOT[2 * i..][..4];
    let t = Hermite::at(x).value(r[0], r[1], r[2], r[3]);
    // The table comes so near that one step of Newton's ends within rounding: 1e-12 K, which its test holds it to.
    let (i, x) = cell(t, T_FIRST, T_STEP_INVERSE, SCALE_NODES);
    let (a, b) = (&SCALE[i * SCALE_WIDTH..][..2], &SCALE[(i + 1) * SCALE_WIDTH..][..2]);
    let (y, dy) = Hermite::at(x).both(a[0], a[1], b[0], b[1]);
    t - (y - root) * T_STEP / dy
}

/// The line at a temperature, K.
#[must_use]
#[inline]
pub fn saturation_at_t(t: f64) -> Saturation {
    if t < T_FIRST { cold_saturation(t) } else { on_the_line(t, true) }
}

/// The same without the terms by which the liquid leaves the line: those are no numbers, and whoever takes liquid
/// off the line by them sees it.
#[must_use]
#[inline(always)]
pub(crate) fn line_at_t(t: f64) -> Saturation {
    if t < T_FIRST { cold_saturation(t) } else { on_the_line(t, false) }
}

#[inline(always)]
fn on_the_line(t: f64, off_the_line: bool) -> Saturation {
    let (i, x) = cell(t, T_FIRST, T_STEP_INVERSE, SATURATION_NODES);
    let h = Hermite::at(x);
    let (p, dp_dt) = scale(i, &h);
    let (l, r) = (
        &SATURATION[i * SATURATION_WIDTH..][..SATURATION_WIDTH],
        &SATURATION[(i + 1) * SATURATION_WIDTH..][..SATURATION_WIDTH],
    );
    let column = |k: usize| {
        let (value, slope) = h.both(l[2 * k], l[2 * k + 1], r[2 * k], r[2 * k + 1]);
        (value, slope * T_STEP_INVERSE)
    };
    let (v_l, dv_l_dt) = column(0);
    let (u_l, du_l_dt) = column(1);
    let (z, dz_dt) = column(2);
    let (u_v, du_v_dt) = column(3);
    let v_v = z * VAPOUR_CONSTANT * t / p;
    let dv_v_dt = v_v * (dz_dt / z + 1.0 / t - dp_dt / p);
    let none = [f64::NAN; 3];
    let mut liquid = LiquidTerms { a: none, da: none, b: none, db: none };
    if off_the_line {
        for k in 0..3 {
            (liquid.a[k], liquid.da[k]) = column(4 + k);
            (liquid.b[k], liquid.db[k]) = column(7 + k);
        }
    }
    Saturation {
        p,
        t,
        v_l,
        v_v,
        u_l,
        u_v,
        h_l: u_l + p * v_l,
        h_v: u_v + p * v_v,
        dp_dt,
        dv_l_dt,
        dv_v_dt,
        du_l_dt,
        du_v_dt,
        liquid,
    }
}

/// The same at a pressure, Pa.
#[must_use]
#[inline(always)]
pub(crate) fn line_at_p(p: f64) -> Saturation {
    line_at_t(t_sat(p))
}

/// The line at a pressure, Pa.
#[must_use]
pub fn saturation_at_p(p: f64) -> Saturation {
    saturation_at_t(t_sat(p))
}
