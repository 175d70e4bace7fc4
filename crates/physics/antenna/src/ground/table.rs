//! The smooth remainder of the ground kernels on a grid, and its interpolation.
//!
//! The quasi-static images are taken out first (K = (ε-1)/(ε+1), R² = ρ²+ζ², everything scaled to k = 1):
//!
//! * scalar kernel = g (f_Φ - K), vertical = g (f_zz + 2K), horizontal = g f_A,
//! * cross term = g ρ (f_S/R + K/(R+ζ)), with g = e^(-jR)/R.
//!
//! What is left (f) is smooth, and is interpolated by cubics in stretched coordinates: logarithmic near the image,
//! even far away.

use farhop_num::maths;
use num_complex::Complex;

use crate::C64;
use crate::ground::spectral::{Kernels, Reach, Spectrum};

/// How finely the remainder is tabulated; every number is dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Steps per e-fold of distance and per radian of phase.
    pub steps: f64,
    /// Gauss points in a panel of the spectral path.
    pub points: usize,
}

/// The everyday fineness: the test against brute-force quadrature holds it to its bar.
pub const EVERYDAY: Fineness = Fineness { steps: 4.0, points: 7 };

/// One stretched coordinate with even steps.
#[derive(Clone, Copy, Debug)]
struct Axis {
    /// Scale of the logarithmic part, k·m.
    scale: f64,
    /// Weight of the even part.
    even: f64,
    /// Stretched value of the first node.
    first: f64,
    /// Steps per unit of the stretched coordinate.
    per_unit: f64,
    /// Number of nodes: 1, or at least 4.
    count: usize,
}

impl Axis {
    /// x = asinh(d/scale) + even·d.
    fn stretched(&self, distance: f64) -> f64 {
        let r = distance / self.scale;
        maths::ln(r + (r * r + 1.0).sqrt()) + self.even * distance
    }

    fn new(scale: f64, even: f64, (low, high): (f64, f64), steps: f64) -> Self {
        let mut axis = Self {
            scale,
            even,
            first: 0.0,
            per_unit: 1.0,
            count: 1,
        };
        axis.first = axis.stretched(low);
        let span = axis.stretched(high) - axis.first;
        if span > 1e-9 {
            axis.count = ((span * steps).ceil() as usize + 1).max(4);
            axis.per_unit = (axis.count - 1) as f64 / span;
        }
        axis
    }

    /// The distances of the nodes, by Newton's iteration.
    fn nodes(&self) -> Vec<f64> {
        let mut distance = 0.0;
        (0..self.count)
            .map(|i| {
                let aim = self.first + i as f64 / self.per_unit;
                for _ in 0..60 {
                    let slope = 1.0 / (distance * distance + self.scale * self.scale).sqrt() + self.even;
                    let step = (self.stretched(distance) - aim) / slope;
                    distance -= step;
                    if step.abs() < 1e-13 * (1.0 + distance.abs()) {
                        break;
                    }
                }
                distance
            })
            .collect()
    }

    /// First of four nodes around a distance, and the place after it in steps.
    fn place(&self, distance: f64) -> (usize, f64) {
        let position = (self.stretched(distance) - self.first) * self.per_unit;
        let last = self.count as isize - 4;
        let start = (position.floor() as isize - 1).clamp(0, last);
        (start as usize, position - start as f64)
    }

    /// First of four nodes around a distance, and the four cubic weights.
    fn weights(&self, distance: f64) -> (usize, [f64; 4]) {
        let (start, t) = self.place(distance);
        (start, cubic(t))
    }

    /// The same with the weights of the derivative by the distance.
    fn weights_and_slopes(&self, distance: f64) -> (usize, [f64; 4], [f64; 4]) {
        let (start, t) = self.place(distance);
        let slope = 1.0 / (distance * distance + self.scale * self.scale).sqrt() + self.even;
        (start, cubic(t), cubic_slope(t, slope * self.per_unit))
    }
}

/// Lagrange's cubic on 0, 1, 2, 3.
fn cubic(t: f64) -> [f64; 4] {
    let (t1, t2, t3) = (t - 1.0, t - 2.0, t - 3.0);
    [
        -t1 * t2 * t3 / 6.0,
        t * t2 * t3 / 2.0,
        -t * t1 * t3 / 2.0,
        t * t1 * t2 / 6.0,
    ]
}

