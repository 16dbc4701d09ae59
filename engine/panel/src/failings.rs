//! What can go wrong on the panel: a row each for every lamp, gauge and alarm.

use crate::alarm::Alarm;
use crate::gauge::Gauge;
use crate::lamp::Lamp;
use base::Tag;
use base::record::Layer;
use plant::registry::{Failing, Size};

const COMPARE: &str = "compare with other indications and have the instrument read on the spot";

/// All of them: lamps, gauges, alarms, each in file order.
pub(crate) fn all(gauges: &[Gauge], lamps: &[Lamp], alarms: &[Alarm]) -> Vec<Failing> {
    let mut failings = vec![];
    for l in lamps {
        let mut add = |kind, seen, answer| failings.push(row(&l.tag, kind, None, seen, answer));
        add("dark", "it is dark, in the lamp test too", "test the lamps and have the equipment looked at on the spot");
        add(
            "stuck lit",
            "it stays lit whatever happens",
            "compare with other indications and have the equipment looked at on the spot",
        );
    }
    for g in gauges {
        let span = g.scale.1 - g.scale.0;
        let mut add = |kind, size, seen| failings.push(row(&g.tag, kind, size, seen, COMPARE));
        add("frozen", None, "its pointer stands still while all else moves");
        add("offset", Some(Size::error(g.unit, span)), "it is off by the same amount everywhere, at rest too");
        add("drift", Some(Size::drift()), "it wanders away from what other indications say");
        add("noise", Some(Size::noise()), "its pointer dances");
        if g.goes_round() {
            add("turns the wrong way", None, "it turns against the lamps' and the frequencies' sense");
        } else {
            add("slow", Some(Size::slow()), "it comes behind all else that moves");
            add("wrong scale", Some(Size::scale()), "it is right at the lower end and wrong the more the farther up");
        }
    }
    for a in alarms {
        let mut add = |kind, seen, answer| failings.push(row(&a.tag, kind, None, seen, answer));
        add("mute", "it does not come up though its cause is there", "watch the gauges, and do not wait for alarms");
        add("spurious", "it comes up and stays though its gauge is well", "find its cause before believing it");
    }
    failings
}

fn row(on: &Tag, kind: &'static str, size: Option<Size>, seen: &'static str, answer: &'static str) -> Failing {
    Failing { on: on.clone(), kind, layer: Layer::Shown, size, seen, answer }
}

/// Sets a failing of a gauge going, or mends it.
pub(crate) fn set_gauge(g: &mut Gauge, kind: &str, acting: bool, size: Option<f64>) {
    let size = size.filter(|_| acting);
    let span = g.scale.1 - g.scale.0;
    let f = g.failing();
    match kind {
        "frozen" => f.frozen = acting,
        "offset" => f.offset = size.unwrap_or(0.0),
        "drift" => f.drift = span * size.unwrap_or(0.0),
        "noise" => f.noise = span * size.unwrap_or(0.0),
        "slow" => f.slow = size.unwrap_or(0.0),
        "wrong scale" => f.factor = size,
        _ => f.reversed = acting,
    }
}
