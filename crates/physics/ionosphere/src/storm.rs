//! What a geomagnetic disturbance does to foF2.
//!
//! The rule is ours, shaped after published behaviour and from memory: in a storm foF2 falls at middle and high latitudes, most
//! in summer and least in winter, and hardly at low latitudes (Fuller-Rowell et al. 2000 and Araujo-Pradere et al. 2002, the
//! empirical storm correction; depletion of 30 to 40 % in the worst summer cases). It takes the K of the moment and knows
//! nothing of the hours before: a stated weakness. The first hours of a storm may instead raise foF2.

/// ap for each third of Kp from 0o to 9o (GFZ Potsdam / NOAA conversion table; from memory), dimensionless.
const AP_BY_KP_THIRD: [f64; 28] = [
    0.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 9.0, 12.0, 15.0, 18.0, 22.0, 27.0, 32.0, 39.0, 48.0, 56.0, 67.0, 80.0, 94.0,
    111.0, 132.0, 154.0, 179.0, 207.0, 236.0, 300.0, 400.0,
];

/// The ap index for a Kp index from 0 to 9 (both dimensionless), linear between the thirds; outside it is held.
#[must_use]
pub fn ap_from_kp(kp: f64) -> f64 {
    if kp.is_nan() {
        return 0.0;
    }
    let position = 3.0 * kp.clamp(0.0, 9.0);
    let low = (position as usize).min(AP_BY_KP_THIRD.len() - 2);
    AP_BY_KP_THIRD[low] + (AP_BY_KP_THIRD[low + 1] - AP_BY_KP_THIRD[low]) * (position - low as f64)
}

/// The Kp index for an A or ap index (both dimensionless): the inverse of [`ap_from_kp`], 0 to 9.
///
/// A broadcast A index is a daily mean of ap-like numbers; taken as if the day had been even.
#[must_use]
pub fn kp_from_a(a_index: f64) -> f64 {
    let above = AP_BY_KP_THIRD.partition_point(|ap| *ap <= a_index);
    if above == 0 || a_index.is_nan() {
        return 0.0;
    }
    let Some(next) = AP_BY_KP_THIRD.get(above) else {
        return 9.0;
    };
    let base = AP_BY_KP_THIRD[above - 1];
    ((above - 1) as f64 + (a_index - base) / (next - base)) / 3.0
}

/// Where and when a disturbance is felt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StormInputs {
    /// K or Kp index, 0 to 9, dimensionless; held to that range.
    pub k_index: f64,
    /// Geomagnetic latitude, degrees.
    pub geomagnetic_lat_deg: f64,
    /// Geographic latitude, degrees: decides which season it is.
    pub lat_deg: f64,
    /// Declination of the sun, degrees.
    pub sun_declination_deg: f64,
}

/// Loss of foF2 at middle latitudes in summer, as a fraction, by whole K (judgement after the papers above, from memory).
const SUMMER_LOSS_BY_K: [f64; 10] = [0.0, 0.0, 0.0, 0.0, 0.03, 0.07, 0.13, 0.20, 0.28, 0.36];

/// Factor on foF2 (dimensionless, 0.6 to 1) under a disturbance.
#[must_use]
pub fn fof2_storm_factor(inputs: &StormInputs) -> f64 {
    let latitude_share = ((inputs.geomagnetic_lat_deg.abs() - 20.0) / 25.0).clamp(0.0, 1.0);
    // +1 at the summer solstice, -1 at the winter one, less toward the equator.
    let summer = (inputs.sun_declination_deg / 23.44).clamp(-1.0, 1.0) * inputs.lat_deg.signum();
    let season_share = 0.7 + 0.3 * summer;
    1.0 - summer_loss(inputs.k_index) * latitude_share * season_share
}

fn summer_loss(k_index: f64) -> f64 {
    if k_index.is_nan() {
        return 0.0;
    }
    let k = k_index.clamp(0.0, 9.0);
    let low = (k as usize).min(SUMMER_LOSS_BY_K.len() - 2);
    SUMMER_LOSS_BY_K[low] + (SUMMER_LOSS_BY_K[low + 1] - SUMMER_LOSS_BY_K[low]) * (k - low as f64)
}

/// Factor (dimensionless, 1 or more) by which a disturbance widens the day-to-day spread of foF2: 8 % for each K above 3 (judgement).
#[must_use]
pub fn spread_storm_factor(k_index: f64) -> f64 {
    if k_index.is_nan() {
        1.0
    } else {
        1.0 + 0.08 * (k_index.clamp(0.0, 9.0) - 3.0).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The conversion table for whole Kp as published with the index (from memory).
    #[test]
    fn whole_kp_gives_the_published_ap() {
        for (kp, ap) in [0.0, 4.0, 7.0, 15.0, 27.0, 48.0, 80.0, 132.0, 207.0, 400.0]
            .into_iter()
            .enumerate()
        {
            if kp != 0 {
                assert_eq!(ap_from_kp(kp as f64), ap);
            }
            assert!((kp_from_a(ap) - kp as f64).abs() < 1e-9);
        }
        assert_eq!((kp_from_a(1e6), kp_from_a(-3.0), kp_from_a(f64::NAN)), (9.0, 0.0, 0.0));
    }

    fn factor(k_index: f64, geomagnetic_lat_deg: f64, sun_declination_deg: f64) -> f64 {
        let lat_deg = geomagnetic_lat_deg;
        fof2_storm_factor(&StormInputs {
            k_index,
            geomagnetic_lat_deg,
            lat_deg,
            sun_declination_deg,
        })
    }

    #[test]
    fn storms_hurt_summer_and_high_latitudes_most() {
        assert_eq!(factor(2.0, 50.0, 23.4), 1.0);
        assert_eq!(factor(9.0, 10.0, 23.4), 1.0);
        assert!(factor(7.0, 50.0, 23.4) < factor(7.0, 50.0, -23.4));
        assert!(factor(7.0, -50.0, -23.4) < factor(7.0, -50.0, 23.4));
        assert!((0.6..0.7).contains(&factor(9.0, 50.0, 23.4)));
    }

    #[test]
    fn nonsense_is_harmless() {
        for k in [f64::NAN, -5.0, 1e9, f64::INFINITY] {
            assert!((0.6..=1.0).contains(&factor(k, 60.0, 20.0)));
            assert!((1.0..2.0).contains(&spread_storm_factor(k)));
        }
    }
}
