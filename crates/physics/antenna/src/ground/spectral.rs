//! The Sommerfeld integrals of the half space, by quadrature in the plane of the horizontal wave number.
//!
//! Mixed potential with one scalar kernel for horizontal and vertical currents (Michalski & Zheng, IEEE Trans. Antennas
//! Propagat. 38, 1990, formulation C, both media non-magnetic, source and observer in air). Everything is scaled to
//! k = 1: distances are k·metres, kernels are 4π·G/k. With κ the horizontal wave number over k, a = sqrt(1-κ²),
//! b = sqrt(ε-κ²), Im <= 0:
//!
//! R_TE = (a-b)/(a+b), R_TM = (εa-b)/(εa+b), T = (R_TE+R_TM)/κ² = 2(1-ε)/((a+b)(εa+b))
//!
//! | kernel | integrand, to be taken with (κ/(j a)) e^(-jaζ) dκ |
//! |---|---|
//! | horizontal vector potential | R_TE J0(κρ) |
//! | scalar potential | (T - R_TM) J0(κρ) |
//! | vertical vector potential | (R_TM - a² T) J0(κρ) |
//! | cross term S | j a κ T J1(κρ) |
//!
//! The path: along the real axis to beyond the ground's branch point, with κ = sin θ and κ = sqrt(1+u²) so that the
//! root a is smooth, then J = (H1+H2)/2 along two rays at ±45°, on which every exponential decays
//! (close under the wire, where the Hankel functions are large and cancel, straight on instead). The air's branch point
//! is taken out by the substitutions, the ground's lies at the end of a panel with points gathered there, and the pole
//! (εa+b = 0, at a = -1/sqrt(ε+1)) is met by panels that shrink toward a = 0.

use farhop_num::maths;
use num_complex::Complex;

use crate::quadrature::gauss_legendre;
use crate::{C64, J};

/// The four kernels in the order horizontal, scalar, vertical, cross (dimensionless, scaled to k = 1).
pub type Kernels = [C64; 4];

/// One point of the path with everything that does not depend on where one looks.
#[derive(Clone, Copy, Debug)]
struct Point {
    /// Horizontal wave number over k.
    kappa: C64,
    /// Exponent of the height: -j a.
    decay: C64,
    /// The four integrands with weight and Jacobian, without Bessel function and exponential.
    weight: [C64; 4],
}

/// The quadrature for one permittivity and one range of distances.
#[derive(Clone, Debug)]
pub struct Spectrum {
    /// Points on the real axis, to be used with J.
    axis: Vec<Point>,
    /// Points on the upper ray, to be used with H1/2.
    upper: Vec<Point>,
    /// Points on the lower ray, to be used with H2/2; wave numbers are the conjugates of the upper ones.
    lower: Vec<Point>,
    /// Points on the real axis beyond the bend, to be used with J instead of the rays close under the wire.
    straight: Vec<Point>,
    /// Distances up to this use the straight path, k·m.
    straight_to: f64,
    /// Dimensionless permittivity.
    eps: C64,
}

/// Range of distances (scaled by k) that a spectrum serves.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    /// Largest horizontal distance, k·m.
    pub rho_max: f64,
    /// Smallest sum of heights, k·m, above zero.
    pub zeta_min: f64,
    /// Largest sum of heights, k·m.
    pub zeta_max: f64,
}

impl Spectrum {
    /// Lays the path out. `points` is the number of Gauss points in a panel (8 gives about 1e-6, dimensionless).
    #[must_use]
    pub fn new(eps: C64, reach: Reach, points: usize) -> Self {
        let root = maths::sqrt(eps);
        let bend = root.re.max(1.05);
        let end = 1.5 * bend + 0.3;
        let mut spectrum = Self {
            axis: Vec::new(),
            upper: Vec::new(),
            lower: Vec::new(),
            straight: Vec::new(),
            straight_to: reach.zeta_min,
            eps,
        };
        let count = |width: f64| points + (0.7 * width * reach.rho_max + 0.2 * width * reach.zeta_max).ceil() as usize;
        let finest = 0.7 / maths::norm(root);
        let quarter = std::f64::consts::FRAC_PI_2;
        for (from, to) in toward_zero(quarter, finest) {
            for (x, w) in gauss_legendre(count(to - from)) {
                let angle = quarter - (from + x * (to - from));
                let (sin, cos) = maths::sin_cos(angle);
                // κ dκ/(j a) with κ = sin θ, a = cos θ.
                spectrum.push_axis(sin, Complex::new(cos, 0.0), Complex::new(0.0, -sin * w * (to - from)));
            }
        }
        let bend_u = (bend * bend - 1.0).sqrt();
        let end_u = (end * end - 1.0).sqrt();
        let mut panels = toward_zero(bend_u, finest);
        panels.push((bend_u, end_u));
        for (from, to) in panels {
            let width = to - from;
            for (x, w) in gauss_legendre(count(width) + 4) {
                // Smooth step: points gather at both ends, where the ground's branch point may sit.
                let u = from + width * x * x * (3.0 - 2.0 * x);
                let jacobian = 6.0 * x * (1.0 - x) * width * w;
                // κ dκ/(j a) with κ² = 1 + u², a = -ju.
                spectrum.push_axis((1.0 + u * u).sqrt(), Complex::new(0.0, -u), Complex::new(jacobian, 0.0));
            }
        }
        spectrum.lay_rays(end, bend, reach, points);
        spectrum
    }

