//! Electrical constants of the ground.
//!
//! Values by class as in Rec. ITU-R P.527 and P.832 and in common antenna practice, written from memory. They are
//! taken as constant from 1 to 30 MHz, which P.527 allows for the wet classes and approximately for the dry ones.

use farhop_num::constants::EPS0_F_PER_M;

/// Relative permittivity and conductivity of the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundConstants {
    /// Relative permittivity, dimensionless, at least 1.
    pub eps_r: f64,
    /// Conductivity in siemens per metre, not negative.
    pub sigma_s_per_m: f64,
}

/// Why two numbers are not ground constants.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum GroundError {
    /// Relative permittivity outside 1 to 100.
    #[error("relative permittivity {0} is not between 1 (air) and 100 (water is about 80)")]
    Permittivity(f64),
    /// Conductivity outside 0 to 10 S/m.
    #[error("conductivity {0} S/m is not between 0 and 10 (sea water is about 5; fields are a few thousandths)")]
    Conductivity(f64),
}

impl GroundConstants {
    /// Checked constants.
    ///
    /// # Errors
    /// Permittivity outside 1 to 100, conductivity outside 0 to 10 S/m, or not finite.
    pub fn new(eps_r: f64, sigma_s_per_m: f64) -> Result<Self, GroundError> {
        if !(1.0..=100.0).contains(&eps_r) {
            return Err(GroundError::Permittivity(eps_r));
        }
        if !(0.0..=10.0).contains(&sigma_s_per_m) {
            return Err(GroundError::Conductivity(sigma_s_per_m));
        }
        Ok(Self { eps_r, sigma_s_per_m })
    }

    /// The loss part of the complex relative permittivity, `x = sigma / (omega eps0)`, dimensionless (about 18 000
    /// sigma / f with f in MHz). With time dependence exp(+j omega t) the complex permittivity is `eps_r - j x`.
    #[must_use]
    pub fn loss_term(self, freq_mhz: f64) -> f64 {
        self.sigma_s_per_m / (std::f64::consts::TAU * freq_mhz * 1e6 * EPS0_F_PER_M)
    }
}

/// Kinds of ground a person can recognise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GroundClass {
    /// Salt water.
    Sea,
    /// Lakes and rivers.
    FreshWater,
    /// Marsh, flooded fields, wet forest floor.
    Wet,
    /// Rich farm land, good soil.
    Good,
    /// Pasture, medium soil, woods.
    Average,
    /// Rock, gravel, mountains.
    Poor,
    /// Desert, permafrost, dry snow on rock.
    VeryDry,
    /// Built-up land.
    City,
}

impl GroundClass {
    /// All classes, from the best conductor down.
    pub const ALL: [Self; 8] = [
        Self::Sea,
        Self::FreshWater,
        Self::Good,
        Self::Wet,
        Self::Average,
        Self::City,
        Self::Poor,
        Self::VeryDry,
    ];

    /// All classes with the word that a file or a command writes, in the order of the guide.
    pub const WORDS: [(&'static str, Self); 8] = [
        ("sea", Self::Sea),
        ("fresh-water", Self::FreshWater),
        ("wet", Self::Wet),
        ("good", Self::Good),
        ("average", Self::Average),
        ("poor", Self::Poor),
        ("very-dry", Self::VeryDry),
        ("city", Self::City),
    ];

    /// What one sees there, in a few words.
    #[must_use]
    pub fn looks(self) -> &'static str {
        match self {
            Self::Sea => "Salt water",
            Self::FreshWater => "Lakes and rivers",
            Self::Wet => "Marsh, flooded fields",
            Self::Good => "Rich farm land",
            Self::Average => "Pasture, woods",
            Self::Poor => "Rock, gravel",
            Self::VeryDry => "Desert, dry snow",
            Self::City => "Built-up land",
        }
    }

    /// Its name in a sentence: `wet ground`.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Sea => "sea water".to_owned(),
            Self::FreshWater => "fresh water".to_owned(),
            land => {
                let word = Self::WORDS.iter().find(|w| w.1 == land).map_or("", |w| w.0);
                format!("{} ground", word.replace('-', " "))
            }
        }
    }

    /// The constants of the class (from memory of Rec. ITU-R P.527 and P.832; `Good` and `City`: common practice).
    #[must_use]
    pub fn constants(self) -> GroundConstants {
        let (eps_r, sigma_s_per_m) = match self {
            Self::Sea => (70.0, 5.0),
            Self::FreshWater => (80.0, 0.003),
            Self::Wet => (30.0, 0.01),
            Self::Good => (20.0, 0.03),
            Self::Average => (13.0, 0.005),
            Self::Poor | Self::City => (5.0, 0.001),
            Self::VeryDry => (3.0, 0.0001),
        };
        GroundConstants { eps_r, sigma_s_per_m }
    }
}

/// A class of ground, or constants that somebody measured or looked up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ground {
    /// A class with its table values.
    Class(GroundClass),
    /// Constants of one's own.
    Own(GroundConstants),
}

impl Default for Ground {
    /// Average ground.
    fn default() -> Self {
        Self::Class(GroundClass::Average)
    }
}

impl Ground {
    /// The constants to compute with.
    #[must_use]
    pub fn constants(self) -> GroundConstants {
        match self {
            Self::Class(class) => class.constants(),
            Self::Own(constants) => constants,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_class_holds_valid_constants() {
        for class in GroundClass::ALL {
            let GroundConstants { eps_r, sigma_s_per_m } = class.constants();
            assert_eq!(
                GroundConstants::new(eps_r, sigma_s_per_m),
                Ok(Ground::Class(class).constants())
            );
        }
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(GroundConstants::new(0.5, 0.01).is_err());
        assert!(GroundConstants::new(f64::NAN, 0.01).is_err());
        assert!(GroundConstants::new(13.0, -0.1).is_err());
        assert!(GroundConstants::new(13.0, f64::NAN).is_err());
    }

    #[test]
    fn loss_term_is_about_18000_sigma_over_f() {
        // Handbook rule x = 18 000 sigma / f(MHz); the exact factor is 17 975.1.
        let x = GroundClass::Average.constants().loss_term(7.1);
        assert!((x / (18_000.0 * 0.005 / 7.1) - 1.0).abs() < 2e-3, "{x}");
    }
}