/// Its derivative times a factor.
fn cubic_slope(t: f64, factor: f64) -> [f64; 4] {
    let (t1, t2, t3) = (t - 1.0, t - 2.0, t - 3.0);
    [
        -(t2 * t3 + t1 * t3 + t1 * t2) * factor / 6.0,
        (t2 * t3 + t * t3 + t * t2) * factor / 2.0,
        -(t1 * t3 + t * t3 + t * t1) * factor / 2.0,
        (t1 * t2 + t * t2 + t * t1) * factor / 6.0,
    ]
}

/// The remainders at a place and their first derivatives.
#[derive(Clone, Copy, Debug, Default)]
pub struct Expansion {
    /// Values: real and imaginary parts of f_A, f_Φ, f_zz, f_S.
    pub value: [f64; 8],
    /// Derivatives by the horizontal distance, per k·m.
    pub by_rho: [f64; 8],
    /// Derivatives by the sum of heights, per k·m.
    pub by_zeta: [f64; 8],
}

impl Expansion {
    /// The remainders a step (k·m) away, to first order.
    #[must_use]
    pub fn at(&self, step_rho: f64, step_zeta: f64) -> Kernels {
        [0, 2, 4, 6].map(|i| {
            let part = |n: usize| self.value[n] + step_rho * self.by_rho[n] + step_zeta * self.by_zeta[n];
            Complex::new(part(i), part(i + 1))
        })
    }
}

/// The table of one permittivity, frequency and range.
#[derive(Clone, Debug)]
pub struct Table {
    rho: Axis,
    zeta: Axis,
    /// Remainders, row by row of ζ: real and imaginary parts of the four.
    cells: Vec<[f64; 8]>,
}

impl Table {
    /// Computes the remainders over a range of distances.
    #[must_use]
    pub fn new(eps: C64, reach: Reach, fineness: Fineness) -> Self {
        // The wave in the ground runs ahead of the one in the air by |sqrt(ε)-1| radians per k·m, and fades.
        let even = 0.5 * maths::norm(maths::sqrt(eps) - 1.0).clamp(1.0, 4.0);
        let rho = Axis::new(reach.zeta_min, even, (0.0, reach.rho_max.max(1e-3)), fineness.steps);
        let zeta_scale = reach.zeta_min * 0.5;
        let zeta = Axis::new(zeta_scale, 0.5, (reach.zeta_min, reach.zeta_max), fineness.steps);
        let (mut rhos, zetas) = (rho.nodes(), zeta.nodes());
        // The remainder is even in ρ: a small distance stands for none, to a millionth.
        rhos[0] = 1e-4 * reach.zeta_min;
        let zetas = if zetas.len() == 1 { vec![reach.zeta_min] } else { zetas };
        let kernels = Spectrum::new(eps, reach, fineness.points).kernels(&zetas, &rhos);
        let places = zetas.iter().flat_map(|&z| rhos.iter().map(move |&r| (r, z)));
        let cells = kernels
            .iter()
            .zip(places)
            .map(|(kernel, (r, z))| remainder(kernel, r, z, eps))
            .collect();
        Self { rho, zeta, cells }
    }

    /// The remainders f_A, f_Φ, f_zz, f_S at scaled distances (k·m).
    #[must_use]
    pub fn remainders(&self, rho: f64, zeta: f64) -> Kernels {
        let (column, across) = self.rho.weights(rho);
        let mut sum = [0.0; 8];
        if self.zeta.count == 1 {
            self.add_row(0, column, &across, 1.0, &mut sum);
        } else {
            let (row, along) = self.zeta.weights(zeta);
            for (i, weight) in along.iter().enumerate() {
                self.add_row(row + i, column, &across, *weight, &mut sum);
            }
        }
        [0, 2, 4, 6].map(|i| Complex::new(sum[i], sum[i + 1]))
    }

