//! The impedance matrix: Galerkin's method on the mixed-potential equation.
//!
//! Z_mn = jη/(4π) Σ [ k ∫∫ f_m·G_A·f_n - (1/k) ∫∫ (∇·f_m) G_Φ (∇·f_n) ], rooftops f (Harrington, Field Computation by
//! Moment Methods; Michalski & Zheng 1990 for the half space).

use farhop_num::maths;
use num_complex::Complex;

use crate::C64;
use crate::geometry::{Basis, Mesh, Orbits, Segment, Star};
use crate::ground::GroundKernel;
use crate::solve::dense::Matrix;
use crate::solve::moments::{
    Closeness, Moments, Rules, TWO_POINTS, closeness, gathered, green, greens, moments, radius_squared_m2,
};
use crate::vec3::{dot, mirrored};
use farhop_num::constants::{ETA0_OHM, wave_number_rad_per_m};

/// Interaction of the four half rooftops of a pair of segments, ohm; first index the observing one.
pub type Block = [[C64; 2]; 2];

/// Everything that the fill needs.
pub struct Fill<'a> {
    /// The segments.
    pub mesh: &'a Mesh,
    /// The rooftops.
    pub basis: &'a Basis,
    /// The ground.
    pub ground: &'a GroundKernel,
    k: f64,
    rules: Rules,
}

impl<'a> Fill<'a> {
    /// Prepares a fill.
    #[must_use]
    pub fn new(mesh: &'a Mesh, basis: &'a Basis, ground: &'a GroundKernel) -> Self {
        Self {
            mesh,
            basis,
            ground,
            k: wave_number_rad_per_m(mesh.freq_mhz),
            rules: Rules::default(),
        }
    }

    /// The matrix in ohm, without wire resistance and loads.
    #[must_use]
    pub fn matrix(&self) -> Matrix {
        let n = self.basis.functions.len();
        let mut z = Matrix::zeros(n);
        for first in 0..self.mesh.wires.len() {
            self.within(first, &mut z);
            for second in first + 1..self.mesh.wires.len() {
                self.between(first, second, &mut z);
            }
        }
        z
    }

    /// The matrix of a star in ohm, one row and column for each orbit, without wire resistance and loads.
    #[must_use]
    pub fn folded(&self, star: &Star, orbits: &Orbits) -> Matrix {
        let n = orbits.chosen.len();
        let mut z = Matrix::zeros(n);
        let grounded = !matches!(self.ground, GroundKernel::None);
        let segments = |wire: usize| {
            let (start, count) = self.mesh.wires[wire];
            start..start + count
        };
        for from in star.chosen() {
            for (to, alike) in star.seen_from(from) {
                for p in segments(from) {
                    for q in segments(to) {
                        let (a, b) = (&self.mesh.segments[p], &self.mesh.segments[q]);
                        let mut block = self.direct(a, b);
                        if grounded {
                            add(&mut block, &self.reflected(a, b));
                        }
                        fold((p, q), &block, alike, (self.basis, orbits), &mut z);
                    }
                }
            }
        }
        z
    }

    /// A wire with itself: the direct part depends on the distance along the wire only, and so does the ground's part
    /// where the wire is level.
    fn within(&self, wire: usize, z: &mut Matrix) {
        let (start, count) = self.mesh.wires[wire];
        let segments = &self.mesh.segments[start..start + count];
        let grounded = !matches!(self.ground, GroundKernel::None);
        let level = segments[0].dir[2].abs() < 1e-9;
        let series: Vec<Block> = segments
            .iter()
            .map(|q| {
                let mut block = self.direct(&segments[0], q);
                if grounded && level {
                    add(&mut block, &self.reflected(&segments[0], q));
                }
                block
            })
            .collect();
        for p in 0..count {
            for q in p..count {
                let mut block = series[q - p];
                if grounded && !level {
                    add(&mut block, &self.reflected(&segments[p], &segments[q]));
                }
                self.scatter(start + p, start + q, &block, z);
            }
        }
    }

