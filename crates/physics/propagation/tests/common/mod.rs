//! Reads the vectors under `validation/propagation`.
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each test binary uses its own part; a test may fail loudly"
)]

use std::collections::HashMap;

/// Rows of a CSV as maps from column to text.
pub fn read(name: &str) -> Vec<HashMap<String, String>> {
    let path = format!("{}/../../../validation/propagation/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let mut lines = text.lines().filter(|l| !l.starts_with('#'));
    let header: Vec<String> = lines.next().unwrap().split(',').map(str::to_owned).collect();
    lines
        .map(|line| header.iter().cloned().zip(line.split(',').map(str::to_owned)).collect())
        .collect()
}

/// A number of a row; `None` where the field is empty.
pub fn number(row: &HashMap<String, String>, column: &str) -> Option<f64> {
    let text = row.get(column).unwrap_or_else(|| panic!("no column {column}"));
    (!text.is_empty()).then(|| text.parse().unwrap_or_else(|e| panic!("{column} = {text}: {e}")))
}

/// A quantile of values, with linear interpolation.
pub fn quantile(values: &mut [f64], q: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let position = q * (values.len() - 1) as f64;
    let low = position.floor() as usize;
    let high = position.ceil() as usize;
    values[low] + (values[high] - values[low]) * (position - low as f64)
}
