//! Mark sheet and run into verdicts, marks and feedback; class statistics.
//!
//! Purpose: what was found of the conditions of a mark sheet ([`monitor::Found`]) and the record of
//! the run become a verdict an item, a sum, and passed or not; the verdicts of a class become its
//! statistics.
//!
//! Must not know: Lua, html.
//!
//! ```
//! use base::sheet::{Item, ItemKind, Marks, Sheet};
//! use base::{Place, Tick};
//! use marking::{Language, Outcome, mark, watches};
//! use monitor::{Formula, Watcher};
//!
//! let done = Formula::holds(0);
//! let kind = ItemKind::Step { done, after: vec![], full_by: Some(Tick(1)), none_by: Some(Tick(5)), out_of_order: 0, none_short: None };
//! let item = Item { name: "light up".into(), expected: "the flame is lit".into(), practise: None,
//!     marks: Marks::whole(4), critical: false, counts: Default::default(), kind, place: Place::default() };
//! let sheet = Sheet { items: vec![item], ..Sheet::default() };
//!
//! let mut watchers: Vec<Watcher> = watches(&sheet).iter().map(Watcher::new).collect();
//! for sample in [0.0, 0.0, 1.0, 1.0] {
//!     watchers.iter_mut().for_each(|w| w.feed(&[sample]));
//! }
//! let found: Vec<_> = watchers.into_iter().map(Watcher::finish).collect();
//! let result = mark(&sheet, &found, &Default::default(), Language { watched: &[], name: &|o| o.to_string(), unit: &|_| None });
//! assert_eq!(result.verdicts[0].outcome, Outcome::Part); // one tick late, of four
//! assert_eq!(result.earned, Marks(300));
//! ```

pub mod class;
pub mod compare;
pub mod competences;
mod counting;
pub mod figures;
pub mod finding;
pub mod judgement;
pub mod limit;
pub mod moderation;
pub mod order;
pub mod response;
pub mod run;
pub mod steadiness;
pub mod step;
pub mod sums;
pub mod verdict;
pub mod words;

#[cfg(test)]
mod tests;

pub use class::{ClassRun, ClassStatistics, ItemStatistics, Spread, statistics};
pub use moderation::{Moderation, Unfit, moderate};
pub use run::{mark, settle, watches};
pub use verdict::{Outcome, RunResult, Verdict};
pub use words::Language;
