//! Clouds as a factor on the clear sky, with its spread.

use crate::error::{EnergyError, within};
use crate::spread::Spread3;

/// The clear-sky index of a day: global irradiance over that of a cloudless sky (dimensionless), as 10 %, 50 % and 90 % points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearSkyIndex(Spread3);

impl ClearSkyIndex {
    /// From three points (dimensionless, 0.02 to 1.2, not falling).
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for points out of range or order.
    pub fn new(p10: f64, p50: f64, p90: f64) -> Result<Self, EnergyError> {
        within("clear-sky index, 10 % point", p10, 0.02, 1.2)?;
        within("clear-sky index, median", p50, p10, 1.2)?;
        within("clear-sky index, 90 % point", p90, p50, 1.2)?;
        Ok(Self(Spread3 { p10, p50, p90 }))
    }

    /// The index at a standard normal deviate `z` (both dimensionless), held within 0.02 to 1.2.
    #[must_use]
    pub fn at(&self, z: f64) -> f64 {
        self.0.at(z).clamp(0.02, 1.2)
    }

    /// The three points.
    #[must_use]
    pub fn points(&self) -> Spread3 {
        self.0
    }
}

/// Plain words for the sky of a day. The points are common practice, from memory.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Sky {
    /// Cloudless or nearly.
    Clear,
    /// Sun and clouds in turn.
    Broken,
    /// Closed cloud.
    Overcast,
    /// Thick low cloud, rain or fog.
    Rain,
}

impl Sky {
    /// The clear-sky index of such a day.
    #[must_use]
    pub fn index(self) -> ClearSkyIndex {
        let (p10, p50, p90) = match self {
            Self::Clear => (0.88, 0.97, 1.02),
            Self::Broken => (0.45, 0.70, 0.92),
            Self::Overcast => (0.15, 0.28, 0.48),
            Self::Rain => (0.06, 0.14, 0.28),
        };
        ClearSkyIndex(Spread3 { p10, p50, p90 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_in_order() {
        let medians = [Sky::Rain, Sky::Overcast, Sky::Broken, Sky::Clear].map(|s| s.index().at(0.0));
        assert!(medians.windows(2).all(|p| p[0] < p[1]));
        assert!(ClearSkyIndex::new(0.5, 0.4, 0.9).is_err());
        assert!(Sky::Rain.index().at(-9.0) >= 0.02 && Sky::Clear.index().at(9.0) <= 1.2);
    }
}
