//! JSON Schemas of what other programs read and write, made from the types on disk.

use crate::log::{ActionLine, HeaderLine, SawLine};
use schemars::{JsonSchema, SchemaGenerator, generate::SchemaSettings};
use serde_json::{Value, json};

/// The schema of a file of one kind, as JSON text that ends in a line feed.
pub(crate) fn of<T: JsonSchema>(title: &str) -> String {
    let mut schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<T>();
    schema.insert("title".to_owned(), title.into());
    let mut text = serde_json::to_string_pretty(&schema).expect("a schema is JSON");
    text.push('\n');
    text
}

/// The schema of one line of an action log, as JSON text that ends in a line feed: the first line is
/// a header, every other one an action or what the panel showed.
#[must_use]
pub fn log() -> String {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let mut of = |title: &str, schema: fn(&mut SchemaGenerator) -> schemars::Schema| {
        let mut value = schema(&mut generator).to_value();
        if let Value::Object(map) = &mut value {
            map.insert("title".into(), json!(title));
        }
        value
    };
    let lines = vec![
        of("header line", HeaderLine::json_schema),
        of("action line", ActionLine::json_schema),
        of("line of what the panel showed", SawLine::json_schema),
    ];
    let mut whole = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "One line of a faultwright-log/1 action log",
        "description": "A log is text in UTF-8, one JSON value a line. The first line is a header line; every other line is an action line or a line of what the panel showed, in order of time.",
        "oneOf": lines,
    });
    let defs = generator.take_definitions(true);
    if !defs.is_empty() {
        whole["$defs"] = Value::Object(defs);
    }
    let mut text = serde_json::to_string_pretty(&whole).expect("a schema is JSON");
    text.push('\n');
    text
}
