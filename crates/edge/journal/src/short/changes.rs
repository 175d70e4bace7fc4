//! What changed: place, antenna, messages; and notes.

use farhop_earth::parse_place;
use farhop_outing::{Id, Station};

use crate::sentence::antenna_name;
use crate::short::names::{Named, Pick, must_pick, pick};
use crate::short::words::{joined, maybe_unit};
use crate::short::{Reading, Scene};
use farhop_day::{AntennaHung, Event, Measures, Note, Spot, Withdrawn, Written};

pub(super) fn moved(rest: &str, scene: &Scene<'_>) -> Result<Reading, String> {
    if rest.is_empty() {
        return Err("where?".to_owned());
    }
    let sites: Vec<Named<'_, String>> = scene
        .outing
        .sites
        .iter()
        .map(|s| Named {
            names: vec![s.id.as_str(), s.name.as_str()],
            value: s.id.to_string(),
        })
        .collect();
    let place = || parse_place(&rest.split_whitespace().collect::<String>());
    let spot = match (pick(rest, &sites), place()) {
        (Pick::One(id), _) => Spot::Site(id),
        (Pick::None(_), Ok(place)) => Spot::Point {
            lat_deg: place.lat_deg(),
            lon_deg: place.lon_deg(),
        },
        _ => Spot::Site(must_pick("site", rest, &sites)?),
    };
    Ok(Reading::plain(Event::Moved(spot)))
}

pub(super) fn antenna(rest: &str, scene: &Scene<'_>) -> Result<Reading, String> {
    let (name, how) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    if name.is_empty() {
        return Err("which antenna?".to_owned());
    }
    let id = scene.antenna(name)?;
    let mut reading = Reading::plain(Event::Antenna(AntennaHung {
        antenna: id.clone(),
        how: how.trim().to_owned(),
        measures: Measures::default(),
    }));
    let left_out = scene
        .state
        .here()
        .filter(|s| s.without.iter().any(|w| w.as_str() == id));
    if let Some(site) = left_out {
        let name = antenna_name(scene.outing, &id);
        reading
            .cautions
            .push(format!("the outing says that {name} cannot be used at {}", site.name));
    }
    Ok(reading)
}

pub(super) fn write(rest: &str) -> Result<Reading, String> {
    let words = joined(rest);
    let [id, bytes] = words.as_slice() else {
        return Err("an id and a number of bytes are wanted".to_owned());
    };
    let id = Id::new(id).map_err(|e| e.to_string())?;
    let count = maybe_unit(bytes, &["bytes", "byte", "b"]).filter(|v| *v >= 1.0 && v.fract() == 0.0 && *v < 1e9);
    let count = count.ok_or_else(|| format!("\"{bytes}\" is no number of bytes"))?;
    Ok(Reading::plain(Event::Written(Written {
        message: id.to_string(),
        bytes: count as u64,
    })))
}

pub(super) fn withdraw(rest: &str, scene: &Scene<'_>) -> Result<Reading, String> {
    if rest.is_empty() {
        return Err("which message?".to_owned());
    }
    let (message, _) = scene.message(rest)?;
    Ok(Reading::plain(Event::Withdrawn(Withdrawn { message })))
}

pub(super) fn note(rest: &str) -> Result<Reading, String> {
    if rest.is_empty() {
        return Err("what is to be noted?".to_owned());
    }
    Ok(Reading::plain(Event::Note(Note { words: rest.to_owned() })))
}

impl Scene<'_> {
    /// Id and length of the message that a short name means, sent or not.
    pub(super) fn message(&self, typed: &str) -> Result<(String, u64), String> {
        let candidates: Vec<Named<'_, (String, u64)>> = self
            .state
            .messages
            .iter()
            .map(|m| Named {
                names: vec![m.id()],
                value: (m.id().to_owned(), m.message.size_bytes),
            })
            .collect();
        must_pick("message", typed, &candidates)
    }

    /// The only message of this length that is left at the time and that the station may take.
    pub(super) fn only_message_of(&self, bytes: u64, station: &Station) -> Option<String> {
        let mut fitting = self
            .state
            .open_for(station.id.as_str())
            .filter(|m| m.left_bytes() == bytes);
        let first = fitting.next()?;
        fitting.next().is_none().then(|| first.id().to_owned())
    }
}
