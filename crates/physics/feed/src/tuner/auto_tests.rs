//! The state search against a visit to every state, and against the two equations of the L match.

use super::*;
use crate::swr::swr;
use farhop_num::db_of_ratio;
use proptest::prelude::*;
use std::f64::consts::TAU;

/// Every state, by the general ladder, in the plainest way.
fn brute_force(tuner: &AutoTuner, load: Complex64, freq_mhz: f64) -> Vec<(CapacitorSide, usize, usize, f64, f64)> {
    let mut all = Vec::with_capacity(tuner.state_count());
    for side in [CapacitorSide::Antenna, CapacitorSide::Radio] {
        for (li, &l) in tuner.coils.sums().iter().enumerate() {
            for (ci, &c) in tuner.capacitors.sums().iter().enumerate() {
                let coil = coil_ohm(l, tuner.values.q_coil, freq_mhz);
                let shunt = capacitor_siemens(c, tuner.values.q_capacitor, freq_mhz);
                let (z, ratio) = match side {
                    CapacitorSide::Antenna => {
                        let y = load.inv() + shunt;
                        (
                            y.inv() + coil,
                            (y.re / load.inv().re) * (y.inv() + coil).re / y.inv().re,
                        )
                    }
                    CapacitorSide::Radio => {
                        let z = load + coil;
                        (
                            (z.inv() + shunt).inv(),
                            (z.re / load.re) * (z.inv() + shunt).re / z.inv().re,
                        )
                    }
                };
                all.push((side, li, ci, swr(z, 50.0), ratio));
            }
        }
    }
    all
}

/// Relative room for rounding between two ways of writing the same figure.
const ROUNDING: f64 = 1e-9;

fn check(tuner: &AutoTuner, load: Complex64, freq_mhz: f64) {
    let all = brute_force(tuner, load, freq_mhz);
    let found = tuner.search(load, freq_mhz).unwrap();
    let at = |c: Candidate| {
        all.iter()
            .find(|s| (s.0, s.1, s.2) == (c.side, c.l_index, c.c_index))
            .unwrap()
    };
    let least_swr = all.iter().map(|s| s.3).fold(f64::INFINITY, f64::min);
    assert!(
        at(found.lowest_swr).3 <= least_swr * (1.0 + ROUNDING),
        "{load} {freq_mhz}: {found:?} {least_swr}"
    );
    let accepted = tuner.values.accept_swr;
    let least_ratio = all
        .iter()
        .filter(|s| s.3 <= accepted)
        .map(|s| s.4)
        .fold(f64::INFINITY, f64::min);
    match found.least_loss {
        None => assert!(least_ratio.is_infinite() || least_swr > accepted * (1.0 - ROUNDING)),
        Some(best) => {
            assert!(at(best).3 <= accepted * (1.0 + ROUNDING));
            assert!(
                at(best).4 <= least_ratio * (1.0 + ROUNDING),
                "{load}: {best:?} {least_ratio}"
            );
            assert!((best.power_ratio / at(best).4 - 1.0).abs() < ROUNDING);
        }
    }
}

#[test]
fn default_bank_is_whole() {
    let tuner = AutoTuner::portable();
    assert_eq!(tuner.state_count(), 2 * 256 * 256);
    assert_eq!(tuner, AutoTuner::new(AutoTunerValues::portable()).unwrap());
}

#[test]
fn whole_default_tuner_equals_a_visit_to_every_state() {
    let tuner = AutoTuner::portable();
    for (r, x, freq_mhz) in [
        (12.0, -340.0, 3.6),
        (2450.0, 800.0, 7.1),
        (50.0, 0.0, 14.1),
        (1.2, -900.0, 5.35),
        (300.0, -1200.0, 3.6),
        (75.0, 40.0, 28.0),
        (4000.0, -3000.0, 10.1),
    ] {
        check(&tuner, Complex64::new(r, x), freq_mhz);
    }
}

