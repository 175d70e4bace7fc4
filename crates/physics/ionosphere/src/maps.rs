//! The numerical maps of foF2, M(3000)F2 and foEs.
//!
//! Rec. ITU-R P.1239, section "Mapping functions", after Jones & Gallet (1962, 1965):
//!
//! Ω(λ, θ, T) = Σₖ Σⱼ Uⱼₖ · Dⱼ(T) · Gₖ(λ, θ), with Dⱼ = 1, sin T, cos T, sin 2T, cos 2T, … and T = 15° UT − 180°.
//!
//! Gₖ = xⁱ · cosᵐ(lat) · {cos | sin}(m·lon), x = sin(modip). The months are joined linearly in whole days between the
//! 15ths, and the two activity levels of a map linearly in the index.
//!
//! Sporadic E: Leftin, Ostrow & Preston, ESSA Technical Report ERL 73-ITS 63 (1968), maps at R12 = 10 and 180.

use crate::map_data::{self, MONTHS, MapSet, MonthSets, ORDERS};
use farhop_earth::{Place, UtcTime};
use farhop_num::maths;

/// Largest number of diurnal functions in a map (six harmonics).
const DIURNAL_MAX: usize = 13;
/// Room for the powers of sin(modip) and for the geographic functions of any set.
const POWERS: usize = 14;
const FUNCTIONS_MAX: usize = 100;

/// Which set of coefficients gives foF2.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum F2Map {
    /// The CCIR (Oslo) maps of Rec. ITU-R P.1239.
    #[default]
    Ccir,
    /// The URSI-88 maps (Rush et al. 1989), better over the oceans.
    Ursi,
}

/// A quantity at the two activity levels of its map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Levels {
    /// Value at the lower level, in the unit of the map.
    pub low: f64,
    /// Value at the higher level, in the unit of the map.
    pub high: f64,
}

impl Levels {
    fn at(self, index: f64, from: f64, to: f64) -> f64 {
        self.low + (self.high - self.low) * (index - from) / (to - from)
    }
}

/// What the maps say at one place and time, before an activity index is chosen. Raw: nothing is bounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapReading {
    /// foF2 at index 0 and 100, MHz.
    pub fof2_mhz: Levels,
    /// M(3000)F2 at index 0 and 100, dimensionless.
    pub m3000f2: Levels,
    /// Upper decile of foEs at R12 = 10 and 180, MHz.
    pub foes_upper_decile_mhz: Levels,
    /// Median of foEs at R12 = 10 and 180, MHz.
    pub foes_median_mhz: Levels,
    /// Lower decile of foEs at R12 = 10 and 180, MHz.
    pub foes_lower_decile_mhz: Levels,
}

impl MapReading {
    /// foF2 in MHz, linear in the index (R12, or any other index on its scale; dimensionless).
    #[must_use]
    pub fn fof2_at_mhz(&self, index: f64) -> f64 {
        self.fof2_mhz.at(index, 0.0, 100.0)
    }

    /// M(3000)F2, dimensionless, linear in the index (dimensionless).
    #[must_use]
    pub fn m3000f2_at(&self, index: f64) -> f64 {
        self.m3000f2.at(index, 0.0, 100.0)
    }

    /// Lower decile, median and upper decile of foEs in MHz, linear in R12 (dimensionless).
    #[must_use]
    pub fn foes_at_mhz(&self, r12: f64) -> [f64; 3] {
        [
            self.foes_lower_decile_mhz,
            self.foes_median_mhz,
            self.foes_upper_decile_mhz,
        ]
        .map(|l| l.at(r12, 10.0, 180.0))
    }
}

/// Two neighbouring months and how much of the later one a day takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthMix {
    /// Month whose 15th is on or before the day, 0 for January.
    pub before: usize,
    /// The month after it, 0 for January.
    pub after: usize,
    /// Share of the month after, 0 to below 1, dimensionless.
    pub after_share: f64,
}

impl MonthMix {
    /// The mix on a day: linear in whole days between the 15ths, so that the 15th is a pure month.
    #[must_use]
    pub fn on(time: UtcTime) -> Self {
        const DAYS: [f64; 12] = [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];
        let month = usize::try_from(time.month() - 1).unwrap_or(0) % 12;
        let day = f64::from(time.day());
        let (before, days_past) = if day >= 15.0 {
            (month, day - 15.0)
        } else {
            let previous = (month + 11) % 12;
            (previous, day - 15.0 + DAYS[previous] + leap_day(previous, time.year()))
        };
        let between = DAYS[before] + leap_day(before, time.year());
        Self {
            before,
            after: (before + 1) % 12,
            after_share: days_past / between,
        }
    }
}

