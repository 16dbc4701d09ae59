//! Salt in the boiler water.

use super::bench::Bench;

/// Salty water foams, and the steam takes more of it along: none more at no salt, five times at twice the limit.
#[test]
fn salty_water_foams_and_wets_the_steam() {
    let moisture = |salt: f64| {
        let mut b = Bench::hot(17e5, 0.0);
        b.load = 1.5;
        b.drum.set_salt(salt);
        for _ in 0..20 {
            b.tick();
        }
        b.drum.moisture()
    };
    let (clean, salty, brine) = (moisture(0.0), moisture(7e-3), moisture(5e-2));
    // The water that goes along lowers the level a little.
    assert!(clean > 0.0 && (salty / clean - 5.0).abs() < 0.02, "{clean} {salty}");
    assert!(brine > salty && brine < 1.0);
}
