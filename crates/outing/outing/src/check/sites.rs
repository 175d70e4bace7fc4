//! Checks of sites.

use farhop_earth::{Place, geodesic};

use super::{Check, antennas, references, schedule};
use crate::limits::{self, SAME_PLACE_KM};
use crate::outing::{Header, OutingParts};
use crate::rows;
use crate::site::Site;

pub(super) fn all(check: &mut Check, parts: &OutingParts) {
    if parts.sites.is_empty() {
        check.error(
            "site",
            "there is no site",
            "Add a [[site]] with `id` and `place`: where will you operate?",
        );
    }
    check.each("site", &parts.sites, |c, site| {
        rows::check(c, site);
        pole(c, site.place);
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
