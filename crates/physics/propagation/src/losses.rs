//! The terms of the loss between isotropic antennas.

use farhop_num::db_of_ratio;
use farhop_num::maths;

/// Loss in dB of one reflection at the ground between hops (Rec. ITU-R P.533: 2 dB).
pub const GROUND_REFLECTION_DB: f64 = 2.0;

/// Loss in dB of a linear antenna that takes one of the two circular waves: half the power.
pub const POLARISATION_DB: f64 = 3.010_3;

/// What is not in any other term, dB.
///
/// Rec. ITU-R P.533 gives 8.7 dB (from memory) for all that its method leaves out, relative to the hourly median. Two
/// parts of that are
/// counted here by themselves: the polarisation (3.0 dB), and the difference between the mean power of a fading
/// signal, which is what
/// this crate gives, and its median (1.6 dB for Rayleigh fading). The rest stays.
pub const RESIDUAL_DB: f64 = 4.1;

/// Each loss of a mode, dB; all are zero or more.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Losses {
    /// Free-space spreading over the virtual slant range.
    pub spreading_db: f64,
    /// Absorption in the D, E and F region.
    pub absorption_db: f64,
    /// Loss because the frequency is above the MUF.
    pub above_muf_db: f64,
    /// Reflections at the ground between hops.
    pub ground_reflection_db: f64,
    /// Auroral and usual polar-cap loss.
    pub auroral_db: f64,
    /// A solar flare's X-rays in the D region.
    pub fade_out_db: f64,
    /// A solar storm's protons in the D region of the polar cap.
    pub polar_cap_db: f64,
    /// One magneto-ionic wave between linear antennas.
    pub polarisation_db: f64,
    /// Passage of the E layer and of sporadic E; the reflection loss of sporadic E itself.
    pub screening_db: f64,
    /// What is not otherwise counted.
    pub residual_db: f64,
    /// Diffraction over the horizons at both ends.
    pub horizon_db: f64,
}

impl Losses {
    /// The sum, dB.
    #[must_use]
    pub fn total_db(&self) -> f64 {
        self.spreading_db
            + self.absorption_db
            + self.above_muf_db
            + self.ground_reflection_db
            + self.auroral_db
            + self.fade_out_db
            + self.polar_cap_db
            + self.polarisation_db
            + self.screening_db
            + self.residual_db
            + self.horizon_db
    }
}

/// Free-space spreading `32.45 + 20 log10 f + 20 log10 d`, dB (Rec. ITU-R P.525).
#[must_use]
pub fn spreading_db(freq_mhz: f64, path_km: f64) -> f64 {
    32.45 + 2.0 * db_of_ratio(freq_mhz) + 2.0 * db_of_ratio(path_km.max(1.0))
}

/// Slope just beyond the edge of a layer, dB for each unit of f / MUF - 1 (dimensionless): 20 dB in one percent.
///
/// A parabolic layer without collisions lets a wave through with `|R|² = 1 / (1 + exp(2 π a k (f/fc - fc/f)/2))` (barrier
/// penetration; Budden, *The Propagation of Radio Waves*): 40 dB within 0.03 % for 80 km and 3.6 MHz. The slope is far gentler,
/// for small structure and so that figures do not jump; the fluctuations of foF2 from one sounding to the next are in its
/// deciles already and are not counted again.
pub(crate) const EDGE_DB_PER_UNIT: f64 = 2_000.0;
/// What remains beyond the edge of a layer, by side-scatter from the ground far away, under the same path when supported, dB.
/// Radar equation, `docs/methods/signal.md`; good to [`SCATTER_SD_DB`].
pub(crate) const SCATTER_DB: f64 = 45.0;
/// How much weaker still, dB, where the lost ray is steep: antennas that serve steep rays are weak toward the low angles of the
/// scattered ones (some 7 to 8 dB at each end).
pub(crate) const SCATTER_STEEP_DB: f64 = 15.0;
/// Standard deviation in dB of the scattered remainder: the scattering coefficient of land at HF lies between -40 and -25 dB.
pub(crate) const SCATTER_SD_DB: f64 = 6.0;

/// Loss in dB just beyond the edge of a layer on a single day, at `ratio` = f / MUF of that day, dimensionless.
#[must_use]
pub(crate) fn beyond_edge_db(ratio: f64, elevation_rad: f64) -> f64 {
    let steep = maths::sin(elevation_rad).powi(2);
    (EDGE_DB_PER_UNIT * (ratio - 1.0).max(0.0)).min(SCATTER_DB + SCATTER_STEEP_DB * steep)
}

