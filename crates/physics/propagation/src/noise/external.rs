//! Man-made and galactic noise.

use farhop_gear::NoiseClass;
use farhop_num::maths;

use super::NoiseTerm;
use farhop_num::db_of_ratio;

/// Man-made noise: Fa = c - d log f, with the deciles of variation in time and place (P.372 tables; from memory).
///
/// Valid for 0.3 to 250 MHz (quiet rural: to 30 MHz).
#[must_use]
pub fn man_made(class: NoiseClass, freq_mhz: f64) -> NoiseTerm {
    let (c, d, upper_decile_db, lower_decile_db) = match class {
        NoiseClass::City => (76.8, 27.7, 11.0, 6.7),
        NoiseClass::Residential => (72.5, 27.7, 10.6, 5.3),
        NoiseClass::Rural => (67.2, 27.7, 9.2, 4.6),
        NoiseClass::QuietRural => (53.6, 28.6, 9.2, 4.6),
    };
    NoiseTerm {
        fa_median_db: c - d * maths::log10(freq_mhz),
        upper_decile_db,
        lower_decile_db,
    }
}

/// Width of the passage from shielded to open, as a part of foF2. Not from P.372, which has a step: a smooth passage
/// keeps rankings from jumping. A tenth above foF2 the difference from the step is 0.03 dB.
const PASSAGE: f64 = 0.02;
/// Below this part of foF2 galactic noise is left out (its weight is below 1/1800).
const SHIELDED_BELOW: f64 = 0.85;

/// Galactic noise: Fa = 52 - 23 log f, deciles 2 dB (P.372; from memory), only above foF2.
///
/// `None` where the ionosphere shields it. A critical frequency of zero or not a number shields nothing.
#[must_use]
pub fn galactic(freq_mhz: f64, fof2_mhz: f64) -> Option<NoiseTerm> {
    let ratio = if fof2_mhz > 0.0 {
        freq_mhz / fof2_mhz
    } else {
        f64::INFINITY
    };
    if ratio < SHIELDED_BELOW {
        return None;
    }
    let weight = 1.0 / (1.0 + maths::exp(-(ratio - 1.0) / PASSAGE));
    Some(NoiseTerm {
        fa_median_db: 52.0 - 23.0 * maths::log10(freq_mhz) + db_of_ratio(weight),
        upper_decile_db: 2.0,
        lower_decile_db: 2.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_quieter_class_is_quieter() {
        for pair in NoiseClass::ALL.windows(2) {
            assert!(man_made(pair[0], 7.0).fa_median_db > man_made(pair[1], 7.0).fa_median_db);
        }
    }

    #[test]
    fn galactic_noise_stops_at_fof2() {
        assert_eq!(galactic(5.0, 7.0), None);
        let half = galactic(7.0, 7.0).unwrap().fa_median_db - (52.0 - 23.0 * 7.0_f64.log10());
        assert!((half + 3.0103).abs() < 1e-3);
        assert!(galactic(5.0, f64::NAN).is_some() && galactic(5.0, 0.0).is_some());
    }

    proptest! {
        #[test]
        fn galactic_never_exceeds_its_law(f in 1.0..30.0_f64, fof2 in 0.0..20.0_f64) {
            if let Some(term) = galactic(f, fof2) {
                prop_assert!(term.fa_median_db.is_finite());
                prop_assert!(term.fa_median_db <= 52.0 - 23.0 * f.log10() + 1e-12);
            } else {
                prop_assert!(f < fof2);
            }
        }
    }
}
