//! Every format that Faultwright reads and writes, with its version.
//!
//! Purpose: packs, plant files, action logs and verdicts as bytes on the one side and as plain types
//! on the other. What a person wrote is read strictly: an unknown field is an error at the place
//! that wrote it, and all mistakes of a file are told at once as far as they can be told apart.
//!
//! Must not know: the plant's physics, sessions, Lua. It opens no file: bytes come in and go out.
//!
//! ```
//! let text = r#"{"format":"faultwright-log/1","exercise":"raise-steam","pack":"first-steam","pack_version":"1.0.0","trainee":"t-01","start":"2031-03-04T08:00:00Z","recorder":"by hand","seed":7}
//! {"t":12.5,"do":"operate","on":"P-1101","to":"start"}
//! {"t":60.0,"do":"end"}
//! "#;
//! let expected = files::log::Expected { pack: "first-steam", pack_version: "1.0.0", exercises: &["raise-steam"], allowed: &|_| Ok(()) };
//! let read = files::log::read("t-01.jsonl", text.as_bytes(), &expected);
//! assert_eq!(read.log.unwrap().actions.len(), 1);
//! ```

mod changed;
pub mod class_figures;
mod class_file;
pub mod class_list;
pub mod comparison;
pub mod digest;
pub mod hand_marks;
pub mod log;
pub mod numbers;
pub mod overrides;
pub mod pack;
pub mod plant_file;
mod points;
pub mod schema;
pub mod state_file;
mod strict;
pub mod verdicts;

pub use digest::Digest;
pub use log::Log;
pub use pack::Pack;
