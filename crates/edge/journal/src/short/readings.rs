//! What was heard and read: stations, noise, SWR, volts, amperes, weather, broadcasts.

use farhop_outing::Callsign;

use crate::short::call::{antenna, scene_freq};
use crate::short::names::{Pick, must_pick, pick};
use crate::short::words::{joined, maybe_unit, mhz, number, with_unit};
use crate::short::{Reading, Scene, Wrong};
use farhop_day::{
    Event, Heard, HeardWho, MeterReading, Noise, NoiseLevel, PanelCurrent, SpaceWeather, Strength, Swr, Voltage,
    Weather,
};

/// The receiver's bandwidth when none is said, as in the outing file: the usual voice filter.
const VOICE_HZ: f64 = 2_400.0;

pub(super) fn heard(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let exact = words.iter().any(|w| w.eq_ignore_ascii_case("exact"));
    let mut words = words.iter().filter(|w| !w.eq_ignore_ascii_case("exact"));
    let first = words.next().ok_or("who was heard?")?;
    let stranger = first.eq_ignore_ascii_case("beacon");
    let name = if stranger {
        words.next().ok_or("which beacon?")?
    } else {
        first
    };
    let typed = words.next().ok_or("on which frequency?")?;
    let freq_mhz = mhz(typed).ok_or_else(|| format!("\"{typed}\" is no frequency in MHz"))?;
    let rest: Vec<&str> = words.map(String::as_str).collect();
    let strength = strength(&rest, scene)?;
    let mut reading = Reading::empty();
    let stations = scene.stations();
    let (who, freq_mhz) = match pick(name, &stations) {
        Pick::One(station) if !stranger => (
            HeardWho::Station(station.id.to_string()),
            scene_freq(station, typed, exact, &mut reading)?,
        ),
        _ if stranger => (HeardWho::Other(name.clone()), freq_mhz),
        Pick::None(_) if Callsign::new(name).is_ok() => (HeardWho::Other(name.to_uppercase()), freq_mhz),
        _ => {
            let problem = must_pick("station", name, &stations).err().unwrap_or_default();
            return Err(format!("{problem} Somebody else: `beacon NAME`, or a callsign").into());
        }
    };
    reading.event = Event::Heard(Heard {
        who,
        freq_mhz,
        strength,
    });
    Ok(reading)
}

fn strength(words: &[&str], scene: &Scene<'_>) -> Result<Option<Strength>, String> {
    let Some(first) = words.first() else { return Ok(None) };
    if let Some(reading) = meter(&words.concat(), scene) {
        return Ok(Some(Strength::Meter(reading)));
    }
    let snr_db = maybe_unit(first, &["db"]).filter(|_| words.len() == 1);
    match snr_db {
        Some(snr_db) => Ok(Some(Strength::Snr { snr_db })),
        None => Err(format!("\"{}\" is no strength: S5, S9+10 or 8dB", words.join(" "))),
    }
}

/// `S4`, `s9+10`, `S9+10dB`, with the calibration of the transceiver.
fn meter(text: &str, scene: &Scene<'_>) -> Option<MeterReading> {
    let lower = text.to_lowercase();
    let rest = lower.strip_prefix('s')?;
    let (units, over) = rest.split_once('+').unwrap_or((rest, "0"));
    if !units.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let calibration = scene.outing.kit.transceiver.s_meter;
    Some(MeterReading {
        s_units: number(units)?,
        over_db: maybe_unit(over, &["db"])?,
        s9_dbm: calibration.s9_dbm,
        unit_db: calibration.unit_db,
    })
}

pub(super) fn noise(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let mut words = words.iter().map(String::as_str);
    let typed = words.next().ok_or("on which frequency?")?;
    let freq_mhz = mhz(typed).ok_or_else(|| format!("\"{typed}\" is no frequency in MHz"))?;
    let level_text = words.next().ok_or("how strong? S4, or -105 for dBm")?;
    let mut words = words.peekable();
    // `S9 +10` is one reading.
    let more = words.next_if(|w| level_text.to_lowercase().starts_with('s') && w.starts_with('+'));
    let level_text = format!("{level_text}{}", more.unwrap_or(""));
    let level = match meter(&level_text, scene) {
        Some(reading) => NoiseLevel::Meter(reading),
        None => NoiseLevel::Power {
            level_dbm: dbm(&level_text)?,
        },
    };
    let mut taken = Vec::new();
    let bandwidth_hz = match words.next() {
        Some(text) => bandwidth_hz(text)?,
        None => {
            taken.push(format!("{VOICE_HZ} Hz, the usual voice filter"));
            VOICE_HZ
        }
    };
    if let Some(word) = words.next() {
        return Err(format!("one word too many: {word}").into());
    }
    let event = Event::Noise(Noise {
        freq_mhz,
        level,
        bandwidth_hz,
    });
    Ok(Reading {
        taken,
        ..Reading::plain(event)
    })
}

