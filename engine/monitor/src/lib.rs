//! Temporal-logic monitors with robustness, and logs beside procedures: pure mathematics over
//! samples and sequences.
//!
//! Purpose: the formula type, the online monitors that evaluate formulas tick by tick with bounded
//! memory, and what they found; the alignment of a log to steps in a partial order ([`align`]); what the
//! marks of a class are worth ([`statistics`]).
//!
//! Must not know: plants, files, Lua.
//!
//! A formula compares signals, and numbers worked out from them ([`Term`]): arithmetic, and what a
//! window behind sums up to (least, greatest, mean, integral, travel, slope; how long in all, how long at a
//! stretch, how often).
//!
//! Time is discrete. Robustness follows the standard semantics of Signal Temporal Logic on the
//! samples of the run, windows cut to the ticks that exist (Donzé and Maler, FORMATS 2010; the
//! conventions are written out in `tests/data/stl_vectors.json`). Truth is a field of its own
//! ([`Verdict`]): kept, broken, undecided or unknown.
//!
//! ```
//! use monitor::{Formula, Interval, Verdict, evaluate};
//! // Within the next 3 ticks the pressure (signal 0) goes above 4 bar.
//! let f = Formula::Eventually(Interval::within(3), Box::new(Formula::above(0, 4e5)));
//! let values = evaluate(&f, [[3e5], [3.5e5], [4.5e5], [3.9e5], [3e5]]);
//! assert_eq!(values[0].robustness, 0.5e5);
//! assert_eq!(values[0].verdict(), Verdict::Kept);
//! assert_eq!(values[4].verdict(), Verdict::Undecided); // the run ended before the 3 ticks did
//! ```

pub mod alignment;
mod antichain;
pub mod formula;
pub mod monitor;
mod node;
mod operator;
pub mod order;
mod sliding;
pub mod spans;
pub mod statistics;
pub mod stretch;
mod summary;
pub mod term;
pub mod value;
pub mod verdict;
pub mod watcher;
mod window;

#[cfg(test)]
mod brute;
#[cfg(test)]
mod checks;
#[cfg(test)]
mod properties;

pub use alignment::{Alignment, Entry, EntryFate, Move, StepFate, align, align_within};
pub use formula::{Comparison, Formula, Interval, Predicate, Signal};
pub use monitor::{Decided, Monitor, evaluate, numbers, robustness};
pub use order::{Order, OrderFault};
pub use spans::{Span, Spans, TooMany};
pub use stretch::{Columns, Rows, STRETCH};
pub use term::{Edge, Measure, Summary, Term, Word};
pub use value::Value;
pub use verdict::{Truth, Verdict};
pub use watcher::{Desk, Extreme, Found, Trigger, Watch, Watcher};
