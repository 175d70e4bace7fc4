//! The drawn days: columns of factors, one number a day.

use farhop_num::maths;
use farhop_num::normal_quantile;
use std::collections::BTreeMap;

use farhop_earth::UtcTime;

use crate::axes::Axes;
use crate::fault::{DayFade, DayFault, FaultClass, KnownFault};
use crate::priors::{
    ABSORPTION_HOURS, BAND_SD_DB, ES_HOURS, FADE_OUT_DB, FADE_OUT_MIN, FOF2_HOURS, NOISE_HOURS, NOISE_NEIGHBOURS,
    SLOW_HOURS, kept, station_sd_db,
};
use crate::stratified::Slices;

/// Factors that wander from hour to hour begin at a full multiple of this, at least [`SETTLE_H`] before the outing, so that their
/// numbers do not hang on the outing's first hour.
const ANCHOR_H: i64 = 72;
/// Hours in which a beginning is forgotten.
const SETTLE_H: i64 = 24;

/// What a column is for: the first part of its name.
#[derive(Clone, Copy)]
enum Factor {
    Fof2 = 1,
    Es,
    Absorption,
    Noise,
    Slow,
    StationNoise,
    Own,
    Band,
    Station,
    Off,
    Fault,
    FaultClass,
    FaultFrom,
    Fade,
    FadeFrom,
    FadeLength,
    FadeDepth,
    Power,
}

/// How days are drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawAsk<'a> {
    /// Number of days.
    pub count: usize,
    /// The same seed gives the same days.
    pub seed: u64,
    /// Deviations are so many times the usual ones (dimensionless): 1 is a day as the forecast expects.
    pub stretch: f32,
    /// Hours that are wanted, as places on the axes; none means all.
    pub hours: Option<&'a [usize]>,
}

impl DrawAsk<'_> {
    /// So many days as the forecast expects them, in all hours.
    #[must_use]
    pub fn of(count: usize, seed: u64) -> Self {
        Self {
            count,
            seed,
            stretch: 1.0,
            hours: None,
        }
    }
}

/// Many possible days, each as likely as the others before anything was seen. Deviates are in standard deviations.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnDays {
    /// What the factors are counted by.
    pub axes: Axes,
    /// Number of days.
    pub count: usize,
    /// By hour of the axes: place among the hours drawn.
    slots: Vec<Option<u32>>,
    fof2_z: Vec<f32>,
    es_z: Vec<f32>,
    absorption_z: Vec<f32>,
    noise_z: Vec<f32>,
    slow_z: Vec<f32>,
    station_noise_z: Vec<f32>,
    own_db: Vec<f32>,
    band_db: Vec<f32>,
    station_db: Vec<f32>,
    off: BTreeMap<(usize, i64), Vec<bool>>,
    /// The own faults: at most one a day.
    pub faults: Vec<DayFault>,
    /// Faults that are known: on every day, between two instants.
    pub known_faults: Vec<KnownFault>,
    /// The fade-outs: at most one in the outing.
    pub fades: Vec<DayFade>,
    /// By day: place (dimensionless, 0 to 1) in the order of how soon the battery gives up: low places are the bad days.
    pub power_rank: Vec<f32>,
    wanted: usize,
}

/// Series of `each` numbers put together in one piece of memory of the right size: in a long outing they are most of what there is.
fn one_after_another(series: usize, each: usize, of: impl Fn(usize) -> Vec<f32>) -> Vec<f32> {
    let mut out = Vec::with_capacity(series * each);
    for index in 0..series {
        out.extend(of(index));
    }
    out
}

impl DrawnDays {
    /// How many numbers a day takes for each of its hours; what does not wander is little beside them.
    #[must_use]
    pub fn numbers_an_hour(axes: &Axes) -> usize {
        3 + 2 * axes.bands_mhz.len() + axes.stations.len()
    }

