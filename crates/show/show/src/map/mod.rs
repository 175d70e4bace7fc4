//! Where everybody is: a map around a site on which bearings and distances from it are true.

mod coast;
mod land;
mod night;
mod projection;
mod spot;

use farhop_earth::{Place, UtcTime};
use farhop_num::maths;

use crate::reader::Units;
use crate::sheet::{Anchor, Fill, INK, LAND, Letters, MUTED, NIGHT, PAPER, Pen, SOFT, Sheet, TINT};
use projection::Projection;

pub use spot::{SpotMap, spot_map};

/// Somebody on the map.
#[derive(Clone, Debug)]
pub struct MapPoint {
    /// Name beside it.
    pub name: String,
    /// Where.
    pub place: Place,
    /// Best chance to reach it (dimensionless); decides how strong the line to it is. None draws no line.
    pub chance: Option<f64>,
}

/// What is drawn.
#[derive(Clone, Debug)]
pub struct MapPicture {
    /// Name of the site in the middle.
    pub middle_name: String,
    /// The site in the middle.
    pub middle: Place,
    /// Other sites.
    pub sites: Vec<MapPoint>,
    /// Stations.
    pub stations: Vec<MapPoint>,
    /// The instant for which night is shown, and its name; none leaves night away.
    pub night: Option<(UtcTime, String)>,
    /// Miles instead of kilometres.
    pub units: Units,
}

/// A near map is worth while where the farthest is so many times as far as the nearer ones.
const NEAR_AND_FAR: f64 = 4.0;

impl MapPicture {
    /// The same of what lies near the middle only, where a map of all would press it into one spot; else none.
    #[must_use]
    pub fn near(&self) -> Option<Self> {
        let limit_km = farthest_km(self) / NEAR_AND_FAR;
        let near = |points: &[MapPoint]| -> Vec<MapPoint> {
            let inside = |p: &&MapPoint| farhop_earth::geodesic(self.middle, p.place).distance_km <= limit_km;
            points.iter().filter(inside).cloned().collect()
        };
        let picture = Self {
            sites: near(&self.sites),
            stations: near(&self.stations),
            night: None,
            ..self.clone()
        };
        (farthest_km(&picture) > 0.0).then_some(picture)
    }
}

const SIZE: f64 = 400.0;
const RIM: f64 = 182.0;
const MIDDLE: (f64, f64) = (SIZE / 2.0, SIZE / 2.0);
/// Least distance from the middle to the rim, km.
const LEAST_REACH_KM: f64 = 2.0;
/// Farthest, km: somewhat less than half around the Earth.
const MOST_REACH_KM: f64 = 19_000.0;
/// Sites nearer to the middle than this on paper are not drawn by themselves.
const TOO_NEAR: f64 = 7.0;

/// The map, as SVG.
#[must_use]
pub fn map(picture: &MapPicture) -> String {
    let reach_km = (farthest_km(picture) * 1.14).clamp(LEAST_REACH_KM, MOST_REACH_KM);
    within(picture, reach_km)
}

/// The map as far as a distance from the middle, km.
fn within(picture: &MapPicture, reach_km: f64) -> String {
    let projection = Projection::new(picture.middle, MIDDLE, RIM / reach_km);
    let mut sheet = Sheet::new(SIZE, SIZE, &title(picture));
    let land = land::land(&projection, reach_km);
    sheet.within_circle(&format!("rim-{reach_km:.0}"), MIDDLE, RIM, |sheet| {
        sheet.region(&land, Fill::solid(LAND));
        if let Some((at, _)) = &picture.night {
            sheet.region(&night::night(&projection, reach_km, *at), Fill::faint(NIGHT, 0.8));
        }
        sheet.coast(&land, Pen::full(MUTED, 0.7));
    });
    rings(&mut sheet, reach_km, picture.units);
    lines(&mut sheet, &projection, picture);
    points(&mut sheet, &projection, picture);
    sheet.finished()
}

fn title(picture: &MapPicture) -> String {
    let night = picture
        .night
        .as_ref()
        .map_or(String::new(), |(_, name)| format!(", night side at {name}"));
    format!("Map around {}: stations and sites{night}", picture.middle_name)
}

