//! Structure against the GPX 1.1 schema (written down from the published schema: order of elements, ranges of attributes).
#![allow(clippy::unwrap_used, reason = "helpers of a test may fail loudly")]

use farhop_earth::{Place, UtcTime};
use farhop_outing::Outing;
use quick_xml::events::Event;

use super::{gpx, waypoints};
use crate::Paths;
use crate::test_plan::{DEMO, Planned, demo_parts};

/// Children in the order in which the schema's sequences allow them (`gpxType`, `metadataType`, `wptType`, `trkType`).
const ORDER: [(&str, &[&str]); 6] = [
    ("gpx", &["metadata", "wpt", "rte", "trk", "extensions"]),
    (
        "metadata",
        &[
            "name",
            "desc",
            "author",
            "copyright",
            "link",
            "time",
            "keywords",
            "bounds",
        ],
    ),
    (
        "wpt",
        &[
            "ele",
            "time",
            "magvar",
            "geoidheight",
            "name",
            "cmt",
            "desc",
            "src",
            "link",
            "sym",
            "type",
        ],
    ),
    (
        "trkpt",
        &[
            "ele",
            "time",
            "magvar",
            "geoidheight",
            "name",
            "cmt",
            "desc",
            "src",
            "link",
            "sym",
            "type",
        ],
    ),
    (
        "trk",
        &[
            "name",
            "cmt",
            "desc",
            "src",
            "link",
            "number",
            "type",
            "extensions",
            "trkseg",
        ],
    ),
    ("trkseg", &["trkpt"]),
];

/// Walks a text and holds it against the schema's order and ranges; gives the number of elements.
fn hold_against_the_schema(text: &str) -> usize {
    let mut reader = quick_xml::NsReader::from_str(text);
    let mut stack: Vec<(String, usize)> = Vec::new();
    let mut count = 0;
    loop {
        let event = reader.read_event().unwrap();
        let (start, open) = match event {
            Event::Start(start) => (start, true),
            Event::Empty(start) => (start, false),
            Event::End(_) => {
                stack.pop();
                continue;
            }
            Event::Eof => break,
            _ => continue,
        };
        count += 1;
        let name = start.local_name().as_ref().to_owned();
        if let Some((parent, last)) = stack.last_mut() {
            let allowed = ORDER.iter().find(|(n, _)| n == parent).map(|(_, c)| *c);
            let allowed = allowed.unwrap_or_else(|| panic!("<{parent}> may hold no <{name}>"));
            let at = allowed.iter().position(|c| *c == name);
            let at = at.unwrap_or_else(|| panic!("<{name}> in <{parent}>"));
            assert!(at >= *last, "<{name}> too late in <{parent}>");
            *last = at;
        }
        if ["wpt", "trkpt"].contains(&name.as_str()) {
            let number = |key: &str| -> f64 {
                let attribute = start.try_get_attribute(key).unwrap().unwrap();
                attribute.value.parse().unwrap()
            };
            assert!((-90.0..=90.0).contains(&number("lat")));
            assert!((-180.0..180.0).contains(&number("lon")), "{}", number("lon"));
        }
        if open {
            stack.push((name, 0));
        }
    }
    assert!(stack.is_empty());
    count
}

fn made_at() -> UtcTime {
    UtcTime::parse("2026-11-25T10:00:00Z").unwrap()
}

#[test]
fn the_demo_holds_against_the_schema_and_comes_back() {
    let text = gpx(&DEMO.exported(), Paths::Used, made_at()).unwrap();
    assert!(hold_against_the_schema(&text) > 50);
    assert!(text.contains("xmlns=\"http://www.topografix.com/GPX/1/1\""));
    let back = waypoints(&text).unwrap();
    assert_eq!(back.len(), DEMO.outing.sites.len() + DEMO.outing.stations.len());
    for (point, site) in back.iter().zip(&DEMO.outing.sites) {
        assert_eq!(point.name, site.name);
        assert_eq!(point.elevation_m, Some(site.elevation_m));
        assert!((point.place.lat_deg() - site.place.lat_deg()).abs() < 1e-7);
        assert_eq!(point.notes, site.notes);
    }
}

#[test]
fn the_antimeridian_and_signs_of_xml_are_written_as_the_schema_wants() {
    let mut parts = demo_parts();
    parts.sites[0].place = Place::new(-43.0, 180.0).unwrap();
    parts.sites[0].name = "<Hut> & \"tarn\"\u{7}".to_owned();
    parts.stations.truncate(1);
    parts.messages.iter_mut().for_each(|m| m.to.clear());
    let planned = Planned::new(Outing::new(parts).unwrap());
    let text = gpx(&planned.exported(), Paths::All, made_at()).unwrap();
    hold_against_the_schema(&text);
    assert!(text.contains("lon=\"-180.0000000\""));
    assert_eq!(waypoints(&text).unwrap()[0].name, "<Hut> & \"tarn\"");
}

/// Longitudes of each segment, as a reader of XML finds them.
fn segments(text: &str) -> Vec<Vec<f64>> {
    let mut reader = quick_xml::Reader::from_str(text);
    let mut found = Vec::new();
    loop {
        match reader.read_event().unwrap() {
            Event::Start(e) if e.name().as_ref() == "trkseg" => found.push(Vec::new()),
            Event::Empty(e) if e.name().as_ref() == "trkpt" => {
                let lon = e.try_get_attribute("lon").unwrap().unwrap();
                found.last_mut().unwrap().push(lon.value.parse().unwrap());
            }
            Event::Eof => return found,
            _ => {}
        }
    }
}

#[test]
fn a_track_over_the_antimeridian_is_two_segments_that_never_jump() {
    let mut parts = demo_parts();
    parts.sites.truncate(1);
    parts.stations.truncate(1);
    parts.stations[0].place = Place::new(-13.83, -171.76).unwrap();
    parts.messages.iter_mut().for_each(|m| m.to.clear());
    let planned = Planned::new(Outing::new(parts).unwrap());
    let text = gpx(&planned.exported(), Paths::All, made_at()).unwrap();
    hold_against_the_schema(&text);
    let found = segments(&text);
    assert_eq!(found.len(), 2, "{found:?}");
    for segment in &found {
        let steps = segment.windows(2).map(|w| (w[0] - w[1]).abs());
        assert!(segment.len() > 1 && steps.fold(0.0, f64::max) < 180.0, "{segment:?}");
    }
    assert_eq!(
        (found[0].last(), found[1].first()),
        (Some(&179.999_999_9), Some(&-180.0))
    );
}

#[test]
fn a_plan_without_a_send_is_still_a_map() {
    let mut planned = Planned::new(Outing::new(demo_parts()).unwrap());
    planned.plan.sends.clear();
    let text = gpx(&planned.exported(), Paths::Used, made_at()).unwrap();
    hold_against_the_schema(&text);
    assert!(segments(&text).is_empty());
    let points = planned.outing.sites.len() + planned.outing.stations.len();
    assert_eq!(waypoints(&text).unwrap().len(), points);
}