    /// Draws days.
    #[must_use]
    pub fn new(axes: &Axes, ask: &DrawAsk<'_>) -> Self {
        let slices = Slices::new(ask.count);
        let drawer = Drawer {
            axes,
            ask,
            slices: &slices,
        };
        let all: Vec<usize> = (0..axes.hours).collect();
        let hours: Vec<usize> = ask.hours.map_or(all, |h| {
            let mut h: Vec<usize> = h.iter().copied().filter(|h| *h < axes.hours).collect();
            h.sort_unstable();
            h.dedup();
            h
        });
        let mut slots = vec![None; axes.hours];
        for (slot, hour) in hours.iter().enumerate() {
            slots[*hour] = u32::try_from(slot).ok();
        }
        let days = Self {
            fof2_z: drawer.wander(Factor::Fof2, 0, FOF2_HOURS, &hours),
            es_z: drawer.wander(Factor::Es, 0, ES_HOURS, &hours),
            absorption_z: drawer.wander(Factor::Absorption, 0, ABSORPTION_HOURS, &hours),
            noise_z: drawer.noise(&hours),
            slow_z: one_after_another(axes.bands_mhz.len(), ask.count * hours.len(), |b| {
                drawer.wander(Factor::Slow, axes.band_key(b), SLOW_HOURS, &hours)
            }),
            station_noise_z: one_after_another(axes.stations.len(), ask.count * hours.len(), |s| {
                drawer.wander(Factor::StationNoise, axes.stations[s].key, NOISE_HOURS, &hours)
            }),
            own_db: drawer.fixed(Factor::Own, 0, axes.own_sd_db),
            band_db: (0..axes.bands_mhz.len())
                .flat_map(|b| drawer.fixed(Factor::Band, axes.band_key(b), BAND_SD_DB))
                .collect(),
            station_db: axes
                .stations
                .iter()
                .flat_map(|s| drawer.fixed(Factor::Station, s.key, station_sd_db()))
                .collect(),
            off: drawer.off(),
            faults: drawer.faults(),
            known_faults: Vec::new(),
            fades: drawer.fades(),
            power_rank: slices.even(&[ask.seed, Factor::Power as u64]),
            wanted: hours.len(),
            slots,
            count: ask.count,
            axes: axes.clone(),
        };
        let numbers = [
            &days.fof2_z,
            &days.es_z,
            &days.absorption_z,
            &days.noise_z,
            &days.slow_z,
            &days.station_noise_z,
        ];
        debug_assert_eq!(
            numbers.map(Vec::len).iter().sum::<usize>(),
            Self::numbers_an_hour(axes) * hours.len() * ask.count
        );
        days
    }

    /// Every `stride`-th of the days, for a first look.
    #[must_use]
    pub fn thinned(&self, stride: usize) -> Self {
        let picked: Vec<usize> = (0..self.count).step_by(stride.max(1)).collect();
        self.picked(&picked)
    }

    /// The days picked by their places; one may be picked more than once.
    #[must_use]
    pub fn picked(&self, picked: &[usize]) -> Self {
        let pick = |column: &[f32]| -> Vec<f32> {
            let mut out = Vec::with_capacity(column.len() / self.count.max(1) * picked.len());
            for days in column.chunks(self.count.max(1)) {
                out.extend(picked.iter().map(|d| days[*d]));
            }
            out
        };
        let mut copies: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for (place, day) in picked.iter().enumerate() {
            copies.entry(*day as u32).or_default().push(place as u32);
        }
        let places = |day: u32| copies.get(&day).cloned().unwrap_or_default();
        Self {
            axes: self.axes.clone(),
            count: picked.len(),
            slots: self.slots.clone(),
            fof2_z: pick(&self.fof2_z),
            es_z: pick(&self.es_z),
            absorption_z: pick(&self.absorption_z),
            noise_z: pick(&self.noise_z),
            slow_z: pick(&self.slow_z),
            station_noise_z: pick(&self.station_noise_z),
            own_db: pick(&self.own_db),
            band_db: pick(&self.band_db),
            station_db: pick(&self.station_db),
            off: self
                .off
                .iter()
                .map(|(key, days)| (*key, picked.iter().map(|d| days[*d]).collect()))
                .collect(),
            faults: self
                .faults
                .iter()
                .flat_map(|f| places(f.day).into_iter().map(|day| DayFault { day, ..*f }))
                .collect(),
            known_faults: self.known_faults.clone(),
            fades: self
                .fades
                .iter()
                .flat_map(|f| places(f.day).into_iter().map(|day| DayFade { day, ..*f }))
                .collect(),
            power_rank: pick(&self.power_rank),
            wanted: self.wanted,
        }
    }

    /// A fault that was found: it is there on every day from `from_s` until it is mended, and whatever the days drew for before
    /// that time is no longer a guess.
    pub fn know(&mut self, known: KnownFault) {
        self.faults.retain(|f| f.from_s > known.until_s);
        self.known_faults.push(known);
    }

