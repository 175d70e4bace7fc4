//! Where amateurs anywhere have a band.

/// Lower and upper edges in MHz: the widest of the three regions (ITU Radio Regulations, Article 5; the 5 MHz grants of single countries
/// from 5.25 to 5.45 MHz after CEPT and national tables; from memory).
const BANDS_MHZ: [(f64, f64); 10] = [
    (1.8, 2.0),
    (3.5, 4.0),
    (5.25, 5.45),
    (7.0, 7.3),
    (10.1, 10.15),
    (14.0, 14.35),
    (18.068, 18.168),
    (21.0, 21.45),
    (24.89, 24.99),
    (28.0, 29.7),
];

/// Whether amateurs of any region have a band there.
pub(crate) fn usual(freq_mhz: f64) -> bool {
    BANDS_MHZ.iter().any(|&(low, high)| (low..=high).contains(&freq_mhz))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_have_their_edges() {
        assert!(usual(3.5) && usual(29.7) && usual(5.357));
        assert!(!usual(27.185) && !usual(4.1) && !usual(7.35));
    }
}