    fn add_row(&self, row: usize, column: usize, across: &[f64; 4], weight: f64, sum: &mut [f64; 8]) {
        let start = row * self.rho.count + column;
        for (cell, w) in self.cells[start..start + 4].iter().zip(across) {
            for (s, c) in sum.iter_mut().zip(cell) {
                *s += w * weight * c;
            }
        }
    }

    /// The remainders and their slopes at scaled distances (k·m).
    #[must_use]
    pub fn expansion(&self, rho: f64, zeta: f64) -> Expansion {
        let mut e = Expansion::default();
        let (column, across, across_slope) = self.rho.weights_and_slopes(rho);
        let (row, down, down_slope) = if self.zeta.count == 1 {
            (0, [1.0, 0.0, 0.0, 0.0], [0.0; 4])
        } else {
            self.zeta.weights_and_slopes(zeta)
        };
        let rows = self.zeta.count.min(4);
        for i in 0..rows {
            let start = (row + i) * self.rho.count + column;
            let (mut value, mut slope) = ([0.0; 8], [0.0; 8]);
            for (j, cell) in self.cells[start..start + 4].iter().enumerate() {
                for n in 0..8 {
                    value[n] += across[j] * cell[n];
                    slope[n] += across_slope[j] * cell[n];
                }
            }
            for n in 0..8 {
                e.value[n] += down[i] * value[n];
                e.by_rho[n] += down[i] * slope[n];
                e.by_zeta[n] += down_slope[i] * value[n];
            }
        }
        e
    }

    /// Number of tabulated points.
    #[must_use]
    pub fn size(&self) -> usize {
        self.cells.len()
    }
}

/// (ε-1)/(ε+1), the strength of the quasi-static image (dimensionless).
#[must_use]
pub(crate) fn image_strength(eps: C64) -> C64 {
    (eps - 1.0) / (eps + 1.0)
}

/// The kernels without their quasi-static images, divided by e^(-jR)/R.
fn remainder(kernel: &Kernels, rho: f64, zeta: f64, eps: C64) -> [f64; 8] {
    let strength = image_strength(eps);
    let r = (rho * rho + zeta * zeta).sqrt();
    let unwind = maths::polar(r, r);
    let f = [
        kernel[0] * unwind,
        kernel[1] * unwind + strength,
        kernel[2] * unwind - strength * 2.0,
        (kernel[3] * unwind / rho - strength / (r + zeta)) * r,
    ];
    let mut cell = [0.0; 8];
    for (i, value) in f.iter().enumerate() {
        cell[2 * i] = value.re;
        cell[2 * i + 1] = value.im;
    }
    cell
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn interpolation_is_finer_than_the_bar() {
        for (eps, reach) in [
            (
                Complex::new(13.0, -12.66),
                Reach {
                    rho_max: 4.0,
                    zeta_min: 0.04,
                    zeta_max: 3.0,
                },
            ),
            (
                Complex::new(5.0, -2.5),
                Reach {
                    rho_max: 9.0,
                    zeta_min: 0.1,
                    zeta_max: 6.0,
                },
            ),
            (
                Complex::new(3.0, -0.1),
                Reach {
                    rho_max: 9.0,
                    zeta_min: 0.04,
                    zeta_max: 2.0,
                },
            ),
        ] {
            let table = Table::new(eps, reach, EVERYDAY);
            let exact = Spectrum::new(eps, reach, 20);
            let mut worst = [0.0f64; 4];
            for i in 0..40 {
                for j in 0..11 {
                    let rho = reach.rho_max * (f64::from(i) / 40.0).powi(2) + 1e-4;
                    let zeta = reach.zeta_min * (reach.zeta_max / reach.zeta_min).powf(f64::from(j) / 10.0);
                    let kernel = exact.kernels(&[zeta], &[rho])[0];
                    let cell = remainder(&kernel, rho, zeta, eps);
                    let quick = table.remainders(rho, zeta);
                    for n in 0..4 {
                        let error = (quick[n] - Complex::new(cell[2 * n], cell[2 * n + 1])).norm();
                        worst[n] = worst[n].max(error);
                    }
                }
            }
            println!("{eps} {} {worst:?}", table.size());
            assert!(worst.iter().all(|w| *w < 1e-3), "{worst:?}");
        }
    }
}
