//! What follows from a failing, by the physics and the protection alone: a few chains that an engineer would expect.

use super::ship;
use base::{Place, Tag};
use plant::{Order, Plant};

/// The training vessel in a prepared state.
struct Run(Plant);

impl Run {
    fn of(state: &str) -> Run {
        Run(ship().state(state, &Place::default()).unwrap())
    }

    fn fail(&mut self, on: &str, kind: &str, size: Option<f64>) -> &mut Run {
        let id = self.0.failing(&Tag::new(on), kind).unwrap_or_else(|| panic!("{on} cannot be \"{kind}\""));
        self.0.set_failing(id, true, size).unwrap();
        self
    }

    fn order(&mut self, on: &str, word: &str) -> Result<(), String> {
        let id = self.0.control(&Tag::new(on)).unwrap();
        let at = self.0.controls()[usize::from(id.0)].words.iter().position(|w| *w == word).unwrap();
        self.0.order(id, Order::Word(at))
    }

    fn dial(&mut self, on: &str, to: f64) {
        self.0.order(self.0.control(&Tag::new(on)).unwrap(), Order::Dial(to)).unwrap();
    }

    fn run(&mut self, seconds: f64) -> &mut Run {
        for _ in 0..(seconds * 10.0) as u32 {
            self.0.control_pass();
            self.0.step().unwrap();
        }
        self
    }

    fn actual(&self, tag: &str) -> f64 {
        self.0.actual(self.0.point(&Tag::new(tag)).unwrap()).0
    }

    fn signal(&self, tag: &str) -> f64 {
        self.0.signal(self.0.point(&Tag::new(tag)).unwrap()).0
    }

    fn tripped(&self, tag: &str) -> bool {
        let at = self.0.trips().iter().position(|t| t.tag.as_str() == tag).unwrap();
        self.0.tripped(at)
    }
}

/// At 17 bar the drum's water weighs 858 kg/m3 and its steam 8.6 (IAPWS-IF97, from memory), a cold leg 992: a
/// leg that has lost 100 mm reads high by 117 mm.
#[test]
fn a_lost_reference_leg_reads_high_by_the_weight_of_what_is_missing() {
    let mut r = Run::of("steam-up");
    r.run(5.0);
    let before = r.signal("LT-2001") - r.actual("LT-2001");
    r.fail("LT-2001", "reference leg lost", Some(0.1)).run(20.0);
    let error = r.signal("LT-2001") - r.actual("LT-2001") - before;
    assert!((error - 0.117).abs() < 0.006, "{error}");
}

#[test]
fn a_plugged_gauge_glass_fills_by_itself_and_nothing_else_minds() {
    let mut sound = Run::of("steam-up");
    let mut r = Run::of("steam-up");
    sound.run(60.0);
    r.fail("LG-2001", "water cock plugged", None).run(60.0);
    let rise = r.actual("LG-2001") - sound.actual("LG-2001");
    assert!((0.005..0.2).contains(&rise), "{rise}");
    assert_eq!(r.actual("LT-2001").to_bits(), sound.actual("LT-2001").to_bits());
    let mut cold = Run::of("cold");
    let was = cold.actual("LG-2001");
    cold.fail("LG-2001", "water cock plugged", None).run(60.0);
    assert_eq!(cold.actual("LG-2001"), was, "nothing condenses in a cold glass");
}

#[test]
fn the_boiler_trips_when_its_fan_does_and_the_first_cause_is_told() {
    let mut r = Run::of("steam-up");
    assert!(!r.tripped("XS-2001"));
    r.fail("K-2001", "trips", None).run(10.0);
    assert!(r.tripped("XS-2001") && r.actual("XS-2014") > 0.5);
    let mut r = Run::of("steam-up");
    r.fail("K-2001", "coupling sheared", None).run(30.0);
    assert!(r.tripped("XS-2001") && r.actual("XS-2015") > 0.5, "its motor runs, so that low air is the cause");
}

