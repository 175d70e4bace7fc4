//! How the signal gets there: the curved Earth, the layers, and the rays of the modes between both ends.

use farhop_earth::EARTH_RADIUS_KM;
use farhop_num::maths;

use crate::reader::Units;
use crate::sheet::{Anchor, Fill, HARM, INK, Letters, MUTED, Pen, SOFT, SUN, Sheet, TINT};

/// A mode as it is drawn.
#[derive(Clone, Debug)]
pub struct Ray {
    /// Name: `F2 layer, 1 hop`.
    pub name: String,
    /// Number of hops; 0 runs along the ground.
    pub hops: u8,
    /// Elevation at both ends, degrees.
    pub elevation_deg: f64,
    /// Height of the mirror that turns it, km.
    pub mirror_height_km: f64,
    /// Absorption on the whole way, dB.
    pub absorption_db: f64,
    /// How far it is below the strongest, dB.
    pub below_strongest_db: f64,
}

/// What is drawn.
#[derive(Clone, Debug)]
pub struct SectionPicture<'a> {
    /// Name of the site, on the left.
    pub from: &'a str,
    /// Name of the station, on the right.
    pub to: &'a str,
    /// Along the ground, km.
    pub distance_km: f64,
    /// Height of the F2 layer's peak, km.
    pub f2_height_km: f64,
    /// Zenith angle of the sun in the middle, degrees: by day there is a D region.
    pub sun_zenith_deg: f64,
    /// Skyline of the site toward the station, degrees.
    pub skyline_deg: f64,
    /// The modes, strongest first.
    pub rays: &'a [Ray],
    /// Miles instead of kilometres.
    pub units: Units,
}

const WIDTH: f64 = 400.0;
const LEFT: f64 = 12.0;
const RIGHT: f64 = 326.0;
const TOP: f64 = 22.0;
const GROUND: f64 = 236.0;
/// Height of the picture without the list of rays.
const BASE: f64 = 268.0;
const ROW: f64 = 19.0;
/// Points along a layer or the ground.
const STEPS: u32 = 40;
/// Below the strongest by more than this, dB, a mode is not drawn.
const WORTH_DRAWING_DB: f64 = 20.0;
/// Most rays that are drawn.
const MOST_RAYS: usize = 4;
/// Widest stroke of a ray.
const STROKE: f64 = 3.4;
/// Absorption that leaves next to nothing of a stroke, dB.
const THIN_DB: f64 = 40.0;
/// Lower edge of the D region and its upper edge, km (common practice).
const D_REGION_KM: (f64, f64) = (60.0, 90.0);
/// The E region, km (common practice).
const E_REGION_KM: (f64, f64) = (100.0, 120.0);
/// Half the thickness of the F2 layer as drawn, km.
const F2_HALF_KM: f64 = 35.0;

/// Places kilometres on the sheet. The Earth's curve is a parabola, so that straight rays stay straight.
struct Frame {
    distance_km: f64,
    across: f64,
    up: f64,
}

impl Frame {
    fn new(picture: &SectionPicture<'_>) -> Self {
        let distance_km = picture.distance_km.max(1.0);
        let sag_km = distance_km * distance_km / (8.0 * EARTH_RADIUS_KM);
        let mirrors = drawn(picture).map(|r| r.mirror_height_km);
        let top_km = mirrors.fold(picture.f2_height_km + F2_HALF_KM, f64::max) + 20.0;
        Self {
            distance_km,
            across: (RIGHT - LEFT) / distance_km,
            up: (GROUND - TOP) / (top_km + sag_km),
        }
    }

    fn at(&self, along_km: f64, height_km: f64) -> (f64, f64) {
        let sag_km = along_km * (self.distance_km - along_km) / (2.0 * EARTH_RADIUS_KM);
        (LEFT + along_km * self.across, GROUND - (height_km + sag_km) * self.up)
    }

    fn level(&self, height_km: f64) -> Vec<(f64, f64)> {
        (0..=STEPS)
            .map(|k| self.at(self.distance_km * f64::from(k) / f64::from(STEPS), height_km))
            .collect()
    }
}

fn drawn<'a>(picture: &'a SectionPicture<'_>) -> impl Iterator<Item = &'a Ray> {
    let worth = |r: &&Ray| r.below_strongest_db <= WORTH_DRAWING_DB;
    picture.rays.iter().filter(worth).take(MOST_RAYS)
}

