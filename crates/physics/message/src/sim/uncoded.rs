//! Uncoded bit error rates, for the check against closed forms.
//!
//! With g the mean energy-to-noise ratio of a bit: binary non-coherent FSK 1/2 exp(-g/2) on AWGN and 1/(2+g) on flat slow Rayleigh
//! fading; binary DPSK 1/2 exp(-g) and 1/(2(1+g)) (Proakis, Digital Communications, chapters on non-coherent detection and
//! on fading channels).

use farhop_num::maths;
use farhop_num::ratio_of_db;
use num_complex::Complex64;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::sim::channel::{Channel, ChannelShape, bit, gaussian_complex};
use crate::sim::dpsk::{Phases, soft_bits};
use crate::sim::fsk;

/// Binary modulation under test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Binary {
    /// Non-coherent FSK.
    Fsk,
    /// Differential PSK.
    Dpsk,
}

impl Binary {
    /// The closed form of the bit error rate (dimensionless) at a mean energy-to-noise ratio in dB.
    #[must_use]
    pub fn closed_form(self, rayleigh: bool, energy_db: f64) -> f64 {
        let g = ratio_of_db(energy_db);
        match (self, rayleigh) {
            (Self::Fsk, false) => 0.5 * maths::exp(-0.5 * g),
            (Self::Fsk, true) => 1.0 / (2.0 + g),
            (Self::Dpsk, false) => 0.5 * maths::exp(-g),
            (Self::Dpsk, true) => 0.5 / (1.0 + g),
        }
    }

    /// Errors among `count` bits, each on its own draw of the channel (so that errors are independent).
    #[must_use]
    pub fn errors(self, rayleigh: bool, energy_db: f64, count: usize, seed: u64) -> usize {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let still = ChannelShape {
            path_power: [1.0, 0.0],
            delay_ms: 0.0,
            doppler_spread_hz: 0.0,
            fades: rayleigh,
        };
        let amplitude = ratio_of_db(energy_db).sqrt();
        (0..count)
            .filter(|_| {
                let gain = Channel::draw(still, 0.0, &mut rng).step()[0] * amplitude;
                self.one_error(gain, &mut rng)
            })
            .count()
    }

    fn one_error(self, gain: Complex64, rng: &mut ChaCha8Rng) -> bool {
        let sent = bit(rng);
        let sd = 0.5_f64.sqrt();
        let mut soft = Vec::with_capacity(1);
        match self {
            Self::Fsk => {
                let mut energies = [0.0; 2];
                for (tone, energy) in energies.iter_mut().enumerate() {
                    let signal = if tone == usize::from(sent) {
                        gain
                    } else {
                        Complex64::default()
                    };
                    *energy = (signal + gaussian_complex(sd, rng)).norm_sqr();
                }
                fsk::soft_bits(&energies, 1, &mut soft);
            }
            Self::Dpsk => {
                let phasors = Phases::Two.phasors();
                let early = gain + gaussian_complex(sd, rng);
                let late = gain * phasors[usize::from(sent)] + gaussian_complex(sd, rng);
                soft_bits(late * early.conj(), &phasors, 1, &mut soft);
            }
        }
        u8::from(soft.first().is_some_and(|value| *value < 0.0)) != sent
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four standard errors of a binomial count: a false alarm about once in 16 000 checks; 12 checks with fixed seeds.
    #[test]
    fn bit_error_rates_meet_their_closed_forms() {
        let count = 60_000;
        for binary in [Binary::Fsk, Binary::Dpsk] {
            for (rayleigh, levels_db) in [(false, [0.0, 4.0, 7.0]), (true, [0.0, 8.0, 16.0])] {
                for energy_db in levels_db {
                    let wanted = binary.closed_form(rayleigh, energy_db);
                    let got = binary.errors(rayleigh, energy_db, count, 42) as f64 / count as f64;
                    let bar = 4.0 * (wanted * (1.0 - wanted) / count as f64).sqrt();
                    assert!(
                        (got - wanted).abs() < bar,
                        "{binary:?} {rayleigh} {energy_db} dB: {got} {wanted}"
                    );
                }
            }
        }
    }
}
