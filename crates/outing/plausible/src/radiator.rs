//! Antennas and their lines.

use farhop_earth::units::M_PER_FT;
use farhop_gear::antenna::Slot;
use farhop_gear::antenna::measure::{Measure, Scale};
use farhop_num::maths;
use farhop_outing::{Antenna, AntennaKind, TunerKind, same_band};

use crate::kit::HIGH_MAST_M;
use crate::{Case, Say};

/// Length of a resonant leg times frequency, m MHz: a quarter of 299.8 m MHz, 5 % shorter (common practice for wire near the ground).
const LEG_M_MHZ: f64 = 71.2;
/// A length may be so far from resonance, as a natural logarithm (dimensionless): insulation and height move it by a few per cent, the links
/// of others and bent ends by more (a judgement).
const NEAR: f64 = 0.16;
/// Longest wire, m (a judgement).
const LONG_M: f64 = 180.0;
/// Wire, mm (a judgement).
const WIRE_MM: std::ops::RangeInclusive<f64> = 0.15..=8.0;
/// Longest cable, m (a judgement).
const LINE_M: f64 = 45.0;
/// A small loop is smaller around than this part of a wavelength (dimensionless): then the current is nearly even (common practice: a
/// quarter to a third).
const LOOP_SHARE: f64 = 0.45;

fn near(length_m: f64, wanted_m: f64) -> bool {
    maths::ln(length_m / wanted_m).abs() <= NEAR
}

/// Bands that an antenna is said to serve, MHz; without a list, those of the stations.
fn bands_mhz(case: &Case<'_>, antenna: &Antenna) -> Vec<f64> {
    if !antenna.usable_mhz.is_empty() {
        return antenna.usable_mhz.clone();
    }
    let mut bands: Vec<f64> = Vec::new();
    for channel in case.outing.stations.iter().flat_map(|s| &s.channels) {
        if !bands.iter().any(|b| same_band(*b, channel.freq_mhz)) {
            bands.push(channel.freq_mhz);
        }
    }
    bands
}

/// How many bands of the list have a resonant length, after the lengths were scaled.
fn fits(lengths_m: &[f64], bands_mhz: &[f64], scale: f64) -> usize {
    let fits = |mhz: &&f64| lengths_m.iter().any(|l| near(l * scale, LEG_M_MHZ / **mhz));
    bands_mhz.iter().filter(fits).count()
}

/// What a set of legs would be if it were a usual slip.
fn slip(legs_m: &[f64], bands_mhz: &[f64]) -> &'static str {
    let slips = [
        (0.5, "they fit as lengths from tip to tip"),
        (M_PER_FT, "they fit in feet"),
        (0.5 * M_PER_FT, "they fit from tip to tip in feet"),
    ];
    let best = slips.into_iter().find(|(scale, _)| fits(legs_m, bands_mhz, *scale) > 0);
    best.map_or("", |(_, words)| words)
}

pub(crate) fn leg_lengths(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, antenna) in case.outing.kit.antennas.iter().enumerate() {
        let AntennaKind::LinkedDipole(own) = &antenna.kind else {
            continue;
        };
        let bands = bands_mhz(case, antenna);
        let resonant = fits(&own.leg_lengths_m, &bands, 1.0);
        // Without a list the stations may have bands that it is not for; on a list, a usual slip must explain more than half of it better.
        let better = [0.5, M_PER_FT, 0.5 * M_PER_FT].map(|scale| fits(&own.leg_lengths_m, &bands, scale));
        let explained = better.into_iter().any(|fit| fit > resonant);
        let odd = resonant == 0 || (!antenna.usable_mhz.is_empty() && resonant * 2 <= bands.len() && explained);
        if odd && !bands.is_empty() {
            let words = slip(&own.leg_lengths_m, &bands);
            let so = if words.is_empty() {
                String::new()
            } else {
                format!("; {words}")
            };
            let seen = format!(
                "the legs of \"{}\" are {:?} m for {bands:?} MHz{so}",
                antenna.id, own.leg_lengths_m
            );
            say(format!("kit.antenna[{i}].leg_lengths_m"), seen);
        }
    }
}

pub(crate) fn dipole_length(case: &Case<'_>, say: &mut Say<'_>) {
    let tuned = case.outing.kit.tuner.kind != TunerKind::None;
    for (i, antenna) in case.outing.kit.antennas.iter().enumerate() {
        let length_m = match &antenna.kind {
            AntennaKind::FlatDipole(own) => own.length_m,
            AntennaKind::InvertedV(own) => own.length_m,
            _ => continue,
        };
        // With a tuner any length may be meant, unless its bands are listed.
        if tuned && antenna.usable_mhz.is_empty() {
            continue;
        }
        let bands = bands_mhz(case, antenna);
        let legs = [length_m / 2.0];
        // Of a list, one band is the antenna's own; where there is none, it may be used on its third harmonic alone.
        let own_third = antenna.usable_mhz.is_empty() && bands.iter().any(|mhz| near(legs[0] / 3.0, LEG_M_MHZ / mhz));
        let resonant = fits(&legs, &bands, 1.0) > 0 || own_third;
        let slips = [
            (2.0, "it fits as the length of one leg"),
            (M_PER_FT, "it fits in feet"),
            (2.0 * M_PER_FT, "it fits as one leg in feet"),
        ];
        let slip = slips.into_iter().find(|(scale, _)| fits(&legs, &bands, *scale) > 0);
        if let Some((_, words)) = slip.filter(|_| !resonant) {
            let seen = format!("\"{}\" is {length_m} m long for {bands:?} MHz; {words}", antenna.id);
            say(format!("kit.antenna[{i}].length_m"), seen);
        }
    }
}