    fn row<'a>(&self, all: &'a [f32], series: usize, hour: usize) -> &'a [f32] {
        let slot = self.slots.get(hour).copied().flatten().unwrap_or(0) as usize;
        let from = (series * self.wanted + slot) * self.count;
        all.get(from..from + self.count).unwrap_or(&[])
    }

    fn series<'a>(&self, all: &'a [f32], series: usize) -> &'a [f32] {
        all.get(series * self.count..(series + 1) * self.count).unwrap_or(&[])
    }

    /// Whether an hour was drawn.
    #[must_use]
    pub fn has_hour(&self, hour: usize) -> bool {
        self.slots.get(hour).copied().flatten().is_some()
    }

    /// foF2 over its median in an hour, by day, as a normal deviate (dimensionless).
    #[must_use]
    pub fn fof2_z(&self, hour: usize) -> &[f32] {
        self.row(&self.fof2_z, 0, hour)
    }

    /// foEs over its median in an hour, by day, as a normal deviate (dimensionless).
    #[must_use]
    pub fn es_z(&self, hour: usize) -> &[f32] {
        self.row(&self.es_z, 0, hour)
    }

    /// Absorption over its forecast in an hour, by day, as a normal deviate of its logarithm (dimensionless).
    #[must_use]
    pub fn absorption_z(&self, hour: usize) -> &[f32] {
        self.row(&self.absorption_z, 0, hour)
    }

    /// Noise at the site on a band in an hour, by day, as a normal deviate (dimensionless).
    #[must_use]
    pub fn noise_z(&self, band: usize, hour: usize) -> &[f32] {
        self.row(&self.noise_z, band, hour)
    }

    /// Slow deviation of the signal on a band in an hour, by day, as a normal deviate (dimensionless).
    #[must_use]
    pub(crate) fn slow_z(&self, band: usize, hour: usize) -> &[f32] {
        self.row(&self.slow_z, band, hour)
    }

    /// Noise at a station in an hour, by day, as a normal deviate (dimensionless).
    #[must_use]
    pub(crate) fn station_noise_z(&self, station: usize, hour: usize) -> &[f32] {
        self.row(&self.station_noise_z, station, hour)
    }

    /// Own station better heard than computed, by day, dB.
    #[must_use]
    pub fn own_db(&self) -> &[f32] {
        &self.own_db
    }

    /// A band better than computed, by day, dB.
    #[must_use]
    pub fn band_db(&self, band: usize) -> &[f32] {
        self.series(&self.band_db, band)
    }

    /// A correspondent's circuits better than computed, by day, dB.
    #[must_use]
    pub fn station_db(&self, station: usize) -> &[f32] {
        self.series(&self.station_db, station)
    }

    /// Whether a station is off on the calendar day of an instant, by day.
    #[must_use]
    pub fn off(&self, station: usize, at: UtcTime) -> &[bool] {
        let (first, last) = self.axes.calendar_days();
        let day = self.axes.calendar_day(at).clamp(first, last);
        self.off.get(&(station, day)).map_or(&[], Vec::as_slice)
    }
}

struct Drawer<'a> {
    axes: &'a Axes,
    ask: &'a DrawAsk<'a>,
    slices: &'a Slices,
}

