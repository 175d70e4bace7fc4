//! Reflection, standing-wave ratio and mismatch against a real reference resistance.
//!
//! Source: any transmission-line textbook, for example Pozar, Microwave Engineering, chapter 2 (from memory).

use farhop_num::maths;
use num_complex::Complex64;

/// Reflection coefficient of `z_ohm` against a real reference (dimensionless): Γ = (Z − R) / (Z + R).
#[must_use]
pub fn reflection(z_ohm: Complex64, reference_ohm: f64) -> Complex64 {
    (z_ohm - reference_ohm) / (z_ohm + reference_ohm)
}

/// Standing-wave ratio (dimensionless, 1 to infinity) of a passive `z_ohm` against a real reference.
///
/// SWR = (1 + |Γ|)² / (1 − |Γ|²), written so that a nearly total reflection keeps its digits. A resistance of zero or
/// less gives infinity.
///
/// ```
/// use farhop_feed::{Complex64, swr};
/// assert!((swr::swr(Complex64::new(100.0, 0.0), 50.0) - 2.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn swr(z_ohm: Complex64, reference_ohm: f64) -> f64 {
    if !(z_ohm.re > 0.0 && z_ohm.im.is_finite()) {
        return f64::INFINITY;
    }
    let sum = maths::norm(z_ohm + reference_ohm) + maths::norm(z_ohm - reference_ohm);
    (sum / (4.0 * z_ohm.re * reference_ohm) * sum).max(1.0)
}

/// Power sent forward over power taken, 1 / (1 − |Γ|²) = |Z + R|² / (4 R Re Z) (dimensionless, 1 or more).
///
/// It holds for impedances against a resistance and for admittances against a conductance alike. It grows with the
/// SWR and needs one division and no root: the state search compares this number.
#[must_use]
pub(crate) fn mismatch_ratio(z: Complex64, reference: f64) -> f64 {
    (z + reference).norm_sqr() / (4.0 * reference * z.re)
}

/// The mismatch ratio (dimensionless) that belongs to an SWR (dimensionless): (s + 1)² / (4 s).
#[must_use]
pub(crate) fn mismatch_ratio_of_swr(swr: f64) -> f64 {
    (swr + 1.0) * (swr + 1.0) / (4.0 * swr)
}

/// |Γ| (dimensionless, 0 to 1) that belongs to an SWR (dimensionless, 1 or more; infinity gives 1).
#[must_use]
pub fn gamma_of_swr(swr: f64) -> f64 {
    if swr.is_infinite() {
        1.0
    } else {
        (swr - 1.0) / (swr + 1.0)
    }
}

/// Current through an impedance that takes `power_w`, in ampere RMS.
#[must_use]
pub fn amps_rms(z_ohm: Complex64, power_w: f64) -> f64 {
    (power_w / z_ohm.re).sqrt()
}

/// Voltage across an impedance that takes `power_w`, in volt RMS.
#[must_use]
pub fn volts_rms(z_ohm: Complex64, power_w: f64) -> f64 {
    maths::norm(z_ohm) * amps_rms(z_ohm, power_w)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn swr_of_resistances_is_their_ratio() {
        assert!((swr(Complex64::new(25.0, 0.0), 50.0) - 2.0).abs() < 1e-12);
        assert!((swr(Complex64::new(50.0, 0.0), 50.0) - 1.0).abs() < 1e-12);
        assert!((swr(Complex64::new(1e-9, 0.0), 50.0) / 5e10 - 1.0).abs() < 1e-9);
        assert_eq!(swr(Complex64::new(0.0, 10.0), 50.0), f64::INFINITY);
        assert_eq!(swr(Complex64::new(f64::NAN, 10.0), 50.0), f64::INFINITY);
    }

    #[test]
    fn mismatch_agrees_with_reflection_and_with_its_admittance_form() {
        let z = Complex64::new(17.0, -230.0);
        let gamma = reflection(z, 50.0).norm();
        let ratio = mismatch_ratio(z, 50.0);
        assert!((ratio - 1.0 / (1.0 - gamma * gamma)).abs() < 1e-10 * ratio);
        assert!((ratio - mismatch_ratio(z.inv(), 0.02)).abs() < 1e-10 * ratio);
        assert!((ratio - mismatch_ratio_of_swr(swr(z, 50.0))).abs() < 1e-10 * ratio);
        assert!((gamma - gamma_of_swr(swr(z, 50.0))).abs() < 1e-12);
    }

    #[test]
    fn volts_and_amps_carry_the_power() {
        let z = Complex64::new(20.0, 100.0);
        assert!((amps_rms(z, 5.0) - 0.5).abs() < 1e-12);
        assert!((volts_rms(z, 5.0) - 0.5 * z.norm()).abs() < 1e-12);
    }
}
