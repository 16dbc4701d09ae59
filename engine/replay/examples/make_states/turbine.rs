//! Condenser and turbine, in the order of common practice.

use crate::hands::Hands;

/// Circulating water, condensate on recirculation, oil and turning gear, gland steam, air extraction; vacuum proved.
pub fn vacuum(h: &mut Hands) {
    h.set("XV-3201", "open");
    h.set("XV-3208", "open");
    h.wait(12.0);
    h.set("P-3201", "start");
    h.set("XV-3211", "open");
    h.wait(10.0);
    h.set("P-3211", "start");
    h.wait(5.0);
    h.set("P-3212", "standby");
    h.set("FIC-3213", "automatic");
    h.set("LIC-3214", "automatic");
    h.set("XV-1212", "open");
    h.set("P-4201", "automatic");
    h.until("oil at the bearings", 60.0, |h| h.barg("PT-4201") > 1.5);
    h.set("HS-4002", "in");
    h.set("XV-4101", "open");
    h.wait(70.0);
    h.set("PIC-3231", "automatic");
    h.wait(60.0);
    h.set("K-3221", "start");
    h.set("K-3222", "start");
    h.until("vacuum", 1200.0, |h| h.actual("PT-3201") < 12e3);
    h.set("K-3222", "stop");
    h.until("vacuum at the exhaust", 900.0, |h| h.actual("PT-4101") < 13e3);
}

/// The inlet line warmed through its drain, the rotor turned straight, rolled slowly and held.
pub fn warm(h: &mut Hands) {
    h.set("XV-4003", "open");
    h.set("XV-4004", "open");
    h.set("XV-4001", "5 % open");
    h.wait(240.0);
    h.set("XV-4001", "open");
    h.wait(60.0);
    h.until("the rotor is straight", 3600.0, |h| h.actual("VT-4002") < 12e-6);
    h.set("HS-4001", "reset");
    h.wait(3.0);
    h.set("XV-4005", "20 % open");
    h.wait(1800.0);
}

/// Through the critical speed without staying, held once more above it, until the governor has it; drains shut once dry.
pub fn run_up(h: &mut Hands) {
    h.set("XV-4005", "45 % open");
    h.until("it is past its critical speed", 60.0, |h| h.actual("ST-4001") * 60.0 > 4300.0);
    h.set("XV-4005", "30 % open");
    h.wait(400.0);
    h.set("XV-4005", "open");
    h.wait(120.0);
    h.set("XV-4003", "shut");
    h.set("XV-4004", "shut");
    h.wait(30.0);
}
