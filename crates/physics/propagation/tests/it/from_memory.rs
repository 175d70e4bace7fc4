//! Fingerprints of the tables and laws that are written down from memory, so that no entry changes by a slip of the hand. They say
//! nothing about whether the numbers are right.
//!
//! From memory; change here on purpose only: the failing test prints the new number.

use farhop_propagation::aurora::auroral_loss_db;
use farhop_propagation::collision::collision_per_s;
use farhop_propagation::losses::{
    GROUND_REFLECTION_DB, POLARISATION_DB, RESIDUAL_DB, e_above_muf_db, e_screening_db, f2_above_muf_db,
};
use farhop_propagation::muf::{Season, e_muf_factor, f2_muf_p533, operational_factor};
use farhop_propagation::noise::{NoiseClass, NoiseTerm, galactic, man_made};
use farhop_propagation::sporadic_e::{passage_loss_db, reflection_loss_db};
use farhop_propagation::{Horizon, LinkEnd, LinkSetup, Signal};
use farhop_vectors::{fingerprint, holds};

use crate::budget_cases::cases;

const SEASONS: [Season; 3] = [Season::Winter, Season::Equinox, Season::Summer];

/// Values at the middle of each band and of each three hours, where nothing is interpolated.
fn aurora(season: Season, k_index: Option<f64>) -> f64 {
    let cells =
        (0..8).flat_map(|band| (0..8).map(move |hours| (78.75 - 2.5 * f64::from(band), 2.5 + 3.0 * f64::from(hours))));
    fingerprint(cells.map(|(lat_deg, local_h)| auroral_loss_db(lat_deg, local_h, season, k_index)))
}

#[test]
fn aurora_table_in_winter() {
    holds(aurora(Season::Winter, None), 317.021_278_661);
}

#[test]
fn aurora_table_at_the_equinoxes() {
    holds(aurora(Season::Equinox, None), 502.804_792_432);
}

#[test]
fn aurora_table_in_summer() {
    holds(aurora(Season::Summer, None), 354.870_206_476);
}

#[test]
fn rule_of_k_for_the_aurora() {
    holds(
        fingerprint([0.0, 1.0, 4.0, 6.0, 9.0].map(|k| aurora(Season::Equinox, Some(k)))),
        6_206.142_345_210,
    );
}

#[test]
fn deciles_of_the_slow_spread() {
    // No modes and no ground wave: what is left is the spread of P.842 alone.
    let spread_db = |name: &str| {
        let case = cases().into_iter().find(|c| c.name() == name).unwrap();
        let gain = |_: f64, _: f64| 0.0;
        let end = LinkEnd {
            gain_dbi: &gain,
            horizon: Horizon::FLAT,
        };
        let setup = LinkSetup {
            power_dbw: 0.0,
            from: end,
            to: end,
            ground_wave_loss_db: None,
        };
        let power = Signal::new(&case.path, &[], &setup)
            .component_given(1.0, 1.0, 1.0)
            .power_dbw;
        [power.sd_low_db, power.sd_high_db].map(|sd_db| sd_db * 1.281_552)
    };
    let [low, high] = spread_db("one-hop");
    assert!((low - 8.0).abs() < 1e-4 && (high - 6.0).abs() < 1e-4, "{low} {high}");
    let [low, high] = spread_db("aurora-winter");
    assert!((low - 11.0).abs() < 1e-4 && (high - 9.0).abs() < 1e-4, "{low} {high}");
}

fn of_term(term: NoiseTerm) -> [f64; 3] {
    [term.fa_median_db, term.upper_decile_db, term.lower_decile_db]
}

#[test]
fn man_made_and_galactic_noise() {
    let man_made = NoiseClass::ALL
        .iter()
        .flat_map(|class| [3.5, 14.0].map(|mhz| man_made(*class, mhz)));
    let galactic = [14.0, 28.0].map(|mhz| galactic(mhz, 0.0).unwrap());
    holds(fingerprint(man_made.chain(galactic).flat_map(of_term)), 771.166_713_538);
}

#[test]
fn operational_factors_of_p1240() {
    let factors = SEASONS
        .iter()
        .flat_map(|season| [true, false].map(|day| operational_factor(*season, day)));
    holds(fingerprint(factors), 10.826_178_609);
}

#[test]
fn f2_muf_formula_of_p533() {
    let mut values = Vec::new();
    for hop_km in [0.0, 500.0, 1_500.0, 3_000.0, 4_000.0] {
        for (fof2_mhz, m3000f2, foe_mhz) in [(4.0, 2.6, 1.5), (8.0, 3.0, 3.0), (12.0, 3.4, 0.6)] {
            let muf = f2_muf_p533(hop_km, fof2_mhz, m3000f2, foe_mhz);
            values.extend([muf.ordinary_mhz, muf.dmax_km]);
        }
    }
    holds(fingerprint(values), 89_724.926_863_451);
}

#[test]
fn e_muf_factors() {
    let hops_km = [
        0.0, 50.0, 100.0, 150.0, 200.0, 300.0, 400.0, 500.0, 650.0, 800.0, 1e3, 1.2e3, 1.5e3, 1.8e3, 2e3,
    ];
    holds(fingerprint(hops_km.map(e_muf_factor)), 56.703_837_260);
}

#[test]
fn losses_above_the_muf() {
    let ratios = [1.004, 1.01, 1.02, 1.1, 1.3, 1.7, 2.5, 5.0];
    let elevations_rad = [0.05, 0.5, 1.0, 1.5];
    let f2 = ratios
        .iter()
        .flat_map(|ratio| elevations_rad.map(|elevation| f2_above_muf_db(*ratio, elevation)));
    let e = ratios
        .iter()
        .flat_map(|ratio| elevations_rad.map(|elevation| e_above_muf_db(*ratio, elevation)));
    holds(fingerprint(f2.chain(e)), 4_691.886_819_354);
}

#[test]
fn constants_and_screening_of_the_budget() {
    let screening = [1.0, 1.02, 1.04, 1.06].map(e_screening_db);
    let constants = [GROUND_REFLECTION_DB, POLARISATION_DB, RESIDUAL_DB];
    holds(fingerprint(constants.into_iter().chain(screening)), 72.546_580_233);
}

#[test]
fn sporadic_e_reflection_and_passage() {
    let ratios = [0.2, 0.5, 0.8, 1.0, 1.01, 1.5, 3.0];
    let reflection = ratios
        .iter()
        .flat_map(|ratio| [0.05, 1.0].map(|elevation| reflection_loss_db(*ratio, elevation)));
    holds(
        fingerprint(reflection.chain(ratios.map(passage_loss_db))),
        681.954_014_255,
    );
}

#[test]
fn collision_frequencies() {
    let heights = (0..=40).map(|i| 100.0 + 10.0 * f64::from(i));
    let rates = heights.flat_map(|height_km| [0.0, 1.0].map(|day| collision_per_s(height_km, 20.0, day)));
    holds(fingerprint(rates), 287_208.830_486_739);
}
