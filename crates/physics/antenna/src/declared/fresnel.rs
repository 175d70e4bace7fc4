//! Reflection of plane waves at the ground.

use farhop_earth::GroundConstants;
use farhop_num::maths;
use num_complex::Complex64;

/// What is below an antenna.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Below {
    /// Nothing: free space.
    FreeSpace,
    /// A perfectly conducting plane.
    PerfectGround,
    /// Real ground.
    Ground(GroundConstants),
}

/// The ground at one frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Reflector {
    Nothing,
    Perfect,
    /// Complex relative permittivity, time dependence exp(+jωt).
    Real(Complex64),
}

impl Reflector {
    pub(super) fn new(below: Below, freq_mhz: f64) -> Self {
        match below {
            Below::FreeSpace => Self::Nothing,
            Below::PerfectGround => Self::Perfect,
            Below::Ground(ground) => Self::Real(Complex64::new(ground.eps_r, -ground.loss_term(freq_mhz))),
        }
    }

    /// Whether a direction sees nothing of the antenna. Over perfect ground the horizon itself is seen.
    pub(super) fn hides(self, elevation_deg: f64) -> bool {
        match self {
            Self::Nothing => false,
            Self::Perfect => elevation_deg < 0.0,
            Self::Real(_) => elevation_deg <= 0.0,
        }
    }

    /// Fresnel's coefficients (vertical, horizontal) for a sine of elevation, complex for evanescent waves: +1 and -1
    /// over a perfect conductor.
    ///
    /// Γ_v = (ε s - Q)/(ε s + Q), Γ_h = (s - Q)/(s + Q), Q = √(ε - cos² e) with Im Q ≤ 0.
    pub(super) fn coefficients(self, sine: impl Into<Complex64>) -> (Complex64, Complex64) {
        match self {
            Self::Nothing => (Complex64::ZERO, Complex64::ZERO),
            Self::Perfect => (Complex64::ONE, -Complex64::ONE),
            Self::Real(permittivity) => {
                let sine = sine.into();
                let principal = maths::sqrt(permittivity - 1.0 + sine * sine);
                let root = if principal.im > 0.0 { -principal } else { principal };
                let lifted = permittivity * sine;
                ((lifted - root) / (lifted + root), (sine - root) / (sine + root))
            }
        }
    }
}