fn farthest_km(picture: &MapPicture) -> f64 {
    let all = picture.stations.iter().chain(&picture.sites);
    all.map(|p| farhop_earth::geodesic(picture.middle, p.place).distance_km)
        .fold(0.0, f64::max)
}

/// Rings of distance with a figure, the rim, and the four directions.
fn rings(sheet: &mut Sheet, reach_km: f64, units: Units) {
    let step_km = ring_step_km(reach_km);
    let mut km = step_km;
    while km < reach_km * 0.97 {
        let radius = RIM * km / reach_km;
        sheet.ring(MIDDLE, radius, SOFT, 0.8);
        let spot = (MIDDLE.0 - radius * 0.707 - 2.0, MIDDLE.1 + radius * 0.707 + 5.0);
        let letters = Letters::plain(13.5).at(Anchor::Middle).in_colour(MUTED);
        sheet.text(spot, letters, &units.distance(km));
        km += step_km;
    }
    sheet.ring(MIDDLE, RIM, MUTED, 1.2);
    let letters = Letters::plain(13.5).at(Anchor::Middle).strong();
    for (word, dx, dy) in [("N", 0.0, -1.0), ("E", 1.0, 0.0), ("S", 0.0, 1.0), ("W", -1.0, 0.0)] {
        let radius = RIM + 9.0;
        sheet.text((MIDDLE.0 + dx * radius, MIDDLE.1 + dy * radius + 4.0), letters, word);
    }
}

/// A round number of kilometres that gives two to four rings.
fn ring_step_km(reach_km: f64) -> f64 {
    let rounds = [
        0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1_000.0, 2_000.0,
    ];
    rounds
        .into_iter()
        .find(|step| reach_km / step <= 4.5)
        .unwrap_or(5_000.0)
}

/// Great circles from the middle are straight; the surer the link, the stronger the line.
fn lines(sheet: &mut Sheet, projection: &Projection, picture: &MapPicture) {
    for station in &picture.stations {
        let Some(chance) = station.chance else { continue };
        let width = 0.8 + 2.4 * chance.clamp(0.0, 1.0);
        sheet.line(
            MIDDLE,
            projection.of(station.place),
            TINT,
            (width * 10.0).round() / 10.0,
        );
    }
}

fn points(sheet: &mut Sheet, projection: &Projection, picture: &MapPicture) {
    let mut taken: Vec<Taken> = Vec::new();
    name(sheet, MIDDLE, &picture.middle_name, &mut taken);
    for site in &picture.sites {
        let spot = projection.of(site.place);
        if maths::hypot(spot.0 - MIDDLE.0, spot.1 - MIDDLE.1) > TOO_NEAR {
            sheet.ring(spot, 4.0, INK, 1.5);
            name(sheet, spot, &site.name, &mut taken);
        }
    }
    for station in &picture.stations {
        let spot = projection.of(station.place);
        sheet.dot(spot, 4.5, PAPER);
        sheet.dot(spot, 3.5, INK);
        name(sheet, spot, &station.name, &mut taken);
    }
    sheet.dot(MIDDLE, 6.0, PAPER);
    sheet.ring(MIDDLE, 5.0, INK, 2.0);
    sheet.dot(MIDDLE, 2.0, INK);
}

/// A name beside its spot: to the right or left, then a line lower or higher, where no other name stands.
fn name(sheet: &mut Sheet, spot: (f64, f64), name: &str, taken: &mut Vec<Taken>) {
    let short: String = name.chars().take(18).collect();
    let width = 7.4 * short.chars().count() as f64;
    let right_first = spot.0 < MIDDLE.0 + 0.35 * RIM;
    let sides = if right_first {
        [Anchor::Start, Anchor::End]
    } else {
        [Anchor::End, Anchor::Start]
    };
    let places = [0.0, 15.0, -15.0, 30.0, -30.0]
        .into_iter()
        .flat_map(|dy| sides.map(|side| (side, dy)));
    let all: Vec<(Anchor, Taken)> = places
        .map(|(side, dy)| (side, Taken::beside(spot, side, dy, width)))
        .collect();
    let free = all
        .iter()
        .find(|(_, place)| place.inside() && !taken.iter().any(|t| t.meets(place)));
    if let Some((side, place)) = free.or(all.first()) {
        let x = if *side == Anchor::End { place.right } else { place.left };
        sheet.text((x, place.foot), Letters::plain(13.5).at(*side), &short);
        taken.push(*place);
    }
}

