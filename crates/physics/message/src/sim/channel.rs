//! The two-path fading channel of Watterson, Juroshek & Bensema (1970, IEEE Trans. Commun. Tech. COM-18), with the settings of
//! Rec. ITU-R F.1487 (mid-latitude; from memory).
//!
//! Two paths of equal mean power, `delay_ms` apart. Each is multiplied by an independent complex Gaussian process whose Doppler
//! spectrum is a Gaussian of standard deviation sigma; the Recommendation's *Doppler spread* is 2 sigma. The
//! autocorrelation of such a tap is exp(-2 (pi sigma tau)^2). The mean power of both paths together is 1.
//!
//! A tap is a sum of sinusoids whose frequencies are drawn from the Doppler spectrum and whose amplitudes are complex Gaussian:
//! at every instant exactly complex Gaussian (Rayleigh), over the ensemble exactly the wanted spectrum. Each frame
//! draws anew, so frames are independent.

use farhop_num::maths;
use num_complex::Complex64;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

use crate::ladder::Fading;

/// Sinusoids a tap.
const SINUSOIDS: usize = 24;

/// The shape of a channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChannelShape {
    /// Mean power of each path (dimensionless); together 1.
    pub path_power: [f64; 2],
    /// Delay of the second path behind the first, in milliseconds.
    pub delay_ms: f64,
    /// Doppler spread (2 sigma) in hertz.
    pub doppler_spread_hz: f64,
    /// Whether the paths fade; without it the first path is a constant of full power.
    pub fades: bool,
}

impl ChannelShape {
    #[cfg(test)]
    /// A single Rayleigh-fading path.
    #[must_use]
    pub(crate) fn flat_rayleigh(doppler_spread_hz: f64) -> Self {
        Self {
            path_power: [1.0, 0.0],
            delay_ms: 0.0,
            doppler_spread_hz,
            fades: true,
        }
    }

    /// The shape of a setting. Delays and spreads: Rec. ITU-R F.1487, from memory.
    #[must_use]
    pub fn of(fading: Fading) -> Self {
        let two = |delay_ms, doppler_spread_hz| Self {
            path_power: [0.5, 0.5],
            delay_ms,
            doppler_spread_hz,
            fades: true,
        };
        match fading {
            Fading::Awgn => Self {
                path_power: [1.0, 0.0],
                delay_ms: 0.0,
                doppler_spread_hz: 0.0,
                fades: false,
            },
            Fading::Quiet => two(0.5, 0.1),
            Fading::Moderate => two(1.0, 0.5),
            Fading::Disturbed => two(2.0, 1.0),
            Fading::NearVertical => two(7.0, 1.0),
        }
    }

    /// Standard deviation of the Doppler spectrum in hertz: half of the spread.
    #[must_use]
    pub(crate) fn doppler_sigma_hz(&self) -> f64 {
        0.5 * self.doppler_spread_hz
    }
}

/// One draw of a channel, stepped through time.
#[derive(Clone, Debug)]
pub struct Channel {
    shape: ChannelShape,
    taps: [Tap; 2],
}

impl Channel {
    /// Draws a channel that will be stepped by `step_s` seconds.
    #[must_use]
    pub fn draw(shape: ChannelShape, step_s: f64, rng: &mut ChaCha8Rng) -> Self {
        let taps = shape.path_power.map(|power| Tap::draw(&shape, power, step_s, rng));
        Self { shape, taps }
    }

    /// The complex gains of both paths now; then time steps on.
    pub fn step(&mut self) -> [Complex64; 2] {
        let [first, second] = &mut self.taps;
        [first.step(), second.step()]
    }

    /// Transfer function at a frequency in hertz for gains as given by [`Self::step`].
    #[must_use]
    pub(crate) fn at_hz(&self, gains: &[Complex64; 2], freq_hz: f64) -> Complex64 {
        let turn = -2.0 * std::f64::consts::PI * freq_hz * self.shape.delay_ms * 1e-3;
        gains[0] + gains[1] * maths::polar(1.0, turn)
    }
}

/// One path: phasors that turn at their Doppler frequencies.
#[derive(Clone, Debug)]
struct Tap {
    phasors: Vec<(Complex64, Complex64)>,
}

impl Tap {
    fn draw(shape: &ChannelShape, power: f64, step_s: f64, rng: &mut ChaCha8Rng) -> Self {
        if power == 0.0 {
            return Self { phasors: Vec::new() };
        }
        if !shape.fades {
            return Self {
                phasors: vec![(Complex64::from(power.sqrt()), Complex64::from(1.0))],
            };
        }
        let scale = (0.5 * power / SINUSOIDS as f64).sqrt();
        let phasors = (0..SINUSOIDS).map(|_| {
            let turn = 2.0 * std::f64::consts::PI * shape.doppler_sigma_hz() * gaussian(rng) * step_s;
            (gaussian_complex(scale, rng), maths::polar(1.0, turn))
        });
        Self {
            phasors: phasors.collect(),
        }
    }

