//! End-fed wires with a counterpoise.

use farhop_gear::antenna::{EndFed, EndFedShape};

use super::dipoles::{current_height_m, level_form};
use super::{Built, Drawing, Feeding, Geometry, LYING_HEIGHT_M, Site};
use crate::declared::Declared;
use crate::error::AntennaError;
use crate::vec3::{Vec3, along, norm, scale, sub};

/// Length of the first piece of the long wire, which holds the feed, metres.
const FEED_PIECE_M: f64 = 0.3;
/// Shortest counterpoise, metres.
const LEAST_COUNTERPOISE_M: f64 = 0.3;
/// Height of the far end of a counterpoise that is laid down, metres.
const COUNTERPOISE_END_M: f64 = 0.1;
/// Steepest drop of a counterpoise, as a part of its length (dimensionless).
const STEEPEST: f64 = 0.9;

impl Geometry for EndFed {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        built(self, site)
    }

    /// Four fifths of the power go out: the rest heats the transformer and the ground (a judgement).
    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let height_m = current_height_m(self.far_height_m, self.feed_height_m);
        (level_form(freq_mhz, self.wire_m, height_m, azimuth_deg), 0.8)
    }
}

fn built(own: &EndFed, site: &Site) -> Result<Built, AntennaError> {
    let EndFed {
        wire_m,
        shape,
        feed_height_m,
        far_height_m,
        corner_height_m,
        counterpoise_m,
        transformer_ratio,
    } = *own;
    if counterpoise_m < LEAST_COUNTERPOISE_M {
        return Err(AntennaError::Template(format!(
            "a counterpoise of {counterpoise_m} m is too short; the shield of the feed line serves as one, so give its length"
        )));
    }
    let feed = [0.0, 0.0, site.lifted(feed_height_m)];
    let points = path(shape, wire_m, feed, far_height_m, corner_height_m)?;
    let first_dir = scale(sub(points[1], feed), 1.0 / norm(sub(points[1], feed)));
    let knee = along(feed, FEED_PIECE_M, first_dir);
    let mut wires = vec![site.wire(feed, knee), site.wire(knee, points[1])];
    wires.extend(points[1..].windows(2).map(|p| site.wire(p[0], p[1])));
    let low_m = COUNTERPOISE_END_M.max(feed[2] - STEEPEST * counterpoise_m).min(feed[2]);
    let across_m = (counterpoise_m.powi(2) - (feed[2] - low_m).powi(2)).max(0.0).sqrt();
    let end = [-across_m, 0.0, low_m];
    wires.push(site.wire(feed, end));
    let mut drawing = Drawing::default();
    for point in &points[1..] {
        drawing.support(*point, "mast or tree");
        drawing.height(*point);
    }
    points
        .windows(2)
        .for_each(|p| drawing.measure(p[0], p[1], norm(sub(p[1], p[0]))));
    drawing.measure(feed, end, counterpoise_m);
    let mut notes = vec![format!(
        "counterpoise of {counterpoise_m} m away from the wire, down to {low_m:.1} m"
    )];
    if feed_height_m < LYING_HEIGHT_M {
        notes.push(format!("the feed is modelled {LYING_HEIGHT_M} m above the ground"));
    }
    Ok(Built {
        antenna: site.antenna(wires, 0, Vec::new()),
        feeding: Feeding::Transformer {
            ratio: transformer_ratio,
        },
        notes,
        drawing,
    })
}

/// The corners of the long wire.
fn path(shape: EndFedShape, wire_m: f64, feed: Vec3, far_m: f64, corner_m: f64) -> Result<Vec<Vec3>, AntennaError> {
    let impossible = |what: String| AntennaError::Template(what);
    let run = |length_m: f64, rise_m: f64| -> Result<f64, AntennaError> {
        if length_m <= FEED_PIECE_M || rise_m.abs() > length_m {
            return Err(impossible(format!(
                "{length_m:.1} m of wire cannot span {:.1} m of height; use more wire or a lower end",
                rise_m.abs()
            )));
        }
        Ok((length_m * length_m - rise_m * rise_m).sqrt())
    };
    match shape {
        EndFedShape::Flat => Ok(vec![feed, [run(wire_m, 0.0)?, 0.0, feed[2]]]),
        EndFedShape::Sloping => Ok(vec![feed, [run(wire_m, far_m - feed[2])?, 0.0, far_m]]),
        EndFedShape::LShaped => {
            let up_m = corner_m - feed[2];
            if up_m <= FEED_PIECE_M {
                return Err(impossible(format!(
                    "an L needs its corner above the feed, but {corner_m} m is not {FEED_PIECE_M} m above {:.2} m",
                    feed[2]
                )));
            }
            let across_m = run(wire_m - up_m, far_m - corner_m)?;
            Ok(vec![feed, [0.0, 0.0, corner_m], [across_m, 0.0, far_m]])
        }
    }
}
