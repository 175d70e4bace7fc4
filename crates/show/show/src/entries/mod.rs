//! Entries in plain sentences.

mod station;

use farhop_outing::Outing;

use farhop_day::{Account, Body, Change, Entry, Standing};
use farhop_day::{
    Call, Event, Heard, HeardWho, MeterReading, Noise, NoiseLevel, Outcome, SpaceWeather, Spot, Strength,
};
use farhop_earth::clock::in_zone;
use farhop_outing::clock;

/// What happened, in words: `called Larch on 3.5915 MHz, 5 W into Linked dipole: no answer`.
#[must_use]
pub fn sentence(event: &Event, outing: &Outing) -> String {
    match event {
        Event::Called(call) => called(call, outing),
        Event::Heard(heard) => self::heard(heard, outing),
        Event::Noise(noise) => self::noise(noise),
        Event::Swr(swr) => {
            let into = swr
                .antenna
                .as_ref()
                .map(|id| format!(" into {}", outing.antenna_name(id)));
            format!("SWR {} on {} MHz{}", swr.swr, swr.freq_mhz, into.unwrap_or_default())
        }
        Event::Voltage(reading) => format!("battery at {} V", reading.voltage_v),
        Event::PanelCurrent(reading) => format!("{} A from the panel", reading.current_a),
        Event::Weather(weather) => {
            let degrees = weather.temperature_c.map(|t| outing.header.units.temperature(t));
            let parts: Vec<String> = [weather.words.clone(), degrees.unwrap_or_default()].into();
            let parts: Vec<String> = parts.into_iter().filter(|p| !p.is_empty()).collect();
            format!("weather: {}", parts.join(", "))
        }
        Event::Moved(spot) => format!("at {} from now on", spot_name(outing, spot)),
        Event::Conditions(heard) => conditions(heard),
        Event::Antenna(hung) => {
            let how = if hung.how.is_empty() {
                String::new()
            } else {
                format!(": {}", hung.how)
            };
            format!("{} is up{how}", outing.antenna_name(&hung.antenna))
        }
        Event::Written(message) => format!("message {} written, {} bytes", message.message, message.bytes),
        Event::Withdrawn(message) => format!("message {} withdrawn", message.message),
        Event::Note(note) => format!("note: {}", note.words),
        other => station::told(other, outing),
    }
}

/// An account with its day, time, place and operator: `Sat 12 Dec 14:35 at Kea ridge: …`.
#[must_use]
pub fn told(account: &Account, outing: &Outing) -> String {
    let time = clock::day_and_time(account.at, outing);
    format!(
        "{time}{}: {}",
        circumstances(account, outing),
        sentence(&account.event, outing)
    )
}

/// What an entry means, with its number, in one sentence: `Entry 12: Sat 12 Dec 14:35 at Kea ridge: …`. `entries` is everything
/// in the journal.
#[must_use]
pub fn echo(entry: &Entry, entries: &[Entry], outing: &Outing) -> String {
    let said = match &entry.body {
        Body::Account(account) => told(account, outing),
        Body::Correction(correction) => {
            let of = entries.iter().find(|e| e.key == correction.of);
            let number = of.map_or_else(|| correction.of.to_string(), |e| e.number.to_string());
            let old = of.map_or_else(String::new, |e| plain(e, entries, outing));
            match &correction.change {
                Change::Undo => format!("takes back entry {number} ({old})"),
                Change::Strike => format!("entry {number} no longer counts ({old})"),
                Change::Replace(account) => format!("entry {number} now reads: {}", told(account, outing)),
            }
        }
    };
    format!("Entry {}: {said}.", entry.number)
}

fn plain(entry: &Entry, entries: &[Entry], outing: &Outing) -> String {
    match &entry.body {
        Body::Account(account) => told(account, outing),
        Body::Correction(correction) => {
            let of = entries.iter().find(|e| e.key == correction.of);
            let number = of.map_or_else(|| correction.of.to_string(), |e| e.number.to_string());
            match &correction.change {
                Change::Replace(_) => format!("entry {number} had been corrected"),
                Change::Undo | Change::Strike => format!("entry {number} had been struck"),
            }
        }
    }
}

/// ` at Kea ridge, Q3HUT`: place and operator, as far as they are known and not said by the event itself.
#[must_use]
pub fn circumstances(account: &Account, outing: &Outing) -> String {
    let place = match (&account.event, &account.place) {
        (Event::Moved(_), _) | (_, None) => String::new(),
        (_, Some(spot)) => format!(" at {}", spot_name(outing, spot)),
    };
    let who = account.who.as_ref().map(|who| format!(", {who}"));
    place + &who.unwrap_or_default()
}

