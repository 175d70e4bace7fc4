//! What was heard of stations while listening: busy, silent, dead bands.

use farhop_day::{BandDead, Event, Silent, StationBusy, StationOff};
use farhop_outing::Station;

use crate::short::call::{busy_of, only_freq, scene_freq};
use crate::short::words::{joined, mhz, with_unit};
use crate::short::{Reading, Scene, Wrong};

/// Station and frequency that words begin with, and the words behind them.
fn on<'a>(
    words: &'a [String],
    scene: &'a Scene<'_>,
    reading: &mut Reading,
) -> Result<(&'a Station, f64, Vec<&'a str>), Wrong> {
    let (first, rest) = words.split_first().ok_or("which station?")?;
    let station = scene.station(first)?;
    let exact = rest.iter().any(|w| w.eq_ignore_ascii_case("exact"));
    let mut rest: Vec<&str> = rest
        .iter()
        .map(String::as_str)
        .filter(|w| !w.eq_ignore_ascii_case("exact"))
        .collect();
    let freq_mhz = match rest.first().filter(|w| mhz(w).is_some()) {
        Some(typed) => {
            let freq_mhz = scene_freq(station, typed, exact, reading)?;
            rest.remove(0);
            freq_mhz
        }
        None => only_freq(station, reading)?,
    };
    Ok((station, freq_mhz, rest))
}

/// `busy STATION MHZ [gateway|channel]`.
pub(super) fn busy(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let (words, mut reading) = (joined(rest), Reading::empty());
    let (station, freq_mhz, more) = on(&words, scene, &mut reading)?;
    let what = match more.as_slice() {
        [] => None,
        [word] => Some(busy_of(word).ok_or_else(|| format!("\"{word}\": what was busy? gateway or channel"))?),
        [_, word, ..] => return Err(format!("one word too many: {word}").into()),
    };
    reading.event = Event::Busy(StationBusy {
        station: station.id.to_string(),
        freq_mhz,
        what,
    });
    Ok(reading)
}

/// `silent STATION MHZ [MINUTES]`.
pub(super) fn silent(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let (words, mut reading) = (joined(rest), Reading::empty());
    let (station, freq_mhz, more) = on(&words, scene, &mut reading)?;
    let minutes = match more.as_slice() {
        [] => None,
        [word] => {
            let minutes = crate::short::words::maybe_unit(word, &["minutes", "mins", "min", "m"]);
            Some(minutes.ok_or_else(|| format!("\"{word}\" is no number of minutes"))?)
        }
        [_, word, ..] => return Err(format!("one word too many: {word}").into()),
    };
    reading.began_min_ago = minutes.unwrap_or(0.0);
    reading.event = Event::Silent(Silent {
        station: station.id.to_string(),
        freq_mhz,
        minutes,
    });
    Ok(reading)
}

/// `dead MHZ` for a band, `dead STATION` for a station that is off the air.
pub(super) fn dead(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let [word] = words.as_slice() else {
        return Err("a band in MHz or a station is wanted".into());
    };
    if let Some(freq_mhz) = mhz(word).or_else(|| with_unit(word, &["mhz"])) {
        return Ok(Reading::plain(Event::BandDead(BandDead { freq_mhz })));
    }
    let station = scene.station(word)?;
    Ok(Reading::plain(Event::StationOff(StationOff {
        station: station.id.to_string(),
    })))
}
