//! Loss of the ground wave between two places.

use farhop_earth::{EARTH_RADIUS_KM, GroundConstants};
use farhop_num::LIGHT_M_PER_S;
use farhop_num::maths;
use num_complex::Complex64;
use std::ops::RangeInclusive;

use super::{flat, residue};

/// Effective over true radius of the Earth, for refraction in the lower air (four thirds: common practice, and what
/// a surface refractivity of 301 N-units gives).
const EFFECTIVE_RADIUS_RATIO: f64 = 4.0 / 3.0;
/// Field of 1 kW from a short vertical monopole at 1 km over perfect ground, 300 mV/m, in dB above 1 µV/m (P.368).
const CYMOMOTIVE_DBUV: f64 = 109.54;

/// Ranges in which the result can be trusted.
const FREQ_MHZ: RangeInclusive<f64> = 0.1..=30.0;
const DISTANCE_KM: RangeInclusive<f64> = 0.1..=2000.0;
const HEIGHT_M: RangeInclusive<f64> = 0.0..=50.0;

/// Scaled distances x between which the two methods are mixed; see `docs/methods/ground-wave.md` for how they agree there.
const MIX_X: (f64, f64) = (0.35, 0.55);

/// A ground-wave path. Heights are those of the antennas above the ground at their feet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundWaveInputs {
    /// Frequency in MHz, 0.1 to 30.
    pub freq_mhz: f64,
    /// Distance in km, 0.1 to 2000.
    pub distance_km: f64,
    /// Ground along the whole path.
    pub ground: GroundConstants,
    /// Height of the transmitting antenna in metres, 0 to 50.
    pub tx_height_m: f64,
    /// Height of the receiving antenna in metres, 0 to 50.
    pub rx_height_m: f64,
}

/// Which formula gave the answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GroundWaveMethod {
    /// Flat Earth with the correction for small curvature.
    FlatEarth,
    /// Both, mixed.
    Mixed,
    /// Residue series.
    ResidueSeries,
}

/// The answer with its working.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundWave {
    /// Basic transmission loss in dB: free-space loss plus the excess. It includes neither antenna. Power received =
    /// power sent + gains - loss; which gains belong here is said in `docs/methods/ground-wave.md`.
    pub basic_transmission_loss_db: f64,
    /// Free-space basic transmission loss in dB.
    pub free_space_loss_db: f64,
    /// Loss beyond that of perfectly conducting flat ground, dB (negative where heights help).
    pub excess_loss_db: f64,
    /// Field in dB above 1 µV/m for 1 kW from a short vertical monopole (the curves of P.368).
    pub field_strength_dbuv_per_m: f64,
    /// Which formula gave the answer.
    pub method: GroundWaveMethod,
}

/// Why a path has no answer.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum GroundWaveError {
    /// Frequency out of range.
    #[error("ground wave: frequency {0} MHz is not between 0.1 and 30")]
    Frequency(f64),
    /// Distance out of range.
    #[error("ground wave: distance {0} km is not between 0.1 and 2000")]
    Distance(f64),
    /// Antenna height out of range.
    #[error("ground wave: antenna height {0} m above its ground is not between 0 and 50")]
    Height(f64),
}

/// Loss of the ground wave, vertical polarisation, smooth uniform ground.
///
/// # Errors
/// Inputs outside the ranges of [`GroundWaveInputs`].
///
/// # Example
/// ```
/// use farhop_earth::GroundClass;
/// use farhop_propagation::ground_wave::{GroundWaveInputs, ground_wave_loss_db};
/// let sea = ground_wave_loss_db(&GroundWaveInputs {
///     freq_mhz: 3.0, distance_km: 20.0, ground: GroundClass::Sea.constants(), tx_height_m: 0.0, rx_height_m: 0.0,
/// })?;
/// assert!(sea.excess_loss_db < 0.5);
/// # Ok::<(), farhop_propagation::ground_wave::GroundWaveError>(())
/// ```
pub fn ground_wave_loss_db(inputs: &GroundWaveInputs) -> Result<GroundWave, GroundWaveError> {
    check(inputs)?;
    let path = Scaled::of(inputs);
    let (attenuation_db, method) = path.attenuation_db();
    let heights_db = path.height_gain_db(inputs.tx_height_m) + path.height_gain_db(inputs.rx_height_m);
    let excess_loss_db = -attenuation_db - heights_db;
    let distance_m = inputs.distance_km * 1000.0;
    let free_space_loss_db = 20.0 * maths::log10(2.0 * path.wavenumber_per_m * distance_m);
    Ok(GroundWave {
        basic_transmission_loss_db: free_space_loss_db + excess_loss_db,
        free_space_loss_db,
        excess_loss_db,
        field_strength_dbuv_per_m: CYMOMOTIVE_DBUV - 20.0 * maths::log10(inputs.distance_km) - excess_loss_db,
        method,
    })
}

fn check(inputs: &GroundWaveInputs) -> Result<(), GroundWaveError> {
    if !FREQ_MHZ.contains(&inputs.freq_mhz) {
        return Err(GroundWaveError::Frequency(inputs.freq_mhz));
    }
    if !DISTANCE_KM.contains(&inputs.distance_km) {
        return Err(GroundWaveError::Distance(inputs.distance_km));
    }
    match [inputs.tx_height_m, inputs.rx_height_m]
        .into_iter()
        .find(|height| !HEIGHT_M.contains(height))
    {
        Some(height) => Err(GroundWaveError::Height(height)),
        None => Ok(()),
    }
}

