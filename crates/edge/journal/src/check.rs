//! Whether an account can be true: numbers inside the limits of the outing file, names that are names.

use farhop_outing::Limit;
use farhop_outing::limits::{
    A_INDEX, BANDWIDTH_HZ, FLUX_SFU, FREQ_MHZ, K_INDEX, LEVEL_DBM, MESSAGE_BYTES, POWER_W, S_UNITS, SNR_DB, SUPPLY_V,
    TASK_MIN, TEMPERATURE_C,
};

use crate::entry::{Account, Body, Change};
use crate::event::{Call, Event, HeardWho, MeterReading, NoiseLevel, Outcome, Spot, Strength};

/// A standing wave ratio (dimensionless); meters end far below the upper end.
pub const SWR: Limit = Limit {
    low: 1.0,
    high: 1_000.0,
    unit: "",
};
/// Current out of a panel.
pub const PANEL_A: Limit = Limit {
    low: 0.0,
    high: 500.0,
    unit: "A",
};
/// Above S9 on the meter.
pub const OVER_S9_DB: Limit = Limit {
    low: 0.0,
    high: 80.0,
    unit: "dB",
};
/// One S unit.
pub const S_UNIT_DB: Limit = Limit {
    low: 0.5,
    high: 20.0,
    unit: "dB",
};
/// Latitude, degrees.
const LAT_DEG: Limit = Limit {
    low: -90.0,
    high: 90.0,
    unit: "°",
};
/// Longitude, degrees.
const LON_DEG: Limit = Limit {
    low: -180.0,
    high: 180.0,
    unit: "°",
};
/// Longest text of one entry, in characters.
pub const LONGEST_WORDS: usize = 2_000;
/// Longest name, in characters.
pub const LONGEST_NAME: usize = 60;

/// What is wrong, in words: `power 9000 W: must be 0.001 to 2000 W`.
type Flaw = String;

/// Whether a body can be true.
pub(crate) fn body(body: &Body) -> Result<(), Flaw> {
    match body {
        Body::Account(account) => self::account(account),
        Body::Correction(correction) => {
            optional_name("who", correction.who.as_ref())?;
            match &correction.change {
                Change::Replace(account) => self::account(account),
                Change::Undo | Change::Strike => Ok(()),
            }
        }
    }
}

fn account(account: &Account) -> Result<(), Flaw> {
    optional_name("who", account.who.as_ref())?;
    if let Some(place) = &account.place {
        spot(place)?;
    }
    event(&account.event)
}

fn event(event: &Event) -> Result<(), Flaw> {
    match event {
        Event::Called(call) => self::call(call),
        Event::Heard(heard) => {
            match &heard.who {
                HeardWho::Station(id) | HeardWho::Other(id) => name("who was heard", id)?,
            }
            number("frequency", heard.freq_mhz, FREQ_MHZ)?;
            match &heard.strength {
                Some(Strength::Meter(reading)) => meter(reading),
                Some(Strength::Snr { snr_db }) => number("signal-to-noise ratio", *snr_db, SNR_DB),
                None => Ok(()),
            }
        }
        Event::Noise(noise) => {
            number("frequency", noise.freq_mhz, FREQ_MHZ)?;
            number("bandwidth", noise.bandwidth_hz, BANDWIDTH_HZ)?;
            match &noise.level {
                NoiseLevel::Meter(reading) => meter(reading),
                NoiseLevel::Power { level_dbm } => number("noise", *level_dbm, LEVEL_DBM),
            }
        }
        Event::Swr(swr) => {
            number("frequency", swr.freq_mhz, FREQ_MHZ)?;
            optional_name("antenna", swr.antenna.as_ref())?;
            number("SWR", swr.swr, SWR)
        }
        Event::Voltage(reading) => number("voltage", reading.voltage_v, SUPPLY_V),
        Event::PanelCurrent(reading) => number("panel current", reading.current_a, PANEL_A),
        Event::Weather(weather) => {
            if weather.words.is_empty() && weather.temperature_c.is_none() {
                return Err("weather: neither words nor a temperature".to_owned());
            }
            words("weather", &weather.words)?;
            optional("temperature", weather.temperature_c, TEMPERATURE_C)
        }
        Event::Moved(place) => spot(place),
        Event::Conditions(heard) => {
            if heard.flux_sfu.is_none() && heard.a_index.is_none() && heard.k_index.is_none() {
                return Err("conditions: neither flux nor A nor K".to_owned());
            }
            optional("flux", heard.flux_sfu, FLUX_SFU)?;
            optional("A index", heard.a_index, A_INDEX)?;
            optional("K index", heard.k_index, K_INDEX)
        }
        Event::Antenna(hung) => name("antenna", &hung.antenna).and(words("how it hangs", &hung.how)),
        Event::Written(message) => name("message", &message.message).and(size(message.bytes)),
        Event::Withdrawn(message) => name("message", &message.message),
        Event::Note(note) if note.words.is_empty() => Err("note: no words".to_owned()),
        Event::Note(note) => words("note", &note.words),
    }
}

