//! Atmospheric noise: lightning, near and far.
//!
//! P.372 gives this noise as maps by season and 4-hour block, for which no open table is at hand. In their place stands a field of our
//! own (`super::lightning`): the world's thunderstorms as rain, warmth and coast line tell them, heard through simple laws of
//! propagation, its level set by the figures of P.372 that are remembered. `docs/methods/noise.md` says how far it meets them. A
//! reading on site is better than this model.

use farhop_earth::{Place, UtcTime};
use farhop_num::maths;

use super::lightning::{At, level};
use super::{DECILE_PER_SIGMA, NoiseTerm};

/// Standard deviation in dB of the model's own error beside the differences from day to day, which the field holds: the root mean
/// square by which it misses the remembered figures of P.372 (`docs/methods/noise.md`).
pub const MODEL_SIGMA_DB: f64 = 8.0;

/// Days of the mean year, and of the middle of January.
const YEAR_DAYS: f64 = 365.25;
const MID_JANUARY_DAY: f64 = 15.5;

/// Atmospheric noise above a place at an instant, over the days of its month. Meant for 1 to 30 MHz. Continuous in place, time and
/// frequency; the poles apart, where longitude means nothing.
#[must_use]
pub fn atmospheric(place: Place, time: UtcTime, freq_mhz: f64) -> NoiseTerm {
    let day = f64::from(time.day_of_year()) - 1.0 + time.hour() / 24.0;
    let found = level(&At {
        lat_deg: place.lat_deg(),
        lon_deg: place.lon_deg(),
        months: (day - MID_JANUARY_DAY) * 12.0 / YEAR_DAYS,
        local_hour: time.hour() + place.lon_deg() / 15.0,
        freq_mhz,
    });
    let with_error_db = |days_db: f64| maths::hypot(days_db, DECILE_PER_SIGMA * MODEL_SIGMA_DB);
    NoiseTerm {
        fa_median_db: found.median_db,
        upper_decile_db: with_error_db(found.upper_db),
        lower_decile_db: with_error_db(found.lower_db),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn term(lat: f64, lon: f64, month: i8, local_hour: f64, freq_mhz: f64) -> NoiseTerm {
        let midnight = UtcTime::from_civil(2026, month, 15, 0, 0, 0).unwrap();
        let utc_h = (local_hour - lon / 15.0).rem_euclid(24.0);
        let time = UtcTime::from_unix_s(midnight.unix_s() + (utc_h * 3_600.0) as i64).unwrap();
        atmospheric(Place::new(lat, lon).unwrap(), time, freq_mhz)
    }

    fn median(lat: f64, lon: f64, month: i8, local_hour: f64, freq_mhz: f64) -> f64 {
        term(lat, lon, month, local_hour, freq_mhz).fa_median_db
    }

    /// Signs that are known whatever the sizes (from memory of P.372 and of the record of flashes), at 3.6 MHz by night.
    #[test]
    fn contrasts_of_land_and_sea_of_season_and_of_latitude_have_the_right_sign() {
        let night = |lat, lon, month| median(lat, lon, month, 22.0, 3.6);
        let (congo, amazon, mid_pacific) = (night(-1.0, 24.0, 4), night(-4.0, -62.0, 4), night(0.0, -150.0, 4));
        assert!(
            congo > mid_pacific + 2.0 && amazon > mid_pacific + 2.0,
            "{congo} {amazon} {mid_pacific}"
        );
        let (plains_summer, plains_winter) = (night(40.0, -95.0, 7), night(40.0, -95.0, 1));
        assert!(plains_summer > plains_winter + 6.0, "{plains_summer} {plains_winter}");
        let (europe_summer, europe_winter) = (night(49.0, 11.0, 7), night(49.0, 11.0, 1));
        assert!(europe_summer > europe_winter + 6.0, "{europe_summer} {europe_winter}");
        let (south_summer, south_winter) = (night(-33.0, 20.0, 1), night(-33.0, 20.0, 7));
        assert!(south_summer > south_winter, "{south_summer} {south_winter}");
        let polar = night(78.0, 16.0, 1);
        assert!(
            polar + 5.0 < europe_winter && europe_winter < congo,
            "{polar} {europe_winter} {congo}"
        );
        // A desert hears the storms of its neighbours, but not more than they do.
        assert!(night(23.0, 10.0, 7) < night(10.0, 10.0, 7));
    }

    #[test]
    fn the_day_is_quieter_than_the_night() {
        for (lat, lon) in [(49.0, 11.0), (40.0, -95.0), (-1.0, 24.0), (-43.0, 171.0), (0.0, -150.0)] {
            for month in [1, 4, 7, 10] {
                let (noon, night) = (median(lat, lon, month, 11.0, 3.6), median(lat, lon, month, 22.0, 3.6));
                assert!(noon + 8.0 < night, "{lat} {lon} {month}: {noon} {night}");
            }
        }
    }

    #[test]
    fn storms_that_come_or_stay_away_make_the_days_differ() {
        let afternoon = term(40.0, -95.0, 7, 16.0, 3.6);
        let winter_night = term(40.0, -95.0, 1, 0.0, 3.6);
        assert!(afternoon.upper_decile_db > winter_night.upper_decile_db + 2.0);
        assert!(winter_night.lower_decile_db >= DECILE_PER_SIGMA * MODEL_SIGMA_DB);
    }

    proptest! {
        #[test]
        fn no_jump_in_hour_place_or_frequency(
            lat in -89.9..89.9_f64, lon in -179.0..179.0_f64, unix_s in 1_767_225_600_i64..1_790_000_000, f in 1.0..29.9_f64
        ) {
            let at = |lat: f64, lon: f64, unix_s: i64, f: f64| {
                let place = Place::new(lat, lon).unwrap();
                atmospheric(place, UtcTime::from_unix_s(unix_s).unwrap(), f).fa_median_db
            };
            let here = at(lat, lon, unix_s, f);
            prop_assert!(here.is_finite());
            prop_assert!((at(lat + 0.01, lon, unix_s, f) - here).abs() < 0.1);
            prop_assert!((at(lat, lon + 0.01, unix_s, f) - here).abs() < 0.1);
            prop_assert!((at(lat, lon, unix_s + 10, f) - here).abs() < 0.1);
            prop_assert!((at(lat, lon, unix_s, f * 1.001) - here).abs() < 0.2);
        }
    }
}