fn leap_day(month: usize, year: i16) -> f64 {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    if month == 1 && leap { 1.0 } else { 0.0 }
}

/// The factors of the geographic functions at one place.
#[derive(Clone, Debug)]
pub(crate) struct Geography {
    powers: [f64; POWERS],
    cos_part: [f64; ORDERS],
    sin_part: [f64; ORDERS],
}

impl Geography {
    pub(crate) fn new(place: Place, modip_deg: f64) -> Self {
        let x = maths::sin(modip_deg.to_radians());
        let (lat, lon) = (place.lat_deg().to_radians(), place.lon_deg().to_radians());
        let mut powers = [1.0; POWERS];
        for i in 1..POWERS {
            powers[i] = powers[i - 1] * x;
        }
        let (mut cos_part, mut sin_part) = ([0.0; ORDERS], [0.0; ORDERS]);
        let mut cos_power = 1.0;
        for (m, (c, s)) in cos_part.iter_mut().zip(&mut sin_part).enumerate() {
            let (sin_lon, cos_lon) = maths::sin_cos(m as f64 * lon);
            (*c, *s) = (cos_power * cos_lon, cos_power * sin_lon);
            cos_power *= maths::cos(lat);
        }
        Self {
            powers,
            cos_part,
            sin_part,
        }
    }

    /// Gₖ for a set with these last function numbers by order (P.1239, table of geographic functions).
    fn functions(&self, last: &[usize; ORDERS]) -> [f64; FUNCTIONS_MAX] {
        let mut g = [0.0; FUNCTIONS_MAX];
        for (slot, power) in g.iter_mut().take(last[0] + 1).zip(self.powers) {
            *slot = power;
        }
        for m in 1..ORDERS {
            let pairs = g[last[m - 1] + 1..=last[m]].chunks_exact_mut(2);
            for (pair, power) in pairs.zip(self.powers) {
                pair[0] = power * self.cos_part[m];
                pair[1] = power * self.sin_part[m];
            }
        }
        g
    }
}

/// Diurnal functions Dⱼ at one universal time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Diurnal([f64; DIURNAL_MAX]);

impl Diurnal {
    pub(crate) fn at(ut_hours: f64) -> Self {
        let (sin_t, cos_t) = maths::sin_cos((15.0 * ut_hours - 180.0).to_radians());
        let mut d = [1.0; DIURNAL_MAX];
        let (mut sin_m, mut cos_m) = (sin_t, cos_t);
        for pair in d[1..].chunks_exact_mut(2) {
            (pair[0], pair[1]) = (sin_m, cos_m);
            (sin_m, cos_m) = (sin_m * cos_t + cos_m * sin_t, cos_m * cos_t - sin_m * sin_t);
        }
        Self(d)
    }

    fn dot(&self, series: &[f64; DIURNAL_MAX]) -> f64 {
        self.0.iter().zip(series).map(|(d, c)| d * c).sum()
    }
}

/// A map over one place: what is left is a Fourier series in universal time.
type Series = [f64; DIURNAL_MAX];

fn contract<const N: usize>(values: &[f64], g: &[f64]) -> Series {
    let mut sum = [0.0; N];
    let (columns, _) = values.as_chunks::<N>();
    for (column, gk) in columns.iter().zip(g) {
        sum = std::array::from_fn(|j| sum[j] + column[j] * gk);
    }
    let mut series = [0.0; DIURNAL_MAX];
    for (out, s) in series.iter_mut().zip(sum) {
        *out = s;
    }
    series
}

/// Σₖ Uⱼₖ Gₖ. The length is spelled out for the sizes in use so that the inner loop is unrolled.
fn over_place(set: &MapSet, g: &[f64]) -> Series {
    match set.diurnal {
        5 => contract::<5>(&set.values, g),
        7 => contract::<7>(&set.values, g),
        9 => contract::<9>(&set.values, g),
        13 => contract::<13>(&set.values, g),
        _ => [0.0; DIURNAL_MAX],
    }
}

/// The maps of one month over one place.
#[derive(Clone, Debug)]
pub(crate) struct MonthAtPlace {
    fof2: [Series; 2],
    m3000f2: [Series; 2],
    foes_upper: [Series; 2],
    foes_median: [Series; 2],
    foes_lower: [Series; 2],
}

