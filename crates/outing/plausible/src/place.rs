//! Positions, heights, skylines.

use farhop_earth::{Place, geodesic};
use farhop_num::maths;

use crate::kit::EVEREST_M;
use crate::{Case, Say};

/// Nearer than this is near, km: what one or two hops of a regional net span (a judgement).
const NEAR_KM: f64 = 1_200.0;
/// Farther than this is another part of the world, km (a judgement).
const FAR_KM: f64 = 2_500.0;
/// Farther than this from every station nobody plans five watts of mail on purpose, km (a judgement).
const ALL_FAR_KM: f64 = 6_000.0;
/// A single station is asked about when its other sign is so near, km (a judgement).
const STATION_NEAR_KM: f64 = 600.0;
/// Land is not steeper than this over kilometres (dimensionless): the highest flanks there are rise by half (from memory).
const STEEPEST: f64 = 0.55;
/// Below the shore of the Dead Sea nobody stands, m (from memory).
const LOWEST_M: f64 = -430.0;
/// Mean skyline from which a site is a well, degrees (a judgement).
const WELL_DEG: f64 = 40.0;
/// Highest ridge above a site, m (a judgement).
const RIDGE_M: f64 = 4_500.0;

fn km(a: Place, b: Place) -> f64 {
    geodesic(a, b).distance_km
}

/// A way in which a position is written wrongly, in words, and what it would be otherwise.
fn flips(place: Place) -> [(&'static str, Option<Place>); 3] {
    let (lat, lon) = (place.lat_deg(), place.lon_deg());
    [
        ("latitude", Place::new(-lat, lon).ok()),
        ("longitude", Place::new(lat, -lon).ok()),
        ("latitude and longitude", Place::new(-lat, -lon).ok()),
    ]
}

/// Farther than this a sign that brings a place much nearer is asked about, km (a judgement).
const APART_KM: f64 = 1_000.0;
/// Much nearer: so many times (dimensionless; a judgement).
const TIMES_NEARER: f64 = 5.0;

/// Whether a place is better where it would be otherwise: from another part of the world to near, or several times nearer.
fn mends(now_km: f64, there_km: f64, near_km: f64) -> bool {
    (now_km > FAR_KM && there_km < near_km)
        || (now_km > APART_KM && there_km < near_km && there_km * TIMES_NEARER < now_km)
}

fn changed_over(place: Place) -> Option<Place> {
    Place::new(place.lon_deg(), place.lat_deg()).ok()
}

fn nearest_km(place: Place, others: &[Place]) -> f64 {
    others.iter().map(|o| km(place, *o)).fold(f64::INFINITY, f64::min)
}

fn stations(case: &Case<'_>) -> Vec<Place> {
    case.outing.stations.iter().map(|s| s.place).collect()
}

pub(crate) fn sign_lost(case: &Case<'_>, say: &mut Say<'_>) {
    let stations = stations(case);
    for (i, site) in case.outing.sites.iter().enumerate() {
        let now_km = nearest_km(site.place, &stations);
        let better = flips(site.place)
            .into_iter()
            .filter_map(|(what, place)| Some((what, nearest_km(place?, &stations))))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((what, there_km)) = better.filter(|(_, there_km)| mends(now_km, *there_km, NEAR_KM)) {
            let seen = format!(
                "\"{}\" is {now_km:.0} km from the nearest station, with the other sign of its {what} {there_km:.0} km",
                site.id
            );
            say(format!("site[{i}].place"), seen);
        }
    }
}

pub(crate) fn swapped(case: &Case<'_>, say: &mut Say<'_>) {
    let stations = stations(case);
    let sites: Vec<Place> = case.outing.sites.iter().map(|s| s.place).collect();
    for (i, site) in case.outing.sites.iter().enumerate() {
        ask_swapped(
            &format!("site[{i}].place"),
            site.id.as_str(),
            site.place,
            &stations,
            say,
        );
    }
    for (i, station) in case.outing.stations.iter().enumerate() {
        // Where all sites are odd, the sites are asked about.
        let near = |other: &Place| sites.iter().any(|s| km(*s, *other) < FAR_KM);
        if stations.len() > 1 && stations.iter().filter(|s| near(s)).count() * 2 < stations.len() {
            continue;
        }
        ask_swapped(
            &format!("station[{i}].place"),
            station.id.as_str(),
            station.place,
            &sites,
            say,
        );
    }
}

fn ask_swapped(path: &str, name: &str, place: Place, others: &[Place], say: &mut Say<'_>) {
    let now_km = nearest_km(place, others);
    let there_km = changed_over(place).map_or(f64::INFINITY, |p| nearest_km(p, others));
    if now_km > FAR_KM && there_km < NEAR_KM {
        let seen = format!("\"{name}\" is {now_km:.0} km from the nearest other end, changed over {there_km:.0} km");
        say(path.to_owned(), seen);
    }
}

pub(crate) fn station_sign(case: &Case<'_>, say: &mut Say<'_>) {
    let sites: Vec<Place> = case.outing.sites.iter().map(|s| s.place).collect();
    let stations = stations(case);
    let far = |p: &Place| nearest_km(*p, &sites) > APART_KM;
    // Most of the stations are near, so that the sites are right.
    if stations.iter().filter(|p| far(p)).count() * 2 > stations.len() {
        return;
    }
    for (i, station) in case.outing.stations.iter().enumerate().filter(|(_, s)| far(&s.place)) {
        // Another station beside it: the far one is meant.
        if stations.iter().filter(|p| km(**p, station.place) < NEAR_KM).count() > 1 {
            continue;
        }
        let found = flips(station.place).into_iter().find_map(|(what, place)| {
            let there_km = nearest_km(place?, &sites);
            mends(nearest_km(station.place, &sites), there_km, STATION_NEAR_KM).then_some((what, there_km))
        });
        if let Some((what, there_km)) = found {
            let now_km = nearest_km(station.place, &sites);
            let seen = format!(
                "\"{}\" is {now_km:.0} km away, with the other sign of its {what} {there_km:.0} km",
                station.id
            );
            say(format!("station[{i}].place"), seen);
        }
    }
}

pub(crate) fn all_far(case: &Case<'_>, say: &mut Say<'_>) {
    let stations = stations(case);
    for (i, site) in case.outing.sites.iter().enumerate() {
        let nearest = nearest_km(site.place, &stations);
        if nearest > ALL_FAR_KM && nearest.is_finite() {
            say(
                format!("site[{i}].place"),
                format!("\"{}\" is {nearest:.0} km from the nearest station", site.id),
            );
        }
    }
}

pub(crate) fn locator_coarse(case: &Case<'_>, say: &mut Say<'_>) {
    let sites = case
        .outing
        .sites
        .iter()
        .enumerate()
        .map(|(i, s)| (format!("site[{i}].place"), s.id.as_str(), true, s.place));
    let stations = case.outing.stations.iter().enumerate();
    let stations = stations.map(|(i, s)| (format!("station[{i}].place"), s.id.as_str(), false, s.place));
    for (path, name, is_site, place) in sites.chain(stations) {
        let Some(text) = case.written.text(&path) else { continue };
        let locator = text.trim_matches(['"', '\'', ' ']).to_owned();
        // Half the diagonal of a field of 20 by 10 degrees, of a square of 2 by 1 degrees.
        let (half_lat, half_lon) = match locator.chars().count() {
            _ if locator.contains(',') => continue,
            2 => (5.0, 10.0),
            4 => (0.5, 1.0),
            _ => continue,
        };
        let within_km = 111.2 * maths::hypot(half_lat, half_lon * maths::cos(place.lat_deg().to_radians()));
        let farthest_km = case.outing.sites.iter().map(|s| km(s.place, place)).fold(0.0, f64::max);
        if is_site || within_km > 0.1 * farthest_km {
            say(
                path,
                format!("\"{locator}\" may be anywhere within {within_km:.0} km of \"{name}\""),
            );
        }
    }
}

pub(crate) fn whole_degrees(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        let (lat, lon) = (site.place.lat_deg(), site.place.lon_deg());
        let path = format!("site[{i}].place");
        // The middle of a short locator is whole too, and has its own question; a pole is meant.
        // Who writes -43.00 means it.
        let typed = case
            .written
            .text(&path)
            .is_none_or(|t| t.contains(',') && !t.contains('.'));
        if typed && lat.fract() == 0.0 && lon.fract() == 0.0 && lat.abs() < 89.0 {
            say(path, format!("\"{}\" is at {lat},{lon}", site.id));
        }
    }
}

