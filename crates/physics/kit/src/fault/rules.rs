//! What a fault shows: rules in plain words with their odds.
//!
//! **All numbers are from memory (field experience, not measured).** Each row says how often a symptom is there when this
//! is the only thing wrong. Several wrong things act independently ("noisy or"): a symptom stays away only if each of
//! them, and chance, fails to bring it. A dark radio shows no SWR and is not heard for that reason alone.

use super::chain::{Chain, LOADS, Place};
use super::symptom::Symptom;
use crate::priors::RATE_SCALE;

/// Chances (dimensionless) in the order of [`Symptom::ALL`].
pub type Row = [f64; 7];

/// A symptom reported though nothing causes it: a slip or a loose hand (dimensionless). Judged beside the class numbers of parts, and
/// scaled with them: a search weighs causes against each other.
pub(crate) const FALSE_ALARM: Row = [
    0.0002 * RATE_SCALE,
    0.0005 * RATE_SCALE,
    0.001 * RATE_SCALE,
    0.001 * RATE_SCALE,
    0.001 * RATE_SCALE,
    0.001 * RATE_SCALE,
    0.0005 * RATE_SCALE,
];

// Order: nothing powered, radio dead, high SWR, not heard, hears nothing, modem silent, computer off.

/// Everything that is fed from a source is dark.
const ALL_DARK: Row = [0.97, 0.03, 0.0, 0.0, 0.60, 0.90, 0.95];
/// Only the radio is dark (or it is all there is).
const RADIO_DARK: Row = [0.03, 0.97, 0.0, 0.02, 0.60, 0.10, 0.02];
/// The modem is dark, something else is not.
const MODEM_DARK: Row = [0.02, 0.01, 0.0, 0.10, 0.02, 0.95, 0.05];
/// The computer is dark, something else is not.
const COMPUTER_DARK: Row = [0.02, 0.01, 0.0, 0.02, 0.02, 0.50, 0.97];

/// What a fault of a part in this place shows, besides what follows from power.
#[must_use]
pub fn shows(place: Place) -> Row {
    match place {
        Place::Source => [0.0, 0.05, 0.0, 0.20, 0.02, 0.05, 0.15],
        Place::PowerLink => [0.0, 0.05, 0.0, 0.15, 0.02, 0.05, 0.05],
        Place::Radio => [0.02, 0.45, 0.05, 0.35, 0.35, 0.10, 0.01],
        Place::RadioLink => [0.0, 0.20, 0.10, 0.40, 0.30, 0.10, 0.0],
        Place::Tuner => [0.0, 0.0, 0.70, 0.45, 0.30, 0.02, 0.0],
        Place::Antenna => [0.0, 0.0, 0.75, 0.50, 0.40, 0.02, 0.0],
        Place::Feed => [0.0, 0.0, 0.65, 0.50, 0.50, 0.02, 0.0],
        Place::Support => [0.0, 0.0, 0.30, 0.50, 0.15, 0.01, 0.0],
        Place::Modem => [0.0, 0.0, 0.0, 0.30, 0.02, 0.80, 0.02],
        Place::ModemLink => [0.0, 0.0, 0.02, 0.45, 0.05, 0.80, 0.0],
        Place::Computer => [0.02, 0.0, 0.0, 0.02, 0.01, 0.35, 0.80],
        Place::ComputerLink => [0.0, 0.0, 0.0, 0.05, 0.02, 0.70, 0.30],
        Place::Program => [0.0, 0.0, 0.0, 0.10, 0.02, 0.70, 0.10],
        Place::Other => [0.0, 0.02, 0.05, 0.10, 0.05, 0.05, 0.05],
    }
}

/// What sky, distant station or settings show; a switch that is off is a setting too.
pub const OUTSIDE: Row = [0.01, 0.03, 0.08, 0.50, 0.40, 0.15, 0.03];

/// Minutes that the risk of a check is worth (from memory): lowering a mast in wind, hands near a battery's poles.
#[must_use]
pub(crate) fn risk_min(place: Place) -> f64 {
    match place {
        Place::Support => 3.0,
        Place::Antenna | Place::Radio => 2.0,
        Place::Source => 1.0,
        _ => 0.0,
    }
}

/// What to mind while checking a part in this place.
#[must_use]
pub fn caution(place: Place) -> Option<&'static str> {
    match place {
        Place::Source => Some("Never bridge the poles of a battery: a short burns. Charge no battery below freezing."),
        Place::PowerLink => Some("Switch off and take the lead off the battery first. Never bridge a fuse."),
        Place::Radio => Some("Do not open it outdoors. Never send without antenna or load."),
        Place::Antenna | Place::Feed | Place::Tuner => Some("Nobody sends while somebody touches wire, feed or tuner."),
        Place::Support => Some("Lower a mast by two, away from power lines, and not in thunder."),
        _ => None,
    }
}

/// Chance (dimensionless) of each symptom when exactly these elements have failed; element `chain.parts.len()` is outside.
pub(crate) fn symptoms(chain: &Chain, failed: &[usize]) -> Row {
    let mut stays_away = FALSE_ALARM.map(|p| 1.0 - p);
    let mut bring = |row: &Row, silent_radio: bool| {
        for (i, (away, p)) in stays_away.iter_mut().zip(row).enumerate() {
            let hidden = silent_radio && matches!(Symptom::ALL[i], Symptom::HighSwr | Symptom::NotHeard);
            if !hidden {
                *away *= 1.0 - p;
            }
        }
    };
    let dark = dark(chain, failed);
    for row in dark_rows(chain.powered, dark) {
        bring(row, false);
    }
    for element in failed {
        match chain.places.get(*element) {
            Some(place) => bring(&shows(*place), dark[0]),
            None => bring(&OUTSIDE, dark[0]),
        }
    }
    stays_away.map(|p| 1.0 - p)
}

fn dark(chain: &Chain, failed: &[usize]) -> [bool; 3] {
    let mut dark = [false; 3];
    for row in failed.iter().filter_map(|f| chain.darkens.get(*f)) {
        for (to, from) in dark.iter_mut().zip(row) {
            *to |= from;
        }
    }
    dark
}

fn dark_rows(powered: [bool; 3], dark: [bool; 3]) -> Vec<&'static Row> {
    let fed = powered.iter().filter(|p| **p).count();
    let out = dark.iter().filter(|d| **d).count();
    let rows: [&'static Row; LOADS.len()] = [&RADIO_DARK, &MODEM_DARK, &COMPUTER_DARK];
    let mut found: Vec<&'static Row> = Vec::new();
    if out > 0 && out == fed {
        found.push(&ALL_DARK);
    }
    // With a single load on the sources "nothing has power" and "that one is dead" are both fair reports.
    if out < fed || fed == 1 {
        found.extend(rows.into_iter().zip(dark).filter(|(_, d)| *d).map(|(r, _)| r));
    }
    found
}