    fn lay_rays(&mut self, end: f64, bend: f64, reach: Reach, points: usize) {
        let rule = gauss_legendre(points);
        let last = 28.0 * std::f64::consts::SQRT_2 / reach.zeta_min;
        let mut from = 0.0;
        let mut to = (2.0 / (reach.rho_max + reach.zeta_max)).min(0.7 * (end - bend));
        while from < last {
            for &(x, w) in &rule {
                let t = from + x * (to - from);
                let turn = maths::polar(1.0, std::f64::consts::FRAC_PI_4);
                let (up, down) = (end + turn * t, end + turn.conj() * t);
                // Half, because J = (H1 + H2)/2.
                let weight = 0.5 * w * (to - from);
                let upper = self.point(up, turn * weight);
                let lower = self.point(down, turn.conj() * weight);
                let ahead = self.point(Complex::new(end + t, 0.0), Complex::new(2.0 * weight, 0.0));
                self.straight.push(ahead);
                self.upper.push(upper);
                self.lower.push(lower);
            }
            (from, to) = (to, to + 2.0 * to.max(1e-6));
        }
    }

    /// A point off the axis with its step dκ.
    fn point(&self, kappa: C64, step: C64) -> Point {
        // Principal root of κ²-1 right of the cuts: a = -j sqrt(κ²-1).
        let a = -J * maths::sqrt(kappa * kappa - 1.0);
        self.weighted(kappa, a, kappa / (J * a) * step)
    }

    fn push_axis(&mut self, kappa: f64, a: C64, measure: C64) {
        let point = self.weighted(Complex::new(kappa, 0.0), a, measure);
        self.axis.push(point);
    }

    /// The integrands of the module's table times the measure κ dκ/(j a).
    fn weighted(&self, kappa: C64, a: C64, measure: C64) -> Point {
        let eps = self.eps;
        let b = -J * maths::sqrt(kappa * kappa - eps);
        let te_sum = a + b;
        let tm_sum = eps * a + b;
        let r_te: C64 = (1.0 - eps) / (te_sum * te_sum);
        let r_tm: C64 = (eps * a - b) / tm_sum;
        let t: C64 = (1.0 - eps) * 2.0 / (te_sum * tm_sum);
        Point {
            kappa,
            decay: -J * a,
            weight: [
                measure * r_te,
                measure * (t - r_tm),
                measure * (r_tm - a * a * t),
                measure * J * a * kappa * t,
            ],
        }
    }

    /// The kernels on a grid: outer index the sums of heights, inner index the horizontal distances (both k·m).
    #[must_use]
    pub fn kernels(&self, zetas: &[f64], rhos: &[f64]) -> Vec<Kernels> {
        let waves: Vec<[Vec<[C64; 2]>; 2]> = rhos.iter().map(|&rho| self.waves(rho)).collect();
        let mut out = Vec::with_capacity(zetas.len() * rhos.len());
        for &zeta in zetas {
            let fall = |points: &[Point]| -> Vec<[C64; 4]> {
                let carry = |p: &Point| {
                    let fall = maths::exp(p.decay * zeta);
                    p.weight.map(|w| w * fall)
                };
                points.iter().map(carry).collect()
            };
            let (axis, straight) = (fall(&self.axis), fall(&self.straight));
            let mut rays = fall(&self.upper);
            rays.extend(fall(&self.lower));
            for (wave, &rho) in waves.iter().zip(rhos) {
                let tail = if rho <= self.straight_to { &straight } else { &rays };
                let (near, far) = (gather(&axis, &wave[0]), gather(tail, &wave[1]));
                out.push([0, 1, 2, 3].map(|i| near[i] + far[i]));
            }
        }
        out
    }

    /// The cylinder functions of orders 0 and 1 on the axis and on the tail for a distance.
    fn waves(&self, rho: f64) -> [Vec<[C64; 2]>; 2] {
        let standing = |point: &Point| {
            let (j0, j1) = crate::bessel::j01_real(point.kappa.re * rho);
            [Complex::new(j0, 0.0), Complex::new(j1, 0.0)]
        };
        let axis = self.axis.iter().map(standing).collect();
        if rho <= self.straight_to {
            return [axis, self.straight.iter().map(standing).collect()];
        }
        let outward: Vec<[C64; 2]> = self
            .lower
            .iter()
            .map(|point| {
                let (h0, h1) = crate::bessel::hankel2(point.kappa * rho);
                [h0, h1]
            })
            .collect();
        // H1 at the conjugate point is the conjugate of H2.
        let mut tail: Vec<[C64; 2]> = outward.iter().map(|h| [h[0].conj(), h[1].conj()]).collect();
        tail.extend(outward);
        [axis, tail]
    }
}

/// Σ weight × cylinder function; order 1 for the cross term.
fn gather(carried: &[[C64; 4]], wave: &[[C64; 2]]) -> Kernels {
    let mut sum = Kernels::default();
    for (c, w) in carried.iter().zip(wave) {
        sum[0] += c[0] * w[0];
        sum[1] += c[1] * w[0];
        sum[2] += c[2] * w[0];
        sum[3] += c[3] * w[1];
    }
    sum
}

/// Panels of [0, whole], each half as long as the next, down to the finest; listed from 0 up.
fn toward_zero(whole: f64, finest: f64) -> Vec<(f64, f64)> {
    let mut edges = vec![whole];
    let mut edge = whole;
    while edge > 2.0 * finest && edges.len() < 24 {
        edge *= 0.5;
        edges.push(edge);
    }
    edges.push(0.0);
    edges.reverse();
    edges.windows(2).map(|w| (w[0], w[1])).collect()
}
