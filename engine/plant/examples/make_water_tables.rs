//! Makes `src/water/tables.bin`, the tables behind `plant::water`.
//!
//! Source: IAPWS-IF97 (IAPWS R7-97(2012)) by the crate `seuif97`, which the program itself never
//! uses. Run from `engine/plant` with `cargo run --example make_water_tables`; the file is then the
//! same on every machine that reads it, and a test of `plant::water` holds its checksum.
//!
//! Layout, little-endian doubles, slopes multiplied by the grid's step so that a look-up works in
//! cell units (`plant::water::tables` says what each column is for):
//! 1. `SCALE_NODES` rows of `y, y', u0, u0'`: fourth root of the pressure scale, ideal-gas energy.
//! 2. `SATURATION_NODES` rows of `v_l, u_l, z, u_v` and the liquid's `a1 a2 a3 b1 b2 b3`, each with its slope.
//! 3. `SCALE_NODES` times `S_NODES` vapour nodes of `f, f_T, f_s, f_Ts, g, g_T, g_s, g_Ts`.
//! 4. `ROOT_NODES` rows of `T, T'` over the fourth root of saturation pressure.

use plant::water::tables::{
    ROOT_FIRST, ROOT_NODES, ROOT_STEP, S_NODES, S_STEP, SATURATION_NODES, SCALE_NODES, T_FIRST, T_STEP, VAPOUR_CONSTANT,
};
use seuif97::{OU, OV, pt, tx2p};

/// Saturation pressure, Pa.
fn p_sat(t: f64) -> f64 {
    tx2p(t - 273.15, 0.0) * 1e6
}
fn v(region: i32, p: f64, t: f64) -> f64 {
    pt(p * 1e-6, t - 273.15, (OV, region))
}
fn u(region: i32, p: f64, t: f64) -> f64 {
    pt(p * 1e-6, t - 273.15, (OU, region)) * 1e3
}

/// Derivative by the polynomial through seven points, central, or one-sided where `lo` bounds `x` from below.
fn slope(f: impl Fn(f64) -> f64, x: f64, h: f64, lo: f64) -> f64 {
    let central = [-1.0, 9.0, -45.0, 0.0, 45.0, -9.0, 1.0];
    let forward = [-147.0, 360.0, -450.0, 400.0, -225.0, 72.0, -10.0];
    if x - 3.0 * h < lo {
        (0..7).map(|i| forward[i] * f(x + h * i as f64)).sum::<f64>() / (60.0 * h)
    } else {
        (0..7).map(|i| central[i] * f(x + h * (i as f64 - 3.0))).sum::<f64>() / (60.0 * h)
    }
}

/// Where the pressure scale leaves the saturation line, and how fast it levels out, K.
const LEVELLING: f64 = 40.0;
fn t_leave() -> f64 {
    T_FIRST + T_STEP * (SATURATION_NODES - 1) as f64
}

/// The pressure scale and its slope by temperature.
fn scale(t: f64) -> (f64, f64) {
    let end = t_leave();
    if t <= end {
        return (p_sat(t), slope(p_sat, t, 0.05, 273.15));
    }
    let (p, dp) = (p_sat(end), slope(p_sat, end, 0.05, 273.15));
    let fall = base::maths::exp(-(t - end) / LEVELLING);
    (p + dp * LEVELLING * (1.0 - fall), dp * fall)
}

/// `(f, f_T, g, g_T)` of the vapour at `s = p / scale(t)`, slopes at constant `s`.
fn vapour(t: f64, s: f64) -> [f64; 4] {
    let (big_p, big_dp) = scale(t);
    // At s = 0 the quotients are limits: take them by a straight line through two small values.
    if s == 0.0 {
        let (a, b) = (vapour(t, 1e-3), vapour(t, 2e-3));
        return std::array::from_fn(|i| 2.0 * a[i] - b[i]);
    }
    let p = s * big_p;
    let z = |p: f64, t: f64| v(2, p, t) * p / (VAPOUR_CONSTANT * t) - 1.0;
    let du = |p: f64, t: f64| u(2, p, t) - u0(t);
    let along = |q: &dyn Fn(f64, f64) -> f64| {
        let by_t = slope(|t| q(p, t), t, 0.05, 273.15);
        let by_p = slope(|p| q(p, t), p, 0.02 * p, 0.0);
        (by_t + by_p * s * big_dp) / s
    };
    [z(p, t) / s, along(&z), du(p, t) / s, along(&du)]
}

/// Ideal-gas internal energy, J/kg.
fn u0(t: f64) -> f64 {
    u(2, 0.01, t)
}

