//! Dipoles: level, inverted V, linked.

use farhop_gear::antenna::{FlatDipole, InvertedV, LinkedDipole};

use super::{Built, Drawing, Feeding, Geometry, Site};
use crate::declared::Declared;
use crate::error::AntennaError;
use crate::vec3::{Vec3, along, norm, scale, sub};
use farhop_num::constants::wavelength_m;

/// Length of the level piece in the middle that holds the feed, metres.
const FEED_PIECE_M: f64 = 0.2;
/// Gap of an open link, metres.
const LINK_GAP_M: f64 = 0.15;
/// A thin half wave resonates at about this part of half a wavelength (dimensionless; common practice).
const SHORTENING: f64 = 0.95;

impl Geometry for FlatDipole {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        legs(site, [self.length_m / 2.0; 2], self.height_m, self.height_m)
    }

    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        (level_form(freq_mhz, self.length_m, self.height_m, azimuth_deg), 1.0)
    }
}

impl Geometry for InvertedV {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        legs(site, [self.length_m / 2.0; 2], self.apex_height_m, self.end_height_m)
    }

    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let height_m = current_height_m(self.apex_height_m, self.end_height_m);
        (level_form(freq_mhz, self.length_m, height_m, azimuth_deg), 1.0)
    }
}

impl Geometry for LinkedDipole {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        linked(site, &self.leg_lengths_m, self.apex_height_m, self.end_height_m)
    }

    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let height_m = current_height_m(self.apex_height_m, self.end_height_m);
        (
            level_form(freq_mhz, wavelength_m(freq_mhz) / 2.0, height_m, azimuth_deg),
            1.0,
        )
    }
}

/// A level wire as a closed form, brought into the range of that form.
pub(super) fn level_form(freq_mhz: f64, length_m: f64, height_m: f64, azimuth_deg: f64) -> Declared {
    let wavelength_m = wavelength_m(freq_mhz);
    Declared::FlatDipole {
        length_m: length_m.clamp(0.05 * wavelength_m, 2.9 * wavelength_m),
        height_m: height_m.max(0.1),
        wire_azimuth_deg: azimuth_deg,
    }
}

/// Two thirds of the way up, metres: where the current of a sloping half wave flows (a judgement).
pub(super) fn current_height_m(high_m: f64, low_m: f64) -> f64 {
    low_m + 2.0 / 3.0 * (high_m - low_m)
}

/// Points of one leg: where it starts beside the feed, and where it ends.
struct Leg {
    start_m: Vec3,
    dir: Vec3,
}

fn leg(side: f64, leg_m: f64, apex_m: f64, end_m: f64) -> Result<Leg, AntennaError> {
    let free_m = leg_m - FEED_PIECE_M / 2.0;
    let drop_m = apex_m - end_m;
    if free_m <= 0.1 || drop_m.abs() >= free_m {
        return Err(AntennaError::Template(format!(
            "a leg of {leg_m} m cannot reach from {apex_m} m down to {end_m} m; lengthen it or bring the heights together"
        )));
    }
    let across_m = (free_m * free_m - drop_m * drop_m).sqrt();
    let start_m = [side * FEED_PIECE_M / 2.0, 0.0, apex_m];
    Ok(Leg {
        start_m,
        dir: scale([side * across_m, 0.0, -drop_m], 1.0 / free_m),
    })
}

/// Two legs from an apex to ends of one height.
fn legs(site: &Site, legs_m: [f64; 2], apex_m: f64, end_m: f64) -> Result<Built, AntennaError> {
    let (left, right) = (
        leg(-1.0, legs_m[0], apex_m, end_m)?,
        leg(1.0, legs_m[1], apex_m, end_m)?,
    );
    let tip = |l: &Leg, leg_m: f64| along(l.start_m, leg_m - FEED_PIECE_M / 2.0, l.dir);
    let (far_left, far_right) = (tip(&left, legs_m[0]), tip(&right, legs_m[1]));
    let wires = vec![
        site.wire(left.start_m, right.start_m),
        site.wire(left.start_m, far_left),
        site.wire(right.start_m, far_right),
    ];
    let mut drawing = Drawing::default();
    if (apex_m - end_m).abs() > 0.3 {
        drawing.support([0.0, 0.0, apex_m], "mast");
    }
    drawing.support(far_left, "cord");
    drawing.support(far_right, "cord");
    drawing.measure(left.start_m, far_left, legs_m[0]);
    drawing.measure(right.start_m, far_right, legs_m[1]);
    drawing.height([0.0, 0.0, apex_m]);
    Ok(Built {
        antenna: site.antenna(wires, 0, Vec::new()),
        feeding: Feeding::Direct,
        notes: Vec::new(),
        drawing,
    })
}

/// The leg nearest to a quarter wave is connected; the rest of the wire hangs on behind an open link.
fn linked(site: &Site, legs_m: &[f64], apex_m: f64, end_m: f64) -> Result<Built, AntennaError> {
    let whole_m = legs_m.iter().copied().fold(0.0, f64::max);
    let aim_m = SHORTENING * wavelength_m(site.freq_mhz) / 4.0;
    let used_m = legs_m
        .iter()
        .copied()
        .min_by(|a, b| (a - aim_m).abs().total_cmp(&(b - aim_m).abs()))
        .ok_or_else(|| AntennaError::Template("a linked dipole needs at least one leg length".into()))?;
    let mut built = legs(site, [whole_m; 2], apex_m, end_m)?;
    let rest_m = whole_m - used_m - LINK_GAP_M;
    if rest_m > LINK_GAP_M {
        let ends: Vec<(Vec3, Vec3)> = built.antenna.wires[1..].iter().map(|w| (w.p1_m, w.p2_m)).collect();
        for (index, (start, tip)) in ends.into_iter().enumerate() {
            let length_m = norm(sub(tip, start));
            let dir = scale(sub(tip, start), 1.0 / length_m);
            let open = along(start, used_m - FEED_PIECE_M / 2.0, dir);
            built.antenna.wires[index + 1] = site.wire(start, open);
            built.antenna.wires.push(site.wire(along(open, LINK_GAP_M, dir), tip));
            built.drawing.measure(start, open, used_m);
        }
        built.notes.push(format!(
            "links at {used_m} m are open; the {rest_m:.1} m of wire behind each still hang there and are in the model"
        ));
    } else {
        built.notes.push(format!("all links are closed: legs of {used_m} m"));
    }
    Ok(built)
}
