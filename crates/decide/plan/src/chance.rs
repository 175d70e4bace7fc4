//! A probability that people read: a percentage and a word.

/// A probability from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Chance(f64);

/// The word beside a percentage.
///
/// The bounds follow the calibrated language of climate reports (IPCC guidance note on consistent treatment of
/// uncertainties, 2010: likely from 66 %, very likely from 90 %, about as likely as not 33–66 %, unlikely below 33 %,
/// very unlikely below 10 %).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChanceWord {
    /// Below 10 %.
    Hardly,
    /// 10 to 33 %.
    Unlikely,
    /// 33 to 66 %.
    Even,
    /// 66 to 90 %.
    Likely,
    /// Above 90 %.
    VeryLikely,
}

impl ChanceWord {
    /// All, from the least to the most.
    pub const ALL: [Self; 5] = [Self::Hardly, Self::Unlikely, Self::Even, Self::Likely, Self::VeryLikely];

    /// The word itself.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Hardly => "very unlikely",
            Self::Unlikely => "unlikely",
            Self::Even => "about even",
            Self::Likely => "likely",
            Self::VeryLikely => "very likely",
        }
    }
}

impl Chance {
    /// Never.
    pub const NONE: Self = Self(0.0);

    /// A probability (dimensionless), held between 0 and 1; a value that is not a number counts as 0.
    #[must_use]
    pub fn new(probability: f64) -> Self {
        if probability.is_nan() {
            Self::NONE
        } else {
            Self(probability.clamp(0.0, 1.0))
        }
    }

    /// The probability (dimensionless), 0 to 1.
    #[must_use]
    pub fn probability(self) -> f64 {
        self.0
    }

    /// Whole percent. Nothing that can happen is shown as 100 %, and nothing above zero as certain failure.
    #[must_use]
    pub fn percent(self) -> u8 {
        if self.0 <= 0.0 {
            0
        } else {
            (self.0 * 100.0).round().clamp(1.0, 99.0) as u8
        }
    }

    /// The word for it, by the percentage that is shown.
    #[must_use]
    pub fn word(self) -> ChanceWord {
        match self.percent() {
            0..10 => ChanceWord::Hardly,
            10..33 => ChanceWord::Unlikely,
            33..66 => ChanceWord::Even,
            66..=90 => ChanceWord::Likely,
            _ => ChanceWord::VeryLikely,
        }
    }
}

impl std::fmt::Display for Chance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} %, {}", self.percent(), self.word().word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_change_at_the_bounds_of_the_visual_language() {
        let word = |p: f64| Chance::new(p).word().word();
        assert_eq!(word(0.05), "very unlikely");
        assert_eq!(word(0.10), "unlikely");
        assert_eq!(word(0.32), "unlikely");
        assert_eq!(word(0.33), "about even");
        assert_eq!(word(0.66), "likely");
        assert_eq!(word(0.90), "likely");
        assert_eq!(word(0.91), "very likely");
    }

    #[test]
    fn nothing_is_shown_as_certain() {
        assert_eq!(Chance::new(1.0).percent(), 99);
        assert_eq!(Chance::new(0.0001).percent(), 1);
        assert_eq!(Chance::new(f64::NAN), Chance::NONE);
        assert_eq!(Chance::new(7.0).probability(), 1.0);
    }
}
