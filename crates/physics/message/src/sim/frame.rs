//! One frame over one draw of the channel: sent, faded, received, decoded, compared.
//!
//! The guard is longer than the delay, so each tone of each symbol sees one complex gain, the transfer function at its frequency
//! at the middle of the symbol. What a tone's drift within the symbol leaks into its neighbours is added as noise of power
//! (2 pi sigma T)^2 / 12 of the signal (first-order Taylor expansion; Russell & Stuber 1995, IEEE VTC, same leading term).
//!
//! With signal power S, noise density N0, T the used part of the symbol and n tones at once, a received tone-symbol has
//! the energy-to-noise ratio S T / (n N0) = SNR B T / n. Synchronisation is taken as perfect.

use farhop_num::ratio_of_db;
use num_complex::Complex64;
use rand_chacha::ChaCha8Rng;

use crate::sim::channel::{Channel, ChannelShape, bit, gaussian_complex};
use crate::sim::convolutional::{TAIL_BITS, decode, encode};
use crate::sim::modes::{FrameDesign, Modulation, USED_S};
use crate::sim::{dpsk, fsk};

/// Whether a frame of random bits survives at an SNR in dB in `bandwidth_hz`.
#[must_use]
pub(crate) fn frame_survives(
    design: &FrameDesign,
    shape: ChannelShape,
    snr_db: f64,
    bandwidth_hz: f64,
    rng: &mut ChaCha8Rng,
) -> bool {
    let count = design.coded_data_bits();
    let mut bits: Vec<u8> = (0..count - TAIL_BITS).map(|_| bit(rng)).collect();
    bits.extend([0; TAIL_BITS]);
    let coded = encode(&bits, design.rate);
    let places = interleaver(design);
    let mut sent = vec![0_u8; design.channel_bits()];
    for (index, &place) in places.iter().enumerate() {
        // Bits beyond the last whole repetition stay empty.
        sent[place] = coded
            .get(index % (design.channel_bits() / design.repeat))
            .copied()
            .unwrap_or(0);
    }
    let soft = match design.modulation {
        Modulation::Fsk8 { .. } => send_fsk(design, shape, ratio_of_db(snr_db) * bandwidth_hz, &sent, rng),
        Modulation::Dpsk { tones, .. } => {
            let energy = ratio_of_db(snr_db) * bandwidth_hz * USED_S / tones as f64;
            send_dpsk(design, shape, energy, &sent, rng)
        }
    };
    let period = design.channel_bits() / design.repeat;
    let mut combined = vec![0.0_f32; period];
    for (index, &place) in places.iter().enumerate() {
        combined[index % period] += soft[place];
    }
    decode(&combined, count, design.rate) == bits
}

/// Where each coded bit goes: a block interleaver that steps through the frame by about the golden section of its length, so that
/// neighbours land far apart in time and in frequency, and repeated bits on other tones at other times.
fn interleaver(design: &FrameDesign) -> Vec<usize> {
    let length = design.channel_bits();
    let mut step = (length as f64 * 0.618_034) as usize | 1;
    while gcd(step, length) != 1 {
        step += 2;
    }
    (0..length).map(|index| index * step % length).collect()
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Leak of a drifting tone into its neighbours, relative to the signal (dimensionless).
fn leak(shape: &ChannelShape, used_s: f64) -> f64 {
    if shape.fades {
        (2.0 * std::f64::consts::PI * shape.doppler_sigma_hz() * used_s).powi(2) / 12.0
    } else {
        0.0
    }
}

/// Sends one tone a symbol; `snr_density_hz` is S/N0 in hertz.
fn send_fsk(
    design: &FrameDesign,
    shape: ChannelShape,
    snr_density_hz: f64,
    sent: &[u8],
    rng: &mut ChaCha8Rng,
) -> Vec<f32> {
    let used_s = design.used_s();
    let amplitude = (snr_density_hz * used_s).sqrt();
    let noise_sd = (0.5 + 0.5 * leak(&shape, used_s) * snr_density_hz * used_s / 8.0).sqrt();
    let mut channel = Channel::draw(shape, design.symbol_s(), rng);
    let mut soft = Vec::with_capacity(sent.len());
    let mut energies = [0.0; 8];
    for bits in sent.chunks(3) {
        let tone = fsk::tone_of(dpsk::label(bits));
        let gains = channel.step();
        let gain = channel.at_hz(&gains, tone as f64 / used_s);
        for (index, energy) in energies.iter_mut().enumerate() {
            let signal = if index == tone {
                gain * amplitude
            } else {
                Complex64::default()
            };
            *energy = (signal + gaussian_complex(noise_sd, rng)).norm_sqr();
        }
        fsk::soft_bits(&energies, 3, &mut soft);
    }
    soft
}

/// Sends parallel tones; `energy` is the mean energy-to-noise ratio of one tone-symbol (dimensionless).
fn send_dpsk(design: &FrameDesign, shape: ChannelShape, energy: f64, sent: &[u8], rng: &mut ChaCha8Rng) -> Vec<f32> {
    let Modulation::Dpsk { phases, tones } = design.modulation else {
        return Vec::new();
    };
    let (bits, phasors, amplitude) = (phases.bits(), phases.phasors(), energy.sqrt());
    let noise_sd = (0.5 + 0.5 * leak(&shape, USED_S) * energy).sqrt();
    let mut channel = Channel::draw(shape, design.symbol_s(), rng);
    let turns = turns(&channel, tones);
    let mut phase = vec![Complex64::from(1.0); tones];
    let mut before = receive(&channel.step(), &turns, &phase, amplitude, noise_sd, rng);
    let mut soft = Vec::with_capacity(sent.len());
    for symbol in sent.chunks(tones * bits) {
        for (value, label_bits) in phase.iter_mut().zip(symbol.chunks(bits)) {
            *value *= phasors[dpsk::label(label_bits)];
        }
        let now = receive(&channel.step(), &turns, &phase, amplitude, noise_sd, rng);
        for (late, early) in now.iter().zip(&before) {
            dpsk::soft_bits(late * early.conj(), &phasors, bits, &mut soft);
        }
        before = now;
    }
    soft
}

/// The second path's phasor at each tone.
fn turns(channel: &Channel, tones: usize) -> Vec<Complex64> {
    let second_only = [Complex64::default(), Complex64::from(1.0)];
    (0..tones)
        .map(|tone| channel.at_hz(&second_only, tone as f64 / USED_S))
        .collect()
}

fn receive(
    gains: &[Complex64; 2],
    turns: &[Complex64],
    phase: &[Complex64],
    amplitude: f64,
    noise_sd: f64,
    rng: &mut ChaCha8Rng,
) -> Vec<Complex64> {
    turns
        .iter()
        .zip(phase)
        .map(|(turn, value)| (gains[0] + gains[1] * turn) * value * amplitude + gaussian_complex(noise_sd, rng))
        .collect()
}
