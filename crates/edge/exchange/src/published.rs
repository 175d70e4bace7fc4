//! Schemas under `docs/schema/`, made from the types that write and read. For tests only.

use farhop_vectors::page_is;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema};
use serde_json::{Value, json};

/// The schema of what a type writes.
pub(crate) fn written_by<T: JsonSchema>() -> Schema {
    plain(
        SchemaSettings::draft2020_12()
            .for_serialize()
            .into_generator()
            .into_root_schema_for::<T>(),
    )
}

/// The schema of what a type reads.
pub(crate) fn read_by<T: JsonSchema>() -> Schema {
    let settings = SchemaSettings::draft2020_12()
        .for_deserialize()
        .with(|s| s.inline_subschemas = true);
    plain(settings.into_generator().into_root_schema_for::<T>())
}

/// Without the widths of numbers, which are the program's own business.
fn plain(mut schema: Schema) -> Schema {
    RecursiveTransform(|schema: &mut Schema| {
        if schema.get("format").is_some_and(|f| f != "date-time") {
            schema.remove("format");
        }
    })
    .transform(&mut schema);
    schema
}

/// Holds the committed schema against this one.
#[track_caller]
pub(crate) fn page_of(name: &str, title: &str, about: &str, mut schema: Schema) {
    schema.insert("title".to_owned(), json!(title));
    schema.insert("description".to_owned(), json!(about));
    let made = serde_json::to_string_pretty(&Value::from(schema)).unwrap();
    page_is(&format!("docs/schema/{name}.schema.json"), &format!("{made}\n"));
}
