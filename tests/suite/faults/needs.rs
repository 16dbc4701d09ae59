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
}

const FIRING: Needs = Needs { state: "steam-up", orders: &[], also: &[], lasts: 12.0 };

/// What this failing on this kind of target needs.
pub fn of(target: &str, kind: &str) -> Needs {
    let asked = |orders| Needs { orders, ..FIRING };
    let beside = |also| Needs { also, ..FIRING };
    let long = |lasts, needs| Needs { lasts, ..needs };
    // Diesel and turbo-generator share the load, and the condenser is under vacuum.
    let on_the_board = |orders| Needs { state: "on-the-board", orders, lasts: 20.0, ..FIRING };
    let cold = |orders| Needs { state: "cold", orders, ..FIRING };
    const MORE_LOAD: &[(f64, &str, &str)] = &[(1.0, "L-5415", "in")];
    // A turbine that loses its load while its governor stands still runs away.
    const LOSES_ITS_LOAD: &[(f64, &str, &str)] = &[(1.0, "CB-5101", "open")];
    match (target, kind) {
        ("trip gear", "bolt dead") => Needs {
            also: &[(0.5, 60.0, "UC-4001", "stuck", None), (0.5, 60.0, "on", "electronic trip dead", None)],
            ..on_the_board(LOSES_ITS_LOAD)
        },
        ("trip gear", _) => Needs { also: &[(0.5, 60.0, "UC-4001", "stuck", None)], ..on_the_board(LOSES_ITS_LOAD) },
        ("turbine" | "turbine governor", _) | ("condenser", "fouled" | "tube leak") => on_the_board(MORE_LOAD),
        ("turbine oil", "cooler fouled" | "thermostat stuck" | "shaft pump worn") => on_the_board(MORE_LOAD),
        ("stop valve", _) => on_the_board(&[(1.0, "on", "shut")]),
        ("thermostatic valve", "seized") => long(60.0, on_the_board(MORE_LOAD)),
        // It comes back from where it was held.
        ("thermostatic valve", "sluggish") => {
            Needs { also: &[(1.0, 10.0, "on", "seized", Some(0.9))], ..on_the_board(MORE_LOAD) }
        }
        // A diesel that is taken off the board is a little fast, and its synchroscope turns.
        ("gauge", "turns the wrong way") => on_the_board(&[(1.0, "CB-5001", "open"), (3.0, "HS-5001", "in")]),
        ("switchboard", "check relay passes all") => {
            on_the_board(&[(1.0, "CB-5001", "open"), (3.0, "HS-5001", "in"), (9.0, "CB-5001", "close")])
        }
        ("diesel engine", "governor stuck") => on_the_board(MORE_LOAD),
        // A diesel that loses its load while its governor stands still races.
        ("diesel engine", "overspeed trip dead") => {
            Needs { also: &[(0.5, 60.0, "on", "governor stuck", None)], ..on_the_board(&[(1.0, "CB-5001", "open")]) }
        }
        ("burner", "no spark" | "pilot fails") => {
            long(200.0, asked(&[(1.0, "HS-2002", "stop"), (20.0, "HS-2002", "start")]))
        }
        ("draught fan", "will not start") => cold(&[(1.0, "on", "start")]),
        ("damper", "sluggish") => asked(&[(1.0, "HS-2002", "stop")]),
        // Coils without steam hold and give nothing.
        ("heating coil" | "steam trap", _) => asked(&[(1.0, "XV-2201", "open"), (1.0, "XV-2202", "open")]),
        ("air user", _) => asked(&[(1.0, "XV-1712", "open")]),
        // Grams of water must gather behind it before a drive crawls: more air goes through it for a while, and then
        // one is asked to go far.
        ("air dryer", "stopped") => Needs {
            also: &[(0.5, 400.0, "V-1402", "leaks", Some(0.03)), (150.0, 400.0, "LT-3201", "signal high", None)],
            lasts: 160.0,
            ..on_the_board(&[])
        },
        ("air reducer", _) => {
            Needs { also: &[(1.0, 90.0, "V-1402", "line parted", None)], ..on_the_board(&[(0.5, "XV-1404", "open")]) }
        }
        (_, "wrong fail position") => {
            Needs { also: &[(1.0, 90.0, "V-1402", "line parted", None)], lasts: 60.0, ..on_the_board(MORE_LOAD) }
        }
        ("electric heater", _) => asked(&[(1.0, "P-1302", "start"), (1.0, "on", "automatic")]),
        ("thermostatic valve", _) => asked(&[(1.0, "P-1302", "start")]),
        ("three-way valve", _) => beside(&[(1.0, 60.0, "TT-1201", "signal high", None)]),
        (_, "seized" | "sluggish" | "passing") => asked(&[(1.0, "on", "open"), (6.0, "on", "shut")]),
        ("diesel engine", "governor hunting" | "oil leak") => Needs { lasts: 40.0, ..asked(&[(1.0, "on", "start")]) },
        ("generator", _) => Needs { lasts: 40.0, ..asked(&[(1.0, "D-5011", "start"), (1.0, "D-5211", "start")]) },
        ("compressor" | "vacuum pump", "trips" | "worn" | "unloader stuck" | "bearing hot") => {
            asked(&[(1.0, "on", "start")])
        }
        (_, "will not start" | "will not close") => {
            asked(&[(1.0, "on", "stop"), (1.0, "on", "open"), (7.0, "on", "start"), (7.0, "on", "close")])
        }
        ("pump", "standby start dead") => Needs {
            orders: &[(1.0, "on", "standby")],
            lasts: 30.0,
            ..beside(&[(3.0, 60.0, "P-1101", "trips", None), (3.0, 60.0, "P-1201", "trips", None)])
        },
        ("vacuum pump", "standby start dead") => Needs {
            also: &[(3.0, 400.0, "K-3221", "trips", None), (3.0, 400.0, "E-3201", "draws air", None)],
            lasts: 240.0,
            ..on_the_board(&[(1.0, "on", "standby")])
        },
        ("priming pump", _) => asked(&[(1.0, "on", "automatic")]),
        ("turbine oil", "leaks") | ("filter", _) => asked(&[(1.0, "P-4201", "start")]),
        ("turning gear", _) | ("turbine bearing", _) => {
            Needs { lasts: 30.0, ..asked(&[(1.0, "P-4201", "start"), (10.0, "HS-4002", "in")]) }
        }
        ("safety valve", "stuck") => beside(&[(1.0, 60.0, "on", "lifts early", Some(0.4))]),
        ("safety valve", "will not reseat") => beside(&[(1.0, 5.0, "on", "lifts early", Some(0.4))]),
        // There the starting-air receivers are full, wherever the control air's compressor is in its round.
        ("air receiver", "safety valve lifts early") => on_the_board(&[]),
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
