//! The search on an invented antenna whose answer is known.

use super::*;
use crate::tuner::{AutoTuner, AutoTunerValues};
use crate::{Complex64, Transmitter, Tuner};
use farhop_gear::LineType;

use crate::line::LineConstants;

/// Reactance falls by 300 Ω for each metre of wire missing; height and counterpoise change little.
fn invented(change: AntennaChange) -> Result<AntennaFeed, String> {
    let reactance_ohm = match change {
        AntennaChange::None => -1600.0,
        AntennaChange::WireLength { delta_m } if delta_m < -4.0 => return Err("the wire ends before the tree".into()),
        AntennaChange::WireLength { delta_m } => -1600.0 + 300.0 * delta_m,
        AntennaChange::Height { delta_m } => -1600.0 + 10.0 * delta_m,
        AntennaChange::Counterpoise { delta_m } => -1600.0 + 20.0 * delta_m,
    };
    Ok(AntennaFeed {
        impedance_ohm: Complex64::new(40.0, reactance_ohm),
        efficiency: 0.5,
    })
}

/// A tuner with so little inductance that it cancels only a known reactance.
fn small_tuner() -> Tuner {
    let values = AutoTunerValues {
        capacitors_pf: vec![],
        q_coil: 1e6,
        ..AutoTunerValues::portable()
    };
    Tuner::Auto(AutoTuner::new(values).unwrap())
}

#[test]
fn finds_the_smallest_lengthening() {
    let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), small_tuner(), None, None, None);
    let steps = ChangeSteps {
        transformers: vec![],
        ..ChangeSteps::usual()
    };
    let freq_mhz = 7.1;
    let list = advise(&chain, freq_mhz, &steps, &EffortRates::FIELD, invented).unwrap();
    let best = list.smallest().unwrap();
    let Change::Antenna(AntennaChange::WireLength { delta_m }) = best.change else {
        panic!("{:?}", best.change)
    };
    // 15.3 µH cancel 2π 7.1 15.3 = 682.6 Ω; with R = 40 an SWR of 1.5 leaves room for a reactance x with
    // ((40 + 50)² + x²) / (4 · 40 · 50) = (1.5 + 1)² / (4 · 1.5): x = ± 15.3 Ω.
    let coil_ohm = std::f64::consts::TAU * freq_mhz * 15.3;
    let room_ohm = (8000.0 * 6.25 / 6.0 - 8100.0f64).sqrt();
    let needed_m = (1600.0 - coil_ohm - room_ohm) / 300.0;
    assert!(
        delta_m >= needed_m && delta_m < needed_m + steps.resolution_m,
        "{delta_m} {needed_m}"
    );
    assert!(best.answer.matched);
    assert!(
        list.failed
            .iter()
            .any(|(_, error)| error.to_string().contains("before the tree"))
    );
    // What only helps stands behind what matches.
    let firsts: Vec<bool> = list.ranked.iter().map(|a| a.answer.matched).collect();
    assert!(firsts.windows(2).all(|w| w[0] >= w[1]), "{firsts:?}");
    assert!(list.antenna_solutions < 40, "{}", list.antenna_solutions);
}

#[test]
fn line_and_transformer_need_one_antenna_solution() {
    let line = Line::new(LineConstants::named(LineType::Ladder450).unwrap(), 12.0).unwrap();
    let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::None, Some(line), None, None);
    let steps = ChangeSteps {
        wire_length_m: vec![],
        height_m: vec![],
        counterpoise_m: vec![],
        ..ChangeSteps::usual()
    };
    let mut solves = 0;
    let antenna = |_| {
        solves += 1;
        Ok(AntennaFeed {
            impedance_ohm: Complex64::new(50.0, 20.0),
            efficiency: 0.9,
        })
    };
    let list = advise(&chain, 7.1, &steps, &EffortRates::FIELD, antenna).unwrap();
    assert_eq!((solves, list.antenna_solutions), (1, 1));
    // A half wave of 450 Ω line (19.2 m) shows 50 Ω again: about 7 m more line.
    let Change::LineLength { stage: 0, delta_m } = list.smallest().unwrap().change else {
        panic!("{list:?}")
    };
    assert!((5.5..7.5).contains(&delta_m), "{delta_m}");
}

#[test]
fn nothing_to_do_when_it_matches() {
    let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::portable(), None, None, None);
    let antenna = |_| {
        Ok(AntennaFeed {
            impedance_ohm: Complex64::new(50.0, 20.0),
            efficiency: 0.9,
        })
    };
    let list = advise(&chain, 7.1, &ChangeSteps::usual(), &EffortRates::FIELD, antenna).unwrap();
    assert!(list.as_is.matched && list.ranked.is_empty() && list.antenna_solutions == 1);
}

#[test]
fn bad_values_are_refused() {
    let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::None, None, None, None);
    let usual = ChangeSteps::usual();
    for steps in [
        ChangeSteps {
            resolution_m: 0.0,
            ..usual.clone()
        },
        ChangeSteps {
            resolution_m: f64::NAN,
            ..usual.clone()
        },
        ChangeSteps {
            height_m: vec![f64::INFINITY],
            ..usual.clone()
        },
    ] {
        assert!(advise(&chain, 7.1, &steps, &EffortRates::FIELD, invented).is_err());
    }
    let broken = |_| Err("no convergence".to_owned());
    assert!(matches!(
        advise(&chain, 7.1, &usual, &EffortRates::FIELD, broken),
        Err(FeedError::Antenna { .. })
    ));
    let no_line = Change::LineLength { stage: 3, delta_m: 1.0 };
    assert!(changed_chain(&chain, no_line).is_err());
}
