//! The double integrals of one pair of segments over e^(-jkR)/R, with linear weights on both.
//!
//! M_ij = ∫∫ u_i(s) u_j(s') e^(-jkR)/R ds ds', u_0 = 1 - s/Δ, u_1 = s/Δ, R² = d² + a² (reduced kernel: the current on
//! the axis, the field on the surface). The four together give the vector potential, their sum the scalar one.

use farhop_num::maths;
use num_complex::Complex;

use crate::C64;
use crate::geometry::Segment;
use crate::vec3::{along, dot, norm, sub};

/// The four moments, first index the observing segment, metres.
pub type Moments = [[C64; 2]; 2];

/// Pairs whose centres are closer than this many longer lengths get the careful integral (dimensionless).
const NEAR: f64 = 2.2;
/// Pairs closer than this get four points a side instead of two (dimensionless).
const MIDDLE: f64 = 4.5;

/// Points and weights in (0, 1) of the rules in use.
#[derive(Clone, Debug)]
pub struct Rules {
    /// Four points a side.
    pub four: Vec<(f64, f64)>,
    /// For the graded outer integral of near pairs.
    pub outer: Vec<(f64, f64)>,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            four: crate::quadrature::gauss_legendre(4),
            outer: crate::quadrature::gauss_legendre(16),
        }
    }
}

/// How carefully a pair must be integrated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Closeness {
    /// Static part in closed form along the source, graded points along the observer.
    Near,
    /// Four Gauss points a side.
    Middle,
    /// Two Gauss points a side.
    Far,
}

/// Ranks a pair by the distance of centres in units of the longer segment.
#[must_use]
pub(crate) fn closeness(p: &Segment, q: &Segment) -> Closeness {
    let apart_m = norm(sub(p.point_m(0.5), q.point_m(0.5)));
    let ratio = apart_m / p.length_m.max(q.length_m);
    if ratio < NEAR {
        Closeness::Near
    } else if ratio < MIDDLE {
        Closeness::Middle
    } else {
        Closeness::Far
    }
}

/// Square of the effective radius of a pair, m²: the mean of the squared radii, so that the matrix is symmetric.
#[must_use]
pub(crate) fn radius_squared_m2(p: &Segment, q: &Segment) -> f64 {
    0.5 * (p.radius_m * p.radius_m + q.radius_m * q.radius_m)
}

/// The moments of a pair for wave number k, rad/m.
#[must_use]
pub fn moments(p: &Segment, q: &Segment, k_rad_per_m: f64, rules: &Rules) -> Moments {
    match closeness(p, q) {
        Closeness::Near => near(p, q, k_rad_per_m, rules),
        Closeness::Middle => sampled(p, q, k_rad_per_m, &rules.four),
        Closeness::Far => {
            let area = p.length_m * q.length_m;
            gathered(&greens(p, q, radius_squared_m2(p, q), k_rad_per_m), area)
        }
    }
}

fn sampled(p: &Segment, q: &Segment, k: f64, rule: &[(f64, f64)]) -> Moments {
    let a2 = radius_squared_m2(p, q);
    let mut m = Moments::default();
    for &(x, wx) in rule {
        let r = p.point_m(x);
        let (mut first, mut second) = (Complex::new(0.0, 0.0), Complex::new(0.0, 0.0));
        for &(y, wy) in rule {
            let d = sub(r, q.point_m(y));
            let g = green(dot(d, d) + a2, k) * wy;
            first += g * (1.0 - y);
            second += g * y;
        }
        add_outer(&mut m, x, wx, first, second);
    }
    scaled(m, p.length_m * q.length_m)
}

/// The two Gauss points of a side, as fractions: 1/2 ± 1/√12 (Abramowitz & Stegun 25.4.30); both weigh 1/2.
pub(crate) const TWO_POINTS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];

