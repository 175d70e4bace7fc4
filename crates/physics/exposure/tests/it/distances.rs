//! Distances against closed forms and against the printed tables.

use farhop_exposure::dipole::ThinDipole;
use farhop_exposure::far_field::{GROUND_USUAL, distance_m};
use farhop_exposure::limit::{Population, Rule, limits};
use farhop_exposure::profile::{NearProfile, Quantity, Reach, Sending, Step};
use farhop_exposure::search::{FieldAtWatt, profile};
use farhop_exposure::shape::Piece;
use farhop_vectors::Row;
use proptest::prelude::*;

fn table(name: &str) -> Vec<Row> {
    farhop_vectors::table(&format!("exposure/{name}"))
}

fn number(row: &Row, column: usize) -> f64 {
    row.value(column)
}

/// The tables print one decimal of a metre.
const TABLE_ROUNDING_M: f64 = 0.05;

#[test]
fn far_field_distances_are_those_of_supplement_b() {
    for row in table("supplement_b.csv") {
        let eirp_w = number(&row, 2) * 10f64.powf(number(&row, 1) / 10.0);
        for (population, column) in [(Population::Controlled, 3), (Population::Public, 4)] {
            let all = limits(number(&row, 0), population).unwrap();
            let fcc = all.iter().find(|l| l.rule == Rule::Fcc).unwrap();
            let got = distance_m(eirp_w, GROUND_USUAL, fcc.density_w_per_m2.unwrap()).unwrap();
            assert!(
                (got - number(&row, column)).abs() <= TABLE_ROUNDING_M + 1e-9,
                "{row:?} {got}"
            );
        }
    }
}

/// A level half-wave dipole in free space whose exact field is known, for one watt.
fn dipole(freq_mhz: f64, height_m: f64) -> NearProfile {
    let length_m = 299.792_458 / freq_mhz / 2.0;
    let pieces = vec![Piece {
        from_m: [-length_m / 2.0, 0.0, height_m],
        to_m: [length_m / 2.0, 0.0, height_m],
    }];
    let wire = ThinDipole {
        length_m,
        freq_mhz,
        current_a: (1.0f64 / 73.13).sqrt(),
    };
    let fields = |points: &[[f64; 3]]| {
        let one = |p: &[f64; 3]| {
            let (e_v_per_m, h_a_per_m) = wire.fields(p[1].hypot(p[2] - height_m), p[0]);
            FieldAtWatt { e_v_per_m, h_a_per_m }
        };
        points.iter().map(one).collect()
    };
    profile(&pieces, fields).expect("a profile")
}

#[test]
fn the_search_finds_the_distances_of_a_brute_force_walk() {
    // Vectors: every point of a fine grid around the dipole by the closed form (numpy).
    let mut worst = (1.0f64, 1.0f64);
    let mut found = 0;
    for row in table("dipole_walk.csv") {
        let (freq_mhz, height_m) = (number(&row, 0), number(&row, 1));
        let profile = dipole(freq_mhz, height_m);
        let sending = Sending {
            freq_mhz,
            power_w: number(&row, 2),
            key_share: 1.0,
            longest_min: f64::INFINITY,
        };
        for (population, rule, column) in [
            (Population::Controlled, Rule::Fcc, 3),
            (Population::Public, Rule::Fcc, 4),
            (Population::Controlled, Rule::IcnirpWholeBody, 5),
            (Population::Public, Rule::IcnirpWholeBody, 6),
        ] {
            let got = profile.keep_out(&sending, population, |r| r == rule).unwrap().unwrap();
            let want = number(&row, column);
            // What is told is never less than what the walk found, in any row.
            assert!(got.told_m() >= want - 1e-9, "{row:?} {rule:?} {population:?} {got:?}");
            if got.reach == Reach::Nearer {
                continue;
            }
            let ratio = got.distance_m / want;
            worst = (worst.0.min(ratio), worst.1.max(ratio));
            assert!((0.95..1.10).contains(&ratio), "{row:?} {rule:?} {population:?} {got:?}");
            found += 1;
        }
    }
    println!("{found} distances, ratio {worst:?}");
    assert!(found > 20, "the walk has shrunk");
}

