//! Constants of the named kinds of line, from memory.

use farhop_gear::LineType;

use crate::line::LineConstants;

impl LineConstants {
    /// Impedance, velocity and loss constants of a named kind, from memory of typical published tables.
    ///
    /// The coax and ladder fits pass near typical published attenuation at 10 and 100 MHz (the points stand in the
    /// tests below). The twisted pair takes the square-root and linear terms of the horizontal-cable limit of
    /// TIA/EIA-568 category 5e (1.967 √f + 0.023 f dB per 100 m, from memory). Cables differ by maker and lot by 10 % and more,
    /// so give own constants where they are known. A line that has only constants of its own gives none here.
    #[must_use]
    pub fn named(kind: LineType) -> Option<Self> {
        let (z0_ohm, velocity_factor, k1, k2) = match kind {
            LineType::Rg58 => (50.0, 0.66, 1.415, 0.0225),
            LineType::Rg8x => (50.0, 0.80, 0.925, 0.0175),
            LineType::Rg174 => (50.0, 0.66, 3.3, 0.0),
            LineType::Rg213 => (50.0, 0.66, 0.597, 0.0063),
            LineType::Ladder300 => (300.0, 0.82, 0.296, 0.0064),
            LineType::Ladder450 => (450.0, 0.91, 0.076, 0.0022),
            LineType::TwistedPair => (100.0, 0.65, 1.967, 0.023),
            LineType::Own => return None,
        };
        Some(Self::from_trusted(z0_ohm, velocity_factor, k1, k2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published tables round to 0.1 dB per 100 ft and differ between makers.
    const TABLE_SPREAD: f64 = 0.12;

    /// Typical published attenuation, dB per 100 m at MHz, from memory (tables in dB per 100 ft times 3.28).
    /// The 100 m points of RG-174 stop at 50 MHz because its fit is for HF.
    #[test]
    fn fits_pass_near_typical_published_attenuation() {
        let points = [
            (LineType::Rg58, 10.0, 4.6),
            (LineType::Rg58, 100.0, 16.1),
            (LineType::Rg58, 1.0, 1.4),
            (LineType::Rg8x, 10.0, 3.0),
            (LineType::Rg8x, 100.0, 11.2),
            (LineType::Rg174, 10.0, 10.8),
            (LineType::Rg174, 50.0, 21.6),
            (LineType::Rg213, 1.0, 0.62),
            (LineType::Rg213, 10.0, 1.97),
            (LineType::Rg213, 100.0, 6.6),
            (LineType::Ladder300, 10.0, 1.0),
            (LineType::Ladder300, 100.0, 3.6),
            (LineType::Ladder450, 10.0, 0.26),
            (LineType::Ladder450, 100.0, 0.98),
            (LineType::TwistedPair, 10.0, 6.5),
            (LineType::TwistedPair, 100.0, 22.0),
        ];
        for (kind, freq_mhz, published_db) in points {
            let fit_db = LineConstants::named(kind).unwrap().fitted_loss_db_per_100m(freq_mhz);
            assert!(
                (fit_db / published_db - 1.0).abs() < TABLE_SPREAD,
                "{kind:?} {freq_mhz} MHz: {fit_db}"
            );
        }
    }
}
