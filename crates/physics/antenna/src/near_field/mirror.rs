//! Planes in which an antenna mirrors itself: fields on one side tell those on the other. Every antenna that hangs in one upright
//! plane has one, a dipole that is fed in its middle has two.

use std::collections::HashMap;

use crate::C64;
use crate::near_field::NearField;
use crate::solve::Currents;
use crate::vec3::Vec3;

/// Places that are this close are one, metres: far below any distance at which fields are wanted.
const SAME_M: f64 = 1e-6;
/// Currents that differ by less than this are mirrored (dimensionless, of all currents together).
const SAME_CURRENT: f64 = 1e-6;

/// For the planes x = 0 and y = 0: how mirrored currents flow (1 along, -1 against the image); none where nothing is mirrored.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Mirrors([Option<f64>; 2]);

/// A place as a whole number of [`SAME_M`].
pub(super) fn place(point_m: Vec3) -> [i64; 3] {
    point_m.map(|c| (c / SAME_M).round() as i64)
}

fn image(mut v: Vec3, axis: usize) -> Vec3 {
    v[axis] = -v[axis];
    v
}

impl Mirrors {
    /// The planes of solved currents. What counts is what flows: loads and sources need not be looked at.
    pub(super) fn of(currents: &Currents) -> Self {
        Self([0, 1].map(|axis| sign(currents, axis)))
    }

    /// The place on the side that is worked out, and which planes lie between.
    pub(super) fn folded(self, point_m: Vec3) -> (Vec3, [bool; 2]) {
        let turned = [0, 1].map(|axis| self.0[axis].is_some() && point_m[axis] < 0.0);
        let fold = |p: Vec3, axis: usize| if turned[axis] { image(p, axis) } else { p };
        ([0, 1].into_iter().fold(point_m, fold), turned)
    }

    /// The field at a place from that on the side that was worked out. The electric field is mirrored as the currents are; the magnetic
    /// one turns around a current, so that its image turns the other way (the curl of a mirrored vector potential).
    pub(super) fn unfolded(self, field: NearField, point_m: Vec3, turned: [bool; 2]) -> NearField {
        let mut told = NearField { point_m, ..field };
        for axis in [0, 1].into_iter().filter(|axis| turned[*axis]) {
            let flow = self.0[axis].unwrap_or(1.0);
            for component in 0..3 {
                let along = if component == axis { -flow } else { flow };
                told.e_v_per_m[component] *= along;
                told.h_a_per_m[component] *= -along;
            }
        }
        told
    }
}

/// How the currents flow behind the plane through the origin across an axis; none where they are not mirrored.
fn sign(currents: &Currents, axis: usize) -> Option<f64> {
    let segments = &currents.mesh.segments;
    let ends = |n: usize| [0.0, 1.0].map(|at| place(segments[n].point_m(at)));
    let by_ends: HashMap<[[i64; 3]; 2], usize> = (0..segments.len()).map(|n| (ends(n), n)).collect();
    let (mut all, mut along, mut against) = (0.0, 0.0, 0.0);
    for (segment, flows) in segments.iter().zip(&currents.ends_a) {
        let [from, to] = [0.0, 1.0].map(|at| place(image(segment.point_m(at), axis)));
        let same = by_ends.get(&[from, to]).map(|n| (*n, [0, 1]));
        let (other, order) = same.or_else(|| by_ends.get(&[to, from]).map(|n| (*n, [1, 0])))?;
        let there = image(segment.dir, axis);
        for (end, other_end) in order.into_iter().enumerate() {
            for (own, behind) in there.into_iter().zip(segments[other].dir) {
                let mirrored: C64 = flows[end] * own;
                let found: C64 = currents.ends_a[other][other_end] * behind;
                all += mirrored.norm_sqr();
                along += (found - mirrored).norm_sqr();
                against += (found + mirrored).norm_sqr();
            }
        }
    }
    let least = SAME_CURRENT * SAME_CURRENT * all;
    [(along, 1.0), (against, -1.0)]
        .into_iter()
        .find(|(apart, _)| *apart <= least)
        .map(|(_, sign)| sign)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near_field::near_fields;
    use crate::solve::solve;
    use crate::{Antenna, Conductor, Ground, Source, Wire};

    /// An inverted V of 20 m, its middle over the origin, fed where the wire says.
    fn vee(fed: f64) -> Currents {
        let wire = |from, to| Wire::new(from, to, 0.001, Conductor::COPPER);
        let antenna = Antenna {
            wires: vec![
                wire([-8.0, 0.0, 1.5], [-0.2, 0.0, 7.0]),
                wire([-0.2, 0.0, 7.0], [0.2, 0.0, 7.0]),
                wire([0.2, 0.0, 7.0], [8.0, 0.0, 1.5]),
            ],
            sources: vec![Source {
                position: fed,
                ..Source::middle_of(if fed == 0.5 { 1 } else { 0 })
            }],
            loads: Vec::new(),
            ground: Ground::Real {
                eps_r: 13.0,
                sigma_s_per_m: 0.005,
            },
        };
        solve(&antenna, 7.1).unwrap()
    }

    #[test]
    fn a_dipole_fed_in_the_middle_has_two_planes_and_one_fed_elsewhere_one() {
        // Along the wire the current flows on: behind x = 0 it runs against its image.
        assert_eq!(Mirrors::of(&vee(0.5)), Mirrors([Some(-1.0), Some(1.0)]));
        assert_eq!(Mirrors::of(&vee(0.2)), Mirrors([None, Some(1.0)]));
    }

    #[test]
    fn fields_of_four_sides_are_those_that_are_worked_out_there() {
        let currents = vee(0.5);
        let first = [2.1, 0.7, 1.1];
        let sides = [[-2.1, 0.7, 1.1], [2.1, -0.7, 1.1], [-2.1, -0.7, 1.1]];
        let folded = near_fields(&currents, &[&[first], sides.as_slice()].concat(), 1.0);
        // A place that no plane maps on another is worked out where it is: shifted by less than a wire's thickness.
        let nowhere = Mirrors([None, None]);
        for side in &folded {
            let alone = crate::near_field::worked_out(&currents, &[side.point_m], 1.0, nowhere);
            for i in 0..3 {
                let (e, h) = (side.e_v_per_m[i], side.h_a_per_m[i]);
                assert!(
                    (e - alone[0].e_v_per_m[i]).norm() < 1e-6 * side.e_total_v_per_m(),
                    "{i} at {:?}",
                    side.point_m
                );
                assert!(
                    (h - alone[0].h_a_per_m[i]).norm() < 1e-6 * side.h_total_a_per_m(),
                    "{i} at {:?}",
                    side.point_m
                );
            }
        }
    }
}