/// The numbers of an antenna with their keys and purposes.
fn measures(antenna: &Antenna) -> Vec<(&'static str, Scale, f64)> {
    let mut kind = antenna.kind.clone();
    let mut list = Vec::new();
    for Measure { key, slot, purpose, .. } in kind.measures() {
        match slot {
            Slot::Number(value) => list.push((key, purpose.scale, *value)),
            Slot::Maybe(value) => list.extend(value.map(|v| (key, purpose.scale, v))),
            Slot::Lengths(values) => list.extend(values.last().map(|v| (key, Scale::Length, *v))),
            Slot::Count(_) | Slot::Word(_) | Slot::Wires(_) => {}
        }
    }
    list
}

/// All antennas, those of the sites too, with their paths.
fn antennas<'a>(case: &'a Case<'_>) -> impl Iterator<Item = (String, &'a Antenna)> {
    let kit = case.outing.kit.antennas.iter().enumerate();
    let kit = kit.map(|(i, a)| (format!("kit.antenna[{i}]"), a));
    let sites = case.outing.sites.iter().enumerate().flat_map(|(i, site)| {
        let own = site.antennas.iter().enumerate();
        own.map(move |(j, a)| (format!("site[{i}].antenna[{j}]"), a))
    });
    kit.chain(sites)
}

pub(crate) fn antenna_high(case: &Case<'_>, say: &mut Say<'_>) {
    for (path, antenna) in antennas(case) {
        for (key, scale, value_m) in measures(antenna) {
            if scale == Scale::Height && value_m > HIGH_MAST_M {
                say(
                    format!("{path}.{key}"),
                    format!("\"{}\" hangs at {value_m} m", antenna.id),
                );
            }
        }
    }
}

pub(crate) fn wire_long(case: &Case<'_>, say: &mut Say<'_>) {
    for (path, antenna) in antennas(case) {
        for (key, scale, value_m) in measures(antenna) {
            let length = scale == Scale::Length || ["counterpoise_m", "radial_m"].contains(&key);
            if length && value_m > LONG_M {
                say(
                    format!("{path}.{key}"),
                    format!("\"{}\" has {value_m} m of wire", antenna.id),
                );
            }
        }
    }
}

pub(crate) fn wire_thick(case: &Case<'_>, say: &mut Say<'_>) {
    for (path, antenna) in antennas(case) {
        // Loops and uprights are made of tube.
        let tube = matches!(
            antenna.kind,
            AntennaKind::SmallLoop(_)
                | AntennaKind::Vertical(_)
                | AntennaKind::Whip(_)
                | AntennaKind::Wires(_)
                | AntennaKind::Declared(_)
        );
        let mm = antenna.wire.diameter_mm;
        if !tube && !WIRE_MM.contains(&mm) {
            say(
                format!("{path}.wire_diameter_mm"),
                format!("the wire of \"{}\" is {mm} mm thick", antenna.id),
            );
        }
    }
}

pub(crate) fn loop_large(case: &Case<'_>, say: &mut Say<'_>) {
    for (path, antenna) in antennas(case) {
        let AntennaKind::SmallLoop(own) = &antenna.kind else {
            continue;
        };
        let highest_mhz = antenna.usable_mhz.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let around_m = std::f64::consts::PI * own.diameter_m;
        let listed = highest_mhz.is_finite() && around_m > LOOP_SHARE * 299.8 / highest_mhz;
        if listed || own.diameter_m > 4.0 {
            say(
                format!("{path}.diameter_m"),
                format!("\"{}\" is {} m across", antenna.id, own.diameter_m),
            );
        }
    }
}

pub(crate) fn ratio_differs(case: &Case<'_>, say: &mut Say<'_>) {
    for (path, antenna) in antennas(case) {
        let (AntennaKind::EndFed(own), Some(transformer)) = (&antenna.kind, antenna.transformer) else {
            continue;
        };
        if maths::ln(own.transformer_ratio / transformer.ratio).abs() > 0.05 {
            let seen = format!(
                "\"{}\" has {} to 1 and {} to 1",
                antenna.id, own.transformer_ratio, transformer.ratio
            );
            say(format!("{path}.transformer_ratio"), seen);
        }
    }
}

pub(crate) fn line_long(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, line) in case.outing.kit.feedlines.iter().enumerate() {
        if line.length_m > LINE_M {
            say(
                format!("kit.feedline[{i}].length_m"),
                format!("\"{}\" is {} m long", line.id, line.length_m),
            );
        }
    }
}
