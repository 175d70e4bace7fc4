//! Sites, stations and the paths between them as GeoJSON (RFC 7946).

use farhop_earth::clock::rfc3339;
use farhop_earth::{Place, UtcTime, destination, geodesic};
use farhop_outing::{Site, Station};
use farhop_plan::Chance;
use farhop_plan::safety::BandSafety;
use farhop_plan::strip::Route;
use farhop_show::plan_view::declination_deg;
use farhop_show::reader::Reader;
use geojson::{Feature, FeatureCollection, Geometry, JsonObject, Position, feature::Id};
use serde_json::{Value, json};

use crate::great_circle::parts;
use crate::{Exported, Paths};

/// Decimals of a coordinate: seven are about a centimetre (RFC 7946 §11.2 advises against more digits than mean something).
const COORDINATE_SCALE: f64 = 1e7;

/// Corners of a circle: its edges then lie within 0.2 % of the radius.
const CIRCLE_CORNERS: u32 = 48;

/// The collection as text: a point for each site and station, a circle to keep away from around each antenna that hangs in the plan, and
/// a line for each path that is asked for.
#[must_use]
pub fn geojson(exported: &Exported<'_>, paths: Paths) -> String {
    let outing = exported.outing;
    let mut features: Vec<Feature> = Vec::new();
    features.extend(outing.sites.iter().map(|s| site(exported, s)));
    features.extend(outing.stations.iter().map(station));
    features.extend(circles(exported));
    for (i, j) in exported.pairs(paths) {
        if let (Some(from), Some(to)) = (outing.sites.get(i), outing.stations.get(j)) {
            features.push(path(exported, (i, j), (from, to)));
        }
    }
    let collection = FeatureCollection {
        bbox: None,
        features,
        foreign_members: None,
    };
    let mut text = collection.to_string();
    text.push('\n');
    text
}

fn site(exported: &Exported<'_>, site: &Site) -> Feature {
    let properties = json!({
        "kind": "site",
        "id": site.id.as_str(),
        "name": site.name,
        "elevation_m": site.elevation_m,
        "declination_deg": round(declination_deg(&exported.plan.setting.field, site), 10.0),
        "fallback": site.fallback,
        "notes": site.notes,
    });
    let mut position = coordinates(site.place);
    position.push(site.elevation_m);
    feature(&format!("site:{}", site.id), Geometry::new_point(position), properties)
}

fn station(station: &Station) -> Feature {
    let frequencies: Vec<f64> = station.channels.iter().map(|c| c.freq_mhz).collect();
    let properties = json!({
        "kind": "station",
        "id": station.id.as_str(),
        "name": station.name,
        "callsign": station.callsign.as_str(),
        "freq_mhz": frequencies,
        "power_w": station.power_w,
        "notes": station.notes,
    });
    let point = Geometry::new_point(coordinates(station.place));
    feature(&format!("station:{}", station.id), point, properties)
}

/// One circle for each antenna at each site of the plan: the widest over its bands.
fn circles(exported: &Exported<'_>) -> Vec<Feature> {
    let mut widest: Vec<(&BandSafety, f64)> = Vec::new();
    for safety in &exported.plan.safety {
        let Some(radius_m) = safety.others_m() else {
            continue;
        };
        match widest
            .iter_mut()
            .find(|(s, _)| (s.site, s.antenna) == (safety.site, safety.antenna))
        {
            Some(one) if one.1 < radius_m => *one = (safety, radius_m),
            Some(_) => {}
            None => widest.push((safety, radius_m)),
        }
    }
    widest.iter().filter_map(|(s, m)| circle(exported, s, *m)).collect()
}

/// The distance that everybody else keeps while the antenna sends, around its site. Where it hangs there to the metre nobody has written.
fn circle(exported: &Exported<'_>, safety: &BandSafety, radius_m: f64) -> Option<Feature> {
    let site = exported.outing.sites.get(safety.site)?;
    let antenna = exported.outing.kit.antennas.get(safety.antenna)?;
    let reader = Reader::new(exported.zone.clone(), exported.outing.header.units);
    // Up to the next tenth of a metre: rounding takes nothing from a distance to keep.
    let shown_m = (radius_m * 10.0).ceil() / 10.0;
    let name = format!(
        "{}: others keep {} from {} while it sends",
        site.name,
        reader.units.length(shown_m),
        antenna.name
    );
    let properties = json!({
        "kind": "keep-away",
        "name": name,
        "site": site.id.as_str(),
        "antenna": antenna.id.as_str(),
        "radius_m": shown_m,
        "computed": safety.near.is_ok(),
        "notes": "From the place of the site, as the wire itself has no place in the file. Local rules come first.",
    });
    // RFC 7946 §3.1.6: the outer ring runs counter-clockwise and ends where it began.
    let mut ring: Vec<Position> = (0..=CIRCLE_CORNERS)
        .map(|k| {
            let bearing_deg = -360.0 * f64::from(k) / f64::from(CIRCLE_CORNERS);
            let corner = destination(site.place, bearing_deg.rem_euclid(360.0), shown_m / 1e3);
            position(corner.lat_deg(), corner.lon_deg())
        })
        .collect();
    if let (Some(first), Some(last)) = (ring.first().cloned(), ring.last_mut()) {
        *last = first;
    }
    let id = format!("keep-away:{}:{}", site.id, antenna.id);
    Some(feature(&id, Geometry::new_polygon([ring]), properties))
}

