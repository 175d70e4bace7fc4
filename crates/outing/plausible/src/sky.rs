//! Indices, readings, noise.

use farhop_earth::{IgrfEpoch, Place, UtcTime, geodesic};
use farhop_ionosphere::{Activity as Sun, Ionosphere, SkyConditions};
use farhop_outing::{Activity, NoiseLevel, Outing};

use crate::{Case, Say};

/// A index of each K (dimensionless): the equivalent ap of Bartels' table for whole K (GFZ Potsdam, Kp/ap; from memory).
const A_OF_K: [f64; 10] = [0.0, 3.0, 7.0, 15.0, 27.0, 48.0, 80.0, 140.0, 240.0, 400.0];
/// K and the K of A may differ so much (dimensionless): A is of a day, K of three hours (a judgement).
pub const K_APART: f64 = 3.0;
/// Readings so many times above or below the maps are odd (dimensionless): storms halve foF2, a day of the median month stays within 1.6
/// (a judgement).
const FOF2_HIGH: f64 = 1.75;
const FOF2_LOW: f64 = 0.45;
/// A reading so far from every site says nothing, km (a judgement).
const FOF2_FAR_KM: f64 = 3_000.0;
/// R12 may differ so much from what is expected (dimensionless; a judgement).
const R12_APART: f64 = 110.0;
/// Noise above this is a signal or a slip, dBm: S9 and 15 dB.
pub const LOUD_NOISE_DBM: f64 = -58.0;
/// Noise below this is below a matched receiver's own: kTB is -141 dBm in 2 kHz, -164 dBm in 10 Hz.
pub const SILENT_NOISE_DBM: f64 = -155.0;

/// K index (dimensionless) whose A index is nearest in rank to a given A, fractions by straight lines.
#[must_use]
pub fn k_of_a(a_index: f64) -> f64 {
    let above = A_OF_K.iter().position(|a| *a >= a_index).unwrap_or(9);
    let Some(below) = above.checked_sub(1) else { return 0.0 };
    let (low, high) = (A_OF_K[below], A_OF_K[above]);
    below as f64 + ((a_index - low) / (high - low)).min(1.0)
}

pub(crate) fn k_against_a(case: &Case<'_>, say: &mut Say<'_>) {
    let own = &case.outing.conditions;
    let Some(a) = own.a_index else { return };
    let series = own.k_by_day.iter().chain(&own.k_by_three_hours).copied();
    let most = own
        .k_index
        .into_iter()
        .chain(series.clone())
        .fold(f64::NEG_INFINITY, f64::max);
    let least = own.k_index.into_iter().chain(series).fold(f64::INFINITY, f64::min);
    let expected = k_of_a(a);
    if most.is_finite() && (expected - most >= K_APART || least - expected >= K_APART) {
        let k = if expected > most { most } else { least };
        say(
            "conditions.a".into(),
            format!("K is {k} and A is {a}, which is a K of about {expected:.0}"),
        );
    }
}

/// How a reading differs from the maps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odd {
    /// What the maps give, MHz.
    pub expected_mhz: f64,
}

/// The activity of an outing.
fn sun(outing: &Outing, time: UtcTime) -> Sun {
    let stated = match outing.conditions.activity {
        Some(Activity::Sunspots { ssn }) => Sun::from_ssn(ssn).ok(),
        Some(Activity::Flux { flux_sfu }) => Sun::from_flux(flux_sfu).ok(),
        None => None,
    };
    stated.unwrap_or_else(|| Sun::expected(time))
}

pub(crate) fn fof2_mhz(
    maps: &Ionosphere,
    field: &IgrfEpoch,
    outing: &Outing,
    place: Place,
    time: UtcTime,
) -> Option<f64> {
    let conditions = SkyConditions::quiet(sun(outing, time));
    let layers = maps.layers(field, place, time, &conditions);
    Some(layers.fof2_mhz).filter(|mhz| mhz.is_finite() && *mhz > 0.0)
}

/// Whether a reading of foF2 in MHz is far from what the maps give at that place and time.
#[must_use]
pub fn fof2_odd(outing: &Outing, place: Place, time: UtcTime, fof2_mhz: f64) -> Option<Odd> {
    let field = IgrfEpoch::at(time.decimal_year()).ok()?;
    let expected_mhz = self::fof2_mhz(Ionosphere::embedded(), &field, outing, place, time)?;
    odd(fof2_mhz, expected_mhz)
}

fn odd(read_mhz: f64, expected_mhz: f64) -> Option<Odd> {
    let ratio = read_mhz / expected_mhz;
    (!(FOF2_LOW..=FOF2_HIGH).contains(&ratio)).then_some(Odd { expected_mhz })
}

pub(crate) fn fof2_odd_in(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, reading) in case.outing.conditions.fof2.iter().enumerate() {
        let expected = case.fof2_mhz(reading.place, reading.at);
        if let Some(odd) = expected.and_then(|mhz| odd(reading.fof2_mhz, mhz)) {
            let seen = format!(
                "foF2 of {} MHz, where the maps give {:.1} MHz",
                reading.fof2_mhz, odd.expected_mhz
            );
            say(format!("conditions.fof2[{i}].mhz"), seen);
        }
    }
}

pub(crate) fn fof2_far(case: &Case<'_>, say: &mut Say<'_>) {
    let own = &case.outing.conditions;
    let fof2 = own
        .fof2
        .iter()
        .enumerate()
        .map(|(i, o)| (format!("conditions.fof2[{i}].place"), o.place));
    let foes = own
        .foes
        .iter()
        .enumerate()
        .map(|(i, o)| (format!("conditions.foes[{i}].place"), o.place));
    for (path, place) in fof2.chain(foes) {
        let near_km = case.outing.sites.iter().map(|s| geodesic(s.place, place).distance_km);
        let near_km = near_km.fold(f64::INFINITY, f64::min);
        if near_km > FOF2_FAR_KM {
            say(path, format!("it was read {near_km:.0} km from the nearest site"));
        }
    }
}

pub(crate) fn activity_odd(case: &Case<'_>, say: &mut Say<'_>) {
    let start = case.outing.header.start;
    let (key, value) = match case.outing.conditions.activity {
        Some(Activity::Sunspots { ssn }) => ("ssn", ssn),
        Some(Activity::Flux { flux_sfu }) => ("flux_sfu", flux_sfu),
        None => return,
    };
    let (stated, expected) = (sun(case.outing, start), Sun::expected(start));
    if (stated.r12() - expected.r12()).abs() > R12_APART {
        let usual = if key == "ssn" {
            expected.r12()
        } else {
            expected.flux_sfu()
        };
        say(
            format!("conditions.{key}"),
            format!("{key} is {value}, expected is about {usual:.0}"),
        );
    }
}

pub(crate) fn noise_odd(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, reading) in case.outing.conditions.noise.iter().enumerate() {
        if let NoiseLevel::Dbm { level_dbm } = reading.level
            && !(SILENT_NOISE_DBM..=LOUD_NOISE_DBM).contains(&level_dbm)
        {
            say(
                format!("conditions.noise[{i}].dbm"),
                format!("noise of {level_dbm} dBm at {} MHz", reading.freq_mhz),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// GFZ's table: ap of Kp 5 is 48, of Kp 9 is 400.
    #[test]
    fn k_of_a_follows_the_table() {
        assert_eq!((k_of_a(0.0), k_of_a(48.0), k_of_a(400.0)), (0.0, 5.0, 9.0));
        assert!((k_of_a(300.0) - 8.4).abs() < 0.1);
    }
}
