//! A plan: what a trainee means to do, one task after another, as the habits have it.

use crate::trainee::{Consumer, Drain, Habits, Lamp, Light, Line, Vent};
use replay::record::{Deed, Scene};

/// What a task waits for before it is begun.
#[derive(Clone, Copy, Debug)]
pub enum When {
    /// Nothing.
    Now,
    /// A gauge shows at least this (SI), or so many seconds have passed.
    Above(&'static str, f64, f64),
    /// A lamp is lit, or so many seconds have passed.
    Lit(&'static str, f64),
    /// The helper is free, or so many seconds have passed.
    HelperFree(f64),
    /// So many seconds of doing nothing.
    After(f64),
    /// Never: the trainee has given up.
    Never,
}

/// One task.
#[derive(Clone, Debug)]
pub struct Task {
    /// When it can be begun.
    pub when: When,
    /// How long a quick hand thinks about it, s.
    pub think: f64,
    /// What is done.
    pub deeds: Vec<Deed>,
}

impl When {
    /// Whether it has come, after so many seconds of waiting.
    pub fn come(self, scene: &Scene<'_>, waited: f64) -> bool {
        match self {
            When::Now => true,
            When::Above(tag, least, latest) => scene.shown(tag).is_some_and(|x| x >= least) || waited > latest,
            When::Lit(lamp, latest) => scene.lit(lamp) == Some(true) || waited > latest,
            When::HelperFree(latest) => !scene.helper_busy() || waited > latest,
            When::After(seconds) => waited >= seconds,
            When::Never => false,
        }
    }
}

/// Gauge pressure to SI.
pub fn barg(x: f64) -> f64 {
    x * 1e5 + 101_325.0
}

fn operate(list: &[(&str, &str)]) -> Vec<Deed> {
    list.iter().map(|(on, to)| Deed::operate(on, to)).collect()
}

/// The whole run as these habits mean to play it.
pub fn plan(h: &Habits) -> Vec<Task> {
    let mut p: Vec<Task> = vec![];
    let mut add = |when: When, think: f64, deeds: Vec<Deed>| p.push(Task { when, think, deeds });
    // Sea water.
    add(When::After(5.0), 6.0, operate(&[("XV-1101", "open"), ("XV-1106", "open")]));
    add(When::Now, 4.0, operate(&[("XV-1103", "open"), ("XV-1104", "open")]));
    add(When::Lit("XL-1101", 30.0), 5.0, operate(&[("P-1101", "start")]));
    // Fresh water, and water to the compressor before it runs.
    add(When::Now, 8.0, operate(&[("XV-1201", "open"), ("XV-1202", "open")]));
    if h.cools_compressor {
        add(When::Now, 5.0, operate(&[("XV-1211", "open")]));
    }
    add(When::Lit("XL-1201", 30.0), 5.0, operate(&[("P-1201", "start")]));
    if h.temperature_on_automatic {
        add(When::Now, 5.0, operate(&[("TIC-1201", "automatic")]));
    }
    add(When::Now, 4.0, operate(&[("P-1202", "standby"), ("P-1102", "standby")]));
    // Control air.
    if h.cools_compressor {
        add(When::Lit("XL-1211", 150.0), 5.0, vec![]);
    }
    add(When::Now, 4.0, operate(&[("K-1401", "automatic")]));
    // Fuel.
    add(When::Now, 6.0, operate(&[("XV-1501", "open")]));
    add(When::Lit("XL-1501", 180.0), 5.0, operate(&[("P-1501", "start")]));
    // Feed: fill, stop, prove.
    add(When::Now, 6.0, operate(&[("XV-3000", "open"), ("XV-3001", "open")]));
    add(When::Lit("XL-3001", 30.0), 5.0, operate(&[("P-3001", "start")]));
    add(When::Above("PT-3001", barg(12.0), 30.0), 4.0, operate(&[("HIC-3001", "90 % open")]));
    add(When::Above("LT-2001", h.fill_to, 900.0), 2.0, operate(&[("HIC-3001", "0 % open")]));
    // Vent and drain, the dark lamp among them.
    add(When::HelperFree(200.0), 5.0, operate(&[("XV-2001", "open")]));
    if h.drain != Drain::NeverOpens {
        add(When::Now, 4.0, operate(&[("XV-2101", "open")]));
    }
    match h.lamp {
        Lamp::Proves => {
            add(When::After(18.0), 8.0, vec![Deed::lamp_test()]);
            add(When::Now, 8.0, vec![Deed::local_check("XV-2101")]);
        }
        Lamp::TestsOnly => add(When::After(18.0), 8.0, vec![Deed::lamp_test()]),
        Lamp::Ignores => {}
    }
    if h.reports {
        add(When::Now, 10.0, vec![Deed::report("XL-2101", "the lamp is dead, the drain is open")]);
    }
    if h.reads_glass {
        add(When::Now, 6.0, vec![Deed::local_check("LG-2001")]);
    }
    add(When::HelperFree(300.0), 5.0, vec![]);
    if h.gives_up == Some(0) {
        add(When::Never, 0.0, vec![]);
    }
    // The fire.
    let firing = format!("{} % firing", h.firing);
    match h.light {
        Light::Sequence => {
            add(When::Now, 6.0, operate(&[("HS-2001", "automatic"), ("HIC-2001", &firing)]));
            add(When::Now, 4.0, operate(&[("HS-2002", "start")]));
        }
        Light::NoPurge => {
            add(When::Now, 5.0, operate(&[("HIC-2001", &firing), ("K-2001", "start"), ("FCV-2001", "27 % open")]));
            add(When::After(9.0), 1.0, operate(&[("HS-2005", "on")]));
            add(When::Lit("BL-2002", 10.0), 1.0, operate(&[("HS-2006", "open")]));
            add(When::After(8.0), 2.0, operate(&[("HS-2005", "off"), ("FCV-2001", "with the firing master")]));
        }
        Light::ShutDamper => {
            add(When::Now, 5.0, operate(&[("HIC-2001", &firing), ("K-2001", "start"), ("FCV-2001", "0 % open")]));
            add(When::After(75.0), 4.0, operate(&[("FCV-2001", "27 % open")]));
            add(When::After(4.0), 1.0, operate(&[("HS-2005", "on")]));
            add(When::Lit("BL-2002", 10.0), 1.0, operate(&[("HS-2006", "open")]));
            add(When::After(8.0), 2.0, operate(&[("HS-2005", "off"), ("FCV-2001", "with the firing master")]));
        }
    }
    add(When::Lit("BL-2001", 240.0), 8.0, vec![]);
    if h.drain == Drain::ShutEarly {
        add(When::Above("PT-2001", barg(0.4), 2400.0), 6.0, operate(&[("XV-2101", "shut")]));
    }
    match h.vent {
        Vent::Proper => add(When::Above("PT-2001", barg(0.9), 3000.0), 8.0, operate(&[("XV-2001", "shut")])),
        Vent::Forgets => {}
    }
    // The line.
    match h.line {
        Line::Warms => {
            add(When::Above("PT-2001", barg(2.2), 3000.0), 8.0, operate(&[("XV-2104", "open")]));
            add(When::After(14.0), 4.0, operate(&[("XV-2103", "8 % open")]));
            add(When::Above("TT-2110", 388.15, 600.0), 5.0, vec![]);
            add(When::After(100.0), 6.0, operate(&[("XV-2103", "open"), ("XV-2104", "shut")]));
        }
        Line::Slams => add(When::Above("PT-2001", barg(2.2), 3000.0), 4.0, operate(&[("XV-2103", "open")])),
    }
    // The first consumer.
    match h.consumer {
        Consumer::Proper => {
            add(When::Above("PT-2110", barg(2.2), 2400.0), 8.0, operate(&[("XV-2201", "20 % open")]));
            add(When::After(70.0), 6.0, operate(&[("XV-2201", "60 % open")]));
        }
        Consumer::Never => add(When::Never, 0.0, vec![]),
    }
    if !matches!(h.drain, Drain::ShutEarly | Drain::NeverShuts | Drain::NeverOpens) {
        add(When::After(75.0), 6.0, operate(&[("XV-2101", "shut")]));
    }
    add(When::Now, 6.0, operate(&[("LIC-3001", "automatic")]));
    p
}
