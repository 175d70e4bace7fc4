//! Places by pointing at a map, and from a GPX file.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use farhop_earth::units::Units;
use farhop_earth::{Place, locator, parse_place};
use farhop_outing_file::waypoints::{site_blocks, waypoints};
use farhop_show::map::{SpotMap, spot_map};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;
use toml_edit::{DocumentMut, Item, Table};

use super::adding::appended;
use crate::app::App;

/// Reach of the map around a place that is known, km: what a day's walk and the nearest stations need.
const KNOWN_REACH_KM: f64 = 300.0;
/// By how much a touch goes nearer or wider.
const STEP: f64 = 4.0;
/// How far the arrows move the mark, as a share of the reach.
const SHIFT: f64 = 0.1;
/// Below this reach the coasts of the map say nothing more, km.
const COASTS_KM: f64 = 30.0;

/// What is asked of the map.
#[derive(Deserialize)]
pub struct Asked {
    /// Where the mark stands, in any usual form; empty or unreadable: nothing is known.
    #[serde(default)]
    at: String,
    /// From the mark to the rim, km.
    reach: Option<f64>,
    /// Where the map was touched, user units of the drawing.
    x: Option<f64>,
    y: Option<f64>,
}

/// The map as a part of the page, for the place that is asked for.
pub async fn spot(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Response {
    let look = app.desk.look();
    map_for(&look.text, &asked).into_response()
}

fn map_for(text: &str, asked: &Asked) -> Markup {
    let known = known_in(text);
    let at = parse_place(&asked.at).ok();
    let around = at.or_else(|| known.first().map(|(_, place)| *place));
    let usual_km = if around.is_some() {
        KNOWN_REACH_KM
    } else {
        f64::INFINITY
    };
    let spot = SpotMap::new(
        around.unwrap_or_default(),
        asked.reach.unwrap_or(usual_km),
        known,
        units_in(text),
    );
    let touched = asked.x.zip(asked.y).and_then(|point| spot.place_at(point));
    match touched {
        Some(place) => {
            let reach_km = spot.reach_km / STEP;
            map(&SpotMap::new(place, reach_km, spot.known, spot.units), true, true)
        }
        None => map(&spot, at.is_some(), false),
    }
}

/// The map with its buttons. What a script needs stands in the data: the place, and what each button asks for.
fn map(spot: &SpotMap, is_known: bool, touched: bool) -> Markup {
    let mark = spot.mark;
    let ask = |place: Place, reach_km: f64| format!("at={place}&reach={reach_km:.1}");
    let moved = |bearing_deg| ask(spot.beside(bearing_deg, SHIFT).unwrap_or(mark), spot.reach_km);
    html! {
        div.spot data-place=(mark) data-touched[touched] data-ask=(ask(mark, spot.reach_km)) {
            figure.picture { (PreEscaped(spot_map(spot))) }
            p.small role="status" {
                @if is_known { b { (mark) } " (" (locator::format(mark, 3)) "). " } @else { "No place yet: touch the map. " }
                "A touch moves the mark there and goes nearer. At this size it is good to about " (spot.units.distance(spot.finger_km())) "."
                @if spot.reach_km < COASTS_KM { " Coasts are too coarse for this size: for more, type coordinates from a map of the place, or take a GPX file." }
                " Coasts: Natural Earth."
            }
            div.row {
                button type="button" data-spot=(ask(mark, spot.reach_km / STEP)) { "Nearer" }
                button type="button" data-spot=(ask(mark, spot.reach_km * STEP)) { "Wider" }
                @for (word, bearing_deg) in [("North", 0.0), ("South", 180.0), ("West", 270.0), ("East", 90.0)] {
                    button type="button" data-spot=(moved(bearing_deg)) data-moves { (word) }
                }
            }
        }
    }
}

/// A place as it was understood.
pub fn understood(text: &str) -> Option<String> {
    let place = parse_place(text).ok()?;
    Some(format!("{place} ({})", locator::format(place, 3)))
}

/// Sites and stations of the text whose places can be read.
fn known_in(text: &str) -> Vec<(String, Place)> {
    let Ok(document) = text.parse::<DocumentMut>() else {
        return Vec::new();
    };
    let list = |key: &str| {
        document
            .get(key)
            .and_then(Item::as_array_of_tables)
            .into_iter()
            .flatten()
            .cloned()
    };
    list("site")
        .chain(list("station"))
        .filter_map(|table| {
            let word = |key: &str| table.get(key).and_then(Item::as_str).filter(|w| !w.is_empty());
            let name = word("name").or(word("callsign")).or(word("id")).unwrap_or_default();
            Some((name.to_owned(), parse_place(word("place")?).ok()?))
        })
        .collect()
}

/// The units in which the outing is shown.
pub fn units_in(text: &str) -> Units {
    let document = text.parse::<DocumentMut>().ok();
    let word = document.as_ref().and_then(|d| d.get("outing")?.get("units")?.as_str());
    if word == Some("imperial") {
        Units::Imperial
    } else {
        Units::Metric
    }
}

/// The text with the waypoints of a GPX file as sites, and what was odd about them.
///
/// # Errors
/// In words: what is wrong with the file, or that the outing's text is no TOML.
pub fn with_waypoints(text: &str, gpx: &str) -> Result<(String, Vec<String>), String> {
    const NO_TOML: &str = "the text of the outing is no TOML yet; mend it below";
    let found = waypoints(gpx).map_err(|e| e.to_string())?;
    if found.is_empty() {
        return Err("the file has no waypoint; tracks and routes are passed over".to_owned());
    }
    let mut document: DocumentMut = text.parse().map_err(|_| NO_TOML)?;
    let sites = |document: &DocumentMut| -> Vec<Table> {
        let list = document.get("site").and_then(Item::as_array_of_tables);
        list.into_iter().flatten().cloned().collect()
    };
    let id_of = |site: &Table| Some(site.get("id")?.as_str()?.to_owned());
    let taken: BTreeSet<String> = sites(&document).iter().filter_map(id_of).collect();
    let blocks = site_blocks(&found, &taken);
    let made: DocumentMut = blocks.text.parse().map_err(|_| NO_TOML)?;
    appended(&mut document, "site", sites(&made).into_iter()).ok_or(NO_TOML)?;
    Ok((document.to_string(), blocks.cautions))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str =
        "# mine\n[outing]\nname = \"A\"\n\n[[site]]\nid = \"hut\"\nplace = \"-43.4,170.8\" # by map\n\n[kit]\n";

    #[test]
    fn waypoints_stand_behind_the_sites_and_remarks_stay() {
        let gpx = "<gpx><wpt lat=\"-43.5\" lon=\"170.9\"><ele>1700</ele><name>Hut</name></wpt></gpx>";
        let (text, cautions) = with_waypoints(TEXT, gpx).expect("sound");
        assert!(
            cautions.is_empty() && text.contains("# mine") && text.contains("# by map"),
            "{text}"
        );
        let document: DocumentMut = text.parse().expect("sound");
        let ids: Vec<_> = known_in(&text).into_iter().map(|(name, _)| name).collect();
        assert_eq!(ids, ["hut", "Hut"]);
        assert_eq!(document["site"][1]["id"].as_str(), Some("hut-2"));
        assert!(text.find("Hut") < text.find("[kit]"), "{text}");
        assert!(with_waypoints(TEXT, "<gpx></gpx>").is_err_and(|why| why.contains("no waypoint")));
    }

    #[test]
    fn a_touch_in_the_middle_keeps_the_mark_and_goes_nearer() {
        let asked = Asked {
            at: "-43.4, 170.8".to_owned(),
            reach: Some(80.0),
            x: Some(200.0),
            y: Some(200.0),
        };
        let part = map_for(TEXT, &asked).into_string();
        assert!(part.contains("data-place=\"-43.4000,170.8000\""), "{part}");
        assert!(part.contains("at=-43.4000,170.8000&amp;reach=20.0"), "{part}");
    }

    #[test]
    fn without_any_place_the_whole_earth_is_shown() {
        let asked = Asked {
            at: "somewhere".to_owned(),
            reach: None,
            x: None,
            y: None,
        };
        let part = map_for("[outing]\n", &asked).into_string();
        assert!(
            part.contains("No place yet") && part.contains("reach=19000.0"),
            "{part}"
        );
    }
}
