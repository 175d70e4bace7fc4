//! What the ground sends back to an antenna near it: the spectrum of plane waves, travelling and evanescent.
//!
//! The Sommerfeld integral for the input power: each plane wave of the current's spectrum comes back with Fresnel's
//! coefficient of its own (complex) angle. With u the horizontal and c = √(1 - u²) the vertical wavenumber over k:
//!
//! I = ∫₀^∞ (u du / c) W(u) e^(-2jHc).
//!
//! For a straight horizontal wire W = ⟨|Ĩ(u cos φ)|² (Γ_h sin² φ - Γ_v c² cos² φ)⟩ over φ, and Z = (η₀/4π) I.
//! (A. Sommerfeld 1909; in this form in any text on antennas near layered ground.) The part u > 1 is the loss in the
//! ground's near field.

use farhop_num::maths;
use num_complex::Complex64;
use std::f64::consts::FRAC_PI_2;

use super::fresnel::Reflector;

/// Points over the travelling and the evanescent part, and over the azimuth of the spectrum.
const TRAVELLING: u32 = 32;
const EVANESCENT: u32 = 64;
const AZIMUTHS: u32 = 28;
/// The evanescent part is cut where e^(-2Ht) has fallen to this exponent.
const NEPERS: f64 = 18.0;
/// Scale below which the evanescent points are spread evenly, above it by ratio.
const EVEN_BELOW: f64 = 0.5;

/// The integral I for an electrical height and the weight `w(u, c, Γ_v, Γ_h)`. Midpoint rules in θ (u = sin θ) and in
/// y (t = √(u² - 1) = 0.5 sinh y).
pub(super) fn returned(
    height: f64,
    below: &Reflector,
    weight: impl Fn(f64, Complex64, Complex64, Complex64) -> Complex64,
) -> Complex64 {
    let wave = |u: f64, c: Complex64| {
        let (vertical, horizontal) = below.coefficients(c);
        weight(u, c, vertical, horizontal) * maths::exp(Complex64::new(0.0, -2.0 * height) * c)
    };
    let step = FRAC_PI_2 / f64::from(TRAVELLING);
    let travelling: Complex64 = (0..TRAVELLING)
        .map(|i| {
            let (sin, cos) = maths::sin_cos((f64::from(i) + 0.5) * step);
            wave(sin, Complex64::new(cos, 0.0)) * sin * step
        })
        .sum();
    let last = (NEPERS / (2.0 * height) / EVEN_BELOW).asinh();
    let step = last / f64::from(EVANESCENT);
    let evanescent: Complex64 = (0..EVANESCENT)
        .map(|i| {
            let y = (f64::from(i) + 0.5) * step;
            let t = EVEN_BELOW * maths::sinh(y);
            // u du / c = t dt / (-jt) = j dt.
            wave(maths::hypot(1.0_f64, t), Complex64::new(0.0, -t))
                * Complex64::i()
                * EVEN_BELOW
                * maths::cosh(y)
                * step
        })
        .sum();
    travelling + evanescent
}

/// ⟨|Ĩ|² sin² φ⟩ and ⟨|Ĩ|² cos² φ⟩ over the azimuth of the spectrum for a wire of electrical half length `half` with the
/// current sin(half - |z|): Ĩ(w) = 2 (cos(half w) - cos half)/(1 - w²), w = u cos φ.
pub(super) fn wire_weights(half: f64, u: f64) -> [f64; 2] {
    let step = 1.0 / f64::from(AZIMUTHS);
    let mut sums = [0.0; 2];
    for i in 0..AZIMUTHS {
        // Points crowd towards φ = 90°, where the spectrum of a long u is.
        let v = (f64::from(i) + 0.5) * step;
        let angle = FRAC_PI_2 * v * v * v;
        let (cos_phi, sin_phi) = maths::sin_cos(angle);
        let w = u * cos_phi;
        let gap = 1.0 - w * w;
        let spectrum = if gap.abs() < 1e-7 {
            half * maths::sin(half)
        } else {
            2.0 * (maths::cos(half * w) - maths::cos(half)) / gap
        };
        let share = spectrum * spectrum * 3.0 * v * v * step;
        sums[0] += share * sin_phi * sin_phi;
        sums[1] += share * cos_phi * cos_phi;
    }
    sums
}
