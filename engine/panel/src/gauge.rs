//! Gauges: a pointer before a scale.
//!
//! The pointer follows the signal of one point and stops at the ends of its scale; it is then off
//! scale, and says so. Assumptions: the pointer itself has no lag (the transmitter has it); its unit
//! is that of the scale. Valid for every quantity but states. Source of the tolerance of 2 % of the
//! scale, beyond which shown and true count as different: the accuracy class usual for panel
//! instruments is 1 to 2.5 (EN 837-1 classes, from memory); own choice within it.

use crate::Shown;
use crate::difference::{Ended, Lately, Span};
use crate::pointer::{Pointer, PointerFailing};
use base::units::{Dimension, Unit};
use base::{Tag, Tick};
use plant::PointId;

/// Part of the scale beyond which a gauge counts as differing, when its description says nothing.
pub const TOLERANCE: f64 = 0.02;

/// Part of the scale by which a signal must pass an end before the pointer counts as off scale: less
/// than that nobody sees, and the figures of an instrument at rest differ from its zero by rounding.
/// Own choice, a tenth of a division of a scale with 100.
pub const PAST_THE_END: f64 = 0.001;

/// Whether the pointer rests at an end of its scale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum OffScale {
    /// On the scale.
    #[default]
    No,
    /// The signal is below the scale.
    Low,
    /// The signal is above the scale.
    High,
}

base::kept!(enum OffScale { 0 No, 1 Low, 2 High });

/// A gauge. What a tick of a sound one needs stands together, in the order written here, and is one line of a processor's
/// cache: there are more than a hundred of them, and memory costs more than sums.
#[derive(Clone, Debug)]
#[repr(C, align(64))]
pub struct Gauge {
    /// The point that it follows.
    pub of: PointId,
    off: OffScale,
    /// Nothing is wrong with its pointer.
    sound: bool,
    /// A span goes on over which it misleads: what `span` says, once more where a tick looks.
    misleads: bool,
    /// Ends of its scale, SI.
    pub scale: (f64, f64),
    /// Difference from the true value beyond which it misleads, SI.
    pub tolerance: f64,
    shown: f64,
    /// What its pointer was last told.
    told: f64,
    lately: Lately,
    span: Span,
    pointer: Pointer,
    /// Its tag.
    pub tag: Tag,
    /// What people call it.
    pub name: String,
    /// Unit of its scale.
    pub unit: &'static Unit,
}

base::kept!(Gauge { pointer, sound, misleads, shown, told, off, lately, span } fixed { tag, name, of, unit, scale, tolerance });

impl Gauge {
    pub(crate) fn new(
        tag: Tag,
        name: String,
        of: PointId,
        unit: &'static Unit,
        scale: (f64, f64),
        tolerance: f64,
    ) -> Gauge {
        Gauge {
            tag,
            name,
            of,
            unit,
            scale,
            tolerance,
            pointer: Pointer::default(),
            sound: true,
            misleads: false,
            shown: scale.0,
            told: scale.0,
            off: OffScale::No,
            lately: Lately::always(scale.0),
            span: Span::default(),
        }
    }

    /// Where the pointer stands.
    #[must_use]
    pub fn shown(&self) -> Shown {
        Shown(self.shown)
    }

    /// Whether it rests at an end of the scale.
    #[must_use]
    pub fn off_scale(&self) -> OffScale {
        self.off
    }

    /// What a person reads off: "4.10 barg", "25.00 barg, off scale".
    #[must_use]
    pub fn text(&self) -> String {
        let text = self.unit.tell(self.shown);
        if self.off == OffScale::No { text } else { format!("{text}, off scale") }
    }

    /// Whether its dial goes all the way round, as a synchroscope's does.
    #[must_use]
    pub fn goes_round(&self) -> bool {
        let turn = std::f64::consts::TAU;
        self.unit.dimension == Dimension::Angle && (self.scale.1 - self.scale.0 - turn).abs() < 1e-6
    }

    /// Takes over signal and true value as they stand, without history.
    pub(crate) fn prime(&mut self, signal: f64, actual: f64) {
        self.pointer.prime(signal);
        self.told = signal;
        self.point_at(signal);
        self.lately = Lately::always(actual.clamp(self.scale.0, self.scale.1));
        self.span = Span::default();
        self.misleads = false;
    }

    fn point_at(&mut self, signal: f64) {
        let past = PAST_THE_END * (self.scale.1 - self.scale.0);
        self.off = if signal < self.scale.0 - past {
            OffScale::Low
        } else if signal > self.scale.1 + past {
            OffScale::High
        } else {
            OffScale::No
        };
        // A pointer meets its stop; a number that is none stays none, and the session reports it.
        self.shown = signal.clamp(self.scale.0, self.scale.1);
    }

    /// One tick: the pointer moves, and is compared with where it would stand if all were well.
    #[inline]
    pub(crate) fn update(&mut self, tick: Tick, signal: f64, actual: f64) -> Option<Ended> {
        let (low, high) = self.scale;
        let on_the_scale = signal >= low && signal <= high && actual >= low && actual <= high;
        if on_the_scale && self.sound && (signal - actual).abs() <= self.tolerance && !self.misleads {
            // As nearly always: it shows what is true, and nothing has to be told.
            (self.off, self.shown, self.told) = (OffScale::No, signal, signal);
            self.lately.take(tick, actual);
            return None;
        }
        self.look(tick, signal, actual)
    }

    /// The same in full.
    #[inline(never)]
    fn look(&mut self, tick: Tick, signal: f64, actual: f64) -> Option<Ended> {
        if self.sound {
            self.point_at(signal);
        } else {
            self.misled(tick, signal);
        }
        self.told = signal;
        let ideal = actual.clamp(self.scale.0, self.scale.1);
        self.lately.take(tick, ideal);
        let by = if (self.shown - ideal).abs() > self.tolerance {
            Some(self.lately.outside_by(self.shown)).filter(|by| *by > self.tolerance)
        } else {
            None
        };
        let ended = self.span.observe(tick, by, self.shown, actual);
        self.misleads = self.span.is_open();
        ended
    }

    /// Moves a pointer with which something is wrong.
    #[inline(never)]
    fn misled(&mut self, tick: Tick, signal: f64) {
        let round = self.goes_round();
        let points = self.pointer.step(signal, &self.tag, tick, self.scale, round);
        if !self.pointer.stands() {
            self.point_at(points);
        }
        self.sound = self.pointer.failing.sound();
    }

    /// What is wrong with its pointer, to be changed. A sound one stands at what it was last told.
    pub(crate) fn failing(&mut self) -> &mut PointerFailing {
        if std::mem::take(&mut self.sound) {
            self.pointer.prime(self.told);
        }
        &mut self.pointer.failing
    }

    pub(crate) fn finish(&mut self, tick: Tick) -> Option<Ended> {
        self.misleads = false;
        self.span.end(tick)
    }
}
