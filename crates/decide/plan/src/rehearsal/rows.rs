//! What each drawn day holds, as plain numbers.

use farhop_days::{FaultClass, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;

/// An own fault of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnFaultOfDay {
    /// What it does, in a word or two.
    pub what: &'static str,
    /// Since when; none where it was there from the start.
    pub from: Option<UtcTime>,
}

/// A fade-out of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FadeOfDay {
    /// Since when.
    pub from: UtcTime,
    /// Until when.
    pub until: UtcTime,
    /// Loss of one hop at 5 MHz under a sun straight above, dB.
    pub loss_db: f64,
}

/// A drawn day.
#[derive(Clone, Debug, PartialEq)]
pub struct DayRow {
    /// How much it counts (dimensionless); all weights add up to one.
    pub weight: f64,
    /// Own station better heard than computed, dB.
    pub own_db: f64,
    /// Each band better than computed: its lowest frequency in MHz, and dB.
    pub bands_db: Vec<(f64, f64)>,
    /// Each station's circuits better than computed, dB, in the order of the outing.
    pub stations_db: Vec<f64>,
    /// For each station, in the order of the outing: the calendar days of the outing (from 0, by mean solar time) on which it is off.
    pub off_days: Vec<Vec<usize>>,
    /// The own fault, if there is one.
    pub fault: Option<OwnFaultOfDay>,
    /// The fade-out, if there is one.
    pub fade: Option<FadeOfDay>,
    /// How soon the battery gives up, as a place from 0 (soonest) to 1 (dimensionless).
    pub power_rank: f64,
    /// foF2 over its median: mean of the hours, in standard deviations (dimensionless).
    pub fof2_mean_z: f64,
    /// Absorption over its forecast: mean of the hours, in standard deviations of its logarithm (dimensionless).
    pub absorption_mean_z: f64,
}

/// All days.
pub(super) fn rows(outing: &Outing, days: &WeighedDays) -> Vec<DayRow> {
    (0..days.days.count).map(|day| row(outing, days, day)).collect()
}

fn row(outing: &Outing, weighed: &WeighedDays, day: usize) -> DayRow {
    let days = &weighed.days;
    let value = |column: &[f32]| column.get(day).copied().map_or(0.0, f64::from);
    let mean = |column: &dyn Fn(usize) -> f64| {
        let hours = days.axes.hours.max(1);
        (0..hours).map(column).sum::<f64>() / hours as f64
    };
    let (first, last) = days.axes.calendar_days();
    let off = |station: usize| {
        let is_off = |place: &usize| {
            // Noon of a calendar day lies in it, whatever the clock says.
            let noon_s = (first + *place as i64) * 86_400 + 43_200 - days.axes.solar_offset_s;
            let noon = days.axes.start.add_s(noon_s - days.axes.start.unix_s());
            days.off(station, noon).get(day).copied().unwrap_or(false)
        };
        (0..=usize::try_from(last - first).unwrap_or(0))
            .filter(is_off)
            .collect()
    };
    let start = outing.header.start;
    let at = |unix_s: i64| start.add_s(unix_s - start.unix_s());
    DayRow {
        weight: value(&weighed.weights),
        own_db: value(days.own_db()),
        bands_db: days
            .axes
            .bands_mhz
            .iter()
            .enumerate()
            .map(|(band, mhz)| (*mhz, value(days.band_db(band))))
            .collect(),
        stations_db: (0..outing.stations.len()).map(|s| value(days.station_db(s))).collect(),
        off_days: (0..outing.stations.len()).map(off).collect(),
        fault: days
            .faults
            .iter()
            .find(|f| f.day as usize == day)
            .map(|f| OwnFaultOfDay {
                what: fault_words(f.class),
                from: (f.from_s > start.unix_s()).then(|| at(f.from_s)),
            }),
        fade: days.fades.iter().find(|f| f.day as usize == day).map(|f| FadeOfDay {
            from: at(f.from_s),
            until: at(f.until_s),
            loss_db: f64::from(f.loss_db),
        }),
        power_rank: value(&days.power_rank),
        fof2_mean_z: mean(&|hour| value(days.fof2_z(hour))),
        absorption_mean_z: mean(&|hour| value(days.absorption_z(hour))),
    }
}

fn fault_words(class: FaultClass) -> &'static str {
    match class {
        FaultClass::NoPower => "no power",
        FaultClass::NothingOut => "nothing out",
        FaultClass::WeakOut => "weak out",
        FaultClass::NothingIn => "nothing in",
        FaultClass::NoModem => "no modem",
    }
}
