//! What the factors of a day are counted by: hours, bands, stations, calendar days.

use farhop_earth::UtcTime;
use farhop_ionosphere::Activity as Sun;
use farhop_num::maths;
use farhop_outing::{Activity, Outing, Station};

use farhop_propagation::fade_out::flares_per_day;

use crate::occupied::Occupied;
use crate::priors::{BUSY_PRIOR_CALLS, FADE_OUT_FLUX_W_PER_M2, OFF_PRIOR_DAYS, OWN_SD_DB};

/// Frequencies whose ratio is below this share the luck of a day (dimensionless): wider than a band, because what the day does
/// to 24.9 MHz it does to 28 MHz too (a judgement).
const SHARED_LUCK: f64 = 1.15;
/// Most hours that are followed: a month.
const MOST_HOURS: usize = 744;

/// A station as a shared machine, as far as it is known beforehand.
#[derive(Clone, Debug, PartialEq)]
pub struct StationPrior {
    /// A number made from its id, so that its luck stays its own whatever else is in the outing.
    pub key: u64,
    /// Chance (dimensionless) that it is off for a calendar day.
    pub off: f64,
    /// Chance (dimensionless) that it is busy at an instant.
    pub busy: f64,
}

impl StationPrior {
    /// What the file says, moved by what the own journals say.
    fn of(station: &Station, outing: &Outing) -> Self {
        let known = outing.conditions.learned.iter().flat_map(|l| &l.stations);
        let log = known.into_iter().find(|l| l.station == station.id);
        let (off, busy) = log.map_or((station.off_chance, station.busy_chance), |l| {
            (
                share_after(station.off_chance, OFF_PRIOR_DAYS, (l.days - l.on_days, l.days)),
                share_after(
                    station.busy_chance,
                    BUSY_PRIOR_CALLS,
                    (f64::from(l.busy), f64::from(l.calls)),
                ),
            )
        });
        Self {
            key: key_of(station.id.as_str()),
            off,
            busy,
        }
    }
}

/// Mean of a share after some of a number of cases, with a Beta prior of the mean `prior` that counts as much as `strength` cases:
/// (strength · prior + hits) / (strength + cases), the conjugate rule (Gelman et al., "Bayesian Data Analysis", section 2.4).
fn share_after(prior: f64, strength: f64, (hits, cases): (f64, f64)) -> f64 {
    ((strength * prior + hits) / (strength + cases)).clamp(0.0, 1.0)
}

/// How likely each own fault is in the whole outing (dimensionless); together below one.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FaultPriors {
    /// By [`crate::FaultClass`], in the order of [`crate::FaultClass::ALL`].
    pub by_class: [f64; 5],
    /// Share of them (dimensionless) that is there when the first call is made: packed broken, left at home, hurt on the way, hung
    /// wrong. The others come one by one as the station is used.
    pub from_start: f64,
}

/// What the factors are counted by.
#[derive(Clone, Debug, PartialEq)]
pub struct Axes {
    /// Start of the first hour: a full hour of universal time.
    pub start: UtcTime,
    /// Number of hours.
    pub hours: usize,
    /// Lowest frequency of each band, MHz, in order.
    pub bands_mhz: Vec<f64>,
    /// The stations, in the order of the outing.
    pub stations: Vec<StationPrior>,
    /// Standard deviation of the own station's offset, dB: learned, or the prior.
    pub own_sd_db: f64,
    /// Own faults.
    pub faults: FaultPriors,
    /// Strong fade-outs a day.
    pub fade_outs_per_day: f64,
    /// Seconds by which mean solar time at the first site runs ahead of universal time: calendar days are counted by it.
    pub solar_offset_s: i64,
    /// Others on the channels.
    pub occupied: Occupied,
}

