//! Checks of sites.

use farhop_earth::{Ground, Place, geodesic};

use super::{Check, antennas, references, schedule};
use crate::limits::{self, SAME_PLACE_KM};
use crate::outing::{Header, OutingParts};
use crate::site::{Horizon, Site};

pub(super) fn all(check: &mut Check, parts: &OutingParts) {
    if parts.sites.is_empty() {
        check.error(
            "site",
            "there is no site",
            "Add a [[site]] with `id` and `place`: where will you operate?",
        );
    }
    check.each("site", &parts.sites, |c, site| {
        one(c, site);
        stay(c, site, &parts.header);
        let kit_ids = || parts.kit.antennas.iter().map(|a| a.id.as_str());
        references::known(c, "without", &site.without, kit_ids(), "antenna");
        c.each("antenna", &site.antennas, |c, antenna| {
            antennas::one(c, antenna, &parts.kit)
        });
        if !parts.kit.antennas.is_empty() && parts.kit.antennas.iter().all(|a| site.without.contains(&a.id)) {
            c.error(
                "without",
                "no antenna is left at this site",
                "Leave at least one antenna in.",
            );
        }
    });
    references::unique(check, "site", "id", parts.sites.iter().map(|s| s.id.as_str()));
    references::few(check, "site", parts.sites.len());
    apart(check, &parts.sites);
}

fn one(c: &mut Check, site: &Site) {
    pole(c, site.place);
    c.number("elevation_m", site.elevation_m, limits::SITE_HEIGHT_M);
    c.number("walk_in_h", site.walk_in_h, limits::WALK_H);
    c.number("temperature_c", site.temperature_c, limits::TEMPERATURE_C);
    c.number("night_temperature_c", site.night_temperature_c, limits::TEMPERATURE_C);
    ground(c, site.ground);
    horizon(c, &site.horizon);
}

/// At a pole every direction is the same.
pub(super) fn pole(c: &mut Check, place: Place) {
    if place.lat_deg().abs() > 89.99 {
        c.caution(
            "place",
            format!("latitude {} is a pole", place.lat_deg()),
            "Bearings and local hours mean nothing there; is it meant?",
        );
    }
}

pub(super) fn ground(c: &mut Check, ground: Ground) {
    if let Ground::Own(own) = ground {
        c.number("ground.eps_r", own.eps_r, limits::PERMITTIVITY);
        c.number("ground.sigma_s_per_m", own.sigma_s_per_m, limits::CONDUCTIVITY_S_PER_M);
    }
}

fn horizon(c: &mut Check, horizon: &Horizon) {
    c.number("horizon_distance_km", horizon.distance_km, limits::HORIZON_KM);
    for (i, point) in horizon.points.iter().enumerate() {
        let key = format!("horizon[{i}]");
        if !limits::BEARING_DEG.allows(point.bearing_deg) {
            let cause = format!("bearing of the horizon is {}", point.bearing_deg);
            c.error(&key, cause, format!("It must be {}.", limits::BEARING_DEG));
        }
        if !limits::HORIZON_DEG.allows(point.elevation_deg) {
            let cause = format!("height angle of the horizon is {}", point.elevation_deg);
            c.error(
                &key,
                cause,
                format!("It must be {}; first the bearing, then the angle.", limits::HORIZON_DEG),
            );
        }
        let before = i.checked_sub(1).and_then(|j| horizon.points.get(j));
        if before.is_some_and(|b| b.bearing_deg >= point.bearing_deg) {
            let cause = format!("bearing {} does not follow the one before it", point.bearing_deg);
            c.error(&key, cause, "Write the points clockwise from north, each bearing once.");
        }
    }
}

fn stay(c: &mut Check, site: &Site, header: &Header) {
    let (from, until) = (site.from.unwrap_or(header.start), site.until.unwrap_or(header.end));
    for (key, at) in [("from", site.from), ("until", site.until)] {
        if let Some(at) = at {
            schedule::served(c, key, at);
        }
    }
    if header.end <= header.start {
        return;
    }
    let key = if site.until.is_some() { "until" } else { "from" };
    if until <= from {
        c.error(
            key,
            "the stay at the site ends before it starts",
            "Put `until` after `from`.",
        );
    } else if until <= header.start || from >= header.end {
        c.error(
            key,
            "the stay at the site is outside the outing",
            "Put it between `start` and `end` of [outing].",
        );
    }
}

fn apart(check: &mut Check, sites: &[Site]) {
    for (i, site) in sites.iter().enumerate().take(limits::MOST_ITEMS) {
        let twin = sites.iter().take(i).find(|other| same(other.place, site.place));
        if let Some(twin) = twin {
            check.error(
                &format!("site[{i}].place"),
                format!("site \"{}\" is at the same place as site \"{}\"", site.id, twin.id),
                "Each site has its own place; remove one of them or correct its position.",
            );
        }
    }
}

/// Whether two places are too near to each other to be two.
pub(super) fn same(a: Place, b: Place) -> bool {
    (a.lat_deg() - b.lat_deg()).abs() < 0.01 && geodesic(a, b).distance_km < SAME_PLACE_KM
}
