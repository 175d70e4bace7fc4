//! The sun: where it stands and when it rises.
//!
//! NREL SPA (I. Reda and A. Andreas, Solar Energy 76, 2004), through the crate `solar-positioning`. Zenith angles are
//! geometric (no refraction) unless a name says apparent, and topocentric at sea level.

use std::cell::RefCell;

use farhop_num::maths;
use solar_positioning::time::JulianDate;
use solar_positioning::{EventPosition, Horizon, Location, PreparedPositions, SolarEvents, SolarPositions};

use crate::place::Place;
use crate::time::UtcTime;

/// Julian date of 1970-01-01T00:00Z.
const UNIX_EPOCH_JD: f64 = 2_440_587.5;
const DAY_S: f64 = 86_400.0;

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Angle from the zenith in degrees, 0 to 180, without refraction.
    pub zenith_deg: f64,
    /// True bearing in degrees, 0 to below 360.
    pub azimuth_deg: f64,
    /// Geocentric declination in degrees, north positive.
    pub declination_deg: f64,
}

impl SunPosition {
    /// Angle above the horizon in degrees, without refraction.
    #[must_use]
    pub fn elevation_deg(self) -> f64 {
        90.0 - self.zenith_deg
    }

    /// Angle from the zenith in degrees with refraction, for the given air (`pressure_hpa`, `temperature_c`).
    ///
    /// Reda and Andreas, eq. (42); no refraction is applied when the whole disc is below the horizon.
    #[must_use]
    pub fn apparent_zenith_deg(self, pressure_hpa: f64, temperature_c: f64) -> f64 {
        let e = self.elevation_deg();
        if e < -(0.266_67 + 0.566_7) {
            return self.zenith_deg;
        }
        let air = pressure_hpa / 1010.0 * 283.0 / (273.0 + temperature_c);
        let refraction = air * 1.02 / (60.0 * maths::tan((e + 10.3 / (e + 5.11)).to_radians()));
        self.zenith_deg - refraction
    }
}

/// The part of the solar position that depends on time alone: computed once, used for many places.
#[derive(Clone, Copy, Debug)]
pub struct SunOfInstant {
    prepared: PreparedPositions,
    declination_deg: f64,
}

/// How many instants a thread remembers: charge, sky and pages ask for the same ones again and again.
const REMEMBERED: usize = 2_048;

thread_local! {
    /// The instants that were prepared last, each at the one place where it can stand.
    static LAST: RefCell<Vec<Option<(i64, SunOfInstant)>>> = const { RefCell::new(Vec::new()) };
}

/// Where an instant can stand among those that are remembered: multiples of minutes are spread over all places (Fibonacci hashing;
/// Knuth, The Art of Computer Programming 3, 6.4; from memory).
fn place_of(unix_s: i64) -> usize {
    let spread = unix_s.cast_unsigned().wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (spread >> (64 - REMEMBERED.trailing_zeros())) as usize
}

impl SunOfInstant {
    /// Prepares an instant.
    #[must_use]
    pub fn new(time: UtcTime) -> Self {
        let (unix_s, place) = (time.unix_s(), place_of(time.unix_s()));
        LAST.with_borrow_mut(|last| {
            last.resize(REMEMBERED, None);
            let slot = last.get_mut(place);
            match slot.as_deref() {
                Some(Some((known, sun))) if *known == unix_s => *sun,
                _ => {
                    let sun = Self::prepared(time);
                    if let Some(slot) = slot {
                        *slot = Some((unix_s, sun));
                    }
                    sun
                }
            }
        })
    }

    fn prepared(time: UtcTime) -> Self {
        let julian = UNIX_EPOCH_JD + time.unix_s() as f64 / DAY_S;
        // UtcTime admits 1900 to 2099 only, SPA takes the years -2000 to 6000: neither step can fail.
        let prepared = JulianDate::new(julian, delta_t_s(time))
            .and_then(|date| SolarPositions::new().for_time_from_julian(date))
            .expect("the years 1900 to 2099 are within the range of SPA");
        Self {
            prepared,
            declination_deg: prepared.declination(),
        }
    }

