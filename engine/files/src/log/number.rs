//! Numbers as recorders write them: as numbers, as text, and with a foreign decimal comma.

use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// A number of a log, with what had to be repaired to read it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Number {
    pub value: f64,
    pub repaired: bool,
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_f64(self.value)
    }
}

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Any;
        impl Visitor<'_> for Any {
            type Value = Number;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number of seconds")
            }
            fn visit_f64<E>(self, v: f64) -> Result<Number, E> {
                Ok(Number { value: v, repaired: false })
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Number, E> {
                self.visit_f64(v as f64)
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Number, E> {
                self.visit_f64(v as f64)
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Number, E> {
                let plain = match without_comma(text.trim()) {
                    Comma::None => text.trim().to_owned(),
                    Comma::Decimal(t) => t,
                    Comma::Unclear => return Err(E::custom(unclear(text))),
                };
                match plain.parse::<f64>() {
                    Ok(value) if value.is_finite() => Ok(Number { value, repaired: true }),
                    _ => Err(E::custom(format!("\"{text}\" is not a number of seconds"))),
                }
            }
        }
        d.deserialize_any(Any)
    }
}

/// What a comma in a number means.
#[derive(Debug, PartialEq)]
pub(super) enum Comma {
    /// There is none.
    None,
    /// It divides whole from parts; the text with a point in its place.
    Decimal(String),
    /// It may as well divide thousands.
    Unclear,
}

pub(super) fn unclear(text: &str) -> String {
    format!("the comma in \"{text}\" may mean thousands or a decimal point")
}

/// Judges a comma in the number at the front of a text such as `35,5 % open`. Just three digits
/// behind the comma may be thousands, and is not guessed at, except after a lone 0.
pub(super) fn without_comma(text: &str) -> Comma {
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let whole = unsigned.bytes().take_while(u8::is_ascii_digit).count();
    if whole == 0 || unsigned.as_bytes().get(whole) != Some(&b',') {
        return Comma::None;
    }
    let parts = unsigned[whole + 1..].bytes().take_while(u8::is_ascii_digit).count();
    let after = unsigned[whole + 1 + parts..].bytes().next();
    match parts {
        0 => Comma::None,
        _ if matches!(after, Some(b',' | b'.')) => Comma::Unclear,
        3 if whole <= 3 && &unsigned[..whole] != "0" => Comma::Unclear,
        _ => Comma::Decimal(text.replacen(',', ".", 1)),
    }
}

/// A time written as `"t": 12,5, "do"` is not JSON, but can mean only one thing: a name follows the
/// second comma, so the first is a decimal comma. The line with a point, when that is so.
pub(super) fn bare_comma(line: &str) -> Option<String> {
    let key = line.find("\"t\"")?;
    let colon = key + 3 + line[key + 3..].find(|c: char| !c.is_whitespace())?;
    let rest = line[colon..].strip_prefix(':')?;
    let start = colon + 1 + rest.find(|c: char| !c.is_whitespace())?;
    let number = &line[start..];
    let unsigned = number.strip_prefix(['-', '+']).unwrap_or(number);
    let (whole, behind) = unsigned.split_once(',')?;
    let parts = behind.bytes().take_while(u8::is_ascii_digit).count();
    let length = number.len() - unsigned.len() + whole.len() + 1 + parts;
    let Comma::Decimal(fixed) = without_comma(&number[..length]) else {
        return None;
    };
    let next = number[length..].trim_start();
    let sure = next.starts_with('}') || next.strip_prefix(',').is_some_and(|n| n.trim_start().starts_with('"'));
    sure.then(|| format!("{}{fixed}{}", &line[..start], &number[length..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_comma_is_told_from_thousands() {
        assert_eq!(without_comma("35,5 % open"), Comma::Decimal("35.5 % open".into()));
        assert_eq!(without_comma("-0,125"), Comma::Decimal("-0.125".into()));
        assert_eq!(without_comma("12345,678"), Comma::Decimal("12345.678".into()));
        assert_eq!(without_comma("1,500 rpm"), Comma::Unclear);
        assert_eq!(without_comma("1,234,567"), Comma::Unclear);
        assert_eq!(without_comma("open, quickly"), Comma::None);
        assert_eq!(without_comma("35.5"), Comma::None);
    }

    #[test]
    fn a_bare_comma_is_repaired_only_where_a_name_follows() {
        assert_eq!(
            bare_comma("{\"t\": 12,5, \"do\": \"lamp test\"}").as_deref(),
            Some("{\"t\": 12.5, \"do\": \"lamp test\"}")
        );
        assert_eq!(bare_comma("{\"do\": \"end\", \"t\":12,50}").as_deref(), Some("{\"do\": \"end\", \"t\":12.50}"));
        assert_eq!(bare_comma("{\"t\": 12,500, \"do\": \"lamp test\"}"), None);
        assert_eq!(bare_comma("{\"t\": 12, \"do\": \"lamp test\"}"), None);
    }
}