/// e^(-jkR)/R at the 2×2 Gauss points of a pair that is far apart.
///
/// Only the pair's centre costs a sine and a cosine; the points turn from there by a small angle, by its series.
#[must_use]
pub(crate) fn greens(p: &Segment, q: &Segment, a2: f64, k: f64) -> [[C64; 2]; 2] {
    let middle = sub(p.point_m(0.5), q.point_m(0.5));
    let r0 = (dot(middle, middle) + a2).sqrt();
    let (sin, cos) = maths::sin_cos(k * r0);
    let centre = Complex::new(cos, -sin);
    let mut g = [[Complex::new(0.0, 0.0); 2]; 2];
    for (row, x) in g.iter_mut().zip(TWO_POINTS) {
        let from = along(middle, (x - 0.5) * p.length_m, p.dir);
        for (cell, y) in row.iter_mut().zip(TWO_POINTS) {
            let d = along(from, (0.5 - y) * q.length_m, q.dir);
            let r2 = dot(d, d) + a2;
            let r = r2.sqrt();
            let turn = k * (r - r0);
            let t2 = turn * turn;
            let cos = 1.0 - t2 * (0.5 - t2 * (1.0 / 24.0 - t2 / 720.0));
            let sin = turn * (1.0 - t2 * (1.0 / 6.0 - t2 * (1.0 / 120.0 - t2 / 5040.0)));
            *cell = centre * Complex::new(cos, -sin) / r;
        }
    }
    g
}

/// The moments from values at the 2×2 Gauss points; `area` is the product of the lengths, m².
#[must_use]
pub fn gathered(g: &[[C64; 2]; 2], area: f64) -> Moments {
    let [high, low] = [TWO_POINTS[1], TWO_POINTS[0]];
    let side = |row: &[C64; 2]| [row[0] * high + row[1] * low, row[0] * low + row[1] * high];
    let (a, b) = (side(&g[0]), side(&g[1]));
    let quarter = 0.25 * area;
    [
        [
            (a[0] * high + b[0] * low) * quarter,
            (a[1] * high + b[1] * low) * quarter,
        ],
        [
            (a[0] * low + b[0] * high) * quarter,
            (a[1] * low + b[1] * high) * quarter,
        ],
    ]
}

/// e^(-jkR)/R from R².
#[must_use]
pub fn green(r2_m2: f64, k_rad_per_m: f64) -> C64 {
    let inverse = 1.0 / r2_m2.sqrt();
    let (sin, cos) = maths::sin_cos(k_rad_per_m * r2_m2 * inverse);
    Complex::new(cos * inverse, -sin * inverse)
}

/// (e^(-jkR) - 1)/R, without cancellation.
fn green_less_static(r_m: f64, k: f64) -> C64 {
    let half = 0.5 * k * r_m;
    let (sin, cos) = maths::sin_cos(half);
    // e^(-jx) - 1 = -2 sin²(x/2) - j sin x.
    Complex::new(-2.0 * sin * sin, -2.0 * sin * cos) / r_m
}

fn add_outer(m: &mut Moments, x: f64, weight: f64, first: C64, second: C64) {
    m[0][0] += first * (weight * (1.0 - x));
    m[0][1] += second * (weight * (1.0 - x));
    m[1][0] += first * (weight * x);
    m[1][1] += second * (weight * x);
}

fn scaled(m: Moments, factor: f64) -> Moments {
    [
        [m[0][0] * factor, m[0][1] * factor],
        [m[1][0] * factor, m[1][1] * factor],
    ]
}

/// Closed form of the static part along the source, points graded toward every kink along the observer.
fn near(p: &Segment, q: &Segment, k: f64, rules: &Rules) -> Moments {
    let a2 = radius_squared_m2(p, q);
    let mut m = Moments::default();
    for pair in breakpoints(p, q).windows(2) {
        let width = pair[1] - pair[0];
        if width < 1e-9 {
            continue;
        }
        for &(x, w) in &rules.outer {
            // The quintic smooth step gathers the points at both ends of the piece, where the logarithms sit.
            let step = x * x * x * (10.0 + x * (6.0 * x - 15.0));
            let slope = 30.0 * x * x * (1.0 - x) * (1.0 - x);
            let s = pair[0] + width * step;
            let (first, second) = inner(p, q, s, a2, k, &rules.four);
            add_outer(&mut m, s, w * width * slope, first, second);
        }
    }
    scaled(m, p.length_m)
}

/// Fractions along p where the inner integral changes fast: its ends and the feet of the ends of q.
fn breakpoints(p: &Segment, q: &Segment) -> Vec<f64> {
    let mut at = vec![0.0, 1.0];
    for end in [0.0, 1.0] {
        let foot = dot(sub(q.point_m(end), p.start_m), p.dir) / p.length_m;
        at.push(foot.clamp(0.0, 1.0));
    }
    at.sort_by(f64::total_cmp);
    at
}