/// The path in the dimensionless quantities of the theory.
struct Scaled {
    wavenumber_per_m: f64,
    /// Normalised surface impedance Δ = √(η² - 1)/η² for vertical polarisation at grazing incidence.
    impedance: Complex64,
    p: Complex64,
    q: Complex64,
    x: f64,
}

impl Scaled {
    fn of(inputs: &GroundWaveInputs) -> Self {
        let wavenumber_per_m = std::f64::consts::TAU * inputs.freq_mhz * 1e6 / LIGHT_M_PER_S;
        let permittivity = Complex64::new(inputs.ground.eps_r, -inputs.ground.loss_term(inputs.freq_mhz));
        let impedance = maths::sqrt(permittivity - 1.0) / permittivity;
        let radius_m = EARTH_RADIUS_KM * 1000.0 * EFFECTIVE_RADIUS_RATIO;
        let distance_m = inputs.distance_km * 1000.0;
        let curvature = maths::cbrt(wavenumber_per_m * radius_m / 2.0);
        let minus_j = Complex64::new(0.0, -1.0);
        Self {
            wavenumber_per_m,
            impedance,
            p: minus_j * (wavenumber_per_m * distance_m / 2.0) * impedance * impedance,
            q: minus_j * curvature * impedance,
            x: curvature * distance_m / radius_m,
        }
    }

    fn attenuation_db(&self) -> (f64, GroundWaveMethod) {
        let db = |attenuation: Complex64| 20.0 * maths::log10(maths::norm(attenuation).max(f64::MIN_POSITIVE));
        let (near, far) = MIX_X;
        if self.x <= near {
            return (db(flat::attenuation(self.p, self.q)), GroundWaveMethod::FlatEarth);
        }
        let residue_db = db(residue::attenuation(self.x, self.q));
        if self.x >= far {
            return (residue_db, GroundWaveMethod::ResidueSeries);
        }
        let along = (self.x - near) / (far - near);
        let share = along * along * (3.0 - 2.0 * along);
        let flat_db = db(flat::attenuation(self.p, self.q));
        ((1.0 - share) * flat_db + share * residue_db, GroundWaveMethod::Mixed)
    }

    /// 1 + j k h Δ: the first terms of w(t - y)/w(t), good while k h is small beside (k a/2)^⅓.
    fn height_gain_db(&self, height_m: f64) -> f64 {
        let gain = 1.0 + Complex64::i() * self.wavenumber_per_m * height_m * self.impedance;
        20.0 * maths::log10(maths::norm(gain))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_earth::GroundClass;
    use proptest::prelude::*;

    fn loss(freq_mhz: f64, distance_km: f64, class: GroundClass) -> GroundWave {
        ground_wave_loss_db(&GroundWaveInputs {
            freq_mhz,
            distance_km,
            ground: class.constants(),
            tx_height_m: 0.0,
            rx_height_m: 0.0,
        })
        .unwrap()
    }

    #[test]
    fn the_two_methods_agree_where_they_are_mixed() {
        for class in GroundClass::ALL {
            for freq_mhz in [2.0, 3.5, 7.0, 14.0, 30.0] {
                for x in [MIX_X.0, 0.45, MIX_X.1] {
                    let mut inputs = GroundWaveInputs {
                        freq_mhz,
                        distance_km: 1.0,
                        ground: class.constants(),
                        tx_height_m: 0.0,
                        rx_height_m: 0.0,
                    };
                    inputs.distance_km = x / Scaled::of(&inputs).x;
                    let path = Scaled::of(&inputs);
                    let (flat, series) = (flat::attenuation(path.p, path.q), residue::attenuation(path.x, path.q));
                    let difference_db = 20.0 * (flat / series).norm().log10();
                    assert!(
                        difference_db.abs() < 0.3,
                        "{class:?} {freq_mhz} MHz x {x}: {difference_db} dB"
                    );
                }
            }
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let good = GroundWaveInputs {
            freq_mhz: 7.0,
            distance_km: 20.0,
            ground: GroundClass::Poor.constants(),
            tx_height_m: 0.0,
            rx_height_m: 5.0,
        };
        assert!(
            ground_wave_loss_db(&GroundWaveInputs {
                freq_mhz: f64::NAN,
                ..good
            })
            .is_err()
        );
        assert!(
            ground_wave_loss_db(&GroundWaveInputs {
                distance_km: 0.0,
                ..good
            })
            .is_err()
        );
        assert!(
            ground_wave_loss_db(&GroundWaveInputs {
                tx_height_m: -1.0,
                ..good
            })
            .is_err()
        );
        assert!(
            ground_wave_loss_db(&GroundWaveInputs {
                rx_height_m: f64::INFINITY,
                ..good
            })
            .is_err()
        );
    }

    proptest! {
        #[test]
        fn loss_grows_smoothly_with_distance(f in 2.0..30.0_f64, log_km in 0.0..3.0_f64, class in 0_usize..8) {
            let class = GroundClass::ALL[class];
            let km = 10.0_f64.powf(log_km);
            let (here, beyond) = (loss(f, km, class), loss(f, km * 1.01, class));
            let step = beyond.basic_transmission_loss_db - here.basic_transmission_loss_db;
            prop_assert!(step > 0.0 && step < 0.4 + 0.02 * km * f.cbrt() * 0.2, "{step} dB");
        }
    }
}
