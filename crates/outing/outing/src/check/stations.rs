//! Checks of stations.

use farhop_earth::geodesic;

use super::{Check, references, sites};
use crate::ladder::BUILT_IN_MODES;
use crate::limits;
use crate::outing::OutingParts;
use crate::rows;
use crate::station::Station;

/// Beyond this distance in kilometres the shortest way is open to all sides (half the Earth's girth is about 20 004 km).
const OPPOSITE_KM: f64 = 19_900.0;

pub(super) fn all(check: &mut Check, parts: &OutingParts) {
    if parts.stations.is_empty() {
        check.error(
            "station",
            "there is no station to call",
            "Add a [[station]] with `callsign`, `place` and `channels`, or import a list with [stations_csv].",
        );
    }
    check.each("station", &parts.stations, |c, station| {
        one(c, station);
        c.each("channels", &station.channels, |c, channel| {
            if let Some(mode) = channel.mode.as_deref() {
                known_mode(c, "mode", mode, parts);
            }
        });
    });
    references::unique(check, "station", "id", parts.stations.iter().map(|s| s.id.as_str()));
    references::few(check, "station", parts.stations.len());
    apart(check, parts);
}

fn one(c: &mut Check, station: &Station) {
    rows::check(c, station);
    sites::pole(c, station.place);
    if station.channels.is_empty() {
        c.error(
            "channels",
            "the station has no frequency",
            "Add `channels = [{ mhz = 7.1 }]`.",
        );
    }
}

/// A mode is a built-in ladder or one of the file's own.
pub(super) fn known_mode(c: &mut Check, key: &str, mode: &str, parts: &OutingParts) {
    if !BUILT_IN_MODES.contains(&mode) && !parts.ladders.iter().any(|l| l.name == mode) {
        let own: Vec<&str> = parts.ladders.iter().map(|l| l.name.as_str()).collect();
        let known = [&BUILT_IN_MODES[..], &own[..]].concat().join(", ");
        c.error(
            key,
            format!("there is no mode \"{mode}\""),
            format!("Known: {known}. Own ones are made by [[ladder]]."),
        );
    }
}

fn apart(check: &mut Check, parts: &OutingParts) {
    let stations = &parts.stations;
    for (i, station) in stations.iter().enumerate().take(limits::MOST_ITEMS) {
        let key = format!("station[{i}].place");
        if let Some(twin) = stations
            .iter()
            .take(i)
            .find(|other| sites::same(other.place, station.place))
        {
            let cause = format!("\"{}\" is at the same place as \"{}\"", station.id, twin.id);
            if twin.callsign == station.callsign {
                check.error(
                    &key,
                    cause,
                    "The same callsign at the same place: put all frequencies into one station.",
                );
            } else {
                check.caution(&key, cause, "Two stations in one place fail together; is it meant?");
            }
        }
        from_sites(check, &key, station, parts);
    }
}

/// A path needs two ends that are neither the same nor opposite to each other.
fn from_sites(check: &mut Check, key: &str, station: &Station, parts: &OutingParts) {
    for site in parts.sites.iter().take(limits::MOST_ITEMS) {
        if sites::same(site.place, station.place) {
            let cause = format!(
                "station \"{}\" is at the same place as site \"{}\"",
                station.id, site.id
            );
            check.error(
                key,
                cause,
                "There is no path between them; correct one of the two positions.",
            );
            return;
        }
        if geodesic(site.place, station.place).distance_km > OPPOSITE_KM {
            let cause = format!(
                "\"{}\" is almost opposite to site \"{}\" on the globe",
                station.id, site.id
            );
            check.caution(
                key,
                cause,
                "There is no single bearing to it, and no forecast for such a path.",
            );
            return;
        }
    }
}