fn dbm(text: &str) -> Result<f64, String> {
    let value = with_unit(text, &["dbm"]).or_else(|| number(text).filter(|v| *v < 0.0));
    value.ok_or_else(|| format!("\"{text}\" is no noise level: S4 for the S-meter, -105 for dBm"))
}

/// In Hz, or in kHz with the unit or below 10: nobody has a filter so narrow.
fn bandwidth_hz(text: &str) -> Result<f64, String> {
    if let Some(khz) = with_unit(text, &["khz"]) {
        return Ok(khz * 1_000.0);
    }
    let value = maybe_unit(text, &["hz"]).ok_or_else(|| format!("\"{text}\" is no bandwidth in Hz"))?;
    let plain = number(text).is_some();
    Ok(if plain && value > 0.0 && value < 10.0 {
        value * 1_000.0
    } else {
        value
    })
}

pub(super) fn swr(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let mut words = words.iter().map(String::as_str);
    let typed = words.next().ok_or("on which frequency?")?;
    let freq_mhz = mhz(typed).ok_or_else(|| format!("\"{typed}\" is no frequency in MHz"))?;
    let text = words.next().ok_or("what did the meter show?")?;
    let value = number(text.strip_suffix(":1").unwrap_or(text));
    let value = value.ok_or_else(|| format!("\"{text}\" is no SWR: a number from 1 up"))?;
    let mut name = words.next();
    if name.is_some_and(|w| w.eq_ignore_ascii_case("on") || w.eq_ignore_ascii_case("with")) {
        name = Some(words.next().ok_or("which antenna? It comes after `on`")?);
    }
    if let Some(word) = words.next() {
        return Err(format!("one word too many: {word}").into());
    }
    let named = name.map(|name| scene.antenna(name)).transpose()?;
    let mut reading = Reading::empty();
    let antenna = antenna(named.as_deref(), freq_mhz, scene, &mut reading);
    reading.event = Event::Swr(Swr {
        freq_mhz,
        antenna,
        swr: value,
    });
    Ok(reading)
}

pub(super) fn volt(rest: &str) -> Result<Reading, Wrong> {
    let voltage_v = only(rest, &["volts", "volt", "v"], "how many volts?")?;
    Ok(Reading::plain(Event::Voltage(Voltage { voltage_v })))
}

pub(super) fn panel(rest: &str) -> Result<Reading, Wrong> {
    let lower = rest.to_lowercase();
    let current_a = match with_unit(&lower, &["ma"]) {
        Some(milliamperes) => milliamperes / 1_000.0,
        None => only(rest, &["amperes", "amps", "a"], "how many amperes?")?,
    };
    Ok(Reading::plain(Event::PanelCurrent(PanelCurrent { current_a })))
}

fn only(rest: &str, units: &[&str], question: &str) -> Result<f64, String> {
    let text: String = rest.split_whitespace().collect();
    if text.is_empty() {
        return Err(question.to_owned());
    }
    maybe_unit(&text, units).ok_or_else(|| format!("\"{rest}\" is no number; {question}"))
}

pub(super) fn weather(rest: &str) -> Result<Reading, Wrong> {
    let mut temperature_c = None;
    let mut words = Vec::new();
    for word in rest.split_whitespace() {
        let bare = word.trim_end_matches([',', ';']);
        let celsius = with_unit(bare, &["°c", "c"]);
        let fahrenheit = with_unit(bare, &["°f", "f"]).map(|f| (f - 32.0) / 1.8);
        match celsius.or(fahrenheit) {
            Some(value) if temperature_c.is_none() => temperature_c = Some((value * 10.0).round() / 10.0),
            Some(_) => return Err("two temperatures".into()),
            None => words.push(word),
        }
    }
    if words.is_empty() && temperature_c.is_none() {
        return Err("how is it?".into());
    }
    let words = words.join(" ").trim_end_matches([',', ';']).to_owned();
    Ok(Reading::plain(Event::Weather(Weather { words, temperature_c })))
}

/// `k 4`, `flux 130 a 12 k 4`: pairs in any order.
pub(super) fn broadcast(first: &str, rest: &str) -> Result<Reading, Wrong> {
    let mut heard = SpaceWeather::default();
    let words = std::iter::once(first).chain(rest.split_whitespace());
    let mut words = words.map(|w| w.trim_end_matches([',', ';']));
    while let Some(name) = words.next() {
        let place = match name.to_lowercase().as_str() {
            "k" => &mut heard.k_index,
            "a" => &mut heard.a_index,
            "flux" | "f" | "sfi" => &mut heard.flux_sfu,
            _ => return Err(format!("\"{name}\" is none of flux, a, k").into()),
        };
        let text = words.next().ok_or_else(|| format!("a number belongs behind {name}"))?;
        let value = number(text).ok_or_else(|| format!("\"{text}\" is no number"))?;
        if place.replace(value).is_some() {
            return Err(format!("{name} is given twice").into());
        }
    }
    Ok(Reading::plain(Event::Conditions(heard)))
}
