//! Loops: small and tuned, level, and delta.

use farhop_num::maths;
use std::f64::consts::PI;

use farhop_gear::antenna::{DeltaLoop, HorizontalLoop, SmallLoop};
use num_complex::Complex;

use super::dipoles::{current_height_m, level_form};
use super::tuning::Curve;
use super::{Built, Drawing, Feeding, Geometry, Material, Site};
use crate::declared::Declared;
use crate::error::AntennaError;
use crate::geometry::{Circuit, Load, Wire};
use crate::vec3::Vec3;
use farhop_num::constants::omega_rad_per_s;
use farhop_num::constants::wavelength_m;

/// Sides of the polygon that stands for a circle of equal perimeter.
const SIDES: u32 = 12;
/// Distance of neighbouring turns in conductor diameters (dimensionless; common practice).
const TURN_SPACING: f64 = 3.0;

impl Geometry for SmallLoop {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        small(self, site)
    }

    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let efficiency = small_loop_efficiency(self, freq_mhz);
        let form = Declared::SmallLoop {
            height_m: self.height_m + self.diameter_m / 2.0,
            plane_azimuth_deg: azimuth_deg,
            efficiency,
        };
        (form, efficiency)
    }
}

impl Geometry for HorizontalLoop {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        Ok(horizontal(site, self.perimeter_m, self.height_m))
    }

    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let half_wave_m = wavelength_m(freq_mhz) / 2.0;
        (level_form(freq_mhz, half_wave_m, self.height_m, azimuth_deg), 1.0)
    }
}

impl Geometry for DeltaLoop {
    fn build(&self, site: &Site) -> Result<Built, AntennaError> {
        delta(site, self.perimeter_m, self.apex_height_m, self.base_height_m)
    }

    fn closed_form(&self, freq_mhz: f64, azimuth_deg: f64) -> (Declared, f64) {
        let height_m = current_height_m(self.apex_height_m, self.base_height_m);
        (
            level_form(freq_mhz, wavelength_m(freq_mhz) / 2.0, height_m, azimuth_deg),
            1.0,
        )
    }
}

/// Efficiency of a small transmitting loop of about a metre (dimensionless; common practice: a few percent on 40 m, rising
/// with the fourth power of frequency until conductor loss no longer leads; from memory).
fn small_loop_efficiency(own: &SmallLoop, freq_mhz: f64) -> f64 {
    let (diameter_m, turns) = (own.diameter_m, f64::from(own.turns));
    let wavelength_m = 299.792_458 / freq_mhz;
    let area_m2 = PI * diameter_m * diameter_m / 4.0 * turns;
    // 31 171 (N A / λ²)² (Kraus, Antennas: radiation resistance of a small loop).
    let radiation_ohm = 31_171.0 * (area_m2 / (wavelength_m * wavelength_m)).powi(2);
    // Skin effect in copper, 5.8e7 S/m: Rs = sqrt(π f μ0 / σ); resistance Rs × length / circumference of the conductor.
    let surface_ohm = (PI * freq_mhz * 1e6 * 4e-7 * PI / 5.8e7).sqrt();
    let length_m = PI * diameter_m * turns;
    let loss_ohm = surface_ohm * length_m / (PI * own.conductor_diameter_mm * 1e-3);
    radiation_ohm / (radiation_ohm + loss_ohm)
}

fn small(own: &SmallLoop, site: &Site) -> Result<Built, AntennaError> {
    let SmallLoop {
        diameter_m,
        turns,
        conductor_diameter_mm,
        height_m,
        capacitor_min_pf,
        capacitor_max_pf,
        capacitor_q,
    } = *own;
    let tube = Site {
        material: Material {
            radius_m: conductor_diameter_mm / 2000.0,
            ..site.material
        },
        ..*site
    };
    let (wires, capacitor) = coil(&tube, diameter_m, turns, height_m);
    let mut drawing = Drawing::default();
    let (bottom, top) = ([0.0, 0.0, height_m], [0.0, 0.0, height_m + diameter_m]);
    drawing.support(bottom, "stand");
    drawing.measure(bottom, top, diameter_m);
    let mut built = Built {
        antenna: tube.antenna(wires, 0, Vec::new()),
        feeding: Feeding::CouplingLoop,
        notes: vec!["the loop is fed in the middle of its lowest side; a coupling loop brings that to the line".into()],
        drawing,
    };
    tune(
        &mut built,
        site.freq_mhz,
        capacitor,
        (capacitor_min_pf, capacitor_max_pf, capacitor_q),
    )?;
    Ok(built)
}

/// The turns as a polygon in the x-z plane, climbing along y; gives the wires (the first is the lowest side) and the wire
/// that holds the capacitor.
fn coil(site: &Site, diameter_m: f64, turns: u32, height_m: f64) -> (Vec<Wire>, usize) {
    let step = 2.0 * PI / f64::from(SIDES);
    // Radius of the corners so that the perimeter is that of the circle.
    let radius_m = diameter_m / 2.0 * (step / 2.0) / maths::sin(step / 2.0);
    let centre_m = height_m + radius_m * maths::cos(step / 2.0);
    let pitch_m = TURN_SPACING * 2.0 * site.material.radius_m;
    let corner = |index: u32, y_m: f64| -> Vec3 {
        let angle = -PI / 2.0 + (f64::from(index) - 0.5) * step;
        [
            radius_m * maths::cos(angle),
            y_m,
            centre_m + radius_m * maths::sin(angle),
        ]
    };
    if turns == 1 {
        let wires: Vec<Wire> = (0..SIDES)
            .map(|i| site.wire(corner(i, 0.0), corner(i + 1, 0.0)))
            .collect();
        return (wires, (SIDES / 2) as usize);
    }
    // Starts and ends at the top, half a turn before and after the lowest sides, and closes inside the turns.
    let half = SIDES / 2;
    let sides = turns * SIDES;
    let climb = |i: u32| pitch_m * f64::from(i) / f64::from(SIDES);
    let point = |i: u32| corner(half + 1 + i, climb(i));
    let mut wires: Vec<Wire> = (0..sides).map(|i| site.wire(point(i), point(i + 1))).collect();
    let inward = |p: Vec3| [p[0] * 0.85, p[1], centre_m + (p[2] - centre_m) * 0.85];
    let (first, last) = (point(0), point(sides));
    let capacitor = wires.len() + 1;
    wires.push(site.wire(last, inward(last)));
    wires.push(site.wire(inward(last), inward(first)));
    wires.push(site.wire(inward(first), first));
    // The feed is the lowest side of the first turn; it comes first in the list.
    let lowest = (half - 1) as usize;
    wires.swap(0, lowest);
    (wires, capacitor)
}