    fn step(&mut self) -> Complex64 {
        let mut sum = Complex64::default();
        for (value, turn) in &mut self.phasors {
            sum += *value;
            *value *= *turn;
        }
        sum
    }
}

/// What many draws of a channel show: ensemble means of products of tap gains (dimensionless).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// Correlation of each tap with itself one lag later, summed over the taps: real and imaginary part.
    pub own: [f64; 2],
    /// Correlation of one tap with the other: real and imaginary part.
    pub between: [f64; 2],
    /// Mean power of both taps together.
    pub power: f64,
}

/// Measures a channel at a lag in seconds over `draws` independent draws.
#[must_use]
pub fn measure(shape: ChannelShape, lag_s: f64, draws: u32, seed: u64) -> Measured {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let (mut own, mut between, mut power) = (Complex64::default(), Complex64::default(), 0.0);
    for _ in 0..draws {
        let mut channel = Channel::draw(shape, lag_s, &mut rng);
        let (now, later) = (channel.step(), channel.step());
        own += now[0].conj() * later[0] + now[1].conj() * later[1];
        between += now[0].conj() * now[1];
        power += now[0].norm_sqr() + now[1].norm_sqr();
    }
    let n = f64::from(draws.max(1));
    Measured {
        own: [own.re / n, own.im / n],
        between: [between.re / n, between.im / n],
        power: power / n,
    }
}

/// A standard normal number.
pub(crate) fn gaussian(rng: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(rng)
}

/// A complex Gaussian number, each part with standard deviation `sd` (dimensionless).
pub(crate) fn gaussian_complex(sd: f64, rng: &mut ChaCha8Rng) -> Complex64 {
    Complex64::new(sd * gaussian(rng), sd * gaussian(rng))
}

/// A fair bit.
pub(crate) fn bit(rng: &mut ChaCha8Rng) -> u8 {
    u8::from(rng.random::<bool>())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four standard errors of a mean of products of unit-power Gaussians; chance of a false alarm about 6e-5 a check.
    const DRAWS: u32 = 20_000;

    #[test]
    fn the_doppler_spectrum_is_gaussian_with_two_sigma_the_spread() {
        for fading in [Fading::Quiet, Fading::Moderate, Fading::Disturbed, Fading::NearVertical] {
            let shape = ChannelShape::of(fading);
            let sigma_hz = shape.doppler_spread_hz / 2.0;
            for lag_s in [0.1 / sigma_hz, 0.2 / sigma_hz, 0.35 / sigma_hz] {
                let own = measure(shape, lag_s, DRAWS, 7).own;
                let wanted = (-2.0 * (std::f64::consts::PI * sigma_hz * lag_s).powi(2)).exp();
                let bar = 4.0 / (2.0 * f64::from(DRAWS)).sqrt();
                assert!(
                    (own[0] - wanted).hypot(own[1]) < bar,
                    "{fading:?} lag {lag_s}: {own:?} {wanted}"
                );
            }
        }
    }

    #[test]
    fn paths_are_equal_independent_and_of_unit_power_together() {
        for fading in [Fading::Quiet, Fading::NearVertical] {
            let got = measure(ChannelShape::of(fading), 0.01, DRAWS, 7);
            let bar = 4.0 / (2.0 * f64::from(DRAWS)).sqrt();
            assert!(
                (got.power - 1.0).abs() < bar && got.between[0].hypot(got.between[1]) < bar,
                "{got:?}"
            );
        }
    }

    #[test]
    fn the_delay_profile_shows_as_notches_one_over_delay_apart() {
        let shape = ChannelShape {
            fades: true,
            ..ChannelShape::of(Fading::Disturbed)
        };
        let mut rng = ChaCha8Rng::seed_from_u64(3);
        let mut channel = Channel::draw(shape, 0.01, &mut rng);
        let gains = channel.step();
        // 2 ms: the transfer function repeats every 500 Hz, and swings between |a|+|b| and ||a|-|b||.
        assert!((channel.at_hz(&gains, 123.0) - channel.at_hz(&gains, 623.0)).norm() < 1e-9);
        let values: Vec<f64> = (0..500).map(|f| channel.at_hz(&gains, f64::from(f)).norm()).collect();
        let (a, b) = (gains[0].norm(), gains[1].norm());
        assert!((values.iter().copied().fold(0.0, f64::max) - (a + b)).abs() < 1e-3);
        assert!((values.iter().copied().fold(9.0, f64::min) - (a - b).abs()).abs() < 1e-2);
    }

    #[test]
    fn envelope_is_rayleigh() {
        // P(|h|^2 > 1) = exp(-1) for a flat path of unit power.
        let mut rng = ChaCha8Rng::seed_from_u64(11);
        let shape = ChannelShape::flat_rayleigh(1.0);
        let above = (0..DRAWS)
            .filter(|_| Channel::draw(shape, 0.01, &mut rng).step()[0].norm_sqr() > 1.0)
            .count();
        let wanted = (-1.0_f64).exp();
        let bar = 4.0 * (wanted * (1.0 - wanted) / f64::from(DRAWS)).sqrt();
        assert!((above as f64 / f64::from(DRAWS) - wanted).abs() < bar);
    }
}
