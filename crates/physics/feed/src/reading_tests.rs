//! Readings whose meaning is plain.

use super::*;
use crate::chain::AntennaFeed;
use crate::{Transmitter, Tuner};
use farhop_gear::LineType;
use farhop_num::normal_cdf;

use crate::line::LineConstants;

fn sample(r: f64, x: f64) -> Sample {
    Sample {
        antenna: AntennaFeed {
            impedance_ohm: Complex64::new(r, x),
            efficiency: 0.7,
        },
        weight: 1.0,
    }
}

/// A dipole near resonance (SWR about 1.3 to 1.7), fed by coax; rain detunes it to SWR 3 or so.
fn dipole() -> (FeedChain, ReadingModels) {
    let line = Line::new(LineConstants::named(LineType::Rg58).unwrap(), 10.0).unwrap();
    let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::None, Some(line), None, None);
    let fine = vec![sample(60.0, 10.0), sample(65.0, 20.0), sample(70.0, 15.0)];
    let wet = vec![sample(70.0, 60.0), sample(75.0, 80.0)];
    (chain, ReadingModels::with_small_meter(fine, wet))
}

fn judge(swr: f64) -> Verdict {
    let (chain, models) = dipole();
    judge_reading(&chain, 7.1, MeterPlace::WithoutTuner, swr, &models).unwrap()
}

#[test]
fn plain_readings_get_plain_answers() {
    assert_eq!(judge(1.4).outcome, Outcome::Fine);
    assert_eq!(judge(2.8).outcome, Outcome::Wet);
    assert_eq!(judge(9.0).outcome, Outcome::Broken);
    let off = judge(f64::INFINITY);
    assert_eq!(off.outcome, Outcome::Broken);
    assert_eq!(off.fits[0].condition, Condition::Unplugged);
}

#[test]
fn posteriors_add_up_and_ratios_are_to_fine() {
    let verdict = judge(2.0);
    let total: f64 = verdict.fits.iter().map(|f| f.posterior).sum();
    assert!((total - 1.0).abs() < 1e-12);
    let fine = verdict.fits.iter().find(|f| f.condition == Condition::Fine).unwrap();
    assert_eq!(fine.ratio_to_fine, 1.0);
    assert!((Condition::ALL.iter().map(|c| c.prior()).sum::<f64>() - 1.0).abs() < 1e-12);
}

#[test]
fn densities_are_whole() {
    // Density up to the end stop plus the chance of the stop must be one.
    let (_, models) = dipole();
    let spread = [(0.3, 1.0), (0.93, 2.0)];
    let stop = gamma_of_swr(models.meter_most_swr);
    let n = 20_000;
    let step = stop / f64::from(n);
    let swr_of = |g: f64| (1.0 + g) / (1.0 - g);
    let below: f64 = (0..n)
        .map(|k| likelihood(swr_of((f64::from(k) + 0.5) * step), &spread, &models) * step)
        .sum();
    let at_stop = likelihood(f64::INFINITY, &spread, &models);
    assert!((below + at_stop - 1.0).abs() < 1e-4, "{below} {at_stop}");
}

#[test]
fn normal_distribution_table() {
    // Standard tables.
    for (z, p) in [(0.0, 0.5), (1.0, 0.841_344_7), (-1.96, 0.024_997_9), (3.0, 0.998_650_1)] {
        assert!((normal_cdf(z) - p).abs() < 2e-7, "{z}");
    }
}

#[test]
fn bad_values_are_refused() {
    let (chain, models) = dipole();
    let judge = |swr, models: &ReadingModels| judge_reading(&chain, 7.1, MeterPlace::WithoutTuner, swr, models);
    assert!(judge(0.9, &models).is_err());
    assert!(judge(f64::NAN, &models).is_err());
    assert!(
        judge(
            1.5,
            &ReadingModels {
                fine: vec![],
                ..models.clone()
            }
        )
        .is_err()
    );
    assert!(
        judge(
            1.5,
            &ReadingModels {
                meter_gamma_sd: 0.0,
                ..models.clone()
            }
        )
        .is_err()
    );
    assert!(
        judge(
            1.5,
            &ReadingModels {
                meter_most_swr: 1.0,
                ..models.clone()
            }
        )
        .is_err()
    );
}
