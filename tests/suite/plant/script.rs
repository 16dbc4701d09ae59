//! Ten minutes of a busy watch, always the same: from cold to a manual light-up, with a failing on the way.

use super::hand::{Hand, TICKS};

/// How long it lasts, s.
pub const LASTS: u64 = 600;

/// What is done at a second of the script.
pub fn act(h: &mut Hand, second: u64) {
    match second {
        0 => {
            for valve in ["XV-1101", "XV-1106", "XV-1103", "XV-1201", "XV-1211", "XV-3000", "XV-3001"] {
                h.set(valve, "open");
            }
            h.set("XV-1501", "open");
        }
        12 => {
            for pump in ["P-1101", "P-1201", "P-1501", "P-3001"] {
                h.set(pump, "start");
            }
            h.set("P-1202", "standby");
            h.set("TIC-1201", "automatic");
            h.set("K-1401", "automatic");
            h.set("XV-2001", "open");
            h.set("XV-2101", "open");
        }
        40 => h.dial("LCV-3002", 1.0),
        60 => {
            h.set("HS-2001", "manual");
            h.set("K-2001", "start");
            h.dial("FCV-2001", 1.0);
        }
        130 => h.dial("LCV-3002", 0.0),
        140 => h.fail("P-1201", "trips", true, None),
        170 => {
            h.dial("HIC-2001", 0.3);
            h.dial("FCV-2001", 0.27);
        }
        260 => h.set("HS-2005", "on"),
        266 => h.set("HS-2006", "open"),
        280 => h.set("FCV-2001", "with the firing master"),
        300 => h.dial("HIC-2001", 1.0),
        330 => h.fail("PT-1501", "offset", true, Some(1e5)),
        400 => h.set("XV-2001", "shut"),
        450 => h.set("XV-2104", "open"),
        460 => h.dial("XV-2103", 0.2),
        520 => h.dial("XV-2202", 0.5),
        560 => h.set("XV-2002", "open"),
        _ => {}
    }
}

/// Plays the script from where the plant stands, looking at it on every tick after it.
pub fn play(h: &mut Hand, mut look: impl FnMut(&Hand)) {
    while h.ticks < LASTS * u64::from(TICKS) {
        if h.ticks.is_multiple_of(u64::from(TICKS)) {
            act(h, h.ticks / u64::from(TICKS));
        }
        h.tick();
        look(h);
    }
}

/// Every point's two values, as bits.
pub fn bits(h: &Hand, into: &mut Vec<u8>) {
    for i in 0..h.plant.points().len() {
        let id = plant::PointId(i as u16);
        into.extend(h.plant.actual(id).0.to_bits().to_le_bytes());
        into.extend(h.plant.signal(id).0.to_bits().to_le_bytes());
    }
}

/// The golden text of the script: how much was looked at, its digest, and some readings for people.
pub fn golden() -> String {
    let (mut all, mut told) = (vec![], String::new());
    let mut h = Hand::cold();
    play(&mut h, |h| {
        if h.ticks.is_multiple_of(u64::from(TICKS)) {
            bits(h, &mut all);
        }
        if h.ticks.is_multiple_of(60 * u64::from(TICKS)) {
            told += &format!(
                "{:4.0} s  drum {:8.4} barg {:8.5} m  furnace air {:6.4} kg/s  stack {:8.3} degC  fresh water {:7.4} degC\n",
                h.seconds(),
                h.barg("PT-2001"),
                h.actual("LT-2001"),
                h.actual("FT-2001"),
                h.celsius("TT-2002"),
                h.celsius("TT-1201"),
            );
        }
    });
    format!(
        "{} points over {LASTS} s, digest of their bits each second\n{} bytes {}\n{told}",
        h.plant.points().len(),
        all.len(),
        files::digest::bytes(&all)
    )
}