impl Drawer<'_> {
    fn normal(&self, factor: Factor, series: u64, place: i64) -> Vec<f32> {
        let mut column = self
            .slices
            .normal(&[self.ask.seed, factor as u64, series, place as u64]);
        if self.ask.stretch != 1.0 {
            column.iter_mut().for_each(|z| *z *= self.ask.stretch);
        }
        column
    }

    fn even(&self, factor: Factor, series: u64, place: i64) -> Vec<f32> {
        self.slices.even(&[self.ask.seed, factor as u64, series, place as u64])
    }

    fn fixed(&self, factor: Factor, series: u64, sd_db: f64) -> Vec<f32> {
        let mut column = self.normal(factor, series, 0);
        column.iter_mut().for_each(|z| *z *= sd_db as f32);
        column
    }

    /// A factor that forgets with a correlation time in hours, in the wanted hours. With all hours wanted it goes step by step from
    /// its anchor; with few it jumps.
    fn wander(&self, factor: Factor, series: u64, correlation_time_h: f64, hours: &[usize]) -> Vec<f32> {
        let start_h = self.axes.start.unix_s().div_euclid(3_600);
        let mut out = Vec::with_capacity(hours.len() * self.ask.count);
        let Some(&first) = hours.first() else { return out };
        let every = self.ask.hours.is_none();
        let mut at_h = if every {
            (start_h - SETTLE_H).div_euclid(ANCHOR_H) * ANCHOR_H
        } else {
            start_h + first as i64
        };
        let mut now = self.normal(factor, series, at_h);
        for &hour in hours {
            let wanted_h = start_h + hour as i64;
            while at_h < wanted_h {
                let step_h = if every { 1 } else { wanted_h - at_h };
                at_h += step_h;
                let keep = kept(step_h as f64, correlation_time_h);
                let fresh = (1.0 - keep * keep).sqrt();
                let news = self.normal(factor, series, at_h);
                for (z, new) in now.iter_mut().zip(&news) {
                    *z = keep as f32 * *z + fresh as f32 * new;
                }
            }
            out.extend_from_slice(&now);
        }
        out
    }

    /// Noise of all bands: each leans on its lower neighbour.
    fn noise(&self, hours: &[usize]) -> Vec<f32> {
        let mut all: Vec<f32> = Vec::new();
        let block = hours.len() * self.ask.count;
        for band in 0..self.axes.bands_mhz.len() {
            let own = self.wander(Factor::Noise, self.axes.band_key(band), NOISE_HOURS, hours);
            if band == 0 {
                all.extend(own);
                continue;
            }
            let lean = NOISE_NEIGHBOURS as f32;
            let rest = (1.0 - lean * lean).sqrt();
            let below = (band - 1) * block;
            for (place, z) in own.into_iter().enumerate() {
                all.push(lean * all[below + place] + rest * z);
            }
        }
        all
    }

    fn off(&self) -> BTreeMap<(usize, i64), Vec<bool>> {
        let (first, last) = self.axes.calendar_days();
        let mut all = BTreeMap::new();
        for (station, prior) in self.axes.stations.iter().enumerate() {
            for day in first..=last {
                let luck = self.even(Factor::Off, prior.key, day);
                all.insert((station, day), luck.iter().map(|u| f64::from(*u) < prior.off).collect());
            }
        }
        all
    }

    fn faults(&self) -> Vec<DayFault> {
        let by_class = self.axes.faults.by_class;
        let from_start = self.axes.faults.from_start;
        let total: f64 = by_class.iter().sum();
        let (luck, which, when) = (
            self.even(Factor::Fault, 0, 0),
            self.even(Factor::FaultClass, 0, 0),
            self.even(Factor::FaultFrom, 0, 0),
        );
        let start_s = self.axes.start.unix_s();
        let length_s = 3_600.0 * self.axes.hours as f64;
        let one = |day: usize| {
            if f64::from(luck[day]) >= total {
                return None;
            }
            let mut left = f64::from(which[day]) * total;
            let class = FaultClass::ALL.into_iter().zip(by_class).find(|(_, p)| {
                left -= p;
                left < 0.0
            })?;
            let late = (f64::from(when[day]) - from_start) / (1.0 - from_start).max(1e-9);
            Some(DayFault {
                day: u32::try_from(day).ok()?,
                class: class.0,
                from_s: if late <= 0.0 {
                    i64::MIN
                } else {
                    start_s + (late * length_s) as i64
                },
            })
        };
        (0..self.ask.count).filter_map(one).collect()
    }

    fn fades(&self) -> Vec<DayFade> {
        let days = self.axes.hours as f64 / 24.0;
        let chance = 1.0 - maths::exp(-self.axes.fade_outs_per_day * days);
        let column = |factor| self.even(factor, 0, 0);
        let (luck, from) = (column(Factor::Fade), column(Factor::FadeFrom));
        let (length, depth) = (column(Factor::FadeLength), column(Factor::FadeDepth));
        let one = |day: usize| {
            if f64::from(luck[day]) >= chance {
                return None;
            }
            let log_normal =
                |(median, log_sd): (f64, f64), u: f32| median * maths::exp(log_sd * normal_quantile(f64::from(u)));
            let length_s = (60.0 * log_normal(FADE_OUT_MIN, length[day])) as i64;
            // It may have begun before the first hour.
            let span_s = 3_600.0 * self.axes.hours as f64 + length_s as f64;
            let from_s = self.axes.start.unix_s() - length_s + (f64::from(from[day]) * span_s) as i64;
            Some(DayFade {
                day: u32::try_from(day).ok()?,
                from_s,
                until_s: from_s + length_s,
                loss_db: log_normal(FADE_OUT_DB, depth[day]) as f32,
            })
        };
        (0..self.ask.count).filter_map(one).collect()
    }
}
