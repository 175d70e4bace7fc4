//! Atmospheric noise: lightning, near and far.
//!
//! P.372 gives this noise as maps by season and 4-hour block, for which no open table is at hand. This is a small
//! model in their place: a level at 1 MHz by latitude, season, local time and surface, carried to other frequencies by
//! a law for day and one for night. **Every number here is from memory or an assumption**, which is why the standard
//! deviation is wide. A reading on site is better than this model.

use farhop_earth::{Place, UtcTime};

use super::{DECILE_PER_SIGMA, NoiseTerm};

/// What surrounds the receiver.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Surface {
    /// Land: more thunderstorms.
    Land,
    /// Open sea.
    Sea,
}

/// Standard deviation in dB: day to day, and the error of the model itself. Assumed; at least 8 dB is prudent.
pub const SIGMA_DB: f64 = 8.0;

/// Middle of the first 4-hour block and length of a block, hours of local time.
const FIRST_BLOCK_H: f64 = 2.0;
const BLOCK_H: f64 = 4.0;

/// One latitude: level at 1 MHz in dB above k T0 b for the blocks around 2, 6, 10, 14, 18 and 22 h local time.
struct Zone {
    lat_deg: f64,
    winter: [f64; 6],
    equinox: [f64; 6],
    summer: [f64; 6],
}

/// Levels over land. Mid latitudes and tropics: from memory of the P.372 maps at 1 MHz (mid-latitude winter day 25-30
/// and night 60-65, summer forenoon 40-45, afternoon 60, night 75-85; tropics day 60-75, night 90-95); equinoxes
/// between them. Higher latitudes: assumed, falling away from the storms.
const ZONES: [Zone; 4] = [
    Zone {
        lat_deg: 10.0,
        winter: [89.0, 79.0, 60.0, 68.0, 80.0, 90.0],
        equinox: [92.0, 82.0, 62.0, 72.0, 84.0, 93.0],
        summer: [93.0, 83.0, 64.0, 75.0, 86.0, 95.0],
    },
    Zone {
        lat_deg: 45.0,
        winter: [62.0, 58.0, 29.0, 27.0, 52.0, 62.0],
        equinox: [70.0, 60.0, 35.0, 42.0, 60.0, 70.0],
        summer: [78.0, 58.0, 42.0, 60.0, 68.0, 80.0],
    },
    Zone {
        lat_deg: 65.0,
        winter: [50.0, 48.0, 22.0, 20.0, 42.0, 50.0],
        equinox: [54.0, 48.0, 28.0, 30.0, 48.0, 54.0],
        summer: [58.0, 48.0, 34.0, 44.0, 50.0, 58.0],
    },
    Zone {
        lat_deg: 90.0,
        winter: [40.0; 6],
        equinox: [36.0; 6],
        summer: [32.0; 6],
    },
];

/// Sea less land in dB by block (assumed: fewer storms, most of all in the afternoon).
const SEA_DB: [f64; 6] = [-3.0, -3.0, -4.0, -8.0, -6.0, -3.0];

/// Share of the night law by block, dimensionless, in winter and summer (assumed from day length).
const NIGHT_WINTER: [f64; 6] = [1.0, 0.9, 0.1, 0.1, 0.9, 1.0];
const NIGHT_SUMMER: [f64; 6] = [1.0, 0.3, 0.0, 0.0, 0.3, 1.0];

/// The frequency laws at their anchors: frequency in MHz, night level for 80 dB at 1 MHz, day level for 30 dB at
/// 1 MHz (both from memory of P.372), and how much of a difference at 1 MHz is left (assumed: the curves run together
/// towards high frequencies).
const LAW: [(f64, f64, f64, f64); 5] = [
    (1.0, 80.0, 30.0, 1.0),
    (3.0, 63.0, 25.0, 0.7),
    (5.0, 55.0, 30.0, 0.5),
    (10.0, 39.0, 30.0, 0.35),
    (20.0, 20.0, 10.0, 0.25),
];
const NIGHT_REFERENCE_DB: f64 = 80.0;
const DAY_REFERENCE_DB: f64 = 30.0;

/// Middle of the northern summer, day of the year (a month after the solstice, as storms lag the sun).
const SUMMER_DAY: f64 = 196.0;
/// Latitude in degrees from which a place has full seasons (assumed).
const SEASONAL_LAT_DEG: f64 = 20.0;

/// Atmospheric noise above a place at an instant. Meant for 1 to 30 MHz. Continuous in place, time and frequency.
#[must_use]
pub fn atmospheric(place: Place, time: UtcTime, surface: Surface, freq_mhz: f64) -> NoiseTerm {
    let season = season(place.lat_deg(), time);
    let block = Block::at((time.hour() + place.lon_deg() / 15.0).rem_euclid(24.0));
    let sea_db = if surface == Surface::Sea {
        block.of(&SEA_DB)
    } else {
        0.0
    };
    let level_1mhz_db = level_1mhz_db(place.lat_deg().abs(), season, &block) + sea_db;
    let summer_share = (season + 1.0) / 2.0;
    let night = (1.0 - summer_share) * block.of(&NIGHT_WINTER) + summer_share * block.of(&NIGHT_SUMMER);
    let [night_db, day_db, slope] = law(freq_mhz);
    let by_night_db = night_db + slope * (level_1mhz_db - NIGHT_REFERENCE_DB);
    let by_day_db = day_db + slope * (level_1mhz_db - DAY_REFERENCE_DB);
    NoiseTerm {
        fa_median_db: night * by_night_db + (1.0 - night) * by_day_db,
        upper_decile_db: DECILE_PER_SIGMA * SIGMA_DB,
        lower_decile_db: DECILE_PER_SIGMA * SIGMA_DB,
    }
}

