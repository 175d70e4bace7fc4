//! Universal time as plain data: nothing here reads a clock.

use jiff::{Timestamp, civil, tz::TimeZone};

/// Why a date is not a usable instant.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TimeError {
    /// No such civil date or time of day, or outside the years 1900 to 2100.
    #[error("{0}")]
    OutOfRange(String),
}

/// An instant of universal time, to the second.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UtcTime {
    unix_s: i64,
}

/// Seconds since 1970 at 1900-01-01 and 2100-01-01: the range in which the solar position is trusted.
const RANGE_UNIX_S: std::ops::Range<i64> = -2_208_988_800..4_102_444_800;

impl UtcTime {
    /// An instant from seconds since 1970-01-01T00:00Z.
    ///
    /// # Errors
    /// Outside the years 1900 to 2099.
    pub fn from_unix_s(unix_s: i64) -> Result<Self, TimeError> {
        if RANGE_UNIX_S.contains(&unix_s) {
            Ok(Self { unix_s })
        } else {
            Err(TimeError::OutOfRange(format!(
                "{unix_s} s since 1970 is outside the years 1900 to 2099"
            )))
        }
    }

    /// An instant from a universal calendar date and time of day.
    ///
    /// # Errors
    /// No such date or time of day, or outside the years 1900 to 2099.
    pub fn from_civil(year: i16, month: i8, day: i8, hour: i8, minute: i8, second: i8) -> Result<Self, TimeError> {
        let civil = civil::DateTime::new(year, month, day, hour, minute, second, 0)
            .map_err(|e| TimeError::OutOfRange(e.to_string()))?;
        let zoned = civil
            .to_zoned_datetime(TimeZone::UTC)
            .map_err(|e| TimeError::OutOfRange(e.to_string()))?;
        Self::from_unix_s(zoned.timestamp().as_second())
    }

    /// Seconds since 1970-01-01T00:00Z.
    #[must_use]
    pub fn unix_s(self) -> i64 {
        self.unix_s
    }

    /// This instant moved by a number of seconds, kept inside the years 1900 to 2099.
    #[must_use]
    pub fn add_s(self, seconds: i64) -> Self {
        let unix_s = self
            .unix_s
            .saturating_add(seconds)
            .clamp(RANGE_UNIX_S.start, RANGE_UNIX_S.end - 1);
        Self { unix_s }
    }

    /// An instant from RFC 3339 text such as `2026-12-05T03:00:00Z` or `2026-12-05T16:00+13:00`; parts of a second are dropped.
    ///
    /// # Errors
    /// Not such a text (an offset or `Z` is needed), or outside the years 1900 to 2099.
    pub fn parse(text: &str) -> Result<Self, TimeError> {
        let timestamp: Timestamp = text.parse().map_err(|_| {
            TimeError::OutOfRange(format!(
                "`{text}` is not a time such as 2026-12-05T03:00:00Z (an offset or Z is needed)"
            ))
        })?;
        Self::from_unix_s(timestamp.as_second())
    }

    fn civil(self) -> civil::DateTime {
        // The range is checked at construction, so the fallback is never taken.
        let timestamp = Timestamp::from_second(self.unix_s).unwrap_or(Timestamp::UNIX_EPOCH);
        TimeZone::UTC.to_datetime(timestamp)
    }

    /// Calendar year.
    #[must_use]
    pub fn year(self) -> i16 {
        self.civil().year()
    }

    /// Month, 1 to 12.
    #[must_use]
    pub fn month(self) -> i8 {
        self.civil().month()
    }

    /// Day of the month, 1 to 31.
    #[must_use]
    pub fn day(self) -> i8 {
        self.civil().day()
    }

    /// Day of the year, 1 to 366.
    #[must_use]
    pub fn day_of_year(self) -> i16 {
        self.civil().day_of_year()
    }

    /// Hours since midnight of universal time, 0 to below 24, with fraction.
    #[must_use]
    pub fn hour(self) -> f64 {
        self.unix_s.rem_euclid(86_400) as f64 / 3_600.0
    }

    /// Year with fraction, for models with an epoch (2026-07-02T12Z is 2026.5).
    #[must_use]
    pub fn decimal_year(self) -> f64 {
        let civil = self.civil();
        let days_in_year = f64::from(civil.date().days_in_year());
        f64::from(civil.year()) + (f64::from(civil.day_of_year()) - 1.0 + self.hour() / 24.0) / days_in_year
    }
}

/// RFC 3339 in universal time, to the second: `2026-12-05T03:00:00Z`.
impl std::fmt::Display for UtcTime {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let civil = self.civil();
        let (year, month, day) = (civil.year(), civil.month(), civil.day());
        let (hour, minute, second) = (civil.hour(), civil.minute(), civil.second());
        write!(f, "{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}Z")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn calendar_and_year_fraction() {
        let time = UtcTime::from_civil(2026, 7, 2, 12, 0, 0).unwrap();
        assert!((time.decimal_year() - 2026.5).abs() < 1e-12);
        assert_eq!(
            (time.month(), time.day(), time.day_of_year(), time.hour()),
            (7, 2, 183, 12.0)
        );
        assert_eq!(time.to_string(), "2026-07-02T12:00:00Z");
    }

    #[test]
    fn offsets_are_understood_and_nonsense_refused() {
        let time = UtcTime::parse("2026-12-05T16:00:00+13:00").unwrap();
        assert_eq!(time, UtcTime::parse("2026-12-05T03:00Z").unwrap());
        for text in [
            "",
            "2026-12-05T16:00",
            "2026-13-05T16:00Z",
            "1850-01-01T00:00Z",
            "9999-01-01T00:00Z",
        ] {
            assert!(UtcTime::parse(text).is_err(), "{text}");
        }
        assert!(UtcTime::from_civil(2026, 2, 29, 0, 0, 0).is_err());
    }

    #[test]
    fn adding_seconds_stays_in_range() {
        let time = UtcTime::from_unix_s(0).unwrap();
        assert_eq!(time.add_s(i64::MAX).year(), 2099);
        assert_eq!(time.add_s(i64::MIN).year(), 1900);
    }

    proptest! {
        #[test]
        fn text_reads_back(unix_s in -2_208_988_800_i64..4_102_444_800) {
            let time = UtcTime::from_unix_s(unix_s).unwrap();
            prop_assert_eq!(UtcTime::parse(&time.to_string()).unwrap(), time);
        }
    }
}