/// Least squares of `y = q (c1 + c2 q + c3 q^2)` on Chebyshev nodes of `0..q_max`.
fn cubic(y: impl Fn(f64) -> f64, q_max: f64) -> [f64; 3] {
    let mut a = [[0.0f64; 4]; 3];
    for k in 0..40 {
        let x = 0.5 + 0.5 * base::maths::cos(std::f64::consts::PI * (k as f64 + 0.5) / 40.0);
        let value = y(x * q_max);
        let row = [x, x * x, x * x * x];
        for i in 0..3 {
            for j in 0..3 {
                a[i][j] += row[i] * row[j];
            }
            a[i][3] += row[i] * value;
        }
    }
    for i in 0..3 {
        for r in 0..3 {
            if r != i {
                let m = a[r][i] / a[i][i];
                let of = a[i];
                for (x, y) in a[r].iter_mut().zip(of) {
                    *x -= m * y;
                }
            }
        }
    }
    [a[0][3] / a[0][0] / q_max, a[1][3] / a[1][1] / (q_max * q_max), a[2][3] / a[2][2] / (q_max * q_max * q_max)]
}

/// The liquid's coefficients at one temperature: volume, then energy.
fn liquid(t: f64) -> [f64; 6] {
    let p = p_sat(t);
    let q_max = 13.5e6 - p;
    let (v0, u_0) = (v(1, p, t), u(1, p, t));
    let a = cubic(|q| v(1, p + q, t) - v0, q_max);
    let b = cubic(|q| u(1, p + q, t) - u_0, q_max);
    [a[0], a[1], a[2], b[0], b[1], b[2]]
}

fn main() {
    let mut out: Vec<f64> = Vec::new();
    let t_at = |i: usize| T_FIRST + T_STEP * i as f64;
    for i in 0..SCALE_NODES {
        let t = t_at(i);
        let (p, dp) = scale(t);
        let y = p.sqrt().sqrt();
        out.extend([y, 0.25 * y * dp / p * T_STEP, u0(t), slope(u0, t, 0.05, 273.15) * T_STEP]);
    }
    for i in 0..SATURATION_NODES {
        let t = t_at(i);
        let v_l = |t: f64| v(1, p_sat(t), t);
        let u_l = |t: f64| u(1, p_sat(t), t);
        let steam = vapour(t, 1.0);
        let pairs = [
            [v_l(t), slope(v_l, t, 0.05, 273.15)],
            [u_l(t), slope(u_l, t, 0.05, 273.15)],
            [1.0 + steam[0], steam[1]],
            [u0(t) + steam[2], slope(u0, t, 0.05, 273.15) + steam[3]],
        ];
        for [value, slope] in pairs {
            out.extend([value, slope * T_STEP]);
        }
        let c = liquid(t);
        for (k, value) in c.into_iter().enumerate() {
            out.extend([value, slope(|t| liquid(t)[k], t, 0.4, 273.15) * T_STEP]);
        }
    }
    for i in 0..SCALE_NODES {
        let t = t_at(i);
        for j in 0..S_NODES {
            let s = S_STEP * j as f64;
            let n = vapour(t, s);
            let by_s = |k: usize| slope(|s| vapour(t, s)[k], s, 0.01, 0.0) * S_STEP;
            out.extend([n[0], n[1] * T_STEP, by_s(0), by_s(1) * T_STEP]);
            out.extend([n[2], n[3] * T_STEP, by_s(2), by_s(3) * T_STEP]);
        }
    }
    for i in 0..ROOT_NODES {
        let y = ROOT_FIRST + ROOT_STEP * i as f64;
        let p = y * y * y * y;
        // The inverse of the very equation, by bisection: only a start for Newton's method.
        let (mut lo, mut hi) = (273.15, 600.0);
        for _ in 0..60 {
            let mid = 0.5 * (lo + hi);
            if p_sat(mid) < p { lo = mid } else { hi = mid }
        }
        let t = 0.5 * (lo + hi);
        let dy = 0.25 * y * slope(p_sat, t, 0.05, 273.15) / p;
        out.extend([t, ROOT_STEP / dy]);
    }
    assert!(out.iter().all(|x| x.is_finite()), "every value of the tables is finite");
    let bytes: Vec<u8> = out.iter().flat_map(|x| x.to_le_bytes()).collect();
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/src/water/tables.bin");
    std::fs::write(file, &bytes).expect("the tables' file can be written");
    println!("{} doubles, {} bytes, checksum {:#018x}", out.len(), bytes.len(), plant::water::tables::checksum(&bytes));
}
