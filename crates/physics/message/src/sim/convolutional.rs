//! The rate-1/2 convolutional code of constraint length 7 (generators 171 and 133 octal, the customary pair: Proakis, Digital
//! Communications, table of maximum-free-distance codes), punctured to 3/4 where asked, and its soft-decision Viterbi decoder.

const GENERATORS: [u8; 2] = [0o171, 0o133];
/// Zero bits that bring the encoder back to its start.
pub(crate) const TAIL_BITS: usize = 6;
const STATES: usize = 64;

/// Code rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rate {
    /// Two coded bits a bit.
    Half,
    /// Four coded bits for three bits: pattern 110110 over three pairs (sent, sent, sent, dropped, dropped, sent).
    ThreeQuarters,
}

impl Rate {
    /// Which of the coded bits of three pairs are sent.
    fn pattern(self) -> [bool; 6] {
        match self {
            Self::Half => [true; 6],
            // Yasuda, Kashiki & Hirata 1984, IEEE Trans. Commun. COM-32: rate 3/4 from 133/171, rows 110 and 101.
            Self::ThreeQuarters => [true, true, true, false, false, true],
        }
    }

    /// Most data bits, tail included, whose code fits into `coded_bits`.
    #[must_use]
    pub(crate) fn bits_in(self, coded_bits: usize) -> usize {
        match self {
            Self::Half => coded_bits / 2,
            Self::ThreeQuarters => coded_bits / 4 * 3,
        }
    }
}

/// The coded bits of `bits` (tail bits not added here).
#[must_use]
pub fn encode(bits: &[u8], rate: Rate) -> Vec<u8> {
    let pattern = rate.pattern();
    let mut coded = Vec::with_capacity(bits.len() * 2);
    let mut state = 0_u8;
    for (index, bit) in bits.iter().enumerate() {
        let register = (bit << 6) | state;
        for (which, generator) in GENERATORS.iter().enumerate() {
            if pattern[(2 * index + which) % 6] {
                coded.push(((register & generator).count_ones() & 1) as u8);
            }
        }
        state = register >> 1;
    }
    coded
}

/// The most likely `count` bits, tail included, from soft values: positive for a coded 0, magnitude is confidence.
#[must_use]
pub fn decode(soft: &[f32], count: usize, rate: Rate) -> Vec<u8> {
    let signs = branch_signs();
    let pattern = rate.pattern();
    let mut metric = [-1e30_f32; STATES];
    metric[0] = 0.0;
    let mut choices: Vec<[u8; STATES]> = Vec::with_capacity(count);
    let mut values = soft.iter().copied();
    for index in 0..count {
        let mut take = |which: usize| {
            if pattern[(2 * index + which) % 6] {
                values.next().unwrap_or(0.0)
            } else {
                0.0
            }
        };
        let pair = [take(0), take(1)];
        let mut chosen = [0_u8; STATES];
        metric = step(&metric, pair, &signs, &mut chosen);
        choices.push(chosen);
    }
    trace_back(&choices)
}

/// For each new state and each of its two predecessors: the signs of its two coded bits (+1 for 0, -1 for 1).
struct BranchSigns {
    first: [[f32; STATES]; 2],
    second: [[f32; STATES]; 2],
}

/// New state n has its newest bit at the top; its predecessors are (2n) mod 64 and that plus 1.
fn branch_signs() -> BranchSigns {
    let mut signs = BranchSigns {
        first: [[0.0; STATES]; 2],
        second: [[0.0; STATES]; 2],
    };
    for new in 0..STATES {
        for last in 0..2 {
            let register = ((new << 1) | last) as u8;
            let sign = |generator: u8| {
                if (register & generator).count_ones() & 1 == 0 {
                    1.0
                } else {
                    -1.0
                }
            };
            signs.first[last][new] = sign(GENERATORS[0]);
            signs.second[last][new] = sign(GENERATORS[1]);
        }
    }
    signs
}

/// Add, compare, select for all states.
fn step(metric: &[f32; STATES], pair: [f32; 2], signs: &BranchSigns, chosen: &mut [u8; STATES]) -> [f32; STATES] {
    let mut even = [0.0_f32; STATES];
    let mut odd = [0.0_f32; STATES];
    for new in 0..STATES {
        even[new] = metric[(2 * new) % STATES];
        odd[new] = metric[(2 * new) % STATES + 1];
    }
    let mut out = [0.0_f32; STATES];
    for new in 0..STATES {
        let a = even[new] + pair[0] * signs.first[0][new] + pair[1] * signs.second[0][new];
        let b = odd[new] + pair[0] * signs.first[1][new] + pair[1] * signs.second[1][new];
        chosen[new] = u8::from(b > a);
        out[new] = a.max(b);
    }
    out
}

fn trace_back(choices: &[[u8; STATES]]) -> Vec<u8> {
    let mut bits = vec![0; choices.len()];
    let mut state = 0_usize;
    for (bit, chosen) in bits.iter_mut().zip(choices).rev() {
        *bit = (state >> 5) as u8;
        state = ((state << 1) & (STATES - 1)) | usize::from(chosen[state]);
    }
    bits
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::channel::bit;
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;

    fn with_tail(count: usize, seed: u64) -> Vec<u8> {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let mut bits: Vec<u8> = (0..count).map(|_| bit(&mut rng)).collect();
        bits.extend([0; TAIL_BITS]);
        bits
    }

    fn soft_of(coded: &[u8]) -> Vec<f32> {
        coded.iter().map(|&b| if b == 0 { 1.0 } else { -1.0 }).collect()
    }

    #[test]
    fn clean_bits_come_back_at_both_rates() {
        for rate in [Rate::Half, Rate::ThreeQuarters] {
            let bits = with_tail(120, 1);
            let soft = soft_of(&encode(&bits, rate));
            assert_eq!(decode(&soft, bits.len(), rate), bits);
        }
    }

    #[test]
    fn the_free_distance_is_ten() {
        // Proakis, Digital Communications, table of rate-1/2 codes: constraint length 7 has free distance 10. The lightest code
        // word of all single bursts of up to 12 bits that return to zero.
        let lightest = (1_u32..4096)
            .map(|word| {
                let mut bits: Vec<u8> = (0..12).map(|k| ((word >> k) & 1) as u8).collect();
                bits.extend([0; TAIL_BITS]);
                encode(&bits, Rate::Half).iter().map(|&b| u32::from(b)).sum::<u32>()
            })
            .min();
        assert_eq!(lightest, Some(10));
    }

    #[test]
    fn four_wrong_bits_are_mended() {
        let bits = with_tail(60, 2);
        let mut soft = soft_of(&encode(&bits, Rate::Half));
        for at in [10, 12, 15, 21] {
            soft[at] = -soft[at];
        }
        assert_eq!(decode(&soft, bits.len(), Rate::Half), bits);
    }
}
