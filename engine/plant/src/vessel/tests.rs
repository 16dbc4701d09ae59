use super::*;
use crate::water;

fn residuals(c: &Contents, volume: f64, metal: f64, e: &Equilibrium) -> (f64, f64) {
    let t = e.t;
    let sat = water::saturation_at_t(t);
    let (u_v, v_v) = match e.regime {
        Regime::Dry if c.water > 0.0 => {
            let w = water::vapour(e.p_steam, t);
            (w.u, w.v)
        }
        _ => (sat.u_v, sat.v_v),
    };
    let l = water::liquid(e.p, t);
    let energy = e.liquid_mass * l.u + e.vapour_mass * u_v + c.air * air_energy(t) + metal * (t - T_ZERO);
    let vol = if e.liquid_mass > 0.0 { e.liquid_mass * l.v + e.gas_volume } else { e.vapour_mass * v_v };
    let scale = c.energy.abs() + e.capacity * t;
    ((energy - c.energy) / scale, if c.water > 0.0 { vol / volume - 1.0 } else { 0.0 })
}

fn solved(v: &mut Vessel) -> Equilibrium {
    let e = v.equilibrium().unwrap();
    let (energy, volume) = residuals(&v.contents, v.volume, v.metal_capacity, &e);
    assert!(energy.abs() < 1e-10, "energy {energy:e} {e:?}");
    assert!(volume.abs() < 1e-10, "volume {volume:e} {e:?}");
    assert!((e.liquid_mass + e.vapour_mass - v.contents.water).abs() <= 1e-10 * v.contents.water);
    e
}

#[test]
fn what_was_put_in_comes_out() {
    let cases = [
        Contents::humid_air(2.0, 3e5, 101_325.0, 293.15, 1.2, 1.0),
        Contents::humid_air(2.0, 0.0, 101_325.0, 293.15, 0.0, 0.6),
        Contents::humid_air(2.0, 0.0, 101_325.0, 293.15, 0.0, 0.0),
        Contents::humid_air(2.0, 0.0, 5e5, 450.0, 0.5, 1.0),
        Contents::saturated(2.0, 3e5, 2e6, 1.2),
        Contents::saturated(2.0, 0.0, 2e3, 1e-6),
        Contents::saturated(2.0, 0.0, 8.5e6, 1.0),
        Contents::steam(2.0, 0.0, 16e5, 593.15),
        Contents::steam(2.0, 1e5, 300.0, 293.15),
        Contents::humid_air(2.0, 0.0, 20e5, 293.15, 2.0, 1.0),
    ];
    let p = [101_325.0, 101_325.0, 101_325.0, 9.3e5, 2e6, 2e3, 8.5e6, 16e5, 300.0, 20e5];
    let t = [
        293.15,
        293.15,
        293.15,
        450.0,
        water::t_sat(2e6),
        water::t_sat(2e3),
        water::t_sat(8.5e6),
        593.15,
        293.15,
        293.15,
    ];
    for (i, c) in cases.iter().enumerate() {
        let mut v = Vessel::new(
            2.0,
            if [0, 4].contains(&i) {
                3e5
            } else if i == 8 {
                1e5
            } else {
                0.0
            },
            *c,
        );
        let e = solved(&mut v);
        let p_want = if i == 3 { e.p } else { p[i] };
        assert!((e.p / p_want - 1.0).abs() < 1e-7, "case {i}: {e:?}");
        assert!((e.t - t[i]).abs() < 1e-7, "case {i}: {e:?}");
    }
}
