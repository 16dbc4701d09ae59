use super::*;
use seuif97::{OH, OU, OV, pt, tx2p};

/// The tables were made by the generator in `examples` and nothing touched them since.
#[test]
fn the_tables_are_the_ones_that_were_checked() {
    assert_eq!(tables::checksum(tables::bytes()), 0xcecd_dc9f_df76_5ef4);
}

fn worst(of: &mut f64, error: f64) {
    assert!(error.is_finite());
    *of = of.max(error.abs());
}

/// The stated errors of the module's table, against IF97 over the whole range.
#[test]
fn the_line_and_the_liquid_keep_their_stated_error() {
    let (mut p_, mut v_l, mut u_l, mut v_v, mut u_v, mut back) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    let (mut low_v, mut low_u, mut high_v, mut high_u) = (0.0, 0.0, 0.0, 0.0);
    let mut t: f64 = 273.16;
    while t < 598.15 {
        let c = t - 273.15;
        let pm = tx2p(c, 0.0);
        let s = saturation_at_t(t);
        worst(&mut p_, s.p / (pm * 1e6) - 1.0);
        worst(&mut v_l, s.v_l / pt(pm, c, (OV, 1)) - 1.0);
        worst(&mut u_l, s.u_l - pt(pm, c, (OU, 1)) * 1e3);
        worst(&mut v_v, s.v_v / pt(pm, c, (OV, 2)) - 1.0);
        worst(&mut u_v, s.u_v / (pt(pm, c, (OU, 2)) * 1e3) - 1.0);
        worst(&mut back, t_sat(s.p) - t);
        for p in [1e5, 5e5, 2e6, 4e6, 8e6, 12e6] {
            if p > s.p {
                let w = liquid(p, t);
                let (v, u) = (w.v / pt(p * 1e-6, c, (OV, 1)) - 1.0, w.u - pt(p * 1e-6, c, (OU, 1)) * 1e3);
                worst(if p <= 4e6 { &mut low_v } else { &mut high_v }, v);
                worst(if p <= 4e6 { &mut low_u } else { &mut high_u }, u);
            }
        }
        t += 0.137;
    }
    assert!(p_ < 1e-8 && v_l < 2e-8 && v_v < 3e-8 && u_v < 1e-8, "{p_:e} {v_l:e} {v_v:e} {u_v:e}");
    assert!(u_l < 0.008, "J/kg {u_l:e}");
    assert!(back < 1e-12, "K {back:e}");
    assert!(low_v < 1e-7 && low_u < 0.05, "{low_v:e} {low_u:e} J/kg");
    assert!(high_v < 2.5e-7 && high_u < 0.15, "{high_v:e} {high_u:e} J/kg");
}

#[test]
fn the_vapour_keeps_its_stated_error() {
    let (mut v_, mut h_) = (0.0, 0.0);
    let mut t: f64 = 273.16;
    while t < 873.0 {
        let c = t - 273.15;
        for k in 0..50 {
            let p = (k as f64 + 0.5) / 50.0 * p_sat(t.min(598.0));
            let w = vapour(p, t);
            let (v, h) = (pt(p * 1e-6, c, (OV, 2)), pt(p * 1e-6, c, (OH, 2)) * 1e3);
            worst(&mut v_, w.v / v - 1.0);
            worst(&mut h_, w.h / h - 1.0);
        }
        t += 0.637;
    }
    assert!(v_ < 1.5e-6 && h_ < 6e-7, "{v_:e} {h_:e}");
}

/// Beside the line, the vapour table gives the line's own values to rounding.
#[test]
fn vapour_meets_the_line() {
    for i in 0..3200 {
        let t = 273.2 + 0.1 * f64::from(i);
        let (s, w) = (saturation_at_t(t), vapour(p_sat(t), t));
        assert!((w.v / s.v_v - 1.0).abs() < 1e-13 && (w.u / s.u_v - 1.0).abs() < 1e-13, "{t}");
    }
}