/// ∫ u_j(s') e^(-jkR)/R ds' along q seen from the fraction s of p.
fn inner(p: &Segment, q: &Segment, s: f64, a2: f64, k: f64, rule: &[(f64, f64)]) -> (C64, C64) {
    let r = p.point_m(s);
    let w = sub(r, q.start_m);
    let foot = dot(w, q.dir);
    let d2 = (dot(w, w) - foot * foot).max(0.0) + a2;
    let d = d2.sqrt();
    let (back, ahead) = (foot, q.length_m - foot);
    // ∫ ds'/R and ∫ s'/R ds' in closed form.
    let flat = (ahead / d).asinh() + (back / d).asinh();
    let rising = (ahead * ahead + d2).sqrt() - (back * back + d2).sqrt() + foot * flat;
    let second_static = rising / q.length_m;
    let mut first = Complex::new(flat - second_static, 0.0);
    let mut second = Complex::new(second_static, 0.0);
    for &(y, wy) in rule {
        let gap = sub(r, along(q.start_m, y * q.length_m, q.dir));
        let g = green_less_static((dot(gap, gap) + a2).sqrt(), k) * (wy * q.length_m);
        first += g * (1.0 - y);
        second += g * y;
    }
    (first, second)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(start_m: [f64; 3], dir: [f64; 3], length_m: f64) -> Segment {
        Segment {
            start_m,
            dir,
            length_m,
            radius_m: 0.001,
            wire: 0,
        }
    }

    /// Plain quadrature with very many points.
    fn brute(p: &Segment, q: &Segment, k: f64) -> Moments {
        let rule: Vec<(f64, f64)> = crate::quadrature::gauss_legendre(16);
        let pieces = 150;
        let fine: Vec<(f64, f64)> = (0..pieces)
            .flat_map(|i| {
                rule.iter()
                    .map(move |&(x, w)| ((i as f64 + x) / f64::from(pieces), w / f64::from(pieces)))
            })
            .collect();
        sampled(p, q, k, &fine)
    }

    #[test]
    fn near_pairs_match_brute_force() {
        let p = segment([0.0, 0.0, 1.0], [1.0, 0.0, 0.0], 0.25);
        let others = [
            p,
            segment([0.25, 0.0, 1.0], [1.0, 0.0, 0.0], 0.25),
            segment([0.25, 0.0, 1.0], [0.6, 0.8, 0.0], 0.4),
            segment([0.0, 0.0, 1.0], [0.0, 0.0, 1.0], 0.1),
            segment([0.03, 0.02, 1.0], [0.8, 0.6, 0.0], 0.2),
        ];
        for q in &others {
            let (fast, slow) = (near(&p, q, 0.3, &Rules::default()), brute(&p, q, 0.3));
            for i in 0..2 {
                for j in 0..2 {
                    let error = (fast[i][j] - slow[i][j]).norm() / slow[i][j].norm();
                    assert!(error < 2e-4, "{i}{j}: {error} {q:?}");
                }
            }
        }
    }

    #[test]
    fn the_rules_meet() {
        let p = segment([0.0, 0.0, 1.0], [1.0, 0.0, 0.0], 0.25);
        // With a linear weight the two-point rule is of third order in length over distance.
        for (apart, tolerance, few) in [(NEAR, 1e-4, 4), (MIDDLE, 4e-4, 2)] {
            let q = segment([apart * 0.25, 0.0, 1.0], [0.8, 0.6, 0.0], 0.25);
            let rule = crate::quadrature::gauss_legendre(few);
            let fast = match few {
                2 => gathered(&greens(&p, &q, radius_squared_m2(&p, &q), 0.3), 0.0625),
                _ => sampled(&p, &q, 0.3, &rule),
            };
            let slow = brute(&p, &q, 0.3);
            for i in 0..2 {
                for j in 0..2 {
                    let error = (fast[i][j] - slow[i][j]).norm() / slow[i][j].norm();
                    assert!(error < tolerance, "{apart} {i}{j}: {error}");
                }
            }
        }
    }
}
