//! Trends for the debrief: chosen instruments, true and shown, once a second.

use crate::observe::{Getter, Names, Scene};
use base::observable::Observable;
use base::record::{Channel, Layer};
use base::tick::TICKS_PER_SECOND;
use base::units::{Dimension, Unit};
use base::{Diagnostic, Place, Tag, Tick};

/// One recorded series.
#[derive(Clone, Debug)]
pub(crate) struct Trend {
    getter: Getter,
    unit: &'static Unit,
    channel: Channel,
}

impl Trend {
    /// The series of an instrument: what is true, and what is shown where the panel shows it.
    pub fn of(tag: &Tag, names: &Names<'_>, lasts: Tick, place: &Place) -> Result<Vec<Trend>, Diagnostic> {
        let point = names.point(tag, place)?;
        let p = &names.plant.points()[usize::from(point.0)];
        let gauge = names.panel.gauge(tag).or_else(|| names.panel.gauge_of(point));
        let unit = gauge.map_or(p.unit, |g| names.panel.gauges()[g].unit);
        let series = |layer, getter| {
            let values = Vec::with_capacity((lasts.0 / TICKS_PER_SECOND) as usize + 1);
            let channel = Channel {
                tag: tag.clone(),
                name: p.name.clone(),
                layer,
                unit: unit.symbol.to_owned(),
                every: TICKS_PER_SECOND,
                values,
            };
            Trend { getter, unit, channel }
        };
        let mut all = vec![series(Layer::Actual, Getter::Actual(point))];
        match gauge {
            Some(g) => all.push(series(Layer::Shown, Getter::Pointer(g))),
            None if p.unit.dimension == Dimension::State => {
                let lamp = names.bind(&Observable::Shown(tag.clone()), place);
                all.extend(lamp.ok().map(|(getter, _)| series(Layer::Shown, getter)));
            }
            None => {}
        }
        Ok(all)
    }

    /// Takes the value of a tick when it is due.
    pub fn sample(&mut self, scene: &Scene<'_>) {
        if scene.now.0.is_multiple_of(self.channel.every) {
            self.channel.values.push(self.unit.from_si(self.getter.read(scene)));
        }
    }

    pub fn into_channel(self) -> Channel {
        self.channel
    }
}