    fn between(&self, first: usize, second: usize, z: &mut Matrix) {
        let (start_p, count_p) = self.mesh.wires[first];
        let (start_q, count_q) = self.mesh.wires[second];
        let grounded = !matches!(self.ground, GroundKernel::None);
        for p in start_p..start_p + count_p {
            for q in start_q..start_q + count_q {
                let (a, b) = (&self.mesh.segments[p], &self.mesh.segments[q]);
                let mut block = self.direct(a, b);
                if grounded {
                    add(&mut block, &self.reflected(a, b));
                }
                self.scatter(p, q, &block, z);
            }
        }
    }

    /// Adds a block to the matrix, and its mirror image across the diagonal (reciprocity).
    fn scatter(&self, p: usize, q: usize, block: &Block, z: &mut Matrix) {
        for (i, row) in block.iter().enumerate() {
            for (j, &value) in row.iter().enumerate() {
                for &(m, sign_m) in &self.basis.at_end[p][i] {
                    for &(n, sign_n) in &self.basis.at_end[q][j] {
                        let signed = value * (sign_m * sign_n);
                        z.add((m, n), signed);
                        if p != q {
                            z.add((n, m), signed);
                        }
                    }
                }
            }
        }
    }

    fn direct(&self, p: &Segment, q: &Segment) -> Block {
        let m = moments(p, q, self.k, &self.rules);
        self.block(p, q, &scaled(&m, dot(p.dir, q.dir).into()), sum(&m))
    }

    /// jη/(4π) [k V_ij - s_i s_j P/(k Δ Δ')].
    fn block(&self, p: &Segment, q: &Segment, vector: &Moments, scalar: C64) -> Block {
        let front = Complex::new(0.0, ETA0_OHM / (4.0 * std::f64::consts::PI));
        let charge = scalar / (self.k * p.length_m * q.length_m);
        let mut block = Block::default();
        for i in 0..2 {
            for j in 0..2 {
                let both = if i == j { charge } else { -charge };
                block[i][j] = front * (vector[i][j] * self.k - both);
            }
        }
        block
    }

    /// What the ground adds to a pair.
    fn reflected(&self, p: &Segment, q: &Segment) -> Block {
        let image = Segment {
            start_m: mirrored(q.start_m),
            dir: mirrored(q.dir),
            ..*q
        };
        let level_dot = p.dir[0] * q.dir[0] + p.dir[1] * q.dir[1];
        let upright_dot = p.dir[2] * q.dir[2];
        let near = closeness(p, &image);
        if matches!(self.ground, GroundKernel::Perfect) {
            let m = moments(p, &image, self.k, &self.rules);
            return self.block(p, q, &scaled(&m, (upright_dot - level_dot).into()), -sum(&m));
        }
        let (scalar_image, vertical_image) = self.ground.images();
        if near == Closeness::Far {
            let (vector, scalar) = self.far_reflected(p, q, &image);
            return self.block(p, q, &vector, scalar);
        }
        let taken_out = match near {
            Closeness::Near => (scalar_image, vertical_image),
            Closeness::Middle | Closeness::Far => Default::default(),
        };
        let (mut vector, mut scalar) = self.sampled(p, q, &self.rules.four, taken_out);
        if near == Closeness::Near {
            let m = moments(p, &image, self.k, &self.rules);
            scalar += sum(&m) * scalar_image;
            add(&mut vector, &scaled(&m, vertical_image * upright_dot));
        }
        self.block(p, q, &vector, scalar)
    }

