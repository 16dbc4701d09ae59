//! Tags: the names that are stamped on equipment.

use std::fmt;

/// A tag such as `PT-3001`, in letters of ISA-5.1 and a number, or the short name of a composite.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Tag(String);

impl Tag {
    /// A tag of this text, with white space around it taken off.
    #[must_use]
    pub fn new(text: &str) -> Tag {
        Tag(text.trim().to_owned())
    }

    /// The text of the tag.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Tag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<&str> for Tag {
    fn from(text: &str) -> Tag {
        Tag::new(text)
    }
}