/// One line of the list: `14:35  12  called …`, with a mark when a correction gave it its present form.
#[must_use]
pub fn listed(standing: &Standing, outing: &Outing) -> String {
    let time = in_zone(standing.account.at, &clock::zone(outing))
        .strftime("%H:%M")
        .to_string();
    let corrected = standing.corrected_by.map(|n| format!(" (corrected by {n})"));
    let what = sentence(&standing.account.event, outing);
    let who = standing.account.who.as_ref().map(|who| format!(" ({who})"));
    format!(
        "{time}  {:>4}  {what}{}{}",
        standing.number,
        who.unwrap_or_default(),
        corrected.unwrap_or_default()
    )
}

fn called(call: &Call, outing: &Outing) -> String {
    let power = call.power_w.map(|w| format!("{w} W"));
    let antenna = call.antenna.as_ref().map(|id| outing.antenna_name(id));
    let with = match (power, antenna) {
        (Some(power), Some(antenna)) => format!(", {power} into {antenna}"),
        (Some(power), None) => format!(", {power}"),
        (None, Some(antenna)) => format!(", into {antenna}"),
        (None, None) => String::new(),
    };
    let minutes = call.minutes.map(|m| (m, format!("{m} min")));
    let end = match (&call.outcome, minutes) {
        (Outcome::NoAnswer, None) => "no answer".to_owned(),
        (Outcome::NoAnswer, Some((_, m))) => format!("no answer in {m}"),
        (Outcome::Busy { what }, m) => format!(
            "{}{}",
            station::busy_words(*what),
            m.map(|m| format!(", in {}", m.1)).unwrap_or_default()
        ),
        (Outcome::Session(passed), m) => format!(
            "{}{}",
            station::session(passed, outing),
            m.map(|m| format!(" in {}", m.1)).unwrap_or_default()
        ),
        (Outcome::HeardButFailed, m) => format!(
            "heard, but no link{}",
            m.map(|m| format!(" in {}", m.1)).unwrap_or_default()
        ),
        (Outcome::Linked, m) => format!(
            "linked{}, nothing delivered",
            m.map(|m| format!(" for {}", m.1)).unwrap_or_default()
        ),
        (Outcome::Delivered { message, bytes }, m) => {
            let what = message.as_ref().map(|id| format!("{id}, "));
            let took = m.map(|m| format!(" in {}", m.1)).unwrap_or_default();
            format!("delivered {}{bytes} bytes{took}", what.unwrap_or_default())
        }
    };
    let snr = call.snr_db.map(|snr| format!(", reported SNR {snr} dB"));
    format!(
        "called {} on {} MHz{with}: {end}{}",
        station_name(outing, &call.station),
        call.freq_mhz,
        snr.unwrap_or_default()
    )
}

fn heard(heard: &Heard, outing: &Outing) -> String {
    let who = match &heard.who {
        HeardWho::Station(id) => station_name(outing, id),
        HeardWho::Other(name) => name.clone(),
    };
    let strength = match &heard.strength {
        None => String::new(),
        Some(Strength::Meter(reading)) => format!(" at {}", meter(reading)),
        Some(Strength::Snr { snr_db }) => format!(" at {snr_db} dB over the noise"),
    };
    format!("heard {who} on {} MHz{strength}", heard.freq_mhz)
}

fn noise(noise: &Noise) -> String {
    let level_dbm = noise.level.level_dbm();
    let level = match &noise.level {
        NoiseLevel::Meter(reading) => format!("{}, that is {level_dbm:.0} dBm", meter(reading)),
        NoiseLevel::Power { .. } => format!("{level_dbm} dBm"),
    };
    format!("noise on {} MHz {level} in {} Hz", noise.freq_mhz, noise.bandwidth_hz)
}

fn meter(reading: &MeterReading) -> String {
    let over = if reading.over_db > 0.0 {
        format!("+{} dB", reading.over_db)
    } else {
        String::new()
    };
    format!("S{}{over}", reading.s_units)
}

fn conditions(heard: &SpaceWeather) -> String {
    let part = |name: &str, value: Option<f64>| value.map(|v| format!("{name} {v}"));
    let parts = [
        part("solar flux", heard.flux_sfu),
        part("A index", heard.a_index),
        part("K index", heard.k_index),
    ];
    format!(
        "broadcast: {}",
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    )
}

/// Name of a station for people; its id when the outing has no such station.
pub(crate) fn station_name(outing: &Outing, id: &str) -> String {
    outing.station(id).map_or_else(|| id.to_owned(), |s| s.name.clone())
}

/// Name of an antenna for people; its id when the kit has no such antenna.
/// Name of a place for people.
pub(crate) fn spot_name(outing: &Outing, spot: &Spot) -> String {
    match spot {
        Spot::Site(id) => outing.site(id).map_or_else(|| id.clone(), |s| s.name.clone()),
        Spot::Point { lat_deg, lon_deg } => format!("{lat_deg:.4},{lon_deg:.4}"),
    }
}
