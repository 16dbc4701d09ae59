//! From cold to a turbine that shares the load with the diesel.

use crate::board;
use crate::plan::{Plan, barg, celsius, lit, shown};
use replay::record::Deed;

/// The whole day.
pub fn plan() -> Plan {
    let mut p = Plan::default();
    cooling(&mut p);
    diesel(&mut p);
    fire(&mut p);
    steam(&mut p);
    vacuum(&mut p);
    warm(&mut p);
    run_up(&mut p);
    beside_the_diesel(&mut p);
    p
}

/// Sea water, fresh water on automatic, control air.
fn cooling(p: &mut Plan) {
    p.wait(10.0);
    p.open(&["XV-1101", "XV-1106", "XV-1103", "XV-1104"]);
    p.until("the sea inlet is open", 30.0, |s| lit(s, "XL-1101"));
    p.set("P-1101", "start");
    p.wait(5.0);
    p.set("P-1102", "standby");
    p.open(&["XV-1201", "XV-1202", "XV-1216", "XV-1213"]);
    p.until("the fresh-water valves are open", 30.0, |s| lit(s, "XL-1201"));
    p.set("P-1201", "start");
    p.wait(5.0);
    p.set("P-1202", "standby");
    p.set("TIC-1201", "automatic");
    p.spot(Deed::operate("XV-1211", "open"));
    p.set("K-1401", "automatic");
}

/// The diesel by air, beside the shore, loaded, the shore left.
fn diesel(p: &mut Plan) {
    for valve in ["XV-1214", "XV-1215", "XV-1607", "XV-1608"] {
        p.spot(Deed::operate(valve, "open"));
    }
    p.set("K-1601", "automatic");
    p.set("K-1602", "automatic");
    p.spot(Deed::operate("XV-1601", "open"));
    p.until("there is air to start with", 1800.0, |s| barg(s, "PT-1603") > 15.0);
    p.set("D-5011", "start");
    p.until("the diesel is at its speed", 60.0, |s| shown(s, "ET-5001") > 440.0 && shown(s, "ST-5001") > 59.0);
    p.wait(60.0);
    board::synchronise(p, "5001");
    p.trim(5.0, |s| (shown(s, "JT-5400") > 15e3).then(|| Deed::operate("SC-5001", "raise")));
    p.set("CB-5400", "open");
    p.wait(20.0);
    board::hold_frequency(p, "SC-5001");
    board::hold_voltage(p, &["5001"]);
}

/// Fuel, water proved, purge and light.
fn fire(p: &mut Plan) {
    p.spot(Deed::operate("XV-1501", "open"));
    p.set("P-1501", "start");
    p.open(&["XV-3000", "XV-3001"]);
    p.until("the feed valves are open", 30.0, |s| lit(s, "XL-3001"));
    p.set("P-3001", "start");
    p.until("control air is up", 600.0, |s| barg(s, "PT-1401") > 6.0);
    p.set("HIC-3001", "50 % open");
    p.until("the drum is filled to below normal", 900.0, |s| shown(s, "LT-2001") > -0.08);
    p.set("HIC-3001", "0 % open");
    p.spot(Deed::operate("XV-2001", "open"));
    p.set("XV-2101", "open");
    p.spot(Deed::local_check("LG-2001"));
    p.set("HS-2001", "automatic");
    p.set("HIC-2001", "20 % firing");
    p.set("HS-2002", "start");
    p.until("the main flame is proved", 240.0, |s| lit(s, "BL-2001"));
}

/// Steam at low fire, the line warmed through, the small coil on, all on automatic.
fn steam(p: &mut Plan) {
    p.until("steam blows", 5400.0, |s| barg(s, "PT-2001") > 0.9);
    p.spot(Deed::operate("XV-2001", "shut"));
    p.until("3 barg", 3600.0, |s| barg(s, "PT-2001") > 3.0);
    p.set("LIC-3001", "automatic");
    p.set("XV-2104", "open");
    p.wait(10.0);
    p.set("XV-2103", "8 % open");
    p.until("5 barg", 3600.0, |s| barg(s, "PT-2001") > 5.0);
    p.until("the line is warm", 1200.0, |s| celsius(s, "TT-2110") > 130.0);
    p.set("XV-2103", "open");
    p.wait(120.0);
    p.set("XV-2201", "30 % open");
    p.wait(60.0);
    p.set("XV-2101", "shut");
    p.set("XV-2104", "shut");
    p.set("XV-2201", "open");
    p.until("8 barg", 3600.0, |s| barg(s, "PT-2001") > 8.0);
    p.set("PIC-2001", "automatic");
    p.set("FCV-2001", "with the firing master");
    board::hold_frequency(p, "SC-5001");
}

