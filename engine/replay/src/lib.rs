//! What a verb does: open a pack and check it, grade a class's logs, drive an exercise, tell what a
//! plant has and what can go wrong in it.
//!
//! Purpose: the only part besides the command line that reads disks and starts threads. It brings
//! packs and plants together into exercises that are ready to run, runs logs through sessions in
//! parallel, and has them marked. The same pack, logs and seeds give the same results for any number
//! of threads; one bad log, failing script or crash is one line among the results.
//!
//! Must not know: html, clap.
//!
//! ```
//! use base::Place;
//! let ship = replay::Ship::named("valve-bench", &Place::file("example")).unwrap();
//! let faults = replay::describe::faults(&ship, Some("XV-1001"));
//! assert!(faults.iter().any(|f| f.kind == "seized" && f.layer == "actual"));
//! ```

pub mod about;
pub mod alike;
pub mod blind;
pub mod catalogue;
pub mod check;
pub mod compare;
pub mod describe;
pub mod disk;
pub mod drawing;
pub mod drive;
pub mod grade;
mod guard;
mod keep;
mod language;
mod limits;
pub mod logs;
pub mod moderation;
pub mod new;
pub mod pack;
pub mod record;
pub mod rules;
mod run;
pub mod ship;
pub mod states;
mod telling;

pub use disk::Trouble;
pub use drive::Driver;
pub use grade::{Graded, Options, Standing, grade};
pub use limits::LimitLine;
pub use logs::{ReadLog, read_logs};
pub use marking::Unfit;
pub use pack::{Pack, Ready};
pub use ship::Ship;
pub use telling::Own;
