//! Possible days, drawn from the priors.

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::belief::priors::{
    ABSORPTION_HOURS, BAND_SD_DB, ES_HOURS, FOF2_HOURS, NOISE_HOURS, NOISE_NEIGHBOURS, OWN_SD_DB, SLOW_HOURS, kept,
    station_sd_db,
};

/// Frequencies whose ratio is below this belong to one band (dimensionless).
const SAME_BAND: f64 = 1.15;
/// Most hours that are followed: two weeks.
const MOST_HOURS: usize = 336;

/// What the factors are counted by: hours of the outing, bands and stations.
#[derive(Clone, Debug, PartialEq)]
pub struct Axes {
    /// Start of the first hour.
    pub start: UtcTime,
    /// Number of hours.
    pub hours: usize,
    /// Lowest frequency of each band, MHz, in order.
    pub bands_mhz: Vec<f64>,
    /// Chance (dimensionless) that each station is off for the day.
    pub off: Vec<f64>,
    /// What earlier outings taught about the own station: mean and standard deviation, dB; the mean is in the forecast already.
    pub own_sd_db: f64,
}

impl Axes {
    /// The axes of an outing.
    #[must_use]
    pub fn of(outing: &Outing) -> Self {
        let mut freqs: Vec<f64> = outing
            .stations
            .iter()
            .flat_map(|s| s.channels.iter().map(|c| c.freq_mhz))
            .collect();
        freqs.sort_by(f64::total_cmp);
        let mut bands_mhz: Vec<f64> = Vec::new();
        for freq in freqs {
            if bands_mhz.last().is_none_or(|b| freq / b >= SAME_BAND) {
                bands_mhz.push(freq);
            }
        }
        let seconds = (outing.header.end.unix_s() - outing.header.start.unix_s()).max(0);
        let learned = outing.conditions.learned.as_ref().and_then(|l| l.own_station_db);
        Self {
            start: outing.header.start,
            hours: (usize::try_from(seconds / 3_600).unwrap_or(0) + 1).clamp(1, MOST_HOURS),
            bands_mhz,
            off: outing.stations.iter().map(|s| s.off_chance).collect(),
            own_sd_db: learned.map_or(OWN_SD_DB, |s| s.sd_own_unit.clamp(0.1, OWN_SD_DB)),
        }
    }

    /// The hour of an instant, held inside the outing.
    #[must_use]
    pub fn hour(&self, at: UtcTime) -> usize {
        let hours = (at.unix_s() - self.start.unix_s()).div_euclid(3_600);
        usize::try_from(hours).unwrap_or(0).min(self.hours - 1)
    }

    /// Numbers that one day takes (dimensionless).
    #[must_use]
    pub fn numbers(&self) -> usize {
        self.hours * (3 + 2 * self.bands_mhz.len() + self.off.len())
    }

    /// The band of a frequency in MHz: the nearest one, by ratio.
    #[must_use]
    pub fn band(&self, freq_mhz: f64) -> usize {
        let off = |b: &f64| (freq_mhz / b).ln().abs();
        let nearest = self
            .bands_mhz
            .iter()
            .enumerate()
            .min_by(|a, b| off(a.1).total_cmp(&off(b.1)));
        nearest.map_or(0, |(index, _)| index)
    }
}

/// One possible day. Deviates are in standard deviations (dimensionless).
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// foF2 over its median, hour by hour, as a normal deviate (dimensionless).
    pub fof2_z: Vec<f32>,
    /// foEs over its median, hour by hour, as a normal deviate (dimensionless).
    pub es_z: Vec<f32>,
    /// Absorption over its forecast, hour by hour, as a normal deviate of its logarithm (dimensionless).
    pub absorption_z: Vec<f32>,
    /// Noise at the site by band and hour (`band * hours + hour`), as a normal deviate (dimensionless).
    pub noise_z: Vec<f32>,
    /// Slow deviation of the signal from its median by band and hour (`band * hours + hour`), as a normal deviate (dimensionless).
    pub slow_z: Vec<f32>,
    /// Noise at each station by hour (`station * hours + hour`), as a normal deviate (dimensionless).
    pub station_noise_z: Vec<f32>,
    /// Own station better heard than computed, dB: it counts on the way out.
    pub own_db: f32,
    /// Each band better than computed, dB.
    pub band_db: Vec<f32>,
    /// Each correspondent's circuits better than computed, dB.
    pub station_db: Vec<f32>,
    /// Whether each station is off.
    pub off: Vec<bool>,
}

/// Draws possible days one after the other; the same seed gives the same days.
#[derive(Clone, Debug)]
pub struct Draws<'a> {
    axes: &'a Axes,
    rng: ChaCha8Rng,
    stretch: f64,
}

impl<'a> Draws<'a> {
    /// Days from the priors.
    #[must_use]
    pub fn new(axes: &'a Axes, seed: u64) -> Self {
        Self::stretched(axes, seed, 1.0)
    }

