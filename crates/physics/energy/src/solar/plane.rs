//! From level ground to a tilted plane.
//!
//! Isotropic sky: Liu and Jordan, Solar Energy 4 (1960) / Hottel and Woertz 1942. Circumsolar share: Hay and Davies,
//! "Calculation of the solar radiation incident on an inclined surface", Canadian Solar Radiation Data Workshop (1980).

use super::clear_sky::Irradiance;
use farhop_num::maths;

/// Which model spreads the diffuse light over the sky.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Transposition {
    /// The same from everywhere.
    Isotropic,
    /// A part from the direction of the sun (Hay and Davies 1980).
    HayDavies,
}

/// Irradiance on a plane, by origin, W/m².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OnPlane {
    /// Straight from the sun, W/m².
    pub direct_w_m2: f64,
    /// From the sky, W/m².
    pub sky_w_m2: f64,
    /// Thrown back by the ground, W/m².
    pub ground_w_m2: f64,
}

impl OnPlane {
    /// All of it, W/m².
    #[must_use]
    pub fn total_w_m2(&self) -> f64 {
        self.direct_w_m2 + self.sky_w_m2 + self.ground_w_m2
    }
}

/// Cosine of the angle between the sun and the normal of a plane (dimensionless, may be negative).
///
/// Each pair is (angle from the zenith, bearing) in °: the sun's and the plane's normal's (tilt, azimuth).
#[must_use]
pub fn cos_incidence(sun_deg: (f64, f64), plane_deg: (f64, f64)) -> f64 {
    let (zenith, tilt) = (sun_deg.0.to_radians(), plane_deg.0.to_radians());
    let turn = (sun_deg.1 - plane_deg.1).to_radians();
    (maths::cos(zenith) * maths::cos(tilt) + maths::sin(zenith) * maths::sin(tilt) * maths::cos(turn)).clamp(-1.0, 1.0)
}

/// What a plane sees at an instant, apart from the brightness: computed once, used for many skies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneView {
    /// Sun's zenith angle, °.
    pub zenith_deg: f64,
    /// Cosine of the angle of incidence, 0 where the sun is behind the plane (dimensionless).
    pub cos_incidence: f64,
    /// Tilt of the plane, °.
    pub tilt_deg: f64,
    /// Extraterrestrial irradiance across the beam, W/m².
    pub extraterrestrial_w_m2: f64,
    /// Whether something stands between the plane and the sun.
    pub sun_hidden: bool,
    /// Share of the sky's light that the skyline lets through (dimensionless).
    pub sky_share: f64,
    /// Reflection factor of the ground (dimensionless).
    pub albedo: f64,
}

impl PlaneView {
    /// The irradiance on the plane.
    #[must_use]
    pub fn on_plane(&self, sky: Irradiance, model: Transposition) -> OnPlane {
        // Near the horizon the ratio of the projections is held (cos 89°), as common practice has it.
        const LEAST_COS_ZENITH: f64 = 0.017_45;
        let half_sky = 0.5 * (1.0 + maths::cos(self.tilt_deg.to_radians()));
        let beam = if self.sun_hidden { 0.0 } else { sky.direct_normal_w_m2 };
        let (circumsolar, anisotropy) = match model {
            Transposition::Isotropic => (0.0, 0.0),
            Transposition::HayDavies => {
                let anisotropy = (sky.direct_normal_w_m2 / self.extraterrestrial_w_m2).clamp(0.0, 1.0);
                let ratio = self.cos_incidence / maths::cos(self.zenith_deg.to_radians()).max(LEAST_COS_ZENITH);
                let seen = if self.sun_hidden {
                    0.0
                } else {
                    sky.diffuse_w_m2 * anisotropy * ratio
                };
                (seen, anisotropy)
            }
        };
        OnPlane {
            direct_w_m2: beam * self.cos_incidence,
            sky_w_m2: circumsolar + sky.diffuse_w_m2 * (1.0 - anisotropy) * half_sky * self.sky_share,
            ground_w_m2: sky.global_w_m2 * self.albedo * (1.0 - half_sky),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn view(zenith_deg: f64, azimuth_deg: f64, tilt_deg: f64, facing_deg: f64) -> PlaneView {
        PlaneView {
            zenith_deg,
            cos_incidence: cos_incidence((zenith_deg, azimuth_deg), (tilt_deg, facing_deg)).max(0.0),
            tilt_deg,
            extraterrestrial_w_m2: 1361.0,
            sun_hidden: false,
            sky_share: 1.0,
            albedo: 0.2,
        }
    }

    #[test]
    fn a_plane_across_the_beam_gets_all_of_it() {
        assert!((cos_incidence((35.0, 200.0), (35.0, 200.0)) - 1.0).abs() < 1e-12);
        assert!(cos_incidence((80.0, 0.0), (80.0, 180.0)) < 0.0);
    }

    proptest! {
        /// A level plane sees the global irradiance under either model.
        #[test]
        fn level_plane_sees_the_global(zenith in 0.0..88.0f64, facing in 0.0..360.0f64, beam in 0.0..1000.0f64, diffuse in 0.0..400.0f64) {
            let global = beam * zenith.to_radians().cos() + diffuse;
            let sky = Irradiance { global_w_m2: global, direct_normal_w_m2: beam, diffuse_w_m2: diffuse };
            for model in [Transposition::Isotropic, Transposition::HayDavies] {
                let total = view(zenith, 123.0, 0.0, facing).on_plane(sky, model).total_w_m2();
                prop_assert!((total - global).abs() < 1e-9);
            }
        }

        #[test]
        fn a_hidden_sun_never_helps(zenith in 0.0..90.0f64, tilt in 0.0..90.0f64) {
            let sky = Irradiance { global_w_m2: 600.0, direct_normal_w_m2: 500.0, diffuse_w_m2: 100.0 };
            let open = view(zenith, 150.0, tilt, 180.0);
            let hidden = PlaneView { sun_hidden: true, ..open };
            for model in [Transposition::Isotropic, Transposition::HayDavies] {
                prop_assert!(hidden.on_plane(sky, model).total_w_m2() <= open.on_plane(sky, model).total_w_m2());
            }
        }
    }
}