fn inverse(power: i32) -> NearProfile {
    let steps = [0.2, 0.5, 1.0, 2.0, 5.0].map(|d: f64| Step {
        distance_m: d,
        e_v_per_m: 10.0 / d.powi(power),
        h_a_per_m: 0.0,
    });
    NearProfile::new(steps.to_vec()).expect("a profile")
}

proptest! {
    /// Where the field is a power law the distance is exact: E = 10 √P / d^n.
    #[test]
    fn power_laws_are_met_exactly(power in 1i32..4, power_w in 0.0f64..2_000.0, freq_mhz in 1.8f64..29.9) {
        let sending = Sending { freq_mhz, power_w, key_share: 1.0, longest_min: f64::INFINITY };
        let got = inverse(power).keep_out(&sending, Population::Public, |r| r == Rule::Fcc).unwrap().unwrap();
        let want = (10.0 * power_w.sqrt() / (824.0 / freq_mhz)).powf(1.0 / f64::from(power));
        match got.reach {
            Reach::Nearer => prop_assert!(want <= 0.2 + 1e-9 && got.distance_m == 0.2),
            Reach::Found => prop_assert!((got.distance_m / want - 1.0).abs() < 1e-9),
            // 1/R is on the safe side of what falls faster.
            Reach::Farther => prop_assert!(want >= 5.0 - 1e-9 && got.distance_m >= want * (1.0 - 1e-9)),
        }
        if got.reach != Reach::Nearer {
            prop_assert_eq!(got.quantity, Quantity::Electric);
        }
    }

    #[test]
    fn more_power_never_comes_closer(a in 0.0f64..500.0, b in 0.0f64..500.0, share in 0.0f64..1.0) {
        let far = |power_w| {
            let sending = Sending { freq_mhz: 7.1, power_w, key_share: share, longest_min: 20.0 };
            inverse(2).keep_out(&sending, Population::Public, |_| true).unwrap().unwrap().distance_m
        };
        prop_assert!(far(a.max(b)) >= far(a.min(b)) - 1e-12);
    }

    #[test]
    fn the_public_stays_farther_than_the_operator(power_w in 0.0f64..1_500.0, freq_mhz in 1.8f64..30.0) {
        let sending = Sending { freq_mhz, power_w, key_share: 1.0, longest_min: f64::INFINITY };
        let far = |p| inverse(2).keep_out(&sending, p, |_| true).unwrap().unwrap().distance_m;
        prop_assert!(far(Population::Public) >= far(Population::Controlled) - 1e-12);
    }
}

#[test]
fn corners() {
    let sending = |power_w, freq_mhz| Sending {
        freq_mhz,
        power_w,
        key_share: 1.0,
        longest_min: f64::INFINITY,
    };
    let got = inverse(2)
        .keep_out(&sending(0.0, 7.0), Population::Public, |_| true)
        .unwrap()
        .unwrap();
    assert_eq!((got.reach, got.distance_m), (Reach::Nearer, 0.2));
    assert!(
        inverse(2)
            .keep_out(&sending(f64::NAN, 7.0), Population::Public, |_| true)
            .is_err()
    );
    assert!(
        inverse(2)
            .keep_out(&sending(5.0, 1_000.0), Population::Public, |_| true)
            .is_err()
    );
    assert!(
        inverse(2)
            .keep_out(&sending(5.0, 7.0), Population::Public, |_| false)
            .unwrap()
            .is_none()
    );
    assert!(NearProfile::new(Vec::new()).is_err());
    assert!(profile(&[], |_| Vec::new()).is_err());
    let piece = Piece {
        from_m: [0.0, 0.0, 1.0],
        to_m: [1.0, 0.0, 1.0],
    };
    let odd = |points: &[[f64; 3]]| {
        let field = FieldAtWatt {
            e_v_per_m: f64::NAN,
            h_a_per_m: 0.0,
        };
        vec![field; points.len()]
    };
    assert!(profile(&[piece], odd).is_err());
}
