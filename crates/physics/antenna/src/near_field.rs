//! Electric and magnetic fields at points near the wires.
//!
//! E = -jωA - ∇Φ, H = ∇×A/μ0 from the same kernels as the currents. Potentials are summed from Gauss points on the
//! segments (linear current, constant charge) and differentiated by central differences.

mod mirror;

use std::collections::HashMap;

use farhop_num::maths;
use num_complex::Complex;

use crate::C64;
use crate::geometry::mesh::Segment;
use crate::ground::GroundKernel;
use crate::ground::table::EVERYDAY;
use crate::quadrature::kept;
use crate::solve::Currents;
use crate::solve::moments::green;
use crate::vec3::{Vec3, add, dot, norm, scale, sub};
use farhop_num::constants::{ETA0_OHM, wave_number_rad_per_m};
use mirror::{Mirrors, place};

/// Field at a point for a stated input power; phasors are rms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearField {
    /// The point, metres.
    pub point_m: Vec3,
    /// Electric field, V/m rms, by component.
    pub e_v_per_m: [C64; 3],
    /// Magnetic field, A/m rms, by component.
    pub h_a_per_m: [C64; 3],
}

impl NearField {
    /// Root of the summed squares of the electric components, V/m rms.
    #[must_use]
    pub fn e_total_v_per_m(&self) -> f64 {
        self.e_v_per_m.iter().map(|c| c.norm_sqr()).sum::<f64>().sqrt()
    }

    /// Root of the summed squares of the magnetic components, A/m rms.
    #[must_use]
    pub fn h_total_a_per_m(&self) -> f64 {
        self.h_a_per_m.iter().map(|c| c.norm_sqr()).sum::<f64>().sqrt()
    }

    /// Density of the power flow, W/m², by component (Poynting's vector of rms phasors).
    #[must_use]
    pub fn flow_w_per_m2(&self) -> Vec3 {
        let (e, h) = (&self.e_v_per_m, &self.h_a_per_m);
        [0, 1, 2].map(|i| {
            let (j, l) = ((i + 1) % 3, (i + 2) % 3);
            (e[j] * h[l].conj() - e[l] * h[j].conj()).re
        })
    }
}

/// Scaled potentials: 4πA/μ0 by component, and 4πε0·jω·Φ/k without the front factor.
type Potentials = ([C64; 3], C64);

/// One Gauss point of current and charge.
struct Element {
    at: Vec3,
    /// Current moment by component, A m.
    moment: [C64; 3],
    /// dI/ds times weight: -jω times charge, A.
    outflow: C64,
    radius_m: f64,
}

/// The fields at points (metres, not below the ground) for an input power in W.
#[must_use]
pub fn near_fields(currents: &Currents, points_m: &[Vec3], power_w: f64) -> Vec<NearField> {
    worked_out(currents, points_m, power_w, Mirrors::of(currents))
}

/// The same with each field worked out on one side of the planes that mirror the currents.
fn worked_out(currents: &Currents, points_m: &[Vec3], power_w: f64, mirrors: Mirrors) -> Vec<NearField> {
    let margin = 0.2;
    let around: Vec<Vec3> = points_m
        .iter()
        .flat_map(|&p| [add(p, [margin; 3]), add(p, [-margin, -margin, 0.0])])
        .collect();
    let ground = GroundKernel::new(&currents.mesh, &around, EVERYDAY);
    let rms = (0.5 * power_w / currents.input_w()).sqrt();
    let field = Field {
        currents,
        ground,
        k: wave_number_rad_per_m(currents.mesh.freq_mhz),
    };
    let mut known: HashMap<[i64; 3], NearField> = HashMap::new();
    let one = |&point_m: &Vec3| {
        let (folded_m, turned) = mirrors.folded(point_m);
        let there = known.entry(place(folded_m)).or_insert_with(|| field.at(folded_m, rms));
        mirrors.unfolded(*there, point_m, turned)
    };
    points_m.iter().map(one).collect()
}