impl MonthAtPlace {
    fn new(sets: &MonthSets, map: F2Map, geography: &Geography) -> Self {
        let both = |pair: &[MapSet; 2]| {
            let g = geography.functions(&pair[0].last);
            if pair[0].last == pair[1].last {
                return [over_place(&pair[0], &g), over_place(&pair[1], &g)];
            }
            [
                over_place(&pair[0], &g),
                over_place(&pair[1], &geography.functions(&pair[1].last)),
            ]
        };
        Self {
            fof2: both(match map {
                F2Map::Ccir => &sets.fof2_ccir,
                F2Map::Ursi => &sets.fof2_ursi,
            }),
            m3000f2: both(&sets.m3000f2),
            foes_upper: both(&sets.foes_upper),
            foes_median: both(&sets.foes_median),
            foes_lower: both(&sets.foes_lower),
        }
    }

    fn reading(&self, diurnal: &Diurnal) -> MapReading {
        let levels = |pair: &[Series; 2]| Levels {
            low: diurnal.dot(&pair[0]),
            high: diurnal.dot(&pair[1]),
        };
        MapReading {
            fof2_mhz: levels(&self.fof2),
            m3000f2: levels(&self.m3000f2),
            foes_upper_decile_mhz: levels(&self.foes_upper),
            foes_median_mhz: levels(&self.foes_median),
            foes_lower_decile_mhz: levels(&self.foes_lower),
        }
    }
}

impl MapReading {
    fn mixed(&self, later: &Self, share: f64) -> Self {
        let mix = |a: Levels, b: Levels| Levels {
            low: a.low + (b.low - a.low) * share,
            high: a.high + (b.high - a.high) * share,
        };
        Self {
            fof2_mhz: mix(self.fof2_mhz, later.fof2_mhz),
            m3000f2: mix(self.m3000f2, later.m3000f2),
            foes_upper_decile_mhz: mix(self.foes_upper_decile_mhz, later.foes_upper_decile_mhz),
            foes_median_mhz: mix(self.foes_median_mhz, later.foes_median_mhz),
            foes_lower_decile_mhz: mix(self.foes_lower_decile_mhz, later.foes_lower_decile_mhz),
        }
    }
}

/// The months, 0 for January, of whose maps something between two instants can ask, with three days to spare on both sides: other tables
/// by month change in the middle of a month too, but count it a day or two apart.
#[must_use]
pub fn months_between(from: UtcTime, until: UtcTime) -> Vec<usize> {
    const SPARE_S: i64 = 3 * 86_400;
    let (first, last) = (MonthMix::on(from.add_s(-SPARE_S)), MonthMix::on(until.add_s(SPARE_S)));
    // An outing of a year asks for all of them.
    let days = (until.unix_s() - from.unix_s()) / 86_400;
    let count = if days >= 330 {
        MONTHS
    } else {
        (last.after + MONTHS - first.before) % MONTHS + 1
    };
    (0..count).map(|k| (first.before + k) % MONTHS).collect()
}

/// The maps of all months; those of a month are read when they are asked for.
#[derive(Clone, Copy, Debug, Default)]
pub struct NumericalMaps(());

impl NumericalMaps {
    /// What the maps say at a place with this modified dip (degrees) at a time.
    ///
    /// Reference: Rec. ITU-R P.1239; see the module.
    #[must_use]
    pub fn reading(&self, map: F2Map, place: Place, modip_deg: f64, time: UtcTime) -> MapReading {
        MapsAtPlace::new(self, map, Geography::new(place, modip_deg), time).reading(self, time)
    }

    fn month(self, index: usize, map: F2Map, geography: &Geography) -> MonthAtPlace {
        MonthAtPlace::new(map_data::month(index), map, geography)
    }
}

/// The maps over one place, ready for the two months around a date.
#[derive(Clone, Debug)]
pub(crate) struct MapsAtPlace {
    map: F2Map,
    geography: Geography,
    mix: MonthMix,
    before: MonthAtPlace,
    after: MonthAtPlace,
}

impl MapsAtPlace {
    pub(crate) fn new(maps: &NumericalMaps, map: F2Map, geography: Geography, around: UtcTime) -> Self {
        let mix = MonthMix::on(around);
        let before = maps.month(mix.before, map, &geography);
        let after = maps.month(mix.after, map, &geography);
        Self {
            map,
            geography,
            mix,
            before,
            after,
        }
    }

    /// Cheap between the same two 15ths as the date given at the start; else the two months are made again.
    pub(crate) fn reading(&self, maps: &NumericalMaps, time: UtcTime) -> MapReading {
        let mix = MonthMix::on(time);
        let diurnal = Diurnal::at(time.hour());
        if mix.before == self.mix.before {
            let (early, late) = (self.before.reading(&diurnal), self.after.reading(&diurnal));
            return early.mixed(&late, mix.after_share);
        }
        let early = maps.month(mix.before, self.map, &self.geography).reading(&diurnal);
        let late = maps.month(mix.after, self.map, &self.geography).reading(&diurnal);
        early.mixed(&late, mix.after_share)
    }
}
