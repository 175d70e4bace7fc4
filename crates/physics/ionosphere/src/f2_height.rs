//! The height of the F2 peak.

/// Bounds put on the height of the F2 peak, km: outside them the closed form has left its data.
pub(crate) const HMF2_RANGE_KM: std::ops::RangeInclusive<f64> = 180.0..=550.0;

/// Height of the F2 peak in km, from foF2 and foE in MHz, M(3000)F2 and R12 (both dimensionless).
///
/// hmF2 = 1490 / (M + ΔM) − 176, ΔM = 0.18/(y − 1.4) + 0.096 (R12 − 25)/150, y = max(foF2/foE, 1.7).
///
/// Reference: Bradley & Dudeney, J. Atmos. Terr. Phys. 35 (1973) 2131, with the sunspot term of later use. From memory.
/// Bounded to `HMF2_RANGE_KM`.
#[must_use]
pub fn hmf2_km(fof2_mhz: f64, foe_mhz: f64, m3000f2: f64, r12: f64) -> f64 {
    let y = (fof2_mhz / foe_mhz).max(1.7);
    let dm = 0.18 / (y - 1.4) + 0.096 * (r12 - 25.0) / 150.0;
    let height_km = 1490.0 / (m3000f2 + dm).max(0.1) - 176.0;
    height_km.clamp(*HMF2_RANGE_KM.start(), *HMF2_RANGE_KM.end())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: M = 3, foF2/foE = 2.4, R12 = 25: ΔM = 0.18, 1490/3.18 − 176 = 292.55.
    #[test]
    fn a_case_by_hand() {
        assert!((hmf2_km(7.2, 3.0, 3.0, 25.0) - 292.553).abs() < 0.001);
    }

    #[test]
    fn nonsense_stays_in_bounds() {
        for (f2, e, m) in [(1.0, 10.0, 9.0), (20.0, 0.3, 0.5), (f64::INFINITY, 1.0, 3.0)] {
            assert!(HMF2_RANGE_KM.contains(&hmf2_km(f2, e, m, 100.0)));
        }
    }
}