/// Scalar potential (V rms, Lorenz gauge, zero on perfect ground) at points in metres for an input power in W.
///
/// On a wire, away from the feed, this is what a hand that stands at ground potential meets before it touches: the wire's charge
/// over its capacitance. Points on a wire's axis are read at its surface.
#[must_use]
pub fn potentials_v(currents: &Currents, points_m: &[Vec3], power_w: f64) -> Vec<f64> {
    let rms = (0.5 * power_w / currents.input_w()).sqrt();
    let k = wave_number_rad_per_m(currents.mesh.freq_mhz);
    let ground = GroundKernel::new(&currents.mesh, points_m, EVERYDAY);
    let field = Field { currents, ground, k };
    let front = ETA0_OHM / (4.0 * std::f64::consts::PI * k);
    let one = |p: &Vec3| maths::norm(field.potential(*p)) * front * rms;
    points_m.iter().map(one).collect()
}

/// Mean of e^(-jkR)/R over a segment, with 1/R in closed form: a wire is much thinner than quadrature points are apart.
fn mean_green(segment: &Segment, point_m: Vec3, k: f64) -> C64 {
    let w = sub(point_m, segment.start_m);
    let (u, length) = (dot(w, segment.dir), segment.length_m);
    let b = (dot(w, w) - u * u + segment.radius_m * segment.radius_m)
        .max(1e-18)
        .sqrt();
    let static_part = ((length - u) / b).asinh() + (u / b).asinh();
    let mut sum = Complex::new(static_part / length, 0.0);
    for &(x, weight) in kept(4) {
        let r = maths::hypot(x * length - u, b);
        sum += (maths::polar(1.0, -k * r) - 1.0) / r * weight;
    }
    sum
}

struct Field<'a> {
    currents: &'a Currents,
    ground: GroundKernel,
    k: f64,
}

