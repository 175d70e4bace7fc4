//! From the text of the code back to a plan, as another device would read it. Nothing in it is trusted.

use std::str::FromStr;

use farhop_earth::UtcTime;

use farhop_card::qr::{CodeMessage, CodeSite, CodeStation, CodeWindow, FIELD, MAGIC, PlanCode, RECORD};

/// Most letters that are read: far above what a QR code holds.
const MOST_LETTERS: usize = 8_000;

/// Why a text is no plan.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// It does not begin as a plan does.
    #[error("this is no plan of this program: it must begin with {MAGIC}")]
    Foreign,
    /// It is far too long.
    #[error("the text is too long for a plan")]
    TooLong,
    /// The end is missing or counts otherwise.
    #[error("a part is missing: the code was not read to its end; read it again")]
    Cut,
    /// A record cannot be read.
    #[error("record {record} (\"{text}\") cannot be read; read the code again")]
    Record {
        /// Its number, from 1.
        record: usize,
        /// What stands there.
        text: String,
    },
}

/// Reads the text.
///
/// # Errors
/// It is another text, was cut, or a record is not as it should be.
pub fn parse(text: &str) -> Result<PlanCode, CodeError> {
    if text.len() > MOST_LETTERS {
        return Err(CodeError::TooLong);
    }
    let records: Vec<Vec<&str>> = text.trim().split(RECORD).map(|r| r.split(FIELD).collect()).collect();
    let (Some(head), Some(end)) = (records.first(), records.last()) else {
        return Err(CodeError::Foreign);
    };
    if head.first() != Some(&MAGIC) {
        return Err(CodeError::Foreign);
    }
    let counted = [String::from("E"), (records.len() - 1).to_string()];
    if records.len() < 2 || *end != counted {
        return Err(CodeError::Cut);
    }
    let unread = |k: usize| CodeError::Record {
        record: k + 1,
        text: records.get(k).map_or_else(String::new, |f| f.join(&FIELD.to_string())),
    };
    let mut plan = head_of(head).ok_or_else(|| unread(0))?;
    for (k, fields) in records.iter().enumerate().take(records.len() - 1).skip(1) {
        take(&mut plan, fields).ok_or_else(|| unread(k))?;
    }
    if let Some(k) = dangling(&plan) {
        return Err(unread(k));
    }
    Ok(plan)
}

fn take(plan: &mut PlanCode, fields: &[&str]) -> Option<()> {
    match fields {
        ["S", id, lat, lon, fallback] => plan.sites.push(CodeSite {
            id: (*id).to_owned(),
            lat_deg: within(lat, 90.0)?,
            lon_deg: within(lon, 360.0)?,
            fallback: *fallback == "1",
        }),
        ["A", id] => plan.antennas.push((*id).to_owned()),
        ["C", callsign, lat, lon] => plan.stations.push(CodeStation {
            callsign: (*callsign).to_owned(),
            lat_deg: within(lat, 90.0)?,
            lon_deg: within(lon, 360.0)?,
        }),
        ["W", start, length, freq, station, site, antenna, chance] => plan.windows.push(CodeWindow {
            start_min: number(start)?,
            length_min: number(length)?,
            freq_hz: number(freq)?,
            station: number(station)?,
            site: number(site)?,
            antenna: number(antenna)?,
            chance_percent: number(chance).filter(|c| *c <= 100)?,
        }),
        ["M", id, size, ready, deadline, order @ ..] => plan.messages.push(CodeMessage {
            id: (*id).to_owned(),
            size_bytes: number(size)?,
            ready_min: number(ready)?,
            deadline_min: number(deadline)?,
            order: order.iter().map(|w| number(w)).collect::<Option<_>>()?,
        }),
        _ => return None,
    }
    Some(())
}

/// The record, by its place in the text, that names something which is not there.
fn dangling(plan: &PlanCode) -> Option<usize> {
    let bad_window = |w: &CodeWindow| {
        w.station >= plan.stations.len() || w.site >= plan.sites.len() || w.antenna >= plan.antennas.len()
    };
    let windows_from = 1 + plan.sites.len() + plan.antennas.len() + plan.stations.len();
    let window = plan.windows.iter().position(bad_window).map(|k| windows_from + k);
    let bad_message = |m: &CodeMessage| m.order.iter().any(|w| *w >= plan.windows.len());
    let messages_from = windows_from + plan.windows.len();
    window.or_else(|| plan.messages.iter().position(bad_message).map(|k| messages_from + k))
}

fn head_of(fields: &[&str]) -> Option<PlanCode> {
    let [_, name, callsign, minute, offset] = fields else {
        return None;
    };
    Some(PlanCode {
        name: (*name).to_owned(),
        callsign: (*callsign).to_owned(),
        start: instant(minute)?,
        offset_min: number(offset)?,
        sites: Vec::new(),
        antennas: Vec::new(),
        stations: Vec::new(),
        messages: Vec::new(),
        windows: Vec::new(),
    })
}

/// `20261211T1800`.
fn instant(minute: &str) -> Option<UtcTime> {
    let (day, time) = minute.split_once('T')?;
    let date = jiff::civil::Date::strptime("%Y%m%d", day).ok()?;
    let time = jiff::civil::Time::strptime("%H%M", time).ok()?;
    let stamp = date
        .to_datetime(time)
        .to_zoned_datetime(jiff::tz::TimeZone::UTC)
        .ok()?
        .timestamp();
    UtcTime::from_unix_s(stamp.as_second()).ok()
}

fn number<T: FromStr>(text: &str) -> Option<T> {
    text.parse().ok()
}

fn within(text: &str, most: f64) -> Option<f64> {
    number::<f64>(text).filter(|v| v.abs() <= most)
}