/// Loss in dB above the MUF of an F2 mode on a single day, at `ratio` = f / MUF of that day, dimensionless.
///
/// `beyond_edge_db`, and never less than the monthly median of Rec. ITU-R P.533, `36 (ratio - 1)^½`, at most 62 dB (from
/// memory), to which a steep ray adds `60 (ratio - 1) sin²Δ`, at most 90 dB in all (common practice: it passes straight through).
#[must_use]
pub fn f2_above_muf_db(ratio: f64, elevation_rad: f64) -> f64 {
    let excess = ratio - 1.0;
    if excess <= 0.0 {
        return 0.0;
    }
    let steep = maths::sin(elevation_rad).powi(2);
    let median = (36.0 * excess.sqrt()).min(62.0);
    let passing = (median + 60.0 * excess * steep).min(62.0 + 28.0 * steep);
    passing.max(beyond_edge_db(ratio, elevation_rad))
}

/// Loss in dB above the MUF of an E mode on a single day, at `ratio` = f / MUF of that day, dimensionless: `beyond_edge_db`, and
/// never less than the monthly median of Rec. ITU-R P.533, `130 (ratio - 1)²`, at most 81 dB (from memory).
#[must_use]
pub fn e_above_muf_db(ratio: f64, elevation_rad: f64) -> f64 {
    let excess = (ratio - 1.0).max(0.0);
    (130.0 * excess * excess)
        .min(81.0)
        .max(beyond_edge_db(ratio, elevation_rad))
}

/// Loss in dB of an F2 ray that grazes the E layer, at `ratio` = f / (foE sec i110), dimensionless.
///
/// Rec. ITU-R P.533 drops a mode below the screening frequency 1.05 foE sec i110; here the loss grows from there to
/// 30 dB at the
/// cut-off, where the ray spends its power in the E layer.
#[must_use]
pub fn e_screening_db(ratio: f64) -> f64 {
    30.0 * ((1.05 - ratio) / 0.05).clamp(0.0, 1.0).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn free_space_by_hand() {
        // 7.1 MHz, 700 km: 32.45 + 17.03 + 56.90 = 106.38 dB
        assert!((spreading_db(7.1, 700.0) - 106.38).abs() < 0.01);
    }

    #[test]
    fn above_muf_grows_and_is_bounded() {
        assert_eq!(f2_above_muf_db(0.99, 1.0), 0.0);
        assert!((f2_above_muf_db(1.01, 0.0) - 20.0).abs() < 1e-9);
        assert!((f2_above_muf_db(9.0, 0.0) - 62.0).abs() < 1e-9);
        assert!(f2_above_muf_db(9.0, 1.5) < 90.1);
        assert!((e_above_muf_db(1.2, 0.0) - 45.0).abs() < 1e-9);
        assert!((e_above_muf_db(3.0, 0.0) - 81.0).abs() < 1e-9);
    }

    /// Rec. ITU-R P.533, section 5 (from memory): the loss is monotone in the day's MUF, so its median over the days is its value
    /// on the median day, and that may not be less than the Recommendation's median.
    #[test]
    fn the_median_over_days_is_not_under_p533() {
        for step in 1..400 {
            let ratio = 1.0 + 0.01 * f64::from(step);
            for elevation_rad in [0.05, 0.5, 1.0, 1.5] {
                let p533_f2_db = (36.0 * (ratio - 1.0).sqrt()).min(62.0);
                let p533_e_db = (130.0 * (ratio - 1.0).powi(2)).min(81.0);
                // Up to rounding.
                let p533_e_db = p533_e_db - 1e-9;
                assert!(f2_above_muf_db(ratio, elevation_rad) >= p533_f2_db);
                assert!(e_above_muf_db(ratio, elevation_rad) >= p533_e_db);
                let next = f2_above_muf_db(ratio + 0.01, elevation_rad);
                assert!(next >= f2_above_muf_db(ratio, elevation_rad) - 1e-9);
            }
        }
    }

    /// Barrier penetration of a parabolic layer (Budden): 1 / (1 + exp(π a k (x - 1/x))). The slope in use is gentler.
    #[test]
    fn the_edge_is_gentler_than_a_smooth_layer() {
        let reflected_db = |ratio: f64, semithickness_m: f64| {
            let k = std::f64::consts::TAU * 3.6e6 / 299_792_458.0;
            let exponent = std::f64::consts::PI * semithickness_m * k * (ratio - 1.0 / ratio);
            10.0 * (1.0 + exponent.exp()).log10()
        };
        assert!(reflected_db(1.0003, 80e3) > 40.0);
        for ratio in [1.001, 1.003, 1.01] {
            // A thin E layer of 10 km, and an F layer.
            assert!(reflected_db(ratio, 10e3) > beyond_edge_db(ratio, 0.0));
            assert!(reflected_db(ratio, 80e3) > beyond_edge_db(ratio, 0.0));
        }
    }

    #[test]
    fn the_sum_is_the_sum_of_all_terms() {
        let losses = Losses {
            spreading_db: 1.0,
            absorption_db: 2.0,
            above_muf_db: 4.0,
            ground_reflection_db: 8.0,
            auroral_db: 16.0,
            fade_out_db: 512.0,
            polar_cap_db: 1_024.0,
            polarisation_db: 32.0,
            screening_db: 64.0,
            residual_db: 128.0,
            horizon_db: 256.0,
        };
        assert!((losses.total_db() - 2_047.0).abs() < 1e-9);
    }
}