impl Axes {
    /// The axes of an outing, with its own faults.
    #[must_use]
    pub fn of(outing: &Outing, faults: FaultPriors) -> Self {
        let start_s = outing.header.start.unix_s().div_euclid(3_600) * 3_600;
        let seconds = (outing.header.end.unix_s() - start_s).max(0);
        let learned = outing.conditions.learned.as_ref().and_then(|l| l.own_station_db);
        let lon_deg = outing.sites.first().map_or(0.0, |s| s.place.lon_deg());
        let r12 = match outing.conditions.activity {
            Some(Activity::Flux { flux_sfu }) => Sun::from_flux(flux_sfu).map_or(0.0, |sun| sun.r12()),
            Some(Activity::Sunspots { ssn }) => ssn,
            None => Sun::expected(outing.header.start).r12(),
        };
        Self {
            start: outing.header.start.add_s(start_s - outing.header.start.unix_s()),
            hours: (usize::try_from(seconds / 3_600).unwrap_or(0) + 1).clamp(1, MOST_HOURS),
            bands_mhz: bands_of(outing),
            stations: outing.stations.iter().map(|s| StationPrior::of(s, outing)).collect(),
            own_sd_db: learned.map_or(OWN_SD_DB, |s| s.sd_own_unit.clamp(0.1, OWN_SD_DB)),
            faults,
            fade_outs_per_day: flares_per_day(r12, FADE_OUT_FLUX_W_PER_M2),
            solar_offset_s: (240.0 * lon_deg) as i64,
            occupied: Occupied::of(outing),
        }
    }

    /// The hour of an instant, held inside the outing.
    #[must_use]
    pub fn hour(&self, at: UtcTime) -> usize {
        let hours = (at.unix_s() - self.start.unix_s()).div_euclid(3_600);
        usize::try_from(hours).unwrap_or(0).min(self.hours - 1)
    }

    /// The calendar day of an instant, by mean solar time, counted from 1970.
    #[must_use]
    pub fn calendar_day(&self, at: UtcTime) -> i64 {
        (at.unix_s() + self.solar_offset_s).div_euclid(86_400)
    }

    /// First and last calendar day of the outing.
    #[must_use]
    pub fn calendar_days(&self) -> (i64, i64) {
        let last = self.start.add_s(3_600 * self.hours as i64);
        (self.calendar_day(self.start), self.calendar_day(last))
    }

    /// The band of a frequency in MHz: the nearest one, by ratio.
    #[must_use]
    pub fn band(&self, freq_mhz: f64) -> usize {
        let off = |b: &f64| maths::ln(freq_mhz / b).abs();
        let nearest = self
            .bands_mhz
            .iter()
            .enumerate()
            .min_by(|a, b| off(a.1).total_cmp(&off(b.1)));
        nearest.map_or(0, |(index, _)| index)
    }

    /// A number that stands for a band whatever other bands the outing has.
    #[must_use]
    pub(crate) fn band_key(&self, band: usize) -> u64 {
        let freq_mhz = self.bands_mhz.get(band).copied().unwrap_or(1.0).max(0.1);
        (maths::ln(freq_mhz) / maths::ln(SHARED_LUCK)).round() as i64 as u64
    }
}

fn bands_of(outing: &Outing) -> Vec<f64> {
    let mut freqs: Vec<f64> = outing
        .stations
        .iter()
        .flat_map(|s| s.channels.iter().map(|c| c.freq_mhz))
        .collect();
    freqs.sort_by(f64::total_cmp);
    let mut bands_mhz: Vec<f64> = Vec::new();
    for freq in freqs {
        if bands_mhz.last().is_none_or(|b| freq / b >= SHARED_LUCK) {
            bands_mhz.push(freq);
        }
    }
    bands_mhz
}

/// FNV-1a (Fowler, Noll & Vo): a plain, well-spread number from a text.
pub(crate) fn key_of(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Beta(1, 9) after 6 hits of 10: mean 7/20, by hand; nothing seen leaves the prior, much seen leaves the share.
    #[test]
    fn a_share_moves_from_the_file_to_the_log_as_days_are_counted() {
        assert!((share_after(0.1, 10.0, (6.0, 10.0)) - 0.35).abs() < 1e-12);
        assert!((share_after(0.1, 10.0, (0.0, 0.0)) - 0.1).abs() < 1e-12);
        assert!((share_after(0.1, 10.0, (400.0, 1_000.0)) - 0.4).abs() < 0.01);
    }
}