    /// Days whose deviations are `stretch` times the usual ones (dimensionless): days unlike the forecast.
    #[must_use]
    pub fn stretched(axes: &'a Axes, seed: u64, stretch: f64) -> Self {
        Self {
            axes,
            rng: ChaCha8Rng::seed_from_u64(seed),
            stretch,
        }
    }

    fn normal(&mut self) -> f64 {
        let z: f64 = self.rng.sample(StandardNormal);
        z * self.stretch
    }

    /// A factor that forgets with a correlation time in hours.
    fn wander(&mut self, correlation_time_h: f64) -> Vec<f32> {
        let (keep, hours) = (kept(1.0, correlation_time_h), self.axes.hours);
        let fresh = (1.0 - keep * keep).sqrt();
        let mut z = self.normal();
        let mut path = Vec::with_capacity(hours);
        for _ in 0..hours {
            path.push(z as f32);
            z = keep * z + fresh * self.normal();
        }
        path
    }

    /// Noise of all bands: each leans on its lower neighbour.
    fn noise(&mut self) -> Vec<f32> {
        let mut all: Vec<f32> = Vec::with_capacity(self.axes.bands_mhz.len() * self.axes.hours);
        for band in 0..self.axes.bands_mhz.len() {
            let own = self.wander(NOISE_HOURS);
            if band == 0 {
                all.extend(own);
                continue;
            }
            let lean = NOISE_NEIGHBOURS as f32;
            let rest = (1.0 - lean * lean).sqrt();
            let below = (band - 1) * self.axes.hours;
            for (hour, z) in own.into_iter().enumerate() {
                let neighbour = all[below + hour];
                all.push(lean * neighbour + rest * z);
            }
        }
        all
    }
}

impl Iterator for Draws<'_> {
    type Item = Draw;

    fn next(&mut self) -> Option<Draw> {
        let stations = self.axes.off.len();
        Some(Draw {
            fof2_z: self.wander(FOF2_HOURS),
            es_z: self.wander(ES_HOURS),
            absorption_z: self.wander(ABSORPTION_HOURS),
            noise_z: self.noise(),
            slow_z: (0..self.axes.bands_mhz.len())
                .flat_map(|_| self.wander(SLOW_HOURS))
                .collect(),
            station_noise_z: (0..stations).flat_map(|_| self.wander(NOISE_HOURS)).collect(),
            own_db: (self.axes.own_sd_db * self.normal()) as f32,
            band_db: (0..self.axes.bands_mhz.len())
                .map(|_| (BAND_SD_DB * self.normal()) as f32)
                .collect(),
            station_db: (0..stations)
                .map(|_| (station_sd_db() * self.normal()) as f32)
                .collect(),
            off: (0..stations)
                .map(|s| self.rng.random::<f64>() < self.axes.off[s])
                .collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axes() -> Axes {
        Axes {
            start: UtcTime::from_unix_s(1_000_000).unwrap(),
            hours: 24,
            bands_mhz: vec![3.6, 7.05, 14.1],
            off: vec![0.25, 0.0],
            own_sd_db: OWN_SD_DB,
        }
    }

    #[test]
    fn every_hour_has_the_prior_and_neighbours_lean_on_each_other() {
        let axes = axes();
        let days: Vec<Draw> = Draws::new(&axes, 3).take(8_000).collect();
        let mean = |f: &dyn Fn(&Draw) -> f64| days.iter().map(f).sum::<f64>() / days.len() as f64;
        for hour in [0, 11, 23] {
            // Standard error 0.011 for the mean, 0.016 for the variance: four of them.
            assert!(mean(&|d| f64::from(d.fof2_z[hour])).abs() < 0.045);
            assert!((mean(&|d| f64::from(d.fof2_z[hour]).powi(2)) - 1.0).abs() < 0.065);
        }
        let lag = mean(&|d| f64::from(d.fof2_z[4]) * f64::from(d.fof2_z[8]));
        assert!((lag - (-4.0f64 / FOF2_HOURS).exp()).abs() < 0.06, "{lag}");
        let noise = mean(&|d| f64::from(d.noise_z[5]) * f64::from(d.noise_z[24 + 5]));
        assert!((noise - NOISE_NEIGHBOURS).abs() < 0.06, "{noise}");
        let off = mean(&|d| f64::from(u8::from(d.off[0])));
        assert!((off - 0.25).abs() < 0.02 && days.iter().all(|d| !d.off[1]));
    }

    #[test]
    fn the_same_seed_gives_the_same_days() {
        let axes = axes();
        let first: Vec<Draw> = Draws::new(&axes, 9).take(5).collect();
        assert_eq!(first, Draws::new(&axes, 9).take(5).collect::<Vec<_>>());
        assert_ne!(first[0], Draws::new(&axes, 10).next().unwrap());
    }

    #[test]
    fn bands_are_found_by_ratio() {
        let axes = axes();
        assert_eq!(
            [3.5, 3.9, 5.4, 7.2, 10.1, 30.0].map(|f| axes.band(f)),
            [0, 0, 1, 1, 2, 2]
        );
    }
}
