//! Differential phase-shift keying with 2, 4 or 8 phases, Gray labelled.

use farhop_num::maths;
use num_complex::Complex64;

/// Number of phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phases {
    /// One bit a symbol.
    Two,
    /// Two bits a symbol.
    Four,
    /// Three bits a symbol.
    Eight,
}

impl Phases {
    /// Bits a symbol.
    #[must_use]
    pub fn bits(self) -> usize {
        match self {
            Self::Two => 1,
            Self::Four => 2,
            Self::Eight => 3,
        }
    }

    /// The phase step of each label, as a unit phasor; the label of step k is k's Gray code.
    #[must_use]
    pub fn phasors(self) -> Vec<Complex64> {
        let count = 1_usize << self.bits();
        let mut phasors = vec![Complex64::default(); count];
        for k in 0..count {
            phasors[k ^ (k >> 1)] = maths::polar(1.0, std::f64::consts::TAU * k as f64 / count as f64);
        }
        phasors
    }
}

/// The label of `bits` (first bit highest).
#[must_use]
pub fn label(bits: &[u8]) -> usize {
    bits.iter().fold(0, |label, &bit| (label << 1) | usize::from(bit))
}

/// Soft values of the bits of one symbol from the product of a received symbol with the conjugate of the one before:
/// the best metric with the bit 0 less the best with the bit 1 (max-log), positive for 0.
pub(crate) fn soft_bits(product: Complex64, phasors: &[Complex64], bits: usize, out: &mut Vec<f32>) {
    let mut best = [[f64::NEG_INFINITY; 2]; 3];
    for (label, phasor) in phasors.iter().enumerate() {
        let metric = product.re * phasor.re + product.im * phasor.im;
        for (place, pair) in best.iter_mut().enumerate().take(bits) {
            let value = (label >> (bits - 1 - place)) & 1;
            pair[value] = pair[value].max(metric);
        }
    }
    out.extend(best.iter().take(bits).map(|pair| (pair[0] - pair[1]) as f32));
}
