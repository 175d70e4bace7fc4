//! The chain as a whole: energy adds up, limits hold, cautions appear.

use super::*;
use crate::caution::Place;
use crate::transformer::TransformerType;
use crate::transmitter::FoldBack;
use crate::tuner::{ManualL, ManualLValues, ManualT, ManualTValues};
use farhop_gear::LineType;

use crate::line::LineConstants;
use proptest::prelude::*;

fn line(kind: LineType, length_m: f64) -> Line {
    Line::new(LineConstants::named(kind).unwrap(), length_m).unwrap()
}

fn feed(r: f64, x: f64) -> AntennaFeed {
    AntennaFeed {
        impedance_ohm: Complex64::new(r, x),
        efficiency: 0.7,
    }
}

fn radio() -> Transmitter {
    Transmitter::typical(5.0).unwrap()
}

#[test]
fn nothing_between_radio_and_a_matched_antenna_loses_nothing() {
    let chain = FeedChain::tuner_at_radio(radio(), Tuner::None, None, None, None);
    let answer = chain.solve(7.1, feed(50.0, 0.0), &Limits::USUAL).unwrap();
    assert!(answer.matched);
    assert_eq!(answer.total_loss_db(), 0.0);
    assert!((answer.power.into_antenna_w - 5.0).abs() < 1e-12);
    assert!((answer.power.radiated_w - 3.5).abs() < 1e-12);
    assert!((answer.feed_point.volts_rms - 250f64.sqrt()).abs() < 1e-9);
    assert!(answer.cautions.is_empty());
}

#[test]
fn same_stages_on_either_side_of_the_tuner_are_told_apart() {
    let coax = line(LineType::Rg174, 10.0);
    let antenna = feed(300.0, -400.0);
    let near = FeedChain::tuner_at_radio(radio(), Tuner::portable(), Some(coax), None, None);
    let far = FeedChain::tuner_at_feed(radio(), Some(coax), Tuner::portable(), None, None);
    let near = near.solve(7.1, antenna, &Limits::USUAL).unwrap();
    let far = far.solve(7.1, antenna, &Limits::USUAL).unwrap();
    assert_eq!(far.at_tuner_ohm, antenna.impedance_ohm);
    // With the tuner at the feed the coax works nearly matched.
    assert!(
        far.line_loss_db < near.line_loss_db - 0.5,
        "{} {}",
        far.line_loss_db,
        near.line_loss_db
    );
    assert!(!far.stages[0].after_tuner && near.stages[0].after_tuner);
}

#[test]
fn end_fed_high_voltage_is_pointed_out() {
    let transformer = TransformerType::FortyNineToOne.typical();
    let coax = line(LineType::Rg58, 5.0);
    let chain = FeedChain::tuner_at_radio(radio(), Tuner::portable(), Some(coax), Some(transformer), None);
    let answer = chain.solve(7.1, feed(3000.0, 300.0), &Limits::USUAL).unwrap();
    assert!(answer.matched);
    let touch = |place| {
        answer
            .cautions
            .iter()
            .any(|c| matches!(c, Caution::TouchVoltage { place: p, .. } if *p == place))
    };
    assert!(touch(Place::FeedPoint) && touch(Place::TransformerTerminal) && !touch(Place::TunerTerminal));
    // About √(P R) at the feed point.
    let expected = (answer.power.into_antenna_w * 3000.0f64).sqrt();
    assert!((answer.feed_point.volts_rms / expected - 1.0).abs() < 0.01);
}

#[test]
fn a_hopeless_load_is_reported_with_fold_back() {
    let chain = FeedChain::tuner_at_radio(radio(), Tuner::portable(), None, None, None);
    let answer = chain.solve(3.6, feed(2.0, -3000.0), &Limits::USUAL).unwrap();
    assert!(!answer.matched);
    assert!(answer.cautions.iter().any(|c| matches!(c, Caution::NotMatched { .. })));
    assert!(answer.cautions.iter().any(|c| matches!(c, Caution::FoldsBack { .. })));
    assert!(
        answer
            .cautions
            .iter()
            .any(|c| matches!(c, Caution::OutsideTunerRange { .. }))
            || answer.at_tuner_ohm.norm() <= 3000.0
    );
    assert!(answer.power.radiated_w < 0.1);
}

