//! Limits of the mark sheet as lines to draw on trends.

use crate::pack::Ready;
use crate::ship::Ship;
use base::observable::Observable;
use base::record::Layer;
use base::sheet::ItemKind;
use base::units;
use base::{Tag, record::Record};
use monitor::{Comparison, Formula};
use panel::alarm::Cause;

/// A limit to draw on a trend.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitLine {
    /// The instrument of the trend.
    pub tag: Tag,
    /// Which of its values the limit is about.
    pub layer: Layer,
    /// The limit in the trend's unit.
    pub value: f64,
    /// The item's name.
    pub label: String,
    /// True when values above it are the wrong ones.
    pub wrong_above: bool,
    /// Where an alarm of the panel comes up, and not a limit of the mark sheet.
    pub alarm: bool,
}

/// The limits of an exercise that fall on trends of a record.
pub(crate) fn lines(ready: &Ready, ship: &Ship, record: &Record) -> Vec<LimitLine> {
    let mut all = vec![];
    for item in &ready.sheet.items {
        let ItemKind::Limit { keep, .. } = &item.kind else { continue };
        let mut found = vec![];
        bounds(keep, true, &mut found);
        for (signal, wrong_above, with) in found {
            let Some(watched) = ready.exercise.watched.get(signal as usize) else { continue };
            let (tag, layer) = match &watched.what {
                Observable::Actual(t) => (t, Layer::Actual),
                Observable::Signal(t) => (t, Layer::Signal),
                Observable::Shown(t) => (t, Layer::Shown),
                _ => continue,
            };
            let channel = record.channels.iter().find(|c| c.tag == *tag);
            if let Some(unit) = channel.and_then(|c| units::unit(&c.unit)) {
                let line = LimitLine {
                    tag: tag.clone(),
                    layer,
                    value: unit.from_si(with),
                    label: item.name.clone(),
                    wrong_above,
                    alarm: false,
                };
                if !all.contains(&line) {
                    all.push(line);
                }
            }
        }
    }
    all.extend(set_points(ship, record));
    all
}

/// Where the alarms of the panel come up, on the trends of a record.
fn set_points<'a>(ship: &'a Ship, record: &'a Record) -> impl Iterator<Item = LimitLine> + 'a {
    ship.panel.alarms().iter().filter_map(|a| {
        let (point, limit, wrong_above) = match a.cause {
            Cause::Above { point, limit, .. } => (point, limit, true),
            Cause::Below { point, limit, .. } => (point, limit, false),
            Cause::State(..) | Cause::Trip(_) => return None,
        };
        let of = |tag: &Tag| {
            let gauge = || ship.panel.gauge(tag).map(|g| ship.panel.gauges()[g].of);
            ship.plant.point(tag).or_else(gauge) == Some(point)
        };
        // An alarm follows the signal, which the trainee reads off the panel.
        let channel = |layer| record.channels.iter().find(|c| c.layer == layer && of(&c.tag));
        let channel = channel(Layer::Shown).or_else(|| channel(Layer::Actual))?;
        let value = units::unit(&channel.unit)?.from_si(limit);
        let label = format!("alarm {} {}", a.tag, a.text.to_lowercase());
        Some(LimitLine { tag: channel.tag.clone(), layer: channel.layer, value, label, wrong_above, alarm: true })
    })
}

/// The comparisons that must hold for a formula to hold: signal, whether above is wrong, constant.
/// What is under an "any" bounds nothing by itself.
fn bounds(f: &Formula, holds: bool, into: &mut Vec<(u32, bool, f64)>) {
    match f {
        Formula::Compare { signal, how, with } => {
            let below = matches!(how, Comparison::Below | Comparison::AtMost);
            into.push((signal.0, below == holds, *with));
        }
        Formula::Not(inner) => bounds(inner, !holds, into),
        Formula::All(parts) if holds => parts.iter().for_each(|p| bounds(p, holds, into)),
        Formula::Any(parts) if !holds => parts.iter().for_each(|p| bounds(p, holds, into)),
        Formula::Always(_, inner) | Formula::Historically(_, inner) if holds => bounds(inner, holds, into),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ship::DEFAULT;
    use base::Place;
    use base::record::Channel;

    #[test]
    fn alarms_are_drawn_where_they_come_up_on_the_trends_of_their_instruments() {
        let ship = Ship::named(DEFAULT, &Place::default()).unwrap();
        let channel = |tag: &str, layer, unit: &str| Channel {
            tag: Tag::new(tag),
            name: String::new(),
            layer,
            unit: unit.into(),
            every: 10,
            values: vec![0.0],
        };
        let channels = vec![
            channel("LT-2001", Layer::Actual, "mm"),
            channel("LT-2001", Layer::Shown, "mm"),
            channel("FT-3001", Layer::Actual, "t/h"),
        ];
        let record = Record { channels, ..Record::default() };
        let lines: Vec<LimitLine> = set_points(&ship, &record).collect();
        let low =
            lines.iter().find(|l| l.label.starts_with("alarm XA-2001 ")).expect("the drum has an alarm of low level");
        assert_eq!((low.tag.as_str(), low.layer, low.wrong_above, low.alarm), ("LT-2001", Layer::Shown, false, true));
        let alarm = &ship.panel.alarms()[ship.panel.alarm(&Tag::new("XA-2001")).unwrap()];
        let Cause::Below { limit, .. } = alarm.cause else { panic!("it comes up below a limit") };
        assert!((low.value - 1e3 * limit).abs() < 1e-9, "in the unit of the trend: {low:?}");
        assert!(lines.iter().all(|l| l.tag.as_str() != "FT-3001" || l.layer == Layer::Actual));
    }
}
