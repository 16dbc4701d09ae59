//! The diesel is taken off the board, the turbine is lost, and the ship comes back out of the dark.

use crate::board;
use crate::plan::{Plan, barg, lit, shown};
use replay::record::Deed;

/// The whole watch.
pub fn plan() -> Plan {
    let mut p = Plan::default();
    diesel_off(&mut p);
    p.until("the bus goes dead", 1800.0, |s| !lit(s, "EL-5000"));
    power(&mut p);
    services(&mut p);
    relight(&mut p);
    rest(&mut p);
    p
}

/// Load over to the turbine, the diesel off the board, cooled and stopped.
fn diesel_off(p: &mut Plan) {
    p.wait(20.0);
    p.trim(5.0, |s| {
        if shown(s, "JT-5001") < 20e3 {
            return None;
        }
        let off = shown(s, "ST-5000") - 60.0;
        Some(if off < 0.0 { Deed::operate("SC-5101", "raise") } else { Deed::operate("SC-5001", "lower") })
    });
    p.set("CB-5001", "open");
    board::hold_frequency(p, "SC-5101");
    p.wait(120.0);
    p.set("D-5011", "stop");
}

/// Turbine made safe, the emergency set seen to come, the diesel by air onto the dead bus.
fn power(p: &mut Plan) {
    p.wait(6.0);
    p.set("XV-4005", "shut");
    p.until("the emergency bus is live", 60.0, |s| lit(s, "EL-5300"));
    p.set("D-5011", "start");
    p.until("the diesel is at its speed", 60.0, |s| shown(s, "ET-5001") > 440.0 && shown(s, "ST-5001") > 59.0);
    p.wait(5.0);
    p.set("CB-5001", "close");
    p.until("the main bus is live", 10.0, |s| lit(s, "EL-5000"));
    board::hold_frequency(p, "SC-5001");
}

/// What does not come back by itself, one motor after the other.
fn services(p: &mut Plan) {
    p.until("cooling water is back", 60.0, |s| barg(s, "PT-1101") > 1.0 && barg(s, "PT-1201") > 2.2);
    for pump in ["P-3201", "P-3211", "P-1501", "P-3001"] {
        p.set(pump, "start");
        p.wait(8.0);
    }
    p.until("the feed pump is missed", 30.0, |s| !lit(s, "YL-3001"));
    p.set("P-3002", "start");
    p.wait(10.0);
    p.deed(Deed::report("P-3001", "it will not start"));
    p.wait(5.0);
    p.deed(Deed::report("TU-4001", "it is unbalanced: vibration before the trip"));
}

/// Purge, reset, light up, back to automatic.
fn relight(p: &mut Plan) {
    p.set("XV-2101", "open");
    p.set("HS-2001", "automatic");
    p.until("the furnace is purged", 300.0, |s| lit(s, "BL-2003"));
    p.set("HS-2004", "reset");
    p.wait(5.0);
    p.set("HS-2002", "start");
    p.until("the main flame is proved", 240.0, |s| lit(s, "BL-2001"));
    p.wait(60.0);
    p.set("XV-2101", "shut");
}

/// The emergency bus back on the main bus, the rotor turned once it stands.
fn rest(p: &mut Plan) {
    // Stopped first: standing by, it would take its dead bus again.
    p.set("D-5211", "stop");
    p.wait(1.0);
    p.set("CB-5201", "open");
    p.wait(1.0);
    p.set("CB-5300", "close");
    p.until("the emergency bus is live", 5.0, |s| lit(s, "EL-5300"));
    p.wait(30.0);
    p.set("D-5211", "standby");
    p.set("XV-4001", "shut");
    p.set("XV-4003", "open");
    p.set("XV-4004", "open");
    p.until("the rotor stands", 5400.0, |s| shown(s, "ST-4001") * 60.0 < 2.0);
    p.set("HS-4002", "in");
    p.until("the rotor turns", 30.0, |s| lit(s, "XL-4007"));
    p.wait(300.0);
}