#[test]
fn a_blind_scanner_trips_a_boiler_that_burns_and_a_low_water_cut_out_stuck_off_does_not_trip() {
    let mut r = Run::of("steam-up");
    r.fail("BSH-2001", "blind", None).run(5.0);
    assert!(r.tripped("XS-2001"));
    let lose_feed = |dead: bool| {
        let mut r = Run::of("steam-up");
        if dead {
            r.fail("LSL-2001", "stuck off", None);
        }
        // A tube as good as burst and no feed: the level goes.
        r.fail("B-2001", "tube leak", Some(0.8)).fail("LCV-3001", "seized", Some(0.0)).run(150.0);
        // XS-2012: the level was the first cause.
        (r.actual("XS-2012") > 0.5, r.actual("LT-2001"))
    };
    let (tripped, level) = lose_feed(false);
    let (dead, lower) = lose_feed(true);
    assert!(tripped && level < -0.2, "the level is at {level}");
    assert!(!dead && lower < -0.2, "the level is at {lower}");
}

#[test]
fn a_safety_valve_that_lifts_early_blows_and_one_that_does_not_reseat_goes_on() {
    let mut r = Run::of("steam-up");
    r.run(2.0);
    assert!(r.actual("PSV-2001") < 0.5);
    r.fail("PSV-2001", "lifts early", Some(0.4)).fail("PSV-2001", "will not reseat", None).run(3.0);
    assert!(r.actual("PSV-2001") > 0.5);
    let id = r.0.failing(&Tag::new("PSV-2001"), "lifts early").unwrap();
    r.0.set_failing(id, false, None).unwrap();
    r.run(20.0);
    assert!(r.actual("PSV-2001") > 0.5, "it holds");
    let id = r.0.failing(&Tag::new("PSV-2001"), "will not reseat").unwrap();
    r.0.set_failing(id, false, None).unwrap();
    r.run(2.0);
    assert!(r.actual("PSV-2001") < 0.5, "mended, it comes back to its seat");
}

#[test]
fn a_hot_bearing_loads_the_motor_until_its_overload_trips() {
    let mut r = Run::of("steam-up");
    let (runs, pump) = [("YS-3001", "P-3001"), ("YS-3002", "P-3002")]
        .into_iter()
        .find(|(contact, _)| r.actual(contact) > 0.5)
        .expect("a feed pump runs");
    r.fail(pump, "bearing hot", Some(2.0)).run(60.0);
    assert!(r.actual(runs) < 0.5);
}

#[test]
fn a_vacuum_pump_with_a_hot_bearing_is_taken_out_by_its_overload() {
    let runs = |r: &Run| ["YS-3221", "YS-3222"].map(|t| r.actual(t) > 0.5);
    let mut r = Run::of("on-the-board");
    let at = runs(&r);
    let pump = if at[0] { "K-3221" } else { "K-3222" };
    r.fail(pump, "bearing hot", Some(0.6)).run(15.0);
    assert_eq!(runs(&r), at, "the overload waits");
    r.run(20.0);
    assert_ne!(runs(&r), at);
}

#[test]
fn a_hot_bearing_of_a_compressor_trips_it_likewise() {
    let runs = |size: Option<f64>| {
        let mut r = Run::of("steam-up");
        r.order("K-1401", "start").unwrap();
        if size.is_some() {
            r.fail("K-1401", "bearing hot", size);
        }
        r.run(60.0).actual("YS-1401") > 0.5
    };
    assert!(runs(None) && !runs(Some(2.0)));
}

/// Half of the heat through a fouled coil, and next to none through one that its blocked trap has filled.
#[test]
fn a_blocked_trap_drowns_its_coil_and_a_fouled_coil_warms_slowly() {
    let warms = |on: &str, kind: Option<&str>| {
        let mut r = Run::of("steam-up");
        r.order("XV-2201", "open").unwrap();
        if let Some(kind) = kind {
            r.fail(on, kind, None);
        }
        let before = r.run(60.0).actual("T-2201");
        r.run(600.0).actual("T-2201") - before
    };
    let (sound, blocked) = (warms("", None), warms("ST-2201", Some("blocked")));
    let fouled = warms("E-2201", Some("fouled"));
    println!(
        "the tank warms by {sound:.3} K, with the trap blocked by {blocked:.3} K, with the coil fouled by {fouled:.3} K"
    );
    assert!(sound > 0.0 && blocked < 0.5 * sound);
    assert!((0.4..0.75).contains(&(fouled / sound)), "{}", fouled / sound);
}