/// Where a name stands.
#[derive(Clone, Copy)]
struct Taken {
    left: f64,
    right: f64,
    foot: f64,
}

impl Taken {
    fn beside(spot: (f64, f64), side: Anchor, dy: f64, width: f64) -> Self {
        let (left, right) = match side {
            Anchor::End => (spot.0 - 8.0 - width, spot.0 - 8.0),
            _ => (spot.0 + 8.0, spot.0 + 8.0 + width),
        };
        Self {
            left,
            right,
            foot: spot.1 + 4.0 + dy,
        }
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && (self.foot - other.foot).abs() < 14.0
    }

    fn inside(&self) -> bool {
        self.left > 2.0 && self.right < SIZE - 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::projection::Polar;
    use super::*;

    /// A place in a direction from the middle: bearing in degrees, distance in km.
    fn spot_at(bearing_deg: f64, distance_km: f64, reach_km: f64) -> (f64, f64) {
        let equator = Place::new(0.0, 0.0);
        let projection = equator.map(|place| Projection::new(place, MIDDLE, RIM / reach_km));
        projection.map_or(MIDDLE, |p| {
            p.spot(Polar {
                bearing_rad: bearing_deg.to_radians(),
                distance_km,
            })
        })
    }

    fn picture(lat: f64, lon: f64, to: &[(f64, f64)]) -> MapPicture {
        MapPicture {
            middle_name: "here".to_owned(),
            middle: Place::new(lat, lon).unwrap(),
            sites: Vec::new(),
            stations: to
                .iter()
                .map(|(lat, lon)| MapPoint {
                    name: "there".to_owned(),
                    place: Place::new(*lat, *lon).unwrap(),
                    chance: Some(0.5),
                })
                .collect(),
            night: Some((UtcTime::parse("2026-12-12T06:00:00Z").unwrap(), "19:00".to_owned())),
            units: Units::Metric,
        }
    }

    #[test]
    fn every_corner_of_the_earth_has_a_map() {
        let far = [(40.0, -3.7), (-89.0, 0.0), (89.0, 10.0), (0.0, 180.0)];
        for (lat, lon) in [(-43.4, 170.8), (90.0, 0.0), (-90.0, 0.0), (0.0, 180.0), (47.0, 8.0)] {
            for count in 0..=far.len() {
                let svg = map(&picture(lat, lon, &far[..count]));
                assert!(!svg.contains("NaN") && !svg.contains("inf"), "{lat} {lon} {count}");
                assert!(svg.len() < 110_000, "{}", svg.len());
            }
        }
    }

    #[test]
    fn what_lies_near_has_a_map_of_its_own_where_the_far_ones_hide_it() {
        let all = picture(-43.4, 170.8, &[(-43.0, 171.0), (-36.8, 174.7)]);
        let near = all.near().expect("one is near");
        assert_eq!(near.stations.len(), 1);
        assert!(near.night.is_none());
        assert!(
            picture(-43.4, 170.8, &[(-43.0, 171.0), (-43.1, 170.2)])
                .near()
                .is_none(),
            "all are near"
        );
        assert!(
            picture(-43.4, 170.8, &[(-36.8, 174.7)]).near().is_none(),
            "none is near"
        );
    }

    #[test]
    fn north_is_up_and_distance_is_to_scale() {
        let (x, y) = spot_at(0.0, 100.0, 200.0);
        assert!((x - MIDDLE.0).abs() < 1e-9 && (y - (MIDDLE.1 - RIM / 2.0)).abs() < 1e-9);
        let (x, _) = spot_at(90.0, 200.0, 200.0);
        assert!((x - (MIDDLE.0 + RIM)).abs() < 1e-9);
    }
}
