//! What can be wrong with a quantity as it was written, told with what to write instead.

use super::{Dimension, units_of};

/// What went wrong with a quantity as it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitError {
    /// No number at the front.
    NoNumber(String),
    /// A number with nothing behind it where a unit is needed.
    NoUnit(String),
    /// Not a unit of the table; with the nearest one.
    UnknownUnit(String, Option<&'static str>),
    /// A comma where a decimal point belongs; the same text with a point.
    Comma(String, String),
    /// A unit, but of another kind of quantity.
    WrongDimension(&'static str, Dimension, Dimension),
}

impl UnitError {
    /// What is wrong and what to do, as message and hint.
    #[must_use]
    pub fn told(&self) -> (String, String) {
        match self {
            UnitError::NoNumber(t) if t.starts_with(['\u{2212}', '\u{2013}', '\u{2014}']) => (
                format!("\"{t}\" begins with a dash that is no minus"),
                format!("write the minus of the keyboard: \"-{}\"", t.chars().skip(1).collect::<String>()),
            ),
            UnitError::NoNumber(t) => (
                format!("\"{t}\" does not begin with a number"),
                "write a number and a unit, such as \"4 barg\"".into(),
            ),
            UnitError::NoUnit(t) => (
                format!("\"{t}\" has no unit"),
                "write the unit behind the number, such as \"4 barg\" or \"30 s\"".into(),
            ),
            UnitError::Comma(t, point) => {
                (format!("\"{t}\" has a comma in its number"), format!("write a point: \"{point}\""))
            }
            UnitError::UnknownUnit(t, _) if t == "bar" => (
                "\"bar\" does not say gauge or absolute".into(),
                "write barg for gauge pressure, bara for absolute, \"bar difference\" for a difference".into(),
            ),
            UnitError::UnknownUnit(t, _) if t.starts_with(':') => (
                "a time is not written with a colon".into(),
                "write it with a unit, such as \"10 min\", \"90 s\" or \"1.5 h\"".into(),
            ),
            UnitError::UnknownUnit(t, _) if t == "%" => (
                "a percentage must say of what".into(),
                "write for example \"35 % open\", \"20 % firing\", \"60 % full\"".into(),
            ),
            UnitError::UnknownUnit(t, _) if usual(t).is_some() => {
                (format!("unknown unit \"{t}\""), format!("write {}", usual(t).unwrap_or_default()))
            }
            UnitError::UnknownUnit(t, n) => (
                format!("unknown unit \"{t}\""),
                n.map_or_else(
                    || "the book lists the units under \"Quantities and units\"".into(),
                    |n| format!("did you mean \"{n}\"?"),
                ),
            ),
            UnitError::WrongDimension(unit, got, want) => (
                format!("\"{unit}\" is a unit of {}, and {} is needed", got.name(), want.name()),
                format!(
                    "units of {}: {}",
                    want.name(),
                    units_of(*want).map(|u| u.symbol).collect::<Vec<_>>().join(", ")
                ),
            ),
        }
    }
}

/// What people write for a unit of the table.
fn usual(written: &str) -> Option<&'static str> {
    const WRITTEN: &[(&str, &[&str])] = &[
        ("degC", &["°C", "° C", "C", "deg C", "ºC", "celsius", "Celsius", "degrees"]),
        ("K, or \"K abs\" for a temperature from absolute zero", &["°K", "kelvin", "Kelvin"]),
        ("s", &["sec", "secs", "second", "seconds"]),
        ("min", &["m.", "mins", "minute", "minutes"]),
        ("h", &["hr", "hrs", "hour", "hours"]),
        ("barg", &["bar g", "bar(g)", "bar (g)", "bar gauge", "Bar", "BAR", "bars"]),
        ("bara", &["bar a", "bar(a)", "bar (a)", "bar abs", "bar absolute"]),
        ("\"bar difference\"", &["bar diff", "dbar", "bar d"]),
        ("m3/h", &["m³/h", "m^3/h", "cbm/h"]),
        ("m3", &["m³", "m^3", "cbm"]),
        ("t/h", &["tph", "ton/h", "tons/h"]),
        ("l", &["ltr", "litre", "litres", "liter"]),
    ];
    WRITTEN.iter().find(|(_, all)| all.contains(&written)).map(|(unit, _)| *unit)
}
