//! Verticals and whips.

use num_complex::Complex;

use super::tuning::Curve;
use super::{Built, CoilPlace, Drawing, Feeding, LYING_HEIGHT_M, Site, Template, check_numbers};
use crate::error::AntennaError;
use crate::geometry::{Circuit, Load, Segments, Wire};
use crate::solve::solve;
use crate::vec3::{Vec3, along};
use farhop_num::constants::omega_rad_per_s;

/// Length of the piece at the foot that holds the feed, metres.
const FEED_PIECE_M: f64 = 0.2;
/// Length of the piece that holds a coil in the middle, metres.
const COIL_PIECE_M: f64 = 0.2;
/// Largest coil that is tried, ohm of reactance.
const MOST_COIL_OHM: f64 = 6000.0;

/// Level wires from the foot, evenly around, the first along x.
fn star(site: &Site, foot: Vec3, count: u32, length_m: f64) -> Vec<Wire> {
    (0..count)
        .map(|i| {
            let (sin, cos) = (2.0 * std::f64::consts::PI * f64::from(i) / f64::from(count)).sin_cos();
            site.wire(foot, along(foot, length_m, [cos, sin, 0.0]))
        })
        .collect()
}

/// Upright radiator over radials.
pub(super) fn vertical(
    site: &Site,
    length_m: f64,
    base_m: f64,
    (radials, radial_m): (u32, f64),
) -> Result<Built, AntennaError> {
    check_numbers(&[("the length in metres", length_m), ("the radials in metres", radial_m)])?;
    if radials == 0 || length_m <= 2.0 * FEED_PIECE_M {
        return Err(AntennaError::Template(
            "a vertical needs at least one radial and more than 0.4 m of length".into(),
        ));
    }
    let foot = [0.0, 0.0, site.lifted(base_m)];
    let (knee, top) = (along(foot, FEED_PIECE_M, UP), along(foot, length_m, UP));
    let mut wires = vec![site.wire(foot, knee), site.wire(knee, top)];
    wires.extend(star(site, foot, radials, radial_m));
    let mut drawing = Drawing::default();
    drawing.support(top, "mast or branch");
    drawing.measure(foot, top, length_m);
    drawing.measure(foot, along(foot, radial_m, [1.0, 0.0, 0.0]), radial_m);
    let mut notes = Vec::new();
    if base_m < LYING_HEIGHT_M {
        notes.push(format!(
            "radials on the ground are modelled {LYING_HEIGHT_M} m above it"
        ));
    }
    Ok(Built {
        antenna: site.antenna(wires, 0, Vec::new()),
        feeding: Feeding::Direct,
        notes,
        drawing,
    })
}

const UP: Vec3 = [0.0, 0.0, 1.0];

/// Builds [`Template::Whip`].
pub(super) fn whip(template: &Template, site: &Site) -> Result<Built, AntennaError> {
    let Template::Whip {
        length_m,
        mast_m,
        coil_place,
        coil_uh,
        coil_q,
        lean_deg,
        lean_from_axis_deg,
        counterpoises,
        counterpoise_m,
        counterpoise_height_m,
    } = *template
    else {
        return Err(AntennaError::Template("not a whip".into()));
    };
    check_numbers(&[
        ("the whip in metres", length_m),
        ("the counterpoises in metres", counterpoise_m),
        ("the quality factor of the coil", coil_q),
    ])?;
    let whole_m = length_m + mast_m.max(0.0);
    if counterpoises == 0 || whole_m <= 3.0 * FEED_PIECE_M || !(0.0..=85.0).contains(&lean_deg) {
        return Err(AntennaError::Template(
            "a whip needs at least one counterpoise, more than 0.6 m of length and a lean of 0 to 85 degrees".into(),
        ));
    }
    let foot = [0.0, 0.0, site.lifted(counterpoise_height_m)];
    let (sin_lean, cos_lean) = lean_deg.to_radians().sin_cos();
    let (sin_az, cos_az) = (-lean_from_axis_deg).to_radians().sin_cos();
    let dir = [sin_lean * cos_az, sin_lean * sin_az, cos_lean];
    let at = |distance_m: f64| along(foot, distance_m, dir);
    let mut wires = vec![site.wire(foot, at(FEED_PIECE_M))];
    let middle_m = mast_m.max(0.0) + 0.5 * length_m;
    let coil_wire = match coil_place {
        CoilPlace::Centre => {
            let (low, high) = (middle_m - COIL_PIECE_M / 2.0, middle_m + COIL_PIECE_M / 2.0);
            wires.push(site.wire(at(FEED_PIECE_M), at(low)));
            wires.push(site.wire(at(low), at(high)));
            wires.push(site.wire(at(high), at(whole_m)));
            // One segment: the coil stands for the whole piece.
            wires[2].segments = Segments::Exactly(1);
            2
        }
        CoilPlace::None | CoilPlace::Base => {
            wires.push(site.wire(at(FEED_PIECE_M), at(whole_m)));
            0
        }
    };
    wires.extend(star(site, foot, counterpoises, counterpoise_m));
    let mut drawing = Drawing::default();
    drawing.measure(foot, at(whole_m), whole_m);
    drawing.measure(foot, along(foot, counterpoise_m, [1.0, 0.0, 0.0]), counterpoise_m);
    drawing.height(at(whole_m));
    let mut built = Built {
        antenna: site.antenna(wires, 0, Vec::new()),
        feeding: Feeding::Direct,
        notes: Vec::new(),
        drawing,
    };
    if coil_place != CoilPlace::None {
        add_coil(&mut built, site, coil_wire, (coil_uh, coil_q))?;
    }
    Ok(built)
}

/// The given coil, or the one that tunes the whip.
fn add_coil(
    built: &mut Built,
    site: &Site,
    wire: usize,
    (given_uh, q): (Option<f64>, f64),
) -> Result<(), AntennaError> {
    let omega = omega_rad_per_s(site.freq_mhz);
    let uh = match given_uh {
        Some(uh) => uh,
        None => match tuned_ohm(built, site.freq_mhz, wire, q)? {
            Some(x_ohm) => {
                let uh = x_ohm / omega * 1e6;
                built.notes.push(format!("coil tuned to {uh:.1} µH"));
                uh
            }
            None => {
                built
                    .notes
                    .push("no coil is needed or helps at this frequency; it is left out".into());
                return Ok(());
            }
        },
    };
    check_numbers(&[("the coil in microhenry", uh)])?;
    built.antenna.loads.push(Load {
        wire,
        position: 0.5,
        circuit: Circuit::Coil { l_h: uh * 1e-6, q },
    });
    Ok(())
}

/// The coil reactance that tunes the whip, ohm; none where it is already inductive.
fn tuned_ohm(built: &Built, freq_mhz: f64, wire: usize, q: f64) -> Result<Option<f64>, AntennaError> {
    let bare_ohm = solve(&built.antenna, freq_mhz)?.impedance_ohm();
    if bare_ohm.im >= 0.0 {
        return Ok(None);
    }
    if wire == 0 {
        // At the foot the coil is exactly in series with the feed.
        return Ok(Some(-bare_ohm.im));
    }
    let curve = Curve::new(&built.antenna, wire, freq_mhz)?;
    let found = curve.resonances_ohm(|x| Complex::new(x / q, x), (0.1, MOST_COIL_OHM));
    // The smallest coil: more would tune a higher resonance.
    Ok(found.into_iter().reduce(f64::min))
}
