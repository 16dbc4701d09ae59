//! What every other layer of Faultwright stands on.
//!
//! Purpose: ids and tags, quantities and their units, the tick clock, seeded random streams,
//! deterministic maths, diagnostics with a place and a hint, the neutral description of a plant
//! file, what a condition may look at, the plain types of a run's record, and the competences that
//! marks may speak for.
//!
//! Must not know: any particular plant, Lua, files, panels or marks.
//!
//! ```
//! use base::units::{Dimension, parse_as};
//! let p = parse_as("4 barg", Dimension::Pressure).unwrap();
//! assert_eq!(p, 501_325.0); // Pa, absolute
//! ```

pub mod competence;
pub mod description;
pub mod diagnostic;
pub mod kept;
pub mod maths;
pub mod nearest;
pub mod observable;
pub mod random;
pub mod record;
pub mod sheet;
pub mod tag;
pub mod tick;
pub mod units;

pub use diagnostic::{Diagnostic, Place, Severity};
pub use tag::Tag;
pub use tick::Tick;
