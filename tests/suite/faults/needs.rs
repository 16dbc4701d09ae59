//! What a failing needs to be seen: the state that the plant is in, and what is asked of it meanwhile.

/// What a cell needs.
#[derive(Clone, Copy, Debug)]
pub struct Needs {
    /// Name of the prepared state, with what [`super::cell::Stage`] adds to it.
    pub state: &'static str,
    /// Orders: seconds after the onset, control ("on" for the target's own), word.
    pub orders: &'static [(f64, &'static str, &'static str)],
    /// What else goes wrong in both runs: from and to so many seconds, target ("on" for the failing's own), kind, size.
    pub also: &'static [(f64, f64, &'static str, &'static str, Option<f64>)],
    /// Seconds with the failing.
    pub lasts: f64,
    /// It makes no difference here, since what it is in stands still; its effect is tested beside the part.
    pub dormant: bool,
}

const FIRING: Needs = Needs { state: "steam-up", orders: &[], also: &[], lasts: 12.0, dormant: false };

/// What this failing on this kind of target needs.
pub fn of(target: &str, kind: &str) -> Needs {
    let asked = |orders| Needs { orders, ..FIRING };
    let beside = |also| Needs { also, ..FIRING };
    let dormant = Needs { dormant: true, ..FIRING };
    match (target, kind) {
        // They need a machine that stands still here, or a second thing gone wrong that takes too long: each has its
        // test beside its part, in the plant's own tests of turbine, condenser, electrical plant and burner, and of
        // the panel's pointer.
        ("turbine", _)
        | ("trip gear", _)
        | ("turbine oil", "cooler fouled" | "thermostat stuck" | "shaft pump worn") => dormant,
        ("turbine governor", _) | ("condenser", "fouled" | "tube leak") | ("air user", _) => dormant,
        ("diesel engine", "overspeed trip dead") | ("switchboard", "check relay passes all") => dormant,
        ("burner", "no spark" | "pilot fails") | ("draught fan", "will not start") => dormant,
        ("air dryer", "stopped") | ("air reducer", _) | ("electric heater", _) | ("stop valve", _) => dormant,
        // Seen in the consequences.
        ("damper", "sluggish") => dormant,
        (_, "wrong fail position") => beside(&[(1.0, 60.0, "V-1402", "line parted", None)]),
        ("gauge", "turns the wrong way") | ("thermostatic valve", "seized" | "sluggish") => dormant,
        ("thermostatic valve", _) => asked(&[(1.0, "P-1302", "start")]),
        ("three-way valve", _) => beside(&[(1.0, 60.0, "TT-1201", "signal high", None)]),
        (_, "seized" | "sluggish" | "passing") => asked(&[(1.0, "on", "open"), (6.0, "on", "shut")]),
        ("diesel engine", "governor hunting" | "oil leak") => Needs { lasts: 40.0, ..asked(&[(1.0, "on", "start")]) },
        ("generator", _) => Needs { lasts: 40.0, ..asked(&[(1.0, "D-5011", "start"), (1.0, "D-5211", "start")]) },
        ("compressor" | "vacuum pump", "trips" | "worn" | "unloader stuck") => asked(&[(1.0, "on", "start")]),
        (_, "will not start" | "will not close") => {
            asked(&[(1.0, "on", "stop"), (1.0, "on", "open"), (7.0, "on", "start"), (7.0, "on", "close")])
        }
        ("pump", "standby start dead") => Needs {
            orders: &[(1.0, "on", "standby")],
            lasts: 30.0,
            ..beside(&[(3.0, 60.0, "P-1101", "trips", None), (3.0, 60.0, "P-1201", "trips", None)])
        },
        // Far from a vacuum, the one on standby comes in for the one that was started.
        ("vacuum pump", "standby start dead") => asked(&[(1.0, "K-3221", "start"), (1.0, "on", "standby")]),
        ("priming pump", _) => asked(&[(1.0, "on", "automatic")]),
        ("turbine oil", "leaks") | ("filter", _) => asked(&[(1.0, "P-4201", "start")]),
        ("turning gear", _) | ("turbine bearing", _) => {
            Needs { lasts: 30.0, ..asked(&[(1.0, "P-4201", "start"), (10.0, "HS-4002", "in")]) }
        }
        ("safety valve", "stuck") => beside(&[(1.0, 60.0, "on", "lifts early", Some(0.4))]),
        ("safety valve", "will not reseat") => beside(&[(1.0, 5.0, "on", "lifts early", Some(0.4))]),
        ("air receiver", "safety valve stuck") => beside(&[(1.0, 60.0, "on", "safety valve lifts early", Some(0.5))]),
        ("air receiver", "safety valve will not reseat") => {
            beside(&[(1.0, 5.0, "on", "safety valve lifts early", Some(0.5))])
        }
        ("switch", "stuck off") => beside(&[(1.0, 60.0, "K-2001", "coupling sheared", None)]),
        ("flame scanner", "lies") => beside(&[(1.0, 60.0, "BR-2001", "flame lost", None)]),
        ("burner management", "purge never counts") => {
            Needs { lasts: 150.0, ..beside(&[(1.0, 2.0, "BR-2001", "flame lost", None)]) }
        }
        _ => FIRING,
    }
}
