//! One ordinary ray through a horizontally even layer around a spherical Earth, without the magnetic field.
//!
//! Bouguer's rule `n r cos(elevation) = const` gives, with `q(h) = 1 - (R/(R+h))² cos²Δ - (fN/f)²`,
//! range `D = 2 ∫ R² cosΔ dh / (r² √q)`, group path `P' = 2 ∫ dh / √q` and absorption `∫ ν (fN/f)² / (2c √q) dh`
//! (Budden, *Radio Waves in the Ionosphere*; Davies, *Ionospheric Radio*). The square-root singularity at the turning
//! height is removed by the substitution `h = ht - s²`, and 16-point Gauss-Legendre integration does the rest.

use crate::profile::{BASE_KM, Profile, STEPS};
use farhop_earth::EARTH_RADIUS_KM;
use farhop_num::maths;
use farhop_num::{DB_PER_FIELD_NEPER, constants::LIGHT_KM_PER_S};

/// A ray that comes back to the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// Elevation at the ground, radians.
    pub elevation_rad: f64,
    /// Distance along the ground, km.
    pub range_km: f64,
    /// Group path, km.
    pub group_path_km: f64,
    /// Turning height, km.
    pub turning_km: f64,
    /// Absorption above 130 km of the ordinary wave, both ways, dB.
    pub upper_loss_db: f64,
}

/// Abscissae and weights on (0, 1): Gauss-Legendre, 16 points (Abramowitz & Stegun table 25.4).
const GAUSS: [(f64, f64); 16] = gauss_16();

const fn gauss_16() -> [(f64, f64); 16] {
    const X: [f64; 8] = [
        0.095_012_509_837_637_44,
        0.281_603_550_779_258_9,
        0.458_016_777_657_227_4,
        0.617_876_244_402_643_7,
        0.755_404_408_355_003,
        0.865_631_202_387_831_7,
        0.944_575_023_073_232_6,
        0.989_400_934_991_649_9,
    ];
    const W: [f64; 8] = [
        0.189_450_610_455_068_5,
        0.182_603_415_044_923_6,
        0.169_156_519_395_002_54,
        0.149_595_988_816_576_73,
        0.124_628_971_255_533_87,
        0.095_158_511_682_492_78,
        0.062_253_523_938_647_89,
        0.027_152_459_411_754_095,
    ];
    let mut points = [(0.0, 0.0); 16];
    let mut i = 0;
    while i < 8 {
        points[2 * i] = (0.5 - 0.5 * X[i], 0.5 * W[i]);
        points[2 * i + 1] = (0.5 + 0.5 * X[i], 0.5 * W[i]);
        i += 1;
    }
    points
}

/// Levels skipped at once while looking for the turning height; the layer is smooth on that scale.
const STRIDE: usize = 4;

/// Traces the F2 ray that leaves the ground at `elevation_rad`; `None` if it passes through the F2 peak.
///
/// The ray must be steep enough to pass the E layer (`Profile::e_cutoff_rad`); the turning height is looked for
/// above the E peak only.
#[must_use]
pub fn trace(profile: &Profile, freq_mhz: f64, elevation_rad: f64) -> Option<Ray> {
    let cosine2 = maths::cos(elevation_rad).powi(2);
    let inverse_f2 = 1.0 / (freq_mhz * freq_mhz);
    let q_at = |i: usize| 1.0 - profile.curvature[i] * cosine2 - profile.plasma_mhz2[i] * inverse_f2;
    let first = profile.above_e_peak();
    let mut upper = first;
    while q_at(upper) > 0.0 {
        if upper == STEPS {
            return None;
        }
        upper = (upper + STRIDE).min(STEPS);
    }
    let turn = (upper.saturating_sub(STRIDE).max(first)..=upper)
        .find(|&i| q_at(i) <= 0.0)?
        .max(1);
    let (below, above) = (q_at(turn - 1), q_at(turn));
    let turn_steps = (turn - 1) as f64 + (below / (below - above)).clamp(0.0, 1.0);
    Some(integrate(profile, turn_steps, inverse_f2, elevation_rad))
}

/// Integrates from the base to the turning level, given in grid steps above the base.
fn integrate(profile: &Profile, turn_steps: f64, inverse_f2: f64, elevation_rad: f64) -> Ray {
    let cosine = maths::cos(elevation_rad);
    let cosine2 = cosine * cosine;
    let depth_steps = turn_steps.sqrt();
    let (mut range, mut group, mut loss) = (0.0, 0.0, 0.0);
    for (x, weight) in GAUSS {
        // h = ht - s², dh = 2 s ds
        let s = depth_steps * x;
        let position = turn_steps - s * s;
        let index = (position as usize).min(STEPS - 1);
        let share = position - index as f64;
        let mix = |table: &[f64; STEPS + 1]| table[index] + share * (table[index + 1] - table[index]);
        let curvature = mix(&profile.curvature);
        let q = (1.0 - curvature * cosine2 - mix(&profile.plasma_mhz2) * inverse_f2).max(1e-12);
        let element = weight * s / q.sqrt();
        range += element * curvature;
        group += element;
        loss += element * mix(&profile.loss_mhz2_per_s);
    }
    let scale_km = 2.0 * 2.0 * depth_steps * profile.step_km;
    // Straight from the ground to the base of the layer, on both sides.
    let base_ratio = EARTH_RADIUS_KM / (EARTH_RADIUS_KM + BASE_KM);
    let base_angle_rad = maths::acos(base_ratio * cosine) - elevation_rad;
    let base_path_km = (EARTH_RADIUS_KM + BASE_KM) * maths::sin(maths::acos(base_ratio * cosine))
        - EARTH_RADIUS_KM * maths::sin(elevation_rad);
    Ray {
        elevation_rad,
        range_km: scale_km * range * cosine + 2.0 * EARTH_RADIUS_KM * base_angle_rad,
        group_path_km: scale_km * group + 2.0 * base_path_km,
        turning_km: BASE_KM + turn_steps * profile.step_km,
        upper_loss_db: DB_PER_FIELD_NEPER * scale_km * loss * inverse_f2 / (2.0 * LIGHT_KM_PER_S),
    }
}
