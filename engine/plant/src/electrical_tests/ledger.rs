//! Mass and energy of the small ship close, by what is seen of its stores.

use super::ship::ship;
use crate::ledger::Store;
use crate::small_plant::Hand;

fn held(h: &Hand) -> (f64, f64) {
    let (mut energy, mut mass) = (0.0, 0.0);
    for s in h.0.stores() {
        match s {
            Store::Liquid { fluid, mass: m, t, height, .. } => {
                energy += m * (fluid.enthalpy(t) + 9.80665 * height);
                mass += m;
            }
            Store::Heat { capacity, t, .. } => energy += capacity * t,
            Store::Air { volume, p, .. } => energy += 2.5 * p * volume,
            Store::Rotor { inertia, omega } => energy += 0.5 * inertia * omega * omega,
            Store::Battery { charge } => energy += charge,
            Store::Vessel { .. } => panic!("the small ship has no steam"),
        }
    }
    (energy, mass)
}

#[test]
fn energy_closes_from_shore_to_blackout_and_back() {
    let mut h = ship();
    let (e0, m0) = held(&h);
    let c0 = h.0.crossings();
    let look = |h: &Hand, when: &str| {
        let ((e, m), c) = (held(h), h.0.crossings());
        let scale = c.energy_through.max(e0.abs());
        let gap = ((e - e0) - (c.energy - c0.energy)) / scale;
        let mass = ((m - m0) - (c.other_liquids - c0.other_liquids)) / m0;
        println!("{when}: energy {gap:e}, mass {mass:e}");
        assert!(gap.abs() < 1e-9 && mass.abs() < 1e-9, "{when}: energy {gap:e}, mass {mass:e}");
    };
    h.set("P-1101", "start");
    h.run(30.0);
    look(&h, "on the shore");
    h.set("D-5011", "start");
    h.run(60.0);
    look(&h, "diesel idles");
    h.set("HS-5001", "in");
    h.set("HS-5090", "by-passed");
    h.set("CB-5001", "close");
    h.run(60.0);
    look(&h, "closed as it came");
    h.fail("CB-5400", "lost", true, None);
    h.run(300.0);
    look(&h, "without the shore");
    h.set("D-5011", "stop");
    h.run(300.0);
    look(&h, "blackout and emergency set");
    assert!(h.actual("BUS-5300") > 0.5);
}
