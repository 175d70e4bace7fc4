//! What a typed-in SWR says about the feed: fine, wet or broken.
//!
//! Each condition is a set of antenna samples sent through the chain (with its lines made worse where that is the
//! condition), which gives a spread of |Γ| at the meter. The meter adds an error that is normal in |Γ|. The likelihood
//! of the reading under each condition, and their ratios, are the answer; the priors are only a start.

use crate::chain::{FeedChain, Stage};
use crate::error::{FeedError, positive, within};
use crate::line::Line;
use crate::robustness::Sample;
use crate::surface::Variation;
use crate::swr::gamma_of_swr;
use farhop_num::maths;
use farhop_num::normal_cdf;
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// Where and how the SWR was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MeterPlace {
    /// At the transmitter with the tuner straight through.
    WithoutTuner,
    /// At the transmitter after the tuner has done its best.
    AfterTuning,
}

/// A state the feed may be in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Condition {
    /// As planned, within its spread.
    Fine,
    /// Rain: antenna detuned, open line lossier.
    Wet,
    /// Water or damage in the line: much more loss, so a good SWR that means little.
    LossyLine,
    /// Wire off or broken at the feed point.
    OpenFeed,
    /// Short circuit at the feed point.
    ShortFeed,
    /// Nothing connected at the radio.
    Unplugged,
}

impl Condition {
    /// All conditions.
    pub const ALL: [Self; 6] = [
        Self::Fine,
        Self::Wet,
        Self::LossyLine,
        Self::OpenFeed,
        Self::ShortFeed,
        Self::Unplugged,
    ];

    /// Chance before any reading (dimensionless). Own choice, field practice.
    #[must_use]
    pub fn prior(self) -> f64 {
        match self {
            Self::Fine => 0.85,
            Self::Wet => 0.06,
            Self::LossyLine | Self::OpenFeed => 0.03,
            Self::ShortFeed | Self::Unplugged => 0.015,
        }
    }

    /// Whether something must be repaired.
    #[must_use]
    pub fn is_broken(self) -> bool {
        !matches!(self, Self::Fine | Self::Wet)
    }
}

/// Loss factor of open line in rain (dimensionless), from memory: several times the dry loss.
pub(crate) const RAIN_LOSS_FACTOR: f64 = 5.0;
/// Loss factor of damaged line (dimensionless), own choice.
pub(crate) const DAMAGE_LOSS_FACTOR: f64 = 8.0;
/// Share of readings that fit nothing (dimensionless), own choice: typing slips, wrong band.
pub const SLIP_SHARE: f64 = 0.01;
/// A posterior (dimensionless) from which the verdict is called clear; own choice.
const CLEAR_POSTERIOR: f64 = 0.6;

/// What the forecast says the antenna may be, and how good the meter is.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingModels {
    /// The antenna as planned, within its spread.
    pub fine: Vec<Sample>,
    /// The antenna in rain; where empty, rain changes the lines only. See [`wet_variations`].
    pub wet: Vec<Sample>,
    /// Standard deviation of the meter in |Γ| (dimensionless), 0.03–0.05 for a small bridge (from memory).
    pub meter_gamma_sd: f64,
    /// Highest SWR (dimensionless) the meter can show; this reading means that or more.
    pub meter_most_swr: f64,
}

impl ReadingModels {
    /// With a small bridge: 0.04 in |Γ|, shows up to 20. From memory.
    #[must_use]
    pub fn with_small_meter(fine: Vec<Sample>, wet: Vec<Sample>) -> Self {
        Self {
            fine,
            wet,
            meter_gamma_sd: 0.04,
            meter_most_swr: 20.0,
        }
    }
}

/// How rain moves the antenna: the wire acts 1 to 3 % longer and the ground is one class wetter. From memory.
#[must_use]
pub fn wet_variations() -> [Variation; 3] {
    [1.01, 1.02, 1.03].map(|length_factor| Variation {
        height_factor: 1.0,
        length_factor,
        ground_step: 1.0,
    })
}

