//! The far field of the currents, with the ground's plane-wave reflection.
//!
//! E = -jkη e^(-jkr)/(4πr) N, N the current moment seen from the direction; the reflected part is the moment of the
//! mirrored current with R_TE for the horizontal and R_TM for the vertical part. Space wave only: no surface wave.

use farhop_num::db_of_ratio;
use farhop_num::maths;
use num_complex::Complex;

use crate::C64;
use crate::geometry::Ground;
use crate::ground::fresnel::{complex_permittivity, reflection};
use crate::solve::Currents;
use crate::vec3::{Vec3, dot, mirrored};
use farhop_num::constants::{ETA0_OHM, wave_number_rad_per_m};

/// Power gain of one direction as ratios to an isotropic radiator (dimensionless).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GainRatio {
    /// Vertical polarisation (θ component).
    pub theta: f64,
    /// Horizontal polarisation (φ component).
    pub phi: f64,
}

impl GainRatio {
    /// Both polarisations together.
    #[must_use]
    pub fn total(self) -> f64 {
        self.theta + self.phi
    }
}

/// The gain that stands for none at all, dBi: what is written down has no minus infinity.
pub const NO_GAIN_DBI: f64 = -99.99;

/// A ratio in dBi, at least [`NO_GAIN_DBI`].
#[must_use]
pub fn dbi(ratio: f64) -> f64 {
    db_of_ratio(ratio).max(NO_GAIN_DBI)
}

/// Computes gains from currents.
#[derive(Clone, Debug)]
pub struct FarField<'a> {
    currents: &'a Currents,
    k: f64,
    eps: Option<C64>,
    /// k² η / (8π P), so that the gain is this times |N|².
    front: f64,
}

impl<'a> FarField<'a> {
    /// Prepares the far field of solved currents.
    #[must_use]
    pub fn new(currents: &'a Currents) -> Self {
        let k = wave_number_rad_per_m(currents.mesh.freq_mhz);
        let eps = match currents.mesh.ground {
            Ground::Real { eps_r, sigma_s_per_m } => {
                Some(complex_permittivity(eps_r, sigma_s_per_m, currents.mesh.freq_mhz))
            }
            Ground::Free | Ground::Perfect => None,
        };
        // Radiation intensity U = η k² |N|²/(32 π²) (Balanis, Antenna Theory, radiation integrals); gain = 4π U/P.
        let front = k * k * ETA0_OHM / (8.0 * std::f64::consts::PI * currents.input_w());
        Self {
            currents,
            k,
            eps,
            front,
        }
    }

    /// Power gain toward an elevation and an azimuth (counter-clockwise from +x), radians. Below the horizon over
    /// ground there is none.
    #[must_use]
    pub fn gain(&self, elevation_rad: f64, azimuth_rad: f64) -> GainRatio {
        let (sin_el, cos_el) = maths::sin_cos(elevation_rad);
        let (sin_az, cos_az) = maths::sin_cos(azimuth_rad);
        let outward = [cos_el * cos_az, cos_el * sin_az, sin_el];
        // θ points down for waves that go up: θ̂ = (sin el cos az, sin el sin az, -cos el).
        let theta = [sin_el * cos_az, sin_el * sin_az, -cos_el];
        let phi = [-sin_az, cos_az, 0.0];
        let direct = self.moment(outward);
        let (mut n_theta, mut n_phi) = (project(direct, theta), project(direct, phi));
        if self.currents.mesh.ground != Ground::Free {
            if sin_el < 0.0 {
                return GainRatio::default();
            }
            let one = Complex::new(1.0, 0.0);
            let (r_te, r_tm) = self.eps.map_or((-one, one), |eps| reflection(eps, elevation_rad));
            let lower = self.moment(mirrored(outward));
            // Mirrored currents: horizontal parts turned by R_TM = +1 for a conductor.
            let level = [-theta[0], -theta[1], theta[2]];
            n_theta += r_tm * project(lower, level);
            n_phi += r_te * project(lower, phi);
        }
        GainRatio {
            theta: self.front * n_theta.norm_sqr(),
            phi: self.front * n_phi.norm_sqr(),
        }
    }

    /// N = ∫ I e^(jk r̂·r) dl.
    fn moment(&self, outward: Vec3) -> [C64; 3] {
        let mut total = [Complex::new(0.0, 0.0); 3];
        let mesh = &self.currents.mesh;
        for &(start, count) in &mesh.wires {
            let first = &mesh.segments[start];
            // Phase from one segment to the next.
            let psi = self.k * first.length_m * dot(outward, first.dir);
            let step = maths::polar(1.0, psi);
            let mut turn = maths::polar(1.0, self.k * dot(outward, first.point_m(0.5)));
            // ∫ (mean + slope τ) e^(jψτ) dτ over -1/2…1/2, by series: ψ is small.
            let square = psi * psi;
            let even = 1.0 - square / 24.0 + square * square / 1920.0;
            let odd = psi / 12.0 * (1.0 - square / 40.0);
            let mut sum = Complex::new(0.0, 0.0);
            for ends in &self.currents.ends_a[start..start + count] {
                let (mean, slope) = ((ends[0] + ends[1]) * (0.5 * even), (ends[1] - ends[0]) * odd);
                sum += Complex::new(mean.re - slope.im, mean.im + slope.re) * turn;
                turn *= step;
            }
            for (t, d) in total.iter_mut().zip(first.dir) {
                *t += sum * (d * first.length_m);
            }
        }
        total
    }

    /// The average of the power gain over the sphere (free space) or over the upper half space counted as a whole
    /// sphere's share: radiated over input power, dimensionless.
    #[must_use]
    pub fn radiated_part(&self) -> f64 {
        let whole = self.currents.mesh.ground == Ground::Free;
        let elevations = crate::quadrature::gauss_legendre(if whole { 40 } else { 28 });
        let azimuths = 36;
        let mut sum = 0.0;
        for (x, w) in elevations {
            let sin_el = if whole { 2.0 * x - 1.0 } else { x };
            for i in 0..azimuths {
                let azimuth = 2.0 * std::f64::consts::PI * f64::from(i) / f64::from(azimuths);
                sum += w * self.gain(maths::asin(sin_el), azimuth).total();
            }
        }
        sum / f64::from(azimuths) * if whole { 1.0 } else { 0.5 }
    }
}

fn project(n: [C64; 3], along: Vec3) -> C64 {
    n[0] * along[0] + n[1] * along[1] + n[2] * along[2]
}