/// Circulating water, condensate on recirculation, oil and turning gear, gland steam, air extraction.
fn vacuum(p: &mut Plan) {
    p.open(&["XV-3201", "XV-3208"]);
    p.until("circulating water is lined up", 30.0, |s| lit(s, "XL-3201") && lit(s, "XL-3208"));
    p.set("P-3201", "start");
    p.open(&["XV-3211"]);
    p.until("condensate is lined up", 30.0, |s| lit(s, "XL-3211"));
    p.set("P-3211", "start");
    p.wait(5.0);
    p.set("P-3212", "standby");
    p.set("FIC-3213", "automatic");
    p.set("LIC-3214", "automatic");
    p.set("XV-1212", "open");
    p.wait(10.0);
    p.set("P-4201", "automatic");
    p.until("oil at the bearings", 60.0, |s| barg(s, "PT-4201") > 1.5);
    p.set("HS-4002", "in");
    p.set("XV-4101", "open");
    // Its lamp stays dark.
    p.wait(15.0);
    p.deed(Deed::lamp_test());
    p.wait(5.0);
    p.spot(Deed::local_check("HS-4002"));
    p.deed(Deed::report("XL-4007", "the lamp is dark, the gear turns"));
    p.until("the exhaust valve is open", 120.0, |s| lit(s, "XL-4101"));
    p.set("PIC-3231", "automatic");
    p.until("the glands have steam", 300.0, |s| barg(s, "PT-3231") > 0.05);
    p.wait(20.0);
    p.set("K-3221", "start");
    p.set("K-3222", "start");
    p.until("vacuum", 1200.0, |s| shown(s, "PT-3201") < 12e3);
    p.set("K-3222", "stop");
    p.until("steam at its pressure", 3600.0, |s| barg(s, "PT-2001") > 15.0);
}

/// The inlet line warmed, the rotor turned straight, rolled slowly and held.
fn warm(p: &mut Plan) {
    p.open(&["XV-4003", "XV-4004"]);
    p.wait(5.0);
    p.set("XV-4001", "5 % open");
    p.wait(240.0);
    p.set("XV-4001", "open");
    p.wait(60.0);
    p.until("the rotor is straight", 3600.0, |s| shown(s, "VT-4002") < 12e-6);
    p.set("HS-4001", "reset");
    p.wait(5.0);
    p.set("XV-4005", "20 % open");
    // The running vacuum pump is lost while the rotor is held.
    p.until("a vacuum pump is missed", 900.0, |s| !lit(s, "YL-3221"));
    p.wait(20.0);
    p.set("K-3222", "start");
    p.wait(10.0);
    p.deed(Deed::report("K-3221", "it trips, the other one runs"));
    p.wait(1500.0);
}

/// Through the critical speed without staying, held once more above it, until the governor has it.
fn run_up(p: &mut Plan) {
    p.set("XV-4005", "45 % open");
    p.until("it is past its critical speed", 60.0, |s| shown(s, "ST-4001") * 60.0 > 4300.0);
    p.set("XV-4005", "30 % open");
    p.wait(400.0);
    p.set("XV-4005", "open");
    p.wait(120.0);
    p.set("XV-4003", "shut");
    p.set("XV-4004", "shut");
    p.wait(30.0);
}

/// Onto the diesel's bus, loaded at once, shared.
fn beside_the_diesel(p: &mut Plan) {
    board::synchronise(p, "5101");
    p.set("SC-5101", "raise");
    p.wait(3.0);
    p.set("SC-5101", "raise");
    p.wait(3.0);
    board::share(p);
    board::hold_voltage(p, &["5001", "5101"]);
    p.set("HS-5101", "out");
    p.set("HS-3001", "three-element");
    p.wait(300.0);
    board::share(p);
    p.wait(360.0);
}