    /// Geocentric declination in degrees, north positive.
    #[must_use]
    pub fn declination_deg(&self) -> f64 {
        self.declination_deg
    }

    /// Where the sun stands above a place.
    #[must_use]
    pub fn position(&self, place: Place) -> SunPosition {
        let position = self
            .prepared
            .at(location(place), 0.0, None)
            .expect("a Place holds coordinates in range");
        SunPosition {
            zenith_deg: position.zenith_angle(),
            azimuth_deg: position.azimuth().rem_euclid(360.0),
            declination_deg: self.declination_deg,
        }
    }
}

/// Where the sun stands above a place at an instant. For many places at one instant use [`SunOfInstant`].
///
/// # Example
/// ```
/// use farhop_earth::{Place, UtcTime, sun_position};
/// let noon = UtcTime::from_civil(2026, 3, 20, 12, 8, 0)?;
/// let sun = sun_position(Place::new(0.0, 0.0)?, noon);
/// assert!(sun.zenith_deg < 1.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn sun_position(place: Place, time: UtcTime) -> SunPosition {
    SunOfInstant::new(time).position(place)
}

/// Zenith angle in degrees at the solar noon of the local day (local mean solar time) that contains an instant.
///
/// Latitude minus declination at local mean noon; equation of time and parallax are left out (together below 0.01°).
#[must_use]
pub fn noon_zenith_deg(place: Place, time: UtcTime) -> f64 {
    let offset_s = (place.lon_deg() * 240.0).round() as i64;
    let second_of_local_day = (time.unix_s() + offset_s).rem_euclid(86_400);
    let noon = time.add_s(43_200 - second_of_local_day);
    (place.lat_deg() - SunOfInstant::new(noon).declination_deg()).abs()
}

/// Whether the sun crosses the horizon in a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Daylight {
    /// It rises or sets.
    Crosses,
    /// It stays above the horizon all day.
    PolarDay,
    /// It stays below the horizon all day.
    PolarNight,
}

/// The sun's day: the first of each event within 24 hours; `None` where it does not happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SunEvents {
    /// The sun's centre rises through 6° below the horizon.
    pub civil_dawn: Option<UtcTime>,
    /// The upper edge appears: centre 50' below the horizon (34' refraction, 16' half-diameter).
    pub sunrise: Option<UtcTime>,
    /// Upper transit of the meridian.
    pub solar_noon: Option<UtcTime>,
    /// The upper edge vanishes.
    pub sunset: Option<UtcTime>,
    /// The sun's centre sinks through 6° below the horizon.
    pub civil_dusk: Option<UtcTime>,
    /// Whether there is a sunrise or sunset at all.
    pub daylight: Daylight,
}

/// Sunrise, noon, sunset and civil twilight within the 24 hours from `day_start` (sea-level horizon, standard air).
#[must_use]
pub fn sun_events(place: Place, day_start: UtcTime) -> SunEvents {
    let start = UNIX_EPOCH_JD + day_start.unix_s() as f64 / DAY_S;
    let track = DayTrack::new(day_start);
    let search = SolarEvents::with_provider(
        |date, _| Ok(track.position(place, date.julian_date() - start)),
        1899..=2101,
    )
    .expect("the years of UtcTime are in the range of SPA");
    let day = |horizon: Horizon| {
        search
            .for_interval_from_julian(start, start + 1.0, location(place), delta_t_s(day_start), horizon)
            .expect("place and year are in the range of SPA")
    };
    let (sun, civil) = (day(Horizon::SunriseSunset), day(Horizon::CivilTwilight));
    let daylight = if sun.always_above() {
        Daylight::PolarDay
    } else if sun.always_below() {
        Daylight::PolarNight
    } else {
        Daylight::Crosses
    };
    SunEvents {
        civil_dawn: first(&civil.rises, day_start),
        sunrise: first(&sun.rises, day_start),
        solar_noon: first(&sun.transits, day_start),
        sunset: first(&sun.sets, day_start),
        civil_dusk: first(&civil.sets, day_start),
        daylight,
    }
}

