//! The list's own description, as JSON Schema.

use schemars::generate::SchemaSettings;
use serde_json::{Value, json};

use super::{List, SCHEMA};

/// The JSON Schema (2020-12) of the list, made from the types in this crate.
///
/// Keys that it does not name are allowed everywhere, since later versions add to the list. Keys that it does not require
/// may be left out: a list that holds only what `storystick list` cannot do without is valid.
pub fn schema() -> Value {
    let made = SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<List>();
    let mut all = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:storystick:list:1",
        "title": "Storystick list, version 1",
    });
    if let (Value::Object(all), Value::Object(made)) = (&mut all, made.to_value()) {
        for (key, value) in made {
            all.entry(key).or_insert(value);
        }
    }
    all["properties"]["schema"]["const"] = json!(SCHEMA);
    all
}