/// The capacitor that tunes the loop, if the range allows.
fn tune(
    built: &mut Built,
    freq_mhz: f64,
    wire: usize,
    (min_pf, max_pf, q): (f64, f64, f64),
) -> Result<(), AntennaError> {
    let omega = omega_rad_per_s(freq_mhz);
    let curve = Curve::new(&built.antenna, wire, freq_mhz)?;
    let load = |ohm: f64| Complex::new(ohm / q, -ohm);
    let found = curve.resonances_ohm(load, (1.0, 4000.0));
    let best = found.into_iter().min_by(|a, b| {
        let r = |x: f64| curve.impedance_ohm(load(x)).re;
        r(*a).total_cmp(&r(*b))
    });
    let wanted_pf = best.map(|ohm| 1e12 / (omega * ohm));
    let pf = match wanted_pf {
        Some(pf) if (min_pf..=max_pf).contains(&pf) => {
            built.notes.push(format!("capacitor tuned to {pf:.1} pF"));
            pf
        }
        Some(pf) => {
            let nearest = pf.clamp(min_pf.max(0.1), max_pf);
            built.notes.push(format!(
                "resonance needs {pf:.1} pF, outside {min_pf} to {max_pf} pF; the loop is off tune at {nearest:.1} pF"
            ));
            nearest
        }
        None => {
            built
                .notes
                .push("no capacitor tunes this loop here: it is too large for the frequency".into());
            min_pf.max(0.1)
        }
    };
    built.antenna.loads.push(Load {
        wire,
        position: 0.5,
        circuit: Circuit::Capacitor { c_f: pf * 1e-12, q },
    });
    Ok(())
}

/// Level square loop, the fed side along x.
fn horizontal(site: &Site, perimeter_m: f64, height_m: f64) -> Built {
    let h = perimeter_m / 8.0;
    let corners = [
        [-h, -h, height_m],
        [h, -h, height_m],
        [h, h, height_m],
        [-h, h, height_m],
    ];
    ring(site, &corners, perimeter_m)
}

/// Upright triangle with a level base along x.
fn delta(site: &Site, perimeter_m: f64, apex_m: f64, base_m: f64) -> Result<Built, AntennaError> {
    let rise_m = apex_m - base_m;
    // Base b and sides s: b + 2 s = p, s² = (b/2)² + rise².
    let half_m = (perimeter_m / 2.0).powi(2) - rise_m * rise_m;
    let half_m = half_m / perimeter_m;
    if rise_m <= 0.0 || half_m <= 0.3 {
        return Err(AntennaError::Template(format!(
            "{perimeter_m} m of wire do not make a triangle {rise_m:.1} m high; lower the apex or use more wire"
        )));
    }
    let corners = [[-half_m, 0.0, base_m], [half_m, 0.0, base_m], [0.0, 0.0, apex_m]];
    Ok(ring(site, &corners, perimeter_m))
}

/// Wires around the corners; the first side is fed in a short piece in its middle.
fn ring(site: &Site, corners: &[Vec3], perimeter_m: f64) -> Built {
    let (a, b) = (corners[0], corners[1]);
    let piece = 0.1f64.min((b[0] - a[0]) / 6.0);
    let middle = 0.5 * (a[0] + b[0]);
    let (left, right) = ([middle - piece, a[1], a[2]], [middle + piece, a[1], a[2]]);
    let mut wires = vec![site.wire(left, right), site.wire(a, left), site.wire(right, b)];
    let mut drawing = Drawing::default();
    for (i, corner) in corners.iter().enumerate() {
        let next = corners[(i + 1) % corners.len()];
        if i > 0 {
            wires.push(site.wire(*corner, next));
        }
        drawing.support(*corner, "cord");
        let length_m = crate::vec3::norm(crate::vec3::sub(next, *corner));
        drawing.measure(*corner, next, length_m);
    }
    drawing.height(corners[corners.len() - 1]);
    Built {
        antenna: site.antenna(wires, 0, Vec::new()),
        feeding: Feeding::Direct,
        notes: vec![format!(
            "{perimeter_m} m of wire around {} corners, fed in the middle of a side",
            corners.len()
        )],
        drawing,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_gear::antenna::Example;

    #[test]
    fn a_metre_loop_radiates_a_few_percent_on_forty_metres() {
        // Validation: reference small-loop case 1 m, 10 mm copper in free space: 0.115 at 7.1 MHz by the same formula with
        // its own conductor; here only the order and the growth with frequency are held.
        let low = small_loop_efficiency(&SmallLoop::example(), 7.1);
        let high = small_loop_efficiency(&SmallLoop::example(), 14.1);
        assert!((0.03..0.2).contains(&low), "{low}");
        assert!(high > 3.0 * low);
    }
}
