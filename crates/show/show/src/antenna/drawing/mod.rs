//! An antenna as a picture: the wires from the side and from above with their measures, and the pattern over ground.

mod compass;
mod labels;
mod pattern;
mod views;

pub use views::MOST_GROWN;

use farhop_antenna::templates::Built;
use farhop_earth::units::Units;
use farhop_plan::engine::SolvedAntenna;

use crate::sheet::{Letters, Sheet, Spot};

/// What is drawn.
#[derive(Clone, Copy, Debug)]
pub struct Picture<'a> {
    /// Name of the antenna.
    pub name: &'a str,
    /// Where it hangs, in words: `average ground`.
    pub place: &'a str,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Wires, supports, measures.
    pub built: &'a Built,
    /// The same as it stands in the file, drawn thin behind it; its size decides the scale, so that a changed measure is seen.
    pub before: Option<&'a Built>,
    /// How it works.
    pub solved: &'a SolvedAntenna,
    /// Lowest and highest angle above the horizon, degrees, at which the modes of the outing leave; none where no outing is known.
    pub needed_deg: Option<(f64, f64)>,
    /// The units of the reader.
    pub units: Units,
}

impl<'a> Picture<'a> {
    fn seen(&self) -> views::Seen<'a> {
        views::Seen {
            built: self.built,
            before: self.before,
            azimuth_deg: self.solved.azimuth_deg,
            units: self.units,
        }
    }
}

/// An antenna from the side alone, with its measures, before anything is solved.
#[must_use]
pub fn from_side(name: &str, built: &Built, units: Units) -> String {
    let views = views::Views::new(views::Seen {
        built,
        before: None,
        azimuth_deg: None,
        units,
    });
    let mut sheet = Sheet::new(
        COLUMN + 2.0 * EDGE,
        views.height() + EDGE,
        &format!("{name} from the side"),
    );
    views.draw_side(&mut sheet, Spot { x: EDGE, y: EDGE });
    sheet.finished()
}

/// Width of the picture, user units.
const WIDTH: f64 = 820.0;
/// Margin around everything, and between the two columns.
const MARGIN: f64 = 30.0;
/// Width of a column.
const COLUMN: f64 = (WIDTH - 3.0 * MARGIN) / 2.0;
/// Below this gain nothing is said to go there, dBi.
const NULL_DBI: f64 = -40.0;
/// Height of the head.
const HEAD: f64 = 100.0;
/// Height of a pattern with its title and its foot.
const PATTERN: f64 = 420.0;

/// One drawing of one antenna on one frequency, as SVG.
#[must_use]
pub fn drawing(picture: &Picture<'_>) -> String {
    let views = views::Views::new(picture.seen());
    let height = HEAD + views.height() + PATTERN + MARGIN;
    let mut sheet = Sheet::new(WIDTH, height, &format!("{} and how it radiates", picture.name));
    head(&mut sheet, picture);
    let (left, right) = (MARGIN, 2.0 * MARGIN + COLUMN);
    views.draw(&mut sheet, (left, HEAD), (right, HEAD));
    let top = HEAD + views.height();
    pattern::elevation_cuts(&mut sheet, picture, Spot { x: left, y: top });
    pattern::azimuth_cuts(&mut sheet, picture.solved, Spot { x: right, y: top });
    sheet.finished()
}

/// Margin of a single view.
const EDGE: f64 = 10.0;

/// The same in four pictures that a page can lay out as its width allows: from the side, from above, the pattern over the ground,
/// the pattern around.
#[must_use]
pub fn panels(picture: &Picture<'_>) -> [String; 4] {
    let views = views::Views::new(picture.seen());
    let panel = |title: &str, height: f64, draw: &dyn Fn(&mut Sheet, Spot)| {
        let mut sheet = Sheet::new(COLUMN + 2.0 * EDGE, height, title);
        draw(&mut sheet, Spot { x: EDGE, y: EDGE });
        sheet.finished()
    };
    [
        panel("The antenna from the side", views.height() + EDGE, &|sheet, at| {
            views.draw_side(sheet, at)
        }),
        panel("The antenna from above", views.height() + EDGE, &|sheet, at| {
            views.draw_above(sheet, at)
        }),
        panel("What it radiates over the ground", PATTERN, &|sheet, at| {
            pattern::elevation_cuts(sheet, picture, at)
        }),
        panel("What it radiates around", PATTERN, &|sheet, at| {
            pattern::azimuth_cuts(sheet, picture.solved, at)
        }),
    ]
}

fn head(sheet: &mut Sheet, picture: &Picture<'_>) {
    let name: String = picture.name.chars().take(64).collect();
    sheet.text(Spot { x: MARGIN, y: 38.0 }, Letters::plain(20.0), &name);
    let zenith_dbi = picture.solved.pattern.gain_dbi(90.0, 0.0);
    let zenith = if zenith_dbi < NULL_DBI {
        "nothing".into()
    } else {
        format!("{zenith_dbi:+.1} dBi")
    };
    let (elevation_deg, _, gain_dbi) = picture.solved.pattern.strongest();
    let place: String = picture.place.chars().take(48).collect();
    let answer = format!(
        "{} MHz over {place}: {} % of its power radiated",
        picture.freq_mhz,
        crate::numbers::share_words(picture.solved.efficiency)
    );
    sheet.text(Spot { x: MARGIN, y: 60.0 }, Letters::plain(14.0), &answer);
    let gains = format!("{zenith} straight up, most ({gain_dbi:+.1} dBi) at {elevation_deg:.0}°");
    sheet.text(Spot { x: MARGIN, y: 79.0 }, Letters::plain(14.0), &gains);
}

#[cfg(test)]
mod tests;
