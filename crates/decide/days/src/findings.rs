//! What the weighed days have learnt, as numbers; the words are the report's.

use farhop_earth::UtcTime;

use crate::priors::{ABSORPTION_LOG_SD, BAND_SD_DB, station_sd_db};
use crate::weigh::{Summary, WeighedDays};

/// A factor has moved when its mean is this share of its prior spread away (dimensionless; a judgement) ...
const MOVED: f64 = 0.5;
/// ... or when its chance of being on one side of the forecast is at least this (dimensionless).
const ONE_SIDED: f64 = 0.85;

/// What can be learnt about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Factor {
    /// foF2 over its median, as a ratio of the deviation to its usual size (dimensionless).
    Fof2,
    /// Sporadic E, likewise.
    SporadicE,
    /// Absorption over its forecast (ratio).
    Absorption,
    /// Noise at the site on a band, in usual sizes of its deviation; index of the band.
    Noise(usize),
    /// The own station, dB.
    Own,
    /// A band, dB; index of the band.
    Band(usize),
    /// A correspondent's circuits, dB; index of the station.
    Station(usize),
    /// A station is off; index of the station.
    Off(usize),
}

/// A factor that has moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finding {
    /// Which.
    pub factor: Factor,
    /// Where it is now, in the unit of the factor.
    pub now: Summary,
    /// Chance (dimensionless) that it lies above the forecast; for a station that is off, the chance of that.
    pub above: f64,
    /// How far it moved, in prior standard deviations (dimensionless).
    pub moved: f64,
}

impl WeighedDays {
    /// The factors that have moved by an hour of the axes, most first.
    #[must_use]
    pub fn findings(&self, hour: usize, at: UtcTime) -> Vec<Finding> {
        let days = &self.days;
        let hour = hour.min(days.axes.hours - 1);
        let mut found: Vec<Finding> = Vec::new();
        let mut look = |factor: Factor, prior_sd: f64, column: &[f32]| {
            let now = self.summary(column);
            let above = self.chance(|d| column.get(d).is_some_and(|x| *x > 0.0));
            let moved = now.mean_own_unit / prior_sd;
            if moved.abs() >= MOVED || (moved.abs() >= 0.6 * MOVED && above.max(1.0 - above) >= ONE_SIDED) {
                found.push(Finding {
                    factor,
                    now,
                    above,
                    moved,
                });
            }
        };
        if days.has_hour(hour) {
            look(Factor::Fof2, 1.0, days.fof2_z(hour));
            look(Factor::SporadicE, 1.0, days.es_z(hour));
            let absorption: Vec<f32> = days
                .absorption_z(hour)
                .iter()
                .map(|z| ABSORPTION_LOG_SD as f32 * z)
                .collect();
            look(Factor::Absorption, ABSORPTION_LOG_SD, &absorption);
            for band in 0..days.axes.bands_mhz.len() {
                look(Factor::Noise(band), 1.0, days.noise_z(band, hour));
            }
        }
        look(Factor::Own, days.axes.own_sd_db, days.own_db());
        for band in 0..days.axes.bands_mhz.len() {
            look(Factor::Band(band), BAND_SD_DB, days.band_db(band));
        }
        for station in 0..days.axes.stations.len() {
            look(Factor::Station(station), station_sd_db(), days.station_db(station));
        }
        found.extend(self.off_findings(at));
        found.sort_by(|a, b| b.moved.abs().total_cmp(&a.moved.abs()));
        found
    }

    fn off_findings(&self, at: UtcTime) -> Vec<Finding> {
        let one = |station: usize| {
            let prior = self.days.axes.stations[station].off;
            let above = self.off_chance(station, at);
            let risen = above - prior;
            let column: Vec<f32> = self
                .days
                .off(station, at)
                .iter()
                .map(|off| f32::from(u8::from(*off)))
                .collect();
            (above >= 0.3 && risen >= 0.1).then(|| Finding {
                factor: Factor::Off(station),
                now: self.summary(&column),
                above,
                moved: risen / (prior * (1.0 - prior)).max(0.01).sqrt(),
            })
        };
        (0..self.days.axes.stations.len()).filter_map(one).collect()
    }

    /// Chance (dimensionless) that a station is off on the calendar day of an instant.
    #[must_use]
    pub fn off_chance(&self, station: usize, at: UtcTime) -> f64 {
        let off = self.days.off(station, at);
        self.chance(|d| off.get(d).copied().unwrap_or(false))
    }

    /// Chance (dimensionless) of each own fault at an instant, in the order of [`crate::FaultClass::ALL`].
    #[must_use]
    pub fn fault_chances(&self, at: UtcTime) -> [f64; 5] {
        let mut chances = [0.0; 5];
        for fault in self.days.faults.iter().filter(|f| f.from_s <= at.unix_s()) {
            chances[fault.class.index()] += f64::from(self.weights[fault.day as usize]);
        }
        for known in &self.days.known_faults {
            if known.from_s <= at.unix_s() && at.unix_s() < known.until_s {
                chances = [0.0; 5];
                chances[known.class.index()] = 1.0;
            }
        }
        chances
    }

    /// Chance (dimensionless) that a fade-out lasts at an instant.
    #[must_use]
    pub fn fade_chance(&self, at: UtcTime) -> f64 {
        let now_s = at.unix_s();
        let lasting = self
            .days
            .fades
            .iter()
            .filter(|f| f.from_s <= now_s && now_s < f.until_s);
        lasting.map(|f| f64::from(self.weights[f.day as usize])).sum()
    }
}