fn call(call: &Call) -> Result<(), Flaw> {
    name("station", &call.station)?;
    number("frequency", call.freq_mhz, FREQ_MHZ)?;
    optional_name("antenna", call.antenna.as_ref())?;
    optional("power", call.power_w, POWER_W)?;
    optional("minutes", call.minutes, TASK_MIN)?;
    optional("signal-to-noise ratio", call.snr_db, SNR_DB)?;
    match &call.outcome {
        Outcome::Delivered { message, bytes } => optional_name("message", message.as_ref()).and(size(*bytes)),
        Outcome::NoAnswer | Outcome::HeardButFailed | Outcome::Linked => Ok(()),
    }
}

fn spot(spot: &Spot) -> Result<(), Flaw> {
    match spot {
        Spot::Site(id) => name("site", id),
        Spot::Point { lat_deg, lon_deg } => {
            number("latitude", *lat_deg, LAT_DEG).and(number("longitude", *lon_deg, LON_DEG))
        }
    }
}

fn meter(reading: &MeterReading) -> Result<(), Flaw> {
    number("S-meter", reading.s_units, S_UNITS)?;
    number("above S9", reading.over_db, OVER_S9_DB)?;
    if reading.over_db > 0.0 && reading.s_units < 9.0 {
        return Err(format!("S{} with dB above S9: only S9 can have them", reading.s_units));
    }
    number("power for S9", reading.s9_dbm, LEVEL_DBM)?;
    number("one S unit", reading.unit_db, S_UNIT_DB)
}

fn number(what: &str, value_own_unit: f64, limit: Limit) -> Result<(), Flaw> {
    if limit.allows(value_own_unit) {
        return Ok(());
    }
    let space = if limit.unit.is_empty() || limit.unit == "°" {
        ""
    } else {
        " "
    };
    Err(format!("{what} {value_own_unit}{space}{}: must be {limit}", limit.unit))
}

fn optional(what: &str, value_own_unit: Option<f64>, limit: Limit) -> Result<(), Flaw> {
    value_own_unit.map_or(Ok(()), |value| number(what, value, limit))
}

fn size(bytes: u64) -> Result<(), Flaw> {
    number("length", bytes as f64, MESSAGE_BYTES)
}

fn name(what: &str, text: &str) -> Result<(), Flaw> {
    let length = text.chars().count();
    if text.trim().is_empty() || length > LONGEST_NAME || text.chars().any(char::is_control) {
        return Err(format!(
            "{what}: a name has 1 to {LONGEST_NAME} signs on one line, this one has {length}"
        ));
    }
    Ok(())
}

fn optional_name(what: &str, text: Option<&String>) -> Result<(), Flaw> {
    text.map_or(Ok(()), |text| name(what, text))
}

fn words(what: &str, text: &str) -> Result<(), Flaw> {
    let length = text.chars().count();
    if length > LONGEST_WORDS {
        return Err(format!("{what}: at most {LONGEST_WORDS} characters, this has {length}"));
    }
    Ok(())
}

/// Whether what was typed can be kept.
pub(crate) fn typed(text: Option<&String>) -> Result<(), Flaw> {
    text.map_or(Ok(()), |text| words("as typed", text))
}
