//! Even stars: upright wires on one axis, and equal wires evenly around it. Turned by one wire such an antenna is itself, so that all of
//! them carry the same current, and one of them stands for all.

use crate::geometry::basis::Basis;
use crate::geometry::mesh::Mesh;
use crate::geometry::wire::{Antenna, Wire};
use crate::vec3::{Vec3, norm, sub};
use farhop_num::maths;

/// Fewer wires around are solved like any others.
const LEAST_AROUND: usize = 3;
/// Lengths that differ by less are the same, metres.
const SAME_M: f64 = 1e-6;

/// Which wires stand on the axis and which are around it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Star {
    /// Wires on the axis.
    pub axis: Vec<usize>,
    /// Wires around it, in the order of their bearings, counted from the first of them.
    pub around: Vec<usize>,
}

/// The functions of a star that carry the same current.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Orbits {
    /// For each function, the number of its orbit.
    pub of: Vec<usize>,
    /// One function of each orbit.
    pub chosen: Vec<usize>,
}

impl Orbits {
    /// So many functions, each for itself.
    #[must_use]
    pub fn single(count: usize) -> Self {
        let each: Vec<usize> = (0..count).collect();
        Self {
            of: each.clone(),
            chosen: each,
        }
    }
}

impl Star {
    /// The star that an antenna is, if it is one: fed and loaded on its axis only.
    #[must_use]
    pub fn of(antenna: &Antenna) -> Option<Self> {
        let upright = |w: &Wire| maths::hypot(w.p1_m[0] - w.p2_m[0], w.p1_m[1] - w.p2_m[1]) < SAME_M;
        let (axis, around): (Vec<usize>, Vec<usize>) =
            (0..antenna.wires.len()).partition(|&i| upright(&antenna.wires[i]));
        let (&first, &pattern) = (axis.first()?, around.first()?);
        // The axis comes first, so that what flows into the star is counted from it.
        if around.len() < LEAST_AROUND || first != 0 {
            return None;
        }
        let (foot, model) = (antenna.wires[pattern].p1_m, &antenna.wires[pattern]);
        let on_axis = |p: Vec3| maths::hypot(p[0] - foot[0], p[1] - foot[1]) < SAME_M;
        let axis_fits = axis
            .iter()
            .all(|&i| on_axis(antenna.wires[i].p1_m) && on_axis(antenna.wires[i].p2_m));
        let fed_on_axis = antenna.sources.iter().all(|s| axis.contains(&s.wire));
        let loaded_on_axis = antenna.loads.iter().all(|l| axis.contains(&l.wire));
        let like = |w: &Wire| {
            norm(sub(w.p1_m, foot)) < SAME_M
                && (w.p2_m[2] - model.p2_m[2]).abs() < SAME_M
                && (w.length_m() - model.length_m()).abs() < SAME_M
                && (w.radius_m - model.radius_m).abs() < 1e-9
                && w.conductor == model.conductor
                && w.segments == model.segments
        };
        let alike = around.iter().all(|&i| like(&antenna.wires[i]));
        if !(axis_fits && fed_on_axis && loaded_on_axis && alike) {
            return None;
        }
        let bearing = |i: usize| maths::atan2(antenna.wires[i].p2_m[1] - foot[1], antenna.wires[i].p2_m[0] - foot[0]);
        let from_first = |i: usize| {
            let turn = (bearing(i) - bearing(pattern)).rem_euclid(std::f64::consts::TAU);
            // Rounding must not make the first the last.
            if turn > std::f64::consts::TAU - 1e-9 { 0.0 } else { turn }
        };
        let mut around = around;
        around.sort_by(|&a, &b| from_first(a).total_cmp(&from_first(b)));
        let step = std::f64::consts::TAU / around.len() as f64;
        let even = around
            .iter()
            .enumerate()
            .all(|(k, &i)| (from_first(i) - step * k as f64).abs() < 1e-6);
        even.then_some(Self { axis, around })
    }

    /// Wires that have to be looked from: the axis and the first of the others.
    pub fn chosen(&self) -> impl Iterator<Item = usize> {
        self.axis.iter().copied().chain(self.around.first().copied())
    }

    /// Wires that have to be looked at from one of the chosen, each with how many it stands for: from the axis all others look alike,
    /// from one of the others those on both sides of it do.
    #[must_use]
    pub(crate) fn seen_from(&self, wire: usize) -> Vec<(usize, f64)> {
        let count = self.around.len();
        let axis = self.axis.iter().map(|&w| (w, 1.0));
        if self.axis.contains(&wire) {
            return axis.chain(self.around.first().map(|&w| (w, count as f64))).collect();
        }
        let twin = |k: usize| if k == 0 || 2 * k == count { 1.0 } else { 2.0 };
        let around = (0..=count / 2).map(|k| (self.around[k], twin(k)));
        axis.chain(around).collect()
    }

    /// The functions that carry the same current; none where they do not fall into orbits as they should.
    #[must_use]
    pub(crate) fn orbits(&self, mesh: &Mesh, basis: &Basis) -> Option<Orbits> {
        let first = mesh.wires.get(*self.around.first()?)?.0;
        let folded = |segment: usize| {
            let wire = mesh.segments[segment].wire;
            let around = self.around.contains(&wire);
            if around {
                first + segment - mesh.wires[wire].0
            } else {
                segment
            }
        };
        let mut keys = std::collections::HashMap::new();
        let (mut of, mut chosen, mut sizes) = (Vec::new(), Vec::new(), Vec::new());
        for (index, halves) in basis.functions.iter().enumerate() {
            let key: Vec<(usize, usize, bool)> = halves
                .iter()
                .map(|h| (folded(h.segment), h.end, h.sign > 0.0))
                .collect();
            let orbit = *keys.entry(key).or_insert(chosen.len());
            if orbit == chosen.len() {
                chosen.push(index);
                sizes.push(0_usize);
            }
            sizes[orbit] += 1;
            of.push(orbit);
        }
        let touches = |index: usize| {
            let halves = basis.functions[index].iter();
            halves
                .filter(|h| self.around.contains(&mesh.segments[h.segment].wire))
                .count()
        };
        let on_first = |index: usize| {
            basis.functions[index].iter().all(|h| {
                let wire = mesh.segments[h.segment].wire;
                self.axis.contains(&wire) || Some(&wire) == self.around.first()
            })
        };
        let whole = chosen.iter().zip(&sizes).all(|(&index, &size)| {
            let expected = if touches(index) > 0 { self.around.len() } else { 1 };
            size == expected && on_first(index)
        });
        whole.then_some(Orbits { of, chosen })
    }
}
