//! Times in front of forms and beside them: read as everywhere, by [`crate::moment`].

use farhop_earth::UtcTime;
use jiff::tz::TimeZone;

pub(crate) use crate::moment::looks_like_time;
use crate::moment::{Around, Sense};

/// The instant that a text means, the last such time that has passed, and a caution where the clocks are changed.
pub(crate) fn instant(text: &str, now: UtcTime, zone: &TimeZone) -> Result<(UtcTime, Option<String>), String> {
    let around = Around {
        now,
        zone: zone.clone(),
        span: None,
        sense: Sense::Happened,
    };
    around.moment(text).map(|moment| (moment.at, moment.caution))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_local_and_lie_behind_us() {
        let zone = TimeZone::get("Pacific/Auckland").unwrap();
        // 2026-12-12 14:00 local (NZDT, 13 hours ahead).
        let now = UtcTime::parse("2026-12-12T01:00:00Z").unwrap();
        for (text, expected) in [
            ("13:40", "2026-12-12T00:40:00Z"),
            ("00:40Z", "2026-12-12T00:40:00Z"),
            ("14:05", "2026-12-12T01:05:00Z"),
            ("23:10", "2026-12-11T10:10:00Z"),
            ("-20m", "2026-12-12T00:40:00Z"),
            ("2026-12-12T14:35:00+13:00", "2026-12-12T01:35:00Z"),
        ] {
            assert_eq!(
                instant(text, now, &zone),
                Ok((UtcTime::parse(expected).unwrap(), None)),
                "{text}"
            );
        }
        assert!(instant("tea", now, &zone).is_err());
    }
}
