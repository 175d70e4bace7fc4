//! The JSON Schema of the outing file.

use farhop_outing::limits::Limit;
use farhop_outing::rows::{Chapter, KeyLine, Shape, chapters};
use serde_json::{Map, Value, json};

use super::{antennas, chapter};
use crate::csv_stations::COLUMNS;
use crate::values::twin;

/// Dates and times as TOML writes them, with or without a time of day and an offset.
const TIME: &str = r"^\d{4}-\d{2}-\d{2}([Tt ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?([Zz]|[+-]\d{2}:\d{2})?)?$";
const ABOUT: &str = "The outing file as JSON: every table an object, every date and time a text. What only the whole file can tell \
                     (ids that must exist, places, keys that exclude each other) `farhop check` judges.";

/// JSON Schema 2020-12 of the outing file, made from the rows of its keys.
#[must_use]
pub fn schema() -> Value {
    let mut whole = Table::default();
    let mut defs = Map::new();
    for section in chapters() {
        defs.insert(section.path.to_owned(), section_schema(&section));
        if !section.path.contains('.') && section.path != "ground" {
            let own = reference(section.path);
            let own = if section.many { list_of(own) } else { own };
            whole.key(section.path, own, section.path == "outing");
        }
    }
    whole.key("stations_csv", reference("stations_csv"), false);
    defs.insert("stations_csv".to_owned(), stations_csv());
    defs.insert("kit.antenna".to_owned(), antennas::of_the_kit());
    defs.insert("site.antenna".to_owned(), antennas::of_a_site());
    let mut schema = Map::new();
    schema.insert(
        "$schema".to_owned(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    schema.insert("title".to_owned(), json!("The outing file"));
    schema.insert("description".to_owned(), json!(ABOUT));
    if let Value::Object(own) = whole.done() {
        schema.extend(own);
    }
    schema.insert("$defs".to_owned(), Value::Object(defs));
    Value::Object(schema)
}

fn section_schema(section: &Chapter) -> Value {
    let mut table = Table::default();
    for line in &section.lines {
        let about = line.about;
        let must = about.must.is_some() && !about.sometimes;
        let said = |value| described(value, about.means, line);
        match (about.shape)() {
            Shape::Number => table.measure(about.key, about.limit, must, &|limit| said(number(limit))),
            Shape::Numbers => table.measure(about.key, about.limit, must, &|limit| said(list_of(number(limit)))),
            shape => {
                let own = value_of(shape, section.path, about.key, about.limit);
                let own = match about.bare {
                    Some(_) => list_of(json!({ "anyOf": [inner(section.path, about.key), number(None)] })),
                    None => own,
                };
                table.key(about.key, said(own), must);
            }
        }
    }
    let mut done = table.done();
    if let (Value::Object(own), "message") = (&mut done, section.path) {
        own.insert(
            "oneOf".to_owned(),
            json!([{ "required": ["text"] }, { "required": ["bytes"] }]),
        );
    }
    done
}

/// A value with what is said of its key, and its default where that is a value.
fn described(value: Value, means: &str, line: &KeyLine) -> Value {
    let mut all = Map::new();
    all.insert("description".to_owned(), json!(means));
    if let Value::Object(own) = value {
        all.extend(own);
    }
    if let Ok(usual) = serde_json::from_str::<Value>(&line.left_out) {
        all.insert("default".to_owned(), usual);
    }
    Value::Object(all)
}

fn value_of(shape: Shape, section: &str, key: &str, limit: Option<Limit>) -> Value {
    let inner = || inner(section, key);
    match shape {
        Shape::Number => number(limit),
        Shape::Numbers => list_of(number(limit)),
        Shape::Count => count(limit),
        Shape::Pairs => json!({ "type": "array", "items": group(2, None) }),
        Shape::Spread => group(2, None),
        Shape::Text => text(),
        Shape::Texts => list_of(text()),
        Shape::Word(words) => json!({ "enum": words }),
        Shape::Words(words) => list_of(json!({ "enum": words })),
        Shape::Truth => json!({ "type": "boolean" }),
        Shape::Time => json!({ "type": "string", "pattern": TIME }),
        Shape::Place => json!({ "anyOf": [text(), group(2, None)] }),
        Shape::Hours => list_of(text()),
        Shape::Needs => list_of(list_of(text())),
        Shape::WordOrTable(words, _) => json!({ "anyOf": [{ "enum": words }, inner()] }),
        Shape::Table(_) => inner(),
        Shape::Tables(_) => list_of(inner()),
        Shape::Antennas => list_of(reference(&format!("{section}.{key}"))),
    }
}

/// The table behind a key of a section.
fn inner(section: &str, key: &str) -> Value {
    let path = format!("{section}.{key}");
    reference(chapter(&path).map_or(key, |c| c.path))
}

fn stations_csv() -> Value {
    let mut columns = Table::default();
    for column in COLUMNS {
        columns.key(column, text(), false);
    }
    let mut table = Table::default();
    table.key("file", text(), true);
    table.key("delimiter", json!({ "enum": [",", ";", "tab"] }), false);
    table.key("columns", columns.done(), false);
    table.done()
}

fn reference(path: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{path}") })
}

pub(super) fn text() -> Value {
    json!({ "type": "string" })
}

/// A list; one value stands for a list of one.
pub(super) fn list_of(one: Value) -> Value {
    json!({ "anyOf": [{ "type": "array", "items": &one }, &one] })
}

/// So many numbers in a list.
pub(super) fn group(many: usize, limit: Option<Limit>) -> Value {
    json!({ "type": "array", "items": number(limit), "minItems": many, "maxItems": many })
}

pub(super) fn number(limit: Option<Limit>) -> Value {
    within(json!({ "type": "number" }), limit)
}

pub(super) fn count(limit: Option<Limit>) -> Value {
    within(json!({ "type": "integer", "minimum": 0 }), limit)
}

fn within(mut value: Value, limit: Option<Limit>) -> Value {
    if let (Some(own), Some(limit)) = (value.as_object_mut(), limit) {
        own.insert("minimum".to_owned(), plain_number(limit.low));
        own.insert("maximum".to_owned(), plain_number(limit.high));
    }
    value
}

/// A number as people write it: whole ones without a fraction.
fn plain_number(value: f64) -> Value {
    if value.fract() == 0.0 && value.abs() < 1e15 {
        json!(value as i64)
    } else {
        json!(value)
    }
}

/// The limit of the imperial twin of a key: what is inside the metric limit is inside this one. Rounded outward to a ten-thousandth, so that
/// no allowed value is refused.
fn of_twin(limit: Limit, to_metric: fn(f64) -> f64) -> Limit {
    const GRAIN: f64 = 1e4;
    let (at_0, at_1) = (to_metric(0.0), to_metric(1.0));
    let back = |metric: f64| (metric - at_0) / (at_1 - at_0);
    Limit {
        low: (back(limit.low) * GRAIN).floor() / GRAIN,
        high: (back(limit.high) * GRAIN).ceil() / GRAIN,
        ..limit
    }
}

/// A table of the file while its schema is put together.
#[derive(Default)]
pub(super) struct Table {
    keys: Map<String, Value>,
    must: Vec<String>,
    rules: Vec<Value>,
}

impl Table {
    pub(super) fn key(&mut self, key: &str, value: Value, must: bool) {
        self.keys.insert(key.to_owned(), value);
        if must {
            self.must.push(key.to_owned());
        }
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.keys.contains_key(key)
    }

    /// A number or numbers with a unit; an imperial twin may stand in place of the key.
    pub(super) fn measure(
        &mut self,
        key: &str,
        limit: Option<Limit>,
        must: bool,
        value: &dyn Fn(Option<Limit>) -> Value,
    ) {
        let Some((other, to_metric)) = twin(key) else {
            self.key(key, value(limit), must);
            return;
        };
        self.key(key, value(limit), false);
        let mut own = value(limit.map(|l| of_twin(l, to_metric)));
        if let Some(own) = own.as_object_mut() {
            own.remove("default");
            own.insert("description".to_owned(), json!(format!("in place of `{key}`")));
        }
        self.key(&other, own, false);
        self.rules.push(if must {
            json!({ "oneOf": [{ "required": [key] }, { "required": [other] }] })
        } else {
            json!({ "not": { "required": [key, other] } })
        });
    }

    pub(super) fn done(self) -> Value {
        let mut table = Map::new();
        table.insert("type".to_owned(), json!("object"));
        table.insert("properties".to_owned(), Value::Object(self.keys));
        if !self.must.is_empty() {
            table.insert("required".to_owned(), json!(self.must));
        }
        if !self.rules.is_empty() {
            table.insert("allOf".to_owned(), Value::Array(self.rules));
        }
        table.insert("additionalProperties".to_owned(), json!(false));
        Value::Object(table)
    }
}
