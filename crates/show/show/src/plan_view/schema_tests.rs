//! The published schema of a plan is what the types make.

use farhop_vectors::page_is;
use schemars::generate::SchemaSettings;
use schemars::transform::{Transform, transform_subschemas};
use schemars::{JsonSchema, Schema};
use serde_json::{Map, Value, json};

use super::PlanView;

/// Takes from what is said of a key what its type cannot say.
#[derive(Clone)]
struct Said;

impl Transform for Said {
    fn transform(&mut self, schema: &mut Schema) {
        // Widths of numbers are the program's own business.
        schema.remove("format");
        let about = schema
            .get("description")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned();
        let of_type = |wanted: &str| match schema.get("type") {
            Some(Value::String(one)) => one == wanted,
            Some(Value::Array(several)) => several.iter().any(|one| one == wanted),
            _ => false,
        };
        let (text, number, whole) = (of_type("string"), of_type("number"), of_type("integer"));
        let mut say = |key: &str, value: Value| drop(schema.insert(key.to_owned(), value));
        let words = words_of(&about);
        if text && about.contains("RFC 3339") {
            say("format", json!("date-time"));
        } else if text && words.len() > 1 {
            say("enum", Value::Array(words));
        } else if number && about.contains("0 to 1") {
            say("minimum", json!(0));
            say("maximum", json!(1));
        } else if whole {
            say("minimum", json!(0));
            if about.contains("percent") {
                say("maximum", json!(100));
            } else {
                schema.remove("maximum");
            }
        }
        if schema.get("enum").is_some()
            && schema.get("type").is_some_and(Value::is_array)
            && let Some(Value::Array(words)) = schema.get_mut("enum")
        {
            words.push(Value::Null);
        }
        transform_subschemas(self, schema);
    }
}

/// Words in backticks.
fn words_of(about: &str) -> Vec<Value> {
    let odd = about.split('`').skip(1).step_by(2);
    odd.filter(|word| word.chars().all(|c| c.is_ascii_lowercase() || c == '-'))
        .map(Value::from)
        .collect()
}

/// The schema of what a type writes.
fn schema_of<T: JsonSchema>(title: &str) -> Map<String, Value> {
    let mut settings = SchemaSettings::draft2020_12().for_serialize();
    settings.transforms.push(Box::new(Said));
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    schema.insert("title".to_owned(), json!(title));
    schema.as_object().cloned().unwrap_or_default()
}

#[test]
fn the_schema_of_a_plan_is_what_its_types_make() {
    let schema = schema_of::<PlanView>("What `farhop plan --json` and `farhop export --json` give");
    let made = serde_json::to_string_pretty(&schema).unwrap();
    page_is("docs/schema/plan.schema.json", &format!("{made}\n"));
}