/// Every slope that is given is the slope of what is given.
#[test]
fn slopes_agree_with_differences() {
    let near = |a: f64, b: f64, scale: f64| (a - b).abs() <= 1e-6 * scale.abs().max(b.abs());
    for i in 0..500 {
        let t = 274.0 + 1.19 * f64::from(i) + 0.003;
        let dt = 1e-3;
        if t < 597.0 {
            let (a, s, b) = (saturation_at_t(t - dt), saturation_at_t(t), saturation_at_t(t + dt));
            assert!(near(s.dp_dt, (b.p - a.p) / (2.0 * dt), s.p / 100.0));
            assert!(near(s.dv_v_dt, (b.v_v - a.v_v) / (2.0 * dt), s.v_v / 100.0));
            assert!(near(s.dv_l_dt, (b.v_l - a.v_l) / (2.0 * dt), s.v_l / 1000.0));
            assert!(near(s.du_l_dt, (b.u_l - a.u_l) / (2.0 * dt), 4e3));
            assert!(near(s.du_v_dt, (b.u_v - a.u_v) / (2.0 * dt), 1e3));
            let dp = s.p * 1e-5;
            let (c, d) = (saturation_at_p(s.p - dp), saturation_at_p(s.p + dp));
            assert!(near(s.dh_l_dp(), (d.h_l - c.h_l) / (2.0 * dp), 4e3 / s.dp_dt));
            assert!(near(s.dh_v_dp(), (d.h_v - c.h_v) / (2.0 * dp), 4e3 / s.dp_dt));
            assert!(near(s.drho_l_dp(), (d.rho_l() - c.rho_l()) / (2.0 * dp), 1.0 / s.dp_dt));
            assert!(near(s.drho_v_dp(), (d.rho_v() - c.rho_v()) / (2.0 * dp), s.rho_v() / s.p));
            let p = s.p + 3e6;
            let w = liquid(p, t);
            let (a, b) = (liquid(p, t - dt), liquid(p, t + dt));
            assert!(near(w.dv_dt, (b.v - a.v) / (2.0 * dt), w.v / 1000.0));
            assert!(near(w.du_dt, (b.u - a.u) / (2.0 * dt), 4e3));
            let (a, b) = (liquid(p - 1e4, t), liquid(p + 1e4, t));
            assert!(near(w.dv_dp, (b.v - a.v) / 2e4, 1e-13));
            assert!(near(w.du_dp, (b.u - a.u) / 2e4, 1e-4));
        }
        for part in [1e-4, 0.13, 0.5, 0.97] {
            let p = part * p_sat(t.min(597.0));
            let w = vapour(p, t);
            let (a, b) = (vapour(p, t - dt), vapour(p, t + dt));
            assert!(near(w.dv_dt, (b.v - a.v) / (2.0 * dt), w.v / 100.0), "{t} {p}");
            assert!(near(w.du_dt, (b.u - a.u) / (2.0 * dt), 2e3), "{t} {p}");
            let dp = 1e-5 * p;
            let (a, b) = (vapour(p - dp, t), vapour(p + dp, t));
            assert!(near(w.dv_dp, (b.v - a.v) / (2.0 * dp), w.v / p), "{t} {p}");
            assert!(near(w.du_dp, (b.u - a.u) / (2.0 * dp), 0.1 + 100.0 / p), "{t} {p}");
        }
    }
}

/// Beyond the grid: against IF97's regions 2 and 5, over what tubes without cooling can come to.
#[test]
fn hot_vapour_keeps_its_stated_error() {
    let (mut v_, mut u_, mut step) = (0.0, 0.0, 0.0);
    for p in [2e3, 1e5, 5e5, 1e6, 2e6, 3e6, 6e6, 12e6] {
        let (mut v_p, mut u_p) = (0.0, 0.0);
        let mut t = 873.25;
        while t < 1473.0 {
            let w = vapour(p, t);
            // The regions meet at 1073.15 K; the library takes the right one by itself.
            let (v, u) = (pt(p * 1e-6, t - 273.15, OV), pt(p * 1e-6, t - 273.15, OU) * 1e3);
            worst(&mut v_p, w.v / v - 1.0);
            worst(&mut u_p, w.u / u - 1.0);
            let (a, b, dt) = (vapour(p, t - 1e-3), vapour(p, t + 1e-3), 2e-3);
            assert!((w.dv_dt * dt - (b.v - a.v)).abs() < 1e-8 * w.v, "{p} {t}");
            assert!((w.du_dt * dt - (b.u - a.u)).abs() < 1e-3, "{p} {t}");
            let (a, b) = (vapour(p * 0.99999, t), vapour(p * 1.00001, t));
            assert!((w.dv_dp * 2e-5 * p - (b.v - a.v)).abs() < 1e-8 * w.v, "{p} {t}");
            assert!((w.du_dp * 2e-5 * p - (b.u - a.u)).abs() < 1e-2, "{p} {t}");
            t += 7.3;
        }
        let (a, b) = (vapour(p, 873.149_999), vapour(p, 873.150_001));
        worst(&mut step, (b.v / a.v - 1.0).abs().max((b.u / a.u - 1.0).abs()));
        println!("{p}: v {v_p:e} u {u_p:e}");
        // To 30 bar, and in proportion above.
        let part = (p / 3e6).max(1.0);
        worst(&mut v_, v_p / part);
        worst(&mut u_, u_p / part);
    }
    assert!(v_ < 5e-4 && u_ < 4e-4, "{v_:e} {u_:e}");
    assert!(step < 1e-8, "{step:e}");
}

