//! RON read strictly: every error becomes a diagnostic at its line and column, with the nearest
//! known name when a name is wrong.

use base::{Diagnostic, Place};
use ron::error::{Error, SpannedError};
use serde::Deserialize;
use serde::de::{self, MapAccess, Visitor};
use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;

/// Largest file of packs and plants that is read, bytes. A plant of a thousand components is well
/// under a tenth of it.
pub(crate) const BYTES_MAX: usize = 4 << 20;

/// Bytes as text, without a byte-order mark.
pub(crate) fn text<'a>(file: &str, bytes: &'a [u8], code: &'static str) -> Result<&'a str, Diagnostic> {
    if bytes.len() > BYTES_MAX {
        return Err(Diagnostic::error(
            code,
            Place::file(file),
            format!("the file has {} bytes, and at most {BYTES_MAX} are read", bytes.len()),
        ));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|e| {
        let line = 1 + bytes[..e.valid_up_to()].iter().filter(|b| **b == b'\n').count();
        Diagnostic::error(code, Place::line(file, line as u32), "the file is not text in UTF-8")
            .hint("save it as UTF-8 in your editor")
    })
}

/// Reads a value whose text begins at `offset` of `whole`, so that places are those of the file.
pub(crate) fn ron<'a, T: Deserialize<'a>>(
    file: &str,
    whole: &str,
    part: &'a str,
    code: &'static str,
) -> Result<T, Diagnostic> {
    ron::Options::default().from_str(part).map_err(|e| {
        let offset = offset_of(whole, part);
        let mut place = place_at(file, whole, offset);
        let at = &e.span.start;
        if at.line > 1 {
            place.line += at.line as u32 - 1;
            place.column = at.col as u32;
        } else {
            place.column += (at.col as u32).saturating_sub(1);
        }
        told(code, place, &e)
    })
}

/// Where `part`, a slice of `whole`, begins in it.
pub(crate) fn offset_of(whole: &str, part: &str) -> usize {
    (part.as_ptr() as usize).checked_sub(whole.as_ptr() as usize).filter(|o| *o <= whole.len()).unwrap_or(0)
}

/// Line and column of an offset into a text.
pub(crate) fn place_at(file: &str, whole: &str, offset: usize) -> Place {
    let before = &whole[..offset];
    let line = before.bytes().filter(|b| *b == b'\n').count() as u32 + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() as u32 + 1;
    Place { file: file.to_owned(), line, column }
}

fn told(code: &'static str, place: Place, e: &SpannedError) -> Diagnostic {
    let within = |outer: &Option<String>| outer.as_ref().map_or(String::new(), |o| format!(" in {}", plain(o)));
    match &e.code {
        Error::NoSuchStructField { expected, found, outer } => {
            Diagnostic::error(code, place, format!("unknown field \"{found}\"{}", within(outer)))
                .hint(format!("known fields: {}", expected.join(", ")))
                .nearest(found, expected.iter().copied())
        }
        Error::MissingStructField { field, outer } => {
            Diagnostic::error(code, place, format!("the field \"{field}\" is missing{}", within(outer)))
        }
        Error::DuplicateStructField { field, outer } => {
            Diagnostic::error(code, place, format!("the field \"{field}\" is given twice{}", within(outer)))
        }
        Error::Eof => {
            Diagnostic::error(code, place, "the file ends too early").hint("a closing bracket or quote is missing")
        }
        Error::ExpectedDifferentStructName { expected, found } => {
            Diagnostic::error(code, place, format!("\"{expected}\" was expected here, not \"{found}\""))
        }
        Error::ExceededRecursionLimit => Diagnostic::error(code, place, "the brackets are nested too deeply"),
        other => Diagnostic::error(code, place, other.to_string()),
    }
}

/// On-disk type names carry `OnDisk` so that they are not mixed up with live ones; people need not
/// see that.
fn plain(name: &str) -> &str {
    name.strip_suffix("OnDisk").unwrap_or(name)
}

/// A map in which a key may be given once only.
#[derive(Clone, Debug)]
pub(crate) struct Once<V>(pub(crate) BTreeMap<String, V>);

impl<V> Default for Once<V> {
    fn default() -> Self {
        Once(BTreeMap::new())
    }
}

impl<'de, V: Deserialize<'de>> Deserialize<'de> for Once<V> {
    fn deserialize<D: de::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Keys<V>(PhantomData<V>);
        impl<'de, V: Deserialize<'de>> Visitor<'de> for Keys<V> {
            type Value = Once<V>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("names and values in braces")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Once<V>, A::Error> {
                let mut out = BTreeMap::new();
                while let Some(key) = map.next_key::<String>()? {
                    if out.contains_key(&key) {
                        return Err(de::Error::custom(format!("\"{key}\" is given twice")));
                    }
                    out.insert(key, map.next_value()?);
                }
                Ok(Once(out))
            }
        }
        d.deserialize_map(Keys(PhantomData))
    }
}

impl<V: serde::Serialize> serde::Serialize for Once<V> {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(s)
    }
}
