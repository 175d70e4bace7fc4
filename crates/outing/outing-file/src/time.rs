//! Dates and times: local unless they say otherwise.

use farhop_earth::UtcTime;
use farhop_earth::clock::change_of;
use farhop_outing::limits::{FIRST_YEAR, LAST_YEAR};
use jiff::civil;
use jiff::tz::{Offset, TimeZone};
use toml::de::DeValue;
use toml::value::Datetime;

use crate::fields::Fields;
use crate::session::Session;

/// What a bare date means.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateMeans {
    /// Midnight at its beginning.
    Start,
    /// Midnight at its end.
    End,
}

const WANTED: &str = "a time such as 2026-12-12T18:00 (local) or 2026-12-12T05:00Z";

const SERVED: &str = "The magnetic field model and the maps serve these years only.";

impl Fields<'_> {
    /// A time that may be missing.
    pub(crate) fn time(&mut self, s: &mut Session, key: &str, date: DateMeans) -> Option<UtcTime> {
        let value = self.get(s, key)?;
        let path = self.path_of(key);
        let spot = self.spot_of(value);
        let parsed = match value.get_ref() {
            DeValue::Datetime(time) => Some(*time),
            DeValue::String(text) => text.trim().parse::<Datetime>().ok(),
            _ => None,
        };
        let Some(time) = parsed else {
            self.wrong_kind(s, key, value, WANTED);
            return None;
        };
        match instant(time, date, &s.zone) {
            Ok((at, None)) => Some(at),
            Ok((at, Some(note))) => {
                s.caution(
                    spot,
                    &path,
                    note,
                    "Write the time with its offset, for example 2026-04-05T02:30+13:00.",
                );
                Some(at)
            }
            Err(cause) => {
                let hint = if cause.contains("outside") {
                    SERVED.to_owned()
                } else {
                    format!("Write {WANTED}.")
                };
                s.error(spot, &path, cause, hint);
                None
            }
        }
    }
}

/// The instant, and a note where the clocks are changed and the local time is there twice or not at all.
fn instant(time: Datetime, date_means: DateMeans, zone: &TimeZone) -> Result<(UtcTime, Option<String>), String> {
    let date = time.date.ok_or_else(|| format!("\"{time}\" has no date"))?;
    if !(FIRST_YEAR..LAST_YEAR).contains(&i16::try_from(date.year).unwrap_or(i16::MAX)) {
        return Err(format!(
            "the year {} is outside {FIRST_YEAR} to {}",
            date.year,
            LAST_YEAR - 1
        ));
    }
    let small = |n: u8| i8::try_from(n).unwrap_or(i8::MAX);
    let day = civil::Date::new(
        i16::try_from(date.year).unwrap_or(i16::MAX),
        small(date.month),
        small(date.day),
    )
    .map_err(|_| format!("there is no {date}"))?;
    let local = match time.time {
        None if date_means == DateMeans::End => day
            .tomorrow()
            .map_err(|_| format!("there is no day after {date}"))?
            .at(0, 0, 0, 0),
        None => day.at(0, 0, 0, 0),
        Some(t) => civil::Time::new(small(t.hour), small(t.minute), small(t.second.unwrap_or(0)).min(59), 0)
            .map(|clock| day.to_datetime(clock))
            .map_err(|_| format!("there is no time of day {t}"))?,
    };
    let zone = match time.offset {
        None => zone.clone(),
        Some(toml::value::Offset::Z) => TimeZone::UTC,
        Some(toml::value::Offset::Custom { minutes }) => Offset::from_seconds(i32::from(minutes) * 60)
            .map(TimeZone::fixed)
            .map_err(|_| format!("the offset of {time} is not one"))?,
    };
    let found = zone.to_ambiguous_timestamp(local);
    let note = change_of(found.offset()).map(|odd| format!("at {time} {odd}"));
    let stamp = found.compatible().map_err(|e| e.to_string())?;
    let at = UtcTime::from_unix_s(stamp.as_second()).map_err(|e| e.to_string())?;
    Ok((at, note))
}

/// An instant as people in a zone read it: `2026-12-12 18:40`. An unknown zone gives universal time with a `Z`.
#[must_use]
pub fn local_text(at: UtcTime, time_zone: &str) -> String {
    let stamp = jiff::Timestamp::from_second(at.unix_s()).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
    match TimeZone::get(time_zone) {
        Ok(zone) => zone.to_datetime(stamp).strftime("%Y-%m-%d %H:%M").to_string(),
        Err(_) => TimeZone::UTC.to_datetime(stamp).strftime("%Y-%m-%d %H:%MZ").to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str, zone: &str) -> Result<(i64, bool), String> {
        let zone = TimeZone::get(zone).unwrap();
        instant(text.parse().unwrap(), DateMeans::End, &zone).map(|(t, note)| (t.unix_s(), note.is_some()))
    }

    #[test]
    fn local_times_follow_the_zone_with_summer_time() {
        // New Zealand is 13 hours ahead in December (NZDT) and 12 in June (NZST).
        assert_eq!(
            at("2026-12-12T18:00:00", "Pacific/Auckland"),
            at("2026-12-12T05:00:00Z", "UTC")
        );
        assert_eq!(
            at("2026-06-12T18:00:00", "Pacific/Auckland"),
            at("2026-06-12T06:00:00Z", "UTC")
        );
        assert_eq!(at("2026-12-12", "Pacific/Auckland"), at("2026-12-12T11:00:00Z", "UTC"));
    }

    #[test]
    fn an_hour_that_is_doubled_or_left_out_is_noted() {
        let note = |text: &str| {
            let zone = TimeZone::get("Pacific/Auckland").unwrap();
            instant(text.parse().unwrap(), DateMeans::End, &zone)
                .unwrap()
                .1
                .unwrap_or_default()
        };
        assert!(note("2026-04-05T02:30:00").contains("there twice"));
        assert!(note("2026-09-27T02:30:00").contains("does not exist"));
        assert_eq!(note("2026-04-05T02:30:00+13:00"), "");
    }

    #[test]
    fn years_outside_the_models_are_refused() {
        for text in ["1899-12-31", "2030-01-01", "9999-12-31"] {
            assert!(at(text, "UTC").is_err(), "{text}");
        }
    }
}
