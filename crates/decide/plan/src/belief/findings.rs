//! What a belief has learnt, as numbers; the words are the report's.

use crate::belief::draws::Draw;
use crate::belief::priors::{ABSORPTION_LOG_SD, BAND_SD_DB, station_sd_db};
use crate::belief::weigh::{Belief, Summary};

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

impl Belief {
    /// The factors that have moved by an hour of the day (index), most first.
    #[must_use]
    pub fn findings(&self, hour: usize) -> Vec<Finding> {
        let hour = hour.min(self.axes.hours - 1);
        let mut found: Vec<Finding> = Vec::new();
        let mut look = |factor: Factor, prior_sd: f64, of: &dyn Fn(&Draw) -> f64| {
            let now = self.summary(of);
            let above = self.mean(|day| f64::from(u8::from(of(day) > 0.0)));
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
        look(Factor::Fof2, 1.0, &|d| f64::from(d.fof2_z[hour]));
        look(Factor::SporadicE, 1.0, &|d| f64::from(d.es_z[hour]));
        look(Factor::Absorption, ABSORPTION_LOG_SD, &|d| {
            ABSORPTION_LOG_SD * f64::from(d.absorption_z[hour])
        });
        look(Factor::Own, self.axes.own_sd_db, &|d| f64::from(d.own_db));
        for band in 0..self.axes.bands_mhz.len() {
            let place = band * self.axes.hours + hour;
            look(Factor::Noise(band), 1.0, &|d| f64::from(d.noise_z[place]));
            look(Factor::Band(band), BAND_SD_DB, &|d| f64::from(d.band_db[band]));
        }
        for station in 0..self.axes.off.len() {
            look(Factor::Station(station), station_sd_db(), &|d| {
                f64::from(d.station_db[station])
            });
        }
        found.extend(self.off_findings());
        found.sort_by(|a, b| b.moved.abs().total_cmp(&a.moved.abs()));
        found
    }

    fn off_findings(&self) -> Vec<Finding> {
        let one = |station: usize| {
            let prior = self.axes.off[station];
            let above = self.mean(|day| f64::from(u8::from(day.off[station])));
            let risen = above - prior;
            (above >= 0.3 && risen >= 0.1).then(|| Finding {
                factor: Factor::Off(station),
                now: self.summary(|day| f64::from(u8::from(day.off[station]))),
                above,
                moved: risen / (prior * (1.0 - prior)).max(0.01).sqrt(),
            })
        };
        (0..self.axes.off.len()).filter_map(one).collect()
    }
}
