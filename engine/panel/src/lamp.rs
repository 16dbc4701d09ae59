//! Lamps: lit or dark.
//!
//! A lamp follows the signal of a state point (or its inverse), a trip, an alarm, or the setting of
//! a control. While the lamp test is pressed every lamp is lit. A dark lamp (its own failing) stays
//! dark in the test; a lamp stuck lit stays lit; a lamp that is both has no filament and is dark.

use crate::difference::{Ended, Span};
use base::{Tag, Tick};
use plant::{ControlId, PointId};

/// What a lamp follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Follows {
    /// A state point: lit when its signal is this.
    Point(PointId, bool),
    /// A trip by its place in [`plant::Plant::trips`]: lit when it is latched, or when it is not.
    Trip(usize, bool),
    /// An alarm of the panel: lit when it stands, or when it does not.
    Standing(usize, bool),
    /// An alarm of the panel: lit while it waits to be acknowledged.
    Unacknowledged(usize),
    /// A control: lit when it stands at the word with this index.
    Control(ControlId, usize),
}

/// A lamp; like a gauge it begins with what a tick needs.
#[derive(Clone, Debug)]
#[repr(C)]
pub struct Lamp {
    /// What it follows.
    pub follows: Follows,
    pub(crate) dark: bool,
    pub(crate) stuck_lit: bool,
    lit: bool,
    span: Span,
    /// Its tag.
    pub tag: Tag,
    /// What people call it.
    pub name: String,
}

base::kept!(Lamp { dark, stuck_lit, lit, span } fixed { tag, name, follows });

impl Lamp {
    pub(crate) fn new(tag: Tag, name: String, follows: Follows) -> Lamp {
        Lamp { tag, name, follows, dark: false, stuck_lit: false, lit: false, span: Span::default() }
    }

    /// Whether it is seen lit.
    #[must_use]
    pub fn lit(&self) -> bool {
        self.lit
    }

    pub(crate) fn prime(&mut self, signal: bool) {
        self.lit = !self.dark && (self.stuck_lit || signal);
        self.span = Span::default();
    }

    /// One tick. `truth` is whether it would be lit by what is true; in a lamp test nobody takes a
    /// lit lamp for the state of anything, but a lamp that stays dark then is still a difference.
    pub(crate) fn update(&mut self, tick: Tick, signal: bool, truth: bool, test: bool) -> Option<Ended> {
        self.lit = !self.dark && (self.stuck_lit || signal || test);
        let untested = !self.dark && (self.stuck_lit || signal);
        let number = |b: bool| f64::from(u8::from(b));
        self.span.observe(tick, (untested != truth).then_some(1.0), number(untested), number(truth))
    }

    pub(crate) fn finish(&mut self, tick: Tick) -> Option<Ended> {
        self.span.end(tick)
    }
}
