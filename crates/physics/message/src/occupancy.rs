//! The channel is not always free: how often somebody else is on it, at either end.
//!
//! **Common practice, no source.** The shape is what operators tell each other: the lower bands are full in the evening, Europe and East
//! Asia are fuller than the southern oceans, weekends are fuller than weekdays, a wide signal meets more neighbours than a narrow one.
//! The level is a judgement and uncertain by a factor of about `FACTOR_SD` either way; own log entries of taken channels move it.
//!
//! Others come and go by chance, so that the chance of a free channel falls exponentially with their rate: exp(-rate). The rate is a
//! product of one factor each for level, place, band, hour, weekend and width.

use crate::error::{MessageError, within};
use farhop_num::maths;
/// Rate (dimensionless) in Europe on 7 MHz on a weekday evening in 500 Hz: somebody is there in 35 of 100 cases.
const PEAK_RATE: f64 = 0.43;
/// Others on weekends over weekdays (dimensionless).
const WEEKEND: f64 = 1.3;
/// Width in Hz to which the rate refers.
const NARROW_HZ: f64 = 500.0;
/// A signal of n times the width meets n to this power as many others (dimensionless): others have width too, and clubs keep to
/// their own parts of a band.
const WIDTH_POWER: f64 = 0.6;
/// What is heard at the own end before a call can be waited out in part; this share of it keeps a call from being made (dimensionless).
const OWN_END: f64 = 0.5;

/// Rate over the usual one (dimensionless) where nobody else is ever there.
pub const FREE: f64 = 0.0;
/// The usual rate.
pub const USUAL: f64 = 1.0;
/// Rate over the usual one (dimensionless) while a contest or an emergency fills the bands (common practice, no source).
pub const CROWDED: f64 = 2.5;

/// One end of a link at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Latitude in degrees, north positive.
    pub lat_deg: f64,
    /// Longitude in degrees, east positive.
    pub lon_deg: f64,
    /// Local mean solar time, hours from midnight, 0 to 24.
    pub local_h: f64,
    /// Saturday or Sunday there.
    pub weekend: bool,
}

impl End {
    /// An end at so many seconds since the start of 1970, universal time.
    #[must_use]
    pub fn at(lat_deg: f64, lon_deg: f64, unix_s: i64) -> Self {
        // A degree of longitude is 240 s of mean solar time.
        let local_s = unix_s + (240.0 * lon_deg) as i64;
        Self {
            lat_deg,
            lon_deg,
            local_h: local_s.rem_euclid(86_400) as f64 / 3_600.0,
            // The first day of 1970 was a Thursday.
            weekend: matches!(local_s.div_euclid(86_400).rem_euclid(7), 2 | 3),
        }
    }

    /// Rate (dimensionless) of others on a channel as heard at this end, at the usual level.
    #[must_use]
    pub fn rate(&self, freq_mhz: f64, bandwidth_hz: f64) -> f64 {
        let weekend = if self.weekend { WEEKEND } else { 1.0 };
        let width = maths::powf(bandwidth_hz.max(1.0) / NARROW_HZ, WIDTH_POWER);
        PEAK_RATE * place(self.lat_deg, self.lon_deg) * band(freq_mhz) * hour(freq_mhz, self.local_h) * weekend * width
    }
}

/// Chance (dimensionless) that others keep a call neither from being made nor from being heard. `level` (dimensionless) is the rate over
/// the usual one, see [`USUAL`].
#[must_use]
pub fn open_chance(level: f64, own: &End, station: &End, freq_mhz: f64, bandwidth_hz: f64) -> f64 {
    let rate = OWN_END * own.rate(freq_mhz, bandwidth_hz) + station.rate(freq_mhz, bandwidth_hz);
    maths::exp(-level.max(0.0) * rate)
}

/// Chance (dimensionless) that the channel is heard to be taken at the own end.
#[must_use]
pub fn taken_chance(level: f64, own: &End, freq_mhz: f64, bandwidth_hz: f64) -> f64 {
    -maths::exp_m1(-level.max(0.0) * own.rate(freq_mhz, bandwidth_hz))
}

/// The usual level counts as much as so many taken channels of the own log (dimensionless; from [`FACTOR_SD`]: a gamma distribution whose
/// logarithm has about the standard deviation ln 2 has a shape of two).
const PRIOR_TAKEN: f64 = 2.0;

/// Level after `taken` channels were found taken where `expected` were expected, as a factor on the level before (dimensionless): the
/// mean of a gamma prior with Poisson counts (Gelman et al., "Bayesian Data Analysis", section 2.6).
///
/// # Errors
/// A count is out of range.
pub fn factor_after(taken: f64, expected: f64) -> Result<f64, MessageError> {
    within("channels found taken", taken, 0.0..=1e6, "0 to 1 000 000")?;
    within("channels expected taken", expected, 0.0..=1e6, "0 to 1 000 000")?;
    Ok((PRIOR_TAKEN + taken) / (PRIOR_TAKEN + expected))
}

/// By continent, coarse (dimensionless, Europe 1): bounds in degrees, south, north, west, east.
const PLACES: [(f64, [f64; 4]); 7] = [
    (1.0, [35.0, 72.0, -12.0, 45.0]),
    (0.8, [18.0, 50.0, 100.0, 150.0]),
    (0.7, [22.0, 60.0, -130.0, -55.0]),
    (0.5, [-11.0, 35.0, 45.0, 120.0]),
    (0.35, [-56.0, 14.0, -85.0, -34.0]),
    (0.25, [-48.0, -10.0, 110.0, 180.0]),
    (0.2, [-36.0, 35.0, -20.0, 52.0]),
];
/// Anywhere else.
const ELSEWHERE: f64 = 0.15;

