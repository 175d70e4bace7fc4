//! Collision frequency of electrons in the E and F region, for the absorption above the D region.
//!
//! Formulas: Schunk & Nagy, *Ionospheres* (momentum-transfer collision frequencies of electrons with N2, O2 and O, and
//! with ions). Densities: US Standard Atmosphere 1976. Electron temperatures: round mid-latitude values by day and by
//! night. All from memory. Together they are good to a factor of about 2, which is what is known of the F region's
//! deviative loss anyway.

use farhop_num::maths;

/// One height of the table: density in cm^-3 of N2, O2 and O, and electron temperature in K by day and by night.
struct Level {
    height_km: f64,
    neutrals_per_s: [f64; 2],
    temperature_k: [f64; 2],
}

/// Rate with neutrals in s^-1 by day and by night at each height, worked out from the densities beside it
/// (see the test, which derives it again).
const LEVELS: [Level; 10] = [
    level(100.0, [49_600.0, 49_600.0], [195.0, 195.0]),
    level(110.0, [10_200.0, 10_200.0], [240.0, 240.0]),
    level(120.0, [3_350.0, 3_170.0], [350.0, 330.0]),
    level(130.0, [1_560.0, 1_400.0], [460.0, 410.0]),
    level(150.0, [515.0, 436.0], [650.0, 540.0]),
    level(175.0, [194.0, 156.0], [870.0, 680.0]),
    level(200.0, [83.7, 64.7], [1_050.0, 780.0]),
    level(250.0, [20.5, 14.9], [1_300.0, 900.0]),
    level(300.0, [6.26, 4.40], [1_500.0, 1_000.0]),
    level(500.0, [0.154, 0.0997], [1_900.0, 1_200.0]),
];

const fn level(height_km: f64, neutrals_per_s: [f64; 2], temperature_k: [f64; 2]) -> Level {
    Level {
        height_km,
        neutrals_per_s,
        temperature_k,
    }
}

/// Share of day, dimensionless from 0 (night) to 1 (day), that the electron temperature has at this solar zenith angle.
#[must_use]
pub(crate) fn day_share(sun_zenith_deg: f64) -> f64 {
    ((100.0 - sun_zenith_deg) / 20.0).clamp(0.0, 1.0)
}

/// Collision frequency in s^-1 of electrons at `height_km` where the plasma frequency squared is `plasma_mhz2`.
///
/// Valid from 100 to 500 km; the ends are held outside. `day` is `day_share`, dimensionless.
#[must_use]
pub fn collision_per_s(height_km: f64, plasma_mhz2: f64, day: f64) -> f64 {
    let upper = LEVELS
        .partition_point(|l| l.height_km < height_km)
        .clamp(1, LEVELS.len() - 1);
    let (Some(low), Some(high)) = (LEVELS.get(upper - 1), LEVELS.get(upper)) else {
        return 0.0;
    };
    let share = ((height_km - low.height_km) / (high.height_km - low.height_km)).clamp(0.0, 1.0);
    let mix = |pair: [f64; 2]| pair[1] + (pair[0] - pair[1]) * day;
    let (rate_low, rate_high) = (mix(low.neutrals_per_s), mix(high.neutrals_per_s));
    let neutrals_per_s = rate_low * maths::powf(rate_high / rate_low, share);
    let temperature_k = mix(low.temperature_k) + share * (mix(high.temperature_k) - mix(low.temperature_k));
    // N = fN² / 80.6 with N in m^-3 and f in Hz: 1.24e4 cm^-3 for 1 MHz
    let density_cm3 = (1.24e4 * plasma_mhz2).max(1.0);
    // ν_ei = [34 + 4.18 ln(T³/n)] n T^-1.5 (handbook form, n in cm^-3)
    let coulomb = 34.0 + 4.18 * maths::ln(temperature_k.powi(3) / density_cm3);
    neutrals_per_s + coulomb.max(10.0) * density_cm3 * maths::powf(temperature_k, -1.5)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// N2, O2, O in cm^-3 at the heights of the table (US Standard Atmosphere 1976, from memory).
    const DENSITIES: [[f64; 3]; 10] = [
        [9.2e12, 2.15e12, 4.3e11],
        [1.6e12, 2.6e11, 2.3e11],
        [3.73e11, 4.4e10, 9.3e10],
        [1.33e11, 1.44e10, 4.6e10],
        [3.12e10, 2.75e9, 1.78e10],
        [8.5e9, 6.6e8, 8.2e9],
        [2.93e9, 1.92e8, 4.05e9],
        [4.8e8, 2.5e7, 1.4e9],
        [9.6e7, 3.9e6, 5.4e8],
        [2.6e5, 4.6e3, 1.8e7],
    ];

    fn with_neutrals_per_s([n2, o2, o]: [f64; 3], t: f64) -> f64 {
        2.33e-11 * n2 * (1.0 - 1.21e-4 * t) * t
            + 1.82e-10 * o2 * (1.0 + 3.6e-2 * t.sqrt()) * t.sqrt()
            + 8.9e-11 * o * (1.0 + 5.7e-4 * t) * t.sqrt()
    }

    #[test]
    fn the_table_is_the_formula() {
        for (level, densities) in LEVELS.iter().zip(DENSITIES) {
            for i in 0..2 {
                let expected = with_neutrals_per_s(densities, level.temperature_k[i]);
                let ratio = level.neutrals_per_s[i] / expected;
                assert!((ratio - 1.0).abs() < 0.01, "{} km: {expected}", level.height_km);
            }
        }
    }

    #[test]
    fn falls_with_height() {
        assert!(collision_per_s(110.0, 9.0, 1.0) > 5.0 * collision_per_s(150.0, 9.0, 1.0));
    }
}
