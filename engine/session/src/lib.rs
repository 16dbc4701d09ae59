//! One run: actions, faults, the tick's order, events, prepared states, checkpoints.
//!
//! Purpose: take an exercise as plain data and actions in tick order, run plant, faults, panel and
//! monitors together, and leave a record.
//!
//! Must not know: Lua, files, threads, wall clock, marks.
//!
//! ```
//! use base::description::{Component, Description, Field};
//! use base::{Tag, Tick, observable::Verb};
//! use session::{Action, Exercise, NoStory, Session, Setup};
//! let mut valve = Component { kind: "valve".into(), tag: "XV-2104".into(), ..Component::default() };
//! valve.fields.insert("stroke time".into(), Field { value: "8 s".into(), source: "own choice".into() });
//! let d = Description { components: vec![valve], ..Description::default() };
//! let plant = plant::Plant::build(&d).unwrap();
//! let panel = panel::Panel::build(&d, &plant).unwrap();
//! let exercise = Exercise { lasts: Tick(100), ..Exercise::default() };
//! let mut session = Session::new(Setup::cold(plant, panel, &exercise)).unwrap();
//! session.act(Action {
//!     tick: Tick(5),
//!     verb: Verb::Operate,
//!     on: Some(Tag::new("XV-2104")),
//!     to: Some("open".into()),
//! });
//! session.run(&mut NoStory);
//! assert_eq!(session.finish().record.end, Tick(100));
//! ```

pub mod action;
mod drift;
pub mod exercise;
mod fault;
mod growth;
mod helper;
mod observe;
mod onlooker;
pub mod port;
mod session;
mod setting;
mod setup;
mod sign;
pub mod start;
mod story;
mod surroundings;
mod trend;

#[cfg(test)]
mod tests;

pub use action::Action;
pub use drift::{Drift, Saw};
pub use exercise::{Exercise, FaultPlan, Growth, Moment, Rhythm, Start};
pub use helper::{HelperStatus, ON_THE_SPOT, REQUESTS};
pub use onlooker::Onlooker;
pub use port::{Command, NoStory, Story, StoryFailure, View, Wait};
pub use session::{Finished, Session};
pub use setting::parse_setting;
pub use setup::Setup;
pub use start::{Prepared, prepare};
pub use story::COMMANDS_A_TICK;
