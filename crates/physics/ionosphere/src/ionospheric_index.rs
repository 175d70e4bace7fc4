//! The index that foF2 follows: IG12, what ionosondes themselves say about the level of the maps.
//!
//! IG12 (Liu, Smith & King 1983) is the 12-month mean of the index that makes the CCIR maps of foF2 right at a set of ionosondes at
//! noon. Both fits are our own, over the record of 1958 to 2023 (`validation/ionosphere/ig12.csv`; made and fitted by
//! `data/build/fit_ig12.py`). The scatter is that of cycles left out of the fit.

/// IG12 beyond which foF2 stops rising in the maps, dimensionless (Rec. ITU-R P.1239 says so of R12 = 150; from memory).
pub(crate) const FOF2_SATURATION_IG12: f64 = 150.0;

/// c₀ + c₁ R + c₂ R² on the R12 that stands for a 12-month flux: 783 months, residual 5.7.
const ON_FLUX: [f64; 3] = [-14.71, 1.3699, -0.002_117];
/// The same on the sunspot number of the scale of the maps: 669 months to the end of 2013, residual 6.6.
const ON_SUNSPOTS: [f64; 3] = [-13.21, 1.5404, -0.003_009];

/// IG12 with its scatter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ig12 {
    /// IG12, dimensionless; a little below zero in a deep minimum.
    pub ig12: f64,
    /// Standard deviation of IG12 about the fit, dimensionless.
    pub scatter: f64,
    /// Change of IG12 for a change of R12 by one, dimensionless.
    pub slope: f64,
}

/// IG12 for the R12 (dimensionless) that stands for a 12-month mean of the 10.7 cm flux. Scatter 6.5, much the same at all levels.
#[must_use]
pub fn ig12_from_flux_r12(r12: f64) -> Ig12 {
    parabola(ON_FLUX, r12, 6.5)
}

/// IG12 for a 12-month sunspot number on the scale of the maps (dimensionless). Scatter 4 at a minimum to 10 at a maximum.
#[must_use]
pub fn ig12_from_sunspots(r12: f64) -> Ig12 {
    parabola(ON_SUNSPOTS, r12, (4.0 + 0.05 * r12).clamp(4.0, 10.0))
}

/// A parabola up to its top, then level: more sun never means less.
fn parabola([c0, c1, c2]: [f64; 3], r12: f64, scatter: f64) -> Ig12 {
    let r12 = r12.clamp(0.0, -0.5 * c1 / c2);
    Ig12 {
        ig12: c0 + c1 * r12 + c2 * r12 * r12,
        scatter,
        slope: c1 + 2.0 * c2 * r12,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_index_never_falls_as_the_sun_rises() {
        for fit in [ig12_from_flux_r12, ig12_from_sunspots] {
            let values: Vec<f64> = (0..350).map(|r| fit(f64::from(r)).ig12).collect();
            assert!(values.windows(2).all(|w| w[0] <= w[1]));
        }
    }
}