/// When and on what a path is best.
struct Best {
    at: UtcTime,
    route: Route,
    chance: Chance,
}

/// The best send of a path; without one, its best hour.
fn best(exported: &Exported<'_>, (site, station): (usize, usize)) -> Option<Best> {
    if let Some(send) = exported.best_send(site, station) {
        let chance = send.messages.first().map_or(Chance::NONE, |m| m.chance);
        return Some(Best {
            at: send.start,
            route: send.route,
            chance,
        });
    }
    let strips = exported.plan.strips.iter();
    let here = strips.filter(|s| (s.route.site, s.route.station) == (site, station));
    here.flat_map(|s| {
        s.cells.iter().map(|cell| Best {
            at: cell.at,
            route: s.route,
            chance: cell.chance(),
        })
    })
    .max_by(|a, b| a.chance.probability().total_cmp(&b.chance.probability()))
}

/// The path from a site to a station, named by its best hour and frequency.
fn path(exported: &Exported<'_>, pair: (usize, usize), ends: (&Site, &Station)) -> Feature {
    let (from, to) = ends;
    let line = geodesic(from.place, to.place);
    let mut properties = json!({
        "kind": "path",
        "site": from.id.as_str(),
        "station": to.id.as_str(),
        "sends": exported.plan.sends.iter().filter(|s| (s.route.site, s.route.station) == pair).count(),
        "distance_km": round(line.distance_km, 10.0),
        "bearing_true_deg": round(line.bearing_deg, 10.0),
        "back_bearing_true_deg": round(line.back_bearing_deg, 10.0),
    });
    if let (Some(best), Value::Object(map)) = (best(exported, pair), &mut properties) {
        let freq_mhz = exported.viewer().route(&best.route).freq_mhz;
        let reader = Reader::new(exported.zone.clone(), exported.outing.header.units);
        let name = format!("{}: {freq_mhz} MHz, {}", to.callsign, reader.instant(best.at));
        map.insert("name".to_owned(), json!(name));
        map.insert("best_at".to_owned(), json!(rfc3339(best.at)));
        map.insert("freq_mhz".to_owned(), json!(freq_mhz));
        map.insert("chance".to_owned(), json!(round(best.chance.probability(), 1e4)));
        map.insert("chance_word".to_owned(), json!(best.chance.word().word()));
    }
    let parts: Vec<Vec<Position>> = parts(from.place, to.place)
        .into_iter()
        .map(|part| part.iter().map(|p| position(p.lat_deg, p.lon_deg)).collect())
        .collect();
    let geometry = match <[Vec<Position>; 1]>::try_from(parts) {
        Ok([mut only]) => {
            // RFC 7946 §3.1.4: a line has two positions or more, also where site and station are one place.
            if let ([single], true) = (&only[..], only.len() == 1) {
                only.push(single.clone());
            }
            Geometry::new_line_string(only)
        }
        Err(several) => Geometry::new_multi_line_string(several),
    };
    feature(&format!("path:{}:{}", from.id, to.id), geometry, properties)
}

fn feature(id: &str, geometry: Geometry, properties: Value) -> Feature {
    let properties: JsonObject = match properties {
        Value::Object(map) => map,
        _ => JsonObject::new(),
    };
    Feature {
        bbox: None,
        geometry: Some(geometry),
        id: Some(Id::String(id.to_owned())),
        properties: Some(properties),
        foreign_members: None,
    }
}

/// RFC 7946 §3.1.1: longitude first.
fn coordinates(place: Place) -> Vec<f64> {
    vec![
        round(place.lon_deg(), COORDINATE_SCALE),
        round(place.lat_deg(), COORDINATE_SCALE),
    ]
}