/// The section, as SVG.
#[must_use]
pub fn section(picture: &SectionPicture<'_>) -> String {
    let frame = Frame::new(picture);
    let rays: Vec<&Ray> = drawn(picture).collect();
    let height = BASE + ROW * rays.len().max(1) as f64;
    let title = format!("Section of the path from {} to {}", picture.from, picture.to);
    let mut sheet = Sheet::new(WIDTH, height, &title);
    layers(&mut sheet, &frame, picture);
    for (index, ray) in rays.iter().enumerate().rev() {
        draw_ray(&mut sheet, &frame, ray, index == 0);
    }
    ground(&mut sheet, &frame, picture);
    list(&mut sheet, &rays);
    sheet.finished()
}

fn layers(sheet: &mut Sheet, frame: &Frame, picture: &SectionPicture<'_>) {
    let f2 = (picture.f2_height_km - F2_HALF_KM, picture.f2_height_km + F2_HALF_KM);
    band(sheet, frame, f2, TINT, 0.22);
    band(sheet, frame, E_REGION_KM, TINT, 0.22);
    let day = picture.sun_zenith_deg < 98.0;
    if day {
        let strength = 0.12 + 0.3 * maths::cos(picture.sun_zenith_deg.to_radians()).max(0.0);
        band(sheet, frame, D_REGION_KM, SUN, strength);
    }
    let letters = Letters::plain(13.5).in_colour(MUTED);
    let name = |height_km: f64| (RIGHT + 8.0, frame.at(frame.distance_km, height_km).1 + 4.0);
    sheet.text(
        name(picture.f2_height_km),
        letters,
        &format!("F2 {}", picture.units.distance(picture.f2_height_km)),
    );
    sheet.text(name(112.0), letters, "E");
    if day {
        sheet.text(name(70.0), letters, "D: absorbs");
    }
}

fn band(sheet: &mut Sheet, frame: &Frame, (low_km, high_km): (f64, f64), colour: &'static str, strength: f64) {
    let mut edge = frame.level(high_km);
    edge.extend(frame.level(low_km).into_iter().rev());
    sheet.faint(&edge, Fill::faint(colour, strength));
}

/// A ray thins where the D region takes power: twice a hop.
fn draw_ray(sheet: &mut Sheet, frame: &Frame, ray: &Ray, strongest: bool) {
    let colour = if strongest { INK } else { MUTED };
    let first = STROKE * (1.0 - 0.6 * ray.below_strongest_db / WORTH_DRAWING_DB);
    let legs = 2 * u32::from(ray.hops);
    if legs == 0 {
        sheet.stroke(&frame.level(1.0), colour, first);
        return;
    }
    let hop_km = frame.distance_km / f64::from(ray.hops);
    let mut crossed = 0;
    for hop in 0..u32::from(ray.hops) {
        let start_km = f64::from(hop) * hop_km;
        let top_km = ray.mirror_height_km;
        for rising in [true, false] {
            let width = thinned(first, ray.absorption_db * f64::from(crossed) / f64::from(legs));
            let after = thinned(first, ray.absorption_db * f64::from(crossed + 1) / f64::from(legs));
            leg(sheet, frame, (start_km, hop_km, top_km), rising, (colour, width, after));
            crossed += 1;
        }
    }
}

fn thinned(width: f64, taken_db: f64) -> f64 {
    let left = (width * (1.0 - taken_db / THIN_DB)).max(0.5);
    (left * 10.0).round() / 10.0
}

