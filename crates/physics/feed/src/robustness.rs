//! What happens when height, ground and length are a bit off.

use crate::caution::Limits;
use crate::chain::{AntennaFeed, FeedChain};
use crate::error::{FeedError, positive};
use farhop_num::weighted_quantile;

/// One way the antenna may turn out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// The antenna then.
    pub antenna: AntennaFeed,
    /// Its weight (dimensionless, above 0; need not add up to one).
    pub weight: f64,
}

/// Weighted quantiles of a quantity, in the unit of the quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantiles {
    /// Smallest (dimensionless or as the quantity).
    pub least: f64,
    /// 10 % lie below (dimensionless or as the quantity).
    pub p10: f64,
    /// Half lie below (dimensionless or as the quantity).
    pub p50: f64,
    /// 90 % lie below (dimensionless or as the quantity).
    pub p90: f64,
    /// Largest (dimensionless or as the quantity).
    pub most: f64,
}

/// How the chain fares over all samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Robustness {
    /// SWR at the transmitter without the tuner (dimensionless).
    pub swr_without_tuner: Quantiles,
    /// SWR at the transmitter after tuning afresh (dimensionless).
    pub swr_tuned: Quantiles,
    /// SWR at the transmitter with the tuner left as it was set for the nominal antenna (dimensionless).
    pub swr_left_alone: Quantiles,
    /// Loss from transmitter to antenna after tuning afresh, dB.
    pub loss_db: Quantiles,
    /// Radiated power after tuning afresh, W.
    pub radiated_w: Quantiles,
    /// Weighted share of samples that count as a match (dimensionless, 0 to 1).
    pub chance_copes: f64,
}

impl Quantiles {
    /// Quantiles of `(value, weight)` pairs: the smallest value at which the running weight reaches the share.
    ///
    /// # Errors
    /// [`FeedError::Empty`] without values; [`FeedError::BadValue`] for a weight that is not above zero.
    pub fn of(pairs: &[(f64, f64)]) -> Result<Self, FeedError> {
        let mut sorted = pairs.to_vec();
        sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (Some(first), Some(last)) = (sorted.first(), sorted.last()) else {
            return Err(FeedError::Empty {
                what: "the list of samples",
            });
        };
        for &(_, weight) in &sorted {
            positive("sample weight", weight)?;
        }
        let at = |share: f64| weighted_quantile(&sorted, share).unwrap_or(last.0);
        Ok(Self {
            least: first.0,
            p10: at(0.1),
            p50: at(0.5),
            p90: at(0.9),
            most: last.0,
        })
    }
}

/// Runs every sample through the chain. `nominal` is the antenna the tuner was last set for.
///
/// # Errors
/// [`FeedError::Empty`] without samples, [`FeedError::BadValue`] for a bad weight, and as [`FeedChain::solve`].
pub fn robustness(
    chain: &FeedChain,
    freq_mhz: f64,
    nominal: AntennaFeed,
    samples: &[Sample],
) -> Result<Robustness, FeedError> {
    let kept = chain.solve(freq_mhz, nominal, &Limits::USUAL)?;
    let kept_network = &kept.tuner.chosen().network;
    let mut columns: [Vec<(f64, f64)>; 5] = Default::default();
    let (mut copes, mut total) = (0.0, 0.0);
    for sample in samples {
        let answer = chain.solve(freq_mhz, sample.antenna, &Limits::USUAL)?;
        let alone = chain.swr_with(kept_network, freq_mhz, sample.antenna.impedance_ohm)?;
        let values = [
            answer.without_tuner.swr,
            answer.power.swr,
            alone,
            answer.power.loss_db,
            answer.power.radiated_w,
        ];
        for (column, value) in columns.iter_mut().zip(values) {
            column.push((value, sample.weight));
        }
        total += sample.weight;
        copes += if answer.matched { sample.weight } else { 0.0 };
    }
    let [without, tuned, alone, loss, radiated] = columns;
    Ok(Robustness {
        swr_without_tuner: Quantiles::of(&without)?,
        swr_tuned: Quantiles::of(&tuned)?,
        swr_left_alone: Quantiles::of(&alone)?,
        loss_db: Quantiles::of(&loss)?,
        radiated_w: Quantiles::of(&radiated)?,
        chance_copes: copes / total,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Complex64, Transmitter, Tuner};

    fn sample(r: f64, x: f64, weight: f64) -> Sample {
        Sample {
            antenna: AntennaFeed {
                impedance_ohm: Complex64::new(r, x),
                efficiency: 0.5,
            },
            weight,
        }
    }

    #[test]
    fn chance_is_the_weight_of_what_matches() {
        let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::portable(), None, None, None);
        let samples = [sample(40.0, -100.0, 3.0), sample(1.0, -4000.0, 1.0)];
        let got = robustness(&chain, 7.1, samples[0].antenna, &samples).unwrap();
        assert!((got.chance_copes - 0.75).abs() < 1e-12);
        assert!(got.swr_tuned.least <= 1.5 && got.swr_tuned.most > 1.5);
        // Left alone, the nominal sample keeps its match.
        assert!((got.swr_left_alone.least - got.swr_tuned.least).abs() < 1e-9);
    }

    #[test]
    fn quantiles_of_known_lists() {
        let q = Quantiles::of(&(1..=10).map(|n| (f64::from(n), 1.0)).collect::<Vec<_>>()).unwrap();
        assert_eq!((q.least, q.p10, q.p50, q.p90, q.most), (1.0, 1.0, 5.0, 9.0, 10.0));
        let heavy = Quantiles::of(&[(5.0, 0.05), (7.0, 0.95)]).unwrap();
        assert_eq!((heavy.p10, heavy.p50), (7.0, 7.0));
    }

    #[test]
    fn bad_samples_are_refused() {
        let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::None, None, None, None);
        let good = sample(50.0, 0.0, 1.0);
        assert!(robustness(&chain, 7.1, good.antenna, &[]).is_err());
        assert!(robustness(&chain, 7.1, good.antenna, &[sample(50.0, 0.0, 0.0)]).is_err());
        assert!(robustness(&chain, 7.1, good.antenna, &[sample(50.0, 0.0, f64::NAN)]).is_err());
        assert!(robustness(&chain, 7.1, good.antenna, &[sample(0.0, 0.0, 1.0)]).is_err());
    }
}
