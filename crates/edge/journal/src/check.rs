//! Whether an account can be true: numbers inside the limits of the outing file, names that are names.

use farhop_outing::Limit;
use farhop_outing::limits::{
    A_INDEX, BANDWIDTH_HZ, BEARING_DEG, FLUX_SFU, FOF2_MHZ, FREQ_MHZ, K_INDEX, LEVEL_DBM, MESSAGE_BYTES, POWER_W,
    S_UNITS, SNR_DB, SUPPLY_V, TASK_MIN, TEMPERATURE_C, WIRE_HEIGHT_M, WIRE_LENGTH_M,
};

use crate::error::JournalError;
use farhop_day::{Account, Body, Change};
use farhop_day::{
    Call, Event, HeardWho, Measures, MeterReading, NoiseLevel, Outcome, PowerOut, Received, Session, Spot, Strength,
    Task,
};

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
/// Power out on a meter; 0 means that it did not move.
pub(crate) const POWER_OUT_W: Limit = Limit {
    low: 0.0,
    high: 2_000.0,
    unit: "W",
};
/// From the flash to the thunder.
pub(crate) const THUNDER_S: Limit = Limit {
    low: 0.0,
    high: 180.0,
    unit: "s",
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

/// Whether a body can be true: what a journal asks before it keeps anything.
///
/// # Errors
/// [`JournalError::Untrue`] with the number or name that cannot be.
pub fn can_be_true(body: &Body) -> Result<(), JournalError> {
    self::body(body).map_err(JournalError::Untrue)
}

/// Whether a body can be true.
pub fn body(body: &Body) -> Result<(), Flaw> {
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
        Event::Antenna(hung) => name("antenna", &hung.antenna)
            .and(words("how it hangs", &hung.how))
            .and(measures(&hung.measures)),
        Event::Written(message) => name("message", &message.message).and(size(message.bytes)),
        Event::Withdrawn(message) => name("message", &message.message),
        Event::Note(note) if note.words.is_empty() => Err("note: no words".to_owned()),
        Event::Note(note) => words("note", &note.words),
        other => event_of_the_station(other),
    }
}

/// The events about stations, the own station and its surroundings.
fn event_of_the_station(event: &Event) -> Result<(), Flaw> {
    let on = |station: &str, freq_mhz| name("station", station).and(number("frequency", freq_mhz, FREQ_MHZ));
    match event {
        Event::Busy(busy) => on(&busy.station, busy.freq_mhz),
        Event::Silent(silent) => {
            on(&silent.station, silent.freq_mhz)?;
            optional("minutes", silent.minutes, TASK_MIN)
        }
        Event::BandDead(dead) => number("frequency", dead.freq_mhz, FREQ_MHZ),
        Event::StationOff(off) => name("station", &off.station),
        Event::Received(message) => received(message),
        Event::PowerOut(reading) => power_out(reading),
        Event::Fof2(heard) => {
            number("foF2", heard.fof2_mhz, FOF2_MHZ)?;
            if heard.lat_deg.is_some() != heard.lon_deg.is_some() {
                return Err("foF2: a place has a latitude and a longitude".to_owned());
            }
            optional("latitude", heard.lat_deg, LAT_DEG).and(optional("longitude", heard.lon_deg, LON_DEG))
        }
        Event::TunerRefused(refused) => {
            number("frequency", refused.freq_mhz, FREQ_MHZ)?;
            optional_name("antenna", refused.antenna.as_ref())
        }
        Event::Fault(found) if found.what.trim().is_empty() => Err("fault: which part, or what is wrong?".to_owned()),
        Event::Fault(found) => words("fault", &found.what),
        Event::Mended(mended) => words("mended", &mended.what),
        Event::Down(down) => name("antenna", &down.antenna),
        Event::Thunder(heard) => optional("flash to thunder", heard.after_flash_s, THUNDER_S),
        Event::Begun(begun) => {
            optional("minutes", begun.minutes, TASK_MIN)?;
            match &begun.task {
                Task::Hang { antenna } => name("antenna", antenna),
                Task::Walk { site } => name("site", site),
                Task::Check { what } if what.trim().is_empty() => Err("check: what is tested?".to_owned()),
                Task::Check { what } => words("check", what),
            }
        }
        _ => Ok(()),
    }
}

fn power_out(reading: &PowerOut) -> Result<(), Flaw> {
    number("power out", reading.power_w, POWER_OUT_W)?;
    optional("frequency", reading.freq_mhz, FREQ_MHZ)?;
    optional_name("antenna", reading.antenna.as_ref())?;
    optional("SWR", reading.swr, SWR)
}

fn received(message: &Received) -> Result<(), Flaw> {
    optional_name("station", message.station.as_ref())?;
    if message.words.trim().is_empty() && message.bytes.is_none() {
        return Err("received: from whom or what? Words or a number of bytes are wanted".to_owned());
    }
    words("received", &message.words)?;
    message.bytes.map_or(Ok(()), size)
}

fn measures(measures: &Measures) -> Result<(), Flaw> {
    for (what, height_m) in [
        ("height of the apex", measures.apex_height_m),
        ("height of the ends", measures.end_height_m),
        ("height", measures.height_m),
        ("height of the feed", measures.feed_height_m),
        ("height of the far end", measures.far_height_m),
        ("height of the corner", measures.corner_height_m),
        ("height of the foot", measures.base_height_m),
    ] {
        optional(what, height_m, WIRE_HEIGHT_M)?;
    }
    optional("length", measures.length_m, WIRE_LENGTH_M)?;
    optional("azimuth", measures.azimuth_deg, BEARING_DEG)
}

fn session(session: &Session) -> Result<(), Flaw> {
    if session.sent.is_empty() && session.received.is_empty() {
        return Err(
            "session: nothing sent and nothing received; if a link held and nothing passed, say linked".to_owned(),
        );
    }
    for (index, part) in session.sent.iter().enumerate() {
        name("message", &part.message)?;
        if part.whole || part.bytes > 0 {
            size(part.bytes)?;
        }
        if session.sent[..index].iter().any(|p| p.message == part.message) {
            return Err(format!("session: message {} is there twice", part.message));
        }
    }
    session.received.iter().try_for_each(received)
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
        Outcome::Session(passed) => session(passed),
        Outcome::NoAnswer | Outcome::Busy { .. } | Outcome::HeardButFailed | Outcome::Linked => Ok(()),
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
pub fn typed(text: Option<&String>) -> Result<(), Flaw> {
    text.map_or(Ok(()), |text| words("as typed", text))
}