/// Half a hop: below the D region with one stroke, above it with another, rounded where it turns.
fn leg(
    sheet: &mut Sheet,
    frame: &Frame,
    (start_km, hop_km, top_km): (f64, f64, f64),
    rising: bool,
    (colour, before, after): (&'static str, f64, f64),
) {
    let x_km = |share: f64| start_km + 0.5 * hop_km * if rising { share } else { 2.0 - share };
    // A straight line on the sheet between the ground and the mirror.
    let (foot, apex) = (frame.at(x_km(0.0), 0.0), frame.at(x_km(1.0), top_km));
    let on = |share: f64| (foot.0 + share * (apex.0 - foot.0), foot.1 + share * (apex.1 - foot.1));
    let d = (D_REGION_KM.0 / top_km).clamp(0.05, 0.7);
    let turn = 0.8;
    let (low, high) = if rising { (before, after) } else { (after, before) };
    sheet.stroke(&[on(0.0), on(d)], colour, low);
    sheet.stroke(&[on(d), on(turn)], colour, high);
    let (from, control) = (on(turn), on(0.93));
    let end = (apex.0, 0.5 * (apex.1 + from.1));
    let towards = (control.0, control.1.max(end.1));
    sheet.bend(from, towards, end, Pen::full(colour, high));
}

fn ground(sheet: &mut Sheet, frame: &Frame, picture: &SectionPicture<'_>) {
    let mut earth = frame.level(0.0);
    sheet.stroke(&earth, INK, 1.6);
    earth.push((RIGHT, GROUND + 6.0));
    earth.push((LEFT, GROUND + 6.0));
    sheet.shape(&earth, SOFT);
    if picture.skyline_deg > 0.5 {
        // The skyline as a peak beside the site; its height on paper says how many degrees, not how many metres.
        let height = (picture.skyline_deg * 1.2).min(40.0);
        sheet.shape(
            &[
                (LEFT + 1.0, GROUND),
                (LEFT + 11.0, GROUND - height),
                (LEFT + 21.0, GROUND),
            ],
            MUTED,
        );
        let letters = Letters::plain(13.5).in_colour(MUTED);
        sheet.text(
            (LEFT + 22.0, GROUND - 4.0),
            letters,
            &format!("skyline {:.0}°", picture.skyline_deg),
        );
    }
    sheet.dot((LEFT, GROUND), 4.0, INK);
    sheet.dot((RIGHT, GROUND), 4.0, INK);
    let y = GROUND + 22.0;
    sheet.text((4.0, y), Letters::plain(13.5).strong(), picture.from);
    sheet.text(
        (RIGHT + 6.0, y),
        Letters::plain(13.5).strong().at(Anchor::End),
        picture.to,
    );
    let middle = Letters::plain(13.5).in_colour(MUTED).at(Anchor::Middle);
    sheet.text(
        (0.5 * (LEFT + RIGHT), y),
        middle,
        &picture.units.distance(picture.distance_km),
    );
}

fn list(sheet: &mut Sheet, rays: &[&Ray]) {
    if rays.is_empty() {
        let letters = Letters::plain(13.5).in_colour(HARM);
        sheet.text(
            (4.0, BASE + 10.0),
            letters,
            "No layer carries this frequency there at this hour.",
        );
    }
    for (index, ray) in rays.iter().enumerate() {
        let y = BASE + 8.0 + ROW * index as f64;
        let colour = if index == 0 { INK } else { MUTED };
        sheet.line(
            (4.0, y - 4.0),
            (20.0, y - 4.0),
            colour,
            if index == 0 { STROKE } else { 1.6 },
        );
        let below = if ray.below_strongest_db < 0.5 {
            String::new()
        } else {
            format!(", {:.0} dB weaker", ray.below_strongest_db)
        };
        let words = format!(
            "{}: leaves at {:.0}°, absorption {:.0} dB{below}",
            ray.name, ray.elevation_deg, ray.absorption_db
        );
        sheet.text((26.0, y), Letters::plain(13.5).in_colour(colour), &words);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_long_and_dead_paths_are_drawn() {
        let ray = |hops, height, below| Ray {
            name: "F2 layer".to_owned(),
            hops,
            elevation_deg: 40.0,
            mirror_height_km: height,
            absorption_db: 12.0,
            below_strongest_db: below,
        };
        let rays = [
            ray(1, 310.0, 0.0),
            ray(2, 300.0, 6.0),
            ray(0, 0.0, 12.0),
            ray(3, 280.0, 40.0),
        ];
        for distance_km in [0.0, 54.0, 800.0, 3_000.0, 9_000.0] {
            for count in [0, 1, 4] {
                let svg = section(&SectionPicture {
                    from: "here",
                    to: "there",
                    distance_km,
                    f2_height_km: 290.0,
                    sun_zenith_deg: 40.0,
                    skyline_deg: 9.0,
                    rays: &rays[..count],
                    units: Units::Metric,
                });
                assert!(!svg.contains("NaN") && !svg.contains("inf"), "{distance_km} {count}");
                assert_eq!(svg.contains("No layer"), count == 0);
                assert!(!svg.contains("40 dB weaker"));
            }
        }
    }

    #[test]
    fn a_stroke_thins_with_what_is_taken() {
        assert!(thinned(STROKE, 0.0) > thinned(STROKE, 10.0));
        assert_eq!(thinned(STROKE, 500.0), 0.5);
    }
}