impl Field<'_> {
    fn at(&self, point_m: Vec3, rms: f64) -> NearField {
        let elements = self.elements(point_m);
        let step_m = self.step_m(point_m);
        let mut slopes = [([Complex::new(0.0, 0.0); 3], Complex::new(0.0, 0.0)); 3];
        for (axis, slope) in slopes.iter_mut().enumerate() {
            let mut shift = [0.0; 3];
            shift[axis] = step_m;
            // At the ground the lower point would be in it: one-sided to second order there.
            let above = axis == 2 && point_m[2] < step_m && !matches!(self.ground, GroundKernel::None);
            *slope = if above {
                self.slope_up(&elements, point_m, step_m)
            } else {
                let ahead = self.potentials(&elements, add(point_m, shift));
                let behind = self.potentials(&elements, sub(point_m, shift));
                combine(&[(0.5 / step_m, ahead), (-0.5 / step_m, behind)])
            };
        }
        let (a, _) = self.potentials(&elements, point_m);
        let front = Complex::new(0.0, -ETA0_OHM / (4.0 * std::f64::consts::PI));
        // E = -jωA - ∇Φ with Φ ∝ -∫ (∇·J) G/(jωε0).
        let e = [0, 1, 2].map(|i| front * (a[i] * self.k + slopes[i].1 / self.k) * rms);
        let curl = |i: usize| {
            let (j, l) = ((i + 1) % 3, (i + 2) % 3);
            (slopes[j].0[l] - slopes[l].0[j]) * (rms / (4.0 * std::f64::consts::PI))
        };
        NearField {
            point_m,
            e_v_per_m: e,
            h_a_per_m: [curl(0), curl(1), curl(2)],
        }
    }

    fn slope_up(&self, elements: &[Element], p: Vec3, step_m: f64) -> Potentials {
        let at = |n: f64| self.potentials(elements, add(p, [0.0, 0.0, n * step_m]));
        combine(&[
            (-1.5 / step_m, at(0.0)),
            (2.0 / step_m, at(1.0)),
            (-0.5 / step_m, at(2.0)),
        ])
    }

    /// A step small against the distance to the wires.
    fn step_m(&self, point_m: Vec3) -> f64 {
        let nearest = self
            .currents
            .mesh
            .segments
            .iter()
            .map(|s| distance_m(point_m, s.point_m(0.0), s.point_m(1.0)))
            .fold(f64::INFINITY, f64::min);
        (0.03 * nearest).clamp(1e-4, 0.1)
    }

    /// Gauss points, more of them on segments that are near the point.
    fn elements(&self, point_m: Vec3) -> Vec<Element> {
        let mut elements = Vec::new();
        for (segment, ends) in self.currents.mesh.segments.iter().zip(&self.currents.ends_a) {
            let apart = distance_m(point_m, segment.point_m(0.0), segment.point_m(1.0)) / segment.length_m;
            let count = if apart > 3.0 {
                2
            } else {
                ((6.0 / apart.max(0.05)).ceil() as usize).clamp(4, 60)
            };
            for &(x, w) in kept(count) {
                let current = (ends[0] * (1.0 - x) + ends[1] * x) * (w * segment.length_m);
                elements.push(Element {
                    at: segment.point_m(x),
                    moment: segment.dir.map(|d| current * d),
                    outflow: (ends[1] - ends[0]) * w,
                    radius_m: segment.radius_m,
                });
            }
        }
        elements
    }

    fn potentials(&self, elements: &[Element], point_m: Vec3) -> Potentials {
        let mut a = [Complex::new(0.0, 0.0); 3];
        let mut phi = Complex::new(0.0, 0.0);
        let grounded = !matches!(self.ground, GroundKernel::None);
        for e in elements {
            let d = sub(point_m, e.at);
            let g = green(dot(d, d) + e.radius_m * e.radius_m, self.k);
            for (sum, m) in a.iter_mut().zip(e.moment) {
                *sum += g * m;
            }
            // Φ ∝ charge = -outflow/(jω); signs are gathered in `at`.
            phi += g * e.outflow;
            if grounded {
                self.add_reflected(e, point_m, &mut a, &mut phi);
            }
        }
        (a, phi)
    }

    /// The scalar part of the potentials, exact on the wires themselves.
    fn potential(&self, point_m: Vec3) -> C64 {
        let segments = self.currents.mesh.segments.iter().zip(&self.currents.ends_a);
        let mut phi: C64 = segments
            .map(|(s, ends)| (ends[1] - ends[0]) * mean_green(s, point_m, self.k))
            .sum();
        if !matches!(self.ground, GroundKernel::None) {
            let mut a = [Complex::new(0.0, 0.0); 3];
            for e in &self.elements(point_m) {
                self.add_reflected(e, point_m, &mut a, &mut phi);
            }
        }
        phi
    }

    fn add_reflected(&self, e: &Element, point_m: Vec3, a: &mut [C64; 3], phi: &mut C64) {
        let (dx, dy, zeta) = (point_m[0] - e.at[0], point_m[1] - e.at[1], point_m[2] + e.at[2]);
        let rho = maths::hypot(dx, dy);
        let g = green(rho * rho + zeta * zeta, self.k);
        let f = self.ground.at(rho, zeta);
        let (ux, uy) = (dx / rho.max(1e-9), dy / rho.max(1e-9));
        a[0] += g * (f.horizontal * e.moment[0] + f.cross * e.moment[2] * ux);
        a[1] += g * (f.horizontal * e.moment[1] + f.cross * e.moment[2] * uy);
        a[2] += g * (f.vertical * e.moment[2] - f.cross * (e.moment[0] * ux + e.moment[1] * uy));
        *phi += g * f.scalar * e.outflow;
    }
}

fn combine(parts: &[(f64, Potentials)]) -> Potentials {
    let mut sum = ([Complex::new(0.0, 0.0); 3], Complex::new(0.0, 0.0));
    for (weight, (a, phi)) in parts {
        for (s, v) in sum.0.iter_mut().zip(a) {
            *s += v * weight;
        }
        sum.1 += phi * weight;
    }
    sum
}

/// Distance of a point from a straight line of finite length, metres.
fn distance_m(point: Vec3, from: Vec3, to: Vec3) -> f64 {
    let (u, w) = (sub(to, from), sub(point, from));
    let t = (dot(w, u) / dot(u, u)).clamp(0.0, 1.0);
    norm(sub(w, scale(u, t)))
}