/// -1 in the middle of local winter, +1 in the middle of local summer; near the equator the seasons fade.
fn season(lat_deg: f64, time: UtcTime) -> f64 {
    let day = f64::from(time.day_of_year()) + time.hour() / 24.0;
    let northern = (std::f64::consts::TAU * (day - SUMMER_DAY) / 365.25).cos();
    northern * (lat_deg / SEASONAL_LAT_DEG).clamp(-1.0, 1.0)
}

fn level_1mhz_db(lat_deg: f64, season: f64, block: &Block) -> f64 {
    let zone_db = |zone: &Zone| {
        let extreme = if season < 0.0 { &zone.winter } else { &zone.summer };
        let share = season.abs();
        (1.0 - share) * block.of(&zone.equinox) + share * block.of(extreme)
    };
    let mut below = &ZONES[0];
    for zone in &ZONES {
        if lat_deg <= zone.lat_deg {
            let span = zone.lat_deg - below.lat_deg;
            let share = if span > 0.0 {
                (lat_deg - below.lat_deg) / span
            } else {
                0.0
            };
            return (1.0 - share) * zone_db(below) + share * zone_db(zone);
        }
        below = zone;
    }
    zone_db(below)
}

/// Night level, day level and slope at a frequency: linear in log f between the anchors, the last leg carried on.
fn law(freq_mhz: f64) -> [f64; 3] {
    let leg = LAW.windows(2).find(|leg| freq_mhz <= leg[1].0).unwrap_or(&LAW[3..]);
    let (low, high) = (leg[0], leg[1]);
    let share = (freq_mhz / low.0).ln() / (high.0 / low.0).ln();
    let between = |a: f64, b: f64| a + share * (b - a);
    [
        between(low.1, high.1),
        between(low.2, high.2),
        between(low.3, high.3).max(0.0),
    ]
}

/// Where a local time lies between the middles of two blocks.
struct Block {
    before: usize,
    after: usize,
    share: f64,
}

impl Block {
    fn at(local_hour: f64) -> Self {
        let position = ((local_hour - FIRST_BLOCK_H) / BLOCK_H).rem_euclid(6.0);
        let before = (position as usize).min(5);
        let x = position - before as f64;
        Self {
            before,
            after: (before + 1) % 6,
            // Smooth step: no kink in the middle of a block.
            share: x * x * (3.0 - 2.0 * x),
        }
    }

    fn of(&self, table: &[f64; 6]) -> f64 {
        (1.0 - self.share) * table[self.before] + self.share * table[self.after]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn level(lat: f64, month: i8, hour: i8, freq_mhz: f64) -> f64 {
        let time = UtcTime::from_civil(2026, month, 15, hour, 0, 0).unwrap();
        atmospheric(Place::new(lat, 0.0).unwrap(), time, Surface::Land, freq_mhz).fa_median_db
    }

    #[test]
    fn the_anchors_at_one_megahertz_are_met() {
        // From memory of the P.372 maps (the contract of the method): ranges, mid-latitude land and tropics.
        for (lat, month, hour, low, high) in [
            (45.0, 1, 12, 25.0, 30.0),
            (45.0, 1, 0, 60.0, 65.0),
            (45.0, 7, 10, 40.0, 45.0),
            (45.0, 7, 15, 57.0, 65.0),
            (45.0, 7, 0, 75.0, 85.0),
            (5.0, 4, 12, 60.0, 75.0),
            (5.0, 4, 0, 90.0, 95.0),
            (-45.0, 7, 0, 60.0, 65.0),
        ] {
            let found = level(lat, month, hour, 1.0);
            assert!((low..=high).contains(&found), "{lat} month {month} {hour} h: {found}");
        }
    }

    #[test]
    fn the_frequency_laws_pass_their_anchors() {
        for (freq, night, day) in [
            (3.0, 63.0, 25.0),
            (5.0, 55.0, 30.0),
            (10.0, 39.0, 30.0),
            (20.0, 20.0, 10.0),
        ] {
            let found = law(freq);
            assert!(
                (found[0] - night).abs() < 1e-9 && (found[1] - day).abs() < 1e-9,
                "{freq}: {found:?}"
            );
        }
    }

    proptest! {
        #[test]
        fn no_jump_in_hour_place_or_frequency(
            lat in -89.9..89.9_f64, lon in -179.0..179.0_f64, unix_s in 1_767_225_600_i64..1_790_000_000, f in 1.0..29.9_f64
        ) {
            let at = |lat: f64, lon: f64, unix_s: i64, f: f64| {
                let place = Place::new(lat, lon).unwrap();
                atmospheric(place, UtcTime::from_unix_s(unix_s).unwrap(), Surface::Sea, f).fa_median_db
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
