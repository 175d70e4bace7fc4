//! Instants as RFC 3339 text in universal time.

use farhop_earth::UtcTime;
use serde::{Deserialize, Deserializer, Serializer, de::Error};

/// `2026-12-12T01:35:00Z`.
#[must_use]
pub(crate) fn text(at: UtcTime) -> String {
    // The range of `UtcTime` lies inside that of `Timestamp`, so the fallback is never taken.
    let stamp = jiff::Timestamp::from_second(at.unix_s()).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
    stamp.strftime("%Y-%m-%dT%H:%M:%SZ").to_string()
}

pub(crate) fn serialize<S: Serializer>(at: &UtcTime, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&text(*at))
}

pub(crate) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<UtcTime, D::Error> {
    let text = String::deserialize(deserializer)?;
    UtcTime::parse(&text).map_err(D::Error::custom)
}
