//! Electron density with height below the F2 peak, for ray theory.
//!
//! Two Epstein layers: the F2 layer with the bottomside thickness of Mosert de González & Radicella (1990), which
//! follows from foF2 and M(3000)F2, and a thin normal E layer at 110 km. An F1 ledge is left out: tried against the
//! ray-trace table it made the MUF worse in daytime more often than better.

use crate::collision::{collision_per_s, day_share};
use farhop_earth::EARTH_RADIUS_KM;
use farhop_num::maths;

/// Number of steps from the base to the F2 peak.
pub(crate) const STEPS: usize = 128;
/// Height in km below which the ray is taken as straight.
pub(crate) const BASE_KM: f64 = 80.0;
/// Height in km of the E peak.
pub(crate) const E_PEAK_KM: f64 = 110.0;
/// Thickness parameter in km of the E layer below its peak (Epstein).
const E_BOTTOM_KM: f64 = 5.0;
/// Thickness parameter in km of the E layer above its peak (Epstein).
const E_TOP_KM: f64 = 7.0;
/// Height in km above which absorption is integrated along the ray; below, the closed form of the D region serves.
const UPPER_ABSORPTION_FROM_KM: f64 = 130.0;

/// By how much more the F region absorbs by day than this profile says, dimensionless: the electrons of the F1 region between
/// 130 and 200 km, where collisions are many, are left out of it. First-principles integrals through profiles that have them
/// give a median of 1.45 times ours by day at every frequency and latitude, and 1.05 by night (`docs/methods/absorption.md`).
const DAY_F1_EXTRA: f64 = 0.45;

/// What shapes the profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProfileInput {
    /// Ordinary-wave critical frequency of the F2 layer, MHz.
    pub fof2_mhz: f64,
    /// MUF factor for 3 000 km, dimensionless.
    pub m3000f2: f64,
    /// Critical frequency of the E layer, MHz.
    pub foe_mhz: f64,
    /// Height of the F2 peak, km.
    pub hmf2_km: f64,
    /// Solar zenith angle, degrees; decides the electron temperature.
    pub sun_zenith_deg: f64,
}

/// Plasma frequency squared on an even height grid from the base to the F2 peak.
#[derive(Clone, Debug)]
pub struct Profile {
    pub(crate) fof2_mhz: f64,
    pub(crate) step_km: f64,
    /// Plasma frequency squared, MHz².
    pub(crate) plasma_mhz2: [f64; STEPS + 1],
    /// (R / (R + h))², dimensionless.
    pub(crate) curvature: [f64; STEPS + 1],
    /// Collision frequency times plasma frequency squared, MHz²/s, zero below 130 km.
    pub(crate) loss_mhz2_per_s: [f64; STEPS + 1],
}

/// Epstein layer: `4 e^x / (1 + e^x)²` with `x = (h - hm) / B`, dimensionless, one at the peak.
fn epstein(height_km: f64, peak_km: f64, thickness_km: f64) -> f64 {
    let e = maths::exp(-((height_km - peak_km) / thickness_km).abs());
    4.0 * e / ((1.0 + e) * (1.0 + e))
}

/// Thickness parameter in km of the F2 layer below its peak.
///
/// `B = 0.385 NmF2 / (dN/dh)max`, `ln (dN/dh)max = -3.467 + 1.714 ln foF2 + 2.02 ln M(3000)F2` in 1e9 m^-3 per km
/// (Mosert de González & Radicella 1990, as used in the NeQuick profile of Rec. ITU-R P.531; from memory, tried against
/// the profiles behind the ray-trace table).
#[must_use]
pub(crate) fn f2_thickness_km(fof2_mhz: f64, m3000f2: f64) -> f64 {
    let gradient = maths::exp(-3.467 + 1.714 * maths::ln(fof2_mhz) + 2.02 * maths::ln(m3000f2));
    (0.385 * 12.4 * fof2_mhz * fof2_mhz / gradient).clamp(10.0, 100.0)
}

impl Profile {
    /// The profile from its layer parameters.
    ///
    /// Values are kept in the range where the formulas hold: foF2 from 0.5 MHz, M(3000)F2 from 1.5 to 4.5, peak from
    /// 150 to 600 km; the E layer is kept below 0.9 foF2 so that the F2 layer can be seen from below.
    #[must_use]
    pub fn new(input: &ProfileInput) -> Self {
        let fof2_mhz = input.fof2_mhz.clamp(0.5, 40.0);
        let foe_mhz = input.foe_mhz.clamp(0.1, 0.9 * fof2_mhz);
        let peak_km = input.hmf2_km.clamp(150.0, 600.0);
        let thickness_km = f2_thickness_km(fof2_mhz, input.m3000f2.clamp(1.5, 4.5));
        let day = day_share(input.sun_zenith_deg);
        // The F1 region comes and goes with the sun.
        let extra = 1.0 + DAY_F1_EXTRA * ((95.0 - input.sun_zenith_deg) / 10.0).clamp(0.0, 1.0);
        let f2 = |h: f64| fof2_mhz * fof2_mhz * epstein(h, peak_km, thickness_km);
        let e_amplitude = (foe_mhz * foe_mhz - f2(E_PEAK_KM)).max(0.0);
        let mut profile = Self {
            fof2_mhz,
            step_km: (peak_km - BASE_KM) / STEPS as f64,
            plasma_mhz2: [0.0; STEPS + 1],
            curvature: [0.0; STEPS + 1],
            loss_mhz2_per_s: [0.0; STEPS + 1],
        };
        for i in 0..=STEPS {
            let height_km = BASE_KM + profile.step_km * i as f64;
            let e_km = if height_km > E_PEAK_KM { E_TOP_KM } else { E_BOTTOM_KM };
            let plasma_mhz2 = f2(height_km) + e_amplitude * epstein(height_km, E_PEAK_KM, e_km);
            let ratio = EARTH_RADIUS_KM / (EARTH_RADIUS_KM + height_km);
            profile.plasma_mhz2[i] = plasma_mhz2;
            profile.curvature[i] = ratio * ratio;
            if height_km >= UPPER_ABSORPTION_FROM_KM {
                profile.loss_mhz2_per_s[i] = extra * plasma_mhz2 * collision_per_s(height_km, plasma_mhz2, day);
            }
        }
        profile
    }

    /// Index of the first grid level above the E peak.
    pub(crate) fn above_e_peak(&self) -> usize {
        ((E_PEAK_KM - BASE_KM) / self.step_km) as usize + 1
    }

    /// Steepest elevation in radians at which the E layer still turns a ray back; `None` if it turns every ray.
    #[must_use]
    pub(crate) fn e_cutoff_rad(&self, freq_mhz: f64) -> Option<f64> {
        let inverse_f2 = 1.0 / (freq_mhz * freq_mhz);
        let peak = self.above_e_peak() - 1;
        // The two grid levels around the peak: the ray must pass both.
        let a = cutoff_rad(self.plasma_mhz2[peak] * inverse_f2, self.curvature[peak])?;
        let b = cutoff_rad(self.plasma_mhz2[peak + 1] * inverse_f2, self.curvature[peak + 1])?;
        Some(a.max(b))
    }
}

/// Elevation at which a ray just passes a level with plasma share `share` = (fN/f)²; zero if every ray passes.
fn cutoff_rad(share: f64, curvature: f64) -> Option<f64> {
    if share >= 1.0 {
        return None;
    }
    let cosine2 = (1.0 - share) / curvature;
    Some(if cosine2 >= 1.0 {
        0.0
    } else {
        maths::acos(cosine2.sqrt())
    })
}
