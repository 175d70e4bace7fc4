//! Verticals and whips.

use farhop_gear::antenna::{Loading, Vertical, Whip};
use farhop_num::maths;
use num_complex::Complex;

use super::tuning::Curve;
use super::{Built, Drawing, Feeding, Geometry, LYING_HEIGHT_M, Site, check_numbers};
use crate::declared::Declared;
use crate::error::AntennaError;
use crate::geometry::{Circuit, Load, Segments, Wire};
use crate::solve::solve;
use crate::vec3::{Vec3, along};
use farhop_num::constants::omega_rad_per_s;
use farhop_num::constants::wavelength_m;

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
            let (sin, cos) = maths::sin_cos(2.0 * std::f64::consts::PI * f64::from(i) / f64::from(count));
            site.wire(foot, along(foot, length_m, [cos, sin, 0.0]))
        })
        .collect()
}

impl Geometry for Vertical {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        vertical(self, site)
    }

    fn closed_form(&self, freq_mhz: f64, _azimuth_deg: f64) -> (Declared, f64) {
        upright_form(self.length_m, freq_mhz)
    }
}

impl Geometry for Whip {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        whip(self, site)
    }

    /// A coil takes three tenths of the power (a judgement).
    fn closed_form(&self, freq_mhz: f64, _azimuth_deg: f64) -> (Declared, f64) {
        let coil = if self.loading == Loading::None { 1.0 } else { 0.7 };
        let (form, efficiency) = upright_form(self.length_m + self.mast_m, freq_mhz);
        (form, efficiency * coil)
    }
}

fn upright_form(length_m: f64, freq_mhz: f64) -> (Declared, f64) {
    let efficiency = upright_efficiency(length_m, freq_mhz);
    let form = Declared::ShortVertical {
        length_m: length_m.min(0.6 * wavelength_m(freq_mhz)),
        efficiency,
    };
    (form, efficiency)
}

/// Efficiency of a short vertical on a field counterpoise (dimensionless): radiation resistance `40 π² (h/λ)²` (Kraus)
/// against 30 ohm of ground and coil loss (common practice; from memory).
fn upright_efficiency(length_m: f64, freq_mhz: f64) -> f64 {
    let electrical = (length_m * freq_mhz / 299.792_458).min(0.25);
    let radiation_ohm = 40.0 * (std::f64::consts::PI * electrical).powi(2);
    radiation_ohm / (radiation_ohm + 30.0)
}

/// Upright radiator over radials.
fn vertical(own: &Vertical, site: &Site) -> Result<Built, AntennaError> {
    let Vertical {
        length_m,
        base_height_m: base_m,
        radials,
        radial_m,
    } = *own;
    if length_m <= 2.0 * FEED_PIECE_M {
        return Err(AntennaError::Template(
            "a vertical needs more than 0.4 m of length".into(),
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

fn whip(own: &Whip, site: &Site) -> Result<Built, AntennaError> {
    let Whip {
        length_m,
        mast_m,
        loading,
        coil_uh,
        coil_q,
        lean_deg,
        lean_toward_deg,
        counterpoises,
        counterpoise_m,
        counterpoise_height_m,
    } = *own;
    let whole_m = length_m + mast_m;
    if whole_m <= 3.0 * FEED_PIECE_M {
        return Err(AntennaError::Template("a whip needs more than 0.6 m of length".into()));
    }
    let foot = [0.0, 0.0, site.lifted(counterpoise_height_m)];
    let (sin_lean, cos_lean) = maths::sin_cos(lean_deg.to_radians());
    // The first counterpoise is the x axis; azimuths count against the clock.
    let (sin_az, cos_az) = maths::sin_cos((-lean_toward_deg).to_radians());
    let dir = [sin_lean * cos_az, sin_lean * sin_az, cos_lean];
    let at = |distance_m: f64| along(foot, distance_m, dir);
    let mut wires = vec![site.wire(foot, at(FEED_PIECE_M))];
    let middle_m = mast_m + 0.5 * length_m;
    let coil_wire = match loading {
        Loading::Centre => {
            let (low, high) = (middle_m - COIL_PIECE_M / 2.0, middle_m + COIL_PIECE_M / 2.0);
            wires.push(site.wire(at(FEED_PIECE_M), at(low)));
            wires.push(site.wire(at(low), at(high)));
            wires.push(site.wire(at(high), at(whole_m)));
            // One segment: the coil stands for the whole piece.
            wires[2].segments = Segments::Exactly(1);
            2
        }
        Loading::None | Loading::Base => {
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
    if loading != Loading::None {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_vertical_wastes_most_of_its_power() {
        assert!(upright_efficiency(3.0, 3.6) < 0.05);
        assert!((upright_efficiency(21.0, 3.6) - 0.45).abs() < 0.1);
    }
}
