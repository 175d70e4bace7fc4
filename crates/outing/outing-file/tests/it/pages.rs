//! The guide's tables and the JSON Schema are what the rows make, and the schema agrees with the reader about what an outing is.

use std::path::{Path, PathBuf};

use farhop_outing_file::pages::{PageError, guide, schema};
use farhop_outing_file::{STARTER_FILES, read};
use farhop_vectors::page_is;
use serde_json::{Map, Value, json};

const GUIDE: &str = "docs/guide/outing-file.md";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..")
}

fn text_of(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

#[test]
fn the_guide_is_what_the_rows_make() {
    page_is(GUIDE, &guide(&text_of(GUIDE)).unwrap());
}

#[test]
fn the_schema_is_what_the_rows_make() {
    let made = serde_json::to_string_pretty(&schema()).unwrap();
    page_is("docs/schema/outing.schema.json", &format!("{made}\n"));
}

#[test]
fn a_guide_with_bad_marks_is_refused() {
    let page = text_of(GUIDE);
    let bad = |from: &str, to: &str| guide(&page.replacen(from, to, 1));
    assert_eq!(
        bad("rows:site -->", "rows:syte -->"),
        Err(PageError::NoSuchSection("syte".to_owned()))
    );
    assert_eq!(bad("<!-- rows:ladder -->", ""), Err(PageError::NoTable("ladder")));
    let cut = page.rfind("<!-- end -->").unwrap();
    assert_eq!(guide(&page[..cut]), Err(PageError::NoEnd("ladder".to_owned())));
}

/// A file as JSON: dates and times become texts.
fn json_of(value: toml::Value) -> Value {
    match value {
        toml::Value::String(text) => Value::from(text),
        toml::Value::Integer(number) => Value::from(number),
        toml::Value::Float(number) => Value::from(number),
        toml::Value::Boolean(truth) => Value::from(truth),
        toml::Value::Datetime(time) => Value::from(time.to_string()),
        toml::Value::Array(items) => items.into_iter().map(json_of).collect(),
        toml::Value::Table(table) => {
            Value::Object(table.into_iter().map(|(k, v)| (k, json_of(v))).collect::<Map<_, _>>())
        }
    }
}

fn parsed(text: &str) -> Value {
    json_of(toml::Value::Table(toml::from_str(text).expect("TOML")))
}

/// The outside judge: a general validator of JSON Schema.
fn judge() -> jsonschema::Validator {
    let schema = schema();
    jsonschema::meta::validate(&schema).expect("a schema of the draft that it names");
    jsonschema::validator_for(&schema).expect("a sound schema")
}

fn flaws(judge: &jsonschema::Validator, file: &Value) -> Vec<String> {
    let all = judge.iter_errors(file);
    all.map(|e| format!("{}: {e:.200}", e.instance_path())).collect()
}

#[test]
fn every_shipped_outing_holds_against_the_schema() {
    let judge = judge();
    let mut seen = 0;
    for entry in std::fs::read_dir(root().join("examples")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "toml") {
            let file = parsed(&std::fs::read_to_string(&path).unwrap());
            assert_eq!(flaws(&judge, &file), Vec::<String>::new(), "{}", path.display());
            seen += 1;
        }
    }
    assert!(seen >= 3, "only {seen} examples");
    for text in [STARTER_FILES[0].text, include_str!("least.toml")] {
        assert_eq!(flaws(&judge, &parsed(text)), Vec::<String>::new());
    }
}

/// Every place of a value in a file, as JSON pointers.
fn places(value: &Value, at: &str, all: &mut Vec<String>) {
    all.push(at.to_owned());
    match value {
        Value::Array(items) => {
            for (i, item) in items.iter().enumerate() {
                places(item, &format!("{at}/{i}"), all);
            }
        }
        Value::Object(keys) => {
            for (key, item) in keys {
                places(item, &format!("{at}/{key}"), all);
            }
        }
        _ => {}
    }
}

/// Back to the text of a file; times stay texts, which the reader takes as well.
fn toml_of(file: &Value) -> Option<String> {
    toml::to_string(file).ok()
}