#[test]
fn bad_values_are_refused() {
    let chain = FeedChain::tuner_at_radio(radio(), Tuner::portable(), None, None, None);
    let usual = &Limits::USUAL;
    assert!(chain.solve(0.0, feed(50.0, 0.0), usual).is_err());
    assert!(chain.solve(f64::NAN, feed(50.0, 0.0), usual).is_err());
    assert!(chain.solve(7.0, feed(0.0, 0.0), usual).is_err());
    assert!(chain.solve(7.0, feed(-1.0, 0.0), usual).is_err());
    assert!(chain.solve(7.0, feed(50.0, f64::NAN), usual).is_err());
    for efficiency in [-0.1, 1.1, f64::NAN] {
        let antenna = AntennaFeed {
            impedance_ohm: Complex64::new(50.0, 0.0),
            efficiency,
        };
        assert!(chain.solve(7.0, antenna, usual).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn energy_adds_up(
        log_r in 0.0f64..3.7, x in -2000f64..2000.0, freq_mhz in 1.8f64..30.0, length_m in 0.0f64..40.0,
        kind in 0usize..7, ratio in 0usize..4, at_feed in any::<bool>(), full in any::<bool>(),
    ) {
        let fold = if full { FoldBack::None } else { FoldBack::TYPICAL };
        let transmitter = Transmitter::new(10.0, 5.0, fold).unwrap();
        let (a, b) = (line(LineType::ALL[kind], length_m), line(LineType::Ladder450, 7.0));
        let transformer = TransformerType::ALL[ratio].typical();
        let chain = if at_feed {
            FeedChain::tuner_at_feed(transmitter, Some(a), Tuner::portable(), Some(transformer), Some(b))
        } else {
            FeedChain::tuner_at_radio(transmitter, Tuner::portable(), Some(a), Some(transformer), Some(b))
        };
        let answer = chain.solve(freq_mhz, feed(10f64.powf(log_r), x), &Limits::USUAL).unwrap();
        let stage_heat_w: f64 = answer.stages.iter().map(|s| s.power_in_w - s.power_out_w).sum();
        let tuner_heat_w: f64 = answer.parts.iter().map(|p| p.heat_w).sum();
        let taken_w = answer.power.output.taken_w;
        prop_assert!((stage_heat_w + tuner_heat_w + answer.power.into_antenna_w - taken_w).abs() < 1e-7);
        let parts_db = answer.line_loss_db + answer.transformer_loss_db + answer.tuner_loss_db;
        prop_assert!((parts_db - answer.total_loss_db()).abs() < 1e-9);
        prop_assert!(answer.power.into_antenna_w <= taken_w + 1e-9 && taken_w <= 10.0 + 1e-9);
        let last = answer.stages.last().unwrap();
        prop_assert!((last.power_out_w - answer.power.into_antenna_w).abs() < 1e-9);
        let pair = chain.swr_pair(freq_mhz, answer.antenna.impedance_ohm).unwrap();
        prop_assert_eq!(pair, (answer.without_tuner.swr, answer.power.swr));
    }

    /// Whatever comes in, an answer with sane figures or an error comes out.
    #[test]
    fn any_numbers_give_an_answer_or_an_error(
        r in any::<f64>(), x in any::<f64>(), wild_mhz in any::<f64>(), tame in any::<bool>(), tuner in 0usize..4,
    ) {
        let tuner = match tuner {
            0 => Tuner::None,
            1 => Tuner::portable(),
            2 => Tuner::HandL(ManualL::new(ManualLValues::typical()).unwrap()),
            _ => Tuner::HandT(ManualT::new(ManualTValues::typical()).unwrap()),
        };
        let freq_mhz = if tame { 7.1 } else { wild_mhz.abs() };
        let chain = FeedChain::tuner_at_radio(radio(), tuner, Some(line(LineType::Rg58, 10.0)), None, None);
        if let Ok(answer) = chain.solve(freq_mhz, feed(r.abs(), x), &Limits::USUAL) {
            prop_assert!(answer.power.swr >= 1.0);
            prop_assert!((0.0..=5.0 + 1e-9).contains(&answer.power.into_antenna_w));
        }
    }
}
