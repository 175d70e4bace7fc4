//! Stations and their channels.

use farhop_outing::StationAntenna;

use crate::kit::HIGH_MAST_M;
use crate::{Case, Say, bands};

/// Power of stations that take mail, W (a judgement).
const POWER_W: std::ops::RangeInclusive<f64> = 4.0..=1_500.0;
/// Widths of modes for mail, Hz (a judgement).
const WIDTH_HZ: std::ops::RangeInclusive<f64> = 40.0..=4_000.0;
/// Masts of stations, m (a judgement).
const STATION_MAST_M: f64 = 1.6 * HIGH_MAST_M;
/// A chance from which a station is not worth a call (dimensionless; a judgement).
const SELDOM: f64 = 0.8;

pub(crate) fn band_unusual(case: &Case<'_>, say: &mut Say<'_>) {
    if case.outing.header.operator.allocation.is_some() {
        return;
    }
    for (i, station) in case.outing.stations.iter().enumerate() {
        for (j, channel) in station.channels.iter().enumerate() {
            if !bands::usual(channel.freq_mhz) {
                say(
                    format!("station[{i}].channels[{j}].mhz"),
                    format!("\"{}\" is called on {} MHz", station.id, channel.freq_mhz),
                );
            }
        }
    }
}

pub(crate) fn channel_twice(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, station) in case.outing.stations.iter().enumerate() {
        for (j, channel) in station.channels.iter().enumerate() {
            let twin = |c: &farhop_outing::Channel| {
                (c.freq_mhz - channel.freq_mhz).abs() < 1e-6
                    && c.mode == channel.mode
                    && c.bandwidth_hz == channel.bandwidth_hz
                    && c.hours_utc == channel.hours_utc
            };
            if station.channels.iter().take(j).any(twin) {
                say(
                    format!("station[{i}].channels[{j}].mhz"),
                    format!("\"{}\" has {} MHz", station.id, channel.freq_mhz),
                );
            }
        }
    }
}

pub(crate) fn width_odd(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, station) in case.outing.stations.iter().enumerate() {
        for (j, channel) in station.channels.iter().enumerate() {
            if !WIDTH_HZ.contains(&channel.bandwidth_hz) {
                let seen = format!(
                    "\"{}\" is {} Hz wide on {} MHz",
                    station.id, channel.bandwidth_hz, channel.freq_mhz
                );
                say(format!("station[{i}].channels[{j}].bandwidth_hz"), seen);
            }
        }
    }
}

pub(crate) fn station_power(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, station) in case.outing.stations.iter().enumerate() {
        if !POWER_W.contains(&station.power_w) {
            say(
                format!("station[{i}].power_w"),
                format!("\"{}\" has {} W", station.id, station.power_w),
            );
        }
    }
}

pub(crate) fn station_mast(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, station) in case.outing.stations.iter().enumerate() {
        if let StationAntenna::Dipole { height_m, .. } = station.antenna
            && height_m > STATION_MAST_M
        {
            say(
                format!("station[{i}].antenna"),
                format!("the dipole of \"{}\" hangs at {height_m} m", station.id),
            );
        }
    }
}

pub(crate) fn station_chance(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, station) in case.outing.stations.iter().enumerate() {
        for (key, chance, is) in [
            ("busy_chance", station.busy_chance, "busy"),
            ("off_chance", station.off_chance, "off the air"),
        ] {
            if chance > SELDOM {
                say(
                    format!("station[{i}].{key}"),
                    format!("\"{}\" is {is} with a chance of {chance}", station.id),
                );
            }
        }
    }
}
