//! What changed: place, messages; and notes.

use farhop_day::{Event, Note, Spot, Withdrawn, Written};
use farhop_earth::parse_place;
use farhop_outing::Id;

use crate::short::names::{Named, Pick, must_pick, pick};
use crate::short::words::{joined, maybe_unit};
use crate::short::{Reading, Scene, Wrong};

pub(super) fn moved(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    if rest.is_empty() {
        return Err("where?".into());
    }
    let place = || parse_place(&rest.split_whitespace().collect::<String>());
    let spot = match (pick(rest, &sites(scene)), place()) {
        (Pick::One(id), _) => Spot::Site(id),
        (Pick::None(_), Ok(place)) => Spot::Point {
            lat_deg: place.lat_deg(),
            lon_deg: place.lon_deg(),
        },
        _ => Spot::Site(site(rest, scene)?),
    };
    Ok(Reading::plain(Event::Moved(spot)))
}

fn sites<'a>(scene: &'a Scene<'_>) -> Vec<Named<'a, String>> {
    let sites = scene.outing.sites.iter().map(|s| Named {
        names: vec![s.id.as_str(), s.name.as_str()],
        value: s.id.to_string(),
    });
    sites.collect()
}

/// Id of the site that a short name means.
pub(super) fn site(typed: &str, scene: &Scene<'_>) -> Result<String, Wrong> {
    Ok(must_pick("site", typed, &sites(scene))?)
}

pub(super) fn write(rest: &str) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let [id, bytes] = words.as_slice() else {
        return Err("an id and a number of bytes are wanted".into());
    };
    let id = Id::new(id).map_err(|e| e.to_string())?;
    let count = maybe_unit(bytes, &["bytes", "byte", "b"]).filter(|v| *v >= 1.0 && v.fract() == 0.0 && *v < 1e9);
    let count = count.ok_or_else(|| format!("\"{bytes}\" is no number of bytes"))?;
    Ok(Reading::plain(Event::Written(Written {
        message: id.to_string(),
        bytes: count as u64,
    })))
}

pub(super) fn withdraw(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    if rest.is_empty() {
        return Err("which message?".into());
    }
    let message = scene.message_to_send(rest)?;
    Ok(Reading::plain(Event::Withdrawn(Withdrawn { message })))
}

pub(super) fn note(rest: &str) -> Result<Reading, Wrong> {
    if rest.is_empty() {
        return Err("what is to be noted?".into());
    }
    Ok(Reading::plain(Event::Note(Note { words: rest.to_owned() })))
}