#[test]
fn a_blackout_throws_out_every_source_and_the_breakers_stay_out_until_it_clears() {
    let mut r = Run::of("steam-up");
    r.fail("SB-5000", "blackout", None).run(2.0);
    assert!(r.actual("BUS-5000") < 0.5);
    assert!(r.tripped("XS-2001"), "without its fan the boiler trips");
    let refused = r.order("CB-5400", "close");
    r.run(2.0);
    assert!(r.actual("BUS-5000") < 0.5, "{refused:?}");
    let id = r.0.failing(&Tag::new("SB-5000"), "blackout").unwrap();
    r.0.set_failing(id, false, None).unwrap();
    r.run(1.0).order("CB-5400", "close").unwrap();
    r.run(2.0);
    assert!(r.actual("BUS-5000") > 0.5);
}

#[test]
fn control_air_is_lost_through_a_parted_line() {
    let mut r = Run::of("steam-up");
    r.order("LIC-3001", "manual").unwrap();
    r.dial("HIC-3001", 0.5);
    r.run(15.0);
    let (was, stood) = (r.actual("PT-1402"), r.actual("LCV-3001"));
    r.fail("V-1402", "line parted", None).run(30.0);
    // Below 2.5 bar gauge the feed valve has no power, and stays; with its lock gone it shuts.
    assert!(was > 6e5 && r.actual("PT-1402") < 3.4e5, "{} of {was}", r.actual("PT-1402"));
    assert!(stood > 0.3 && r.actual("LCV-3001") == stood, "{stood} {}", r.actual("LCV-3001"));
    r.fail("LCV-3001", "wrong fail position", None).run(30.0);
    assert!(r.actual("LCV-3001") < 0.01);
}

#[test]
fn a_sluggish_damper_comes_behind_and_one_that_passes_lets_air_through() {
    let opened = |times: Option<f64>| {
        let mut r = Run::of("cold");
        if times.is_some() {
            r.fail("FCV-2001", "sluggish", times);
        }
        r.run(0.1).dial("FCV-2001", 1.0);
        r.run(2.0).actual("FCV-2001")
    };
    assert!((opened(None) / opened(Some(4.0)) - 4.0).abs() < 1e-9);
    let air = |passing: bool| {
        let mut r = Run::of("cold");
        if passing {
            r.fail("FCV-2001", "passing", Some(0.5));
        }
        r.run(0.1).order("K-2001", "start").unwrap();
        r.run(20.0).actual("FT-2001")
    };
    assert!(air(true) > 2.0 * air(false), "{} {}", air(true), air(false));
}

#[test]
fn a_fan_whose_contactor_does_not_close_stays_where_it_is() {
    let mut r = Run::of("cold");
    r.fail("K-2001", "will not start", None);
    r.run(0.1).order("K-2001", "start").unwrap();
    assert!(r.run(10.0).actual("YS-2001") < 0.5);
    let id = r.0.failing(&Tag::new("K-2001"), "will not start").unwrap();
    r.0.set_failing(id, false, None).unwrap();
    assert!(r.run(5.0).actual("YS-2001") < 0.5, "and is started anew when it is mended");
    r.order("K-2001", "start").unwrap();
    assert!(r.run(5.0).actual("YS-2001") > 0.5);
}

/// A leak from a cooler moves what it takes from one circuit to the other, and loses nothing.
#[test]
fn a_leaking_cooler_empties_one_circuit_into_the_other() {
    let level = |leak: bool| {
        let mut r = Run::of("steam-up");
        if leak {
            r.fail("E-1201", "tube leak", Some(5e-4)).fail("E-1202", "tube leak", Some(5e-4));
        }
        r.run(120.0);
        r.actual("LT-1201")
    };
    let (sound, leaking) = (level(false), level(true));
    assert!((leaking - sound).abs() > 0.02, "{leaking} {sound}");
}

#[test]
fn a_purge_timer_that_is_stuck_credits_a_purge_that_was_none() {
    let mut r = Run::of("cold");
    let purged = r.0.points().iter().position(|p| p.name == "purge credited").unwrap();
    let credited = |r: &Run| r.0.actual(plant::PointId(purged as u16)).0 > 0.5;
    r.run(1.0);
    assert!(!credited(&r));
    r.fail("UC-2001", "purge counts at once", None).run(1.0);
    assert!(credited(&r));
}
