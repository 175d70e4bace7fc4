//! Non-coherent frequency-shift keying with orthogonal tones.

/// Soft values of the bits of one symbol from the energies of its tones, Gray labelled: best energy with the bit 0 less best
/// with the bit 1, positive for 0.
///
/// Comparing energies is the optimum of a Rayleigh-fading tone (Proakis, Digital Communications, non-coherent detection).
pub(crate) fn soft_bits(energies: &[f64], bits: usize, out: &mut Vec<f32>) {
    let mut best = [[0.0_f64; 2]; 4];
    for (tone, &energy) in energies.iter().enumerate() {
        let label = tone ^ (tone >> 1);
        for (place, pair) in best.iter_mut().enumerate().take(bits) {
            let value = (label >> (bits - 1 - place)) & 1;
            pair[value] = pair[value].max(energy);
        }
    }
    out.extend(best.iter().take(bits).map(|pair| (pair[0] - pair[1]) as f32));
}

/// The tone of a label: the inverse of the Gray code.
#[must_use]
pub(crate) fn tone_of(label: usize) -> usize {
    let mut tone = label;
    let mut shift = label >> 1;
    while shift > 0 {
        tone ^= shift;
        shift >>= 1;
    }
    tone
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_go_round_and_neighbours_differ_in_one_bit() {
        for tone in 0..8_usize {
            assert_eq!(tone_of(tone ^ (tone >> 1)), tone);
        }
        let mut out = Vec::new();
        soft_bits(&[0.0, 0.0, 5.0, 0.0], 2, &mut out);
        // Tone 2 carries label 3.
        assert!(out[0] < 0.0 && out[1] < 0.0);
    }
}
