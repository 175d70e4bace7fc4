//! JSON: lists of the planetary K index and of the 10.7 cm flux, as objects or as rows below a row of names, and single objects.
//!
//! Names of the columns from memory: `time_tag` with `Kp`, `kp`, `kp_index` or `estimated_kp`; with `flux` (and `frequency` in MHz,
//! `ninety_day_mean`); `observed` says whether a row of K was measured, estimated or predicted; `Flux` with `TimeStamp` alone.

use farhop_earth::UtcTime;
use serde_json::{Map, Value};

use super::time::tag;
use super::{ConditionsError, Dated, Forecast, Form, Understood, own};

/// The frequency of the flux that counts, MHz: 10.7 cm.
const FLUX_FREQ_MHZ: f64 = 2800.0;
/// Length of a K interval, s.
const K_INTERVAL_S: i64 = 3 * 3600;
/// Most rows that are looked at: a minute list of a week has ten thousand.
const MOST_ROWS: usize = 50_000;

/// A row with its names in small letters.
type Row = Map<String, Value>;

/// What the JSON says; none when nothing in it is known.
pub(super) fn read(text: &str) -> Result<Option<Understood>, ConditionsError> {
    let value: Value = serde_json::from_str(text).map_err(|e| ConditionsError::Json(e.to_string()))?;
    let rows = match value {
        Value::Object(object) => {
            let row = small(object);
            if !row.contains_key("time_tag") && !row.contains_key("timestamp") {
                return own::read(text).map(Some);
            }
            vec![row]
        }
        Value::Array(items) => rows(items),
        _ => Vec::new(),
    };
    let mut found = Understood::nothing(Form::List);
    for row in &rows {
        if let Some(at) = time_of(row) {
            take_flux(&mut found, row, at);
            take_k(&mut found, row, at);
        }
    }
    found.forecast.sort_by_key(|f| f.from);
    Ok(Some(found))
}

fn rows(items: Vec<Value>) -> Vec<Row> {
    let mut names: Option<Vec<String>> = None;
    let mut rows = Vec::new();
    for item in items.into_iter().take(MOST_ROWS) {
        match (item, &names) {
            (Value::Object(object), _) => rows.push(small(object)),
            (Value::Array(cells), None) => {
                names = Some(cells.iter().map(|c| text_of(c).to_lowercase()).collect());
            }
            (Value::Array(cells), Some(names)) => rows.push(names.iter().cloned().zip(cells).collect()),
            _ => {}
        }
    }
    rows
}

fn small(object: Map<String, Value>) -> Row {
    object.into_iter().map(|(k, v)| (k.to_lowercase(), v)).collect()
}

fn text_of(value: &Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

fn time_of(row: &Row) -> Option<UtcTime> {
    let value = row.get("time_tag").or_else(|| row.get("timestamp"))?;
    tag(value.as_str()?)
}

/// The first of these columns that holds a number, written as such or as a text.
fn number(row: &Row, names: &[&str]) -> Option<f64> {
    let numeric = |value: &Value| match value {
        Value::String(text) => text.trim().parse().ok(),
        other => other.as_f64(),
    };
    names.iter().filter_map(|name| row.get(*name)).find_map(numeric)
}

fn take_flux(found: &mut Understood, row: &Row, at: UtcTime) {
    let other = number(row, &["frequency"]).is_some_and(|f| f != FLUX_FREQ_MHZ);
    let Some(flux_sfu) = number(row, &["flux"]).filter(|_| !other) else {
        return;
    };
    if newer(found.flux_sfu, at) {
        found.flux_sfu = Some(Dated {
            value_own_unit: flux_sfu,
            at: Some(at),
        });
        // The mean comes with one issue a day; keep the newest that there is.
        found.flux_mean_sfu = number(row, &["ninety_day_mean"]).or(found.flux_mean_sfu);
    }
}

fn take_k(found: &mut Understood, row: &Row, at: UtcTime) {
    let Some(k_index) = number(row, &["estimated_kp", "kp", "kp_index", "k_index"]) else {
        return;
    };
    let predicted = row.get("observed").and_then(Value::as_str) == Some("predicted");
    if predicted {
        found.forecast.push(Forecast {
            from: at,
            until: at.add_s(K_INTERVAL_S),
            flux_sfu: None,
            a_index: None,
            k_index: Some(k_index),
        });
    } else if newer(found.k_index, at) {
        found.k_index = Some(Dated {
            value_own_unit: k_index,
            at: Some(at),
        });
    }
}

fn newer(known: Option<Dated>, at: UtcTime) -> bool {
    known.and_then(|d| d.at).is_none_or(|before| at >= before)
}
