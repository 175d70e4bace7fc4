//! Which way: north up, the wire, the station.

use super::row::Row;
use crate::content::AntennaRow;
use crate::content::windows::degrees;
use crate::letters::{Letters, Style};
use crate::page::{Anchor, Ink, Mark};

/// Width of the picture, pt.
pub(super) const SIDE_PT: f64 = 62.0;
/// Radius of the circle, pt.
const RADIUS_PT: f64 = 21.0;

/// What is shown.
pub(super) struct Compass {
    /// Bearing along which the wire runs, degrees true.
    wire_true_deg: Option<f64>,
    /// Bearing to the station, degrees true.
    station_true_deg: f64,
    station: String,
}

impl Compass {
    /// Of an antenna and the station of its most needed window.
    pub(super) fn of(antenna: &AntennaRow) -> Self {
        Self {
            wire_true_deg: antenna.azimuth_true_deg,
            station_true_deg: antenna.toward_true_deg,
            station: antenna.toward.clone(),
        }
    }
}

/// The circle with north, the wire as a bar and the station as an arrow.
pub(super) fn compass(letters: &Letters, compass: &Compass) -> Row {
    let small = Style::plain(10.0);
    let line = small.line_pt();
    let centre = [0.5 * SIDE_PT, line + 2.0 + RADIUS_PT];
    let toward = |bearing_deg: f64, reach: f64| {
        let (sin, cos) = bearing_deg.to_radians().sin_cos();
        [centre[0] + reach * sin, centre[1] - reach * cos]
    };
    let mut marks = vec![
        Mark::text([centre[0], small.baseline_pt()], Anchor::Middle, Style::bold(10.0), "N"),
        Mark::Circle {
            at_pt: centre,
            radius_pt: RADIUS_PT,
            full: false,
        },
        Mark::line(toward(0.0, RADIUS_PT - 4.0), toward(0.0, RADIUS_PT + 1.5), 1.6),
    ];
    if let Some(wire) = compass.wire_true_deg {
        marks.push(Mark::line(toward(wire + 180.0, 13.0), toward(wire, 13.0), 3.2));
    }
    let station = compass.station_true_deg;
    marks.push(Mark::line(centre, toward(station, RADIUS_PT - 2.0), 1.0));
    let tip = toward(station, RADIUS_PT);
    marks.push(Mark::Area {
        corners_pt: vec![
            tip,
            toward(station - 22.0, RADIUS_PT - 7.0),
            toward(station + 22.0, RADIUS_PT - 7.0),
        ],
        ink: Ink::Black,
    });
    let y = centre[1] + RADIUS_PT + 2.0;
    let words = [compass.station.clone(), format!("{} true", degrees(station))];
    for (k, text) in words.iter().enumerate() {
        let shown = letters.cut(text, small, SIDE_PT);
        let at = [centre[0], y + k as f64 * line + small.baseline_pt()];
        marks.push(Mark::text(at, Anchor::Middle, small, shown));
    }
    Row {
        height_pt: y + 2.0 * line + 2.0,
        marks,
    }
}
