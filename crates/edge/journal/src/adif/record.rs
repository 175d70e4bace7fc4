//! One contact.

use farhop_earth::{Place, geodesic, locator};

use super::field::{Fields, date, location, number, time};
use super::{AdifSetting, band};
use farhop_day::{Call, DayState, Outcome, Received, SentPart, Session, Spot, Standing};
use farhop_outing::Outing;

/// Pairs of signs of a grid locator.
const LOCATOR_PAIRS: usize = 3;
/// The format begins with this year.
const FIRST_YEAR: i16 = 1930;

/// The fields of a call that was a contact; none for others, and for stations without a callsign.
pub(super) fn contact(entry: &Standing, call: &Call, day: &DayState, setting: &AdifSetting<'_>) -> Option<Fields> {
    if !call.outcome.linked() {
        return None;
    }
    let outing = &day.outing;
    let station = outing.station(&call.station)?;
    let begun = entry.account.at;
    if begun.year() < FIRST_YEAR {
        return None;
    }
    let mut fields = Fields::default();
    fields.put("QSO_DATE", &date(begun));
    fields.put("TIME_ON", &time(begun));
    if let Some(minutes) = call.minutes {
        let over = begun.add_s((minutes * 60.0).round() as i64);
        fields.put("QSO_DATE_OFF", &date(over));
        fields.put("TIME_OFF", &time(over));
    }
    fields.put("CALL", station.callsign.as_str());
    fields.put("BAND", band(call.freq_mhz).unwrap_or(""));
    fields.put("FREQ", &number(call.freq_mhz, 6));
    fields.put("MODE", setting.mode);
    let own = outing.header.operator.callsign.as_ref();
    fields.put("STATION_CALLSIGN", own.map_or("", |c| c.as_str()));
    fields.put(
        "OPERATOR",
        entry.account.who.as_deref().filter(|w| is_callsign(w)).unwrap_or(""),
    );
    fields.put("TX_PWR", &call.power_w.map(|w| number(w, 3)).unwrap_or_default());
    places(&mut fields, entry, station.place, outing);
    let antenna = call.antenna.as_ref().map(|id| outing.antenna_name(id));
    fields.put("MY_ANTENNA", &antenna.unwrap_or_default());
    comment(&mut fields, call);
    fields.put_own("KEY", 'S', entry.key.as_str());
    Some(fields)
}

fn is_callsign(text: &str) -> bool {
    farhop_outing::Callsign::new(text).is_ok()
}

fn places(fields: &mut Fields, entry: &Standing, theirs: Place, outing: &Outing) {
    fields.put("GRIDSQUARE", &locator::format(theirs, LOCATOR_PAIRS));
    fields.put("LAT", &location(theirs.lat_deg(), ('N', 'S')));
    fields.put("LON", &location(theirs.lon_deg(), ('E', 'W')));
    let (ours, height_m) = match &entry.account.place {
        Some(Spot::Site(id)) => match outing.site(id) {
            Some(site) => (Some(site.place), Some(site.elevation_m)),
            None => (None, None),
        },
        Some(Spot::Point { lat_deg, lon_deg }) => (Place::new(*lat_deg, *lon_deg).ok(), None),
        None => (None, None),
    };
    let Some(ours) = ours else { return };
    fields.put("DISTANCE", &number(geodesic(ours, theirs).distance_km, 0));
    fields.put("MY_GRIDSQUARE", &locator::format(ours, LOCATOR_PAIRS));
    fields.put("MY_LAT", &location(ours.lat_deg(), ('N', 'S')));
    fields.put("MY_LON", &location(ours.lon_deg(), ('E', 'W')));
    fields.put("MY_ALTITUDE", &height_m.map(|m| number(m, 0)).unwrap_or_default());
}

fn comment(fields: &mut Fields, call: &Call) {
    let (mut parts, bytes) = passed(&call.outcome);
    parts.extend(call.snr_db.map(|snr| format!("reported SNR {} dB", number(snr, 1))));
    fields.put("COMMENT", &parts.join(", "));
    if bytes > 0 {
        fields.put_own("BYTES", 'N', &bytes.to_string());
    }
    if let Some(snr_db) = call.snr_db {
        fields.put_own("SNR_DB", 'N', &number(snr_db, 1));
    }
}

/// What passed, in words, and the bytes that went out.
fn passed(outcome: &Outcome) -> (Vec<String>, u64) {
    let said = |part: &SentPart| {
        let of = if part.whole { "" } else { "part of " };
        format!("{of}message {}, {} bytes", part.message, part.bytes)
    };
    let got = |message: &Received| {
        let bytes = message.bytes.map(|b| format!(", {b} bytes")).unwrap_or_default();
        format!("received {}{bytes}", message.words)
    };
    match outcome {
        Outcome::Session(Session { sent, received }) => {
            let parts = sent.iter().map(said).chain(received.iter().map(got));
            (parts.collect(), sent.iter().map(|p| p.bytes).sum())
        }
        Outcome::Delivered {
            message: Some(message),
            bytes,
        } => (vec![format!("message {message}, {bytes} bytes")], *bytes),
        Outcome::Delivered { message: None, bytes } => (vec![format!("{bytes} bytes")], *bytes),
        _ => (vec!["linked, nothing delivered".to_owned()], 0),
    }
}