/// Far below saturation steam is the ideal gas: `p v = R T` to the last places.
#[test]
fn thin_steam_is_the_ideal_gas() {
    for p in [1e-6, 1.0, 10.0] {
        let w = vapour(p, 293.15);
        assert!((p * w.v / (tables::VAPOUR_CONSTANT * 293.15) - 1.0).abs() < 1e-6 * p.max(0.1));
    }
}

#[test]
fn temperature_of_enthalpy_inverts() {
    for p in [1e4, 1e5, 7e5, 40e5] {
        for t in [280.0, 300.0, 318.0, 370.0] {
            if t < t_sat(p) {
                assert!((liquid_t_of_h(p, liquid(p, t).h) - t).abs() < 1e-8);
            }
        }
        for t in [530.0, 600.0, 700.0] {
            assert!((vapour_t_of_h(p, vapour(p, t).h) - t).abs() < 1e-8);
        }
    }
}

/// Against data from outside the project.
mod checks {
    use super::*;

    fn rows(name: &str) -> Vec<Vec<f64>> {
        let (file, text) = crate::check_data::read(name);
        let rows: Vec<Vec<f64>> = text
            .lines()
            .skip(1)
            .filter(|l| !l.trim().is_empty())
            .map(|l| l.split(',').map_while(|x| x.parse().ok()).collect())
            .collect();
        println!("read {}: {} cases compared", file, rows.len());
        assert!(!rows.is_empty());
        rows
    }

    #[test]
    fn steam_points() {
        for r in rows("steam_points.csv") {
            let (p, t, h, v, region) = (r[0] * 1e6, r[1], r[2] * 1e3, r[4], r[6] as i32);
            // The library to 1e-8 (the file has nine digits, hence the second term).
            assert!((pt(r[0], t - 273.15, OH) * 1e3 / h - 1.0).abs() < 1e-8 + 5e-9, "{r:?}");
            assert!((pt(r[0], t - 273.15, OV) / v - 1.0).abs() < 1e-8 + 5e-9, "{r:?}");
            let w = if region == 1 { liquid(p, t) } else { vapour(p, t) };
            let (v_error, h_error) = if region == 1 { (1e-7, 0.05 / h) } else { (1.5e-6, 6e-7) };
            assert!((w.v / v - 1.0).abs() < v_error + 5e-9, "{r:?} {w:?}");
            assert!((w.h / h - 1.0).abs() < h_error + 5e-9, "{r:?} {w:?}");
            // Heat capacity is a slope of the tables and stated less closely.
            assert!((w.cp(p) / (r[5] * 1e3) - 1.0).abs() < 1e-4, "{r:?} {}", w.cp(p));
        }
    }

    #[test]
    fn steam_saturation() {
        for r in rows("steam_saturation.csv") {
            let s = saturation_at_p(r[0] * 1e6);
            let near = |a: f64, b: f64| (a / b - 1.0).abs() < 2e-7;
            assert!((s.t / r[1] - 1.0).abs() < 5e-9, "{r:?} {s:?}");
            assert!(near(s.h_l, r[2] * 1e3) && near(s.h_v, r[3] * 1e3), "{r:?} {s:?}");
            assert!(near(s.v_l, r[6]) && near(s.v_v, r[7]), "{r:?} {s:?}");
        }
    }
}
