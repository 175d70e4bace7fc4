//! Sites, stations and the paths between them as GeoJSON (RFC 7946).

use farhop_earth::clock::rfc3339;
use farhop_earth::{Place, geodesic};
use farhop_outing::{Site, Station};
use farhop_show::plan_view::declination_deg;
use geojson::{Feature, FeatureCollection, Geometry, JsonObject, Position, feature::Id};
use serde_json::{Value, json};

use crate::Exported;
use crate::great_circle::parts;

/// Decimals of a coordinate: seven are about a centimetre (RFC 7946 §11.2 advises against more digits than mean something).
const COORDINATE_SCALE: f64 = 1e7;

/// The collection as text: a point for each site and station, a line for each path on which the plan has a call. With an outing that
/// has no call, every path.
#[must_use]
pub fn geojson(exported: &Exported<'_>) -> String {
    let outing = exported.outing;
    let mut features: Vec<Feature> = Vec::new();
    features.extend(outing.sites.iter().map(|s| site(exported, s)));
    features.extend(outing.stations.iter().map(station));
    for (i, from) in outing.sites.iter().enumerate() {
        for (j, to) in outing.stations.iter().enumerate() {
            features.extend(path(exported, (i, j), (from, to)));
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

/// The path from a site to a station, where the plan has a call on it.
fn path(exported: &Exported<'_>, pair: (usize, usize), ends: (&Site, &Station)) -> Option<Feature> {
    let on_it = |s: &&farhop_plan::schedule::Send| (s.route.site, s.route.station) == pair;
    let first = exported.plan.sends.iter().find(on_it);
    if first.is_none() && !exported.plan.sends.is_empty() {
        return None;
    }
    let (from, to) = ends;
    let line = geodesic(from.place, to.place);
    let mut properties = json!({
        "kind": "path",
        "site": from.id.as_str(),
        "station": to.id.as_str(),
        "distance_km": round(line.distance_km, 10.0),
        "bearing_true_deg": round(line.bearing_deg, 10.0),
        "back_bearing_true_deg": round(line.back_bearing_deg, 10.0),
    });
    if let (Some(send), Value::Object(map)) = (first, &mut properties) {
        let chance = send.messages.first().map_or(farhop_plan::Chance::NONE, |m| m.chance);
        map.insert("first_call".to_owned(), json!(rfc3339(send.start)));
        map.insert("chance".to_owned(), json!(round(chance.probability(), 1e4)));
        map.insert("chance_word".to_owned(), json!(chance.word().word()));
        let route = exported.viewer().route(&send.route);
        map.insert("freq_mhz".to_owned(), json!(route.freq_mhz));
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
    Some(feature(&format!("path:{}:{}", from.id, to.id), geometry, properties))
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
    use crate::test_plan::{DEMO, Planned, demo_parts};

    fn features(exported: &Exported<'_>) -> Vec<Feature> {
        let parsed: GeoJson = geojson(exported).parse().unwrap();
        FeatureCollection::try_from(parsed).unwrap().features
    }

    #[test]
    fn every_site_and_station_is_a_point_with_longitude_first() {
        let features = features(&DEMO.exported());
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

    #[test]
    fn paths_are_those_of_the_plan() {
        let features = features(&DEMO.exported());
        let paths: Vec<&Feature> = features
            .iter()
            .filter(|f| f.property("kind") == Some(&json!("path")))
            .collect();
        assert!(!paths.is_empty());
        for path in paths {
            let chance = path.property("chance").and_then(Value::as_f64).unwrap();
            assert!((0.0..=1.0).contains(&chance));
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
        let features = features(&planned.exported());
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
