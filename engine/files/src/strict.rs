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
        form(file, whole, told(code, place, &e), &e)
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

/// A slip in the writing itself: where to look for the comma, the quotation mark or the bracket.
fn form(file: &str, whole: &str, mut d: Diagnostic, e: &SpannedError) -> Diagnostic {
    if !matches!(
        e.code,
        Error::ExpectedComma
            | Error::ExpectedMapColon
            | Error::ExpectedString
            | Error::ExpectedStringEnd
            | Error::ExpectedIdentifier
            | Error::ExpectedArray
            | Error::ExpectedArrayEnd
            | Error::ExpectedStructLikeEnd
            | Error::ExpectedNamedStructLike(_)
            | Error::UnexpectedChar(_)
            | Error::UnclosedBlockComment
            | Error::Eof
    ) {
        return d;
    }
    // A text that is not closed goes on to the next quotation mark: from its line on they do not pair.
    let open = whole.lines().position(|l| quotes(l) % 2 == 1);
    if let Some(i) = open.filter(|i| (*i as u32) < d.place.line || e.code == Error::Eof) {
        d.place = Place::line(file, i as u32 + 1);
        d.message = "a quotation mark is missing on this line".to_owned();
        return d.hint("every text stands between two quotation marks");
    }
    if e.code == Error::ExpectedComma {
        let before = whole.lines().take((d.place.line as usize).saturating_sub(1)).collect::<Vec<_>>();
        let line = before.iter().rposition(|l| !code_of(l).is_empty()).unwrap_or_default();
        let begins = whole.lines().nth(d.place.line as usize - 1).unwrap_or_default();
        let first = begins.chars().take(d.place.column.saturating_sub(1) as usize).all(char::is_whitespace);
        d.message = "a comma is missing before this".to_owned();
        return d.hint(if first && line > 0 {
            format!("put one at the end of line {}", line + 1)
        } else {
            "put one between the two values; or a bracket too many stands here".to_owned()
        });
    }
    let what = match e.code {
        Error::ExpectedString => Some(("a text is wanted here", "write it between quotation marks: \"…\"")),
        Error::ExpectedArray => Some(("a list is wanted here", "write it in square brackets, also of one: [\"…\"]")),
        _ => None,
    };
    if let Some((message, hint)) = what {
        d.message = message.to_owned();
        return d.hint(hint);
    }
    match d.hint {
        Some(_) => d,
        None => d.hint("look for a missing comma, quotation mark, colon or bracket here or on the line above"),
    }
}

/// A line without its comment and without spaces at its ends.
fn code_of(line: &str) -> &str {
    line.split("//").next().unwrap_or_default().trim()
}

/// How many quotation marks of a line begin or end a text.
fn quotes(line: &str) -> usize {
    let mut count = 0;
    let mut escaped = false;
    for (i, c) in line.char_indices() {
        // What follows two strokes outside a text is a comment.
        if count % 2 == 0 && line[i..].starts_with("//") {
            break;
        }
        count += usize::from(c == '"' && !escaped);
        escaped = c == '\\' && !escaped;
    }
    count
}

/// The texts between quotation marks that stand outside comments, each with its line, from 1, and as it is written:
/// what a backslash stands for is not worked out.
pub(crate) fn texts(whole: &str) -> Vec<(u32, &str)> {
    let mut all = vec![];
    let (mut at, mut line) = (0, 1);
    while let Some(c) = whole[at..].chars().next() {
        let rest = &whole[at..];
        let end = match c {
            '"' => {
                let mut escaped = false;
                let close = rest[1..].char_indices().find(|(_, c)| {
                    let ends = *c == '"' && !escaped;
                    escaped = *c == '\\' && !escaped;
                    ends
                });
                let long = close.map_or(rest.len() - 1, |(i, _)| i);
                all.push((line, &rest[1..1 + long]));
                (long + 2).min(rest.len())
            }
            '/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            '/' if rest.starts_with("/*") => block(rest),
            c => c.len_utf8(),
        };
        line += rest[..end].bytes().filter(|b| *b == b'\n').count() as u32;
        at += end;
    }
    all
}

/// The length of a comment that begins here and may have others in it.
fn block(rest: &str) -> usize {
    let (mut at, mut open) = (2, 1);
    while open > 0 {
        match (rest[at..].find("/*"), rest[at..].find("*/")) {
            (Some(deeper), Some(close)) if deeper < close => (at, open) = (at + deeper + 2, open + 1),
            (_, Some(close)) => (at, open) = (at + close + 2, open - 1),
            (_, None) => return rest.len(),
        }
    }
    at
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_found_outside_comments() {
        let whole =
            "// \"no\"\na: \"one\", /* \"no\"\n/* \"\" */ \" */ b: \"t\\\"wo\", // \"\nc: \"http://x\",\n\"\" \"open\n";
        let found = [(2, "one"), (3, "t\\\"wo"), (4, "http://x"), (5, ""), (5, "open\n")];
        assert_eq!(texts(whole), found);
        assert_eq!(texts("\""), [(1, "")]);
        assert_eq!((texts("/* \"x\""), texts("")), (vec![], vec![]));
    }
}
