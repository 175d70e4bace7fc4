//! Instants as RFC 3339 text in universal time, for `#[serde(with = "instant")]`.

use farhop_earth::UtcTime;
use serde::{Deserialize, Deserializer, Serializer, de::Error};

/// Writes an instant.
///
/// # Errors
/// What the writer says.
pub fn serialize<S: Serializer>(at: &UtcTime, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(at)
}

/// Reads an instant.
///
/// # Errors
/// Not RFC 3339, or outside the years 1900 to 2099.
pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<UtcTime, D::Error> {
    let text = String::deserialize(deserializer)?;
    UtcTime::parse(&text).map_err(D::Error::custom)
}