/// How one condition fits the reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConditionFit {
    /// The condition.
    pub condition: Condition,
    /// Likelihood of the reading (a density in |Γ|, dimensionless).
    pub likelihood: f64,
    /// Likelihood over that of [`Condition::Fine`] (dimensionless).
    pub ratio_to_fine: f64,
    /// Chance after the reading with the stated priors (dimensionless).
    pub posterior: f64,
}

/// The short answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// As forecast.
    Fine,
    /// Wet, nothing to repair.
    Wet,
    /// Something must be repaired; see the fits for what.
    Broken,
    /// The reading does not decide.
    Unclear,
}

/// The reading judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// All conditions, most likely first.
    pub fits: Vec<ConditionFit>,
    /// The short answer.
    pub outcome: Outcome,
}

/// Judges an SWR reading (dimensionless, 1 to infinity) against the forecast.
///
/// # Errors
/// [`FeedError::BadValue`] for a reading below 1 or NaN or a bad meter; [`FeedError::Empty`] without samples; and as
/// `FeedChain::swr_pair`.
pub fn judge_reading(
    chain: &FeedChain,
    freq_mhz: f64,
    place: MeterPlace,
    reading_swr: f64,
    models: &ReadingModels,
) -> Result<Verdict, FeedError> {
    if reading_swr.is_nan() || reading_swr < 1.0 {
        return Err(FeedError::BadValue {
            what: "SWR reading",
            value: reading_swr,
            need: "1 or more",
        });
    }
    positive("meter error in reflection", models.meter_gamma_sd)?;
    within("highest SWR of the meter", models.meter_most_swr, "above 1", |v| {
        v > 1.0
    })?;
    if models.fine.is_empty() {
        return Err(FeedError::Empty {
            what: "the list of antenna samples",
        });
    }
    let mut fits = Vec::with_capacity(Condition::ALL.len());
    for condition in Condition::ALL {
        let spread = gammas(chain, freq_mhz, place, condition, models)?;
        let likelihood = likelihood(reading_swr, &spread, models);
        fits.push(ConditionFit {
            condition,
            likelihood,
            ratio_to_fine: 0.0,
            posterior: 0.0,
        });
    }
    Ok(weigh(fits))
}

/// Ratios, posteriors and the short answer from likelihoods.
fn weigh(mut fits: Vec<ConditionFit>) -> Verdict {
    let fine = fits
        .iter()
        .find(|f| f.condition == Condition::Fine)
        .map_or(1.0, |f| f.likelihood);
    let total: f64 = fits.iter().map(|f| f.likelihood * f.condition.prior()).sum();
    for fit in &mut fits {
        fit.ratio_to_fine = fit.likelihood / fine;
        fit.posterior = fit.likelihood * fit.condition.prior() / total;
    }
    let sum = |is: fn(Condition) -> bool| {
        fits.iter()
            .filter(|f| is(f.condition))
            .map(|f| f.posterior)
            .sum::<f64>()
    };
    let groups = [
        (sum(|c| c == Condition::Fine), Outcome::Fine),
        (sum(|c| c == Condition::Wet), Outcome::Wet),
        (sum(Condition::is_broken), Outcome::Broken),
    ];
    let clear = groups.into_iter().find(|g| g.0 >= CLEAR_POSTERIOR);
    fits.sort_by(|a, b| b.posterior.total_cmp(&a.posterior));
    Verdict {
        fits,
        outcome: clear.map_or(Outcome::Unclear, |g| g.1),
    }
}

