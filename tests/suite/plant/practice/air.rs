//! Control air lost: each pneumatic valve goes its own way, and what that does.

use super::super::hand::{Hand, in_state};
use base::description::{Component, Description};
use std::path::Path;

/// The plant's file as data.
fn described() -> Description {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/plants/training-vessel.ron");
    let text = std::fs::read_to_string(file).unwrap();
    files::plant_file::read("training-vessel.ron", text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}"))
}

/// Every pneumatic valve of the plant's file with the way that it goes without air, by what the file says.
fn pneumatic() -> Vec<(String, String)> {
    let of = |c: &Component, name: &str| c.fields.get(name).map(|f| f.value.clone());
    let d = described();
    let valves = d.components.iter().filter(|c| of(c, "drive").as_deref() == Some("pneumatic"));
    valves.map(|c| (c.tag.clone(), of(c, "fails").unwrap_or_else(|| "stays".into()))).collect()
}

/// Common practice: a ship has more than one of them, and not all go the same way.
#[test]
fn low_control_air_moves_each_valve_to_its_fail_position() {
    let valves = pneumatic();
    for way in ["open", "shut", "stays"] {
        assert!(valves.iter().any(|v| v.1 == way), "{way}: {valves:?}");
    }
    // At work, with every one of them where it was asked to be, or half way where a hand has it.
    let mut h = in_state("on-the-board");
    for controller in ["LIC-3001", "TIC-1201", "FIC-3213", "LIC-3214", "PIC-3231", "TIC-3251"] {
        h.set(controller, "manual");
    }
    for output in ["HIC-3001", "HIC-1201", "HIC-3213", "HIC-3214", "HIC-3231", "HIC-3251"] {
        h.dial(output, 0.5);
    }
    h.set("PIC-3241", "manual");
    h.dial("HIC-3241", 0.05);
    h.run(40.0);
    let stood: Vec<f64> = valves.iter().map(|v| h.actual(&v.0)).collect();
    for (v, x) in valves.iter().zip(&stood) {
        assert!(*x > 0.04 && *x < 0.96, "{} can go either way: {x}", v.0);
    }
    let sound = h.clone();
    h.fail("V-1402", "line parted", true, None);
    h.until("the header has lost its air", 60.0, |h| h.barg("PT-1402") < 2.0);
    h.run(60.0);
    for ((tag, way), was) in valves.iter().zip(&stood) {
        let stands = h.actual(tag);
        let right = match way.as_str() {
            "open" => stands > 0.999,
            "shut" => stands < 0.001,
            _ => stands == *was,
        };
        assert!(right, "{tag} goes {way}: {stands} from {was}");
    }
    // With air they stay where their hands have them.
    let mut h = sound;
    h.run(90.0);
    for ((tag, _), was) in valves.iter().zip(&stood) {
        if tag != "PCV-3241" {
            assert!((h.actual(tag) - was).abs() < 1e-9, "{tag}");
        }
    }
}

/// The switch that stops the fire on low control air looks at the header, from which the drives live, and not at the
/// receiver: a choked filter leaves the receiver full.
#[test]
fn a_choked_filter_stops_the_fire_though_the_receiver_is_full() {
    let mut h = in_state("steam-up");
    h.fail("F-1402", "choked", true, Some(1.0));
    h.until("the boiler trips", 3600.0, |h| h.tripped("XS-2001"));
    assert!(h.barg("PT-1401") > 5.0 && h.barg("PT-1402") < 3.6, "{} {}", h.barg("PT-1401"), h.barg("PT-1402"));
}

/// The generators' losses warm the fresh water behind them; without it they get hot, and their insulation ages.
#[test]
fn generators_without_cooling_water_get_hot() {
    let run = |cooled: bool| {
        let mut h = in_state("on-the-board");
        if !cooled {
            h.set("XV-1213", "shut");
        }
        h.run(3600.0);
        h
    };
    let (wet, dry): (Hand, Hand) = (run(true), run(false));
    for tag in ["TT-5002", "TT-5102"] {
        println!("{tag}: {:.1} degC with water, {:.1} without", wet.celsius(tag), dry.celsius(tag));
        assert!(wet.celsius(tag) < 100.0 && dry.celsius(tag) > wet.celsius(tag) + 15.0, "{tag}");
    }
}