fn position(lat_deg: f64, lon_deg: f64) -> Position {
    Position::from([round(lon_deg, COORDINATE_SCALE), round(lat_deg, COORDINATE_SCALE)])
}

fn round(value: f64, scale: f64) -> f64 {
    (value * scale).round() / scale
}

#[cfg(test)]
mod tests {
    use farhop_outing::Outing;
    use geojson::{GeoJson, GeometryValue};

    use super::*;
    use crate::chance_of;
    use crate::test_plan::{DEMO, Planned, demo_parts};

    fn features(exported: &Exported<'_>, paths: Paths) -> Vec<Feature> {
        let parsed: GeoJson = geojson(exported, paths).parse().unwrap();
        FeatureCollection::try_from(parsed).unwrap().features
    }

    #[test]
    fn every_site_and_station_is_a_point_with_longitude_first() {
        let features = features(&DEMO.exported(), Paths::Used);
        let hut = features
            .iter()
            .find(|f| f.id == Some(Id::String("site:hut".to_owned())))
            .unwrap();
        let Some(Geometry {
            value: GeometryValue::Point { coordinates },
            ..
        }) = &hut.geometry
        else {
            panic!("not a point")
        };
        assert_eq!(coordinates.as_slice(), [170.835, -43.432, 1180.0]);
        let points = features.iter().filter(|f| f.property("kind") != Some(&json!("path")));
        assert_eq!(points.count(), DEMO.outing.sites.len() + DEMO.outing.stations.len());
    }

    fn paths(features: &[Feature]) -> Vec<&Feature> {
        let is_path = |f: &&Feature| f.property("kind") == Some(&json!("path"));
        features.iter().filter(is_path).collect()
    }

    #[test]
    fn paths_are_those_of_the_plan_and_named_by_their_best_send() {
        let features = features(&DEMO.exported(), Paths::Used);
        let shown = paths(&features);
        assert!(!shown.is_empty());
        for path in shown {
            let said = |key: &str| path.property(key).and_then(Value::as_str).unwrap();
            let id = |list: usize| DEMO.outing.stations[list].id.as_str() == said("station");
            let sends = DEMO.plan.sends.iter().filter(|s| id(s.route.station));
            let sends: Vec<_> = sends
                .filter(|s| DEMO.outing.sites[s.route.site].id.as_str() == said("site"))
                .collect();
            assert_eq!(path.property("sends"), Some(&json!(sends.len())));
            let most = sends.iter().map(|s| chance_of(s)).fold(0.0, f64::max);
            let chance = path.property("chance").and_then(Value::as_f64).unwrap();
            assert!((chance - most).abs() <= 5e-5 && most > 0.0, "{chance} {most}");
            let freq_mhz = path.property("freq_mhz").and_then(Value::as_f64).unwrap();
            assert!(said("name").contains(&format!("{freq_mhz} MHz")), "{}", said("name"));
            assert!(sends.iter().any(|s| rfc3339(s.start) == said("best_at")));
        }
    }

    #[test]
    fn a_map_of_all_paths_has_them_all_and_a_plan_without_a_send_none() {
        let mut planned = Planned::new(Outing::new(demo_parts()).unwrap());
        planned.plan.sends.clear();
        let points = planned.outing.sites.len() + planned.outing.stations.len();
        assert_eq!(features(&planned.exported(), Paths::Used).len(), points);
        let all = features(&planned.exported(), Paths::All);
        let shown = paths(&all);
        assert_eq!(shown.len(), planned.outing.sites.len() * planned.outing.stations.len());
        for path in shown {
            assert!(path.property("name").is_some() && path.property("sends") == Some(&json!(0)));
        }
    }

    #[test]
    fn a_path_over_the_antimeridian_is_cut_there() {
        let mut parts = demo_parts();
        parts.stations.truncate(1);
        parts.stations[0].place = Place::new(-13.83, -171.76).unwrap();
        parts.messages.iter_mut().for_each(|m| m.to.clear());
        let mut planned = Planned::new(Outing::new(parts).unwrap());
        planned.plan.sends.clear();
        let features = features(&planned.exported(), Paths::All);
        let path = features.last().unwrap();
        let Some(Geometry {
            value: GeometryValue::MultiLineString { coordinates },
            ..
        }) = &path.geometry
        else {
            panic!("{path:?}")
        };
        assert_eq!(coordinates.len(), 2);
        let (end, start) = (coordinates[0].last().unwrap(), coordinates[1].first().unwrap());
        assert_eq!((end.as_slice()[0], start.as_slice()[0]), (180.0, -180.0));
        assert_eq!(end.as_slice()[1], start.as_slice()[1]);
    }
}
