//! Marks and moments as plain numbers of JSON.

use base::Tick;
use base::sheet::Marks;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;

/// Marks as a plain number of marks, exact to the hundredth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Points(pub Marks);

impl Serialize for Points {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if self.0.0 % 100 == 0 { to.serialize_i64(self.0.0 / 100) } else { to.serialize_f64(self.0.0 as f64 / 100.0) }
    }
}

impl<'de> Deserialize<'de> for Points {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Points, D::Error> {
        let hundredths = f64::deserialize(from)? * 100.0;
        // Half of the last decimal that a double still tells at a million marks.
        if (hundredths - hundredths.round()).abs() > 1e-6 || hundredths.abs() > 1e11 {
            return Err(serde::de::Error::custom("marks have at most two decimals, such as 5.25"));
        }
        Ok(Points(Marks(hundredths.round() as i64)))
    }
}

/// A moment as seconds from the start of the run, to the tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seconds(pub Tick);

impl Serialize for Seconds {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_f64(self.0.seconds())
    }
}

impl<'de> Deserialize<'de> for Seconds {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Seconds, D::Error> {
        Tick::at_seconds(f64::deserialize(from)?)
            .map(Seconds)
            .ok_or_else(|| serde::de::Error::custom("a moment is a number of seconds from the start of a run"))
    }
}

/// A plain number in a schema, with what it means.
macro_rules! number_in_schemas {
    ($type:ty, $name:literal, $meaning:literal) => {
        impl JsonSchema for $type {
            fn schema_name() -> Cow<'static, str> {
                $name.into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                schemars::json_schema!({ "type": "number", "description": $meaning })
            }
        }
    };
}

number_in_schemas!(Points, "Points", "Marks, with at most two decimals.");
number_in_schemas!(Seconds, "Seconds", "A moment in seconds from the start of the run, to a tenth.");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_finer_than_a_hundredth_are_refused() {
        assert!(serde_json::from_str::<Points>("5.255").is_err());
        assert_eq!(serde_json::from_str::<Points>("5.25").unwrap(), Points(Marks(525)));
    }
}