pub(crate) fn height_jump(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        // A height that is not written is the sea, and says so as a default.
        let written = |i: usize| {
            ["elevation_m", "elevation_ft"]
                .iter()
                .any(|key| case.written.has(&format!("site[{i}].{key}")))
        };
        let steep = case.outing.sites.iter().enumerate().take(i).find(|(j, other)| {
            let far_m = km(site.place, other.place).max(2.0) * 1_000.0;
            written(*j) && written(i) && (site.elevation_m - other.elevation_m).abs() / far_m > STEEPEST
        });
        if let Some((_, other)) = steep {
            let up_m = (site.elevation_m - other.elevation_m).abs();
            let seen = format!(
                "\"{}\" and \"{}\" are {:.1} km apart and {up_m:.0} m in height",
                site.id,
                other.id,
                km(site.place, other.place)
            );
            say(format!("site[{i}].elevation_m"), seen);
        }
    }
}

pub(crate) fn height_odd(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        if site.elevation_m < LOWEST_M || site.elevation_m > EVEREST_M {
            say(
                format!("site[{i}].elevation_m"),
                format!("\"{}\" is {} m above the sea", site.id, site.elevation_m),
            );
        }
    }
}

/// Mean and highest height angle of a skyline round the circle, degrees.
fn skyline_deg(site: &farhop_outing::Site) -> (f64, f64) {
    let all = (0..36).map(|i| site.horizon.elevation_deg(f64::from(i) * 10.0));
    let (sum, most) = all.fold((0.0, f64::NEG_INFINITY), |(sum, most), e| (sum + e, f64::max(most, e)));
    (sum / 36.0, most)
}

pub(crate) fn skyline_steep(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        let (mean_deg, most_deg) = skyline_deg(site);
        if mean_deg > WELL_DEG || most_deg > 75.0 {
            let seen = format!(
                "the skyline of \"{}\" stands {mean_deg:.0}° high on the whole, {most_deg:.0}° at most",
                site.id
            );
            say(format!("site[{i}].horizon"), seen);
        }
    }
}

pub(crate) fn ridge_high(case: &Case<'_>, say: &mut Say<'_>) {
    for (i, site) in case.outing.sites.iter().enumerate() {
        let most_deg = site.horizon.points.iter().map(|p| p.elevation_deg).fold(0.0, f64::max);
        let ridge_m = site.horizon.distance_km * 1_000.0 * maths::tan(most_deg.to_radians());
        if ridge_m > RIDGE_M {
            let seen = format!(
                "{most_deg}° at {} km is {ridge_m:.0} m above \"{}\"",
                site.horizon.distance_km, site.id
            );
            say(format!("site[{i}].horizon"), seen);
        }
    }
}