fn place(lat_deg: f64, lon_deg: f64) -> f64 {
    let inside = |b: &[f64; 4]| (b[0]..=b[1]).contains(&lat_deg) && (b[2]..=b[3]).contains(&lon_deg);
    let found = PLACES.iter().find(|(_, bounds)| inside(bounds));
    found.map_or(ELSEWHERE, |(factor, _)| *factor)
}

/// By band (dimensionless, 7 MHz 1): frequency in MHz and factor.
const BANDS: [(f64, f64); 10] = [
    (1.9, 0.3),
    (3.6, 0.8),
    (5.36, 0.4),
    (7.1, 1.0),
    (10.12, 0.5),
    (14.15, 0.8),
    (18.1, 0.4),
    (21.2, 0.5),
    (24.9, 0.25),
    (28.5, 0.4),
];

fn band(freq_mhz: f64) -> f64 {
    let off = |b: &(f64, f64)| maths::ln(freq_mhz / b.0).abs();
    let nearest = BANDS.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    nearest.map_or(1.0, |(_, factor)| *factor)
}

/// By local hour (dimensionless, the fullest hour 1): hour and factor below and above 8 MHz, straight lines between.
const HOURS: [(f64, [f64; 2]); 9] = [
    (0.0, [0.5, 0.3]),
    (3.0, [0.25, 0.2]),
    (6.0, [0.35, 0.3]),
    (9.0, [0.5, 0.7]),
    (12.0, [0.45, 0.9]),
    (16.0, [0.6, 1.0]),
    (19.0, [1.0, 0.8]),
    (21.0, [1.0, 0.6]),
    (24.0, [0.5, 0.3]),
];
/// Frequency in MHz that parts the night bands from the day bands.
const DAY_BANDS_MHZ: f64 = 8.0;

fn hour(freq_mhz: f64, local_h: f64) -> f64 {
    let column = usize::from(freq_mhz >= DAY_BANDS_MHZ);
    let at_h = local_h.rem_euclid(24.0);
    let pair = HOURS.windows(2).find(|p| at_h <= p[1].0);
    pair.map_or(1.0, |p| {
        let part = (at_h - p[0].0) / (p[1].0 - p[0].0);
        p[0].1[column] + part * (p[1].1[column] - p[0].1[column])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn evening(lat_deg: f64, lon_deg: f64) -> End {
        End {
            lat_deg,
            lon_deg,
            local_h: 20.0,
            weekend: false,
        }
    }

    #[test]
    fn an_evening_on_7_mhz_costs_more_than_gateways_that_are_off() {
        // The file's default is that a gateway is off on one day in ten.
        for (lat_deg, lon_deg) in [(48.0, 11.0), (35.0, 137.0)] {
            let end = evening(lat_deg, lon_deg);
            assert!(taken_chance(1.0, &end, 7.05, 500.0) > 0.1);
        }
        let remote = evening(-43.5, 170.9);
        assert!(taken_chance(1.0, &remote, 7.05, 500.0) < taken_chance(1.0, &evening(48.0, 11.0), 7.05, 500.0) / 2.0);
    }

    #[test]
    fn free_is_free_and_everything_that_crowds_crowds() {
        let end = evening(48.0, 11.0);
        let open = |level: f64, end: &End, width_hz: f64| open_chance(level, end, end, 7.05, width_hz);
        assert_eq!(open(FREE, &end, 2_400.0), 1.0);
        let usual = open(USUAL, &end, 500.0);
        assert!(usual < 1.0 && open(CROWDED, &end, 500.0) < usual);
        assert!(open(1.0, &end, 2_400.0) < usual, "wide pays more");
        let weekend = End { weekend: true, ..end };
        let morning = End { local_h: 4.0, ..end };
        assert!(open(1.0, &weekend, 500.0) < usual && open(1.0, &morning, 500.0) > usual);
    }

    #[test]
    fn hours_and_weekends_are_those_of_the_place() {
        // 2026-12-12 is a Saturday (unix day 20 799); at 20:00 universal time it is Sunday morning at 170° east.
        let unix_s = 20_799 * 86_400 + 20 * 3_600;
        let east = End::at(-43.5, 165.0, unix_s);
        assert!(east.weekend && (east.local_h - 7.0).abs() < 1e-9);
        let friday = End::at(48.0, 0.0, unix_s - 86_400);
        assert!(!friday.weekend && (friday.local_h - 20.0).abs() < 1e-9);
        assert!(!End::at(48.0, 0.0, unix_s + 2 * 86_400).weekend);
    }

    #[test]
    fn the_log_moves_the_level() {
        // Gamma of shape 2 and rate 2, five taken where one was expected: 7/3, by hand.
        assert!((factor_after(5.0, 1.0).unwrap() - 7.0 / 3.0).abs() < 1e-12);
        assert!((factor_after(0.0, 0.0).unwrap() - 1.0).abs() < 1e-12);
        assert!(factor_after(0.0, 3.0).unwrap() < 1.0 && factor_after(f64::NAN, 1.0).is_err());
    }
}