/// |Γ| at the meter under a condition, with weights.
fn gammas(
    chain: &FeedChain,
    freq_mhz: f64,
    place: MeterPlace,
    condition: Condition,
    models: &ReadingModels,
) -> Result<Vec<(f64, f64)>, FeedError> {
    if condition == Condition::Unplugged {
        return Ok(vec![(1.0, 1.0)]);
    }
    let chain = worsened(chain, condition)?;
    let antennas: Vec<(Complex64, f64)> = match condition {
        Condition::OpenFeed => open_ends_ohm(freq_mhz).map(|z| (z, 1.0)).to_vec(),
        Condition::ShortFeed => short_ends_ohm(freq_mhz).map(|z| (z, 1.0)).to_vec(),
        Condition::Wet if !models.wet.is_empty() => pairs(&models.wet),
        _ => pairs(&models.fine),
    };
    let mut gammas = Vec::with_capacity(antennas.len());
    for (antenna_ohm, weight) in antennas {
        positive("sample weight", weight)?;
        let (without, tuned) = chain.swr_pair(freq_mhz, antenna_ohm)?;
        let swr = if place == MeterPlace::AfterTuning {
            tuned
        } else {
            without
        };
        gammas.push((gamma_of_swr(swr), weight));
    }
    Ok(gammas)
}

fn pairs(samples: &[Sample]) -> Vec<(Complex64, f64)> {
    samples.iter().map(|s| (s.antenna.impedance_ohm, s.weight)).collect()
}

/// A stub left at the feed point: 2, 5 and 15 pF with Q 100. Own choice of what a torn-off end leaves.
fn open_ends_ohm(freq_mhz: f64) -> [Complex64; 3] {
    [2.0, 5.0, 15.0].map(|c_pf| {
        let reactance_ohm = 1e6 / (TAU * freq_mhz * c_pf);
        Complex64::new(reactance_ohm / 100.0, -reactance_ohm)
    })
}

/// A short of 0.5 Ω with 0.02, 0.1 and 0.3 µH of wire. Own choice.
fn short_ends_ohm(freq_mhz: f64) -> [Complex64; 3] {
    [0.02, 0.1, 0.3].map(|l_uh| Complex64::new(0.5, TAU * freq_mhz * l_uh))
}

/// The chain with its lines in the state of the condition. Rain counts for lines of 150 Ω and more nominal impedance,
/// which are open lines.
fn worsened(chain: &FeedChain, condition: Condition) -> Result<FeedChain, FeedError> {
    let factor = |line: &Line| match condition {
        Condition::LossyLine => DAMAGE_LOSS_FACTOR,
        Condition::Wet if line.constants().z0_ohm() >= 150.0 => RAIN_LOSS_FACTOR,
        _ => 1.0,
    };
    let mut changed = chain.clone();
    for stage in changed.before_tuner.iter_mut().chain(&mut changed.after_tuner) {
        if let Stage::Line(line) = stage {
            *line = Line::new(line.constants().with_loss_factor(factor(line))?, line.length_m())?;
        }
    }
    Ok(changed)
}

/// Density of the reading (or chance of the meter's end stop), with a small share for slips.
fn likelihood(reading_swr: f64, spread: &[(f64, f64)], models: &ReadingModels) -> f64 {
    let sd = models.meter_gamma_sd;
    let stop = gamma_of_swr(models.meter_most_swr);
    let gamma = gamma_of_swr(reading_swr);
    let total: f64 = spread.iter().map(|s| s.1).sum();
    let one = |centre: f64| {
        let below = |x: f64| normal_cdf((x - centre) / sd);
        let whole = below(1.0) - below(0.0);
        if gamma >= stop {
            (below(1.0) - below(stop)) / whole
        } else {
            let z = (gamma - centre) / sd;
            maths::exp(-0.5 * z * z) / (sd * (2.0 * PI).sqrt() * whole)
        }
    };
    let model: f64 = spread
        .iter()
        .map(|&(centre, weight)| one(centre) * weight / total)
        .sum();
    let slip = if gamma >= stop { 1.0 - stop } else { 1.0 };
    (1.0 - SLIP_SHARE) * model + SLIP_SHARE * slip
}

#[cfg(test)]
#[path = "reading_tests.rs"]
mod tests;