/// Declination and hour angle through a day: parabolas through three SPA positions, good to 1e-4°.
struct DayTrack {
    declination_deg: [f64; 3],
    /// Hour angle at longitude zero less the even turn of 360° a day since the start.
    offset_deg: [f64; 3],
}

impl DayTrack {
    fn new(day_start: UtcTime) -> Self {
        let pole = Place::of_finite(90.0, 0.0);
        // Over the pole the azimuth is the hour angle plus half a turn, and parallax does not touch it.
        let suns = [0, 43_200, 86_400].map(|seconds| sun_position(pole, day_start.add_s(seconds)));
        let start_deg = suns[0].azimuth_deg;
        let offset_deg = [0, 1, 2].map(|i| {
            let drift = suns[i].azimuth_deg - 180.0 * i as f64 - start_deg;
            start_deg - 180.0 + (drift + 540.0).rem_euclid(360.0) - 180.0
        });
        Self {
            declination_deg: suns.map(|sun| sun.declination_deg),
            offset_deg,
        }
    }

    /// Elevation and hour angle `days` after the start.
    fn position(&self, place: Place, days: f64) -> EventPosition {
        let parabola = |[early, middle, late]: [f64; 3]| {
            let x = 2.0 * days - 1.0;
            middle + x * (late - early) / 2.0 + x * x * (late - 2.0 * middle + early) / 2.0
        };
        let hour_angle = parabola(self.offset_deg) + 360.0 * days + place.lon_deg();
        let (sin_lat, cos_lat) = maths::sin_cos(place.lat_deg().to_radians());
        let (sin_dec, cos_dec) = maths::sin_cos(parabola(self.declination_deg).to_radians());
        let sine = sin_lat * sin_dec + cos_lat * cos_dec * maths::cos(hour_angle.to_radians());
        let geocentric = maths::asin(sine.clamp(-1.0, 1.0));
        EventPosition {
            elevation: geocentric.to_degrees() - SUN_PARALLAX_DEG * maths::cos(geocentric),
            hour_angle,
        }
    }
}

/// Horizontal parallax of the sun, 8.794 seconds of arc, in degrees.
const SUN_PARALLAX_DEG: f64 = 8.794 / 3600.0;

fn first(julian_dates: &[f64], day_start: UtcTime) -> Option<UtcTime> {
    julian_dates.first().map(|julian| {
        let start = UNIX_EPOCH_JD + day_start.unix_s() as f64 / DAY_S;
        day_start.add_s(((julian - start) * DAY_S).round() as i64)
    })
}

fn location(place: Place) -> Location {
    Location {
        latitude: place.lat_deg(),
        longitude: place.lon_deg(),
    }
}

