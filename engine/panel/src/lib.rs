//! What is shown: gauges, lamps, the annunciator, and what somebody on the spot would see.
//!
//! Purpose: from the signals of a plant to what a trainee has before them, with the panel's own
//! failures, and the spans over which shown and true differed.
//!
//! Must not know: how to change the plant.
//!
//! ```
//! use base::description::{Component, Description, Field};
//! use panel::Panel;
//! let of = |kind: &str, tag: &str| Component {
//!     kind: kind.into(),
//!     tag: tag.into(),
//!     name: tag.into(),
//!     ..Component::default()
//! };
//! let mut valve = of("valve", "XV-2104");
//! valve.fields.insert("stroke time".into(), Field { value: "8 s".into(), source: "own choice".into() });
//! let mut lamp = of("lamp", "XL-2104");
//! lamp.links.insert("of".into(), "ZSL-2104".into());
//! lamp.fields.insert("lit when".into(), Field { value: "shut".into(), source: String::new() });
//! let d = Description { components: vec![valve, lamp], ..Description::default() };
//! let plant = plant::Plant::build(&d).unwrap();
//! let panel = Panel::build(&d, &plant).unwrap();
//! assert!(panel.lit(0)); // the valve starts shut
//! ```

pub mod alarm;
mod build;
mod difference;
mod failings;
mod fields;
pub mod gauge;
mod glance;
pub mod lamp;
mod panel;
mod picture;
pub mod places;
mod pointer;
pub mod sight;
#[cfg(test)]
mod tests;

pub use alarm::{Alarm, AlarmState};
pub use gauge::{Gauge, OffScale};
pub use lamp::Lamp;
pub use panel::{Panel, PanelFailingId};
pub use picture::{AlarmFace, GaugeFace, LampFace, Picture};
pub use places::WalkTo;

/// Kinds of component in a plant file that the panel gives meaning to.
pub const KINDS: &[&str] = &["gauge", "lamp", "alarm", "place"];

/// A value as the trainee is shown it, SI; the third kind beside [`plant::instruments::Actual`] and
/// [`plant::instruments::Signal`]. For lamps 1 is lit.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Shown(pub f64);
