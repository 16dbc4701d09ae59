//! Limits of the mark sheet as lines to draw on trends.

use crate::pack::Ready;
use base::observable::Observable;
use base::record::Layer;
use base::sheet::ItemKind;
use base::units;
use base::{Tag, record::Record};
use monitor::{Comparison, Formula};

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
}

/// The limits of an exercise that fall on trends of a record.
pub(crate) fn lines(ready: &Ready, record: &Record) -> Vec<LimitLine> {
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
                };
                if !all.contains(&line) {
                    all.push(line);
                }
            }
        }
    }
    all
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