/// Terrestrial minus universal time in seconds (Espenak and Meeus polynomials, as the library gives them).
fn delta_t_s(time: UtcTime) -> f64 {
    // Below 3 minutes for all years of UtcTime, where a missing value would turn the sun by less than 0.002°.
    solar_positioning::delta_t::estimate(time.decimal_year()).unwrap_or(69.2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(month: i8, day: i8, hour: i8) -> UtcTime {
        UtcTime::from_civil(2026, month, day, hour, 0, 0).unwrap()
    }

    #[test]
    fn a_remembered_instant_is_what_was_prepared() {
        // More instants than are remembered, twice over and out of order: each is itself, whatever stands where it could stand.
        let all: Vec<UtcTime> = (0..3 * REMEMBERED as i64)
            .map(|k| at(12, 1, 0).add_s(300 * k))
            .collect();
        for time in all.iter().chain(all.iter().rev()).chain(&all[..10]) {
            let (known, fresh) = (SunOfInstant::new(*time), SunOfInstant::prepared(*time));
            assert_eq!(format!("{known:?}"), format!("{fresh:?}"));
        }
    }

    #[test]
    fn polar_day_and_night_are_told_apart() {
        let north = Place::new(78.2, 15.6).unwrap();
        let winter = sun_events(north, at(12, 21, 0));
        assert_eq!(
            (winter.daylight, winter.sunrise, winter.sunset),
            (Daylight::PolarNight, None, None)
        );
        assert!(winter.solar_noon.is_some());
        let summer = sun_events(north, at(6, 21, 0));
        assert_eq!((summer.daylight, summer.sunrise), (Daylight::PolarDay, None));
        let pole = sun_events(Place::new(-90.0, 0.0).unwrap(), at(12, 21, 0));
        assert_eq!(pole.daylight, Daylight::PolarDay);
    }

    #[test]
    fn the_day_is_in_order_and_rise_is_at_fifty_arc_minutes() {
        let place = Place::new(46.5, 7.6).unwrap();
        let day = sun_events(place, at(11, 25, 0));
        let order = [day.civil_dawn, day.sunrise, day.solar_noon, day.sunset, day.civil_dusk];
        assert!(order.windows(2).all(|pair| pair[0].unwrap() < pair[1].unwrap()));
        let rise = sun_position(place, day.sunrise.unwrap());
        assert!(
            (rise.zenith_deg - (90.0 + 50.0 / 60.0)).abs() < 0.005,
            "{}",
            rise.zenith_deg
        );
    }

    #[test]
    fn the_track_of_a_day_follows_the_full_algorithm() {
        for (lat, lon, month) in [(46.5, 7.6, 11), (-43.6, 170.1, 12), (89.0, -120.0, 3), (0.0, 180.0, 6)] {
            let (place, start) = (Place::new(lat, lon).unwrap(), at(month, 20, 0));
            let track = DayTrack::new(start);
            for hour in 0..=24 {
                let full = sun_position(place, start.add_s(hour * 3600)).elevation_deg();
                let quick = track.position(place, hour as f64 / 24.0).elevation;
                assert!((full - quick).abs() < 3e-4, "{lat} {lon} {hour} h: {full} {quick}");
            }
        }
    }

    #[test]
    fn refraction_lifts_the_sun_by_about_half_a_degree_at_the_horizon() {
        let sun = SunPosition {
            zenith_deg: 90.0,
            azimuth_deg: 90.0,
            declination_deg: 0.0,
        };
        // 29' for a true elevation of zero: Saemundsson's formula, which SPA uses.
        let lift = sun.zenith_deg - sun.apparent_zenith_deg(1010.0, 10.0);
        assert!((lift - 29.0 / 60.0).abs() < 0.01, "{lift}");
    }

    #[test]
    fn noon_zenith_is_the_least_of_the_day() {
        let place = Place::new(-43.6, 170.1).unwrap();
        let noon = sun_events(place, at(12, 4, 12)).solar_noon.unwrap();
        let least = sun_position(place, noon).zenith_deg;
        assert!((noon_zenith_deg(place, noon.add_s(20_000)) - least).abs() < 0.01);
    }

    proptest! {
        #[test]
        fn any_time_and_place_gives_finite_angles(
            lat in -90.0..=90.0_f64, lon in -180.0..=180.0_f64, unix_s in -2_208_988_800_i64..4_102_444_800
        ) {
            let (place, time) = (Place::new(lat, lon).unwrap(), UtcTime::from_unix_s(unix_s).unwrap());
            let sun = sun_position(place, time);
            prop_assert!((0.0..=180.0).contains(&sun.zenith_deg));
            prop_assert!((0.0..360.0).contains(&sun.azimuth_deg));
            prop_assert!(sun.declination_deg.abs() < 23.6);
            prop_assert!(sun.apparent_zenith_deg(1013.0, 15.0) <= sun.zenith_deg + 1e-3);
        }

        #[test]
        fn events_never_panic(lat in -90.0..=90.0_f64, lon in -180.0..=180.0_f64, day in 0_i64..73_000) {
            let start = UtcTime::from_unix_s(-2_208_988_800 + day * 86_400).unwrap();
            let events = sun_events(Place::new(lat, lon).unwrap(), start);
            prop_assert_eq!(events.daylight == Daylight::Crosses, events.sunrise.is_some() || events.sunset.is_some());
        }
    }
}