    /// The ground's moments of a pair far apart: one look into the table, and the change around it to first order.
    fn far_reflected(&self, p: &Segment, q: &Segment, image: &Segment) -> (Moments, C64) {
        let g = greens(p, image, radius_squared_m2(p, q), self.k);
        let (mid_p, mid_q) = (p.point_m(0.5), q.point_m(0.5));
        let centre_rho = maths::hypot(mid_p[0] - mid_q[0], mid_p[1] - mid_q[1]);
        let Some(around) = self.ground.around(centre_rho, mid_p[2] + mid_q[2]) else {
            return Default::default();
        };
        let level_dot = p.dir[0] * q.dir[0] + p.dir[1] * q.dir[1];
        let upright_dot = p.dir[2] * q.dir[2];
        let mut vector = [[Complex::new(0.0, 0.0); 2]; 2];
        let mut scalar = Complex::new(0.0, 0.0);
        let ends_q = TWO_POINTS.map(|y| q.point_m(y));
        for (i, x) in TWO_POINTS.into_iter().enumerate() {
            let r = p.point_m(x);
            for (j, s) in ends_q.iter().enumerate() {
                let (dx, dy, zeta) = (r[0] - s[0], r[1] - s[1], r[2] + s[2]);
                let rho = (dx * dx + dy * dy).sqrt();
                let f = around.at(rho, zeta);
                let radial_p = p.dir[0] * dx + p.dir[1] * dy;
                let radial_q = q.dir[0] * dx + q.dir[1] * dy;
                let crossing = (radial_p * q.dir[2] - p.dir[2] * radial_q) / rho.max(1e-9);
                vector[i][j] = g[i][j] * (f.horizontal * level_dot + f.vertical * upright_dot + f.cross * crossing);
                scalar += g[i][j] * f.scalar;
            }
        }
        let area = p.length_m * q.length_m;
        (gathered(&vector, area), scalar * (0.25 * area))
    }

    /// The ground's moments by Gauss points on both segments, less the images that are taken out.
    fn sampled(&self, p: &Segment, q: &Segment, rule: &[(f64, f64)], taken_out: (C64, C64)) -> (Moments, C64) {
        let a2 = radius_squared_m2(p, q);
        let level_dot = p.dir[0] * q.dir[0] + p.dir[1] * q.dir[1];
        let upright_dot = p.dir[2] * q.dir[2];
        let mut vector = Moments::default();
        let mut scalar = Complex::new(0.0, 0.0);
        for &(x, wx) in rule {
            let r = p.point_m(x);
            for &(y, wy) in rule {
                let s = q.point_m(y);
                let (dx, dy, zeta) = (r[0] - s[0], r[1] - s[1], r[2] + s[2]);
                let rho2 = dx * dx + dy * dy;
                let rho = rho2.sqrt();
                let g = green(rho2 + zeta * zeta + a2, self.k) * (wx * wy);
                let f = self.ground.at(rho, zeta);
                // G_xz = cos φ S, G_zx = -cos φ S, φ from source to observer.
                let radial_p = p.dir[0] * dx + p.dir[1] * dy;
                let radial_q = q.dir[0] * dx + q.dir[1] * dy;
                let crossing = (radial_p * q.dir[2] - p.dir[2] * radial_q) / rho.max(1e-9);
                let v = g * (f.horizontal * level_dot + (f.vertical - taken_out.1) * upright_dot + f.cross * crossing);
                scalar += g * (f.scalar - taken_out.0);
                vector[0][0] += v * ((1.0 - x) * (1.0 - y));
                vector[0][1] += v * ((1.0 - x) * y);
                vector[1][0] += v * (x * (1.0 - y));
                vector[1][1] += v * (x * y);
            }
        }
        let area = p.length_m * q.length_m;
        (scaled(&vector, area.into()), scalar * area)
    }
}

/// Adds a block of two segments to the rows of the chosen functions, so many times.
pub(crate) fn fold(
    (p, q): (usize, usize),
    block: &Block,
    times: f64,
    (basis, orbits): (&Basis, &Orbits),
    z: &mut Matrix,
) {
    for (i, row) in block.iter().enumerate() {
        for (j, &value) in row.iter().enumerate() {
            for &(m, sign_m) in &basis.at_end[p][i] {
                if orbits.chosen[orbits.of[m]] != m {
                    continue;
                }
                for &(n, sign_n) in &basis.at_end[q][j] {
                    z.add((orbits.of[m], orbits.of[n]), value * (sign_m * sign_n * times));
                }
            }
        }
    }
}

fn sum(m: &Moments) -> C64 {
    m[0][0] + m[0][1] + m[1][0] + m[1][1]
}

fn scaled(m: &Moments, factor: C64) -> Moments {
    [
        [m[0][0] * factor, m[0][1] * factor],
        [m[1][0] * factor, m[1][1] * factor],
    ]
}

fn add(to: &mut Block, what: &Block) {
    for i in 0..2 {
        for j in 0..2 {
            to[i][j] += what[i][j];
        }
    }
}
