//! Verdicts into what people read and what other programs read: the debrief of a person, the report
//! of a class, JSON and the gradebook.
//!
//! Purpose: turns plain structs ([`Page`], [`Class`]) into bytes and strings. It opens no file, knows
//! no clock, and the same input gives the same bytes. Pages are self-contained: no script, no font,
//! no picture and no link from elsewhere, and a content-security policy that would refuse them.
//!
//! Must not know: session, plant, Lua.
//!
//! ```
//! use debrief::{Judged, Page, PackName, SheetNotes, Who, person_page};
//! let record = base::record::Record::default();
//! let reasons = ["line 3 is not JSON".to_owned()];
//! let page = Page {
//!     who: Who { id: "t07", name: "" },
//!     log: "t07.jsonl",
//!     title: "Raise steam",
//!     brief: "Bring the boiler to 5 barg.",
//!     pack: PackName { id: "steam", version: "1.0.0" },
//!     start: "cold",
//!     pass_mark: None,
//!     record: &record,
//!     judged: Judged::NotGraded(&reasons),
//!     moderation: &Default::default(),
//!     sheet: SheetNotes::NONE,
//!     repairs: &[],
//!     digests: Default::default(),
//!     limits: &[],
//! };
//! let html = person_page(&page);
//! assert!(html.contains("Not graded"));
//! ```

mod axis;
mod chart;
#[cfg(test)]
mod checking;
mod class;
mod class_page;
mod comparison_page;
mod gradebook;
mod json;
mod lanes;
mod limit;
mod moments;
mod names;
mod page;
mod person_page;
mod signs;
mod spread;
mod story;
mod svg;
mod templates;
mod words;
mod workbook;
mod worth;

pub use class::{Class, PersonLine, Response};
pub use class_page::class_page;
pub use comparison_page::comparison_page;
pub use gradebook::gradebook;
pub use json::{class_json, verdict_json};
pub use marking::figures::HandMarks;
pub use names::stems;
pub use page::{Judged, PackName, Page, SheetNotes, Side, TrendLimit, Who};
pub use person_page::person_page;
pub use workbook::workbook;