/// Two equations of the L match without loss (capacitor at the antenna, resistive load R > 50):
/// Q = √(R/50 − 1), X_L = 50 Q, X_C = R / Q.
#[test]
fn closed_form_l_match_is_found_by_a_tuner_that_can_make_it() {
    let (r, freq_mhz): (f64, f64) = (450.0, 7.0);
    let q = (r / 50.0 - 1.0).sqrt();
    let l_uh = 50.0 * q / (TAU * freq_mhz);
    let c_pf = 1e6 * q / (r * TAU * freq_mhz);
    let values = AutoTunerValues {
        coils_uh: vec![l_uh, 0.3 * l_uh],
        capacitors_pf: vec![c_pf, 0.4 * c_pf],
        q_coil: 1e6,
        q_capacitor: 1e6,
        ..AutoTunerValues::portable()
    };
    let tuner = AutoTuner::new(values).unwrap();
    let answer = tuner.solve(Complex64::new(r, 0.0), freq_mhz).unwrap();
    assert!(answer.lowest_swr.swr < 1.0001, "{}", answer.lowest_swr.swr);
    assert!((answer.lowest_swr.input_ohm - 50.0).norm() < 0.05);
    assert!(answer.lowest_swr.loss_db < 1e-4);
    let Setting::Relays {
        side, l_mask, c_mask, ..
    } = answer.lowest_swr.setting
    else {
        panic!("relays expected")
    };
    assert_eq!((side, l_mask, c_mask), (CapacitorSide::Antenna, 1, 1));
}

/// First-order loss of a matched L network: network Q over part Q, each part (textbook approximation).
#[test]
fn loss_follows_network_q_over_part_q() {
    let (r, freq_mhz): (f64, f64) = (450.0, 7.0);
    let q: f64 = (r / 50.0 - 1.0f64).sqrt();
    let coil = Complex64::new(50.0 * q / 120.0, 50.0 * q);
    let shunt = Complex64::new(q / r / 700.0, q / r);
    let loss_db = l_network(CapacitorSide::Antenna, coil, shunt)
        .loss_db(Complex64::new(r, 0.0))
        .unwrap();
    let expected_db = db_of_ratio(1.0 + q / 120.0 + q / 700.0);
    assert!(
        (loss_db - expected_db).abs() < 0.002,
        "{loss_db} {expected_db} at {freq_mhz} MHz"
    );
}

#[test]
fn content_with_a_good_load_means_straight_through() {
    let answer = AutoTuner::portable().solve(Complex64::new(60.0, 5.0), 7.1).unwrap();
    assert_eq!(answer.least_loss.as_ref().unwrap().loss_db, 0.0);
    assert!(answer.chosen().network.parts().is_empty());
    assert!(answer.lowest_swr.swr <= answer.chosen().swr);
}

#[test]
fn bad_values_are_refused() {
    let good = AutoTunerValues::portable();
    for bad in [
        AutoTunerValues {
            q_coil: 0.0,
            ..good.clone()
        },
        AutoTunerValues {
            q_capacitor: f64::NAN,
            ..good.clone()
        },
        AutoTunerValues {
            accept_swr: 1.0,
            ..good.clone()
        },
        AutoTunerValues {
            coils_uh: vec![-1.0],
            ..good.clone()
        },
        AutoTunerValues {
            capacitors_pf: vec![1.0; 13],
            ..good.clone()
        },
        AutoTunerValues {
            ratings: TunerRatings {
                part_volts_rms: -1.0,
                ..TunerRatings::PORTABLE
            },
            ..good.clone()
        },
    ] {
        assert!(AutoTuner::new(bad).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    #[test]
    fn uneven_banks_equal_a_visit_to_every_state(
        log_r in -1.0f64..4.0, x in -4000f64..4000.0, freq_mhz in 1.8f64..30.0,
        coils_uh in prop::collection::vec(0.02f64..8.0, 0..6), capacitors_pf in prop::collection::vec(4f64..900.0, 0..6),
        accept_swr in 1.05f64..3.0, q_coil in 20f64..300.0,
    ) {
        let values = AutoTunerValues { coils_uh, capacitors_pf, q_coil, accept_swr, ..AutoTunerValues::portable() };
        check(&AutoTuner::new(values).unwrap(), Complex64::new(10f64.powf(log_r), x), freq_mhz);
    }
}