fn reader_takes(file: &Value) -> bool {
    let text = toml_of(file).expect("TOML again");
    read(&text, "again.toml", &|name| Err(format!("no {name}")))
        .outing
        .is_some()
}

/// What is done to a file, in a word, and the value that is put in place of another.
fn slips() -> Vec<(&'static str, Value)> {
    vec![
        ("a huge number", json!(1e12)),
        ("a very negative number", json!(-1e12)),
        ("an odd word", json!("no such word at all")),
        ("a truth", json!(true)),
        ("a table with a key that is none", json!({ "zzz": 1 })),
    ]
}

#[test]
fn what_the_schema_refuses_the_reader_refuses_too() {
    let judge = judge();
    let file = parsed(&text_of("examples/demo.toml"));
    let mut all = Vec::new();
    places(&file, "", &mut all);
    let (mut refused_by_both, mut refused_by_reader) = (0, 0);
    for place in all.iter().filter(|p| !p.is_empty()) {
        for (slip, value) in slips() {
            let mut broken = file.clone();
            *broken.pointer_mut(place).expect("a place of the file") = value;
            let (schema_takes, reader_takes) = (judge.is_valid(&broken), reader_takes(&broken));
            assert!(
                schema_takes || !reader_takes,
                "{place}: {slip} is refused by the schema alone"
            );
            refused_by_reader += u32::from(!reader_takes);
            refused_by_both += u32::from(!reader_takes && !schema_takes);
        }
    }
    let share = f64::from(refused_by_both) / f64::from(refused_by_reader);
    assert!(
        refused_by_both > 500 && share > 0.9,
        "the schema finds {refused_by_both} of the {refused_by_reader} slips that the reader finds"
    );
}

#[test]
fn keys_that_are_none_and_keys_that_are_missing_are_refused() {
    let judge = judge();
    let file = parsed(&text_of("examples/demo.toml"));
    let mut all = Vec::new();
    places(&file, "", &mut all);
    let mut tables = 0;
    for place in all {
        let mut broken = file.clone();
        let Some(Value::Object(table)) = broken.pointer_mut(&place) else {
            continue;
        };
        table.insert("zzz".to_owned(), json!(1));
        assert!(!judge.is_valid(&broken), "{place} takes an unknown key");
        tables += 1;
    }
    assert!(tables > 40, "{tables} tables");
    for (place, key) in [
        ("", "outing"),
        ("/outing", "start"),
        ("/site/0", "place"),
        ("/station/0", "channels"),
        ("/station/0/channels/0", "mhz"),
        ("/message/0", "bytes"),
        ("/kit/battery/0", "capacity_ah"),
        ("/kit/antenna/0", "kind"),
    ] {
        let mut broken = file.clone();
        let table = broken.pointer_mut(place).and_then(Value::as_object_mut).expect(place);
        assert!(table.shift_remove(key).is_some(), "{place}/{key}");
        assert!(
            !judge.is_valid(&broken) && !reader_takes(&broken),
            "{place} without {key}"
        );
    }
}

#[test]
fn feet_may_stand_in_place_of_metres_but_not_beside_them() {
    let judge = judge();
    let with = |keys: Value| {
        let mut site = json!({ "id": "a", "place": "1,1" });
        site.as_object_mut().unwrap().extend(keys.as_object().unwrap().clone());
        judge.is_valid(&json!({ "outing": { "start": "2026-01-01", "end": "2026-01-02T18:00Z" }, "site": site }))
    };
    assert!(with(json!({ "elevation_ft": 29_000 })) && with(json!({ "temperature_f": 140 })));
    // 9000 m are 29 527.6 feet, 60 °C are 140 °F (a foot is exactly 0.3048 m: international yard and pound agreement).
    assert!(!with(json!({ "elevation_ft": 29_528 })) && !with(json!({ "temperature_f": 140.1 })));
    assert!(!with(json!({ "elevation_ft": 10, "elevation_m": 3 })));
}
